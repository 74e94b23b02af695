"""Evenly spread points without chance: the same numbers every run, far less clumped than random ones."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

NEWTON_STEPS: Final = 30
"""Fixed-point steps for the generalised golden ratio; it converges geometrically."""


def even_points(count: int, dimensions: int, start: int = 0) -> FloatArray:
    """Additive recurrence with the generalised golden ratio, in the unit cube.

    Parameters: count, how many points; dimensions; start, index of the first.
    Returns: [count, dimensions], each in 0-1.
    Method: steps 1/g, 1/g², ... with g the root of x^(d+1) = x + 1 (Roberts 2018, "The unreasonable effectiveness of
    quasirandom sequences"; from memory). Any run of consecutive points is evenly spread.
    """
    g = 2.0
    for _ in range(NEWTON_STEPS):
        g = (1.0 + g) ** (1.0 / (dimensions + 1))
    steps = g ** -np.arange(1.0, dimensions + 1)
    index = np.arange(start + 1, start + count + 1, dtype=np.float64)
    return np.asarray(np.mod(0.5 + index[:, None] * steps, 1.0))


def cosine_directions(first: FloatArray, second: FloatArray) -> FloatArray:
    """Directions about +z spread by cosine, from two numbers in 0-1 each.

    Parameters: first, second, arrays of one shape [-].
    Returns: unit vectors [..., 3].
    Method: the concentric map of the square onto the disc, lifted to the hemisphere (Shirley & Chiu 1997, "A low
    distortion map between disk and square"; from memory).
    """
    a, b = 2 * first - 1, 2 * second - 1
    wide = np.abs(a) > np.abs(b)
    radius = np.where(wide, a, b)
    big = np.where(radius == 0.0, 1.0, radius)
    turn = np.where(wide, np.pi / 4 * b / big, np.pi / 2 - np.pi / 4 * a / big)
    x, y = radius * np.cos(turn), radius * np.sin(turn)
    return np.stack([x, y, np.sqrt(np.maximum(0.0, 1.0 - x**2 - y**2))], axis=-1)
