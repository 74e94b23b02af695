"""A file of light or temperature readings: pairs noted by hand, or a logger's table. Which it is, its headings say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, tzinfo
from difflib import SequenceMatcher
from itertools import pairwise
from pathlib import Path
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.files.clock import Moments, moments, zone_of
from tenhour.files.problems import Problems, show
from tenhour.files.readings.sheet import (
    Heading,
    Kind,
    Sheet,
    heading,
    named_column,
    number,
    place_column,
    plain,
    read_sheet,
    stamp_columns,
    zone_in,
)
from tenhour.files.readings.stamps import Order, parse_stamps
from tenhour.files.readings.thermometer import TEMP_KINDS, temperatures
from tenhour.model.house import Bed
from tenhour.model.readings import OUTSIDE, LightReadings, Readings

Array = NDArray[np.float64]

LIGHT_KINDS: Final = ("lux", "klux", "footcandle", "ppfd", "w_m2")
SCALE: Final[Mapping[str, tuple[str, float]]] = {
    "lux": ("lux", 1.0),
    "klux": ("lux", 1000.0),
    "footcandle": ("lux", 10.764),
    "ppfd": ("ppfd", 1.0),
    "w_m2": ("w_m2", 1.0),
}
"""Unit kept and factor; 1 foot-candle is 10.764 lux (exact by definition of the foot)."""
MOST: Final[Mapping[str, float]] = {"lux": 200_000.0, "ppfd": 3000.0, "w_m2": 1600.0}
"""Full sun under broken cloud stays below 160 000 lux, 2700 µmol m⁻² s⁻¹, 1500 W m⁻²: common practice."""
DARK_OFFSET: Final = -10.0
"""Sensors drift a little below zero at night; more is an error. Common practice."""
OUTSIDE_WORDS: Final = frozenset({"outside", "outdoor", "outdoors", "out", "open", "external", "garden", "sky"})
INSIDE_WORDS: Final = frozenset({"", "inside", "indoor", "indoors", "in", "house", "greenhouse", "internal"})
MOST_TIMES: Final = 3
"""Rows without a time told one by one: a wrong year is one slip, however long the table. Judgement."""
FIRST_YEAR: Final = 1980
"""Readings of earlier years, or of later than the next, are slips of a clock or a pen. Judgement."""
SLIP_RATIO: Final = 0.8
"""Likeness of two words from which one is the other misspelt: frnot is front, east is not west. Judgement."""
REGULAR_ROWS: Final = 24
REGULAR_SHARE: Final = 0.9
"""A table of at least so many rows, nine in ten of them one even step apart, was written by a logger. Judgement."""


@dataclass(frozen=True)
class Wishes:
    """What the user said beside the file; empty where the file or the house decides.

    zone: of stamps without one; order: day or month first; bed: of readings that name no place; light: key of the
    spectrum; temp_unit: degc or degf for columns that do not say.
    """

    house_zone: str = "UTC"
    zone: str = ""
    order: Order | None = None
    bed: str = ""
    light: str = ""
    temp_unit: str = ""
    lights: tuple[str, ...] = ("daylight",)
    beds: tuple[Bed, ...] = ()


@dataclass
class Sorting:
    """Columns of one sheet by what they hold, and the moments of its rows."""

    sheet: Sheet
    wishes: Wishes
    problems: Problems
    moments: Moments
    notes: list[str] = field(default_factory=list)

    @property
    def time(self) -> pd.DatetimeIndex:
        """Moment of every row in UTC, NaT where unreadable."""
        return self.moments.time

    def headings(self, kinds: Sequence[str]) -> list[tuple[int, Heading]]:
        """Columns that hold one of the kinds."""
        found = [(i, heading(text)) for i, text in enumerate(self.sheet.heads)]
        return [(i, head) for i, head in found if head.kind in kinds]


def read_readings(path: Path, wishes: Wishes) -> Readings:
    """Return all readings of a file.

    Parameters: path; wishes, what the user said beside it.
    Errors: FileProblem with every problem at once.
    """
    return parse_readings(read_sheet(path), wishes)


def parse_readings(sheet: Sheet, wishes: Wishes) -> Readings:
    """Return all readings of a table. Errors: FileProblem, as read_readings."""
    problems = Problems(sheet.file)
    found = _times(sheet, wishes, problems)
    sorting = Sorting(sheet, wishes, problems, found, list(found.notes))
    light = _light(sorting)
    warm = None
    columns = sorting.headings(TEMP_KINDS)
    if columns:
        spot = Places(wishes, problems)
        warm = temperatures(sheet, columns, sorting.time, wishes.temp_unit, spot.spot, problems)
    problems.check()
    if light is None and warm is None:
        do = "Begin with a line like: time,place,lux   or: date,place,min_degc,max_degc."
        allowed = "columns of lux, PPFD, W/m2, or degrees C or F"
        raise FileProblem([Problem(sheet.file, "headings", "no column of light or temperature", allowed, do)])
    return Readings(sheet.file, light, warm, tuple(sorting.notes), _is_regular(sorting.time), offset_h=found.offset_h)


def _is_regular(time: pd.DatetimeIndex) -> bool:
    steps = np.diff(np.unique(time.as_unit("s").asi8[time.notna()]))
    if len(steps) + 1 < REGULAR_ROWS:
        return False
    return bool(np.mean(steps == np.median(steps)) >= REGULAR_SHARE)


def _zone(sheet: Sheet, wishes: Wishes, column: int) -> tzinfo:
    if wishes.zone:
        return zone_of(wishes.zone)
    written = zone_in(sheet.heads[column])
    return zone_of(written or wishes.house_zone, "time zone")


def _times(sheet: Sheet, wishes: Wishes, problems: Problems) -> Moments:
    date, clock = stamp_columns(sheet.heads)
    if date is None:
        raise ValueError("a sheet always has a column of stamps")
    texts = sheet.column(date)
    if clock is not None:
        texts = [f"{day} {time}".strip() for day, time in zip(texts, sheet.column(clock), strict=True)]
    stamps = parse_stamps(texts, wishes.order)
    if stamps.ambiguous:
        do = "Say --date-order dmy (day first) or --date-order mdy."
        problems.add(sheet.heads[date], "days and months that could be either way round", "", do)
    last = datetime.now(tz=UTC).year + 1
    values = [stamp if stamp is not None and FIRST_YEAR <= stamp.year <= last else None for stamp in stamps.values]
    bad = [i for i, stamp in enumerate(values) if stamp is None]
    bad = [] if stamps.ambiguous else bad
    for i in bad[:MOST_TIMES]:
        allowed = f"a time like 2027-01-15 12:30, from {FIRST_YEAR} to {last}"
        problems.add(f"line {sheet.lines[i]}", show(texts[i]), allowed)
    if len(bad) > MOST_TIMES:
        problems.add(
            f"line {sheet.lines[bad[MOST_TIMES]]}",
            f"{show(texts[bad[MOST_TIMES]])}, and so on",
            "",
            f"{len(bad)} rows in all have no such time.",
        )
    found = _in_order(values, _zone(sheet, wishes, clock if clock is not None else date))
    for i in found.skipped[:1]:
        text = f"{texts[i]}, an hour that clocks there skip (and {len(found.skipped) - 1} more)"
        do = "If the logger keeps standard time all year, say so with --zone, like --zone +00:00."
        problems.add(f"line {sheet.lines[i]}", text, "", do)
    return found


def _in_order(values: Sequence[datetime | None], zone: tzinfo) -> Moments:
    """Moments of rows, read from the oldest on, as hours that clocks repeat are told apart by their order."""
    local = [stamp.replace(tzinfo=None) if stamp.tzinfo else stamp for stamp in values if stamp is not None]
    back = sum(later < sooner for sooner, later in pairwise(local))
    if 2 * back <= len(local):
        return moments(values, zone)
    found = moments(values[::-1], zone)
    skipped = sorted(len(values) - 1 - i for i in found.skipped)
    return replace(found, time=found.time[::-1], skipped=tuple(skipped))


class Places:
    """Finds the bed, or the open, that a word or a point means."""

    def __init__(self, wishes: Wishes, problems: Problems) -> None:
        self.names = {plain(bed.name): bed.name for bed in wishes.beds}
        self.beds = wishes.beds
        self.problems = problems
        self.default = wishes.bed or (wishes.beds[0].name if len(wishes.beds) == 1 else "")
        self.known: dict[str, str] = {}

    def of_word(self, word: str, where: str) -> str:
        """Bed's name or "outside"; problems are noted once for each word."""
        if word not in self.known:
            self.known[word] = self._find(plain(word), word, where)
        return self.known[word]

    def _find(self, short: str, word: str, where: str) -> str:
        if short in self.names:
            return self.names[short]
        if short in OUTSIDE_WORDS:
            return OUTSIDE
        if short in INSIDE_WORDS:
            if not self.default:
                do = "Name the bed in the file, or with --bed."
                self.problems.add(
                    where, "readings indoors of no named bed", "one of " + ", ".join(self.names.values()), do
                )
            return self.default
        self.problems.choice(where, word, "no bed of this house", [*self.names.values(), OUTSIDE])
        return ""

    def spot(self, word: str, where: str) -> str:
        """Name of a place where warmth was read: a bed, "outside", "" for the house, or any name of the user's own.

        A name of one's own that is nearly a bed's is noted as a slip of the pen.
        """
        short = plain(word)
        if short in self.names:
            return self.names[short]
        if short in OUTSIDE_WORDS:
            return OUTSIDE
        if short in INSIDE_WORDS:
            return self.default
        near = [name for key, name in self.names.items() if _slip(short, key)]
        if near:
            found = f"{show(word)}, nearly the bed {' and the bed '.join(near)}"
            self.problems.add(where, found, "a bed, outside, or a name unlike these", f"Did you mean {near[0]}?")
        return " ".join(word.split())

    def of_point(self, x_m: float, y_m: float, where: str) -> str:
        """Bed that holds a point on the floor plan.

        Parameters: x_m, y_m from the front left corner of the house [m]; where the point stands in the file.
        """
        found = [bed.name for bed in self.beds if _holds(bed, x_m, y_m)]
        if len(found) == 1:
            return found[0]
        if self.default in found:
            return self.default
        text = f"x_m {x_m:g}, y_m {y_m:g}"
        if found:
            self.problems.add(
                where, f"{text}, where {' and '.join(found)} lie above each other", "", "Name the bed too."
            )
        else:
            self.problems.add(where, f"{text}, in none of the beds", "a point on a bed")
        return ""


def _slip(word: str, name: str) -> bool:
    """Tell whether one name is the other with a letter astray: words of the same number, and none of another number."""
    pairs = [pair for pair in zip(word.split(), name.split(), strict=False) if pair[0] != pair[1]]
    if len(word.split()) != len(name.split()) or not pairs:
        return False
    return all(a.isalpha() and b.isalpha() and _alike(a, b) for a, b in pairs)


def _alike(a: str, b: str) -> bool:
    """Whether words are nearly one: but for a letter, or for two that changed places."""
    turned = sorted(a) == sorted(b) and sum(x != y for x, y in zip(a, b, strict=False)) == 2
    return turned or SequenceMatcher(None, a, b).ratio() >= SLIP_RATIO


def _holds(bed: Bed, x_m: float, y_m: float) -> bool:
    low, size = bed.at_m, bed.size_m
    return low[0] <= x_m <= low[0] + size[0] and low[1] <= y_m <= low[1] + size[1]


def _light(sorting: Sorting) -> LightReadings | None:
    sheet = sorting.sheet
    columns = [(i, str(head.kind), head.place, head.text) for i, head in sorting.headings(LIGHT_KINDS)]
    value, unit = named_column(sheet.heads, {"value", "reading"}), named_column(sheet.heads, {"unit", "units"})
    by_row = value is not None and unit is not None
    if not columns and not by_row:
        return None
    places = Places(sorting.wishes, sorting.problems)
    words = sheet.column(place_column(sheet.heads))
    points = _points(sheet, sorting.problems)
    lights = _lights(sorting)
    parts = []
    for index, kind, place, text in columns:
        kinds = [kind] * len(sheet.rows)
        parts.append(_column(sorting, index, kinds, _places(places, words, points, place, text, sheet), points, lights))
    if by_row and value is not None:
        by_cell = _unit_kinds(sheet, unit, sorting.problems)
        where = _places(places, words, points, "", "place", sheet)
        parts.append(_column(sorting, value, by_cell, where, points, lights))
    return _joined(parts)


def _points(sheet: Sheet, problems: Problems) -> Array:
    x, y = named_column(sheet.heads, {"x m", "x"}), named_column(sheet.heads, {"y m", "y"})
    if x is None or y is None:
        return np.full((len(sheet.rows), 2), np.nan)
    cells = [sheet.column(x), sheet.column(y)]
    for row, pair in enumerate(zip(*cells, strict=True)):
        if bool(pair[0]) != bool(pair[1]):
            problems.add(f"line {sheet.lines[row]}", "only one of x_m and y_m", "both, or neither")
    return np.array([[number(cell, sheet.decimal_comma)[0] for cell in column] for column in cells]).T


def _places(places: Places, words: Sequence[str], points: Array, place: str, text: str, sheet: Sheet) -> list[str]:
    """Place of every reading of a column: the column's own, else the row's word, else the bed at the row's point."""
    if place and plain(place) not in INSIDE_WORDS:
        return [places.of_word(place, f"column {text}")] * len(words)
    pointed = np.asarray(np.isfinite(points).all(axis=1))
    out = []
    for row, word in enumerate(words):
        name = word or place
        if pointed[row] and plain(word) in INSIDE_WORDS:
            where = f"line {sheet.lines[row]}" if word else f"column {text}"
            out.append(places.of_point(float(points[row, 0]), float(points[row, 1]), where))
        elif name in places.known:
            out.append(places.known[name])
        else:
            out.append(places.of_word(name, f"line {sheet.lines[row]}" if word else f"column {text}"))
    return out


def _lights(sorting: Sorting) -> list[str]:
    """Spectrum of every row."""
    sheet, wishes = sorting.sheet, sorting.wishes
    column = named_column(sheet.heads, {"light", "lamp", "light source", "spectrum"})
    default = wishes.light or "daylight"
    out: list[str] = []
    known: dict[str, str] = {}
    for row, word in enumerate(sheet.column(column)):
        if word in known:
            out.append(known[word])
            continue
        key = plain(word).replace(" ", "-") or default
        key = "daylight" if key in {"sun", "sky", "sun-and-sky"} else key
        if key not in wishes.lights:
            sorting.problems.choice(f"line {sheet.lines[row]}: light", word, "no known light", wishes.lights)
        else:
            known[word] = key
        out.append(key)
    return out


def _unit_kinds(sheet: Sheet, unit: int | None, problems: Problems) -> list[str]:
    seen: dict[str, str] = {}
    out = []
    for row, cell in enumerate(sheet.column(unit)):
        if cell not in seen:
            kind: Kind | None = heading(cell).kind
            if kind not in LIGHT_KINDS:
                problems.add(f"line {sheet.lines[row]}: unit", show(cell), "lux, klux, PPFD, or W/m2")
            seen[cell] = kind if kind in LIGHT_KINDS else "lux"
        out.append(seen[cell])
    return out


def _column(
    sorting: Sorting, index: int, kinds: Sequence[str], places: Sequence[str], points: Array, lights: Sequence[str]
) -> LightReadings:
    """Readings of one column, rows without a number left out."""
    sheet = sorting.sheet
    raw = [number(cell, sheet.decimal_comma)[0] for cell in sheet.column(index)]
    unit = np.array([SCALE[kind][0] for kind in kinds])
    value = np.array(raw) * np.array([SCALE[kind][1] for kind in kinds])
    most = np.array([MOST[SCALE[kind][0]] for kind in kinds])
    for row in np.flatnonzero((value < DARK_OFFSET) | (value > most))[:5]:
        found = f"{value[row]:g} {unit[row]}"
        do = "Is the heading's unit right?"
        sorting.problems.add(f"line {sheet.lines[row]}", found, f"0 to {MOST[unit[row]]:g}", do)
    keep = np.isfinite(value) & sorting.time.notna()
    where = np.where(np.array(places)[:, None] == OUTSIDE, np.nan, points)
    return LightReadings(
        sorting.time[keep],
        np.array(places)[keep],
        where[keep],
        np.maximum(value[keep], 0.0),
        unit[keep],
        np.array(lights)[keep],
        np.array(sheet.lines, dtype=np.int64)[keep],
    )


def _joined(parts: Sequence[LightReadings]) -> LightReadings:
    return LightReadings(
        pd.DatetimeIndex(np.concatenate([part.time.asi8 for part in parts]).view("M8[us]"), tz="UTC"),
        np.concatenate([part.place for part in parts]),
        np.concatenate([part.point_m for part in parts]),
        np.concatenate([part.value for part in parts]),
        np.concatenate([part.unit for part in parts]),
        np.concatenate([part.light for part in parts]),
        np.concatenate([part.row for part in parts]),
    )
