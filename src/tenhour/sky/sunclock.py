"""Does the light of a series come when the sun does? Finds a wrong time zone, summer time and swapped longitudes."""

from __future__ import annotations

from typing import Final

import numpy as np
import pandas as pd

from tenhour.sky.quality import Judged
from tenhour.sky.series import Array, SunOfSeries

HALF_DAY_H: Final = 12.0
CLEAR_SHARE: Final = 0.3
"""Days judged: the clearest three in ten, whose light is even about noon. Judgement."""
LEAST_EXT_W_M2: Final = 40.0
"""24 h mean above the air below which a day is too short to judge: judgement."""
LEAST_DAYS: Final = 20
NOTE_H: Final = 0.3
"""Shift worth a remark: half an hour is a stamp taken for the wrong end of its hour. Judgement."""
REFUSE_H: Final = 0.75
"""Shift that can only be a wrong clock or place: judgement."""
SUMMER_TIME_H: Final = 0.6
"""Difference between summer and winter that tells summer time: judgement."""
SWAPPED_H: Final = 0.7
"""How well a swapped longitude must explain the shift: judgement."""
DEGREES_PER_HOUR: Final = 15.0


def clock_checks(
    times: pd.DatetimeIndex, ghi_w_m2: Array, sun: SunOfSeries, longitude_deg: float, file_offset_h: float
) -> list[Judged]:
    """Checks of an hourly series' clock.

    Parameters: times, middle of the hours, fixed offset; ghi_w_m2; sun, of the same length; longitude_deg;
        file_offset_h, hours that the file's own clock is said to be ahead of UTC.
    Method: for clear days, the time of day of the light's centre (mean on the circle of hours) less that of the
        extraterrestrial light; the median over days.
    """
    shift_h, month = _daily_shift_h(times, ghi_w_m2, sun)
    if shift_h.size < LEAST_DAYS:
        return [Judged("clock", "passed", "too few clear days to judge the clock")]
    middle_h = float(np.median(shift_h))
    mid_year, year_end = np.isin(month, (5, 6, 7, 8)), np.isin(month, (11, 12, 1, 2))
    if mid_year.sum() >= LEAST_DAYS // 2 and year_end.sum() >= LEAST_DAYS // 2:
        apart_h = float(np.median(shift_h[mid_year]) - np.median(shift_h[year_end]))
        if abs(apart_h) > SUMMER_TIME_H and abs(middle_h) < 1.0 + NOTE_H:
            text = f"light comes {abs(apart_h):.1f} h later in one half of the year than in the other: summer time"
            return [Judged("clock", "refused", f"{text}; write standard time or UTC")]
    return [_judged(middle_h, longitude_deg, file_offset_h)]


def _daily_shift_h(times: pd.DatetimeIndex, ghi_w_m2: Array, sun: SunOfSeries) -> tuple[Array, np.ndarray]:
    hour = times.hour.to_numpy() + times.minute.to_numpy() / 60.0
    turn = np.exp(2j * np.pi * hour / 24.0)
    known = np.isfinite(ghi_w_m2)
    light = np.where(known, ghi_w_m2, 0.0)
    above = np.where(known, sun.ext_w_m2, 0.0)
    frame = pd.DataFrame(
        {"cl": light * turn.real, "sl": light * turn.imag, "ca": above * turn.real, "sa": above * turn.imag,
         "light": light, "above": above, "known": known.astype(float)}
    )  # fmt: skip
    day = frame.groupby(times.tz_localize(None).floor("D")).sum()
    whole = (day["known"] >= 2 * HALF_DAY_H) & (day["above"] > LEAST_EXT_W_M2 * 24.0) & (day["light"] > 0)
    day = day[whole]
    if day.empty:
        return np.array([]), np.array([])
    month = pd.DatetimeIndex(day.index).month.to_numpy()
    clearness = (day["light"] / day["above"]).to_numpy(dtype=np.float64)
    clear = np.zeros(month.size, dtype=bool)
    for number in np.unique(month):
        here = month == number
        clear[here] = clearness[here] >= np.quantile(clearness[here], 1.0 - CLEAR_SHARE)
    sums = {name: day[name].to_numpy(dtype=np.float64) for name in ("sl", "cl", "sa", "ca")}
    phase = np.arctan2(sums["sl"], sums["cl"]) - np.arctan2(sums["sa"], sums["ca"])
    shift = (phase + np.pi) % (2 * np.pi) - np.pi
    return shift[clear] * HALF_DAY_H / np.pi, month[clear]


def _judged(shift_h: float, longitude_deg: float, file_offset_h: float) -> Judged:
    late = "later" if shift_h > 0 else "earlier"
    text = f"light comes {abs(shift_h):.1f} h {late} than the sun at longitude {longitude_deg:.1f}"
    if abs(shift_h) <= NOTE_H:
        return Judged("clock", "passed", "morning and evening light are even about the sun's noon")
    if abs(shift_h) <= REFUSE_H:
        why = "its stamps may mark the other end of the hour; days are hardly touched"
        return Judged("clock", "note", f"{text}: {why}")
    swapped_h = _within_half_day_h(2.0 * longitude_deg / DEGREES_PER_HOUR)
    if abs(shift_h - swapped_h) < SWAPPED_H and abs(swapped_h) > REFUSE_H:
        why = "the sign of the longitude or of the time zone looks swapped (west is negative)"
        return Judged("clock", "refused", f"{text}: {why}")
    fits = round(_within_half_day_h(file_offset_h + shift_h))
    return Judged("clock", "refused", f"{text}: wrong time zone; UTC{fits:+d} would fit")


def _within_half_day_h(hours_h: float) -> float:
    return (hours_h + HALF_DAY_H) % (2 * HALF_DAY_H) - HALF_DAY_H
