"""A year of crops on beds: what a week's sowing is worth, what stands through the dark, and steady supply."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.plan.dates import DAYS
from tenhour.plan.sowing import sow_by_day

Array = NDArray[np.float64]
Singles = NDArray[np.float32]

WEEK_D: Final = 7
WEEKS: Final = 52
"""Weeks shown of a year."""
SURELY_EARLY_D: Final = 28
"""Days before the last sowing for winter up to which the sure one counts as in its window: judgement."""
SEED_RESERVE_RATIO: Final = 1.3
"""Seed sown for each plant wanted: common practice."""
LEAN_WEEKS: Final = 4
"""The leanest four weeks running are what a weekly meal must be planned for: judgement."""
G_PER_KG: Final = 1000.0


def waiting_cost_d(days: Array, wait_d: int = WEEK_D) -> Array:
    """Days of harvest lost by sowing some days later than each day; NaN where either never comes in.

    Parameters: days [..., 365], median days to harvest by day of sowing; wait_d, days later [d].
    """
    return np.asarray(wait_d + np.roll(days, -wait_d, axis=-1) - days)


def doublings(series: Array) -> Singles:
    """Least value over the next 1, 2, 4 … days of yearly series [W, B, 365], round the year: [L, B, 365, W]."""
    levels = [np.ascontiguousarray(np.moveaxis(series, 0, -1), dtype=np.float32)]
    for step in range(int(np.log2(DAYS))):
        levels.append(np.minimum(levels[-1], np.roll(levels[-1], -(1 << step), axis=1)))
    return np.stack(levels)


def least_within(levels: Singles, start: NDArray[np.intp], length_d: NDArray[np.intp]) -> Singles:
    """Least value of yearly series over windows that wrap round the year.

    Parameters: levels, of :func:`doublings`, [L, B, 365, W]; start, day of the year, and length_d, 1 to 365, both
    [B, S]. Returns: [B, S, W]. Method: two overlapping windows of a power of two.
    """
    length = np.clip(length_d, 1, DAYS)
    level = np.log2(length).astype(np.intp)
    rows: Singles = levels.reshape(-1, levels.shape[-1])  # winters lie side by side: a look-up takes them all at once
    place = (level * levels.shape[1] + np.arange(levels.shape[1])[:, None]) * DAYS
    one: Singles = rows.take(place + start % DAYS, axis=0)
    np.minimum(one, rows.take(place + (start + length - (1 << level)) % DAYS, axis=0), out=one)
    return one


@dataclass(frozen=True)
class WinterWindow:
    """Sowings that stand at harvest size when the dark begins, as days of the generic year."""

    first: int
    """One before it would be past its best by then."""
    sure: int | None
    """The last that stands by then in nine seasons of ten."""
    last: int
    """The last that stands by then in half of them."""


def winter_window(days: Array, days_high: Array, keeps_d: Array, dark_start: int) -> WinterWindow | None:
    """Return when to sow so that a crop stands grown and good at the start of the dark, or None.

    Parameters: days, days_high [365], median and 90th percentile from sowing to harvest; keeps_d [365], days it then
    stands; dark_start, day of the year.
    """
    last = sow_by_day(days, dark_start)
    if last is None:
        return None
    begin = (dark_start - last) % DAYS
    back = np.arange(begin, DAYS)
    sown = (dark_start - back) % DAYS
    early = np.flatnonzero(~(back - days[sown] <= keeps_d[sown]))
    keep = max(int(early[0]) - 1, 0) if early.size else len(back) - 1
    sure = sow_by_day(days_high, dark_start)
    if sure is not None and (last - sure) % DAYS <= SURELY_EARLY_D:
        # What is sure in nine seasons of ten is never too early, though it may stand ready a while in a good one.
        keep = max(keep, (last - sure) % DAYS)
    return WinterWindow(int((last - keep) % DAYS), sure, last)


def spread_cuts(week_yield: Array) -> Array:
    """Weekly picking when a share of the stand is cut each week: each cut over the weeks it has grown.

    Parameters: week_yield [W, ...], mass of each week's cuts. Returns: same shape and sum; NaN after the last cut.
    """
    cuts = week_yield > 0.0
    weeks = np.arange(len(week_yield)).reshape(-1, *([1] * (week_yield.ndim - 1)))
    later = np.where(cuts, weeks, len(week_yield))
    ahead = np.minimum.accumulate(later[::-1], axis=0)[::-1]
    known = ahead < len(week_yield)
    before = np.maximum.accumulate(np.where(cuts, weeks, -1), axis=0)
    before = np.concatenate([np.full_like(before[:1], -1), before[:-1]], axis=0)
    grown = np.maximum(ahead - before, 1)
    mass = np.take_along_axis(week_yield, np.where(known, ahead, 0), axis=0)
    return np.asarray(np.where(known, mass / grown, np.nan))


def leanest(values: Sequence[float | None]) -> float | None:
    """Mean of the leanest four weeks running of weekly picking; of all where there are fewer; None without any."""
    best: float | None = None
    given = [value for value in values if value is not None]
    if 0 < len(given) < LEAN_WEEKS:
        return sum(given) / len(given)
    for first in range(len(values) - LEAN_WEEKS + 1):
        run = values[first : first + LEAN_WEEKS]
        known = [value for value in run if value is not None]
        if len(known) == LEAN_WEEKS and (best is None or sum(known) / LEAN_WEEKS < best):
            best = sum(known) / LEAN_WEEKS
    return best


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


def seed_g(area_m2: float, density_per_m2: float, thousand_seed_g: float) -> float:
    """Seed for an area, with a reserve for gaps [g].

    Parameters: area_m2 [m²]; density_per_m2, plants [m⁻²]; thousand_seed_g, mass of a thousand seeds [g].
    """
    return area_m2 * density_per_m2 * SEED_RESERVE_RATIO * thousand_seed_g / G_PER_KG
