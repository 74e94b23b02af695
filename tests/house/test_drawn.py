"""Houses drawn at random, read from house files, against Radiance traced live: skies and single suns on every bed.

Any shape, way of facing, cover, window, rack of up to four tiers, box, neighbour and hills. Both programs get the same
house by separate ways: the one reads the house file, the other corners worked out in ``helpers_drawn``. Settings of
Radiance as in ``test_radiance``, some coarser: 8 bounces, 1024 divisions; doubling them moves no bed by 1 %. The sun's
second images count too (a gable of three panes is 5 % brighter by them in places). Kinds that chance does not draw are
written out in ``helpers_kinds``.
``TENHOUR_HOUSE_SEED`` draws others.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

import helpers_drawn as hd
import helpers_house as hh
import helpers_houses as hs
import helpers_kinds as hk
import helpers_rooms as hr
from helpers_long import LONG, many
from tenhour.files.house.read import house_from_text
from tenhour.house import bedlight, outside
from tenhour.sky import dome as skydome
from tenhour.year.inside.beds import in_the_open
from tenhour.year.inside.panes import pane_states
from tenhour.year.inside.scene import scene_of

pytest.importorskip("pyradiance")
pytestmark = pytest.mark.radiance

Array = hh.Array
SITE = (
    'schema = 1\n[site]\nlatitude_deg = 52\nlongitude_deg = 5\nelevation_m = 10\ntimezone = "UTC"\n'
    "ground_reflectance = 0.2\n"
)
GROUND = 0.2
WARM = np.full(12, 20.0)
SETTING = hh.Setting(bounces=8, divisions=1024, weight=5e-5, mirrorings=2)
PER_BED = many(6, 12)
SKY = skydome.dome(1, 4)
UNIFORM, OVERCAST = np.ones(145), (1.0 + 2.0 * SKY.direction[:, 2]) / 3.0
HEIGHTS_DEG = (12.0, 22.0, 35.0, 55.0)
SKIES, SUNS, POINT = 0.03, 0.05, 0.10
FAINT = 0.006
"""Off by so much of outdoors passes: what a bed gets of it by way of walls alone is as good as dark."""
FAINT_SUN = 0.015
"""The same for one sun: what a neighbour's edge or a second mirror leaves of it is no more than that."""
FIRST = int(os.environ.get("TENHOUR_HOUSE_SEED", "101"))
DRAWN = [f"drawn-{FIRST + k}" for k in range(40)]
NAMES = [*hd.NAMED, *hk.KINDS, *DRAWN] if LONG else ["twin-wall", "cold-frame"]


class Both(NamedTuple):
    """Light at some points [p, conditions] by tenhour and by Radiance, each over that outdoors, and their beds [p]."""

    what: tuple[str, ...]
    ours: Array
    theirs: Array
    bed: Array


def suns_of(house: hd.Drawn, seed: int) -> Array:
    """Four suns, three on the side of the house that its glass is on, one anywhere."""
    draw = np.random.default_rng(seed)
    ways = [house.azimuth_deg + 90.0 + float(draw.uniform(-70.0, 70.0)) for _ in HEIGHTS_DEG]
    ways[2] = float(draw.uniform(0.0, 360.0))
    return np.array([hr.sun_at(way, height) for way, height in zip(ways, HEIGHTS_DEG, strict=True)])


def both(name: str) -> Both:
    """Run both programs on one house."""
    drawn = hk.KINDS[name]() if name in hk.KINDS else hd.house(name)
    house = house_from_text(drawn.toml(SITE), "house.toml")
    suns = suns_of(drawn, sum(name.encode()))
    dome = outside.Dome(SKY.sample_direction, SKY.sample_solid_angle_sr, SKY.sample_patch)
    states = pane_states(house, WARM)
    light = bedlight.coefficients(
        bedlight.solver(scene_of(house), dome), hr.SunNodes(52.0, np.arange(len(suns)), suns), states.factors
    )
    free = in_the_open(house, light.point_m)
    picked = [np.flatnonzero((light.bed_index == k) & free) for k in range(len(house.beds))]
    chosen = np.concatenate([own[np.linspace(0, len(own) - 1, PER_BED).round().astype(int)] for own in picked])
    bed = light.bed_index[chosen]
    at = states.of_bed[bed], chosen
    our_sky = np.column_stack(
        [
            (light.sky_direct_sr + light.sky_bounced_sr)[at],
            (light.ground_direct_sr + light.ground_bounced_sr)[at],
        ]
    )
    # the nodes know no hills: those take whole suns away where nodes are weighed
    our_suns = (light.sun_direct_ratio + light.sun_bounced_ratio)[at] * outside.above_skyline(light.outside, suns)
    points, text = hs.to_compass(light.point_m[chosen], drawn.azimuth_deg), drawn.radiance()
    with tempfile.TemporaryDirectory() as folder:
        sky = hh.sky_contributions(Path(folder), text, points, SETTING)
        their_suns = hh.sun_contributions(Path(folder), text, points, suns, SETTING)
    skies = [np.append(sky_w, GROUND / np.pi * (SKY.horizontal_sr @ sky_w)) for sky_w in (UNIFORM, OVERCAST)]
    outdoors = [float(SKY.horizontal_sr @ sky_w) for sky_w in (UNIFORM, OVERCAST)]
    ours = np.column_stack([*(our_sky @ s / o for s, o in zip(skies, outdoors, strict=True)), our_suns / suns[:, 2]])
    theirs = np.column_stack([*(sky @ s / o for s, o in zip(skies, outdoors, strict=True)), their_suns / suns[:, 2]])
    return Both(("uniform", "overcast", *(f"sun {h:.0f}" for h in HEIGHTS_DEG)), ours, theirs, bed)


@pytest.mark.parametrize("name", NAMES)
def test_skies_and_suns_on_every_bed(name: str) -> None:
    """Bed means within 3 % under skies and 5 % under one sun, nine points in ten within 10 %."""
    run = both(name)
    for k, what in enumerate(run.what):
        faint, allowed = (FAINT_SUN, SUNS) if what.startswith("sun") else (FAINT, SKIES)
        for number in range(int(run.bed.max()) + 1):
            own = run.bed == number
            here, there = run.ours[own, k].mean(), run.theirs[own, k].mean()
            print(f"{name}, {what}, bed {number}: ratio {there:.3f}, off {100 * (here / max(there, 1e-9) - 1):+.1f} %")
            assert abs(here - there) < max(allowed * there, faint), what
        off = np.abs(run.ours[:, k] - run.theirs[:, k])
        assert np.mean(off < np.maximum(POINT * run.theirs[:, k], faint)) >= 0.9, what
