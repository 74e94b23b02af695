"""Dates as an iCalendar file (RFC 5545) that a second import updates instead of doubling."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

from icalendar import Calendar, Event

from tenhour import __version__
from tenhour.model.season import BedSeason, CropSeason, SeasonAnswer, SpanKind
from tenhour.report.terminal import clean
from tenhour.words.crops import crop_name
from tenhour.words.style import Style
from tenhour.words.text import written

NAMESPACE: Final = uuid.UUID("5f0d4a3c-2b7e-5d64-9c1a-7e1f0b6a4c10")
"""Fixed for all calendars made here, so that one thing keeps one identity."""
FIRST_REVISION: Final = datetime(2020, 1, 1, tzinfo=UTC)
SEASON_TURNS: Final = 7
"""A season is named by the year its first July falls into; in the south by the year itself."""

SPAN_WORDS: Final[dict[SpanKind, str]] = {
    "hold": "stands ready",
    "pick": "pick week by week",
    "harvest": "harvest",
    "set-out": "set out",
}


@dataclass(frozen=True)
class Entry:
    """One all-day entry; ``last`` is its last day."""

    kind: str
    first: date
    last: date
    summary: str
    note: str
    bed: str
    crop: str
    known: str = ""
    """What tells it from others, where its season and its place among its like do not."""
    cancelled: bool = False
    """Said to be off, so that a calendar that has it drops it."""


@dataclass(frozen=True)
class Lamp:
    """Days on which the lamps over a bed start and stop for the season."""

    bed: str
    on_from: date
    off_from: date


def season_ics(
    answer: SeasonAnswer, house: str, made: datetime, style: Style, *, lamps: tuple[Lamp, ...] = ()
) -> bytes:
    """Write the dates of a season as a calendar file.

    Parameters: house, the name or place that tells this house from another; made, when the file is made (with zone);
    lamps, first and last day with lamps by bed.
    """
    return calendar_of(_entries(answer, lamps, style), house, made)


def calendar_of(entries: Iterable[Entry], house: str, made: datetime) -> bytes:
    """Write entries as a calendar file; one with the same identity replaces another on a second import."""
    calendar = Calendar()
    calendar.add("prodid", f"-//tenhour//{__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", clean(f"Greenhouse {house}".strip()))
    seen: dict[str, int] = {}
    for entry in sorted(entries, key=lambda item: (item.first, item.bed, item.crop, item.kind)):
        calendar.add_component(_event(entry, house, made, seen))
    return bytes(calendar.to_ical())


def _entries(answer: SeasonAnswer, lamps: tuple[Lamp, ...], style: Style) -> Iterator[Entry]:
    for bed in answer.beds:
        for crop in bed.crops:
            yield from _crop_entries(bed, crop, style)
    for lamp in lamps:
        until = max(lamp.on_from, lamp.off_from - timedelta(days=1))
        yield Entry("lamps", lamp.on_from, until, f"Lamps on over {lamp.bed}", "", lamp.bed, "")
    for item in answer.successions:
        words = f"Sow {item.crop} on {item.bed}"
        yield Entry("succession", item.sow, item.sow, words, written(item.note, style), item.bed, item.crop)


def _crop_entries(bed: BedSeason, crop: CropSeason, style: Style) -> Iterator[Entry]:
    note = written(crop.sentence, style)
    if crop.sow_by is not None:
        words = f"Last day to sow {crop_name(crop.crop)} on {bed.name} for winter"
        yield Entry("sow-by", crop.sow_by, crop.sow_by, words, note, bed.name, crop.crop)
    if crop.pays_from is not None:
        name = crop_name(crop.crop)
        fruits = f"Light and warmth are enough for {name} to fruit on {bed.name}"
        words = fruits if crop.way == "fruiting" else f"Sowing {name} on {bed.name} pays again"
        yield Entry("pays-from", crop.pays_from, crop.pays_from, words, note, bed.name, crop.crop)
    for span in crop.spans:
        if span.kind in SPAN_WORDS:
            words = f"{crop_name(crop.crop)} on {bed.name}: {SPAN_WORDS[span.kind]}"
            yield Entry(span.kind, span.first, span.last, words, written(span.note, style), bed.name, crop.crop)


def _event(entry: Entry, house: str, made: datetime, seen: dict[str, int]) -> Event:
    event = Event()
    event.add("uid", _uid(entry, house, seen))
    event.add("dtstamp", made.astimezone(UTC).replace(microsecond=0))
    event.add("last-modified", made.astimezone(UTC).replace(microsecond=0))
    event.add("sequence", max(0, int((made - FIRST_REVISION).total_seconds() // 60)))
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + timedelta(days=1))
    event.add("summary", clean(entry.summary))
    if entry.note:
        event.add("description", clean(entry.note))
    event.add("transp", "TRANSPARENT")
    event.add("categories", [entry.kind])
    if entry.cancelled:
        event.add("status", "CANCELLED")
    return event


def _uid(entry: Entry, house: str, seen: dict[str, int]) -> str:
    """Identity from house, bed, crop, kind and season; the dates may move without making a new entry.

    A second span of one kind in one season (two harvests) is told apart by its number in order of time.
    """
    start = entry.first
    season = start.year if start.month >= SEASON_TURNS else start.year - 1
    what = "\x1f".join((house, entry.bed, entry.crop, entry.kind, entry.known or str(season)))
    number = seen[what] = seen.get(what, 0) + 1
    name = "\x1f".join((what, str(number)))
    return f"{uuid.uuid5(NAMESPACE, name)}@tenhour"
