"""Lamp light by way of walls and side panels: Radiance as second opinion, photons kept, order and bounds."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

import helpers_houses as hs
from helpers_lamps import Array, radiance_levels
from tenhour.house.bedlight import plain_dome, room_alone
from tenhour.house.outside import Dome
from tenhour.house.transfer import gather
from tenhour.lamps.fixtures import Beam, Fixtures, irradiance_on
from tenhour.plan.lamp_bounce import (
    LitRoom,
    bounced_light_umol_m2_s,
    bounces_of,
    mirrored_light_umol_m2_s,
    panel_box,
    patch_light_umol_m2_s,
)

LENGTH, WIDTH, HEIGHT, GAP = 2.4, 1.2, 0.4, 0.01
SOIL = 0.1
LIFT = np.array([0.0, 0.0, 1e-4])
BARS = Fixtures(
    Beam(120.0, 1.1, 0.05),
    np.column_stack([(np.arange(4) + 0.5) / 4 * LENGTH, np.full(4, WIDTH / 2), np.full(4, HEIGHT)]),
    np.full(4, 90.0),
)


def grid(cells_x: int, cells_y: int) -> Array:
    x, y = np.meshgrid((np.arange(cells_x) + 0.5) / cells_x * LENGTH, (np.arange(cells_y) + 0.5) / cells_y * WIDTH)
    return np.column_stack([x.ravel(), y.ravel(), np.zeros(x.size)])


def light(panels: float, points: Array) -> Array:
    up = np.tile([0.0, 0.0, 1.0], (len(points), 1))
    lit = panel_box(LENGTH, WIDTH, HEIGHT, panels, SOIL)
    return irradiance_on(points, up, BARS, HEIGHT) + bounced_light_umol_m2_s(lit, BARS, bounces_of(lit, points + LIFT))


def scene(panels: float) -> str:
    radiance = 120.0 / (np.pi * 1.1 * 0.05)
    parts = [
        f"void light glow 0 0 3 {radiance} {radiance} {radiance}",
        f"void plastic panel 0 0 5 {panels} {panels} {panels} 0 0",
        f"void plastic soil 0 0 5 {SOIL} {SOIL} {SOIL} 0 0",
    ]
    for i, (x, _, z) in enumerate(BARS.centre_m):
        low, high = x - 0.025, x + 0.025
        parts.append(f"glow polygon bar{i} 0 0 12 {low} 0.05 {z} {low} 1.15 {z} {high} 1.15 {z} {high} 0.05 {z}")
    x0, x1, y0, y1, top = -GAP, LENGTH + GAP, -GAP, WIDTH + GAP, HEIGHT + 0.01
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
    for i, (a, b) in enumerate(pairwise(corners)):
        upright = f"{a[0]} {a[1]} 0 {b[0]} {b[1]} 0 {b[0]} {b[1]} {top} {a[0]} {a[1]} {top}"
        parts.append(f"panel polygon side{i} 0 0 12 {upright}")
    bed = f"{x0} {y0} -0.0005 {x1} {y0} -0.0005 {x1} {y1} -0.0005 {x0} {y1} -0.0005"
    return "\n".join([*parts, f"soil polygon bed 0 0 12 {bed}"]) + "\n"


@pytest.mark.radiance
@pytest.mark.parametrize("panels", [0.9, 0.5])
def test_side_panels_as_radiance_traces_them(tmp_path: Path, panels: float) -> None:
    pytest.importorskip("pyradiance")
    points = grid(12, 6)
    up = np.tile([0.0, 0.0, 1.0], (len(points), 1))
    traced = radiance_levels(tmp_path, scene(panels), points, up, bounces=4)
    ours = light(panels, points)
    assert ours.mean() == pytest.approx(traced.mean(), rel=0.01)
    assert ours.min() / ours.mean() == pytest.approx(traced.min() / traced.mean(), rel=0.02)
    np.testing.assert_allclose(ours, traced, rtol=0.03)


def test_panels_add_light_where_it_is_darkest() -> None:
    points = grid(16, 8)
    dark, grey, white = (light(panels, points) for panels in (0.0, 0.5, 0.9))
    assert (grey > dark).all()
    assert (white > grey).all()
    assert dark.min() / dark.mean() < grey.min() / grey.mean() < white.min() / white.mean()
    assert white.mean() > 1.15 * dark.mean()


def test_photons_on_bed_panels_and_opening_are_all_photons() -> None:
    lit = panel_box(LENGTH, WIDTH, HEIGHT, 0.9, SOIL)
    area = lit.exchange.area_m2
    assert float(patch_light_umol_m2_s(lit, BARS) @ area) == pytest.approx(480.0, rel=1e-9)
    absorbed = lit.exchange.settled(patch_light_umol_m2_s(lit, BARS) * area) * (1 - lit.exchange.refl_frac)
    assert float(absorbed.sum()) == pytest.approx(480.0, rel=1e-6)


def test_direct_light_on_patches_needs_little_scaling() -> None:
    lit = panel_box(LENGTH, WIDTH, HEIGHT, 0.5, SOIL)
    bed = lit.room.patch_normal[:, 2] > 0.5
    centre = lit.room.patch_centre_m[bed]
    exact = irradiance_on(centre, lit.room.patch_normal[bed], BARS, HEIGHT)
    np.testing.assert_allclose(patch_light_umol_m2_s(lit, BARS)[bed].mean(), exact.mean(), rtol=0.02)


def test_first_bounce_equals_quadrature_over_the_panels() -> None:
    points = grid(8, 4)
    panels = 0.9
    lit = panel_box(LENGTH, WIDTH, HEIGHT, panels, 0.0)
    upright = np.abs(lit.room.patch_normal[:, 2]) < 0.5
    once = np.where(upright, panels * patch_light_umol_m2_s(lit, BARS), 0.0)
    view, _ = gather(lit.room, lit.emitters, lit.tables, points + LIFT)
    ours = view @ once
    expected = np.zeros(len(points))
    top = HEIGHT + 0.01
    sides = [((-GAP, -GAP), (1, 0), (0, 1)), ((-GAP, WIDTH + GAP), (1, 0), (0, -1))]
    sides += [((-GAP, -GAP), (0, 1), (1, 0)), ((LENGTH + GAP, -GAP), (0, 1), (-1, 0))]
    for corner, run, inward in sides:
        length = (LENGTH if run[0] else WIDTH) + 2 * GAP
        along, up = np.meshgrid((np.arange(160) + 0.5) / 160 * length, (np.arange(41) + 0.5) / 41 * top)
        at = np.column_stack([corner[0] + run[0] * along.ravel(), corner[1] + run[1] * along.ravel(), up.ravel()])
        normal = np.tile([*inward, 0.0], (len(at), 1)).astype(float)
        sent = panels * irradiance_on(at, normal, BARS) * (length / 160) * (top / 41)
        way = at[None] - points[:, None]
        d2 = (way**2).sum(axis=-1)
        cosines = way[..., 2] * np.maximum(-(way * normal[None]).sum(axis=-1), 0.0) / d2
        expected += (cosines / d2 / np.pi * sent[None]).sum(axis=1)
    np.testing.assert_allclose(ours, expected, rtol=0.03)
    assert ours.mean() == pytest.approx(expected.mean(), rel=0.02)


def test_a_lamp_is_seen_once_more_in_the_pane_beside_it() -> None:
    """By hand: the point's image at -0.5 m looks back at the lamp, I = PPF cos / pi, times what panes mirror."""
    scene = hs.double_glass().scene
    lit = LitRoom(*room_alone(scene, Dome(*plain_dome(400))))
    lamp = Fixtures(Beam(100.0, 0.02, 0.02), np.array([[2.5, 0.6, 0.95]]), np.zeros(1))
    high, aside = 0.5, 0.6 + 0.5
    squared = high**2 + aside**2
    direct = 100.0 / np.pi * high**2 / squared**2
    angle = np.degrees(np.arccos(aside / np.sqrt(squared)))
    mirrored = scene.panes.mirrored_frac
    assert mirrored is not None
    by_hand = direct * np.interp(angle, np.arange(91), mirrored[0])
    found = mirrored_light_umol_m2_s(lit, lamp, np.array([[2.5, 0.5, 0.45]]))
    assert found[0] == pytest.approx(by_hand, rel=0.01)
    # beside the wall without glass nothing is mirrored
    far = lamp._replace(centre_m=np.array([[2.5, 2.6, 0.95]]))
    assert mirrored_light_umol_m2_s(lit, far, np.array([[2.5, 2.7, 0.65]]))[0] == 0.0
