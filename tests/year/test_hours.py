"""A house's hours of weather, through its own place and light."""

import numpy as np
import pytest

from helpers_world import plain, sources
from tenhour.sky import split
from tenhour.year.hours import place_extremes, year_hours
from tenhour.year.sunlight import sunlight_at


@pytest.fixture(scope="module")
def here():
    house = plain()
    return house, sunlight_at(house, sources())


def test_months_of_a_house_are_those_it_shows(here):
    house, light = here
    found = year_hours(house, sources(), light, count=6)
    shown = split.month_mean(light.outdoors.temp_degc)
    assert split.month_mean(found.temp_degc.mean(axis=(0, 2))) == pytest.approx(shown, abs=1e-9)
    # 2.018 µmol per joule of global light (docs/data.md), the factor of every answer.
    dli = split.month_mean(found.ghi_w_m2.mean(axis=(0, 2))) * 0.0864 * 2.018
    assert dli == pytest.approx(split.month_mean(light.outdoors.dli_mol_m2_d), rel=1e-9)


def test_sun_is_up_in_the_same_hours(here):
    house, light = here
    found = year_hours(house, sources(), light, count=3)
    up = light.sun.up.reshape(365, 24, 4).any(axis=2)
    assert (found.dni_w_m2[:, ~up] == 0.0).all()
    assert (found.dhi_w_m2 <= found.ghi_w_m2 + 1e-9).all()


def test_a_heater_is_sized_below_every_ordinary_night(here):
    _, light = here
    cold = place_extremes(sources(), light)
    assert cold.lowest_mean_degc < cold.temp_996_degc < cold.temp_99_degc < np.min(light.outdoors.temp_degc) - 7.0
