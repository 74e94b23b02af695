"""``sown.csv``: the log of sowings and harvests. A spreadsheet opens it; every line is added whole or not at all."""

from __future__ import annotations

import csv
import errno
import io
import os
import stat
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Final

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.files.crop import crops_by_name, load_crops, plain_name
from tenhour.files.filelock import PATIENCE_S, StillLockedError, held
from tenhour.files.problems import Problems, show
from tenhour.files.readings.stamps import parse_stamps
from tenhour.files.textfile import read_text
from tenhour.files.write import write_text
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.log import REASONS, STANDING_D, WHATS, Because, LogLine, sowings

LOG_NAME: Final = "sown.csv"
HEADINGS: Final = (
    "date", "what", "crop", "bed", "plants_per_m2", "fresh_g", "note", "area_m2", "plants", "variety", "because", "of",
)  # fmt: skip
NEEDED: Final = ("date", "what", "crop")
MOST_PER_M2: Final = 100_000.0
"""Cress is sown at some tens of thousands of seeds a square metre: common practice."""
MOST_FRESH_G: Final = 1e6
MOST_AREA_M2: Final = 10_000.0
MOST_PLANTS: Final = 1e6
FORMULA_STARTS: Final = "=+-@'＝＋－＠"
"""A cell that begins so would be run by a spreadsheet; such words get an apostrophe in front, taken off on reading."""
NEAR: Final = 0.5
"""Likeness from which another name is offered. Judgement."""
NEW_FILE_MODE: Final = 0o644
NICE_FLAGS: Final = sum(getattr(os, name, 0) for name in ("O_CLOEXEC", "O_NONBLOCK", "O_BINARY"))
"""Never wait for the reader of a pipe; leave line ends alone."""


def log_path(house_path: str) -> Path:
    """Return where the log lies: beside the house file, else in the folder the program runs in."""
    return Path(house_path).parent / LOG_NAME if house_path else Path(LOG_NAME)


def separator_of(first_line: str) -> str:
    """Spreadsheets in many countries save with semicolons."""
    return max(",;\t", key=first_line.count)


def read_log(path: Path, must_exist: bool = False) -> tuple[LogLine, ...]:
    """Return all lines of a log in the order they stand there.

    Parameters: path; must_exist, whether a missing file is a problem (the user named it) or an empty log.
    Errors: FileProblem with every bad cell at once.
    """
    if not must_exist and not path.exists() and not path.is_symlink():
        return ()
    return parse_log(read_text(path), str(path))


def house_log(
    house: House, crops: Sequence[Crop] = (), folder: Path | None = None, path: Path | None = None
) -> tuple[LogLine, ...]:
    """Return the lines of a house's log, every crop and bed of them known.

    Parameters: house; crops, those loaded already; folder, the user's own crop files; path, a log named by the user,
    else the one beside the house file, which need not be there.
    Errors: FileProblem with every bad cell, or every line of an unknown crop or bed.
    """
    if path is None and not house.path:
        return ()
    where = log_path(house.path) if path is None else path
    lines = read_log(where, must_exist=path is not None)
    keys = {crop.key for crop in crops}
    table = crops if all(line.crop in keys for line in lines) else load_crops(folder)
    return known_lines(lines, table, house, str(where))


def parse_log(text: str, file: str) -> tuple[LogLine, ...]:
    """Return the lines of a log's text; file is the name shown in problems.

    Errors: FileProblem with every line that cannot be understood.
    """
    problems = Problems(file)
    separator = separator_of(text.split("\n", 1)[0])
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        rows = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise FileProblem([Problem(file, f"line {reader.line_num}", f"not a table ({error})", "", "")]) from None
    if not rows:
        return ()
    columns = _columns(rows[0][1], problems)
    problems.check()
    days = parse_stamps([_cell(row, columns["date"]) for _, row in rows[1:]])
    if days.ambiguous:
        problems.add("date", "days and months that could be either way round", "days written as 2027-01-15", "")
    lines = [
        _line(row, columns, stamp, f"line {number}", problems, days.ambiguous)
        for (number, row), stamp in zip(rows[1:], days.values, strict=True)
    ]
    problems.check()
    return tuple(line for line in lines if line is not None)


def known_lines(lines: Sequence[LogLine], crops: Sequence[Crop], house: House, file: str) -> tuple[LogLine, ...]:
    """Lines with the keys of their crops and the beds as the house writes them.

    Parameters: lines, numbered in problems from 1 as ``tenhour log`` shows them; crops, the whole table; house; file,
    named in problems. Beds the house has no more may stand there once all that was begun on them is cleared; without a
    house file any bed may.
    Errors: FileProblem with every line of an unknown crop or bed, and the nearest name.
    """
    names, problems, out = crops_by_name(crops), Problems(file), []
    places = {plain_name(bed.name): bed.name for bed in house.beds}
    if house.nursery is not None:
        places[plain_name(house.nursery.name)] = house.nursery.name
    found = [names.get(plain_name(line.crop)) for line in lines]
    keyed = [line if crop is None else replace(line, crop=crop.key) for line, crop in zip(lines, found, strict=True)]
    past = beds_of_the_past(keyed) if house.path else {line.bed for line in lines}
    for number, line in enumerate(keyed, 1):
        bed = places.get(plain_name(line.bed))
        if found[number - 1] is None:
            _nearest(problems, f"row {number}: crop", line.crop, "crop", list(names))
        elif line.bed and bed is None and line.bed not in past:
            _nearest(problems, f"row {number}: bed", line.bed, "bed", list(places.values()))
        else:
            out.append(replace(line, bed=bed or line.bed))
    problems.check()
    return tuple(out)


def _nearest(problems: Problems, key: str, word: str, what: str, known: Sequence[str]) -> None:
    """Note a name nobody knows, with the nearest one, or all of a few."""
    close = get_close_matches(plain_name(word), [name for name in known if "," not in name], n=1, cutoff=NEAR)
    few = what == "bed"
    rest = f"Beds: {', '.join(known)}; none for plants raised elsewhere." if few else "tenhour crops lists them."
    problems.add(key, f"{show(word)}, a {what} nobody knows", "", f"Did you mean {close[0]}?" if close else rest)


def beds_of_the_past(lines: Sequence[LogLine]) -> frozenset[str]:
    """Beds of a log on which nothing stands any more: all that was sown or set out on them is cleared."""
    begun = {line.bed for line in lines if line.what in ("sown", "set-out")}
    last = max((line.on for line in lines), default=date.min)
    open_ones = {
        one.bed for one in sowings(lines, last) if one.cleared is None and (last - one.sown).days <= STANDING_D
    }
    return frozenset(begun - open_ones)


def _columns(head: Sequence[str], problems: Problems) -> dict[str, int]:
    names = [cell.strip().lower() for cell in head]
    for name in names:
        if name and name not in HEADINGS:
            problems.choice("heading", name, "no column of a log", HEADINGS)
    for name in NEEDED:
        if name not in names:
            problems.add("heading", f"no column {name}", "a first line " + ",".join(HEADINGS), "")
    return {name: names.index(name) for name in HEADINGS if name in names}


def _cell(row: Sequence[str], column: int | None) -> str:
    return row[column].strip() if column is not None and column < len(row) else ""


def _words(row: Sequence[str], column: int | None) -> str:
    """Text of a cell, without the apostrophe that keeps a spreadsheet from running it."""
    text = _cell(row, column)
    return text[1:] if text[:1] == "'" and text[1:2] and text[1] in FORMULA_STARTS else text


def _number(text: str, key: str, name: str, high: float, problems: Problems) -> float | None:
    if not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if 0.0 <= value <= high:
        return value
    problems.add(f"{key}: {name}", show(text), f"a number from 0 to {high:g}, or nothing")
    return None


def _line(
    row: Sequence[str],
    columns: dict[str, int],
    stamp: datetime | None,
    key: str,
    problems: Problems,
    ambiguous: bool,
) -> LogLine | None:
    what, crop = _cell(row, columns["what"]).lower(), _words(row, columns["crop"])
    if stamp is None and not ambiguous:
        problems.add(f"{key}: date", show(_cell(row, columns["date"])), "a day that exists, written as 2027-01-15")
    if what not in WHATS:
        problems.add(f"{key}: what", show(what), "one of " + ", ".join(WHATS))
    if not crop:
        problems.add(f"{key}: crop", "nothing", "the name of a crop")
    per_m2 = _number(_cell(row, columns.get("plants_per_m2")), key, "plants_per_m2", MOST_PER_M2, problems)
    fresh = _number(_cell(row, columns.get("fresh_g")), key, "fresh_g", MOST_FRESH_G, problems)
    known = next((word for word in WHATS if word == what), None)
    if stamp is None or known is None or not crop:
        return None
    area = _number(_cell(row, columns.get("area_m2")), key, "area_m2", MOST_AREA_M2, problems)
    count = _number(_cell(row, columns.get("plants")), key, "plants", MOST_PLANTS, problems)
    bed, note, variety = (_words(row, columns.get(name)) for name in ("bed", "note", "variety"))
    return LogLine(
        stamp.date(), known, crop, bed, per_m2, fresh, note, area or None, None if count is None else round(count),
        variety, _because(_cell(row, columns.get("because")), key, problems),
        _sown_on(_cell(row, columns.get("of")), key, problems),
    )  # fmt: skip


def _because(text: str, key: str, problems: Problems) -> Because:
    """Why it was cleared; nothing where nobody says."""
    found = next((word for word in REASONS if word == text.lower()), None)
    if found is None and text:
        problems.add(f"{key}: because", show(text), "one of " + ", ".join(REASONS))
    return found or ""


def _sown_on(text: str, key: str, problems: Problems) -> date | None:
    """Day of the sowing a line belongs to."""
    if not text:
        return None
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        problems.add(f"{key}: of", show(text), "a day that exists, written as 2027-01-15, or nothing")
        return None


def _plain(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"


def _one_line(text: str) -> str:
    """Return text without line ends, and safe in a spreadsheet."""
    flat = " ".join(text.split())
    return f"'{flat}" if flat[:1] in FORMULA_STARTS and flat else flat


def line_text(line: LogLine, separator: str = ",") -> str:
    """Return a log line as it stands in the file, with its line end."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerow(
        [
            line.on.isoformat(),
            line.what,
            _one_line(line.crop),
            _one_line(line.bed),
            _plain(line.plants_per_m2),
            _plain(line.fresh_g),
            _one_line(line.note),
            _plain(line.area_m2),
            "" if line.plants_count is None else str(line.plants_count),
            _one_line(line.variety),
            line.because,
            "" if line.sown_on is None else line.sown_on.isoformat(),
        ]
    )
    return out.getvalue()


_REASONS: Final = {
    errno.EACCES: ("may not be written", "Change its permissions, or name another with --log."),
    errno.EPERM: ("may not be written", "Change its permissions, or name another with --log."),
    errno.EROFS: ("lies on a disk that cannot be written", "Name another with --log."),
    errno.EISDIR: ("a folder", "Name a file with --log."),
    errno.ENOENT: ("its folder does not exist", "Make the folder, or name another file with --log."),
    errno.ENOTDIR: ("part of its path is a file, not a folder", "Check the path."),
    errno.ELOOP: ("a link that leads back to itself", "Name the file itself."),
    errno.ENXIO: ("a pipe", "Name a file with --log."),
    errno.ENOSPC: ("the disk is full; nothing was added", "Make room and try again."),
    errno.EDQUOT: ("the disk quota is used up; nothing was added", "Make room and try again."),
}


def _os_problem(path: Path, error: OSError) -> FileProblem:
    found, do = _REASONS.get(error.errno or 0, (f"cannot be written ({error.strerror or error})", "Check the file."))
    return FileProblem([Problem(str(path), "", found, "", do)])


def append_log(path: Path, line: LogLine, patience_s: float = PATIENCE_S) -> None:
    """Add one line to a log, whole and flushed to the disk, or raise and leave the file as it was.

    Parameters: path, made with its headings if missing; line; patience_s, how long to wait for another writer [s].
    Method: an exclusive lock, one write at the end, fsync. A file replaced while we waited (a spreadsheet saving)
    is opened again. A last line without an end, left by a spreadsheet or a crash, is ended first.
    Errors: FileProblem for a file that cannot be written, is no log, or is held by another program.
    """
    check_line(line)
    try:
        while not _append_once(path, line, patience_s):
            pass
    except StillLockedError:
        do = "Close the program that has it open, and try again."
        raise FileProblem([Problem(str(path), "", "held by another program", "", do)]) from None
    except OSError as error:
        raise _os_problem(path, error) from None


def check_line(line: LogLine) -> None:
    """Refuse a line that could not be read back; the reader's own rules.

    Errors: FileProblem.
    """
    parse_log(",".join(HEADINGS) + "\n" + line_text(line), "log line")
    if line.on > date.today():
        found, do = f"{line.on.isoformat()}, a day to come", "Log what was done, on the day it was done."
        raise FileProblem([Problem(ARGUMENT, "on", found, "today or earlier", do)])


def _append_once(path: Path, line: LogLine, patience_s: float) -> bool:
    """Return False when the file was replaced under us and must be opened again."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | NICE_FLAGS
    handle = os.open(path, flags, NEW_FILE_MODE)
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(errno.ENXIO, "")
        with held(handle, patience_s):
            if not _same_file(handle, path):
                return False
            if _lacks_columns(handle, path, line):
                return False
            _write_whole(handle, path, line)
            return _same_file(handle, path)
    finally:
        os.close(handle)


def _lacks_columns(handle: int, path: Path, line: LogLine) -> bool:
    """Give an older log the columns a line needs; True when that was done and the file must be opened again.

    Method: the whole text with a longer first line goes to a new file, which takes the old one's place.
    """
    if os.fstat(handle).st_size == 0:
        return False
    text = read_text(path)
    head, _, rest = text.partition("\n")
    parse_log(head + "\n", str(path))
    separator = separator_of(head)
    names = [cell.strip().lower() for cell in next(csv.reader([head], delimiter=separator))]
    cells = dict(zip(HEADINGS, next(csv.reader([line_text(line)])), strict=True))
    new = [name for name in HEADINGS if cells[name] and name not in names]
    if not new:
        return False
    ends = "\r" if head.endswith("\r") else ""
    write_text(path, f"{separator.join([head.rstrip(chr(13)), *new])}{ends}\n{rest}", force=True)
    return True


def _same_file(handle: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), path.stat())
    except FileNotFoundError:
        return False


def _write_whole(handle: int, path: Path, line: LogLine) -> None:
    size = os.fstat(handle).st_size
    if size == 0:
        data = ",".join(HEADINGS) + "\n" + line_text(line)
    else:
        head = read_text(path).split("\n", 1)[0]
        parse_log(head + "\n", str(path))
        os.lseek(handle, -1, os.SEEK_END)
        ended = os.read(handle, 1) in (b"\n", b"\r")
        data = ("" if ended else "\n") + in_columns(line, head)
    raw = data.encode(errors="backslashreplace")
    try:
        if os.write(handle, raw) != len(raw):
            raise OSError(errno.ENOSPC, "")
        os.fsync(handle)
    except OSError:
        os.ftruncate(handle, size)
        raise
    if size == 0:
        _flush_folder(path)


def in_columns(line: LogLine, head: str) -> str:
    """Return the line in the columns and with the separator the file has."""
    separator = separator_of(head)
    names = [cell.strip().lower() for cell in next(csv.reader([head], delimiter=separator))]
    cells = dict(zip(HEADINGS, next(csv.reader([line_text(line)])), strict=True))
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerow([cells.get(name, "") for name in names])
    return out.getvalue()


def _flush_folder(path: Path) -> None:
    """Make a new file's name survive a power cut, where the system can."""
    try:
        folder = os.open(path.parent, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(folder)
    except OSError:
        return
    finally:
        os.close(folder)
