"""A year of beds and crops: what can be sown, stands, is picked and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from tenhour.model.results import Basis

SowState = Literal["sow", "slow", "drawn", "waste", "cold"]
"""A week of sowing: good; slow; seedlings would be drawn; no sensible harvest; too cold."""
SpanKind = Literal["sow", "sow-for-winter", "waste", "harvest", "hold", "pick", "trays", "set-out", "raise"]


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


@dataclass(frozen=True)
class Span:
    """A stretch of the year in which one thing holds for a crop on a bed."""

    kind: SpanKind
    first: date
    last: date
    note: str = ""


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
    sentence: str = ""


@dataclass(frozen=True)
class BedSeason:
    """One bed through a year."""

    name: str
    area_m2: float
    weeks: tuple[SeasonWeek, ...]
    crops: tuple[CropSeason, ...]
    full_frac: tuple[float, ...] = ()
    """Share of the bed taken in each week by the successions planned."""


@dataclass(frozen=True)
class Task:
    """One thing to do, in the month it falls into."""

    on: date
    bed: str
    crop: str
    text: str


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
