"""Medians and ranges over draws: a draw that never gets there counts as longer than any."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenhour.plan.dates import DAYS
from tenhour.plan.ranges import CLIFF_D, at_share, between_sowings, median_days, peaks, sorted_draws, straight

SOWN = np.arange(0, DAYS, 15)


def test_each_draw_stands_for_the_middle_of_its_part() -> None:
    """Five draws stand for the seasons of 10, 30, 50, 70 and 90 % (Hazen's plotting position, i - 1/2 over n)."""
    draws = np.array([30.0, 10.0, 20.0, 40.0, 50.0])
    assert median_days(draws) == 30.0
    assert at_share(sorted_draws(draws), 0.1) == 10.0
    assert at_share(sorted_draws(draws), 0.9) == 50.0
    values = np.linspace(3.0, 80.0, 17)
    assert at_share(values, 0.9) == pytest.approx(np.percentile(values, 90, method="hazen"))


def test_a_never_is_longer_than_any() -> None:
    draws = np.array([[10.0, np.nan, 20.0], [np.nan, 10.0, np.nan]])
    assert median_days(draws)[0] == 20.0
    assert np.isnan(median_days(draws)[1])
    assert np.isnan(at_share(sorted_draws(draws), 0.9)).all()


def test_dates_lie_straight_between_sowings() -> None:
    days = (60.0 + 0.2 * SOWN)[:, None]
    found = between_sowings(days, SOWN)[:, 0]
    assert found[SOWN].tolist() == days[:, 0].tolist()
    assert found[7] == pytest.approx(60.0 + 0.2 * 7)
    level = between_sowings((60.0 + 0.1 * SOWN)[:, None], SOWN)[:, 0]
    assert level[364] == pytest.approx(0.2 * (96.0 - 4.0) + 0.8 * (60.0 + 1.0))


def test_no_date_between_two_times_of_harvest() -> None:
    """One sowing comes in before the dark, the next in spring: those between come in at one or the other time."""
    days = np.full((len(SOWN), 1), 60.0)
    days[19:] = 60.0 + CLIFF_D + 40.0
    found = between_sowings(days, SOWN)[:, 0]
    before, after = 18 * 15 + 60.0, 19 * 15 + 145.0
    ready = np.arange(DAYS) + found
    between = ready[18 * 15 : 19 * 15 + 1]
    assert (between[:8] <= before + CLIFF_D / 2.0).all()
    assert (between[8:] >= after - CLIFF_D / 2.0).all()
    assert (np.diff(between) >= 0.0).all()


def test_no_sowing_comes_in_sooner_where_others_come_in_later() -> None:
    """Whatever the days of the neighbours, near or torn apart, and where some never come in."""
    draw = np.random.default_rng(1)
    days = draw.uniform(5.0, 360.0, (300, len(SOWN), 4))
    later = days + draw.choice([0.0, 1.0, 20.0, 90.0], days.shape) * draw.random(days.shape)
    days[draw.random(days.shape) < 0.1] = np.nan
    later[np.isnan(days) | (draw.random(days.shape) < 0.1)] = np.nan
    found, slower = (np.nan_to_num(between_sowings(part, SOWN), nan=np.inf) for part in (days, later))
    assert (slower >= found - 1e-9).all()


def test_a_sowing_between_one_that_comes_in_and_one_that_does_not_follows_the_nearer() -> None:
    days = np.full((len(SOWN), 1), 60.0)
    days[10] = np.nan
    found = between_sowings(days, SOWN)[:, 0]
    assert np.isfinite(found[135:143]).all()
    assert np.isnan(found[143:158]).all()
    assert np.isfinite(found[158:]).all()
    assert np.isnan(straight(days[:, 0], SOWN)[[150, 155, 145]]).all()


def test_a_sowing_that_races_the_dark_has_two_peaks_with_their_shares() -> None:
    # definition: nine draws before the dark, five in spring, one never
    days = np.array([44, 46, 47, 50, 52, 53, 55, 58, 62, 160, 166, 170, 181, 193, np.nan])
    before, after = peaks(days)
    assert (before.from_d, before.to_d, before.share_frac) == (44.0, 62.0, 9 / 15)
    assert (after.from_d, after.to_d, after.share_frac) == (160.0, 193.0, 5 / 15)


def test_one_group_or_a_single_stray_draw_is_no_second_peak() -> None:
    wide = np.arange(40.0, 190.0, 10.0)
    stray = np.r_[np.arange(50.0, 64.0), 180.0]
    assert peaks(wide) == ()
    assert peaks(stray) == ()
    assert peaks(np.full(15, np.nan)) == ()


@given(st.lists(st.one_of(st.floats(5.0, 360.0), st.just(float("nan"))), min_size=1, max_size=25))
def test_peaks_are_apart_in_order_and_share_no_more_than_all(days: list[float]) -> None:
    found = peaks(np.array(days))
    assert len(found) != 1
    assert sum(peak.share_frac for peak in found) <= 1.0 + 1e-12
    assert all(b.from_d - a.to_d > 28.0 for a, b in pairwise(found))
