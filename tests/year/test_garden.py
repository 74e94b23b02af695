"""The last frost by chance reaches the garden's plants."""

from __future__ import annotations

from datetime import date

from helpers_world import crops, plain, world_of
from tenhour.year.answers.garden import LastFrost, bed_places, garden_of, last_frost
from tenhour.year.crops.grown import table_of


def test_tender_plants_wait_for_the_frost_of_one_spring_in_ten_and_hardy_ones_do_not() -> None:
    world, on = world_of(plain()), date(2027, 1, 10)
    frost = last_frost(world, on)
    assert frost is not None
    assert on < frost.half < frost.tenth
    table = table_of(world, [crops()["tomato-plants"], crops()["cabbage-plants"]])
    beds = [bed_places(table, bed) for bed in range(len(world.beds))]
    out = {plants.crop: plants.set_out for plants in garden_of(table.crops, frost, [], beds, on)}
    assert out["tomato-plants"] >= frost.tenth
    assert out["cabbage-plants"] < frost.half
    own = LastFrost(date(2027, 6, 1), date(2027, 6, 1))
    later = {plants.crop: plants.set_out for plants in garden_of(table.crops, own, [], beds, on)}
    assert later["tomato-plants"] >= own.tenth
