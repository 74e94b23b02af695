"""Verdicts, the sowing that pays and the sowing for winter, on years made up to show one thing each."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tenhour.plan.sowing import (
    DAYS,
    Ask,
    CropYear,
    by_day,
    chilled_days,
    dark_season,
    decide,
    paying_days,
    pays_from_day,
    sow_by_day,
)

DARKEST = 354
DAY = np.arange(DAYS)


def seasonal(summer: float, winter: float) -> np.ndarray:
    """A smooth year with its extreme on the darkest day."""
    wave = 0.5 + 0.5 * np.cos(2 * np.pi * (DAY - DARKEST) / DAYS)
    return summer + (winter - summer) * wave


def year(days: np.ndarray | None = None, stretch: float = 10.0) -> CropYear:
    return CropYear(
        days=seasonal(40.0, 110.0) if days is None else days,
        young_days=np.full(DAYS, np.nan),
        emergence_d=np.full(DAYS, 6.0),
        stretch_score=np.full(DAYS, stretch),
        too_warm=np.zeros(DAYS, dtype=np.bool_),
        bolts=np.zeros(DAYS, dtype=np.bool_),
    )


def ask(day: int = 14, way: str = "cut") -> Ask:
    return Ask(
        day=day,
        way=way,
        needs_dli_mol_m2_d=5.0,
        first_dli_mol_m2_d=8.0,
        kill_degc=-9.0,
        chill_degc=float("nan"),
        cold_night_degc=np.full(DAYS, 3.0),
        mean_night_degc=np.full(DAYS, 6.0),
        mean_dli_mol_m2_d=seasonal(20.0, 1.0),
    )


def test_values_by_week_become_values_by_day() -> None:
    weekly = np.arange(53.0)
    found = by_day(10, 7, weekly)
    assert found[10] == 0.0
    assert found[17] == 1.0
    assert found[13] == pytest.approx(3.0 / 7.0)
    weekly[1] = np.nan
    assert np.isnan(by_day(10, 7, weekly)[13])
    assert by_day(10, 7, weekly)[10] == 0.0


def test_dark_season_is_the_run_of_dim_days_round_the_darkest() -> None:
    light = seasonal(20.0, 1.0)
    first, last = dark_season(light, DARKEST)
    inside = (DAY - first) % DAYS <= (last - first) % DAYS
    assert (light[inside] < 3.0).all()
    assert light[(first - 1) % DAYS] >= 3.0
    assert light[(last + 1) % DAYS] >= 3.0


def test_dark_season_of_a_bright_bed_is_thirty_days_either_side() -> None:
    assert dark_season(seasonal(30.0, 5.0), DARKEST) == (DARKEST - 30, (DARKEST + 30) % DAYS)


def test_dark_season_of_a_cellar_is_the_whole_year() -> None:
    first, last = dark_season(np.zeros(DAYS), DARKEST)
    assert (last - first) % DAYS >= DAYS - 2


def test_sow_by_is_the_last_day_that_stands_in_time() -> None:
    days = np.full(DAYS, 50.0)
    assert sow_by_day(days, 310) == 260
    assert sow_by_day(np.full(DAYS, np.nan), 310) is None


def test_a_sowing_pays_when_two_weeks_of_waiting_cost_a_week_of_harvest() -> None:
    """Harvest moves by 14 + change in days; days that fall by 7 in a fortnight are the limit."""
    days = 100.0 - 0.5 * DAY
    pays = paying_days(year(days), np.zeros(DAYS, dtype=bool))
    assert pays[:300].all()
    steeper = paying_days(year(100.0 - 0.51 * DAY), np.zeros(DAYS, dtype=bool))
    assert not steeper[:300].any()


def test_drawn_or_chilled_sowings_do_not_pay() -> None:
    level = np.full(DAYS, 40.0)
    assert not paying_days(year(level, stretch=46.0), np.zeros(DAYS, dtype=bool)).any()
    assert not paying_days(year(level), np.ones(DAYS, dtype=bool)).any()


def test_pays_from_looks_only_after_the_darkest_day() -> None:
    always = np.ones(DAYS, dtype=bool)
    assert pays_from_day(always, 250, DARKEST) == DARKEST
    assert pays_from_day(always, 20, DARKEST) == 20
    assert pays_from_day(~always, 20, DARKEST) is None


def test_chilled_days_look_four_weeks_ahead() -> None:
    night = np.full(DAYS, 8.0)
    night[100] = -2.0
    found = chilled_days(night, 0.0)
    assert found[73:101].all()
    assert not found[72]
    assert not found[101]
    assert not chilled_days(night, float("nan")).any()


def test_not_here_when_no_sowing_of_the_year_comes_in() -> None:
    assert decide(ask(), year(np.full(DAYS, np.nan)), DARKEST).verdict == "not-here"


def test_too_cold_by_a_single_night() -> None:
    cold = np.full(DAYS, 3.0)
    cold[60] = -12.0
    found = decide(replace(ask(), cold_night_degc=cold), year(), DARKEST)
    assert found.verdict == "too-cold"
    assert found.coldest_night_degc == -12.0
    assert found.limit_degc == -9.0


def test_too_cold_by_chilling_of_a_warm_crop() -> None:
    found = decide(replace(ask(), chill_degc=10.0), year(), DARKEST)
    assert found.verdict == "too-cold"
    assert found.limit_degc == 10.0


def test_too_cold_to_come_up() -> None:
    late = replace(year(), emergence_d=np.full(DAYS, 50.0))
    found = decide(ask(), late, DARKEST)
    assert found.verdict == "too-cold"
    assert np.isnan(found.limit_degc)


def test_seed_that_it_is_too_warm_for_waits_until_it_comes_up_again() -> None:
    """Winter salads fail in warm soil; to call that too cold would be wrong (common practice)."""
    hot = (DAY >= 150) & (DAY < 240)
    summer = replace(year(), emergence_d=np.where(hot, np.nan, 6.0), too_warm=hot)
    found = decide(ask(day=190), summer, DARKEST)
    assert (found.verdict, found.again_from) == ("wait", 240)
    assert decide(ask(day=100), summer, DARKEST).again_from is None
    frozen = replace(ask(day=190), cold_night_degc=np.full(DAYS, -20.0))
    assert decide(frozen, summer, DARKEST).verdict == "too-cold"


def test_a_stand_that_would_be_months_old_does_not_count_as_standing() -> None:
    """Sown in spring because summer is too warm for its seed, a salad has gone to seed long before the dark."""
    days = np.where((DAY >= 104) & (DAY < 300), np.nan, 60.0)
    summer = replace(year(), days=days, emergence_d=np.where(np.isnan(days), np.nan, 6.0))
    assert decide(ask(day=330), summer, DARKEST).sow_by is None
    assert decide(ask(day=330, way="pick"), summer, DARKEST).sow_by == 103


def test_what_runs_to_flower_before_it_is_ready_does_not_count_as_standing() -> None:
    last = decide(ask(day=330), year(), DARKEST).sow_by
    assert last is not None
    bolts = np.zeros(DAYS, dtype=np.bool_)
    bolts[last] = True
    assert decide(ask(day=330), replace(year(), bolts=bolts), DARKEST).sow_by is None


def test_picked_crops_should_stand_by_now_in_the_dark() -> None:
    found = decide(ask(day=340, way="pick"), year(), DARKEST)
    assert found.verdict == "set-out-grown"
    assert found.sow_by is not None


def test_cut_young_when_only_young_leaf_comes_in_time() -> None:
    young = np.full(DAYS, 50.0)
    assert decide(ask(day=350, way="head"), replace(year(), young_days=young), DARKEST).verdict == "cut-young"


def test_needs_lamps_when_light_is_missing_and_the_paying_sowing_is_far() -> None:
    dark = replace(year(), stretch_score=seasonal(5.0, 70.0))
    found = decide(replace(ask(day=330), first_dli_mol_m2_d=1.5), dark, DARKEST)
    assert found.verdict == "needs-lamps"
    assert found.missing_dli_mol_m2_d == pytest.approx(3.5)


def test_wait_when_the_paying_sowing_is_near() -> None:
    dark = replace(year(seasonal(40.0, 65.0)), stretch_score=seasonal(5.0, 70.0))
    found = decide(replace(ask(day=40), first_dli_mol_m2_d=3.0), dark, DARKEST)
    assert found.verdict == "wait"
    assert found.pays_from is not None
    assert found.waiting_later_d is not None


def test_trays_keep_the_pace_of_the_warmth_and_wait_for_no_light() -> None:
    # Two months in a cold house all winter: waiting costs every day waited, and no light is waited for.
    trays = year(seasonal(20.0, 60.0))
    for way in ("seed-fed", "bulb"):
        found = decide(ask(day=320, way=way), trays, DARKEST)
        assert found.pays_from is None
        assert found.verdict == "slow"
    assert decide(ask(day=320, way="cut"), trays, DARKEST).pays_from is not None


def test_slow_and_sow() -> None:
    assert decide(ask(day=20), year(), DARKEST).verdict in ("slow", "wait")
    assert decide(ask(day=120), year(), DARKEST).verdict == "sow"


def test_verdicts_come_in_the_contracts_order() -> None:
    """A crop that is at once too cold, drawn and slow is called too cold."""
    cold = np.full(DAYS, -20.0)
    dark = replace(year(), stretch_score=np.full(DAYS, 90.0))
    assert decide(replace(ask(way="pick"), cold_night_degc=cold), dark, DARKEST).verdict == "too-cold"
