"""This winter so far, against the usual one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from tenhour.model.fields import About, Count, Energy, HeatEnergy, Light, Month, Prose, Ratio, TempDifference

LongHours = Annotated[float, About(kind="plain", digits=0, least=0)]


@dataclass(frozen=True)
class SoFarMonth:
    """Known days of one month: their mean outdoor light, and that of the same days in a usual year."""

    year: int
    month: Month
    days_count: Count
    dli_mol_m2_d: Light
    usual_dli_mol_m2_d: Light


@dataclass(frozen=True)
class LampsSoFar:
    """What the lamps over one bed have burnt this winter, up to yesterday, by their clock."""

    bed: str
    hours_h: LongHours
    energy_kwh: Energy
    ahead_h: LongHours
    """Hours of a year that are still to come."""


@dataclass(frozen=True)
class UsedSoFar:
    """Lamps and heat of this winter, up to yesterday."""

    first: Annotated[date, About(name="from")]
    lamps: tuple[LampsSoFar, ...]
    heat_kwh: HeatEnergy | None
    """To hold what the house file asks for, by the days as they were; null without air in the file or without heat."""
    usual_heat_kwh: HeatEnergy | None
    sentences: tuple[Prose, ...] = ()


@dataclass(frozen=True)
class SoFar:
    """Days of this winter that are known, up to yesterday."""

    first: Annotated[date, About(name="from")]
    last: Annotated[date, About(name="to")]
    days_count: Count
    light_ratio: Ratio
    """Outdoor light of the known days over the usual of the same days."""
    warmer_k: TempDifference | None
    """Mean air outdoors less the usual; null where the file has no air."""
    missing: tuple[date, ...]
    months: tuple[SoFarMonth, ...]
    effects: tuple[Prose, ...] = ()
    """What it does to sowings that stand by the log."""
    used: Annotated[UsedSoFar | None, About(optional=True)] = None
    """Where an answer speaks of lamps or heat."""
    sentence: Prose = ""
