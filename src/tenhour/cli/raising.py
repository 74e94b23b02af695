"""Options for the place where plants are raised, shared by ``sow`` and ``season``."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from tenhour.model.house import House

RaiseBedOption = Annotated[
    str | None,
    typer.Option("--raise-bed", help="Raise plants on this bed of the house before setting out.", show_default=False),
]
RaiseDliOption = Annotated[
    str | None,
    typer.Option("--raise-dli", help="Light where plants are raised (mol per m² and day).", show_default=False),
]
RaiseHoursOption = Annotated[
    str | None, typer.Option("--raise-hours", help="Hours of light there, by lamps or day.", show_default=False)
]
RaiseDayOption = Annotated[
    str | None, typer.Option("--raise-day", help="Its air by day (°C, or 66F).", show_default=False)
]
RaiseNightOption = Annotated[
    str | None, typer.Option("--raise-night", help="Its air by night (°C, or 60F).", show_default=False)
]


def with_nursery(
    house: House, bed: str | None, dli: str | None, hours: str | None, day: str | None, night: str | None
) -> House:
    """The house with its nursery as typed; what was not typed stays as the house file has it."""
    from tenhour.files.house.nursery import typed_nursery

    typed = {"bed": bed, "dli_mol_m2_d": dli, "lit_h": hours, "day_degc": day, "night_degc": night}
    if all(text is None for text in typed.values()):
        return house
    return replace(house, nursery=typed_nursery(house, typed))
