"""Light from outside on points and patches: straight through panes, and what diffusing panes send on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.house.mirror import Landings, cosine_table, curve_at, follow, land
from tenhour.house.outside import Emitters
from tenhour.house.patches import IntArray, Room
from tenhour.house.shapes import OPAQUE, FloatArray
from tenhour.house.spread import even_points
from tenhour.house.trace import Hits, first_hit, patch_at

PANE_RAYS: Final = 30_000
"""Rays spent on where light lands that comes straight through the panes: of the suns, and of sky and ground."""

FEWEST_PER_PANE: Final = 2
"""Rays per pane and direction at least."""

MOST_PER_PANE: Final = 4096
"""Rays per pane and direction at most."""

POOL: Final = 4096
"""Starting points kept per pane."""

FLAT: Final = 1e-6
"""A piece that fills the rectangle round it to so much is one."""

CHUNK: Final = 16
"""Points looked from at a time, so that the arrays stay in the processor's cache."""

MIRROR_SKIP: Final = 4
"""Of the rays that points send to smooth panes, one in so many is followed through the mirror."""

FACTOR_SKIP: Final = 3
"""Of the rays from points, one in so many is counted for what bounced."""

PICK_STEP: Final = 0.41421356237309515
"""Step that picks rays evenly whatever their order: √2 - 1. Not the golden section, by which ``plain_dome`` turns: it
would pick rays of one side only."""

SHADOW_SIDE: Final = 2
"""A diffusing patch is looked out of for suns at so many by so many places where something near may shade it."""

SMALLEST_LIGHT: Final = 1e-300
"""Keeps 0/0 away where panes mirror nothing."""


class Tables(NamedTuple):
    """Curves of all panes over the cosine of incidence [c, steps + 1]."""

    straight: FloatArray
    scattered: FloatArray
    mirrored: FloatArray


def pane_tables(straight_frac: FloatArray, scattered_frac: FloatArray, mirrored_frac: FloatArray) -> Tables:
    """Tables from curves on whole degrees [c, 91].

    Parameters: straight_frac, scattered_frac, mirrored_frac [-], of what falls on the pane.
    """
    return Tables(cosine_table(straight_frac), cosine_table(scattered_frac), cosine_table(mirrored_frac))


class Source(NamedTuple):
    """Light by receiver and emitter as a list of rays, kept apart by piece of skin so that panes can change."""

    receiver: IntArray
    emitter: IntArray
    piece: IntArray
    weight: FloatArray

    def summed(self, sizes: tuple[int, int]) -> sparse.csr_array:
        """Sum the rays.

        Parameters: sizes, receivers and emitters.
        Returns: [receivers, emitters].
        Method: every ray's weight, added by receiver and emitter (docs/method/house.md).
        """
        return sparse.csr_array(sparse.coo_array((self.weight, (self.receiver, self.emitter)), shape=sizes))

    def added(self, sizes: tuple[int, int]) -> FloatArray:
        """The same sums as a full array: for receivers that most emitters reach."""
        place = self.receiver * sizes[1] + self.emitter
        return np.asarray(np.bincount(place, self.weight, sizes[0] * sizes[1]), dtype=np.float64).reshape(sizes)

    def through(self, piece: NDArray[np.bool_]) -> Source:
        """Only the rays through some pieces [pieces]."""
        return self.picked(piece[self.piece])

    def picked(self, which: NDArray[np.bool_]) -> Source:
        """Only some of the rays."""
        return Source(self.receiver[which], self.emitter[which], self.piece[which], self.weight[which])


class _Glazed(NamedTuple):
    """Rays from points that meet panes, as flat lists."""

    point: IntArray
    ray: IntArray
    face: NDArray[np.int16]
    piece: IntArray


def _look(room: Room, point_m: FloatArray, direction: FloatArray) -> Iterator[tuple[int, Hits]]:
    """First meetings of all points with all directions, some points at a time: first point, hits [points, s]."""
    for first in range(0, len(point_m), CHUNK):
        yield first, first_hit(room, point_m[first : first + CHUNK, None, :], direction[None, :, :])


def _glazed(room: Room, point_m: FloatArray, direction: FloatArray, first: int, hits: Hits) -> _Glazed:
    """The rays of a chunk that meet panes."""
    flat = np.flatnonzero(room.face_glazed[hits.face.ravel()])
    face = hits.face.ravel()[flat]
    point, ray = first + flat // len(direction), flat % len(direction)
    piece = room.face_piece[face]
    mixed = np.flatnonzero(piece < 0)
    if len(mixed):
        distance = hits.distance_m.ravel()[flat[mixed]]
        where = point_m[point[mixed]] + distance[:, None] * direction[ray[mixed]]
        piece[mixed] = room.patch_piece[patch_at(room, face[mixed], where)]
        keep = room.piece_pane[piece] != OPAQUE
        return _Glazed(point[keep], ray[keep], face[keep], piece[keep])
    return _Glazed(point, ray, face, piece)


def gather(room: Room, around: Emitters, tables: Tables, point_m: FloatArray) -> tuple[FloatArray, Source]:
    """What level points see: form factors to every patch, and sky and outside things through the panes.

    Parameters: room; around, emitters; tables; point_m [p, 3], facing up.
    Returns: form factors [p, n] and Source with weights in [sr]. The factors take what a patch sends out to a point:
    rows sum to 1, and to more by what is seen in panes' mirrors besides, for a pane's own light comes in full. Where
    no pane diffuses, one ray in ``FACTOR_SKIP`` is enough for the form factors: they carry only what bounced.
    """
    upper = np.arange(len(around.direction) // 2)
    direction = around.direction[upper]
    weight = around.solid_angle_sr[upper] * direction[:, 2]
    skip = 1 if tables.scattered.any() else FACTOR_SKIP
    smooth = bool(tables.mirrored.any())
    sources: list[Source] = []
    thrown: list[_Thrown] = []
    factor = np.zeros((len(point_m), len(room.patch_area_m2)))
    for first, hits in _look(room, point_m, direction):
        seen = _glazed(room, point_m, direction, first, hits)
        sources.append(_passed(room, around, tables.straight, point_m, upper, weight, seen))
        met = _met(room, point_m, direction, weight, first, hits, skip)
        rows = factor[first : first + CHUNK]
        rows += _by_patch(met.point - first, met.patch, met.light, rows.shape)
        if smooth:
            thrown.append(_thrown(room, tables.mirrored, met))
    if smooth:
        factor += _in_mirrors(room, tables.mirrored, thrown, factor.shape)
    return factor, joined(sources)


class _Met(NamedTuple):
    """Rays from points with the patches they meet: point, way, face, place, patch, share of the point's light."""

    point: IntArray
    direction: FloatArray
    face: NDArray[np.int16]
    where_m: FloatArray
    patch: IntArray
    light: FloatArray

    def picked(self, which: IntArray) -> _Met:
        """Only some of the rays."""
        return _Met(
            self.point[which], self.direction[which], self.face[which], self.where_m[which], self.patch[which],
            self.light[which],
        )  # fmt: skip


def _together(parts: list[_Met]) -> _Met:
    """Rays of several chunks in one list."""
    return _Met(
        np.concatenate([p.point for p in parts]),
        np.concatenate([p.direction for p in parts]),
        np.concatenate([p.face for p in parts]),
        np.concatenate([p.where_m for p in parts]),
        np.concatenate([p.patch for p in parts]),
        np.concatenate([p.light for p in parts]),
    )


class _Thrown(NamedTuple):
    """The rays that are followed through mirrors, and the light that all those beside them throw back."""

    few: _Met
    light: float


def _by_patch(point: IntArray, patch: IntArray, light: FloatArray, shape: tuple[int, ...]) -> FloatArray:
    """Light summed by point and patch."""
    summed = np.bincount(point * shape[1] + patch, light, shape[0] * shape[1])
    return np.asarray(summed, dtype=np.float64).reshape(shape)


def _met(
    room: Room, point_m: FloatArray, direction: FloatArray, weight: FloatArray, first: int, hits: Hits, skip: int
) -> _Met:
    """A chunk's rays by the patches they meet, with their cosine-weighted shares."""
    flat = np.arange(hits.face.size)
    if skip > 1:
        flat = flat[np.mod(flat * PICK_STEP, 1.0) < 1.0 / skip]
    own, ray = flat // len(direction), flat % len(direction)
    face, way = hits.face.ravel()[flat], direction[ray]
    where = point_m[first + own] + hits.distance_m.ravel()[flat][:, None] * way
    part = weight[ray]
    return _Met(first + own, way, face, where, patch_at(room, face, where), part / np.bincount(own, part)[own])


def _thrown(room: Room, mirrors: FloatArray, met: _Met) -> _Thrown:
    """One ray in ``MIRROR_SKIP`` of a chunk's that meet panes; it carries the light of those beside it."""
    pane = room.patch_pane_index[met.patch]
    on = np.flatnonzero(pane != OPAQUE)
    cosine = -np.einsum("ij,ij->i", met.direction[on], room.face_normal[met.face[on]])
    light = met.light[on] * curve_at(mirrors, np.clip(cosine, 0.0, 1.0), pane[on])
    return _Thrown(met.picked(on[MIRROR_SKIP // 2 :: MIRROR_SKIP]), float(light.sum()))


def _in_mirrors(room: Room, mirrors: FloatArray, thrown: list[_Thrown], shape: tuple[int, ...]) -> FloatArray:
    """What points see in panes' mirrors, by patch; the rays of all chunks are followed together."""
    few = _together([own.few for own in thrown])
    if not len(few.point):
        return np.zeros(shape)
    ends = follow(room, mirrors, few.where_m, few.direction, few.face, few.patch)
    back = ends.order > 0
    ray = ends.ray[back]
    part = few.light[ray] * ends.share_frac[back]
    chunk = np.repeat(np.arange(len(thrown)), [len(own.few.point) for own in thrown])[ray]
    sums = np.bincount(chunk, part, len(thrown))
    scale = np.array([own.light for own in thrown]) / np.maximum(sums, SMALLEST_LIGHT)
    return _by_patch(few.point[ray], ends.patch[back], part * scale[chunk], shape)


def _passed(
    room: Room,
    around: Emitters,
    straight: FloatArray,
    point_m: FloatArray,
    index: IntArray,
    weight: FloatArray,
    seen: _Glazed,
) -> Source:
    """Light that rays to panes bring straight from outside."""
    cosines = -(around.direction[index] @ room.face_normal.T)
    cosine = np.clip(cosines[seen.ray, seen.face], 0.0, 1.0)
    passed = curve_at(straight, cosine, room.piece_pane[seen.piece])
    emitter = around.along(point_m[seen.point], index[seen.ray])
    found = Source(seen.point, emitter, seen.piece, weight[seen.ray] * passed)
    return found.picked((emitter >= 0) & (passed > 0.0))


def joined(parts: list[Source]) -> Source:
    """Several lists of rays as one."""
    empty = np.zeros(0, dtype=np.int64)
    parts = [Source(empty, empty, empty, np.zeros(0)), *parts]
    return Source(
        np.concatenate([p.receiver for p in parts]),
        np.concatenate([p.emitter for p in parts]),
        np.concatenate([p.piece for p in parts]),
        np.concatenate([p.weight for p in parts]),
    )


def point_straight(room: Room, around: Emitters, tables: Tables, point_m: FloatArray) -> Source:
    """Beam that reaches level points straight: as :func:`gather`, for suns.

    Parameters: as there; ``around`` made by ``Emitters.as_suns``.
    Returns: Source with weights per unit of beam at normal incidence [-].
    """
    up = np.flatnonzero(around.direction[:, 2] > 0)
    direction = around.direction[up]
    sources = []
    for first, hits in _look(room, point_m, direction):
        seen = _glazed(room, point_m, direction, first, hits)
        sources.append(_passed(room, around, tables.straight, point_m, up, direction[:, 2], seen))
    return joined(sources)


def pane_light(
    room: Room, around: Emitters, tables: Tables, most_rays: int = PANE_RAYS, often: FloatArray | None = None
) -> tuple[Source, Source]:
    """Where light lands that goes straight through the panes.

    Parameters: room; around, emitters; tables; most_rays, rays spent on all of them, about; often [directions], how
    much each counts beside the others, alike if none is given.
    Returns: Source with patches as receivers and weights in [m² sr] (for suns [m²]), light per unit radiance; and
    the part of it that came by way of two panes' mirrors or more.
    Method: rays from evenly spread points of each pane, inwards along each direction; each carries its share of the
    pane's light, so what lands is exactly what entered. Rays are spent where the light is: each carries about as much,
    times how often it does.
    """
    facing = _facing(room, around, tables.straight)
    if not facing:
        return joined([]), joined([])
    piece = np.repeat([k for k, _ in facing], [len(index) for _, index in facing])
    turn = np.concatenate([index for _, index in facing])
    cosines = -(around.direction @ room.face_normal.T)
    cosine = cosines[turn, np.array([p.face_index for p in room.pieces])[piece]]
    area = np.bincount(room.patch_piece, room.patch_area_m2, len(room.pieces))
    passed = curve_at(tables.straight, cosine, room.piece_pane[piece])
    light = area[piece] * around.solid_angle_sr[turn] * cosine * passed
    each = _rays_each(light if often is None else light * often[turn], most_rays)
    rays = np.bincount(piece, each, len(room.pieces)).astype(np.int64)
    origin = np.concatenate([_pane_points_m(room, k, int(rays[k])) for k, _ in facing])
    piece, turn, light = (np.repeat(own, each) for own in (piece, turn, light / each))
    emitter = around.along(origin, turn)
    ends: Landings = land(room, tables.mirrored, origin, -around.direction[turn])[0]
    found = Source(ends.patch, emitter[ends.ray], piece[ends.ray], light[ends.ray] * ends.share_frac)
    keep = found.emitter >= 0
    return found.picked(keep), found.picked(keep & (ends.order > 1))


def _rays_each(light: FloatArray, most_rays: int) -> IntArray:
    """Rays for each pane and direction, so that they carry about the same light [n]."""
    whole = float(light.sum())
    shares = light / whole if whole > 0.0 else np.zeros(len(light))
    return np.clip(np.rint(shares * most_rays), FEWEST_PER_PANE, MOST_PER_PANE).astype(np.int64)


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


def _pane_points_m(room: Room, piece: int, count: int) -> FloatArray:
    """Points spread evenly over a piece of skin, as many as asked for [count, 3]; they repeat after ``POOL``."""
    own = np.flatnonzero(room.patch_piece == piece)
    corners = room.patch_corner_m[own].reshape(-1, 2)
    low, size = corners.min(axis=0), np.ptp(corners, axis=0)
    again = np.arange(count) % min(count, POOL)
    if size.prod() < room.patch_area_m2[own].sum() * (1.0 + FLAT):  # a rectangle: spread over it as a whole
        even = even_points(min(count, POOL), 2, start=POOL * piece)
        face, flat = room.patch_face[own[0]], low + even * size
        points = room.face_origin_m[face] + flat @ np.stack([room.face_u[face], room.face_v[face]])
        return np.asarray(points[again])
    even = even_points(min(count, POOL), 3, start=POOL * piece)
    upto = np.cumsum(room.patch_area_m2[own])
    patch = own[np.minimum(np.searchsorted(upto, even[:, 0] * upto[-1]), len(own) - 1)]
    return np.asarray(room.points_on_m(patch, even[:, 1], even[:, 2])[again])


class Diffused(NamedTuple):
    """Light that diffusing panes send on in all directions, by group of patches that send alike."""

    density: FloatArray
    """[groups, emitters], per area of pane [sr] (for suns [-])."""
    piece: IntArray
    """[groups]."""
    patches: sparse.csr_array
    """[n, groups], 1 where a patch belongs to a group."""


def scatter_light(room: Room, around: Emitters, tables: Tables) -> Diffused:
    """What diffusing panes send on.

    Parameters: room; around, emitters; tables.
    Returns: Diffused; a group is a whole pane, or a patch of it if things outside stand near.
    Method: M = Σ L cos t T_scattered(t) dω, sent on evenly (docs/method/house.md).
    """
    density: list[FloatArray] = []
    piece: list[int] = []
    member: list[IntArray] = []
    group: list[IntArray] = []
    for k, index in _facing(room, around, tables.scattered):
        own = np.flatnonzero(room.patch_piece == k)
        which = room.pieces[k]
        cosine = -(around.direction[index] @ room.face_normal[which.face_index])
        passed = curve_at(tables.scattered, cosine, np.full(len(index), which.pane_index))
        weight = around.solid_angle_sr[index] * cosine * passed
        alone = bool(around.outside.near)
        member.append(own)
        group.append(len(piece) + (np.arange(len(own)) if alone else np.zeros(len(own), dtype=np.int64)))
        density.append(_arriving(room, around, own if alone else own[:1], index, weight))
        piece += [k] * len(density[-1])
    shape = (len(room.patch_area_m2), len(piece))
    if not density:
        return Diffused(np.zeros((0, around.count)), np.zeros(0, dtype=np.int64), sparse.csr_array(shape))
    place = np.concatenate(member), np.concatenate(group)
    patches = sparse.csr_array((np.ones(len(place[0])), place), shape=shape)
    return Diffused(np.concatenate(density), np.array(piece), patches)


def _arriving(room: Room, around: Emitters, patch: IntArray, index: IntArray, weight: FloatArray) -> FloatArray:
    """Light by patch and emitter: of a sun the mean over a few places on each patch, for a shadow may cross it."""
    side = SHADOW_SIDE if around.outside.near and around.suns else 1
    step = (np.arange(side) + 1 / 2) / side
    first, second = (a.ravel() for a in np.meshgrid(step, step))
    summed = np.zeros(len(patch) * around.count)
    for u, v in zip(first, second, strict=True):
        place = room.points_on_m(patch, np.full(len(patch), u), np.full(len(patch), v))
        seen = np.broadcast_to(around.along(place[:, None, :], index[None, :]), (len(patch), len(index)))
        keep = seen >= 0
        flat = (np.arange(len(patch))[:, None] * around.count + seen)[keep]
        summed += np.bincount(flat, np.broadcast_to(weight, seen.shape)[keep], len(summed))
    return np.asarray(summed.reshape(len(patch), around.count) / len(first))
