"""Lamp plans asked for beside another answer: ``--lamps BED=CROP``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from datetime import date

    from tenhour.model.house import House
    from tenhour.model.lamp_answer import LampAnswer
    from tenhour.year.year import Year

LampsOption = Annotated[
    list[str] | None,
    typer.Option(
        "--lamps", help="Plan lamps: BED=CROP; repeat for more crops or beds.", show_default=False, metavar="BED=CROP"
    ),
]
LampOption = Annotated[
    str, typer.Option("--lamp", help='Lamp of these plans: a kind, a lamp file, or words as for "tenhour lamps".')
]
PriceOption = Annotated[
    str | None, typer.Option("--price", help='Price per kWh for these plans: "0.30 EUR".', show_default=False)
]
VoltsOption = Annotated[str, typer.Option("--volts", help="Mains voltage of these plans.")]


def wanted_lamps(house: House, texts: Sequence[str] | None) -> dict[str, list[str]]:
    """Crops by bed from what was typed, in the order of the house; every problem at once."""
    from tenhour.cli.loading import unknown

    known = [bed.name for bed in house.beds]
    found: dict[str, list[str]] = {}
    problems = []
    for text in texts or ():
        bed, sign, crop = text.rpartition("=")
        if not sign or not bed or not crop:
            problems.append(Problem("command line", "--lamps", repr(text), "BED=CROP, as front=spinach", ""))
        elif bed not in known:
            problems.append(unknown("--lamps", bed, known))
        else:
            found.setdefault(bed, []).append(crop)
    if problems:
        raise FileProblem(problems)
    return {bed: found[bed] for bed in known if bed in found}


def check_lamps_wanted(wanted: dict[str, list[str]], typed: dict[str, bool]) -> None:
    """Refuse options of lamp plans, by name and whether they were typed, where no plan is asked for."""
    lost = [option for option, given in typed.items() if given]
    if lost and not wanted:
        do = "Add --lamps BED=CROP, or leave it out."
        raise FileProblem([Problem("command line", option, "no --lamps it belongs to", "", do) for option in lost])


def lamp_plans(
    year: Year,
    folder: Path | None,
    wanted: dict[str, list[str]],
    *,
    lamp: str,
    price: str | None,
    volts: str,
    today: date,
) -> tuple[LampAnswer, ...]:
    """Size the lamps of every bed they are wanted for, in a house-year already built."""
    if not wanted:
        return ()
    from tenhour.cli.lamp_options import read_lamp_options
    from tenhour.cli.loading import choose_crops
    from tenhour.files.lamp import LampChoice, find_lamp
    from tenhour.files.lamp_kinds import load_cautions

    typed: dict[str, str | None] = {
        "--volts": volts, "--price": price, "--others": "0", "--even": "0.7", "--tiers": "1", "BED": None,
        **dict.fromkeys(
            ("--hours", "--dli", "--breaker", "--headroom", "--panels", "--windows", "--from", "--to", "--harvest",
             "--shelf", "--worth", "--rung", "--own")
        ),
    }  # fmt: skip
    request, kind = replace(read_lamp_options(typed).request, over_bed=True), find_lamp(LampChoice(lamp))
    return tuple(
        year.lamps(bed, choose_crops(folder, crops), kind, request, cautions=load_cautions(), today=today)
        for bed, crops in wanted.items()
    )
