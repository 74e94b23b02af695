"""A day of light readings added up to the day's light, with its gaps said rather than filled in silence."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.units import MICRO

Array = NDArray[np.float64]

GAP_S: Final = 5400.0
"""Between readings closer than an hour and a half light is taken to run straight: judgement."""
LEAST_SHARE: Final = 0.3
"""Below this share of the day's light a sum says nothing about the day: judgement."""
ENOUGH_SHARE: Final = 0.6
"""From here the rest of the day is estimated from what was read: judgement."""
SECONDS_PER_HOUR: Final = 3600.0


class DaySum(NamedTuple):
    """Light read in a day, the day's estimate (NaN where too little was read), its share, and gaps as pairs [s]."""

    dli_mol_m2_d: float
    whole_dli_mol_m2_d: float
    covered_share: float
    gaps_s: tuple[tuple[float, float], ...]


def day_sum(second: Array, ppfd_umol_m2_s: Array, day_second: Array, day_sine: Array) -> DaySum:
    """Light of one day at one place.

    Parameters: second, of each reading since midnight, rising [s], [n]; ppfd_umol_m2_s, readings [n]; day_second
    [s], day_sine: the sine of the sun's height (0 below the horizon) through the whole day at even steps, [m].
    Returns: DaySum. Straight lines between readings at most 1.5 h apart; longer gaps and the ends of the day are left
    out and listed where the sun is up. The share is that of the day's light under an unchanging sky.
    """
    span = np.diff(second)
    joined = span <= GAP_S
    read = float((joined * span * (ppfd_umol_m2_s[:-1] + ppfd_umol_m2_s[1:]) / 2.0).sum() * MICRO)
    total = float(day_sine.sum())
    if total <= 0.0:
        return DaySum(read, read, 1.0, ())
    edges = [(float(a), float(b)) for a, b, ok in zip(second[:-1], second[1:], joined, strict=True) if not ok]
    edges = [(0.0, float(second[0])), *edges, (float(day_second[-1]), float(day_second[-1])) if not len(second) else
             (float(second[-1]), SECONDS_PER_HOUR * 24.0)]  # fmt: skip
    missing, gaps = 0.0, []
    for start, end in edges:
        within = (day_second >= start) & (day_second < end) & (day_sine > 0.0)
        if within.any():
            missing += float(day_sine[within].sum())
            gaps.append((float(day_second[within][0]), float(day_second[within][-1])))
    covered = max(1.0 - missing / total, 0.0)
    whole = read / covered if covered >= ENOUGH_SHARE else float("nan")
    return DaySum(read, whole, covered, tuple(gap for gap in gaps if gap[1] - gap[0] > GAP_S / 6.0))


def clock_text(time_s: float) -> str:
    """Write seconds since midnight as a clock time.

    >>> clock_text(27900.0)
    '07:45'
    """
    minutes = round(time_s / 60.0)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
