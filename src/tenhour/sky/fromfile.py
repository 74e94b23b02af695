"""Outdoor light and air of a place from a series of days, in the form of the embedded normals."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.sky.normals import KT_CEILING, LAPSE_K_PER_KM, METRES_PER_KM, MONTHS, SiteClimate

Array = NDArray[np.float64]

DARK_W_M2: Final = 5.0
"""Mean light above the air below which a day's clearness says nothing [W m⁻²]; as in the normals."""

FEW_DAYS: Final = 60
"""Days of a month below which its neighbours' days are taken in for the spread: two years' worth. Practice."""

DARK_MONTH_W_M2: Final = 0.5
"""A month with less above the air says nothing of how clear it is: twilight is as much [W m⁻²]. Judgement."""
LEAST_DAYS: Final = 10
"""Bright days that a spread needs [-]. Practice."""

MEASURED_FRAC: Final = 0.05
"""Error of a station's light itself [-]: a good pyranometer and satellite series. Judgement."""

TYPICAL_FRAC: Final = 0.06
"""Further error of one typical month against the long mean [-]: each is picked near it. Judgement."""

P90_OVER_MEAN: Final = 2.06
"""90th percentile over mean of the absolute error of a normal distribution, 1.645 / 0.798. Derived."""

MEAN_OVER_SD: Final = 0.798
"""Mean absolute error over standard deviation of a normal distribution, sqrt(2 / pi). Derived."""


class DaySeries(NamedTuple):
    """Days of a series, each array [n]; NaN where missing.

    year; month 1-12; ghi_w_m2, 24 h mean of global light [W m⁻²]; h0_w_m2, the same above the air on that day;
    temp_degc [°C].
    """

    year: NDArray[np.int_]
    month: NDArray[np.int_]
    ghi_w_m2: Array
    h0_w_m2: Array
    temp_degc: Array


def climate_from_series(
    days: DaySeries,
    quantile_level_frac: Array,
    *,
    typical: bool,
    normal_temp_degc: Array | None = None,
    site_above_file_m: float = 0.0,
    distance_km: float = 0.0,
) -> SiteClimate:
    """Climate of a site from a series of days.

    Parameters: days; quantile_level_frac[k], levels of the spread, as in the normals; typical, one year joined from
        several; normal_temp_degc[12], for months without temperature; site_above_file_m, height of the site over the
        file's station [m]; distance_km, from the site to it.
    Returns: SiteClimate with kt_month[12], quantile_ratio[12, k] of daily light (the drift of day length within a
        month included, as in the normals) and the rest. A month too dark to tell takes those of the nearest month.
        The file's own hours, of beam and of air, are answered from themselves (sky.measured, sky.ownhours).
    Method: kt = sum of light over sum of light above the air, all years together, at most 0.80; the spread of days
        takes in both neighbouring months where fewer than 60 days are known (docs/method/sky.md).
    Errors: OutOfRange when not one month has light.
    """
    bright = np.isfinite(days.ghi_w_m2) & (days.h0_w_m2 >= DARK_W_M2)
    kt_month, borrowed = _monthly_kt(days)
    light = np.where(bright, days.ghi_w_m2, np.nan)
    ratio, narrow = _spread(light, days.month, quantile_level_frac)
    lapse = LAPSE_K_PER_KM * site_above_file_m / METRES_PER_KM
    temp = _monthly(days.temp_degc, days.month) - lapse
    if normal_temp_degc is not None:
        temp = np.where(np.isfinite(temp), temp, normal_temp_degc)
    error = _uncertainty(days, bright, typical)
    return SiteClimate(
        kt_month=np.minimum(kt_month, KT_CEILING),
        quantile_level_frac=np.asarray(quantile_level_frac, dtype=np.float64),
        quantile_ratio=ratio,
        temp_degc=temp,
        uncertainty_frac=error,
        uncertainty_p90_frac=P90_OVER_MEAN * error,
        distance_km=distance_km,
        notes=_notes(borrowed, narrow, typical),
    )


def _monthly(values: Array, month: NDArray[np.int_]) -> Array:
    """Mean by calendar month, NaN where there is none."""
    known = np.isfinite(values)
    total = np.bincount(month[known], values[known], minlength=MONTHS + 1)[1:]
    count = np.bincount(month[known], minlength=MONTHS + 1)[1:]
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def _monthly_kt(days: DaySeries) -> tuple[Array, list[int]]:
    there = np.isfinite(days.ghi_w_m2)  # dark days too: they are in the month's mean
    light = np.bincount(days.month[there], days.ghi_w_m2[there], minlength=MONTHS + 1)[1:]
    above = np.bincount(days.month[there], days.h0_w_m2[there], minlength=MONTHS + 1)[1:]
    count = np.bincount(days.month[there], minlength=MONTHS + 1)[1:]
    known = (count >= LEAST_DAYS) & (above >= DARK_MONTH_W_M2 * count)
    if not known.any():
        raise OutOfRange(f"no month of the series has {LEAST_DAYS} days with light: nothing can be said of its climate")
    kt = np.where(known, light / np.where(above > 0, above, 1.0), np.nan)
    return kt[_nearest(known)], [int(m) + 1 for m in np.flatnonzero(~known)]


def _nearest(known: NDArray[np.bool_]) -> NDArray[np.intp]:
    """For every month the nearest known one round the year, itself if known."""
    places = np.flatnonzero(known)
    apart = np.abs(np.arange(MONTHS)[:, None] - places[None, :])
    return np.asarray(places[np.minimum(apart, MONTHS - apart).argmin(axis=1)])


def _spread(light_w_m2: Array, month: NDArray[np.int_], levels_frac: Array) -> tuple[Array, bool]:
    """Quantiles of a day's light over its month's mean [12, k], and whether neighbours were needed."""
    relative = light_w_m2 / _monthly(light_w_m2, month)[month - 1]
    count = np.bincount(month[np.isfinite(relative)], minlength=MONTHS + 1)[1:]
    out = np.full((MONTHS, np.size(levels_frac)), np.nan)
    for m in range(MONTHS):
        months = [m] if count[m] >= FEW_DAYS else [(m - 1) % MONTHS, m, (m + 1) % MONTHS]
        pool = relative[np.isin(month - 1, months) & np.isfinite(relative)]
        if pool.size >= LEAST_DAYS:
            out[m] = np.quantile(pool, levels_frac)
    known = np.isfinite(out[:, 0])
    return out[_nearest(known)], bool((count[count > 0] < FEW_DAYS).any())


def _uncertainty(days: DaySeries, bright: NDArray[np.bool_], typical: bool) -> Array:
    """Mean error of a month's light as a fraction [12]: the instrument's, and that of so many years."""
    years = np.unique(days.year)
    if typical or years.size == 1:
        return np.full(MONTHS, float(np.hypot(MEASURED_FRAC, TYPICAL_FRAC)))
    spread = np.zeros(MONTHS)
    for m in range(MONTHS):
        here = bright & (days.month == m + 1)
        light = np.array([days.ghi_w_m2[here & (days.year == year)].sum() for year in years])
        above = np.array([days.h0_w_m2[here & (days.year == year)].sum() for year in years])
        kt = light[above > 0] / above[above > 0]
        if kt.size > 1:
            spread[m] = MEAN_OVER_SD * kt.std(ddof=1) / kt.mean() / np.sqrt(kt.size)
    return np.hypot(MEASURED_FRAC, spread)


def _notes(borrowed: list[int], narrow: bool, typical: bool) -> tuple[str, ...]:
    notes = []
    if borrowed:
        named = ", ".join(str(month) for month in borrowed)
        notes.append(
            f"The sun hardly rises in month {named} of the weather file: how clear its days are is taken from the next."
        )
    if narrow:
        notes.append("The spread of days takes in the neighbouring months: the weather file has few days of each.")
    if typical:
        notes.append("A typical year shows the spread of days, not that of years.")
    return tuple(notes)
