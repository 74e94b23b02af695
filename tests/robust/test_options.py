"""A fixed part of the trial by odd words; scripts/fuzz_options.py makes thousands of calls."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from helpers_long import many
from helpers_options import check, commands, contents, fill, run, walled_in, words_of

PLAN_OF_A_MINUTE = 21
CASES = many([case for case in range(1, 70, 2) if case != PLAN_OF_A_MINUTE], list(range(400)))


def test_every_command_is_tried() -> None:
    assert {words_of(case)[0] for case in CASES} == {name.split()[0] for name in commands()}


@pytest.mark.parametrize("case", CASES)
def test_odd_words_give_an_answer_or_clear_lines(case: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(tmp_path)
    monkeypatch.chdir(tmp_path)
    before = contents(tmp_path)
    words = words_of(case)
    with walled_in():
        done = run(words)
    check(words, done, before, contents(tmp_path))


FOUND = (
    (["crops", "--crops", "x" * 3000], 2),
    (["light", "--plot", "\udcff.svg"], 0),
    (["lamps", "--from", "9999-12-31", "--crop", "leaf-lettuce"], 2),
    (["sow", "--on", "0001-01-01"], 2),
    (["sow", "--place", "\udcff"], 2),
    (["lamps", "--spectrum", "white-led", "--crop", "leaf-lettuce"], 2),
    (["log", "sown", "kale", "--note", "a \udcff b"], 0),
)
"""Calls that once showed a traceback or passed over a word in silence, and how they end now."""


@pytest.mark.parametrize(("words", "status"), FOUND, ids=lambda value: value[0] if isinstance(value, list) else "")
def test_calls_that_once_went_wrong(
    words: list[str], status: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(tmp_path)
    monkeypatch.chdir(tmp_path)
    before = contents(tmp_path)
    with walled_in():
        done = run(words)
    check(words, done, before, contents(tmp_path))
    assert done.status == status


def shell(command: str, folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["bash", "-c", command.replace("tenhour", f"{sys.executable} -m tenhour")],
        capture_output=True, text=True, cwd=folder, env={**os.environ, **environment}, check=False,
    )  # fmt: skip


def test_an_answer_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    done = shell("tenhour check > /dev/full", tmp_path)
    assert done.returncode == 74
    assert done.stderr.splitlines()[-1] == "The answer could not be written: No space left on device."
    assert "Traceback" not in done.stderr
    assert shell("tenhour check >&-", tmp_path).returncode == 0
    assert shell("tenhour check 2>&-", tmp_path).returncode == 0


def test_a_reader_who_leaves_is_no_fault(tmp_path: Path) -> None:
    done = shell("tenhour crops --json | head -c 1", tmp_path)
    assert done.stdout == "{"
    assert done.stderr == ""


def test_a_narrow_encoding_loses_signs_not_the_answer(tmp_path: Path) -> None:
    done = shell("tenhour check", tmp_path, PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert "nothing wrong" in done.stdout
