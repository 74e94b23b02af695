"""Sun and sky that a smooth pane mirrors onto a point: their image behind the pane is looked for from the point."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from tenhour.house.mirror import curve_at
from tenhour.house.outside import Emitters
from tenhour.house.patches import IntArray, Room
from tenhour.house.shapes import OPAQUE, FloatArray
from tenhour.house.trace import first_hit, patch_at
from tenhour.house.transfer import Source, Tables, joined

SKY_THIN: Final = 4
"""One direction of sky and ground in so many is looked for in the panes' mirrors."""

GRAZING: Final = 1e-6
"""A sun that stands closer to a pane's plane than this is not seen in it [cosine]."""


def glints(room: Room, around: Emitters, tables: Tables, point_m: FloatArray) -> Source:
    """Light that reaches level points by way of one pane's mirror.

    Parameters: room; around, emitters, or suns made by ``Emitters.as_suns``; tables; point_m [p, 3].
    Returns: Source with weights in [sr] (for suns [-]), light on a horizontal point per unit radiance (of beam).
    Method: in the pane's plane the sun d has the image d - 2 (d·n) n. The point looks towards the image; where it
    meets the pane it looks on towards the sun itself, out through whatever pane is there.
    """
    smooth = _smooth(room, tables)
    if not around.suns:
        around = _thinned(around)
    faces = np.unique(room.patch_face[smooth])
    return joined([_in_face(room, around, tables, point_m, smooth, int(face)) for face in faces])


def _thinned(around: Emitters) -> Emitters:
    """Some directions of sky and ground, which stand for all."""
    few = slice(SKY_THIN // 2, None, SKY_THIN)
    angle = around.solid_angle_sr[few] * (around.solid_angle_sr.sum() / around.solid_angle_sr[few].sum())
    return replace(around, direction=around.direction[few], solid_angle_sr=angle, emitter=around.emitter[few])


def _smooth(room: Room, tables: Tables) -> IntArray:
    """Patches that mirror."""
    pane = room.patch_pane_index
    smooth = np.asarray(tables.mirrored.any(axis=1))
    return np.flatnonzero((pane != OPAQUE) & smooth[pane])


def _in_face(room: Room, around: Emitters, tables: Tables, point_m: FloatArray, smooth: IntArray, face: int) -> Source:
    normal = room.face_normal[face]
    depth = around.direction @ normal
    image = around.direction - 2 * depth[:, None] * normal
    point, sun, distance = _crossings(room, smooth, face, point_m, depth, image)
    place = point_m[point] + distance[:, None] * image[sun]
    onward = first_hit(room, place, around.direction[sun])
    glazed = np.flatnonzero(room.face_glazed[onward.face])
    point, sun, place, onward = point[glazed], sun[glazed], place[glazed], onward.picked(glazed)
    first = first_hit(room, point_m[point], image[sun])
    pane = room.patch_pane_index[patch_at(room, first.face, place)]
    seen = np.flatnonzero((first.face == face) & (pane != OPAQUE))
    point, sun, place, pane, onward = point[seen], sun[seen], place[seen], pane[seen], onward.picked(seen)
    patch = patch_at(room, onward.face, place + onward.distance_m[:, None] * around.direction[sun])
    out = room.patch_pane_index[patch]
    cosine = -np.einsum("ij,ij->i", around.direction[sun], room.face_normal[onward.face])
    passed = np.where(out == OPAQUE, 0.0, curve_at(tables.straight, np.clip(cosine, 0.0, 1.0), out))
    thrown = image[sun, 2] * curve_at(tables.mirrored, np.minimum(depth[sun], 1.0), pane)
    weight = thrown * passed * around.solid_angle_sr[sun]
    found = Source(point, around.along(place, sun), room.patch_piece[patch], weight)
    return found.picked((found.emitter >= 0) & (found.weight > 0.0))


def _crossings(
    room: Room, smooth: IntArray, face: int, point_m: FloatArray, depth: FloatArray, image: FloatArray
) -> tuple[IntArray, IntArray, FloatArray]:
    """Points and suns whose line to the image crosses the rectangle round the face's smooth patches, and where."""
    sun = np.flatnonzero((depth > GRAZING) & (image[:, 2] > 0.0))
    corners = room.patch_corner_m[smooth[room.patch_face[smooth] == face]].reshape(-1, 2)
    low, high = corners.min(axis=0), corners.max(axis=0)
    start = point_m - room.face_origin_m[face]
    distance = (start @ room.face_normal[face])[:, None] / depth[sun]
    inside = distance > 0.0
    for axis, direction in enumerate((room.face_u[face], room.face_v[face])):
        at = (start @ direction)[:, None] + distance * (image[sun] @ direction)
        inside &= (at >= low[axis]) & (at <= high[axis])
    point, which = np.nonzero(inside)
    return point, sun[which], distance[point, which]
