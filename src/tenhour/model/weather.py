"""A weather file once read: a series in one clock, its gaps, its days and months, and what was found wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Final, Literal

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between
from tenhour.model.fields import About, Count, Irradiance, Light, Month, Prose, Share, Temp
from tenhour.model.results import Answer, Basis
from tenhour.units import dli_from_ghi

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]
Finding = Literal["passed", "note", "refused"]
AIR_COLUMNS: Final = ("wind_m_s", "dew_degc", "infrared_w_m2", "cloud_frac", "temp_min_degc")
"""What a file may tell of the air beside its temperature."""


@dataclass(frozen=True)
class WeatherCheck:
    """One look at a series: what was looked at, what was found, and the sentence for the user."""

    name: Annotated[str, About(column="check", heading="check")]
    finding: Finding
    sentence: Annotated[Prose, About(heading="found", wrap=True)]


@dataclass(frozen=True)
class Gaps:
    """What was missing and what was done about it."""

    missing_share: Annotated[Share, About(digits=5)]
    """Of the steps with the sun up, before filling."""
    filled_count: Count
    """Steps with the sun up that were filled between their neighbours."""
    lost_days_count: Count
    """Days left out because too much of them is missing."""
    temp_missing_share: Annotated[Share, About(digits=5)]
    """Of all steps, before filling; 1 when the file has no temperature."""


@dataclass(frozen=True, eq=False)
class DailyWeather:
    """Whole days in local standard time; NaN where a day is incomplete."""

    year: NDArray[np.int_]
    month: NDArray[np.int_]
    day_doy: NDArray[np.int_]
    ghi_w_m2: Array
    """24 h mean of global horizontal irradiance."""
    temp_degc: Array


@dataclass(frozen=True, eq=False)
class MonthlyWeather:
    """Twelve calendar months, all years together; NaN where there is nothing."""

    ghi_w_m2: Array
    temp_degc: Array
    whole_days_count: NDArray[np.int_]
    lost_days_count: NDArray[np.int_]


@dataclass(frozen=True, eq=False)
class WeatherSeries:
    """A weather file on one clock, as it was written: nothing filled, nothing judged."""

    file: str
    """Its name for problems."""
    kind: str
    source: str
    times: pd.DatetimeIndex
    """Middle of each step, in a fixed offset from UTC."""
    step_h: float
    typical: bool
    columns: Mapping[str, Array]
    """ghi_w_m2, and where present dni_w_m2, dhi_w_m2, temp_degc and AIR_COLUMNS; NaN where missing."""
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None
    file_offset_h: float
    """Hours that the file's own clock is said to be ahead of UTC."""
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class WeatherYear:
    """One or more years of outdoor light and air, in hours or days."""

    kind: str
    """The format, such as "EPW"."""
    source: str
    """What the file says of itself."""
    times: pd.DatetimeIndex
    """Middle of each step, in a fixed offset from UTC; a typical year stands on one year without 29 February."""
    step_h: float
    typical: bool
    """A typical year joined from months of several years: its year numbers mean nothing."""
    ghi_w_m2: Array
    """Mean over the step; NaN where missing."""
    daily: DailyWeather
    monthly: MonthlyWeather
    gaps: Gaps
    dni_w_m2: Array | None = None
    dhi_w_m2: Array | None = None
    temp_degc: Array | None = None
    wind_m_s: Array | None = None
    """At 10 m, as the file has it; this and the next four with their gaps."""
    dew_degc: Array | None = None
    infrared_w_m2: Array | None = None
    """Heat radiation of the sky on level ground."""
    cloud_frac: Array | None = None
    temp_min_degc: Array | None = None
    """Lowest of the step, of a table of days."""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    notes: tuple[str, ...] = ()
    """What was assumed or left out on reading."""
    checks: tuple[WeatherCheck, ...] = field(default=())

    def __post_init__(self) -> None:
        if self.times.tz is None:
            raise OutOfRange("times: weather needs a time zone")
        for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_degc", *AIR_COLUMNS):
            values = getattr(self, name)
            if values is not None and len(values) != len(self.times):
                raise OutOfRange(f"{name}: {len(values)} values for {len(self.times)} steps")
        for name, limit in (("latitude_deg", 90.0), ("longitude_deg", 180.0)):
            value = getattr(self, name)
            if value is not None:
                check_between(name, value, -limit, limit)

    @property
    def utc_offset_h(self) -> float:
        """Hours of the clock of ``times`` ahead of UTC."""
        offset = self.times[0].utcoffset()
        return 0.0 if offset is None else offset.total_seconds() / 3600.0

    @property
    def years_count(self) -> int:
        """Number of years the series touches; 1 for a typical year."""
        return 1 if self.typical else int(np.unique(self.daily.year).size)

    @property
    def period(self) -> str:
        """The span of the series in words."""
        if self.typical:
            return "a typical year"
        return f"{self.times[0]:%Y-%m-%d} to {self.times[-1]:%Y-%m-%d}"


@dataclass(frozen=True, eq=False)
class PastDays:
    """Days as they were, in order: arrays [n]; NaN where a day is not whole."""

    day: NDArray[np.datetime64]
    ghi_w_m2: Array
    """24 h mean of global horizontal irradiance."""
    temp_degc: Array
    source: str = ""
    file: str = ""


def past_days(weather: WeatherYear, file: str = "") -> PastDays:
    """The days of a series, in order; file is its name for problems."""
    daily = weather.daily
    years = np.array([f"{year}-01-01" for year in daily.year], dtype="datetime64[D]")
    days = years + (daily.day_doy - 1).astype("timedelta64[D]")
    order = np.argsort(days, kind="stable")
    return PastDays(days[order], daily.ghi_w_m2[order], daily.temp_degc[order], weather.source, file)


@dataclass(frozen=True)
class WeatherMonth:
    """Light and air of one calendar month, all years together."""

    month: Month
    ghi_w_m2: Annotated[Irradiance, About(heading="global", nan=True)]
    """24 h mean of global horizontal irradiance."""
    dli_mol_m2_d: Annotated[Light, About(heading="DLI mol", digits=2, shown=1, nan=True)]
    temp_degc: Annotated[Temp, About(heading="air", digits=2, shown=1, nan=True)]
    whole_days_count: Annotated[Count, About(heading="whole days")]
    lost_days_count: Annotated[Count, About(heading="left out")]


@dataclass(frozen=True)
class WeatherAnswer(Answer):
    """Answer of ``tenhour weather``: a weather file and how it was judged."""

    COMMAND = "weather"

    file: str
    named_in: str | None
    """House file that names it from now on."""
    format: str
    source: str
    latitude_deg: Annotated[float | None, About(inside="site", digits=4)]
    longitude_deg: Annotated[float | None, About(inside="site", digits=4)]
    elevation_m: Annotated[float | None, About(inside="site", digits=1)]
    period: Prose
    typical: bool
    years_count: Count
    step_h: Annotated[float, About(kind="hours", least=0, most=24)]
    utc_offset_h: Annotated[float, About(kind="hours")]
    gaps: Gaps
    checks: tuple[WeatherCheck, ...]
    months: tuple[WeatherMonth, ...]


def weather_months(weather: WeatherYear) -> tuple[WeatherMonth, ...]:
    """Return the twelve months of a weather file."""
    monthly = weather.monthly
    columns = (monthly.ghi_w_m2, monthly.temp_degc, monthly.whole_days_count, monthly.lost_days_count)
    return tuple(
        WeatherMonth(month, float(ghi), float(dli_from_ghi(ghi)), float(temp), int(whole), int(lost))
        for month, (ghi, temp, whole, lost) in enumerate(zip(*columns, strict=True), start=1)
    )


def weather_answer(weather: WeatherYear, file: str, named_in: str | None = None) -> WeatherAnswer:
    """Return a weather file, its months and its checks as an answer."""
    remarks = tuple(check.sentence for check in weather.checks if check.finding == "note")
    return WeatherAnswer(
        Basis({"file": file}, weather.notes, remarks), file, named_in, weather.kind, weather.source,
        weather.latitude_deg, weather.longitude_deg, weather.elevation_m, weather.period, weather.typical,
        weather.years_count, weather.step_h, weather.utc_offset_h, weather.gaps, weather.checks,
        weather_months(weather),
    )  # fmt: skip
