"""A weather file in the place of the normals: its days become the same monthly climate."""

from __future__ import annotations

import numpy as np

from tenhour.model.site import Site
from tenhour.model.weather import WeatherYear
from tenhour.sky import normals as skynormals
from tenhour.sky.fromfile import DaySeries, FileClimate, climate_from_series
from tenhour.sun import position

DAYS = 365


def climate_from_weather(
    weather: WeatherYear, grid: skynormals.ClimateGrid, site: Site
) -> tuple[skynormals.SiteClimate, str]:
    """Light and temperature of the site by month from a weather file, and in words where they come from."""
    found = file_climate(weather, grid, site).climate
    remarks = [
        f"{check.sentence[:1].upper()}{check.sentence[1:]}." for check in weather.checks if check.finding == "note"
    ]
    notes = tuple(dict.fromkeys((*found.notes, *weather.notes, *remarks)))
    return found._replace(notes=notes), f"weather file ({weather.kind}, {weather.source}, {weather.period})"


def file_climate(weather: WeatherYear, grid: skynormals.ClimateGrid, site: Site) -> FileClimate:
    """All that the file tells of the site's climate, with its day and night temperatures and diffuse shares."""
    latitude_deg = site.latitude_deg if weather.latitude_deg is None else weather.latitude_deg
    longitude_deg = site.longitude_deg if weather.longitude_deg is None else weather.longitude_deg
    station_m = site.elevation_m if weather.elevation_m is None else weather.elevation_m
    by_day = position.extraterrestrial_daily(latitude_deg, np.arange(1, DAYS + 1))
    daily = weather.daily
    days = DaySeries(
        year=daily.year,
        month=daily.month,
        ghi_w_m2=daily.ghi_w_m2,
        h0_w_m2=by_day[np.minimum(daily.day_doy, DAYS) - 1],
        temp_degc=daily.temp_degc,
        temp_day_degc=daily.temp_day_degc,
        temp_night_degc=daily.temp_night_degc,
        diffuse_share=daily.diffuse_share,
    )
    distance = skynormals.great_circle_km(latitude_deg, longitude_deg, site.latitude_deg, site.longitude_deg)
    return climate_from_series(
        days,
        grid.quantile_level_frac,
        typical=weather.typical,
        normal_temp_degc=skynormals.temperature_at(grid, site.latitude_deg, site.longitude_deg, site.elevation_m),
        site_above_file_m=site.elevation_m - station_m,
        distance_km=float(distance),
    )
