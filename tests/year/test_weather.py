"""A weather file takes the place of the normals: passed on whole, with its remarks."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pvlib
import pytest

from helpers_weather import NORTH, made_up, place_head, plain
from tenhour.door.weather import load_weather
from tenhour.files.packaged import normals
from tenhour.model.site import Site
from tenhour.model.weather import WeatherYear
from tenhour.sky.normals import ClimateGrid
from tenhour.sun.position import extraterrestrial_daily
from tenhour.year.outside.weather import climate_from_weather, file_climate

GRID = ClimateGrid(**normals())
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@pytest.fixture(scope="module")
def greensboro() -> WeatherYear:
    return load_weather(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV")


def test_light_of_every_month_is_the_files(greensboro: WeatherYear) -> None:
    site = Site(36.1, -79.95, 273.0)
    climate, source = climate_from_weather(greensboro, GRID, site)
    h0 = extraterrestrial_daily(36.1, np.arange(1, 366))
    above = np.array([part.mean() for part in np.split(h0, np.cumsum(MONTH_DAYS)[:-1])])
    np.testing.assert_allclose(climate.kt_month * above, greensboro.monthly.ghi_w_m2, rtol=1e-6)
    np.testing.assert_allclose(climate.temp_degc, greensboro.monthly.temp_degc, atol=1e-9)
    assert source == "weather file (TMY3, GREENSBORO PIEDMONT TRIAD INT NC, a typical year)"
    assert climate.distance_km < 1.0
    assert any("typical year" in note for note in climate.notes)


def test_a_higher_site_is_colder_and_a_far_one_is_said(tmp_path: Path) -> None:
    path = tmp_path / "mine.csv"
    path.write_text(plain(made_up(NORTH, 2019, 2020), place_head(NORTH)), encoding="utf-8")
    weather = load_weather(path, 58.5, -4.7)
    low = file_climate(weather, GRID, Site(58.5, -4.7, 40.0))
    high = file_climate(weather, GRID, Site(58.5, -4.7, 440.0))
    np.testing.assert_allclose(low.temp_degc - high.temp_degc, 2.6)
    assert low.distance_km == pytest.approx(155.7, abs=0.5)
    notes = climate_from_weather(weather, GRID, Site(58.5, -4.7, 40.0))[0].notes
    assert "The file is of a place 156 km from the house." in notes


def test_a_file_without_temperature_takes_that_of_the_normals(tmp_path: Path) -> None:
    truth = made_up(NORTH)
    rows = "\n".join(f"{s:%Y-%m-%d %H:%M},{g}" for s, g in zip(truth.starts, truth.ghi_w_m2, strict=True))
    path = tmp_path / "mine.csv"
    path.write_text(f"{place_head(NORTH)}time,ghi\n{rows}\n", encoding="utf-8")
    climate, _ = climate_from_weather(load_weather(path), GRID, Site(57.1, -4.7, 40.0))
    assert np.isfinite(climate.temp_degc).all()
    assert any("that of the normals is taken" in note for note in climate.notes)
