"""What a ray meets first inside a convex room, and which patch that is. Everything else is built on this."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.patches import BLOCK_FACES, FAR_M, IntArray, Room
from tenhour.house.shapes import FloatArray, inside_convex

NEVER_M: Final = 1e30
"""Stands for the inverse of a speed towards a plane that is never met."""

NEAREST_M: Final = 1e-12
"""Smallest distance from a plane [m]: keeps a sensor that lies in a pane's plane from seeing it everywhere."""

TOUCH_M: Final = 1e-8
"""A block that a ray leaves within this distance is the one it starts from [m]."""

TIE_M: Final = 1e-7
"""A block that lies against a wall is met before the wall [m]."""


class Hits(NamedTuple):
    """First meeting of each ray: face, distance."""

    face: NDArray[np.int16]
    distance_m: FloatArray


def first_hit(room: Room, origin_m: FloatArray, direction: FloatArray) -> Hits:
    """First face each ray meets.

    Parameters: room; origin_m [..., 3] inside the room; direction [..., 3] unit vectors; the two broadcast, so that
    points [p, 1, 3] against directions [1, s, 3] cost little more than p·s comparisons per face.
    Returns: Hits of the broadcast shape. A ray always meets something: the room is closed.
    """
    away = np.maximum(np.moveaxis(origin_m @ room.plane_normal.T - room.plane_offset_m, -1, 0), NEAREST_M)
    speed = np.moveaxis(direction @ room.plane_normal.T, -1, 0)
    inverse = np.where(speed < -NEAREST_M, -1.0 / np.where(speed < -NEAREST_M, speed, 1.0), NEVER_M)
    shape = np.broadcast_shapes(origin_m.shape[:-1], direction.shape[:-1])
    best = np.full(shape, np.inf)
    face = np.zeros(shape, dtype=np.int16)
    for k in range(len(away)):
        distance = away[k] * inverse[k]
        closer = distance < best
        np.copyto(best, distance, where=closer)
        face[closer] = k
    if len(room.block_low_m):
        _blocks(room, origin_m, direction, best, face)
    return Hits(face, best)


def _blocks(room: Room, origin_m: FloatArray, direction: FloatArray, best: FloatArray, face: NDArray[np.int16]) -> None:
    safe = np.where(np.abs(direction) < NEAREST_M, NEAREST_M, direction)
    inverse = 1.0 / safe
    start = [origin_m[..., a] * inverse[..., a] for a in range(3)]
    forward = safe > 0
    for b, (low, high) in enumerate(zip(room.block_low_m, room.block_high_m, strict=True)):
        enter, leave, axis = block_range(low, high, inverse, forward, start)
        met = (enter <= leave) & (leave > TOUCH_M) & (np.maximum(enter, 0.0) < best + TIE_M)
        if not met.any():
            continue
        np.copyto(best, np.maximum(enter, 0.0), where=met)
        at = axis[met]
        side = np.broadcast_to(forward, (*met.shape, 3))[met][np.arange(len(at)), at]
        face[met] = room.planes_count + BLOCK_FACES * b + 2 * at + np.where(side, 0, 1)


def block_range(
    low_m: FloatArray,
    high_m: FloatArray,
    inverse: FloatArray,
    forward: NDArray[np.bool_],
    start: list[FloatArray],
) -> tuple[FloatArray, FloatArray, NDArray[np.int8]]:
    """Where rays enter and leave a block, and through which axis they enter (slab method).

    Parameters: low_m, high_m [3]; inverse, 1/direction [..., 3]; forward, direction > 0; start, origin × inverse per
    axis (already broadcast).
    Returns: entering and leaving distance, entering axis; entering beyond leaving means a miss.
    """
    enter = np.full(start[0].shape, -np.inf)
    leave = np.full(start[0].shape, np.inf)
    axis = np.zeros(start[0].shape, dtype=np.int8)
    for a in range(3):
        near = np.where(forward[..., a], low_m[a], high_m[a]) * inverse[..., a] - start[a]
        far = np.where(forward[..., a], high_m[a], low_m[a]) * inverse[..., a] - start[a]
        later = near > enter
        np.copyto(enter, near, where=later)
        axis[later] = a
        np.minimum(leave, far, out=leave)
    return enter, leave, axis


def patch_at(room: Room, face: NDArray[np.int16], point_m: FloatArray) -> IntArray:
    """Patch of points on faces.

    Parameters: face [...]; point_m [..., 3] on those faces (within rounding).
    Returns: patch numbers [...].
    """
    shape = face.shape
    index = face.ravel().astype(np.int64)
    relative = point_m.reshape(-1, 3) - room.face_origin_m[index]
    u = np.einsum("ij,ij->i", relative, room.face_u[index])
    v = np.einsum("ij,ij->i", relative, room.face_v[index])
    iu = _cell(room.u_lines_m, room.u_start, index, u)
    iv = _cell(room.v_lines_m, room.v_start, index, v)
    cell = room.cell_start[index] + iu * room.v_cells[index] + iv
    for several, outlines in room.outlines.items():
        here = np.flatnonzero(index == several)
        cell[here] += room.cells[several] * _which_outline(outlines, np.column_stack([u[here], v[here]]))
    return np.asarray(room.cell_patch[cell].reshape(shape))


def _cell(lines_m: FloatArray, start: IntArray, face: IntArray, at_m: FloatArray) -> IntArray:
    last = np.concatenate([start[1:], [len(lines_m)]]) - start - 2
    found = np.searchsorted(lines_m, at_m + face * FAR_M, side="right") - 1 - start[face]
    return np.asarray(np.clip(found, 0, last[face]))


def _which_outline(outlines: tuple[FloatArray, ...], points_m: FloatArray) -> IntArray:
    found = np.full(len(points_m), -1, dtype=np.int64)
    for k, outline in enumerate(outlines):
        open_ones = np.flatnonzero(found < 0)
        found[open_ones[inside_convex(points_m[open_ones], outline, TIE_M)]] = k
    for i in np.flatnonzero(found < 0):
        found[i] = int(np.argmin([((o.mean(axis=0) - points_m[i]) ** 2).sum() for o in outlines]))
    return found
