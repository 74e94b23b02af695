"""Parse and check the options of ``tenhour lamps``, reporting all bad ones together."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Final

from tenhour.cli.common import number_option, remark
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.model.lamp import LampBudget, LampRequest

NUMBERS: Final = {
    "--hours": "hours_h",
    "--dli": "dli_mol_m2_d",
    "--volts": "mains_v",
    "--breaker": "breaker_a",
    "--others": "others_w",
    "--headroom": "headroom_m",
    "--even": "evenness_frac",
    "--panels": "panels_refl_frac",
    "--windows": "windows_count",
    "--tiers": "tiers_count",
    "--worth": "worth_currency",
}
"""What each option asks for."""
SPAN: Final = re.compile(r"(\d{1,2})(?::(\d\d))? ?(am|pm)? ?(?:-|–|to) ?(\d{1,2})(?::(\d\d))? ?(am|pm)?")


HUNG: Final = "hung"
"""Said of lamps that hang in the house already."""


@dataclass(frozen=True)
class LampOptions:
    """What is asked of the lamps and beside it."""

    request: LampRequest
    tiers_count: int
    harvest_by: date | None
    shelf_m: tuple[float, float]
    """Length and width of the shelf; unused where a bed was named."""
    plants_counts: tuple[int, ...] = ()
    """How many plants of each crop are wanted; none where a bed or shelf was named."""
    budget: LampBudget | None = None
    """What lamps over several beds may take together."""
    hung: bool = False
    """Whether the lamps that hang in the house are asked about."""


def read_lamp_options(typed: Mapping[str, str | None]) -> LampOptions:
    """Return what is asked of the lamps from the options as typed.

    Errors: FileProblem with one line for every option that is wrong.
    """
    from tenhour.cli.loading import parse_date
    from tenhour.files.lamp_words import parse_budget, parse_counts, parse_price, parse_shelf
    from tenhour.files.problems import at_once
    from tenhour.model.lamp import REQUEST_BOUNDS, Circuit, LampRequest, OwnLamps, usual_breaker_a

    got: dict[str, Any] = {}

    def step(option: str, read: Callable[[str], Any]) -> Callable[[], None]:
        def run() -> None:
            text = typed.get(option)
            if text is not None:
                got[option] = read(text)

        return run

    def number(option: str) -> Callable[[str], float | None]:
        return lambda text: number_option(option, text, *REQUEST_BOUNDS[NUMBERS[option]])

    def day(option: str) -> Callable[[str], date | None]:
        return lambda text: parse_date(option, text)

    steps = [step(option, number(option)) for option in NUMBERS]
    steps += [step(option, day(option)) for option in ("--from", "--to", "--harvest")]
    typed = {**typed, "--hours": _hours(typed.get("--hours"))}
    steps += [step("--price", parse_price), step("--shelf", parse_shelf), step("--rung", _rung), step("--own", _own)]
    steps += [step("--plants", parse_counts), step("--budget", parse_budget)]
    at_once(*steps)
    _check_pairs(typed)
    _check_order(got.get("--from"), got.get("--to"))
    volts = got["--volts"]
    breaker = got.get("--breaker", usual_breaker_a(volts))
    own = got.get("--own")
    request = LampRequest(
        hours_h=got.get("--hours"),
        target_dli_mol_m2_d=got.get("--dli"),
        first=got.get("--from"),
        last=got.get("--to"),
        tariff=got.get("--price"),
        circuit=Circuit(volts, breaker, got["--others"]),
        headroom_m=got.get("--headroom"),
        evenness_frac=got["--even"],
        panels_refl_frac=got.get("--panels"),
        windows_count=int(got["--windows"]) if "--windows" in got else None,
        rung=got.get("--rung"),
        own=OwnLamps(own) if own else None,
        worth_currency=got.get("--worth"),
    )
    return LampOptions(
        request, int(got["--tiers"]), got.get("--harvest"), got.get("--shelf", (0.0, 0.0)), got.get("--plants", ()),
        got.get("--budget"), own == 0,
    )  # fmt: skip


NOT_WITH: Final = {
    "--shelf": ("BED", "--plants", "--budget"),
    "--plants": ("BED", "--own", "--budget", "--dli"),
    "--budget": ("--own", "--harvest", "--dli", "--rung"),
}
"""Options that ask different questions."""


def _check_pairs(typed: Mapping[str, str | None]) -> None:
    said = {option for option, text in typed.items() if text is not None}
    pairs = [(other, option) for option, others in NOT_WITH.items() if option in said for other in others]
    both = [f"{other} and {option}" for other, option in pairs if other in said]
    if both:
        raise FileProblem([Problem("command line", pair, "both", "one of them", "Leave one out.") for pair in both])


def _own(text: str) -> int:
    """How many lamps are there; 0: those that hang in the house."""
    if text == HUNG:
        return 0
    from tenhour.model.lamp import REQUEST_BOUNDS

    count = number_option("--own", text, *REQUEST_BOUNDS["own_count"])
    if not float(count or 0.0).is_integer():
        raise FileProblem([Problem("command line", "--own", text, f'a whole number, or "{HUNG}"', "")])
    return int(count or 1)


def _hours(text: str | None) -> str | None:
    """Hours a day; a span such as 6am-8pm by its length, and said so."""
    found = None if text is None else SPAN.fullmatch(text.strip().lower())
    if text is None or found is None:
        return text
    ends = [
        (int(found[n]) % (12 if found[n + 2] else 24))
        + int(found[n + 1] or 0) / 60
        + (12 if found[n + 2] == "pm" else 0)
        for n in (1, 4)
    ]
    hours = f"{(ends[1] - ends[0]) % 24:g}"
    remark(f"--hours {text}: taken as {hours} h a day; the answer says when they burn.")
    return hours


def _rung(text: str) -> str:
    from tenhour.model.lamp import RUNGS

    if text not in RUNGS:
        raise FileProblem([Problem("command line", "--rung", repr(text), "one of " + ", ".join(RUNGS), "")])
    return text


def _check_order(first: date | None, last: date | None) -> None:
    if first is not None and last is not None and last < first:
        found = f"{last.isoformat()}, before --from {first.isoformat()}"
        raise FileProblem([Problem("command line", "--to", found, "a later day", "Swap the two.")])
