"""why on the command line: JSON of the contract, text that reads well, one clear line per mistake."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_schema import schema_faults
from helpers_world import PLAIN

HOUSE = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip
DECEMBER = ["--sown", "2026-12-05", "--seen", "2027-01-05"]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    return tmp_path


def test_json_has_the_contracts_keys(folder: Path) -> None:
    done = tenhour("why", "romaine", *DECEMBER, "--bed", "back", "--day-c", "70F", "--night-c", "10", "--json")
    assert done.status == 0, done.err
    answer = json.loads(done.out)
    assert set(answer) >= {
        "tenhour", "command", "inputs", "assumptions", "warnings", "cautions",
        "crop", "sown", "seen", "stage", "expected_stage", "score", "causes", "remedies", "sentence",
    }  # fmt: skip
    assert answer["command"] == "why"
    assert schema_faults("why", answer) == []
    assert answer["had"]["day_degc"] == pytest.approx(21.11, abs=0.01)
    assert sum(cause["share_frac"] for cause in answer["causes"]) == pytest.approx(1.0, abs=0.01)
    assert all(set(remedy) >= {"remedy", "score", "detail"} for remedy in answer["remedies"])
    assert answer["remedies"][0]["free"] is True
    assert sorted(folder.iterdir()) == [folder / "house.toml"]


def test_text_fits_eighty_columns_and_leads_with_the_answer() -> None:
    done = tenhour("why", "romaine", *DECEMBER, "--dli", "2.6", "--day-c", "21", "--night-c", "10")
    assert done.status == 0
    lines = done.out.splitlines()
    assert lines[1].startswith("These romaine seedlings are leggy: stretch 6")
    assert all(len(line) <= 80 for line in lines)
    assert len(lines) <= 12
    every = tenhour("why", "romaine", *DECEMBER, "--dli", "2.6", "--day-c", "21", "--night-c", "10", "--all")
    assert "Match heat to light: this light carries sturdy plants at 12 °C by day" in every.out


def test_units_dates_and_tables_follow_the_options_and_the_house(folder: Path) -> None:
    asked = ("why", "romaine", *DECEMBER, "--dli", "2.6", "--day-c", "21", "--night-c", "10", "--all")
    american = tenhour(*asked, "--units", "us", "--dates", "us").out
    assert "sown Dec " in american.splitlines()[0]
    assert "sturdy plants at 54 °F by day" in american  # 12 °C
    assert "°C" not in american
    assert not re.search(r"\d{4}-\d{2}-\d{2}", american)
    (folder / "house.toml").write_text('units = "us"\n' + HOUSE, encoding="utf-8")
    assert tenhour(*asked, "--dates", "us").out == american
    assert tenhour(*asked, "--csv", "causes").out.splitlines()[0] == "cause,share_frac,how_to_tell"
    assert tenhour(*asked, "--csv", "remedies").out.splitlines()[0] == "remedy,stretch_score,how"
    assert "°F" not in tenhour(*asked, "--json").out


def test_the_log_fills_in_date_bed_and_density(folder: Path) -> None:
    (folder / "sown.csv").write_text("date,what,crop,bed,plants_per_m2\n2026-12-05,sown,romaine,back,2000\n", "utf-8")
    answer = json.loads(tenhour("why", "romaine", "--seen", "2027-01-20", "--json").out)
    assert answer["sown"] == "2026-12-05"
    assert answer["bed"] == "back"
    assert answer["inputs"]["density_per_m2"] == 2000.0
    assert answer["standing"] == ["romaine (sown 2026-12-05)"]


def test_fruiting_crops_are_looked_at_as_young_plants() -> None:
    done = tenhour("why", "tomato", *DECEMBER, "--dli", "4", "--day-c", "22", "--night-c", "18", "--json")
    answer = json.loads(done.out)
    assert answer["crop"] == "tomato"
    assert answer["score"] > 45
    assert "pot these deep" in answer["sentence"]
    named = json.loads(tenhour("why", "Cos lettuce", *DECEMBER, "--dli", "4", "--json").out)
    assert named["crop"] == "romaine"


def test_signs_can_be_listed() -> None:
    done = tenhour("why", "romaine", "--looks", "list")
    assert done.status == 0
    assert "leaning" in done.out
    assert "pale, yellow-green" in done.out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["rommaine", *DECEMBER], "CROP, BED or SIGN: found 'rommaine'"),
        (["romaine", *DECEMBER, "--bed", "bak"], "--bed: found 'bak'; allowed: one of front, back. Did you mean back?"),
        (["romaine", "--sown", "2027-02-01", "--seen", "2027-01-05"], "--seen: found 2027-01-05, before the sowing on"),
        (["romaine", "--sown", "2025-02-01", "--seen", "2027-01-05"], "up to 360 days after sowing"),
        (["romaine", "--sown", "soon"], "--sown: found 'soon'"),
        (["romaine", "--sown", "8999-12-01", "--seen", "8999-12-31"], "years from 1980 to 2100"),
        (["romaine"], "--sown: nothing, and no sowing of it in the log. Say when they were sown"),
        (["romaine", *DECEMBER, "--up", "2026-12-01"], "--up: found 2026-12-01; allowed: 2026-12-05 to 2027-01-05"),
        (["romaine", *DECEMBER, "--dli", "lots"], "--dli: found 'lots'; allowed: a number from 0 to 60"),
        (["romaine", *DECEMBER, "--day-c", "210"], "--day-c: found '210'"),
        (["romaine", *DECEMBER, "--night-c", "F"], "--night-c: found"),
        (["romaine", *DECEMBER, "--lamp", "disco"], "--lamp: found 'disco'"),
        (["romaine", *DECEMBER, "--looks", "pail"], "Did you mean pale?"),
        (["romaine", *DECEMBER, "--density", "0"], "--density: found '0'"),
        (["romaine", *DECEMBER, "--log", "none.csv"], "none.csv: no such file"),
    ],
)
def test_mistakes_are_one_line_and_exit_2(arguments: list[str], message: str) -> None:
    done = tenhour("why", *arguments)
    assert done.status == 2
    assert done.out == ""
    assert message in done.err
    assert len(done.err.strip().splitlines()) == 1
