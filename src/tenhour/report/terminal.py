"""Terminal tables that fit 80 columns and use 120; plain when piped or when NO_COLOR is set."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

NARROW: Final = 80
WIDE: Final = 120
BARS: Final = " ▁▂▃▄▅▆▇█"


@dataclass(frozen=True)
class Column:
    """One column: heading, alignment, and whether it appears only when there is room."""

    title: str
    right: bool = True
    wide_only: bool = False
    wrap: bool = False


def width_columns() -> int:
    """Columns to write for: the terminal's, at most 120; 80 when piped."""
    if not sys.stdout.isatty() and "COLUMNS" not in os.environ:
        return NARROW
    return max(40, min(shutil.get_terminal_size((NARROW, 24)).columns, WIDE))


def colour_wanted() -> bool:
    """Colour only on a real terminal that has not asked for none."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def bold(text: str) -> str:
    """Bold on a terminal that wants it."""
    return f"\x1b[1m{text}\x1b[0m" if colour_wanted() else text


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Break a text into lines of at most ``width`` columns."""
    import textwrap

    return textwrap.wrap(text, max(width, 20), initial_indent=indent, subsequent_indent=indent) or [""]


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """Lay out a table; one wrapping column takes the room that is left."""
    keep = [i for i, column in enumerate(columns) if width >= WIDE - 20 or not column.wide_only]
    heads = [columns[i].title for i in keep]
    body = [[row[i] for i in keep] for row in rows]
    sizes = [max(len(cell) for cell in [head, *(row[j] for row in body)]) for j, head in enumerate(heads)]
    free = next((j for j, i in enumerate(keep) if columns[i].wrap), None)
    if free is not None:
        others = sum(size + 2 for j, size in enumerate(sizes) if j != free)
        sizes[free] = max(12, min(sizes[free], width - others))
    lines = [_row(heads, sizes, [columns[i] for i in keep])]
    lines.append("  ".join("─" * size for size in sizes))
    for row in body:
        lines.extend(_wrapped_row(row, sizes, [columns[i] for i in keep], free))
    return [line.rstrip() for line in lines]


def _row(cells: Sequence[str], sizes: Sequence[int], columns: Sequence[Column]) -> str:
    return "  ".join(
        cell.rjust(size) if column.right else cell.ljust(size)
        for cell, size, column in zip(cells, sizes, columns, strict=True)
    )


def _wrapped_row(row: Sequence[str], sizes: Sequence[int], columns: Sequence[Column], free: int | None) -> list[str]:
    if free is None:
        return [_row(row, sizes, columns)]
    parts = wrap(row[free], sizes[free])
    lines = []
    for n, part in enumerate(parts):
        cells = [part if j == free else (cell if n == 0 else "") for j, cell in enumerate(row)]
        lines.append(_row(cells, sizes, columns))
    return lines


def bars(values: Sequence[float], top: float) -> str:
    """A row of block characters, one per value, ``top`` filling the cell."""
    steps = len(BARS) - 1
    return "".join(BARS[min(steps, max(0, round(value / top * steps)))] if top > 0 else " " for value in values)


def number(value: float | None, digits: int = 1) -> str:
    """A number with fixed digits, or a dash."""
    return "-" if value is None else f"{value:.{digits}f}"


def notes(title: str, lines: Sequence[str], width: int) -> list[str]:
    """A titled list of remarks, wrapped; nothing when empty."""
    if not lines:
        return []
    out = ["", title]
    for line in lines:
        first, *rest = wrap(line, width - 2)
        out.append(f"- {first}")
        out.extend(f"  {part}" for part in rest)
    return out
