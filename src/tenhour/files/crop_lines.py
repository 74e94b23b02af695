"""Read a plainly written crop file quickly: one sourced number a line.

The TOML reader of the standard library takes a tenth of a second over the whole table. Files written as the shipped
ones are read line by line instead, with the same result (tests hold the two together); anything else, and anything
wrong, is left to the TOML reader and its messages.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any, Final

LONGEST_LINE: Final = 1000
"""Longer lines are written by no hand, and left to the reader that bounds how deep they may be nested. Judgement."""

_NUMBER: Final = r"(-?(?:0|[1-9]\d*)\.\d+)"
_TEXT: Final = r'"([^"\\\x00-\x1f\x7f]*)"'
_LINE: Final = re.compile(
    rf"([A-Za-z0-9_]+) = \{{ value = {_NUMBER}, low = {_NUMBER}, high = {_NUMBER}, "
    rf"source = {_TEXT}, mark = {_TEXT}(?:, where = {_TEXT})? \}}"
)
_SECTION: Final = re.compile(r"\[([a-z]+)\]")


def read_plain(text: str) -> dict[str, Any] | None:
    """Return the tables of a plainly written crop file, or None if it is not written so (or not valid)."""
    tables: dict[str, Any] = {}
    table = tables
    for line in text.splitlines():
        if not line:
            continue
        section = _SECTION.fullmatch(line)
        if section:
            if section[1] in tables:
                return None
            table = tables[section[1]] = {}
            continue
        if not _add(table, line):
            return None
    return tables


def _add(table: dict[str, Any], line: str) -> bool:
    """Add one key to a table; False if that cannot be done plainly."""
    found = _LINE.fullmatch(line)
    if found is None:
        if len(line) > LONGEST_LINE:
            return False
        try:
            values = tomllib.loads(line)
        except (ValueError, RecursionError):
            return False
        if line.lstrip().startswith("[") or set(values) & set(table):
            return False
        table.update(values)
        return True
    key, value, low, high, source, mark, where = found.groups()
    if key in table:
        return False
    number = {"value": float(value), "low": float(low), "high": float(high), "source": source, "mark": mark}
    table[key] = number if where is None else {**number, "where": where}
    return True
