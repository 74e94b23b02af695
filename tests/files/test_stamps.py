"""Stamps as loggers and spreadsheets write them; expected values by reading the text as a person would."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.files.readings.stamps import parse_stamps


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2027-01-15", datetime(2027, 1, 15)),
        ("2027-01-15 08:05", datetime(2027, 1, 15, 8, 5)),
        ("2027-01-15T08:05:30Z", datetime(2027, 1, 15, 8, 5, 30, tzinfo=UTC)),
        ("2027-01-15T08:05:30.250+01:00", datetime(2027, 1, 15, 8, 5, 30, tzinfo=timezone(timedelta(hours=1)))),
        ("2027-01-15 08:05 UTC-3:30", datetime(2027, 1, 15, 8, 5, tzinfo=timezone(-timedelta(hours=3.5)))),
        ("2027/01/15 23:59", datetime(2027, 1, 15, 23, 59)),
        ("15.1.2027 8.05", datetime(2027, 1, 15, 8, 5)),
        ("15.01.27, 08:05", datetime(2027, 1, 15, 8, 5)),
        ("1/15/2027 12:05 AM", datetime(2027, 1, 15, 0, 5)),
        ("1/15/2027 12:05 p.m.", datetime(2027, 1, 15, 12, 5)),
        ("15/1/27 3:05 PM", datetime(2027, 1, 15, 15, 5)),
        ("2027-01-15 24:00", datetime(2027, 1, 16)),
        ("2028-02-29", datetime(2028, 2, 29)),
    ],
)
def test_forms(text: str, expected: datetime) -> None:
    assert parse_stamps([text]).values == (expected,)


@pytest.mark.parametrize(
    "text",
    ["", "yesterday", "2027-02-29", "2027-13-01", "31/31/2027", "2027-01-15 25:00", "2027-01-15 13:00 PM",
     "2027-01-15 12:00 XYZ", "2027-01-15 12:00+99:00", "0000-01-01", "9" * 5000, "2027-01-15 8",
     "9999-12-31 24:00", "31.12.9999 23:59", "0001-01-01 00:00+14:00"],
)  # fmt: skip
def test_what_is_no_date_reads_as_nothing(text: str) -> None:
    assert parse_stamps([text]).values == (None,)


def test_one_row_decides_for_the_whole_column() -> None:
    assert parse_stamps(["03/04/2027", "25/04/2027"]).values[0] == datetime(2027, 4, 3)
    assert parse_stamps(["03/04/2027", "04/25/2027"]).values[0] == datetime(2027, 3, 4)


def test_a_column_that_could_be_either_is_not_guessed() -> None:
    stamps = parse_stamps(["03/04/2027", "05/06/2027", "2027-01-02"])
    assert stamps.ambiguous
    assert stamps.values == (None, None, datetime(2027, 1, 2))
    assert parse_stamps(["03/04/2027"], "mdy").values == (datetime(2027, 3, 4),)
    assert not parse_stamps(["03/03/2027"]).ambiguous


@given(st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1)).map(lambda t: t.replace(microsecond=0, fold=0)))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_iso_round_trip(stamp: datetime) -> None:
    assert parse_stamps([stamp.isoformat(), stamp.isoformat(" ")]).values == (stamp, stamp)


@given(st.text(max_size=60))
@settings(deadline=None, derandomize=True, max_examples=150)
def test_any_text_is_read_or_not_but_never_breaks(text: str) -> None:
    assert len(parse_stamps([text, "01/02/2027"]).values) == 2
