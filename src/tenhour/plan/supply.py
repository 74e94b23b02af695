"""A steady supply: sowings whose harvests follow each other, and beds shared so that none is over full."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


LEAST_APART_D: Final = 7
"""Nobody sows one crop twice in a week: practice."""
FEW: Final = 20
"""So many seeds can be counted out; more are rounded up to two figures, or to fives below a hundred: judgement."""


def measurable_count(seeds_count: float) -> int:
    """Seeds as a person measures them out, never fewer than are needed.

    >>> [measurable_count(count) for count in (7.2, 23, 128, 1734)]
    [8, 25, 130, 1800]
    """
    count = math.ceil(seeds_count - 1e-9)
    step = 1 if count <= FEW else 5 if count < 100 else 10 ** (len(str(count)) - 2)
    return -(-count // step) * step


@dataclass(frozen=True)
class Wanted:
    """One sowing that is wished for: the bed it lies on, the days it holds it, and how much it would take."""

    bed: int
    first_d: int
    last_d: int
    """Days from the start of the plan, the last one included."""
    area_m2: float


def successions(
    days_by_doy: Array, first_day: int, every_d: int, horizon_d: int
) -> tuple[list[tuple[int, float]], list[float]]:
    """Sowings, in days from ``first_day``, whose harvests follow each other at a steady interval.

    Parameters: days_by_doy [365], sowing to median harvest by day of sowing, NaN where one should not sow; first_day,
    day of the year from which one may sow; every_d, days between harvests; horizon_d, how far ahead harvests are
    wanted.
    Returns: (day of sowing from first_day, days to its harvest) in order, and the wished days that no sowing meets.
    """
    ahead = np.arange(horizon_d)
    ready = ahead + days_by_doy[(first_day + ahead) % len(days_by_doy)]
    if not np.isfinite(ready).any():
        return [], []
    met: list[tuple[int, float]] = []
    missed: list[float] = []
    wish = float(np.nanmin(ready))
    while wish <= horizon_d:
        free = np.isfinite(ready) & (ahead >= (met[-1][0] + LEAST_APART_D if met else 0))
        off = np.where(free, np.abs(ready - wish), np.inf)
        # Of sowings that come in on the same day the latest holds the bed for the shortest time.
        best = int(len(off) - 1 - np.argmin(off[::-1]))
        if off[best] <= every_d / 2:
            met.append((best, float(ready[best] - best)))
        else:
            missed.append(wish)
        wish += every_d
    return met, missed


def taken_m2(wanted: Sequence[Wanted], beds: int, days: int) -> Array:
    """Area that sowings take on each bed and day [beds, days]."""
    out = np.zeros((beds, days + 1))
    for item in wanted:
        first, last = max(item.first_d, 0), min(item.last_d, days - 1)
        if first <= last:
            out[item.bed, first] += item.area_m2
            out[item.bed, last + 1] -= item.area_m2
    return np.asarray(np.cumsum(out, axis=1)[:, :days])


def shares(wanted: Sequence[Wanted], area_m2: Array, days: int) -> list[float]:
    """Share of its wish that each sowing can have, so that no bed is ever over full.

    Parameters: area_m2 of each bed [beds]. Returns: 0-1 for each sowing.
    Method: on its fullest day a bed is shared in proportion to the wishes; each sowing takes the least share of the
    days it stands, so the sum never passes the bed, and quiet times keep their whole wish.
    """
    taken = taken_m2(wanted, len(area_m2), days)
    free = np.where(taken > 0.0, area_m2[:, None] / np.where(taken > 0.0, taken, 1.0), np.inf)
    out = []
    for item in wanted:
        own = free[item.bed, max(item.first_d, 0) : min(item.last_d, days - 1) + 1]
        out.append(float(min(1.0, own.min(initial=1.0))))
    return out
