"""Tables as CSV that a spreadsheet opens without running anything."""

from __future__ import annotations

import csv
import io
import math
from datetime import date
from typing import Final

from tenhour.report.tables import Cell, Field, Table
from tenhour.report.units import Style

FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""A text cell that begins like this would be run as a formula; an apostrophe before it keeps it text."""
DIGITS: Final = 6


def csv_text(table: Table, style: Style) -> str:
    """Write a table as CSV by RFC 4180 with line feeds: header with units, dates ISO, empty where None."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([field.spreadsheet_key(style) for field in table.fields])
    for row in table.rows:
        writer.writerow([_cell(field, cell, style) for field, cell in zip(table.fields, row, strict=True)])
    return out.getvalue()


def _cell(field: Field, cell: Cell, style: Style) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return safe_text(cell)
    if isinstance(cell, date):
        return cell.isoformat()
    if field.kind == "month":
        return str(int(cell))
    value = field.quantity().in_style(float(cell), style)
    return f"{value:.{DIGITS}g}" if math.isfinite(value) else ""


def safe_text(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
