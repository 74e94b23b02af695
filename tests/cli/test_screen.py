"""The short answers of sow and light: a screen, dated and ranked by what people eat, in three unlike houses."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_once import build_once

HOOP = (
    "--lat 43.2 --lon -71.5 --elev 100 --shape hoop --length 9 --width 4 --ridge 2.4 "
    "--bed north,0.3,2.2,8,1.2 --bed south,0.3,0.3,8,1.2"
)
BOX = (
    "--lat 52.2 --lon 0.2 --elev 30 --shape box --length 3 --width 2 --eaves 2.2 --night 12 --day 16 --cover opaque "
    "--window south,0.3,0.6,2.4,1.2,glass-2 --bed front,0.2,0.2,2.6,0.6,0.5 --bed back,0.2,1.2,2.6,0.6,0.5"
)
HOUSES = {"built-in": "", "hoop": HOOP, "box": BOX}
DAYS = ("2026-10-10", "2027-01-15")
NO_FOOD = (
    "fodder",
    "onion plants",
    "lettuce plants",
    "celery plants",
    "cabbage plants",
    "cucumber",
    "tomato",
    "pepper",
    "strawberry",
)
DATE = re.compile(r"\d{4}-\d\d-\d\d")


@pytest.fixture(params=many(["hoop", "box"], list(HOUSES)))
def house(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    if HOUSES[request.param]:
        done = tenhour("new", *HOUSES[request.param].split(), "-o", "house.toml")
        assert done.status == 0, done.err
    return str(request.param)


@pytest.fixture
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def part(text: str, heading: str) -> str:
    """Lines under a heading, joined, up to the next line that is not indented."""
    lines = text.splitlines()
    begin = next(n for n, line in enumerate(lines) if line.startswith(heading)) + 1
    end = next(n for n in range(begin, len(lines)) if not lines[n].startswith("  "))
    return " ".join(line.strip() for line in lines[begin:end])


def test_sow_is_a_screen_that_says_what_to_do(house: str) -> None:
    for day in DAYS:
        text = tenhour("sow", "--on", day).out
        lines = text.splitlines()
        assert len(lines) <= 30, text
        assert max(map(len, lines)) <= 80
        assert DATE.search(part(text, "Do now")), text
        for line in lines[: lines.index(next(line for line in lines if line.startswith("Each crop")))]:
            assert not any(word in line for word in NO_FOOD), line
        if "Too cold" in text:
            cold = part(text, "Watch")
            assert re.search(r"-?\d+ °C", cold), cold
            assert DATE.search(cold), cold
            assert "Cure:" in cold, cold


def test_sow_of_a_cold_house_in_january_is_a_date_a_number_and_a_cure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    assert tenhour("new", *HOOP.split(), "-o", "house.toml").status == 0
    text = tenhour("sow", "--on", "2027-01-15").out
    now = part(text, "Do now")
    crop, first = re.search(r"worth it is ([a-z ]+) \(.*?from (\d{4}-\d\d-\d\d)", now).groups()  # type: ignore[union-attr]
    assert "in a warm room" in now
    found = json.loads(tenhour("sow", "--on", "2027-01-15", "--json").out)
    rows = [row for bed in found["beds"] for row in bed["crops"]]
    dated = {row["next_from"] for row in rows if row["crop"] == crop.replace(" ", "-")}
    assert first in dated
    assert not [row for row in rows if row["verdict"] == "sow"]
    asked = tenhour("sow", "--on", "2027-01-15", "--crop", "spinach", "--bed", "north").out
    assert re.search(r"Too cold.*?-?\d+ °C.*?from\s+\d{4}-\d\d-\d\d", asked, re.DOTALL), asked


def test_what_is_told_to_do_now_is_ranked_by_servings(empty_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    build_once(monkeypatch)
    found = json.loads(tenhour("sow", "--on", "2027-01-15", "--json").out)
    rows = {(bed["name"], row["crop"]): row for bed in found["beds"] for row in bed["crops"]}
    tray = rows["front", "radish-microgreens"]
    own = (Path(__file__).parents[2] / "crops" / "radish-microgreens.toml").read_text("utf-8")
    meal_g = float(re.search(r"meal_g = \{ value = ([\d.]+)", own).group(1))  # type: ignore[union-attr]
    assert tray["meals_m2_week_count"] == pytest.approx(7 * tray["yield_g_m2_d"] / meal_g, abs=0.06)
    assert rows["front", "wheat-fodder"]["meals_m2_week_count"] is None
    whole = part(tenhour("sow", "--on", "2027-01-15").out, "Do now")
    assert "fodder" not in whole
    assert "fodder" in tenhour("sow", "--on", "2027-01-15", "--crop", "wheat-fodder").out


def test_a_house_file_with_animals_is_told_of_their_feed(empty_folder: Path) -> None:
    flags = HOUSES["box"].split()
    assert tenhour("new", *flags, "-o", "house.toml").status == 0
    own = Path("house.toml")
    own.write_text(
        own.read_text("utf-8") + '\n[household]\npeople = 2\n\n[[household.animal]]\nkind = "hen"\ncount = 4\n'
    )
    shown = json.loads(tenhour("sow", "--on", "2027-01-15", "--json").out)
    assert any(row["crop"] == "wheat-fodder" for row in shown["beds"][0]["crops"])
    text = tenhour("sow", "--on", "2027-01-15").out
    assert "fodder" not in part(text, "Do now").split("front:")[0], "never first"
    assert len(text.splitlines()) <= 30


def test_light_is_a_row_per_bed(house: str) -> None:
    text = tenhour("light").out
    lines = text.splitlines()
    assert len(lines) <= 20, text
    assert max(map(len, lines)) <= 80
    found = json.loads(tenhour("light", "--json").out)
    now = date.today().month
    for bed in found["beds"]:
        row = next(line for line in lines if line.startswith(bed["name"])).split()
        months = {month["month"]: month for month in bed["months"]}
        shown = [
            f"{months[month][key]:.1f}"
            for month in dict.fromkeys((12, 2, now))
            for key in ("dli_mol_m2_d", "dull_dli_mol_m2_d")
        ]
        assert [float(value) for value in row[1:]] == pytest.approx([float(value) for value in shown], abs=0.11)
    assert "The year at a glance" in tenhour("light", "--months").out


@pytest.mark.parametrize("command", ["check", "crops", "crops kale", "log", "week"])
def test_cautions_are_told_by_every_command_that_answers(command: str, empty_folder: Path) -> None:
    """Where nothing stands behind an answer, that is said; nothing it says without the option is lost."""
    short, full = tenhour(*command.split()), tenhour(*command.split(), "--cautions")
    assert full.status == 0, full.err
    assert re.search(r"^(Assumed|Cautions)$|^No warnings, cautions or assumptions", full.out, re.MULTILINE)
    assert len(full.out) > len(short.out)


def test_new_tells_what_it_assumed_and_its_cautions(empty_folder: Path) -> None:
    done = tenhour("new", *BOX.split(), "-o", "house.toml", "--cautions")
    assert done.status == 0, done.err
    assert "Assumed" in done.out
    assert "carbon monoxide" in done.out


def test_a_weather_file_tells_all_that_was_read_into_it(empty_folder: Path) -> None:
    import pvlib

    file = str(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV")
    told = tenhour("weather", file, "--cautions")
    assert told.status == 0, told.err
    assert "Read as" in tenhour("weather", file).out
    assert "Assumed" in told.out
    assert "Read as" not in told.out
