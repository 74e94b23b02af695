"""Calendar dates against the generic year: leap days, the turn of the year."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tenhour.plan.dates import DAYS, date_of_index, day_index, last_on_or_before, next_on_or_after

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
