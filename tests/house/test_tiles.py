"""Neighbours' faces in tiles, and the house's shadow on them: by plane geometry."""

from __future__ import annotations

import numpy as np
import pytest

import helpers_rooms as hr
from tenhour.house import bedlight, outside, shapes, tiles

WALL = shapes.Block("wall", (-1.0, 4.0, 0.0), (5.0, 4.2, 3.0), 0.6)
"""Stands 1 m to the north of the room of ``helpers_rooms.box_scene``."""


def test_a_tile_is_found_again_at_its_middle() -> None:
    corner = np.array([[0.0, 6.0, 0.0], [4.0, 6.0, 0.0], [4.0, 6.0, 2.0], [0.0, 6.0, 2.0]])
    found = tiles.tiles_of([WALL], [shapes.Surface("fence", corner, shapes.OPAQUE, 0.4)])
    face = np.repeat(np.arange(len(found.normal)), tiles.TILES)
    assert len(found.normal) == 8
    assert found.at(face, found.place_m()).tolist() == list(range(len(face)))
    assert np.linalg.norm(found.normal, axis=1) == pytest.approx(np.ones(8))
    assert found.normal[6] @ found.normal[7] == pytest.approx(-1.0)


def test_tiles_cover_their_faces() -> None:
    found = tiles.tiles_of([WALL], [])
    place = found.place_m().reshape(6, tiles.TILES, 3)
    for face in range(6):
        axis, far = divmod(face, 2)
        edge = (WALL.high_m if far else WALL.low_m)[axis]
        assert place[face, :, axis] == pytest.approx(np.full(tiles.TILES, edge), abs=1e-3)
        assert place[face].mean(axis=0) == pytest.approx((np.array(WALL.low_m) + WALL.high_m) / 2, abs=3.1)


def test_only_faces_turned_to_the_house_are_looked_out_of() -> None:
    """From inside the room to the south, a wall as high as it shows its south side, never its north or west side."""
    found = tiles.tiles_of([WALL], [])
    seen = np.unique(found.seen_from(np.array([[2.0, 1.0, 0.5], [2.0, 2.0, 2.0]])) // tiles.TILES)
    assert seen.tolist() == [2]


def test_light_that_crosses_the_house_is_thinned_by_both_planes() -> None:
    unit = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], dtype=float)
    hull = tiles.Hull(unit, np.array([0, -1, 0, -1, 0, -1.0]), np.array([0.5, 0.4, 0, 0, 0, 0.3]), np.zeros((1, 3)))
    start = np.array([[3.0, 0.5, 0.5], [3.0, 2.5, 0.5], [-2.0, 0.5, 0.5]])
    west, up, slant = np.array([-1.0, 0, 0]), np.array([0.0, 0, 1]), np.array([-2.4, 0, 0.5]) / np.hypot(2.4, 0.5)
    got = tiles.passing_house(hull, start, np.array([west, up, slant]))
    assert got[0] == pytest.approx([0.5 * 0.4, 1.0, 0.4 * 0.3])  # in by x = 1, out by x = 0 or by the roof
    assert got[1] == pytest.approx([1.0, 1.0, 1.0])
    assert got[2] == pytest.approx([1.0, 1.0, 1.0])


@pytest.mark.parametrize("height_deg", [15.0, 30.0, 50.0])
def test_the_house_shades_the_wall_behind_it(height_deg: float) -> None:
    """Sun square to the wall: of the part of it that lies behind the house, what lies below the shadow's edge is dark.

    Edge at eaves - gap × tan(height): plane geometry.
    """
    scene = hr.box_scene({"south": 0}, 0.5)
    solved = bedlight.solver(scene, hr.COARSE)
    room = solved.room
    top, back = room.patch_centre_m.max(axis=0)[2], max(v for s in scene.surfaces for v in s.vertices_m[:, 1])
    wide = max(v for s in scene.surfaces for v in s.vertices_m[:, 0])
    wall = shapes.Block("wall", (0.0, back + 1.0, 0.0), (wide, back + 1.2, 2 * top), 0.6)
    around = outside.emitters(
        outside.Outside(blocks=(wall,)), hr.COARSE, 90.0, tiles.hull_of(room, solved.tables.straight)
    )
    tall = np.radians(height_deg)
    lit = around.sun_folding(np.array([[0.0, -np.cos(tall), np.sin(tall)]]))[:, 0].reshape(6, tiles.SIDE, tiles.SIDE)
    front = lit[2]  # low side of y; up is the first of its two axes
    middle = (np.arange(tiles.SIDE) + 0.5) / tiles.SIDE * 2 * top
    edge = top - 1.0 * np.tan(tall)
    assert (front[middle > edge + 0.01] > 0.0).all()
    assert front[middle < edge - 0.01] == pytest.approx(0.0)
    assert front.max() == pytest.approx(0.6 / np.pi * np.cos(tall))
