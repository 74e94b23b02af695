"""How rates follow temperature."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

HOURS: Final = 24.0

STRAIGHT_BELOW_DEGC: Final = 10.0
"""Below this, growth falls in a straight line to its base: the thermal time in which leaf clocks are published
(straight from 2 to 30 °C for canola in APSIM, from 3 to 13 °C for cabbage in Daisy; read). The bent curve would stop
almost everything below 5 °C, where cabbage leaves go on growing, at half the pace per 10 K (Cox & Levitt 1969, Plant
Physiol. 44:923, abstract read)."""

INNER_RATIO: Final = 1.414
OUTER_LIGHT_FRAC: Final = 0.293
"""A half sine over the lit hours, its mean 1: the mean of its inner half, and the share of the sum that falls in its
outer half. Derived: √2 and 1 − 1/√2."""

VENT_DEGC: Final = 25.0
"""The swing of the day takes air no higher than this: a grower opens the vents. Common practice, 20-25 °C."""

FROZEN_NIGHT_DEGC: Final = -4.0
"""Mean of a night after which leaves stand frozen through the first quarter of the lit hours; none are at 0 °C, in
between by straight line. Growers' dated records: frozen stiff at 8:00 and 9:30 after nights of −7 °C, well by 10:00 and
noon (Smiths Grove 2000; a hoop house of December 2010; read)."""
FROZEN_HOURS_FRAC: Final = 0.25

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


def growth_frac(
    temp_degc: ArrayLike, temp_min_degc: ArrayLike, temp_opt_degc: ArrayLike, temp_max_degc: ArrayLike
) -> Floats:
    """Share of the fastest growth at a temperature: :func:`yan_hunt_frac`, and a straight line to the base in the cold.

    Parameters: as :func:`yan_hunt_frac`. Returns: share 0-1; the greater of the curve and the line from the base to the
    curve at ``STRAIGHT_BELOW_DEGC``; crops whose base or optimum lies beyond that keep the curve.
    Method: docs/method/growth.md, "In the cold".

    >>> float(growth_frac(4.0, -2.0, 24.0, 33.0)) / float(growth_frac(10.0, -2.0, 24.0, 33.0))
    0.5
    """
    low, opt = np.asarray(temp_min_degc, dtype=np.float64), np.asarray(temp_opt_degc, dtype=np.float64)
    curve = yan_hunt_frac(temp_degc, low, opt, temp_max_degc)
    corner = np.clip(STRAIGHT_BELOW_DEGC, low, opt)
    run = np.maximum(corner - low, 1.0)
    share = np.clip((np.asarray(temp_degc, dtype=np.float64) - low) / run, 0.0, 1.0)
    line = yan_hunt_frac(corner, low, opt, temp_max_degc) * share
    return np.asarray(np.where(np.asarray(temp_degc) < corner, np.maximum(curve, line), curve))


def day_nodes(temp_day_degc: ArrayLike, temp_night_degc: ArrayLike, swing_frac: ArrayLike) -> tuple[Floats, Floats]:
    """Temperature of the outer and of the inner half of the lit hours [°C].

    Parameters: temp_day_degc, temp_night_degc, means [°C]; swing_frac, 0 where air stands at its set point all day, 1
    where the sun makes it; broadcast. Returns: two arrays whose mean is the day's.
    Method: a half sine above the night; air made by the sun follows it (practice; docs/method/growth.md).
    """
    day = np.asarray(temp_day_degc, dtype=np.float64)
    rise = (day - np.asarray(temp_night_degc)) * np.asarray(swing_frac, dtype=np.float64)
    more = np.minimum((INNER_RATIO - 1.0) * rise, np.maximum(VENT_DEGC - day, 0.0))
    return np.asarray(day - more), np.asarray(day + more)


def thawed_frac(temp_night_degc: ArrayLike) -> Floats:
    """Share of the lit hours in which leaves are not frozen from the night, 0.75-1.

    Parameters: temp_night_degc, mean of the night before [°C]. Method: see ``FROZEN_NIGHT_DEGC``.
    """
    share = np.clip(np.asarray(temp_night_degc, dtype=np.float64) / FROZEN_NIGHT_DEGC, 0.0, 1.0)
    return np.asarray(1.0 - FROZEN_HOURS_FRAC * share)


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
