"""The tables of a house file: their keys, bounds and plain shape. What they mean together is checked elsewhere."""

from __future__ import annotations

import calendar
import datetime
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar, Final, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from tenhour.errors import JOINERS
from tenhour.files.problems import Section
from tenhour.files.units_text import WITHIN, BadValueError, Quantity, plain_number
from tenhour.model.household import SURETY_MOST, WISHES
from tenhour.model.site import MONTHS
from tenhour.units import GENERIC_YEAR

SCHEMA: Final = 1
LONGEST_NAME: Final = 60

LATITUDE: Final = Quantity("angle", -90.0, 90.0)
LONGITUDE: Final = Quantity("angle", -180.0, 180.0)
ELEVATION: Final = Quantity("length", -450.0, 6000.0)
AZIMUTH: Final = Quantity("angle", 0.0, 360.0)
HORIZON: Final = Quantity("angle", 0.0, 89.0)
SPAN: Final = Quantity("length", 0.1, 200.0)
"""Length or width of a house."""
RISE: Final = Quantity("length", 0.05, 30.0)
"""Height of a wall or ridge."""
PLACE_IN: Final = Quantity("length", 0.0, 200.0)
"""A distance from the corner of the house, never outside it."""
SIZE: Final = Quantity("length", 0.01, 200.0)
THICKNESS: Final = Quantity("length", 0.001, 200.0)
PLACE_OUT: Final = Quantity("length", -1000.0, 1000.0)
SIZE_OUT: Final = Quantity("length", 0.01, 1000.0)
CANOPY: Final = Quantity("length", 0.0, 3.0)
FRACTION: Final = Quantity("fraction", 0.0, 1.0)
WALL_REFLECTANCE: Final = Quantity("fraction", 0.0, 0.99)
"""A closed room of perfect mirrors has no answer."""
AIR_MEAN: Final = Quantity("temperature", -45.0, 45.0)
SET_POINT: Final = Quantity("temperature", -10.0, 38.0)
OUTDOOR_MEAN: Final = Quantity("temperature", -60.0, 45.0)
U_VALUE: Final = Quantity("u-value", 0.05, 20.0)
GHI_MEAN: Final = Quantity("number", 0.0, 50.0)
DLI_MEAN: Final = Quantity("number", 0.0, 100.0)
INDEX: Final = Quantity("number", 1.0, 2.5)
LAMP_HOURS: Final = Quantity("number", 0.5, 24.0)
LAMP_MONTH_HOURS: Final = Quantity("number", 0.0, 24.0)
LIT_HOURS: Final = Quantity("number", 0.0, 24.0)
LAMP_POWER: Final = Quantity("number", 0.1, 5000.0)
LAMP_HEIGHT: Final = Quantity("length", 0.02, 10.0)
CLOCK: Final = re.compile(r"(\d{1,2}):([0-5]\d)\s*-\s*(\d{1,2}):([0-5]\d)")
DAY_H: Final = 24.0
MOST_WINDOWS: Final = 4
LAMP_PPFD: Final = Quantity("number", 1.0, 2000.0)
LIGHT_FACTOR: Final = Quantity("ratio", 0.05, 3.0)
WALL_MASS: Final = Quantity("number", 10.0, 2000.0)
VENT: Final = Quantity("temperature", 5.0, 45.0)
SWING: Final = Quantity("number", 0.0, 10.0)
MAT_HELD: Final = Quantity("temperature", 0.0, 38.0)

Fraction = Annotated[float, BeforeValidator(FRACTION)]
Uvalue = Annotated[float, BeforeValidator(U_VALUE)]
Reflectance = Annotated[float, BeforeValidator(WALL_REFLECTANCE)]
Rise = Annotated[float, BeforeValidator(RISE)]
Span = Annotated[float, BeforeValidator(SPAN)]
In = Annotated[float, BeforeValidator(PLACE_IN)]
Size = Annotated[float, BeforeValidator(SIZE)]
Out = Annotated[float, BeforeValidator(PLACE_OUT)]
Azimuth = Annotated[float, BeforeValidator(AZIMUTH)]


@dataclass(frozen=True)
class ListOf:
    """A list with a bounded number of entries, turned into the tuple a strict reader wants."""

    low_count: int
    high_count: int
    what: str
    do: str = "Write it in square brackets."

    def __call__(self, value: object) -> object:
        """Return the list as a tuple, or raise BadValueError."""
        if isinstance(value, tuple):
            return value
        if not isinstance(value, list) or not self.low_count <= len(value) <= self.high_count:
            raise BadValueError(self.what, self.do)
        return tuple(value)


@dataclass(frozen=True)
class CountOf:
    """A whole number with its bounds."""

    low_count: int
    high_count: int

    def __call__(self, value: object) -> int:
        """Return the number, or raise BadValueError."""
        allowed = f"a whole number, {self.low_count} to {self.high_count}"
        if isinstance(value, bool) or not isinstance(value, int):
            raise BadValueError(allowed, "Write it without quotes or point.")
        if not self.low_count <= value <= self.high_count:
            raise BadValueError(allowed, WITHIN)
        return value


@dataclass(frozen=True)
class TwelveOf:
    """One number for the whole year, or twelve by month; the entries of a list are checked one by one later."""

    quantity: Quantity

    def __call__(self, value: object) -> object:
        """Return twelve values as a tuple, or raise BadValueError."""
        if not isinstance(value, list):
            return (self.quantity(value),) * MONTHS
        if len(value) != MONTHS:
            raise BadValueError("one number, or twelve from January to December", "Give one value for each month.")
        return tuple(value)


def seen_name(text: str) -> str:
    """A name as it is kept: every kind of blank is a plain one, every letter one sign where there is one.

    Errors: BadValueError for a name that is empty, too long, or holds a sign nobody sees.
    """
    blanks = "".join(" " if unicodedata.category(ch) == "Zs" else ch for ch in text)
    short = unicodedata.normalize("NFC", blanks).strip()
    if not short or len(short) > LONGEST_NAME:
        raise BadValueError(f"a name of 1 to {LONGEST_NAME} letters on one line", "Choose a shorter or plainer one.")
    hidden = next((ch for n, ch in enumerate(short) if not (ch.isprintable() or _joins(short, n))), None)
    if hidden is not None:
        called = unicodedata.name(hidden, "a control character").lower()
        do = f"It holds a sign nobody sees, {called} (U+{ord(hidden):04X}): type the name anew."
        raise BadValueError("a name of signs that can be seen, on one line", do)
    return short


def _joins(text: str, place: int) -> bool:
    """Whether a joiner stands inside a word: many emoji and some scripts are written with it."""
    return text[place] in JOINERS and 0 < place < len(text) - 1 and text[place + 1] not in JOINERS


def _month(value: object) -> object:
    if isinstance(value, str):
        for number in range(1, MONTHS + 1):
            if len(value) > 2 and calendar.month_name[number].lower().startswith(value.lower()):
                raise BadValueError("month numbers, 1 to 12", f"Did you mean {number}?")
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MONTHS:
        raise BadValueError("month numbers, 1 to 12", "Write them like [12, 1, 2].")
    return value


def _layer(value: object) -> object:
    return {"cover": value} if isinstance(value, str) else value


def _factor(value: object) -> object:
    """One factor for the whole house stands under the empty name, as in the model."""
    if isinstance(value, Mapping):
        return dict(value)
    return {"": LIGHT_FACTOR(value)}


def _day(value: object) -> object:
    if isinstance(value, datetime.datetime):
        return value.date()
    if isinstance(value, str):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            raise BadValueError("a date like 2026-01-15", "Write a day that exists.") from None
    if not isinstance(value, datetime.date):
        raise BadValueError("a date like 2026-01-15", "Write a day that exists.")
    return value


def _year_day(value: object) -> object:
    """A day of any year as (month, day)."""
    if isinstance(value, tuple):
        return value
    try:
        found = datetime.date.fromisoformat(f"{GENERIC_YEAR}-{value}")
    except ValueError:
        raise BadValueError('a month and day like "10-15"', "Write a day that every year has, month first.") from None
    return found.month, found.day


def _windows(value: object) -> object:
    """Times like "06:00-20:00", one or several, as hours; an end before its start is on the next day."""
    if isinstance(value, tuple):
        return value
    allowed = 'times like "06:00-20:00", or a list of them'
    given = value if isinstance(value, list) else [value]
    matches = [CLOCK.fullmatch(part.strip()) if isinstance(part, str) else None for part in given]
    found = []
    for match in matches:
        if match is None:
            raise BadValueError(allowed, "On first, then off, on a clock of 24 hours.")
        on, off = (int(match[n]) + int(match[n + 1]) / 60.0 for n in (1, 3))
        if on >= DAY_H or off > DAY_H:
            raise BadValueError(allowed, "On first, then off, on a clock of 24 hours.")
        found.append((on, off if off > on else off + DAY_H))
    if not 1 <= len(found) <= MOST_WINDOWS or sum(off - on for on, off in found) > DAY_H:
        raise BadValueError(allowed, f"Up to {MOST_WINDOWS} times a day, 24 hours together at most.")
    return tuple(sorted(found))


Clocks = Annotated[tuple[tuple[float, float], ...], BeforeValidator(_windows)]
YearDay = Annotated[tuple[int, int], BeforeValidator(_year_day)]
Name = Annotated[str, AfterValidator(seen_name)]
Month = Annotated[int, BeforeValidator(_month)]
Months = Annotated[tuple[Month, ...], BeforeValidator(ListOf(0, MONTHS, "a list of month numbers like [12, 1, 2]"))]
AirMonthly = Annotated[tuple[Annotated[float, BeforeValidator(AIR_MEAN)], ...], BeforeValidator(TwelveOf(AIR_MEAN))]
SetMonthly = Annotated[tuple[Annotated[float, BeforeValidator(SET_POINT)], ...], BeforeValidator(TwelveOf(SET_POINT))]
GroundMonthly = Annotated[tuple[Fraction, ...], BeforeValidator(TwelveOf(FRACTION))]
LampHours = Annotated[
    tuple[Annotated[float, BeforeValidator(LAMP_MONTH_HOURS)], ...], BeforeValidator(TwelveOf(LAMP_MONTH_HOURS))
]
DliMonthly = Annotated[tuple[Annotated[float, BeforeValidator(DLI_MEAN)], ...], BeforeValidator(TwelveOf(DLI_MEAN))]
LitMonthly = Annotated[tuple[Annotated[float, BeforeValidator(LIT_HOURS)], ...], BeforeValidator(TwelveOf(LIT_HOURS))]
GhiTwelve = Annotated[
    tuple[Annotated[float, BeforeValidator(GHI_MEAN)], ...],
    BeforeValidator(ListOf(MONTHS, MONTHS, "twelve numbers, January to December")),
]
DliTwelve = Annotated[
    tuple[Annotated[float, BeforeValidator(DLI_MEAN)], ...],
    BeforeValidator(ListOf(MONTHS, MONTHS, "twelve numbers, January to December")),
]
TempTwelve = Annotated[
    tuple[Annotated[float, BeforeValidator(OUTDOOR_MEAN)], ...],
    BeforeValidator(ListOf(MONTHS, MONTHS, "twelve numbers, January to December")),
]
_TWO: Final = BeforeValidator(ListOf(2, 2, "two numbers, [x, y]"))
_THREE: Final = BeforeValidator(ListOf(3, 3, "three numbers, [x, y, z]"))
PlaceXY = Annotated[tuple[Out, Out], _TWO]
SizeXY = Annotated[tuple[Size, Size], _TWO]
Thick = Annotated[float, BeforeValidator(THICKNESS)]
SizeXYZ = Annotated[tuple[Thick, Thick, Thick], _THREE]
OutXYZ = Annotated[tuple[Out, Out, Out], _THREE]
Big = Annotated[float, BeforeValidator(SIZE_OUT)]
BigXYZ = Annotated[tuple[Big, Big, Big], _THREE]
Vertices = Annotated[
    tuple[OutXYZ, ...], BeforeValidator(ListOf(3, 60, "a list of 3 to 60 corners, each [east, north, up]"))
]
Pair = Annotated[
    tuple[Azimuth, Annotated[float, BeforeValidator(HORIZON)]],
    BeforeValidator(ListOf(2, 2, "a pair, [compass azimuth, height] in degrees")),
]


class LayerTable(Section):
    """A cover laid over a bed."""

    cover: Name = Field(examples=['"fleece"'])
    months: Months | None = None
    by_day: bool = True


Layers = Annotated[
    tuple[Annotated[LayerTable, BeforeValidator(_layer)], ...],
    BeforeValidator(
        ListOf(0, 10, 'a list like ["fleece"] or [{ cover = "fleece", months = [12, 1], by_day = false }]')
    ),
]


class MeansTable(Section):
    """Twelve own monthly means."""

    ghi_mj_m2_d: GhiTwelve | None = None
    dli_mol_m2_d: DliTwelve | None = None
    temp_degc: TempTwelve | None = None


class SiteTable(Section):
    """[site]."""

    nested: ClassVar[Mapping[str, type[Section]]] = {"means": MeansTable}

    latitude_deg: Annotated[float, BeforeValidator(LATITUDE)] | None = None
    longitude_deg: Annotated[float, BeforeValidator(LONGITUDE)] | None = None
    place: Name | None = None
    elevation_m: Annotated[float, BeforeValidator(ELEVATION)] | None = None
    timezone: Name | None = None
    skyline: Annotated[
        tuple[Pair, ...], BeforeValidator(ListOf(0, 720, "a list of [compass azimuth, height] pairs"))
    ] = ()
    snow_months: Months = ()
    ground_reflectance: GroundMonthly | None = None
    climate: str = "normals"
    means: MeansTable | None = None
    last_frost: YearDay | None = None


class WeatherTable(Section):
    """[weather]: the file that the light and air outdoors come from."""

    file: str | None = None
    since: str | None = None
    trust: bool = False


class HouseTable(Section):
    """[house]."""

    nested: ClassVar[Mapping[str, type[Section]]] = {"layers": LayerTable}

    shape: Literal["gable", "lean-to", "hoop", "box", "cold-frame", "window-sill", "custom"] = Field(
        examples=['"gable"']
    )
    length_m: Span | None = None
    width_m: Span | None = None
    eaves_m: Rise | None = None
    ridge_m: Rise | None = None
    front_m: Rise | None = None
    back_m: Rise | None = None
    roof: Literal["flat"] | None = None
    length_azimuth_deg: Azimuth | None = None
    ridge_azimuth_deg: Azimuth | None = None
    cover: Name | None = None
    reflectance: Reflectance | None = None
    whole_house_transmittance: Fraction | None = None
    layers: Layers = ()


class FaceTable(Section):
    """[face.NAME]."""

    cover: Name | None = None
    reflectance: Reflectance | None = None
    u_w_m2_k: Uvalue | None = None
    wall_kg_m2: Annotated[float, BeforeValidator(WALL_MASS)] | None = None


class WindowTable(Section):
    """[[window]]."""

    on: Name = Field(examples=['"south"'])
    left_m: In | None = None
    sill_m: In | None = None
    width_m: Size = Field(examples=["1.2"])
    height_m: Size = Field(examples=["1.0"])
    cover: Name | None = None


class SurfaceTable(Section):
    """[[surface]] of a custom house."""

    name: Name | None = None
    vertices_m: Vertices = Field(examples=["[[0, 0, 0], [4, 0, 0], [4, 0, 2], [0, 0, 2]]"])
    cover: Name | None = None
    reflectance: Reflectance | None = None


class BoxTable(Section):
    """[[box]] inside the house."""

    name: Name | None = None
    at_m: OutXYZ = Field(examples=["[0.2, 0.1, 0]"])
    size_m: SizeXYZ = Field(examples=["[1.2, 0.4, 1.6]"])
    reflectance: Reflectance | None = None


class OutsideTable(Section):
    """[[outside]]: a box or one polygon."""

    name: Name | None = None
    at_m: OutXYZ | None = None
    size_m: BigXYZ | None = None
    vertices_m: Vertices | None = None
    reflectance: Reflectance | None = None


class BedTable(Section):
    """[[bed]]."""

    nested: ClassVar[Mapping[str, type[Section]]] = {"layers": LayerTable}

    name: Name | None = None
    at_m: PlaceXY = Field(examples=["[0.2, 0.2]"])
    size_m: SizeXY = Field(examples=["[2.0, 0.8]"])
    height_m: In | None = None
    canopy_m: Annotated[float, BeforeValidator(CANOPY)] | None = None
    reflectance: Reflectance | None = None
    layers: Layers = ()
    day_degc: AirMonthly | None = None
    night_degc: AirMonthly | None = None
    headroom_m: Size | None = None


class AirTable(Section):
    """[air]."""

    day_degc: AirMonthly | None = None
    night_degc: AirMonthly | None = None
    day_set_degc: SetMonthly | None = None
    night_set_degc: SetMonthly | None = None
    night_min_degc: AirMonthly | None = None
    vent_degc: Annotated[float, BeforeValidator(VENT)] | None = None
    swing_k: Annotated[float, BeforeValidator(SWING)] | None = None
    held: bool | None = Field(default=None, examples=["false"])


class LampsTable(Section):
    """[[lamps]]: what hangs over a bed, and when it burns."""

    bed: Name = Field(examples=['"front"'])
    kind: Name | None = None
    file: str | None = None
    power_w: Annotated[float, BeforeValidator(LAMP_POWER)] | None = None
    count: Annotated[int, BeforeValidator(CountOf(1, 400))] = Field(examples=["4"])
    height_m: Annotated[float, BeforeValidator(LAMP_HEIGHT)] = Field(examples=["0.4"])
    hours: LampHours | None = None
    longest_h: Annotated[float, BeforeValidator(LAMP_HOURS)] | None = None
    clock: Clocks | None = None
    ppfd_umol_m2_s: Annotated[float, BeforeValidator(LAMP_PPFD)] | None = None
    burn_from: YearDay | None = None
    burn_to: YearDay | None = None


class NurseryTable(Section):
    """[nursery]: where plants are raised before they are set out."""

    name: Name | None = None
    bed: Name | None = None
    dli_mol_m2_d: DliMonthly | None = None
    lamp_h: Annotated[float, BeforeValidator(LAMP_HOURS)] | None = None
    lamp_ppfd_umol_m2_s: Annotated[float, BeforeValidator(LAMP_PPFD)] | None = None
    lit_h: LitMonthly | None = None
    day_degc: AirMonthly | None = None
    night_degc: AirMonthly | None = None
    mat_degc: Annotated[float, BeforeValidator(MAT_HELD)] | None = None
    size_m: SizeXY | None = Field(default=None, examples=["[1.2, 0.5]"])


class CoverTable(Section):
    """[cover.NAME]: measured, by layers, or one of the catalogue with other losses."""

    like: Name | None = None
    title: Name | None = None
    normal_transmittance: Fraction | None = None
    hemispherical_transmittance: Fraction | None = None
    straight_share: Fraction | None = None
    reflectance: Fraction | None = None
    panes: Annotated[int, BeforeValidator(CountOf(1, 10))] | None = None
    refractive_index: Annotated[float, BeforeValidator(INDEX)] | None = None
    internal_transmittance: Fraction | None = None
    frame_share: Fraction | None = None
    dirt_share: Fraction | None = None
    condensation_share: Fraction | None = None
    snow_share: Fraction | None = None
    u_w_m2_k: Uvalue | None = None


class CalibrationTable(Section):
    """[calibration]: the house's own factor, fitted from readings."""

    factor: Annotated[dict[str, Annotated[float, BeforeValidator(LIGHT_FACTOR)]], BeforeValidator(_factor)] = Field(
        examples=["0.93"]
    )
    readings: Annotated[int, BeforeValidator(CountOf(1, 1_000_000))] | None = None
    date: Annotated[datetime.date, BeforeValidator(_day)] | None = None


LEARNED_FACTOR: Final = Quantity("ratio", 0.1, 10.0)


def _learned(value: object) -> object:
    """A factor and its 90 % interval, [middle, low, high]."""
    allowed = "three numbers [middle, low, high], low first of the two ends"
    if not isinstance(value, list | tuple) or len(value) != 3:
        raise BadValueError(allowed, "tenhour learn --keep writes them.")
    middle, low, high = (float(LEARNED_FACTOR(part)) for part in value)
    if not low <= middle <= high:
        raise BadValueError(allowed, "tenhour learn --keep writes them.")
    return middle, low, high


LearnedFactor = Annotated[tuple[float, float, float], BeforeValidator(_learned)]


class LearnedTable(Section):
    """[learned] and, without kept and from, [learned.crop.NAME]: growth and yield by the grower's log."""

    kept: Annotated[datetime.date, BeforeValidator(_day)] | None = None
    since: Annotated[datetime.date, BeforeValidator(_day)] | None = Field(default=None, alias="from")
    sowings: Annotated[int, BeforeValidator(CountOf(0, 100_000))] | None = None
    weighings: Annotated[int, BeforeValidator(CountOf(0, 100_000))] | None = None
    growth: LearnedFactor | None = None
    yields: LearnedFactor | None = Field(default=None, alias="yield")


PEOPLE: Final = CountOf(1, 50)
MEALS: Final = Quantity("number", 0.0, 21.0)
PORTION_G: Final = Quantity("number", 1.0, 1000.0)
SURETY: Final = Quantity("fraction", 0.5, SURETY_MOST)
HOURS_A_WEEK: Final = Quantity("number", 0.1, 80.0)
GREENS_G: Final = Quantity("number", 1.0, 2000.0)
FEEDER_COUNT: Final = CountOf(1, 500)


def _by_kind(value: object) -> object:
    """A table by kind of food; its numbers are checked one by one, so that a wrong one is told with its kind."""
    if not isinstance(value, Mapping):
        raise BadValueError("a table like { salad = 4, cooked = 2 }", "Write it in braces.")
    unknown = [kind for kind in value if kind not in WISHES]
    if unknown:
        raise BadValueError(f"kinds of food: {', '.join(WISHES)}", f"{unknown[0]} is none of them.")
    return value


def _money(value: object) -> object:
    """An amount with or without a currency, as (amount, currency)."""
    allowed = 'an amount, like 6 or "6 EUR"'
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise BadValueError(allowed, "Write a number, or text in double quotes.")
    if not isinstance(value, str) and not abs(value) <= MOST_MONEY:  # an integer may be too large for a float
        raise BadValueError(allowed, f"0 to {MOST_MONEY:.0f}, without signs.")
    found = _MONEY.fullmatch(value.strip() if isinstance(value, str) else plain_number(float(value)))
    if found is None or float(found[1].replace(",", ".")) > MOST_MONEY:
        raise BadValueError(allowed, f"0 to {MOST_MONEY:.0f}, without signs.")
    return float(found[1].replace(",", ".")), found[2].strip()


_MONEY: Final = re.compile(r"(\d{1,9}(?:[.,]\d{1,4})?)\s*([^\W\d]{0,12}|[$€£¥])")
MOST_MONEY: Final = 1e6

Money = Annotated[tuple[float, str], BeforeValidator(_money)]
Day = Annotated[datetime.date, BeforeValidator(_day)]
Names = Annotated[tuple[Name, ...], BeforeValidator(ListOf(0, 200, 'a list of names like ["spinach", "kale"]'))]


class AnimalTable(Section):
    """[[household.animal]]."""

    kind: Literal["hen", "rabbit"] = Field(examples=['"hen"'])
    count: Annotated[int, BeforeValidator(FEEDER_COUNT)] = Field(examples=["4"])
    greens_g_d: Annotated[float, BeforeValidator(GREENS_G)] | None = None


class HouseholdTable(Section):
    """[household]: who is fed, with what, and what they may spend on it."""

    nested: ClassVar[Mapping[str, type[Section]]] = {"animal": AnimalTable}

    people: Annotated[int, BeforeValidator(PEOPLE)] = Field(examples=["2"])
    start: Day | None = Field(default=None, alias="from")
    end: Day | None = Field(default=None, alias="to")
    meals: Annotated[dict[str, Annotated[float, BeforeValidator(MEALS)]], BeforeValidator(_by_kind)] | None = None
    portions_g: Annotated[dict[str, Annotated[float, BeforeValidator(PORTION_G)]], BeforeValidator(_by_kind)] | None = (
        None
    )
    likes: Names = ()
    leave_out: Names = ()
    surety: Annotated[float, BeforeValidator(SURETY)] | None = None
    work_h_week: Annotated[float, BeforeValidator(HOURS_A_WEEK)] | None = None
    work_worth: Money | None = None
    most_sowings: Annotated[int, BeforeValidator(CountOf(1, 1000))] | None = None
    may_buy: Annotated[
        tuple[Literal["lamp", "tray", "cover"], ...],
        BeforeValidator(ListOf(0, 3, 'a list like ["lamp", "tray", "cover"]')),
    ] = ()
    budget: Money | None = None
    rest_weeks: Annotated[int, BeforeValidator(CountOf(0, 52))] = 0
    price_kg: Money | None = None
    animal: Annotated[tuple[AnimalTable, ...], BeforeValidator(ListOf(0, 20, "tables [[household.animal]]"))] = ()
