"""The questions a page may ask of the house-year: the words of the page, checked, to the door's own methods."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any, Final

from tenhour.door import Answer, Year
from tenhour.door.arguments import day_of, number_of
from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.model import fields
from tenhour.model.log import LogLine
from tenhour.report.page.html import join, table_html, tag
from tenhour.words.style import DATE_STYLES, DateStyle, Style
from tenhour.words.text import written

WIDTH: Final = 78
READINGS: Final = "readings.csv"
READINGS_HEAD: Final = "time,place,x_m,y_m,lux"
Words = Mapping[str, Any]


def _day(words: Words, name: str, today: date) -> str:
    return str(words.get(name) or today.isoformat())


def _light(year: Year, words: Words, today: date) -> Answer:
    return year.light(on=_day(words, "on", today))


def _week(year: Year, words: Words, today: date) -> Answer:
    return year.week(_day(words, "on", today))


def _sow(year: Year, words: Words, today: date) -> Answer:
    return year.sow(_day(words, "on", today), beds=_names(words, "beds"))


def _season(year: Year, words: Words, today: date) -> Answer:
    return year.season(_day(words, "start", today), beds=_names(words, "beds"))


def _heat(year: Year, words: Words, today: date) -> Answer:
    from tenhour.report.heat import heat_tables, heat_text

    answer = year.model.heat(today=day_of("on", _day(words, "on", today)))
    us_units = year.house.model.us_units
    return Answer(answer, lambda w, s: heat_text(answer, w, s), lambda: heat_tables(answer), us_units)


def _lamps(year: Year, words: Words, today: date) -> Answer:
    given = {key: words[key] for key in ("lamp", "price", "hours_h", "dli_mol_m2_d", "harvest_by") if words.get(key)}
    return year.lamps(str(words.get("bed", "")), str(words.get("crop", "")), start=_day(words, "on", today), **given)


def _why(year: Year, words: Words, today: date) -> Answer:
    numbers = {key: words[key] for key in ("day_degc", "night_degc", "density_per_m2") if words.get(key) is not None}
    return year.why(
        str(words.get("crop", "")), _day(words, "sown", today), _day(words, "seen", today),
        bed=words.get("bed") or None, signs=_names(words, "signs"), **numbers,
    )  # fmt: skip


ASKED: Final[Mapping[str, Callable[[Year, Words, date], Answer]]] = {
    "light": _light,
    "week": _week,
    "sow": _sow,
    "season": _season,
    "heat": _heat,
    "lamps": _lamps,
    "why": _why,
}


def asked(year: Year, question: str, words: Words, today: date) -> dict[str, Any]:
    """The answer as the command prints it: its JSON, its text, and its tables as HTML.

    Parameters: year; question, a key of ``ASKED``; words, arguments of the door's method; today.
    Errors: FileProblem, NoAnswer, as the door.
    """
    if question not in ASKED:
        raise FileProblem([Problem(ARGUMENT, "question", repr(question), f"one of {', '.join(ASKED)}", "")])
    return told(ASKED[question](year, words, today), year.house.model.us_units, words)


def told(answer: Answer, us_units: bool, words: Words) -> dict[str, Any]:
    """An answer as the page takes it: its JSON, its text, its tables as HTML, and its sentences, in the reader's units.

    Parameters: answer; us_units; words, with the reader's way of writing dates under ``dates``.
    """
    dates: DateStyle = next((style for style in DATE_STYLES if style == words.get("dates")), "iso")
    style = Style(us_units, dates)
    entries = [(entry.name, entry.of(answer.data)) for entry in fields.entries(type(answer.data))]
    return {
        "json": answer.to_dict(),
        "text": answer.text(WIDTH, dates=dates),
        "html": join(*(tag("section", table_html(table, style)) for table in answer.tables())),
        "said": {name: written(value, style) for name, value in entries if isinstance(value, str)},
        "cautions": list(answer.data.basis.cautions),
    }


def log_line(words: Words, today: date) -> LogLine:
    """A line for the log from what was ticked off. Errors: FileProblem."""
    from tenhour.model.log import WHATS

    what = next((known for known in WHATS if known == words.get("what")), None)
    if what is None:
        raise FileProblem([Problem(ARGUMENT, "what", repr(words.get("what")), f"one of {', '.join(WHATS)}", "")])
    crop, bed = str(words.get("crop", "")), str(words.get("bed", ""))
    on = day_of("on", _day(words, "on", today))
    grams = words.get("fresh_g")
    return LogLine(on, what, crop, bed, fresh_g=None if grams is None else number_of("fresh_g", grams, 0, 1e6))


def readings(year: Year, path: Path, words: Words) -> Answer:
    """Readings in a file against the model, as ``tenhour read`` compares them. Errors: FileProblem."""
    from tenhour.files.readings.read import Wishes, read_readings
    from tenhour.files.spectra import load_meters, load_spectra
    from tenhour.report.read import read_tables, read_text
    from tenhour.year.readings.read import read_answer
    from tenhour.year.readings.readlight import LightTools

    house, lights = year.house.model, load_spectra()
    one_meter = {"one": True, "two": False}.get(str(words.get("meters")))
    wishes = Wishes(house.site.timezone, "", None, "", "", "", tuple(lights), house.beds)
    answer = read_answer(year.model, read_readings(path, wishes), LightTools(lights, load_meters(), one_meter))
    return Answer(answer, lambda w, s: read_text(answer, w, s), lambda: read_tables(answer), house.us_units)


def with_reading(text: str | None, words: Words) -> str:
    """The text of a table of readings with one more at its end.

    Parameters: text, None for a new table; words, of the reading: ``time``, ``place``, ``x_m`` and ``y_m``, ``lux``.
    Errors: FileProblem for a table with other columns, or a reading that is none.
    """
    head = (text or READINGS_HEAD).split("\n", 1)[0].strip()
    if head != READINGS_HEAD:
        do = "Add the reading there by hand."
        raise FileProblem([Problem(READINGS, "", f"columns {head[:80]}", READINGS_HEAD, do)])
    lux = number_of("lux", words.get("lux", ""), 0, 200_000)
    time = str(words.get("time", ""))
    try:
        datetime.fromisoformat(time)
    except ValueError:
        raise FileProblem([Problem(ARGUMENT, "time", repr(time), "a day and a time: 2027-01-15 11:40", "")]) from None
    spot = ["" if words.get(key) is None else f"{number_of(key, words[key], 0, 200):.2f}" for key in ("x_m", "y_m")]
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([time, str(words.get("place", ""))[:60], *spot, f"{lux:g}"])
    return (text or READINGS_HEAD + "\n").rstrip("\n") + "\n" + out.getvalue()


def _names(words: Words, key: str) -> tuple[str, ...]:
    given = words.get(key) or ()
    if not isinstance(given, list | tuple):
        raise FileProblem([Problem(ARGUMENT, key, repr(given), "a list of names", "")])
    return tuple(str(name) for name in given)
