"""Photons from a set of equal fixtures on any surface: bed, wall, floor, or the roof above."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.lamps.beam import (
    HALF,
    LAMBERT_INDEX,
    IntensityTable,
    axial_intensity_umol_sr_s,
    bar_on_surface_umol_m2_s,
    bar_ppfd_umol_m2_s,
    point_ppfd_umol_m2_s,
    rectangle_factor_frac,
    table_flux_umol_s,
    table_intensity_umol_sr_s,
)

Array = NDArray[np.float64]

PIECE_RATIO: Final = 0.4
"""Largest piece of a lamp over the nearest distance (Gauss points; see docs/method/lamps.md). Derived."""
MOST_PIECES: Final = 12
"""Pieces per side at most. Judgement."""
FARTHER: Final = 2.0
"""From one distance to the next for which a face is cut anew. Judgement."""
SURE: Final = 3.0
"""A face is cut for points this many times nearer than they are, so that narrow beams keep their shape. Derived."""
NEAREST_M: Final = 0.1
"""Distance the pieces are cut for when the caller names none: the nearest a lamp hangs over leaves. Judgement."""


class Beam(NamedTuple):
    """What one fixture sends out.

    ppf_umol_s [µmol s⁻¹]; length_m, width_m of the shining face; beam_index, exponent m of I = I(0) cosᵐ θ (ignored
    with a table); down_share, share of the photons into the lower half-space, the rest leaving upwards like a
    Lambertian source (1 with a table, which holds every direction itself); table, photon intensities or None.
    """

    ppf_umol_s: float
    length_m: float
    width_m: float
    beam_index: float = LAMBERT_INDEX
    down_share: float = 1.0
    table: IntensityTable | None = None


class Fixtures(NamedTuple):
    """Equal fixtures in the room: centre_m (n, 3); turn_deg (n,), direction of their length from +x towards +y [°]."""

    beam: Beam
    centre_m: Array
    turn_deg: Array


class Pieces(NamedTuple):
    """Parts of a shining face: along_m, across_m (k,) from its centre; part_frac (k,), their share of the photons."""

    along_m: Array
    across_m: Array
    part_frac: Array


@lru_cache(maxsize=MOST_PIECES)
def _gauss(count: int) -> tuple[Array, Array]:
    node, weight = np.polynomial.legendre.leggauss(count)
    return node * HALF, weight * HALF


def _side(size_m: float, nearest_m: float) -> tuple[Array, Array]:
    """Gauss-Legendre places [m] and shares [-] along one side of a face."""
    place, share = _gauss(int(np.clip(np.ceil(size_m / (PIECE_RATIO * nearest_m)), 1, MOST_PIECES)))
    return place * size_m, share


def pieces(beam: Beam, nearest_m: float) -> Pieces:
    """Cut a lamp's face so that the far-field formulas hold for each part.

    Parameters: beam; nearest_m, smallest distance to a lit point, > 0.
    Returns: Pieces; strips along a Lambertian lamp (a bar is exact along its length), points otherwise.
    """
    across, across_part = _side(beam.width_m, nearest_m)
    if is_lambertian(beam):
        return Pieces(np.zeros_like(across), across, across_part)
    along, along_part = _side(beam.length_m, nearest_m)
    part = np.outer(along_part, across_part)
    grid = np.meshgrid(along, across, indexing="ij")
    return Pieces(grid[0].ravel(), grid[1].ravel(), part.ravel())


def is_lambertian(beam: Beam) -> bool:
    """Whether the bar's closed form serves: no table, exponent 1, and a length to integrate along."""
    return beam.table is None and beam.beam_index == LAMBERT_INDEX and beam.length_m > 0


def level_ppfd_umol_m2_s(beam: Beam, along_m: ArrayLike, across_m: ArrayLike, height_m: ArrayLike) -> Array:
    """Photon flux density on a level plane below one fixture, bounces left out.

    Parameters: beam; along_m, across_m, place of the points from the fixture's centre in its own axes; height_m of the
        fixture over the plane, > 0; all broadcast.
    Returns: photon flux density [µmol m⁻² s⁻¹], broadcast shape.
    Method: view factor of a Lambertian panel, closed form of a bar, or the sum over pieces of the cosine-power point or
        table formula (inverse square and cosine).
    """
    x, y, h = np.broadcast_arrays(*(np.asarray(a, dtype=np.float64) for a in (along_m, across_m, height_m)))
    if is_lambertian(beam) and beam.width_m > 0:
        exitance = beam.ppf_umol_s * beam.down_share / (beam.length_m * beam.width_m)
        return exitance * rectangle_factor_frac(x, y, h, beam.length_m, beam.width_m)
    total = np.zeros(x.shape)
    for dx, dy, part in zip(*pieces(beam, float(h.min())), strict=True):
        total += part * _level_piece(beam, x - dx, y - dy, h)
    return total


def _level_piece(beam: Beam, x: Array, y: Array, h: Array) -> Array:
    down = beam.ppf_umol_s * beam.down_share
    if is_lambertian(beam):
        return bar_ppfd_umol_m2_s(down, beam.length_m, h, x, y)
    radius = np.hypot(x, y)
    if beam.table is None:
        return point_ppfd_umol_m2_s(down, h, radius, beam.beam_index)
    theta, phi = np.rad2deg(np.arctan2(radius, h)), np.rad2deg(np.arctan2(y, x))
    intensity = _scaled_table(beam, theta, phi)
    return np.asarray(intensity * h / (radius**2 + h**2) ** (1 + HALF))


def _scaled_table(beam: Beam, theta_deg: Array, phi_deg: Array) -> Array:
    """Table intensities scaled so that the whole table carries the beam's photons."""
    if beam.table is None:
        raise TypeError("beam has no intensity table")
    scale = beam.ppf_umol_s / table_flux_umol_s(beam.table)
    return np.asarray(scale * table_intensity_umol_sr_s(beam.table, theta_deg, phi_deg))


def irradiance_on(points_m: ArrayLike, normals: ArrayLike, fixtures: Fixtures, nearest_m: float = NEAREST_M) -> Array:
    """Direct photon flux density of all fixtures on points of any surfaces; the door to the house's bounces.

    Parameters: points_m, (p, 3); normals, unit normals into the room, (p, 3); fixtures; nearest_m, smallest distance
        the face is cut for.
    Returns: photon flux density [µmol m⁻² s⁻¹], (p,); no shadows, nothing behind a surface.
    Method: closed form per Lambertian strip (bar_on_surface), inverse square and both cosines per point otherwise; the
        face is cut as finely as the distance of the points asks for; points whose back is turned to it are left out.
    """
    point, normal = np.atleast_2d(np.asarray(points_m, float)), np.atleast_2d(np.asarray(normals, float))
    total = np.zeros(len(point))
    reach = float(np.hypot(fixtures.beam.length_m, fixtures.beam.width_m)) * HALF
    for centre, turn in zip(fixtures.centre_m, np.deg2rad(fixtures.turn_deg), strict=True):
        axis = np.array([np.cos(turn), np.sin(turn), 0.0])
        aside = np.array([-np.sin(turn), np.cos(turn), 0.0])
        way = centre - point
        clear = np.where(np.einsum("ij,ij->i", normal, way) > -reach, np.linalg.norm(way, axis=1) - reach, -np.inf)
        for lit, cut in _cuts(fixtures.beam, clear, nearest_m):
            place = centre + np.outer(cut.along_m, axis) + np.outer(cut.across_m, aside)
            count, each = len(place), len(lit)
            light = _piece_on(
                np.tile(point[lit], (count, 1)), np.tile(normal[lit], (count, 1)), fixtures.beam,
                np.repeat(place, each, axis=0), axis,
            )  # fmt: skip
            total[lit] += cut.part_frac @ light.reshape(count, each)
    return total


def _cuts(beam: Beam, clear_m: Array, nearest_m: float) -> Iterator[tuple[NDArray[np.intp], Pieces]]:
    """Points by their distance from the face, and the pieces it is cut into for them.

    Parameters: beam; clear_m, least distance of each point from the face, minus infinity for those left out;
        nearest_m, distance that those nearer than it are served by.
    """
    near = np.where(clear_m > -np.inf, np.maximum(clear_m, nearest_m), 0.0)
    edge = nearest_m
    while True:
        cut = pieces(beam, max(edge / SURE, nearest_m))
        last = is_lambertian(beam) or len(cut.part_frac) == 1
        lit = np.flatnonzero((near >= edge) & (last | (near < FARTHER * edge)))
        if lit.size:
            yield lit, cut
        if last:
            return
        edge *= FARTHER


def single_light_umol_m2_s(
    points_m: Array, normals: Array, fixtures: Fixtures, which: NDArray[np.intp], nearest_m: float = NEAREST_M
) -> Array:
    """Direct light that each point gets from one of the fixtures alone.

    Parameters: points_m, normals (p, 3); fixtures, all turned the same way; which (p,), the fixture of each point;
        nearest_m, as of :func:`irradiance_on`.
    Returns: photon flux density [µmol m⁻² s⁻¹], (p,). Method: as there.
    """
    total = np.zeros(len(points_m))
    if not len(points_m):
        return total
    turn = np.deg2rad(fixtures.turn_deg[0])
    axis, aside = np.array([np.cos(turn), np.sin(turn), 0.0]), np.array([-np.sin(turn), np.cos(turn), 0.0])
    for along, across, part in zip(*pieces(fixtures.beam, nearest_m), strict=True):
        place = fixtures.centre_m[which] + along * axis + across * aside
        total += part * _piece_on(points_m, normals, fixtures.beam, place, axis)
    return total


def _piece_on(point: Array, normal: Array, beam: Beam, place: Array, axis: Array) -> Array:
    down, up = beam.ppf_umol_s * beam.down_share, beam.ppf_umol_s * (1 - beam.down_share)
    if is_lambertian(beam):
        light = bar_on_surface_umol_m2_s(point, normal, place, axis, beam.length_m, down)
        if up > 0:
            light = light + bar_on_surface_umol_m2_s(point, normal, place, axis, beam.length_m, up, down=False)
        return light
    to_lamp = place - point
    d2 = np.einsum("ij,ij->i", to_lamp, to_lamp)
    d = np.sqrt(d2)
    facing = np.maximum(np.einsum("ij,ij->i", normal, to_lamp), 0.0) / d
    nadir = to_lamp[:, 2] / d
    return np.asarray(_intensity_towards(beam, -to_lamp, nadir, axis, down, up) * facing / d2)


def _intensity_towards(beam: Beam, ray: Array, nadir: Array, axis: Array, down: float, up: float) -> Array:
    """Intensity of one fixture along rays that leave it; nadir is the cosine from straight down."""
    if beam.table is not None:
        phi = np.arctan2(ray @ np.array([-axis[1], axis[0], 0.0]), ray @ axis)
        return _scaled_table(beam, np.rad2deg(np.arccos(np.clip(nadir, -1, 1))), np.rad2deg(phi))
    below = axial_intensity_umol_sr_s(down, beam.beam_index) * np.maximum(nadir, 0.0) ** beam.beam_index
    above = axial_intensity_umol_sr_s(up, LAMBERT_INDEX) * np.maximum(-nadir, 0.0)
    return np.asarray(below + above)


def shade_frac(points_m: ArrayLike, centre_m: ArrayLike, turn_deg: ArrayLike, length_m: float, width_m: float) -> Array:
    """Share of an even sky overhead that the fixtures' own bodies hide from level points.

    Parameters: points_m, (p, 3); centre_m, (n, 3), above the points; turn_deg, (n,) [°]; length_m, width_m of a body.
    Returns: share of the level irradiance of a uniform sky that is hidden, (p,), at most 1.
    Method: view factor from a level element to each rectangle; overlaps are counted twice. Low sun and side windows
        lose less: an upper bound there.
    """
    points, centres = np.atleast_2d(np.asarray(points_m, float)), np.atleast_2d(np.asarray(centre_m, float))
    turn = np.deg2rad(np.asarray(turn_deg, float))[np.newaxis, :]
    x, y, h = (centres[np.newaxis, :, k] - points[:, np.newaxis, k] for k in range(3))
    along, across = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
    hidden = rectangle_factor_frac(along, across, h, length_m, width_m).sum(axis=1)
    return np.asarray(np.minimum(hidden, 1.0))
