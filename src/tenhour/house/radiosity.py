"""Light thrown about between diffuse surfaces: where each patch's light lands, and the sum of all bounces."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.house.mirror import land
from tenhour.house.patches import IntArray, Room
from tenhour.house.shapes import FloatArray
from tenhour.house.spread import cosine_directions, even_points

RAYS: Final = 60_000
"""Rays spent on a room's form factors; bed means no longer move beyond (docs/method/house.md)."""

FEWEST_RAYS: Final = 64
"""Rays per patch at least; always a power of two, for such runs of the sequence are spread best."""

COVERED_M: Final = 1e-5
"""A ray that ends so soon starts where something lies against the surface [m]; light never gets there."""


@dataclass(frozen=True)
class Exchange:
    """Which share of the light leaving each patch lands on which; each row sums to 1, so no light is lost."""

    share: FloatArray
    """[n, n], from row to column [-]."""
    area_m2: FloatArray
    """[n], area of each patch that is not covered by something lying against it."""
    refl_frac: FloatArray
    """[n]."""

    def settled(self, first_w: FloatArray) -> FloatArray:
        """Light arriving on each patch after all bounces.

        Parameters: first_w [n] or [n, k], light arriving from outside the exchange [W].
        Returns: same shape [W].
        Method: (I - Sᵀ ρ) Φ = Φ₀.
        """
        from scipy.linalg import lu_solve  # which lamps alone need, and a twentieth of a second to load

        return np.asarray(lu_solve(self._factors, first_w))

    @cached_property
    def _factors(self) -> tuple[FloatArray, NDArray[np.int32]]:
        """The matrix taken apart once, for lamps ask of one room again and again."""
        from scipy.linalg import lu_factor

        return lu_factor(np.eye(len(self.area_m2)) - self.share.T * self.refl_frac)

    def gathered(self, factor: FloatArray, piece: IntArray, opaque: NDArray[np.bool_]) -> tuple[FloatArray, FloatArray]:
        """What light first arriving on each patch becomes after all bounces.

        Parameters: factor [p, n], form factors from points to patches [-]; piece [n], of each patch; opaque [pieces].
        Returns: irradiance at the points by light reflected at least once [p, n] [m⁻²], which times first arrivals [W]
        gives [W m⁻²]; and the share each opaque piece absorbs in the end [pieces, n] [-], none of it by panes, for
        what they take from inside leaves.
        Method: F ρ/A (I - Sᵀ ρ)⁻¹ and (1 - ρ) (I - Sᵀ ρ)⁻¹ summed by piece, solved from the left together, so points
        and pieces and not patches set the cost.
        """
        matrix = np.eye(len(self.area_m2)) - self.refl_frac[:, None] * self.share
        lit = self.area_m2 > 0
        per_area = np.where(lit, self.refl_frac / np.where(lit, self.area_m2, 1.0), 0.0)
        takes = np.zeros((len(opaque), len(piece)))
        takes[piece, np.arange(len(piece))] = np.where(opaque[piece], 1.0 - self.refl_frac, 0.0)
        found = np.linalg.solve(matrix, np.concatenate([factor * per_area, takes]).T).T
        return np.asarray(found[: len(factor)]), np.asarray(found[len(factor) :])


def exchange(room: Room, mirrors: FloatArray, rays: int = RAYS) -> Exchange:
    """Form factors between all patches, boxes in the way included.

    Parameters: room; mirrors, table of the panes' mirrored shares (``mirror.cosine_table``); rays, how many to spend.
    Returns: Exchange.
    Method: from evenly spread points of each patch, rays spread by cosine to the first patch they meet, and on from
    there where a smooth pane mirrors part of them. In a closed room every ray ends somewhere, so the rows sum to 1
    and energy is kept whatever the number of rays.
    """
    count = len(room.patch_area_m2)
    each = max(FEWEST_RAYS, 2 ** round(np.log2(rays / count)))
    even = even_points(count * each, 4)
    patch = np.repeat(np.arange(count), each)
    origin = room.points_on_m(patch, even[:, 0], even[:, 1])
    local = cosine_directions(even[:, 2], even[:, 3])
    face = room.patch_face[patch]
    direction = (
        local[:, :1] * room.face_u[face] + local[:, 1:2] * room.face_v[face] + local[:, 2:] * room.face_normal[face]
    )
    ends, distance = land(room, mirrors, origin, direction)
    free = distance > COVERED_M
    kept = free[ends.ray]
    cell = patch[ends.ray[kept]] * count + ends.patch[kept]
    landed = np.bincount(cell, ends.share_frac[kept], minlength=count * count).reshape(count, count)
    sent = np.bincount(patch[free], minlength=count)
    share = landed / np.maximum(sent, 1)[:, None]
    buried = np.flatnonzero(sent == 0)
    share[buried, buried] = 1.0
    return Exchange(share, room.patch_area_m2 * (sent / each), room.patch_refl_frac)
