"""Every format, written by the test in its own shape, comes back as the year it was made from."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pvlib
import pytest

from helpers_weather import (
    EAST,
    NORTH,
    SOUTH,
    WEST,
    Spot,
    Truth,
    epw,
    made_up,
    mixed_years,
    place_head,
    plain,
    power_csv,
    power_json,
    pvgis_hourly_csv,
    pvgis_hourly_json,
    pvgis_tmy_csv,
    pvgis_tmy_json,
    tmy2,
    tmy3,
)
from tenhour.door.weather import load_weather
from tenhour.errors import FileProblem
from tenhour.model.weather import WeatherYear
from tenhour.units import GENERIC_YEAR

PVLIB_DATA = Path(pvlib.__file__).parent / "data"


def saved(folder: Path, text: str, name: str = "weather.dat") -> Path:
    """The name tells nothing: formats are found by content."""
    path = folder / name
    path.write_bytes(text.encode())
    return path


def assert_same(weather: WeatherYear, truth: Truth, tol_w_m2: float = 0.06) -> None:
    """Hours in local standard time, stamped at their middle, with the light and air they were written from."""
    spot = truth.spot
    assert weather.utc_offset_h == spot.offset_h
    assert len(weather.times) == len(truth.starts)
    assert set(weather.times.minute) == {30}
    assert list(weather.times[:3].strftime("%m-%d %H:%M")) == ["01-01 00:30", "01-01 01:30", "01-01 02:30"]
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=tol_w_m2)
    assert weather.temp_degc is not None
    np.testing.assert_allclose(weather.temp_degc, truth.temp_degc, atol=0.051)
    assert weather.latitude_deg == pytest.approx(spot.latitude_deg, abs=0.01)
    assert weather.longitude_deg == pytest.approx(spot.longitude_deg, abs=0.01)
    assert weather.elevation_m == pytest.approx(spot.elevation_m)
    assert {check.finding for check in weather.checks} == {"passed"}
    assert weather.gaps.missing_share == 0.0


def assert_same_split(weather: WeatherYear, truth: Truth, tol_w_m2: float = 0.06) -> None:
    assert weather.dni_w_m2 is not None
    assert weather.dhi_w_m2 is not None
    np.testing.assert_allclose(weather.dni_w_m2, truth.dni_w_m2, atol=tol_w_m2)
    np.testing.assert_allclose(weather.dhi_w_m2, truth.dhi_w_m2, atol=tol_w_m2)


@pytest.mark.parametrize("spot", [NORTH, WEST, EAST, SOUTH])
def test_epw(tmp_path: Path, spot: Spot) -> None:
    truth = made_up(spot)
    weather = load_weather(saved(tmp_path, epw(truth)))
    assert (weather.kind, weather.typical, weather.step_h) == ("EPW", True, 1.0)
    assert_same(weather, truth)
    assert_same_split(weather, truth)


def test_epw_of_a_leap_year_keeps_29_february(tmp_path: Path) -> None:
    truth = made_up(NORTH, 2020, 2020)
    weather = load_weather(saved(tmp_path, epw(truth)))
    assert not weather.typical
    assert weather.monthly.whole_days_count[1] == 29
    assert_same(weather, truth)


@pytest.mark.parametrize("spot", [WEST, EAST, SOUTH])
def test_tmy3(tmp_path: Path, spot: Spot) -> None:
    truth = made_up(spot)
    weather = load_weather(saved(tmp_path, tmy3(truth, mixed_years(truth))))
    assert (weather.kind, weather.typical, weather.source) == ("TMY3", True, "MADEUP TOWN XX")
    assert_same(weather, truth, 0.51)
    assert_same_split(weather, truth, 0.51)
    assert "A typical year joined from months of 12 years." in weather.notes


@pytest.mark.parametrize(("spot", "city"), [(SOUTH, "NEW MADE UP CITY")])
def test_tmy2(tmp_path: Path, spot: Spot, city: str) -> None:
    truth = made_up(spot)
    weather = load_weather(saved(tmp_path, tmy2(truth, city)))
    assert (weather.kind, weather.typical) == ("TMY2", True)
    assert weather.source == f"{city.title()} XX"
    assert_same(weather, truth, 0.51)
    assert_same_split(weather, truth, 0.51)


@pytest.mark.parametrize("write", [pvgis_hourly_csv, pvgis_hourly_json])
def test_pvgis_hourly(tmp_path: Path, write: Callable[[Truth], str]) -> None:
    truth = made_up(NORTH, 2019, 2020)
    weather = load_weather(saved(tmp_path, write(truth)))
    assert (weather.kind, weather.typical, weather.years_count) == ("PVGIS hourly", False, 2)
    assert weather.source == "PVGIS PVGIS-ERA5 2019-2020"
    assert_same(weather, truth, 0.11)
    assert weather.monthly.whole_days_count[1] == 28 + 29


@pytest.mark.parametrize("spot", [NORTH, WEST, SOUTH])
@pytest.mark.parametrize("write", [pvgis_tmy_csv, pvgis_tmy_json])
def test_pvgis_typical_year(tmp_path: Path, write: Callable[..., str], spot: Spot) -> None:
    truth = made_up(spot)
    weather = load_weather(saved(tmp_path, write(truth.utc(), mixed_years(truth))))
    assert (weather.kind, weather.typical) == ("PVGIS typical year", True)
    assert_same(weather, truth)
    assert_same_split(weather, truth)
    assert any("far horizon" in note for note in weather.notes)


def test_pvgis_typical_year_without_its_minute(tmp_path: Path) -> None:
    truth = made_up(NORTH)
    weather = load_weather(saved(tmp_path, pvgis_tmy_csv(truth, mixed_years(truth), None)))
    assert_same(weather, truth)
    assert any("does not say at what minute" in note for note in weather.notes)


@pytest.mark.parametrize("write", [power_json, power_csv])
@pytest.mark.parametrize(("spot", "clock"), [(NORTH, "UTC"), (EAST, "LST"), (WEST, "LST")])
def test_power_hourly(tmp_path: Path, write: Callable[..., str], spot: Spot, clock: str) -> None:
    truth = made_up(spot, 2019, 2020)
    weather = load_weather(saved(tmp_path, write(truth, "hourly", clock)))
    assert (weather.kind, weather.typical, weather.step_h) == ("NASA POWER hourly", False, 1.0)
    assert_same(weather, truth)
    assert_same_split(weather, truth)


@pytest.mark.parametrize("by_doy", [False, True])
def test_power_daily(tmp_path: Path, by_doy: bool) -> None:
    truth = made_up(SOUTH, 2019, 2020)
    text = power_csv(truth, "daily", "LST", by_doy) if by_doy else power_json(truth, "daily", "LST")
    weather = load_weather(saved(tmp_path, text))
    assert (weather.kind, weather.step_h) == ("NASA POWER daily", 24.0)
    daily = truth.ghi_w_m2.reshape(-1, 24).mean(axis=1)
    np.testing.assert_allclose(weather.daily.ghi_w_m2, daily, atol=0.01)
    assert set(weather.times.hour) == {12}
    assert weather.utc_offset_h == SOUTH.offset_h
    assert weather.dhi_w_m2 is not None
    assert np.isfinite(weather.dhi_w_m2).all()
    assert {check.finding for check in weather.checks} == {"passed"}


@pytest.mark.parametrize("spot", [NORTH, EAST])
def test_plain_table(tmp_path: Path, spot: Spot) -> None:
    truth = made_up(spot, 2019, 2020)
    weather = load_weather(saved(tmp_path, plain(truth, place_head(spot))))
    assert (weather.kind, weather.typical) == ("plain table", False)
    assert_same(weather, truth)
    assert_same_split(weather, truth)


def test_a_table_of_two_columns_takes_the_place_of_the_house(tmp_path: Path) -> None:
    truth = made_up(EAST, 2019, 2019)
    rows = [f"{s:%Y-%m-%dT%H:%M},{g}" for s, g in zip(truth.starts, truth.ghi_w_m2, strict=True)]
    path = saved(tmp_path, "\n".join(["timestamp,ghi", *rows]))
    weather = load_weather(path, EAST.latitude_deg, EAST.longitude_deg)
    np.testing.assert_allclose(weather.ghi_w_m2, truth.ghi_w_m2, atol=0.06)
    assert weather.temp_degc is None
    assert any("UTC+7, is taken" in note for note in weather.notes)
    assert any("No temperature in the file" in note for note in weather.notes)
    with pytest.raises(FileProblem, match="no place in the file; allowed: latitude and longitude"):
        load_weather(path)


@pytest.mark.parametrize(
    ("file", "kind", "offset_h", "january_w_m2", "june_w_m2"),
    [  # means of the files' own GHI columns, by awk over the fixed or comma-separated columns
        ("703165TY.csv", "TMY3", -9.0, 24.305, 158.600),
        ("723170TYA.CSV", "TMY3", -5.0, 100.602, 260.454),
        ("12839.tm2", "TMY2", -5.0, 145.589, 240.060),
    ],
)
def test_the_station_years_that_come_with_pvlib(
    file: str, kind: str, offset_h: float, january_w_m2: float, june_w_m2: float
) -> None:
    weather = load_weather(PVLIB_DATA / file)
    assert (weather.kind, weather.utc_offset_h) == (kind, offset_h)
    assert weather.monthly.ghi_w_m2[0] == pytest.approx(january_w_m2, abs=0.01)
    assert weather.monthly.ghi_w_m2[5] == pytest.approx(june_w_m2, abs=0.01)
    assert {check.finding for check in weather.checks} == {"passed"}


def test_light_is_stamped_where_the_sun_is(tmp_path: Path) -> None:
    """Second opinion: pvlib's own reader keeps the hour's end; ours stands half an hour before it."""
    raw, _ = pvlib.iotools.read_tmy3(PVLIB_DATA / "723170TYA.CSV", coerce_year=GENERIC_YEAR, map_variables=True)
    ours = load_weather(PVLIB_DATA / "723170TYA.CSV")
    theirs = raw["ghi"].to_numpy()
    np.testing.assert_allclose(ours.ghi_w_m2, theirs)
    assert (raw.index[12] - ours.times[12]).total_seconds() == 1800.0
