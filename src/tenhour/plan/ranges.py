"""Medians and ranges over draws, in which a draw that never gets there counts as longer than any."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

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


LEAST_GAP_D: Final = 28.0
"""Draws that lie further apart than this are two harvests, not one wide one: a month. Judgement."""
LEAST_SHARE_FRAC: Final = 0.13
"""A peak holds at least this share of the draws (two of fifteen). Judgement."""


class Peak(NamedTuple):
    """A group of draws: its first and last day after sowing [d], and its share of all draws."""

    from_d: float
    to_d: float
    share_frac: float


def peaks(days: Array) -> tuple[Peak, ...]:
    """Split draws into the harvest before the dark and the one after it, where there are two.

    Parameters: days, draws [J], NaN where one never comes.
    Returns: two or more peaks in order, or none where the draws lie in one group: then the median speaks for all.
    Method: parted at every gap of more than a month with enough draws on either side (docs/method/growth.md, "Two
    peaks").
    """
    known = np.sort(days[np.isfinite(days)])
    parts = [part for part in np.split(known, np.flatnonzero(np.diff(known) > LEAST_GAP_D) + 1) if part.size]
    found = tuple(Peak(float(part[0]), float(part[-1]), part.size / days.size) for part in parts)
    large = tuple(peak for peak in found if peak.share_frac >= LEAST_SHARE_FRAC)
    return large if len(large) > 1 else ()
