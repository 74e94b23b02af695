"""What must hold in any house: order, bounds, mirror images, turning, night."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

import helpers_balance as balance
import helpers_rooms as hr
from helpers_long import many
from tenhour.cover import optics
from tenhour.house import bedlight, outside, shapes

QUICK = {"patches": 150, "rays": 20_000}
ROUND = outside.Dome(*bedlight.plain_dome(900))
COMMON = settings(
    deadline=None, derandomize=True, max_examples=many(2, 6), phases=[Phase.explicit, Phase.reuse, Phase.generate]
)
CLEAR = st.builds(optics.clear_pane, st.floats(1.4, 1.6), st.floats(0.8, 1.0), st.integers(1, 3), st.floats(0.0, 1.0))


def _near(value: float) -> object:
    """Equal but for the sampling of a coarse run: 3 % or 0.3 % of outdoors, whichever is more."""
    return pytest.approx(value, rel=0.03, abs=0.003)


@st.composite
def houses(draw: st.DrawFn) -> bedlight.Scene:
    """A house of any plain shape with panes, a box and two beds in it."""
    shape = draw(st.sampled_from(["gable", "lean-to", "box", "hoop"]))
    length, width = draw(st.floats(2.0, 8.0)), draw(st.floats(1.8, 5.0))
    eaves, rise = draw(st.floats(1.2, 2.4)), draw(st.floats(0.3, 1.5))
    size = {"length": length, "width": width, "eaves": eaves, "ridge": eaves + rise}
    if shape == "lean-to":
        size = {"length": length, "width": width, "front": eaves, "back": eaves + rise}
    if shape == "box":
        size.pop("ridge")
    if shape == "hoop":
        size["eaves"] = 0.0
    names = [n for n in shapes.faces_m(shape, size) if n != "floor"]
    glazed = {n: 0 for n in names if draw(st.booleans())} or {names[0]: 0}
    beds = (
        bedlight.BedPlane("south", (0.1 * length, 0.25 * width), (0.9 * length, 0.45 * width), 0.2),
        bedlight.BedPlane("north", (0.1 * length, 0.55 * width), (0.9 * length, 0.75 * width), 0.4),
    )
    box = shapes.Block(
        "box", (0.4 * length, 0.47 * width, 0.0), (0.5 * length, 0.53 * width, 0.7), draw(st.floats(0.0, 0.8))
    )
    return bedlight.Scene(
        hr.skin(shape, size, glazed, draw(st.floats(0.0, 0.85))),
        (),
        (box,),
        beds,
        hr.panes_of(draw(CLEAR)),
        azimuth_deg=draw(st.floats(0.0, 360.0)),
        **QUICK,  # type: ignore[arg-type]
    )


SUNS = st.tuples(st.floats(0.0, 360.0), st.floats(1.0, 70.0))


@COMMON
@given(scene=houses(), sun=SUNS)
def test_light_is_kept_in_any_house(scene: bedlight.Scene, sun: tuple[float, float]) -> None:
    solved = bedlight.solver(scene, ROUND)
    for account in (balance.sky_balance(solved, np.ones(1), 0.3), balance.sun_balance(solved, hr.sun_at(*sun))):
        assert abs(account.error_frac) < 0.005


@COMMON
@given(scene=houses())
def test_no_bed_is_brighter_than_a_world_of_light(scene: bedlight.Scene) -> None:
    """With sky and ground of radiance 1 all round, nothing inside can exceed pi, however it reflects."""
    light = bedlight.daylight(scene, ROUND, hr.LATITUDE_DEG, np.zeros((0, 3)))
    ground = light.ground_direct_sr[0] + light.ground_bounced_sr[0]
    whole = hr.sky_total(light) + ground / np.pi
    assert whole.max() <= 1.0 + 1e-6
    assert whole.min() >= 0.0


@COMMON
@given(scene=houses(), dirt=st.floats(0.01, 0.9), sun=SUNS)
def test_more_dirt_never_gives_more_light(scene: bedlight.Scene, dirt: float, sun: tuple[float, float]) -> None:
    suns = np.array([hr.sun_at(*sun)])
    names = dict.fromkeys((s.name for s in scene.surfaces), 1.0 - dirt)
    light = hr.exact(bedlight.solver(scene, ROUND), suns, ({}, names))
    assert np.all(hr.sky_total(light, 1) <= hr.sky_total(light, 0) + 1e-12)
    assert np.all(hr.sun_total(light, 1) <= hr.sun_total(light, 0) + 1e-12)


@COMMON
@given(scene=houses(), whiter=st.floats(0.05, 0.5))
def test_whiter_walls_never_give_less_light(scene: bedlight.Scene, whiter: float) -> None:
    dull = bedlight.daylight(scene, ROUND, hr.LATITUDE_DEG, np.zeros((0, 3)))
    painted = tuple(s._replace(refl_frac=min(0.95, s.refl_frac + whiter)) for s in scene.surfaces)
    bright = bedlight.daylight(replace(scene, surfaces=painted), ROUND, hr.LATITUDE_DEG, np.zeros((0, 3)))
    assert np.all(hr.sky_total(bright) >= hr.sky_total(dull) - 1e-12)
    assert np.all(bright.ground_bounced_sr >= dull.ground_bounced_sr - 1e-12)


def _mirrored(scene: bedlight.Scene) -> bedlight.Scene:
    """East and west exchanged: x becomes length - x, and the compass follows."""
    length = max(float(s.vertices_m[:, 0].max()) for s in scene.surfaces)

    def flip(low: tuple[float, ...], high: tuple[float, ...]) -> tuple[tuple[float, ...], tuple[float, ...]]:
        return (length - high[0], *low[1:]), (length - low[0], *high[1:])

    surfaces = tuple(
        s._replace(vertices_m=np.column_stack([length - s.vertices_m[:, 0], s.vertices_m[:, 1:]]))
        for s in scene.surfaces
    )
    blocks = []
    for block in scene.blocks:
        low, high = flip(block.low_m, block.high_m)
        blocks.append(block._replace(low_m=low, high_m=high))
    beds = []
    for bed in scene.beds:
        low, high = flip(bed.low_m, bed.high_m)
        beds.append(bed._replace(low_m=low, high_m=high))
    return replace(
        scene,
        surfaces=surfaces,
        blocks=tuple(blocks),
        beds=tuple(beds),
        azimuth_deg=(180.0 - scene.azimuth_deg) % 360.0,
    )


@COMMON
@given(scene=houses(), sun=SUNS)
def test_a_mirror_image_has_mirror_image_light(scene: bedlight.Scene, sun: tuple[float, float]) -> None:
    """House and sun mirrored in the north-south line: the same bed means."""
    here = hr.exact(bedlight.solver(scene, ROUND), np.array([hr.sun_at(*sun)]))
    there = hr.exact(bedlight.solver(_mirrored(scene), ROUND), np.array([hr.sun_at(360.0 - sun[0], sun[1])]))
    for number in range(2):
        own = here.bed_index == number
        assert hr.sky_total(there)[own].mean() == _near(hr.sky_total(here)[own].mean())
        assert hr.sun_total(there)[own].mean() == _near(hr.sun_total(here)[own].mean())


@COMMON
@given(scene=houses(), sun=SUNS, turn=st.floats(1.0, 359.0))
def test_turning_house_and_sun_together_changes_nothing(
    scene: bedlight.Scene, sun: tuple[float, float], turn: float
) -> None:
    turned = replace(scene, azimuth_deg=(scene.azimuth_deg + turn) % 360.0)
    here = hr.exact(bedlight.solver(scene, ROUND), np.array([hr.sun_at(*sun)]))
    there = hr.exact(bedlight.solver(turned, ROUND), np.array([hr.sun_at(sun[0] + turn, sun[1])]))
    for number in range(2):
        own = here.bed_index == number
        assert hr.sky_total(there)[own].mean() == _near(hr.sky_total(here)[own].mean())
        assert hr.sun_total(there)[own].mean() == _near(hr.sun_total(here)[own].mean())
