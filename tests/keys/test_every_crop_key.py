"""Every number of a crop file moves something, and low and high move no date: all tried in one sowing a house.

Each number is changed in a crop of its own that grows beside the one it comes from, under the same drawn seasons.
Answers are reckoned with the value; low and high are shown beside it (guide, "Your own crops").
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import date
from typing import Any

import pytest

from helpers_world import crops, plain, sources
from tenhour.files.crop import SECTIONS
from tenhour.model.crop import Crop
from tenhour.report.answers import answer_json
from tenhour.year.crops import growing
from tenhour.year.year import Year

AUGUST, OCTOBER, FEBRUARY = date(2026, 8, 5), date(2026, 10, 1), date(2027, 2, 20)
Change = Callable[[float], float]


def times(factor: float) -> Change:
    """The number times a factor."""
    return lambda value: value * factor


def plus(step: float) -> Change:
    """The number and so much."""
    return lambda value: value + step


DAYS, YIELD, MEALS = "days_median", "yield_kg_m2", "meals_m2_week_count"
ROWS: dict[str, tuple[str, Change, date, str, float, float]] = {
    "emergence.base_degc": ("spinach", plus(4), FEBRUARY, DAYS, 1.02, 1.6),
    "emergence.sum_degcday": ("spinach", times(2), OCTOBER, DAYS, 1.05, 1.6),
    "emergence.max_degc": ("spinach", plus(-18), OCTOBER, "verdict", 0, 0),
    "growth.temp_min_degc": ("spinach", plus(5), FEBRUARY, DAYS, 1.01, 1.6),
    "growth.temp_opt_degc": ("spinach", plus(6), FEBRUARY, DAYS, 1.05, 2.0),
    "growth.temp_max_degc": ("spinach", plus(-8), OCTOBER, DAYS, 1.01, 2.5),
    "growth.leaf_rate_per_d": ("baby-lettuce", times(0.6), AUGUST, DAYS, 1.01, 2.0),
    "growth.rgr_per_d": ("spinach", times(0.7), OCTOBER, DAYS, 1.05, 2.0),
    "growth.leaf_area_m2_g": ("spinach", times(0.7), OCTOBER, DAYS, 1.05, 2.0),
    "growth.extinction_ratio": ("spinach", times(0.7), OCTOBER, DAYS, 1.02, 1.6),
    "growth.seedling_mg": ("spinach", times(0.5), OCTOBER, DAYS, 1.05, 1.6),
    "growth.root_frac": ("spinach", times(2), OCTOBER, DAYS, 1.005, 1.4),
    "growth.transplant_leaves_count": ("lettuce-plants", times(1.6), OCTOBER, DAYS, 1.2, 3.0),
    "harvest.density_per_m2": ("spinach", times(2), OCTOBER, DAYS, 1.02, 1.8),
    "harvest.dry_matter_frac": ("spinach", times(1.3), OCTOBER, DAYS, 1.02, 1.6),
    "harvest.harvest_frac": ("spinach", times(0.7), OCTOBER, DAYS, 1.02, 1.6),
    "harvest.target_g": ("spinach", times(1.5), OCTOBER, DAYS, 1.03, 1.7),
    "harvest.regrow_frac": ("mizuna", times(0.5), AUGUST, YIELD, 1.02, 2.0),
    "harvest.leaves_count": ("baby-lettuce", times(1.4), AUGUST, "young_to", 0, 0),
    "harvest.salad_leaves_count": ("baby-lettuce", times(1.3), AUGUST, "needs_dli_mol_m2_d", 1.01, 3.0),
    "harvest.cut_g_m2": ("baby-lettuce", times(2), FEBRUARY, "harvest_from", 0, 0),
    "harvest.holds_degcday": ("spinach", times(0.5), OCTOBER, "keeps_to", 0, 0),
    "harvest.drawn_ratio": ("baby-lettuce", times(3), AUGUST, "young_to", 0, 0),
    "harvest.standing_g_m2": ("kale", times(1.5), OCTOBER, "moved_in", 0, 0),
    "harvest.pick_g_m2": ("kale", times(2), OCTOBER, "moved_in", 0, 0),
    "harvest.pick_frac": ("kale", times(0.6), OCTOBER, "moved_in", 0, 0),
    "tray.base_degc": ("pea-shoots", plus(4), OCTOBER, DAYS, 1.1, 2.5),
    "tray.sum_degcday": ("pea-shoots", times(1.5), AUGUST, DAYS, 1.3, 1.8),
    "tray.reserve_mass_g_m2": ("pea-shoots", times(1.5), OCTOBER, YIELD, 1.05, 1.5),
    "tray.light_mass_g_m2": ("pea-shoots", times(2), OCTOBER, YIELD, 1.05, 2.0),
    "tray.half_light_mol_m2": ("pea-shoots", times(0.3), OCTOBER, YIELD, 1.02, 1.6),
    "tray.dark_d": ("pea-shoots", times(3), OCTOBER, YIELD, 0.6, 0.99),
    "climate.kill_tender_degc": ("spinach", plus(6), OCTOBER, "frost", 0, 0),
    "climate.chill_degc": ("basil", plus(-8), AUGUST, "flags", 0, 0),
    "climate.most_mean_degc": ("spinach", plus(-10), OCTOBER, "verdict", 0, 0),
    "light.dli_target_mol_m2_d": ("spinach", times(1.5), FEBRUARY, "needs_dli_mol_m2_d", 1.05, 1.6),
    "light.stretch_base_degc": ("basil", plus(-6), AUGUST, "needs_dli_mol_m2_d", 0.5, 0.999),
    "bolting.photoperiod_h": ("spinach", plus(-2), OCTOBER, "flowers_from", 0, 0),
    "bolting.bulbing_photoperiod_h": ("onion-plants", plus(-4), OCTOBER, "flags", 0, 0),
    "bolting.heat_base_degc": ("leaf-lettuce", plus(-8), OCTOBER, "flowers_from", 0, 0),
    "bolting.heat_sum_degcday": ("leaf-lettuce", times(0.3), OCTOBER, "flags", 0, 0),
    "raising.tray_density_per_m2": ("lettuce-plants", times(3), AUGUST, DAYS, 1.01, 2.0),
    "use.meal_g": ("spinach", times(2), OCTOBER, MEALS, 0.4, 0.6),
}  # fmt: skip
WORDS = {
    "harvest.cuts_most_count": "only where a stand gives more cuts than that (tests/growth)",
    "tray.seed_g_m2": "the seed lists of season and feed",
    "use.thousand_seed_g": "the seed lists of season and feed",
    "climate.kill_degc": "only in a house that freezes (tests/plan and tests/growth, by the state a crop is in)",
    "climate.least_mean_degc": "only why asks for it",
    "climate.best_mean_degc": "read and why ask for it",
    "light.dli_min_mol_m2_d": "where no target is given (tests/plan)",
    "light.dli_most_mol_m2_d": "lamps ask for it",
    "light.photoperiod_max_h": "lamps ask for it",
    "bolting.cold_degc": "only where enough cold days come (tests/growth)",
    "bolting.cold_d": "only where enough cold days come (tests/growth)",
    "bolting.juvenile_leaves_count": "only where enough cold days come (tests/growth)",
    "sown.earliest_d": "a winter type's season of sowing (tests/plan, tests/year)",
    "sown.latest_d": "a winter type's season of sowing (tests/plan, tests/year)",
    "keeping.night_degc": "how a fruiting crop kept over winter stands (tests/year)",
    "keeping.rest_degc": "how a fruiting crop kept over winter stands (tests/year)",
    "keeping.dli_mol_m2_d": "how a fruiting crop kept over winter stands (tests/year)",
    "keeping.ripe_base_degc": "how a fruiting crop kept over winter stands (tests/year)",
    "keeping.ripe_sum_degcday": "how a fruiting crop kept over winter stands (tests/year)",
    "raising.transplant_d": "the garden's days in season",
    "raising.after_frost_d": "the garden's days in season",
}
KEYS = [f"{name}.{item.name}" for name, kind in SECTIONS.items() for item in fields(kind)]
SPREAD = "spread"


def _changed(crop: Crop, key: str, change: Change) -> Crop:
    section, name = key.split(".")
    part = getattr(crop, section)
    number = getattr(part, name)
    value = change(number.value)
    made = replace(number, value=value, low=min(number.low, value), high=max(number.high, value))
    return replace(crop, key=f"{crop.key}--{key}", **{section: replace(part, **{name: made})})


def _sharp(crop: Crop) -> Crop:
    """The same crop with every low and high at its value."""
    parts: dict[str, Any] = {}
    for section, part in crop.sections():
        numbers = {item.name: getattr(part, item.name) for item in fields(part)}
        sharp = {name: replace(n, low=n.value, high=n.value) for name, n in numbers.items() if n is not None}
        parts[section] = replace(part, **sharp)
    return replace(crop, key=f"{crop.key}--{SPREAD}", **parts)


class _Draws:
    """Draws of a changed crop are those of the crop it comes from."""

    @staticmethod
    def crc32(key: bytes) -> int:
        return zlib.crc32(key.split(b"--")[0])


@pytest.fixture(scope="module")
def sown() -> dict[tuple[date, str], dict[str, Any]]:
    """The first bed's answers by day and crop."""
    known = crops()
    based = sorted({row[0] for row in ROWS.values()})
    made = [_changed(known[row[0]], key, row[1]) for key, row in ROWS.items()]
    every = (*(known[name] for name in based), *made, *(_sharp(known[name]) for name in based))
    found = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(growing, "zlib", _Draws)
        house = plain(48.0, 16.0, air="day_set_degc = 12\nnight_set_degc = 3")
        year = Year(house, sources(), every)
        for day in (AUGUST, OCTOBER, FEBRUARY):
            answer = json.loads(json.dumps(answer_json(year.sow(day)), default=str))
            found |= {(day, crop["crop"]): crop for crop in answer["beds"][0]["crops"]}
    return found


def test_every_number_of_a_crop_file_has_a_row() -> None:
    assert not [key for key in KEYS if key not in ROWS and key not in WORDS]
    assert not [key for key in (*ROWS, *WORDS) if key not in KEYS]


@pytest.mark.parametrize("key", ROWS)
def test_the_number_moves_what_the_guide_says(sown: dict[tuple[date, str], dict[str, Any]], key: str) -> None:
    base, _, day, path, low, high = ROWS[key]
    before, after = sown[day, base][path], sown[day, f"{base}--{key}"][path]
    assert after != before, f"{path} stays {before}"
    if high:
        assert low <= after / before <= high, f"{path}: {before} -> {after}"


def test_low_and_high_move_no_answer(sown: dict[tuple[date, str], dict[str, Any]]) -> None:
    """Of sowings on the bed; the days a tray takes in the nursery have the spread of its warmth, and plants moved in
    grown are counted at the widest spacing, the low of the crop's density."""
    apart = {"crop": "", "rank_score": 0, "raising": None, "moved_in": ""}
    for (day, name), answer in sown.items():
        if name.endswith(f"--{SPREAD}"):
            plain_one = sown[day, name.split("--")[0]]
            assert {**answer, **apart} == {**plain_one, **apart}
