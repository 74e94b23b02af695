"""Rungs as the command hands them out, traced by Radiance: a rack with panels, a bed of ten metres, a window sill."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from helpers_cli import tenhour
from helpers_lamps import radiance_levels
from helpers_long import many
from tenhour.files.lamp_kinds import load_kinds
from tenhour.lamps.layout import BedSize, grid_m

SOIL = 0.1
GAP, ABOVE = 0.01, 0.01
CASES = {
    "rack with panels": (
        (1.2, 0.5), ("--shelf", "1.2x0.5", "--tiers", "3", "--crop", "lettuce-plants", "--panels", "0.9"), 0.9
    ),
    "ten metres": ((10.0, 1.0), ("--shelf", "10x1", "--crop", "spinach", "--dli", "7"), None),
    "sill": ((1.2, 0.3), ("--shelf", "1.2x0.3", "--crop", "parsley", "--lamp", "led-bulb"), None),
}  # fmt: skip


def polygon(material: str, name: str, corners: list[tuple[float, float, float]]) -> str:
    flat = " ".join(f"{value:.6g}" for corner in corners for value in corner)
    return f"{material} polygon {name} 0 0 {3 * len(corners)} {flat}"


def scene(size: tuple[float, float], layout: dict[str, Any], panels: float | None, down_share: float) -> str:
    along_x = layout["along"] == "the length"
    length, width, height = layout["length_m"], layout["width_m"], layout["height_m"]
    half = (length / 2, width / 2) if along_x else (width / 2, length / 2)
    glow = down_share * layout["fixture_ppf_umol_s"] / (np.pi * length * width)
    parts = [f"void light glow 0 0 3 {glow} {glow} {glow}", f"void plastic soil 0 0 5 {SOIL} {SOIL} {SOIL} 0 0"]
    for n, (x, y) in enumerate(zip(layout["x_m"], layout["y_m"], strict=True)):
        (a, b), (c, d) = (x - half[0], x + half[0]), (y - half[1], y + half[1])
        parts.append(polygon("glow", f"lamp{n}", [(a, c, height), (a, d, height), (b, d, height), (b, c, height)]))
    x0, x1, y0, y1 = -GAP, size[0] + GAP, -GAP, size[1] + GAP
    if panels is not None:
        parts.append(f"void plastic panel 0 0 5 {panels} {panels} {panels} 0 0")
        ring = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
        for n, ((a, c), (b, d)) in enumerate(pairwise(ring)):
            corners = [(a, c, 0.0), (b, d, 0.0), (b, d, height + ABOVE), (a, c, height + ABOVE)]
            parts.append(polygon("panel", f"side{n}", corners))
    low = -0.0005
    parts.append(polygon("soil", "bed", [(x0, y0, low), (x1, y0, low), (x1, y1, low), (x0, y1, low)]))
    return "\n".join(parts) + "\n"


@pytest.mark.radiance
@pytest.mark.parametrize("case", many(["rack with panels", "sill"], [*CASES]))
def test_the_plan_gives_the_light_that_radiance_traces(tmp_path: Path, case: str) -> None:
    """Radiance (Ward 1994, SIGGRAPH '94, 459-472), bounces where there are panels: mean to 2 %, evenness to 0.03."""
    pytest.importorskip("pyradiance")
    size, words, panels = CASES[case]
    done = tenhour("lamps", *words, "--json")
    assert done.status == 0, done.err
    layout = json.loads(done.out)["layout"]
    # a bulb sends part of its light upwards, which nothing returns here
    down = load_kinds()["led-bulb"].down_share if case == "sill" else 1.0
    x, y = grid_m(BedSize(*size), layout["height_m"])
    skip = max(1, len(x) // 60)
    grid = np.meshgrid(np.unique(np.append(x[::skip], x[-1])), y)
    points = np.column_stack([grid[0].ravel(), grid[1].ravel(), np.zeros(grid[0].size)])
    up = np.tile([0.0, 0.0, 1.0], (len(points), 1))
    traced = radiance_levels(tmp_path, scene(size, layout, panels, down), points, up, bounces=4 if panels else 0)
    mean = layout["delivered_ppfd_umol_m2_s"] / layout["maintenance_frac"]
    assert mean == pytest.approx(traced.mean(), rel=0.02)
    assert layout["min_mean_frac"] == pytest.approx(traced.min() / traced.mean(), abs=0.03)
