"""A fixed part of the trial by killed writers (scripts/kill_writes.py kills hundreds); disks that are full or shut."""

from __future__ import annotations

import contextlib
import json
import os
import resource
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_fuzz import asked_in
from helpers_long import many
from helpers_writes import HOUSE, WRITINGS, Writing, check_whole, finished, kill_after, kill_at_call, points, prepare
from tenhour.errors import FileProblem, Problem
from tenhour.files.log import append_log, read_log
from tenhour.model.log import LogLine

KILLS = many(4, 60)
NOBODY = 65534


@pytest.mark.parametrize(
    "writing", WRITINGS, ids=lambda w: f"{w.name}-{w.act.__name__}-{'new' if w.old is None else 'old'}"
)
def test_a_kill_leaves_the_old_or_the_new_file_whole(writing: Writing, tmp_path: Path) -> None:
    finished(tmp_path, writing)
    new, calls = finished(tmp_path, writing)
    seen = {check_whole(kill_at_call(tmp_path, writing, n), writing, new) for n in points(calls, KILLS, 1)}
    seen |= {check_whole(kill_after(tmp_path, writing, wait_s), writing, new) for wait_s in (0.0, 0.002)}
    assert "old" in seen or "nothing yet" in seen
    path = tmp_path / writing.name  # what a killed writer left behind is in nobody's way
    prepare(tmp_path, writing)
    writing.act(path)
    assert path.read_text("utf-8") == new


def test_a_careless_writer_would_be_caught(tmp_path: Path) -> None:
    def careless(path: Path) -> None:
        with path.open("w", encoding="utf-8") as stream:
            for _ in range(50):
                stream.write("half a page " * 2000)
                stream.flush()

    writing = Writing("tenhour.html", "<p>old</p>", careless)
    new, calls = finished(tmp_path, writing)

    def kill_often() -> None:
        for number in range(0, calls, 5):
            check_whole(kill_at_call(tmp_path, writing, number), writing, new)

    with pytest.raises(AssertionError, match="neither old nor new"):
        kill_often()


def in_child(act: object, before: object) -> str:
    """Run something in a process of its own after a change to that process; return its refusal, or "done"."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:  # pragma: no cover
        os.close(reader)
        try:
            before()  # type: ignore[operator]
            act()  # type: ignore[operator]
            said = "done"
        except FileProblem as error:
            said = str(error)
        except BaseException as error:
            said = f"fault: {error!r}"
        os.write(writer, said.encode())
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, encoding="utf-8") as stream:
        said = stream.read()
    os.waitpid(child, 0)
    return said


def small_disk() -> None:
    """No file of this process grows beyond 4 kB: the system refuses as a full disk or quota does."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))


@pytest.mark.parametrize(
    "writing", [w for w in WRITINGS if w.act.__name__ in ("_page", "_picture")], ids=lambda w: w.name
)
def test_a_full_disk_is_one_line_and_loses_nothing(writing: Writing, tmp_path: Path) -> None:
    path = prepare(tmp_path, writing)
    old = path.read_text("utf-8") if path.exists() else None
    said = in_child(lambda: writing.act(path), small_disk)
    assert said.startswith(f"{path}: cannot be written")
    assert "\n" not in said
    assert (path.read_text("utf-8") if path.exists() else None) == old
    assert [p for p in tmp_path.iterdir() if p != path] == [], "a draft was left behind"


@dataclass(frozen=True)
class Disk:
    """A folder on a disk of its own that is full, or, where none may be mounted, one in which no file may grow."""

    folder: Path
    mounted: bool

    def fill(self) -> None:
        handle = os.open(self.folder / "ballast", os.O_WRONLY | os.O_CREAT)
        with contextlib.suppress(OSError):
            while self.mounted:
                os.write(handle, bytes(4096))
        os.close(handle)

    def begin(self) -> None:
        if not self.mounted:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (64, 64))


@pytest.fixture
def full_disk(tmp_path: Path) -> Iterator[Disk]:
    folder = tmp_path / "disk"
    folder.mkdir()
    try:
        words = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
        mounted = subprocess.run(words, capture_output=True, check=False).returncode == 0
    except OSError:
        mounted = False
    yield Disk(folder, mounted)
    if mounted:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def test_every_kind_of_file_on_a_full_disk(full_disk: Disk) -> None:
    refused = 0
    for writing in WRITINGS:
        path = prepare(full_disk.folder, writing)
        full_disk.fill()
        old = writing.old or ""
        said = in_child(lambda writing=writing, path=path: writing.act(path), full_disk.begin)
        now = path.read_text("utf-8") if path.exists() else ""
        if said == "done":  # a line that still fits behind what is there
            assert path.name == "sown.csv"
            assert now.startswith(old)
            assert now.count("\n") == old.count("\n") + 1
            continue
        refused += 1
        assert said.startswith(f"{path}: "), said
        assert "\n" not in said
        assert now == old
        assert sorted(there.name for there in full_disk.folder.iterdir() if there != path) == ["ballast"]
    assert refused >= len(WRITINGS) - 1


SAVED_BY_THE_PAGE = {
    "api/change": {"edits": [{"do": "set", "path": ["bed", 0, "at_m"], "value": [0.25, 0.35]}], "label": "bed moved"},
    "api/log": {"words": {"what": "sown", "crop": "kale", "bed": "bed 1", "on": "2026-01-15"}},
    "api/new": {"words": {"place": "Ulm, Germany", "shape": "gable", "length": "5 m"}},
}


@pytest.mark.parametrize("address", sorted(SAVED_BY_THE_PAGE))
def test_what_the_page_saves_on_a_full_disk_is_refused_in_one_line(address: str, full_disk: Disk) -> None:
    body = json.dumps({"version": "VERSION", "tab": "t", "number": 1, **SAVED_BY_THE_PAGE[address]}).encode()

    def fill() -> None:
        full_disk.fill()
        full_disk.begin()

    def ask() -> None:
        status, told = asked_in(full_disk.folder, address, "", body, fill)
        if status == 200 or "problems" not in told:
            raise AssertionError(f"status {status}: {str(told)[:500]}")
        raise FileProblem([Problem(line, "", "", "", "") for line in told["problems"]])

    said = in_child(ask, lambda: None)
    assert any(why in said for why in (": cannot be written", "nothing was added")), said
    assert said.count("\n") == 0
    left = sorted(path.name for path in full_disk.folder.iterdir() if path.stat().st_size)
    assert left in (["ballast"], ["ballast", "house.toml"], ["house.toml"], []), left


def test_a_log_on_a_full_disk_stays_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "sown.csv"
    line = LogLine(date(2021, 10, 1), "sown", "lettuce", "front", None, None, "x" * 100)
    while path.stat().st_size < 4090 if path.exists() else True:
        append_log(path, line)
        if path.stat().st_size + 140 > 4096:
            break
    old = path.read_bytes()
    said = in_child(lambda: append_log(path, line), small_disk)
    assert said.startswith(f"{path}: ")
    assert "fault" not in said
    assert path.read_bytes() == old


def test_a_folder_that_may_not_be_written() -> None:
    def nobody() -> None:
        if os.geteuid() == 0:
            os.setuid(NOBODY)

    with tempfile.TemporaryDirectory(prefix="shut-") as name:  # where everyone may come, unlike in tmp_path
        folder = Path(name)
        (folder / "house.toml").write_text(HOUSE, "utf-8")
        (folder / "house.toml").chmod(0o644)
        folder.chmod(0o555)
        try:
            for writing in WRITINGS:
                path = folder / writing.name
                said = in_child(lambda writing=writing, path=path: writing.act(path), nobody)
                assert said.startswith(f"{path}: "), said
                assert any(why in said for why in ("may not be written", "already there", "no such file")), said
                assert "\n" not in said
            assert [p.name for p in folder.iterdir()] == ["house.toml"]
            assert (folder / "house.toml").read_text("utf-8") == HOUSE
        finally:
            folder.chmod(0o755)


def test_a_file_that_is_there_is_kept_unless_force_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE, "utf-8")
    (tmp_path / "old.html").write_text("mine", "utf-8")
    calls = (
        ["new", "--lat", "48", "--lon", "16", "--shape", "gable"],
        ["report", "-o", "old.html"],
        ["light", "--plot", "old.svg"],
        ["season", "--crop", "kale", "--plot", "old.svg"],
        ["season", "--crop", "kale", "--ics", "old.ics"],
    )
    for name in ("old.svg", "old.ics"):
        (tmp_path / name).write_text("mine", "utf-8")
    for words in calls:
        done = tenhour(*words)
        assert done.status == 2, words
        assert done.err.count("\n") == 1, done.err
        assert "already there" in done.err
        assert "--force" in done.err
    assert (tmp_path / "house.toml").read_text("utf-8") == HOUSE
    assert {(tmp_path / name).read_text("utf-8") for name in ("old.html", "old.svg", "old.ics")} == {"mine"}
    assert tenhour("new", "--lat", "48", "--lon", "16", "--shape", "gable", "--force").status == 0
    assert (tmp_path / "house.toml").read_text("utf-8") != HOUSE


WRITER = """
import sys
from datetime import date
from pathlib import Path
from tenhour.files.log import append_log
from tenhour.model.log import LogLine
for number in range(int(sys.argv[3])):
    note = f"{sys.argv[2]}-{number}"
    append_log(Path(sys.argv[1]), LogLine(date(2021, 10, 1), "sown", "lettuce", "front", None, None, note))
"""


def test_writers_at_the_same_time_lose_no_line(tmp_path: Path) -> None:
    path, each = tmp_path / "sown.csv", 60
    writers = [subprocess.Popen([sys.executable, "-c", WRITER, str(path), name, str(each)]) for name in "abc"]
    assert [writer.wait() for writer in writers] == [0, 0, 0]
    notes = [line.note for line in read_log(path)]
    assert sorted(notes) == sorted(f"{name}-{number}" for name in "abc" for number in range(each))
    for name in "abc":
        mine = [int(note[2:]) for note in notes if note[0] == name]
        assert mine == sorted(mine)
