"""A weather file's own beam and diffuse light, split where one is missing; its days in classes from dull to bright."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LOWEST_BEAM_DEG: Final = 2.0
"""Sun height below which light is taken as diffuse where the beam has to be found from the others. Practice."""
MOST_DNI_W_M2: Final = 1200.0
"""No beam at the ground is stronger [W m⁻²]: the solar constant less what clean thin air takes. Judgement."""
CLASSES: Final = 5
AROUND_FRAC: Final = 0.1
"""How far on either side of a level days are taken that stand for it [-]. Judgement."""


class Split(NamedTuple):
    """Direct normal and diffuse light of each step [n] [W m⁻²]; NaN where the file does not tell."""

    dni_w_m2: Array
    dhi_w_m2: Array


def split_of(ghi_w_m2: Array, dni_w_m2: Array | None, dhi_w_m2: Array | None, height_deg: Array) -> Split:
    """Beam and diffuse light of each step, what is missing found from the other two.

    Parameters: ghi_w_m2 [n]; dni_w_m2, dhi_w_m2 [n] or None; height_deg, of the sun at mid-step [n] [°].
    Returns: Split; below the horizon all light is diffuse.
    Method: ghi = dhi + dni sin h; light of steps with the sun below the horizon at their middle is diffuse.
    """
    nothing = np.full(len(ghi_w_m2), np.nan)
    dni = nothing if dni_w_m2 is None else np.asarray(dni_w_m2, dtype=np.float64)
    dhi = nothing if dhi_w_m2 is None else np.asarray(dhi_w_m2, dtype=np.float64)
    sine = np.sin(np.deg2rad(np.maximum(height_deg, 0.0)))
    low = height_deg < LOWEST_BEAM_DEG
    rest = np.maximum(ghi_w_m2 - dhi, 0.0) / np.where(low, 1.0, sine)
    found_dni = np.where(low, 0.0, np.minimum(rest, MOST_DNI_W_M2))
    dni = np.where(np.isfinite(dni), dni, found_dni)
    dhi = np.where(np.isfinite(dhi), dhi, np.clip(ghi_w_m2 - dni * sine, 0.0, None))
    dark = ghi_w_m2 <= 0.0
    down = height_deg <= 0.0
    dhi = np.where(down, np.nan_to_num(np.maximum(ghi_w_m2, 0.0)), np.where(dark & ~np.isfinite(dhi), 0.0, dhi))
    return Split(np.where(down, 0.0, dni), dhi)


def class_weights(brightness: Array, levels_frac: Sequence[float] = ()) -> Array:
    """Weights [5 + k, n] by which days make up five equally likely classes, dull to bright, and days at some levels.

    Parameters: brightness [n], by which days are ranked; levels_frac [k], share of days that are duller.
    Returns: each row sums to 1; the first five rows together hold every day alike. Method: a day stands for its 1/n of
    the ranks and is shared between classes where a border cuts it.
    """
    count = len(brightness)
    place = np.empty(count)
    place[np.argsort(brightness, kind="stable")] = np.arange(count)
    spans = [(k / CLASSES, (k + 1) / CLASSES) for k in range(CLASSES)]
    spans += [(level - AROUND_FRAC, level + AROUND_FRAC) for level in levels_frac]
    low, high = place / count, (place + 1) / count
    rows = [np.clip(np.minimum(high, end) - np.maximum(low, start), 0.0, None) for start, end in spans]
    return np.array([row / row.sum() for row in rows])
