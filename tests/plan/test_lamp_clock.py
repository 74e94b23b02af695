"""The lamp season on calendar and clock."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from tenhour.lamps.timer import lamp_season
from tenhour.plan.lamp_clock import MONTHS, SunClock, calendar, days_by_month, month_plans, season_days

DAY = np.arange(365)
NORTH = 10 - 8 * np.cos(2 * np.pi * (DAY - 354) / 365)
LENGTH = 12 - 5 * np.cos(2 * np.pi * (np.arange(12) * 30.4 + 15 - 354) / 365)
SUN = SunClock(12 - LENGTH / 2 - 0.6, LENGTH + 1.2, 12 - LENGTH / 2, LENGTH, "Europe/London")
TODAY = date(2026, 11, 25)


def test_the_season_that_holds_today() -> None:
    days, on, off = season_days(lamp_season(NORTH, 10.0), TODAY, None, None)
    assert on is not None
    assert off is not None
    assert on < TODAY < off
    assert days[0] == on
    assert days[-1] == off - timedelta(days=1)
    assert len(days) == (off - on).days


def test_the_season_that_follows_a_summer_day() -> None:
    _, on, off = season_days(lamp_season(NORTH, 10.0), date(2026, 6, 21), None, None)
    assert on is not None
    assert off is not None
    assert date(2026, 8, 1) < on < date(2026, 11, 1)
    assert date(2027, 2, 1) < off < date(2027, 5, 1)


def test_southern_winter() -> None:
    _, on, off = season_days(lamp_season(np.roll(NORTH, 182), 10.0), date(2026, 6, 21), None, None)
    assert on is not None
    assert off is not None
    assert on.month in (2, 3, 4)
    assert off.month in (8, 9, 10)


def test_asked_days_cut_the_season() -> None:
    season = lamp_season(NORTH, 10.0)
    days, on, off = season_days(season, TODAY, date(2026, 12, 1), date(2027, 1, 15))
    assert (on, off) == (date(2026, 12, 1), date(2027, 1, 16))
    assert len(days) == 46
    assert season_days(season, TODAY, date(2027, 6, 1), date(2027, 6, 30)) == ((), None, None)


def test_never_and_always() -> None:
    assert season_days(lamp_season(NORTH, 0.5), TODAY, None, None) == ((), None, None)
    days, on, off = season_days(lamp_season(np.zeros(365), 5.0), TODAY, None, None)
    assert (len(days), on, off) == (365, TODAY, None)
    _, _, off = season_days(lamp_season(np.zeros(365), 5.0), TODAY, None, date(2026, 12, 31))
    assert off == date(2027, 1, 1)


def test_kilowatt_hours_are_the_sum_over_the_clock() -> None:
    hours = np.full(MONTHS, 8.0)
    got = calendar(lamp_season(NORTH, 10.0), SUN, hours, 16.0, 500.0, TODAY)
    by_clock = 0.0
    assert got.days[0] < TODAY == got.billed[0], "what has burnt is paid for"
    for day in got.billed:
        plan = got.plans[day.month - 1]
        assert plan is not None
        by_clock += plan.lamp_h * 0.5
    assert got.bill.energy_kwh == pytest.approx(by_clock, rel=1e-12)
    assert got.bill.month_energy_kwh.sum() == pytest.approx(by_clock, rel=1e-12)
    counted = days_by_month(got.days)
    assert counted.sum() == len(got.days)
    assert all(plan is None for plan, n in zip(got.plans, counted, strict=True) if n == 0)


def test_a_night_window_is_billed_for_the_hours_it_runs_on_change_days() -> None:
    prices = [0.1] * 6 + [0.4] * 18
    hours = np.full(MONTHS, 5.0)
    first, last = date(2026, 10, 24), date(2026, 10, 25)
    got = calendar(lamp_season(np.zeros(365), 5.0), SUN, hours, 24.0, 1000.0, TODAY, first, last, prices)
    plan = got.plans[9]
    assert plan is not None
    (window,) = plan.windows
    assert window.on_h < 2.0 < window.off_h
    assert got.bill.energy_kwh == pytest.approx(11.0)


def test_two_windows_only_where_they_pay() -> None:
    hours = np.full(MONTHS, 6.0)
    flat = month_plans(SUN, hours, 16.0, [0.3] * 24, None)
    assert all(plan is not None and len(plan.windows) == 1 for plan in flat)
    ends = [0.4] * 24
    for hour in (5, 6, 7, 17, 18, 19):
        ends[hour] = 0.1
    december = month_plans(SUN, hours, 16.0, ends, None)[11]
    assert december is not None
    assert len(december.windows) == 2
    once = month_plans(SUN, hours, 16.0, ends, 1)[11]
    assert once is not None
    assert len(once.windows) == 1


def test_a_long_natural_day_keeps_the_lamps_inside() -> None:
    plans = month_plans(SUN, np.full(MONTHS, 3.0), 13.0, None, None)
    june = plans[5]
    assert june is not None
    assert june.photoperiod_h == pytest.approx(float(SUN.photoperiod_h[5]), abs=1e-9)
