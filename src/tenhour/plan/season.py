"""A year of one crop on one bed: what a week's sowing is worth, what stands, and steady supply."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.season import SowState
from tenhour.plan.dates import DAYS
from tenhour.plan.sowing import LATE_EMERGENCE_D, LEGGY_SCORE, SENSELESS_RATIO, SLOW_RATIO

Array = NDArray[np.float64]

WEEK_D: Final = 7
WINDOW_FOR_WINTER_D: Final = 28
"""How long before the last useful date a sowing for winter may start without standing overgrown: judgement."""
FROST_MEAN_DEGC: Final = 11.0
"""The last spring frost is expected about when the outdoor daily mean reaches this (± 2 weeks): common practice."""
SEED_RESERVE_RATIO: Final = 1.3
"""Seed sown for each plant wanted: common practice."""


@dataclass(frozen=True)
class WeekFacts:
    """One crop on one bed, arrays [W] by week of sowing; NaN where never."""

    days_low: Array
    days: Array
    days_high: Array
    emergence_d: Array
    stretch_score: Array
    cold: NDArray[np.bool_]
    """Whether a night of the first four weeks harms it."""


def states_of(facts: WeekFacts) -> tuple[SowState, ...]:
    """What a sowing of each week is worth; the first that applies: cold, waste, drawn, slow, sow."""
    finite = facts.days[np.isfinite(facts.days)]
    best = float(finite.min()) if finite.size else np.inf
    out: list[SowState] = []
    for week in range(len(facts.days)):
        days, up = facts.days[week], facts.emergence_d[week]
        if facts.cold[week] or not up <= LATE_EMERGENCE_D:
            out.append("cold")
        elif not days <= SENSELESS_RATIO * best:
            out.append("waste")
        elif facts.stretch_score[week] >= LEGGY_SCORE:
            out.append("drawn")
        else:
            out.append("slow" if days > SLOW_RATIO * best else "sow")
    return tuple(out)


def waiting_cost_d(days: Array) -> Array:
    """Days of harvest lost by sowing one week later than each week [W]; NaN where either never comes in."""
    return np.asarray(WEEK_D + np.roll(days, -1) - days)


def runs(marks: Sequence[bool]) -> list[tuple[int, int]]:
    """First and last number of every unbroken run of true marks."""
    out: list[tuple[int, int]] = []
    for number, mark in enumerate(marks):
        if not mark:
            continue
        if out and out[-1][1] == number - 1:
            out[-1] = (out[-1][0], number)
        else:
            out.append((number, number))
    return out


def last_frost_day(temp_out_degc: Array, coldest_day: int) -> int | None:
    """Day of the generic year about which the last spring frost is expected; None where it is never that warm or cold.

    Parameters: temp_out_degc, outdoor mean [365]; coldest_day, day of the lowest mean.
    Method: the first day after the coldest on which the mean reaches 11 °C (common practice, ± 2 weeks).
    """
    order = (coldest_day + np.arange(DAYS)) % DAYS
    warm = temp_out_degc[order] >= FROST_MEAN_DEGC
    if warm[0] or not warm.any():
        return None
    return int(order[int(np.argmax(warm))])


def sow_for(days_by_doy: Array, ready_day: int) -> int | None:
    """Latest day of sowing that is ready by a day of the year, or None. ``days_by_doy`` is [365]."""
    back = np.arange(1, DAYS)
    found = np.flatnonzero(days_by_doy[(ready_day - back) % DAYS] <= back)
    return int((ready_day - back[found[0]]) % DAYS) if found.size else None


def successions(days_by_doy: Array, first_day: int, every_d: int, horizon_d: int) -> list[tuple[int, float]]:
    """Sowings, in days from ``first_day``, whose harvests follow each other at a steady interval.

    Parameters: days_by_doy [365], sowing to median harvest by day of sowing; first_day, day of the year from which
    one may sow; every_d, days between harvests; horizon_d, how far ahead harvests are wanted.
    Returns: (day of sowing from first_day, days to its harvest), in order; wishes that no sowing meets are left out.
    """
    ahead = np.arange(horizon_d)
    ready = ahead + days_by_doy[(first_day + ahead) % DAYS]
    if not np.isfinite(ready).any():
        return []
    out: list[tuple[int, float]] = []
    wish = float(np.nanmin(ready))
    while wish <= horizon_d:
        meets = np.flatnonzero(ready <= wish + every_d / 2)
        best = int(meets[np.argmin(np.abs(ready[meets] - wish) - meets * 1e-3)]) if meets.size else -1
        if best >= 0 and abs(ready[best] - wish) <= every_d / 2 and (not out or best > out[-1][0]):
            out.append((best, float(ready[best] - best)))
        wish += every_d
    return out


def seed_g(area_m2: float, density_per_m2: float, thousand_seed_g: float) -> float:
    """Seed for an area, with a reserve for gaps [g]."""
    return area_m2 * density_per_m2 * SEED_RESERVE_RATIO * thousand_seed_g / 1000.0
