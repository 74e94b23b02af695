"""The lists of an answer as pandas data frames, named as in its JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import pandas as pd

from tenhour.model.fields import Entry, Shape, entries
from tenhour.model.results import Answer

DTYPES: Final = {"number": "float64", "date": "datetime64[s]", "flag": "bool"}
BESIDE: Final = ("so_far",)
"""Stands in JSON beside every answer and is no table of it."""
BETWEEN: Final = "; "


@dataclass(frozen=True)
class _Column:
    """One column: its name and the steps that lead to its value."""

    name: str
    entries: tuple[Entry, ...]

    @property
    def shape(self) -> Shape:
        return self.entries[-1].shape

    @property
    def gaps(self) -> bool:
        return any(entry.shape.null for entry in self.entries)

    def of(self, record: Any) -> Any:
        for entry in self.entries:
            record = None if record is None else entry.of(record)
        return record


@dataclass(frozen=True)
class _Rows:
    """Records of one kind, each after the cells of the records it lies in."""

    heads: tuple[_Column, ...]
    rows: tuple[tuple[tuple[Any, ...], Any], ...]


def frames_of(answer: Answer) -> dict[str, pd.DataFrame]:
    """Every list of an answer as a data frame, by its name in JSON.

    A list within the records of another one has their names (bed, crop, month) before its own columns, and before its
    own name that of the list around it where a list nearer to the top has its name. Columns end in their unit, as in
    CSV; objects within a record are columns after its name (``raising_set_out``), lists of words are one text. Dates
    are ``datetime64[s]`` without a zone, missing ones NaT; whole numbers that may be missing are ``Int64``.
    """
    return _named(type(answer), _Rows((), (((), answer),)))


def empty_frames(kind: type[Answer]) -> dict[str, pd.DataFrame]:
    """The data frames of a kind of answer, with their columns and no rows."""
    return _named(kind, _Rows((), ()))


def _named(kind: type[Answer], rows: _Rows) -> dict[str, pd.DataFrame]:
    found = dict(_lists(kind, rows, ()))
    out: dict[str, pd.DataFrame] = {}
    for path in sorted(found, key=len):
        name = path[-1]
        if name in out:
            name = "_".join(path[-2:])
        out[name] = found[path]
    return out


def _lists(record: type[Any], above: _Rows, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], pd.DataFrame]]:
    for entry in entries(record):
        if entry.name in BESIDE:
            continue
        where, shape = (*path, entry.name), entry.shape
        if shape.base == "record" and shape.record is not None:
            held = ((cells, entry.of(around)) for cells, around in above.rows)
            inner = _Rows(above.heads, tuple((cells, item) for cells, item in held if item is not None))
            yield from _lists(shape.record, inner, where)
        elif shape.base == "list" and shape.item.record is not None:
            yield from _records(shape.item.record, _inside(above, entry), where)
        elif shape.base == "list" and _is_table(shape.item) and above.heads:
            yield where, _values(entry, _inside(above, entry))


def _inside(above: _Rows, entry: Entry) -> _Rows:
    return _Rows(above.heads, tuple((cells, item) for cells, record in above.rows for item in entry.of(record)))


def _is_table(item: Shape) -> bool:
    return item.base in ("number", "whole") or (item.base == "parts" and bool(item.about.keys))


def _records(record: type[Any], rows: _Rows, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], pd.DataFrame]]:
    own = tuple(_columns(record))
    known = {column.name for column in own}
    heads = [(i, head) for i, head in enumerate(rows.heads) if head.name not in known]
    series = {head.name: _series([cells[i] for cells, _ in rows.rows], head) for i, head in heads}
    for column in own:
        series[column.name] = _series([column.of(item) for _, item in rows.rows], column)
    yield path, pd.DataFrame(series)
    naming = tuple(column for column in own if column.shape.about.heads)
    below = tuple(((*cells, *(column.of(item) for column in naming)), item) for cells, item in rows.rows)
    yield from _lists(record, _Rows((*rows.heads, *naming), below), path)


def _values(entry: Entry, rows: _Rows) -> pd.DataFrame:
    """A list of numbers or of pairs within records, one row each."""
    series = {head.name: _series([cells[i] for cells, _ in rows.rows], head) for i, head in enumerate(rows.heads)}
    item = entry.shape.item
    if item.base == "parts":
        for place, key in enumerate(item.about.keys):
            series[key] = pd.Series([value[place] for _, value in rows.rows], dtype="str")
    else:
        series[entry.column] = pd.Series([value for _, value in rows.rows], dtype="float64")
    return pd.DataFrame(series)


def _columns(record: type[Any], before: str = "", around: tuple[Entry, ...] = ()) -> Iterator[_Column]:
    for entry in entries(record):
        shape = entry.shape
        name = before + (f"{entry.about.inside}_" if entry.about.inside else "") + entry.column
        if shape.base == "record" and shape.record is not None:
            yield from _columns(shape.record, f"{before}{entry.name}_", (*around, entry))
        elif _is_cell(shape):
            yield _Column(name, (*around, entry))


def _is_cell(shape: Shape) -> bool:
    """Whether a value of this shape goes into one cell of a frame."""
    pair = shape.base == "parts" and not shape.about.keys
    return pair or _is_text(shape) or shape.base not in ("list", "parts", "mapping", "anything")


def _is_text(shape: Shape) -> bool:
    return shape.base == "list" and shape.item.base in ("text", "choice")


def _series(values: Sequence[Any], column: _Column) -> pd.Series[Any]:
    shape = column.shape
    if shape.base == "list":
        return pd.Series([None if value is None else BETWEEN.join(value) for value in values], dtype="str")
    if shape.base == "parts":
        return pd.Series(values, dtype="object")
    if shape.base == "whole":
        return pd.Series(values, dtype="Int64" if column.gaps else "int64")
    if shape.base == "flag" and column.gaps:
        return pd.Series(values, dtype="boolean")
    return pd.Series(values, dtype=DTYPES.get(shape.base, "str"))
