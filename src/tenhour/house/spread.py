"""Evenly spread points without chance: the same numbers every run, far less clumped than random ones."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

POLYNOMIALS: Final = ((0, ()), (0, (1,)), (1, (1, 3)), (1, (1, 3, 1)))
"""Inner coefficients of the primitive polynomials and first direction numbers of the four dimensions: Joe & Kuo 2008,
"Constructing Sobol sequences with better two-dimensional projections". Memory, checked against scipy by a test."""

BITS: Final = 17
"""Points before the sequence repeats: 2 to this power."""

SHIFT: Final = (0x0B5A3, 0x1C6E1, 0x05D2F, 0x136B9)
"""Digits flipped alike in every point, so that none lies on an edge. Judgement: any bits do."""


def _direction_numbers(inner: int, first: tuple[int, ...]) -> list[int]:
    """Direction numbers of one dimension by the recurrence of Bratley & Fox 1988."""
    degree = len(first)
    numbers = list(first) if degree else [1] * BITS
    for k in range(len(numbers), BITS):
        new = numbers[k - degree] ^ (numbers[k - degree] << degree)
        for i in range(1, degree):
            if (inner >> (degree - 1 - i)) & 1:
                new ^= numbers[k - i] << i
        numbers.append(new)
    return numbers


@cache
def _sequence(dimensions: int) -> FloatArray:
    out = np.empty((2**BITS, dimensions))
    for d in range(dimensions):
        digits = np.zeros(1, dtype=np.int32)
        for bit, number in enumerate(_direction_numbers(*POLYNOMIALS[d])):
            digits = np.concatenate([digits, digits ^ np.int32(number << (BITS - 1 - bit))])
        out[:, d] = ((digits ^ np.int32(SHIFT[d])) + 1 / 2) / 2**BITS
    return out


def even_points(count: int, dimensions: int, start: int = 0) -> FloatArray:
    """Points of the Sobol sequence in the unit cube.

    Parameters: count, how many; dimensions, up to 4; start, index of the first.
    Returns: [count, dimensions], each between 0 and 1. Runs of 64, 128, 256, ... from a multiple of their length are
    spread as evenly as that many points can be.
    Method: Sobol 1967, each half of the sequence from the half before it, digitally shifted.
    """
    whole = _sequence(dimensions)
    start %= 2**BITS
    if start + count <= 2**BITS:
        return whole[start : start + count]
    return np.asarray(whole[np.arange(start, start + count) % 2**BITS])


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
