"""Dull days, gloomy weeks and whole seasons: three spreads that must not be mixed up."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_sky import Site, dull_day_ratio, gloomy_week_of
from tenhour.sky import split, spread


@pytest.fixture(scope="module")
def site():
    return Site(48.0, -122.0)


def class_light(site: Site) -> np.ndarray:
    return site.kt_day[:, None] * site.ratio * site.h0[:, None]


def dull(site: Site) -> np.ndarray:
    return dull_day_ratio(site.climate, site.kt_day, site.h0)


def test_dull_day_lies_between_the_two_dullest_classes(site):
    found = dull(site)
    assert (found > site.ratio[:, 0]).all()
    assert (found < site.ratio[:, 1]).all()
    # Stations of the study, October-March: one day in five stays below 0.55-0.67 of the mean.
    assert 0.5 < found[[0, 330, 350]].mean() < 0.75


def test_one_drawn_day_in_five_is_duller(site):
    days = spread.drawn_days(class_light(site))
    below = days < (dull(site) * site.kt_day * site.h0)[None, :]
    assert split.month_mean(below.mean(axis=0)) == pytest.approx(0.2, abs=0.02)


def test_drawn_days_keep_the_mean_and_the_correlation(site):
    days = spread.drawn_days(class_light(site))
    assert split.month_mean(days.mean(axis=0)) == pytest.approx(
        split.month_mean(class_light(site).mean(axis=1)), rel=0.04
    )
    deviation = days / days.mean(axis=0) - 1
    lag = (deviation[:, 1:] * deviation[:, :-1]).mean() / (deviation**2).mean()
    assert lag == pytest.approx(spread.DAY_TO_DAY_RATIO, abs=0.03)


def test_gloomy_week_is_brighter_than_its_dullest_day_and_darker_than_the_month(site):
    light = class_light(site)
    week = spread.gloomy_week(light)
    assert (week < split.month_mean(light.mean(axis=1))).all()
    assert (week > split.month_mean(light[:, 0])).all()


def test_gloomy_week_comes_in_one_year_of_five(site):
    light = class_light(site)
    week = spread.gloomy_week(light)
    years = spread.drawn_days(light, seed=7)  # other weather than the one it was found with
    least = np.array([gloomy_week_of(year) for year in years])
    assert (least < week).mean(axis=0) == pytest.approx(0.2, abs=0.11)
    assert (least < week).mean() == pytest.approx(0.2, abs=0.03)


def test_gloomy_week_hardly_depends_on_the_seed(site):
    light = class_light(site)
    found = np.array([spread.gloomy_week(light, seed=seed) for seed in range(4)])
    assert (found.std(axis=0) / found.mean(axis=0)).max() < 0.03


def test_weather_that_lasts_makes_darker_weeks(site):
    light = class_light(site)
    loose, tight = spread.gloomy_week(light, day_to_day_ratio=0.0), spread.gloomy_week(light, day_to_day_ratio=0.6)
    assert (tight < loose).all()


def test_gloomy_week_of_one_year_by_hand():
    year = np.full(365, 10.0)
    year[340:347] = 3.0  # a week of December
    year[57:62] = 0.0  # five days on either side of the end of February: no month holds them all
    found = gloomy_week_of(year)
    assert found[11] == pytest.approx(3.0)
    assert found[1] == pytest.approx(10 * 5 / 7)
    assert found[2] == pytest.approx(10 * 4 / 7)
    assert found[[0, 3, 4, 5, 6, 7, 8, 9, 10]] == pytest.approx(10.0)


def test_any_ten_days_hold_each_class_twice():
    order = spread.class_sequence(365)
    for start in range(356):
        assert np.bincount(order[start : start + 10], minlength=5).tolist() == [2, 2, 2, 2, 2]
    assert np.array_equal(order, spread.class_sequence(365))
    assert not np.array_equal(order, np.sort(order))
    assert not np.array_equal(spread.class_sequence(20, seed=1), spread.class_sequence(20, seed=2))


@settings(deadline=None, derandomize=True, max_examples=25)
@given(values=st.lists(st.floats(0, 50), min_size=1, max_size=40))
def test_ten_day_mean_by_hand(values):
    series = np.array(values)
    want = [series[max(i - 9, 0) : i + 1].mean() for i in range(series.size)]
    assert spread.ten_day_mean(series) == pytest.approx(np.array(want), abs=1e-9)


def test_ten_day_mean_of_the_class_order_is_steady():
    light = np.array([1.0, 2.0, 3.0, 4.0, 10.0])[spread.class_sequence(365)]
    assert spread.ten_day_mean(light)[9:] == pytest.approx(4.0)


def test_day_to_day_and_season_spreads_differ_as_they_should(site):
    day = spread.day_sd_frac(site.ratio)
    season = spread.season_light_sd_frac(site.ratio, site.climate.uncertainty_frac)
    # Days vary three to four times as much as whole crops in winter: a lamp is sized by the one, a harvest date
    # ranges over the other.
    assert (day[[9, 10, 11, 0, 1]] > 2.5 * season[[9, 10, 11, 0, 1]]).all()
    assert (season > 0.06).all()
    assert (season < 0.2).all()
    short, long = (spread.season_light_sd_frac(site.ratio, np.zeros(12), crop_d=d) for d in (15.0, 120.0))
    assert (short > long).all()
    # With sure normals and an endless crop only the photon factor is left.
    assert spread.season_light_sd_frac(site.ratio, np.zeros(12), crop_d=1e9) == pytest.approx(0.04, abs=1e-4)


def test_season_spread_grows_where_the_normals_are_worse():
    low, high = Site(45.0, -90.0), Site(62.0, 25.0)
    pairs = [spread.season_light_sd_frac(s.ratio, s.climate.uncertainty_frac) for s in (low, high)]
    assert pairs[1][[10, 11, 0, 1, 2]].mean() > 1.2 * pairs[0][[10, 11, 0, 1, 2]].mean()


def test_season_spread_of_correlated_days_by_drawing(site):
    # Second way: the spread of 60-day means of drawn weather is what the formula says.
    days = spread.drawn_days(class_light(site))
    level = days.mean(axis=0)
    relative = (days[:, 300:360] / level[300:360]).mean(axis=1)
    want = np.sqrt(spread.season_light_sd_frac(site.ratio, np.zeros(12))[10:12].mean() ** 2 - 0.04**2)
    assert relative.std() == pytest.approx(want, rel=0.2)
