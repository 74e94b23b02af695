"""A year of hourly weather through the houses: monthly ratio inside to outside, against Radiance traced live.

Both get the same radiance of sky patches and ground and the same beam. Radiance: sky and ground as in
``test_radiance``; the sun's direct light and its mirror images traced for every hour of the year by itself (no
ambient bounce); the light it sends by way of walls from 48 suns spread over the year, each hour taking the nearest.
tenhour: its own net of sun nodes, the sun of every hour.
"""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import helpers_house as hh
import helpers_houses as hs
import helpers_years as hy
from helpers_long import LONG, many
from tenhour.house import bedlight
from tenhour.house.suntable import sun_nodes

pytest.importorskip("pyradiance")
pytestmark = pytest.mark.radiance

Array = hh.Array
PER_BED = many(4, 8)
FEW_SUNS = 48
FAINT = 0.004
"""Deviation of the ratio that is let pass in a bed that is nearly dark."""
RUNS = [(name, "Sand Point") for name in (*hs.HOUSES, hs.DRAWN)]
RUNS += [(name, "Greensboro") for name in ("double-glass", "lean-to", hs.DRAWN)]
RUNS = RUNS if LONG else RUNS[:1]
SKY_SETTING = hh.Setting(divisions=1024, weight=5e-5)
DIRECT = hh.Setting(bounces=0)
BY_WALLS = hh.Setting(bounces=6, divisions=512, weight=2e-4, mirrorings=0)


_house = cache(hs.pair)


@cache
def _solved(name: str) -> bedlight.Solver:
    from tenhour.house import outside
    from tenhour.sky import dome as skydome

    sky = skydome.dome(1, 4)
    dome = outside.Dome(sky.sample_direction, sky.sample_solid_angle_sr, sky.sample_patch)
    return bedlight.solver(_house(name).scene, dome)


def _spread(suns: Array) -> Array:
    """A few suns far apart: each next one is the furthest from all before."""
    chosen = [int(suns[:, 2].argmax())]
    near = suns @ suns[chosen[0]]
    for _ in range(FEW_SUNS - 1):
        chosen.append(int(near.argmin()))
        near = np.maximum(near, suns @ suns[chosen[-1]])
    return suns[chosen]


def _theirs(name: str, year: hy.Year, points: Array) -> Array:
    """Irradiance at the points by Radiance, [hours, p]."""
    text = _house(name).radiance
    few = _spread(year.sun)
    with tempfile.TemporaryDirectory() as folder:
        at = Path(folder)
        sky = hh.sky_contributions(at, text, points, SKY_SETTING)
        direct = hh.sun_contributions(at, text, points, year.sun, DIRECT)
        straight = hh.sun_contributions(at, text, points, few, hh.Setting(bounces=0, mirrorings=0))
        by_walls = hh.sun_contributions(at, text, points, few, BY_WALLS) - straight
    nearest = (year.sun @ few.T).argmax(axis=1)
    from_sun = direct.T + by_walls.T[nearest]
    return np.asarray(
        year.sky @ sky[:, :145].T + year.ground[:, None] * sky[:, 145] + year.beam_w_m2[:, None] * from_sun
    )


def _ours(solved: bedlight.Solver, year: hy.Year) -> Array:
    light = bedlight.coefficients(solved, sun_nodes(year.latitude_deg, year.sun))
    beam = light.sun_weights(year.sun) @ (light.sun_direct_ratio[0] + light.sun_bounced_ratio[0]).T
    sky = light.sky_direct_sr[0] + light.sky_bounced_sr[0]
    ground = light.ground_direct_sr[0] + light.ground_bounced_sr[0]
    return np.asarray(year.sky @ sky.T + year.ground[:, None] * ground + year.beam_w_m2[:, None] * beam)


@pytest.mark.parametrize(("name", "place"), RUNS)
def test_monthly_ratio_of_inside_to_outside(name: str, place: str) -> None:
    """Every bed in every month within 5 %, nine points in ten within 10 %."""
    year, solved = hy.year(place), _solved(name)
    scene = _house(name).scene
    chosen = np.concatenate(
        [
            own[np.linspace(0, len(own) - 1, PER_BED).round().astype(int)]
            for own in (np.flatnonzero(solved.bed_index == k) for k in range(len(scene.beds)))
        ]
    )
    points = hs.to_compass(solved.point_m[chosen], scene.azimuth_deg)
    outside = hy.monthly(year.outside_w_m2, year.month)
    ours = hy.monthly(_ours(solved, year)[:, chosen], year.month) / outside[:, None]
    theirs = hy.monthly(_theirs(name, year, points), year.month) / outside[:, None]
    bed = solved.bed_index[chosen]
    for number, plane in enumerate(scene.beds):
        here, there = ours[:, bed == number].mean(axis=1), theirs[:, bed == number].mean(axis=1)
        off = here / there - 1
        print(f"{name}, {place}, {plane.name}: ratio {there.round(2)}, off {(100 * off).round(1)} %")
        assert np.all(np.abs(here - there) < np.maximum(0.05 * there, FAINT))
    assert np.mean(np.abs(ours - theirs) < np.maximum(0.10 * theirs, FAINT)) >= 0.9


def test_the_ratio_may_exceed_one_at_low_sun() -> None:
    """Upright glass gathers more than the open ground: in December the lean-to's beds get more than outdoors."""
    year, solved = hy.year("Sand Point"), _solved("lean-to")
    outside = hy.monthly(year.outside_w_m2, year.month)
    ratio = hy.monthly(_ours(solved, year).mean(axis=1), year.month) / outside
    assert ratio[11] > 1.2
    assert ratio[5] < 0.95
