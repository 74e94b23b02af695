"""Medians and ranges over draws, in which a draw that never gets there counts as longer than any."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def sorted_draws(days: Array) -> Array:
    """Draws in order along the last axis, a NaN (never) as infinite."""
    return np.asarray(np.sort(np.where(np.isnan(days), np.inf, days), axis=-1))


def at_share(ordered: Array, share: float) -> Array:
    """Value at a share of sorted draws (last axis), between neighbours by straight line; NaN where one never comes."""
    position = share * (ordered.shape[-1] - 1)
    low, high = ordered[..., math.floor(position)], ordered[..., math.ceil(position)]
    known = np.isfinite(high)
    begin = np.where(known, low, 0.0)
    return np.asarray(np.where(known, begin + (np.where(known, high, 0.0) - begin) * (position % 1.0), np.nan))


def median_days(days: Array) -> Array:
    """Median over draws (last axis); NaN if most of them never get there."""
    return at_share(sorted_draws(days), 0.5)


def percentile_days(days: Array, percent: int) -> int | None:
    """Whole days at a percentile of draws [J], None where that many never get there."""
    found = float(at_share(sorted_draws(days), percent / 100))
    return round(found) if math.isfinite(found) else None
