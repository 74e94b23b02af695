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
    found: list[Points] = []
    for number in range(int(np.ceil(s.min() / step_px)), int(np.floor(s.max() / step_px)) + 1):
        level = number * step_px
        cut = (s <= level) != (s_next <= level)
        share = (level - s[cut]) / (s_next[cut] - s[cut])
        places = np.sort(t[cut] + share * (t_next[cut] - t[cut]))
        for first, last in zip(places[::2], places[1::2], strict=False):
            start, end = first * along + level * across, last * along + level * across
            found.append(((float(start[0]), float(start[1])), (float(end[0]), float(end[1]))))
    return found
