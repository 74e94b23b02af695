"""Water in air: vapour pressure at saturation, and what condenses on a cover."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

ICE_KJ_KG_K, WATER_KJ_KG_K, MELTING_KJ_KG = 2.1, 4.19, 334.0
"""Heat of ice and water by the kelvin, and of melting. Memory (handbook values at 0 °C)."""
KJ_KWH: Final = 3600.0
CAN_DEGC: Final = 10.0
"""Water that goes on a bed. Judgement."""

ZERO_K: Final = 273.15
GAMMA_PA_K: Final = 66.0
"""Psychrometric constant at sea level (Allen et al. 1998, FAO 56: 0.665e-3 of the air's pressure, 67). Read."""
WELL_WATERED_RATIO: Final = 1.26
"""Evaporation of wet ground over that of air in balance with it (Priestley & Taylor 1972, Mon. Weather Rev. 100:81).
Memory."""
# ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 and 6 (Hyland & Wexler 1983), over ice and over water.
# From memory; the test holds them against PsychroLib.
_ICE: Final = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER: Final = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)


def saturation_pa(temp_degc: ArrayLike) -> Array:
    """Vapour pressure of saturated air, over ice below 0 °C.

    Parameters: temp_degc. Method: Hyland & Wexler 1983, as in ASHRAE Handbook Fundamentals 2017. Memory.

    >>> [round(float(p), 1) for p in saturation_pa([20.0, -10.0])]
    [2338.8, 259.9]
    """
    t = np.asarray(temp_degc, dtype=np.float64) + ZERO_K
    a, b = _ICE, _WATER
    over, log = 1.0 / t, np.log(t)
    ice = a[0] * over + a[1] + t * (a[2] + t * (a[3] + t * (a[4] + t * a[5]))) + a[6] * log
    water = b[0] * over + b[1] + t * (b[2] + t * (b[3] + t * b[4])) + b[5] * log
    return np.asarray(np.exp(np.where(t < ZERO_K, ice, water)))


def vapour_slope_ratio(temp_degc: ArrayLike) -> Array:
    """Slope of the vapour pressure at saturation over the psychrometric constant.

    Parameters: temp_degc. Method: a difference over 1 K of :func:`saturation_pa`. Derived.

    >>> [round(float(s), 2) for s in vapour_slope_ratio([5.0, 20.0])]
    [0.93, 2.18]
    """
    t = np.asarray(temp_degc, dtype=np.float64)
    return np.asarray((saturation_pa(t + 0.5) - saturation_pa(t - 0.5)) / GAMMA_PA_K)


def evaporating_frac(temp_degc: ArrayLike) -> Array:
    """Share of the sun absorbed by wet ground that evaporates water.

    Parameters: temp_degc, of the ground. Method: Priestley & Taylor 1972, 1.26 Δ/(Δ + γ).

    >>> [round(float(s), 2) for s in evaporating_frac([5.0, 20.0])]
    [0.61, 0.86]
    """
    slope = vapour_slope_ratio(temp_degc)
    return np.asarray(np.minimum(WELL_WATERED_RATIO * slope / (1.0 + slope), 1.0))


def melting_kwh_kg(snow_degc: ArrayLike) -> Array:
    """Heat to make water for beds of a kilogram of snow, a litre. Parameters: snow_degc, up to 0 °C.

    Method: warming, melting and warming again. Derived.

    >>> melting_kwh_kg([0.0, -10.0]).round(3).tolist()
    [0.104, 0.11]
    """
    cold = np.minimum(np.asarray(snow_degc, dtype=np.float64), 0.0)
    return np.asarray((MELTING_KJ_KG + WATER_KJ_KG_K * CAN_DEGC - ICE_KJ_KG_K * cold) / KJ_KWH)
