"""The plain table: names, units, stamps and steps as people write them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from helpers_weather import EAST, NORTH, Truth, made_up, place_head, plain
from tenhour.door.weather import load_weather
from tenhour.errors import FileProblem
from tenhour.files.weather.plain import Stamp, read_plain_text
from tenhour.model.weather import WeatherYear


def loaded(folder: Path, text: str, stamp: Stamp = "auto") -> WeatherYear:
    path = folder / "mine.csv"
    path.write_text(text, encoding="utf-8")
    return load_weather(path, stamp=stamp)


def rows(truth: Truth, write: Callable[[pd.Timestamp, float, float], str]) -> str:
    return "\n".join(write(s, g, t) for s, g, t in zip(truth.starts, truth.ghi_w_m2, truth.temp_degc, strict=True))


def with_header(header: str, body: str) -> str:
    return f"{place_head(NORTH)}{header}\n{body}\n"


@pytest.mark.parametrize(
    ("header", "write"),
    [
        ("timestamp,ghi_w_m2,temp_degc", lambda s, g, t: f"{s:%Y-%m-%dT%H:%M:%S},{g},{t}"),
        ("Time;GHI (W/m²);Temp (°C)", lambda s, g, t: f"{s:%d.%m.%Y %H:%M};{g:.1f};{t:.1f}"),
        ("time\tghi\ttemperature", lambda s, g, t: f"{s:%Y-%m-%d %H:%M}\t{g}\t{t}"),
        ("time,ghi [Wh/m2],temp_air", lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g},{t}"),
        ("time,ghi_kwh_m2,temp", lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g / 1000:.6f},{t}"),
        ("time,ghi_mj_m2,temp", lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g * 0.0036:.8f},{t}"),
        ("time,global_j_cm2,temp", lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g * 0.36:.6f},{t}"),
        ("time,ghi,temp_degf", lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g},{t * 1.8 + 32:.2f}"),
        ("time,ghi,temp", lambda s, g, t: f"{s:%Y-%m-%d %H:%M}+00:00,{g},{t}"),
        ("time,ghi,temp", lambda s, g, t: f"{s:%Y-%m-%dT%H:%M}Z,{g},{t}"),
    ],
)
def test_names_units_and_marks(tmp_path: Path, header: str, write: Callable[[pd.Timestamp, float, float], str]) -> None:
    truth = made_up(NORTH)
    weather = loaded(tmp_path, with_header(header, rows(truth, write)))
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)
    assert weather.temp_degc is not None
    np.testing.assert_allclose(weather.temp_degc, truth.temp_degc, atol=0.06)


def test_decimal_commas(tmp_path: Path) -> None:
    truth = made_up(NORTH)
    body = rows(truth, lambda s, g, t: f"{s:%Y-%m-%d %H:%M};{g:.1f};{t:.1f}".replace(".", ","))
    weather = loaded(tmp_path, with_header("time;ghi;temp", body))
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)


def test_stamps_with_a_changing_offset_are_no_trap(tmp_path: Path) -> None:
    truth = made_up(NORTH, 2019, 2019)
    local = truth.starts.tz_localize("UTC").tz_convert("Europe/London")
    body = "\n".join(f"{s.isoformat()},{g}" for s, g in zip(local, truth.ghi_w_m2, strict=True))
    weather = loaded(tmp_path, with_header("time,ghi", body))
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)
    assert {check.finding for check in weather.checks} == {"passed"}


@pytest.mark.parametrize(
    ("shift_h", "stamp", "head", "note"),
    [
        (0.0, "auto", "", "Stamps are taken as the start of their step."),
        (1.0, "auto", "", "stamps are taken as the end of their hour"),
        (0.5, "auto", "", "Stamps inside the hour are taken as its middle."),
        (1.0, "end", "", ""),
        (0.5, "middle", "", ""),
        (1.0, "auto", "# stamps: end\n", ""),
        (0.0, "start", "# stamps: end\n", ""),
    ],
)
def test_what_a_stamp_marks(tmp_path: Path, shift_h: float, stamp: Stamp, head: str, note: str) -> None:
    truth = made_up(NORTH)
    weather = loaded(tmp_path, plain(truth, place_head(NORTH) + head, shift_h=shift_h), stamp)
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)
    assert set(weather.times.minute) == {30}
    assert note in " ".join(weather.notes)


def test_hour_24_is_the_next_midnight(tmp_path: Path) -> None:
    truth = made_up(NORTH)
    body = rows(truth, lambda s, g, t: f"{s:%Y-%m-%d} {s.hour + 1:02d}:00,{g},{t}")
    weather = loaded(tmp_path, with_header("time,ghi,temp", body))
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)


def test_quarter_hours_become_hours(tmp_path: Path) -> None:
    truth = made_up(EAST)
    quarters = pd.date_range(truth.starts[0], periods=4 * len(truth.starts), freq="15min")
    body = "\n".join(f"{s:%Y-%m-%d %H:%M},{g}" for s, g in zip(quarters, np.repeat(truth.ghi_w_m2, 4), strict=True))
    weather = loaded(tmp_path, f"{place_head(EAST)}time,ghi\n{body}")
    assert weather.step_h == 1.0
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)
    assert "Steps shorter than an hour were joined to hours." in weather.notes


def test_days(tmp_path: Path) -> None:
    truth = made_up(NORTH, 2019, 2019)
    daily = truth.ghi_w_m2.reshape(-1, 24).sum(axis=1) * 0.0036
    days = truth.starts[::24]
    body = "\n".join(f"{s:%Y-%m-%d},{g:.4f}" for s, g in zip(days, daily, strict=True))
    weather = loaded(tmp_path, with_header("date,ghi_mj_m2", body))
    assert weather.step_h == 24.0
    np.testing.assert_allclose(weather.daily.ghi_w_m2, truth.ghi_w_m2.reshape(-1, 24).mean(axis=1), atol=0.01)


@pytest.mark.parametrize("code", ["", "NA", "-999", "9999", "99999", "nan"])
def test_missing_marks(tmp_path: Path, code: str) -> None:
    truth = made_up(NORTH)
    lines = rows(truth, lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g},{t}").split("\n")
    lines[4000] = ",".join([lines[4000].split(",")[0], code, code])
    weather = loaded(tmp_path, with_header("time,ghi,temp", "\n".join(lines)))
    assert weather.gaps.missing_share > 0.0 or truth.ghi_w_m2[4000] == 0.0
    assert weather.gaps.temp_missing_share == pytest.approx(1 / 8760)


def test_a_column_that_is_not_used_is_said(tmp_path: Path) -> None:
    truth = made_up(NORTH)
    body = rows(truth, lambda s, g, t: f"{s:%Y-%m-%d %H:%M},{g},80,{t}")
    weather = loaded(tmp_path, with_header("time,ghi,rain,temp", body))
    assert 'Column "rain" is not used.' in weather.notes


def day(rows_of: str) -> str:
    return f"{place_head(NORTH)}{rows_of}\n"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            day("when,ghi\n2001-01-01 00:00,1\n2001-01-01 01:00,1"),
            r'header: found no column named time \(only "when", "ghi"\)',
        ),
        (day("time,par\n2001-01-01 00:00,1\n2001-01-01 01:00,1"), r"no column named ghi"),
        (day("a,b\n1,2\n3,4"), r"no column named time or ghi .* Name the columns time, ghi "),
        (
            day("time,ghi_lux\n2001-01-01 00:00,1\n2001-01-01 01:00,1"),
            r'ghi_lux: found the unit "lux"; allowed: one of w m2',
        ),
        (
            day("time,ghi\n01/02/2001 00:00,1\n01/02/2001 01:00,1"),
            r'"01/02/2001 00:00", where day and month cannot be told',
        ),
        (
            day("time,ghi\n2001-02-30 00:00,1\n2001-02-30 01:00,1"),
            r'time: found "2001-02-30 00:00" \(row 1\); allowed: times as',
        ),
        (day("time,ghi\nnoon,1\n2001-02-20 01:00,1"), r'found "noon" \(row 1\)'),
        (
            day("time,ghi\n2001-01-01 00:00,1\n2001-01-01 03:00,1\n2001-01-01 06:00,2"),
            r"steps of 3 h; allowed: an hour or less",
        ),
        (day("time,ghi\n2001-01-01 00:00,1\n2001-01-01 00:07,1\n2001-01-01 00:31,2"), r"stamps at uneven steps"),
        (
            day("# stamps: left\ntime,ghi\n2001-01-01 00:00,1\n2001-01-01 01:00,1"),
            r'stamps: found "left"; allowed: start, middle',
        ),
        (
            "# latitude_deg: north\ntime,ghi\n2001-01-01 00:00,1\n2001-01-01 01:00,1",
            r'# latitude_deg: found "north"; allowed: a num',
        ),
        (day("time,ghi\n1066-01-01 00:00,1\n1066-01-01 01:00,1"), r"a row of the year 1066; allowed: 1900 to 2200"),
        (day("time,ghi\n2001-01-01 00:00,x\n2001-01-01 01:00,y"), r"months missing or too short: Jan \(0 days\)"),
    ],
)
def test_tables_that_cannot_be_used(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(FileProblem, match=says):
        loaded(tmp_path, text)


def test_a_day_may_be_told_by_its_lowest_and_highest() -> None:
    days = pd.date_range("2026-01-01", "2026-12-31", freq="D")
    rows = "\n".join(f"{day:%Y-%m-%d},{100 + n % 7},{2 + n % 5},{-3 - n % 4}" for n, day in enumerate(days))
    text = f"# latitude_deg: 52\n# longitude_deg: 4\ntime,ghi,tmax,tmin\n{rows}\n"
    raw = read_plain_text(text, "days.csv")
    assert raw.columns["temp_degc"][:3].tolist() == [-0.5, -0.5, -0.5]
    assert raw.columns["temp_min_degc"][:3].tolist() == [-3.0, -4.0, -5.0]
    with_mean = read_plain_text(text.replace("tmax,tmin", "temp_min_degf,temp"), "days.csv")
    assert with_mean.columns["temp_min_degc"][0] == pytest.approx((2 - 32) / 1.8)
    assert with_mean.columns["temp_degc"][0] == -3.0
