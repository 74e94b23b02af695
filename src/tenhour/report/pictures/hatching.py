"""Hatching as plain strokes: viewers and printers draw them alike, where pattern fills swell a PDF to megabytes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

Points = Sequence[tuple[float, float]]
Hatch = Literal["", "bars", "rising", "falling", "crossed"]

_FAMILIES: Final[dict[str, tuple[tuple[float, float], ...]]] = {
    "": (),
    "bars": ((90.0, 7.0),),
    "rising": ((-45.0, 4.5),),
    "falling": ((45.0, 6.0),),
    "crossed": ((-45.0, 3.2), (45.0, 3.2)),
}
"""Direction of the strokes [degree, y downwards] and their distance [px]."""


def strokes(polygon: Points, hatch: Hatch) -> list[Points]:
    """Strokes that fill a polygon; those of neighbouring polygons meet, for all start from one common line."""
    found: list[Points] = []
    for angle_deg, step_px in _FAMILIES[hatch]:
        found += _family(np.asarray(polygon, dtype=np.float64), np.radians(angle_deg), step_px)
    return found


def _family(corners: np.ndarray[tuple[int, int], np.dtype[np.float64]], angle: float, step_px: float) -> list[Points]:
    """Parallel strokes inside a polygon: on each line, every second stretch between its crossings with the edges."""
    along = np.array([np.cos(angle), np.sin(angle)])
    across = np.array([-np.sin(angle), np.cos(angle)])
    t, s = corners @ along, corners @ across
    t_next, s_next = np.roll(t, -1), np.roll(s, -1)
    level = step_px * np.arange(np.ceil(s.min() / step_px), np.floor(s.max() / step_px) + 1.0)
    row, edge = np.nonzero((s <= level[:, None]) != (s_next <= level[:, None]))
    share = (level[row] - s[edge]) / (s_next[edge] - s[edge])
    place = t[edge] + share * (t_next[edge] - t[edge])
    order = np.lexsort((place, row))
    ends = place[order, None] * along + level[row[order], None] * across
    # A closed outline crosses every line an even number of times, so that ends pair up line by line.
    pairs = ends.reshape(-1, 2, 2).tolist()
    return [(tuple(first), tuple(last)) for first, last in pairs]
