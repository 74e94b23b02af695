"""Light from outside on points and patches: straight through panes, and what diffusing panes send on."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.outside import Emitters
from tenhour.house.patches import IntArray, Room
from tenhour.house.shapes import OPAQUE, FloatArray
from tenhour.house.spread import even_points
from tenhour.house.trace import first_hit, patch_at

COSINE_STEPS: Final = 2048
"""Steps of the look-up of a pane's curve over the cosine of incidence; the error stays below 0.1 % of normal."""

PANE_RAYS: Final = 60_000
"""Rays spent on where light lands that comes straight through the panes."""

FEWEST_PER_PANE: Final = 6
"""Rays per pane and direction at least."""

MOST_PER_PANE: Final = 400
"""Rays per pane and direction at most."""

POOL: Final = 1021
"""Starting points kept per pane; a prime, so that directions and points never fall into step."""


class Source(NamedTuple):
    """Light by receiver and emitter as a list of rays, kept apart by piece of skin so that panes can change."""

    receiver: IntArray
    emitter: IntArray
    piece: IntArray
    weight: FloatArray

    def summed(self, piece_factor: FloatArray, sizes: tuple[int, int]) -> FloatArray:
        """Sum the rays.

        Parameters: piece_factor [pieces], factor on what passes [-]; sizes, receivers and emitters.
        Returns: [receivers, emitters].
        """
        flat = self.receiver * sizes[1] + self.emitter
        summed = np.bincount(flat, self.weight * piece_factor[self.piece], sizes[0] * sizes[1])
        return np.asarray(summed.reshape(sizes))


def curve_at(curve_frac: FloatArray, cosine: FloatArray, pane: IntArray) -> FloatArray:
    """Value of pane curves at cosines of incidence.

    Parameters: curve_frac [c, 91], on whole degrees; cosine [...], 0-1; pane [...], which curve.
    Returns: [...].
    """
    angle = np.degrees(np.arccos(np.linspace(0.0, 1.0, COSINE_STEPS + 1)))
    degrees = np.linspace(0.0, 90.0, curve_frac.shape[1])
    table = np.array([np.interp(angle, degrees, row) for row in curve_frac])
    step = np.minimum((cosine * COSINE_STEPS + 1 / 2).astype(np.int64), COSINE_STEPS)
    return np.asarray(table[pane, step])


def gather(room: Room, around: Emitters, straight_frac: FloatArray, point_m: FloatArray) -> tuple[FloatArray, Source]:
    """What level points see: form factors to every patch, and sky and outside things through the panes.

    Parameters: room; around, emitters; straight_frac [c, 91]; point_m [p, 3], facing up.
    Returns: form factors [p, n] (rows sum to 1) and Source with weights in [sr].
    """
    upper = len(around.direction) // 2
    direction = around.direction[:upper]
    weight = around.solid_angle_sr[:upper] * direction[:, 2]
    hits = first_hit(room, point_m[:, None, :], direction[None, :, :])
    where = point_m[:, None, :] + hits.distance_m[..., None] * direction
    patch = patch_at(room, hits.face, where)
    count = len(room.patch_area_m2)
    row = np.arange(len(point_m))[:, None] * count
    factor = np.bincount((row + patch).ravel(), np.broadcast_to(weight, patch.shape).ravel(), len(point_m) * count)
    source = _through(room, around, straight_frac, point_m, np.arange(upper), weight, hits.face, patch)
    return factor.reshape(len(point_m), count) / weight.sum(), source


def _through(
    room: Room,
    around: Emitters,
    straight_frac: FloatArray,
    point_m: FloatArray,
    index: IntArray,
    weight: FloatArray,
    face: NDArray[np.int16],
    patch: IntArray,
) -> Source:
    pane = room.patch_pane_index[patch]
    point, ray = np.nonzero(pane != OPAQUE)
    direction = index[ray]
    at = patch[point, ray]
    cosine = -np.einsum("ij,ij->i", around.direction[direction], room.face_normal[face[point, ray]])
    passed = curve_at(straight_frac, np.clip(cosine, 0.0, 1.0), pane[point, ray])
    emitter = around.along(point_m[point], direction)
    keep = emitter >= 0
    return Source(point[keep], emitter[keep], room.patch_piece[at][keep], (weight[ray] * passed)[keep])


def point_straight(room: Room, around: Emitters, straight_frac: FloatArray, point_m: FloatArray) -> Source:
    """Beam that reaches level points straight: as :func:`gather`, for suns.

    Parameters: as there; ``around`` made by ``Emitters.as_suns``.
    Returns: Source with weights per unit of beam at normal incidence [-].
    """
    up = np.flatnonzero(around.direction[:, 2] > 0)
    direction = around.direction[up]
    hits = first_hit(room, point_m[:, None, :], direction[None, :, :])
    patch = patch_at(room, hits.face, point_m[:, None, :] + hits.distance_m[..., None] * direction)
    return _through(room, around, straight_frac, point_m, up, direction[:, 2], hits.face, patch)


def pane_light(room: Room, around: Emitters, straight_frac: FloatArray) -> Source:
    """Where light lands that goes straight through the panes.

    Parameters: room; around, emitters; straight_frac [c, 91].
    Returns: Source with patches as receivers and weights in [m² sr] (for suns [m²]): light per unit radiance.
    Method: rays from evenly spread points of each pane, inwards along each direction; each carries its share of the
    pane's light, so what lands is exactly what entered.
    """
    facing = _facing(room, around, straight_frac)
    rays = sum(len(index) for _, index in facing)
    each = int(np.clip(PANE_RAYS // max(rays, 1), FEWEST_PER_PANE, MOST_PER_PANE))
    parts = [_pane_rays(room, around, straight_frac, piece, index, each) for piece, index in facing]
    empty = np.zeros(0, dtype=np.int64)
    parts.append(Source(empty, empty, empty, np.zeros(0)))
    return Source(*(np.concatenate([part[k] for part in parts]) for k in range(len(Source._fields))))


def _facing(room: Room, around: Emitters, curve_frac: FloatArray) -> list[tuple[int, IntArray]]:
    """Pieces that let some light through, each with the directions it faces."""
    found = []
    for k, piece in enumerate(room.pieces):
        if piece.pane_index != OPAQUE and curve_frac[piece.pane_index].any():
            outward = -(around.direction @ room.face_normal[piece.face_index])
            found.append((k, np.flatnonzero(outward > 0)))
    return found


def _pane_rays(
    room: Room, around: Emitters, straight_frac: FloatArray, piece: int, index: IntArray, each: int
) -> Source:
    start = _pane_points_m(room, piece)
    turn = np.repeat(index, each)
    origin = start[np.arange(len(turn)) % len(start)]
    emitter = around.along(origin, turn)
    inward = -around.direction[turn]
    hits = first_hit(room, origin, inward)
    patch = patch_at(room, hits.face, origin + hits.distance_m[:, None] * inward)
    which = room.pieces[piece]
    cosine = inward @ room.face_normal[which.face_index]
    passed = curve_at(straight_frac, cosine, np.full(len(turn), which.pane_index))
    area = room.patch_area_m2[room.patch_piece == piece].sum() / each
    weight = area * around.solid_angle_sr[turn] * cosine * passed
    keep = emitter >= 0
    return Source(patch[keep], emitter[keep], np.full(int(keep.sum()), piece), weight[keep])


def _pane_points_m(room: Room, piece: int) -> FloatArray:
    """Points spread evenly over a piece of skin."""
    own = np.flatnonzero(room.patch_piece == piece)
    even = even_points(POOL, 3, start=piece)
    upto = np.cumsum(room.patch_area_m2[own])
    patch = own[np.minimum(np.searchsorted(upto, even[:, 0] * upto[-1]), len(own) - 1)]
    return room.points_on_m(patch, even[:, 1], even[:, 2])


def scatter_density(room: Room, around: Emitters, scattered_frac: FloatArray) -> FloatArray:
    """Light that diffusing panes send on in all directions, per area of pane.

    Parameters: room; around, emitters; scattered_frac [c, 91].
    Returns: [n patches, emitters] [sr] (for suns [-]); zero for patches that are not diffusing panes.
    """
    out = np.zeros((len(room.patch_area_m2), around.count))
    for k, index in _facing(room, around, scattered_frac):
        own = np.flatnonzero(room.patch_piece == k)
        which = room.pieces[k]
        cosine = -(around.direction[index] @ room.face_normal[which.face_index])
        passed = curve_at(scattered_frac, cosine, np.full(len(index), which.pane_index))
        weight = around.solid_angle_sr[index] * cosine * passed
        places = room.patch_centre_m[own] if around.outside.near else room.patch_centre_m[own[:1]]
        seen = around.along(places[:, None, :], index[None, :])
        rows = np.broadcast_to(np.arange(len(places))[:, None], (len(places), len(index)))
        seen = np.broadcast_to(seen, rows.shape)
        keep = seen >= 0
        flat = rows[keep] * around.count + seen[keep]
        summed = np.bincount(flat, np.broadcast_to(weight, rows.shape)[keep], len(places) * around.count)
        out[own] = summed.reshape(len(places), around.count)
    return out
