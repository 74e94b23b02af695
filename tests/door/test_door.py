"""The door for Python: the same answers as the commands, as text, JSON and data frames; errors that name arguments."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import tenhour as th
from helpers_cli import tenhour
from tenhour.units import SUFFIXES

DAY, SOWN, SEEN = "2027-01-01", "2027-01-05", "2027-01-25"
CROPS = ["spinach", "kale", "pea-shoots"]
SMALL = """
[site]
latitude_deg = 50
longitude_deg = 10
elevation_m = 0
[house]
shape = "cold-frame"
length_m = 1.6
width_m = 1.0
front_m = 0.3
back_m = 0.5
cover = "glass-1"
[[bed]]
name = "frame"
at_m = [0.1, 0.1]
size_m = [1.4, 0.8]
height_m = 0.05
"""
TYPED = [word for crop in CROPS for word in ("--crop", crop)]


@pytest.fixture(scope="module")
def year() -> th.Year:
    return th.Year(th.demo_house(), crops=CROPS)


def test_import_loads_nothing_and_the_door_leaves_the_interpreter_alone() -> None:
    code = """
import sys, locale
before = set(sys.modules)
import tenhour as th
print(sorted(name for name in set(sys.modules) - before if not name.startswith(("tenhour", "__future__"))))
set_to = locale.setlocale(locale.LC_ALL)
th.Year(th.read_house(sys.argv[1]), crops=["kale"]).sow("2027-01-15").text(dates="locale")
import numpy.testing, pvlib
print("__getattr__" in vars(sys.modules["numpy.testing"]), hasattr(pvlib, "iotools"), "__file__" in vars(pvlib))
print(locale.setlocale(locale.LC_ALL) == set_to)
"""
    done = subprocess.run([sys.executable, "-c", code, SMALL], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == ["[]", "False True True", "True"]


def test_every_public_name_is_there_and_no_other() -> None:
    for name in th.__all__:
        assert getattr(th, name).__module__.startswith(("tenhour.door.", "tenhour.errors"))
        assert name in dir(th)
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = th.nothing


def test_a_house_from_a_path_a_text_and_a_dict(tmp_path: Path) -> None:
    tables = {
        "site": {"latitude_deg": 57.1, "longitude_deg": -4.7, "elevation_m": 40},
        "house": {"shape": "gable", "length_m": 5, "width_m": 3, "eaves_m": 1.8, "ridge_m": 2.6},
        "bed": [{"name": "front", "at_m": [0.2, 0.2], "size_m": [4.6, 0.8]}],
    }
    text = """
[site]
latitude_deg = 57.1
longitude_deg = -4.7
elevation_m = 40
[house]
shape = "gable"
length_m = 5
width_m = 3
eaves_m = 1.8
ridge_m = 2.6
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
"""
    path = tmp_path / "house.toml"
    path.write_text(text, encoding="utf-8")
    houses = [th.read_house(tables), th.read_house(text), th.read_house(path), th.read_house(str(path))]
    faces = [house.check().faces for house in houses]
    for other in faces[1:]:
        pd.testing.assert_frame_equal(faces[0], other)
    assert all(house.bed_names == ("front",) for house in houses)
    moved = houses[0].at(48.2, 16.4)
    assert moved.model.site.latitude_deg == 48.2
    assert houses[0].model.site.latitude_deg == 57.1, "the house itself stays where it is"
    assert "48.2, 16.4: front" in repr(moved)


def test_days_outdoors_and_on_beds_are_frames_with_units(year: th.Year) -> None:
    assert list(year.beds) == ["front", "middle", "back", "shelf"]
    assert len(year.beds) == 4
    assert "middle" in year.beds
    assert year.beds.get("nowhere") is None
    for frame in (year.outdoors, year.beds["middle"], year.beds["middle"].grid):
        for column in frame.columns:
            parts = str(column).split("_")
            assert any("_".join(parts[i:]) in SUFFIXES for i in range(len(parts))), column
            assert np.isfinite(frame[column]).all()
    bed = year.beds["middle"]
    assert len(year.outdoors) == len(bed) == 365
    assert (bed["dli_mol_m2_d"] < year.outdoors["dli_mol_m2_d"]).all()
    parts = bed["beam_dli_mol_m2_d"] + bed["sky_dli_mol_m2_d"] + bed["bounced_dli_mol_m2_d"]
    np.testing.assert_allclose(parts, bed["dli_mol_m2_d"], rtol=1e-9)
    by_month = bed.groupby("month")["dli_mol_m2_d"].mean()
    np.testing.assert_allclose(bed.grid.groupby("month")["dli_mol_m2_d"].mean(), by_month, rtol=1e-9)
    told = year.light().beds_months.query("bed == 'middle'").set_index("month")["dli_mol_m2_d"]
    np.testing.assert_allclose(told, by_month, rtol=1e-9)


@pytest.mark.parametrize(
    ("words", "ask"),
    [
        (("light", "--on", "2027-01-15"), lambda year: year.light(on="2027-01-15")),
        (("sow", "--on", "2027-01-15", *TYPED), lambda year: year.sow(date(2027, 1, 15))),
        (("sow", "--on", "2027-01-15", "--bed", "middle", *TYPED), lambda year: year.sow("2027-01-15", beds="middle")),
        (("season", "front", "--from", "2027-01-15", *TYPED), lambda year: year.season("2027-01-15", ["front"])),
        (
            ("why", "leaf-lettuce", "--sown", "2027-01-05", "--seen", "2027-01-25", "--bed", "front"),
            lambda year: year.why("leaf-lettuce", SOWN, SEEN, bed="front"),
        ),
        (
            ("lamps", "front", "--crop", "spinach", "--from", "2027-01-15", "--price", "0.30 EUR"),
            lambda year: year.lamps("front", "spinach", start="2027-01-15", price="0.30 EUR"),
        ),
    ],
    ids=lambda part: " ".join(part[:1]) if isinstance(part, tuple) else "",
)
def test_answers_are_those_of_the_commands(
    year: th.Year,
    words: tuple[str, ...],
    ask: Callable[[th.Year], th.Answer],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    answer = ask(year)
    typed = json.loads(tenhour(*words, "--json").out)
    # What depends on today is left to the command.
    for known in (typed, found := json.loads(answer.to_json())):
        known.pop("ten_hour", None)
    assert found == typed
    assert str(answer) == tenhour(*words).out.rstrip("\n") or "ten-hour" in str(answer).lower()
    shown = answer._repr_html_()
    assert shown.startswith("<table")
    assert "<i" not in shown  # headings inside cells are for the page, whose style hides them
    for name, frame in answer.frames.items():
        pd.testing.assert_frame_equal(getattr(answer, name), frame)
        assert name in dir(answer)


def test_lists_of_the_json_are_frames_of_the_same_rows(year: th.Year) -> None:
    answer = year.season("2027-01-15", last_frost="2027-05-01")
    read = answer.to_dict()
    crops = [(bed["name"], crop) for bed in read["beds"] for crop in bed["crops"]]
    assert list(zip(answer.crops["bed"], answer.crops["crop"], strict=True)) == [(b, c["crop"]) for b, c in crops]
    assert len(answer.crops_weeks) == sum(len(crop["weeks"]) for _, crop in crops)
    assert len(answer.weeks) == sum(len(bed["weeks"]) for bed in read["beds"])
    assert len(answer.tasks) == len(read["tasks"])
    assert answer.crops["sow_by"].dtype == answer.weeks["start"].dtype == "datetime64[s]"
    told = [None if pd.isna(value) else f"{value:%Y-%m-%d}" for value in answer.crops["sow_by"]]
    assert told == [crop["sow_by"] for _, crop in crops]
    assert answer.crops_weeks["days_median"].dtype == "Int64"
    assert answer.last_frost == date(2027, 5, 1)
    with pytest.raises(AttributeError, match="its tables: beds"):
        _ = answer.nothing


def test_what_is_handed_out_may_be_changed(year: th.Year) -> None:
    answer = year.sow("2027-01-15")
    for frame, column in (
        (answer.crops, "bed"), (answer.frames["crops"], "bed"), (year.outdoors, "dli_mol_m2_d"),
        (year.beds["front"], "dli_mol_m2_d"), (year.beds["front"].grid, "dli_mol_m2_d"),
    ):  # fmt: skip
        frame[column] = -1.0
    assert set(answer.crops["bed"]) == {"front", "middle", "back", "shelf"}
    assert (year.outdoors["dli_mol_m2_d"] > 0).all()
    assert (year.beds["front"].grid["dli_mol_m2_d"] > 0).all()
    assert year.sow("2027-01-15").to_json() == answer.to_json()


def test_threads_share_a_year_and_the_order_of_questions_does_not_matter(year: th.Year) -> None:
    asked: list[Callable[[th.Year], str]] = [
        lambda y: y.sow("2027-02-01").to_json(),
        lambda y: y.season("2027-02-01").to_json(),
        lambda y: y.light(on="2027-02-01").to_json(),
        lambda y: y.outdoors.to_json(),
    ]
    alone = [ask(year) for ask in asked]
    fresh = th.Year(th.demo_house(), crops=CROPS)
    with ThreadPoolExecutor(8) as pool:
        found = [pool.submit(ask, fresh) for ask in [*reversed(asked), *asked]]
    assert [one.result() for one in found] == [*reversed(alone), *alone]


@pytest.mark.parametrize(
    ("ask", "line"),
    [
        (lambda y: y.sow("2027-13-01"), "on: found '2027-13-01'; allowed: a date"),
        (lambda y: y.sow(20270101), "on: found 20270101; allowed: a date"),
        (lambda y: y.sow("2027-01-01", beds=["nope"]), "beds: found 'nope'; allowed: one of front, middle"),
        (lambda y: y.beds["midle"], "bed: found 'midle'; allowed: one of front, middle, back, shelf"),
        (lambda y: y.light(map_bed="nope"), "map_bed: found 'nope'; allowed: one of front"),
        (lambda y: y.lamps("nope", "kale", start=DAY), "bed: found 'nope'; allowed: one of front"),
        (lambda y: y.lamps("front", "kal", start=DAY), "crop: found 'kal'; allowed: a crop of the table."),
        (lambda y: y.lamps("front", "kale", start=DAY, price="cheap"), 'price: found "cheap"; allowed: a price'),
        (lambda y: y.lamps("front", "kale", "ledd", start=DAY), 'lamp: found "ledd"; allowed: a kind, a file'),
        (lambda y: y.lamps("front", "tomato", start=DAY, hours_h=24), "hours_h: found 24; allowed: up to 17 h"),
        (lambda y: y.lamps("front", "kale", start=DAY, mains_v=5), "mains_v: found 5; allowed: a number from 12"),
        (lambda y: y.lamps("front", "kale", start="2027-01-02", end="2027-01-01"), "end: found '2027-01-01'; "),
        (
            lambda y: y.lamps("front", "kale", start="2027-01-02", harvest_by="2027-01-01"),
            "harvest_by: found 2027-01-01; allowed: a day after",
        ),
        (lambda y: y.season("2027-01-01", every_d=0), "every_d: found 0; allowed: a number from 1 to 182."),
        (lambda y: y.why("kale", "2027-01-05", "2026-12-25"), "seen: found 2026-12-25, before the sowing"),
        (lambda y: y.why("kale", SOWN, SEEN, dly=3), "measured: found 'dly'; allowed: one of dli"),
        (lambda y: y.why("kale", SOWN, SEEN, signs=["blue"]), "signs: found 'blue'; allowed: one of"),
        (lambda y: y.house.at(95, 0), "latitude_deg: found 95; allowed: a number from -90 to 90."),
        (lambda y: y.house.at("north", 0), "latitude_deg: found 'north'; allowed: a number"),
        (lambda y: y.sow("2027-01-15").text(units="feet"), "units: found 'feet'; allowed: one of metric, us."),
        (lambda _: th.Year(th.demo_house(), crops=["nope"]), "crops: found 'nope'; allowed: a crop of the table."),
        (lambda _: th.Year("house.toml"), "house: found 'house.toml'; allowed: a house, as read_house gives it."),
        (lambda _: th.Year(th.demo_house(), weather="no.epw"), "no.epw: "),
        (lambda _: th.read_house(3), "source: found 3; allowed: a path"),
        (lambda _: th.read_house("no-such-house.toml"), "no-such-house.toml: no such file"),
    ],
)  # fmt: skip
def test_errors_name_the_argument_and_no_option(year: th.Year, ask: Callable[[th.Year], object], line: str) -> None:
    with pytest.raises(th.FileProblem) as caught:
        ask(year)
    text = str(caught.value)
    assert text.startswith(line)
    assert "--" not in text
    assert "command line" not in text
    assert isinstance(caught.value, th.TenhourError)
    assert isinstance(caught.value.problems[0], th.Problem)


def test_units_and_dates_of_the_reader(year: th.Year) -> None:
    text = year.sow("2027-01-15", beds="front").text(width=100, units="us", dates="long")
    assert "15 Jan 2027" in text
    assert "2027-01-15" not in text
    assert "lb ft" in text
    assert max(map(len, text.splitlines())) <= 100
