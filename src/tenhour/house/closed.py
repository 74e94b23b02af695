"""Is the room one? Flat surfaces that close a convex space, and things that stand inside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from tenhour.errors import Problem
from tenhour.house.shapes import (
    TOLERANCE_M,
    Block,
    FloatArray,
    Opening,
    Surface,
    newell_normal,
    opening_problems,
)

FLAT_M: Final = 0.01
"""Corners may lie this far off their plane [m]. Judgement: a tape measure's error."""

GAP_M2: Final = 0.02
"""Openings smaller than this are taken as measuring error [m²]. Judgement: a hand's breadth by a hand's breadth."""

GAP_FRAC: Final = 0.005
"""The same, as a share of the face. Judgement."""

CORNERS_NEEDED: Final = 3
FACES_NEEDED: Final = 4
LINE: Final = "at least four surfaces, not all in one plane"


def room_problems(
    surfaces: Sequence[Surface], openings: Sequence[Opening] = (), blocks: Sequence[Block] = ()
) -> list[Problem]:
    """What is wrong with a room, all at once, by name of surface.

    Parameters: surfaces, openings and blocks inside, in house axes.
    Returns: problems; keys are surface, window or box names. Empty if the room is flat-sided, convex and closed.
    Method: each surface must be flat and convex and lie on the hull of all corners; on every side of that hull the
    surfaces must add up to its area, neither less (a hole) nor more (an overlap).
    """
    problems = [p for s in surfaces for p in _surface_problems(s)]
    if problems:
        return problems
    problems = _hull_problems(surfaces)
    if problems:
        return problems
    return fitting_problems(surfaces, openings, blocks)


def fitting_problems(
    surfaces: Sequence[Surface], openings: Sequence[Opening], blocks: Sequence[Block]
) -> list[Problem]:
    """What does not fit into a room that is known to be closed and convex, such as one of a plain shape.

    Parameters: as :func:`room_problems`.
    Returns: problems of openings and blocks, by name.
    """
    return opening_problems(surfaces, openings) + _block_problems(surfaces, blocks)


def _key(name: str) -> str:
    return f"surface {name!r}"


def _surface_problems(surface: Surface) -> list[Problem]:
    at = surface.vertices_m
    if len(at) < CORNERS_NEEDED:
        return [Problem("", _key(surface.name), f"{len(at)} corners", "3 or more", "Add the missing corners.")]
    normal = newell_normal(at)
    area = float(np.linalg.norm(normal))
    if area < TOLERANCE_M**2:
        return [Problem("", _key(surface.name), "corners in one line", "a polygon with area", "Check its corners.")]
    normal = normal / area
    off = (at - at.mean(axis=0)) @ normal
    if np.abs(off).max() > FLAT_M:
        worst = int(np.abs(off).argmax())
        found = f"not flat: corner {worst + 1} lies {100 * abs(off[worst]):.0f} cm off the plane of the others"
        return [Problem("", _key(surface.name), found, "", "Split it into triangles, or mend that corner.")]
    edges = np.roll(at, -1, axis=0) - at
    turns = np.cross(edges, np.roll(edges, -1, axis=0)) @ normal
    if turns.min() < -(TOLERANCE_M**2):
        do = "Split it into convex pieces, or cut the opening with [[window]]."
        return [Problem("", _key(surface.name), "a corner that points inwards", "a convex polygon", do)]
    return []


def _hull_problems(surfaces: Sequence[Surface]) -> list[Problem]:
    if len(surfaces) < FACES_NEEDED:
        return [Problem("", "surface", f"{len(surfaces)} surfaces", LINE, "Add floor, walls and roof.")]
    sides = _hull_sides(np.concatenate([s.vertices_m for s in surfaces]))
    if sides is None:
        return [Problem("", "surface", "all corners in one plane", LINE, "Check the heights.")]
    normals, offsets, areas = sides
    problems: list[Problem] = []
    covered = np.zeros(len(normals))
    on_side: list[list[str]] = [[] for _ in normals]
    for surface in surfaces:
        off = np.abs(surface.vertices_m @ normals.T + offsets).max(axis=0)
        side = int(off.argmin())
        if off[side] > FLAT_M:
            do = "The room must be convex: leave niches out, put what juts in as [[box]]."
            found = f"lies up to {100 * off[side]:.0f} cm inside the room's outline"
            problems.append(Problem("", _key(surface.name), found, "", do))
            continue
        covered[side] += float(np.linalg.norm(newell_normal(surface.vertices_m)))
        on_side[side].append(surface.name)
    if problems:
        return problems
    return _gaps(normals, areas, covered, on_side, surfaces)


def _hull_sides(corners_m: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray] | None:
    """Outward normals, offsets and areas of the flat sides of the hull; None if it is flat."""
    from scipy.spatial import ConvexHull, QhullError

    try:
        hull = ConvexHull(corners_m)
    except QhullError:
        return None
    triangles = corners_m[hull.simplices]
    area = np.linalg.norm(np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=1) / 2
    order = np.argsort(-area)
    normals: list[FloatArray] = []
    offsets: list[float] = []
    areas: list[float] = []
    for k in order:
        plane = hull.equations[k]
        for i, (normal, offset) in enumerate(zip(normals, offsets, strict=True)):
            if np.abs(triangles[k] @ normal + offset).max() < FLAT_M and normal @ plane[:3] > 0:
                areas[i] += float(area[k])
                break
        else:
            normals.append(plane[:3])
            offsets.append(float(plane[3]))
            areas.append(float(area[k]))
    return np.array(normals), np.array(offsets), np.array(areas)


def _gaps(
    normals: FloatArray,
    areas_m2: FloatArray,
    covered_m2: FloatArray,
    on_side: list[list[str]],
    surfaces: Sequence[Surface],
) -> list[Problem]:
    problems = []
    for k, names in enumerate(on_side):
        slack = max(GAP_M2, GAP_FRAC * areas_m2[k])
        missing = areas_m2[k] - covered_m2[k]
        if abs(missing) <= slack:
            continue
        where = ", ".join(repr(name) for name in names) or f"between {_neighbours(normals[k], surfaces)}"
        if missing > 0:
            found = f"the room is not closed: {missing:.2f} m² open on the side facing {_facing(normals[k])}"
            problems.append(Problem("", f"surface {where}", found, "", "Add the missing surface or mend the corners."))
        else:
            found = f"surfaces overlap by {-missing:.2f} m² on the side facing {_facing(normals[k])}"
            problems.append(Problem("", f"surface {where}", found, "", "Cut windows with [[window]], or move an edge."))
    return problems


def _facing(outward: FloatArray) -> str:
    """Words for a direction in house axes: x is right along the length, y to the back."""
    words = ("right (+x)", "the back (+y)", "up", "left (-x)", "the front (-y)", "down")
    signed = np.concatenate([outward, -outward])
    return words[int(signed.argmax())]


def _neighbours(outward: FloatArray, surfaces: Sequence[Surface]) -> str:
    """Names of the surfaces that reach furthest to a side nobody covers."""
    reach = {s.name: float(np.sort(s.vertices_m @ outward)[-2:].mean()) for s in surfaces}
    furthest = max(reach.values())
    return ", ".join(repr(name) for name, value in reach.items() if value > furthest - FLAT_M)


def _block_problems(surfaces: Sequence[Surface], blocks: Sequence[Block]) -> list[Problem]:
    centre = np.concatenate([s.vertices_m for s in surfaces]).mean(axis=0)
    problems = []
    for block in blocks:
        ends = np.array([block.low_m, block.high_m], dtype=np.float64)
        corners = np.array([[ends[i, 0], ends[j, 1], ends[k, 2]] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
        for surface in surfaces:
            normal = newell_normal(surface.vertices_m)
            normal = normal / np.linalg.norm(normal)
            normal = normal * np.sign((centre - surface.vertices_m[0]) @ normal)
            beyond = float(-((corners - surface.vertices_m[0]) @ normal).min())
            if beyond > FLAT_M:
                found = f"sticks {100 * beyond:.0f} cm out through {surface.name!r}"
                problems.append(Problem("", f"box {block.name!r}", found, "", "Move or shrink it."))
    return problems
