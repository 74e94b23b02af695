"""What shades of a map are cut by: land out of coasts in pieces, and values carried to the shore."""

from __future__ import annotations

import numpy as np

from tenhour.files.atlas.regions import within
from tenhour.files.elevation import grounds_m
from tenhour.files.packaged import outlines
from tenhour.report.atlas.land import filled_shore, land_of, rings_near, turned

WORLD = (-180.0, 180.0, -90.0, 90.0)


def test_coasts_put_end_to_end_hold_the_ground_of_the_map_of_heights() -> None:
    """99 % of 3000 points; the rest lie on shores, which one of the two draws coarser."""
    rng = np.random.default_rng(0)
    lat, lon = np.degrees(np.arcsin(rng.uniform(-0.97, 0.97, 3000))), rng.uniform(-180.0, 180.0, 3000)
    inside = within(rings_near(land_of(outlines()), WORLD), lon, lat)
    assert (inside == np.isfinite(grounds_m(lat, lon))).mean() > 0.985


def test_a_lake_is_no_land_and_a_map_across_180_degrees_has_land_on_both_sides() -> None:
    square = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0], [0.0, 0.0]])
    lake, far = 1.0 + square / 4.0, square[::-1] + np.array([10.0, 0.0])
    area = [np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]) / 2.0 for x, y in (ring.T for ring in turned([square, lake, far]))]
    np.testing.assert_allclose(area, [16.0, -1.0, 16.0])
    near = rings_near([square + np.array([176.0, 0.0]), square + np.array([-180.0, 0.0])], (170.0, 190.0, 0.0, 4.0))
    assert [(ring[:, 0].min(), ring[:, 0].max()) for ring in near] == [(176.0, 180.0), (180.0, 184.0)]


def test_shades_reach_one_step_out_to_sea_and_nowhere_else() -> None:
    none = np.nan
    value = np.array([[1.0, none, none], [3.0, none, none], [none, none, none]])
    sea = np.array([[False, True, True], [False, True, True], [False, True, True]])
    wanted = np.array([[1.0, 2.0, none], [3.0, 2.0, none], [none, 3.0, none]])
    np.testing.assert_array_equal(filled_shore(value, sea), wanted)
