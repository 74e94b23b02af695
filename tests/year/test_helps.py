"""What helps: changes that only insulate never cost heat or degrees, and pairs that beat their sum say why."""

from __future__ import annotations

from functools import lru_cache

import pytest

from helpers_world import plain, sources, world_of
from tenhour.words import heat as words
from tenhour.year.outside.hours import year_hours
from tenhour.year.warm.helps import MOST_IN_PAIRS, SUM_LEAST_K, SUM_LEAST_KWH, Helps, helps_of
from tenhour.year.warm.warmth import Winters

ONLY_INSULATE = {words.CURTAIN(), words.TIGHT(), words.BOARD()}


@lru_cache(maxsize=2)
def helps(air: str) -> Helps:
    house = plain(air=air)
    world = world_of(house)
    hours = year_hours(house, sources(), world.light, count=1)
    winters = Winters(house, world.light, world.warmth.found, world.warmth.states, hours)
    return helps_of(winters, None, with_pairs=True)


@pytest.mark.parametrize("air", ["night_set_degc = 5", ""], ids=["heated", "unheated"])
def test_what_only_insulates_never_costs_heat_or_degrees(air: str) -> None:
    found = {measure.measure: measure for measure in helps(air).measures}
    assert set(found) >= ONLY_INSULATE
    for name in ONLY_INSULATE:
        assert found[name].saved_kwh >= 0.0, name
        assert found[name].lowest_gain_k >= -0.05, name
        assert found[name].light_lost_frac == 0.0


def test_ten_pairs_are_no_better_than_their_sum_unless_it_is_said_why() -> None:
    pairs = helps("night_set_degc = 5").pairs
    assert len(pairs) == MOST_IN_PAIRS * (MOST_IN_PAIRS - 1) // 2
    for pair in pairs:
        saved, gain = pair.saved_kwh - pair.sum_saved_kwh, pair.lowest_gain_k - pair.sum_gain_k
        if pair.together != words.PAIR_MORE():
            assert saved <= SUM_LEAST_KWH, pair.measure
            assert gain <= SUM_LEAST_K, pair.measure


def test_measures_stand_by_what_the_grower_pays_for() -> None:
    heated, unheated = helps("night_set_degc = 5").measures, helps("").measures
    assert [m.saved_kwh for m in heated] == sorted((m.saved_kwh for m in heated), reverse=True)
    assert [m.lowest_gain_k for m in unheated] == sorted((m.lowest_gain_k for m in unheated), reverse=True)
