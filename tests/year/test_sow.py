"""The sowing answer holds its definitions, and what growers know comes out of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
import pytest

from helpers_world import crops, demo_world, plain, world_of
from tenhour.files.house.household import usual_household
from tenhour.growth.places import standing
from tenhour.growth.run import run
from tenhour.growth.shapes import bed_climate, middle_draw
from tenhour.growth.stretch import stretch
from tenhour.model.house import Air
from tenhour.model.results import CropVerdict, SowAnswer
from tenhour.plan.choosing import with_short
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.sowing import LEGGY_SCORE
from tenhour.sky.spread import class_sequence
from tenhour.year.answers.fruiting import fruiting_verdict
from tenhour.year.answers.sow import sow_of, verdict_of
from tenhour.year.crops import growing
from tenhour.year.crops.grown import Table, table_of
from tenhour.year.crops.nursery import set_out_harvest
from tenhour.year.world import World

JANUARY = date(2027, 1, 15)
SOME = ("leaf-lettuce", "spinach", "kale", "radish", "mizuna", "basil", "tomato", "pea-shoots", "lettuce-plants")


@lru_cache(maxsize=1)
def table() -> Table:
    return table_of(demo_world(), [crops()[key] for key in SOME if crops()[key].way != "fruiting"])


def answer(on: date) -> SowAnswer:
    fruiting = [crop for crop in crops().values() if crop.way == "fruiting"]
    world = world_of(plain())
    return sow_of(world, [table_of(world, [c for c in crops().values() if c.way != "fruiting"])], fruiting, on=on)


def said(key: str, bed: int, on: date = JANUARY) -> CropVerdict:
    return verdict_of(table(), [crop.key for crop in table().crops].index(key), bed, on)


def test_every_crop_on_every_bed_has_one_verdict_and_one_sentence() -> None:
    found = answer(JANUARY)
    assert len(found.beds) == 2
    for bed in found.beds:
        assert sorted(crop.crop for crop in bed.crops) == sorted(crops())
        for crop in bed.crops:
            assert crop.sentence.endswith(".")
            assert "nan" not in crop.sentence
            assert "None" not in crop.sentence
            if crop.harvest_from is not None and crop.harvest_to is not None:
                assert JANUARY < crop.harvest_from <= crop.harvest_to


def test_ranked_by_what_the_bed_gives() -> None:
    good = [
        crop
        for crop in answer(date(2027, 4, 15)).beds[0].crops
        if crop.verdict == "sow" and crop.yield_g_m2_d is not None
    ]
    rates = [crop.yield_g_m2_d or 0.0 for crop in good]
    assert len(rates) > 5
    assert rates == sorted(rates, reverse=True)


def test_growth_runs_on_days_of_all_classes_in_one_order() -> None:
    """Each class equally often in any ten days, the same for all crops (definition)."""
    order = class_sequence(DAYS)
    for start in range(0, DAYS - 10):
        assert np.bincount(order[start : start + 10], minlength=5).tolist() == [2, 2, 2, 2, 2]
    climate = growing.bed_climates(demo_world())
    assert climate.dli_mol_m2_d[0, 100] == demo_world().beds[0].class_dli_mol_m2_d[100, order[100]]


def test_a_mean_day_is_too_quick() -> None:
    """Days of changing light give less than the same light spread evenly: 3-5 % more days (definition)."""
    world = demo_world()
    arrays = growing.crop_arrays([crops()["head-lettuce"]])
    real = growing.bed_climates(world)
    even = bed_climate(
        np.stack([bed.dli_mol_m2_d for bed in world.beds]), real.temp_day_degc, real.temp_night_degc, real.lit_h
    )
    sown = day_index(date(2027, 2, 15))
    took = [run(arrays, climate, [sown]).harvest_d.mean() for climate in (real, even)]
    assert took[0] > took[1]


def test_range_is_of_fifteen_seeded_draws_or_more_and_repeats() -> None:
    assert table().grown.harvest_d.shape[-1] >= 15
    again = table_of(demo_world(), table().crops)
    assert np.array_equal(table().grown.harvest_d, again.grown.harvest_d, equal_nan=True)
    other = table_of(demo_world(), table().crops, seed=1)
    assert not np.array_equal(table().grown.harvest_d, other.grown.harvest_d, equal_nan=True)


def test_a_crop_grows_the_same_whichever_others_are_asked_for() -> None:
    """Seasons are shared by the crops of a draw; each crop's own numbers are drawn for itself."""
    alone = table_of(demo_world(), [crops()["kale"]])
    row = [crop.key for crop in table().crops].index("kale")
    assert np.array_equal(alone.grown.harvest_d[0], table().grown.harvest_d[row], equal_nan=True)
    spread = table().draws.rgr_factor
    assert not np.array_equal(spread[0], spread[1])
    assert np.allclose(np.sort(spread[0]), np.sort(spread[1]))


def test_nothing_is_grown_for_the_day_asked() -> None:
    """The days of sowing are fixed days of the year: what is said of any day is read between them."""
    days = table().days
    for day in (20, 100, 222):
        left = day - day % 15
        low, high = sorted((left + days[0, 1, left], left + 15 + days[0, 1, left + 15]))
        assert low <= day + days[0, 1, day] <= high


def test_season_spread_is_smaller_than_day_to_day_spread() -> None:
    """Light drawn for a whole crop varies less than single days do."""
    world = demo_world()
    classes = world.outdoors.class_dli_mol_m2_d[:, :5]
    day_sd = (classes.std(axis=1) / classes.mean(axis=1)).mean()
    season = growing.season_sd_frac(world).mean()
    assert 0.05 < season < 0.6 * day_sd


def test_missing_is_need_less_the_first_four_weeks() -> None:
    for number in range(len(table().crops)):
        found = verdict_of(table(), number, 1, JANUARY)
        if found.needs_dli_mol_m2_d is None:
            continue
        missing = max(found.needs_dli_mol_m2_d - table().first_dli_mol_m2_d[number, 1, 14], 0.0)
        assert found.missing_dli_mol_m2_d == pytest.approx(missing)


def test_need_keeps_seedlings_below_leggy() -> None:
    """At the light a crop needs, stretch is at most 45 at this bed's temperature (definition)."""
    grown = table().grown
    for number, crop in enumerate(table().crops):
        need = table().needs_dli_mol_m2_d[number, 0, 0]
        if not np.isfinite(need) or not crop.grows_by_carbon or np.isnan(grown.emergence_d[number, 0, 0]):
            continue
        temp, dif = (float(part[number, 0, 0]) for part in (grown.early_temp_degc, grown.early_dif_k))
        assert stretch(need, temp, dif).score <= LEGGY_SCORE + 1e-6


def test_a_set_point_bounds_the_air_and_stated_means_replace_it() -> None:
    heated = world_of(plain(air="day_set_degc = 15\nnight_set_degc = 9"))
    assert heated.air.day_degc.min() >= 15.0
    assert heated.air.night_degc.min() >= 9.0
    stated = world_of(plain(air="day_degc = 21\nnight_degc = 10"))
    assert stated.air.day_degc.mean() == pytest.approx(21.0, abs=1e-6)
    assert stated.air.night_degc.mean() == pytest.approx(10.0, abs=1e-6)
    unheated = world_of(plain(air=""))
    assert (unheated.air.night_degc <= heated.air.night_degc).all()
    # within half a day's swing of the outdoor mean: common practice for single glass without heat
    assert unheated.air.night_degc.min() == pytest.approx(unheated.outdoors.temp_degc.min(), abs=4.0)


def test_cold_nights_lie_below_mean_nights_or_are_the_users_own() -> None:
    unheated = world_of(plain(air=""))
    assert (unheated.air.cold_night_degc < unheated.air.night_degc).all()
    own = world_of(replace(plain(air=""), air=Air(night_min_degc=(-7.0,) * 12)))
    assert np.allclose(own.air.cold_night_degc, -7.0)


def test_lit_hours_are_those_with_the_sun_up() -> None:
    climate = growing.bed_climates(demo_world())
    assert np.allclose(climate.lit_h[0], demo_world().outdoors.daylength_h)


def test_trays_take_as_long_on_every_bed_whatever_the_light() -> None:
    """Seed-fed crops: warmth sets the time (Jones-Baumgardt et al. 2020: 11-12 d whatever the lamps)."""
    world = world_of(plain(air="day_degc = 20\nnight_degc = 16"))
    found = table_of(world, [crops()["kale-microgreens"]]).days
    assert world.beds[0].dli_mol_m2_d.mean() != pytest.approx(world.beds[1].dli_mol_m2_d.mean(), rel=0.01)
    assert found[0, 0, 0] == found[0, 1, 0]


def test_warm_crops_are_refused_in_a_cold_house() -> None:
    assert said("basil", 0).verdict in ("too-cold", "not-here")
    fruit = fruiting_verdict(demo_world(), crops()["tomato"], 0, JANUARY)
    assert fruit.harvest_from is None
    assert fruit.verdict in ("too-cold", "not-here", "needs-lamps")


def winter_house() -> World:
    """48° N, 21 °C by day and 10 °C by night, on beds that get about 2-5 mol in December (common practice)."""
    return world_of(plain(lat=48.1, lon=11.6, elev=520.0, air="day_degc = 21\nnight_degc = 10", cover="twin-wall-10"))


def test_winter_salad_sown_in_high_summer_waits_for_cooler_soil() -> None:
    """Claytonia does not come up above about 18 °C (common practice); the days are short enough again in September."""
    found = verdict_of(table_of(demo_world(), [crops()["claytonia"]]), 0, 0, date(2027, 7, 10))
    assert found.verdict == "too-hot"
    assert "the seed fails above about 18 °C" in found.sentence
    assert "from 2027-08" in found.sentence or "from 2027-09" in found.sentence


def test_salad_sown_in_early_december_is_drawn_and_hardly_past_its_first_leaf_after_a_month() -> None:
    """Common practice: without lamps near 48° N, at 21/10 °C on 2-5 mol, greens and radish stand still and stretch."""
    world = winter_house()
    light = world.beds[1].dli_mol_m2_d[np.arange(335, 365)].mean()
    assert 2.0 < light < 5.0
    keys = ("leaf-lettuce", "romaine", "arugula", "mizuna", "spinach", "radish")
    climate = growing.bed_climates(world)
    sown = day_index(date(2026, 12, 5))
    found = growing.grow([crops()[key] for key in keys], climate, np.array([sown]), middle_draw())
    photo = run(growing.crop_arrays([crops()[key] for key in keys]), climate, [sown], snapshot_d=[31])
    assert photo.snapshots is not None
    leaves = photo.snapshots.leaves_count[0, :, 1, 0, 0]
    assert (leaves < 2.5).all(), dict(zip(keys, leaves, strict=True))
    assert (found.stretch_score[:, 1, 0] >= LEGGY_SCORE).all()


def test_plants_set_out_grown_before_winter_keep_giving_slowly() -> None:
    """Common practice: full-size hardy plants give slow pickings all through the dark."""
    world = winter_house()
    climate = growing.bed_climates(world)
    arrays = growing.crop_arrays([crops()["kale"], crops()["celery"]])
    found = standing(arrays, climate, [day_index(date(2026, 12, 1))], horizon_d=84)
    assert found.week_yield_g_m2 is not None
    total = found.week_yield_g_m2[:, :, 1, 0, 0].sum(axis=0)
    assert (total > 150.0).all()
    assert (total < 4000.0).all()


def test_a_week_lost_in_september_costs_at_least_two_weeks_of_harvest() -> None:
    """Common practice: autumn sowings race the dark."""
    world = world_of(plain(lat=50.0, lon=8.0, elev=100.0, air="day_degc = 15\nnight_degc = 8"))
    arrays = growing.crop_arrays([crops()["head-lettuce"]])
    climate = growing.bed_climates(world)
    sown = [day_index(date(2026, 9, day)) for day in (8, 15, 22, 29)]
    days = run(arrays, climate, sown).harvest_d[0, 1, :, 0]
    ready = np.array([0, 7, 14, 21]) + days
    assert np.nanmax(np.diff(ready)) >= 14.0


def test_a_longer_dark_makes_the_same_sowing_slower() -> None:
    south = table_of(world_of(plain(lat=46.0, lon=11.0, elev=250.0)), [crops()["spinach"]])
    north = table_of(world_of(plain(lat=57.0, lon=15.0, elev=150.0)), [crops()["spinach"]])
    assert south.days[0, 0, 14] < north.days[0, 0, 14]


def test_young_leaf_is_cut_before_full_size_and_weighs_less() -> None:
    """Baby leaf (8-10 cm, Gagne & Mattson 2019) comes before the salad cut, and of every crop before its full size."""
    some = [crops()[key] for key in ("baby-lettuce", "arugula", "leaf-lettuce", "spinach")]
    grown = table_of(demo_world(), some)
    days = range(0, 365, 5)
    young, full = (np.stack([on(day) for day in days], axis=2) for on in (grown.young_on_d, grown.harvest_on_d))
    first = np.where(np.isfinite(young), young, np.nan)
    for number, crop in enumerate(some):
        if crop.key == "spinach":  # cut at a mass, with no smaller size anyone gives
            assert np.isnan(first[number]).all()
            continue
        both = np.isfinite(first[number]) & np.isfinite(full[number])
        assert (first[number][both] <= full[number][both]).all(), crop.key
        assert np.nanmedian(full[number][both] - first[number][both]) > 5.0, crop.key
        assert np.nanmax(grown.young_yield_g_m2[number] / grown.yield_g_m2[number]) <= 1.0, crop.key


@pytest.mark.parametrize("key", ["kale", "leaf-lettuce"])
def test_plants_set_out_are_ready_when_raising_them_said_so(key: str) -> None:
    """A log that tells the setting out alone gives the dates of the sowing in the nursery that is set out that day."""
    row = [crop.key for crop in table().crops].index(key)
    raised = table().raised or table().raised_well
    assert raised is not None
    place, compared = raised.rows.index(row), 0
    for sown in range(30, 240, 30):
        low, stay = raised.days_low[place, 0, sown], raised.set_out_d[place, sown]
        if np.isfinite(low) and np.isfinite(stay):
            out = date(2026, 1, 1) + timedelta(days=round(sown + float(stay)))
            found = set_out_harvest(table(), row, 0, out)
            assert found is not None
            assert found[0] is not None
            assert abs((found[0] - (date(2026, 1, 1) + timedelta(days=round(sown + float(low))))).days) <= 3
            compared += 1
    assert compared >= 3


def test_the_diary_leaves_out_what_would_hold_a_bed_long_before_the_dark_it_is_for() -> None:
    found = answer(date(2027, 2, 10))
    assert found.darkest is not None
    row = found.diary[-1]
    early = row.on.replace(month=5, day=1)  # 234 days before the darkest one

    def moved(crop: CropVerdict) -> CropVerdict:
        return replace(crop, sow_by=early) if crop.crop == row.crop else crop

    beds = tuple(replace(bed, crops=tuple(moved(crop) for crop in bed.crops)) for bed in found.beds)
    again = with_short(replace(found, beds=beds))
    assert row.crop not in {one.crop for one in again.diary}
    liking = with_short(replace(found, beds=beds), replace(usual_household(), likes=(row.crop,)))
    assert (row.crop, early) in {(one.crop, one.on) for one in liking.diary}
