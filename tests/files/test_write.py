"""Files are written whole or not at all."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tenhour.errors import FileProblem
from tenhour.files.write import check_free, write_text


def problem(path: Path, **options: bool) -> str:
    with pytest.raises(FileProblem, match=r".") as caught:
        write_text(path, "new", **options)
    (only,) = caught.value.problems
    shown = str(path).replace("\0", "\\x00")  # what a terminal would act upon is written out
    return only.line().removeprefix(f"{shown}: ")


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def test_a_new_file(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    write_text(path, "grüße\n")
    assert path.read_bytes() == "grüße\n".encode()
    assert names(tmp_path) == ["house.toml"]
    mask = os.umask(0)
    os.umask(mask)
    assert path.stat().st_mode & 0o777 == 0o666 & ~mask


def test_a_file_that_is_there_is_left_alone_unless_told(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_text("old")
    path.chmod(0o640)
    assert problem(path) == "already there. Use --force to replace it, or -o for another name."
    assert path.read_text() == "old"
    write_text(path, "new", force=True)
    assert path.read_text() == "new"
    assert path.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == ["house.toml"]


def test_places_where_nothing_can_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    (tmp_path / "folder").mkdir()
    assert problem(tmp_path / "none" / "x") == "cannot be written: there is no such folder. Make the folder first."
    beyond = problem(tmp_path / "file" / "x")
    assert beyond == "cannot be written: part of its path is a file, not a folder. Check the path."
    assert problem(tmp_path / "folder", force=True) == "is a folder. Name a file in it."
    os.mkfifo(tmp_path / "pipe")
    assert problem(tmp_path / "pipe", force=True) == "not an ordinary file. Choose another name."
    assert problem(tmp_path / ("x" * 300)) == "has a name too long for this system. Choose a shorter one."
    assert problem(tmp_path / "a\0b") == "not a file name. Choose another name."
    assert names(tmp_path) == ["file", "folder", "pipe"]


def test_links_keep_pointing_and_dangling_ones_are_not_followed(tmp_path: Path) -> None:
    target, link = tmp_path / "real.toml", tmp_path / "link.toml"
    target.write_text("old")
    link.symlink_to(target)
    assert problem(link).startswith("already there.")
    write_text(link, "new", force=True)
    assert link.is_symlink()
    assert target.read_text() == "new"
    dangling = tmp_path / "dangling.toml"
    dangling.symlink_to(tmp_path / "elsewhere.toml")
    assert problem(dangling).startswith("already there.")
    assert not (tmp_path / "elsewhere.toml").exists()


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        (errno.ENOSPC, "cannot be written: the disk is full. Free some room; nothing was changed."),
        (errno.EROFS, "lies on a read-only disk. Choose another folder with -o."),
        (errno.EACCES, "may not be written here. Choose another folder with -o."),
        (errno.EIO, "cannot be written (Input/output error)."),
    ],
)
def test_a_disk_that_refuses(number: int, expected: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "house.toml"
    path.write_text("old")

    def refuse(_: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", refuse)
    assert problem(path, force=True) == expected
    assert path.read_text() == "old"
    assert names(tmp_path) == ["house.toml"]


def test_a_disk_without_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EPERM, "no links")

    monkeypatch.setattr(os, "link", refuse)
    write_text(tmp_path / "house.toml", "new")
    assert names(tmp_path) == ["house.toml"]


def test_a_file_that_appears_meanwhile_is_not_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "house.toml"
    link = os.link

    def late(source: str, target: Path) -> None:
        target.write_text("theirs")
        link(source, target)

    monkeypatch.setattr(os, "link", late)
    assert problem(path).startswith("already there.")
    assert path.read_text() == "theirs"
    assert names(tmp_path) == ["house.toml"]


def test_free_names_are_free(tmp_path: Path) -> None:
    check_free(tmp_path / "x", force=False)
    (tmp_path / "x").write_text("")
    check_free(tmp_path / "x", force=True)
    with pytest.raises(FileProblem, match="already there"):
        check_free(tmp_path / "x", force=False)


WRITER = """
import sys
from pathlib import Path
from tenhour.files.write import write_text
path = Path(sys.argv[1])
n = 0
while True:
    n += 1
    write_text(path, f"{n}\\n" * 20000, force=True)
    if n == 1:
        print("ready", flush=True)
"""


def test_a_kill_leaves_the_old_or_the_new_file_whole(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    for pause_ms in range(0, 40, 5):
        process = subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        time.sleep(0.02 + pause_ms / 1000)
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        lines = path.read_text().splitlines()
        assert len(lines) == 20000
        assert len(set(lines)) == 1
