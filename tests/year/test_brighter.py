"""Cheap gains come from the house computed again, and are ranked by the light they add in the dark months."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from helpers_world import plain, world_of
from tenhour.files.covers import shipped_covers
from tenhour.model.house import Box, Layer
from tenhour.model.site import Skyline
from tenhour.plan.dates import MONTH_OF_DAY, month_means
from tenhour.year.answers.brighter import DARK_MONTHS, gains_of
from tenhour.year.inside.beds import beds_in, beds_moved, beds_under, ways_in


def test_every_kind_of_gain_is_found_and_ranked() -> None:
    house = plain()
    fleece = shipped_covers()["fleece"]
    front, back = house.beds
    shaded = replace(
        house,
        covers={**house.covers, "fleece": fleece},
        beds=(replace(front, layers=(Layer("fleece"),)), back),
        boxes=(Box("rack", (0.3, 1.1, 0.0), (4.4, 0.3, 1.5), 0.2),),
        site=replace(house.site, snow_months=(1, 2), skyline=Skyline((90.0, 180.0, 270.0), (5.0, 14.0, 5.0))),
    )
    gains = gains_of(world_of(shaded))
    changes = " / ".join(gain.change for gain in gains)
    for wanted in ("wash", "paint", "snow", "fleece", "hedge", "rack", "raise"):
        assert wanted in changes
    sizes = [gain.gain_dli_mol_m2_d for gain in gains]
    assert sizes == sorted(sizes, reverse=True)
    assert min(sizes) > 0.0
    lifted = [gain for gain in gains if "fleece" in gain.change]
    assert [gain.bed for gain in lifted] == ["front"]


def test_a_gain_is_the_difference_of_two_houses() -> None:
    house = plain()
    here = world_of(house)
    clean = replace(house, covers={key: replace(c, dirt_share=0.0) for key, c in house.covers.items()})
    there = world_of(clean)
    order = np.argsort(month_means(here.outdoors.dli_mol_m2_d), kind="stable")[:DARK_MONTHS] + 1
    dark = np.isin(MONTH_OF_DAY, order)
    washed = next(g for g in gains_of(here) if g.change == "wash the panes" and g.bed == "front")
    more = there.beds[0].dli_mol_m2_d[dark].mean() - here.beds[0].dli_mol_m2_d[dark].mean()
    # rays are spent where the light is, so cleaner panes have others: their scatter is all that parts the two
    assert washed.gain_dli_mol_m2_d == pytest.approx(more, rel=1e-3)


def test_what_is_not_traced_again_is_as_good_as_traced() -> None:
    """A lower skyline comes out the same; a moved bed's own shade and what it throws back stay where it stood, which
    counts for up to 0.6 % of its light (docs/method/speed.md)."""
    line = Skyline((90.0, 180.0, 270.0), (5.0, 14.0, 5.0))
    house = replace(plain(), site=replace(plain().site, skyline=line))
    light = world_of(house).light
    ways = ways_in(house, light)
    lower = replace(house, site=replace(house.site, skyline=replace(line, height_deg=(2.0, 7.0, 2.0))))
    for told, traced in zip(beds_under(ways, lower), beds_in(lower, light), strict=True):
        assert told.class_dli_mol_m2_d == pytest.approx(traced.class_dli_mol_m2_d, rel=1e-9)
    front, back = house.beds
    moves = [(0, replace(front, height_m=front.height_m + 0.4)), (1, replace(back, at_m=(back.at_m[0], 1.0)))]
    for (number, bed), told in zip(moves, beds_moved(ways, moves), strict=True):
        beds = tuple(bed if own == number else other for own, other in enumerate(house.beds))
        traced = beds_in(replace(house, beds=beds), light)[number]
        assert told.name == bed.name
        assert told.dli_mol_m2_d.mean() == pytest.approx(traced.dli_mol_m2_d.mean(), rel=0.006)
        assert told.beam_dli_mol_m2_d.mean() == pytest.approx(traced.beam_dli_mol_m2_d.mean(), rel=0.002)


def test_nothing_to_gain_from_what_is_already_done() -> None:
    house = plain(faces='[face.north]\ncover = "opaque"\nreflectance = 0.9\n')
    clean = replace(house, covers={key: replace(c, dirt_share=0.0) for key, c in house.covers.items()})
    changes = {gain.change for gain in gains_of(world_of(clean))}
    assert not any(word in change for change in changes for word in ("wash", "paint", "snow", "fleece", "hedge"))
