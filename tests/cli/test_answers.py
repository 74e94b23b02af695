"""light, sow and season on the command line: exit status, JSON of the contract, one clear line per mistake."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from helpers_cli import tenhour

DEMO_LINE = "No house file given and no ./house.toml here: this answer is for the built-in demo house."
COMMON = {"tenhour", "command", "inputs", "assumptions", "warnings", "cautions"}


@pytest.fixture(autouse=True)
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_light_json_has_the_contracts_keys() -> None:
    done = tenhour("light", "--json", "--map", "front", "--on", "2027-01-15")
    assert done.status == 0
    assert done.err.strip() == DEMO_LINE
    answer = json.loads(done.out)
    assert set(answer) >= COMMON | {"site", "ten_hour", "months", "beds", "map"}
    assert set(answer["site"]) >= {"latitude_deg", "longitude_deg", "elevation_m"}
    assert set(answer["ten_hour"]) == {"before_dark", "after_dark"}
    assert len(answer["months"]) == 12
    month = answer["months"][0]
    assert set(month) >= {"month", "daylength_h", "photoperiod_h", "noon_height_deg", "outdoor"}
    assert set(month["outdoor"]) >= {"dli_mol_m2_d", "dull_dli_mol_m2_d", "spread_frac", "ghi_w_m2", "temp_degc"}
    bed = answer["beds"][0]
    assert set(bed) >= {"name", "overcast_ratio", "months"}
    assert set(bed["months"][0]) >= {
        "month", "dli_mol_m2_d", "dull_dli_mol_m2_d", "min_dli_mol_m2_d", "max_dli_mol_m2_d", "ratio",
        "beam_frac", "sky_frac", "bounced_frac",
    }  # fmt: skip
    grid = answer["map"]
    assert len(grid["dli_mol_m2_d"]) == len(grid["y_m"])
    assert all(len(row) == len(grid["x_m"]) for row in grid["dli_mol_m2_d"])


def test_sow_json_has_the_contracts_keys() -> None:
    done = tenhour("sow", "--json", "--on", "2027-01-15", "--bed", "middle", "--crop", "spinach", "--crop", "kale")
    assert done.status == 0
    answer = json.loads(done.out)
    assert set(answer) >= COMMON | {"date", "beds"}
    assert answer["date"] == "2027-01-15"
    assert [bed["name"] for bed in answer["beds"]] == ["middle"]
    for crop in answer["beds"][0]["crops"]:
        assert set(crop) >= {
            "crop", "verdict", "sentence", "harvest_from", "harvest_to", "days_low", "days_high", "dli_mol_m2_d",
            "needs_dli_mol_m2_d", "missing_dli_mol_m2_d", "stretch_score", "pays_from", "sow_by", "yield_kg_m2",
        }  # fmt: skip
        assert crop["verdict"] in {
            "not-here", "too-cold", "set-out-grown", "cut-young", "needs-lamps", "wait", "slow", "sow",
        }  # fmt: skip


def test_sow_month_means_the_next_fifteenth() -> None:
    answer = json.loads(tenhour("sow", "--json", "--month", "January", "--crop", "radish", "--bed", "front").out)
    assert re.fullmatch(r"20\d\d-01-15", answer["date"])


def test_light_text_fits_eighty_columns_and_is_plain_when_piped() -> None:
    done = tenhour("light", "--on", "2027-02-01", "--map", "middle")
    assert done.status == 0
    assert max(map(len, done.out.splitlines())) <= 80
    assert "\x1b" not in done.out


def test_house_of_the_folder_is_used(empty_folder: Path) -> None:
    flags = "--lat 52 --lon 13 --elev 40 --shape hoop --length 4 --width 2.5 --ridge 2 --bed only,0.3,0.3,3,1"
    assert tenhour("new", *flags.split(), "-o", "house.toml").status == 0
    done = tenhour("light", "--json")
    assert done.status == 0
    assert done.err == ""
    assert [bed["name"] for bed in json.loads(done.out)["beds"]] == ["only"]


def test_moving_by_coordinates() -> None:
    here = json.loads(tenhour("light", "--json").out)
    there = json.loads(tenhour("light", "--json", "--lat", "60.5", "--lon", "15", "--elev", "150").out)
    assert there["site"]["latitude_deg"] == 60.5
    assert there["months"][11]["outdoor"]["dli_mol_m2_d"] < here["months"][11]["outdoor"]["dli_mol_m2_d"]


BAD = [
    (("light", "--lat", "95", "--lon", "10"), "--lat: found '95'; allowed: a number from -90 to 90"),
    (("light", "--lat", "nan", "--lon", "10"), "--lat: found 'nan'; allowed: a number from -90 to 90"),
    (("sow", "--lat", "ninety", "--lon", "10"), "--lat: found 'ninety'; allowed: a number from -90 to 90"),
    (("light", "--lat", "50"), "--lon: found nothing; allowed: both --lat and --lon. Add --lon."),
    (("sow", "--on", "2027-02-31"), "--on: found '2027-02-31'; allowed: a day that exists"),
    (("sow", "--month", "Janvier"), "--month: found 'Janvier'; allowed: a month"),
    (("sow", "--month", "1", "--on", "2027-01-01"), "--month and --on: found both; allowed: one of them"),
    (("sow", "--bed", "frnt"), "--bed: found 'frnt'; allowed: one of front, middle, back, shelf. Did you mean front?"),
    (("sow", "--crop", "spinnach"), "Did you mean spinach?"),
    (("light", "--map", "nowhere"), "--map: found 'nowhere'; allowed: one of front, middle, back, shelf"),
    (("season", "--every", "often"), "--every: found 'often'; allowed: 1 to 182 days, written as 2w or 10d"),
    (("season", "--meals", "-1"), "--meals: found '-1'; allowed: a number from 0.1 to 100"),
    (("light", "--lat", "0", "--lon", "-150"), "site.means"),
    (("light", "--house", "nowhere.toml"), "nowhere.toml: no such file"),
    (("light", "--house", "."), "found a folder; allowed: a text file"),
]


@pytest.mark.parametrize(("arguments", "expected"), BAD, ids=[" ".join(a) for a, _ in BAD])
def test_bad_input_is_one_line_and_exit_two(arguments: tuple[str, ...], expected: str) -> None:
    done = tenhour(*arguments)
    lines = [line for line in done.err.splitlines() if line != DEMO_LINE]
    assert done.status == 2
    assert done.out == ""
    assert len(lines) == 1
    assert expected in lines[0]


def test_every_wrong_option_is_listed_at_once() -> None:
    done = tenhour("light", "--lat", "95", "--lon", "x", "--elev", "high")
    assert done.status == 2
    assert [line.split(":")[1].strip() for line in done.err.splitlines()] == ["--lat", "--lon", "--elev"]


def test_season_answers_in_text_and_json() -> None:
    arguments = ("season", "middle", "--crop", "kale", "--crop", "spinach", "--from", "2026-11-25", "--every", "3w")
    done = tenhour(*arguments)
    assert done.status == 0
    assert max(map(len, done.out.splitlines())) <= 80
    answer = json.loads(tenhour(*arguments, "--json").out)
    assert set(answer) >= COMMON
    assert answer["beds"][0]["name"] == "middle"


def test_a_crop_grown_for_fruit_is_answered_alone_with_one_date() -> None:
    """The first day after the darkest from which four weeks are good, in ``sow``, ``season`` and its calendar; no empty
    table where there is none."""
    on = ("--crop", "tomato", "--lat", "44.8", "--lon", "20.4", "--elev", "100")
    sown = json.loads(tenhour("sow", "--on", "2026-11-29", *on, "--json").out)
    text = tenhour("season", "--from", "2026-11-29", *on, "--ics", "year.ics")
    year = json.loads(tenhour("season", "--from", "2026-11-29", *on, "--json").out)
    told = [[bed["crops"][0]["pays_from"] for bed in answer["beds"]] for answer in (sown, year)]
    assert told[0] == told[1]
    first = date.fromisoformat(told[0][0])
    assert date(2027, 4, 1) < first < date(2027, 7, 1)
    weeks = [week for week in year["beds"][0]["crops"][0]["weeks"] if week["state"] == "sow"]
    assert timedelta(0) <= date.fromisoformat(weeks[0]["start"]) - first < timedelta(days=7)
    assert text.status == 0, text.err
    assert text.out.count("pays again from") == sum(day is not None for day in told[0])
    calendar = Path("year.ics").read_text("utf-8").replace("\r\n ", "")
    assert f"DTSTART;VALUE=DATE:{first:%Y%m%d}" in calendar
    assert "enough for tomato to fruit on front" in calendar


def test_sow_tells_what_stands_by_the_log(empty_folder: Path) -> None:
    flags = "--lat 52 --lon 13 --elev 40 --shape hoop --length 4 --width 2.5 --ridge 2 --bed only,0.3,0.3,3,1"
    assert tenhour("new", *flags.split(), "-o", "house.toml").status == 0
    (empty_folder / "sown.csv").write_text("date,what,crop,bed\n2026-09-01,sown,kale,only\n", encoding="utf-8")
    done = tenhour("sow", "--json", "--on", "2027-01-15", "--crop", "radish")
    assert done.status == 0, done.err
    assert json.loads(done.out)["beds"][0]["standing"] == ["kale (sown 2026-09-01)"]
