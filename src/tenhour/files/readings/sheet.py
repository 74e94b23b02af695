"""A table of readings as a logger, a spreadsheet or a person wrote it: find its headings, separator and numbers."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from tenhour.errors import FileProblem, Problem
from tenhour.files.textfile import read_text
from tenhour.pace import tell

Kind = Literal["lux", "klux", "footcandle", "ppfd", "w_m2", "degc", "degf", "temp"]
Part = Literal["at", "min", "max", "day", "night"]

MOST_BYTES: Final = 20_000_000
"""A year of one-minute readings of three sensors; more is a wrong file. Judgement."""
MOST_ROWS: Final = 600_000
PREAMBLE_LINES: Final = 60
"""Lines a logger may write above its headings. Judgement."""
LONGEST_CELL: Final = 200
TOLD_LINES: Final = 10_000
HUGE: Final = 1e30
"""Far beyond any reading, and still finite after a change of unit."""

_STAMP_WORDS: Final = {"time", "timestamp", "datetime", "stamp", "clock", "hour", "logged", "recorded"}
_DATE_WORDS: Final = {"date", "day"}
_UNITS: Final[tuple[tuple[Kind, re.Pattern[str]], ...]] = (
    ("klux", re.compile(r"\bk ?(lux|lx)\b")),
    ("lux", re.compile(r"\b(lux|lx|illuminance)\b")),
    ("footcandle", re.compile(r"\b(fc|foot ?candles?)\b")),
    ("ppfd", re.compile(r"\b(ppfd|par|u?mol)\b")),
    ("w_m2", re.compile(r"\b(w ?/? ?m ?2|watts?( per m2?)?|irradiance|ghi|solar|radiation)\b")),
    ("degf", re.compile(r"\b(deg ?f|f|fahrenheit)\b")),
    ("degc", re.compile(r"\b(deg ?c|c|celsius|centigrade)\b")),
    ("temp", re.compile(r"\b(temp|temperature|air temp|thermometer)\b")),
)
_PARTS: Final[tuple[tuple[Part, re.Pattern[str]], ...]] = (
    ("min", re.compile(r"\b(min|minimum|lowest|low)\b")),
    ("max", re.compile(r"\b(max|maximum|highest|high)\b")),
    ("night", re.compile(r"\b(night)\b")),
    ("day", re.compile(r"\b(day)\b")),
)
_FILLER: Final = re.compile(
    r"\b(temp|temperature|light|level|reading|value|sensor|of|the|at|in the|mean|avg|average|air)\b"
)
_ZONE: Final = re.compile(r"(?:utc|gmt)?\s*[+-]\d{1,2}:?\d{0,2}|utc|gmt", re.IGNORECASE)
_PER_AREA: Final = re.compile(r"/ ?s ?/ ?m ?2\b|/ ?m ?2 ?/? ?s\b|/ ?m ?2\b|/ ?s\b|\b(?:m ?2 ?/? ?s ?1?|s 1 m 2|m ?2)\b")
_HALVES: Final = re.compile(r"\b(day|night)\b")
_PLACE_WORDS: Final = {"place", "bed", "where", "location", "position", "sensor", "spot"}
_NUMBER: Final = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?", re.IGNORECASE)


@dataclass(frozen=True)
class Heading:
    """What a column holds: a quantity (None for other columns), which part of the day, and of which place."""

    text: str
    kind: Kind | None
    part: Part = "at"
    place: str = ""


@dataclass(frozen=True)
class Sheet:
    """A table: headings, rows of cells, the line each row stands on, and how decimals are written."""

    file: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    decimal_comma: bool = False

    def column(self, index: int | None) -> list[str]:
        """Return the cells of one column, stripped; empty text where a row is short or there is no such column."""
        if index is None:
            return [""] * len(self.rows)
        return [row[index].strip() if index < len(row) else "" for row in self.rows]


def plain(text: str) -> str:
    """Return a heading in small plain letters: signs and brackets become blanks."""
    small = text.strip().lower().replace("µ", "u").replace("μ", "u").replace("°", " deg ").replace("º", " deg ")
    small = small.replace("²", "2").replace("⁻", "-").replace("¹", "1").replace("₂", "2")
    return " ".join(re.sub(r"[^a-z0-9À-ɏ/ ]+", " ", small).split())


def heading(text: str) -> Heading:
    """Say what a column heading means.

    >>> heading("front bench max (°F)")
    Heading(text='front bench max (°F)', kind='degf', part='max', place='front bench')
    """
    words = plain(text)
    kind: Kind | None = None
    for name, pattern in _UNITS:
        found = pattern.search(words)
        if found:
            kind = name
            words = _PER_AREA.sub(" ", pattern.sub(" ", words))
            break
    part: Part = "at"
    for which, pattern in _PARTS:
        if pattern.search(words):
            part = which
            words = _HALVES.sub(" ", pattern.sub(" ", words))
            break
    if kind is None and part in ("min", "max"):
        kind = "temp"
    words = _FILLER.sub(" ", words).replace("/", " ")
    return Heading(text.strip(), kind, part, " ".join(words.split()))


def zone_in(text: str) -> str:
    """Return a time zone written in a heading, like "+01:00", or nothing."""
    found = _ZONE.search(text)
    if found is None:
        return ""
    offset = re.sub(r"(?i)utc|gmt|\s", "", found[0])
    return offset or "UTC"


def stamp_columns(heads: Sequence[str]) -> tuple[int | None, int | None]:
    """Columns of the date (or whole stamp) and of a separate clock time."""
    words = [set(plain(head).split()) for head in heads]
    whole = [
        i for i, w in enumerate(words) if w & _STAMP_WORDS and (w & _DATE_WORDS or not w & {"time", "clock", "hour"})
    ]
    dates = [i for i, w in enumerate(words) if w & {"date"}] or [i for i, w in enumerate(words) if w == {"day"}]
    times = [i for i, w in enumerate(words) if w & _STAMP_WORDS and not w & _DATE_WORDS]
    if whole:
        return whole[0], None
    if dates:
        return dates[0], times[0] if times else None
    return (times[0], None) if times else (None, None)


def named_column(heads: Sequence[str], names: set[str]) -> int | None:
    """Column whose whole heading is one of the names."""
    return next((i for i, head in enumerate(heads) if plain(head) in names), None)


def place_column(heads: Sequence[str]) -> int | None:
    """Column that says where each row was taken."""
    return named_column(heads, _PLACE_WORDS)


def number(text: str, decimal_comma: bool = False) -> tuple[float, str]:
    """Number and unit text of a cell; NaN where there is none.

    >>> number("68 F"), number("12,5", True), number("1,250")
    ((68.0, 'F'), (12.5, ''), (1250.0, ''))
    """
    short = text.strip()
    if short.isascii() and short.replace(".", "", 1).isdigit():
        return min(HUGE, float(short)), ""
    short = short.replace("−", "-").replace("\u00a0", "").replace("\u202f", "")
    short = short.replace(".", "").replace(",", ".") if decimal_comma and "," in short else short.replace(",", "")
    found = _NUMBER.match(short)
    if found is None:
        return float("nan"), short
    return max(-HUGE, min(HUGE, float(found[0]))), short[found.end() :].strip()


def read_sheet(path: Path) -> Sheet:
    """Return the table in a file.

    Errors: FileProblem where the file cannot be read or holds no table with a heading for date or time.
    """
    return parse_sheet(read_text(path, MOST_BYTES), str(path))


def parse_sheet(text: str, file: str) -> Sheet:
    """Return the table in a text: headings are the first line that names a date or time and something else.

    Errors: FileProblem where there are no headings, no rows or too many, or no table at all.
    """
    head_at, separator = _find_head(text.split("\n", PREAMBLE_LINES)[:PREAMBLE_LINES])
    if head_at is None:
        raise _headless(file)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows, lines = [], []
    count = text.count("\n") + 1
    try:
        for row in reader:
            if reader.line_num % TOLD_LINES == 0:
                tell(reader.line_num, count, "lines")
            if any(cell.strip() for cell in row):
                long = max(map(len, row)) > LONGEST_CELL
                rows.append(tuple(cell[:LONGEST_CELL] for cell in row) if long else tuple(row))
                lines.append(reader.line_num)
            if len(rows) > MOST_ROWS:
                found = f"more than {MOST_ROWS} rows"
                raise FileProblem([Problem(file, "", found, "", "Thin it out to one reading in ten minutes.")])
    except csv.Error as error:
        raise FileProblem([Problem(file, f"line {reader.line_num}", f"not a table ({error})", "", "")]) from None
    first = next((i for i, line in enumerate(lines) if line >= head_at + 1), len(rows) - 1)
    body = rows[first + 1 :]
    if not rows or stamp_columns(rows[first])[0] is None:  # a quote before it swallows a heading
        raise _headless(file)
    if not body:
        raise FileProblem([Problem(file, "", "headings but no readings", "one reading a line", "")])
    comma = separator != "," and _has_decimal_comma(body)
    return Sheet(file, tuple(cell.strip() for cell in rows[first]), tuple(body), tuple(lines[first + 1 :]), comma)


def _headless(file: str) -> FileProblem:
    do = "Begin with a line like: time,place,lux."
    return FileProblem([Problem(file, "", "no headings with a date or time", "a table with headings", do)])


def _find_head(top: Sequence[str]) -> tuple[int | None, str]:
    for number_of_line, line in enumerate(top):
        for separator in sorted(",;\t", key=line.count, reverse=True):
            cells = line.split(separator)
            if len(cells) > 1 and _is_head(cells):
                return number_of_line, separator
    return None, ","


def _is_head(cells: Sequence[str]) -> bool:
    date, _ = stamp_columns(cells)
    digits = sum(cell.strip()[:1].isdigit() for cell in cells)
    return date is not None and digits == 0


def _has_decimal_comma(rows: Sequence[Sequence[str]]) -> bool:
    comma = re.compile(r"\s*[+-]?\d+,\d+\s*\D*")
    return any(comma.fullmatch(cell) for row in rows[:200] for cell in row)
