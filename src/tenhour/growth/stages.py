"""Emergence by thermal time, sums over windows of the year, and what a stage needs."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.shapes import YEAR_D

Floats = NDArray[np.float64]

EMERGENCE_LIMIT_D: Final = 60
"""Seed not up after this many days is taken as lost [d]. Judgement (Harrington & Minges 1954 print up to 136)."""


def days_to_reach(rate_per_d: Floats, start_doy: ArrayLike, limit_d: int = EMERGENCE_LIMIT_D) -> Floats:
    """Days from each start until a daily rate has added up to 1.

    Parameters: rate_per_d, share of the way per day [d⁻¹], shape [R, 365], wraps round; start_doy, day index
    0-364 of each start, shape [S]; limit_d, give up after this many days [d].
    Returns: whole days [d], shape [R, S]; NaN where the sum stays below 1 within the limit.
    Errors: ValueError where limit_d is longer than a year.
    """
    rate = np.maximum(np.nan_to_num(np.asarray(rate_per_d, dtype=np.float64)), 0.0)
    start = np.atleast_1d(np.asarray(start_doy, dtype=np.intp)) % YEAR_D
    if limit_d > YEAR_D:
        raise ValueError(f"limit_d is {limit_d}; at most {YEAR_D} days can be searched")
    days = _by_window(rate, start, limit_d) if len(start) * limit_d < YEAR_D else _by_search(rate, start, limit_d)
    return np.asarray(np.where(days <= limit_d, days, np.nan), dtype=np.float64)


def _by_window(rate: Floats, start: NDArray[np.intp], limit_d: int) -> Floats:
    """Add up from each start: for few starts. One more than the limit where never reached."""
    total = np.cumsum(rate[:, (start[:, None] + np.arange(limit_d)) % YEAR_D], axis=-1)
    short = np.count_nonzero(total < 1.0 - ROUNDING, axis=-1)
    return np.asarray(short + 1.0)


def _by_search(rate: Floats, start: NDArray[np.intp], limit_d: int) -> Floats:
    """Look each start's goal up in one running sum of all rows: for many starts. More than the limit where later."""
    total = np.zeros((len(rate), YEAR_D + limit_d + 1))
    np.cumsum(rate, axis=1, out=total[:, 1 : YEAR_D + 1])
    np.cumsum(rate[:, :limit_d], axis=1, out=total[:, YEAR_D + 1 :])
    total[:, YEAR_D + 1 :] += total[:, YEAR_D : YEAR_D + 1]
    lift = total[:, -1].max(initial=0.0) + 2.0
    rows = np.arange(len(rate))[:, None]
    wanted = total[rows, start] + 1.0 - ROUNDING + rows * lift
    total += rows * lift
    found = np.searchsorted(total.ravel(), wanted.ravel()).reshape(wanted.shape)
    return np.asarray(found - rows * total.shape[1] - start, dtype=np.float64)


ROUNDING: Final = 1e-9
"""Slack for sums that should be exactly 1."""


def window_mean(series: ArrayLike, start_doy: ArrayLike, length_d: ArrayLike) -> Floats:
    """Mean of a yearly series over a window, wrapping round the year.

    Parameters: series, one value a day, shape [..., 365]; start_doy, first day of the window (any number of
    days after 1 January), shape [...] or [..., S]; length_d, whole days [d], at least 1, broadcasts with start_doy.
    Returns: mean over the window, shape of start_doy; NaN where start or length is NaN.
    """
    values = np.asarray(series, dtype=np.float64)
    start, length = np.broadcast_arrays(np.asarray(start_doy, dtype=np.float64), np.asarray(length_d, dtype=np.float64))
    known = np.isfinite(start) & np.isfinite(length) & (length >= 1)
    first = np.where(known, start, 0).astype(np.intp)
    count = np.where(known, length, 1).astype(np.intp)
    total = np.concatenate([np.zeros((*values.shape[:-1], 1)), np.cumsum(values, axis=-1)], axis=-1)
    sums = _sum_to(total, first + count) - _sum_to(total, first)
    return np.asarray(np.where(known, sums / count, np.nan))


def keeps_d(temp_mean_degc: ArrayLike, ready_doy: ArrayLike, holds_degcday: ArrayLike) -> Floats:
    """Days a crop that is ready stands before it is past its best: yellow, split, coarse.

    Parameters: temp_mean_degc, mean air of each day [B, 365]; ready_doy, day it is ready, any number of days after 1
    January, [C, B, S], NaN where never; holds_degcday, sum of warmth above 0 °C it stands [C], NaN for ever.
    Returns: days [C, B, S]; a year where it stands longer, NaN where never ready.
    Method: respiration runs on warmth, so keeping does: the sum of daily means above 0 °C (docs/method/growth.md).
    """
    warm = np.maximum(np.asarray(temp_mean_degc, dtype=np.float64), 0.0)
    total = np.concatenate([np.zeros((len(warm), 1)), np.cumsum(np.tile(warm, 3), axis=-1)], axis=-1)
    ready = np.asarray(ready_doy, dtype=np.float64)
    begin = np.where(np.isfinite(ready), ready, 0.0).astype(np.intp) % YEAR_D
    limit = np.nan_to_num(np.asarray(holds_degcday, dtype=np.float64), nan=np.inf)
    out = np.empty(ready.shape)
    for bed in range(len(warm)):
        first = begin[:, bed]
        goal = total[bed][first] + limit[:, None]
        out[:, bed] = np.minimum(np.searchsorted(total[bed], goal + ROUNDING, side="right") - 1 - first, YEAR_D)
    return np.asarray(np.where(np.isfinite(ready), out, np.nan))


def _sum_to(total: Floats, day: NDArray[np.intp]) -> Floats:
    """Sum of the series before a day, counting whole years."""
    year, rest = np.divmod(day, YEAR_D)
    if total.ndim == 1:
        return np.asarray(total[rest] + year * total[-1])
    flat = rest.reshape(*total.shape[:-1], -1)
    part = np.take_along_axis(total, flat, axis=-1).reshape(day.shape)
    whole = total[..., -1].reshape(*total.shape[:-1], *([1] * (day.ndim - total.ndim + 1)))
    return np.asarray(part + year * whole)


def bed_window_mean(series: ArrayLike, start_doy: ArrayLike, length_d: ArrayLike) -> Floats:
    """Mean of each bed's series over windows that differ by crop, sowing and draw.

    Parameters: series [B, 365]; start_doy, day index of the first day, any number of days after 1 January,
    [C, B, S] or [C, B, S, J]; length_d, whole days [d], broadcasts with it.
    Returns: means, shape of start_doy; NaN where unknown.
    """
    start, length = np.broadcast_arrays(np.asarray(start_doy, dtype=np.float64), np.asarray(length_d, dtype=np.float64))
    means = window_mean(series, np.moveaxis(start, 1, 0), np.moveaxis(length, 1, 0))
    return np.asarray(np.moveaxis(means, 0, 1))
