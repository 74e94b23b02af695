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
    hull = tiles.Hull(
        unit, np.array([0, -1, 0, -1, 0, -1.0]), np.array([0.5, 0.4, 0, 0, 0, 0.3]), np.zeros((1, 3)), np.zeros((2, 3))
    )
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


@pytest.mark.parametrize("gap_m", [1.5, 3.0, 9.0])
def test_walls_that_face_each_other_share_the_sky(gap_m: float) -> None:
    """Hottel 1954, crossed strings (from memory): a long wall of height H sees sqrt(1 + (g/H)²) - g/H of its like at g.

    Sky above and ground below share the rest evenly; both shine with one here. What goes back and forth besides: of
    two alike surfaces each has 1 / (1 - reflectance × share) of it (sum of a geometric series).
    """
    tall_m, long_m, refl = 3.0, 300.0, 0.6
    walls = [shapes.Block("w", (-long_m, y, 0.0), (long_m, y + 0.1, tall_m), refl) for y in (0.0, gap_m + 0.1)]
    dome = outside.Dome(*bedlight.plain_dome(6000))
    around = outside.emitters(outside.Outside(blocks=tuple(walls)), dome, 90.0)
    folded = around.folding.reshape(2, 6, tiles.SIDE, tiles.SIDE, -1)
    wall = folded[0, 3].mean(axis=0)  # high side of y, over its height
    middle = wall[tiles.SIDE // 2 - 1 : tiles.SIDE // 2 + 1].mean(axis=0) / refl
    ratio = gap_m / tall_m
    rest = 1.0 - (np.sqrt(1.0 + ratio**2) - ratio)
    wanted = rest / 2 / (1.0 - refl * (1.0 - rest))
    print(middle[:-1].sum(), middle[-1], wanted)
    assert middle[:-1].sum() == pytest.approx(wanted, abs=0.012)
    assert middle[-1] == pytest.approx(wanted, abs=0.012)


def test_each_part_of_the_skyline_is_turned_to_the_house() -> None:
    """A hill all round: what shines from a direction is a wall whose normal points back along it, to half a sector."""
    ring = np.array([[0.0, 40.0], [120.0, 40.0], [240.0, 40.0]])
    around = outside.emitters(outside.Outside(skyline_deg=ring), hr.COARSE, 62.0)
    on_hill = (around.emitter > around.sky_count) & (around.direction[:, 2] > 0.0)
    level = around.direction[on_hill] * [1.0, 1.0, 0.0]
    level /= np.linalg.norm(level, axis=1, keepdims=True)
    sector = around.emitter[on_hill] - around.sky_count - 1
    back = np.einsum("ij,ij->i", around.normal[sector], -level)
    assert np.unique(sector).tolist() == list(range(outside.SKYLINE_SECTORS))
    assert back.min() >= np.cos(np.pi / outside.SKYLINE_SECTORS) - 1e-9


@pytest.mark.parametrize("yard", [True, False])
def test_in_even_light_from_all_around_white_walls_cannot_be_told_from_it(yard: bool) -> None:
    """Sky and ground of radiance 1: walls that keep nothing have radiance 1 too, however often they see each other.

    Conservation of light (a white body in a furnace); without it a yard's walls are a third darker.
    """
    walls = [
        ((-1.0, 4.0, 0.0), (5.0, 4.2, 3.0)),
        ((-1.4, -3.0, 0.0), (-1.0, 4.2, 3.0)),
        ((5.0, -3.0, 0.0), (5.4, 4.2, 3.0)),
    ]
    blocks = tuple(shapes.Block(f"wall {k}", low, high, 1.0) for k, (low, high) in enumerate(walls[: 3 if yard else 1]))
    around = outside.emitters(outside.Outside(blocks=blocks), hr.COARSE, 90.0)
    radiance = around.folding.sum(axis=1)
    assert radiance == pytest.approx(np.ones(len(radiance)), abs=0.05)
    assert radiance.mean() == pytest.approx(1.0, abs=0.01)
