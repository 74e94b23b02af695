"""Sets of fixtures: every photon lands somewhere, bed tables, shade, and Radiance as second opinion."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from helpers_lamps import Array, cases, radiance_levels
from tenhour.lamps.beam import IntensityTable
from tenhour.lamps.fixtures import Beam, Fixtures, irradiance_on, level_ppfd_umol_m2_s, shade_frac
from tenhour.lamps.layout import summary

MAINTENANCE = 0.9
SQUINT = IntensityTable(
    np.array([0.0, 30.0, 60.0, 90.0, 135.0, 180.0]),
    np.array([0.0, 90.0, 180.0, 270.0, 360.0]),
    np.array(
        [
            [30, 32, 18, 6, 3, 0],
            [30, 27, 12, 4, 3, 0],
            [30, 22, 9, 2, 3, 0],
            [30, 27, 12, 4, 3, 0],
            [30, 32, 18, 6, 3, 0],
        ],
        dtype=np.float64,
    ),
)


def box_photons(fixtures: Fixtures, side_m: float, height_m: float, cells: int) -> dict[str, float]:
    """Photons landing on floor, ceiling and walls of a closed box round the lamps."""
    step = (np.arange(cells) + 0.5) / cells
    flat = np.array(np.meshgrid((step - 0.5) * side_m, (step - 0.5) * side_m)).reshape(2, -1)
    upright = np.array(np.meshgrid((step - 0.5) * side_m, step * height_m)).reshape(2, -1)
    area = {"level": (side_m / cells) ** 2, "wall": side_m * height_m / cells**2}
    still = np.zeros(flat.shape[1])
    faces = {
        "floor": (np.column_stack([*flat, still]), [0.0, 0.0, 1.0], area["level"]),
        "ceiling": (np.column_stack([*flat, still + height_m]), [0.0, 0.0, -1.0], area["level"]),
    }
    for sign in (-1.0, 1.0):
        far = np.full(upright.shape[1], sign * side_m / 2)
        faces[f"x{sign}"] = (np.column_stack([far, *upright]), [-sign, 0.0, 0.0], area["wall"])
        faces[f"y{sign}"] = (np.column_stack([upright[0], far, upright[1]]), [0.0, -sign, 0.0], area["wall"])
    return {
        name: float(irradiance_on(points, np.tile(normal, (len(points), 1)), fixtures).sum() * cell)
        for name, (points, normal, cell) in faces.items()
    }


@pytest.mark.parametrize(
    "lamp",
    [
        Beam(100.0, 1.1, 0.05),
        Beam(100.0, 1.1, 0.05, down_share=0.7),
        Beam(100.0, 0.6, 0.6),
        Beam(100.0, 0.2, 0.2, 4.8),
        Beam(100.0, 0.2, 0.2, 2.0, down_share=0.6),
        Beam(100.0, 0.0, 0.0),
        Beam(100.0, 0.3, 0.1, table=SQUINT),
    ],
    ids=["bar", "bar-up", "panel", "narrow", "narrow-up", "point", "table"],
)
def test_photons_on_bed_walls_and_floor_are_all_photons(lamp: Beam) -> None:
    aged = lamp._replace(ppf_umol_s=lamp.ppf_umol_s * MAINTENANCE)
    fixtures = Fixtures(aged, np.array([[0.3, 0.1, 0.7], [-0.2, -0.1, 0.7]]), np.array([0.0, 37.0]))
    landed = box_photons(fixtures, 3.0, 2.0, 60)
    tolerance = 4e-3 if lamp.table is not None else 1e-3
    assert sum(landed.values()) == pytest.approx(2 * 100.0 * MAINTENANCE, rel=tolerance)
    assert (landed["ceiling"] > 0) == (lamp.down_share < 1 or lamp.table is not None)


@cases("lamps_bed.csv")
def test_bars_over_a_bed(row: dict[str, str]) -> None:
    count, ppf, height = int(row["bars"]), float(row["ppf_umol_s"]), float(row["height_m"])
    light = summary(bars_on_bed(count, ppf, height, 24, 48), count * ppf, 1.2 * 2.4)
    assert light.mean_umol_m2_s == pytest.approx(float(row["avg"]), abs=0.05)
    assert light.min_umol_m2_s == pytest.approx(float(row["min"]), abs=0.05)
    assert light.max_umol_m2_s == pytest.approx(float(row["max"]), abs=0.05)
    assert light.min_mean_frac == pytest.approx(float(row["min_mean"]), abs=0.005)
    assert light.variation_ratio == pytest.approx(float(row["variation"]), abs=0.0005)
    assert light.cu_frac == pytest.approx(float(row["cu"]), abs=0.0005)


def test_end_bars_moved_out_are_more_even() -> None:
    """End bars 0.2 m from the ends: mean 105.5, min/mean 0.50, CU 0.633 (derived, same bed as lamps_bed.csv)."""
    x, y = bed_grid(24, 48)
    bars = np.linspace(0.2, 2.2, 4)
    light = sum(level_ppfd_umol_m2_s(Beam(120.0, 1.1, 0.0), x - 0.6, y - bar, 0.4) for bar in bars)
    found = summary(np.asarray(light), 480.0, 2.88)
    assert found.mean_umol_m2_s == pytest.approx(105.5, abs=0.05)
    assert found.min_mean_frac == pytest.approx(0.50, abs=0.005)
    assert found.cu_frac == pytest.approx(0.633, abs=0.0005)


def bed_grid(cells_x: int, cells_y: int) -> Array:
    x, y = (np.arange(cells_x) + 0.5) / cells_x * 1.2, (np.arange(cells_y) + 0.5) / cells_y * 2.4
    return np.array(np.meshgrid(x, y)).reshape(2, -1)


def bars_on_bed(count: int, ppf: float, height: float, cells_x: int, cells_y: int, width: float = 0.0) -> Array:
    x, y = bed_grid(cells_x, cells_y)
    lamp = Beam(ppf, 1.1, width)
    light = [level_ppfd_umol_m2_s(lamp, x - 0.6, y - (i + 0.5) / count * 2.4, height) for i in range(count)]
    return np.sum(light, axis=0)


def test_level_formula_and_any_surface_formula_agree() -> None:
    points = np.column_stack([*bed_grid(8, 16), np.zeros(128)])
    up = np.tile([0.0, 0.0, 1.0], (128, 1))
    strips_rtol = 3e-3
    lamps = {Beam(50.0, 1.1, 0.05): strips_rtol, Beam(50.0, 0.6, 0.4): strips_rtol, Beam(50.0, 1.1, 0.0): 1e-9}
    others = [Beam(50.0, 0.3, 0.3, 2.3), Beam(50.0, 0.3, 0.1, table=SQUINT)]
    for lamp, rtol in [*lamps.items(), *((other, 1e-9) for other in others)]:
        for turn in (0.0, 30.0, 90.0):
            rad = np.deg2rad(turn)
            dx, dy = points[:, 0] - 0.7, points[:, 1] - 1.1
            along, across = dx * np.cos(rad) + dy * np.sin(rad), dy * np.cos(rad) - dx * np.sin(rad)
            level = level_ppfd_umol_m2_s(lamp, along, across, 0.4)
            fixture = Fixtures(lamp, np.array([[0.7, 1.1, 0.4]]), np.array([turn]))
            np.testing.assert_allclose(irradiance_on(points, up, fixture, 0.4), level, rtol=rtol)


@pytest.mark.radiance
def test_bars_over_a_bed_as_radiance_traces_them(tmp_path: Path) -> None:
    pytest.importorskip("pyradiance")
    radiance = 120.0 / (np.pi * 1.1 * 0.05)
    scene = [f"void light glow 0 0 3 {radiance} {radiance} {radiance}"]
    for i in range(4):
        y = (i + 0.5) / 4 * 2.4
        low, high = (0.05, y - 0.025), (1.15, y + 0.025)
        corners = f"{low[0]} {low[1]} 0.4 {low[0]} {high[1]} 0.4 {high[0]} {high[1]} 0.4 {high[0]} {low[1]} 0.4"
        scene.append(f"glow polygon bar{i} 0 0 12 {corners}")
    points = np.column_stack([*bed_grid(12, 24), np.zeros(288)])
    traced = radiance_levels(tmp_path, "\n".join(scene) + "\n", points, np.tile([0.0, 0.0, 1.0], (288, 1)))
    ours = bars_on_bed(4, 120.0, 0.4, 12, 24, width=0.05)
    assert ours.mean() == pytest.approx(traced.mean(), rel=0.005)
    np.testing.assert_allclose(ours, traced, rtol=0.03)


def test_shade_of_a_far_small_body_is_its_solid_angle() -> None:
    shade = shade_frac([[0.0, 0.0, 0.0]], [[0.0, 0.0, 4.0]], [30.0], 0.2, 0.1)
    assert float(shade[0]) == pytest.approx(0.02 / (np.pi * 16.0), rel=1e-3)


def test_shade_of_a_lid_close_above_is_nearly_all() -> None:
    shade = shade_frac([[0.0, 0.0, 0.0]], [[0.0, 0.0, 0.15]], [0.0], 4.0, 4.0)
    assert 0.97 < float(shade[0]) <= 1.0


def test_nothing_behind_a_lamp_or_a_surface() -> None:
    fixture = Fixtures(Beam(100.0, 1.0, 0.05), np.array([[0.0, 0.0, 1.0]]), np.zeros(1))
    above = irradiance_on([[0.0, 0.0, 1.5]], [[0.0, 0.0, -1.0]], fixture)
    turned_away = irradiance_on([[0.0, 0.0, 0.0]], [[0.0, 0.0, -1.0]], fixture)
    assert float(above[0]) == 0.0
    assert float(turned_away[0]) == 0.0
