"""A house that is heated by fire: carbon monoxide is spoken of in every answer about it, whatever was asked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_options import HOUSE, commands, fill

GAS = "carbon monoxide"
STOVE = '\n[[heater]]\nkind = "stove"\npower_w = 4000\nefficiency_frac = 0.5\nflue_mm = 130\n'
WISHES = '\n[household]\npeople = 1\nmeals = { salad = 1 }\nlikes = ["spinach"]\n'
ASKED = {
    "light": [],
    "sow": ["--on", "2027-01-15", "--crop", "kale"],
    "season": ["front", "--crop", "kale", "--from", "2027-01-15"],
    "week": ["--on", "2027-01-15"],
    "lamps": ["front", "--crop", "leaf-lettuce"],
    "why": ["leaf-lettuce", "--sown", "2027-01-05", "--seen", "2027-01-25"],
    "read": ["readings.csv"],
    "log": [],
    "learn": [],
    "atlas": ["--box", "51,12,52,13", "--step", "1", "--ask", "light", "--workers", "0", "-o", "region"],
    "feed": ["--on", "2026-08-17", "--every", "8w", "--seconds", "2"],
    "heat": ["--on", "2027-01-15"],
    "check": [],
}
HOUSELESS = {"crops", "weather", "weather judge", "weather fetch"}
QUICK = ["check", "learn", "light", "log", "read", "sow"]


@pytest.fixture(autouse=True)
def heated(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE + STOVE + WISHES, encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def test_every_command_that_tells_of_a_house_in_json_is_asked() -> None:
    telling = {name for name, command in commands().items() if any("--json" in each.opts for each in command.params)}
    assert telling - HOUSELESS == set(ASKED)


@pytest.mark.parametrize("command", many(QUICK, sorted(ASKED)))
def test_carbon_monoxide_stands_in_the_json(command: str) -> None:
    house = ["--house", "house.toml"] if command != "check" else ["house.toml"]
    done = tenhour(command, *ASKED[command], *house, "--json")
    assert done.status == 0, done.err
    assert any(GAS in text for text in json.loads(done.out)["cautions"])


@pytest.mark.parametrize("added", [["sown", "kale", "--bed", "front"], []])
def test_it_stands_in_the_log_after_a_line_was_added_and_without_lines(added: list[str]) -> None:
    Path("sown.csv").unlink()
    done = tenhour("log", *added, "--json")
    assert any(GAS in text for text in json.loads(done.out)["cautions"])


@pytest.mark.parametrize(
    "words",
    many([["sow", "--on", "2027-01-15"]], [["sow", "--on", "2027-01-15"], ["season", "--from", "2027-01-15"],
         ["week", "--on", "2027-01-15"], ["heat", "--on", "2027-01-15"], ["lamps", "front", "--crop", "leaf-lettuce"]]),
)  # fmt: skip
def test_it_stands_on_the_first_screen(words: list[str]) -> None:
    assert GAS in " ".join(tenhour(*words).out.split())


@pytest.mark.parametrize("_", many([], ["page"]))
def test_it_stands_on_the_page(_: str) -> None:
    assert tenhour("report", "--crop", "kale", "--on", "2027-01-15", "-o", "page.html").status == 0
    assert GAS in Path("page.html").read_text("utf-8")
