"""What was found for a region as a data set by the CF conventions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.atlas import HOLES, AtlasData

if TYPE_CHECKING:
    import xarray as xr

Array = NDArray[np.float64]

CONVENTIONS: Final = "CF-1.11"
SITE, MONTH, BED, HOUSE, CROP = "site", "month", "bed", "house", "crop"
WATT_HOURS: Final = "kW h"
LIGHT: Final = "mol m-2 d-1"
ABOUT: Final[dict[str, tuple[tuple[str, ...], dict[str, str]]]] = {
    "outdoor_dli_mol_m2_d": ((MONTH,), {
        "long_name": "daily light integral outdoors, mean of all days", "units": LIGHT,
    }),
    "outdoor_temp_degc": ((MONTH,), {
        "standard_name": "air_temperature", "long_name": "air temperature outdoors", "units": "degC",
        "cell_methods": "time: mean",
    }),
    "bed_dli_mol_m2_d": ((BED, MONTH), {
        "long_name": "daily light integral on the bed, mean of all days", "units": LIGHT,
    }),
    "bed_dull_dli_mol_m2_d": ((BED, MONTH), {
        "long_name": "daily light integral on the bed on a dull day: one day in five is duller", "units": LIGHT,
    }),
    "sow_by_doy": ((BED, CROP), {
        "long_name": "day of the year, from 1, of the last sowing that stands at harvest size when the dark begins",
        "units": "1",
    }),
    "pays_from_doy": ((BED, CROP), {
        "long_name": "day of the year, from 1, of the first sowing after the dark that pays without lamps",
        "units": "1",
    }),
    "lowest_air_degc": ((HOUSE,), {
        "long_name": "lowest hour of a winter in the house, median of winters", "units": "degC",
    }),
    "energy_winter_kwh": ((HOUSE,), {
        "long_name": "heat that the set points of the house ask for in a winter, mean of winters", "units": WATT_HOURS,
    }),
    "hours_below_0_h": ((HOUSE,), {"long_name": "hours of a winter with frost in the house", "units": "h"}),
}  # fmt: skip
"""Dimensions after those of the sites, and attributes."""


def data_set(data: AtlasData, made: str) -> xr.Dataset:
    """The data set of a region: a grid where its sites are one, else a list of sites.

    Parameters: data; made, when, as history tells it.
    """
    import xarray as xr

    place, coords = _where(data)
    variables: dict[str, Any] = {}
    for name, values in data.values.items():
        more, attrs = ABOUT[name]
        shape = (*_shape(data), *values.shape[1:])
        own = {**attrs, "ancillary_variables": "hole"}
        if len(place) == 1:
            own["coordinates"] = "latitude longitude elevation"
        variables[name] = ((*place, *more), values.astype(np.float32).reshape(shape), attrs | own)
    variables["hole"] = (place, data.hole.reshape(_shape(data)), {
        "long_name": "why there is no answer", "flag_values": np.arange(len(HOLES), dtype=np.int8),
        "flag_meanings": " ".join(meaning.replace(" ", "_") for meaning in HOLES),
    })  # fmt: skip
    found = xr.Dataset(variables, coords)
    found.attrs = {
        "Conventions": CONVENTIONS,
        "title": "Winter growing under glass: light, dates and warmth by place",
        "source": data.method,
        "history": made,
        "comment": "Light and dates of typical years of a generic year of 365 days; NaN where nothing comes of it.",
        "references": "docs/method/scale.md of tenhour",
    }
    return found


def _shape(data: AtlasData) -> tuple[int, ...]:
    grid = data.sites.grid_deg
    return (len(data.sites),) if grid is None else (grid[0].size, grid[1].size)


def _where(data: AtlasData) -> tuple[tuple[str, ...], dict[str, Any]]:
    """Dimensions of the sites, and all coordinates."""
    sites, grid = data.sites, data.sites.grid_deg
    north = {"standard_name": "latitude", "long_name": "latitude", "units": "degrees_north"}
    east = {"standard_name": "longitude", "long_name": "longitude", "units": "degrees_east"}
    height = {"standard_name": "surface_altitude", "long_name": "height of the ground", "units": "m"}
    if grid is None:
        place: tuple[str, ...] = (SITE,)
        where: dict[str, Any] = {
            "latitude": (SITE, sites.latitude_deg, north),
            "longitude": (SITE, sites.longitude_deg, east),
        }
        if sites.names:
            where["place"] = (SITE, np.array(sites.names), {"long_name": "name of the place"})
    else:
        place = ("latitude", "longitude")
        where = {"latitude": ("latitude", grid[0], north), "longitude": ("longitude", grid[1], east)}
    where["elevation"] = (place, sites.elevation_m.astype(np.float32).reshape(_shape(data)), height)
    where[MONTH] = (MONTH, np.arange(1, 13, dtype=np.int16), {"long_name": "month of the year", "units": "1"})
    where[BED] = (BED, np.array([f"{house}: {bed}" for house, bed in data.beds]), {"long_name": "house and bed"})
    if any(HOUSE in ABOUT[name][0] for name in data.values):
        where[HOUSE] = (HOUSE, np.array(data.houses), {"long_name": "house"})
    if any(CROP in ABOUT[name][0] for name in data.values):
        where[CROP] = (CROP, np.array([key for key, _ in data.crops]), {"long_name": "crop"})
    return place, where
