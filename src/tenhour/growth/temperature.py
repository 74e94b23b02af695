"""How rates follow temperature."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

HOURS: Final = 24.0

EMERGENCE_HEADROOM_K: Final = 2.0
"""Emergence gains nothing from warmth this far above the growth optimum [K]. Judgement."""


def yan_hunt_frac(
    temp_degc: ArrayLike, temp_min_degc: ArrayLike, temp_opt_degc: ArrayLike, temp_max_degc: ArrayLike
) -> Floats:
    """Share of the fastest rate at a temperature, from three cardinal temperatures.

    Parameters: temp_degc, temperature [°C]; temp_min_degc, temp_opt_degc, temp_max_degc, where the rate is
    nil, greatest and nil again [°C], increasing.
    Returns: share of the greatest rate, 0-1; 0 outside the limits; NaN for NaN.
    Method: Yan & Hunt 1999, Ann. Bot. 84:607, with a base temperature (their form has base 0).

    >>> float(yan_hunt_frac(24.0, -2.0, 24.0, 33.0))
    1.0
    """
    t = np.asarray(temp_degc, dtype=np.float64)
    low, opt, high = (np.asarray(x, dtype=np.float64) for x in (temp_min_degc, temp_opt_degc, temp_max_degc))
    inside = np.clip(t, low, high)
    power = (opt - low) / (high - opt)
    return np.asarray((high - inside) / (high - opt) * ((inside - low) / (opt - low)) ** power)


def hour_weighted(day: ArrayLike, night: ArrayLike, lit_h: ArrayLike) -> Floats:
    """Mean of a day's and a night's value, weighted by their hours.

    Parameters: day, night, any rate or temperature; lit_h, hours of light [h], 0-24.
    Returns: the weighted mean, in the unit of the inputs.
    Method: definition. Average the *rate*, not the temperature: at 21/10 °C the curvature matters.
    """
    share = np.asarray(lit_h, dtype=np.float64) / HOURS
    return np.asarray(share * np.asarray(day) + (1.0 - share) * np.asarray(night))


def emergence_rate_per_d(
    temp_mean_degc: ArrayLike,
    base_degc: ArrayLike,
    sum_degcday: ArrayLike,
    opt_degc: ArrayLike,
    max_degc: ArrayLike = np.inf,
) -> Floats:
    """Share of the way to emergence covered in a day.

    Parameters: temp_mean_degc, soil temperature of the day [°C]; base_degc, sum_degcday, thermal time
    [°C], [°C d]; opt_degc, growth optimum [°C]; max_degc, above which seed does not come up [°C].
    Returns: rate [d⁻¹]; days to emergence are one over it.
    Method: days = sum/(T − base), fitted to Harrington & Minges 1954 (see crops/facts).

    >>> round(1 / float(emergence_rate_per_d(10.0, 1.3, 57.0, 24.0)), 1)
    6.6
    """
    temp = np.asarray(temp_mean_degc, dtype=np.float64)
    warm = np.minimum(temp, np.asarray(opt_degc) + EMERGENCE_HEADROOM_K)
    rate = np.maximum(warm - np.asarray(base_degc), 0.0) / np.asarray(sum_degcday)
    return np.asarray(np.where(temp > np.asarray(max_degc), 0.0, rate))
