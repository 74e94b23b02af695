"""read on the command line: it answers, keeps only when told, and refuses with one line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from helpers_cli import tenhour
from helpers_schema import schema_faults
from helpers_world import PLAIN
from tenhour.files.house.read import load_house

HOUSE = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    return tmp_path


def write_pairs(path: Path, ratio: float = 0.5) -> None:
    lines = ["time,place,lux"]
    for day in ("2027-01-12", "2027-01-15"):
        for hour in range(9, 15):
            lines += [f"{day} {hour}:00,outside,9000", f"{day} {hour}:01,front,{9000 * ratio:.0f}"]
    path.write_text("\n".join(lines), encoding="utf-8")


def write_thermometers(path: Path) -> None:
    days = pd.date_range("2027-01-05", periods=20, freq="D")
    lines = ["date,place,min_degc,max_degc"]
    for n, day in enumerate(days):
        lines += [f"{day:%Y-%m-%d},front,{3 + n % 3},{16 + n % 2}", f"{day:%Y-%m-%d},back,{9 + n % 3},{14 + n % 2}"]
    path.write_text("\n".join(lines), encoding="utf-8")


def test_light_readings_are_compared_and_nothing_is_written(folder: Path) -> None:
    write_pairs(folder / "r.csv")
    before = sorted(folder.iterdir())
    done = tenhour("read", "r.csv", "--json")
    assert done.status == 0, done.err
    answer = json.loads(done.out)
    assert schema_faults("read", answer) == []
    bed = answer["beds"][0]
    assert bed["bed"] == "front"
    assert bed["low_ratio"] < bed["factor_ratio"] < bed["high_ratio"]
    assert bed["used"] == 12
    assert answer["proposal"]["kept_in"] is None
    assert sorted(folder.iterdir()) == before
    assert (folder / "house.toml").read_text("utf-8") == HOUSE


def test_keep_writes_the_factor_and_later_answers_say_so(folder: Path) -> None:
    write_pairs(folder / "r.csv")
    done = tenhour("read", "r.csv", "--keep")
    assert done.status == 0, done.err
    assert "Written to house.toml" in done.out
    house = load_house(folder / "house.toml")
    factor = json.loads(tenhour("read", "r.csv", "--json").out)["beds"][0]["factor_ratio"]
    assert house.light_factor == {"front": pytest.approx(factor, abs=0.002)}
    assert "12 readings" in house.calibration_note
    assert "12 readings" in tenhour("light").out


def test_keep_without_a_house_file_or_a_result_writes_nothing(folder: Path) -> None:
    (folder / "r.csv").write_text(
        "time,place,lux\n2027-01-15 12:00,outside,9000\n2027-01-15 12:01,front,4000\n", "utf-8"
    )
    done = tenhour("read", "r.csv", "--keep")
    assert done.status == 1
    assert "Nothing to keep, and nothing was written. front: too few: 1 usable pairs" in done.err
    assert (folder / "house.toml").read_text("utf-8") == HOUSE
    (folder / "house.toml").unlink()
    write_pairs(folder / "r.csv")
    done = tenhour("read", "r.csv", "--keep")
    assert done.status == 2
    assert "no house file of your own to write in" in done.err
    assert not (folder / "house.toml").exists()


def test_thermometers_become_the_climate_of_the_house(folder: Path) -> None:
    write_thermometers(folder / "t.csv")
    done = tenhour("read", "t.csv", "--keep")
    assert done.status == 0, done.err
    assert "front: cold by night (+0.0 K by day, -2.0 K at night" in done.out
    assert "back: warm by night" in done.out
    assert "Suits best of all places:" in done.out
    assert "A sensor or thermostat sees a typical temperature at" in done.out
    house = load_house(folder / "house.toml")
    assert house.air.day_degc is not None
    assert house.air.day_set_degc is None
    front = house.beds[0]
    assert front.night_degc is not None
    assert front.day_degc is not None
    # January of the front bed: minimum 4, maximum 16.5 in the mean; a quarter of the span in from both
    assert front.night_degc[0] == pytest.approx(4.0 + 12.5 / 4, abs=0.1)
    assert front.day_degc[0] == pytest.approx(16.5 - 12.5 / 4, abs=0.1)
    assert house.air.night_min_degc is not None
    assert house.air.night_min_degc[0] == pytest.approx(3.0)
    again = tenhour("read", "t.csv", "--json")
    answer = json.loads(again.out)
    assert {spot["place"] for spot in answer["spots"]} == {"front", "back"}
    assert schema_faults("read", answer) == []


def test_units_dates_and_tables_follow_the_options(folder: Path) -> None:
    write_thermometers(folder / "t.csv")
    american = tenhour("read", "t.csv", "--units", "us", "--dates", "us").out
    assert "Jan 5, 2027 to Jan 24, 2027" in american
    assert "-3.6 °F at night" in american  # 2.0 K
    assert "°C" not in american
    assert " K " not in american
    (folder / "house.toml").write_text('units = "us"\n' + HOUSE, encoding="utf-8")
    assert tenhour("read", "t.csv", "--dates", "us").out == american
    assert tenhour("read", "t.csv", "--csv", "warmth").out.splitlines()[0] == (
        "month,place,day_degf,night_degf,coldest_degf,days_count"
    )
    assert "degf" not in tenhour("read", "t.csv", "--json").out


def test_readings_of_lamps_keep_to_the_schema(folder: Path) -> None:
    lines = ["time,place,lux,light", *(f"2027-01-12 21:0{n},front,{8000 + 100 * n},white-led" for n in range(6))]
    (folder / "l.csv").write_text("\n".join(lines), encoding="utf-8")
    done = tenhour("read", "l.csv", "--json", "--light", "white-led")
    assert done.status == 0, done.err
    answer = json.loads(done.out)
    assert answer["lamps"]
    assert schema_faults("read", answer) == []


def test_a_logger_of_fahrenheit_needs_its_unit(folder: Path) -> None:
    times = pd.date_range("2027-01-05", periods=24 * 8, freq="h")
    warm = np.where((times.hour >= 8) & (times.hour <= 16), 61, 45)
    rows = "\n".join(f"{t:%Y-%m-%d %H:%M},{v}" for t, v in zip(times, warm, strict=True))
    (folder / "t.csv").write_text("time,front\n" + rows, "utf-8")
    done = tenhour("read", "t.csv")
    assert done.status == 2
    assert "no column of light or temperature" in done.err
    (folder / "t.csv").write_text("time,front temp\n" + rows, "utf-8")
    done = tenhour("read", "t.csv")
    assert done.status == 2
    assert "column front temp: found no unit" in done.err
    done = tenhour("read", "t.csv", "--unit", "F", "--json")
    month = json.loads(done.out)["months"][0]
    assert month["day_degc"] == pytest.approx((61 - 32) / 1.8, abs=0.6)
    assert month["night_degc"] == pytest.approx((45 - 32) / 1.8, abs=0.6)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["none.csv"], "none.csv: no such file"),
        (["."], ".: found a folder; allowed: a text file"),
        (["r.csv", "--bed", "shelf"], "--bed: found 'shelf'; allowed: one of front, back"),
        (["r.csv", "--light", "white-lde"], "Did you mean white-led?"),
        (["r.csv", "--unit", "K"], "--unit: found 'K'; allowed: c or f"),
        (["r.csv", "--meters", "3"], "--meters: found '3'; allowed: one or two"),
        (["r.csv", "--zone", "Mars"], "--zone: found 'Mars'"),
        (["r.csv", "--date-order", "ymd"], "--date-order: found 'ymd'"),
        (["r.csv", "--light", "red-led"], "a lux meter hardly sees red and blue"),
    ],
)
def test_mistakes_are_one_line_and_exit_2(folder: Path, arguments: list[str], message: str) -> None:
    write_pairs(folder / "r.csv")
    done = tenhour("read", *arguments)
    assert done.status == 2
    assert message in done.err
    assert done.out == ""
    assert len(done.err.strip().splitlines()) == 1


def write_logger(path: Path) -> None:
    """Two weeks by the half hour in autumn, over the night on which clocks go back."""
    times = pd.date_range("2026-10-18 00:00", "2026-11-01 00:00", freq="30min", tz="Europe/Vienna")
    rows = [f"{t:%Y-%m-%d %H:%M},{9 + 6 * np.sin((t.hour - 8) / 24 * 2 * np.pi):.1f}" for t in times]
    path.write_text("\n".join(["time,front degc", *rows]), encoding="utf-8")


@pytest.mark.parametrize("write", [write_pairs, write_thermometers, write_logger])
def test_a_table_newest_first_says_the_same(folder: Path, write: Callable[[Path], None]) -> None:
    write(folder / "r.csv")
    plain = tenhour("read", "r.csv", "--json")
    assert plain.status == 0, plain.err
    head, *rows = (folder / "r.csv").read_text("utf-8").splitlines()
    (folder / "r.csv").write_text("\n".join([head, *reversed(rows)]), encoding="utf-8")
    turned = tenhour("read", "r.csv", "--json")
    assert json.loads(turned.out) == json.loads(plain.out)


@pytest.mark.parametrize("table", ["date,place,{what}\n{day},{place},5", "date,{place} {what}\n{day},5"])
@pytest.mark.parametrize("what", ["lux", "min_degc", "degc"])
@pytest.mark.parametrize(
    ("place", "day", "message"),
    [("frnot", "2027-01-05", "Did you mean front?"), ("front", "2099-01-05", "from 1980 to ")],
)
def test_a_place_or_a_year_that_cannot_be_is_refused(
    folder: Path, table: str, what: str, place: str, day: str, message: str
) -> None:
    (folder / "r.csv").write_text(table.format(what=what, place=place, day=day), encoding="utf-8")
    done = tenhour("read", "r.csv")
    assert done.status == 2
    assert message in done.err
    assert "\n" not in done.err.strip()


def test_a_spot_of_ones_own_is_no_slip_of_the_pen(folder: Path) -> None:
    write_thermometers(folder / "t.csv")
    text = (folder / "t.csv").read_text("utf-8")
    (folder / "t.csv").write_text(text.replace(",back,", ",front 2,"), encoding="utf-8")
    done = tenhour("read", "t.csv", "--json")
    assert done.status == 0, done.err
    assert {spot["place"] for spot in json.loads(done.out)["spots"]} == {"front", "front 2"}
