"""Light from outside on points and patches: straight through panes, and what diffusing panes send on."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.mirror import Landings, cosine_table, curve_at, follow, land
from tenhour.house.outside import Emitters
from tenhour.house.patches import IntArray, Room
from tenhour.house.shapes import OPAQUE, FloatArray
from tenhour.house.spread import even_points
from tenhour.house.trace import first_hit, patch_at

PANE_RAYS: Final = 60_000
"""Rays spent on where light lands that comes straight through the panes."""

FEWEST_PER_PANE: Final = 6
"""Rays per pane and direction at least."""

MOST_PER_PANE: Final = 4096
"""Rays per pane and direction at most."""

POOL: Final = 4096
"""Starting points kept per pane."""

CHUNK: Final = 16
"""Points looked from at a time, so that the arrays stay in the processor's cache."""

MIRROR_SKIP: Final = 4
"""Of the rays that points send to smooth panes, one in so many is followed through the mirror."""


class Tables(NamedTuple):
    """Curves of all panes over the cosine of incidence [c, steps + 1]."""

    straight: FloatArray
    scattered: FloatArray
    mirrored: FloatArray


def pane_tables(straight_frac: FloatArray, scattered_frac: FloatArray, mirrored_frac: FloatArray) -> Tables:
    """Tables from curves on whole degrees [c, 91]."""
    return Tables(cosine_table(straight_frac), cosine_table(scattered_frac), cosine_table(mirrored_frac))


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

    def picked(self, which: NDArray[np.bool_]) -> Source:
        """Only some of the rays."""
        return Source(self.receiver[which], self.emitter[which], self.piece[which], self.weight[which])


class _Seen(NamedTuple):
    """What rays from points to all dome directions meet first."""

    where_m: FloatArray
    face: NDArray[np.int16]
    patch: IntArray


def _look(room: Room, point_m: FloatArray, direction: FloatArray) -> _Seen:
    parts = [_look_part(room, point_m[k : k + CHUNK], direction) for k in range(0, len(point_m), CHUNK)]
    where, face, patch = (np.concatenate([part[k] for part in parts]) for k in range(len(_Seen._fields)))
    return _Seen(where, face, patch)


def _look_part(room: Room, point_m: FloatArray, direction: FloatArray) -> _Seen:
    hits = first_hit(room, point_m[:, None, :], direction[None, :, :])
    where = point_m[:, None, :] + hits.distance_m[..., None] * direction
    return _Seen(where, hits.face, patch_at(room, hits.face, where))


def gather(room: Room, around: Emitters, tables: Tables, point_m: FloatArray) -> tuple[FloatArray, Source]:
    """What level points see: form factors to every patch, and sky and outside things through the panes.

    Parameters: room; around, emitters; tables; point_m [p, 3], facing up.
    Returns: form factors [p, n], patches seen in panes' mirrors included (rows sum to 1), and Source with weights
    in [sr].
    """
    upper = np.arange(len(around.direction) // 2)
    direction = around.direction[upper]
    weight = around.solid_angle_sr[upper] * direction[:, 2]
    seen = _look(room, point_m, direction)
    source = _through(room, around, tables.straight, point_m, upper, weight, seen)
    share = np.broadcast_to(weight / weight.sum(), seen.patch.shape).copy()
    count = len(room.patch_area_m2)
    factor = np.zeros(len(point_m) * count)
    if tables.mirrored.any():
        factor += _in_mirrors(room, tables.mirrored, direction, seen, share)
    row = np.arange(len(point_m))[:, None] * count
    factor += np.bincount((row + seen.patch).ravel(), share.ravel(), len(factor))
    return factor.reshape(len(point_m), count), source


def _in_mirrors(room: Room, mirrors: FloatArray, direction: FloatArray, seen: _Seen, share: FloatArray) -> FloatArray:
    """Take the mirrored part off the rays' share, and return where it goes [p × n]."""
    point, ray = np.nonzero(room.patch_pane_index[seen.patch] != OPAQUE)
    patch, face = seen.patch[point, ray], seen.face[point, ray]
    cosine = -np.einsum("ij,ij->i", direction[ray], room.face_normal[face])
    thrown = share[point, ray] * curve_at(mirrors, np.clip(cosine, 0.0, 1.0), room.patch_pane_index[patch])
    share[point, ray] -= thrown
    few = slice(MIRROR_SKIP // 2, None, MIRROR_SKIP)
    ends = follow(room, mirrors, seen.where_m[point, ray][few], direction[ray[few]], face[few], patch[few])
    back = ends.mirrored
    start = point[few][ends.ray[back]]
    part = share[point, ray][few] + thrown[few]
    light = part[ends.ray[back]] * ends.share_frac[back]
    count = len(room.patch_area_m2)
    points = len(seen.patch)
    wanted = np.bincount(point, thrown, points)
    followed = np.bincount(start, light, points)
    scale = wanted / np.where(followed > 0, followed, 1.0)
    share[point, ray] += np.where(followed > 0, 0.0, 1.0)[point] * thrown
    cell = start * count + ends.patch[back]
    return np.asarray(np.bincount(cell, light * scale[start], points * count), dtype=np.float64)


def _through(
    room: Room,
    around: Emitters,
    straight: FloatArray,
    point_m: FloatArray,
    index: IntArray,
    weight: FloatArray,
    seen: _Seen,
) -> Source:
    point, ray = np.nonzero(room.patch_pane_index[seen.patch] != OPAQUE)
    direction = index[ray]
    at = seen.patch[point, ray]
    normal = room.face_normal[seen.face[point, ray]]
    cosine = -np.einsum("ij,ij->i", around.direction[direction], normal)
    passed = curve_at(straight, np.clip(cosine, 0.0, 1.0), room.patch_pane_index[at])
    emitter = around.along(point_m[point], direction)
    found = Source(point, emitter, room.patch_piece[at], weight[ray] * passed)
    return found.picked((emitter >= 0) & (passed > 0.0))


def point_straight(room: Room, around: Emitters, tables: Tables, point_m: FloatArray) -> Source:
    """Beam that reaches level points straight: as :func:`gather`, for suns.

    Parameters: as there; ``around`` made by ``Emitters.as_suns``.
    Returns: Source with weights per unit of beam at normal incidence [-].
    """
    up = np.flatnonzero(around.direction[:, 2] > 0)
    direction = around.direction[up]
    seen = _look(room, point_m, direction)
    return _through(room, around, tables.straight, point_m, up, direction[:, 2], seen)


def pane_light(room: Room, around: Emitters, tables: Tables) -> tuple[Source, Source]:
    """Where light lands that goes straight through the panes.

    Parameters: room; around, emitters; tables.
    Returns: Source with patches as receivers and weights in [m² sr] (for suns [m²]), light per unit radiance; and
    the part of it that came by way of a pane's mirror.
    Method: rays from evenly spread points of each pane, inwards along each direction; each carries its share of the
    pane's light, so what lands is exactly what entered.
    """
    facing = _facing(room, around, tables.straight)
    rays = sum(len(index) for _, index in facing)
    each = int(np.clip(PANE_RAYS // max(rays, 1), FEWEST_PER_PANE, MOST_PER_PANE))
    parts = [_pane_rays(room, around, tables, piece, index, each) for piece, index in facing]
    empty = np.zeros(0, dtype=np.int64)
    parts.append((Source(empty, empty, empty, np.zeros(0)), np.zeros(0, dtype=bool)))
    everything = Source(*(np.concatenate([part[0][k] for part in parts]) for k in range(len(Source._fields))))
    return everything, everything.picked(np.concatenate([part[1] for part in parts]))


def _facing(room: Room, around: Emitters, curves: FloatArray) -> list[tuple[int, IntArray]]:
    """Pieces that let some light through, each with the directions it faces."""
    found = []
    for k, piece in enumerate(room.pieces):
        if piece.pane_index != OPAQUE and curves[piece.pane_index].any():
            outward = -(around.direction @ room.face_normal[piece.face_index])
            index = np.flatnonzero(outward > 0)
            if len(index):
                found.append((k, index))
    return found


def _pane_rays(
    room: Room, around: Emitters, tables: Tables, piece: int, index: IntArray, each: int
) -> tuple[Source, NDArray[np.bool_]]:
    start = _pane_points_m(room, piece)
    turn = np.repeat(index, each)
    origin = start[np.arange(len(turn)) % len(start)]
    emitter = around.along(origin, turn)
    inward = -around.direction[turn]
    which = room.pieces[piece]
    cosine = inward @ room.face_normal[which.face_index]
    passed = curve_at(tables.straight, cosine, np.full(len(turn), which.pane_index))
    area = room.patch_area_m2[room.patch_piece == piece].sum() / each
    weight = area * around.solid_angle_sr[turn] * cosine * passed
    ends: Landings = land(room, tables.mirrored, origin, inward)[0]
    light = weight[ends.ray] * ends.share_frac
    found = Source(ends.patch, emitter[ends.ray], np.full(len(light), piece), light)
    keep = found.emitter >= 0
    return found.picked(keep), ends.mirrored[keep]


def _pane_points_m(room: Room, piece: int) -> FloatArray:
    """Points spread evenly over a piece of skin."""
    own = np.flatnonzero(room.patch_piece == piece)
    even = even_points(POOL, 3, start=POOL * piece)
    upto = np.cumsum(room.patch_area_m2[own])
    patch = own[np.minimum(np.searchsorted(upto, even[:, 0] * upto[-1]), len(own) - 1)]
    return room.points_on_m(patch, even[:, 1], even[:, 2])


class Diffused(NamedTuple):
    """Light that diffusing panes send on in all directions, by group of patches that send alike."""

    density: FloatArray
    """[groups, emitters], per area of pane [sr] (for suns [-])."""
    piece: IntArray
    """[groups]."""
    patches: FloatArray
    """[n, groups], 1 where a patch belongs to a group."""


def scatter_light(room: Room, around: Emitters, tables: Tables) -> Diffused:
    """What diffusing panes send on.

    Parameters: room; around, emitters; tables.
    Returns: Diffused; a group is a whole pane, or a patch of it if things outside stand near.
    """
    density: list[FloatArray] = []
    piece: list[int] = []
    members: list[FloatArray] = []
    count = len(room.patch_area_m2)
    for k, index in _facing(room, around, tables.scattered):
        own = np.flatnonzero(room.patch_piece == k)
        which = room.pieces[k]
        cosine = -(around.direction[index] @ room.face_normal[which.face_index])
        passed = curve_at(tables.scattered, cosine, np.full(len(index), which.pane_index))
        weight = around.solid_angle_sr[index] * cosine * passed
        places = room.patch_centre_m[own] if around.outside.near else room.patch_centre_m[own[:1]]
        seen = np.broadcast_to(around.along(places[:, None, :], index[None, :]), (len(places), len(index)))
        keep = seen >= 0
        flat = (np.arange(len(places))[:, None] * around.count + seen)[keep]
        light = np.broadcast_to(weight, seen.shape)[keep]
        summed = np.bincount(flat, light, len(places) * around.count)
        density.append(np.asarray(summed.reshape(len(places), around.count), dtype=np.float64))
        piece += [k] * len(places)
        group = np.zeros((count, len(places)))
        group[own, np.arange(len(own)) if around.outside.near else 0] = 1.0
        members.append(group)
    if not density:
        return Diffused(np.zeros((0, around.count)), np.zeros(0, dtype=np.int64), np.zeros((count, 0)))
    return Diffused(np.concatenate(density), np.array(piece), np.concatenate(members, axis=1))
