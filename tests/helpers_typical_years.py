"""The typical meteorological years that pvlib carries, cut to what the checks of the sky need.

Their rows are hours ending at 1 to 24 local standard time; months come from different years, so only the place of a
row in the file counts. Also used by scripts/check_sky.py.
"""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import pvlib
from scipy.stats import norm, rankdata

import helpers_sky
from tenhour.files import packaged
from tenhour.sky import normals, split, spread
from tenhour.sun import position

DATA = Path(pvlib.__file__).parent / "data"
DOY = np.arange(1, 366)
QUARTERS = 4


@dataclass(frozen=True)
class Comparison:
    """File and model side by side, by month; DLI in mol m-2 d-1."""

    name: str
    latitude_deg: float
    file_dli: np.ndarray
    our_dli: np.ndarray
    promised_frac: np.ndarray
    promised_p90_frac: np.ndarray
    file_diffuse: np.ndarray
    our_diffuse: np.ndarray
    own_days_diffuse: np.ndarray
    file_noon_share: np.ndarray
    our_noon_share: np.ndarray
    file_darkest_week: np.ndarray
    gloomy_week: np.ndarray
    day_to_day: float
    file_temp: np.ndarray
    our_temp: np.ndarray


def _read(name: str):
    path = DATA / name
    if name.endswith("tm2"):
        table, meta = pvlib.iotools.read_tmy2(path)
        return table["GHI"], table["DHI"], table["DryBulb"] / 10, meta
    table, meta = pvlib.iotools.read_tmy3(path, map_variables=True)
    return table["ghi"], table["dhi"], table["temp_air"], meta


def _hours(column) -> np.ndarray:
    return column.to_numpy(dtype=float).reshape(365, 24)


def _near_noon(middle_h: np.ndarray, half_h: float, longitude: float, offset: float) -> np.ndarray:
    """Share of each step [day, step] that lies within three hours of true solar noon."""
    noons = position.local_noon(position.generic_year_days(), longitude)
    equation_h = helpers_sky.equation_of_time_min(noons)[:, None] / 60
    solar = middle_h[None, :] + (longitude / 15 - offset) + equation_h - 12
    inside = np.minimum(solar + half_h, 3) - np.maximum(solar - half_h, -3)
    return np.clip(inside, 0, 2 * half_h) / (2 * half_h)


def _day_to_day(day_over_mean: np.ndarray) -> float:
    """Correlation of neighbouring days of a month, as normal scores."""
    products, squares = [], []
    for a, b in zip(split.MONTH_STARTS[:-1], split.MONTH_STARTS[1:], strict=True):
        days = day_over_mean[a:b]
        score = norm.ppf((rankdata(days) - 0.5) / days.size)
        products.append(np.mean(score[1:] * score[:-1]))
        squares.append(np.mean(score**2))
    return float(np.mean(products) / np.mean(squares))


@lru_cache(maxsize=4)
def compare(name: str) -> Comparison:
    ghi_column, dhi_column, temp_column, meta = _read(name)
    ghi, dhi, temp = _hours(ghi_column), _hours(dhi_column), _hours(temp_column)
    latitude, longitude, elevation, offset = (float(meta[k]) for k in ("latitude", "longitude", "altitude", "TZ"))
    grid = normals.ClimateGrid(**packaged.normals())
    climate = normals.climate_at(grid, latitude, longitude, elevation)
    h0 = position.extraterrestrial_daily(latitude, DOY)
    extra = position.extraterrestrial_normal(DOY)
    path = position.solar_position(position.generic_year_steps(offset), latitude, longitude, elevation)
    zenith = path.zenith_deg.reshape(365, -1)
    kt_day = split.daily_clearness(climate.kt_month, h0)
    ratio = split.day_classes(climate.quantile_level_frac, climate.quantile_ratio, kt_day, h0)
    ours = split.outdoor_steps(kt_day[:, None] * ratio, h0, zenith, extra, elevation)
    day = ghi.mean(axis=1)
    own = split.outdoor_steps((day / h0)[:, None], h0, zenith, extra, elevation)
    month = split.month_mean
    quarter = (np.arange(24 * QUARTERS) + 0.5) / QUARTERS
    noon_file = _near_noon(np.arange(24) + 0.5, 0.5, longitude, offset)
    noon_ours = _near_noon(quarter, 0.5 / QUARTERS, longitude, offset)
    light = kt_day[:, None] * ratio * h0[:, None]
    mol = 0.0864 * 2.018
    return Comparison(
        name=name,
        latitude_deg=latitude,
        file_dli=month(day) * mol,
        our_dli=climate.kt_month * month(h0) * mol,
        promised_frac=climate.uncertainty_frac,
        promised_p90_frac=climate.uncertainty_p90_frac,
        file_diffuse=month(dhi.mean(axis=1)) / month(day),
        our_diffuse=month(ours.dhi_w_m2.mean(axis=(1, 2))) / month(ours.ghi_w_m2.mean(axis=(1, 2))),
        own_days_diffuse=month(own.dhi_w_m2.mean(axis=(1, 2))) / month(day),
        file_noon_share=month((ghi * noon_file).sum(axis=1)) / month(ghi.sum(axis=1)),
        our_noon_share=month((own.ghi_w_m2[:, 0] * noon_ours).sum(axis=1)) / month(own.ghi_w_m2[:, 0].sum(axis=1)),
        file_darkest_week=helpers_sky.gloomy_week_of(day) / month(day),
        gloomy_week=spread.gloomy_week(light) / month(light.mean(axis=1)),
        day_to_day=_day_to_day(day / h0),
        file_temp=month(temp.mean(axis=1)),
        our_temp=climate.temp_degc,
    )


FILES = {"Sand Point, Alaska": "703165TY.csv", "Greensboro, N Carolina": "723170TYA.CSV", "Miami, Florida": "12839.tm2"}
