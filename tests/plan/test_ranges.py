"""Medians and ranges over draws: a draw that never gets there counts as longer than any."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenhour.plan.ranges import at_share, median_days, peaks, percentile_days, sorted_draws


def test_shares_lie_on_a_straight_line_between_draws() -> None:
    draws = np.array([30.0, 10.0, 20.0, 40.0, 50.0])
    assert median_days(draws) == 30.0
    assert at_share(sorted_draws(draws), 0.1) == pytest.approx(14.0)
    assert percentile_days(draws, 90) == 46
    values = np.linspace(3.0, 80.0, 15)
    assert at_share(values, 0.9) == pytest.approx(np.percentile(values, 90))


def test_a_never_is_longer_than_any() -> None:
    draws = np.array([[10.0, np.nan, 20.0], [np.nan, 10.0, np.nan]])
    assert median_days(draws)[0] == 20.0
    assert np.isnan(median_days(draws)[1])
    assert percentile_days(draws[0], 90) is None
    assert percentile_days(draws[0], 10) == 12


# -- two peaks ---------------------------------------------------------------------------------------------------------


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
