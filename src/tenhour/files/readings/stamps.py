"""Dates and times as people, spreadsheets and loggers write them; a whole column decides day or month first."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Final, Literal

Order = Literal["dmy", "mdy"]

_ISO: Final = re.compile(r"(?P<y>\d{4})-(?P<a>\d{1,2})-(?P<b>\d{1,2})(?:[T ]\s*(?P<rest>.+))?")
_YEAR_FIRST: Final = re.compile(r"(?P<y>\d{4})[/.](?P<a>\d{1,2})[/.](?P<b>\d{1,2})(?:[T ]\s*(?P<rest>.+))?")
_DOTTED: Final = re.compile(r"(?P<a>\d{1,2})\.(?P<b>\d{1,2})\.(?P<y>\d{4}|\d{2})(?:,?\s+(?P<rest>.+))?")
_SLASHED: Final = re.compile(r"(?P<a>\d{1,2})[/-](?P<b>\d{1,2})[/-](?P<y>\d{4}|\d{2})(?:,?\s+(?P<rest>.+))?")
_CLOCK: Final = re.compile(
    r"(?P<h>\d{1,2})[:.](?P<m>\d{2})(?:[:.](?P<s>\d{2})(?:[.,]\d+)?)?\s*(?P<half>[AaPp]\.?[Mm]\.?)?\s*(?P<zone>\S.*)?"
)
_ZONE: Final = re.compile(r"(?:Z|UTC|GMT|(?:UTC|GMT)?(?P<sign>[+-])(?P<h>\d{1,2}):?(?P<m>\d{2})?)", re.IGNORECASE)
CENTURY: Final = 2000
YEARS: Final = range(2, 9999)
"""Years whose every day has a day before and after it that a computer's calendar can hold, as zones may need."""
NOON_H: Final = 12
LAST_OFFSET_H: Final = 14
LONGEST_STAMP: Final = 40
USUAL_LETTERS: Final = (16, 19)


@dataclass(frozen=True)
class Stamps:
    """A column of stamps, naive where no zone was written; None where unreadable.

    ambiguous: every day and month could be either way round, so nothing was read from those rows.
    """

    values: tuple[datetime | None, ...]
    ambiguous: bool = False


def _zone(text: str) -> timezone | None:
    found = _ZONE.fullmatch(text.strip())
    if found is None:
        return None
    if found["sign"] is None:
        return UTC
    span = timedelta(hours=int(found["h"]), minutes=int(found["m"] or 0))
    if span > timedelta(hours=LAST_OFFSET_H):
        return None
    return timezone(span if found["sign"] == "+" else -span)


def _clock(day: date, rest: str | None) -> datetime | None:
    """Add the clock part; None where it is no clock time."""
    if not rest:
        return datetime(day.year, day.month, day.day)
    found = _CLOCK.fullmatch(rest.strip())
    if found is None:
        return None
    hour, minute, second = int(found["h"]), int(found["m"]), int(found["s"] or 0)
    if found["half"]:
        if not 1 <= hour <= NOON_H:
            return None
        hour = hour % NOON_H + (NOON_H if found["half"][0] in "Pp" else 0)
    zone = None
    if found["zone"]:
        zone = _zone(found["zone"])
        if zone is None:
            return None
    end_of_day = (hour, minute, second) == (24, 0, 0)
    try:
        stamp = datetime(day.year, day.month, day.day, 0 if end_of_day else hour, minute, second, tzinfo=zone)
    except ValueError:
        return None
    return stamp + timedelta(days=1) if end_of_day else stamp


def _date(year: str, month: str, day: str) -> date | None:
    number = int(year) if len(year) == 4 else CENTURY + int(year)
    if number not in YEARS:
        return None
    try:
        return date(number, int(month), int(day))
    except ValueError:
        return None


def _usual(short: str) -> datetime | None:
    """A stamp as most loggers write it, 2027-01-15 12:30 or with seconds, read fast; None for every other."""
    if len(short) not in USUAL_LETTERS or (short[4], short[7], short[13], short[-3]) != ("-", "-", ":", ":"):
        return None
    try:
        stamp = datetime.fromisoformat(short)
    except ValueError:
        return None
    return stamp if stamp.year in YEARS and stamp.tzinfo is None and short[10] in " T" else None


def _parse(text: str, order: Order) -> datetime | None:
    short = text.strip()
    if len(short) > LONGEST_STAMP:
        return None
    if (usual := _usual(short)) is not None:
        return usual
    for form, form_order in ((_ISO, "ymd"), (_YEAR_FIRST, "ymd"), (_DOTTED, "dmy"), (_SLASHED, order)):
        found = form.fullmatch(short)
        if found is None:
            continue
        first, second = found["a"], found["b"]
        month, day = (second, first) if form_order == "dmy" else (first, second)
        on = _date(found["y"], month, day)
        return None if on is None else _clock(on, found["rest"])
    return None


def _is_slashed(text: str) -> bool:
    return _SLASHED.fullmatch(text.strip()) is not None


def parse_stamps(texts: Sequence[str], order: Order | None = None) -> Stamps:
    """Read a column of dates or times.

    Parameters: texts, one a row: ISO (2027-01-15 12:30, with or without T, zone or seconds), 15.1.2027, and with
    slashes either way round; order, day or month first for the slashed ones, None to decide from the whole column.
    Returns: Stamps. A row that is no date is None; if the slashed rows could be read both ways and differ, all of
    them are None and ``ambiguous`` is set.
    """
    chosen: Order = order or "dmy"
    different = dict.fromkeys(texts)
    if order is None and any(_is_slashed(text) for text in different):
        slashed = [text for text in texts if _is_slashed(text)]
        day_first = [_parse(text, "dmy") for text in slashed]
        month_first = [_parse(text, "mdy") for text in slashed]
        gaps = day_first.count(None), month_first.count(None)
        if gaps[0] == gaps[1] and day_first != month_first:
            return Stamps(tuple(None if _is_slashed(text) else _parse(text, "dmy") for text in texts), True)
        chosen = "dmy" if gaps[0] <= gaps[1] else "mdy"
    known = {text: _parse(text, chosen) for text in different}
    return Stamps(tuple(known[text] for text in texts))
