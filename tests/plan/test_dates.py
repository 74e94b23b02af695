"""Calendar dates against the generic year: leap days, the turn of the year."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tenhour.plan.dates import DAYS, begun_or_next, date_of_index, day_index, last_on_or_before, next_on_or_after

LEAP = date(2028, 2, 29)


def test_the_leap_day_has_the_light_of_the_day_before() -> None:
    assert day_index(LEAP) == day_index(date(2028, 2, 28)) == 58
    assert day_index(date(2028, 3, 1)) == day_index(date(2027, 3, 1)) == 59


def test_asked_on_the_leap_day_today_is_today() -> None:
    assert next_on_or_after(day_index(LEAP), LEAP) == LEAP
    assert last_on_or_before(day_index(LEAP), LEAP) == LEAP
    assert next_on_or_after(day_index(LEAP), date(2028, 2, 28)) == date(2028, 2, 28)


@pytest.mark.parametrize("start", [date(2026, 8, 1), date(2027, 1, 1), date(2027, 12, 31), LEAP, date(2028, 3, 1)])
def test_every_day_of_the_year_comes_within_a_year(start: date) -> None:
    for index in range(DAYS):
        found = next_on_or_after(index, start)
        assert start <= found <= start + timedelta(days=365)
        assert day_index(found) == index
        before = last_on_or_before(index, start)
        assert start - timedelta(days=366) <= before <= start
        assert day_index(before) == index


def test_date_of_an_index_wraps_round() -> None:
    assert date_of_index(DAYS, 2027) == date(2027, 1, 1)
    assert date_of_index(-1, 2027) == date(2027, 12, 31)


@pytest.mark.quick
def test_a_stretch_that_comes_every_year_is_the_one_that_is_on_or_the_next() -> None:
    # From 20 November 101 days are up on 28 February, whether the year has a 29th or not.
    begin = day_index(date(2027, 11, 20))
    for year in (2026, 2027):
        first = date(year, 11, 20)
        assert begun_or_next(begin, 101, first - timedelta(days=1)) == first
        assert begun_or_next(begin, 101, first) == first
        assert begun_or_next(begin, 101, first + timedelta(days=100)) == first
        assert begun_or_next(begin, 101, first + timedelta(days=101)) == date(year + 1, 11, 20)
    assert begun_or_next(begin, 102, date(2028, 2, 29)) == date(2027, 11, 20)
