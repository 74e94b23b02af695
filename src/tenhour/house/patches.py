"""The room cut into small flat patches, on a grid per face so that a ray's patch is found by two look-ups."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.shapes import FloatArray

IntArray = NDArray[np.int64]

BLOCK_FACES: Final = 6
"""Faces of a block: low and high side of x, y, z."""

FAR_M: Final = 1e4
"""Spacing of the faces' look-up ranges on one number line [m]; larger than any house."""


class Piece(NamedTuple):
    """A part of the skin or a thing in the room that has one material."""

    name: str
    pane_index: int
    refl_frac: float
    face_index: int


@dataclass(frozen=True)
class Room:
    """Planes, blocks and patches of one room, as arrays. ``face`` counts the planes first, then six per block."""

    pieces: tuple[Piece, ...]
    plane_normal: FloatArray
    plane_offset_m: FloatArray
    block_low_m: FloatArray
    block_high_m: FloatArray
    face_origin_m: FloatArray
    face_u: FloatArray
    face_v: FloatArray
    face_normal: FloatArray
    u_lines_m: FloatArray
    v_lines_m: FloatArray
    u_start: IntArray
    v_start: IntArray
    v_cells: IntArray
    cell_start: IntArray
    cell_patch: IntArray
    """Patch of each cell; cells of faces with several outlines hold the patch of each outline behind one another."""
    outlines: dict[int, tuple[FloatArray, ...]]
    """Faces made of several outlines, for the look-up by outline."""
    cells: IntArray
    """Cells per face (of one outline)."""
    patch_piece: IntArray
    patch_face: IntArray
    patch_corner_m: FloatArray
    """[n, CORNERS, 2], in the face's axes, the last corner repeated."""
    patch_area_m2: FloatArray
    patch_whole: NDArray[np.bool_]
    """[n], rectangles; the others are cells clipped by an outline."""

    @cached_property
    def piece_pane(self) -> IntArray:
        """Pane of each piece, or ``OPAQUE``."""
        return np.array([p.pane_index for p in self.pieces], dtype=np.int64)

    @cached_property
    def face_glazed(self) -> NDArray[np.bool_]:
        """Faces that have a pane anywhere."""
        return np.isin(np.arange(len(self.face_normal)), [p.face_index for p in self.pieces if p.pane_index >= 0])

    @cached_property
    def face_piece(self) -> IntArray:
        """Piece that a face wholly consists of, -1 if there are several."""
        found = np.full(len(self.face_normal), -1, dtype=np.int64)
        count = np.bincount([p.face_index for p in self.pieces], minlength=len(found))
        for k, piece in enumerate(self.pieces):
            if count[piece.face_index] == 1:
                found[piece.face_index] = k
        return found

    @property
    def planes_count(self) -> int:
        """How many planes bound the room."""
        return len(self.plane_normal)

    @property
    def patch_refl_frac(self) -> FloatArray:
        """Reflectance of each patch; panes have theirs set when the room is built."""
        return np.array([p.refl_frac for p in self.pieces])[self.patch_piece]

    @cached_property
    def patch_pane_index(self) -> IntArray:
        """Pane of each patch, or ``OPAQUE``."""
        return np.asarray(self.piece_pane[self.patch_piece])

    @property
    def patch_normal(self) -> FloatArray:
        """Unit normals into the room [n, 3]."""
        return self.face_normal[self.patch_face]

    @property
    def patch_centre_m(self) -> FloatArray:
        """Centroid of each patch [n, 3]."""
        return self._in_space(_centroids(self.patch_corner_m))

    @property
    def ends_m(self) -> FloatArray:
        """Lowest and highest corner of the box round all patches [2, 3]."""
        corners = [self._in_space(self.patch_corner_m[:, k]) for k in range(self.patch_corner_m.shape[1])]
        return np.array([np.min(corners, axis=(0, 1)), np.max(corners, axis=(0, 1))])

    def _in_space(self, uv_m: FloatArray) -> FloatArray:
        face = self.patch_face
        return self.face_origin_m[face] + uv_m[:, :1] * self.face_u[face] + uv_m[:, 1:] * self.face_v[face]

    def points_on_m(self, patch: IntArray, first: FloatArray, second: FloatArray) -> FloatArray:
        """Points spread by area on patches, from two numbers in 0-1 each.

        Parameters: patch [n]; first, second [n].
        Returns: [n, 3] in house axes.
        Method: geometry; along two edges of a rectangle, other patches as a fan of triangles.
        """
        corner, across, up = self._rectangles
        points = corner[patch] + first[:, None] * across[patch] + second[:, None] * up[patch]
        odd = np.flatnonzero(~self.patch_whole[patch])
        if len(odd):
            face = self.patch_face[patch[odd]]
            uv = _in_fan(self.patch_corner_m[patch[odd]], first[odd], second[odd])
            points[odd] = self.face_origin_m[face] + uv[:, :1] * self.face_u[face] + uv[:, 1:] * self.face_v[face]
        return np.asarray(points)

    @cached_property
    def _rectangles(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """First corner and two edges of each patch in space [n, 3]; of use for whole ones only."""
        corner, second, last = (self._in_space(self.patch_corner_m[:, k]) for k in (0, 1, 3))
        return corner, second - corner, last - corner


def _in_fan(corners_m: FloatArray, first: FloatArray, second: FloatArray) -> FloatArray:
    """Points spread by area over convex polygons cut into triangles round their first corner [n, 2]."""
    anchor = corners_m[:, 0]
    one, two = corners_m[:, 1:-1] - anchor[:, None], corners_m[:, 2:] - anchor[:, None]
    doubled = np.abs(one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0])
    upto = np.cumsum(doubled, axis=1)
    wanted = first * upto[:, -1]
    k = np.minimum((upto <= wanted[:, None]).sum(axis=1), doubled.shape[1] - 1)
    row = np.arange(len(corners_m))
    share = (wanted - upto[row, k] + doubled[row, k]) / np.maximum(doubled[row, k], np.finfo(np.float64).tiny)
    root = np.sqrt(np.clip(share, 0.0, 1.0))
    across = (1 - second)[:, None] * one[row, k] + second[:, None] * two[row, k]
    return np.asarray(anchor + root[:, None] * across)


def _centroids(corners_m: FloatArray) -> FloatArray:
    anchor = corners_m[:, :1]
    one, two = corners_m[:, 1:-1] - anchor, corners_m[:, 2:] - anchor
    doubled = one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]
    weight = doubled / doubled.sum(axis=1, keepdims=True)
    return np.asarray(anchor[:, 0] + ((one + two) / 3 * weight[..., None]).sum(axis=1))
