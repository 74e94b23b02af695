"""Taking back, changing and bringing in lines of a log: the whole new text takes the old one's place in one step."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.files.filelock import PATIENCE_S, StillLockedError, held
from tenhour.files.log import HEADINGS, check_line, in_columns, line_text, parse_log, read_log, separator_of
from tenhour.files.textfile import read_text
from tenhour.files.write import write_text
from tenhour.model.log import LogLine


def undo_log(path: Path, patience_s: float = PATIENCE_S) -> LogLine:
    """Take back the last line of a log and return it.

    Parameters: path; patience_s, how long to wait for another writer [s].
    Errors: FileProblem for a log that is missing, empty or held by another program; it is as it was then.
    """
    lines = read_log(path, must_exist=True)
    if not lines:
        raise FileProblem([Problem(str(path), "", "no line to take back", "", "")])

    def without_last(text: str) -> str:
        parts, spans = _records(text)
        begin, end = spans[-1]
        return "".join(parts[:begin] + parts[end:])

    _rewritten(path, without_last, lines, patience_s)
    return lines[-1]


def edit_log(path: Path, number: int, changes: dict[str, Any], patience_s: float = PATIENCE_S) -> LogLine:
    """Change one line of a log and return it as it is now.

    Parameters: path; number, of the line from 1 as ``tenhour log`` shows it; changes, fields of LogLine by name;
    patience_s, how long to wait for another writer [s].
    Errors: FileProblem for a number that is not there, or a line that could not be read back.
    """
    lines = read_log(path, must_exist=True)
    if not 1 <= number <= len(lines):
        raise FileProblem([Problem(ARGUMENT, "number", str(number), f"a line from 1 to {len(lines)}", "")])
    line = replace(lines[number - 1], **changes)
    check_line(line)

    def with_change(text: str) -> str:
        wide = _widened(text, [line])
        parts, spans = _records(wide)
        begin, end = spans[number - 1]
        return "".join([*parts[:begin], in_columns(line, parts[0]), *parts[end:]])

    _rewritten(path, with_change, lines, patience_s)
    return line


def import_log(path: Path, found: Sequence[LogLine], patience_s: float = PATIENCE_S) -> int:
    """Add all lines that a log does not have yet, or none; return how many.

    Parameters: path, made if missing; found, lines of another table; patience_s, how long to wait [s].
    Errors: FileProblem for a line that could not be read back or a log held by another program.
    """
    for line in found:
        check_line(line)
    have = read_log(path)
    new = [line for line in dict.fromkeys(found) if line not in have]
    if not new:
        return 0
    if not path.exists():
        write_text(path, export_text(new))
        return len(new)

    def with_more(text: str) -> str:
        wide = _widened(text, new)
        head = wide.split("\n", 1)[0]
        ended = "" if wide.endswith(("\n", "\r")) else "\n"
        return wide + ended + "".join(in_columns(line, head) for line in new)

    _rewritten(path, with_more, have, patience_s)
    return len(new)


def export_text(lines: Sequence[LogLine]) -> str:
    """Return a log as a table with every column."""
    return ",".join(HEADINGS) + "\n" + "".join(line_text(line) for line in lines)


def _records(text: str) -> tuple[list[str], list[tuple[int, int]]]:
    """Return the physical lines of a log, and first and past-last of each record after the headings."""
    parts = io.StringIO(text, newline="").readlines()
    reader = csv.reader(parts, delimiter=separator_of(parts[0]))
    spans, begin = [], 0
    for row in reader:
        if any(cell.strip() for cell in row):
            spans.append((begin, reader.line_num))
        begin = reader.line_num
    return parts, spans[1:]


def _widened(text: str, lines: Sequence[LogLine]) -> str:
    """Return the text with the columns its new lines need."""
    head, newline, rest = text.partition("\n")
    separator = separator_of(head)
    names = [cell.strip().lower() for cell in next(csv.reader([head], delimiter=separator))]
    used = [dict(zip(HEADINGS, next(csv.reader([line_text(line)])), strict=True)) for line in lines]
    new = [name for name in HEADINGS if name not in names and any(cells[name] for cells in used)]
    if not new:
        return text
    ends = "\r" if head.endswith("\r") else ""
    return separator.join([head.rstrip("\r"), *new]) + ends + newline + rest


def _rewritten(path: Path, change: Callable[[str], str], seen: Sequence[LogLine], patience_s: float) -> None:
    """Put a changed text in the log's place, under its lock; the lines must still be those that were seen."""
    handle = os.open(path, os.O_RDWR | getattr(os, "O_CLOEXEC", 0))
    try:
        with held(handle, patience_s):
            text = read_text(path)
            if parse_log(text, str(path)) != tuple(seen):
                raise FileProblem([Problem(str(path), "", "changed by another program meanwhile", "", "Try again.")])
            new = change(text)
            parse_log(new, str(path))
            write_text(path, new, force=True)
    except StillLockedError:
        do = "Close the program that has it open, and try again."
        raise FileProblem([Problem(str(path), "", "held by another program", "", do)]) from None
    finally:
        os.close(handle)
