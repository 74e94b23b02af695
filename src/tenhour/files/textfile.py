"""Read one text file a user names, safely: whatever it turns out to be, the answer is text or one clear problem."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import re
import stat
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, Final

from tenhour.errors import FileProblem, Problem

MOST_BYTES: Final = 2_000_000
"""A house, crop or log file written by hand is a few kB; more is a wrong file. Judgement."""
MOST_KEY_PARTS: Final = 30
"""Dotted keys deeper than this are refused before parsing: the parser's time grows with their square. Judgement."""

_PART: Final = r"(?:[\w-]++|\"[^\"\n]*+\"|'[^'\n]*+')"
_DEEP_KEY: Final = re.compile(rf"(?<![\w-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{MOST_KEY_PARTS},}}+")
_AT_LINE: Final = re.compile(r"\(at line (\d+), column (\d+)\)")

_REASONS: Final = {
    errno.ENOENT: ("no such file", "Check the name."),
    errno.ENOTDIR: ("no such file: part of its path is a file, not a folder", "Check the path."),
    errno.EACCES: ("may not be read", "Change its permissions, or copy it."),
    errno.EPERM: ("may not be read", "Change its permissions, or copy it."),
    errno.ELOOP: ("a link that leads back to itself", "Name the file itself."),
    errno.ENAMETOOLONG: ("a name too long for this system", "Check the name."),
}


READ: Final[set[tuple[int, int]]] = set()
"""Files read so far in this call, by device and number: no answer may be written over one of them."""


def note_read(handle: int) -> None:
    """Note that an open file is an input of this call."""
    found = os.fstat(handle)
    READ.add((found.st_dev, found.st_ino))


def _fail(file: str, found: str, allowed: str = "", do: str = "") -> FileProblem:
    return FileProblem([Problem(file, "", found, allowed, do)])


def _kind(mode: int) -> str:
    """Say in words what a thing on disk is that is no ordinary file."""
    for test, word in (
        (stat.S_ISDIR, "a folder"),
        (stat.S_ISFIFO, "a pipe"),
        (stat.S_ISSOCK, "a socket"),
    ):
        if test(mode):
            return word
    return "a device"


def _os_problem(file: str, error: OSError, missing: str = "") -> FileProblem:
    found, do = _REASONS.get(error.errno or 0, (f"cannot be read ({error.strerror or error})", "Check the file."))
    do = missing if missing and error.errno == errno.ENOENT else do
    return _fail(file, found, "", do)


def _open_file(path: Path, file: str) -> int:
    """Open without waiting for a writer, and refuse what is no ordinary file."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0))
    except ValueError:  # a NUL in the name
        raise _fail(file, "not a file name", "", "Check the name.") from None
    mode = os.fstat(handle).st_mode
    if not stat.S_ISREG(mode):
        os.close(handle)
        raise _fail(file, _kind(mode), "a text file", "Name a file.")
    note_read(handle)
    return handle


def check_ordinary(path: Path) -> None:
    """Raise FileProblem for what is no ordinary file and would be waited for, such as a pipe, before a library does."""
    try:
        os.close(_open_file(path, str(path)))
    except OSError as error:
        raise _os_problem(str(path), error) from None


def _read_bytes(path: Path, file: str, most_bytes: int) -> bytes:
    """Read no more than the bound."""
    with os.fdopen(_open_file(path, file), "rb") as stream:
        data = stream.read(most_bytes + 1)
    if len(data) > most_bytes:
        raise _fail(file, "a very large file", f"up to {most_bytes / 1e6:g} MB", "Is this the right file?")
    return data


def read_text(path: Path, most_bytes: int = MOST_BYTES, *, missing: str = "") -> str:
    """Return the text of a file in UTF-8, with or without a byte-order mark and with any line ends.

    Parameters: path, the file; most_bytes, the largest size read [bytes]; missing, what to do if there is no such file.
    Errors: FileProblem with one line for a missing file, folder, pipe, device, link loop, file without permission,
    too large a file, binary content and other encodings. A pipe is never waited for.
    """
    file = str(path)
    try:
        data = _read_bytes(path, file, most_bytes)
    except OSError as error:
        raise _os_problem(file, error, missing) from None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _fail(file, "text in UTF-16", "plain text in UTF-8", "Save the file as UTF-8.")
    if b"\0" in data:
        raise _fail(file, "a binary file", "plain text in UTF-8", "Is this the right file?")
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"a byte that is not UTF-8 text (line {line})"
        raise _fail(file, found, "plain text in UTF-8", "Save the file as UTF-8.") from None


def packaged_text(name: str) -> str:
    """Text of a data file that travels with the program."""
    return (resources.files("tenhour") / "_data" / name).read_text(encoding="utf-8")


def packaged_toml(name: str) -> dict[str, Any]:
    """Tables of a TOML data file that travels with the program, read anew: a caller may keep or change them."""
    text = packaged_text(name)
    found = packed_tables(text)
    return tomllib.loads(text) if found is None else found


PACKED: Final = "tables.jsonl"
"""Tables of the data files, a line each behind the digest of the file's text: reading TOML takes ten times as long.
Made by scripts/pack_tables.py."""


def packed_tables(text: str, name: str = PACKED) -> dict[str, Any] | None:
    """Tables of a TOML text that came with the program, known good, without parsing it; None for any other text.

    Parameters: text; name, of the data file of packed tables. They are known by the digest of the text, so that a file
    that somebody changed is read itself.
    """
    found = _packed(name).get(hashlib.sha256(text.encode()).hexdigest())
    return None if found is None else dict(json.loads(found))


@cache
def _packed(name: str) -> Mapping[str, str]:
    """Lines of a data file of packed tables by digest."""
    return dict(line.split(" ", 1) for line in packaged_text(name).splitlines())


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Parameters: text; file, the name shown in problems.
    Errors: FileProblem with one line that gives the line and column of the first thing that is not TOML.
    """
    deep = _DEEP_KEY.search(text)
    if deep:
        line = text.count("\n", 0, deep.start()) + 1
        raise FileProblem(
            [
                Problem(
                    file, f"line {line}", "a key nested too deep", f"{MOST_KEY_PARTS} levels", "Is this the right file?"
                )
            ]
        )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise _fail(file, "lists or tables nested too deep", "a few levels", "Is this the right file?") from None
    except ValueError as error:  # TOMLDecodeError, and integers of thousands of digits
        raise FileProblem([_toml_problem(file, str(error))]) from None


def _toml_problem(file: str, message: str) -> Problem:
    at = _AT_LINE.search(message)
    what = _AT_LINE.sub("", message).strip().rstrip(".")
    what = what[:1].lower() + what[1:] if what[:2].istitle() or what[:1].isupper() else what
    what = "a key or table given twice" if "overwrite" in what or "declare" in what else what
    where = f"line {at[1]}" if at else ""
    column = f" (column {at[2]})" if at else ""
    do = 'One "key = value" a line; text in double quotes, numbers without.'
    return Problem(file, where, f"not valid TOML: {what}{column}", "", do)
