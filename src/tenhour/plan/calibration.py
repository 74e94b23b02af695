"""A robust factor between readings and a model, with an interval that holds."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri, stdtrit

Array = NDArray[np.float64]

TUKEY: Final = 4.685
"""Tuning of the biweight for 95 % efficiency on a normal spread: Beaton & Tukey 1974, Technometrics 16:147. Memory."""
MAD_TO_SD: Final = 1.4826
"""Standard deviation of a normal spread over its median absolute deviation: textbook."""
SMALL_MAD: Final = (1.0, 1.0, 1.196, 1.495, 1.363, 1.206, 1.200, 1.140, 1.129, 1.107)
"""Corrections of the median absolute deviation for 0-9 readings: Croux & Rousseeuw 1992. From memory."""
HAND_SD_LOG: Final = 0.05
"""Scatter of a reading held level by hand: common practice."""
LEAST_SCALE: Final = 0.4
"""Readings cannot agree much better than meter and model do; less is chance. Judgement."""
LEAST_BEND: Final = 0.5
"""Guards the variance where the few readings lie in two heaps. Judgement."""
COUNTED_WEIGHT: Final = 0.1
"""A reading of less weight counts as an outlier left out. Judgement."""
ROUNDS: Final = 30
SETTLED_LOG: Final = 1e-9
LEVEL: Final = 0.94
"""The interval is meant to hold the truth nine times in ten, also with six readings and outliers: by trial (tests)."""
DAY_SD_LOG: Final = 0.04
"""What one day's readings share: dirt, wet panes, how the meter was held. Judgement."""


class Fit(NamedTuple):
    """A fitted factor: its interval, and the weight of each reading 0-1 [n]."""

    factor: float
    low: float
    high: float
    weight_frac: Array


def fit_factor(measured: Array, predicted: Array, model_sd_log: Array, day: NDArray[np.int64], bias_frac: float) -> Fit:
    """Factor between readings and a model, robust against outliers, with its 90 % interval.

    Parameters: measured, predicted, any one unit, > 0 [n]; model_sd_log, standard deviation of ln predicted for each
    reading [n]; day, number of the day of each [n]; bias_frac, relative standard deviation of an error that all
    readings share (the meter).
    Returns: Fit; weights near 0 mark readings left out as outliers.
    Method: Tukey's biweight (Beaton & Tukey 1974) of ln(measured / predicted), started at the median, scale by the
    median absolute deviation; variance by the sandwich of the estimating equation (Huber 1981), plus what readings of
    one day share, plus the meter's; Student's t with the effective number of readings.
    """
    y = np.log(measured / predicted)
    unit = np.hypot(model_sd_log, HAND_SD_LOG)
    centre = _weighted_median(y, 1.0 / unit)
    scale = _scale((y - centre) / unit)
    weight = np.ones(len(y))
    for _ in range(ROUNDS):
        weight = _biweight((y - centre) / (scale * unit))
        total = weight / unit**2
        moved = float((total * y).sum() / total.sum()) - centre
        centre += moved
        if abs(moved) < SETTLED_LOG:
            break
    error = _error_log((y - centre) / (scale * unit), scale, unit, day, bias_frac)
    low, high = float(np.exp(centre - error)), float(np.exp(centre + error))
    return Fit(float(np.exp(centre)), low, high, weight)


def _biweight(r: Array) -> Array:
    u = r / TUKEY
    return np.asarray(np.where(np.abs(u) < 1.0, (1.0 - u**2) ** 2, 0.0))


def _scale(residual: Array) -> float:
    """Scale of residuals in units of their expected spread, corrected for few readings."""
    n = len(residual)
    small = SMALL_MAD[min(n, len(SMALL_MAD) - 1)] if n < len(SMALL_MAD) else n / (n - 0.8)
    return max(MAD_TO_SD * small * float(np.median(np.abs(residual))), LEAST_SCALE)


def _error_log(r: Array, scale: float, unit: Array, day: NDArray[np.int64], bias_frac: float) -> float:
    """Half width of the interval of the logarithm, from residuals in units of their scale [n]."""
    u = r / TUKEY
    inside = np.abs(u) < 1.0
    weight = _biweight(r)
    slope = np.where(inside, (1.0 - u**2) * (1.0 - 5.0 * u**2), 0.0)
    bend = float((slope / unit**2).sum())
    bend = max(bend, LEAST_BEND * float((weight / unit**2).sum())) / scale
    spread = float(((r * weight) ** 2 / unit**2).sum())
    used = max(int((weight > COUNTED_WEIGHT).sum()), 2)
    variance = spread / bend**2 * used / (used - 1)
    days = len(np.unique(day[inside])) or 1
    quantile = float(stdtrit(used - 1, (1.0 + LEVEL) / 2.0))
    normal = float(ndtri((1.0 + LEVEL) / 2.0))
    shared = DAY_SD_LOG**2 / days + bias_frac**2
    return float(np.sqrt(quantile**2 * variance + normal**2 * shared))


def _weighted_median(values: Array, weight: Array) -> float:
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weight[order])
    return float(values[order][np.searchsorted(total, total[-1] / 2.0)])
