"""House files against Radiance, through the whole chain: a typical year of hourly weather on every bed, month by month.

The house is written as a user writes it and read from that text; its light comes from the same functions as every
answer's, by the weather file's own hours. Radiance gets the same house corner by corner and the same hours, with the
settings of ``test_radiance_year``. The long form takes every house, both places and houses drawn at random.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import pytest

import helpers_door as hd
import helpers_house as hh
import helpers_houses as hs
import helpers_years as hy
from helpers_long import LONG

pytest.importorskip("pyradiance")
pytestmark = pytest.mark.radiance

Array = hh.Array
PER_BED = 12
FEW_SUNS = 48
SKY_SETTING = hh.Setting(divisions=1024, weight=5e-5)
DIRECT = hh.Setting(bounces=0)
BY_WALLS = hh.Setting(bounces=6, divisions=512, weight=2e-4, mirrorings=0)
FAINT = 0.004
"""Deviation of the ratio that is let pass in a bed, or at a point, that is nearly dark."""
SHELVES = [f"far-shelf-{seed}" for seed in range(5)]
DRAWN = [f"random-{seed}" for seed in (1, 10, 20, 30)]
ALL = [(name, place) for name in (*hd.CLEAR, *SHELVES, *DRAWN) for place in hd.PLACES]
RUNS = ALL if LONG else [("far-shelf-0", "Sand Point")]


def _spread(suns: Array) -> Array:
    """A few suns far apart: each next one is the furthest from all before."""
    chosen = [int(suns[:, 2].argmax())]
    near = suns @ suns[chosen[0]]
    for _ in range(FEW_SUNS - 1):
        chosen.append(int(near.argmin()))
        near = np.maximum(near, suns @ suns[chosen[-1]])
    return suns[chosen]


def _theirs(text: str, year: hy.Year, points: Array) -> Array:
    """Monthly ratio to outdoors at the points by Radiance [12, p]."""
    few = _spread(year.sun)
    with tempfile.TemporaryDirectory() as folder:
        at = Path(folder)
        sky = hh.sky_contributions(at, text, points, SKY_SETTING)
        direct = hh.sun_contributions(at, text, points, year.sun, DIRECT)
        straight = hh.sun_contributions(at, text, points, few, hh.Setting(bounces=0, mirrorings=0))
        by_walls = hh.sun_contributions(at, text, points, few, BY_WALLS) - straight
    from_sun = direct.T + by_walls.T[(year.sun @ few.T).argmax(axis=1)]
    light = year.sky @ sky[:, :145].T + year.ground[:, None] * sky[:, 145] + year.beam_w_m2[:, None] * from_sun
    return np.asarray(hy.monthly(light, year.month) / hy.monthly(year.outside_w_m2, year.month)[:, None])


@pytest.mark.parametrize(("name", "place"), RUNS)
def test_twelve_months_of_a_typical_year(name: str, place: str) -> None:
    """Mean absolute error of a bed's months 3 %, nine in ten within 5 %, the worst within 10 %; points within 10 %."""
    pair, panes = hd.pair_of(name)
    world, year = hd.world_of(pair, panes, place), hy.year(place)
    for number, ratio in enumerate(hd.ratios(world)):
        bed, plane = world.beds[number], pair.scene.beds[number]
        chosen = np.linspace(0, len(bed.x_m) - 1, min(PER_BED, len(bed.x_m))).round().astype(int)
        level = np.full(len(chosen), plane.height_m + plane.canopy_m)
        points = np.column_stack([bed.x_m[chosen], bed.y_m[chosen], level])
        theirs = _theirs(pair.radiance, year, hs.to_compass(points, pair.scene.azimuth_deg))
        ours = ratio[:, chosen]
        here, there = ours.mean(axis=1), theirs.mean(axis=1)
        off = np.abs(here - there)
        at_points = np.mean(np.abs(ours - theirs) < np.maximum(0.10 * theirs, FAINT))
        shown = (100 * (here / there - 1)).round(1).tolist()
        print(f"{name}, {place}, {plane.name}: off {shown} %, points {at_points:.2f}")
        assert np.mean(off) < max(0.03 * float(there.mean()), FAINT)
        assert np.mean(off < np.maximum(0.05 * there, FAINT)) >= 0.9
        assert np.all(off < np.maximum(0.10 * there, FAINT))
        assert at_points >= 0.9
