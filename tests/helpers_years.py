"""A year of measured weather as sun positions, beam, sky radiance and ground radiance, hour by hour."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import pvlib
from numpy.typing import NDArray

from tenhour.files import packaged
from tenhour.sky import dome as skydome

Array = NDArray[np.float64]
FILES = {"Sand Point": "703165TY.csv", "Greensboro": "723170TYA.CSV"}
"""Typical years that travel with pvlib: Alaska, 55.3 degrees north, and North Carolina, 36.1."""
ALBEDO = 0.2
MONTHS = 12


class Year(NamedTuple):
    """Hours with the sun above the horizon."""

    latitude_deg: float
    month: NDArray[np.int64]
    sun: Array
    beam_w_m2: Array
    sky: Array
    ground: Array
    outside_w_m2: Array


@cache
def year(place: str) -> Year:
    """Read one year; each value stands for the hour before its stamp, so the sun is taken half an hour earlier."""
    path = Path(pvlib.__file__).parent / "data" / FILES[place]
    data, about = pvlib.iotools.read_tmy3(path, map_variables=True, coerce_year=1990)
    middle = data.index - pd.Timedelta(minutes=30)
    at = pvlib.solarposition.get_solarposition(middle, about["latitude"], about["longitude"], about["altitude"])
    height = at["apparent_elevation"].to_numpy()
    up = (height > 0.5) & (data["ghi"].to_numpy() > 0)
    azimuth = at["azimuth"].to_numpy()[up]
    beam, diffuse = data["dni"].to_numpy(dtype=float)[up], data["dhi"].to_numpy(dtype=float)[up]
    extra = pvlib.irradiance.get_extra_radiation(middle.day_of_year.to_numpy())[up]
    dome = skydome.dome(1, 4)
    sky = skydome.perez_radiance(90.0 - height[up], azimuth, beam, diffuse, extra, dome, packaged.perez_sky())
    sun = skydome.unit_vector(azimuth, height[up])
    outside = diffuse + beam * sun[:, 2]
    month = middle.month.to_numpy()[up].astype(np.int64)
    return Year(about["latitude"], month, sun, beam, sky.astype(float), ALBEDO * outside / np.pi, outside)


def monthly(hours: Array, month: NDArray[np.int64]) -> Array:
    """Sums by month of values [hours, ...] or [hours]."""
    return np.array([hours[month == m].sum(axis=0) for m in range(1, MONTHS + 1)])
