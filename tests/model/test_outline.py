"""Plain outlines of the shapes: against areas by hand, and against the faces that light is traced through."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tenhour.house import shapes
from tenhour.model.outline import (
    FACES,
    STRIPS,
    area_m2,
    face_names,
    face_outline_m,
    holds,
    looks_deg,
    polygon_area_m2,
    profile_m,
    roof_height_m,
)

SIZES = {
    "gable": {"length": 5.0, "width": 3.0, "eaves": 1.8, "ridge": 2.6},
    "lean-to": {"length": 4.0, "width": 2.0, "front": 1.7, "back": 2.4},
    "hoop": {"length": 8.0, "width": 4.0, "ridge": 2.2, "eaves": 0.0},
    "hoop on walls": {"length": 8.0, "width": 4.0, "ridge": 2.2, "eaves": 0.5},
    "box": {"length": 4.0, "width": 3.0, "eaves": 2.3, "back": 2.8},
    "cold-frame": {"length": 1.2, "width": 0.9, "front": 0.25, "back": 0.4},
    "window-sill": {"length": 4.0, "width": 4.0, "eaves": 2.5},
}


def kind(title: str) -> str:
    return title.split(" ")[0]


@pytest.mark.parametrize("title", SIZES)
def test_faces_have_the_names_and_areas_that_light_is_traced_through(title: str) -> None:
    shape, sizes = kind(title), SIZES[title]
    traced = shapes.faces_m(shape, sizes)
    for name in face_names(shape, sizes):
        strips = [face for face in traced if shapes.same_face(face, name)]
        assert strips, name
        expected_m2 = sum(float(np.linalg.norm(shapes.newell_normal(traced[face]))) for face in strips)
        assert area_m2(face_outline_m(shape, sizes, name)) == pytest.approx(expected_m2, rel=1e-9), name
    assert all(any(shapes.same_face(face, name) for name in face_names(shape, sizes)) for face in traced)


def test_strips_of_a_hoop_are_those_that_light_is_traced_through() -> None:
    sizes = SIZES["hoop on walls"]
    traced = shapes.faces_m("hoop", sizes)
    assert {face for face in traced if face.startswith("roof-")} == set(STRIPS)
    for name in STRIPS:
        expected_m2 = float(np.linalg.norm(shapes.newell_normal(traced[name])))
        assert area_m2(face_outline_m("hoop", sizes, name)) == pytest.approx(expected_m2, rel=1e-9)


def test_areas_by_hand() -> None:
    gable = SIZES["gable"]
    assert area_m2(face_outline_m("gable", gable, "east")) == pytest.approx(3.0 * 1.8 + 3.0 * 0.8 / 2)
    assert area_m2(face_outline_m("gable", gable, "roof-south")) == pytest.approx(5.0 * math.hypot(1.5, 0.8))
    assert area_m2(face_outline_m("lean-to", SIZES["lean-to"], "roof")) == pytest.approx(4.0 * math.hypot(2.0, 0.7))
    assert area_m2(face_outline_m("lean-to", SIZES["lean-to"], "west")) == pytest.approx(2.0 * (1.7 + 2.4) / 2)


def test_a_hoop_is_nearly_half_an_ellipse() -> None:
    end_m2 = area_m2(face_outline_m("hoop", SIZES["hoop"], "east"))
    assert end_m2 == pytest.approx(math.pi / 2 * 2.0 * 2.2, rel=0.02)  # ten strips lose 1.6 % of a half circle
    assert end_m2 < math.pi / 2 * 2.0 * 2.2


@pytest.mark.parametrize("title", SIZES)
def test_the_roof_stands_on_its_walls_and_is_nowhere_hollow(title: str) -> None:
    shape, sizes = kind(title), SIZES[title]
    width = sizes["width"]
    heights = [roof_height_m(shape, sizes, width * i / 40) for i in range(41)]
    assert heights[0] == pytest.approx(profile_m(shape, sizes)[0][1])
    assert heights[-1] == pytest.approx(profile_m(shape, sizes)[-1][1])
    assert all(b >= (a + c) / 2 - 1e-9 for a, b, c in zip(heights, heights[1:], heights[2:], strict=False))
    assert roof_height_m(shape, sizes, -0.1) == 0.0
    assert roof_height_m(shape, sizes, width + 0.1) == 0.0


def test_end_walls_are_seen_from_inside() -> None:
    """The left corner of the west wall is the front one, that of the east wall the back one."""
    west = face_outline_m("lean-to", SIZES["lean-to"], "west")
    east = face_outline_m("lean-to", SIZES["lean-to"], "east")
    assert holds(west, (1.99, 2.39), 0.0)
    assert not holds(west, (0.01, 2.39), 0.0)
    assert holds(east, (0.01, 2.39), 0.0)
    assert not holds(east, (1.99, 2.39), 0.0)


@pytest.mark.parametrize("title", SIZES)
def test_outlines_run_anticlockwise_and_hold_their_corners(title: str) -> None:
    shape, sizes = kind(title), SIZES[title]
    for name in face_names(shape, sizes):
        outline = face_outline_m(shape, sizes, name)
        middle = (sum(u for u, _ in outline) / len(outline), sum(v for _, v in outline) / len(outline))
        assert holds(outline, middle, 0.0)
        assert all(holds(outline, corner, 1e-9) for corner in outline)
        assert not holds(outline, (middle[0], 99.0), 0.002)


def test_polygons_in_space() -> None:
    # a 3-4-5 triangle stood on edge and turned; area 6
    assert polygon_area_m2(((0, 0, 0), (3, 0, 0), (3, 0, 4))) == pytest.approx(6.0)
    assert polygon_area_m2(((0, 0, 0), (0, 2, 0), (0, 2, 5), (0, 0, 5))) == pytest.approx(10.0)


def test_where_faces_look() -> None:
    assert looks_deg("south", 90.0) == 180.0
    assert looks_deg("south", 0.0) == 90.0
    assert looks_deg("east", 180.0) == 180.0
    assert looks_deg("roof-north", 100.0) == 10.0
    assert looks_deg("floor", 90.0) is None


def test_every_shape_has_faces_and_a_floor() -> None:
    assert all("floor" in names for shape, names in FACES.items() if shape != "custom")
    assert set(FACES) == {*shapes.SHAPES, "custom"}
