"""A weather file that has beam or diffuse light shines on the beds by its own hours."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.model.site import Site
from tenhour.model.weather import WeatherYear
from tenhour.plan.dates import DAYS
from tenhour.sky import dome as skydome
from tenhour.sky import measured
from tenhour.sun import position

Array = NDArray[np.float64]

MONTHS: Final = 12
LONGEST_STEP_H: Final = 1.0
"""Longer steps hide where the sun stood."""
FEWEST_DAYS: Final = 10
"""Whole days that a month needs to shine by its own hours. Practice."""


class Driven(NamedTuple):
    """What some months' own hours send on a house, in means over a day [W m⁻²]."""

    months: NDArray[np.bool_]
    """[12], which months have own hours; the rest is 0."""
    sky: Array
    """Radiance of each sky patch [12, 7, P] [W m⁻² sr⁻¹]."""
    beam: sparse.csr_array
    """[12 * 7, H]: direct normal light of each hour, in its share of the class's mean day."""
    light: Array
    """Global light [12, 7]."""
    direction: Array
    """[H, 3], unit vectors to the sun."""


def has_own_hours(weather: WeatherYear | None, site: Site) -> bool:
    """Whether a weather file drives the beds by its own hours: it has beam or diffuse light, and its light is used."""
    if weather is None or site.climate != "file" or weather.step_h > LONGEST_STEP_H:
        return False
    return any(part is not None and np.isfinite(part).any() for part in (weather.dni_w_m2, weather.dhi_w_m2))


def driven_by(weather: WeatherYear, site: Site, levels_frac: tuple[float, ...], perez: Array) -> Driven:
    """Each month's days by class, with their own sun, beam and sky.

    Parameters: weather, with beam or diffuse light; site; levels_frac, of the days beside the five classes; perez.
    Method: the sun at the middle of each step; the days of a month ranked by clearness make its classes; sky of Perez
    et al. 1993 for every hour with the sun up, overcast gradation for light before sunrise (docs/method/sky.md).
    """
    sky = skydome.dome()
    path = position.solar_position(weather.times, site.latitude_deg, site.longitude_deg, site.elevation_m)
    height = 90.0 - path.zenith_deg
    split = measured.split_of(weather.ghi_w_m2, weather.dni_w_m2, weather.dhi_w_m2, height)
    weight, own = _weights(weather, split, site, levels_frac)
    used = np.asarray(weight.sum(axis=0)).ravel() > 0.0
    up = np.flatnonzero((height > 0.0) & used)
    low = np.flatnonzero((height <= 0.0) & used & (split.dhi_w_m2 > 0.0))
    dni, dhi = split.dni_w_m2[up], split.dhi_w_m2[up]
    beyond = position.extraterrestrial_normal(np.minimum(np.asarray(weather.times.day_of_year), DAYS)[up])
    radiance = skydome.perez_radiance(path.zenith_deg[up], path.azimuth_deg[up], dni, dhi, beyond, sky, perez)
    before_sunrise = weight[:, low] @ split.dhi_w_m2[low]
    flat = skydome.overcast_radiance(np.ones(1), sky)[0].astype(np.float64)
    light = weight[:, up] @ (dhi + dni * np.sin(np.deg2rad(height[up]))) + before_sunrise
    return Driven(
        months=own,
        sky=_by_month(weight[:, up] @ radiance.astype(np.float64) + before_sunrise[:, None] * flat),
        beam=sparse.csr_array(weight[:, up].multiply(dni[None, :])),
        light=_by_month(light[:, None])[..., 0],
        direction=skydome.unit_vector(path.azimuth_deg[up], height[up]),
    )


def _by_month(values: Array) -> Array:
    """Rows month by month and class by class as [12, 7, k]."""
    return np.asarray(values).reshape(MONTHS, -1, values.shape[-1])


def _weights(
    weather: WeatherYear, split: measured.Split, site: Site, levels_frac: tuple[float, ...]
) -> tuple[sparse.csr_array, NDArray[np.bool_]]:
    """Weight of each step in the mean day of each month and class [12 * classes, n], and months with days enough."""
    stamps, day = np.unique(weather.times.normalize().asi8, return_inverse=True)
    first = np.unique(day, return_index=True)[1]
    month = np.asarray(weather.times.month)[first]
    doy = np.minimum(np.asarray(weather.times.day_of_year), DAYS)[first]
    steps = round(24.0 / weather.step_h)
    known = np.isfinite(weather.ghi_w_m2) & np.isfinite(split.dni_w_m2) & np.isfinite(split.dhi_w_m2)
    whole = np.bincount(day, known) == steps
    above = position.extraterrestrial_daily(site.latitude_deg, np.arange(1, DAYS + 1))[doy - 1]
    light = np.bincount(day, np.nan_to_num(weather.ghi_w_m2))
    classes = measured.CLASSES + len(levels_frac)
    rows = np.zeros((MONTHS, classes, len(stamps)))
    for m in range(MONTHS):
        days = np.flatnonzero(whole & (month == m + 1))
        if len(days) >= FEWEST_DAYS:
            rows[m][:, days] = measured.class_weights(light[days] / np.maximum(above[days], 1.0), levels_frac) / steps
    of_day = sparse.csr_array((np.ones(len(day)), (day, np.arange(len(day)))), shape=(len(stamps), len(day)))
    return sparse.csr_array(sparse.csr_array(rows.reshape(MONTHS * classes, -1)) @ of_day), np.asarray(
        rows.any(axis=(1, 2))
    )
