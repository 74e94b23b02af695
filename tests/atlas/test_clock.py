"""The hours of an atlas are those that one house counts, whatever the longitude."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from helpers_long import many
from tenhour.door.atlasrun import plain_house, standings_of
from tenhour.files.house.read import house_at
from tenhour.files.house.standard import standard_houses
from tenhour.files.packaged import normals, perez_sky, weather_hours
from tenhour.year.answers.atlas import Standing
from tenhour.year.outside.sunlight import Sources, sunlight_at
from tenhour.year.warm.warmth import lit_hours

PLACES = many(((57.5, 10.6),), ((57.5, 10.6), (57.5, 7.5), (57.5, 3.8), (-45.9, 170.5), (64.8, -147.7), (-3.0, -60.3)))
"""Clocks a quarter of an hour ahead of the sun, with it, and behind."""
BRIGHT_W_M2 = 100.0


@lru_cache(maxsize=1)
def house() -> Standing:
    return standings_of([plain_house(standard_houses()["tunnel"])])[0]


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_light_comes_in_the_hours_in_which_one_house_has_it(latitude: float, longitude: float) -> None:
    """Counted from the sun's own midnight, light of single hours was 10 % and more elsewhere."""
    sources = Sources(normals=normals(), perez=perez_sky(), hours=weather_hours())
    here = house_at(house().house, latitude, longitude, 50.0, "UTC")
    placed, own = house().lookup.at(here, sources), sunlight_at(here, sources, 30)
    np.testing.assert_array_equal(placed.shine.lit, lit_hours(own.sun.up))
    found, wanted = placed.shine.class_hours.ghi_w_m2, own.class_hours.ghi_w_m2
    apart = np.abs(found - wanted)[wanted > BRIGHT_W_M2] / wanted[wanted > BRIGHT_W_M2]
    assert apart.mean() < 0.005
    assert apart.max() < 0.03
