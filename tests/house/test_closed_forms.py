"""Rooms whose light is known in closed form or from tables."""

from __future__ import annotations

import numpy as np
import pytest

import helpers_balance as balance
import helpers_rooms as hr
from helpers_long import many
from tenhour.house import bedlight, outside, shapes
from tenhour.house.mirror import cosine_table
from tenhour.house.radiosity import exchange

NO_SUN = np.zeros((0, 3))
MANY_RAYS = 400_000
"""Enough that a single pair of faces is right to 1 %; a room needs far fewer for its beds."""
SPOT = 0.02
"""Side of a bed so small that it is a point [m]."""


def some(table: str) -> list[dict[str, str]]:
    """Rows of a published table: all in the long form, in the short one the first, the last and some between."""
    rows = hr.rows(table)
    return many([*rows[: -1 : max(3, len(rows) // 3)], rows[-1]], rows)


def _spot(x: float, y: float, z: float) -> bedlight.BedPlane:
    return bedlight.BedPlane("spot", (x - SPOT / 2, y - SPOT / 2), (x + SPOT / 2, y + SPOT / 2), z - 0.002, 0.002, 0.0)


def _sky(scene: bedlight.Scene, dome: outside.Dome) -> np.ndarray:
    light = bedlight.daylight(scene, dome, hr.LATITUDE_DEG, NO_SUN)
    return np.asarray((light.sky_direct_sr[0] + light.sky_bounced_sr[0]).mean(axis=0))


def _band_light(dome: outside.Dome) -> np.ndarray:
    return np.bincount(dome.patch, dome.solid_angle_sr * dome.direction[:, 2])


@pytest.mark.parametrize("row", some("house_window_sky.csv"), ids=lambda r: f"{r['height_ratio']}-{r['width_ratio']}")
def test_sky_seen_through_a_window(row: dict[str, str]) -> None:
    """Unglazed window in a black room, point on the plane of its lower edge, one window edge abreast of the point."""
    away = 1.0
    height, width = float(row["height_ratio"]) * away, float(row["width_ratio"]) * away
    size = {"length": 2 * width + 2.0, "width": 3.0, "eaves": height + 1.5}
    x = width + 1.0
    window = shapes.Opening("south", size["length"] - x, 0.5, width, height, 0)
    scene = hr.box_scene({}, 0.0, dimensions=size, openings=(window,), beds=(_spot(x, away, 0.5),))
    dome, overcast = hr.banded_dome(30_000)
    found = _sky(scene, dome)
    outdoors = _band_light(dome)
    rel = float(row["tol_rel"])
    assert 100 * found.sum() / np.pi == pytest.approx(float(row["uniform_percent"]), rel=rel)
    assert 100 * (found @ overcast) / (outdoors @ overcast) == pytest.approx(float(row["overcast_percent"]), rel=rel)


@pytest.mark.parametrize("row", some("house_roof_light.csv"), ids=lambda r: f"{r['a']}-{r['b']}")
def test_sky_seen_through_a_roof_light(row: dict[str, str]) -> None:
    a, b, above = float(row["a"]), float(row["b"]), 1.0
    size = {"length": 2 * a + 1.0, "width": 2 * b + 1.0, "eaves": above + 0.3}
    x, y = a + 0.5, b + 0.5
    light = shapes.Opening("roof", size["length"] - x, y, a, b, 0)
    scene = hr.box_scene({}, 0.0, dimensions=size, openings=(light,), beds=(_spot(x, y, 0.3),))
    dome, overcast = hr.banded_dome(20_000)
    found = _sky(scene, dome)
    assert found.sum() / np.pi == pytest.approx(float(row["uniform"]), rel=float(row["tol_rel"]))
    share = (found @ overcast) / (_band_light(dome) @ overcast)
    assert share == pytest.approx(float(row["overcast"]), rel=float(row["tol_rel"]))


@pytest.mark.parametrize("row", some("house_factors.csv"), ids=lambda r: f"{r['kind']}-{r['x']}-{r['y']}")
def test_configuration_factors_of_rectangles(row: dict[str, str]) -> None:
    """Between whole faces of a box, from the rays that carry the bounced light."""
    x, y = float(row["x"]), float(row["y"])
    opposed = row["kind"] == "opposed"
    size = {"length": x, "width": y, "eaves": 1.0} if opposed else {"length": 1.0, "width": y, "eaves": x}
    scene = hr.box_scene({}, 0.0, dimensions=size, beds=(), blocks=())
    room = scene.room()
    found = exchange(room, cosine_table(np.zeros((1, 91))), MANY_RAYS)
    names = np.array([room.pieces[p].name for p in room.patch_piece])
    start, end = ("floor", "roof") if opposed else ("floor", "south")
    area = found.area_m2 * (names == start)
    factor = (area @ found.share)[names == end].sum() / area.sum()
    assert factor == pytest.approx(float(row["expected"]), rel=float(row["tol_rel"]))
    assert found.share.sum(axis=1) == pytest.approx(np.ones(len(area)), abs=1e-12)


def test_form_factors_are_mutual() -> None:
    """A F12 = A F21 between faces, though each is counted by its own rays."""
    scene = hr.box_scene({}, 0.3, blocks=(shapes.Block("rack", (0.5, 2.0, 0.0), (1.5, 2.6, 1.5), 0.3),))
    room = scene.room()
    found = exchange(room, cosine_table(np.zeros((1, 91))), MANY_RAYS)
    group = np.eye(len(room.pieces))[room.patch_piece]
    flux = group.T @ (found.area_m2[:, None] * found.share) @ group
    big = flux > 0.3
    assert big.sum() > 10
    assert flux[big] == pytest.approx(flux.T[big], rel=0.02)


def test_open_glass_box_is_outdoors() -> None:
    """A house of nothing: every bed gets exactly the light outside, from sky and sun."""
    names = dict.fromkeys(("south", "north", "east", "west", "roof"), 0)
    solved = bedlight.solver(hr.box_scene(names, 0.0), hr.PLAIN)
    suns = np.array([hr.sun_at(150, 8), hr.sun_at(200, 40)])
    light = hr.exact(solved, suns)
    assert hr.sky_total(light) == pytest.approx(np.ones(len(light.point_m)), rel=1e-6)
    assert hr.sun_total(light) == pytest.approx(np.tile(suns[:, 2], (len(light.point_m), 1)), rel=1e-9)
    assert light.ground_direct_sr[0].max() == 0.0


def test_endless_clear_and_diffusing_sheet() -> None:
    """Under a sheet without end a bed gets the hemispherical transmittance times the sky, clear or diffusing."""
    from tenhour.cover import optics

    size = {"length": 80.0, "width": 80.0, "eaves": 1.5}
    for straight in (1.0, 0.0):
        pane = optics.clear_pane(1.526, 0.96, 2, straight)._replace(inside_refl_frac=0.0, mirrored_frac=np.zeros(91))
        bed = (bedlight.BedPlane("bed", (39.0, 39.5), (41.0, 40.5), 0.5, 0.05, 0.0),)
        scene = hr.box_scene({"roof": 0}, 0.0, hr.panes_of(pane), size, beds=bed)
        expected = optics.hemispherical_frac(pane.straight_frac + pane.scattered_frac)
        light = bedlight.daylight(scene, hr.PLAIN, hr.LATITUDE_DEG, NO_SUN)
        assert hr.sky_total(light).mean() == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize("reflectance", many([0.3, 0.95], [0.0, 0.3, 0.8, 0.95]))
def test_integrating_enclosure(reflectance: float) -> None:
    """Closed room of one reflectance: light that starts evenly arrives 1/(1 - reflectance) fold on every patch."""
    scene = hr.box_scene({}, reflectance, beds=())
    room = scene.room()
    found = exchange(room, cosine_table(np.zeros((1, 91))))
    settled = found.settled(found.area_m2)
    assert settled.sum() == pytest.approx(found.area_m2.sum() / (1 - reflectance), rel=1e-9)
    even = settled / found.area_m2
    names = room.patch_piece
    by_face = np.bincount(names, settled) / np.bincount(names, found.area_m2)
    assert by_face == pytest.approx(np.full(len(by_face), 1 / (1 - reflectance)), rel=0.02)
    assert even.mean() == pytest.approx(1 / (1 - reflectance), rel=0.02)


def _through_window_m2_sr(solved: bedlight.Solver, sky: np.ndarray) -> float:
    return balance.sky_balance(solved, sky, 0.0).entered_w


def _wall_scene(around: outside.Outside | None = None) -> bedlight.Scene:
    window = shapes.Opening("south", 1.5, 1.0, 1.0, 0.2, 0)
    return hr.box_scene({}, 0.0, openings=(window,), outside=around or outside.Outside())


@pytest.mark.parametrize("row", some("house_obstruction.csv"), ids=lambda r: r["profile_deg"])
def test_wall_behind_an_endless_obstruction(row: dict[str, str]) -> None:
    """Light that enters a south window opposite a black wall without end, as a share of the open horizontal."""
    away, middle = 20.0, 1.1
    top = middle + away * np.tan(np.radians(float(row["profile_deg"])))
    wall = np.array([[-5000.0, -away, 0.0], [5000.0, -away, 0.0], [5000.0, -away, top], [-5000.0, -away, top]])
    around = outside.Outside(surfaces=(shapes.Surface("wall", wall, shapes.OPAQUE, 0.0),))
    dome, overcast = hr.banded_dome(20_000)
    solved = bedlight.solver(_wall_scene(around), dome)
    area = 1.0 * 0.2
    tol = float(row["tol_abs"])
    uniform = _through_window_m2_sr(solved, np.ones(len(overcast))) / (np.pi * area)
    assert 100 * uniform == pytest.approx(float(row["uniform_percent"]), abs=tol)
    share = _through_window_m2_sr(solved, overcast) / (_band_light(dome) @ overcast * area)
    assert 100 * share == pytest.approx(float(row["overcast_percent"]), abs=tol)


@pytest.mark.parametrize("row", some("house_ring_horizon.csv"), ids=lambda r: r["height_deg"])
def test_ring_horizon(row: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    """A skyline of one height all round, seen from a bed under the open sky."""
    names = dict.fromkeys(("south", "north", "east", "west", "roof"), 0)
    ring = np.array([[0.0, float(row["height_deg"])], [180.0, float(row["height_deg"])]])
    monkeypatch.setattr(outside, "SKYLINE_REFL_FRAC", 0.0)
    around = outside.Outside(skyline_deg=ring)
    dome, overcast = hr.banded_dome(20_000, 200)
    found = _sky(hr.box_scene(names, 0.0, outside=around), dome)
    outdoors = _band_light(dome)
    tol = float(row["tol_abs"])
    assert found.sum() / np.pi == pytest.approx(float(row["uniform_ratio"]), abs=tol)
    assert (found @ overcast) / (outdoors @ overcast) == pytest.approx(float(row["overcast_ratio"]), abs=tol)


@pytest.mark.parametrize(
    ("height_deg", "ratio"),
    many([(5, 11.43), (30, 1.73)], [(5, 11.43), (10, 5.67), (15, 3.73), (20, 2.75), (30, 1.73), (45, 1.0)]),
)
def test_low_sun_gives_a_wall_more_than_the_ground(height_deg: float, ratio: float) -> None:
    """Beam on a south wall over that on the ground is the cotangent of the sun's height: a window's gain in winter."""
    solved = bedlight.solver(_wall_scene(), hr.COARSE)
    sun = hr.sun_at(180.0, height_deg)
    entered = balance.sun_balance(solved, sun).entered_w / (1.0 * 0.2)
    assert entered / sun[2] == pytest.approx(ratio, abs=0.005)


def test_vertical_share_of_plain_skies() -> None:
    """An open wall gets 50 % of the horizontal value of a uniform sky and 39.6 % of the CIE overcast one."""
    dome, overcast = hr.banded_dome(20_000)
    solved = bedlight.solver(_wall_scene(), dome)
    uniform = _through_window_m2_sr(solved, np.ones(len(overcast))) / (np.pi * 0.2)
    share = _through_window_m2_sr(solved, overcast) / (_band_light(dome) @ overcast * 0.2)
    assert uniform == pytest.approx(0.5, abs=5e-4)
    assert share == pytest.approx(0.39618, abs=5e-4)


def test_ground_light_enters_a_wall_by_half() -> None:
    """Ground of radiance 1 sends pi/2 through each square metre of an open upright window: (1 - cos 90)/2 of pi."""
    solved = bedlight.solver(_wall_scene(), hr.PLAIN)
    entered = balance.sky_balance(solved, np.zeros(1), 1.0).entered_w
    assert entered == pytest.approx(np.pi / 2 * 0.2, rel=2e-3)


def test_white_wall_behind_shines_by_its_reflectance() -> None:
    """A wall of reflectance r under sky and ground of radiance 1 is r times as bright; seen by half a wall window."""
    wall = np.array(
        [[-5000.0, -20.0, -5000.0], [5000.0, -20.0, -5000.0], [5000.0, -20.0, 5000.0], [-5000.0, -20.0, 5000.0]]
    )
    around = outside.Outside(surfaces=(shapes.Surface("wall", wall, shapes.OPAQUE, 0.8),))
    solved = bedlight.solver(_wall_scene(around), hr.PLAIN)
    entered = balance.sky_balance(solved, np.ones(1), 1.0).entered_w
    assert entered == pytest.approx(0.8 * np.pi * 0.2, rel=5e-3)
