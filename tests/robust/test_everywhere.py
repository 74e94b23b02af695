"""Every latitude from 75 S to 75 N, every day, every clock; scripts/try_everywhere.py asks at many more places."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_everywhere import ZONES, answers, house_text
from helpers_long import LONG, many
from helpers_options import run, walled_in
from helpers_world import sources, world_of
from tenhour.files.house.read import house_from_text
from tenhour.plan.dates import DAYS, date_of_index, day_index, last_on_or_before, next_on_or_after
from tenhour.sun.daylength import day_events, ten_hour_dates
from tenhour.sun.position import noon_height_deg
from tenhour.year.answers.light import light_of
from tenhour.year.outside.sunlight import standard_offset_h, sunlight_at

LATITUDES = st.floats(-75.0, 75.0)
LONGITUDES = st.floats(-180.0, 180.0)
YEARS = (2027, 2028)


def days(year: int) -> pd.DatetimeIndex:
    return pd.date_range(f"{year}-01-01", f"{year}-12-31", freq="D")


@settings(max_examples=40, deadline=None, derandomize=True)
@given(LATITUDES, LONGITUDES, st.sampled_from(YEARS))
def test_every_day_has_a_length_and_events_that_agree_with_it(lat: float, lon: float, year: int) -> None:
    found = day_events(days(year), lat, lon)
    length = found.daylength_h
    assert np.isfinite(length).all()
    assert np.isfinite(found.photoperiod_h).all()
    assert (length >= 0.0).all()
    assert (found.photoperiod_h <= 24.0).all()
    assert (length <= found.photoperiod_h + 1e-9).all()
    both = np.isfinite(found.sunrise_h) & np.isfinite(found.sunset_h)
    np.testing.assert_allclose((found.sunset_h - found.sunrise_h)[both], length[both], atol=1e-6)
    neither = np.isnan(found.sunrise_h) & np.isnan(found.sunset_h)
    assert set(np.unique(length[neither])) <= {0.0, 24.0}
    assert np.isfinite(noon_height_deg(days(year), lat, lon)).all()


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.floats(0.0, 60.0))
def test_the_day_in_one_hemisphere_is_the_night_of_the_other(lat: float) -> None:
    """Day and mirrored day make 24 h but for refraction and the sun's radius.

    The sun's upper limb shows 0.833 degrees early, twice in each of the two days: 4 x 0.833 / 15 h over the cosine that
    slants its path, which is never below that of latitude and tilt together. Derived.
    """
    north, south = (day_events(days(2027), side * lat, 0.0).daylength_h for side in (1, -1))
    longest = 4 * 0.833 / 15.0 / np.sqrt(np.cos(np.deg2rad(lat)) ** 2 - np.sin(np.deg2rad(23.44)) ** 2)
    beyond = north + south - 24.0
    assert (beyond > 0.0).all()
    assert (beyond <= longest * 1.03 + 0.02).all()


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.floats(40.0, 60.0), st.sampled_from(YEARS))
def test_ten_hour_dates_stand_in_order_and_half_a_year_apart_in_the_south(lat: float, year: int) -> None:
    today = date(year, 9, 1)
    before, after = ten_hour_dates(today, lat, 0.0)
    assert before is not None
    assert after is not None
    assert before < after
    southern = ten_hour_dates(date(year, 3, 1), -lat, 0.0)
    assert southern[0] is not None
    assert southern[1] is not None
    for north, south in zip((before, after), southern, strict=True):
        assert abs((north - south).days % 365 - 182) <= 5


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.dates(date(1, 1, 2), date(9998, 12, 30)), st.integers(0, DAYS - 1))
def test_every_date_finds_its_day_of_the_year(on: date, index: int) -> None:
    assert 0 <= day_index(on) < DAYS
    assert day_index(date_of_index(index, on.year)) == index
    later, earlier = next_on_or_after(index, on), last_on_or_before(index, on)
    assert on <= later <= on + timedelta(days=366)
    assert on - timedelta(days=366) <= earlier <= on
    assert day_index(later) == day_index(earlier) == index


@settings(max_examples=many(6, 14), deadline=None, derandomize=True)
@given(LATITUDES, LONGITUDES, st.sampled_from(ZONES))
def test_sun_and_sky_are_finite_and_never_negative(lat: float, lon: float, zone: str) -> None:
    house = house_from_text(house_text(lat, lon, zone, own=True), "house.toml")
    light = sunlight_at(house, sources())
    out = light.outdoors
    for values in (out.dli_mol_m2_d, out.class_dli_mol_m2_d, out.daylength_h, light.drive.sky, light.drive.ground):
        assert np.isfinite(values).all()
        assert (values >= 0.0).all()
    assert np.isfinite(out.temp_degc).all()
    assert all((beam.data >= 0.0).all() and np.isfinite(beam.data).all() for beam in light.drive.beam)
    classes = out.class_dli_mol_m2_d[:, :5]
    assert (np.diff(classes, axis=1) >= -1e-9).all(), "a duller class is brighter"
    night = out.daylength_h == 0.0
    assert (out.dli_mol_m2_d[night] < 1.0).all()


def test_clocks_of_all_zones_are_whole_quarters() -> None:
    for zone in ZONES:
        offset_h = standard_offset_h(zone)
        assert -12.0 <= offset_h <= 14.0
        assert offset_h * 4 == int(offset_h * 4)


def test_seasons_are_mirrored_between_hemispheres() -> None:
    """The same clearness half a year later and turned about: what differs is the distance of the sun.

    The orbit brings 3.4 % more or less than the mean in January and July, so 6.9 % between them (Spencer 1971, as in
    any text on solar energy); the sun of mid-August stands a degree nearer to its solstice than that of mid-February,
    which is 4 % of its height here. The share that reaches the beds knows no orbit.
    """
    months, shares = [], []
    for lat in (48.0, -48.0):
        house = house_from_text(house_text(lat, 10.0, "UTC", own=True), "house.toml")
        answer = light_of(world_of(house))
        months.append(np.array([[m.dli_mol_m2_d for m in bed.months] for bed in answer.beds]))
        shares.append(np.array([[m.ratio for m in bed.months] for bed in answer.beds]))
    np.testing.assert_allclose(np.roll(months[1], 6, axis=1), months[0], rtol=0.12)
    np.testing.assert_allclose(np.roll(shares[1], 6, axis=1), shares[0], rtol=0.03)


PLACES = (
    (-75.0, 180.0, "Pacific/Chatham", True, date(2028, 2, 29)),
    (69.65, 18.96, "Europe/Oslo", False, date(2027, 12, 31)),
    (-31.55, 159.08, "Australia/Lord_Howe", True, date(2027, 6, 21)),
)


@pytest.mark.parametrize(("lat", "lon", "zone", "own", "on"), PLACES if LONG else PLACES[:1])
def test_every_command_answers_in_the_far_corners(
    lat: float, lon: float, zone: str, own: bool, on: date, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(house_text(lat, lon, zone, own), "utf-8")
    with walled_in():
        found = answers(tmp_path, on, everything=LONG)
    assert {"light", "sow", "season", "why"} <= set(found)


def test_where_the_normals_end_the_key_that_helps_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for lat in (-70.0, 78.0):
        (tmp_path / "house.toml").write_text(house_text(lat, 20.0, "UTC", own=False), "utf-8")
        done = run(["light"])
        assert done.status == 2
        assert done.out == ""
        assert done.err.count("\n") == 1
        assert "site.means" in done.err
