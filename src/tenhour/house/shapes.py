"""Rooms as flat faces: gable, lean-to, hoop, box, cold frame, window sill; and windows cut into faces.

House axes: the origin is the south-west inside corner on the floor *before the house is turned*; x runs along the
length, y to the back, z up. So "south" always names the long side at y = 0, whatever it faces outdoors. All lengths
in metres. Nothing here knows the compass: light directions are turned into these axes instead.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange, Problem

FloatArray = NDArray[np.float64]

OPAQUE: Final = -1
"""Pane index of a surface that lets nothing through."""

HOOP_FACETS_PER_SIDE: Final = 5
"""Flat strips on each side of a hoop. Judgement: ten strips lose 1.6 % of the section of a half circle."""

TOLERANCE_M: Final = 0.002
"""Lengths closer than this are equal [m]. Judgement: nobody builds to 2 mm."""


class Surface(NamedTuple):
    """A flat convex piece of the room's skin."""

    name: str
    vertices_m: FloatArray
    """[k, 3], in order round the edge (either way)."""
    pane_index: int = OPAQUE
    """Which pane it is made of, or ``OPAQUE``."""
    refl_frac: float = 0.5
    """Diffuse, towards the inside; of a pane the pane's own value counts."""


class Opening(NamedTuple):
    """A rectangular window in a surface; ``left_m`` from the left corner seen from inside, ``sill_m`` from the floor
    on a wall and from the lower edge along the slope on a roof or floor."""

    on: str
    left_m: float
    sill_m: float
    width_m: float
    height_m: float
    pane_index: int


class Block(NamedTuple):
    """An opaque box along the house axes, inside (rack, barrel) or outside (a neighbouring building)."""

    name: str
    low_m: tuple[float, float, float]
    high_m: tuple[float, float, float]
    refl_frac: float


class Frame(NamedTuple):
    """Plane axes of a face: ``u`` to the right seen from inside, ``v`` up the wall or slope, ``normal`` inwards."""

    origin_m: FloatArray
    u: FloatArray
    v: FloatArray
    normal: FloatArray


def _prism(profile_m: Sequence[tuple[float, float]], names: Sequence[str], length_m: float) -> dict[str, FloatArray]:
    """Faces of a room with the same section all along x; names for the strips between section points."""
    section = np.array(profile_m)
    faces: dict[str, FloatArray] = {}
    for k, name in enumerate(names):
        (y_1, z_1), (y_2, z_2) = section[k], section[(k + 1) % len(section)]
        faces[name] = np.array(
            [[0, y_1, z_1], [length_m, y_1, z_1], [length_m, y_2, z_2], [0, y_2, z_2]], dtype=np.float64
        )
    for name, x in (("west", 0.0), ("east", length_m)):
        faces[name] = np.column_stack([np.full(len(section), x), section])
    return faces


def gable(d: Mapping[str, float]) -> dict[str, FloatArray]:
    """Two equal roof slopes, ridge along x. Needs length, width, eaves, ridge [m]."""
    width, eaves = d["width"], d["eaves"]
    profile = [(0.0, 0.0), (width, 0.0), (width, eaves), (width / 2, d["ridge"]), (0.0, eaves)]
    return _prism(profile, ["floor", "north", "roof-north", "roof-south", "south"], d["length"])


def lean_to(d: Mapping[str, float]) -> dict[str, FloatArray]:
    """One slope from back (y = width) to front (y = 0). Needs length, width, front, back [m]."""
    width = d["width"]
    profile = [(0.0, 0.0), (width, 0.0), (width, d["back"]), (0.0, d["front"])]
    return _prism(profile, ["floor", "north", "roof", "south"], d["length"])


def box(d: Mapping[str, float]) -> dict[str, FloatArray]:
    """Upright walls. Needs length, width (or depth), eaves; back, if the roof slopes [m]."""
    eaves = d["eaves"]
    width = d["width"] if "width" in d else d["depth"]
    return lean_to({"length": d["length"], "width": width, "front": eaves, "back": d.get("back", eaves)})


def hoop(d: Mapping[str, float]) -> dict[str, FloatArray]:
    """Half ellipse as flat strips, on upright sides if eaves are given. Needs length, width, ridge; eaves [m].

    The strips are ``roof-south-1`` (lowest) up to ``-5`` and likewise ``roof-north-``; corners lie on the ellipse.
    Method: geometry, corners at equal steps of the ellipse's angle.
    """
    width, ridge, eaves = d["width"], d["ridge"], d.get("eaves", 0.0)
    turn = np.linspace(0.0, np.pi, 2 * HOOP_FACETS_PER_SIDE + 1)
    arc = [(width / 2 * (1 + float(np.cos(a))), eaves + (ridge - eaves) * float(np.sin(a))) for a in turn]
    strips = [f"roof-north-{k + 1}" for k in range(HOOP_FACETS_PER_SIDE)]
    strips += [f"roof-south-{k}" for k in range(HOOP_FACETS_PER_SIDE, 0, -1)]
    if eaves <= 0.0:
        return _prism([*arc[:-1], (0.0, 0.0)], [*strips, "floor"], d["length"])
    return _prism([*arc, (0.0, 0.0), (width, 0.0)], [*strips, "south", "floor", "north"], d["length"])


SHAPES: Final[dict[str, Callable[[Mapping[str, float]], dict[str, FloatArray]]]] = {
    "gable": gable,
    "lean-to": lean_to,
    "hoop": hoop,
    "box": box,
    "cold-frame": lean_to,
    "window-sill": box,
}
"""Builders by shape; each takes lengths by key without unit suffix and gives faces by name."""


def faces_m(shape: str, dimensions_m: Mapping[str, float]) -> dict[str, FloatArray]:
    """Corner points of every face of a shape.

    Parameters: shape, a key of ``SHAPES``; dimensions_m, lengths [m] by key (length, width, eaves, ...).
    Returns: name → corners [k, 3] in house axes [m], in order round the edge.
    Raises: OutOfRange for an unknown shape, a missing or a non-positive length, a ridge below the eaves.
    """
    if shape not in SHAPES:
        raise OutOfRange(f"shape {shape!r} is not one of {', '.join(SHAPES)}")
    for name, value in dimensions_m.items():
        if not (np.isfinite(value) and (value > 0.0 or (name == "eaves" and value == 0.0))):
            raise OutOfRange(f"{name}_m: {value} is not a positive length")
    if dimensions_m.get("ridge", np.inf) <= dimensions_m.get("eaves", 0.0):
        raise OutOfRange("ridge_m must be above eaves_m")
    try:
        return SHAPES[shape](dimensions_m)
    except KeyError as missing:
        raise OutOfRange(f"a {shape} house needs {missing.args[0]}_m") from None


def covered_by_default(shape: str, name: str) -> bool:
    """Whether a face is made of the house's cover unless the file says otherwise: no floor, no frame side, no room."""
    if name == "floor" or shape == "window-sill":
        return False
    return shape != "cold-frame" or name == "roof"


def same_face(face: str, wanted: str) -> bool:
    """Whether an override for ``wanted`` concerns ``face``: itself, or a strip of it (roof-south-3 of roof-south)."""
    return face == wanted or face.startswith(wanted + "-")


def newell_normal(vertices_m: FloatArray) -> FloatArray:
    """Vector area of a polygon [m²]: along the normal, as long as the area is large.

    Parameters: vertices_m [k, 3] [m]. Method: Newell, half the sum of cross products round the polygon (geometry).
    """
    following = np.roll(vertices_m, -1, axis=0)
    return np.asarray(np.cross(vertices_m, following).sum(axis=0) / 2)


def frame_of(vertices_m: FloatArray, room_centre_m: FloatArray) -> Frame:
    """Axes of a face seen from inside the room; origin at its lower left.

    Parameters: vertices_m [k, 3]; room_centre_m [3], any point inside the room.
    Returns: Frame; on floors and flat roofs ``v`` points to the back (+y).
    Method: geometry.
    """
    normal = newell_normal(vertices_m)
    normal = normal / np.linalg.norm(normal)
    if (room_centre_m - vertices_m.mean(axis=0)) @ normal < 0:
        normal = -normal
    up = np.array([0.0, 0.0, 1.0]) - normal[2] * normal
    if np.linalg.norm(up) < TOLERANCE_M:
        up = np.array([0.0, 1.0, 0.0]) - normal[1] * normal
    v = up / np.linalg.norm(up)
    u = np.cross(v, normal)
    flat = vertices_m @ np.column_stack([u, v])
    corner = flat.min(axis=0)
    origin = corner[0] * u + corner[1] * v + (vertices_m[0] @ normal) * normal
    return Frame(origin, u, v, normal)


def on_plane_m(frame: Frame, points_m: FloatArray) -> FloatArray:
    """Coordinates (u, v) of points in a face's own axes [..., 2] [m]."""
    return np.asarray((points_m - frame.origin_m) @ np.column_stack([frame.u, frame.v]))


def opening_corners_m(frame: Frame, opening: Opening, floor_m: float) -> FloatArray:
    """Rectangle of an opening in its face's axes: [[u1, v1], [u2, v2]] [m]."""
    sill = opening.sill_m
    if abs(frame.normal[2]) < TOLERANCE_M:
        sill = sill + floor_m - frame.origin_m[2]
    low = np.array([opening.left_m, sill])
    return np.stack([low, low + np.array([opening.width_m, opening.height_m])])


def opening_problems(surfaces: Sequence[Surface], openings: Sequence[Opening]) -> list[Problem]:
    """What is wrong with the windows: unknown face, outside its face, two of them overlapping.

    Parameters: surfaces and openings of one room.
    Returns: problems, keys ``window 1`` and so on in the order given.
    """
    problems: list[Problem] = []
    by_name = {s.name: s for s in surfaces}
    centre = np.concatenate([s.vertices_m for s in surfaces]).mean(axis=0)
    floor = min(float(s.vertices_m[:, 2].min()) for s in surfaces)
    placed: list[tuple[int, str, FloatArray]] = []
    for number, opening in enumerate(openings, start=1):
        key = f"window {number}"
        if opening.on not in by_name:
            problems.append(
                Problem("", f"{key}.on", repr(opening.on), ", ".join(by_name), "Name a face of this house.")
            )
            continue
        vertices = by_name[opening.on].vertices_m
        frame = frame_of(vertices, centre)
        corners = opening_corners_m(frame, opening, floor)
        if not _rectangle_inside(corners, on_plane_m(frame, vertices)):
            problems.append(_outside(key, opening, on_plane_m(frame, vertices)))
        for other, face, rectangle in placed:
            if face == opening.on and _overlap(corners, rectangle):
                problems.append(
                    Problem("", key, f"overlaps window {other} on {face}", "", "Move or shrink one of them.")
                )
        placed.append((number, opening.on, corners))
    return problems


def _outside(key: str, opening: Opening, outline_m: FloatArray) -> Problem:
    size = outline_m.max(axis=0)
    across = f"left {opening.left_m:g} + width {opening.width_m:g} m"
    found = f"{across}, sill {opening.sill_m:g} + height {opening.height_m:g} m"
    allowed = f"inside the {opening.on} face, {size[0]:.2f} m wide and {size[1]:.2f} m high"
    return Problem("", key, found, allowed, "Make the window smaller or move it.")


def _overlap(a_m: FloatArray, b_m: FloatArray) -> bool:
    return bool(np.all(np.minimum(a_m[1], b_m[1]) - np.maximum(a_m[0], b_m[0]) > TOLERANCE_M))


def _rectangle_inside(corners_m: FloatArray, outline_m: FloatArray) -> bool:
    low, high = corners_m
    points = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    return bool(np.all(inside_convex(points, outline_m, TOLERANCE_M)))


def inside_convex(points_m: FloatArray, outline_m: FloatArray, slack_m: float = 0.0) -> NDArray[np.bool_]:
    """Which points [n, 2] lie in a convex outline [k, 2] (either way round), give or take ``slack_m``.

    Parameters: points_m, outline_m, slack_m [m]. Method: geometry, on the same side of every edge.
    """
    edges = np.roll(outline_m, -1, axis=0) - outline_m
    lengths = np.maximum(np.hypot(edges[:, 0], edges[:, 1]), np.finfo(np.float64).tiny)
    relative = points_m[:, None, :] - outline_m
    side = (edges[:, 0] * relative[..., 1] - edges[:, 1] * relative[..., 0]) / lengths
    way = np.sign(
        np.sum(outline_m[:, 0] * np.roll(outline_m[:, 1], -1) - outline_m[:, 1] * np.roll(outline_m[:, 0], -1))
    )
    return np.asarray(np.all(side * way >= -slack_m, axis=1))
