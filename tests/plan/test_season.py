"""What a week's sowing is worth, the window for winter, what keeps, and the frost rule, on years made up to show it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS

DARKEST = 354
DAY = np.arange(DAYS)
WEEK = np.arange(53)


def seasonal(summer: float, winter: float) -> np.ndarray:
    """A smooth year with its extreme on the darkest day."""
    return summer + (winter - summer) * (0.5 + 0.5 * np.cos(2 * np.pi * (DAY - DARKEST) / DAYS))


def by_week(year: np.ndarray, first: int = 0) -> np.ndarray:
    return year[(first + 7 * WEEK) % DAYS]


def facts(
    days: np.ndarray, *, stretch: float = 10.0, harmed: bool = False, tray: bool = False, warm: bool = False
) -> plan.YearFacts:
    shape = (1, 1, len(days))
    return plan.YearFacts(
        days=days.reshape(shape),
        emergence_d=np.full(shape, 6.0),
        stretch_score=np.full(shape, stretch),
        harmed=np.full(shape, harmed),
        too_warm=np.full(shape, warm),
        reserves=np.array([tray]),
    )


def states(given_facts: plan.YearFacts) -> list[str]:
    return [plan.STATES[code] for code in plan.state_codes(given_facts)[0, 0].tolist()]


def test_a_week_in_steady_conditions_costs_a_week() -> None:
    assert plan.waiting_cost_d(np.full(53, 40.0)).tolist() == [7.0] * 53


def test_a_week_into_the_dark_costs_more_and_out_of_it_less() -> None:
    days = by_week(seasonal(40.0, 120.0))
    cost = plan.waiting_cost_d(days)
    assert cost[40] == pytest.approx(7.0 + days[41] - days[40])
    assert cost[40] > 9.0
    assert cost[8] < 5.0
    assert plan.waiting_cost_d(days, 4)[40] == pytest.approx(cost[40:44].sum())


def test_cost_of_waiting_is_unknown_where_nothing_comes_in() -> None:
    days = by_week(seasonal(40.0, 120.0))
    days[10] = np.nan
    cost = plan.waiting_cost_d(days)
    assert np.isnan(cost[9:11]).all()
    assert np.isfinite(np.delete(cost, [9, 10])).all()


def test_states_follow_their_order() -> None:
    good = by_week(seasonal(40.0, 40.0))
    assert set(states(facts(good))) == {"sow"}
    assert set(states(facts(good, stretch=45.0))) == {"drawn"}
    assert set(states(facts(np.full(53, np.nan)))) == {"waste"}
    assert set(states(facts(good, stretch=80.0, harmed=True))) == {"cold"}


def test_slow_and_waste_by_the_best_of_the_year() -> None:
    """Over 1.5 times the best is slow, over 2.5 times a waste."""
    days = np.full(53, 60.0)
    days[10], days[30:34] = 40.0, 101.0
    found = states(facts(days))
    assert found[10] == "sow"
    assert found[20] == "sow"
    assert found[30] == "waste"
    days[30:34] = 99.0
    # Slow, and a month later it would be ready no later: a waste all the same.
    assert states(facts(days))[30] == "waste"
    # Slow because the dark is ahead, so that waiting would cost even more: not a waste.
    rising = np.full(53, 40.0)
    rising[20:40] = np.linspace(61.0, 99.0, 20)
    assert states(facts(rising))[22] == "slow"


def test_a_slow_sowing_is_a_waste_when_a_month_costs_less_than_a_week() -> None:
    days = by_week(seasonal(40.0, 98.0))
    found = states(facts(days))
    cost = plan.waiting_cost_d(days, 4)
    for week in range(52):
        if days[week] > 1.5 * days.min():
            assert (found[week] == "waste") == bool(cost[week] < 7.0)


def test_late_seed_is_cold_or_hot_by_the_warmth() -> None:
    days = np.full(53, 40.0)
    late = replace(facts(days), emergence_d=np.full((1, 1, 53), 50.0))
    assert set(states(late)) == {"cold"}
    warm = replace(late, too_warm=np.ones((1, 1, 53), dtype=np.bool_))
    assert set(states(warm)) == {"hot"}
    assert set(states(replace(warm, harmed=np.ones((1, 1, 53), dtype=np.bool_)))) == {"cold"}
    assert set(states(facts(days, warm=True))) == {"sow"}  # warm, but it comes up


def test_trays_are_judged_by_the_month() -> None:
    days = np.full(53, 8.0)
    days[5], days[6], days[7] = 29.0, 31.0, 46.0
    found = states(facts(days, tray=True))
    assert [found[n] for n in (4, 5, 6, 7)] == ["sow", "sow", "slow", "waste"]


@given(
    series=st.lists(st.floats(-30, 30), min_size=DAYS, max_size=DAYS),
    start=st.integers(0, 2 * DAYS),
    length=st.integers(1, DAYS),
)
@settings(deadline=None, derandomize=True, max_examples=30)
def test_least_within_is_the_least(series: list[float], start: int, length: int) -> None:
    values = np.array([series])
    span = (start + np.arange(length)) % DAYS
    shape = (1, 1, 1)
    found = plan.least_within(values, np.full(shape, start), np.full(shape, length))
    assert found[0, 0, 0] == values[0, span].min()


def test_coldest_night_is_that_between_emergence_and_harvest() -> None:
    nights = np.full((1, DAYS), 5.0)
    nights[0, 100] = -8.0
    sow = np.array([80])
    shape = (1, 1, 1)

    def coldest(begin: float, end: float) -> float:
        return float(plan.coldest_night_degc(nights, sow, np.full(shape, begin), np.full(shape, end))[0, 0, 0])

    assert coldest(6.0, 20.0) == 5.0
    assert coldest(6.0, 21.0) == -8.0
    assert coldest(21.0, 60.0) == 5.0
    assert coldest(6.0, np.nan) == -8.0


def test_winter_window_ends_with_the_last_that_stands_and_begins_four_weeks_of_readiness_before() -> None:
    days = seasonal(40.0, 100.0)
    dark = 320
    found = plan.winter_window(days, days * 1.15, dark)
    assert found is not None
    assert found.last + days[found.last] <= dark < found.last + 1 + days[found.last + 1]
    assert dark - (found.first + days[found.first]) <= plan.EARLY_FOR_WINTER_D
    assert dark - (found.first - 1 + days[found.first - 1]) > plan.EARLY_FOR_WINTER_D
    assert found.sure is not None
    assert found.first <= found.sure < found.last
    assert found.sure + 1.15 * days[found.sure] <= dark


def test_what_is_sure_is_never_too_early() -> None:
    days = np.full(DAYS, 60.0)
    found = plan.winter_window(days, days + 40.0, 320)
    assert found is not None
    assert (found.last, found.sure) == (260, 220)
    assert found.first == 232
    near = plan.winter_window(days, days + 28.0, 320)
    assert near is not None
    assert near.first == near.sure == 232


def test_no_window_where_nothing_comes_in() -> None:
    never = np.full(DAYS, np.nan)
    assert plan.winter_window(never, never, 320) is None


def test_window_across_the_new_year() -> None:
    """In the south the dark begins in May; slow crops for it are sown before the new year."""
    days = np.full(DAYS, 150.0)
    found = plan.winter_window(days, days, 130)
    assert found is not None
    assert found.last == (130 - 150) % DAYS
    assert found.first == (130 - 150 - plan.EARLY_FOR_WINTER_D) % DAYS


def test_a_stand_keeps_until_it_is_twice_its_size_or_has_lost_a_fifth_or_is_dead() -> None:
    mass = np.array(
        [[1.1, 0.95, 1.0, 1.0], [1.6, 0.9, np.nan, 1.0], [2.1, 0.85, np.nan, 1.0], [2.6, 0.79, np.nan, 1.0]]
    )
    assert plan.hold_days(mass).tolist() == [14.0, 21.0, 7.0, 28.0]


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


def test_last_frost_comes_when_the_mean_reaches_eleven_degrees() -> None:
    """The stated rule of practice: the first day after the coldest with an outdoor mean of 11 °C."""
    temp = seasonal(18.0, -1.0)
    day = plan.last_frost_day(temp, DARKEST)
    assert day is not None
    assert temp[day] >= 11.0 > temp[day - 1]
    assert plan.last_frost_day(np.full(DAYS, 20.0), 0) is None
    assert plan.last_frost_day(np.full(DAYS, 3.0), 0) is None


def test_seed_has_a_reserve_for_gaps() -> None:
    """1 m² at 250 plants of a seed of 10 g per thousand: 2.5 g, and 30 % more (common practice)."""
    assert plan.seed_g(1.0, 250.0, 10.0) == pytest.approx(3.25)
