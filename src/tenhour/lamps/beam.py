"""Photon flux density under one lamp: point, cosine-power and bar closed forms, and tables of intensity."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.units import polar_weights_sr, turn_weights_frac

Array = NDArray[np.float64]

HALF: Final = 0.5
HALF_TURN_DEG: Final = 180.0
FULL_TURN_DEG: Final = 360.0
LAMBERT_INDEX: Final = 1.0
"""Exponent m of I(θ) = I(0) cosᵐ θ for a Lambertian source."""
NEAR_AXIS_RATIO: Final = 1e-4
"""Below this ratio of offset to distance along a bar the closed form cancels; its limit is used. Derived."""
TINY_M: Final = 1e-6


def _floats(values: ArrayLike) -> Array:
    return np.asarray(values, dtype=np.float64)


def beam_index_of_deg(beam_deg: ArrayLike) -> Array:
    """Exponent m of I = I(0) cosᵐ θ from the full beam angle at half intensity.

    Parameters: beam_deg, full angle between the half-intensity directions [°], above 0 and below 180.
    Returns: m [-]; NaN outside that range.
    Method: m = -ln 2 / ln cos(beam / 2), the definition of the half-intensity angle.

    >>> [round(float(m), 3) for m in beam_index_of_deg([120.0, 90.0, 60.0, 40.0])]
    [1.0, 2.0, 4.819, 11.143]
    """
    half_angle = np.deg2rad(_floats(beam_deg)) * HALF
    inside = (half_angle > 0) & (half_angle < np.pi * HALF)
    safe = np.where(inside, half_angle, 1.0)
    return np.where(inside, -np.log(2.0) / np.log(np.cos(safe)), np.nan)


def axial_intensity_umol_sr_s(ppf_umol_s: ArrayLike, beam_index: ArrayLike) -> Array:
    """Intensity straight below a cosine-power source that shines into one half-space.

    Parameters: ppf_umol_s, photon flux [µmol s⁻¹]; beam_index, exponent m [-].
    Returns: intensity [µmol s⁻¹ sr⁻¹].
    Method: I(0) = (m + 1) PPF / 2π, so that I(0) cosᵐ θ integrates to the flux over the half-space.

    >>> round(float(axial_intensity_umol_sr_s(100.0, 1.0)), 2)
    31.83
    """
    return np.asarray(_floats(ppf_umol_s) * (_floats(beam_index) + 1) / (2 * np.pi))


def point_ppfd_umol_m2_s(
    ppf_umol_s: ArrayLike, height_m: ArrayLike, radius_m: ArrayLike, beam_index: ArrayLike = LAMBERT_INDEX
) -> Array:
    """Photon flux density on a level plane under a point lamp that faces straight down.

    Parameters: ppf_umol_s [µmol s⁻¹]; height_m of the lamp above the plane, > 0; radius_m, level distance from the
        point below the lamp; beam_index, exponent m of its intensity (1 is Lambertian).
    Returns: photon flux density [µmol m⁻² s⁻¹], broadcast shape.
    Method: E = I(θ) cos θ / d² (inverse square and cosine), I = I(0) cosᵐ θ. Accept it from a distance of five
        times the lamp's largest dimension.
    """
    height = _floats(height_m)
    distance = np.hypot(height, _floats(radius_m))
    spread = (height / distance) ** (np.asarray(beam_index) + 1) / distance**2
    return np.asarray(axial_intensity_umol_sr_s(ppf_umol_s, beam_index) * spread)


def bar_ppfd_umol_m2_s(
    ppf_umol_s: ArrayLike, length_m: ArrayLike, height_m: ArrayLike, along_m: ArrayLike, aside_m: ArrayLike
) -> Array:
    """Photon flux density on a level plane under a thin Lambertian bar that faces straight down.

    Parameters: ppf_umol_s of the whole bar; length_m of the bar; height_m above the plane, > 0; along_m, distance of
        the point from the middle of the bar along it; aside_m, across it.
    Returns: photon flux density [µmol m⁻² s⁻¹], broadcast shape.
    Method: E = PPF/(πL) [F(t₂) - F(t₁)], F(t) = h² [t / (2p²(p² + t²)) + atan(t/p) / (2p³)], p² = h² + y²; the
        integral of the point formula along the bar.

    >>> round(float(bar_ppfd_umol_m2_s(100.0, 1.1, 0.4, 0.0, 0.0)), 3)
    102.559
    """
    h, length = _floats(height_m), _floats(length_m)
    p2 = h**2 + _floats(aside_m) ** 2
    start = -_floats(along_m) - length * HALF
    integral = _inverse_fourth(start + length, p2) - _inverse_fourth(start, p2)
    return np.asarray(_floats(ppf_umol_s) / (np.pi * length) * h**2 * integral)


def _inverse_fourth(t: Array, p2: Array) -> Array:
    """Antiderivative of 1 / (p² + t²)² in t."""
    p = np.sqrt(p2)
    return np.asarray(t / (2 * p2 * (p2 + t**2)) + np.arctan(t / p) / (2 * p2 * p))


def bar_on_surface_umol_m2_s(
    points_m: ArrayLike,
    normals: ArrayLike,
    centre_m: ArrayLike,
    axis: ArrayLike,
    length_m: float,
    ppf_umol_s: float,
    down: bool = True,
) -> Array:
    """Photon flux density that one thin, level Lambertian bar puts on points of surfaces facing any way.

    Parameters: points_m, (p, 3); normals, unit normals of the surfaces there, (p, 3); centre_m, middle of the bar,
        (3,) or (p, 3); axis, level unit vector along the bar, (3,); length_m; ppf_umol_s of the whole bar; down, facing
        straight down (else up).
    Returns: photon flux density [µmol m⁻² s⁻¹], (p,); 0 behind the bar or the surface.
    Method: E = PPF/(πL) |Δz| ∫ (α + βτ) / (p² + τ²)² dτ along the part of the bar the surface faces, where α + βτ is
        the bar's height over the surface's plane; closed form, the level case being :func:`bar_ppfd_umol_m2_s`.
    """
    point, normal = _floats(points_m), _floats(normals)
    u = _floats(axis)
    v = _floats(centre_m) - point
    w = v @ u
    p2 = np.maximum(np.einsum("ij,ij->i", v, v) - w**2, TINY_M**2)
    beta = normal @ u
    alpha = np.einsum("ij,ij->i", normal, v) - beta * w
    low, high = _facing_part(alpha, beta, w - length_m * HALF, w + length_m * HALF)
    integral = _bar_integral(alpha, beta, p2, low, high)
    drop = np.maximum(v[:, 2] if down else -v[:, 2], 0.0)
    return ppf_umol_s / (np.pi * length_m) * drop * np.maximum(integral, 0.0)


def _facing_part(alpha: Array, beta: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Limits of the stretch of the bar where α + βτ > 0."""
    crossing = -alpha / np.where(beta == 0, 1.0, beta)
    low = np.where(beta > 0, np.maximum(low, crossing), low)
    high = np.where(beta < 0, np.minimum(high, crossing), high)
    hidden = (beta == 0) & (alpha <= 0)
    return low, np.where(hidden, low, np.maximum(high, low))


def _bar_integral(alpha: Array, beta: Array, p2: Array, low: Array, high: Array) -> Array:
    """∫ (α + βτ) / (p² + τ²)² dτ from low to high; by its limit where the point lies on the bar's own line."""
    exact = alpha * (_inverse_fourth(high, p2) - _inverse_fourth(low, p2))
    exact = exact - beta * HALF * (1 / (p2 + high**2) - 1 / (p2 + low**2))
    nearest = np.minimum(np.abs(low), np.abs(high))
    on_line = (low * high > 0) & (p2 < (NEAR_AXIS_RATIO * nearest) ** 2)
    t1, t2 = np.where(on_line, low, 1.0), np.where(on_line, high, 1.0)
    cube = alpha / (2 + 1) * (1 / t1**3 - 1 / t2**3)
    limit = cube + beta * HALF * (1 / t1**2 - 1 / t2**2)
    return np.where(on_line, limit, exact)


def corner_factor_frac(x_m: ArrayLike, y_m: ArrayLike, height_m: ArrayLike) -> Array:
    """View factor from a level element to a parallel rectangle with one corner straight above it.

    Parameters: x_m, y_m, the rectangle's sides, signed; height_m above the element, > 0; broadcast.
    Returns: view factor [-], odd in x and in y, so that any rectangle is a signed sum of four.
    Method: F = (1/2π) {X/√(1+X²) atan(Y/√(1+X²)) + Y/√(1+Y²) atan(X/√(1+Y²))}, X = x/h, Y = y/h.
    """
    h = _floats(height_m)
    X, Y = _floats(x_m) / h, _floats(y_m) / h
    rx, ry = np.sqrt(1 + X**2), np.sqrt(1 + Y**2)
    return np.asarray((X / rx * np.arctan(Y / rx) + Y / ry * np.arctan(X / ry)) / (2 * np.pi))


def rectangle_factor_frac(
    along_m: ArrayLike, across_m: ArrayLike, height_m: ArrayLike, length_m: float, width_m: float
) -> Array:
    """View factor from level elements to a parallel rectangle above.

    Parameters: along_m, across_m, place of the elements from below the rectangle's centre, along its length and width;
        height_m of the rectangle over them, > 0; length_m, width_m; broadcast.
    Returns: view factor [-]; also the light per unit exitance of a Lambertian panel, and the share of sky hidden.
    Method: four corner rectangles, :func:`corner_factor_frac`.
    """
    x, y, h = _floats(along_m), _floats(across_m), _floats(height_m)
    x1, x2 = x - length_m * HALF, x + length_m * HALF
    y1, y2 = y - width_m * HALF, y + width_m * HALF
    near = corner_factor_frac(x2, y2, h) + corner_factor_frac(x1, y1, h)
    return near - corner_factor_frac(x1, y2, h) - corner_factor_frac(x2, y1, h)


class IntensityTable(NamedTuple):
    """Photon intensities of a lamp by direction, as arrays.

    vertical_deg (v,), ascending from 0 straight down to at most 180; horizontal_deg (h,), ascending from 0 and covering
    0-360, or a single 0 for a lamp of revolution; intensity_umol_sr_s (h, v).
    """

    vertical_deg: Array
    horizontal_deg: Array
    intensity_umol_sr_s: Array


def table_flux_umol_s(table: IntensityTable) -> float:
    """Photon flux of an intensity table: its exact integral over directions [µmol s⁻¹].

    Method: zonal sum Σ I 2π (cos θ₁ - cos θ₂) refined to straight lines between angles (see polar_weights_sr).
    """
    per_turn = turn_weights_frac(table.horizontal_deg) @ table.intensity_umol_sr_s
    return float(per_turn @ polar_weights_sr(table.vertical_deg))


def table_intensity_umol_sr_s(table: IntensityTable, vertical_deg: ArrayLike, horizontal_deg: ArrayLike) -> Array:
    """Intensity in given directions, straight lines between the table's angles.

    Parameters: vertical_deg from straight down [°]; horizontal_deg from the lamp's 0° plane [°], broadcast.
    Returns: intensity [µmol s⁻¹ sr⁻¹]; 0 beyond the last vertical angle of the table.
    Method: bilinear interpolation (docs/method/lamps.md).
    """
    theta, phi = np.broadcast_arrays(_floats(vertical_deg), _floats(horizontal_deg))
    v, h, values = table
    row, row_part = _bracket(v, theta)
    if h.size == 1:
        found = values[0, row] * (1 - row_part) + values[0, row + 1] * row_part
    else:
        turn, turn_part = _bracket(h, np.mod(phi, FULL_TURN_DEG))
        near = values[turn, row] * (1 - row_part) + values[turn, row + 1] * row_part
        far = values[turn + 1, row] * (1 - row_part) + values[turn + 1, row + 1] * row_part
        found = near * (1 - turn_part) + far * turn_part
    return np.where((theta <= v[-1]) & (theta >= v[0]), found, 0.0)


def _bracket(grid: Array, x: Array) -> tuple[NDArray[np.intp], Array]:
    """Place of x on an ascending grid: lower index and the part of the way to the next."""
    index = np.clip(np.searchsorted(grid, x, side="right") - 1, 0, grid.size - 2)
    part = (x - grid[index]) / (grid[index + 1] - grid[index])
    return index, np.clip(part, 0.0, 1.0)
