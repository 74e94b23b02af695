"""why asked by households: what is behind it comes first, and the first remedy helps."""

from __future__ import annotations

import tomllib
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from helpers_world import crops, plain, world_of
from tenhour.files.signs import load_signs, load_troubles
from tenhour.files.spectra import load_spectra
from tenhour.model.diagnosis import WhyAnswer
from tenhour.report.why import why_text
from tenhour.year.answers.why import why_of
from tenhour.year.answers.whycase import Told, WhyTools

SIGNS, CHECKS = load_signs()
TOOLS = WhyTools(CHECKS, load_spectra(), load_troubles())
CASES = tomllib.loads((Path(__file__).parent / "why_cases.toml").read_text(encoding="utf-8"))["case"]
HOUSE = plain(zone="UTC", lon=0.0)
SCREEN_LINES = 12
SCREEN_WIDTH = 80


@cache
def answer_of(number: int) -> WhyAnswer:
    case: dict[str, Any] = CASES[number]
    told = Told(
        case.get("sown", date(2026, 12, 5)),
        case.get("seen", date(2027, 1, 2)),
        signs=tuple(SIGNS[key] for key in case["looks"]),
        **case.get("told", {}),
    )
    return why_of(world_of(HOUSE), crops()[case["crop"]], told, TOOLS)


def first_cause(answer: WhyAnswer) -> str:
    """What the answer leads with."""
    if answer.troubles:
        return answer.troubles[0].trouble
    if answer.word == "sturdy" and not answer.contradicted:
        return "too cold" if any(remedy.key == "warmer" for remedy in answer.remedies) else ""
    return answer.causes[0].cause


def wrong_causes() -> list[str]:
    found = ((case["cause"], first_cause(answer_of(n)), case["text"]) for n, case in enumerate(CASES))
    return [f"{is_!r}, not {should!r}: {text}" for should, is_, text in found if is_ != should]


def useless_remedies() -> list[str]:
    out = []
    for number, case in enumerate(CASES):
        first = next((remedy.key for remedy in answer_of(number).remedies), "")
        if case["useful"] and not first.startswith(tuple(case["useful"])):
            out.append(f"{first!r}: {case['text']}")
    return out


def test_the_first_cause_is_right_in_nine_cases_of_ten() -> None:
    assert len(CASES) == 25
    assert len(wrong_causes()) <= len(CASES) / 10, wrong_causes()


def test_the_first_remedy_is_useful_in_four_cases_of_five() -> None:
    asked = sum(bool(case["useful"]) for case in CASES)
    assert len(useless_remedies()) <= asked / 5, useless_remedies()


@pytest.mark.parametrize("number", range(len(CASES)), ids=lambda n: str(n + 1))
def test_every_case_fits_on_a_screen_and_nobody_in_trouble_is_sent_home(number: int) -> None:
    answer = answer_of(number)
    lines = why_text(answer, SCREEN_WIDTH, everything=False).splitlines()
    assert len(lines) <= SCREEN_LINES
    assert max(map(len, lines)) <= SCREEN_WIDTH
    if CASES[number]["looks"] or CASES[number]["cause"]:
        assert "Nothing needs mending" not in answer.sentence
