"""Dated winter sowings in unheated tunnels, from a house file to days: what holds, and how far the rest is off."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from growth_trials import shipped_model
from growth_winter import SIZE_GUESSED, Found, Winter, grow, kilograms, load_winters, load_yields

WINTERS = load_winters()


@cache
def found(name: str) -> Found:
    """What the model says of a row: those with a date need three places, all of them seventeen."""
    return grow(next(t for t in WINTERS if t["id"] == name), shipped_model(young=False))


def points(group: str | None = None) -> list[Winter]:
    return [t for t in WINTERS if t["kind"] == "point" and group in (None, t["group"])]


def test_ranges_hold_eight_in_ten_within_what_so_few_rows_can_say() -> None:
    # the range printed is from 10 to 90 % of draws; two standard errors of a share of 0.8 of eleven rows
    share = np.mean([found(t["id"]).holds(t) for t in points()])
    assert share >= 0.8 - 2 * np.sqrt(0.8 * 0.2 / len(points()))


def test_errors_by_group() -> None:
    # what is asked is 20 % in tunnels: dark and late winter hold it, autumn does not: young leaf is a third too soon,
    # and one October sowing stands between its peaks before the dark and after it (8 of the 22 points of all). Nights
    # under fleece as cold as growers read them made all of 20 % into 22
    off = {
        group: np.mean([abs(found(t["id"]).off(t)) for t in points(group)])
        for group in ("autumn", "dark", "late winter", None)
    }
    assert off["dark"] <= 0.15
    assert off["late winter"] <= 0.20
    assert off["autumn"] <= 0.40
    assert off[None] <= 0.23


def test_no_group_is_biased_beyond_its_own_standard_error() -> None:
    # twice the standard error of a mean over sources: six rows of three sources, four of two
    for group in ("autumn", "dark", None):
        rows = points(group)
        off = np.array([found(t["id"]).off(t) for t in rows])
        spread = off.std(ddof=1) / np.sqrt(len({t["source"] for t in rows}))
        assert abs(off.mean()) <= 2 * spread, group


def test_rows_whose_crop_is_guessed_agree_as_well_as_those_a_fit_may_use() -> None:
    held = [t for t in points() if t["guessed"] != SIZE_GUESSED and t["crop"] == "spinach"]
    assert np.mean([abs(found(t["id"]).off(t)) for t in held]) <= 0.25  # two sowings of one grower


@pytest.mark.long
def test_windows_hold_as_often_as_they_did() -> None:
    # "harvested in October and November": half of them; the other half is ready before the window opens
    rest = [t for t in WINTERS if t["kind"] != "point"]
    assert sum(found(t["id"]).holds(t) for t in rest) >= len(rest) / 2


@pytest.mark.parametrize("name", ["kale-season", "cornsalad-autumn", "cornsalad-spring"])
def test_kilograms_are_within_half_as_much_again_of_the_published_ones(name: str) -> None:
    # Heyduck, VanLeeuwen & Guldan 2020 (abstract): kale, 5.57 kg m⁻² a season in four harvests; Fabek et al. 2011
    # (abstract): corn salad on floating trays at 2000 plants per m², 80 days at 12.7 °C and 37 days at 23.4 °C
    row = next(t for t in load_yields() if t["id"] == name)
    assert 1 / 1.5 <= kilograms(row, shipped_model(young=False))[0] / row.number("published_kg_m2") <= 1.5


def test_every_row_says_what_is_guessed() -> None:
    for t in WINTERS:
        assert t["guessed"] in {SIZE_GUESSED, "house", "house and day", "crop and house"}
        assert t["source"], t["id"]
        assert t["where"], t["id"]
        assert t["mark"] in {"read", "second-hand"}
