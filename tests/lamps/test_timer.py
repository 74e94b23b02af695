"""Windows that join the day and keep the night; change of the clock; first and last lamp day."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.lamps import timer
from tenhour.lamps.timer import Window

CHEAP_NIGHT = np.array([0.12] * 6 + [0.35] * 17 + [0.12])


def on_clock(windows: tuple[Window, ...]) -> np.ndarray:
    minute = (np.arange(1440) + 0.5) / 60
    lit = np.zeros(1440, dtype=bool)
    for w in windows:
        lit |= np.mod(minute - w.on_h, 24) < w.off_h - w.on_h
    return lit


def longest_dark_h(lit: np.ndarray) -> float:
    if not lit.any():
        return 24.0
    turned = np.roll(lit, -int(np.argmax(lit)))
    edges = np.flatnonzero(np.diff(np.concatenate([[1], turned.astype(int), [1]])))
    return float(np.max(edges[1::2] - edges[::2], initial=0)) / 60


@given(
    st.floats(0, 23.99), st.floats(0, 24), st.floats(0.1, 24), st.floats(8, 24), st.sampled_from([1, 2]), st.booleans()
)
@settings(deadline=None, derandomize=True, max_examples=150)
def test_every_plan_keeps_the_night_whole(
    dawn: float, daylight: float, wanted: float, limit: float, windows: int, tariff: bool
) -> None:
    plan = timer.plan_day(dawn, daylight, wanted, limit, CHEAP_NIGHT if tariff else None, windows)
    lamps = on_clock(plan.windows)
    minute = (np.arange(1440) + 0.5) / 60
    sun = np.mod(minute - dawn, 24) < daylight
    lit_h = (lamps | sun).sum() / 60
    assert len(plan.windows) <= windows
    assert plan.lamp_h == pytest.approx(lamps.sum() / 60, abs=1e-6)
    assert wanted <= plan.lamp_h + 1e-6 or plan.lamp_h >= limit - 0.25
    assert plan.lamp_h <= min(wanted + 0.25, limit) + 1e-6
    assert lit_h <= max(limit, daylight) + 0.3
    assert plan.photoperiod_h >= lit_h - 0.3
    if daylight > 0 or len(plan.windows) < 2:  # in the dark the plants' day holds the pause too
        assert plan.photoperiod_h == pytest.approx(lit_h, abs=0.3)
    assert longest_dark_h(lamps | sun) >= 24 - max(limit, daylight) - 0.3


def test_lamps_lengthen_the_day_before_they_double_it() -> None:
    plan = timer.plan_day(dawn_h=8.0, daylight_h=8.0, lamp_h=6.0, limit_h=16.0)
    assert plan.photoperiod_h == 14.0
    assert timer.lit_union_h(plan.windows, 8.0, 8.0) == pytest.approx(14.0, abs=0.01)
    full = timer.plan_day(dawn_h=6.0, daylight_h=8.0, lamp_h=12.0, limit_h=16.0)
    assert full.photoperiod_h == 16.0


def test_lamps_do_not_run_past_bedtime_where_the_same_light_fits_earlier() -> None:
    """Twelve hours in a day that begins at eight: until ten at night, from ten in the morning, not noon to midnight."""
    assert timer.plan_day(8.0, 8.0, 12.0, 16.0).windows == (Window(10.0, 22.0),)
    dear_day = np.where((np.arange(24) >= 9) & (np.arange(24) < 16), 0.4, 0.1)
    (window,) = timer.plan_day(8.0, 8.0, 12.0, 16.0, dear_day).windows
    assert window.on_h >= 12.0 or window.off_h <= 16.0, "a tariff comes before the evening"


def test_one_window_ends_in_the_evening_and_joins_the_dusk() -> None:
    (window,) = timer.plan_day(8.0, 8.0, 6.0, 16.0).windows
    assert window == Window(16.0, 22.0)


def test_sixteen_hours_run_through_the_day() -> None:
    (window,) = timer.plan_day(8.0, 8.0, 16.0, 16.0).windows
    assert window.off_h - window.on_h == 16.0
    assert window.on_h <= 8.0
    assert window.off_h >= 16.0
    assert window.on_h >= timer.QUIET_HOURS[1]


def test_a_cheap_night_moves_the_lamps() -> None:
    flat = timer.plan_day(8.0, 8.0, 6.0, 16.0)
    cheap = timer.plan_day(8.0, 8.0, 6.0, 16.0, CHEAP_NIGHT)
    assert flat.windows == (Window(16.0, 22.0),)
    assert cheap.windows == (Window(2.0, 8.0),)


def test_two_windows_where_both_ends_are_cheap() -> None:
    prices = np.full(24, 0.40)
    prices[[6, 7, 16, 17]] = 0.10
    one = timer.plan_day(8.0, 8.0, 4.0, 16.0, prices, 1)
    two = timer.plan_day(8.0, 8.0, 4.0, 16.0, prices, 2)
    assert len(one.windows) == 1
    assert two.windows == (Window(6.0, 8.0), Window(16.0, 18.0))


def test_a_cellar_and_a_polar_night_get_one_window_by_day() -> None:
    plan = timer.plan_day(0.0, 0.0, 14.0, 16.0)
    (window,) = plan.windows
    assert plan.photoperiod_h == 14.0
    assert window.on_h >= timer.QUIET_HOURS[1]
    assert window.off_h <= timer.QUIET_HOURS[0]


def test_a_pause_in_the_dark_where_power_is_dear_at_noon() -> None:
    """Six hours are cheap, three before and three after six dear ones: both, if the plants stand a day of twelve."""
    cheap_ends = np.full(24, 0.60)
    cheap_ends[[6, 7, 8, 15, 16, 17]] = 0.10
    assert len(timer.plan_day(0.0, 0.0, 6.0, 14.0, cheap_ends, 1).windows) == 1
    split = timer.plan_day(0.0, 0.0, 6.0, 14.0, cheap_ends, 2)
    assert split.windows == (Window(6.0, 9.0), Window(15.0, 18.0))
    assert split.photoperiod_h == 12.0
    assert timer.plan_day(0.0, 0.0, 6.0, 11.5, cheap_ends, 2).photoperiod_h <= 11.5
    assert len(timer.plan_day(0.0, 0.0, 6.0, 14.0, np.full(24, 0.3), 2).windows) == 1


def test_midnight_sun_leaves_no_night_to_lengthen() -> None:
    plan = timer.plan_day(0.0, 24.0, 4.0, 16.0)
    assert plan.lamp_h == 4.0
    assert plan.photoperiod_h == 24.0


def test_no_hours_no_window() -> None:
    assert timer.plan_day(8.0, 8.0, 0.0, 16.0) == timer.DayPlan((), 0.0, 8.0)


def test_change_days_of_europe_america_and_nowhere() -> None:
    """EU: last Sundays of March and October (Directive 2000/84/EC); US: Energy Policy Act of 2005; Iceland: none."""
    year = (date(2026, 1, 1), date(2026, 12, 31))
    assert timer.clock_changes(*year, "Europe/London") == [(date(2026, 3, 29), 1.0), (date(2026, 10, 25), -1.0)]
    assert timer.clock_changes(*year, "America/Anchorage") == [(date(2026, 3, 8), 1.0), (date(2026, 11, 1), -1.0)]
    assert timer.clock_changes(*year, "Australia/Lord_Howe") == [(date(2026, 4, 5), -0.5), (date(2026, 10, 4), 0.5)]
    assert timer.clock_changes(*year, "Atlantic/Reykjavik") == []


def test_a_night_window_is_an_hour_shorter_in_spring_and_longer_in_autumn() -> None:
    night = [Window(23.0, 31.0)]
    for day, hours in ((date(2026, 3, 27), 8.0), (date(2026, 3, 28), 7.0), (date(2026, 10, 24), 9.0)):
        assert len(timer.run_slots_s([day], [night], "Europe/London")) * timer.SLOT_H == hours


def test_a_day_window_does_not_feel_the_change() -> None:
    days = [date(2026, 3, 28) + timedelta(days=n) for n in range(3)]
    slots = timer.run_slots_s(days, [[Window(6.0, 22.0)]] * 3, "Europe/London")
    assert len(slots) * timer.SLOT_H == 48.0
    local = timer.local_clock_s(slots, "Europe/London")
    assert set(local // 3600 % 24) == set(range(6, 22))


def test_windows_at_half_hours_and_over_midnight() -> None:
    slots = timer.run_slots_s([date(2026, 1, 1)], [[Window(20.5, 26.25)]], "Asia/Kolkata")
    local = timer.local_clock_s(slots, "Asia/Kolkata").astype("M8[s]")
    assert len(slots) == 23
    assert str(local[0]) == "2026-01-01T20:30:00"
    assert str(local[-1]) == "2026-01-02T02:00:00"
    assert not timer.run_slots_s([], [], "UTC").size


@pytest.mark.parametrize("zone", ["Europe/London", "Australia/Lord_Howe", "America/St_Johns", "Asia/Kolkata", "UTC"])
def test_the_local_clock_is_that_of_a_library_of_tables(zone: str) -> None:
    """Every quarter hour of a leap year against pandas, which reads the same IANA rules."""
    moments = np.arange(1_830_297_600, 1_830_297_600 + 366 * 86_400, 900, dtype=np.int64)
    shown = pd.DatetimeIndex(moments.astype("M8[s]"), tz="UTC").tz_convert(zone).tz_localize(None)
    assert (timer.local_clock_s(moments, zone).astype("M8[s]") == shown.to_numpy()).all()


def test_season_runs_from_first_to_last_short_day() -> None:
    day = np.arange(365)
    light = 15 - 12 * np.cos(2 * np.pi * (day - 354) / 365)
    season = timer.lamp_season(light, 10.0)
    assert season.on_from_doy is not None
    assert season.off_from_doy is not None
    mean = np.array([light[np.arange(d - 4, d + 6) % 365].mean() for d in range(365)])
    assert mean[season.off_from_doy - 1] >= 10.0 > mean[season.off_from_doy - 2]
    assert mean[season.on_from_doy - 1] < 10.0 <= mean[season.on_from_doy - 2]
    assert season.lamp_days.sum() == (season.off_from_doy - season.on_from_doy) % 365
    south = timer.lamp_season(np.roll(light, 182), 10.0)
    assert south.lamp_days.sum() == pytest.approx(season.lamp_days.sum(), abs=1)
    assert south.on_from_doy is not None
    assert south.on_from_doy < 182


def test_a_bright_spell_in_winter_does_not_end_the_season() -> None:
    light = np.where(np.abs(np.arange(365) - 182) < 90, 20.0, 4.0)
    light[20:40] = 25.0
    season = timer.lamp_season(light, 10.0)
    assert season.lamp_days[20:40].all()


def test_season_without_need_and_without_end() -> None:
    assert timer.lamp_season(np.full(365, 20.0), 10.0)[:2] == (None, None)
    assert not timer.lamp_season(np.full(365, 20.0), 10.0).lamp_days.any()
    cellar = timer.lamp_season(np.zeros(365), 10.0)
    assert cellar[:2] == (None, None)
    assert cellar.lamp_days.all()


def test_sensor_switches_on_below_the_steady_flux_and_off_well_above() -> None:
    on, off = timer.sensor_rule_umol_m2_s(11.52, 16.0)
    assert on == pytest.approx(200.0)
    assert off > on
