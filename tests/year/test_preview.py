"""The light of one day, shown while a bed is dragged, against the year's light that follows it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from helpers_long import many
from helpers_world import sources
from tenhour.files.house.read import demo_house
from tenhour.year.inside.beds import beds_of, traced
from tenhour.year.inside.preview import Standing, beds_on_day
from tenhour.year.outside.sunlight import DULL, sunlight_at

WITHIN_FRAC = 0.035
"""What the module promises of bed means; a colour step of the page is a seventh of its scale."""


def test_coarse_light_of_a_day_is_that_of_the_year() -> None:
    house = demo_house()
    light = sunlight_at(house, sources())
    year = beds_of(house, light, *traced(house, light))
    standing = Standing.of(house, light)
    for day in many((14, 170), (14, 170, 331)):
        beds, standing = beds_on_day(house, standing, day)
        for coarse, fine in zip(beds, year, strict=True):
            assert coarse.name == fine.name
            assert abs(coarse.dli_mol_m2_d / fine.dli_mol_m2_d[day] - 1) < WITHIN_FRAC
            assert abs(coarse.dull_dli_mol_m2_d / fine.class_dli_mol_m2_d[day, DULL] - 1) < WITHIN_FRAC
            spread = fine.point_dli_mol_m2_d[day]
            assert spread.min() * 0.85 < coarse.point_dli_mol_m2_d.min()
            assert coarse.point_dli_mol_m2_d.max() < spread.max() * 1.15


def test_what_stands_of_a_house_serves_its_beds_wherever_they_are_dragged() -> None:
    house = demo_house()
    light = sunlight_at(house, sources())
    first = Standing.of(house, light)
    _, known = beds_on_day(house, first, 14)
    moved = replace(house, beds=(replace(house.beds[0], at_m=(0.3, 0.25)), *house.beds[1:]))
    assert Standing.of(moved, light, known) is known
    carried, _ = beds_on_day(moved, known, 14)
    anew, _ = beds_on_day(moved, Standing.of(moved, light), 14)
    for one, other in zip(carried, anew, strict=True):
        assert one.dli_mol_m2_d == pytest.approx(other.dli_mol_m2_d, rel=1e-9)
    wider = replace(house, dimensions_m={**house.dimensions_m, "width": house.dimensions_m["width"] + 0.5})
    assert Standing.of(wider, light, known) is not known
    dirty = replace(house, light_factor={"": 0.5})
    assert Standing.of(dirty, light, known) is not known
