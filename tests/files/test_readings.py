"""Files of readings as people and loggers write them; expected values read off the text by hand."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_cli import tenhour
from tenhour.errors import FileProblem
from tenhour.files.clock import moments, zone_of
from tenhour.files.readings.read import Wishes, parse_readings
from tenhour.files.readings.sheet import heading, number, parse_sheet, stamp_columns, zone_in
from tenhour.files.spectra import load_meters, load_spectra
from tenhour.model.house import Bed
from tenhour.model.readings import Readings

BEDS = (Bed("front", (0.2, 0.2), (4.0, 0.8)), Bed("Back bench", (0.2, 1.5), (4.0, 0.8)))
WISHES = Wishes("Europe/London", beds=BEDS, lights=("daylight", "white-led"))


def read(text: str, wishes: Wishes = WISHES) -> Readings:
    return parse_readings(parse_sheet(text, "readings.csv"), wishes)


def problems(text: str, wishes: Wishes = WISHES) -> list[str]:
    with pytest.raises(FileProblem) as caught:
        read(text, wishes)
    return [problem.line() for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("text", "kind", "part", "place"),
    [
        ("inside_lux", "lux", "at", "inside"),
        ("outside (klx)", "klux", "at", "outside"),
        ("Illuminance", "lux", "at", ""),
        ("front fc", "footcandle", "at", "front"),
        ("PPFD [µmol m⁻² s⁻¹]", "ppfd", "at", ""),
        ("bed 2 umol/s/m2", "ppfd", "at", "bed 2"),
        ("outside W/m²", "w_m2", "at", "outside"),
        ("ghi_w_m2", "w_m2", "at", ""),
        ("min_degc", "degc", "min", ""),
        ("North wall max (°F)", "degf", "max", "north wall"),
        ("Lowest", "temp", "min", ""),
        ("bench temperature", "temp", "at", "bench"),
        ("night degC", "degc", "night", ""),
        ("note", None, "at", "note"),
    ],
)
def test_headings(text: str, kind: str | None, part: str, place: str) -> None:
    found = heading(text)
    assert (found.kind, found.part, found.place) == (kind, part, place)


def test_columns_of_time() -> None:
    assert stamp_columns(["Date", "Time", "lux"]) == (0, 1)
    assert stamp_columns(["no", "Date-Time (GMT+01:00)", "lux"]) == (1, None)
    assert stamp_columns(["time", "lux"]) == (0, None)
    assert stamp_columns(["date", "day_degc", "night_degc"]) == (0, None)
    assert stamp_columns(["lux", "place"]) == (None, None)
    assert zone_in("Time (GMT-08:00)") == "-08:00"
    assert zone_in("Time UTC") == "UTC"
    assert zone_in("time") == ""


@pytest.mark.parametrize(
    ("text", "comma", "expected"),
    [("12", False, 12.0), ("-3.5 C", False, -3.5), ("−3,5", True, -3.5), ("1,250", False, 1250.0),
     ("1.250,5", True, 1250.5), ("1e3", False, 1000.0), ("12 500", False, 12.0)],
)  # fmt: skip
def test_numbers(text: str, comma: bool, expected: float) -> None:
    assert number(text, comma)[0] == expected


def test_notes_by_place() -> None:
    found = read(
        "time,place,lux,note\n2027-01-15 12:00,outside,20000,dull\n2027-01-15 12:01,front,11000,\n"
        "2027-07-15 12:02,back BENCH,9000,\n2027-07-15 12:03,front,,nothing\n"
    )
    light = found.light
    assert light is not None
    assert list(light.place) == ["outside", "front", "Back bench"]
    assert list(light.value) == [20000.0, 11000.0, 9000.0]
    assert list(light.row) == [2, 3, 4]
    assert light.time[0] == pd.Timestamp("2027-01-15 12:00Z")
    assert light.time[2] == pd.Timestamp("2027-07-15 11:02Z")
    assert not found.regular


def test_a_wide_logger_with_lines_above_its_headings() -> None:
    rows = "".join(f"15.01.2027;{10 + i // 6}:{i % 6}0;20,5;11{i};52,7\n" for i in range(30))
    found = read("Recorder\nserial;7\n\nDate;Time (UTC+1);outdoor klux;front PPFD;bench °F\n" + rows)
    assert found.light is not None
    assert found.temperature is not None
    assert found.regular
    assert set(found.light.unit[found.light.place == "outside"]) == {"lux"}
    assert found.light.value[0] == 20500.0
    assert found.light.time[0] == pd.Timestamp("2027-01-15 09:00Z")
    assert found.temperature.temp_degc == pytest.approx(11.5)
    assert set(found.temperature.place) == {"bench"}


def test_values_with_their_unit_in_a_column_and_points() -> None:
    found = read(
        "time,x_m,y_m,place,value,unit,light\n2027-01-15 12:00,,,outside,900,µmol,\n"
        "2027-01-15 12:00,1.5,1.9,,8,klux,sun\n2027-01-15 19:00,3.0,0.5,,9000,lux,white LED\n"
    )
    light = found.light
    assert light is not None
    assert list(light.place) == ["outside", "Back bench", "front"]
    assert list(light.unit) == ["ppfd", "lux", "lux"]
    assert list(light.light) == ["daylight", "daylight", "white-led"]
    assert light.point_m[1] == pytest.approx([1.5, 1.9])
    assert np.isnan(light.point_m[0]).all()


def test_maximum_minimum_notes() -> None:
    found = read("date,place,min_degc,max_degc\n2027-01-15,front,4,18\n2027-01-16,front,5 C,66 F\n")
    warm = found.temperature
    assert found.light is None
    assert warm is not None
    assert list(warm.part) == ["min", "min", "max", "max"]
    assert warm.temp_degc == pytest.approx([4.0, 5.0, 18.0, (66 - 32) / 1.8])
    fahrenheit = read("date,min,max\n2027-01-15,40,64\n", Wishes(temp_unit="degf")).temperature
    assert fahrenheit is not None
    assert fahrenheit.temp_degc == pytest.approx([(40 - 32) / 1.8, (64 - 32) / 1.8])


def test_every_problem_is_named_at_once() -> None:
    lines = problems(
        "date,min,max,lux,place\n2027-01-15,3,12,5,shelf\n2027-15-15,3,12,999999,front\n2027-01-15,3,12,-50,front\n"
    )
    text = "\n".join(lines)
    assert 'line 3: found "2027-15-15"; allowed: a time like 2027-01-15 12:30, from 1980 to ' in text
    assert "column min: found no unit; allowed: degrees C or F" in text
    assert '"shelf", no bed of this house' in text
    assert "line 3: found 999999 lux; allowed: 0 to 200000" in text
    assert "line 4: found -50 lux" in text


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no headings"),
        ("a,b\n1,2\n", "no headings"),
        ("time,lux\n", "headings but no readings"),
        ("time,comment\n2027-01-15 12:00,fine\n", "no column of light or temperature"),
        ("time,lux\n2027-01-15 12:00,100\n", "readings indoors of no named bed"),
        ("time,place,lux\n9999-01-15 12:00,front,100\n", "from 1980 to "),
        ("time,place,lux\n2099-01-15 12:00,front,100\n", "from 1980 to "),
        ("time,place,lux\n01/02/2027 12:00,front,100\n", "Say --date-order dmy"),
        ("time,place,lux\n2027-03-28 01:30,front,100\n", "an hour that clocks there skip"),
        ("time,x_m,y_m,lux\n2027-01-15 12:00,9,9,100\n", "in none of the beds"),
        ("time,x_m,y_m,lux\n2027-01-15 12:00,9,,100\n", "only one of x_m and y_m"),
        ("time,place,lux,light\n2027-01-15 12:00,front,100,moon\n", "no known light"),
        ("time,place,value,unit\n2027-01-15 12:00,front,100,lumen\n", "lux, klux, PPFD, or W/m2"),
        ("date,degc\n2027-01-15,95\n", "Degrees Fahrenheit?"),
        ("date,degc\n2027-01-15,12 R\n", "C or F behind the number"),
    ],
)
def test_what_is_wrong_is_said(text: str, message: str) -> None:
    assert any(message in line for line in problems(text))


def test_zones() -> None:
    assert zone_of("utc") is UTC
    assert zone_of("-03:30").utcoffset(None) == -timedelta(hours=3.5)
    for bad in ("Europe/Nowhere", "+25:00", "../etc/passwd", ""):
        with pytest.raises(FileProblem, match="Europe/London"):
            zone_of(bad)


def test_hours_that_clocks_repeat_are_told_apart_by_order_or_said() -> None:
    zone = zone_of("Europe/London")
    ordered = [datetime(2027, 10, 31, 0, 30) + timedelta(minutes=30 * i) for i in (0, 1, 2, 1, 2, 3)]
    assert list(np.diff(moments(ordered, zone).time.asi8) / 60e6) == [30] * 5
    lone = moments([datetime(2027, 10, 31, 1, 30)], zone)
    assert lone.time[0] == pd.Timestamp("2027-10-31 00:30Z")
    assert "summer time" in lone.notes[0]


def test_the_table_of_spectra_is_whole() -> None:
    spectra = load_spectra()
    assert {"daylight", "white-led", "hps", "red-led"} <= set(spectra)
    assert all(0.0 <= s.blue.value <= 1.0 and s.title and s.key == key for key, s in spectra.items())
    assert set(load_meters()) == {"lux", "ppfd", "w_m2"}
    # Thimijan & Heins 1983, HortScience 18:818, as quoted: sun and sky 54, HPS 82, cool white 74, incandescent 50.
    for key, published in (("daylight", 54.0), ("hps", 82.0), ("tube", 74.0), ("incandescent", 50.0)):
        lux = spectra[key].lux_umol
        assert lux is not None
        assert lux.low <= published <= lux.high
    assert spectra["red-led"].lux_umol is None


@given(st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=300))
@settings(deadline=None, derandomize=True, max_examples=150)
def test_any_text_is_a_table_or_one_clear_problem(text: str) -> None:
    for whole in (text, "time,place,lux,min_degc\n" + text):
        with suppress(FileProblem):
            assert read(whole).light is not None or read(whole).temperature is not None


def test_a_wrong_year_in_a_long_table_is_told_in_a_few_lines(tmp_path: Path) -> None:
    rows = "\n".join(f"2099-01-15 12:{minute:02d},front,100" for minute in range(40))
    path = tmp_path / "far.csv"
    path.write_text(f"time,place,lux\n{rows}\n", encoding="utf-8")
    done = tenhour("read", path)
    assert done.status == 2
    assert len(done.err.splitlines()) <= 6
    assert "40 rows in all" in done.err
