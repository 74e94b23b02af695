"""Fill short gaps, leave out days with long ones, and say so; then whole days and months."""

from __future__ import annotations

from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.files.weather.raw import Array
from tenhour.files.weather.sun import SunOfSeries
from tenhour.model.weather import DailyWeather, Gaps, MonthlyWeather

MOST_HOURS_LIGHT: Final = 3
"""Longest gap in light that is filled, by the clearness on both sides [h]: practice."""
MOST_HOURS_TEMP: Final = 6
"""Longest gap in temperature that is filled by a straight line [h]: practice."""
LEAST_TEMP_SHARE: Final = 0.75
"""Of a day's hours with a temperature, for its mean: practice."""
SUN_UP_DEG: Final = -0.833
DIM_W_M2: Final = 5.0
"""Mean extraterrestrial light below which clearness is not used [W m⁻²]: judgement."""
NIGHT_OFFSET_W_M2: Final = -20.0
"""Readings between this and zero are the sensor's own night offset: practice."""
TEMP_RANGE_DEGC: Final = (-75.0, 58.0)
"""Beyond the coldest and hottest inhabited places: judgement."""
MONTHS: Final = 12
DEAD_DAY_W_M2: Final = 20.0
"""Mean light above the air of a day on which no light at all is a fault [W m⁻²]: judgement."""
STUCK_W_M2: Final = 20.0
STUCK_STEPS: Final = 5
STUCK_DAYS: Final = 4
STUCK_TEMP_STEPS: Final = 47
STUCK_TEMP_DAYS: Final = 9
"""Equal values in a row beyond which a sensor stands still; light only above 20 W m⁻²: judgement."""


def without_offset(values: Array, notes: list[str]) -> Array:
    """Light with the small negative readings of a sensor at night set to zero, larger ones missing."""
    with np.errstate(invalid="ignore"):
        small = (values < 0) & (values >= NIGHT_OFFSET_W_M2)
        wrong = values < NIGHT_OFFSET_W_M2
    if wrong.any():
        notes.append(f"{int(wrong.sum())} negative values of light were taken as missing.")
    return np.where(wrong, np.nan, np.where(small, 0.0, values))


def possible_temp(values: Array, notes: list[str]) -> Array:
    """Temperatures with impossible ones missing."""
    with np.errstate(invalid="ignore"):
        wrong = (values < TEMP_RANGE_DEGC[0]) | (values > TEMP_RANGE_DEGC[1])
    if wrong.any():
        notes.append(f"{int(wrong.sum())} impossible temperatures were taken as missing.")
    return np.where(wrong, np.nan, values)


def alive_light(ghi_w_m2: Array, sun: SunOfSeries, step_h: float) -> tuple[Array, str]:
    """Light without whole days of zero under a sun and without a value that stands still, and what was found in words.

    Parameters: ghi_w_m2 [W m⁻²]; sun at the same moments; step_h between them [h].
    """
    steps = round(24.0 / step_h)
    days = ghi_w_m2.size // steps
    by_day = ghi_w_m2[: days * steps].reshape(days, steps)
    above = sun.ext_w_m2[: days * steps].reshape(days, steps).mean(axis=1)
    known = np.isfinite(by_day).all(axis=1)
    dead = known & (above > DEAD_DAY_W_M2) & (np.nan_to_num(by_day).max(axis=1) <= 0.0)
    most = STUCK_STEPS if step_h <= 1.0 else STUCK_DAYS
    stuck = _stuck(ghi_w_m2, most) & (ghi_w_m2 > STUCK_W_M2)
    out = np.where(stuck, np.nan, ghi_w_m2)
    out[: days * steps][np.repeat(dead, steps)] = np.nan
    words = []
    if dead.any():
        words.append(f"{int(dead.sum())} whole days without light while the sun is up")
    if stuck.any():
        words.append(
            f"{int(stuck.sum())} {'hours' if step_h <= 1.0 else 'days'} of light that stand still at one value"
        )
    return out, " and ".join(words)


def alive_temp(temp_degc: Array, step_h: float, notes: list[str]) -> Array:
    """Temperatures [°C] without those that stand still for two days (ten, in a file of days).

    Parameters: temp_degc [N] [°C]; step_h, between readings [h]; notes, what was taken out is told there.
    """
    stuck = _stuck(temp_degc, STUCK_TEMP_STEPS if step_h <= 1.0 else STUCK_TEMP_DAYS)
    if stuck.any():
        notes.append(f"{int(stuck.sum())} temperatures that stand still at one value were taken as missing.")
    return np.where(stuck, np.nan, temp_degc)


def _stuck(values: Array, most: int) -> NDArray[np.bool_]:
    """Which values belong to a run of more than ``most`` equal ones."""
    change = np.flatnonzero(np.concatenate(([True], np.diff(values) != 0.0, [True])))
    length = np.diff(change)
    return np.repeat(length > most, length) & np.isfinite(values)


def _short(missing: NDArray[np.bool_], most: int) -> NDArray[np.bool_]:
    """Which missing steps lie in runs of at most ``most`` steps with something on both sides."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], missing.astype(np.int8), [0]))))
    starts, ends = edges[::2], edges[1::2]
    fill = np.zeros(missing.size, dtype=bool)
    for start, end in zip(starts, ends, strict=True):
        if end - start <= most and start > 0 and end < missing.size:
            fill[start:end] = True
    return fill


def filled_light(ghi_w_m2: Array, sun: SunOfSeries, step_h: float) -> tuple[Array, int]:
    """Light with short gaps filled by clearness between their neighbours and dark gaps set to zero.

    Parameters: ghi_w_m2 [W m⁻²], NaN in gaps; sun at the same moments; step_h between them [h].
    """
    missing = np.isnan(ghi_w_m2)
    up = sun.highest_deg > SUN_UP_DEG
    out = np.where(missing & ~up, 0.0, ghi_w_m2)
    if step_h > 1.0 or not (missing & up).any():
        return out, 0
    clear = np.where(sun.ext_w_m2 > DIM_W_M2, out / np.maximum(sun.ext_w_m2, DIM_W_M2), np.nan)
    known = np.isfinite(clear)
    if not known.any():
        return out, 0
    place = np.arange(out.size, dtype=np.float64)
    between = np.interp(place, place[known], clear[known]) * sun.ext_w_m2
    fill = _short(missing & up, MOST_HOURS_LIGHT)
    return np.where(fill, between, out), int(fill.sum())


def filled_temp(temp_degc: Array, step_h: float) -> Array:
    """Temperature with gaps of a few hours bridged by a straight line.

    Parameters: temp_degc [°C], NaN in gaps; step_h between the values [h].
    """
    missing = np.isnan(temp_degc)
    if step_h > 1.0 or missing.all() or not missing.any():
        return temp_degc
    place = np.arange(temp_degc.size, dtype=np.float64)
    between = np.interp(place, place[~missing], temp_degc[~missing])
    return np.where(_short(missing, MOST_HOURS_TEMP), between, temp_degc)


def gaps_of(
    raw_ghi_w_m2: Array, raw_temp_degc: Array | None, sun: SunOfSeries, filled: int, daily: DailyWeather
) -> Gaps:
    """What was missing before filling, and what became of it.

    Parameters: raw_ghi_w_m2 [W m⁻²] and raw_temp_degc [°C] as read, the latter None without a column; sun at the same
        moments; filled, steps with the sun up that were filled; daily, the days kept.
    """
    lost_days = int(np.isnan(daily.ghi_w_m2).sum())
    up = sun.highest_deg > SUN_UP_DEG
    missing = float(np.isnan(raw_ghi_w_m2)[up].mean()) if up.any() else 0.0
    temp = 1.0 if raw_temp_degc is None else float(np.isnan(raw_temp_degc).mean())
    return Gaps(missing, filled, lost_days, temp)


def daily_of(times: pd.DatetimeIndex, step_h: float, columns: dict[str, Array], sun: SunOfSeries) -> DailyWeather:
    """Days of a filled series; the first and the last are left out where the series cuts them.

    Parameters: times [n]; step_h between them [h]; columns of n values; sun at the same moments.
    """
    frame = pd.DataFrame(columns)
    up = sun.highest_deg > SUN_UP_DEG
    temp = columns.get("temp_degc", np.full(len(times), np.nan))
    frame["temp"], frame["temp_up"], frame["temp_down"] = temp, np.where(up, temp, np.nan), np.where(up, np.nan, temp)
    frame["both_ghi"] = np.nan
    if "dhi_w_m2" in columns:
        frame["both_ghi"] = np.where(np.isfinite(columns["dhi_w_m2"]), columns["ghi_w_m2"], np.nan)
    else:
        frame["dhi_w_m2"] = np.nan
    day = times.tz_localize(None).floor("D")
    grouped = frame.groupby(day)
    steps = round(24.0 / step_h)
    entire = grouped.size() == steps
    whole = (grouped["ghi_w_m2"].count() == steps)[entire]
    warm = (grouped["temp"].count() >= LEAST_TEMP_SHARE * steps)[entire]
    mean = grouped.mean()[entire]
    days = pd.DatetimeIndex(mean.index)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = (mean["dhi_w_m2"] / mean["both_ghi"]).where(mean["both_ghi"] > 0)
    return DailyWeather(
        year=days.year.to_numpy(dtype=np.int_),
        month=days.month.to_numpy(dtype=np.int_),
        day_doy=days.day_of_year.to_numpy(dtype=np.int_),
        ghi_w_m2=mean["ghi_w_m2"].where(whole).to_numpy(dtype=np.float64),
        diffuse_share=np.clip(share.where(whole).to_numpy(dtype=np.float64), 0.0, 1.0),
        temp_degc=mean["temp"].where(warm).to_numpy(dtype=np.float64),
        temp_day_degc=mean["temp_up"].where(warm).to_numpy(dtype=np.float64),
        temp_night_degc=mean["temp_down"].where(warm).to_numpy(dtype=np.float64),
    )


def monthly_of(daily: DailyWeather) -> MonthlyWeather:
    """Calendar months, all years together."""
    frame = pd.DataFrame({"month": daily.month, "ghi": daily.ghi_w_m2, "temp": daily.temp_degc})
    grouped = frame.groupby("month")
    months = range(1, MONTHS + 1)
    mean, whole, size = grouped.mean(), grouped["ghi"].count(), grouped.size()
    return MonthlyWeather(
        ghi_w_m2=mean["ghi"].reindex(months).to_numpy(dtype=np.float64),
        temp_degc=mean["temp"].reindex(months).to_numpy(dtype=np.float64),
        whole_days_count=np.asarray(whole.reindex(months, fill_value=0), dtype=np.int_),
        lost_days_count=np.asarray((size - whole).reindex(months, fill_value=0), dtype=np.int_),
    )
