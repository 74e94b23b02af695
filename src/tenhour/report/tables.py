"""Tables as data: made once, written for the terminal, the page and the spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from tenhour.model.fields import Entry, entry
from tenhour.words.style import MONTH_NAMES, QUANTITIES, Quantity, Style, date_text, money_text
from tenhour.words.text import joined, written

Cell = str | float | int | date | None
TEXT_KINDS: Final = ("text", "prose", "date", "month")
"""Words as they are; words in which quantities and dates follow the reader's style; dates; numbers of months."""
CAPTION_KINDS: Final = ("dli",)
"""Kinds whose long unit stands once in the caption or legend, not in every heading."""
MISSING: Final = "-"


@dataclass(frozen=True)
class Field:
    """One column: its name in a spreadsheet (with unit), its heading, and the kind of what it holds."""

    key: str
    label: str
    kind: str = "text"
    digits: int | None = None
    wide_only: bool = False
    wrap: bool = False

    @property
    def right(self) -> bool:
        """Numbers stand at the right edge of their column, words at the left."""
        return self.kind not in TEXT_KINDS

    def quantity(self) -> Quantity:
        """Kind of number in this column."""
        return QUANTITIES[self.kind]

    def heading(self, style: Style) -> str:
        """Heading with the unit the reader asked for."""
        if not self.right:
            return self.label
        unit = self.quantity().label(style)
        if self.kind in CAPTION_KINDS or not unit or unit in self.label:
            return self.label
        return f"{self.label} {unit}".strip()

    def spreadsheet_key(self, style: Style) -> str:
        """Column name in a CSV file."""
        return self.quantity().key(self.key, style) if self.right else self.key


@dataclass(frozen=True)
class Table:
    """A named table; rows hold plain values in SI, dates as dates, None where there is nothing to say."""

    key: str
    caption: str
    fields: tuple[Field, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()

    def text_rows(self, style: Style) -> list[list[str]]:
        """Every cell as words for a reader."""
        return [
            [cell_text(field, cell, style) for field, cell in zip(self.fields, row, strict=True)] for row in self.rows
        ]


def cell_text(field: Field, cell: Cell, style: Style) -> str:
    """One cell as a reader sees it, without its unit (which stands in the heading)."""
    if cell is None or cell != cell:
        return MISSING
    if isinstance(cell, date):
        return date_text(cell, style)
    if isinstance(cell, str):
        return written(cell, style)
    if field.kind == "month":
        return MONTH_NAMES[int(cell) - 1]
    if field.kind == "money":
        return money_text(float(cell))
    quantity = field.quantity()
    if field.digits is None or quantity.converts(style):
        return quantity.number(float(cell), style)
    text = f"{float(cell) * quantity.scale:.{field.digits}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


@dataclass(frozen=True)
class Columns:
    """Some fields of one kind of record as columns: what they are is said where the record is declared."""

    record: type[Any]
    names: tuple[str, ...]

    @property
    def fields(self) -> tuple[Field, ...]:
        """The columns."""
        return tuple(field_of(entry(self.record, name)) for name in self.names)

    def cells(self, record: object) -> list[Cell]:
        """The cells of one record; None has nothing to say."""
        if record is None:
            return [None] * len(self.names)
        return [_cell(getattr(record, name)) for name in self.names]


def columns(record: type[Any], names: str) -> Columns:
    """Name fields of a kind of record, parted by blanks."""
    return Columns(record, tuple(names.split()))


def table_of(
    key: str,
    caption: str,
    rows: Iterable[Sequence[object]],
    *parts: Columns | Field,
    notes: tuple[str, ...] = (),
) -> Table:
    """Make a table of rows of records, one for each part in order; for a part that is a Field, its plain cell."""
    fields = [field for part in parts for field in (part.fields if isinstance(part, Columns) else (part,))]
    return Table(key, caption, tuple(fields), tuple(_row(row, parts) for row in rows), notes)


def _row(row: Sequence[object], parts: Sequence[Columns | Field]) -> tuple[Cell, ...]:
    cells: list[Cell] = []
    for item, part in zip(row, parts, strict=True):
        cells += part.cells(item) if isinstance(part, Columns) else [_cell(item)]
    return tuple(cells)


def field_of(item: Entry) -> Field:
    """A declared field as a column."""
    about = item.about
    return Field(item.column, item.heading, item.kind, about.shown, about.wide_only, about.wrap)


def _cell(value: Any) -> Cell:
    """A value as a cell: a list of words as one text, yes or no for what is true or not."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return joined(value, "; ")
    cell: Cell = value
    return cell


def find_table(tables: Sequence[Table], key: str) -> Table | None:
    """Return the table of that name, or None."""
    return next((table for table in tables if table.key == key), None)
