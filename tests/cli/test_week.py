"""Bare tenhour: this week in a screen; the year in a screen; what stands by the log is told with its dates."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_once import build_once

LEAN_TO = (
    "--lat 59.3 --lon 18.0 --elev 20 --shape lean-to --length 4 --width 2 --front 1.8 --back 2.6 --night 2 "
    "--bed front,0.2,0.2,3.6,0.7,0.4"
)
BUBBLE = (
    "--lat 43.2 --lon -71.5 --elev 100 --shape hoop --length 9 --width 4 --ridge 2.4 "
    "--bed north,0.3,2.2,8,1.2 --bed south,0.3,0.3,8,1.2"
)
DATE = re.compile(r"\d{4}-\d\d-\d\d")
CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


HOUSES = {"lean-to": LEAN_TO, "hoop": BUBBLE}


@pytest.fixture(params=many(["lean-to"], list(HOUSES)))
def house(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    assert tenhour("new", *HOUSES[request.param].split(), "-o", "house.toml").status == 0
    return tmp_path


def test_without_a_house_bare_tenhour_is_a_welcome_of_six_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = tenhour()
    assert done.status == 0
    lines = done.out.splitlines()
    assert len(lines) == 6
    assert max(map(len, lines)) <= 80
    assert all(word in done.out for word in ("tenhour new", "tenhour sow", "tenhour help"))


def test_bare_tenhour_is_this_week_in_a_folder_below_the_house_too(
    house: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    below = house / "notes"
    below.mkdir()
    text = tenhour().out
    monkeypatch.chdir(below)
    assert tenhour().out == text
    lines = text.splitlines()
    assert len(lines) <= 24, text
    assert max(map(len, lines)) <= 80
    assert lines[0].startswith(f"This week, {date.today()} to ")
    for heading in ("Sow", "Beds", "Warmth", "Water and air"):
        assert heading in lines, text


@pytest.mark.parametrize("day", many(["2026-12-05"], ["2026-08-25", "2026-12-05", "2027-02-25"]))
def test_every_week_is_a_screen_and_says_a_day_for_sowing(house: Path, day: str) -> None:
    text = tenhour("week", "--on", day).out
    lines = text.splitlines()
    assert len(lines) <= 24, text
    sowing = "\n".join(lines[lines.index("Sow") + 1 : lines.index("Beds")])
    assert DATE.search(sowing), text
    assert re.search(r"coldest hour -?\d+ °C", text.replace("\n  ", " ")), text
    answer = json.loads(tenhour("week", "--on", day, "--json").out)
    assert answer["command"] == "week"
    bed = answer["beds"][0]
    assert bed["lowest_1in10_degc"] <= bed["lowest_degc"] <= bed["night_degc"]
    assert (answer["heat_kwh"] > 0.0) is ("Heat this week" in text.replace("\n  ", " "))


def test_the_bare_word_takes_the_options_of_week(house: Path) -> None:
    assert json.loads(tenhour("--json").out)["date"] == date.today().isoformat()
    assert tenhour("--on", "2027-01-15").out == tenhour("week", "--on", "2027-01-15").out
    assert "sow" in tenhour("--csv", "list").out


def test_what_stands_by_the_log_gets_its_dates_from_the_same_growth_as_sow(house: Path) -> None:
    sown = json.loads(tenhour("sow", "--on", "2026-09-05", "--json").out)
    bed = sown["beds"][0]
    row = next(crop for crop in bed["crops"] if crop["crop"] == "spinach")
    assert tenhour("log", "sown", "spinach", "--bed", bed["name"], "--on", "2026-09-05").status == 0
    answer = json.loads(tenhour("week", "--on", "2026-09-20", "--json").out)
    (stand,) = answer["stands"]
    assert stand["ready_from"] == row["harvest_from"]
    assert stand["ready_to"] == row["harvest_to"]
    assert stand["do"] == "leave"
    assert row["harvest_from"] in tenhour("week", "--on", "2026-09-20").out
    later = json.loads(tenhour("week", "--on", row["harvest_to"], "--json").out)["stands"][0]
    assert later["do"] in ("harvest", "eat-first", "cover")


def test_one_winter_in_ten_is_colder_than_half_of_them_where_nobody_heats(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    assert tenhour("new", *LEAN_TO.replace("--night 2 ", "").split(), "-o", "house.toml").status == 0
    (bed,) = json.loads(tenhour("week", "--on", "2027-01-15", "--json").out)["beds"]
    assert bed["lowest_1in10_degc"] < bed["lowest_degc"] < bed["night_degc"] < bed["day_degc"]


def test_lamps_of_the_house_file_are_told_by_the_clock_and_sum_to_their_hours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    assert tenhour("new", *LEAN_TO.split(), "-o", "house.toml").status == 0
    own = Path("house.toml")
    own.write_text(
        own.read_text("utf-8") + '\n[[lamps]]\nbed = "front"\nkind = "led-bar"\ncount = 4\nheight_m = 0.4\nhours = 10\n'
    )
    done = tenhour("week", "--on", "2027-01-15", "--json")
    assert done.status == 0, done.err
    lamps = json.loads(done.out)["lamps"]
    assert sum(lamp["hours_h"] for lamp in lamps) == pytest.approx(10.0, abs=0.3)
    for lamp in lamps:
        begin, end = (int(lamp[key][:2]) + int(lamp[key][3:]) / 60 for key in ("on", "off"))
        assert (end - begin) % 24 == pytest.approx(lamp["hours_h"], abs=0.02)
    text = tenhour("week", "--on", "2027-01-15").out
    assert CLOCK.search(text), text
    assert len(text.splitlines()) <= 24


def test_the_year_is_a_screen_whose_dates_are_those_of_the_answer(house: Path) -> None:
    text = tenhour("season", "--from", "2026-11-28").out
    lines = text.splitlines()
    assert len(lines) <= 60, text
    assert max(map(len, lines)) <= 80
    answer = json.loads(tenhour("season", "--from", "2026-11-28", "--json").out)
    crops = {(bed["name"], crop["crop"]): crop for bed in answer["beds"] for crop in bed["crops"]}
    named = 0
    for one in answer["chosen"]:
        crop = crops[one["bed"], one["crop"]]
        assert crop["serves"], "food of people only"
        assert not any(word in one["crop"] for word in ("fodder", "plants", "cucumber", "tomato", "pepper"))
        row = next((line for line in lines if line.startswith(one["crop"].replace("-", " ")) and "202" in line), None)
        if crop["sow_by"] or crop["pays_from"]:
            assert row is not None, one
            named += 1
            for day in (crop["sow_by"], crop["pays_from"]):
                assert day is None or day in row
    assert named >= 5
    assert len(tenhour("season", "--from", "2026-11-28", "--all").out.splitlines()) > 100


def test_the_household_decides_what_comes_first(house: Path) -> None:
    own = Path("house.toml")
    plain = own.read_text("utf-8")
    own.write_text(plain + '\n[household]\npeople = 3\nlikes = ["turnip", "radish"]\n')
    chosen = json.loads(tenhour("season", "--from", "2026-11-28", "--json").out)["chosen"]
    assert {one["crop"] for one in chosen[:2]} == {"turnip", "radish"}
    assert {one["crop"] for one in chosen} - {"turnip", "radish"}, "others follow"
