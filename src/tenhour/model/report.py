"""Everything the page shows, gathered once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tenhour.model.crop import Source
from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.results import Basis, BedMap, LightAnswer, SowAnswer
from tenhour.model.season import SeasonAnswer
from tenhour.model.sunpaths import SunPaths
from tenhour.model.week import WeekLamps


@dataclass(frozen=True)
class PlanBed:
    """One bed in the plan of the house: its south-west corner, its size, and its light by the months of the maps."""

    name: str
    at_m: tuple[float, float]
    size_m: tuple[float, float]
    dli_mol_m2_d: tuple[float, ...]


@dataclass(frozen=True)
class HousePlan:
    """The house seen from above, x along its length and y to its back."""

    length_m: float
    width_m: float
    months: tuple[str, ...]
    """Of the light on the beds, the darkest first."""
    beds: tuple[PlanBed, ...]


@dataclass(frozen=True)
class ReportAnswer:
    """Answer of ``tenhour report``."""

    basis: Basis
    house: str
    on: date
    light: LightAnswer
    maps: tuple[BedMap, ...]
    """Several months of each bed, beds in the order of the house."""
    sow: SowAnswer
    season: SeasonAnswer
    sun: SunPaths
    lamps: tuple[LampAnswer, ...] = ()
    """Plans of the beds that lamps are planned for."""
    sources: tuple[Source, ...] = ()
    marks: tuple[tuple[str, int], ...] = ()
    """How many crop numbers were read in a source, judged, and so on."""
    us_units: bool = False
    plan: HousePlan | None = None
    """All beds in one drawing; None where there is nothing to draw."""
    heat: HeatAnswer | None = None
    """Warmth of the whole house; None where nobody asked for it."""
    hung: tuple[WeekLamps, ...] = ()
    """When the lamps of the house file burn on the day."""
