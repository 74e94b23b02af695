"""The many options of ``tenhour lamps``: read, checked, and every wrong one told at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Final

from tenhour.cli.common import number_option
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.model.lamp import LampRequest, Tariff

BOUNDS: Final = {
    "--hours": (0.25, 24.0),
    "--dli": (0.1, 60.0),
    "--volts": (12.0, 480.0),
    "--breaker": (1.0, 125.0),
    "--others": (0.0, 20000.0),
    "--headroom": (0.02, 10.0),
    "--even": (0.0, 0.95),
    "--panels": (0.0, 0.98),
    "--windows": (1.0, 2.0),
    "--tiers": (1.0, 50.0),
}
LOW_VOLTS: Final = 150.0
"""Below it mains are those of North America, whose common breaker is 15 A. Practice."""
USUAL_BREAKER_A: Final = {True: 15.0, False: 16.0}


def read_request(typed: Mapping[str, str | None]) -> tuple[LampRequest, int]:
    """Return what is asked of the lamps, and the tiers of the rack, from the options as typed.

    Errors: FileProblem with one line for every option that is wrong.
    """
    from tenhour.cli.loading import parse_date
    from tenhour.files.lamp_words import parse_price
    from tenhour.files.problems import at_once
    from tenhour.model.lamp import Circuit, LampRequest

    numbers: dict[str, float] = {}
    days: dict[str, date | None] = {}
    tariffs: list[Tariff] = []

    def number(option: str) -> Callable[[], None]:
        def read() -> None:
            value = number_option(option, typed[option], *BOUNDS[option])
            if value is not None:
                numbers[option] = value

        return read

    def day(option: str) -> Callable[[], None]:
        return lambda: days.update({option: parse_date(option, typed[option])})

    def price() -> None:
        if typed["--price"] is not None:
            tariffs.append(parse_price(typed["--price"]))

    at_once(*[number(option) for option in BOUNDS], day("--from"), day("--to"), price)
    _check_order(days["--from"], days["--to"])
    volts = numbers["--volts"]
    breaker = numbers.get("--breaker", USUAL_BREAKER_A[volts < LOW_VOLTS])
    request = LampRequest(
        hours_h=numbers.get("--hours"),
        target_dli_mol_m2_d=numbers.get("--dli"),
        first=days["--from"],
        last=days["--to"],
        tariff=tariffs[0] if tariffs else None,
        circuit=Circuit(volts, breaker, numbers["--others"]),
        headroom_m=numbers.get("--headroom"),
        evenness_frac=numbers["--even"],
        panels_refl_frac=numbers.get("--panels"),
        windows_count=int(numbers["--windows"]) if "--windows" in numbers else None,
    )
    return request, int(numbers["--tiers"])


def _check_order(first: date | None, last: date | None) -> None:
    if first is not None and last is not None and last < first:
        found = f"{last.isoformat()}, before --from {first.isoformat()}"
        raise FileProblem([Problem("command line", "--to", found, "a later day", "Swap the two.")])
