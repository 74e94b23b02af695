"""Terminal tables that fit 80 columns and use 120; plain when piped or when NO_COLOR is set."""

from __future__ import annotations

import os
import shutil
import sys
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tenhour.report.tables import Table
from tenhour.words.style import Style

NARROW: Final = 80
WIDE: Final = 120
ROOMY: Final = 100
"""From this width on, columns that are only worth their room on a wide terminal are shown."""
BARS: Final = " ▁▂▃▄▅▆▇█"
SMALLEST: Final = 12
BOLD: Final = "\x1b[1m"
NORMAL: Final = "\x1b[0m"


@dataclass(frozen=True)
class Column:
    """One column: heading, alignment, and whether it appears only when there is room."""

    title: str
    right: bool = True
    wide_only: bool = False
    wrap: bool = False
    firm: bool = False
    """Never cut: a date or a number that would mislead when shortened."""


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
    return f"{BOLD}{clean(text)}{NORMAL}" if colour_wanted() else clean(text)


def plain(text: str) -> str:
    """Text as it was made, without what bold adds on a terminal."""
    return text.replace(BOLD, "").replace(NORMAL, "")


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


def fit(text: str, width: int, *, right: bool = False) -> str:
    """Pad, or cut with an ellipsis, to exactly this many columns."""
    if cells(text) > width:
        while cells(text) > width - 1:
            text = text[:-1]
        text += "…"
    pad = " " * (width - cells(text))
    return pad + text if right else text + pad


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Break a text into lines of at most ``width`` columns."""
    room = max(width - cells(indent), 1)
    lines: list[str] = []
    line = ""
    for word in clean(text).split():
        while cells(word) > room:
            if line:
                lines.append(line)
                line = ""
            head = _head(word, room)
            lines.append(head)
            word = word[len(head) :]
        if line and cells(line) + 1 + cells(word) > room:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}" if line and word else line or word
    return [indent + part for part in [*lines, line] if part] or [""]


def _head(word: str, room: int) -> str:
    end = len(word)
    while cells(word[:end]) > room:
        end -= 1
    return word[: max(end, 1)]


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """Lay out a table; one wrapping column takes the room that is left, and headings break between words."""
    keep = [i for i, column in enumerate(columns) if width >= ROOMY or not column.wide_only]
    kept = [columns[i] for i in keep]
    body = [[clean(row[i]) for i in keep] for row in rows]
    texts = [[row[j] for row in body] for j in range(len(kept))]
    sizes = [_widest([column.title, *own]) for column, own in zip(kept, texts, strict=True)]
    if sum(sizes) + 2 * (len(sizes) - 1) > width:
        sizes = [_widest([*column.title.split(), *own]) for column, own in zip(kept, texts, strict=True)]
    _squeeze(sizes, kept, width)
    heads = [wrap(column.title, size) for column, size in zip(kept, sizes, strict=True)]
    tall = max(len(head) for head in heads)
    lines = [
        _row([head[n - tall + len(head)] if n >= tall - len(head) else "" for head in heads], sizes, kept)
        for n in range(tall)
    ]
    lines.append("  ".join("─" * size for size in sizes))
    for row in body:
        lines.extend(_wrapped_row(row, sizes, kept))
    return [line.rstrip() for line in lines]


def _widest(texts: Sequence[str]) -> int:
    return max((cells(text) for text in texts), default=0)


def _squeeze(sizes: list[int], columns: Sequence[Column], width: int) -> None:
    """Take room first from the wrapping columns, then from the widest column of words."""
    gaps = 2 * (len(sizes) - 1)
    while sum(sizes) + gaps > width:
        prose = [j for j, column in enumerate(columns) if column.wrap and sizes[j] > SMALLEST]
        words = [
            j for j, column in enumerate(columns) if not (column.right or column.firm) and sizes[j] > SMALLEST // 2
        ]
        choice = prose or words
        if not choice:
            return
        sizes[max(choice, key=lambda j: sizes[j])] -= 1


def _row(texts: Sequence[str], sizes: Sequence[int], columns: Sequence[Column]) -> str:
    return "  ".join(
        fit(text, size, right=column.right) for text, size, column in zip(texts, sizes, columns, strict=True)
    )


def _wrapped_row(row: Sequence[str], sizes: Sequence[int], columns: Sequence[Column]) -> list[str]:
    parts = [
        wrap(text, size) if column.wrap and cells(text) > size else [text]
        for text, size, column in zip(row, sizes, columns, strict=True)
    ]
    height = max(len(part) for part in parts)
    return [_row([part[n] if n < len(part) else "" for part in parts], sizes, columns) for n in range(height)]


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
