"""The answer of bare ``tenhour``: what to do this week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from tenhour.model.fields import HIDDEN, About, Clock, Days, HeatEnergy, Hours, Light, Number, Prose, Temp
from tenhour.model.results import Answer, SowAnswer, SowDay, SowNow

StandDo = Literal["leave", "harvest", "eat-first", "cover", "ask"]
"""What to do with what stands: leave it, take it, take it before it flowers or is past its best, keep frost off, look
for yourself (the model sees no harvest)."""


@dataclass(frozen=True)
class WeekStand:
    """One crop that stands by the log, and what to do with it."""

    crop: str
    bed: Annotated[str, About(empty_null=True)]
    sown: date
    do: Annotated[StandDo, About(heading="to do")]
    text: Annotated[Prose, About(heading="in words", wrap=True)]
    ready_from: date | None = None
    ready_to: date | None = None
    """Ready between these days in eight seasons of ten; none where the model sees no harvest, or the bed is unknown."""
    flowers_from: date | None = None
    """It may run to flower from about this day."""


@dataclass(frozen=True)
class WeekBed:
    """Light and warmth of one bed in this week."""

    name: Annotated[str, About(column="bed", heading="bed", heads=True)]
    dli_mol_m2_d: Light
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull day")]
    day_degc: Annotated[Temp, About(heading="day")]
    night_degc: Annotated[Temp, About(heading="night")]
    lowest_degc: Annotated[Temp, About(heading="lowest")]
    """Lowest hour of the week under what lies over the bed, in half of the winters."""
    lowest_1in10_degc: Annotated[Temp, About(heading="1 in 10")]
    """One winter in ten is colder."""


@dataclass(frozen=True)
class WeekLamps:
    """When the lamps over a bed burn this week."""

    bed: str
    on: Clock
    off: Clock
    hours_h: Hours
    dli_mol_m2_d: Light
    """What they add."""


@dataclass(frozen=True)
class WeekAnswer(Answer):
    """Answer of ``tenhour`` and ``tenhour week``."""

    COMMAND = "week"

    on: Annotated[date, About(name="date")]
    days: Days
    sow: Annotated[SowAnswer, HIDDEN]
    stands: tuple[WeekStand, ...]
    beds: tuple[WeekBed, ...]
    lamps: tuple[WeekLamps, ...]
    water_l_d: Number
    """What all beds give off by the sun on a day, to be carried in again."""
    heat_kwh: HeatEnergy
    """Heat this week takes to hold what the house is to hold; 0 without a heater."""
    warmth: Prose
    """Cover and heater in words."""
    care: Prose
    """Watering and air in words."""
    logged: Annotated[bool, HIDDEN] = False
    """Whether there is a log."""
    us_units: Annotated[bool, HIDDEN] = False

    @property
    def now(self) -> Annotated[tuple[SowNow, ...], About(name="sow")]:
        """What to sow this week."""
        return self.sow.now

    @property
    def later(self) -> Annotated[tuple[SowDay, ...], About()]:
        """Crops to wait for, by the first day worth it."""
        return self.sow.later
