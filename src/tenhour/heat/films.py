"""What lies between a surface and its surroundings: wind, sky, and radiation between the surfaces of a room."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

STEFAN_W_M2_K4: Final = 5.670374e-8
"""Stefan-Boltzmann constant (CODATA 2018)."""
ZERO_K: Final = 273.15
EMISSIVITY_FRAC: Final = 0.9
"""Glass 0.84-0.90, wood, soil and leaves 0.9-0.95; film that is wet, as it is at night over plants, is as glass
(Feuilloley & Issanchou 1996; Geoola et al. 2009, abstracts). Memory."""
ROOM_FILM_M2_K_W: Final = 0.17
"""Both films a catalogue's U-value holds: 0.13 inside + 0.04 outside (ISO 6946). Memory."""
LEAST_PANE_M2_K_W: Final = 0.001
"""A single pane's own resistance: 4 mm of glass at 1 W m⁻¹ K⁻¹ is 0.004, film nothing. Derived."""
STILL_WIND_W_M2_K: Final = 2.8
PER_WIND: Final = 3.0
"""h = 2.8 + 3.0 v, wind v at the surface: Watmuff, Charters & Proctor 1977. Memory."""
STAR_TURNS: Final = 12


def pane_resistance_m2_k_w(u_w_m2_k: ArrayLike) -> Array:
    """Resistance of a cover itself from a catalogue's U-value: 1/U less the films of the standard.

    Parameters: u_w_m2_k, U-value.

    >>> [round(float(r), 3) for r in pane_resistance_m2_k_w([6.2, 3.0, 1.9])]
    [0.001, 0.163, 0.356]
    """
    return np.maximum(1.0 / np.asarray(u_w_m2_k, dtype=np.float64) - ROOM_FILM_M2_K_W, LEAST_PANE_M2_K_W)


def wind_film_w_m2_k(wind_m_s: ArrayLike) -> Array:
    """Convection outside by the wind along the surface [m s⁻¹]."""
    return np.asarray(STILL_WIND_W_M2_K + PER_WIND * np.asarray(wind_m_s, dtype=np.float64))


def radiation_film_w_m2_k(temp_degc: ArrayLike) -> Array:
    """Radiation between black surfaces near one temperature.

    Parameters: temp_degc. Method: 4 σ T³, the slope of σ T⁴. Derived.

    >>> round(float(radiation_film_w_m2_k(0.0)), 2)
    4.62
    """
    return np.asarray(4.0 * STEFAN_W_M2_K4 * (np.asarray(temp_degc, dtype=np.float64) + ZERO_K) ** 3)


def sky_share(tilt_deg: ArrayLike) -> Array:
    """How much of what a face sees outside is as cold as the sky [0-1]; the rest is as warm as the air.

    Parameters: tilt_deg, 0 level and facing up, 90 upright.
    Method: view of the sky F = (1 + cos tilt)/2 times √F, for low sky is warmer than high sky (Walton 1983, as in
    EnergyPlus). Second-hand.

    >>> [round(float(s), 3) for s in sky_share([0.0, 90.0])]
    [1.0, 0.354]
    """
    view = (1.0 + np.cos(np.deg2rad(np.asarray(tilt_deg, dtype=np.float64)))) / 2.0
    return np.asarray(view * np.sqrt(view))


def outside_degc(
    temp_out_degc: Array, temp_sky_degc: Array, wind_m_s: Array, tilt_deg: ArrayLike, sun_w_m2: Array
) -> Array:
    """The one temperature outdoors that does to a face what air, sky and sun do together.

    Parameters: temp_out_degc; temp_sky_degc; wind_m_s, at the face; tilt_deg, of the face; sun_w_m2, it takes in.
    Method: mean by the conductances of the outer film (as covers have it, docs/method/heat.md). Derived.

    >>> cold, wind = np.array(0.0), np.array(2.0)
    >>> round(float(outside_degc(cold, np.array(-20.0), wind, 0.0, np.array(0.0))), 2)
    -5.94
    """
    radiation = radiation_film_w_m2_k((temp_out_degc + temp_sky_degc) / 2.0) * EMISSIVITY_FRAC
    outer = wind_film_w_m2_k(wind_m_s) + radiation
    to_sky = radiation * sky_share(tilt_deg) * (temp_sky_degc - temp_out_degc)
    return np.asarray(temp_out_degc + (to_sky + sun_w_m2) / outer)


def star_w_m2_k(area_m2: Array, temp_degc: float = 5.0, emissivity_frac: float = EMISSIVITY_FRAC) -> Array:
    """Radiation from each surface of a closed room to the room's mean radiant temperature, per area.

    Parameters: area_m2 [n]; temp_degc, about which it is reckoned; emissivity_frac.
    Method: Carroll 1980, F = 1 / (1 - A F / Σ A F), in series with (1 - ε)/ε; a surface that sees mostly others at one
    temperature exchanges more than one that is the room's largest. From memory.

    >>> star_w_m2_k(np.array([1.0, 1.0])).round(2).tolist()   # two facing walls: half of 4 σ T³ ε/(2 - ε), twice over
    [7.99, 7.99]
    """
    factor = np.ones_like(area_m2)
    for _ in range(STAR_TURNS):
        share = area_m2 * factor / (area_m2 * factor).sum()
        factor = (factor + 1.0 / (1.0 - np.minimum(share, 0.5))) / 2.0
    grey = (1.0 - emissivity_frac) / emissivity_frac
    return np.asarray(radiation_film_w_m2_k(temp_degc) / (1.0 / factor + grey))
