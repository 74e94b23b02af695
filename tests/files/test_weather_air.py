"""Wind, dew point, heat from the sky and cloud of a weather file reach the series."""

from pathlib import Path

import numpy as np
import pvlib
import pytest

from helpers_weather import NORTH, made_up
from tenhour.door.weather import load_weather
from tenhour.files.weather.plain import read_plain_text
from tenhour.files.weather.raw import dew_point_degc
from tenhour.files.weather.table import table_text

DATA = Path(pvlib.__file__).parent / "data"


def test_a_tmy3_file_tells_wind_dew_point_and_cloud():
    weather = load_weather(DATA / "703165TY.csv")
    table, _ = pvlib.iotools.read_tmy3(DATA / "703165TY.csv", map_variables=True)
    assert np.nanmean(weather.wind_m_s) == pytest.approx(table["wind_speed"].mean(), rel=1e-3)
    assert np.nanmean(weather.dew_degc) == pytest.approx(table["temp_dew"].mean(), abs=0.02)
    assert np.nanmean(weather.cloud_frac) == pytest.approx(table["TotCld (tenths)"].mean() / 10.0, abs=1e-3)
    assert weather.infrared_w_m2 is None


def test_a_tmy2_file_tells_wind_dew_point_and_cloud():
    weather = load_weather(DATA / "12839.tm2")
    table, _ = pvlib.iotools.read_tmy2(DATA / "12839.tm2")
    assert np.nanmean(weather.wind_m_s) == pytest.approx(table["Wspd"].mean() / 10.0, rel=1e-3)
    assert np.nanmean(weather.dew_degc) == pytest.approx(table["DewPoint"].mean() / 10.0, abs=0.02)
    assert np.nanmean(weather.cloud_frac) == pytest.approx(table["TotCld"].mean() / 10.0, abs=1e-3)


def plain(head: str, tail: str) -> str:
    truth = made_up(NORTH)
    place = f"# latitude_deg: {truth.spot.latitude_deg}\n# longitude_deg: {truth.spot.longitude_deg}\n"
    rows = [
        f"{s:%Y-%m-%d %H:%M},{g},{t},{tail.format(n=10 + s.hour)}"
        for s, g, t in zip(truth.starts, truth.ghi_w_m2, truth.temp_degc, strict=True)
    ]
    return "\n".join([place + f"time,ghi,temp,{head}", *rows]) + "\n"


# One metre a second in each unit, by definition; oktas are eighths.
@pytest.mark.parametrize(
    ("head", "name", "first"),
    [
        ("wind (m/s)", "wind_m_s", 10.0), ("wind speed (km/h)", "wind_m_s", 10.0 / 3.6),
        ("wind_speed_mph", "wind_m_s", 4.4704), ("wind (kn)", "wind_m_s", 5.14444),
        ("dew point", "dew_degc", 10.0), ("dew_degf", "dew_degc", -12.2222), ("cloud (%)", "cloud_frac", 0.10),
        ("cloud cover percent", "cloud_frac", 0.10), ("infrared_w_m2", "infrared_w_m2", 10.0),
    ],
)  # fmt: skip
def test_units_of_a_plain_table(head, name, first):
    raw = read_plain_text(plain(head, "{n}"), "w.csv")
    assert raw.columns[name][0] == pytest.approx(first, abs=1e-3)


def test_humidity_becomes_a_dew_point():
    raw = read_plain_text(plain("relative humidity (%)", "80"), "w.csv")
    assert raw.columns["dew_degc"] == pytest.approx(dew_point_degc(raw.columns["temp_degc"], np.array(80.0)))


def test_dew_points_as_psychrolib_has_them():
    # psychrolib 2.5.0 (ASHRAE 2017): 8 °C and 90 % 6.46; the Magnus form differs by less than 0.1 K above freezing.
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    for temp, humidity in (
        (8.0, 90.0),
        (20.0, 50.0),
        (6.0, 70.0),
    ):  # a dew point below freezing would be a frost point there
        want = psychrolib.GetTDewPointFromRelHum(temp, humidity / 100.0)
        assert float(dew_point_degc(np.array(temp), np.array(humidity))) == pytest.approx(want, abs=0.1)


def test_a_column_that_never_changes_is_left_out_and_said(tmp_path):
    path = tmp_path / "w.csv"
    path.write_text(plain("wind,rh", "3.2,{n}"), encoding="utf-8")
    weather = load_weather(path)
    assert weather.wind_m_s is None
    assert weather.dew_degc is not None
    assert "The same at all hours and so left out: wind." in weather.notes


def test_what_is_written_is_read_again(tmp_path):
    weather = load_weather(DATA / "703165TY.csv")
    path = tmp_path / "w.csv"
    path.write_text(table_text(weather), encoding="utf-8")
    again = load_weather(path)
    for name in ("wind_m_s", "dew_degc"):
        assert getattr(again, name) == pytest.approx(getattr(weather, name), abs=0.051, nan_ok=True)
    assert again.cloud_frac == pytest.approx(weather.cloud_frac, abs=0.051, nan_ok=True)
