"""Tables in 80 and 120 columns, plain text when piped, names that cannot steer the terminal."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest
from rich.cells import cell_len

import helpers_report as made_up
from tenhour.model.results import DayLight
from tenhour.report import terminal
from tenhour.report.light import light_text
from tenhour.report.season import season_text
from tenhour.report.sow import sow_text
from tenhour.report.terminal import Column, bars, beside, clean, strips, table, wrap
from tenhour.words.style import Style

BEDS = ("front", "the long south bed by the water barrel, raised")
TEXTS: dict[str, Callable[[int, Style], str]] = {
    "light": lambda width, style: light_text(made_up.light_answer(BEDS), width, spread=True, style=style),
    "sow": lambda width, style: sow_text(made_up.sow_answer(BEDS, 20), width, style=style),
    "sow in a screen": lambda width, style: sow_text(made_up.sow_answer(BEDS, 20), width, style=style, by_bed=False),
    "light in a row": lambda width, style: light_text(
        made_up.light_answer(BEDS), width, style=style, months=False, now=date(2027, 1, 15)
    ),
    "season": lambda width, style: season_text(made_up.season_answer(BEDS, 20), width, style=style),
}
STYLES = (Style(), Style(True, "us"), Style(False, "long"))


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("width", [40, 60, 80, 100, 120])
@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.dates)
def test_no_line_is_wider_than_the_terminal(name: str, width: int, style: Style) -> None:
    too_wide = [line for line in TEXTS[name](width, style).splitlines() if cell_len(line) > width]
    assert not too_wide


@pytest.mark.parametrize("name", [name for name in TEXTS if " in a " not in name])
def test_wide_terminals_show_more(name: str) -> None:
    assert len(TEXTS[name](120, Style()).split()) > len(TEXTS[name](80, Style()).split())


def test_piped_output_holds_no_escape_codes() -> None:
    for text in TEXTS.values():
        assert "\x1b" not in text(80, Style())


def test_bold_only_on_a_terminal_that_wants_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert terminal.bold("x") == "\x1b[1mx\x1b[0m"
    monkeypatch.setenv("NO_COLOR", "1")
    assert terminal.bold("x") == "x"


def test_width_follows_the_terminal_up_to_120(monkeypatch: pytest.MonkeyPatch) -> None:
    for columns, width in (("60", 60), ("100", 100), ("200", 120), ("10", 40)):
        monkeypatch.setenv("COLUMNS", columns)
        assert terminal.width_columns() == width
    monkeypatch.delenv("COLUMNS")
    assert terminal.width_columns() == 80


def test_names_cannot_steer_the_terminal() -> None:
    answer = made_up.sow_answer((made_up.STEERING,), 3)
    text = sow_text(answer, 80)
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f\u202a-\u202e]", text)
    assert "red[31mredback" in text


def test_hostile_names_keep_the_width() -> None:
    for text in (
        sow_text(made_up.sow_answer(made_up.HOSTILE, 5), 80),
        sow_text(made_up.sow_answer(made_up.HOSTILE, 5), 80, by_bed=False),
        light_text(made_up.light_answer(made_up.HOSTILE), 80, months=False),
        light_text(made_up.light_answer(made_up.HOSTILE), 120),
        season_text(made_up.season_answer(made_up.HOSTILE, 5), 80),
    ):
        limit = 120 if "The year at a glance, full" in text else 80
        assert max(cell_len(line) for line in text.splitlines()) <= limit


def test_dates_are_never_cut() -> None:
    columns = [
        Column("a name", right=False),
        Column("when", right=False, firm=True),
        Column("then", right=False, firm=True),
    ]
    lines = table(columns, [["long " * 30, "2027-01-15", "2027-02-15"]], 40)
    assert all(len(line) <= 40 for line in lines)
    assert sum("2027-01-15  2027-02-15" in line for line in lines) == 1
    assert sum(line.count("long") for line in lines) == 30, "a name is broken, never cut"


def test_names_give_way_after_sentences() -> None:
    columns = [Column("crop", right=False), Column("what to do", right=False, wrap=True)]
    lines = table(columns, [["a winter lettuce of ours", "sow it " * 20]], 60)
    assert lines[2].startswith("a winter lettuce of ours  sow it")
    assert all(len(line) <= 60 for line in lines)


def test_texts_and_strips_beside_long_names_lose_nothing() -> None:
    name, words = "a crop with a name too long for its column", "ready in April " * 9
    lines = beside([(name, words)], 20, 80, "  ")
    assert " ".join(" ".join(line[2:22] for line in lines).split()) == name
    assert " ".join(" ".join(line[24:] for line in lines).split()) == words.strip()
    marks = "×·█░" * 13
    rows = strips([("kale", marks), (name, marks)], 27, 80)
    assert rows[0] == f"{'kale':<27} {marks}"
    assert sum(marks in row for row in rows) == 2


def test_headings_break_only_where_room_is_short() -> None:
    columns = [Column("one long heading"), Column("another long heading")]
    assert table(columns, [["1", "2"]], 80)[0] == "one long heading  another long heading"
    assert len(table(columns, [["1", "2"]], 30)) > 3


@pytest.mark.parametrize(
    ("text", "width", "lines"), [("", 10, [""]), ("a b", 3, ["a b"]), ("abcdef", 4, ["abcd", "ef"])]
)
def test_wrap(text: str, width: int, lines: list[str]) -> None:
    assert wrap(text, width) == lines


def test_wide_signs_count_two_columns() -> None:
    assert all(cell_len(line) <= 7 for line in wrap("温室温室温室 温室", 7))
    assert clean("a\tb\nc") == "a b c"


def test_bars_fill_from_nothing_to_all() -> None:
    assert bars([0.0, 0.5, 1.0, 2.0, -1.0], 1.0) == " ▄██ "
    assert bars([1.0], 0.0) == " "


def test_year_chart_shows_every_lit_month() -> None:
    text = light_text(made_up.light_answer(("front",)), 80)
    chart = [line for line in text.splitlines() if line.startswith(("outdoors", "front"))]
    assert len(chart) == 2
    assert all(len(line.split()[1:]) == 12 for line in chart), "a month with light shows at least the lowest block"


def test_season_strip_has_one_mark_a_week() -> None:
    text = season_text(made_up.season_answer(("front",), 3), 80, everything=True)
    strip = next(line for line in text.splitlines() if line.startswith("spinach "))
    assert len(strip.split()[1]) == made_up.WEEKS
    assert "hhh" in text
    assert "ppp" in text


def test_strips_that_do_not_fit_are_cut_into_parts_with_their_months() -> None:
    months = "Dec Jan  Feb Mar Apr May  Jun Jul  Aug Sep Oct  Nov "
    rows = [("", months), ("spinach", "x" * 26 + "o" * 26)]
    assert len(strips(rows, 27, 80)) == 2
    halves = strips(rows, 27, 60)
    assert len(halves) == 4
    assert max(map(len, halves)) <= 60
    assert halves[1].count("x") == halves[3].count("o") == 26
    crops = strips(rows[1:], 27, 40, over=months)
    assert max(map(len, crops)) <= 40
    names = [part for line in crops for part in line.split() if part.isalpha() and part[0].isupper()]
    assert set(names) <= set(months.split())
    assert sum(line.count("x") + line.count("o") for line in crops if "spinach" in line) == 52


@pytest.mark.parametrize(
    ("length_h", "dawn", "told"),
    [
        (0.0, "09:29", "does not rise; twilight from 09:29 to 13:55"),
        (0.0, None, "does not rise."),
        (24.0, None, "does not set"),
    ],
)
def test_a_day_without_sunrise_says_so(length_h: float, dawn: str | None, told: str) -> None:
    answer = made_up.light_answer(BEDS)
    day = DayLight(
        date(2026, 12, 21), length_h, 4.4, -3.0, 0.1, 0.1, {}, {}, dawn, None, "11:42", None, dawn and "13:55"
    )
    assert told in " ".join(light_text(replace(answer, day=day), 80).split())
