"""Published tables for the lamp tests, and a Radiance run of the same scene."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

PUBLISHED = Path(__file__).parent / "published"
Array = NDArray[np.float64]

RADIANCE_AVERAGE = np.array([0.265, 0.670, 0.065])


def rows(name: str) -> list[dict[str, str]]:
    """Rows of one published table."""
    with (PUBLISHED / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def cases(name: str) -> pytest.MarkDecorator:
    """Parametrise a test over the rows of a published table, named by their first column."""
    table = rows(name)
    first = next(iter(table[0]))
    return pytest.mark.parametrize("row", table, ids=[f"{i}-{r[first]}" for i, r in enumerate(table)])


def close(row: dict[str, str]) -> object:
    """The expected value of a row, with its tolerance."""
    return pytest.approx(float(row["expected"]), abs=float(row.get("tol_abs") or 0), rel=float(row.get("tol_rel") or 0))


def lambert_lm63(ppf_umol_s: float, beam_index: float = 1.0, step_deg: float = 5.0, horizontal: str = "0") -> str:
    """An LM-63 file of a cosine-power lamp with photon intensities, written as its makers would."""
    vertical = np.arange(0.0, 90.0 + step_deg / 2, step_deg)
    peak = (beam_index + 1) * ppf_umol_s / (2 * np.pi)
    intensity = peak * np.clip(np.cos(np.deg2rad(vertical)), 0, 1) ** beam_index
    planes = horizontal.split()
    lines = [
        "IESNA:LM-63-2002",
        "[TEST] made by a test",
        "[MANUFAC] none",
        "TILT=NONE",
        f"1 -1 1 {vertical.size} {len(planes)} 1 2 0 0 0",
        "1 1 50",
        " ".join(f"{v:g}" for v in vertical),
        horizontal,
    ]
    lines += [" ".join(f"{i:.5f}" for i in intensity) for _ in planes]
    return "\n".join(lines) + "\n"


def radiance_levels(folder: Path, scene: str, points: Array, normals: Array, bounces: int = 0) -> Array:
    """Irradiance by Radiance at points of a scene, grey value per unit radiance."""
    import pyradiance as pr

    rad = folder / "scene.rad"
    rad.write_text(scene, encoding="utf-8")
    octree = folder / "scene.oct"
    octree.write_bytes(pr.oconv(str(rad)))
    rays = "\n".join(" ".join(f"{v:.9g}" for v in (*p, *n)) for p, n in zip(points, normals, strict=True)) + "\n"
    options = f"-h -I -w- -ab {bounces} -dc 1 -dt 0 -dj 0.7 -ds 0.02"
    if bounces:
        # Without interpolation (-aa 0) Radiance loses a tenth of what upright panels return: see the quadrature test.
        options += " -ad 512 -as 0 -aa 0.2 -ar 32 -lw 1e-5 -ds 0.1"
    out = pr.rtrace(rays.encode(), str(octree), params=options.split())
    values = np.array([[float(v) for v in line.split()] for line in out.decode().splitlines() if line.strip()])
    return np.asarray(values @ RADIANCE_AVERAGE)
