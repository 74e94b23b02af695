"""Readings that cannot be: brighter than a clear sky, light at night, clocks in another zone, columns exchanged."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.units import UMOL_PER_J_GLOBAL

Array = NDArray[np.float64]

CLEAR_W_M2: Final = 1098.0
CLEAR_DEPTH: Final = 0.059
"""Clear-sky global radiation 1098 cos z exp(−0.059 / cos z): Haurwitz 1945, as coded in pvlib. Second-hand."""
CLOUD_EDGE: Final = 1.5
"""Sun beside bright cloud exceeds a clear sky by up to a half for minutes; a tenth of that is meter error. Practice."""
HORIZON_UMOL_M2_S: Final = 15.0
"""Light with the sun on the horizon, 600-800 lux: common practice."""
TWILIGHT_DEG: Final = 1.7
"""Sun depression over which twilight falls to a third: 3.4 lux at −6° against 700 at 0° (handbook value, memory)."""
NIGHT_UMOL_M2_S: Final = 0.3
"""Street lamps and moon, up to some 15 lux: common practice."""
SHIFTS_H: Final = np.arange(-12.0, 12.5, 0.5)
"""Shifts of the clock that are tried; zones differ by half hours."""
BAD_SHARE: Final = 0.03
GOOD_SHARE: Final = 0.01
LEAST_BAD: Final = 2
"""A shift is believed when it turns two impossible readings, and 3 % of the lit ones, into next to none. Judgement."""
FOLLOWS_COUNT: Final = 20
"""With so many readings the shape of the day tells which of the possible shifts is meant: judgement."""
HIGH_SUN_DEG: Final = 15.0
"""Below this the low sun through standing glass can make a bed brighter than the open. Derived: cot 15° is 3.7."""
BRIGHTER: Final = 1.1
"""Inside brighter than outside by more than meters differ."""
MOST_SWAP_LOG: Final = np.log(3.0)
NIGHT_DEG: Final = -6.0


def ceiling_umol_m2_s(height_deg: ArrayLike) -> Array:
    """Brightest light a sky can give on the level.

    Parameters: height_deg, of the sun [°]. Returns: [µmol m⁻² s⁻¹].
    Method: clear sky of Haurwitz 1945 times 1.5 for sun beside bright cloud; twilight falls off exponentially.

    >>> bool(2000 < ceiling_umol_m2_s(60.0) < 3000), bool(ceiling_umol_m2_s(-8.0) < 1)
    (True, True)
    """
    height = np.asarray(height_deg, dtype=np.float64)
    sine = np.maximum(np.sin(np.deg2rad(height)), 1e-3)
    sun = np.where(height > 0, CLOUD_EDGE * UMOL_PER_J_GLOBAL * CLEAR_W_M2 * sine * np.exp(-CLEAR_DEPTH / sine), 0.0)
    twilight = HORIZON_UMOL_M2_S * np.exp(np.minimum(height, 0.0) / TWILIGHT_DEG)
    return np.asarray(sun + twilight + NIGHT_UMOL_M2_S)


class ClockCheck(NamedTuple):
    """How many outdoor readings are impossible as stamped, at night among them, and the shift that mends it."""

    impossible_count: int
    at_night_count: int
    shift_h: float | None
    """Hours to add to the stamps; None where the stamps are possible or no shift helps."""


def clock_check(ppfd_umol_m2_s: Array, height_deg: Array) -> ClockCheck:
    """Whether readings in the open fit the sun at their stamps, or at stamps some hours off.

    Parameters: ppfd_umol_m2_s, readings [n]; height_deg, of the sun at the stamps moved by each of ``SHIFTS_H``,
    [s, n].
    """
    bad = ppfd_umol_m2_s > ceiling_umol_m2_s(height_deg)
    counts = bad.sum(axis=1)
    here = int(np.flatnonzero(SHIFTS_H == 0.0)[0])
    lit = int((ppfd_umol_m2_s > NIGHT_UMOL_M2_S).sum())
    night = int((bad[here] & (height_deg[here] < NIGHT_DEG)).sum())
    found = ClockCheck(int(counts[here]), night, None)
    if counts[here] < max(LEAST_BAD, BAD_SHARE * lit):
        return found
    good = counts <= GOOD_SHARE * lit
    if not good.any():
        return found
    return found._replace(shift_h=_best_shift_h(good, ppfd_umol_m2_s, height_deg))


def _best_shift_h(good: NDArray[np.bool_], ppfd_umol_m2_s: Array, height_deg: Array) -> float:
    """Among the run of possible shifts nearest to none, the one under which light follows the sun best [h]."""
    index = np.flatnonzero(good)
    start = int(index[np.argmin(np.abs(SHIFTS_H[index]))])
    step = 1 if SHIFTS_H[start] > 0 else -1
    run = [start]
    while 0 <= run[-1] + step < len(good) and good[run[-1] + step]:
        run.append(run[-1] + step)
    if len(ppfd_umol_m2_s) < FOLLOWS_COUNT:
        return float(SHIFTS_H[start])
    sine = np.sqrt(np.maximum(np.sin(np.deg2rad(height_deg[run])), 0.0))
    light = np.sqrt(ppfd_umol_m2_s)
    return float(SHIFTS_H[run[int(np.argmax([_follows(row, light) for row in sine]))]])


def _follows(a: Array, b: Array) -> float:
    """Correlation of two rows; -1 where either does not vary."""
    spread = np.std(a) * np.std(b)
    return float(np.mean((a - a.mean()) * (b - b.mean())) / spread) if spread > 0 else -1.0


def impossible(ppfd_umol_m2_s: Array, height_deg: Array) -> NDArray[np.bool_]:
    """Which readings are brighter than any sky at that sun, [n].

    Parameters: ppfd_umol_m2_s [µmol m⁻² s⁻¹]; height_deg, of the sun [°]; each [n].
    """
    return np.asarray(ppfd_umol_m2_s > ceiling_umol_m2_s(height_deg))


def exchanged(inside_umol_m2_s: Array, outside_umol_m2_s: Array, expected_ratio: Array, height_deg: Array) -> str:
    """Say whether inside and outside were exchanged, or brighter inside than can be; "" where neither.

    Parameters: pairs of readings; expected_ratio, inside over outside by the model; height_deg, of the sun; each [n].
    inside_umol_m2_s, outside_umol_m2_s [µmol m⁻² s⁻¹].
    """
    judged = (height_deg > HIGH_SUN_DEG) & (expected_ratio < 1.0)
    if not judged.any():
        return ""
    ratio = inside_umol_m2_s[judged] / np.maximum(outside_umol_m2_s[judged], NIGHT_UMOL_M2_S)
    if np.median(ratio) < BRIGHTER:
        return ""
    back = np.log(1.0 / np.median(ratio)) - np.log(np.median(expected_ratio[judged]))
    if abs(back) < MOST_SWAP_LOG:
        return "exchanged"
    return "brighter"
