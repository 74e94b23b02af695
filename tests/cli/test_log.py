"""log on the command line: it adds one line, shows what stands, and refuses with one line."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_schema import schema_faults
from helpers_world import PLAIN
from tenhour.files.log import read_log
from tenhour.model.log import standing_by_bed

HOUSE = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    return tmp_path


def test_an_empty_log_says_how_to_begin_and_writes_nothing(folder: Path) -> None:
    done = tenhour("log")
    assert done.status == 0
    assert done.out.startswith("Nothing is logged yet.")
    assert not (folder / "sown.csv").exists()


def test_lines_are_added_and_shown(folder: Path) -> None:
    assert tenhour("log", "sown", "kale", "--bed", "front", "--on", "2021-09-01", "--density", "9").status == 0
    done = tenhour("log", "harvested", "kale", "--grams", "300", "--on", "2021-11-01", "--note", "first")
    assert done.status == 0
    assert "Added to sown.csv" in done.err
    lines = read_log(folder / "sown.csv")
    assert [(line.on, line.what, line.fresh_g) for line in lines] == [
        (date(2021, 9, 1), "sown", None),
        (date(2021, 11, 1), "harvested", 300.0),
    ]
    shown = tenhour("log", "--on", "2021-11-05")
    assert "front: kale (sown 2021-09-01)" in shown.out
    answer = json.loads(tenhour("log", "--on", "2021-11-05", "--json").out)
    assert schema_faults("log", answer) == []
    kale = {"crop": "kale", "bed": "front", "sown": "2021-09-01", "plants_per_m2": 9.0, "fresh_g": 300.0}
    assert answer["standing"] == [{**kale, "set_out": None}]
    assert standing_by_bed(lines, date(2021, 11, 5)) == {"front": ("kale (sown 2021-09-01)",)}


def test_units_dates_tables_and_other_names(folder: Path) -> None:
    assert tenhour("log", "sown", "Corn salad", "--bed", "front", "--on", "2021-09-01", "--density", "100").status == 0
    assert tenhour("log", "harvested", "corn-salad", "--grams", "567", "--on", "2021-11-01").status == 0
    assert {line.crop for line in read_log(folder / "sown.csv")} == {"corn-salad"}
    american = tenhour("log", "--on", "2021-11-05", "--units", "us", "--dates", "us").out
    assert "Standing on Nov 5, 2021" in american
    assert "9.3 per ft²" in american  # 100 / 10.764
    assert "20.0 oz" in american  # 567 / 28.35
    assert (
        tenhour("log", "--csv", "lines").out.splitlines()[0]
        == "date,what,crop,bed,plants_per_m2,fresh_g,area_m2,plants_count,variety,because,sown_on,note"
    )
    stands = tenhour("log", "--csv", "standing", "--on", "2021-11-05").out.splitlines()
    assert stands[1] == "front,corn-salad,2021-09-01,100,567"


def test_the_log_lies_beside_the_house_file_unless_named(folder: Path) -> None:
    other = folder / "far"
    other.mkdir()
    (folder / "house.toml").rename(other / "house.toml")
    tenhour("log", "sown", "kale", "--on", "2021-09-01", "--house", other / "house.toml")
    assert (other / "sown.csv").exists()
    tenhour("log", "sown", "kale", "--on", "2021-09-01", "--log", folder / "mine.csv")
    assert (folder / "mine.csv").exists()
    done = tenhour("log", "--log", folder / "none.csv")
    assert done.status == 2
    assert "no such file" in done.err


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["sawn", "kale"], "WHAT: found 'sawn'"),
        (["sown"], "CROP: found nothing"),
        (["sown", "kail"], "Did you mean kale?"),
        (["sown", "kale", "--bed", "frnt"], "Did you mean front?"),
        (["sown", "kale", "--on", "2021-02-30"], "--on: found '2021-02-30'"),
        (["sown", "kale", "--on", "2999-01-01"], "a day to come"),
        (["sown", "kale", "--grams", "much"], "--grams: found 'much'"),
    ],
)
def test_mistakes_are_one_line_and_nothing_is_written(folder: Path, arguments: list[str], message: str) -> None:
    done = tenhour("log", *arguments)
    assert done.status == 2
    assert message in done.err
    assert len(done.err.strip().splitlines()) <= 2
    assert not (folder / "sown.csv").exists()
