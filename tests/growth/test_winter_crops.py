"""Crops winter growers expect: their dates beside common practice, and what is said of their flower and frost."""

from __future__ import annotations

from functools import cache

import pytest
from growth_trials import shipped_model
from growth_winter import climate_of

from tenhour.files.crop import load_crops
from tenhour.growth.places import steady_climate
from tenhour.growth.run import run
from tenhour.growth.seedfed import seed_fed

CROPS = {crop.key: crop for crop in load_crops()}
MODEL = shipped_model(young=False)


@cache
def days(key: str, sow_doy: int) -> float:
    """Days from sowing in an unheated tunnel at 51.5° N (an invented house)."""
    return float(run(MODEL.crops[key], climate_of("51.5", "-1.0", "", "film-1", False), [sow_doy]).harvest_d.item())


@pytest.mark.parametrize(
    ("key", "sow_doy", "early", "late"),
    [
        (
            "winter-broad-bean",
            287,
            470,
            565,
        ),  # sown in October: June outdoors, from April under cover (garden pages, read)
        ("winter-pea", 308, 485, 545),  # sown in November, picked in May and June (common practice)
        ("winter-garlic", 287, 500, 580),  # planted in October, lifted in June and July (common practice)
        ("spring-cabbage", 236, 400, 510),  # sown late in August, cut from February (greens) to May (common practice)
    ],
)
def test_what_overwinters_small_crops_in_spring_and_summer(key: str, sow_doy: int, early: float, late: float) -> None:
    assert early <= sow_doy + days(key, sow_doy) <= late


def test_chicons_are_forced_in_three_to_five_weeks_of_dark() -> None:
    # 3-4 weeks at 13-16 °C (a seed house, 2014), 4-5 weeks (a garden page), three weeks (Osvald & Znidarcic); read
    dark = steady_climate(0.0, [13.0, 16.0], [13.0, 16.0], 0.0)
    weeks = seed_fed(MODEL.trays["chicory-chicons"], dark, [320]).harvest_d.ravel() / 7
    assert 3.0 <= weeks[1] < weeks[0] <= 5.0


@pytest.mark.parametrize(
    "key",
    ["winter-lettuce", "chervil", "land-cress", "sorrel", "radicchio", "spring-cabbage", "minutina", "hardy-scallion"],
)
def test_winter_crops_say_what_frost_they_stand_and_what_brings_their_flower(key: str) -> None:
    crop = CROPS[key]
    assert crop.climate.kill_tender_degc is not None
    assert crop.climate.kill_degc.value < crop.climate.kill_tender_degc.value
    assert crop.bolting is not None
    assert crop.harvest is not None
    assert crop.harvest.holds_degcday is not None
