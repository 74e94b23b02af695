"""A year of beds and crops: what can be sown, stands, is picked and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Final, Literal

from tenhour.model.fields import (
    HIDDEN,
    About,
    Area,
    Count,
    Days,
    Hours,
    Light,
    Prose,
    Ratio,
    Score,
    Seed,
    Share,
    Temp,
)
from tenhour.model.results import Answer, ColdNight, Verdict

LIVING: Final[frozenset[Verdict]] = frozenset({"sow", "slow", "stand-small", "cut-young", "raise"})
"""Weeks whose sowings come to something."""
SowFlag = Literal["killed", "chilled", "scorched", "risky", "bolts", "bulbs", "hot", "starves"]
"""What threatens a sowing beside slow growth: a night kills or chills it, or scorches its outer leaves; one winter in
ten kills or chills it (risky); it runs to flower or makes bulbs before it is ready; it is too warm for good quality;
the light does not keep it alive."""
SpanKind = Literal[
    "sow", "sow-for-winter", "stand-small", "wait", "harvest", "hold", "pick", "trays", "set-out", "raise"
]

TaskKind = Literal["sow", "raise", "set-out", "pick", "pays", "trays", "garden", "succession"]


@dataclass(frozen=True, slots=True)
class SeasonWeek:
    """Light and air of one week on one bed; the week begins on ``start``."""

    start: Annotated[date, About(heading="week from")]
    dli_mol_m2_d: Annotated[Light, About(heading="typical", digits=2)]
    dull_dli_mol_m2_d: Annotated[Light, About(heading="dull day", digits=2)]
    day_degc: Annotated[Temp, About(heading="day")]
    night_degc: Annotated[Temp, About(heading="night")]
    cold_night_degc: Annotated[Temp, About(heading="coldest night")]
    """Lowest night of the month round the week, median over winters; under what lies over the bed."""
    cold_night_1in10_degc: Annotated[Temp, About(heading="one winter in ten")]
    lit_h: Annotated[Hours, About(heading="lit")]


@dataclass(frozen=True, slots=True)
class SowWeek:
    """What becomes of a sowing in the week that begins on ``start``; None means never."""

    start: Annotated[date, About(heading="week from")]
    state: Annotated[Verdict, About(heading="sowing")]
    days_low: Days | None
    days_median: Days | None
    days_high: Days | None
    waiting_cost_d: Annotated[float | None, About(heading="a week's wait costs", kind="days", digits=1, shown=1)]
    """Days of harvest lost by sowing one week later; small means waiting is free."""
    stretch_score: Annotated[Score | None, About(heading="stretch")]
    flags: Annotated[tuple[SowFlag, ...], About(heading="threats")] = ()
    again_d: Annotated[int | None, About(heading="again after", kind="days")] = None
    """Days from the first cut to the second, of crops that are cut again and again."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the year in which one thing holds for a crop on a bed."""

    kind: Annotated[SpanKind, About(heading="what")]
    first: Annotated[date, About(heading="from")]
    last: Annotated[date, About(heading="to")]
    note: Annotated[Prose, About(wrap=True)] = ""


@dataclass(frozen=True)
class Route:
    """A crop raised in the nursery and set out on the bed; for trays, kept there. None means never."""

    nursery: Annotated[str, About(heading="raised on")]
    sow_by: date | None = None
    """Last sowing in the nursery that stands at harvest size when the dark begins."""
    set_out_by: date | None = None
    bed_free_d: Annotated[int | None, About(heading="bed free longer", kind="days", wide_only=True)] = None
    """Days by which the bed may be taken later than for a sowing on the spot."""
    pays_from: Annotated[date | None, About(heading="sow again from")] = None
    """First sowing in the nursery after the dark from which waiting costs half of the wait or more."""
    set_out_from: date | None = None
    days_low: Days | None = None
    days_high: Days | None = None
    """Days in the nursery, least and most in the year."""
    stretch_score: Annotated[Score | None, About(heading="stretch")] = None
    """Highest of the year, of its first three weeks there."""
    sentence: Annotated[Prose, About(heading="in words", wrap=True)] = ""
    where: Annotated[Prose, HIDDEN] = ""
    """The place as it is said: "on the sill"."""


@dataclass(frozen=True)
class MovedIn:
    """A crop raised outdoors over summer, in pots or the garden, and moved in grown before the dark."""

    sow_by: Annotated[date, About(heading="sow outdoors by")]
    """Last sowing outdoors that is grown by the move."""
    move_by: Annotated[date, About(heading="move in by")]
    """Before nights outdoors hurt its leaves in one autumn of ten, and before the bed's dark."""
    pick_to: Annotated[date, About(heading="picked to")]
    """Until a night kills it or its flower stalk rises."""
    picking_g_m2_week: Annotated[tuple[float, ...], About(heading="new leaf", kind="picking", digits=1, least=0)] = ()
    """New leaf of each week from the move; none in the first two, in which it stands still."""
    leaf_g_m2: Annotated[float, About(heading="leaf brought along", kind="fresh_area", digits=0, least=0)] = 0.0
    """Leaf that the grown stand can spare, to be picked down once over the winter."""
    plants_count: Annotated[float | None, About(heading="plants for two servings", kind="count", digits=1, least=0)] = (
        None
    )
    """Plants that give two servings a week round the darkest day, standing leaf counted."""
    sentence: Annotated[Prose, About(heading="in words", wrap=True)] = ""


@dataclass(frozen=True)
class CropSeason:
    """One crop on one bed through a year."""

    crop: Annotated[str, About(heads=True)]
    name: str
    way: Annotated[str, About(heading="way of cropping")]
    weeks: tuple[SowWeek, ...]
    spans: tuple[Span, ...]
    sow_by: date | None
    """Last sowing that stands grown when the dark begins in half of the seasons."""
    pays_from: Annotated[date | None, About(heading="pays again from")]
    hold_from: Annotated[date | None, About(heading="holds from")] = None
    hold_to: Annotated[date | None, About(heading="holds to")] = None
    picking_g_m2_week: Annotated[
        tuple[float | None, ...], About(heading="picking", kind="picking", digits=1, least=0)
    ] = ()
    """Expected picking per week from a stand set out grown before the dark; None where nothing stands."""
    plants_per_meal_count: Annotated[float | None, About(heading="plants a meal", kind="count", digits=1, least=0)] = (
        None
    )
    """Plants that give one serving a week in the leanest month of picking."""
    sentence: Annotated[Prose, About(heading="in words", wrap=True)] = ""
    short: str = ""
    """Its name as it is said in a sentence."""
    sow_from: date | None = None
    """First sowing for winter; an earlier one would be past its best when the dark begins."""
    sow_by_sure: Annotated[date | None, About(heading="surely by")] = None
    """Last sowing that stands grown before the dark in nine seasons of ten; ``sow_by`` does in half of them."""
    stands_if_by: Annotated[date | None, About(heading="stands if sown by")] = None
    """Last sowing that stands grown in the dark that is on or next, by this winter's days where a file gives them; null
    where it is still to come."""
    dearest: date | None = None
    """Week in which a week of waiting costs most harvest."""
    dearest_cost_d: Annotated[float | None, About(kind="days", digits=1)] = None
    kept_low_count: Count | None = None
    kept_high_count: Count | None = None
    """Trays to keep going for one a week, in the quickest and the slowest part of the weeks that suit."""
    seed_g_m2: Annotated[float | None, About(kind="fresh_area", digits=2, least=0)] = None
    flags: tuple[Prose, ...] = ()
    """What threatens sowings of which weeks, in words."""
    route: Route | None = None
    moved: MovedIn | None = None
    """Raised outdoors and moved in grown, of crops picked leaf by leaf; None where it is not grown in time."""
    meals_m2_week_count: Annotated[float | None, About(heading="servings", kind="count", digits=1, least=0)] = None
    """Servings from a square metre and week of bed held: of a stand for winter, else of the first sowing in spring."""
    serves: Annotated[str, About(heading="serves as")] = ""
    """Salad, cooked, herbs or roots; empty of what nobody eats."""
    wanted: Annotated[bool, HIDDEN] = True
    """Whether the screen may name it unasked."""
    coldest_degc: Annotated[Temp | None, About(heading="coldest night")] = None
    """Lowest night of its whole stay, median over winters: of the last sowing for winter, else of the first in spring,
    from coming up to the end of picking or keeping."""
    coldest_1in10_degc: Annotated[Temp | None, About(heading="one winter in ten")] = None

    @property
    def lives(self) -> bool:
        """Whether any week of the year suits the crop."""
        return bool(self.spans) or any(week.state in LIVING for week in self.weeks)


@dataclass(frozen=True)
class BedSeason:
    """One bed through a year."""

    name: Annotated[str, About(column="bed", heading="bed", heads=True)]
    area_m2: Area
    weeks: tuple[SeasonWeek, ...]
    crops: tuple[CropSeason, ...]
    full_frac: Annotated[tuple[Share, ...], About(heading="bed taken")] = ()
    """Share of the bed taken in each week by the successions planned; never above 1."""
    wished_ratio: Annotated[tuple[Ratio, ...], About(heading="wished", kind="share")] = ()
    """What the wishes would take if the bed were as large as they; above 1 they were cut down."""

    @property
    def barren(self) -> tuple[CropSeason, ...]:
        """The crops that no week of the year suits."""
        return tuple(crop for crop in self.crops if not crop.lives)


@dataclass(frozen=True)
class Chosen:
    """One crop that feeds the household, on the bed that suits it best."""

    crop: str
    bed: str


@dataclass(frozen=True)
class Task:
    """One thing to do, in the month it falls into."""

    on: Annotated[date, About(name="date", heading="when")]
    bed: str
    """Beds, joined by commas, or where plants for the garden are raised."""
    crop: str
    """Keys of crops, joined by commas."""
    text: Annotated[Prose, About(heading="what to do", wrap=True)]
    kind: TaskKind = "sow"


@dataclass(frozen=True)
class Succession:
    """One sowing of a steady supply."""

    bed: str
    crop: str
    sow: date
    harvest_from: date
    harvest_to: Annotated[date, About(heading="to")]
    area_m2: Annotated[Area, About(heading="area")]
    seed_g: Annotated[Seed | None, About(heading="seed")]
    note: Annotated[Prose, About(wrap=True)] = ""
    meals_count: Annotated[float | None, About(heading="servings", kind="count", digits=1, least=0, wide_only=True)] = (
        None
    )
    """Servings it gives."""
    plants_count: Annotated[Count | None, About(heading="plants", shown=0, wide_only=True)] = None
    share: Share = 1.0
    """Share of the wish that the bed has room for."""
    seeds_count: Annotated[Count | None, About(heading="seeds", shown=0)] = None
    """Seeds as a person counts or measures them out; None of trays and bulbs, which are weighed."""


@dataclass(frozen=True)
class SeedNeed:
    """Seed of one crop for everything planned."""

    crop: str
    name: str
    area_m2: Annotated[Area, About(heading="area")]
    seed_g: Annotated[Seed | None, About(heading="seed")]
    plants_count: Annotated[Count | None, About(heading="plants", shown=0)] = None
    seeds_count: Annotated[Count | None, About(heading="seeds", shown=0)] = None


@dataclass(frozen=True)
class GardenPlants:
    """Plants raised under glass for the outdoor garden; no dates where no place in the house can."""

    crop: str
    name: str
    place: Annotated[str, About(heading="raised on")]
    sow: date | None
    set_out: date
    days: Days | None
    stretch_score: Annotated[Score | None, About(heading="stretch")]
    sentence: Annotated[Prose, About(heading="in words", wrap=True)]


@dataclass(frozen=True)
class SeasonAnswer(Answer):
    """Answer of ``tenhour season``."""

    COMMAND = "season"

    start: date
    beds: tuple[BedSeason, ...]
    tasks: tuple[Task, ...]
    successions: tuple[Succession, ...] = ()
    before_dark: Annotated[date | None, About(inside="ten_hour")] = None
    after_dark: Annotated[date | None, About(inside="ten_hour")] = None
    last_frost: date | None = None
    """After it half of the springs still freeze; the day given, where one was."""
    last_frost_tenth: date | None = None
    """After it one spring in ten still freezes; tender plants wait for it."""
    calibration: Prose = ""
    us_units: Annotated[bool, HIDDEN] = False
    seeds: tuple[SeedNeed, ...] = ()
    garden: tuple[GardenPlants, ...] = ()
    chosen: tuple[Chosen, ...] = ()
    """The crops the screen shows, by what the household eats and then by servings."""
    grower_lines: tuple[Prose, ...] = ()
    """What every grower is told, where it applies; at most two."""
    nights: tuple[ColdNight, ...] = ()
    """Coldest nights to expect, outdoors, inside and under cover."""
