"""The calendar file: read by a second parser, updated and not doubled by a second import."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
import vobject
from icalendar import Calendar

import helpers_report as made_up
from tenhour.report.calendar import Lamp, season_ics
from tenhour.words.style import Style

MADE = datetime(2027, 1, 15, 12, 0, tzinfo=UTC)
LAMPS = (Lamp("front", date(2026, 10, 20), date(2027, 3, 1)),)


def written(house: str = "made up", made: datetime = MADE, shift_d: int = 0) -> bytes:
    answer = made_up.season_answer()
    if shift_d:
        move = timedelta(days=shift_d)
        beds = tuple(
            replace(bed, crops=tuple(replace(c, pays_from=c.pays_from + move) for c in bed.crops if c.pays_from))
            for bed in answer.beds
        )
        answer = replace(answer, beds=beds)
    return season_ics(answer, house, made, Style(), lamps=LAMPS)


def events(data: bytes) -> dict[str, tuple[date, date, str, int]]:
    """Import as a calendar program does: by UID, the later sequence wins."""
    found: dict[str, tuple[date, date, str, int]] = {}
    for event in Calendar.from_ical(data).walk("VEVENT"):
        row = (event.decoded("dtstart"), event.decoded("dtend"), str(event["summary"]), int(event["sequence"]))
        uid = str(event["uid"])
        assert uid not in found, "each entry has an identity of its own"
        found[uid] = row
    return found


def test_a_second_parser_reads_all_of_it() -> None:
    data = written()
    second = vobject.readOne(data.decode("utf-8"))
    ours = events(data)
    theirs = {event.uid.value: (event.dtstart.value, event.dtend.value) for event in second.vevent_list}
    assert theirs == {uid: (first, end) for uid, (first, end, _, _) in ours.items()}
    assert len(theirs) > 20


def test_importing_again_updates_and_keeps_the_count() -> None:
    first = events(written())
    later = events(written(made=MADE + timedelta(days=3), shift_d=4))
    assert set(first) == set(later)
    assert all(later[uid][3] > first[uid][3] for uid in first), "a later file has a higher sequence"
    moved = [uid for uid in first if first[uid][0] != later[uid][0]]
    assert moved
    assert all(later[uid][0] - first[uid][0] == timedelta(days=4) for uid in moved)


def test_another_house_or_season_does_not_overwrite() -> None:
    mine, theirs = events(written()), events(written("next door"))
    assert len(set(mine) | set(theirs)) == len(mine) + len(theirs)


def test_identity_is_pinned() -> None:
    """A changed rule for identities would double every user's calendar: this must not move between releases."""
    uid = next(uid for uid, row in events(written()).items() if row[2] == "Lamps on over front")
    assert uid == "6df0b6f8-a378-538f-a696-2ebd62294d70@tenhour"


def test_what_it_holds() -> None:
    summaries = [summary for _, _, summary, _ in events(written()).values()]
    for wanted in (
        "Last day to sow lettuce loose leaf on front for winter",
        "Sowing kale on back pays again",
        "lettuce loose leaf on front: stands ready",
        "lettuce loose leaf on front: pick week by week",
        "spinach on front: harvest",
        "Lamps on over front",
        "Sow lettuce, loose-leaf on front",
    ):
        assert wanted in summaries
    lamps = next(row for row in events(written()).values() if row[2] == "Lamps on over front")
    assert lamps[:2] == (date(2026, 10, 20), date(2027, 3, 1)), (
        "an all-day end is the day after the last (RFC 5545 3.6.1)"
    )


@pytest.mark.parametrize("name", [*made_up.HOSTILE, made_up.STEERING, "a\nb;c,d\\e"])
def test_hostile_names_are_folded_and_escaped(name: str) -> None:
    data = season_ics(made_up.season_answer((name,), 3), name, MADE, Style())
    assert all(len(line) <= 75 for line in data.split(b"\r\n")), "lines of at most 75 octets (RFC 5545 3.1)"
    assert re.fullmatch(rb"(?:[^\r\n]*\r\n)+", data)
    assert data.count(b"BEGIN:VEVENT") == len(events(data)) == len(vobject.readOne(data.decode("utf-8")).vevent_list)
