"""The light of one day, shown while a bed is dragged, against the year's light that follows it."""

from __future__ import annotations

from helpers_world import sources
from tenhour.files.house.read import demo_house
from tenhour.year.inside.beds import beds_of, traced
from tenhour.year.inside.preview import beds_on_day
from tenhour.year.outside.sunlight import DULL, sunlight_at

WITHIN_FRAC = 0.035
"""What the module promises of bed means; a colour step of the page is a seventh of its scale."""


def test_coarse_light_of_a_day_is_that_of_the_year() -> None:
    house = demo_house()
    light = sunlight_at(house, sources())
    year = beds_of(house, light, *traced(house, light))
    for day in (14, 170, 331):
        for coarse, fine in zip(beds_on_day(house, light, day), year, strict=True):
            assert coarse.name == fine.name
            assert abs(coarse.dli_mol_m2_d / fine.dli_mol_m2_d[day] - 1) < WITHIN_FRAC
            assert abs(coarse.dull_dli_mol_m2_d / fine.class_dli_mol_m2_d[day, DULL] - 1) < WITHIN_FRAC
            spread = fine.point_dli_mol_m2_d[day]
            assert spread.min() * 0.85 < coarse.point_dli_mol_m2_d.min()
            assert coarse.point_dli_mol_m2_d.max() < spread.max() * 1.15
