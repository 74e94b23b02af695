"""A year of beds and crops: what can be sown, stands, is picked and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from tenhour.model.results import Basis

SowState = Literal["sow", "slow", "drawn", "waste", "hot", "cold"]
"""A week of sowing: good; slow; seedlings would be drawn; no sensible harvest; too warm to come up; too cold."""
LIVING: Final[frozenset[SowState]] = frozenset({"sow", "slow", "drawn"})
"""Weeks whose sowings come to something."""
SowFlag = Literal["killed", "chilled", "bolts", "bulbs", "hot", "starves"]
"""What threatens a sowing beside slow growth: a night kills or chills it; it runs to flower or makes bulbs before it is
ready; it is too warm for good quality; the light does not keep it alive."""
SpanKind = Literal["sow", "sow-for-winter", "waste", "harvest", "hold", "pick", "trays", "set-out", "raise"]

TaskKind = Literal["sow", "raise", "set-out", "pick", "pays", "trays", "garden", "succession"]


@dataclass(frozen=True)
class SeasonWeek:
    """Light and air of one week on one bed; the week begins on ``start``."""

    start: date
    dli_mol_m2_d: float
    dull_dli_mol_m2_d: float
    day_degc: float
    night_degc: float
    lit_h: float


@dataclass(frozen=True)
class SowWeek:
    """What becomes of a sowing in the week that begins on ``start``; None means never."""

    start: date
    state: SowState
    days_low: int | None
    days_median: int | None
    days_high: int | None
    waiting_cost_d: float | None
    """Days of harvest lost by sowing one week later; small means waiting is free."""
    stretch_score: float | None
    flags: tuple[SowFlag, ...] = ()
    again_d: int | None = None
    """Days from the first cut to the second, of crops that are cut again and again."""


@dataclass(frozen=True)
class Span:
    """A stretch of the year in which one thing holds for a crop on a bed."""

    kind: SpanKind
    first: date
    last: date
    note: str = ""


@dataclass(frozen=True)
class Route:
    """A crop raised in the nursery and set out on the bed; for trays, kept there. None means never."""

    nursery: str
    sow_by: date | None = None
    """Last sowing in the nursery that stands at harvest size when the dark begins."""
    set_out_by: date | None = None
    bed_free_d: int | None = None
    """Days by which the bed may be taken later than for a sowing on the spot."""
    pays_from: date | None = None
    """First sowing in the nursery after the dark from which waiting costs half of the wait or more."""
    set_out_from: date | None = None
    days_low: int | None = None
    days_high: int | None = None
    """Days in the nursery, least and most in the year."""
    stretch_score: float | None = None
    """Highest of the year, of its first three weeks there."""
    sentence: str = ""
    where: str = ""
    """The place as it is said: "on the sill"."""


@dataclass(frozen=True)
class CropSeason:
    """One crop on one bed through a year."""

    crop: str
    name: str
    way: str
    weeks: tuple[SowWeek, ...]
    spans: tuple[Span, ...]
    sow_by: date | None
    pays_from: date | None
    hold_from: date | None = None
    hold_to: date | None = None
    picking_g_m2_week: tuple[float | None, ...] = ()
    """Expected picking per week from a stand set out grown before the dark; None where nothing stands."""
    plants_per_meal_count: float | None = None
    """Plants that give one serving a week in the leanest month of picking."""
    sentence: str = ""
    short: str = ""
    """Its name as it is said in a sentence."""
    sow_from: date | None = None
    """First sowing for winter; an earlier one would be past its best when the dark begins."""
    sow_by_sure: date | None = None
    """Last sowing that stands grown before the dark in nine seasons of ten; ``sow_by`` does in half of them."""
    dearest: date | None = None
    """Week in which a week of waiting costs most harvest."""
    dearest_cost_d: float | None = None
    kept_low_count: int | None = None
    kept_high_count: int | None = None
    """Trays to keep going for one a week, in the quickest and the slowest part of the weeks that suit."""
    seed_g_m2: float | None = None
    flags: tuple[str, ...] = ()
    """What threatens sowings of which weeks, in words."""
    route: Route | None = None

    @property
    def lives(self) -> bool:
        """Whether any week of the year suits the crop."""
        return bool(self.spans) or any(week.state in LIVING for week in self.weeks)


@dataclass(frozen=True)
class BedSeason:
    """One bed through a year."""

    name: str
    area_m2: float
    weeks: tuple[SeasonWeek, ...]
    crops: tuple[CropSeason, ...]
    full_frac: tuple[float, ...] = ()
    """Share of the bed taken in each week by the successions planned; never above 1."""
    wished_ratio: tuple[float, ...] = ()
    """What the wishes would take if the bed were as large as they; above 1 they were cut down."""

    @property
    def barren(self) -> tuple[CropSeason, ...]:
        """The crops that no week of the year suits."""
        return tuple(crop for crop in self.crops if not crop.lives)


@dataclass(frozen=True)
class Task:
    """One thing to do, in the month it falls into."""

    on: date
    bed: str
    """Beds, joined by commas, or where plants for the garden are raised."""
    crop: str
    """Keys of crops, joined by commas."""
    text: str
    kind: TaskKind = "sow"


@dataclass(frozen=True)
class Succession:
    """One sowing of a steady supply."""

    bed: str
    crop: str
    sow: date
    harvest_from: date
    harvest_to: date
    area_m2: float
    seed_g: float | None
    note: str = ""
    meals_count: float | None = None
    """Servings it gives."""
    plants_count: int | None = None
    share: float = 1.0
    """Share of the wish that the bed has room for."""


@dataclass(frozen=True)
class SeedNeed:
    """Seed of one crop for everything planned."""

    crop: str
    name: str
    area_m2: float
    seed_g: float | None
    plants_count: int | None = None


@dataclass(frozen=True)
class GardenPlants:
    """Plants raised under glass for the outdoor garden; no dates where no place in the house can."""

    crop: str
    name: str
    place: str
    sow: date | None
    set_out: date
    days: int | None
    stretch_score: float | None
    sentence: str


@dataclass(frozen=True)
class SeasonAnswer:
    """Answer of ``tenhour season``."""

    basis: Basis
    start: date
    beds: tuple[BedSeason, ...]
    tasks: tuple[Task, ...]
    successions: tuple[Succession, ...] = ()
    before_dark: date | None = None
    after_dark: date | None = None
    last_frost: date | None = None
    calibration: str = ""
    us_units: bool = False
    seeds: tuple[SeedNeed, ...] = ()
    garden: tuple[GardenPlants, ...] = ()
