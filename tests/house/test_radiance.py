"""Light on the beds of six houses against Radiance, traced live; of two in the short form.

Settings of Radiance are those of ``helpers_house.Setting``: 10 ambient bounces, 2048 ambient divisions without
interpolation (-aa 0), Russian roulette below a weight of 2e-5, suns of 0.533 degrees, their mirror images in panes as
virtual sources (-dr 1). That this is converged is shown by the first test, which doubles everything.
"""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

import helpers_house as hh
import helpers_houses as hs
import helpers_rooms as hr
from helpers_long import LONG, many
from tenhour.house import bedlight, outside
from tenhour.sky import dome as skydome

pytest.importorskip("pyradiance")
pytestmark = pytest.mark.radiance

Array = hh.Array
NAMES = (*hs.HOUSES, hs.DRAWN) if LONG else ("double-glass", hs.DRAWN)
PER_BED = many(6, 12)
"""Points per bed that Radiance is asked for."""
SUNS = np.array([hr.sun_at(155, 10), hr.sun_at(215, 18), hr.sun_at(180, 55)])
SKY = skydome.dome(1, 4)
OVERCAST = (1 + 2 * SKY.direction[:, 2]) / 3
BED_MEAN = 0.05
"""Bed means within 5 %."""
POINT = 0.10
"""Nine points in ten within 10 %."""
FAINT = 0.006
"""Or within so much of outdoors: a bed that gets a hundredth of the sun by way of three walls is as good as dark."""


class Both(NamedTuple):
    """Sky and ground [p, 146] and suns [p, 3] by tenhour and by Radiance, and the bed of each point."""

    sky: Array
    suns: Array
    their_sky: Array
    their_suns: Array
    bed: Array
    scene: bedlight.Scene


def _chosen(bed_index: Array) -> Array:
    picked = []
    for number in range(int(bed_index.max()) + 1):
        own = np.flatnonzero(bed_index == number)
        picked.append(own[np.linspace(0, len(own) - 1, min(PER_BED, len(own))).round().astype(int)])
    return np.concatenate(picked)


def sky_of(light: bedlight.BedLight) -> Array:
    """Irradiance per unit radiance of each sky patch, then of the ground [p, 146]."""
    ground = light.ground_direct_sr[0] + light.ground_bounced_sr[0]
    return np.column_stack([light.sky_direct_sr[0] + light.sky_bounced_sr[0], ground])


def solve(name: str) -> tuple[hs.Pair, bedlight.Solver]:
    """House and its solver with the sky of 145 patches."""
    house = hs.pair(name)
    return house, bedlight.solver(
        house.scene, outside.Dome(SKY.sample_direction, SKY.sample_solid_angle_sr, SKY.sample_patch)
    )


@cache
def both(name: str) -> Both:
    """Run both programs on one house."""
    house, solved = solve(name)
    light = hr.exact(solved, SUNS)
    chosen = _chosen(light.bed_index)
    points = hs.to_compass(light.point_m[chosen], house.scene.azimuth_deg)
    with tempfile.TemporaryDirectory() as folder:
        sky = hh.sky_contributions(Path(folder), house.radiance, points, hh.Setting())
        suns = hh.sun_contributions(Path(folder), house.radiance, points, SUNS, hh.Setting())
    own = sky_of(light)[chosen], hr.sun_total(light)[chosen]
    return Both(*own, sky, suns, light.bed_index[chosen], house.scene)


def means(values: Array, bed: Array) -> Array:
    """Mean of each bed."""
    return np.array([values[bed == k].mean(axis=0) for k in range(int(bed.max()) + 1)])


CONDITIONS = {
    "uniform sky, dark ground": np.append(np.ones(145), 0.0),
    "CIE overcast, dark ground": np.append(OVERCAST, 0.0),
    "uniform sky, ground 0.2": np.append(np.ones(145), 0.2),
    "uniform sky, ground 0.7": np.append(np.ones(145), 0.7),
    "CIE overcast, ground 0.2": np.append(OVERCAST, 0.2 * (SKY.horizontal_sr @ OVERCAST) / np.pi),
    "CIE overcast, ground 0.7": np.append(OVERCAST, 0.7 * (SKY.horizontal_sr @ OVERCAST) / np.pi),
}


def _agree(ours: Array, theirs: Array, bed: Array, outdoors: float, what: str) -> None:
    off = means(ours, bed) - means(theirs, bed)
    at_points = np.abs(ours - theirs)
    share = np.quantile(at_points / theirs, 0.9)
    print(
        f"{what}: beds {' '.join(f'{100 * o:+.1f}%' for o in off / means(theirs, bed))}, points p90 {100 * share:.1f}%"
    )
    assert np.all(np.abs(off) < np.maximum(BED_MEAN * means(theirs, bed), FAINT * outdoors)), what
    assert np.mean(at_points < np.maximum(POINT * theirs, FAINT * outdoors)) >= 0.9, what


@pytest.mark.parametrize("name", NAMES)
def test_skies_and_grounds(name: str) -> None:
    run = both(name)
    for what, radiance in CONDITIONS.items():
        outdoors = float(SKY.horizontal_sr @ radiance[:145])
        _agree(run.sky @ radiance, run.their_sky @ radiance, run.bed, outdoors, f"{name}, {what}")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("number", range(len(SUNS)))
def test_single_suns(name: str, number: int) -> None:
    run = both(name)
    ours, theirs = run.suns[:, number], run.their_suns[:, number]
    outdoors = float(SUNS[number, 2])
    _agree(ours, theirs, run.bed, outdoors, f"{name}, sun at {np.degrees(np.arcsin(outdoors)):.0f} degrees")


@pytest.mark.parametrize("name", NAMES)
def test_each_part_of_the_sky(name: str) -> None:
    """Not only sums: twelve parts of the sky, each with its direct, mirrored and bounced light on every bed."""
    run = both(name)
    azimuth = np.degrees(np.arctan2(SKY.direction[:, 0], SKY.direction[:, 1])) % 360
    wedge = (azimuth // 60).astype(int) % 6 * 2 + (SKY.direction[:, 2] > 0.5)
    sums = np.eye(12)[wedge]
    ours, theirs = means(run.sky[:, :145] @ sums, run.bed), means(run.their_sky[:, :145] @ sums, run.bed)
    whole = theirs.sum(axis=1, keepdims=True)
    assert np.abs(ours - theirs).max() < 0.01 * whole.max()
    big = theirs > 0.1 * whole
    assert np.abs(ours[big] / theirs[big] - 1).max(initial=0.0) < 0.08


@pytest.mark.long
@pytest.mark.parametrize(("name", "every"), [("double-glass", 2), ("window-room", 1)])
def test_radiance_is_converged(name: str, every: int) -> None:
    """Twice the divisions, four more bounces and a fifth of the weight limit move no bed mean by more than 2 % under
    skies and 3 % under single suns; every second point is enough for time's sake where light hardly scatters."""
    run = both(name)
    house = hs.pair(name)
    points = [bedlight.bed_points(b, house.scene.bed_points).point_m for b in house.scene.beds]
    chosen = _chosen(np.repeat(np.arange(len(points)), [len(p) for p in points]))
    some = np.arange(0, len(chosen), every)
    bed, finer = run.bed[some], hh.Setting(bounces=14, divisions=4096, weight=4e-6)
    with tempfile.TemporaryDirectory() as folder:
        at = hs.to_compass(np.concatenate(points)[chosen][some], house.scene.azimuth_deg)
        sky = hh.sky_contributions(Path(folder), house.radiance, at, finer)
        suns = hh.sun_contributions(Path(folder), house.radiance, at, SUNS, finer)
    for radiance in CONDITIONS.values():
        plain, fine = means(run.their_sky[some] @ radiance, bed), means(sky @ radiance, bed)
        assert plain == pytest.approx(fine, rel=0.02)
    assert means(run.their_suns[some], bed) == pytest.approx(means(suns, bed), rel=0.03, abs=0.001)
