"""Medians and ranges over draws, in which a draw that never gets there counts as longer than any."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.plan.dates import DAYS

Array = NDArray[np.float64]

LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
"""A range of dates runs from the first to the last tenth of the draws: by definition of the answers."""
NEARER: Final = 0.5
EVERY_DAY: Final[NDArray[np.intp]] = np.arange(DAYS)
CLIFF_D: Final = 45.0
"""Dates of harvest further apart than this, of sowings two weeks apart, have nothing between them: judgement."""


def sorted_draws(days: Array) -> Array:
    """Draws in order along the last axis, a NaN (never) as infinite."""
    return np.asarray(np.sort(np.where(np.isnan(days), np.inf, days), axis=-1))


def at_share(ordered: Array, share: float) -> Array:
    """Value at a share of sorted draws (last axis), between neighbours by straight line; NaN where one never comes.

    Parameters: ordered [..., J], as of :func:`sorted_draws`; share, 0-1. Each draw stands for the middle of its part
    of all seasons (Hazen 1914, from memory), as the stratified draws are made.
    """
    position = min(max(share * ordered.shape[-1] - 0.5, 0.0), ordered.shape[-1] - 1.0)
    low, high = ordered[..., math.floor(position)], ordered[..., math.ceil(position)]
    known = np.isfinite(high)
    begin = np.where(known, low, 0.0)
    return np.asarray(np.where(known, begin + (np.where(known, high, 0.0) - begin) * (position % 1.0), np.nan))


def median_days(days: Array) -> Array:
    """Median over draws (last axis); NaN if most of them never get there."""
    return at_share(sorted_draws(days), MIDDLE)


def between_sowings(
    days: Array, sown_doy: NDArray[np.intp], cliff_d: float = CLIFF_D, at_doy: NDArray[np.intp] = EVERY_DAY
) -> Array:
    """Days to harvest by day of sowing round the year, from sowings on some days of it.

    Parameters: days [..., S, J], NaN where never; sown_doy [S], rising, days of the generic year; cliff_d [d]; at_doy
    [D], days of sowing asked for.
    Returns: [..., D, J].
    Method: draw by draw, dates of harvest straight between neighbouring sowings. Where the later one comes in more
    than cliff_d after the earlier, or one never does, there is no date between: the one before the dark and the one
    in spring are both possible, and the nearer sowing counts, with no steeper a line than to one cliff_d off. So a
    sowing never comes in sooner for a neighbour that comes in later.
    """
    flat = days.reshape(-1, *days.shape[-2:])
    out = np.empty((len(flat), len(at_doy), days.shape[-1]))
    for first in range(0, len(flat), BLOCK_ROWS):
        rows = slice(first, first + BLOCK_ROWS)
        out[rows] = _between(flat[rows], sown_doy, cliff_d, at_doy)
    return out.reshape(*days.shape[:-2], *out.shape[1:])


BLOCK_ROWS: Final = 16
"""Rows joined at a time, so that the arrays stay in the processor's cache."""


def _between(days: Array, sown_doy: NDArray[np.intp], cliff_d: float, step: NDArray[np.intp]) -> Array:
    left = np.searchsorted(sown_doy, step, side="right") - 1
    right = (left + 1) % len(sown_doy)
    before = (step - sown_doy[left]) % DAYS
    after = (sown_doy[right] - step) % DAYS
    share = np.minimum(before, after) / (before + after)
    first = before / (before + after) <= NEARER
    # dates, counted from the day of sowing that is asked for; a neighbour that never comes in lies beyond any
    found = days[..., np.where(first, left, right), :] + np.where(first, -before, after)[:, None]
    off = np.where(np.isnan(days), np.inf, days)[..., np.where(first, right, left), :]
    off += np.where(first, after, -before)[:, None]
    off -= found
    np.clip(off, -cliff_d, cliff_d, out=off)
    off *= share[:, None]
    found += off
    return np.asarray(found)


def straight(values: Array, sown_doy: NDArray[np.intp]) -> Array:
    """Values of sowings on some days [..., S] by day of the year [..., 365], straight between neighbours.

    Parameters: values, NaN where unknown; sown_doy [S], rising. Where one neighbour is unknown the nearer counts.
    """
    step = np.arange(DAYS)
    left = np.searchsorted(sown_doy, step, side="right") - 1
    right = (left + 1) % len(sown_doy)
    before, after = (step - sown_doy[left]) % DAYS, (sown_doy[right] - step) % DAYS
    share = before / (before + after)
    early, late = values[..., left], values[..., right]
    known = np.isfinite(early) & np.isfinite(late)
    mixed = np.where(known, early, 0.0) * (1.0 - share) + np.where(known, late, 0.0) * share
    return np.asarray(np.where(known, mixed, np.where(share <= NEARER, early, late)))


LEAST_GAP_D: Final = 28.0
"""Draws that lie further apart than this are two harvests, not one wide one: a month. Judgement."""
LEAST_SHARE_FRAC: Final = 0.13
"""A peak holds at least this share of the draws (two of fifteen). Judgement."""


class Peak(NamedTuple):
    """A group of draws: its first and last day after sowing [d], and its share of all draws."""

    from_d: float
    to_d: float
    share_frac: float


def parted(ordered: Array) -> NDArray[np.bool_]:
    """Whether sorted draws (last axis) may lie in more than one group, so that :func:`peaks` is worth asking."""
    early, late = ordered[..., :-1], ordered[..., 1:]
    return np.asarray((np.isfinite(late) & (late > early + LEAST_GAP_D)).any(axis=-1))


def peaks(days: Array) -> tuple[Peak, ...]:
    """Split draws into the harvest before the dark and the one after it, where there are two.

    Parameters: days, draws [J], NaN where one never comes.
    Returns: two or more peaks in order, or none where the draws lie in one group: then the median speaks for all.
    Method: parted at every gap of more than a month with enough draws on either side (docs/method/growth.md, "Two
    peaks").
    """
    parts: list[list[float]] = []
    for day in sorted(value for value in days.tolist() if math.isfinite(value)):
        if parts and day - parts[-1][-1] <= LEAST_GAP_D:
            parts[-1].append(day)
        else:
            parts.append([day])
    found = tuple(Peak(part[0], part[-1], len(part) / days.size) for part in parts)
    large = tuple(peak for peak in found if peak.share_frac >= LEAST_SHARE_FRAC)
    return large if len(large) > 1 else ()
