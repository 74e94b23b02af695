"""Unit suffixes used in every name, and the few conversions the program needs.

A bare number that crosses a function, a file key or a JSON field ends in one of ``SUFFIXES``. Tests walk the
public names and refuse any other. ``docs/units.md`` is the glossary.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

SUFFIXES: Final = frozenset(
    {
        "deg", "rad", "m", "m2", "m3", "mm", "cm", "km", "h", "d", "min", "s", "degc", "degf", "k", "degcday",
        "mol_m2_d", "mol_m2", "mol", "umol_m2_s", "umol_s", "umol_j", "umol_w_s", "w_m2", "w_m2_k", "w_k", "w", "kw",
        "kwh", "kwh_m2_d", "mj_m2_d", "mj_m2", "j", "lux", "lm", "lm_w", "lux_umol", "cd", "v", "a", "pa", "kg", "g",
        "mg", "g_m2", "g_mol", "g_m2_d", "g_m2_week", "kg_m2", "m2_g", "m2_k_w", "per_m2", "per_d", "per_h", "per_m",
        "per_k", "nm", "um", "ft", "inch", "ppm", "g_kwh", "mol_kwh", "currency", "currency_kwh", "umol_sr_s", "sr",
        "per_sr", "w_m2_sr", "frac", "ratio", "share", "score", "factor", "count", "doy", "year", "month", "day",
        "index", "weight", "m2_sr", "h_week", "l_d",
    }
)  # fmt: skip
"""Every unit (or kind of dimensionless number) a name may end in."""

GENERIC_YEAR: Final = 2026
"""The year whose dates stand for any year: no 29 February, and mid leap cycle, so that dates drift least."""

EARTH_RADIUS_KM: Final = 6371.0088
"""Mean radius of the earth: IUGG 1980 (Moritz 2000). From memory."""

UMOL_PER_J_GLOBAL: Final = 2.018
"""PAR photons per joule of global radiation [µmol J⁻¹]: Faust & Logan 2018, 0.007265 mol Wh⁻¹. Read (abstract)."""

UMOL_PER_J_GLOBAL_SPREAD_FRAC: Final = 0.04
"""Spread of that factor between skies (facts read in Jacovides 2003 and others). Judgement."""

SEA_LEVEL_PA: Final = 101325.0
"""Standard atmosphere (ISO 2533)."""

SECONDS_PER_DAY: Final = 86400.0
MICRO: Final = 1e-6


def pressure_pa(elevation_m: float) -> float:
    """Air pressure by elevation [Pa].

    Parameters: elevation_m, above the sea [m].
    Method: standard atmosphere below 11 km, solved for pressure (ISO 2533), read in pvlib.

    >>> round(pressure_pa(1000.0) / 100)
    899
    """
    return float(100.0 * ((44331.514 - elevation_m) / 11880.516) ** (1 / 0.1902632))


def dli_from_ppfd(ppfd_umol_m2_s: ArrayLike, lit_h: ArrayLike) -> NDArray[np.float64]:
    """Daily light integral of a constant photon flux.

    Parameters: ppfd_umol_m2_s, photon flux density [µmol m⁻² s⁻¹], ≥ 0; lit_h, hours it lasts [h], 0-24.
    Returns: daily light integral [mol m⁻² d⁻¹], broadcast shape.
    Method: definition of the integral (ANSI/ASABE S640; 1 µmol m⁻² s⁻¹ for 24 h = 0.0864 mol m⁻²).

    >>> float(dli_from_ppfd(200.0, 16.0))
    11.52
    """
    flux = np.asarray(ppfd_umol_m2_s, dtype=np.float64)
    return np.asarray(np.round(flux * np.asarray(lit_h, dtype=np.float64) * 3600.0 * MICRO, 12))


def ppfd_from_dli(dli_mol_m2_d: ArrayLike, lit_h: ArrayLike) -> NDArray[np.float64]:
    """Constant photon flux that gives a daily light integral; the inverse of :func:`dli_from_ppfd`.

    Parameters: dli_mol_m2_d, daily light integral [mol m⁻² d⁻¹]; lit_h, hours [h], > 0.
    Returns: photon flux density [µmol m⁻² s⁻¹].
    Method: Elkins & van Iersel 2020 print 189 for 15 mol over 22 h.

    >>> round(float(ppfd_from_dli(15.0, 22.0)), 1)
    189.4
    """
    seconds = np.asarray(lit_h, dtype=np.float64) * 3600.0
    return np.asarray(np.asarray(dli_mol_m2_d, dtype=np.float64) / (seconds * MICRO))


def dli_from_ghi(ghi_w_m2: ArrayLike) -> NDArray[np.float64]:
    """Daily light integral of a 24 h mean of global radiation.

    Parameters: ghi_w_m2, 24 h mean of global horizontal irradiance [W m⁻²].
    Returns: daily light integral [mol m⁻² d⁻¹].
    Method: 0.0864 MJ per W d times 2.018 mol MJ⁻¹ (Faust & Logan 2018).

    >>> round(float(dli_from_ghi(100.0)), 2)
    17.44
    """
    return np.asarray(np.asarray(ghi_w_m2, dtype=np.float64) * SECONDS_PER_DAY * MICRO * UMOL_PER_J_GLOBAL)


def ghi_from_dli(dli_mol_m2_d: ArrayLike) -> NDArray[np.float64]:
    """24 h mean of global radiation [W m⁻²] that gives a daily light integral [mol m⁻² d⁻¹]."""
    return np.asarray(dli_mol_m2_d, dtype=np.float64) / (SECONDS_PER_DAY * MICRO * UMOL_PER_J_GLOBAL)


def degc_from_degf(temp_degf: ArrayLike) -> NDArray[np.float64]:
    """Degrees Celsius from degrees Fahrenheit.

    >>> float(degc_from_degf(68.0))
    20.0
    """
    return (np.asarray(temp_degf, dtype=np.float64) - 32.0) * 5.0 / 9.0


def polar_weights_sr(vertical_deg: ArrayLike) -> NDArray[np.float64]:
    """Solid angle [sr] that each vertical angle stands for when intensity runs straight between the angles.

    Parameters: vertical_deg, (v,), ascending [°]. Returns: weights [sr] whose sum is the zone's solid angle.
    Method: 2π ∫ I sin θ dθ, exact for I linear in θ, so a table's flux is the flux its interpolation emits.

    >>> round(float(polar_weights_sr([0.0, 45.0, 90.0]).sum() / np.pi), 12)
    2.0
    """
    theta = np.deg2rad(np.asarray(vertical_deg, dtype=np.float64))
    weights = np.zeros_like(theta)
    if theta.size > 1:
        slope = np.diff(np.sin(theta)) / np.diff(theta)
        weights[:-1] += np.cos(theta[:-1]) - slope
        weights[1:] += slope - np.cos(theta[1:])
    return np.asarray(2 * np.pi * weights)


def turn_weights_frac(horizontal_deg: ArrayLike) -> NDArray[np.float64]:
    """Share of a full turn that each horizontal angle stands for (trapezoid rule over 0-360°; a lone angle is 1)."""
    phi = np.asarray(horizontal_deg, dtype=np.float64)
    if phi.size == 1:
        return np.ones(1)
    gaps = np.diff(phi)
    weights = np.zeros_like(phi)
    weights[:-1] += gaps / 2
    weights[1:] += gaps / 2
    return np.asarray(weights / gaps.sum())


def great_circle_km(
    latitude_a_deg: ArrayLike,
    longitude_a_deg: ArrayLike,
    latitude_b_deg: ArrayLike,
    longitude_b_deg: ArrayLike,
) -> NDArray[np.float64]:
    """Distance between two places on a sphere [km]; latitudes and longitudes [°], broadcast together (haversine).

    Method: haversine, h = sin²(Δφ/2) + cos φ cos φ sin²(Δλ/2); the flattening is left out (0.5 %).
    """
    phi_a, phi_b = np.deg2rad(np.asarray(latitude_a_deg)), np.deg2rad(np.asarray(latitude_b_deg))
    half_lambda = np.deg2rad(np.asarray(longitude_b_deg) - np.asarray(longitude_a_deg)) / 2
    h = np.sin((phi_b - phi_a) / 2) ** 2 + np.cos(phi_a) * np.cos(phi_b) * np.sin(half_lambda) ** 2
    return np.asarray(2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.clip(h, 0.0, 1.0))))
