"""Text, JSON, spreadsheet, calendar and page tell the same dates and verdicts, of houses drawn at random.

Each is read back as its reader would have it: lines of the terminal, a calendar by a second reader, tables of the page.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import vobject

from helpers_any_house import any_house
from helpers_cli import tenhour
from helpers_long import many
from helpers_once import few_winters

HOUSES: list[int | None] = many([None], [None, *range(100, 112)])
"""The built-in house, and houses by their seeds."""
CROPS = many(["spinach", "kale", "basil"], [])
DAY = re.compile(r"\d{4}-\d\d-\d\d")
DATES = ("harvest_from", "harvest_to", "pays_from", "sow_by", "next_from", "young_from", "young_to", "set_out",
         "keeps_to", "flowers_from")  # fmt: skip
SAID = {
    "sow now": "sow", "sow to stand small": "stand-small", "raise first": "raise", "cut young": "cut-young",
    "slow": "slow", "wait": "wait", "needs lamps": "needs-lamps", "set out grown": "set-out-grown",
    "too hot": "too-hot", "too cold": "too-cold", "not here": "not-here",
}  # fmt: skip
"""Verdicts as the text has them above its lines, and in JSON."""
MARKS = {
    "good": "sow", "stands small through the dark": "stand-small", "slow": "slow", "cut young": "cut-young",
    "raise it elsewhere": "raise", "wait": "wait", "should stand by now": "set-out-grown",
    "needs lamps": "needs-lamps", "too hot": "too-hot", "too cold": "too-cold", "not here": "not-here",
}  # fmt: skip
"""Verdicts as the legend of the strips has them."""


@dataclass
class Told:
    """The same day of the same house, told in every way."""

    on: date
    sow: Any
    season: Any
    sow_text: str
    season_text: str
    sheet: list[dict[str, str]]
    calendar: Any
    page: Page


@dataclass
class PageTable:
    """A table of the page: what it stands under, its caption, its rows by heading."""

    within: str
    caption: str
    rows: list[dict[str, str]]


class Page(HTMLParser):
    """Tables of a page, each with the summary it is folded under, and the cards of the sheet to pin up."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tables: list[PageTable] = []
        self.cards: dict[str, list[str]] = {}
        self.summary, self.card, self.heads, self.cells, self.text = "", "", [], [], ""  # type: ignore[var-annotated]
        self.hidden = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            self.tables.append(PageTable(self.summary, "", []))
            self.heads = []
        if tag == "tr":
            self.cells = []
        if tag == "i":
            self.hidden = True
        if tag in ("th", "td", "caption", "summary", "h3", "li"):
            self.text = ""

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.text += data.replace("\N{NO-BREAK SPACE}", " ")

    def handle_endtag(self, tag: str) -> None:
        if tag == "i":
            self.hidden = False
        if tag == "summary":
            self.summary = self.text
        if tag == "details":
            self.summary = ""
        if tag == "h3":
            self.card = self.text
        if tag == "li":
            self.cards.setdefault(self.card, []).append(" ".join(self.text.split()))
        if tag == "caption" and self.tables:
            self.tables[-1].caption = self.text
        if tag in ("th", "td"):
            self.cells.append(self.text)
        if tag == "thead":
            self.heads = self.cells
        if tag == "tr" and self.heads and self.cells and self.cells is not self.heads:
            self.tables[-1].rows.append(dict(zip(self.heads, self.cells, strict=True)))

    def found(self, within: str, caption: str) -> list[dict[str, str]]:
        (table,) = [one for one in self.tables if one.within == within and one.caption.startswith(caption)]
        return table.rows


@pytest.fixture(scope="module", params=HOUSES)
def told(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Told:
    folder = tmp_path_factory.mktemp("told")
    on = date(2026, 8, 1) + timedelta(days=int(np.random.default_rng(request.param or 1).integers(365)))
    with pytest.MonkeyPatch.context() as patch:
        few_winters(patch)
        patch.chdir(folder)
        patch.setenv("COLUMNS", "120")
        if request.param is not None:
            Path("house.toml").write_text(any_house(request.param), encoding="utf-8")
        some = [word for crop in CROPS for word in ("--crop", crop)]
        begin = ["season", "--from", str(on), *some]

        def out(*words: str) -> str:
            done = tenhour(*words)
            assert done.status == 0, done.err
            return done.out

        return Told(
            on,
            json.loads(out("sow", "--on", str(on), *some, "--json")),
            json.loads(out(*begin, "--json")),
            out("sow", "--on", str(on), *some, "--all"),
            out(*begin, "--all", "--ics", "dates.ics"),
            list(csv.DictReader(io.StringIO(out(*begin, "--csv", "crops")))),
            vobject.readOne(Path("dates.ics").read_text("utf-8")),
            Page(_page(out, on, some)),
        )


def _page(out: Any, on: date, some: list[str]) -> str:
    out("report", "--on", str(on), *some, "--dates", "iso", "-o", "page.html")
    return Path("page.html").read_text("utf-8")


def each(answer: Any) -> Iterator[tuple[str, Any]]:
    """Bed and crop, of an answer in JSON, fruiting crops left out."""
    for bed in answer["beds"]:
        for crop in dated(bed):
            yield bed["name"], crop


def dated(bed: Any) -> list[Any]:
    """Crops with a table of growth: the page has fruiting ones among its sowings alone."""
    return [crop for crop in bed["crops"] if crop["way"] != "fruiting"]


def days_in(crop: Any) -> set[str]:
    """Every date of a crop in JSON but for those in its sentences."""
    found = {crop[key] for key in DATES if crop.get(key)}
    for part in [crop.get("raising") or {}, *crop.get("peaks", [])]:
        found |= {value for value in part.values() if isinstance(value, str) and DAY.fullmatch(value)}
    return found


def lines_of(text: str) -> dict[tuple[str, str], tuple[str, str]]:
    """Verdict and words of every crop on every bed, from the text of ``sow --all``."""
    found: dict[tuple[str, str], tuple[str, str]] = {}
    bed, verdict, last = "", "", ("", "")
    for line in text.splitlines():
        if line.startswith("Bed "):
            bed, verdict = line.removeprefix("Bed ").strip(), ""
        elif line.rstrip(":").lower() in SAID:
            verdict = SAID[line.rstrip(":").lower()]
        elif verdict and (entry := re.match(r"  (\S.*?)(?: {2,}|$)(.*)", line)):
            last = (bed, entry[1])
            found[last] = (verdict, entry[2])
        elif verdict and line.startswith("   "):
            found[last] = (verdict, f"{found[last][1]} {line.strip()}")
        else:
            verdict = ""
    return found


def test_the_text_of_a_sowing_has_the_verdicts_and_dates_of_its_json(told: Told) -> None:
    lines = lines_of(told.sow_text)
    assert len(lines) == sum(len(bed["crops"]) for bed in told.sow["beds"])
    moved = {
        (bed, crop["crop"]): {day for day in (crop["moved"] or {}).values() if isinstance(day, str)}
        for bed, crop in each(told.season)
    }
    for bed, crop in each(told.sow):
        verdict, words = lines[bed, crop["crop"].replace("-", " ")]
        assert verdict == crop["verdict"], (bed, crop["crop"])
        assert set(DAY.findall(words)) <= days_in(crop) | moved[bed, crop["crop"]], (bed, crop["crop"], words)
        if verdict in ("sow", "slow") and not crop["peaks"]:
            assert {crop["harvest_from"], crop["harvest_to"]} <= set(DAY.findall(words)) | {None}, (bed, crop["crop"])


def test_a_sowing_and_its_season_agree(told: Told) -> None:
    sown = {(bed, crop["crop"]): crop for bed, crop in each(told.sow)}
    for bed, crop in each(told.season):
        one, week = sown[bed, crop["crop"]], crop["weeks"][0]
        assert week["start"] == str(told.on)
        assert week["state"] == one["verdict"], (bed, crop["crop"])
        assert (week["days_low"], week["days_high"]) == (one["days_low"], one["days_high"])
        assert crop["pays_from"] == one["pays_from"]
        for key, days in (("harvest_from", week["days_low"]), ("harvest_to", week["days_high"])):
            assert one[key] == (None if days is None else str(told.on + timedelta(days=days))), (bed, crop["crop"], key)


def test_the_text_of_a_season_has_the_weeks_and_dates_of_its_json(told: Told) -> None:
    legend = re.search(r"A mark per week: (.*?)\.", told.season_text.replace("\n", " "))
    assert legend is not None
    mark_of = {MARKS[word]: mark for mark, word in (item.split(" ", 1) for item in legend[1].split(", "))}
    parts = re.split(r"^Bed ", told.season_text, flags=re.MULTILINE)[1:]
    for bed in told.season["beds"]:
        (part,) = [text for text in parts if text.startswith(f"{bed['name']}, ")]
        for crop in bed["crops"]:
            name = crop["crop"].replace("-", " ")
            strip = "".join(mark_of[week["state"]] for week in crop["weeks"])
            assert re.search(rf"^{re.escape(name)} +{re.escape(strip)}$", part, re.MULTILINE), (bed["name"], name)
            keys = ("sow_from", "sow_by_sure", "sow_by", "hold_from", "hold_to", "pays_from")
            dates = [crop[key] or "-" for key in keys]
            if set(dates) != {"-"}:
                row = re.search(
                    rf"^{re.escape(name)} +((?:\S+ +){{5}}\S+) *$", part.partition("sow from")[2], re.MULTILINE
                )
                assert row is not None, (bed["name"], name)
                assert row[1].split() == dates, (bed["name"], name)


def test_the_spreadsheet_has_the_dates_of_the_json(told: Told) -> None:
    rows = {(row["bed"], row["crop"]): row for row in told.sheet}
    for bed, crop in each(told.season):
        for key in ("sow_from", "sow_by_sure", "sow_by", "hold_from", "hold_to", "pays_from"):
            assert rows[bed, crop["crop"]][key] == (crop[key] or ""), (bed, crop["crop"], key)


def test_the_calendar_has_the_dates_of_the_json_and_no_others(told: Told) -> None:
    words = {"hold": "stands ready", "pick": "pick week by week", "harvest": "harvest", "set-out": "set out"}
    wanted: list[tuple[str, str, str]] = []
    for bed, crop in each(told.season):
        name = crop["crop"].replace("-", " ")
        if crop["sow_by"]:
            wanted.append((f"Last day to sow {name} on {bed} for winter", crop["sow_by"], crop["sow_by"]))
        if crop["pays_from"]:
            wanted.append((f"Sowing {name} on {bed} pays again", crop["pays_from"], crop["pays_from"]))
        wanted += [
            (f"{name} on {bed}: {words[span['kind']]}", span["first"], span["last"])
            for span in crop["spans"]
            if span["kind"] in words
        ]
    events = getattr(told.calendar, "vevent_list", [])
    found = [
        (event.summary.value, str(event.dtstart.value), str(event.dtend.value - timedelta(days=1)))
        for event in events
        if event.categories.value[0] not in ("lamps", "succession")
    ]
    assert sorted(found) == sorted(wanted)


def test_the_page_has_the_verdicts_and_dates_of_the_json(told: Told) -> None:
    for bed in told.sow["beds"]:
        rows = told.page.found(f"Every crop on bed {bed['name']}", "What becomes of a sowing")
        assert len(rows) == len(bed["crops"])
        for row, crop in zip(rows, bed["crops"], strict=True):
            assert row["name"] == crop["name"]
            assert row["verdict"] == crop["verdict"]
            for heading, key in {"harvest from": "harvest_from", "harvest to": "harvest_to", "pays from": "pays_from",
                                 "sow by": "sow_by"}.items():  # fmt: skip
                assert row[heading] == (crop[key] or "-"), (bed["name"], crop["crop"], key)


def test_the_page_has_the_season_of_the_json(told: Told) -> None:
    headings = {"sow from": "sow_from", "surely by": "sow_by_sure", "sow by": "sow_by", "holds from": "hold_from",
                "holds to": "hold_to", "pays again from": "pays_from"}  # fmt: skip
    for bed in told.season["beds"]:
        within = f"Dates, light and air of every crop on bed {bed['name']}"
        rows = {row["name"]: row for row in told.page.found(within, "The dates of each crop")}
        for crop in dated(bed):
            for heading, key in headings.items():
                assert rows[crop["name"]][heading] == (crop[key] or "-"), (bed["name"], crop["crop"], key)
        spans = [
            (row["crop"], row["what"], row["from"], row["to"]) for row in told.page.found(within, "What can be sown")
        ] if any(crop["spans"] for crop in dated(bed)) else []  # fmt: skip
        wanted = [
            (crop["crop"], span["kind"], span["first"], span["last"]) for crop in dated(bed) for span in crop["spans"]
        ]
        assert spans == wanted


def test_the_sheet_to_pin_up_says_what_the_json_says_to_sow(told: Told) -> None:
    """The crops to sow now with their dates, and those to wait for with theirs."""
    now = told.page.cards.get("Sow now", [])
    assert [line.split(":")[0] for line in now] == [line.split(":")[0] for line in now]
    assert len(now) == len(told.sow["now"])
    for line, one in zip(now, told.sow["now"], strict=True):
        assert line.startswith(one["crop"].replace("-", " "))
        known = {one[key] for key in ("set_out", "ready_from", "ready_to")} - {None}
        assert {one["ready_from"], one["ready_to"]} <= set(DAY.findall(line)) | {None}
        assert known or not DAY.findall(line)
    waits = told.page.cards.get("Wait for", [])
    ahead = {(str(one["date"]), one["crop"].replace("-", " ")) for one in told.sow["later"]}
    said = {(line[:10], name) for line in waits for name in line[10:].strip().split(", ")}
    assert said <= ahead
    assert bool(said) == bool(ahead)
