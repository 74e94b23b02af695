"""Faces of neighbouring things cut into tiles, and what the house itself keeps from them.

A wall near a house lies half in the house's own shadow, and which half matters: the one that is seen from inside.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from tenhour.house.patches import BLOCK_FACES, IntArray, Room
from tenhour.house.shapes import OPAQUE, Block, FloatArray, Surface, newell_normal

SIDE: Final = 6
"""Tiles along each side of a face. Judgement: 12 change a bed under a low sun by 0.3 % of outdoors at most."""

TILES: Final = SIDE * SIDE

OFF_M: Final = 1e-4
"""How far before its face a tile looks out from [m]."""

USUAL_COSINE: Final = 0.8
"""Cosine of incidence at which light is taken to cross the house on its way to a neighbour. Judgement."""

PARALLEL: Final = 1e-12
"""Speed towards a plane [m/m] below which a ray runs along it."""


class Tiles(NamedTuple):
    """Faces of blocks (six each), then the two sides of surfaces, each a rectangle cut into tiles."""

    corner_m: FloatArray
    """[faces, 3]."""
    across_m: FloatArray
    """[faces, 3], one side of the rectangle."""
    up_m: FloatArray
    """[faces, 3], the other."""
    normal: FloatArray
    """[faces, 3], outwards."""
    refl_frac: FloatArray
    """[faces]."""

    def place_m(self) -> FloatArray:
        """Middle of every tile, just before its face [faces × TILES, 3] [m].

        Method: geometry.
        """
        step = (np.arange(SIDE) + 1 / 2) / SIDE
        first, second = (a.ravel() for a in np.meshgrid(step, step, indexing="ij"))
        flat = first[:, None] * self.across_m[:, None, :] + second[:, None] * self.up_m[:, None, :]
        return np.asarray((self.corner_m + OFF_M * self.normal)[:, None, :] + flat).reshape(-1, 3)

    def seen_from(self, point_m: FloatArray) -> IntArray:
        """Tiles whose face is turned towards any of some points [n, 3].

        Parameters: point_m [m]. Method: geometry.
        """
        height = point_m @ self.normal.T - (self.corner_m * self.normal).sum(axis=1)
        return np.flatnonzero(np.repeat((height > OFF_M).any(axis=0), TILES))

    def at(self, face: IntArray, point_m: FloatArray) -> IntArray:
        """Tile of points on faces: face [n], point_m [n, 3]; returns [n].

        Parameters: point_m [m]. Method: geometry.
        """
        offset = point_m - self.corner_m[face]
        cells = []
        for edge in (self.across_m, self.up_m):
            length = np.maximum((edge**2).sum(axis=1), PARALLEL)
            share = (offset * edge[face]).sum(axis=1) / length[face]
            cells.append(np.clip((share * SIDE).astype(np.int64), 0, SIDE - 1))
        return np.asarray(face * TILES + cells[0] * SIDE + cells[1])


def tiles_of(blocks: Sequence[Block], surfaces: Sequence[Surface]) -> Tiles:
    """Tiles of everything near by, faces in the order of ``outside.near_face``.

    Method: geometry.
    """
    rows: list[tuple[FloatArray, FloatArray, FloatArray, FloatArray, float]] = []
    for block in blocks:
        low, high = np.array(block.low_m, dtype=np.float64), np.array(block.high_m, dtype=np.float64)
        for face in range(BLOCK_FACES):
            axis, far = divmod(face, 2)
            edges = np.diag(high - low)
            corner = np.where(np.arange(3) == axis, high if far else low, low)
            normal = np.eye(3)[axis] * (1.0 if far else -1.0)
            rows.append((corner, edges[(axis + 1) % 3], edges[(axis + 2) % 3], normal, block.refl_frac))
    for surface in surfaces:
        normal = newell_normal(surface.vertices_m)
        normal = normal / np.linalg.norm(normal)
        along = surface.vertices_m[1] - surface.vertices_m[0]
        along = along / np.linalg.norm(along)
        frame = np.stack([along, np.cross(normal, along)])
        flat = (surface.vertices_m - surface.vertices_m[0]) @ frame.T
        low, size = flat.min(axis=0), np.ptp(flat, axis=0)
        corner = surface.vertices_m[0] + low @ frame
        rows += [(corner, size[0] * frame[0], size[1] * frame[1], sign * normal, surface.refl_frac) for sign in (1, -1)]
    if not rows:
        none = np.zeros((0, 3))
        return Tiles(none, none, none, none, np.zeros(0))
    corner, across, up, normals = (np.array([row[k] for row in rows], dtype=np.float64) for k in range(4))
    return Tiles(corner, across, up, normals, np.array([row[4] for row in rows], dtype=np.float64))


class Hull(NamedTuple):
    """The house as its neighbours see it: planes with normals into the room, and what each lets pass."""

    normal: FloatArray
    """[f, 3]."""
    offset_m: FloatArray
    """[f]."""
    passing_frac: FloatArray
    """[f], share of light that passes, panes and opaque parts together."""
    inside_m: FloatArray
    """[n, 3], places on the inside that look out."""
    ends_m: FloatArray
    """[2, 3], lowest and highest corner of the box round the house."""


def hull_of(room: Room, passing_frac: FloatArray) -> Hull:
    """Hull of a room.

    Parameters: room; passing_frac [c, steps + 1], what each pane lets pass in all, over the cosine of incidence.
    Returns: Hull.
    Method: each plane passes the mean of its panes at one usual angle, weighted by area (judgement).
    """
    usual = passing_frac[:, round(USUAL_COSINE * (passing_frac.shape[1] - 1))]
    pane = room.patch_pane_index
    share = np.where(pane == OPAQUE, 0.0, usual[pane]) if len(usual) else np.zeros(len(pane))
    faces = room.planes_count
    own = room.patch_face < faces
    light = np.bincount(room.patch_face[own], (share * room.patch_area_m2)[own], faces)
    area = np.bincount(room.patch_face[own], room.patch_area_m2[own], faces)
    passing = light / np.where(area > 0, area, 1.0)
    return Hull(room.plane_normal, room.plane_offset_m, passing, room.patch_centre_m, room.ends_m)


def passing_house(
    hull: Hull, origin_m: FloatArray, direction: FloatArray, upto_m: FloatArray | float = np.inf
) -> FloatArray:
    """Share of light that a house leaves of rays from outside it.

    Parameters: hull; origin_m [k, 3] outside the house; direction [n, 3]; upto_m [k, n], where the rays end [m].
    Returns: [k, n]: 1 where the ray misses the house, else what the planes it enters and leaves by let pass.
    """
    height = origin_m @ hull.normal.T - hull.offset_m
    speed = direction @ hull.normal.T
    enter = np.full((len(origin_m), len(direction)), -np.inf)
    leave = np.full(enter.shape, np.inf)
    into, out = np.zeros(enter.shape, dtype=np.int64), np.zeros(enter.shape, dtype=np.int64)
    outside = np.zeros(enter.shape, dtype=bool)
    for k in range(len(hull.normal)):
        along = np.abs(speed[:, k]) < PARALLEL
        distance = -height[:, k, None] / np.where(along, 1.0, speed[:, k])
        outside |= along & (height[:, k, None] < 0.0)
        later = (speed[:, k] > 0) & ~along & (distance > enter)
        enter, into = np.where(later, distance, enter), np.where(later, k, into)
        sooner = (speed[:, k] < 0) & ~along & (distance < leave)
        leave, out = np.where(sooner, distance, leave), np.where(sooner, k, out)
    met = (enter < leave) & (leave > 0.0) & (enter < upto_m) & ~outside
    return np.asarray(np.where(met, hull.passing_frac[into] * hull.passing_frac[out], 1.0))
