"""The hours of weather that a house stands in: a weather file's own, or made up from the normals of its place."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.model.house import House
from tenhour.model.weather import WeatherYear
from tenhour.plan.dates import DAYS, LEAP_DAY, LEAP_DAY_INDEX
from tenhour.sky import frost
from tenhour.sky import hours as skyhours
from tenhour.sky.extremes import Extremes, extremes_of
from tenhour.sky.ownhours import FileHours, own_hours
from tenhour.sun import position
from tenhour.year.outside.sunlight import Sources, Sunlight, house_clock_h

if TYPE_CHECKING:
    import pandas as pd

LEAST_HOURS: Final = 20
"""Hours with a temperature that a day's lowest is taken from. Judgement."""


class Springs(NamedTuple):
    """Nights that a garden's last frost is told from.

    low_degc[N, 365], lowest of each night outdoors [°C]; freezes_degc, lowest below which a garden freezes [°C];
    measured, whether a weather file tells how cold its nights are.
    """

    low_degc: NDArray[np.float64]
    freezes_degc: float
    measured: bool


def springs(house: House, sources: Sources, sunlight: Sunlight) -> Springs:
    """Nights of made-up winters; where a weather file tells its nights, as cold and as unlike one another as those."""
    extremes = place_extremes(sources, sunlight)
    low = skyhours.nights(_normals(house, sunlight), extremes, sources.hours, winters=frost.SPRINGS)
    weather = sources.weather
    own = None if house.site.climate != "file" or weather is None else _measured_lows(weather)
    if weather is None or own is None or not own.lowest.size:
        return Springs(low, frost.freezes_degc(house.site.latitude_deg), measured=False)
    moved_k = sunlight.outdoors.climate.temp_degc - weather.monthly.temp_degc
    moved_k = np.where(np.isfinite(moved_k), moved_k, 0.0)
    low = frost.nights_as_measured(low, own.lowest.to_numpy() + moved_k[own.month - 1], own.day)
    return Springs(low, 0.0 if own.thermometer else frost.MEASURED_FREEZES_DEGC, measured=True)


class _Lows(NamedTuple):
    """Lowest of each whole day [°C], its month, day of the common year; whether a thermometer told it."""

    lowest: pd.Series
    month: NDArray[np.int_]
    day: NDArray[np.int_]
    thermometer: bool


def _measured_lows(weather: WeatherYear) -> _Lows | None:
    """What a file tells of its nights: its column of lowest temperatures, or its hours."""
    import pandas as pd  # files of weather alone need it

    told = weather.temp_min_degc is not None
    if not told and (weather.temp_degc is None or weather.step_h != 1.0):
        return None
    when = weather.times.tz_localize(None).floor("D")
    values = pd.Series(weather.temp_min_degc if told else weather.temp_degc)
    by_day = values.groupby(np.asarray(when)).agg(["min", "count"])
    lowest = by_day["min"][by_day["count"] >= (1 if told else LEAST_HOURS)]
    when = pd.DatetimeIndex(lowest.index)
    kept = ~((when.month == LEAP_DAY[0]) & (when.day == LEAP_DAY[1]))
    lowest, when = lowest[kept], when[kept]
    doy = when.day_of_year.to_numpy() - 1
    day = doy - (np.asarray(when.is_leap_year) & (doy > LEAP_DAY_INDEX))
    return _Lows(lowest, when.month.to_numpy(), day, told)


def place_extremes(sources: Sources, sunlight: Sunlight) -> Extremes:
    """Cold extremes outdoors of the place, from its monthly means: what a heater is sized by."""
    return extremes_of(sunlight.outdoors.climate.temp_degc, sources.hours["cold"])


def year_hours(house: House, sources: Sources, sunlight: Sunlight, *, count: int = skyhours.WINTERS) -> skyhours.Hours:
    """Hours of weather outdoors [N, 365, 24], days from 1 January in the clock of ``sunlight.sun``.

    Parameters: house; sources, with the numbers of generated weather; sunlight of the place; count, winters made up, or
        years of a weather file at most. Fewer winters are the first of more, set back to the normals among themselves.
    Method: a weather file with hours and temperatures gives its own (sky.ownhours), anything else sky.hours.
    """
    normals = _normals(house, sunlight)
    weather = sources.weather
    if house.site.climate == "file" and weather is not None and weather.step_h == 1.0 and weather.temp_degc is not None:
        return own_hours(_in_site_clock(weather, house.site.longitude_deg), normals, sources.hours, most=count)
    return skyhours.generated(normals, place_extremes(sources, sunlight), sources.hours, winters=count)


def _normals(house: House, sunlight: Sunlight) -> skyhours.Normals:
    climate = sunlight.outdoors.climate
    return skyhours.Normals(
        climate.temp_degc,
        climate.kt_month,
        position.extraterrestrial_daily(house.site.latitude_deg, np.arange(1, DAYS + 1)),
        sunlight.class_hours,
        house.site.latitude_deg < 0,
    )


def _in_site_clock(weather: WeatherYear, longitude_deg: float) -> FileHours:
    """The file's hours by year, day of the common year and hour in the clock of the site's sun."""
    offset = timedelta(hours=house_clock_h(longitude_deg))
    local = weather.times.tz_convert("UTC").tz_localize(None) + offset
    doy = local.day_of_year.to_numpy() - 1
    past = np.asarray(local.is_leap_year) & (doy > LEAP_DAY_INDEX)
    leap = np.asarray((local.month == LEAP_DAY[0]) & (local.day == LEAP_DAY[1]))
    year = np.asarray(local.year, dtype=np.int_)
    if weather.typical:
        year = np.full(year.size, year[year.size // 2])
    temp = weather.temp_degc
    assert temp is not None
    return FileHours(
        year=year,
        day=np.where(leap, -1, doy - past),
        hour=np.asarray(local.hour + local.minute / 60.0, dtype=np.float64),
        temp_degc=temp,
        ghi_w_m2=weather.ghi_w_m2,
        dew_degc=weather.dew_degc,
        wind_m_s=weather.wind_m_s,
        cloud_frac=weather.cloud_frac,
        infrared_w_m2=weather.infrared_w_m2,
        dhi_w_m2=weather.dhi_w_m2,
        dni_w_m2=weather.dni_w_m2,
    )
