"""A few whole answers as they were: what moves is seen here, and proves nothing (scripts/pin_answers.py)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from pin_answers import ANSWERS, FOLDER, moved, path_of

from helpers_cli import tenhour
from helpers_once import build_once


@pytest.mark.parametrize("name", ANSWERS)
def test_no_answer_moves_unnoticed(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    done = tenhour(*ANSWERS[name], "--json")
    assert done.status == 0, done.err
    found = list(moved(json.loads(path_of(name).read_text("utf-8")), json.loads(done.out)))
    assert not found, (
        "\n".join(found) + "\nIf this is meant: run scripts/pin_answers.py, and say in CHANGELOG.md what moved and why."
    )


def test_every_answer_kept_is_looked_at() -> None:
    assert {path.stem for path in FOLDER.glob("*.json")} == set(ANSWERS)


def test_what_moves_is_told_with_its_place() -> None:
    old = {"beds": [{"dli": 10.0, "name": "front"}], "on": "2027-01-15", "none": None}
    assert list(moved(old, {"beds": [{"dli": 10.01, "name": "front"}], "on": "2027-01-15", "none": None})) == []
    new = {"beds": [{"dli": 10.2, "name": "back"}], "on": "2027-01-15", "more": True}
    assert list(moved(old, new)) == [
        "beds[0].dli: 10.0 -> 10.2",
        'beds[0].name: "front" -> "back"',
        "more: null -> true",
    ]
