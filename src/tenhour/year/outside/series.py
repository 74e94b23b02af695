"""A weather file made whole and judged: filled within limits, its days and months, and every look at it."""

from __future__ import annotations

from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.model.weather import (
    AIR_COLUMNS,
    DailyWeather,
    Gaps,
    MonthlyWeather,
    PastDays,
    WeatherCheck,
    WeatherSeries,
    WeatherYear,
    past_days,
)
from tenhour.plan.dates import DAYS
from tenhour.sky.looks import Seen, all_checks
from tenhour.sky.series import (
    SUN_UP_DEG,
    SunOfSeries,
    alive_light,
    alive_temp,
    filled_light,
    filled_temp,
    possible_temp,
    sun_of,
    told_air,
    without_offset,
)
from tenhour.sun import position
from tenhour.units import dli_from_ghi

Array = NDArray[np.float64]

DO_NEXT: Final = 'Mend the file or take another; without one the embedded normals serve (climate = "normals").'
MONTHS: Final = 12
SPARE_W_M2: Final = 2.0
"""Twilight of a day on which the sun does not rise, and rounding. Judgement."""
LEAST_TEMP_SHARE: Final = 0.75
"""Of a day's hours with a temperature, for its mean: practice."""
IMPOSSIBLE: Final = ("clear sky", "place")
"""Looks whose refusal stands for a short series too; months that are not there yet are no fault of it."""


def accepted(series: WeatherSeries, site_deg: tuple[float, float] | None = None) -> WeatherYear:
    """A series filled and judged, none of its checks a refusal.

    Parameters: series; site_deg, latitude and longitude of the house [°].
    Errors: FileProblem with every reason to refuse it.
    """
    weather = finished(series, site_deg)
    refused = [check for check in weather.checks if check.finding == "refused"]
    if refused:
        raise FileProblem([Problem(series.file, check.name, check.sentence, "", DO_NEXT) for check in refused])
    return weather


def accepted_days(series: WeatherSeries, site_deg: tuple[float, float]) -> PastDays:
    """Days as they were, of a series that may be short.

    Parameters: series; site_deg, latitude and longitude of the house [°].
    Errors: FileProblem for a typical year, or light that cannot be.
    """
    weather, file = finished(series, site_deg), series.file
    if weather.typical:
        do = "Give the days as they were, with their dates; a typical year goes under file."
        raise FileProblem([Problem(file, "weather.since", "a typical year", "days of this winter", do)])
    refused = [look for look in weather.checks if look.finding == "refused" and look.name in IMPOSSIBLE]
    if refused:
        raise FileProblem([Problem(file, look.name, look.sentence, "", "Mend the file.") for look in refused])
    found = past_days(weather, file)
    too_bright = _too_bright(found, series.latitude_deg if series.latitude_deg is not None else site_deg[0])
    if too_bright:
        raise FileProblem([too_bright])
    return found


def _too_bright(days: PastDays, latitude_deg: float) -> Problem | None:
    """The first day with more light than reaches the top of the air, as a problem."""
    doy = (days.day - days.day.astype("datetime64[Y]").astype("datetime64[D]")).astype(np.int64)
    above = position.extraterrestrial_daily(latitude_deg, np.arange(1, DAYS + 1))[np.minimum(doy, DAYS - 1)]
    wrong = np.flatnonzero(days.ghi_w_m2 > above + SPARE_W_M2)
    if not wrong.size:
        return None
    first = wrong[0]
    light, most = (float(dli_from_ghi(part[first])) for part in (days.ghi_w_m2, above))
    do = "Is the unit right? A column ghi is W m⁻², dli mol m⁻² d⁻¹; others are named, as ghi_mj_m2_d."
    found = f"{light:.1f} mol m⁻² on {days.day[first]}"
    return Problem(days.file, "light", found, f"up to {most:.1f}, which is all that reaches the air that day", do)


def finished(series: WeatherSeries, site_deg: tuple[float, float] | None = None) -> WeatherYear:
    """A series filled within limits and judged; refusals stand in its checks.

    Parameters: series; site_deg, latitude and longitude of the house [°], to tell how far away the file is.
    """
    latitude_deg, longitude_deg = series.latitude_deg, series.longitude_deg
    times, step_h, columns = series.times, series.step_h, dict(series.columns)
    notes = list(series.notes)
    for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2"):
        if name in columns:
            columns[name] = without_offset(columns[name], notes if name == "ghi_w_m2" else [])
    if "temp_degc" in columns:
        columns["temp_degc"] = possible_temp(columns["temp_degc"], notes)
    columns = {name: columns[name] for name in columns if name not in AIR_COLUMNS} | told_air(columns, notes)
    sun = sun_of(times, step_h, latitude_deg, longitude_deg)
    columns["ghi_w_m2"], dead = alive_light(columns["ghi_w_m2"], sun, step_h)
    if "temp_degc" in columns:
        columns["temp_degc"] = alive_temp(columns["temp_degc"], step_h, notes)
        if not np.isfinite(columns["temp_degc"]).any():
            del columns["temp_degc"]
    given: dict[str, Array | None] = {name: columns.get(name) for name in ("ghi_w_m2", "temp_degc")}
    columns["ghi_w_m2"], filled = filled_light(columns["ghi_w_m2"], sun, step_h)
    if "temp_degc" in columns:
        columns["temp_degc"] = filled_temp(columns["temp_degc"], step_h)
    else:
        notes.append("No temperature in the file; that of the normals is taken.")
    daily = daily_of(times, step_h, columns)
    monthly = monthly_of(daily)
    gaps = gaps_of(np.asarray(given["ghi_w_m2"]), given["temp_degc"], sun, filled, daily)
    ghi = columns["ghi_w_m2"]
    seen = Seen(
        times, step_h, ghi, sun, monthly.ghi_w_m2, monthly.whole_days_count, gaps.missing_share, gaps.filled_count,
        gaps.lost_days_count, latitude_deg, longitude_deg, series.file_offset_h, dead,
    )  # fmt: skip
    return WeatherYear(
        kind=series.kind,
        source=series.source,
        times=times,
        step_h=step_h,
        typical=series.typical,
        ghi_w_m2=ghi,
        daily=daily,
        monthly=monthly,
        gaps=gaps,
        dni_w_m2=columns.get("dni_w_m2"),
        dhi_w_m2=columns.get("dhi_w_m2"),
        temp_degc=columns.get("temp_degc"),
        **{name: columns.get(name) for name in AIR_COLUMNS},
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=series.elevation_m,
        notes=tuple(notes),
        checks=tuple(WeatherCheck(*look) for look in all_checks(seen, site_deg)),
    )


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


def daily_of(times: pd.DatetimeIndex, step_h: float, columns: dict[str, Array]) -> DailyWeather:
    """Days of a filled series; the first and the last are left out where the series cuts them.

    Parameters: times [n]; step_h between them [h]; columns of n values.
    """
    frame = pd.DataFrame(columns)
    frame["temp"] = columns.get("temp_degc", np.full(len(times), np.nan))
    day = times.tz_localize(None).floor("D")
    grouped = frame.groupby(day)
    steps = round(24.0 / step_h)
    entire = grouped.size() == steps
    whole = (grouped["ghi_w_m2"].count() == steps)[entire]
    warm = (grouped["temp"].count() >= LEAST_TEMP_SHARE * steps)[entire]
    mean = grouped.mean()[entire]
    days = pd.DatetimeIndex(mean.index)
    return DailyWeather(
        year=days.year.to_numpy(dtype=np.int_),
        month=days.month.to_numpy(dtype=np.int_),
        day_doy=days.day_of_year.to_numpy(dtype=np.int_),
        ghi_w_m2=mean["ghi_w_m2"].where(whole).to_numpy(dtype=np.float64),
        temp_degc=mean["temp"].where(warm).to_numpy(dtype=np.float64),
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
