"""Terminal tables that fit 80 columns and use 120; plain when piped or when NO_COLOR is set."""

from __future__ import annotations

import io
import os
import shutil
import sys
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tenhour.report.tables import Table
from tenhour.words.style import Style

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

NARROW: Final = 80
WIDE: Final = 120
ROOMY: Final = 100
"""From this width on, columns that are only worth their room on a wide terminal are shown."""
BARS: Final = " ▁▂▃▄▅▆▇█"
RULED: Final = "    \n    \n ─  \n    \n    \n    \n    \n    \n"
"""A table without a frame, its headings underlined: as the drawing library takes it."""
BETWEEN: Final = "  "
LEAST_HEAD: Final = 12
"""Columns for the names beside strips of marks, before these are cut. Judgement."""
PROSE: Final = 24
"""Columns a sentence needs beside names that are not broken."""


@dataclass(frozen=True)
class Column:
    """One column: heading, alignment, and whether it appears only when there is room."""

    title: str
    right: bool = True
    wide_only: bool = False
    wrap: bool = False
    """Sentences: they give way before names do."""
    firm: bool = False
    """Never broken: a date or a number that would mislead."""


def width_columns() -> int:
    """Columns to write for: the terminal's, at most 120; 80 when piped."""
    if not sys.stdout.isatty() and "COLUMNS" not in os.environ:
        return NARROW
    return max(40, min(shutil.get_terminal_size((NARROW, 24)).columns, WIDE))


def colour_wanted() -> bool:
    """Colour only on a real terminal that has not asked for none."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def bold(text: str) -> str:
    """Bold on a terminal that wants it; control characters in the text are dropped."""
    if not colour_wanted():
        return clean(text)
    from rich.text import Text

    return "\n".join(_drawn(Text(clean(text), style="bold"), max(cells(text), 1)))


def plain(text: str) -> str:
    """Text as it was made, without what bold adds on a terminal."""
    if "\x1b" not in text:
        return text
    from rich.text import Text

    return "\n".join(Text.from_ansi(line).plain for line in text.split("\n"))


def heading(title: str, rest: str, width: int) -> list[str]:
    """Heading in bold with words after it; where it does not fit on one line, the first line is bold."""
    lines = wrap(title + rest, width)
    if len(lines) == 1:
        return [bold(title) + clean(rest)]
    return [bold(lines[0]), *lines[1:]]


def clean(text: str) -> str:
    """Text without control characters or direction marks, so that a name cannot steer the terminal."""
    return "".join(" " if ch in "\t\n\r" else ch for ch in text if ch in "\t\n\r" or not _steers(ch))


def _steers(ch: str) -> bool:
    return unicodedata.category(ch) in {"Cc", "Cs"} or ch in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


def cells(text: str) -> int:
    """Columns a text takes on a terminal; wide characters take two."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Break a text into lines of at most ``width`` columns."""
    from rich.text import Text

    words = " ".join(clean(text).split())
    room = max(width - cells(indent), 1)
    if cells(words) <= room:
        return [indent + words if words else ""]
    lines = Text(words).wrap(_console(width), room, overflow="fold")
    return [indent + line.plain.rstrip() for line in lines]


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """Lay out a table: words break where room is short, numbers and dates never, headings between words."""
    from rich.box import Box
    from rich.table import Table as Drawing

    keep = [i for i, column in enumerate(columns) if width >= ROOMY or not column.wide_only]
    kept = [columns[i] for i in keep]
    body = [[clean(row[i]) for i in keep] for row in rows]
    contents = [_widest([row[j] for row in body]) for j in range(len(kept))]
    natural = sum(max(size, cells(column.title)) for size, column in zip(contents, kept, strict=True))
    gaps = len(BETWEEN) * (len(kept) - 1)
    short = natural + gaps > width
    spare = width - gaps - sum(PROSE if column.wrap else size for size, column in zip(contents, kept, strict=True))
    names_stay = spare >= 0 and any(column.wrap for column in kept)
    drawing = Drawing(box=Box(RULED), show_edge=False, pad_edge=False, padding=(0, 1, 0, 0), header_style="bold")
    for size, column in zip(contents, kept, strict=True):
        firm = column.right or column.firm or (names_stay and not column.wrap)
        room = max(size, _widest(column.title.split()))
        title = "\n".join(wrap(column.title, room)) if short and firm else clean(column.title)
        drawing.add_column(title, justify="right" if column.right else "left", overflow="fold", no_wrap=firm)
    for row in body:
        drawing.add_row(*row)
    return _drawn(drawing, width)


def beside(rows: Sequence[tuple[str, str]], head_columns: int, width: int, indent: str = "") -> list[str]:
    """Lay out texts beside their heads, both broken between words; heads take ``head_columns`` at least."""
    from rich.table import Table as Drawing

    grid = Drawing.grid(padding=(0, len(BETWEEN), 0, 0))
    grid.add_column(width=head_columns, overflow="fold")
    grid.add_column(overflow="fold")
    for head, text in rows:
        grid.add_row(clean(head), clean(text))
    return [(indent + line).rstrip() for line in _drawn(grid, width - cells(indent))]


def strips(
    rows: Sequence[tuple[str, str]], head_columns: int, width: int, *, over: str = "", unit: int = 1
) -> list[str]:
    """Lay out rows of marks beside their heads; where they do not fit, in halves or shorter parts below one another.

    A head too long for its column is broken. over, a row that stands above every part but the first, which has its own;
    unit, marks that belong together.
    """
    from rich.table import Table as Drawing

    marks = max((cells(row) for _, row in rows), default=0)
    units = -(-marks // unit)
    least = min(head_columns, LEAST_HEAD)
    parts = next((n for n in range(1, units + 1) if -(-units // n) * unit + 1 + least <= width), max(units, 1))
    length = max(-(-units // parts) * unit, 1)
    lines: list[str] = []
    for first in range(0, max(marks, 1), length):
        part = [(head, row[first : first + length] if head else _cut(row, first, first + length)) for head, row in rows]
        if over and parts > 1:
            part.insert(0, ("", _cut(over, first, first + length)))
        grid = Drawing.grid(padding=(0, 1, 0, 0))
        grid.add_column(width=max(min(head_columns, width - 1 - length), 1), overflow="fold")
        grid.add_column(min_width=min(length, marks), no_wrap=True)
        for head, row in part:
            grid.add_row(clean(head), row)
        lines += _drawn(grid, max(width, 1))
    return lines


def _cut(row: str, first: int, last: int) -> str:
    """Part of a row of marks, without names of months that are cut in two."""
    part = row[first:last]
    if first and row[first - 1 : first].isalpha():
        part = "".join(" " if i < _letters(part) else mark for i, mark in enumerate(part))
    if row[last : last + 1].isalpha():
        cut = _letters(part[::-1])
        part = part[: len(part) - cut] if cut else part
    return part


def _letters(text: str) -> int:
    """Letters at the beginning of a text."""
    return next((n for n, mark in enumerate(text) if not mark.isalpha()), len(text))


def _console(width: int) -> Console:
    """What lays text out: in styles where the reader's terminal takes them, else without."""
    from rich.console import Console

    return Console(
        file=io.StringIO(),
        width=width,
        color_system="standard" if colour_wanted() else None,
        force_terminal=colour_wanted(),
        legacy_windows=False,
        markup=False,
        highlight=False,
        emoji=False,
        _environ={},
    )


def _drawn(shape: RenderableType, width: int) -> list[str]:
    console = _console(width)
    with console.capture() as taken:
        console.print(shape)
    return [line.rstrip() for line in taken.get().splitlines()]


def _widest(texts: Sequence[str]) -> int:
    return max((cells(text) for text in texts), default=0)


def table_lines(data: Table, width: int, style: Style) -> list[str]:
    """Lay out a table of data for the terminal, headings with the reader's units."""
    columns = [
        Column(field.heading(style), field.right, field.wide_only, field.wrap, field.kind == "date")
        for field in data.fields
    ]
    return table(columns, data.text_rows(style), width)


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
