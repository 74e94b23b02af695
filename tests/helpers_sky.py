"""Shared by the tests of sun and sky: published tables and the packaged normals."""

import csv
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import numpy as np

from tenhour.files import packaged
from tenhour.sky import hours, normals, split, spread
from tenhour.sky.extremes import extremes_of
from tenhour.sun import position

PUBLISHED = Path(__file__).parent / "published"
DOY = np.arange(1, 366)
DULL_LEVEL_FRAC = 0.2
"""One day in five is duller."""


def rows(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def ident(row: dict[str, str]) -> str:
    return "-".join(list(row.values())[:4])


def near(got: float, row: dict[str, str]) -> bool:
    want = float(row["expected"])
    return abs(got - want) <= max(float(row["tol_abs"]), float(row["tol_rel"]) * abs(want))


@lru_cache(maxsize=1)
def grid() -> normals.ClimateGrid:
    return normals.ClimateGrid(**packaged.normals())


def dli_by_month(climate: normals.SiteClimate, latitude_deg: float) -> np.ndarray:
    h0 = split.month_mean(position.extraterrestrial_daily(latitude_deg, DOY))
    return climate.kt_month * h0 * 0.0864 * 2.018


def dull_day_ratio(climate: normals.SiteClimate, kt_day: np.ndarray, h0_w_m2: np.ndarray) -> np.ndarray:
    """Light of the dull day of each date over the date's mean [365]: the day classes' own law at one day in five."""
    ratio = split.day_ratio(climate.quantile_level_frac, climate.quantile_ratio, h0_w_m2, DULL_LEVEL_FRAC)[:, 0]
    return np.clip(ratio, 0.0, split.DAY_KT_CEILING / np.maximum(kt_day, split.KT_BOUNDS[0]))


def gloomy_week_of(value_day: np.ndarray) -> np.ndarray:
    """Darkest seven-day mean of each month of one year's own days: [12] from [365]."""
    weeks = np.convolve(value_day, np.ones(spread.WEEK_DAYS) / spread.WEEK_DAYS, mode="valid")
    return np.array([weeks[a : b - spread.WEEK_DAYS + 1].min() for a, b in pairwise(split.MONTH_STARTS)])


def equation_of_time_min(times) -> np.ndarray:
    """Apparent less mean solar time [min]: hour angle by SPA less that of the mean sun, 15 degrees an hour."""
    unix_s = position.unix_seconds(times)
    greenwich = position._hour_angle_and_declination(unix_s, position.DELTA_T_S)[0]
    mean_angle = np.mod(unix_s / 3600.0 * 15.0, 360.0) - 180.0
    return (np.mod(greenwich - mean_angle + 180.0, 360.0) - 180.0) / 15.0 * 60.0


class Site:
    """Everything outdoors at one place, through the same steps as the program takes."""

    def __init__(
        self, latitude_deg: float, longitude_deg: float, elevation_m: float = 50.0, utc_offset_h: float | None = None
    ):
        offset = round(longitude_deg / 15) if utc_offset_h is None else utc_offset_h
        self.climate = normals.climate_at(grid(), latitude_deg, longitude_deg, elevation_m)
        self.times = position.generic_year_steps(offset)
        path = position.solar_position(self.times, latitude_deg, longitude_deg, elevation_m)
        self.zenith = path.zenith_deg.reshape(365, -1)
        self.azimuth = path.azimuth_deg.reshape(365, -1)
        self.h0 = position.extraterrestrial_daily(latitude_deg, DOY)
        self.extra = position.extraterrestrial_normal(DOY)
        self.kt_day = split.daily_clearness(self.climate.kt_month, self.h0)
        self.ratio = split.day_classes(
            self.climate.quantile_level_frac, self.climate.quantile_ratio, self.kt_day, self.h0
        )
        self.steps = split.outdoor_steps(
            self.kt_day[:, None] * self.ratio, self.h0, self.zenith, self.extra, elevation_m
        )


def made_hours(
    latitude: float, longitude: float, winters: int = 24, seed: int = 20, elevation: float = 0.0, months=None
):
    """Normals, extremes and made-up hours of a place; months, mean temperatures in the place of the normals."""
    site = Site(latitude, longitude, elevation)
    times = position.generic_year_steps(round(longitude / 15.0 * 2.0) / 2.0, 60)
    zenith = position.solar_position(times, latitude, longitude, 0.0).zenith_deg.reshape(365, 24)
    steps = split.outdoor_steps(
        site.kt_day[:, None] * site.ratio, site.h0, zenith, position.extraterrestrial_normal(np.arange(1, 366))
    )
    temp = site.climate.temp_degc if months is None else np.asarray(months)
    made = hours.Normals(temp, site.climate.kt_month, site.h0, steps, latitude < 0)
    rules = packaged.weather_hours()
    extremes = extremes_of(temp, rules["cold"])
    return made, extremes, hours.generated(made, extremes, rules, winters=winters, seed=seed)
