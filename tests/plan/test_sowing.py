"""The rule book: verdicts, the sowing that pays and the sowing for winter, on years made up to show one thing each."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_long import many
from tenhour.model.results import VERDICTS
from tenhour.plan.sowing import (
    CALM_D,
    CODE,
    DAYS,
    HARMS,
    MOST_CHANGES,
    SETTLED_D,
    STEADY_D,
    Ruling,
    SowingYear,
    calm,
    dark_season,
    first_steady,
    judge,
    sow_by_day,
    waiting_costs,
)

DARKEST = 354
DAY = np.arange(DAYS)


def seasonal(summer: float, winter: float) -> np.ndarray:
    """A smooth year with its extreme on the darkest day."""
    wave = 0.5 + 0.5 * np.cos(2 * np.pi * (DAY - DARKEST) / DAYS)
    return summer + (winter - summer) * wave


def year(way: str = "cut", **given: Any) -> SowingYear:
    """One crop on one bed; days 40 in summer and 110 at midwinter, of 40 in good light."""
    values: dict[str, Any] = {
        "in_season": np.ones(DAYS, dtype=np.bool_),
        "days": seasonal(40.0, 110.0),
        "young_days": np.full(DAYS, np.nan),
        "emergence_d": np.full(DAYS, 6.0),
        "stretch_score": np.full(DAYS, 10.0),
        "young_harmed": np.zeros(DAYS, dtype=np.bool_),
        "keeps_d": np.full(DAYS, np.inf if way == "pick" else 28.0),
        "harmed": np.zeros(DAYS, dtype=np.bool_),
        "chilled": np.zeros(DAYS, dtype=np.bool_),
        "harmed_by_dark": np.zeros(DAYS, dtype=np.bool_),
        "hot": np.zeros(DAYS, dtype=np.bool_),
        "too_warm": np.zeros(DAYS, dtype=np.bool_),
        "bolting_d": np.full(DAYS, np.nan),
        "missing_dli_mol_m2_d": np.zeros(DAYS),
        "raised_days": np.full(DAYS, np.nan),
        **given,
    }
    return SowingYear(
        ways=(way,),
        **{name: np.asarray(value)[None, None] for name, value in values.items()},
        raised_score=np.full((1, DAYS), 5.0),
        best_days=np.array([[40.0]]),
        dark=np.array([[310, 34]], dtype=np.intp),
        darkest_day=DARKEST,
    )


def verdicts(ruling: Ruling) -> list[str]:
    return [VERDICTS[code] for code in ruling.code[0, 0].tolist()]


def spells(row: np.ndarray) -> list[tuple[int, int]]:
    """Verdict and length of every spell of a round year, in order."""
    change = np.flatnonzero(row != np.roll(row, 1))
    if not change.size:
        return [(int(row[0]), DAYS)]
    lengths = np.diff(np.append(change, change[0] + DAYS))
    return [(int(row[day]), int(length)) for day, length in zip(change, lengths, strict=True)]


def soonest_return_d(row: np.ndarray) -> int:
    """Days between leaving a verdict and its coming back, the least of a round year."""
    found = spells(row)
    least = DAYS
    for place, (verdict, _) in enumerate(found):
        away = 0
        for later, length in [*found[place + 1 :], *found[:place]]:
            if later == verdict:
                least = min(least, away)
                break
            away += length
    return least


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
    assert sow_by_day(np.full(DAYS, 50.0), 310) == 260
    assert sow_by_day(np.full(DAYS, np.nan), 310) is None


def test_a_sowing_pays_when_two_weeks_of_waiting_cost_a_week_of_harvest() -> None:
    """Harvest moves by 14 + change in days; days that fall by 7 in a fortnight are the limit."""
    assert waiting_costs(100.0 - 0.5 * DAY)[:300].all()
    assert not waiting_costs(100.0 - 0.51 * DAY)[:300].any()
    assert waiting_costs(np.where(DAY < 100, 50.0, np.nan))[90]  # a fortnight later it never comes in


def test_steady_means_four_weeks_and_looks_half_a_year_ahead() -> None:
    good = np.zeros(DAYS, dtype=np.bool_)
    good[20 : 20 + STEADY_D - 1] = True
    assert np.isnan(first_steady(good, DARKEST))
    good[60 : 60 + STEADY_D] = True
    assert first_steady(good, DARKEST) == 60
    assert first_steady(~np.zeros(DAYS, dtype=np.bool_), DARKEST) == DARKEST
    good[:] = False
    good[250:300] = True
    assert np.isnan(first_steady(good, DARKEST))


def test_pays_from_is_the_first_steady_good_day_after_the_darkest() -> None:
    """Slow is over 60 days here; then four weeks of good sowings must follow, each worth not putting off."""
    found = judge(year())
    day = int(found.pays_from[0, 0])
    assert 0 < day < 120
    said = verdicts(found)
    assert said[day : day + STEADY_D] == ["sow"] * STEADY_D
    assert "sow" not in [said[n % DAYS] for n in range(DARKEST, DAYS + day)]
    days = seasonal(40.0, 110.0)
    assert days[day] <= 60.0
    assert 14.0 + days[day + 14] - days[day] >= 7.0


def test_not_here_when_no_sowing_of_the_year_comes_to_anything() -> None:
    assert set(verdicts(judge(year(days=np.full(DAYS, np.nan))))) == {"not-here"}
    assert set(verdicts(judge(year(harmed=np.ones(DAYS, dtype=np.bool_))))) == {"not-here"}
    assert set(verdicts(judge(year(bolting_d=np.full(DAYS, 10.0))))) == {"not-here"}


def test_too_hot_too_cold_and_seed_that_does_not_come_up() -> None:
    some = (DAY >= 150) & (DAY < 240)
    assert verdicts(judge(year(hot=some)))[200] == "too-hot"
    assert verdicts(judge(year(harmed=some)))[200] == "too-cold"
    late = np.where(some, 50.0, 6.0)
    assert verdicts(judge(year(emergence_d=late)))[200] == "too-cold"
    found = judge(year(emergence_d=late, too_warm=some))
    assert verdicts(found)[200] == "too-hot"
    assert found.again_from(0, 0, 200) == 240


def test_what_would_flower_before_it_is_ready_is_never_good_to_sow() -> None:
    flowers = np.where((DAY >= 60) & (DAY < 150), 30.0, np.nan)
    said = verdicts(judge(year(bolting_d=flowers)))
    assert set(said[60:150]) == {"wait"}
    young = np.full(DAYS, 25.0)
    assert set(verdicts(judge(year("head", bolting_d=flowers, young_days=young)))[60:150]) == {"cut-young"}


def test_raise_where_the_nursery_does_well_what_the_bed_does_not() -> None:
    assert verdicts(judge(year("head", raised_days=np.full(DAYS, 58.0))))[10] == "raise"
    assert verdicts(judge(year("head", raised_days=np.full(DAYS, 58.0))))[180] == "sow"
    assert verdicts(judge(year("head", raised_days=np.full(DAYS, 61.0))))[10] != "raise"  # slow itself


def test_stands_small_what_overwinters_young_and_beats_the_sowing_of_spring() -> None:
    """Sown in November it is ready in March; a sowing that pays in spring would be three weeks later or more."""
    found = judge(year("head"))
    said = verdicts(found)
    assert said[320] == "stand-small"
    ready = 320 + seasonal(40.0, 110.0)[320] - DAYS
    assert ready > 34
    assert found.waiting_cost_d[0, 0, 320] >= 21.0
    assert "stand-small" not in verdicts(judge(year("pick")))
    assert verdicts(judge(year("head", stretch_score=np.full(DAYS, 50.0))))[320] != "stand-small"


def test_picked_crops_should_stand_by_now_in_the_dark() -> None:
    found = judge(year("pick"))
    assert verdicts(found)[340] == "set-out-grown"
    assert np.isfinite(found.sow_by[0, 0])


def test_cut_young_when_only_young_leaf_comes_in_time() -> None:
    assert verdicts(judge(year("head", young_days=np.full(DAYS, 50.0))))[20] == "cut-young"


def test_needs_lamps_when_light_is_missing_and_the_paying_sowing_is_far() -> None:
    dim = year("transplant", stretch_score=seasonal(5.0, 70.0), missing_dli_mol_m2_d=np.maximum(seasonal(-4.0, 4.0), 0))
    found = judge(dim)
    said = verdicts(found)
    assert said[330] == "needs-lamps"
    near = int(found.pays_from[0, 0]) - 20
    assert said[near] != "needs-lamps"


def test_wait_only_where_it_costs_less_than_three_weeks_of_harvest() -> None:
    found = judge(year())
    waiting = found.code[0, 0] == CODE["wait"]
    assert waiting.any()
    assert (found.waiting_cost_d[0, 0, waiting] < 21.0).all()
    before = int(np.flatnonzero(waiting)[0]) - 1
    assert found.waiting_cost_d[0, 0, before] >= 21.0
    assert verdicts(found)[before] == "slow"


def test_trays_keep_the_pace_of_the_warmth_and_wait_for_no_light() -> None:
    for way in ("seed-fed", "bulb"):
        found = judge(year(way, days=seasonal(20.0, 60.0)))
        assert np.isnan(found.pays_from[0, 0])
        said = verdicts(found)
        assert said[DARKEST] == "slow"
        assert said[180] == "sow"


def test_a_dark_bed_is_measured_against_good_light_and_not_against_itself() -> None:
    """A bed on which it always takes twice as long as in good light never says sow."""
    assert "sow" not in verdicts(judge(year(days=np.full(DAYS, 80.0))))
    assert "sow" in verdicts(judge(year(days=np.full(DAYS, 50.0))))


def test_a_stand_that_would_be_months_old_or_in_flower_does_not_count_as_standing() -> None:
    """Sown in spring because summer is too warm for its seed, a salad has gone to seed long before the dark."""
    days = np.where((DAY >= 104) & (DAY < 300), np.nan, 60.0)
    assert np.isnan(judge(year(days=days)).sow_by[0, 0])
    assert judge(year("pick", days=days)).sow_by[0, 0] == 103
    last = int(judge(year()).sow_by[0, 0])
    flowers = np.full(DAYS, np.nan)
    flowers[last] = 10.0
    assert np.isnan(judge(year(bolting_d=flowers)).sow_by[0, 0])
    assert np.isnan(judge(year(harmed_by_dark=np.ones(DAYS, dtype=np.bool_))).sow_by[0, 0])


@given(seed=st.integers(0, 10_000), way=st.sampled_from(["cut", "head", "pick", "transplant", "seed-fed"]))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_no_verdict_comes_back_within_two_weeks(seed: int, way: str) -> None:
    """On years that jump about far more than any real one."""
    draw = np.random.default_rng(seed)

    def noise(low: float, high: float) -> np.ndarray:
        return np.repeat(draw.uniform(low, high, DAYS), draw.integers(1, 12, DAYS))[:DAYS]

    rough = year(
        way,
        days=noise(30.0, 130.0),
        young_days=noise(20.0, 90.0),
        stretch_score=noise(0.0, 80.0),
        harmed=noise(0.0, 1.0) > 0.85,
        hot=noise(0.0, 1.0) > 0.85,
        bolting_d=np.where(noise(0.0, 1.0) > 0.6, noise(20.0, 90.0), np.nan),
        missing_dli_mol_m2_d=np.maximum(noise(-2.0, 3.0), 0.0),
    )
    code = judge(rough).code[0, 0]
    assert soonest_return_d(code) >= SETTLED_D
    assert most_changes(code) <= MOST_CHANGES


def most_changes(row: np.ndarray) -> int:
    """In any sixty days, each beside the day before it, round the year."""
    changed = (row != np.roll(row, 1)).astype(int)
    return int(np.convolve(np.concatenate([changed, changed]), np.ones(CALM_D, dtype=int), "valid").max())


lengths_d = st.one_of(st.integers(1, 4), st.integers(1, 20), st.integers(10, 90))
drawn_spells = st.lists(st.tuples(st.integers(0, len(VERDICTS) - 1), lengths_d), min_size=1, max_size=120)


@given(drawn=drawn_spells, turned=st.integers(0, DAYS - 1))
@settings(deadline=None, derandomize=True, max_examples=many(60, 3000))
def test_any_row_of_verdicts_comes_to_rest_and_hides_no_harm(drawn: list[tuple[int, int]], turned: int) -> None:
    given_row = np.roll(np.resize(np.repeat(*np.array(drawn).T), DAYS), turned).astype(np.int8)
    row = given_row.copy()
    calm(row)
    assert soonest_return_d(row) >= SETTLED_D
    assert most_changes(row) <= MOST_CHANGES
    assert not (row == CODE["sow"])[given_row != CODE["sow"]].any()
    harmed = np.isin(given_row, HARMS)
    assert np.isin(row[harmed], HARMS).all()
    assert (row <= given_row)[harmed].all()
    again = row.copy()
    calm(again)
    np.testing.assert_array_equal(again, row)


@pytest.mark.parametrize("verdict", ["harmed", "hot"])
def test_smoothing_never_hides_a_danger(verdict: str) -> None:
    danger = np.zeros(DAYS, dtype=np.bool_)
    danger[[100, 105, 200, 210, 300]] = True
    code = judge(year(**{verdict: danger})).code[0, 0]
    assert (code[danger] == CODE["too-cold" if verdict == "harmed" else "too-hot"]).all()


def test_a_type_for_the_winter_is_sown_in_its_season_alone() -> None:
    """What is ready in summer from a sowing in spring is not sown then where it is meant to live through the winter."""
    before = (DARKEST - DAY) % DAYS
    season = (before <= 81) & (before >= 21)
    ruling = judge(year("root", in_season=season, days=seasonal(80.0, 200.0)))
    found = np.array(verdicts(ruling))
    assert set(found[~season]) <= {"wait", "stand-small", "slow", "sow"}
    assert (found[~season] == "wait").mean() > 0.9  # the edges may settle by some days
    assert not set(found[season]) & {"not-here", "needs-lamps", "too-hot"}
    assert np.isnan(ruling.pays_from).all()
    assert ruling.again_from(0, 0, 80) == DARKEST - 81
    assert np.isnan(ruling.sow_by).all()  # none of its season stands grown by the dark


def test_a_type_whose_season_comes_to_nothing_is_not_for_this_house() -> None:
    season = DAY == DARKEST - 40
    found = verdicts(judge(year("root", in_season=season, harmed=season)))
    assert set(found) == {"not-here"}
