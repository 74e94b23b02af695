"""Everything the page shows, gathered once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tenhour.model.results import Basis, BedMap, LightAnswer, SowAnswer
from tenhour.model.season import SeasonAnswer
from tenhour.model.sunpaths import SunPaths


@dataclass(frozen=True)
class Source:
    """Where a number comes from: what it is for, and the work it was taken from."""

    about: str
    text: str


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
    sources: tuple[Source, ...] = ()
    us_units: bool = False
