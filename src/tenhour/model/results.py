"""Answers: plain frozen data that the commands print, chart and write as JSON."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar, Final, Literal, get_args

from tenhour.model.fields import (
    HIDDEN,
    About,
    Angle,
    Clock,
    Days,
    Hours,
    Irradiance,
    Length,
    Light,
    Month,
    Prose,
    Ratio,
    Score,
    Share,
    Temp,
)
from tenhour.model.sofar import SoFar

Verdict = Literal[
    "not-here", "too-hot", "raise", "too-cold", "stand-small", "set-out-grown", "cut-young", "needs-lamps", "wait",
    "slow", "sow",
]  # fmt: skip
VERDICTS: Final[tuple[Verdict, ...]] = get_args(Verdict)
"""All verdicts of a sowing, in the order in which they apply: the first that does is the one given."""

Frost = Literal["safe", "outer leaves scorch", "chilled", "dies"]
Kept = Literal["keeps", "needs-lamps", "too-cold", "too-hot"]
"""What becomes of a plant that is only to survive there, cut back, until light and warmth are back."""
"""What cold nights do to a crop; ``chilled`` is said of warm crops, which are harmed long before they freeze."""


@dataclass(frozen=True)
class Basis:
    """What every answer states beside itself."""

    inputs: dict[str, object]
    assumptions: tuple[Prose, ...] = ()
    warnings: tuple[Prose, ...] = ()
    cautions: tuple[Prose, ...] = ()
    so_far: Annotated[SoFar | None, About(optional=True)] = None
    """This winter so far, where the house file names a file of its days."""


@dataclass(frozen=True)
class Answer:
    """What every answer is: the command that gives it, and what it rests on."""

    COMMAND: ClassVar[str]

    basis: Annotated[Basis, About(merged=True)]


@dataclass(frozen=True)
class ColdNight:
    """The coldest night to expect of a winter at one place, beside an ordinary one."""

    place: Annotated[str, About(heading="where")]
    """Outdoors, inside, or a bed with covers of its own."""
    mean_degc: Annotated[Temp, About(heading="mean night")]
    """Mean of the dark hours of the coldest month; outdoors of all its hours."""
    lowest_degc: Annotated[Temp, About(heading="coldest")]
    """Median of the winters' lowest."""
    lowest_1in10_degc: Annotated[Temp, About(heading="one winter in ten")]
    layers: Annotated[Prose, About(wrap=True)] = ""
    """What lies over the bed, and when."""


@dataclass(frozen=True)
class OutdoorMonth:
    """Outdoor light of one month, horizontal and unobstructed; day lengths and noon height are for the 15th."""

    month: Month
    daylength_h: Annotated[Hours, About(heading="day h", digits=3)]
    """Sunrise to sunset, upper limb with refraction."""
    photoperiod_h: Annotated[Hours, About(heading="twilit h", digits=3, wide_only=True)]
    """Civil twilight included; only for bolting, bulbing and flowering."""
    noon_height_deg: Annotated[Angle, About(heading="noon")]
    dli_mol_m2_d: Annotated[Light, About(heading="typical", inside="outdoor")]
    """Mean over all days."""
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull day", inside="outdoor")]
    """One day in five is duller."""
    bright_dli_mol_m2_d: Annotated[Light, About(heading="bright day", inside="outdoor")]
    """One day in five is brighter."""
    gloomy_week_dli_mol_m2_d: Annotated[Light, About(heading="gloomy week", inside="outdoor")]
    """Darkest seven-day mean that comes in one year of five."""
    spread_frac: Annotated[Share, About(heading="error ±", inside="outdoor")]
    """Error of the normal itself (mean absolute error over places), not the spread from day to day."""
    spread_p90_frac: Annotated[Share, About(heading="1 in 10 ±", inside="outdoor")]
    ghi_w_m2: Annotated[Irradiance, About(heading="sun", inside="outdoor", wide_only=True)]
    temp_degc: Annotated[Temp, About(heading="air", inside="outdoor")]


@dataclass(frozen=True)
class BedMonth:
    """Light on one bed in one month: mean over the bed, and its dimmest and brightest point."""

    month: Month
    dli_mol_m2_d: Annotated[Light, About(heading="typical")]
    """Mean over all days and over the bed."""
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull day")]
    """One day in five is duller."""
    bright_dli_mol_m2_d: Annotated[Light, About(heading="bright day")]
    """One day in five is brighter."""
    gloomy_week_dli_mol_m2_d: Annotated[Light, About(heading="gloomy week")]
    """Darkest seven-day mean that comes in one year of five."""
    min_dli_mol_m2_d: Annotated[Light, About(heading="dimmest")]
    max_dli_mol_m2_d: Annotated[Light, About(heading="brightest")]
    ratio: Annotated[Ratio, About(heading="of outdoors", kind="share", digits=4)]
    """The month's sum on the bed over that outdoors."""
    beam_frac: Annotated[Share, About(heading="sun", digits=4, wide_only=True)]
    sky_frac: Annotated[Share, About(heading="sky", digits=4, wide_only=True)]
    bounced_frac: Annotated[Share, About(heading="bounced", digits=4, wide_only=True)]
    lamps_dli_mol_m2_d: Annotated[Light | None, About(heading="lamps", optional=True)] = None
    """What lamps of the house add; the other numbers are daylight."""


@dataclass(frozen=True)
class BedLight:
    """One bed's light through the year."""

    name: Annotated[str, About(column="bed", heading="bed", heads=True)]
    overcast_ratio: Annotated[Ratio, About(digits=4)]
    """Bed over outdoors under an overcast sky."""
    months: Annotated[tuple[BedMonth, ...], About(size=12)]


@dataclass(frozen=True)
class BedMap:
    """Light over the grid of one bed; rows run from the front of the bed to its back."""

    bed: str
    when: Prose
    x_m: Annotated[tuple[Length, ...], About(heading="along")]
    y_m: Annotated[tuple[Length, ...], About(heading="from the front")]
    dli_mol_m2_d: Annotated[tuple[tuple[Light, ...], ...], About(heading="light", nan=True)]
    """Rows from the front of the bed to its back."""


@dataclass(frozen=True)
class Gain:
    """One cheap change and what it adds on each bed over the dark months."""

    change: Annotated[Prose, About(wrap=True)]
    bed: str
    gain_dli_mol_m2_d: Annotated[float, About(heading="gain", kind="dli", digits=3, shown=2)]
    gain_frac: Annotated[float, About(heading="gain", kind="share", digits=3)]
    note: Annotated[Prose, About(wrap=True)] = ""


@dataclass(frozen=True)
class BedDay:
    """Light of one date on one bed."""

    name: Annotated[str, About(column="place", heading="place", heads=True)]
    dli_mol_m2_d: Annotated[Light, About(heading="typical")]
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull day")]


@dataclass(frozen=True)
class DayLight:
    """Light of one date."""

    on: Annotated[date, About(name="date", heading="day")]
    daylength_h: Annotated[Hours, About(digits=3)]
    photoperiod_h: Annotated[Hours, About(digits=3)]
    noon_height_deg: Angle
    outdoor_dli_mol_m2_d: Annotated[Light, About(name="dli_mol_m2_d", heading="typical", inside="outdoor")]
    outdoor_dull_dli_mol_m2_d: Annotated[Light, About(name="dull_dli_mol_m2_d", heading="dull day", inside="outdoor")]
    beds_dli_mol_m2_d: Annotated[dict[str, float], HIDDEN]
    beds_dull_dli_mol_m2_d: Annotated[dict[str, float], HIDDEN]
    dawn: Annotated[Clock | None, About(inside="clock")] = None
    sunrise: Annotated[Clock | None, About(inside="clock")] = None
    noon: Annotated[Clock | None, About(inside="clock")] = None
    sunset: Annotated[Clock | None, About(inside="clock")] = None
    dusk: Annotated[Clock | None, About(inside="clock")] = None
    """On the clock of the place; none where the sun does not get so high or so low. Dawn and dusk are civil."""

    @property
    def beds(self) -> Annotated[tuple[BedDay, ...], About()]:
        """The light on each bed."""
        return tuple(
            BedDay(name, value, self.beds_dull_dli_mol_m2_d[name]) for name, value in self.beds_dli_mol_m2_d.items()
        )


@dataclass(frozen=True)
class LightAnswer(Answer):
    """Answer of ``tenhour light``."""

    COMMAND = "light"

    latitude_deg: Annotated[float, About(inside="site", least=-90, most=90)]
    longitude_deg: Annotated[float, About(inside="site", least=-180, most=180)]
    elevation_m: Annotated[float, About(inside="site")]
    place: Annotated[str, About(inside="site")]
    before_dark: Annotated[date | None, About(inside="ten_hour")]
    """Last date with ten hours between sunrise and sunset before the darkest day."""
    after_dark: Annotated[date | None, About(inside="ten_hour")]
    """First such date after it."""
    months: Annotated[tuple[OutdoorMonth, ...], About(size=12)]
    beds: tuple[BedLight, ...]
    source: str
    """Where the outdoor light comes from, in words."""
    calibration: Prose = ""
    nights: tuple[ColdNight, ...] = ()
    """Coldest nights to expect outdoors; inside and under cover where the year of the house is known already."""
    day: Annotated[DayLight | None, About(optional=True)] = None
    map: Annotated[BedMap | None, About(optional=True)] = None
    gains: Annotated[tuple[Gain, ...], About(name="brighter", optional=True)] = ()
    us_units: Annotated[bool, HIDDEN] = False


@dataclass(frozen=True)
class Raising:
    """What raising in the nursery and setting out would do for a sowing; None means never."""

    nursery: str
    set_out: date
    harvest_from: date | None
    harvest_to: date | None
    sooner_d: Annotated[int | None, About(heading="raised, sooner by", kind="days")]
    """Days by which the median harvest comes sooner than from a sowing on the bed; None where that never comes in."""
    stretch_score: Score | None
    sentence: Prose = ""
    where: Annotated[Prose, HIDDEN] = ""
    """The place as it is said."""
    stays: Annotated[bool, HIDDEN] = False
    """Whether a tray stays there to the end: forced in the dark, or the bed is too cold to green it up."""


@dataclass(frozen=True)
class HarvestPeak:
    """One of two separate times at which a sowing may come in, and in what share of the seasons it does."""

    first: Annotated[date, About(name="from")]
    last: Annotated[date, About(name="to")]
    share_frac: Annotated[Share, About(heading="seasons")]


@dataclass(frozen=True)
class CropVerdict:
    """What to do with one crop on one bed at one date; None means never or not applicable."""

    crop: Annotated[str, About(heads=True)]
    name: str
    verdict: Verdict
    sentence: Annotated[Prose, About(heading="what to do", wrap=True)]
    harvest_from: date | None = None
    harvest_to: date | None = None
    days_low: Days | None = None
    days_median: Days | None = None
    days_high: Days | None = None
    dli_mol_m2_d: Annotated[Light | None, About(heading="light", digits=2)] = None
    """Mean from sowing to the median harvest."""
    needs_dli_mol_m2_d: Annotated[Light | None, About(heading="needs", digits=2)] = None
    missing_dli_mol_m2_d: Annotated[Light | None, About(heading="missing", digits=2)] = None
    """What is needed less the mean of the first 28 days from emergence, not below 0."""
    stretch_score: Annotated[Score | None, About(heading="stretch")] = None
    pays_from: date | None = None
    """First sowing day after the darkest that is worth it, and stays so for four weeks."""
    sow_by: date | None = None
    """Last sowing before the dark that stands at harvest size when the dark begins."""
    yield_kg_m2: Annotated[float | None, About(heading="yield", kind="yield", digits=2, least=0)] = None
    yield_g_m2_d: Annotated[float | None, About(heading="yield a day", kind="yield_day", digits=1, least=0)] = None
    """Yield per day of bed held, the figure crops are ranked by."""
    flags: Annotated[tuple[Prose, ...], About(wrap=True)] = ()
    rank_score: Annotated[float, HIDDEN] = 0.0
    raising: Raising | None = None
    """Raising it elsewhere first, where that gains a week or more."""
    young_from: date | None = None
    young_to: date | None = None
    """The same range for young leaf, of crops that can be cut young."""
    peaks: tuple[HarvestPeak, ...] = ()
    """Two separate times at which it may come in, before the dark and in spring; then there is no median."""
    set_out: date | None = None
    """When plants raised elsewhere from a sowing on this day are set out; with the verdict ``raise``."""
    next_from: date | None = None
    """Day from which its sentence says to sow: where waiting is better, or where it is too cold or too warm today."""
    meals_m2_week_count: Annotated[float | None, About(heading="servings", kind="count", digits=1, least=0)] = None
    """Servings from a square metre and week of bed held, by which the short answer is ranked."""
    moved_in: Annotated[Prose, About(wrap=True)] = ""
    """Of crops picked leaf by leaf: when to sow them outdoors and move them in grown; of fruiting crops that hang full
    when they are moved in: what becomes of them."""
    kept: Annotated[Kept | None, About(heading="kept")] = None
    """Of plants that outlive a winter at rest: whether they would here."""
    kept_dli_mol_m2_d: Annotated[Light | None, About(heading="light to keep it", digits=2)] = None
    """Light that keeps it at the warmth of the bed; less than it needs to grow."""
    keeps_to: Annotated[date | None, About(heading="good to")] = None
    """Last day on which the crop, ready in the middle season, still stands good: neither past its best, nor frozen, nor
    in flower; None where it is picked leaf by leaf or nobody gives that."""
    frost: Annotated[Frost | None, About(heading="cold nights")] = None
    """What the coldest night of its whole stay does in the middle winter; None where nothing is dated."""
    frost_tenth: Annotated[Frost | None, About(heading="one winter in ten")] = None
    """The same in one winter in ten."""
    coldest_degc: Annotated[Temp | None, About(heading="coldest night")] = None
    coldest_tenth_degc: Annotated[Temp | None, About(heading="one winter in ten")] = None
    """Lowest night of its whole stay, in the middle winter and in one in ten."""
    wanted: Annotated[bool, HIDDEN] = True
    """Whether the short answer may name it: food that nobody had to ask for, or what the household asked for."""
    way: Annotated[str, About(heading="way of cropping")] = ""
    serves: Annotated[str, About(heading="serves as")] = ""
    """Salad, cooked, herbs or roots; empty of what nobody eats."""
    flowers_from: date | None = None
    """It may run to flower from about this day."""
    lies_cold: Annotated[bool, HIDDEN] = False
    """Whether its seed lies too cold to come up in good time."""
    winter_meals_m2_week_count: Annotated[float, HIDDEN] = 0.0
    """Servings of the last sowing for winter, by which the diary is ranked: the same whatever day is asked for."""


@dataclass(frozen=True)
class BedSowing:
    """All crops on one bed, best first."""

    name: Annotated[str, About(column="bed", heading="bed", heads=True)]
    crops: tuple[CropVerdict, ...]
    standing: tuple[Prose, ...] = ()
    """What the log says stands there."""
    dli_mol_m2_d: Annotated[Light | None, About(heading="light")] = None
    """Typical light of the day asked for."""
    cold_night_degc: Annotated[Temp | None, About(heading="coldest night")] = None
    """Coldest ordinary night of the four weeks from the day asked for."""
    cold_night_1in10_degc: Annotated[Temp | None, About(heading="one winter in ten")] = None
    """The same in one winter in ten."""
    layers: Prose = ""
    """What lies over it of its own, and when."""
    night_degc: Annotated[Temp | None, About(heading="night")] = None
    """Mean of the dark hours of the day asked for."""
    night_ahead_degc: Annotated[Temp | None, HIDDEN] = None
    """The same four weeks later."""
    soil_degc: Annotated[Temp | None, About(heading="soil")] = None
    """Soil at 5 cm on the day asked for, of trays on a mat in their middle: seed comes up and roots grow by it."""
    matted: Annotated[bool, HIDDEN] = False
    """Whether a mat warms it on that day."""


@dataclass(frozen=True)
class SowNow:
    """One of the few things to sow on the day asked for, on the bed that suits it best."""

    crop: str
    bed: str
    verdict: Verdict
    way: Annotated[str, About(heading="way of cropping")]
    text: Annotated[Prose, About(heading="what to do", wrap=True)]
    where: Prose = ""
    """Where it is raised before it is set out on the bed, as it is said; empty where it is sown there."""
    set_out: date | None = None
    ready_from: date | None = None
    ready_to: date | None = None
    """Ready between these days in eight seasons of ten."""
    meals_m2_week_count: Annotated[float | None, About(heading="servings", kind="count", digits=1, least=0)] = None
    """Servings from a square metre and week of bed held."""


@dataclass(frozen=True)
class SowDay:
    """A later day and a crop to sow from it, or by it."""

    on: Annotated[date, About(name="date")]
    crop: str
    bed: str
    """Beds, joined by commas."""


@dataclass(frozen=True)
class SowAnswer(Answer):
    """Answer of ``tenhour sow``."""

    COMMAND = "sow"

    on: Annotated[date, About(name="date")]
    beds: tuple[BedSowing, ...]
    before_dark: Annotated[date | None, About(inside="ten_hour")] = None
    after_dark: Annotated[date | None, About(inside="ten_hour")] = None
    calibration: Prose = ""
    us_units: Annotated[bool, HIDDEN] = False
    place: Annotated[str, HIDDEN] = ""
    where: Annotated[str, HIDDEN] = ""
    """Where seedlings are raised, as it is said; empty without a nursery."""
    darkest: Annotated[date | None, HIDDEN] = None
    """The next darkest day."""
    missed: Annotated[bool, HIDDEN] = False
    """Whether the days of the diary are too late for the winter ahead: its darkest day comes first."""
    now: tuple[SowNow, ...] = ()
    """The best few for the day asked for, most servings first."""
    later: tuple[SowDay, ...] = ()
    """Crops to wait for, by the first day worth it."""
    diary: tuple[SowDay, ...] = ()
    """Sowings that feed a winter and are too late for this one, by the day by which they must be made."""
    grower_lines: tuple[Prose, ...] = ()
    """What every grower is told, where it applies; at most two."""
