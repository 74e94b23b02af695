"""Shared by the tests of sun and sky: published tables and the packaged normals."""

import csv
from functools import lru_cache
from pathlib import Path

import numpy as np

from tenhour.files import packaged
from tenhour.sky import normals, split
from tenhour.sun import position

PUBLISHED = Path(__file__).parent / "published"
DOY = np.arange(1, 366)


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
