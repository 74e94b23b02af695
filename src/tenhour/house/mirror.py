"""Rays that meet a smooth pane from inside: most leave, the rest is mirrored and goes on to something else."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.patches import IntArray, Room
from tenhour.house.shapes import OPAQUE, FloatArray
from tenhour.house.trace import first_hit, patch_at

COSINE_STEPS: Final = 8192
"""Steps of the look-up of a pane's curve over the cosine of incidence; the error stays below 0.0004."""

MIRRORINGS: Final = 3
"""How often a ray is followed through panes' mirrors; what is left then (under 1 %) stays at the last one."""

FAINT_FRAC: Final = 1e-3
"""Mirrored parts smaller than this stay where they are [-]."""


class Landings(NamedTuple):
    """Where rays end: one entry per ray and ending."""

    ray: IntArray
    patch: IntArray
    share_frac: FloatArray
    """Of the ray's light."""
    order: IntArray
    """How many panes mirrored it on its way."""


def cosine_table(curve_frac: FloatArray) -> FloatArray:
    """Curves [c, 91] on whole degrees as a table over the cosine of incidence [c, steps + 1].

    Parameters: curve_frac [-]. Method: straight lines between degrees (geometry).
    """
    angle = np.degrees(np.arccos(np.linspace(0.0, 1.0, COSINE_STEPS + 1)))
    degrees = np.linspace(0.0, 90.0, curve_frac.shape[1])
    return np.array([np.interp(angle, degrees, row) for row in curve_frac])


def curve_at(table: FloatArray, cosine: FloatArray, pane: IntArray) -> FloatArray:
    """Value of pane curves at cosines of incidence.

    Parameters: table, from :func:`cosine_table`; cosine [...], 0-1; pane [...], which curve.
    Returns: [...].
    """
    step = np.minimum((cosine * COSINE_STEPS + 1 / 2).astype(np.int64), COSINE_STEPS)
    return np.asarray(table[pane, step])


def land(room: Room, mirrors: FloatArray, origin_m: FloatArray, direction: FloatArray) -> tuple[Landings, FloatArray]:
    """Follow rays to where their light ends, through the mirrors of panes.

    Parameters: room; mirrors, table of the panes' mirrored shares (see :func:`cosine_table`); origin_m and direction
    [n, 3].
    Returns: Landings (shares of each ray sum to 1), and the distance to the first meeting [n] [m].
    """
    hits = first_hit(room, origin_m, direction)
    point = origin_m + hits.distance_m[:, None] * direction
    patch = patch_at(room, hits.face, point)
    return follow(room, mirrors, point, direction, hits.face, patch), hits.distance_m


def follow(
    room: Room,
    mirrors: FloatArray,
    point_m: FloatArray,
    direction: FloatArray,
    face: NDArray[np.int16],
    patch: IntArray,
) -> Landings:
    """Follow rays on from their first meeting; see :func:`land`.

    Parameters: point_m [n, 3], face [n] and patch [n] met first; direction [n, 3] of the ray there.
    Returns: Landings.
    """
    ray = np.arange(len(patch))
    share = np.ones(len(patch))
    parts: list[Landings] = []
    for order in range(MIRRORINGS + 1):
        on, thrown = _mirrored(room, mirrors, direction, face, patch)
        kept = share.copy()
        going = on[share[on] * thrown > FAINT_FRAC] if order < MIRRORINGS else on[:0]
        if len(going):
            back = share[going] * thrown[np.searchsorted(on, going)]
            kept[going] -= back
        parts.append(Landings(ray, patch, kept, np.full(len(ray), order)))
        if not len(going):
            break
        normal = room.face_normal[face[going]]
        old = direction[going]
        direction = old - 2 * np.einsum("ij,ij->i", old, normal)[:, None] * normal
        start = point_m[going]
        hits = first_hit(room, start, direction)
        point_m = start + hits.distance_m[:, None] * direction
        ray, share, face = ray[going], back, hits.face
        patch = patch_at(room, face, point_m)
    return Landings(*(np.concatenate([part[k] for part in parts]) for k in range(len(Landings._fields))))


def _mirrored(
    room: Room, mirrors: FloatArray, direction: FloatArray, face: NDArray[np.int16], patch: IntArray
) -> tuple[IntArray, FloatArray]:
    """Rays that end on a pane, and which share of each it throws back."""
    if not mirrors.any():
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    pane = room.patch_pane_index[patch]
    on = np.flatnonzero(pane != OPAQUE)
    cosine = -np.einsum("ij,ij->i", direction[on], room.face_normal[face[on]])
    return on, curve_at(mirrors, np.clip(cosine, 0.0, 1.0), pane[on])
