"""The same words for the same thing in every command: days, beds, crops, places, and where the house file lies."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_once import few_winters
from tenhour.cli.common import complete_beds, complete_words
from tenhour.cli.loading import parse_date
from tenhour.cli.new import SHAPES, complete_covers, complete_shapes
from tenhour.errors import FileProblem
from tenhour.files.covers import shipped_covers
from tenhour.files.house import draft

TODAY = date(2026, 11, 28)


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    few_winters(monkeypatch)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path.parent))
    words = ("--lat", "48.4", "--lon", "10", "--elev", "480", "--shape", "gable", "--bed", "front,0.2,0.2,4,0.8")
    assert tenhour("new", *words, "--bed", "back,0.2,1.9,4,0.8").status == 0
    return tmp_path


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2027-01-15", date(2027, 1, 15)), ("today", TODAY), ("tomorrow", date(2026, 11, 29)),
        ("Yesterday", date(2026, 11, 27)),
        ("15 Jan", date(2027, 1, 15)), ("Jan 15", date(2027, 1, 15)), ("January 15", date(2027, 1, 15)),
        ("15 January 2026", date(2026, 1, 15)), ("Jan 15, 2028", date(2028, 1, 15)), ("1 Oct", date(2026, 10, 1)),
        ("May 20", date(2027, 5, 20)), ("15. Jan", date(2027, 1, 15)), ("1st of Dec.", date(2026, 12, 1)),
        ("29 Feb 2028", date(2028, 2, 29)), ("15.1.2027", date(2027, 1, 15)), ("1/15/2027", date(2027, 1, 15)),
        ("3/3/2027", date(2027, 3, 3)),
    ],
)  # fmt: skip
def test_days_as_people_write_them(typed: str, day: date) -> None:
    """A day without a year is the nearest one: 1 October is the last, 15 January the next, in late November."""
    assert parse_date("--on", typed, TODAY) == day


@pytest.mark.parametrize("typed", ["3/4/2027", "31/31/2027", "1/2"])
def test_a_day_that_could_be_two_is_asked_about(typed: str) -> None:
    with pytest.raises(FileProblem, match=r"Is the month or the day first\? Write 15 Jan, or 2027-01-15"):
        parse_date("--on", typed, TODAY)


@pytest.mark.parametrize("typed", ["30 Feb", "Ju 3", "soon", "", "32 Jan", "29 Feb 2027", "Mayday 3"])
def test_what_is_no_day_is_refused(typed: str) -> None:
    with pytest.raises(
        FileProblem, match="a day that exists, written as 2027-01-15, 15 Jan 2027, 15 Jan, today or tom"
    ):
        parse_date("--on", typed, TODAY)


def asked(*words: str) -> dict[str, object]:
    done = tenhour(*words, "--json")
    assert done.status == 0, done.err
    return dict(json.loads(done.out))


def test_beds_and_crops_are_said_alike_in_every_command(house: Path) -> None:
    same = asked("sow", "--bed", "front", "--crop", "spinach", "--on", "2027-01-15")
    for words in (
        ["front", "spinach"],
        ["spinach", "front"],
        ["spinach", "--bed", "front"],
        ["front", "--crop", "spinach"],
    ):
        assert asked("sow", *words, "--on", "15 Jan 2027") == same
    same = asked("season", "front", "--crop", "kale", "--from", "2027-01-15")
    for words in (["--bed", "front", "kale"], ["kale", "front"]):
        assert asked("season", *words, "--from", "15 Jan 2027") == same
    same = asked("lamps", "front", "--crop", "kale")
    for words in (["front", "kale"], ["--bed", "front", "kale"], ["kale"]):
        assert asked("lamps", *words) == same


def test_a_word_that_is_neither_bed_nor_crop(house: Path) -> None:
    assert "BED, CROP or DAY: found 'spinnach'; allowed: one of" in tenhour("sow", "spinnach").err
    assert "Did you mean spinach?" in tenhour("sow", "spinnach").err
    assert "Did you mean front?" in tenhour("season", "frnt").err
    assert "found front and back; allowed: one bed" in tenhour("lamps", "front", "back", "kale").err
    assert "allowed: at least one crop. As in: tenhour lamps front kale." in tenhour("lamps", "front").err


def test_a_house_file_is_named_in_light_as_in_check(house: Path) -> None:
    (house / "house.toml").rename(house / "mine.toml")
    assert asked("light", "mine.toml") == asked("light", "--house", "mine.toml")


def test_coordinates_as_maps_write_them(house: Path) -> None:
    same = asked("light", "--lat", "46.8", "--lon", "-92.1")
    assert asked("light", "--lat", "46.8N", "--lon", "92.1 W") == same
    assert "--lat: found '95N'; allowed: a number from -90 to 90" in tenhour("light", "--lat", "95N", "--lon", "1").err


def test_the_house_file_is_found_in_a_folder_above(house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    below = house / "notes" / "2027"
    below.mkdir(parents=True)
    monkeypatch.chdir(below)
    done = tenhour("check")
    assert (done.status, done.err) == (0, f"This answer is for {house / 'house.toml'}.\n")
    assert f"{house / 'house.toml'}: nothing wrong." in done.out.replace("\n", "")
    assert tenhour("log", "sown", "kale", "--bed", "front").status == 0
    assert (house / "sown.csv").exists(), "the log lies beside the house file"
    house.chmod(0o777)  # anybody could have put a house file here
    assert "built-in demo house" in tenhour("check").err


def test_the_shell_completes_beds_crops_shapes_and_covers(house: Path) -> None:
    assert complete_beds("") == ["front", "back"]
    assert complete_words("fr") == ["front"]
    assert {"spinach", "swiss-chard"} >= set(complete_words("spin")) == {"spinach"}
    assert SHAPES == draft.SHAPES
    assert complete_shapes("c") == ["cold-frame"]
    assert set(complete_covers("")) == set(shipped_covers())
    (house / "house.toml").write_text("bed = 3 [", "utf-8")
    assert complete_beds("") == []


def test_completion_in_a_shell(house: Path) -> None:
    path = os.pathsep.join(part for part in sys.path if part)
    environment = {
        **os.environ, "PYTHONPATH": path, "_TENHOUR_COMPLETE": "complete_bash",
        "COMP_WORDS": "tenhour sow fr", "COMP_CWORD": "2",
    }  # fmt: skip
    code = "import sys; sys.argv = ['tenhour']; from tenhour.cli.main import run; run()"
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["front"], done.stderr


@pytest.mark.parametrize(
    "name", ["light", "sow", "season", "lamps", "crops", "report", "new", "check", "why", "read", "log"]
)
def test_every_help_ends_in_examples_that_are_commands(name: str) -> None:
    text = tenhour(name, "--help").out
    examples = text[text.index("Examples:") :].splitlines()[1:]
    assert len(examples) >= 2
    assert all(line.strip().startswith(f"tenhour {name}") for line in examples)
