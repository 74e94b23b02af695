"""The answer on warmth: the winter, its months, tonight, the heater, a power cut, and what each measure would do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from tenhour.model.fields import (
    About,
    Current,
    Energy,
    HeatEnergy,
    HeatPower,
    Hours,
    Month,
    Number,
    Power,
    Prose,
    Share,
    Temp,
    TempDifference,
)
from tenhour.model.results import Answer

LongHours = Annotated[float, About(kind="plain", digits=0, least=0)]
FrostHours = Annotated[float, About(kind="long_hours", digits=0, heading="frost hours", least=0)]
Weight = Annotated[float, About(kind="plain", digits=1, least=0)]
Cost = Annotated[float, About(kind="plain", digits=2, least=0)]


@dataclass(frozen=True)
class HeatWinter:
    """The twelve months round the darkest day; energy and hours are means of winters."""

    energy_kwh: HeatEnergy
    """Heat to hold the set points or the stated means."""
    energy_low_kwh: HeatEnergy
    energy_high_kwh: HeatEnergy
    """Four winters in five and the error of the model."""
    largest_hour_w: HeatPower
    """Mean of the winters' largest hours."""
    lowest_air_degc: Temp
    """Median of the winters' lowest hours; a thermostat's swing is taken off what is held."""
    lowest_air_1in10_degc: Temp
    """One winter in ten is colder."""
    hours_below_0_h: FrostHours
    brought_up: Annotated[bool, About(hidden=True)]
    """Whether the largest hour brings the air from the night's to the day's set point, in most winters."""


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
    energy_kwh: Annotated[HeatEnergy, About(heading="kWh")]
    hours_below_0_h: FrostHours
    water_l_d: Annotated[Number, About(heading="water l/day", shown=1)]
    """What beds give off by the sun, to be carried in again."""
    wet_leaf_nights: Annotated[int, About(kind="count", heading="wet nights")]
    """Nights with eight dark hours or more above 93 % beside the leaves: mould may start."""
    melt_kwh: Annotated[HeatEnergy | None, About(heading="melting kWh", wide_only=True)]
    """Heat to melt that month's water from snow; none in a month that does not freeze outdoors on the mean."""


@dataclass(frozen=True)
class CropHours:
    """Hours of a year in which the house is colder than one crop then stands, mean of winters, by month."""

    crop: str
    hours_h: Annotated[tuple[float, ...], About(kind="plain", digits=0, least=0, size=12)]
    """In the open air of the house, January to December."""
    covered_hours_h: Annotated[tuple[float, ...] | None, About(kind="plain", digits=0, least=0, size=12)]
    """Under what lies over the first bed that has a cover; none where no bed has one."""


@dataclass(frozen=True)
class HeaterCircuit:
    """The heaters on electricity, the lamps and the mats of the file on one circuit."""

    heaters_w: Power
    others_w: Power
    """Lamps and mats, all on at once."""
    mains_v: Annotated[float, About(kind="plain", digits=0)]
    breaker_a: Annotated[Current, About(digits=0)]
    drawn_a: Current
    allowed_a: Current
    """What that breaker may carry for hours on end."""


@dataclass(frozen=True)
class HeaterSize:
    """What holds the house on the coldest night of ten winters."""

    design_outdoor_degc: Temp
    hold_degc: Temp
    """The air it is sized for."""
    power_w: Annotated[HeatPower, About(digits=0)]
    """With a fifth on top."""
    enough: bool | None
    """Whether the heaters of the file suffice; none where it names none."""
    circuit: HeaterCircuit | None
    """None where no heater of the file is on electricity."""


@dataclass(frozen=True)
class Measure:
    """One change and what it would do from October to April (in the north)."""

    measure: Prose
    saved_kwh: Annotated[float, About(kind="heat_energy", digits=2, heading="kWh less")]
    """Heat it saves, of heaters and mats; below 0 it costs some."""
    saved_currency: Annotated[float | None, About(kind="plain", digits=2, heading="money", wide_only=True)]
    """None where no heater or mat of the file has a price."""
    lowest_gain_k: Annotated[TempDifference, About(heading="warmer", shown=1)]
    """On the median lowest hour of the unheated air, or under the cover where it lies over beds."""
    frost_hours_less_h: Annotated[float, About(kind="long_hours", digits=0, heading="frost hours less")]
    """Of the unheated house, a winter."""
    light_lost_frac: Annotated[Share, About(heading="light lost")]


@dataclass(frozen=True)
class Pair:
    """Two changes together, beside what they do one by one."""

    measure: Annotated[Prose, About(wrap=True)]
    saved_kwh: Annotated[float, About(kind="heat_energy", digits=2, heading="kWh less")]
    lowest_gain_k: Annotated[TempDifference, About(heading="warmer", shown=1)]
    sum_saved_kwh: Annotated[float, About(kind="heat_energy", digits=2, heading="sum")]
    sum_gain_k: Annotated[TempDifference, About(heading="sum", shown=1)]
    together: Annotated[Prose, About(wrap=True)]
    """Whether they add, or why they do not."""


@dataclass(frozen=True)
class CropLimit:
    """One limit of crops, and when a cut reaches it."""

    limit_degc: Annotated[Temp, About(heading="limit", shown=1)]
    hours_h: Annotated[LongHours | None, About(digits=1, heading="hours")]
    """In the open air of the house; none where it is not reached."""
    covered_hours_h: Annotated[LongHours | None, About(digits=1, heading="under fleece")]
    """Under a fleece laid over the bed at once."""
    crops: Annotated[tuple[str, ...], About(wide_only=True, wrap=True)]


@dataclass(frozen=True)
class PowerCut:
    """If the heat fails at dusk before the coldest night of an ordinary winter, without sun."""

    hours_to_limit_h: Annotated[LongHours | None, About(digits=1)]
    """Until the air falls to 0 °C; none where it does not."""
    floor_degc: Temp
    """Lowest air while it lasts."""
    length_h: LongHours
    outdoor_lowest_degc: Temp
    covered_floor_degc: Temp
    """Lowest air under a fleece laid over the first bed at once."""
    limits: tuple[CropLimit, ...]


@dataclass(frozen=True)
class LampHeat:
    """What the heat of the file's lamps is worth from October to April."""

    lamps_kwh: Energy
    replaces_frac: Share
    """Of it, what takes the place of heating."""
    moved_saved_kwh: Annotated[float, About(kind="heat_energy", digits=2)]
    """Heat saved besides if each day's lamp hours lay at the end of the night; no light is lost."""
    lowest_gain_k: TempDifference
    """What lamps do for the coldest hour of the unheated house, and what moving them adds."""
    moved_gain_k: TempDifference


@dataclass(frozen=True)
class StoveLoad:
    """One load of wood."""

    hour_h: Annotated[Hours, About(digits=1)]
    """Of the sun's clock."""
    wood_kg: Weight


@dataclass(frozen=True)
class NightSpot:
    """One place in the house on a cold night, against its middle at the height of the crops."""

    spot: Prose
    still_k: Annotated[TempDifference, About(heading="still air", shown=1)]
    still_error_k: Annotated[TempDifference, About(heading="±", shown=1)]
    fan_k: Annotated[TempDifference, About(heading="with a fan", shown=1)]
    fan_error_k: Annotated[TempDifference, About(heading="±", shown=1)]
    set_degc: Annotated[Temp | None, About(heading="set to")]
    """Set point of a thermostat there, in still air, that keeps the coldest bed at what the house is held at; none for
    leaves."""


@dataclass(frozen=True)
class NightHour:
    """One hour of a cold night, from noon to noon."""

    hour_h: Annotated[Hours, About(digits=0, heading="hour", shown=0)]
    """Of the sun's clock."""
    outdoor_degc: Annotated[Temp, About(heading="outdoors")]
    air_degc: Annotated[Temp, About(heading="inside")]
    """With the heaters and set points of the file, mean of the hour."""
    unheated_degc: Annotated[Temp, About(heading="without heat")]
    covered_degc: Annotated[Temp, About(heading="under cover")]
    """Under what lies over the first bed that has a cover, or under a fleece over the first bed; without heat."""
    heat_w: Annotated[HeatPower, About(heading="heat")]


@dataclass(frozen=True)
class Tonight:
    """The night ahead under one forecast."""

    outdoor_lowest_degc: Temp
    lowest_unheated_degc: Temp
    lowest_air_degc: Temp
    """With the heaters and set points of the file; a thermostat's swing is taken off what is held."""
    lowest_covered_degc: Temp | None
    lowest_hour_h: Annotated[Hours, About(digits=0)]
    """Hour of the sun's clock in which it is coldest."""
    heat_kwh: HeatEnergy
    largest_hour_w: HeatPower
    wood_kg: Annotated[Weight | None, About()]
    wood_low_kg: Annotated[Weight | None, About()]
    wood_high_kg: Annotated[Weight | None, About()]
    cost_currency: Annotated[Cost | None, About()]
    heat_from_h: Annotated[Hours | None, About(digits=0)]
    """Hour in which heat is first wanted: when to light the stove."""
    loads: tuple[StoveLoad, ...]
    """When to light and reload the stove."""
    stove_lowest_degc: Temp | None
    """Lowest air with these loads."""
    alone_h: Annotated[Hours | None, About(digits=1)]
    """Hour at which the house falls below what it is held at if nobody reloads after ten; none where it does not."""
    backup_kwh: Annotated[HeatEnergy | None, About()]
    """Heat that the stove leaves to a second heater."""
    harmed: tuple[str, ...]
    """Crops of the table that such a night would harm in the open air of the house."""


@dataclass(frozen=True)
class HeatMat:
    """One mat or cable under a bed, over the months in which it is plugged in; means of winters."""

    bed: str
    set_degc: Annotated[Temp, About(heading="set to")]
    root_degc: Annotated[Temp, About(heading="roots")]
    """Mean of the soil at 5 cm, of trays in their middle."""
    root_lowest_degc: Annotated[Temp, About(heading="lowest")]
    """Median over winters of the lowest hour, from the third day after it was plugged in."""
    energy_kwh: Annotated[HeatEnergy, About(heading="kWh")]
    """Of a year."""
    largest_hour_w: Annotated[HeatPower, About(heading="most")]
    holds: bool
    """Whether it keeps its set point within half a kelvin in all but two of a hundred hours."""
    cost_currency: Annotated[Cost | None, About(heading="money", wide_only=True)]
    """At its own price, else at that of the first heater on electricity; none without either."""


@dataclass(frozen=True)
class FrostAlarm:
    """What an alarm beside the coldest bed is set to, and when it would ring."""

    set_degc: Temp
    """Below what a heater keeps with its swing; where nothing is heated, a little above freezing."""
    from_h: Annotated[Hours | None, About(digits=0)]
    """Hour of the sun's clock from which the air without heat is below it in the night of ``cold_night``; none where
    it does not fall so low, noon where it is all day."""
    below_h: LongHours
    """For how long, of the day that night is in."""
    rings_h: Annotated[LongHours | None, About(digits=1)]
    """After heat has failed at dusk of a year's coldest night; none where nothing is heated."""
    left_h: Annotated[LongHours | None, About(digits=1)]
    """From then until the air freezes."""


@dataclass(frozen=True)
class HeatAnswer(Answer):
    """Whether the house is warm enough, and what that costs."""

    COMMAND: ClassVar[str] = "heat"

    winter: HeatWinter
    months: tuple[HeatMonth, ...]
    heater: HeaterSize
    measures: tuple[Measure, ...]
    pairs: tuple[Pair, ...]
    """Where they were asked for."""
    lamps: Annotated[LampHeat | None, About(optional=True)]
    spots: tuple[NightSpot, ...]
    power_cut: PowerCut | None
    """None where nothing is heated."""
    crop_hours: tuple[CropHours, ...]
    """Of crops that are too cold in some hours."""
    tonight: Annotated[Tonight | None, About(optional=True)]
    alarm: FrostAlarm
    mats: tuple[HeatMat, ...]
    cold_night: tuple[NightHour, ...]
    """The forecast night hour by hour, or the coldest of an ordinary winter: clear, with a breeze."""
    wood_kg: Annotated[Weight | None, About()]
    """Dry wood for the winter, where a stove stands in the file."""
    wood_low_kg: Annotated[Weight | None, About()]
    wood_high_kg: Annotated[Weight | None, About()]
    held: Annotated[bool, About(hidden=True)]
    """Whether means are stated and held."""
    us_units: Annotated[bool, About(hidden=True)]
    cautions_here: Annotated[int, About(hidden=True)]
    """How many of the cautions, from the first, are for what this house has."""
