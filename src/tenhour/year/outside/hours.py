"""The hours of weather that a house stands in: a weather file's own, or made up from the normals of its place."""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from tenhour.model.house import House
from tenhour.model.weather import WeatherYear
from tenhour.plan.dates import DAYS, LEAP_DAY, LEAP_DAY_INDEX
from tenhour.sky import hours as skyhours
from tenhour.sky.extremes import Extremes, extremes_of
from tenhour.sky.ownhours import FileHours, own_hours
from tenhour.sun import position
from tenhour.year.outside.sunlight import Sources, Sunlight


def place_extremes(sources: Sources, sunlight: Sunlight) -> Extremes:
    """Cold extremes outdoors of the place, from its monthly means: what a heater is sized by."""
    return extremes_of(sunlight.outdoors.climate.temp_degc, sources.hours["cold"])


def year_hours(house: House, sources: Sources, sunlight: Sunlight, *, count: int = skyhours.WINTERS) -> skyhours.Hours:
    """Hours of weather outdoors [N, 365, 24], days from 1 January in the clock of ``sunlight.sun``.

    Parameters: house; sources, with the numbers of generated weather; sunlight of the place; count, winters made up, or
        years of a weather file at most. Fewer winters are the first of more, set back to the normals among themselves.
    Method: a weather file with hours and temperatures gives its own (sky.ownhours), anything else sky.hours.
    """
    climate = sunlight.outdoors.climate
    normals = skyhours.Normals(
        climate.temp_degc,
        climate.kt_month,
        position.extraterrestrial_daily(house.site.latitude_deg, np.arange(1, DAYS + 1)),
        sunlight.class_hours,
        house.site.latitude_deg < 0,
    )
    weather = sources.weather
    if house.site.climate == "file" and weather is not None and weather.step_h == 1.0 and weather.temp_degc is not None:
        return own_hours(_in_site_clock(weather, house.site.longitude_deg), normals, sources.hours, most=count)
    return skyhours.generated(normals, place_extremes(sources, sunlight), sources.hours, winters=count)


def _in_site_clock(weather: WeatherYear, longitude_deg: float) -> FileHours:
    """The file's hours by year, day of the common year and hour in the clock of the site's sun."""
    offset = timedelta(hours=round(longitude_deg / 15.0 * 2.0) / 2.0)
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
