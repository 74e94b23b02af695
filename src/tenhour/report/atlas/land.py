"""Land as rings, from coasts that come in pieces: what the shades of a map are cut by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Lines = Sequence[tuple[Array, bool]]
"""Coasts and borders: points [n, 2] as longitude and latitude, and whether a line is a border."""

FULL_TURN_DEG: Final = 360.0
NEAR_DEG: Final = 0.2
"""Ends of coasts so near one another belong together: where three lands meet a corner is cut. Judgement."""
POLE_DEG: Final = 90.0


def land_of(lines: Lines) -> list[Array]:
    """Rings of land and of the water within it [n, 2], longitudes counted on through 180 degrees.

    Parameters: lines, coasts and borders of the world. A coast that meets no other is left out.
    Method: coasts end where a border comes to the shore and the next land's coast begins; end is put to end.
    """
    left = [points for points, is_border in lines if not is_border]
    found = [_whole(points) for points in left if np.array_equal(points[0], points[-1])]
    left = [points for points in left if not np.array_equal(points[0], points[-1])]
    while left:
        chain = left.pop()
        while left and not np.array_equal(chain[0], chain[-1]):
            ends = np.array([end for points in left for end in (points[0], points[-1])])
            apart = np.abs(ends - chain[-1]).max(axis=1)
            nearest = int(apart.argmin())
            if apart[nearest] > NEAR_DEG or apart[nearest] > np.abs(chain[0] - chain[-1]).max():
                break
            points = left.pop(nearest // 2)
            chain = np.concatenate([chain, points[::-1] if nearest % 2 else points])
        if np.abs(chain[0] - chain[-1]).max() <= NEAR_DEG:
            found.append(_whole(chain))
    return found


def _whole(ring: Array) -> Array:
    """A ring with longitudes counted on; one that runs round the globe is closed by way of its pole."""
    lon = np.unwrap(ring[:, 0], period=FULL_TURN_DEG)
    ring = np.column_stack([lon, ring[:, 1]])
    if abs(lon[-1] - lon[0]) < FULL_TURN_DEG / 2:
        return ring
    pole = POLE_DEG if ring[:, 1].mean() > 0.0 else -POLE_DEG
    return np.concatenate([ring, [[lon[-1], pole], [lon[0], pole]]])


def rings_near(rings: Sequence[Array], window: tuple[float, float, float, float]) -> list[Array]:
    """Rings that a map shows, where it shows them. Parameters: rings; window, its west, east, south and north [°]."""
    west, east, south, north = window
    found = []
    for ring in rings:
        if ring[:, 1].max() <= south or ring[:, 1].min() >= north:
            continue
        low, high = ring[:, 0].min(), ring[:, 0].max()
        turns = [turn for turn in (-FULL_TURN_DEG, 0.0, FULL_TURN_DEG) if high + turn > west and low + turn < east]
        found += [ring + np.array([turn, 0.0]) for turn in turns]
    return found


def turned(rings: Sequence[Array]) -> list[Array]:
    """The same rings, land to the left and water within it to the right, so that a lake is no land when filled."""
    out = []
    for number, ring in enumerate(rings):
        x, y = ring[0]
        deep = sum(_holds(other, x, y) for n, other in enumerate(rings) if n != number)
        left = _area(ring) > 0.0
        out.append(ring if left == (deep % 2 == 0) else ring[::-1])
    return out


def _area(ring: Array) -> float:
    """Area to the left of a ring [square degrees]."""
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2.0)


def _holds(ring: Array, x: float, y: float) -> bool:
    """Whether a point lies within a ring, by the crossings of a ray to the east."""
    if not (ring[:, 0].min() <= x <= ring[:, 0].max() and ring[:, 1].min() <= y <= ring[:, 1].max()):
        return False
    x0, y0 = ring.T
    x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
    across = (y0 > y) != (y1 > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = x0 + (y - y0) / (y1 - y0) * (x1 - x0)
    return bool((across & (x < meets)).sum() % 2)


def filled_shore(value: Array, sea: NDArray[np.bool_]) -> Array:
    """Values of a grid carried a step out to sea, for shades to reach the coast between two points.

    Parameters: value [Y, X], NaN where there is none; sea [Y, X], points at sea, the only ones that get a value: the
    mean of those of the eight around that have one.
    """
    wide = np.pad(value, 1, constant_values=np.nan)
    rows, columns = value.shape
    around = np.stack(
        [wide[1 + dy : 1 + dy + rows, 1 + dx : 1 + dx + columns] for dy in (-1, 0, 1) for dx in (-1, 0, 1)]
    )
    known = np.isfinite(around)
    count = known.sum(axis=0)
    mean = np.where(known, around, 0.0).sum(axis=0) / np.maximum(count, 1)
    return np.where(np.isnan(value) & sea & (count > 0), mean, value)
