"""What threatens a crop beside slow growth: cold nights, heat, bolting and bulbing."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.shapes import YEAR_D
from tenhour.growth.stages import days_to_reach

Floats = NDArray[np.float64]

LONG_DAYS_D: Final = 21
"""Long days that bring a stalk. Spinach raised under 16 h had bolted three days after planting, under 10 or 13 h not
(HortScience 36:889, 2001), and short days hold back what long ones began (Kim et al. 2000, HortScience 35:43); three
weeks, the usual time of raising, is judgement."""
FULL_H: Final = 1.5
"""Hours above a crop's limit at which a day counts whole; below it by its share, for the response to length is one of
degree: 16 h counts whole in spinach (as above), 13 h not at all, gardeners' 14 h from sunrise to sunset lie between."""


def bolting_d(
    photoperiod_h: ArrayLike,
    temp_mean_degc: ArrayLike,
    sow_doy: ArrayLike,
    *,
    limit_h: ArrayLike,
    cold_degc: ArrayLike,
    cold_d: ArrayLike,
    grown_d: ArrayLike = 0.0,
) -> Floats:
    """Day after sowing from which a crop runs to flower.

    Parameters: photoperiod_h, day length that counts (civil twilight or lamps) [h], [B, 365]; temp_mean_degc
    [B, 365]; sow_doy [S]; limit_h, day from which it bolts, NaN where day length plays no part [C]; cold_degc,
    cold_d, mean below which a day counts as cold and how many suffice, NaN where cold plays no part [C];
    grown_d, days after sowing from which it can respond (emergence, or end of youth) [d], broadcasts to [C, B, S].
    Returns: days from sowing [C, B, S]; NaN if not within a year. Crops with both needs must have had their cold
    before the long days.
    Method: the first long day after ``LONG_DAYS_D`` of them, in a row or not, each by how far it passes the limit and
    whole from ``FULL_H`` above it; cold alone turns a crop when it suffices.
    """
    long_day, temp = np.asarray(photoperiod_h, dtype=np.float64), np.asarray(temp_mean_degc, dtype=np.float64)
    limit, cold, need = (np.asarray(x, dtype=np.float64) for x in (limit_h, cold_degc, cold_d))
    start = np.asarray(sow_doy, dtype=np.intp) % YEAR_D
    shape = (len(limit), len(temp), len(start))
    grown = np.broadcast_to(np.asarray(grown_d, dtype=np.float64), shape)
    begin = start + np.where(np.isfinite(grown), np.ceil(np.maximum(grown, 0.0)), YEAR_D).astype(np.intp)
    found = np.full(shape, np.nan)
    for i in range(shape[0]):
        by_cold, by_length = bool(np.isfinite(need[i])), bool(np.isfinite(limit[i]))
        if not by_cold and not by_length:
            continue
        last = np.minimum(begin[i], 2 * YEAR_D)
        if by_cold:
            last = _first_day(temp < cold[i], last, float(need[i]) - ROUNDING)
        if by_length:
            counts = np.clip((long_day - limit[i]) / FULL_H, 0.0, 1.0)
            last = _first_day(np.broadcast_to(counts, temp.shape), last, LONG_DAYS_D + ROUNDING)
        found[i] = np.where(last - start < YEAR_D, last - start, np.nan)
    return found


ROUNDING: Final = 1e-9
"""Slack for sums of whole days."""


def _first_day(counts: ArrayLike, begin: NDArray[np.intp], amount: float) -> NDArray[np.intp]:
    """First day from each beginning on at which days have added up to an amount, the second year's end if none [B, S].

    Parameters: counts, what each day of the year counts [B, 365]; begin, days from 1 January, up to two years [B, S].
    Method: looked up in one running sum of all rows.
    """
    twice = np.tile(np.asarray(counts, dtype=np.float64), 2)
    total = np.concatenate([np.zeros((len(twice), 1)), np.cumsum(twice, axis=1)], axis=1)
    rows, lift = np.arange(len(twice))[:, None], 2.0 * YEAR_D + amount + 2.0
    wanted = np.take_along_axis(total, begin, axis=1) + amount + rows * lift
    place = np.searchsorted((total + rows * lift).ravel(), wanted.ravel()).reshape(begin.shape)
    return np.asarray(np.maximum(place - rows * total.shape[1] - 1, begin), dtype=np.intp)


def heat_bolting_d(
    temp_mean_degc: ArrayLike, sow_doy: ArrayLike, base_degc: ArrayLike, sum_degcday: ArrayLike
) -> Floats:
    """Day after sowing on which a sum of warmth runs a crop to flower, [C, B, S]; NaN if not within a year.

    Parameters: temp_mean_degc [B, 365]; sow_doy [S]; base_degc, sum_degcday [C], NaN where unknown.
    Method: Iwama & Motai 1954 for two crisphead lettuces, 1500-1700 °C d above 5 °C.
    """
    temp = np.asarray(temp_mean_degc, dtype=np.float64)
    base, total = (np.asarray(x, dtype=np.float64)[:, None, None] for x in (base_degc, sum_degcday))
    rate = np.maximum(temp[None] - base, 0.0) / total
    days = days_to_reach(np.nan_to_num(rate).reshape(-1, YEAR_D), sow_doy, YEAR_D)
    return np.asarray(days.reshape(*rate.shape[:2], -1))
