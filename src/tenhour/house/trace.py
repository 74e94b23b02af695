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

    def picked(self, which: IntArray) -> Hits:
        """Only some of the rays."""
        return Hits(self.face[which], self.distance_m[which])


def first_hit(room: Room, origin_m: FloatArray, direction: FloatArray) -> Hits:
    """First face each ray meets.

    Parameters: room; origin_m [..., 3] inside the room; direction [..., 3] unit vectors; the two broadcast, so that
    points [p, 1, 3] against directions [1, s, 3] cost little more than p·s comparisons per face.
    Returns: Hits of the broadcast shape. A ray always meets something: the room is closed.
    """
    away = np.maximum(_along(room.plane_normal, origin_m) - _as_first(room.plane_offset_m, origin_m), NEAREST_M)
    speed = _along(room.plane_normal, direction)
    inverse = np.where(speed < -NEAREST_M, -1.0 / np.where(speed < -NEAREST_M, speed, 1.0), NEVER_M)
    shape = np.broadcast_shapes(origin_m.shape[:-1], direction.shape[:-1])
    best = np.full(shape, np.inf)
    face = np.zeros(shape, dtype=np.int16)
    for k in np.flatnonzero((inverse < NEVER_M).reshape(len(inverse), -1).any(axis=1)):
        distance = away[k] * inverse[k]
        closer = distance < best
        np.copyto(best, distance, where=closer)
        np.copyto(face, np.int16(k), where=closer)
    if len(room.block_low_m):
        _blocks(room, origin_m, direction, best, face)
    return Hits(face, best)


def first_block_m(room: Room, origin_m: FloatArray, direction: FloatArray) -> FloatArray:
    """Distance at which each ray meets the first box or bed [m]; infinite where it meets none.

    Parameters: as of :func:`first_hit`; the skin of the room is left out.
    """
    shape = np.broadcast_shapes(origin_m.shape[:-1], direction.shape[:-1])
    best = np.full(shape, np.inf)
    _blocks(room, origin_m, direction, best, np.zeros(shape, dtype=np.int16))
    return best


def _along(normal: FloatArray, vectors: FloatArray) -> FloatArray:
    """Components of vectors [..., 3] along each normal [f, 3]: [f, ...], each face's in one piece of memory."""
    return np.asarray((normal @ vectors.reshape(-1, 3).T).reshape(len(normal), *vectors.shape[:-1]))


def _as_first(values: FloatArray, like: FloatArray) -> FloatArray:
    return values.reshape(-1, *[1] * (like.ndim - 1))


def _blocks(room: Room, origin_m: FloatArray, direction: FloatArray, best: FloatArray, face: NDArray[np.int16]) -> None:
    rays = slab_rays(origin_m, direction)
    height = origin_m[..., 2]
    lowest, highest = float(height.min(initial=np.inf)), float(height.max(initial=-np.inf))
    rising, falling = bool((direction[..., 2] >= 0).all()), bool((direction[..., 2] <= 0).all())
    for b, (low, high) in enumerate(zip(room.block_low_m, room.block_high_m, strict=True)):
        if (rising and high[2] < lowest) or (falling and low[2] > highest):
            continue
        if low[2] == high[2]:
            _sheet(room, b, rays, best, face)
            continue
        enter, leave = block_range(low, high, rays)
        np.maximum(enter, 0.0, out=enter)
        met = np.flatnonzero((enter <= leave) & (leave > TOUCH_M) & (enter < best + TIE_M))
        best.ravel()[met] = enter.ravel()[met]
        face.ravel()[met] = room.planes_count + BLOCK_FACES * b + entered_side(low, high, rays, met)


def _sheet(room: Room, block: int, rays: SlabRays, best: FloatArray, face: NDArray[np.int16]) -> None:
    """A block without height, such as a bed: met where a ray crosses its level inside its outline."""
    low, high = room.block_low_m[block], room.block_high_m[block]
    distance = low[2] * rays.inverse[2] - rays.start[2]
    met = np.flatnonzero((distance > TOUCH_M) & (distance < best + TIE_M))
    at = distance.ravel()[met]
    inside = np.ones(len(met), dtype=bool)
    for axis in (0, 1):
        # origin + distance × direction, from what is kept of the ray
        place = (rays.part(rays.start[axis], met) + at) / rays.part(rays.inverse[axis], met)
        inside &= (place >= low[axis]) & (place <= high[axis])
    met = met[inside]
    upwards = rays.part(rays.inverse[2], met) > 0
    best.ravel()[met] = at[inside]
    face.ravel()[met] = room.planes_count + BLOCK_FACES * (block + 1) - np.where(upwards, 2, 1)


class SlabRays(NamedTuple):
    """Rays made ready for boxes along the axes: per axis 1/direction, origin/direction and whether they go forward."""

    inverse: list[FloatArray]
    start: list[FloatArray]
    forward: list[NDArray[np.bool_]]

    def part(self, values: FloatArray, rays: IntArray) -> FloatArray:
        """Values of some rays, by flat number; values are of all rays or of all directions."""
        flat = values.ravel()
        return flat[rays if flat.size == self.start[0].size else rays % flat.size]


def slab_rays(origin_m: FloatArray, direction: FloatArray) -> SlabRays:
    """Make rays ready for :func:`block_range`; origin_m and direction [..., 3] broadcast."""
    safe = np.where(np.abs(direction) < NEAREST_M, NEAREST_M, direction)
    inverse = [1.0 / safe[..., a] for a in range(3)]
    start = [origin_m[..., a] * inverse[a] for a in range(3)]
    return SlabRays(inverse, start, [safe[..., a] > 0 for a in range(3)])


def _near(low_m: FloatArray, high_m: FloatArray, rays: SlabRays, axis: int) -> FloatArray:
    side = np.where(rays.forward[axis], low_m[axis], high_m[axis])
    return np.asarray(side * rays.inverse[axis] - rays.start[axis])


def block_range(low_m: FloatArray, high_m: FloatArray, rays: SlabRays) -> tuple[FloatArray, FloatArray]:
    """Where rays enter and leave a block (slab method).

    Parameters: low_m, high_m [3]; rays.
    Returns: entering and leaving distance [m]; entering beyond leaving means a miss.
    """
    enter, leave = _near(low_m, high_m, rays, 0), _near(high_m, low_m, rays, 0)
    for axis in (1, 2):
        np.maximum(enter, _near(low_m, high_m, rays, axis), out=enter)
        np.minimum(leave, _near(high_m, low_m, rays, axis), out=leave)
    return enter, leave


def entered_side(low_m: FloatArray, high_m: FloatArray, rays: SlabRays, met: IntArray) -> IntArray:
    """Which of a block's six faces the rays that meet it enter by: low and high side of x, y, z.

    Parameters: low_m, high_m [3]; rays; met, flat numbers of the rays that meet it.
    Returns: one number per met ray, 0-5.
    """
    inverse = np.stack([rays.part(rays.inverse[a], met) for a in range(3)])
    forward = inverse > 0
    side = np.where(forward, low_m[:, None], high_m[:, None])
    near = side * inverse - np.stack([rays.part(rays.start[a], met) for a in range(3)])
    axis = near.argmax(axis=0)
    return np.asarray(2 * axis + np.where(forward[axis, np.arange(len(axis))], 0, 1))


def patch_at(room: Room, face: NDArray[np.int16], point_m: FloatArray) -> IntArray:
    """Patch of points on faces.

    Parameters: face [...]; point_m [..., 3] on those faces (within rounding).
    Returns: patch numbers [...].
    """
    shape = face.shape
    index = face.ravel().astype(np.int64)
    u, v = _on_face(point_m.reshape(-1, 3), index, room)
    iu = _cell(room.u_lines_m, room.u_start, index, u)
    iv = _cell(room.v_lines_m, room.v_start, index, v)
    cell = room.cell_start[index] + iu * room.v_cells[index] + iv
    for several, outlines in room.outlines.items():
        here = np.flatnonzero(index == several)
        cell[here] += room.cells[several] * _which_outline(outlines, np.column_stack([u[here], v[here]]))
    return np.asarray(room.cell_patch[cell].reshape(shape))


def _on_face(point_m: FloatArray, index: IntArray, room: Room) -> tuple[FloatArray, FloatArray]:
    """Coordinates of points in their faces' own axes."""
    out = []
    for axes in (room.face_u, room.face_v):
        offset = np.einsum("ij,ij->i", axes, room.face_origin_m)
        value = point_m[:, 0] * axes[:, 0][index]
        value += point_m[:, 1] * axes[:, 1][index]
        value += point_m[:, 2] * axes[:, 2][index]
        value -= offset[index]
        out.append(value)
    return out[0], out[1]


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
