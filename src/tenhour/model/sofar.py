"""This winter so far, against the usual one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from tenhour.model.fields import About, Count, Light, Month, Prose, Ratio, TempDifference


@dataclass(frozen=True)
class SoFarMonth:
    """Known days of one month: their mean outdoor light, and that of the same days in a usual year."""

    year: int
    month: Month
    days_count: Count
    dli_mol_m2_d: Light
    usual_dli_mol_m2_d: Light


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
    sentence: Prose = ""
