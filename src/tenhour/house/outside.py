"""What stands outside: the skyline, neighbouring walls and buildings, the ground; and which of them a ray meets.

Whatever sends light into the house is an *emitter*: the sky patches first, then the ground, then (if given) the
skyline by direction, and tiles of the faces of outside blocks and of the two sides of outside surfaces. The last three
shine only by what they reflect, so they are folded back into sky, ground and sun.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.patches import BLOCK_FACES, IntArray
from tenhour.house.shapes import Block, FloatArray, Surface, newell_normal
from tenhour.house.tiles import TILES, Hull, Tiles, passing_house, tiles_of
from tenhour.house.trace import NEAREST_M, block_range, entered_side, slab_rays

SKYLINE_SECTORS: Final = 16
"""Pieces of the skyline that shine alike. Judgement."""

THIN: Final = 3
"""Of the dome's directions, one in so many is looked along from neighbours. Judgement."""

SKYLINE_REFL_FRAC: Final = 0.1
"""Reflectance of hills, hedges and houses on the skyline for PAR. Memory: leaves and grass 0.05-0.10, walls more."""


class Dome(NamedTuple):
    """The sky cut into sub-samples; directions in east, north, up."""

    direction: FloatArray
    """[s, 3] unit vectors, up > 0."""
    solid_angle_sr: FloatArray
    """[s]."""
    patch: IntArray
    """[s], sky patch of each sample, 0 to patches - 1."""

    @property
    def patches_count(self) -> int:
        """How many sky patches there are."""
        return int(self.patch.max()) + 1


@dataclass(frozen=True)
class Outside:
    """Everything outside that hides or reflects light; blocks and surfaces in house axes."""

    skyline_deg: FloatArray | None = None
    """[k, 2], compass azimuth and height [degree], joined round the circle."""
    blocks: tuple[Block, ...] = ()
    surfaces: tuple[Surface, ...] = ()

    @property
    def near(self) -> bool:
        """Whether anything stands so near that it looks different from place to place in the house."""
        return bool(self.blocks or self.surfaces)

    def corners_m(self) -> FloatArray:
        """Corners of everything near [k, 3] [m]."""
        boxes = [np.array(np.meshgrid(*zip(b.low_m, b.high_m, strict=True))).reshape(3, -1).T for b in self.blocks]
        return np.concatenate([np.zeros((0, 3)), *boxes, *(s.vertices_m for s in self.surfaces)])


def house_axes(direction: FloatArray, azimuth_deg: float) -> FloatArray:
    """Turn directions from east, north, up into the house's axes.

    Parameters: direction [..., 3]; azimuth_deg, compass direction of the house's +x [degree].
    Returns: [..., 3].
    Method: geometry, a rotation about the vertical.

    >>> house_axes(np.array([1.0, 0.0, 0.0]), 90.0).round(9).tolist()
    [1.0, 0.0, 0.0]
    """
    turn = np.radians(azimuth_deg)
    sin, cos = np.sin(turn), np.cos(turn)
    east, north = direction[..., 0], direction[..., 1]
    return np.stack([east * sin + north * cos, north * sin - east * cos, direction[..., 2]], axis=-1)


def skyline_height_deg(skyline_deg: FloatArray, direction: FloatArray) -> FloatArray:
    """Height of the skyline in the azimuth of each direction.

    Parameters: skyline_deg [k, 2], azimuth and height; direction [..., 3] in east, north, up.
    Returns: heights [...] [degree], linear between the given azimuths, round the circle.
    Method: definition of the skyline (docs/method/house.md, "Outside").
    """
    azimuth = np.degrees(np.arctan2(direction[..., 0], direction[..., 1]))
    return np.asarray(np.interp(azimuth, skyline_deg[:, 0], skyline_deg[:, 1], period=360.0))


def above_skyline(outside: Outside, direction: FloatArray) -> NDArray[np.bool_]:
    """Which directions [..., 3] (east, north, up) see the sky over the skyline and the level horizon.

    Method: geometry, height of the direction against that of the skyline.
    """
    height = np.degrees(np.arcsin(np.clip(direction[..., 2], -1.0, 1.0)))
    if outside.skyline_deg is None:
        return np.asarray(height > 0.0)
    return np.asarray(height > np.maximum(skyline_height_deg(outside.skyline_deg, direction), 0.0))


@dataclass(frozen=True)
class Emitters:
    """Sky, ground and outside things as seen along every dome direction and its mirror below the horizon."""

    outside: Outside
    direction: FloatArray
    """[2 s, 3] in house axes, upper half first."""
    solid_angle_sr: FloatArray
    emitter: IntArray
    """[2 s], emitter along each direction if nothing near stands in the way."""
    sky_count: int
    """Sky patches; the ground comes next, then the skyline, then faces near by."""
    normal: FloatArray
    """[k, 3] normals of the reflecting emitters (skyline and tiles near by), in house axes."""
    refl_frac: FloatArray
    """[k]."""
    skyline_count: int
    tiles: Tiles
    hull: Hull | None = None
    """The house, which keeps light from its neighbours."""
    suns: bool = False
    """Directions are suns: each is an emitter of its own, and outside things only hide it."""

    @property
    def count(self) -> int:
        """All emitters."""
        return len(self.direction) if self.suns else self.sky_count + 1 + len(self.normal)

    def as_suns(self, sun: FloatArray) -> Emitters:
        """The same surroundings with suns [n, 3] (house axes) as the only emitters, each of unit beam."""
        one = np.ones(len(sun))
        return replace(self, direction=sun, solid_angle_sr=one, emitter=np.arange(len(sun)), suns=True)

    def by_direction(self) -> Emitters:
        """The same surroundings with every direction as an emitter of its own, tiles near by behind them: what is seen
        so can be told for any skyline (:meth:`emitter_of`)."""
        each = np.arange(len(self.direction))
        return replace(self, emitter=each, sky_count=len(each) - 1 - self.skyline_count)

    def emitter_of(self, seen: IntArray) -> IntArray:
        """Emitters of what was seen by direction [n]."""
        tiles = self.sky_count + 1 + np.arange(self.skyline_count, len(self.normal))
        return np.asarray(np.concatenate([self.emitter, tiles])[seen])

    def along(self, origin_m: FloatArray, index: IntArray) -> IntArray:
        """Emitter seen from points along dome directions.

        Parameters: origin_m [n, 3] and index [n], number of the direction; or origin_m [k, 1, 3] and index [1, n].
        Returns: emitters [n] or [k, n]; -1 for a sun that is hidden.
        """
        found = self.emitter[index]
        if not self.outside.near:
            return found
        near = np.flatnonzero(self._towards_near[index])
        if index.ndim > 1:
            near = near[self._may_meet(origin_m, self.direction[index[0, near]])]
            found = np.broadcast_to(found, (len(origin_m), index.shape[-1])).copy()
            found[:, near] = self._near_along(origin_m, index[:, near], found[:, near])
            return found
        found[near] = self._near_along(origin_m[near], index[near], found[near])
        return found

    @cached_property
    def _towards_near(self) -> NDArray[np.bool_]:
        """Directions along which anything near may stand, from somewhere in the house [n]."""
        if self.hull is None:
            return np.ones(len(self.direction), dtype=bool)
        return self._may_meet(self.hull.ends_m, self.direction)

    def _may_meet(self, origin_m: FloatArray, direction: FloatArray) -> NDArray[np.bool_]:
        """Directions [n, 3] along which anything near may stand, from somewhere in the box round the points [n]."""
        flat = origin_m.reshape(-1, 3)
        low, high = flat.min(axis=0, initial=np.inf), flat.max(axis=0, initial=-np.inf)
        rays = slab_rays(np.zeros(3), direction)
        may = np.zeros(len(direction), dtype=bool)
        corners = [np.array([b.low_m, b.high_m]) for b in self.outside.blocks]
        for at in (*corners, *(s.vertices_m for s in self.outside.surfaces)):
            enter, leave = block_range(at.min(axis=0) - high - NEAREST_M, at.max(axis=0) - low + NEAREST_M, rays)
            may |= (enter <= leave) & (leave > 0.0)
        return may

    def _near_along(self, origin_m: FloatArray, index: IntArray, found: IntArray) -> IntArray:
        direction = self.direction[index]
        face, distance = near_hit(self.outside, origin_m, direction)
        if self.suns:
            return np.where(face >= 0, -1, found)
        met = np.nonzero(face >= 0)
        start, towards = (np.broadcast_to(a, (*face.shape, 3))[met] for a in (origin_m, direction))
        tile = self.tiles.at(face[met], start + distance[met][:, None] * towards)
        found = found.copy()
        found[met] = self.sky_count + 1 + self.skyline_count + tile
        return found

    @cached_property
    def folding(self) -> FloatArray:
        """Radiance of each reflecting emitter per unit radiance of sky patch and ground.

        Returns: [k, sky + 1] [-].
        Method: each tile is a diffuse reflector: L = reflectance / pi × irradiance. What the house hides of sky and
        ground counts as dark; where another neighbour stands in the way, its own light comes instead (``between``).
        Tiles look for both along one direction in ``THIN``.
        """
        facing = np.maximum(self.normal @ self.direction.T, 0.0) * self.solid_angle_sr
        lit = self.emitter <= self.sky_count
        few = np.flatnonzero(lit)[::THIN]
        free = self._free(self.direction[few])
        out = np.zeros((len(self.normal), self.sky_count + 1))
        for k in range(len(self.normal)):
            whole = np.bincount(self.emitter[lit], facing[k][lit], self.sky_count + 1)
            seen, looked = (
                np.bincount(self.emitter[few], facing[k][few] * part, self.sky_count + 1) for part in (free[k], 1.0)
            )
            out[k] = whole * np.where(looked > 0, seen / np.where(looked > 0, looked, 1.0), 1.0)
        return self._settled(out * (self.refl_frac / np.pi)[:, None])

    def sun_folding(self, sun: FloatArray) -> FloatArray:
        """Radiance of each reflecting emitter per unit of beam at normal incidence.

        Parameters: sun [n, 3], unit vectors in house axes.
        Returns: [k, n] [sr⁻¹].
        Method: reflectance × cosine / π (Lambert; docs/method/house.md, "Outside"), and from neighbour to neighbour.
        """
        facing = np.maximum(self.normal @ sun.T, 0.0)
        return self._settled(facing * self._free(sun) * (self.refl_frac / np.pi)[:, None])

    def _settled(self, first: FloatArray) -> FloatArray:
        """Radiance of tiles [k, n] once light has gone back and forth between neighbours."""
        if self.between is None:
            return first
        settled = first.copy()
        rows = self.skyline_count + self._tiles_in_view
        settled[rows] = self.between @ first[rows]
        return settled

    @cached_property
    def between(self) -> FloatArray | None:
        """Radiance of the tiles in view per unit radiance of each by itself [tiles, tiles]; None of a single thing.

        Method: (1 - K)⁻¹, K = reflectance / π × the cosine-weighted share of directions along which the other is the
        first thing met; of what has to pass the house, the share that passes.
        """
        if len(self.outside.blocks) + len(self.outside.surfaces) < 2:
            return None
        tiles = self._tiles_in_view
        own, met, weight = self._neighbours_seen(tiles)
        place = np.full(len(self.normal) - self.skyline_count, -1)
        place[tiles] = np.arange(len(tiles))
        known = place[met] >= 0
        flat = own[known] * len(tiles) + place[met[known]]
        seen = np.bincount(flat, weight[known], len(tiles) ** 2).reshape(len(tiles), len(tiles))
        share = seen * self.refl_frac[self.skyline_count + tiles, None]
        return np.asarray(np.linalg.inv(np.eye(len(tiles)) - share))

    def _neighbours_seen(self, tiles: IntArray) -> tuple[IntArray, IntArray, FloatArray]:
        """What tiles see of other ones, along one direction in ``THIN``: place in ``tiles``, tile met, share."""
        few = np.arange(len(self.direction))[::THIN]
        place, direction = self.tiles.place_m()[tiles], self.direction[few]
        face, distance = near_hit(self.outside, place[:, None, :], direction[None, :, :])
        facing = self.normal[self.skyline_count + tiles] @ direction.T
        own, ray = np.nonzero((face >= 0) & (facing > 0.0))
        weight = facing[own, ray] * self.solid_angle_sr[few][ray] * THIN / np.pi
        far = distance[own, ray]
        if self.hull is not None:
            weight = weight * passing_house(self.hull, place, direction, distance)[own, ray]
        return own, self.tiles.at(face[own, ray], place[own] + far[:, None] * direction[ray]), weight

    @cached_property
    def _tiles_in_view(self) -> IntArray:
        """Tiles turned towards the house and, where several things stand, those that these see; all without a house."""
        if self.hull is None:
            return np.arange(len(self.normal) - self.skyline_count)
        tiles = self.tiles.seen_from(self.hull.inside_m)
        if len(self.outside.blocks) + len(self.outside.surfaces) < 2:
            return tiles
        return np.union1d(tiles, self._neighbours_seen(tiles)[1])

    def _free(self, direction: FloatArray) -> FloatArray:
        """Share of light from directions [n, 3] that reaches each reflecting emitter [k, n]."""
        free = np.ones((len(self.normal), len(direction)))
        if not self.outside.near:
            return free
        tile = self._tiles_in_view
        place = self.tiles.place_m()[tile]
        hidden = near_hit(self.outside, place[:, None, :], direction[None, :, :])[0] >= 0
        house = 1.0 if self.hull is None else passing_house(self.hull, place, direction)
        free[self.skyline_count + tile] = np.where(hidden, 0.0, house)
        return free


def emitters(outside: Outside, dome: Dome, azimuth_deg: float, hull: Hull | None = None) -> Emitters:
    """Sort the directions of a dome into emitters for one house.

    Parameters: outside; dome; azimuth_deg, compass direction of the house's +x [degree]; hull, the house itself.
    Returns: Emitters.
    Method: geometry (docs/method/house.md, "Outside").
    """
    sky = dome.patches_count
    above = np.where(above_skyline(outside, dome.direction), dome.patch, -1)
    below = np.full(len(above), sky)
    normals: list[FloatArray] = []
    refl: list[float] = []
    sectors = 0
    if outside.skyline_deg is not None:
        sectors = SKYLINE_SECTORS
        azimuth = np.arctan2(dome.direction[:, 0], dome.direction[:, 1])
        sector = np.floor(np.mod(azimuth / (2 * np.pi), 1.0) * sectors).astype(np.int64) % sectors
        above = np.where(above < 0, sky + 1 + sector, above)
        middle = 2 * np.pi * (np.arange(sectors) + 1 / 2) / sectors
        seen = np.column_stack([-np.sin(middle), -np.cos(middle), np.zeros(sectors)])
        normals.append(house_axes(seen, azimuth_deg))
        refl += [SKYLINE_REFL_FRAC] * sectors
    tiles = tiles_of(outside.blocks, outside.surfaces)
    normals.append(np.repeat(tiles.normal, TILES, axis=0))
    refl += list(np.repeat(tiles.refl_frac, TILES))
    turned = house_axes(dome.direction, azimuth_deg)
    mirrored = turned * np.array([1.0, 1.0, -1.0])
    return Emitters(
        outside=outside,
        direction=np.concatenate([turned, mirrored]),
        solid_angle_sr=np.tile(dome.solid_angle_sr, 2),
        emitter=np.concatenate([above, below]).astype(np.int64),
        sky_count=sky,
        normal=np.concatenate(normals),
        refl_frac=np.array(refl, dtype=np.float64),
        skyline_count=sectors,
        tiles=tiles,
        hull=hull,
    )


def near_face(outside: Outside, origin_m: FloatArray, direction: FloatArray) -> IntArray:
    """First face of an outside block or surface that each ray meets.

    Parameters: origin_m [..., 3]; direction [..., 3]; the two broadcast.
    Returns: face [...]: six per block, then two per surface; -1 where nothing near is in the way.
    """
    return near_hit(outside, origin_m, direction)[0]


def near_hit(outside: Outside, origin_m: FloatArray, direction: FloatArray) -> tuple[IntArray, FloatArray]:
    """As :func:`near_face`, with the distance [...] [m] (inf where nothing is in the way)."""
    shape = np.broadcast_shapes(origin_m.shape, direction.shape)[:-1]
    best = np.full(shape, np.inf)
    face = np.full(shape, -1, dtype=np.int64)
    rays = slab_rays(origin_m, direction)
    for b, block in enumerate(outside.blocks):
        low, high = np.array(block.low_m), np.array(block.high_m)
        enter, leave = block_range(low, high, rays)
        met = np.flatnonzero((enter <= leave) & (leave > 0) & (enter < best))
        best.ravel()[met] = np.maximum(enter.ravel()[met], 0.0)
        face.ravel()[met] = BLOCK_FACES * b + entered_side(low, high, rays, met)
    first = BLOCK_FACES * len(outside.blocks)
    for k, surface in enumerate(outside.surfaces):
        distance, front = _through(surface.vertices_m, origin_m, direction)
        through = distance < best
        best = np.where(through, distance, best)
        face = np.where(through, first + 2 * k + np.where(front, 0, 1), face)
    return face, best


def _through(
    vertices_m: FloatArray, origin_m: FloatArray, direction: FloatArray
) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Distance to a convex polygon (inf on a miss) and whether its front, the normal's side, is met."""
    normal = newell_normal(vertices_m)
    speed = direction @ normal
    speed = np.where(np.abs(speed) < NEAREST_M, NEAREST_M, speed)
    distance = ((vertices_m[0] - origin_m) @ normal) / speed
    point = origin_m + distance[..., None] * direction
    inside = distance > 0
    for here, there in zip(vertices_m, np.roll(vertices_m, -1, axis=0), strict=True):
        inside &= (point - here) @ np.cross(normal, there - here) >= 0
    return np.where(inside, distance, np.inf), speed < 0
