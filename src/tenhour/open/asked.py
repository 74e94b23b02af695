"""The questions a page may ask of the house-year: the words of the page, checked, to the door's own methods."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Final

from tenhour.door import Answer, Year
from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.report.page.html import join, table_html, tag
from tenhour.words.style import Style

WIDTH: Final = 78
Words = Mapping[str, Any]


def _day(words: Words, name: str, today: date) -> str:
    return str(words.get(name) or today.isoformat())


def _light(year: Year, words: Words, today: date) -> Answer:
    return year.light(on=_day(words, "on", today))


def _sow(year: Year, words: Words, today: date) -> Answer:
    return year.sow(_day(words, "on", today), beds=_names(words, "beds"))


def _season(year: Year, words: Words, today: date) -> Answer:
    return year.season(_day(words, "start", today), beds=_names(words, "beds"))


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
    "sow": _sow,
    "season": _season,
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
    answer = ASKED[question](year, words, today)
    style = Style(us_units=year.house.model.us_units)
    tables = [tag("section", table_html(table, style)) for table in answer.tables()]
    return {"json": answer.to_dict(), "text": answer.text(WIDTH), "html": join(*tables)}


def _names(words: Words, key: str) -> tuple[str, ...]:
    given = words.get(key) or ()
    if not isinstance(given, list | tuple):
        raise FileProblem([Problem(ARGUMENT, key, repr(given), "a list of names", "")])
    return tuple(str(name) for name in given)
