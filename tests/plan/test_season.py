"""What waiting costs, the window for winter and the least within a window, on years made up to show it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS

DARKEST = 354
DAY = np.arange(DAYS)
KEEPS = np.full(DAYS, 28.0)


def seasonal(summer: float, winter: float) -> np.ndarray:
    """A smooth year with its extreme on the darkest day."""
    return summer + (winter - summer) * (0.5 + 0.5 * np.cos(2 * np.pi * (DAY - DARKEST) / DAYS))


def test_a_week_in_steady_conditions_costs_a_week() -> None:
    assert plan.waiting_cost_d(np.full(DAYS, 40.0)).tolist() == [7.0] * DAYS


def test_a_week_into_the_dark_costs_more_and_out_of_it_less() -> None:
    days = seasonal(40.0, 120.0)
    cost = plan.waiting_cost_d(days)
    assert cost[280] == pytest.approx(7.0 + days[287] - days[280])
    assert cost[280] > 9.0
    assert cost[56] < 5.0
    assert plan.waiting_cost_d(days, 28)[280] == pytest.approx(cost[[280, 287, 294, 301]].sum())


def test_cost_of_waiting_is_unknown_where_nothing_comes_in() -> None:
    days = seasonal(40.0, 120.0)
    days[70] = np.nan
    cost = plan.waiting_cost_d(days)
    assert np.isnan(cost[[63, 70]]).all()
    assert np.isfinite(np.delete(cost, [63, 70])).all()


@given(
    series=st.lists(st.floats(-30, 30), min_size=DAYS, max_size=DAYS),
    start=st.integers(0, 2 * DAYS),
    length=st.integers(1, DAYS),
)
@settings(deadline=None, derandomize=True, max_examples=30)
def test_least_within_is_the_least(series: list[float], start: int, length: int) -> None:
    values = np.array([[series, series[::-1]]])
    span = (start + np.arange(length)) % DAYS
    shape = (2, 1)
    found = plan.least_within(plan.doublings(values), np.full(shape, start), np.full(shape, length))
    assert found[:, 0, 0].tolist() == pytest.approx([values[0, bed, span].min() for bed in (0, 1)], rel=1e-6, abs=1e-6)


def test_winter_window_ends_with_the_last_that_stands_and_begins_four_weeks_of_readiness_before() -> None:
    days = seasonal(40.0, 100.0)
    dark = 320
    found = plan.winter_window(days, days * 1.15, KEEPS, dark)
    assert found is not None
    assert found.last + days[found.last] <= dark < found.last + 1 + days[found.last + 1]
    assert dark - (found.first + days[found.first]) <= 28
    assert dark - (found.first - 1 + days[found.first - 1]) > 28
    assert found.sure is not None
    assert found.first <= found.sure < found.last
    assert found.sure + 1.15 * days[found.sure] <= dark


def test_what_is_sure_is_never_too_early() -> None:
    days = np.full(DAYS, 60.0)
    found = plan.winter_window(days, days + 40.0, KEEPS, 320)
    assert found is not None
    assert (found.last, found.sure) == (260, 220)
    assert found.first == 232
    near = plan.winter_window(days, days + 28.0, KEEPS, 320)
    assert near is not None
    assert near.first == near.sure == 232
    far = plan.winter_window(days, days + 29.0, KEEPS, 320)
    assert far is not None
    assert (far.first, far.sure) == (232, 231)


def test_no_window_where_nothing_comes_in() -> None:
    never = np.full(DAYS, np.nan)
    assert plan.winter_window(never, never, KEEPS, 320) is None


def test_window_across_the_new_year() -> None:
    """In the south the dark begins in May; slow crops for it are sown before the new year."""
    days = np.full(DAYS, 150.0)
    found = plan.winter_window(days, days, KEEPS, 130)
    assert found is not None
    assert found.last == (130 - 150) % DAYS
    assert found.first == (130 - 150 - 28) % DAYS


def test_each_cut_is_spread_over_the_weeks_it_has_grown() -> None:
    cuts = np.array([0.0, 0.0, 300.0, 0.0, 0.0, 0.0, 200.0, 0.0])
    even = plan.spread_cuts(cuts[:, None])[:, 0]
    assert even[:7].tolist() == [100.0, 100.0, 100.0, 50.0, 50.0, 50.0, 50.0]
    assert np.isnan(even[7])
    assert np.nansum(even) == cuts.sum()


def test_leanest_is_the_mean_of_four_weeks_running() -> None:
    assert plan.leanest([None, 100.0, 20.0, 30.0, 40.0, 50.0, 200.0, None]) == 35.0
    assert plan.leanest([None, 10.0, 30.0, None]) == 20.0
    assert plan.leanest([None, None]) is None


def test_runs_of_weeks() -> None:
    assert plan.runs([True, False, True, True, False]) == [(0, 0), (2, 3)]
    assert plan.runs([]) == []


def test_seed_has_a_reserve_for_gaps() -> None:
    """1 m² at 250 plants of a seed of 10 g per thousand: 2.5 g, and 30 % more (common practice)."""
    assert plan.seed_g(1.0, 250.0, 10.0) == pytest.approx(3.25)
