"""Tables as CSV that a spreadsheet opens without running anything."""

from __future__ import annotations

import csv
import io
import math
import re
import unicodedata
from datetime import date
from typing import Final

from tenhour.report.tables import Cell, Field, Table
from tenhour.words.style import Style

FORMULA_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""A text cell that begins like this would be run as a formula; an apostrophe before it keeps it text."""
SPLIT_START: Final = re.compile(r"([;\t])([=+@\-＝＋－＠])")
"""Where a program that splits cells at other signs than ours would see a cell begin with a formula."""
DIGITS: Final = 6


def csv_text(table: Table, style: Style) -> str:
    """Write a table as CSV by RFC 4180 with line feeds: header with units, dates ISO, empty where None."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([safe_text(field.spreadsheet_key(style)) for field in table.fields])
    known: list[dict[Cell, str]] = [{} for _ in table.fields]
    for row in table.rows:
        writer.writerow([_known(*part, style) for part in zip(table.fields, row, known, strict=True)])
    return out.getvalue()


def _known(field: Field, cell: Cell, known: dict[Cell, str], style: Style) -> str:
    """A cell as text; long tables say the same again and again. Zero is not kept, for it may have a sign."""
    text = known.get(cell)
    if text is None:
        text = _cell(field, cell, style)
        if cell != 0:
            known[cell] = text
    return text


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
    """Text that no spreadsheet takes for a formula, whether it splits cells at commas, semicolons or tabs."""
    split = SPLIT_START.sub(r"\1'\2", text)
    shown = next((n for n, ch in enumerate(split) if not _unseen(ch)), 0)
    return f"'{split}" if split[shown:].startswith(FORMULA_STARTS) or split.startswith(FORMULA_STARTS) else split


def _unseen(ch: str) -> bool:
    """Blanks and marks without a shape, which some programs skip before they look for a formula."""
    return ch.isspace() or unicodedata.category(ch) in ("Cf", "Cc")
