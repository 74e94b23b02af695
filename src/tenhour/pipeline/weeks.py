"""One crop on one bed by week of sowing."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.pipeline import growing
from tenhour.pipeline.sow import Table
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS
from tenhour.plan.sowing import chilled_days

Array = NDArray[np.float64]

WEEKS: Final = 52


def week_facts(table: Table, crop: int, bed: int) -> plan.WeekFacts:
    """One crop on one bed by week of sowing."""
    days = table.year.harvest_d[crop, bed, :WEEKS]
    ordered = np.sort(np.where(np.isnan(days), np.inf, days), axis=-1)
    low, high = (at(ordered, q) for q in (0.1, 0.9))
    chosen = table.crops[crop]
    limit = np.fmax(chosen.climate.kill_degc.value, growing.value_of(chosen.climate.chill_degc))
    cold = chilled_days(table.world.air.cold_night_degc[bed], float(limit))
    week_day = (table.day + 7 * np.arange(WEEKS)) % DAYS
    return plan.WeekFacts(
        days_low=low,
        days=table.days[crop, bed, :WEEKS],
        days_high=high,
        emergence_d=table.year.emergence_d[crop, bed, :WEEKS],
        stretch_score=np.nan_to_num(table.year.stretch_score[crop, bed, :WEEKS], nan=0.0),
        cold=cold[week_day],
    )


def at(ordered: Array, share: float) -> Array:
    """Value at a share of sorted draws (last axis), between neighbours by straight line; NaN where one never comes."""
    position = share * (ordered.shape[-1] - 1)
    low, high = ordered[..., math.floor(position)], ordered[..., math.ceil(position)]
    known = np.isfinite(high)
    safe = np.where(known, high, 0.0) - np.where(known, low, 0.0)
    return np.asarray(np.where(known, np.where(known, low, 0.0) + safe * (position % 1.0), np.nan))


def whole(value: float) -> int | None:
    """Whole days, or None where never."""
    return round(float(value)) if np.isfinite(value) else None


def number(value: float) -> float | None:
    """A plain number, or None where unknown."""
    return float(value) if np.isfinite(value) else None
