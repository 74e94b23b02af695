"""A weather file in the place of the normals: its days become the same monthly climate."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from tenhour.errors import FileProblem, OutOfRange, Problem
from tenhour.model.site import Site
from tenhour.model.weather import WeatherCheck, WeatherYear
from tenhour.plan.dates import DAYS
from tenhour.sky import normals as skynormals
from tenhour.sky import quality, split
from tenhour.sky.fromfile import DaySeries, climate_from_series
from tenhour.sky.looks import LEAST_DAYS_PER_MONTH
from tenhour.sun import position
from tenhour.units import great_circle_km
from tenhour.words.remarks import WEATHER_DOUBT

DOUBTED: Final = ("sensor", "light", "clear days", "air")
"""Looks whose remark means that the file may be wrong; no answer leaves those out."""
TRUST: Final = "Mend the file; if it is right all the same, write trust = true under [weather] in the house file."


def climate_from_weather(
    weather: WeatherYear, grid: skynormals.ClimateGrid, site: Site
) -> tuple[skynormals.SiteClimate, str]:
    """Light and temperature of the site by month from a weather file, and in words where they come from."""
    found = file_climate(weather, grid, site)
    name = Path(site.weather_path).name
    noted = {check.name: check.sentence for check in weather.checks if check.finding == "note"}
    if "light" in noted:
        noted.pop("clear days", "")  # says the same again
    doubts = [WEATHER_DOUBT(file=name, what=_ended(text)) for look, text in noted.items() if look in DOUBTED]
    remarks = [_ended(f"{text[:1].upper()}{text[1:]}") for look, text in noted.items() if look not in DOUBTED]
    notes = tuple(dict.fromkeys((*doubts, *found.notes, *weather.notes, *remarks)))
    return found._replace(notes=notes), f"weather file ({weather.kind}, {weather.source}, {weather.period})"


def _ended(text: str) -> str:
    return text if text.endswith("?") else f"{text}."


def held_to_normals(
    weather: WeatherYear, normals: Mapping[str, Any], file: str, *, elevation_m: float, trust: bool = False
) -> WeatherYear:
    """The same series, its light and air held against the normals of its own place.

    Parameters: weather; normals, as packaged; file, its name for problems; elevation_m, of the house [m], for a file
        that does not tell its own; trust, whether the user stands for the file: nothing is refused then.
    Errors: FileProblem where it cannot be of that place, with the unit it looks like.
    """
    if weather.latitude_deg is None or weather.longitude_deg is None:
        return weather
    grid = skynormals.ClimateGrid(**normals)
    height = elevation_m if weather.elevation_m is None else weather.elevation_m
    try:
        climate = skynormals.climate_at(grid, weather.latitude_deg, weather.longitude_deg, height)
    except OutOfRange:
        return weather
    h0 = split.month_mean(position.extraterrestrial_daily(weather.latitude_deg, np.arange(1, DAYS + 1)))
    judged = quality.held_to_normals(_own_months(weather), climate, h0, south=weather.latitude_deg < 0)
    refused = [Problem(file, look.name, look.sentence, "", TRUST) for look in judged if look.finding == "refused"]
    if refused and not trust:
        raise FileProblem(refused)
    looks = (
        WeatherCheck(look.name, "note" if look.finding == "refused" else look.finding, look.sentence) for look in judged
    )
    return replace(weather, checks=(*weather.checks, *looks))


def _own_months(weather: WeatherYear) -> quality.OwnMonths:
    """Means and bright days of each month, NaN where fewer than LEAST_DAYS_PER_MONTH days are whole."""
    daily = weather.daily
    mean, bright = np.full(12, np.nan), np.full(12, np.nan)
    for month in range(12):
        light = daily.ghi_w_m2[(daily.month == month + 1) & np.isfinite(daily.ghi_w_m2)]
        if light.size >= LEAST_DAYS_PER_MONTH:
            mean[month], bright[month] = light.mean(), np.quantile(light, 0.9)
    return quality.OwnMonths(mean, bright, weather.monthly.temp_degc, weather.years_count, weather.typical)


def file_climate(weather: WeatherYear, grid: skynormals.ClimateGrid, site: Site) -> skynormals.SiteClimate:
    """The site's climate by month from the days of a weather file; its hours are used as they are elsewhere."""
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
    )
    distance = great_circle_km(latitude_deg, longitude_deg, site.latitude_deg, site.longitude_deg)
    return climate_from_series(
        days,
        grid.quantile_level_frac,
        typical=weather.typical,
        normal_temp_degc=skynormals.temperature_at(grid, site.latitude_deg, site.longitude_deg, site.elevation_m),
        site_above_file_m=site.elevation_m - station_m,
        distance_km=float(distance),
    )
