"""The plain outline of each house shape: names, corners and areas of its faces, and how high its roof stands.

Enough to check a house file and to describe it back; the geometry that light is traced through is made elsewhere.
Every face is drawn flat as seen from inside: across from its left corner, up from its lower edge.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Final

Flat = tuple[tuple[float, float], ...]

HOOP_STRIPS: Final = 5
"""Flat strips on each side of a hoop, corners on the ellipse: the same number the light is traced through."""
WALLS: Final = ("south", "north", "east", "west")
TWO_ROOFS: Final = ("roof-south", "roof-north")
STRIPS: Final = tuple(f"{roof}-{number + 1}" for roof in TWO_ROOFS for number in range(HOOP_STRIPS))
FACES: Final[Mapping[str, tuple[str, ...]]] = {
    "gable": (*WALLS, *TWO_ROOFS, "floor"),
    "lean-to": (*WALLS, "roof", "floor"),
    "hoop": ("east", "west", *TWO_ROOFS, "floor"),
    "box": (*WALLS, "roof", "floor"),
    "cold-frame": (*WALLS, "roof", "floor"),
    "window-sill": (*WALLS, "roof", "floor"),
    "custom": (),
}
"""Faces by shape, named by where they look when the long side faces south."""
LOOKS_DEG: Final[Mapping[str, float]] = {
    "south": 180.0,
    "north": 0.0,
    "east": 90.0,
    "west": 270.0,
    "roof-south": 180.0,
    "roof-north": 0.0,
}
"""Compass direction of a face while +x points east."""
UNTURNED_AZIMUTH_DEG: Final = 90.0


def face_names(shape: str, dimensions_m: Mapping[str, float]) -> tuple[str, ...]:
    """Faces of a house: those of its shape, and of a hoop the upright sides if it has any.

    Parameters: shape; dimensions_m, lengths of the house by their names in the house file [m].
    """
    names = FACES[shape]
    return (*WALLS[:2], *names) if shape == "hoop" and dimensions_m["eaves"] > 0 else names


def side_heights_m(shape: str, dimensions_m: Mapping[str, float]) -> tuple[float, float]:
    """Height [m] of the front (south) and the back (north) wall of a shape."""
    if shape in ("gable", "hoop"):
        return dimensions_m["eaves"], dimensions_m["eaves"]
    if shape in ("lean-to", "cold-frame"):
        return dimensions_m["front"], dimensions_m["back"]
    return dimensions_m["eaves"], dimensions_m.get("back", dimensions_m["eaves"])


def profile_m(shape: str, dimensions_m: Mapping[str, float]) -> Flat:
    """Cross-section of the roof: (distance from the front wall, height) from front to back [m]."""
    width = dimensions_m["width"]
    front, back = side_heights_m(shape, dimensions_m)
    if shape == "gable":
        return (0.0, front), (width / 2, dimensions_m["ridge"]), (width, back)
    if shape == "hoop":
        angles = [math.pi * (1.0 - i / (2 * HOOP_STRIPS)) for i in range(2 * HOOP_STRIPS + 1)]
        rise = dimensions_m["ridge"] - front
        return tuple((width / 2 * (1.0 + math.cos(a)), front + rise * abs(math.sin(a))) for a in angles)
    return (0.0, front), (width, back)


def roof_height_m(shape: str, dimensions_m: Mapping[str, float], y_m: float) -> float:
    """Height of the roof [m] above a point at ``y_m`` from the front wall; 0 outside the house."""
    points = profile_m(shape, dimensions_m)
    for (y0, z0), (y1, z1) in pairwise(points):
        if y0 <= y_m <= y1:
            return z0 + (z1 - z0) * (y_m - y0) / (y1 - y0)
    return 0.0


def face_outline_m(shape: str, dimensions_m: Mapping[str, float], face: str) -> Flat:
    """Corners of a face as seen from inside: (from its left corner, up from its lower edge) [m], anticlockwise.

    On a roof the second number runs along the slope. A curved roof is flattened out.
    """
    length, width = dimensions_m["length"], dimensions_m["width"]
    front, back = side_heights_m(shape, dimensions_m)
    profile = profile_m(shape, dimensions_m)
    if face == "south":
        return _rectangle(length, front)
    if face == "north":
        return _rectangle(length, back)
    if face == "floor":
        return _rectangle(length, width)
    if face == "west":
        return _deduplicated(((0.0, 0.0), (width, 0.0), *reversed(profile)))
    if face == "east":
        return _deduplicated(((0.0, 0.0), (width, 0.0), *((width - y, z) for y, z in profile)))
    strips = [math.dist(p, q) for p, q in pairwise(profile)]
    if face in STRIPS:
        return _rectangle(length, strips[int(face[-1]) - 1])
    return _rectangle(length, sum(strips) / 2 if face in TWO_ROOFS else sum(strips))


def _deduplicated(corners: Flat) -> Flat:
    """A hoop without upright sides starts and ends in the corners of its floor."""
    kept = [corners[0]]
    for corner in corners[1:]:
        if math.dist(corner, kept[-1]) > 0 and math.dist(corner, kept[0]) > 0:
            kept.append(corner)
    return tuple(kept)


def _rectangle(across_m: float, up_m: float) -> Flat:
    return (0.0, 0.0), (across_m, 0.0), (across_m, up_m), (0.0, up_m)


def area_m2(corners: Flat) -> float:
    """Area of a flat outline [m²], by the shoelace rule."""
    turned = corners[1:] + corners[:1]
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(corners, turned, strict=True))) / 2


def holds(corners: Flat, point: tuple[float, float], slack_m: float) -> bool:
    """Whether a convex outline, anticlockwise, holds a point, give or take ``slack_m``."""
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        edge = math.hypot(x1 - x0, y1 - y0)
        off = (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)
        if edge and off < -slack_m * edge:
            return False
    return True


def polygon_area_m2(vertices_m: tuple[tuple[float, float, float], ...]) -> float:
    """Area of a flat polygon in space [m²], by the sum of cross products (Newell).

    Parameters: vertices_m, its corners in order [n, 3] [m].
    """
    total = [0.0, 0.0, 0.0]
    for p, q in zip(vertices_m, vertices_m[1:] + vertices_m[:1], strict=True):
        for axis in range(3):
            i, j = (axis + 1) % 3, (axis + 2) % 3
            total[axis] += p[i] * q[j] - p[j] * q[i]
    return math.hypot(*total) / 2


def looks_deg(face: str, azimuth_deg: float) -> float | None:
    """Compass direction a face looks to [°] in a house whose +x points to ``azimuth_deg``; None for flat faces."""
    if face not in LOOKS_DEG:
        return None
    return (LOOKS_DEG[face] + azimuth_deg - UNTURNED_AZIMUTH_DEG) % 360.0
