"""Columns of temperature: maximum-minimum notes or a logger's sensors, in degrees Celsius or Fahrenheit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
import pandas as pd

from tenhour.files.problems import Problems, show
from tenhour.files.readings.sheet import Heading, Sheet, number, place_column
from tenhour.model.readings import TempReadings
from tenhour.units import degc_from_degf

TEMP_KINDS: Final = ("degc", "degf", "temp")
COLDEST_DEGC: Final = -60.0
HOTTEST_DEGC: Final = 70.0
"""Sun on a sensor under glass reads up to some 60 °C; beyond is an error or another unit. Common practice."""
UNIT_WORDS: Final = {"c": "degc", "°c": "degc", "degc": "degc", "f": "degf", "°f": "degf", "degf": "degf"}


def temperatures(
    sheet: Sheet,
    columns: Sequence[tuple[int, Heading]],
    time: pd.DatetimeIndex,
    wished_unit: str,
    spot: Callable[[str, str], str],
    problems: Problems,
) -> TempReadings | None:
    """Return the readings of some columns of a sheet.

    Parameters: sheet; columns, index and heading of each; time, of each row (NaT where unreadable); wished_unit, degc
    or degf for columns that do not say; spot, name of the place that a word means, given where it stands in the file;
    problems, where bad cells are noted.
    """
    words = sheet.column(place_column(sheet.heads))
    parts = [_column(sheet, index, head, wished_unit, problems) for index, head in columns]
    at = {head.place: f"column {head.text}" for _, head in columns}
    at |= {word: f"line {line}" for word, line in zip(reversed(words), reversed(sheet.lines), strict=True)}
    meant = {word: spot(word, where) for word, where in at.items()}
    places = [[meant[head.place or word] for word in words] for _, head in columns]
    value = np.concatenate(parts)
    times = time[np.tile(np.arange(len(time)), len(columns))]
    row = np.tile(np.array(sheet.lines, dtype=np.int64), len(columns))
    part = np.repeat([head.part for _, head in columns], len(sheet.rows))
    keep = np.isfinite(value) & times.notna()
    if not keep.any():
        return None
    place = np.concatenate([np.array(one, dtype=np.str_) for one in places])
    return TempReadings(times[keep], place[keep], value[keep], part[keep], row[keep])


def _column(sheet: Sheet, index: int, head: Heading, wished_unit: str, problems: Problems) -> np.ndarray:
    cells = [number(cell, sheet.decimal_comma) for cell in sheet.column(index)]
    value = np.array([cell[0] for cell in cells])
    unit = _units(sheet, cells, head, wished_unit, problems)
    degc = np.where(unit == "degf", degc_from_degf(value), value)
    for row in np.flatnonzero((degc < COLDEST_DEGC) | (degc > HOTTEST_DEGC))[:5]:
        do = "Degrees Fahrenheit? Say so in the heading." if unit[row] != "degf" else "Is the heading's unit right?"
        problems.add(f"line {sheet.lines[row]}: {head.text}", f"{value[row]:g}", "-60 to 70 degrees C", do)
    return np.asarray(degc, dtype=np.float64)


def _units(
    sheet: Sheet, cells: Sequence[tuple[float, str]], head: Heading, wished_unit: str, problems: Problems
) -> np.ndarray:
    """Unit of every cell: its own, else the heading's, else the wished one; a column without any is a problem."""
    default = head.kind if head.kind in ("degc", "degf") else wished_unit
    out = []
    for row, (value, text) in enumerate(cells):
        word = "".join(text.lower().split())
        unit = UNIT_WORDS.get(word, "" if word else default)
        if not np.isnan(value) and word and not unit:
            problems.add(f"line {sheet.lines[row]}: {head.text}", show(text), "C or F behind the number, or nothing")
        out.append(unit or "")
    if any(not unit and not np.isnan(cell[0]) and not cell[1] for unit, cell in zip(out, cells, strict=True)):
        do = "Write the heading as min_degc or min_degf, or say --unit C or --unit F."
        problems.add(f"column {head.text}", "no unit", "degrees C or F", do)
    return np.array(out)
