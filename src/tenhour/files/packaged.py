"""The data that travel inside the package, as plain arrays."""

from __future__ import annotations

import csv
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.files.textfile import packaged_toml

Array = NDArray[np.float64]

KT_SCALE: Final = 50000.0
RATIO_SCALE: Final = 1000.0
TEMP_SCALE: Final = 2.0
NONE_CODE: Final = 65535
PERCENT: Final = 100.0


def _data(name: str) -> Traversable:
    return resources.files("tenhour") / "_data" / name


def _decoded(codes: NDArray[np.uint16], scale: float) -> Array:
    """Stored whole numbers as floats, NaN where there are no data."""
    return np.where(codes == NONE_CODE, np.nan, codes / scale)


def _error_rows() -> list[dict[str, str]]:
    lines = _data("normals_error.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def normals() -> dict[str, NDArray[np.float64] | NDArray[np.bool_]]:
    """Outdoor light and air temperature normals of the whole world.

    Returns: arrays by name, the fields of tenhour.sky.normals.ClimateGrid: row_deg[44], column_deg[120], kt_ratio
        [44, 120, 12] (NaN over the open sea), quantile_level_frac[7], quantile_ratio[44, 120, 12, 7], borrowed
        [44, 12], temp_degc[12, 181, 360], cell_elevation_m[181, 360] and error_rows (kind, at, mae, p90).
    Method: built by scripts/build_normals.py; origin and licence in docs/data.md.
    """
    with np.load(str(_data("normals.npz"))) as stored:
        raw = {name: stored[name] for name in stored.files}
    kinds = {"latitude": 0.0, "month": 1.0, "month-high": 2.0}
    error = [[kinds[r["kind"]], float(r["at"]), float(r["mae_frac"]), float(r["p90_frac"])] for r in _error_rows()]
    return {
        "row_deg": raw["row_deg"].astype(np.float64),
        "column_deg": raw["column_deg"].astype(np.float64),
        "kt_ratio": _decoded(raw["kt_code"], KT_SCALE),
        "quantile_level_frac": raw["quantile_level_percent"] / PERCENT,
        "quantile_ratio": _decoded(raw["ratio_code"], RATIO_SCALE),
        "borrowed": raw["borrowed"],
        "temp_degc": raw["temp_code"] / TEMP_SCALE,
        "cell_elevation_m": raw["cell_elevation_m"].astype(np.float64),
        "error_rows": np.array(error),
    }


def perez_sky() -> Array:
    """Return the sky classes' bounds and coefficients [8, 21] (Perez, Seals & Michalsky 1993, Table 1)."""
    lines = _data("perez_1993.csv").read_text(encoding="utf-8").splitlines()
    rows = [line.split(",") for line in lines if line and line[0] in "0123456789"]
    return np.array(rows, dtype=np.float64)


def outlines() -> list[tuple[Array, bool]]:
    """Coasts and borders of the world: points [n, 2], longitude and latitude [°], and whether a line is a border.

    Method: built by scripts/build_outlines.py; origin in docs/data.md.
    """
    with np.load(str(_data("outlines.npz"))) as stored:
        points, lengths, border = (stored[name] for name in ("points", "lengths", "border"))
    lines = np.split(points / PERCENT, np.cumsum(lengths)[:-1])
    return [(line, bool(own)) for line, own in zip(lines, border, strict=True)]


def weather_hours() -> dict[str, Any]:
    """Numbers of generated weather and of cold extremes by table, as tenhour.sky.hours and sky.extremes take them."""
    return packaged_toml("weather_hours.toml")
