"""Eight unlike houses: every answer a screen of 80 columns with its notes, and what it says to type can be typed."""

from __future__ import annotations

import itertools
import json
import re
from datetime import date
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_once import build_once, few_winters

HOUSES = Path(__file__).parents[1] / "screens" / "houses"
NAMES = sorted(path.stem for path in HOUSES.glob("*.toml"))
SHORT = ("twin52",)
"""One whose beds have two words and whose seedlings grow on a shelf."""
ON = "2026-12-05"
WIDTH = 80
STANDS_D = 28
"""Nothing sown for winter is past within four weeks of its sowing: judgement."""


@pytest.fixture(params=many(SHORT, NAMES))
def house(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    build_once(monkeypatch)
    few_winters(monkeypatch)
    text = (HOUSES / f"{request.param}.toml").read_text("utf-8")
    Path("house.toml").write_text(text, "utf-8")
    return text


def first_bed(house: str) -> str:
    return re.findall(r'^\[\[bed\]\]\nname = "(.*)"', house, re.MULTILINE)[0]


def lines_of(*words: str, none: bool = False) -> list[str]:
    done = tenhour(*words)
    assert done.status == 0 or (none and done.status == 1), done.err
    lines = (done.out or done.err).splitlines()
    assert not done.out or max(map(len, lines)) <= WIDTH, done.out
    return lines


def test_every_answer_is_a_screen_with_its_notes(house: str) -> None:
    bed = first_bed(house)
    assert len(lines_of("--on", ON)) <= 24
    assert len(lines_of("sow", "--on", ON)) <= 30
    for begin in many((ON,), ("2026-08-25", ON)):
        assert len(lines_of("season", "--from", begin)) <= 60
    assert len(lines_of("light")) <= 20
    assert len(lines_of("why", "leaf-lettuce", "--bed", bed, "--sown", "2026-11-01", "--seen", "2026-11-22")) <= 12
    assert len(lines_of("lamps", bed, "leaf-lettuce", "--from", ON, none=True)) <= 30


def test_what_is_to_be_typed_can_be_typed(house: str) -> None:
    """A bed of two words is quoted wherever a command is shown."""
    for words in (("--on", ON), ("sow", "--on", ON), ("season", "--from", ON)):
        shown = " ".join(tenhour(*words).out.split())
        bed = first_bed(house)
        assert f"--bed '{bed}'" in shown if " " in bed else f"--bed {bed}" in shown


def test_no_stand_is_eaten_before_it_is_sown(house: str) -> None:
    """What is picked now was sown a year before the day it is sown by next, so its last day is told a year on."""
    text = tenhour("season", "--from", "2026-11-29").out
    rows = re.findall(r"  (\d{4}-\d\d-\d\d)  (\d{4}-\d\d-\d\d)  (?:\d{4}-\d\d-\d\d|-) ", text)
    assert rows, text
    for sown, eaten in rows:
        assert (date.fromisoformat(eaten) - date.fromisoformat(sown)).days >= STANDS_D, text


def test_a_ready_crop_is_never_hidden(house: str) -> None:
    """Ten stands on a bed, all of them ready: each is named, on a screen that has no line for each."""
    bed = first_bed(house)
    crops = ("spinach", "arugula", "radish", "turnip", "mizuna", "komatsuna", "kale", "chard", "parsley", "tatsoi")
    for crop in crops:
        assert tenhour("log", "sown", crop, "--bed", bed, "--on", "2026-04-10").status == 0
    answer = tenhour("--on", "2026-09-20")
    lines = answer.out.splitlines()
    assert len(lines) <= 24, answer.out
    told = " ".join(answer.out.split("Beds")[1].split("Warmth")[0].split())
    for crop in crops:
        assert crop in told, answer.out


def test_a_supply_can_be_carried_out(house: str) -> None:
    """No bed is over full, no crop is sown twice in a week, and seed is counted out or weighed by the gram."""
    asked = ("season", "--every", "2w", "--meals", "3", "--from", "2026-08-25")
    answer = json.loads(tenhour(*asked, "--json").out)
    assert answer["successions"]
    assert max(share for bed in answer["beds"] for share in bed["full_frac"]) <= 1.0 + 1e-6
    sown: dict[str, list[date]] = {}
    for row in answer["successions"]:
        sown.setdefault(row["crop"], []).append(date.fromisoformat(row["sow"]))
        seeds = row["seeds_count"]
        assert seeds is None or (seeds > 0 and (seeds <= 20 or seeds % 5 == 0)), row
        assert "fodder" not in row["crop"], "nobody asked for it"
    for crop, days in sown.items():
        apart = [(later - day).days for day, later in itertools.pairwise(sorted(days))]
        assert all(days_apart >= 7 for days_apart in apart), crop
    text = tenhour(*asked).out
    assert "0.0 g" not in text
    assert max(map(len, text.splitlines())) <= WIDTH
