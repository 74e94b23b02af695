"""The published JSON Schemas: in step with the shapes, and every answer keeps to its own."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import build_schemas
import pytest
from jsonschema import Draft202012Validator

import helpers_report as made_up
from tenhour.model.results import DayLight, Gain
from tenhour.report.answers import answer_json

ROOT = Path(__file__).parents[2]
SCHEMAS = ROOT / "docs" / "schema"


def full_light() -> dict[str, Any]:
    answer = made_up.light_answer()
    day = DayLight(made_up.TODAY, 7.0, 8.0, 12.0, 3.0, 1.0, {"front": 2.0}, {"front": 1.0})
    parts = {**vars(answer), "day": day, "map": made_up.bed_map("front", "December", 1.0)}
    return answer_json(answer.__class__(**{**parts, "gains": (Gain("wash the panes", "front", 0.1, 0.05),)}))


ANSWERS: dict[str, Callable[[], dict[str, Any]]] = {
    "light": full_light,
    "sow": lambda: answer_json(made_up.sow_answer()),
    "season": lambda: answer_json(made_up.season_answer()),
    "lamps": lambda: answer_json(made_up.lamp_answer()),
}


def validator(name: str) -> Draft202012Validator:
    schema = json.loads((SCHEMAS / f"{name}.json").read_text("utf-8"))
    return Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


def test_schemas_are_in_step_with_the_shapes(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.argv", ["build_schemas.py", "--check"])
    status = build_schemas.main()
    assert status == 0, capsys.readouterr().out


@pytest.mark.parametrize("path", sorted(SCHEMAS.glob("*.json")), ids=lambda path: path.stem)
def test_a_schema_is_one(path: Path) -> None:
    schema = json.loads(path.read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    for key in ("tenhour", "command", "inputs", "assumptions", "warnings", "cautions"):
        assert key in schema["required"]


@pytest.mark.parametrize("name", ANSWERS)
def test_made_up_answers_keep_to_their_schema(name: str) -> None:
    answer = json.loads(json.dumps(ANSWERS[name](), allow_nan=False))
    assert [error.message for error in validator(name).iter_errors(answer)] == []


@pytest.mark.parametrize("name", ["light", "sow", "season"])
def test_a_key_more_or_less_is_noticed(name: str) -> None:
    answer = json.loads(json.dumps(ANSWERS[name]()))
    for where in (answer, answer["beds"][0], next(iter(answer["beds"][0].get("months") or answer["beds"][0]["crops"]))):
        assert isinstance(where, dict)
        key = sorted(where)[0]
        kept = where.pop(key)
        assert not validator(name).is_valid(answer), f"{key} is missing"
        where[key] = kept
        where["surprise"] = 1
        assert not validator(name).is_valid(answer), "a key nobody published"
        del where["surprise"]
    assert validator(name).is_valid(answer)


def test_numbers_and_dates_out_of_bounds_are_noticed() -> None:
    good = json.loads(json.dumps(full_light()))
    for break_it in (
        lambda a: a["months"][0].update(month=13),
        lambda a: a["months"][0].update(daylength_h=25.0),
        lambda a: a["beds"][0]["months"][0].update(beam_frac=1.2),
        lambda a: a["beds"][0]["months"][0].update(dli_mol_m2_d=-0.1),
        lambda a: a["ten_hour"].update(before_dark="2026-02-30"),
        lambda a: a["months"].pop(),
    ):
        bad = deepcopy(good)
        break_it(bad)
        assert not validator("light").is_valid(bad)
