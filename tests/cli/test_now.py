"""What `sow` says to do now names the days that its fields hold, the first of them first."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_once import build_once


def test_the_days_in_words_are_those_of_the_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    rows = []
    for crop in ("sunflower-shoots", "pea-shoots"):
        answer = json.loads(tenhour("sow", "--on", "2027-02-15", "--crop", crop, "--json").out)
        rows += [*answer["now"], *answer["later"]]
    rows = [row for row in rows if row["ready_from"] and row["ready_to"]]
    assert any(row["where"] for row in rows), "nothing is raised elsewhere"
    for row in rows:
        assert row["ready_from"] <= row["ready_to"]
        assert re.findall(r"\d{4}-\d\d-\d\d", row["text"])[-2:] == [row["ready_from"], row["ready_to"]], row
