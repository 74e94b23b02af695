"""The answer on warmth: the winter, its months, tonight, the heater, a power cut, and what each measure would do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from tenhour.model.fields import About, Energy, Hours, Month, Number, Power, Prose, Share, Temp, TempDifference
from tenhour.model.results import Answer

LongHours = Annotated[float, About(kind="plain", digits=0, least=0)]
Weight = Annotated[float, About(kind="plain", digits=1, least=0)]
Cost = Annotated[float, About(kind="plain", digits=2, least=0)]


@dataclass(frozen=True)
class HeatWinter:
    """The twelve months round the darkest day; energy and hours are means of winters."""

    energy_kwh: Energy
    """Heat to hold the set points or the stated means."""
    energy_low_kwh: Energy
    energy_high_kwh: Energy
    """Four winters in five and the error of the model."""
    largest_hour_w: Power
    """Mean of the winters' largest hours."""
    lowest_air_degc: Temp
    """Median of the winters' lowest hours."""
    lowest_air_1in10_degc: Temp
    """One winter in ten is colder."""
    hours_below_0_h: LongHours


@dataclass(frozen=True)
class HeatMonth:
    """One month: means of winters."""

    month: Month
    day_degc: Annotated[Temp, About(heading="day")]
    night_degc: Annotated[Temp, About(heading="night")]
    lowest_degc: Annotated[Temp, About(heading="lowest")]
    """Median over winters of the month's lowest hour in the air of the house."""
    covered_lowest_degc: Annotated[Temp | None, About(heading="covered")]
    """The same under the warmest cover over a bed; none where no bed has one."""
    soil_degc: Annotated[Temp, About(heading="soil")]
    """Of the beds at 5 cm."""
    energy_kwh: Annotated[Energy, About(heading="kWh", shown=0)]
    hours_below_0_h: Annotated[LongHours, About(heading="h < 0 °C")]
    water_l_d: Annotated[Number, About(heading="l a day", shown=1)]
    """What beds give off by the sun, to be carried in again."""
    wet_leaf_nights: Annotated[int, About(kind="count", heading="wet nights")]
    """Nights with eight dark hours or more above 93 % beside the leaves: mould may start."""


@dataclass(frozen=True)
class HeaterSize:
    """What holds the house on the coldest night of ten winters."""

    design_outdoor_degc: Temp
    hold_degc: Temp
    """The air it is sized for."""
    power_w: Annotated[Power, About(digits=0)]
    """With a fifth on top."""
    enough: bool | None
    """Whether the heaters of the file suffice; none where it names none."""


@dataclass(frozen=True)
class Measure:
    """One change and what it would do."""

    measure: Prose
    saved_kwh: Energy
    lowest_gain_k: TempDifference
    """On the median lowest hour of the air, or under the cover."""
    light_lost_frac: Share


@dataclass(frozen=True)
class PowerCut:
    """If the heat fails on the coldest night of an ordinary winter."""

    hours_to_limit_h: Annotated[Hours | None, About(digits=1)]
    """Until the air falls to 0 °C; none where it does not within a day."""
    floor_degc: Temp
    """Lowest air twelve hours after it failed."""


@dataclass(frozen=True)
class Tonight:
    """The night ahead under one forecast."""

    outdoor_lowest_degc: Temp
    lowest_unheated_degc: Temp
    lowest_air_degc: Temp
    """With the heaters and set points of the file."""
    lowest_covered_degc: Temp | None
    lowest_hour_h: Annotated[Hours, About(digits=0)]
    """Hour of the sun's clock in which it is coldest."""
    heat_kwh: Energy
    largest_hour_w: Power
    wood_kg: Annotated[Weight | None, About()]
    wood_low_kg: Annotated[Weight | None, About()]
    wood_high_kg: Annotated[Weight | None, About()]
    cost_currency: Annotated[Cost | None, About()]
    heat_from_h: Annotated[Hours | None, About(digits=0)]
    """Hour in which heat is first wanted: when to light the stove."""
    harmed: tuple[str, ...]
    """Crops of the table that such a night would harm in the open air of the house."""


@dataclass(frozen=True)
class HeatAnswer(Answer):
    """Whether the house is warm enough, and what that costs."""

    COMMAND: ClassVar[str] = "heat"

    winter: HeatWinter
    months: tuple[HeatMonth, ...]
    heater: HeaterSize
    measures: tuple[Measure, ...]
    power_cut: PowerCut | None
    """None where nothing is heated."""
    tonight: Annotated[Tonight | None, About(optional=True)]
    wood_kg: Annotated[Weight | None, About()]
    """Dry wood for the winter, where a stove stands in the file."""
    wood_low_kg: Annotated[Weight | None, About()]
    wood_high_kg: Annotated[Weight | None, About()]
    held: Annotated[bool, About(hidden=True)]
    """Whether means are stated and held."""
    us_units: Annotated[bool, About(hidden=True)]
    cautions_here: Annotated[int, About(hidden=True)]
    """How many of the cautions, from the first, are for what this house has."""
