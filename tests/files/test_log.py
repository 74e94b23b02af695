"""The log loses no line: two writers, a killed writer, a full disk, a spreadsheet in between."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_long import many
from tenhour.errors import FileProblem
from tenhour.files import log as log_file
from tenhour.files.log import HEADINGS, append_log, line_text, log_path, parse_log, read_log
from tenhour.model.log import WHATS, LogLine, last_sowing, standing

HEAD = ",".join(HEADINGS) + "\n"
LINE = LogLine(date(2021, 9, 1), "sown", "kale", "front", 700.0, None, "second tray")

WRITER = """
import sys
from datetime import date
from pathlib import Path
from tenhour.files.log import append_log
from tenhour.model.log import LogLine
print("up", flush=True)
for n in range(int(sys.argv[2])):
    append_log(Path(sys.argv[1]), LogLine(date(2021, 9, 1), "sown", "kale", "front", 700.0, None, f"{sys.argv[3]} {n}"))
    print(n, flush=True)
"""


def writer(path: Path, count: int, name: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), str(count), name], stdout=subprocess.PIPE, text=True
    )


@pytest.mark.parametrize("word", ["=1+1", "+x", "-2", "@SUM(A1)", "'=x", "＝1"])
def test_no_cell_of_the_log_is_a_formula_and_words_come_back(tmp_path: Path, word: str) -> None:
    path = tmp_path / "sown.csv"
    line = LogLine(date(2026, 10, 1), "sown", word, word, None, None, word)
    append_log(path, line)
    cells = path.read_text("utf-8").splitlines()[1].split(",")
    assert not any(cell.startswith(("=", "+", "-", "@", "＝")) for cell in cells)
    assert read_log(path) == (line,)


def test_round_trip_makes_the_file_with_headings(tmp_path: Path) -> None:
    path = tmp_path / "sown.csv"
    other = LogLine(date(2021, 10, 2), "harvested", "kale", "", None, 350.0, '=SUM("a,b")\nnext line')
    append_log(path, LINE)
    append_log(path, other)
    assert path.read_text("utf-8").splitlines()[:2] == [
        HEAD.strip(),
        "2021-09-01,sown,kale,front,700,,second tray,,,,,",
    ]
    first, second = read_log(path)
    assert first == LINE
    assert second.note == '=SUM("a,b") next line'
    assert "'=SUM" in path.read_text("utf-8")


@given(
    st.dates(date(1990, 1, 1), date(2090, 1, 1)),
    st.sampled_from(WHATS),
    st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=20),
    st.floats(0, 1e5) | st.none(),
)
@settings(deadline=None, derandomize=True, max_examples=80)
def test_any_note_stays_on_one_line_and_comes_back(on: date, what: str, note: str, grams: float | None) -> None:
    line = LogLine(on, what, "kale", "front", None, grams, note)  # type: ignore[arg-type]
    text = line_text(line)
    assert text.count("\n") == 1
    back = parse_log(HEAD + text, "x")[0]
    assert back.note == " ".join(note.split())
    assert (back.fresh_g or 0.0) == pytest.approx(grams or 0.0, rel=1e-5)


def test_what_spreadsheets_save_is_read() -> None:
    german = "date;what;crop;bed;plants_per_m2;fresh_g;note\n25.09.2021;Sown;kale;front;12,5;;\n;;;;;;\n"
    assert parse_log(german, "x") == (LogLine(date(2021, 9, 25), "sown", "kale", "front", 12.5),)
    american = "date,what,crop\n9/25/2021,sown,kale\n9/3/2021,sown,chard"
    assert [line.on for line in parse_log(american, "x")] == [date(2021, 9, 25), date(2021, 9, 3)]


def test_every_bad_cell_is_named_at_once() -> None:
    text = HEAD + "2021-02-30,sown,kale,,,,\n2021-09-01,planted,,,many,-3,\n"
    with pytest.raises(FileProblem) as caught:
        parse_log(text, "sown.csv")
    keys = [problem.key for problem in caught.value.problems]
    assert keys == ["line 2: date", "line 3: what", "line 3: crop", "line 3: plants_per_m2", "line 3: fresh_g"]
    with pytest.raises(FileProblem, match="no column crop"):
        parse_log("date,what\n2021-01-01,sown\n", "x")
    with pytest.raises(FileProblem, match="plants_per_m2"):
        parse_log("date,what,crop,plants_per_m\n", "x")
    with pytest.raises(FileProblem, match="either way round"):
        parse_log("date,what,crop\n03/04/2021,sown,kale\n", "x")


def test_appending_keeps_the_columns_and_separator_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "sown.csv"
    path.write_text("crop;date;what;bed;plants_per_m2;note\nkale;2021-08-01;sown;back;;", encoding="utf-8")
    append_log(path, LINE)
    assert path.read_text("utf-8").splitlines()[2] == "kale;2021-09-01;sown;front;700;second tray"
    append_log(path, LogLine(date(2021, 9, 1), "harvested", "kale", fresh_g=5.0))
    assert path.read_text("utf-8").splitlines()[0] == "crop;date;what;bed;plants_per_m2;note;fresh_g"
    assert [line.fresh_g for line in read_log(path)] == [None, None, 5.0]


def test_two_writers_lose_no_line(tmp_path: Path) -> None:
    path = tmp_path / "sown.csv"
    count = 60
    both = [writer(path, count, name) for name in ("one", "two")]
    for process in both:
        process.communicate(timeout=60)
        assert process.returncode == 0
    notes = [line.note for line in read_log(path)]
    for name in ("one", "two"):
        assert [note for note in notes if note.startswith(name)] == [f"{name} {n}" for n in range(count)]
    assert path.read_text("utf-8").count(HEAD) == 1


def test_a_killed_writer_leaves_whole_lines_and_every_line_it_told_of(tmp_path: Path) -> None:
    pause = random.Random(7)
    path = tmp_path / "sown.csv"
    told = 0
    for n in range(many(4, 12)):
        process = writer(path, 10_000, f"run{n}")
        assert process.stdout is not None
        assert process.stdout.readline() == "up\n"
        time.sleep(pause.uniform(0.0, 0.05))
        process.send_signal(signal.SIGKILL)
        # not communicate(): with a timeout it loses what readline has read ahead
        told = len(process.stdout.read().split("\n")) - 1
        process.stdout.close()
        process.wait(timeout=60)
        lines = read_log(path) if path.exists() else ()
        mine = [line.note for line in lines if line.note.startswith(f"run{n} ")]
        assert mine == [f"run{n} {i}" for i in range(len(mine))]
        assert told <= len(mine) <= told + 1
    assert path.read_text("utf-8").endswith("\n")


def test_a_torn_last_line_does_not_swallow_the_next(tmp_path: Path) -> None:
    path = tmp_path / "sown.csv"
    path.write_text(HEAD + "2021-08-01,sown,chard", encoding="utf-8")
    append_log(path, LINE)
    assert [line.crop for line in read_log(path)] == ["chard", "kale"]


def test_a_full_disk_leaves_the_file_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "sown.csv"
    append_log(path, LINE)
    before = path.read_bytes()
    write = os.write

    def part(handle: int, data: bytes) -> int:
        return write(handle, data[:9])

    monkeypatch.setattr(log_file.os, "write", part)
    with pytest.raises(FileProblem, match="the disk is full; nothing was added"):
        append_log(path, LINE)
    monkeypatch.undo()
    assert path.read_bytes() == before

    def none(handle: int) -> None:
        raise OSError(errno.ENOSPC, "")

    monkeypatch.setattr(log_file.os, "fsync", none)
    with pytest.raises(FileProblem, match="the disk is full"):
        append_log(path, LINE)
    assert path.read_bytes() == before


def test_a_file_replaced_while_waiting_still_gets_the_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "sown.csv"
    append_log(path, LINE)
    held, replaced = log_file.held, []

    def held_and_replaced(handle: int, patience_s: float):  # type: ignore[no-untyped-def]
        if not replaced:
            replaced.append(True)
            new = tmp_path / "new.csv"
            new.write_text(HEAD + "2021-08-01,sown,chard,,,,\n", encoding="utf-8")
            new.replace(path)
        return held(handle, patience_s)

    monkeypatch.setattr(log_file, "held", held_and_replaced)
    append_log(path, LINE)
    assert [line.crop for line in read_log(path)] == ["chard", "kale"]


def test_a_held_file_is_one_clear_line(tmp_path: Path) -> None:
    path = tmp_path / "sown.csv"
    append_log(path, LINE)
    with (
        path.open("rb") as stream,
        log_file.held(stream.fileno()),
        pytest.raises(FileProblem, match="held by another program"),
    ):
        append_log(path, LINE, patience_s=0.05)
    append_log(path, LINE)


def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match="a folder"):
        append_log(tmp_path, LINE)
    with pytest.raises(FileProblem, match="its folder does not exist"):
        append_log(tmp_path / "no" / "sown.csv", LINE)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileProblem, match="a pipe"):
        append_log(pipe, LINE)
    other = tmp_path / "other.csv"
    other.write_text("time,lux\n1,2\n", encoding="utf-8")
    with pytest.raises(FileProblem, match="no column"):
        append_log(other, LINE)
    assert other.read_text("utf-8") == "time,lux\n1,2\n"


def test_lines_of_the_future_are_refused(tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match="a day to come"):
        append_log(tmp_path / "sown.csv", LogLine(date(2999, 1, 1), "sown", "kale"))
    assert not (tmp_path / "sown.csv").exists()


def test_a_missing_log_is_empty_unless_named(tmp_path: Path) -> None:
    assert read_log(tmp_path / "sown.csv") == ()
    with pytest.raises(FileProblem, match="no such file"):
        read_log(tmp_path / "sown.csv", must_exist=True)
    assert log_path("") == Path("sown.csv")
    assert log_path("/a/house.toml") == Path("/a/sown.csv")


def test_what_stands_where() -> None:
    lines = [
        LogLine(date(2021, 8, 1), "sown", "kale", "sill", 700.0),
        LogLine(date(2021, 9, 1), "set-out", "kale", "back", 9.0),
        LogLine(date(2021, 9, 5), "sown", "spinach", "front"),
        LogLine(date(2021, 10, 5), "harvested", "kale", "back", None, 300.0),
        LogLine(date(2021, 10, 9), "harvested", "kale", "", None, 200.0),
        LogLine(date(2021, 11, 1), "cleared", "spinach", "front"),
        LogLine(date(2020, 9, 1), "sown", "leek", "back"),
        LogLine(date(2021, 10, 1), "set-out", "celery", "back"),
    ]
    october = {(s.crop, s.bed) for s in standing(lines, date(2021, 10, 10))}
    assert october == {("kale", "back"), ("spinach", "front"), ("celery", "back")}
    kale = standing(lines, date(2021, 11, 2))[0]
    assert (kale.sown, kale.plants_per_m2, kale.fresh_g) == (date(2021, 8, 1), 9.0, 500.0)
    assert kale.label == "kale (sown 2021-08-01)"
    assert [s.crop for s in standing(lines, date(2021, 11, 2))] == ["kale", "celery"]
    assert [s.bed for s in standing(lines, date(2021, 8, 15))] == ["back", "sill"]
    assert last_sowing(lines, "kale", date(2021, 12, 1)) == lines[0]
    assert last_sowing(lines, "kale", date(2021, 7, 1)) is None
