"""Faces of every shape, windows in their place, and houses told apart from what is not one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import helpers_rooms as hr
from tenhour.errors import OutOfRange
from tenhour.house import closed, shapes
from tenhour.house.cutting import build_room, clipped
from tenhour.house.spread import cosine_directions, even_points

pytestmark = pytest.mark.quick

DIMENSIONS = {
    "gable": {"length": 5.0, "width": 3.0, "eaves": 1.8, "ridge": 2.6},
    "lean-to": {"length": 4.0, "width": 2.2, "front": 1.5, "back": 2.5},
    "box": {"length": 4.0, "width": 3.0, "eaves": 2.4},
    "hoop": {"length": 6.0, "width": 3.6, "ridge": 2.1},
    "cold-frame": {"length": 1.2, "width": 0.8, "front": 0.25, "back": 0.4},
    "window-sill": {"length": 3.0, "depth": 2.5, "eaves": 2.4},
}
SLOPED = {"length": 4.0, "width": 3.0, "eaves": 1.8, "back": 2.6}
TALL_HOOP = {"length": 6.0, "width": 3.6, "eaves": 0.8, "ridge": 2.1}
EVERY = [*DIMENSIONS.items(), ("box", SLOPED), ("hoop", TALL_HOOP)]
VOLUMES_M3 = {"gable": 5 * 3 * 2.2, "lean-to": 4 * 2.2 * 2.0, "box": 28.8, "cold-frame": 1.2 * 0.8 * 0.325}


def _surfaces(shape: str, dimensions: dict[str, float]) -> list[shapes.Surface]:
    return [shapes.Surface(name, corners) for name, corners in shapes.faces_m(shape, dimensions).items()]


def _volume(surfaces: list[shapes.Surface]) -> float:
    """Divergence theorem: a third of the sum of area vectors times position, all normals outwards."""
    centre = np.concatenate([s.vertices_m for s in surfaces]).mean(axis=0)
    total = 0.0
    for surface in surfaces:
        area = shapes.newell_normal(surface.vertices_m)
        total += abs(float(area @ (surface.vertices_m[0] - centre))) / 3
    return total


@pytest.mark.parametrize(("shape", "dimensions"), EVERY)
def test_every_shape_is_a_closed_convex_room(shape: str, dimensions: dict[str, float]) -> None:
    surfaces = _surfaces(shape, dimensions)
    assert closed.room_problems(surfaces) == []
    if dimensions is DIMENSIONS.get(shape) and shape in VOLUMES_M3:
        assert _volume(surfaces) == pytest.approx(VOLUMES_M3[shape], rel=1e-9)
    names = [s.name for s in surfaces]
    assert len(set(names)) == len(names)
    assert {"floor", "east", "west"} <= set(names)


def test_hoop_stays_inside_its_ellipse() -> None:
    surfaces = _surfaces("hoop", DIMENSIONS["hoop"])
    half_ellipse = np.pi / 4 * 3.6 * 2.1
    assert _volume(surfaces) / 6.0 == pytest.approx(half_ellipse, rel=0.02)
    assert _volume(surfaces) / 6.0 < half_ellipse


def test_faces_lie_where_their_names_say() -> None:
    faces = shapes.faces_m("gable", DIMENSIONS["gable"])
    middle = {name: corners.mean(axis=0) for name, corners in faces.items()}
    assert middle["south"][1] == 0.0
    assert middle["north"][1] == 3.0
    assert middle["west"][0] == 0.0
    assert middle["east"][0] == 5.0
    assert middle["roof-south"][1] < 1.5 < middle["roof-north"][1]
    strips = shapes.faces_m("hoop", DIMENSIONS["hoop"])
    assert strips["roof-south-1"].mean(axis=0)[2] < strips["roof-south-5"].mean(axis=0)[2]
    assert strips["roof-south-1"].mean(axis=0)[1] < 1.8 < strips["roof-north-1"].mean(axis=0)[1]


def test_same_face_takes_strips_with_their_side() -> None:
    assert shapes.same_face("roof-south-3", "roof-south")
    assert shapes.same_face("roof-south", "roof-south")
    assert not shapes.same_face("roof-north-3", "roof-south")
    assert shapes.covered_by_default("gable", "roof-south")
    assert not shapes.covered_by_default("gable", "floor")
    assert not shapes.covered_by_default("cold-frame", "south")
    assert shapes.covered_by_default("cold-frame", "roof")
    assert not shapes.covered_by_default("window-sill", "south")


@pytest.mark.parametrize(
    ("face", "left_corner"),
    [
        ("south", [4.0, 0.0, 0.0]),
        ("north", [0.0, 3.0, 0.0]),
        ("east", [4.0, 3.0, 0.0]),
        ("west", [0.0, 0.0, 0.0]),
        ("floor", [0.0, 0.0, 0.0]),
    ],
)
def test_left_is_left_as_seen_from_inside(face: str, left_corner: list[float]) -> None:
    surfaces = _surfaces("box", DIMENSIONS["box"])
    centre = np.array([2.0, 1.5, 1.2])
    frame = shapes.frame_of(next(s.vertices_m for s in surfaces if s.name == face), centre)
    assert frame.origin_m == pytest.approx(np.array(left_corner), abs=1e-12)
    assert np.cross(frame.u, frame.v) == pytest.approx(frame.normal, abs=1e-12)
    assert (centre - frame.origin_m) @ frame.normal > 0


def test_windows_are_cut_where_they_are_asked_for() -> None:
    """0.9 m from the left corner of the south wall seen from inside is 0.9 m from its east end."""
    surfaces = _surfaces("box", DIMENSIONS["box"])
    window = shapes.Opening("south", 0.9, 0.7, 1.6, 1.2, 0)
    room = build_room(surfaces, [window], [], [0.1])
    own = room.patch_piece == next(k for k, p in enumerate(room.pieces) if p.name == "window 1")
    assert room.patch_area_m2[own].sum() == pytest.approx(1.6 * 1.2)
    middle = (room.patch_centre_m[own] * room.patch_area_m2[own, None]).sum(axis=0) / room.patch_area_m2[own].sum()
    assert middle == pytest.approx([4.0 - 0.9 - 0.8, 0.0, 0.7 + 0.6], abs=1e-9)
    wall = room.patch_piece == next(k for k, p in enumerate(room.pieces) if p.name == "south")
    assert room.patch_area_m2[wall].sum() == pytest.approx(4.0 * 2.4 - 1.6 * 1.2)
    assert room.patch_refl_frac[own] == pytest.approx(0.1)


def test_sill_on_a_roof_runs_along_the_slope() -> None:
    surfaces = _surfaces("gable", DIMENSIONS["gable"])
    room = build_room(surfaces, [shapes.Opening("roof-south", 1.0, 0.3, 1.0, 0.8, 0)], [], [0.1])
    own = room.patch_piece == next(k for k, p in enumerate(room.pieces) if p.name == "window 1")
    middle = (room.patch_centre_m[own] * room.patch_area_m2[own, None]).sum(axis=0) / room.patch_area_m2[own].sum()
    slope = np.array([0.0, 1.5, 0.8]) / np.hypot(1.5, 0.8)
    assert middle == pytest.approx(np.array([5.0 - 1.5, 0.0, 1.8]) + 0.7 * slope, abs=1e-9)


@pytest.mark.parametrize(("shape", "dimensions"), EVERY)
def test_patches_fill_their_faces(shape: str, dimensions: dict[str, float]) -> None:
    surfaces = _surfaces(shape, dimensions)
    room = build_room(surfaces, [], [shapes.Block("rack", (0.3, 0.2, 0.0), (0.6, 0.4, 0.2), 0.3)], [])
    for k, piece in enumerate(room.pieces[:-1]):
        area = float(np.linalg.norm(shapes.newell_normal(surfaces[k].vertices_m)))
        assert room.patch_area_m2[room.patch_piece == k].sum() == pytest.approx(area, rel=1e-9), piece.name
    block = room.patch_piece == len(room.pieces) - 1
    assert room.patch_area_m2[block].sum() == pytest.approx(2 * (0.3 * 0.2 + 0.3 * 0.2 + 0.2 * 0.2))
    patch = np.arange(len(room.patch_area_m2))
    even = even_points(len(patch), 2)
    inside = room.points_on_m(patch, even[:, 0], even[:, 1])
    assert np.all((inside @ room.plane_normal.T - room.plane_offset_m) > -1e-9)


def test_points_on_a_clipped_patch_are_spread_by_area() -> None:
    surfaces = _surfaces("gable", DIMENSIONS["gable"])
    room = build_room(surfaces, [], [], [])
    odd = np.flatnonzero(~room.patch_whole)
    assert len(odd) > 0
    for patch in odd[:6]:
        even = even_points(4096, 2)
        points = room.points_on_m(np.full(4096, patch), even[:, 0], even[:, 1])
        assert points.mean(axis=0) == pytest.approx(room.patch_centre_m[patch], abs=2e-3)


def test_clipping_by_a_rectangle() -> None:
    triangle = np.array([[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]])
    part = clipped(triangle, np.array([0.5, 0.5]), np.array([3.0, 3.0]))
    assert sorted(map(tuple, part.round(9).tolist())) == [(0.5, 0.5), (0.5, 1.5), (1.5, 0.5)]
    assert len(clipped(triangle, np.array([1.5, 1.5]), np.array([3.0, 3.0]))) < 3


def test_even_points_are_sobol() -> None:
    from scipy.stats import qmc

    from tenhour.house import spread

    theirs = np.round(qmc.Sobol(4, scramble=False, bits=spread.BITS).random(256) * 2**spread.BITS).astype(int)
    ours = np.floor(even_points(256, 4) * 2**spread.BITS).astype(int) ^ np.array(spread.SHIFT)
    assert sorted(map(tuple, ours.tolist())) == sorted(map(tuple, theirs.tolist()))
    assert even_points(10, 2, start=2**spread.BITS - 4).shape == (10, 2)


def test_directions_are_spread_by_cosine() -> None:
    even = even_points(4096, 2)
    directions = cosine_directions(even[:, 0], even[:, 1])
    assert np.linalg.norm(directions, axis=1) == pytest.approx(np.ones(4096))
    assert directions.mean(axis=0) == pytest.approx([0.0, 0.0, 2 / 3], abs=2e-3)
    assert (directions[:, 2] ** 2).mean() == pytest.approx(0.5, abs=2e-3)


@pytest.mark.parametrize(
    ("shape", "dimensions", "message"),
    [
        ("dome", {}, "not one of gable"),
        ("gable", {"length": 5.0, "width": 3.0, "eaves": 1.8}, "needs ridge_m"),
        ("gable", {"length": 5.0, "width": 3.0, "eaves": 2.8, "ridge": 2.6}, "above eaves_m"),
        ("box", {"length": -5.0, "width": 3.0, "eaves": 2.8}, "length_m: -5.0"),
        ("box", {"length": float("nan"), "width": 3.0, "eaves": 2.8}, "length_m: nan"),
    ],
)
def test_impossible_shapes_are_refused(shape: str, dimensions: dict[str, float], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        shapes.faces_m(shape, dimensions)


def _cube() -> list[shapes.Surface]:
    return _surfaces("box", {"length": 2.0, "width": 2.0, "eaves": 2.0})


def _problems(surfaces: list[shapes.Surface], **more: object) -> str:
    found = closed.room_problems(surfaces, **more)  # type: ignore[arg-type]
    return "\n".join(problem.line() for problem in found)


def test_a_bent_surface_is_named() -> None:
    cube = _cube()
    bent = cube[1].vertices_m.copy()
    bent[2, 1] += 0.3
    cube[1] = cube[1]._replace(vertices_m=bent)
    text = _problems(cube)
    assert f"surface '{cube[1].name}'" in text
    assert "not flat: corner" in text
    assert "cm off the plane" in text


def test_a_missing_wall_is_told_with_its_neighbours() -> None:
    text = _problems([s for s in _cube() if s.name != "north"])
    assert "not closed: 4.00 m² open on the side facing the back (+y)" in text
    assert "'east'" in text
    assert "'west'" in text


def test_a_hole_in_a_wall_is_told() -> None:
    cube = [s if s.name != "south" else s._replace(vertices_m=s.vertices_m * [0.5, 1.0, 1.0]) for s in _cube()]
    text = _problems(cube)
    assert "surface 'south'" in text
    assert "2.00 m² open" in text


def test_overlapping_surfaces_are_told() -> None:
    cube = _cube()
    south = next(s for s in cube if s.name == "south")
    text = _problems([*cube, south._replace(name="window", vertices_m=south.vertices_m * 0.5)])
    assert "overlap by 1.00 m²" in text
    assert "'south', 'window'" in text


def test_a_niche_is_not_convex() -> None:
    niche = np.array([[0.5, 1.0, 0.0], [1.5, 1.0, 0.0], [1.5, 1.0, 2.0], [0.5, 1.0, 2.0]])
    text = _problems([*_cube(), shapes.Surface("partition", niche)])
    assert "surface 'partition'" in text
    assert "must be convex" in text


def test_degenerate_polygons_are_told() -> None:
    line = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]])
    dart = np.array([[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.5, 0.5, 0.0], [0.0, 2.0, 0.0]])
    text = _problems([shapes.Surface("line", line), shapes.Surface("dart", dart), shapes.Surface("two", line[:2])])
    assert "corners in one line" in text
    assert "a corner that points inwards" in text
    assert "2 corners" in text
    assert "at least four surfaces" in _problems(_cube()[:3])
    flat = [s._replace(vertices_m=s.vertices_m * [1.0, 1.0, 0.0] + [k, 0, 0]) for k, s in enumerate([_cube()[0]] * 4)]
    assert "all corners in one plane" in _problems(flat)


@pytest.mark.parametrize(
    ("window", "message"),
    [
        (shapes.Opening("sauth", 0.2, 0.2, 0.5, 0.5, 0), "window 1.on: found 'sauth'"),
        (shapes.Opening("south", 1.0, 0.2, 1.5, 0.5, 0), "inside the south face, 2.00 m wide and 2.00 m high"),
        (shapes.Opening("south", 0.2, 1.8, 0.5, 0.5, 0), "Make the window smaller or move it"),
    ],
)
def test_windows_that_do_not_fit(window: shapes.Opening, message: str) -> None:
    assert message in _problems(_cube(), openings=[window])


def test_overlapping_windows() -> None:
    one, two = shapes.Opening("south", 0.2, 0.2, 0.8, 0.5, 0), shapes.Opening("south", 0.9, 0.4, 0.8, 0.5, 0)
    assert "window 2: overlaps window 1 on south" in _problems(_cube(), openings=[one, two])
    assert _problems(_cube(), openings=[one, two._replace(left_m=1.0)]) == ""


@pytest.mark.parametrize(
    ("moved_m", "wall"),
    [((1.4, 0, 0), "east"), ((-0.6, 0, 0), "west"), ((0, 1.6, 0), "north"), ((0, -0.4, 0), "south"),
     ((0, 0, 1.4), "roof"), ((0, 0, -0.4), "floor")],
)  # fmt: skip
def test_a_box_through_any_wall(moved_m: tuple[float, float, float], wall: str) -> None:
    """A rack moved until it stands 0.4 m out through one face."""
    low, high = np.array([0.2, 0.0, 0.0]) + moved_m, np.array([1.0, 0.8, 1.0]) + moved_m
    rack = shapes.Block("rack", tuple(low), tuple(high), 0.3)
    assert _problems(_cube(), blocks=[rack]).count("sticks 40 cm out through") == 1
    assert f"box 'rack': sticks 40 cm out through '{wall}'" in _problems(_cube(), blocks=[rack])


def test_custom_walls_in_pieces() -> None:
    """A wall given as four polygons round a window, corner by corner, is the same room as a window cut into it."""
    walls = [s for s in hr.skin("box", hr.BOX, {}, 0.5) if s.name != "south"]

    def part(name: str, x1: float, x2: float, z1: float, z2: float, pane: int = shapes.OPAQUE) -> shapes.Surface:
        return shapes.Surface(
            name, np.array([[x1, 0, z1], [x2, 0, z1], [x2, 0, z2], [x1, 0, z2]], dtype=float), pane, 0.5
        )

    pieces = [
        part("below", 0, 4, 0, 0.9),
        part("above", 0, 4, 2.1, 2.4),
        part("left", 0, 1.5, 0.9, 2.1),
        part("right", 3.1, 4, 0.9, 2.1),
        part("pane", 1.5, 3.1, 0.9, 2.1, 0),
    ]
    assert closed.room_problems([*walls, *pieces]) == []
    scene = hr.box_scene({}, 0.5, openings=(shapes.Opening("south", 0.9, 0.9, 1.6, 1.2, 0),))
    from dataclasses import replace

    from tenhour.house import bedlight

    custom = replace(scene, surfaces=(*walls, *pieces), openings=())
    suns = np.array([hr.sun_at(180.0, 25.0)])
    both = [hr.exact(bedlight.solver(s, hr.PLAIN), suns) for s in (scene, custom)]
    assert both[1].sky_direct_sr == pytest.approx(both[0].sky_direct_sr, rel=1e-9)
    assert both[1].sun_direct_ratio == pytest.approx(both[0].sun_direct_ratio, rel=1e-9)
    assert hr.sky_total(both[1]).mean() == pytest.approx(hr.sky_total(both[0]).mean(), rel=0.01)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(length=st.floats(1.0, 12.0), width=st.floats(0.6, 8.0), eaves=st.floats(0.3, 3.0), rise=st.floats(0.1, 3.0))
def test_any_gable_is_closed(length: float, width: float, eaves: float, rise: float) -> None:
    size = {"length": length, "width": width, "eaves": eaves, "ridge": eaves + rise}
    assert closed.room_problems(_surfaces("gable", size)) == []
    hoop = {"length": length, "width": width, "ridge": rise + 0.3}
    assert closed.room_problems(_surfaces("hoop", hoop)) == []
