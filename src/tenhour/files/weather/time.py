"""Every source on one clock: middle of the step, local standard time, no row twice, a whole grid of steps."""

from __future__ import annotations

from datetime import timedelta, timezone
from typing import Final

import numpy as np
import pandas as pd

from tenhour.files.weather.raw import Array, RawWeather, refuse
from tenhour.units import GENERIC_YEAR

DEGREES_PER_HOUR: Final = 15.0
OWN_CLOCK_H: Final = 2.0
"""A file's clock further than this from the sun's is replaced by the one of its longitude, so that a day of the
series is a day of light. Judgement."""
YEARS: Final = (1900, 2200)
MOST_STEPS: Final = 3_000_000
CLOCK_CHANGES_PER_YEAR: Final = 1.5


def on_one_clock(raw: RawWeather, file: str) -> tuple[pd.DatetimeIndex, float, dict[str, Array]]:
    """Steps of a series in one fixed offset, the step [h], and its columns on the whole grid (NaN where missing).

    Errors: FileProblem for a row that occurs twice with different values, and for impossible years.
    """
    stamps, columns = _without_repeats(raw, file)
    step_h = _step_h(stamps, file)
    offset_h = _file_offset_h(raw, file)
    own_h = offset_h
    if raw.longitude_deg is not None and abs(offset_h - raw.longitude_deg / DEGREES_PER_HOUR) > OWN_CLOCK_H:
        own_h = float(round(raw.longitude_deg / DEGREES_PER_HOUR))
    middle = stamps + pd.Timedelta(hours=raw.to_middle_h + own_h - offset_h)
    if raw.typical:
        middle = _in_generic_year(middle)
    grid, rows = _grid(middle, step_h, raw.typical, file)
    whole = {name: np.full(len(grid), np.nan) for name in columns}
    for name, values in columns.items():
        whole[name][rows] = values
    return grid.tz_localize(timezone(timedelta(hours=own_h))), step_h, whole


def _file_offset_h(raw: RawWeather, file: str) -> float:
    if raw.utc_offset_h is not None:
        return raw.utc_offset_h
    if raw.longitude_deg is None:
        do = 'Add a line "# longitude_deg: ...", or give the place with --lat and --lon.'
        raise refuse(file, "", "no place in the file", "latitude and longitude", do)
    offset_h = float(round(raw.longitude_deg / DEGREES_PER_HOUR))
    raw.utc_offset_h = offset_h
    raw.notes.append(f"The file names no clock; standard time by its longitude, UTC{offset_h:+g}, is taken.")
    return offset_h


def _without_repeats(raw: RawWeather, file: str) -> tuple[pd.DatetimeIndex, dict[str, Array]]:
    frame = pd.DataFrame(raw.columns, index=raw.stamps)
    if frame.empty:
        raise refuse(file, "", "no rows", "a year of hours or days", "Download it again.")
    years = raw.stamps.year.to_numpy()
    outside = (years < YEARS[0]) | (years > YEARS[1])
    if outside.any():
        raise refuse(file, "", f"a row of the year {years[outside][0]}", f"{YEARS[0]} to {YEARS[1]}", "")
    stamped = frame.reset_index(names="stamp")
    same = stamped.duplicated()
    if same.any():
        raw.notes.append(f"{int(same.sum())} repeated row{'s' if same.sum() > 1 else ''} left out.")
    left = stamped[~same]
    twice = left["stamp"].duplicated()
    if twice.any():
        raise _conflict(left["stamp"], twice, file)
    left = left.sort_values("stamp")
    columns = {name: left[name].to_numpy(dtype=np.float64) for name in raw.columns}
    return pd.DatetimeIndex(left["stamp"]), columns


def _conflict(stamps: pd.Series, twice: pd.Series, file: str) -> Exception:
    first = stamps[twice].iloc[0]
    years = max(stamps.dt.year.nunique(), 1)
    skipped = np.diff(np.sort(stamps.unique()).astype("datetime64[s]").astype(np.int64))
    if int(twice.sum()) <= CLOCK_CHANGES_PER_YEAR * years and (skipped == 2 * 3600).any():
        found = f"an hour that occurs twice ({first:%Y-%m-%d %H:%M}) and one that is skipped: summer time"
        return refuse(file, "time", found, "standard time all year, or UTC", "Write the times without summer time.")
    found = f"a row that occurs twice with different values ({first:%Y-%m-%d %H:%M})"
    return refuse(file, "time", found, "each hour once", "Keep one of the two.")


def _step_h(stamps: pd.DatetimeIndex, file: str) -> float:
    seconds = np.diff(stamps.to_numpy().astype("datetime64[s]").astype(np.int64))
    if not seconds.size:  # a single hour was refused before: this is a first day
        return 24.0
    whole_days = (stamps.normalize() == stamps).all() and seconds.min() >= 24 * 3600
    step_h = 24.0 if whole_days else float(np.median(seconds)) / 3600.0
    if step_h not in (1.0, 24.0):
        raise refuse(file, "time", f"steps of {step_h:g} h", "an hour or a day", "")
    return step_h


def _in_generic_year(middle: pd.DatetimeIndex) -> pd.DatetimeIndex:
    """Hours that a change of clock moved past New Year stand at the year's other end."""
    year = pd.Timedelta(days=365)
    start, end = pd.Timestamp(GENERIC_YEAR, 1, 1), pd.Timestamp(GENERIC_YEAR + 1, 1, 1)
    series = middle.to_series()
    series = series.where(series >= start, series + year).where(lambda moved: moved < end, lambda moved: moved - year)
    return pd.DatetimeIndex(series)


def _grid(middle: pd.DatetimeIndex, step_h: float, typical: bool, file: str) -> tuple[pd.DatetimeIndex, np.ndarray]:
    """The whole grid of steps and the place of each row on it."""
    step_s = int(step_h * 3600)
    seconds = middle.to_numpy().astype("datetime64[s]").astype(np.int64)
    phase_s = int(np.median(seconds % step_s))
    slots = (seconds - phase_s + step_s // 2) // step_s
    first, last = int(slots.min()), int(slots.max())
    if typical:
        start = pd.Timestamp(GENERIC_YEAR, 1, 1).to_datetime64().astype("datetime64[s]").astype(np.int64)
        first = int(start) // step_s
        last = first + int(365 * 24 / step_h) - 1
    if last - first > MOST_STEPS:
        raise refuse(file, "time", f"a span of {(last - first) * step_h / 8760:.0f} years", "a few decades", "")
    inside = np.clip(slots - first, 0, last - first)
    grid = pd.DatetimeIndex((np.arange(first, last + 1) * step_s + phase_s).astype("datetime64[s]"))
    return grid, inside
