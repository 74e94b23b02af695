"""What every weather reader hands on: columns as written, and what the stamps mean."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from tenhour.errors import FileProblem, Problem

Array = NDArray[np.float64]

HALF_HOUR_BACK_H: Final = -0.5
"""From the end of an hour to its middle."""
HALF_HOUR_ON_H: Final = 0.5
"""From the start of an hour to its middle."""
TENTHS: Final = 10.0
PERCENT: Final = 100.0
MAGNUS: Final = (17.62, 243.12)
"""Dew point from humidity over water: WMO No. 8, annex 4.B. From memory."""
MOST_REPEATS: Final = 48
MOST_REPEATS_SHARE: Final = 0.01
"""Rows of one hour of the year that still make one year (a repeated first row, a repeated day): judgement."""
FORMATS: Final = (
    "EPW, TMY3, TMY2, PVGIS (hourly or typical year; CSV or JSON), NASA POWER (hourly or daily; CSV or JSON), "
    "or a plain table with a time and a ghi column"
)


@dataclass
class RawWeather:
    """A series as its file tells it, before gaps, repeats and checks."""

    kind: str
    source: str
    stamps: pd.DatetimeIndex
    """Naive, in the clock of ``utc_offset_h``."""
    to_middle_h: float
    """From a stamp to the middle of what it stands for."""
    utc_offset_h: float | None
    """None when the file does not tell."""
    typical: bool
    columns: dict[str, Array]
    """ghi_w_m2, and where present dni_w_m2, dhi_w_m2, temp_degc and those of AIR_COLUMNS; NaN where missing."""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    notes: list[str] = field(default_factory=list)


def refuse(file: str, key: str, found: str, allowed: str = "", do: str = "") -> FileProblem:
    """One problem of a weather file, ready to be raised."""
    return FileProblem([Problem(file, key, found, allowed, do)])


def whole_stamps(stamps: pd.DatetimeIndex) -> pd.DatetimeIndex:
    """The same stamps, all of them there.

    Errors: ValueError with the row of one that is not.
    """
    missing = np.flatnonzero(stamps.isna())
    if missing.size:
        raise ValueError(f"row {int(missing[0]) + 1} has no time")
    return stamps


def numbers(values: object, lowest: float = -np.inf, missing_from: float = np.inf) -> Array:
    """Floats with NaN for text, blanks, codes below ``lowest`` and codes from ``missing_from`` up."""
    series = pd.to_numeric(pd.Series(values), errors="coerce")
    array = np.array(series, dtype=np.float64)
    array[~np.isfinite(array)] = np.nan
    with np.errstate(invalid="ignore"):
        array[(array < lowest) | (array >= missing_from)] = np.nan
    return array


def dew_point_degc(temp_degc: Array, humidity_percent: Array) -> Array:
    """Dew point of air [°C].

    Parameters: temp_degc, of the air [°C]; humidity_percent, relative [%], taken as at least 1 and at most 100.
    """
    a, b = MAGNUS
    gamma = np.log(np.clip(humidity_percent, 1.0, PERCENT) / PERCENT) + a * temp_degc / (b + temp_degc)
    return np.asarray(b * gamma / (a - gamma))


def joined_years(years: ArrayLike, months: ArrayLike, days: ArrayLike, hours: ArrayLike) -> bool:
    """Whether rows of several years make up one year only: a typical year."""
    same = pd.DataFrame({"month": np.asarray(months), "day": np.asarray(days), "hour": np.asarray(hours)})
    repeats = int(same.duplicated().sum())
    one_leap_year = np.unique(years).size == 1 and bool(((same["month"] == 2) & (same["day"] == 29)).any())
    return repeats <= max(MOST_REPEATS, MOST_REPEATS_SHARE * len(same)) and not one_leap_year
