"""Monthly means of light and air of the user's own, as a data set by the CF conventions."""

from __future__ import annotations

import math
import struct
import warnings
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.files.atlas.regions import MOST_SITES, on_the_ground
from tenhour.files.atlas.sets import load_hdf
from tenhour.files.problems import show
from tenhour.files.textfile import check_ordinary
from tenhour.model.atlas import NO_DATA, Sites
from tenhour.units import SECONDS_PER_DAY, UMOL_PER_J_GLOBAL

if TYPE_CHECKING:
    import xarray as xr

Array = NDArray[np.float64]

J_PER_MJ: Final = 1e6
ZERO_K: Final = 273.15
MONTHS: Final = 12
UNREADABLE: Final = (
    OSError, ValueError, LookupError, TypeError, AttributeError, RuntimeError, ArithmeticError, MemoryError,
    AssertionError, struct.error,
)  # fmt: skip
"""What the libraries of data sets raise, as found by broken ones."""
RUNS_CODE: Final = "pickle"
"""A way of storing whose reading runs what is stored."""
MOST_DESCRIBED_BYTES: Final = 1_000_000


class _Kind(NamedTuple):
    """A variable by its standard name or ours, factors by unit, and the bounds of what can be."""

    what: str
    standard: str
    names: tuple[str, ...]
    units: dict[str, tuple[float, float]]
    """Factor and offset to ours."""
    low: float
    high: float


LIGHT: Final = _Kind(
    "monthly light", "surface_downwelling_shortwave_flux_in_air", ("ghi_mj_m2_d", "dli_mol_m2_d", "ghi_w_m2"),
    {
        "W m-2": (SECONDS_PER_DAY / J_PER_MJ, 0.0), "W/m2": (SECONDS_PER_DAY / J_PER_MJ, 0.0),
        "MJ m-2 d-1": (1.0, 0.0), "MJ m-2 day-1": (1.0, 0.0), "J m-2": (1.0 / J_PER_MJ, 0.0),
        "mol m-2 d-1": (1.0 / UMOL_PER_J_GLOBAL, 0.0), "mol m-2 day-1": (1.0 / UMOL_PER_J_GLOBAL, 0.0),
    }, 0.0, 50.0,
)  # fmt: skip
AIR: Final = _Kind(
    "monthly air temperature", "air_temperature", ("temp_degc",),
    {
        "K": (1.0, -ZERO_K), "kelvin": (1.0, -ZERO_K),
        "degC": (1.0, 0.0), "Celsius": (1.0, 0.0), "degree_Celsius": (1.0, 0.0),
    }, -70.0, 50.0,
)  # fmt: skip
LATITUDE: Final = ("latitude", "lat")
LONGITUDE: Final = ("longitude", "lon")
HEIGHT: Final = ("surface_altitude", "height", "elevation", "orog", "elevation_m")


def grid_sites(path: Path) -> Sites:
    """Sites of a grid with means of its own, every point a site.

    Parameters: path, NetCDF file or Zarr folder with twelve monthly means of global radiation or daily light and of
    air temperature on latitudes and longitudes, by their standard names or ours.
    Returns: Sites; points without a number are holes; heights from the file, or from the map.
    Errors: FileProblem for what is missing, in an unknown unit, or cannot be.
    """
    try:
        with warnings.catch_warnings():  # the libraries' own remarks; what is read is judged here
            warnings.simplefilter("ignore")
            found = _opened(path)
            lat, lon = (_axis(path, found, names) for names in (LATITUDE, LONGITUDE))
            light, air = (_means(path, found, kind, lat, lon) for kind in (LIGHT, AIR))
            height = _heights(found, lat, lon)
    except UNREADABLE as error:
        told = "no such file" if not path.exists() else f"cannot be read as a data set ({type(error).__name__})"
        raise _bad(path, "", told, "a NetCDF 4 file or a Zarr folder", "") from None
    north, east = (part.values.astype(np.float64) for part in (lat, lon))
    y, x = (part.ravel() for part in np.meshgrid(north, east, indexing="ij"))
    sites = on_the_ground((), y, (x + 180.0) % 360.0 - 180.0, height, sea=False)
    hole = np.where((sites.hole == 0) & (np.isnan(light) | np.isnan(air)).any(axis=1), NO_DATA, sites.hole)
    return replace(sites, hole=hole.astype(np.int8), grid_deg=(north, east), own_ghi_mj_m2_d=light, own_temp_degc=air)


def _heights(found: xr.Dataset, lat: xr.DataArray, lon: xr.DataArray) -> Array:
    """Of every point [N], NaN where the file gives none."""
    given = _named(found, HEIGHT)
    if given is None or given.ndim != 2 or set(given.dims) != {lat.dims[0], lon.dims[0]}:
        return np.full(lat.size * lon.size, np.nan)
    return np.asarray(given.transpose(lat.dims[0], lon.dims[0]).values.astype(np.float64).ravel())


def _opened(path: Path) -> xr.Dataset:
    import xarray as xr

    if path.is_dir():
        _check_described(path)
        _check_folder_sizes(path)
        whole: xr.Dataset = xr.open_zarr(path, chunks=None)
        return whole
    check_ordinary(path)
    load_hdf()
    _check_sizes(path)
    return xr.open_dataset(path, engine="h5netcdf")


def _check_described(folder: Path) -> None:
    """Refuse a Zarr folder whose reading would run what is stored in it, whatever the library's version allows."""
    for name in (".zmetadata", ".zarray", "zarr.json"):
        for path in folder.rglob(name):
            if path.stat().st_size > MOST_DESCRIBED_BYTES:
                raise _bad(path, "", "a very large description", f"up to {MOST_DESCRIBED_BYTES / 1e6:g} MB", "")
            if RUNS_CODE in path.read_text("utf-8", "replace"):
                raise _bad(path, "", f"numbers stored by {RUNS_CODE!r}", "numbers stored as such", "")


def _check_sizes(path: Path) -> None:
    """Refuse axes that would not fit into memory before they are read: a few bytes can stand for any number of them."""
    import h5py

    with h5py.File(path, "r") as file:
        for name, values in file.items():
            _check_size(path, name, getattr(values, "shape", None) or ())


def _check_folder_sizes(folder: Path) -> None:
    """The same of a Zarr folder, and of its chunks, which are unpacked whole however little of them is wanted."""
    import zarr

    for name, values in zarr.open_group(folder, mode="r").arrays():
        _check_size(folder, name, values.shape)
        _check_size(folder, name, values.chunks)


def _check_size(path: Path, name: str, shape: tuple[int, ...]) -> None:
    size = math.prod(shape)
    if size > MOST_SITES * MONTHS or (len(shape) == 1 and size > MOST_SITES):
        raise _bad(path, name, f"{size} numbers", f"up to {MOST_SITES} points and {MONTHS} months", "")


def _bad(path: Path, key: str, found: str, allowed: str, do: str) -> FileProblem:
    return FileProblem([Problem(str(path), key, found, allowed, do)])


def _named(found: xr.Dataset, names: tuple[str, ...]) -> xr.DataArray | None:
    for name, values in found.variables.items():
        if name in names or values.attrs.get("standard_name") in names:
            return found[name]
    return None


def _axis(path: Path, found: xr.Dataset, names: tuple[str, ...]) -> xr.DataArray:
    axis = _named(found, names)
    if axis is None or axis.ndim != 1 or axis.dtype.kind not in "iuf":
        told = ", ".join(str(name) for name in found.variables)
        raise _bad(path, names[0], f"variables {told}", f"a coordinate with the standard name {names[0]}", "")
    most = 90.0 if names is LATITUDE else 360.0
    if not (np.abs(axis.values) <= most).all():
        raise _bad(path, names[0], "values beyond the globe", f"-{most:g} to {most:g} degrees", "")
    return axis


def _means(path: Path, found: xr.Dataset, kind: _Kind, lat: xr.DataArray, lon: xr.DataArray) -> Array:
    """Twelve means of every point [N, 12], in our unit."""
    values = _named(found, (kind.standard, *kind.names))
    if values is None:
        told = ", ".join(str(name) for name in found.data_vars)
        raise _bad(path, kind.what, f"variables {told}", f"one with the standard name {kind.standard}", "")
    name, place = str(values.name), {lat.dims[0], lon.dims[0]}
    if lat.size * lon.size > MOST_SITES:
        raise _bad(path, name, f"{lat.size * lon.size} points", f"up to {MOST_SITES}", "Take a part of it.")
    months = [dim for dim in values.dims if dim not in place]
    if len(place) != 2 or not place <= set(values.dims) or len(months) != 1 or values.sizes[months[0]] != MONTHS:
        shape = ", ".join(f"{dim} {size}" for dim, size in values.sizes.items())
        raise _bad(path, name, shape, "latitude, longitude and twelve months", "Take the mean of every month first.")
    unit = str(values.attrs.get("units", ""))
    if unit not in kind.units:
        raise _bad(path, f"{name}.units", show(unit), "one of " + ", ".join(kind.units), "")
    factor, offset = kind.units[unit]
    whole = values.transpose(lat.dims[0], lon.dims[0], months[0]).values.astype(np.float64) * factor + offset
    flat = whole.reshape(-1, MONTHS)
    wrong = (flat < kind.low) | (flat > kind.high)
    if wrong.any():
        site, month = (int(part[0]) for part in np.nonzero(wrong))
        told = f"{flat[site, month]:.4g} in month {month + 1} of point {site + 1}"
        allowed = f"{kind.low:g} to {kind.high:g} ({'MJ m-2 d-1' if kind is LIGHT else 'degC'})"
        raise _bad(path, name, told, allowed, f"Is the unit {show(unit)} right?")
    return np.asarray(flat)
