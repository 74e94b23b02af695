"""A household's plan that is read again: what is none is one clear line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tenhour.errors import FileProblem
from tenhour.files.keptplan import read_plan

BARE: dict[str, Any] = {"command": "feed", "sowings": [], "trays": [], "missing": []}


def test_a_plan_of_an_older_version_has_no_proof(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(BARE), encoding="utf-8")
    assert read_plan(path).mark == ""


@pytest.mark.parametrize("part", [{"proof": "x"}, {"proof": {"mark": "a"}}, {"surety_frac": "much"}, {"trays": 3}])
def test_what_is_no_plan_is_one_line(tmp_path: Path, part: dict[str, Any]) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(BARE | part), encoding="utf-8")
    with pytest.raises(FileProblem, match="something else"):
        read_plan(path)
