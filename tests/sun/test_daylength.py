"""Day lengths and ten-hour dates against the SPA report, an ephemeris, published places, astral and Forsythe."""

import datetime as dt
from functools import lru_cache

import numpy as np
import pandas as pd
import pytest
from astral import Observer
from astral import sun as astral_sun
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_sky import ident, near, rows
from tenhour.sun import daylength as days

YEAR = pd.date_range("2025-01-01", periods=365, freq="D")


def one_day(date: str, latitude: float, longitude: float = 0.0) -> days.DayEvents:
    return days.day_events(pd.DatetimeIndex([date]), latitude, longitude)


def clock_s(text: str) -> float:
    hours, minutes, seconds = (int(part) for part in text.split(":"))
    return hours * 3600 + minutes * 60 + seconds


@pytest.mark.parametrize("row", rows("sun_rise_set.csv"), ids=ident)
def test_spa_table_of_sunrise_and_sunset(row):
    found = one_day(row["date"], float(row["latitude_deg"]))
    hour = found.sunrise_h[0] if row["event"] == "sunrise" else found.sunset_h[0]
    assert abs(hour * 3600 - clock_s(row["expected"])) <= float(row["tol_abs"])


@pytest.mark.parametrize("row", [r for r in rows("sun_position.csv") if r["quantity"].startswith("sun")], ids=ident)
def test_spa_example_of_sunrise_and_sunset(row):
    # The report reckons by the UT day of 17 October: its sunset falls on the local evening of the 16th.
    rise = row["quantity"] == "sunrise_s"
    found = one_day("2003-10-17" if rise else "2003-10-16", 39.742476, -105.1786)
    hour = found.sunrise_h[0] if rise else found.sunset_h[0]
    assert near((hour - 7) % 24 * 3600, row)


@pytest.mark.parametrize("row", rows("sun_daylength.csv"), ids=ident)
def test_daylength_against_an_ephemeris(row):
    assert near(float(one_day(row["date"], float(row["latitude_deg"])).daylength_h[0]), row)


@pytest.mark.parametrize("row", rows("sun_photoperiod.csv"), ids=ident)
def test_photoperiod_against_an_ephemeris(row):
    assert near(float(one_day(row["date"], float(row["latitude_deg"])).photoperiod_h[0]), row)


@pytest.mark.parametrize("row", rows("sun_places.csv"), ids=ident)
def test_published_day_lengths(row):
    found = one_day(row["date"], float(row["latitude_deg"]), float(row["longitude_deg"]))
    assert near(float(found.daylength_h[0]), row)


def test_fao_daylight_hours_are_another_quantity():
    # FAO 56, ch. 3 example: 11.66559 h for 20 S on day 246 is geometric (centre, no refraction): minutes shorter.
    assert float(one_day("2026-09-03", -20.0).daylength_h[0]) - 11.66559 == pytest.approx(0.118, abs=0.03)


@pytest.mark.parametrize(("latitude", "tolerance_h"), [(0, 0.01), (30, 0.01), (45, 0.012), (55, 0.016), (60, 0.021)])
def test_second_opinion_of_astral(latitude, tolerance_h):
    # Differences between astral and SPA found before: 0.39, 0.46, 0.61, 0.88 and 1.24 min of day length.
    place = Observer(latitude, 0.0, 0.0)
    found = days.day_events(YEAR[::5], latitude, 0.0).daylength_h
    for date, ours in zip(YEAR[::5], found, strict=True):
        theirs = astral_sun.sunset(place, date.date()) - astral_sun.sunrise(place, date.date())
        assert ours == pytest.approx(theirs.total_seconds() / 3600, abs=tolerance_h)


def forsythe_h(latitude: float, doy: int, p: float) -> float:
    theta = 0.2163108 + 2 * np.arctan(0.9671396 * np.tan(0.00860 * (doy - 186)))
    phi = np.arcsin(0.39795 * np.cos(theta))
    L = np.deg2rad(latitude)
    return 24 - 24 / np.pi * np.arccos((np.sin(np.deg2rad(p)) + np.sin(L) * np.sin(phi)) / (np.cos(L) * np.cos(phi)))


@pytest.mark.parametrize(
    ("doy", "expected"), [(1, 8.149), (41, 9.774), (79, 12.097), (172, 16.372), (265, 12.275), (355, 8.070)]
)
def test_forsythe_formula_agrees_as_far_as_it_goes(doy, expected):
    # Forsythe et al. 1995, Ecological Modelling 80:87: exact at the solstices, 5 min off at 50 N in spring.
    assert forsythe_h(50.0, doy, 0.8333) == pytest.approx(expected, abs=1e-3)
    ours = float(days.day_events(YEAR[[doy - 1]], 50.0, 0.0).daylength_h[0])
    assert ours == pytest.approx(expected, abs=0.01 if doy in (172, 355) else 0.1)


@lru_cache
def winter(year: int, latitude: float) -> tuple[dt.date | None, dt.date | None]:
    return days.ten_hour_dates(dt.date(year, 12, 20), latitude, 0.0)


@pytest.mark.parametrize("row", rows("sun_ten_hour.csv"), ids=ident)
def test_ten_hour_dates(row):
    want = dt.date.fromisoformat(row["expected"])
    before, after = winter(want.year - (want.month < 6), float(row["latitude_deg"]))
    assert before is not None
    assert after is not None
    got = before + dt.timedelta(1) if row["event"] == "first_below" else after
    assert abs((got - want).days) <= int(row["tol_abs"])


def test_ten_hour_dates_of_the_table_hit_the_day_itself():
    # All but one or two of the 29 latitudes agree with the ephemeris to the day.
    table = [r for r in rows("sun_ten_hour.csv") if r["source"].startswith("computed")]
    hits = 0
    for row in table:
        before, after = winter(2025, float(row["latitude_deg"]))
        assert before is not None
        assert after is not None
        got = before + dt.timedelta(1) if row["event"] == "first_below" else after
        hits += got == dt.date.fromisoformat(row["expected"])
    assert hits >= len(table) - 2


def test_no_ten_hour_dates_where_the_day_never_falls_short():
    assert days.ten_hour_dates(dt.date(2025, 12, 20), 32.0, 0.0) == (None, None)
    assert days.ten_hour_dates(dt.date(2025, 12, 20), 0.0, 0.0) == (None, None)


def test_no_ten_hour_dates_where_the_day_always_falls_short():
    assert days.ten_hour_dates(dt.date(2025, 12, 20), 48.0, 0.0, threshold_h=17.0) == (None, None)


def test_ten_hour_dates_of_the_southern_winter():
    before, after = days.ten_hour_dates(dt.date(2026, 7, 1), -45.0, 170.0)
    assert before is not None
    assert after is not None
    assert (before.month, after.month) == (5, 8)
    mirrored = days.ten_hour_dates(dt.date(2025, 12, 20), 45.0, 170.0)
    assert mirrored[0] is not None
    assert mirrored[1] is not None
    assert abs((after - before).days - (mirrored[1] - mirrored[0]).days) <= 4


@settings(deadline=None, derandomize=True, max_examples=25)
@given(latitude=st.floats(34, 74), month=st.integers(9, 12), day=st.integers(1, 28))
def test_ten_hour_dates_keep_their_definition(latitude, month, day):
    before, after = days.ten_hour_dates(dt.date(2025, month, day), latitude, 0.0)
    assert before is not None
    assert after is not None
    dark = pd.date_range(before, after, freq="D")
    lengths = days.day_events(dark, latitude, 0.0).daylength_h
    assert lengths[0] >= 10
    assert lengths[-1] >= 10
    assert (lengths[1:-1] < 10).all()


@pytest.mark.parametrize(
    ("latitude", "no_rise", "no_set"), [(66.0, 0, 18), (67.0, 0, 38), (68.0, 25, 52), (69.0, 41, 62), (70.0, 53, 72)]
)
def test_days_without_sunrise_or_sunset(latitude, no_rise, no_set):
    # Counted with SPA over 2025-26; one day of tolerance at either end of each stretch.
    found = days.day_events(pd.date_range("2025-07-01", periods=365, freq="D"), latitude, 0.0)
    assert abs((found.daylength_h == 0).sum() - no_rise) <= 2
    assert abs((found.daylength_h == 24).sum() - no_set) <= 2
    assert np.isnan(found.sunrise_h[found.daylength_h == 0]).all()
    assert np.isnan(found.sunset_h[found.daylength_h == 24]).all()


def test_polar_night_may_have_civil_twilight():
    found = one_day("2025-12-21", 70.0)
    assert found.daylength_h[0] == 0
    assert 3.5 < found.photoperiod_h[0] < 4.5
    assert np.isnan(found.sunrise_h[0])
    assert found.dawn_h[0] < 12 < found.dusk_h[0]


def test_poles():
    assert one_day("2025-12-21", 90.0).daylength_h[0] == 0
    assert one_day("2025-06-21", 90.0).daylength_h[0] == 24
    assert one_day("2025-12-21", -90.0).photoperiod_h[0] == 24


@pytest.mark.parametrize("longitude", [-180.0, -150.0, -90.0, 0.0, 90.0, 150.0, 180.0])
def test_events_belong_to_the_date_at_any_longitude(longitude):
    found = one_day("2025-03-01", 50.0, longitude)
    noon = 12 - longitude / 15
    assert found.sunrise_h[0] < noon < found.sunset_h[0]
    assert abs((found.sunrise_h[0] + found.sunset_h[0]) / 2 - noon) < 0.3
    assert found.daylength_h[0] == pytest.approx(10.99, abs=0.05)


def test_29_february_lies_between_its_neighbours():
    found = days.day_events(pd.date_range("2028-02-28", periods=3, freq="D"), 55.0, 0.0).daylength_h
    assert found[0] < found[1] < found[2]


@settings(deadline=None, derandomize=True, max_examples=40)
@given(latitude=st.floats(-66, 66), day=st.integers(0, 364))
def test_twilight_is_longer_than_day_and_both_within_24(latitude, day):
    found = days.day_events(YEAR[[day]], latitude, 0.0)
    assert 0 <= found.daylength_h[0] < found.photoperiod_h[0] <= 24
