"""A steady supply: harvests at the wished interval, and beds that are never over full."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.plan.dates import DAYS
from tenhour.plan.supply import Wanted, measurable_count, shares, successions, taken_m2


def test_harvests_follow_each_other_at_the_wished_interval() -> None:
    days = 40.0 + 30.0 * (0.5 + 0.5 * np.cos(2 * np.pi * (np.arange(DAYS) - 354) / DAYS))
    met, missed = successions(days, 60, 14, 300)
    ready = np.array([sown + took for sown, took in met])
    assert missed == []
    assert len(met) > 10
    assert (np.abs(np.diff(ready) - 14.0) <= 7.0).all()
    assert (np.diff([sown for sown, _ in met]) > 0).all()


def test_sowings_come_closer_where_growth_slows() -> None:
    """Common practice: into autumn a steady harvest wants sowings ever closer together."""
    days = np.full(DAYS, 40.0)
    days[200:] = 40.0 + 1.0 * np.arange(DAYS - 200)
    met, _ = successions(days, 100, 14, 250)
    gaps = np.diff([sown for sown, _ in met])
    assert gaps[0] == pytest.approx(14, abs=1)
    assert gaps[-1] == pytest.approx(7, abs=1)


def test_wishes_that_no_sowing_meets_are_named() -> None:
    days = np.full(DAYS, 30.0)
    days[100:200] = np.nan
    met, missed = successions(days, 0, 7, DAYS)
    assert all(not 100 <= sown < 200 for sown, _ in met)
    assert missed
    assert all(130 - 7 <= wish <= 230 + 7 for wish in missed)
    assert successions(np.full(DAYS, np.nan), 0, 7, DAYS) == ([], [])


def test_quiet_times_keep_their_whole_wish() -> None:
    wanted = [Wanted(0, 0, 49, 3.0), Wanted(0, 0, 49, 1.0), Wanted(0, 100, 149, 2.0)]
    assert shares(wanted, np.array([2.0]), DAYS) == [0.5, 0.5, 1.0]


@given(
    items=st.lists(
        st.tuples(st.integers(0, 1), st.integers(0, 300), st.integers(1, 120), st.floats(0.01, 5.0)),
        min_size=1,
        max_size=25,
    ),
    area=st.tuples(st.floats(0.2, 4.0), st.floats(0.2, 4.0)),
)
@settings(deadline=None, derandomize=True, max_examples=60)
def test_no_bed_is_ever_over_full(items: list[tuple[int, int, int, float]], area: tuple[float, float]) -> None:
    wanted = [Wanted(bed, first, first + length, size) for bed, first, length, size in items]
    found = shares(wanted, np.array(area), DAYS)
    assert all(0.0 < share <= 1.0 for share in found)
    granted = [
        Wanted(item.bed, item.first_d, item.last_d, item.area_m2 * share)
        for item, share in zip(wanted, found, strict=True)
    ]
    taken = taken_m2(granted, 2, DAYS)
    assert (taken <= np.array(area)[:, None] * (1 + 1e-9)).all()


def test_area_taken_counts_the_last_day() -> None:
    taken = taken_m2([Wanted(0, 2, 4, 1.5), Wanted(0, 4, 400, 1.0)], 1, 10)
    assert taken[0].tolist() == [0, 0, 1.5, 1.5, 2.5, 1, 1, 1, 1, 1]


def test_no_crop_is_sown_twice_in_a_week() -> None:
    """Where growth quickens, two wished harvests may want sowings days apart: the second is missed, not squeezed in."""
    days = np.full(365, 40.0)
    days[:60] = np.linspace(90.0, 40.0, 60)
    met, _ = successions(days, 0, 7, 300)
    apart = np.diff([day for day, _ in met])
    assert len(met) > 20
    assert apart.min() >= 7


@pytest.mark.parametrize(("needed", "told"), [(0.4, 1), (7.2, 8), (20.0, 20), (23.0, 25), (128.0, 130), (1734.0, 1800)])
def test_seed_is_told_in_counts_a_person_measures(needed: float, told: int) -> None:
    """Common practice: a few are counted out, many are measured by two figures; never fewer than are needed."""
    assert measurable_count(needed) == told >= needed
