"""The sun's place against the SPA report, almanac-grade tables, textbook examples and pvlib's full algorithm."""

import numpy as np
import pandas as pd
import pvlib
import pytest
from astral import Observer
from astral import sun as astral_sun
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_sky import equation_of_time_min, ident, near, rows
from tenhour.sky import air
from tenhour.sun import position as sun


def stamps(unix_s: np.ndarray) -> pd.DatetimeIndex:
    return pd.DatetimeIndex(pd.to_datetime(unix_s, unit="s", utc=True))


SPA_TIME = pd.DatetimeIndex(["2003-10-17 12:30:30"]).tz_localize("Etc/GMT+7")
SPA_SITE = (39.742476, -105.1786, 1830.14)


def spa_example() -> dict[str, float]:
    weather = {"temp_air_degc": 11.0, "delta_t_s": 67.0}
    path = sun.solar_position(SPA_TIME, *SPA_SITE, pressure_pa=82000.0, **weather)
    airless = sun.solar_position(SPA_TIME, *SPA_SITE, pressure_pa=0.0, **weather)
    return {
        "zenith_deg": float(path.zenith_deg[0]),
        "azimuth_deg": float(path.azimuth_deg[0]),
        "declination_deg": float(sun.declination_deg(SPA_TIME)[0]),
        "elevation_without_refraction_deg": 90 - float(airless.zenith_deg[0]),
        "refraction_deg": float(airless.zenith_deg[0] - path.zenith_deg[0]),
        "equation_of_time_min": float(equation_of_time_min(SPA_TIME)[0]),
        "incidence_170_deg": float(pvlib.irradiance.aoi(30, 170, path.zenith_deg[0], path.azimuth_deg[0])),
    }


@pytest.mark.parametrize("row", [r for r in rows("sun_position.csv") if not r["quantity"].startswith("sun")], ids=ident)
def test_worked_example_of_the_spa_report(row):
    assert near(spa_example()[row["quantity"]], row)


def test_incidence_tells_the_two_azimuth_conventions_apart():
    # Same example with the surface turned the other way gives 20.294 degrees: a sign error would show.
    path = sun.solar_position(SPA_TIME, *SPA_SITE, pressure_pa=82000.0, temp_air_degc=11.0, delta_t_s=67.0)
    wrong = pvlib.irradiance.aoi(30, 190, path.zenith_deg[0], path.azimuth_deg[0])
    assert float(wrong) == pytest.approx(20.294, abs=1e-3)


def test_declination_of_meeus_example():
    # Meeus, Astronomical Algorithms, example 25.b: 1992-10-13 0h TD, apparent declination -7 deg 47' 01.94"
    # (second-hand); the low-accuracy method of 25.a gives -7.78507. TD is 59 s ahead of UT then.
    when = pd.DatetimeIndex(["1992-10-12 23:59:01"]).tz_localize("UTC")
    assert float(sun.declination_deg(when)[0]) == pytest.approx(-(7 + 47 / 60 + 1.94 / 3600), abs=1e-4)


@pytest.mark.parametrize("latitude", [0.0, 30.0, 50.0, 60.0, 70.0, -45.0, 89.0])
def test_fast_path_is_the_full_algorithm(latitude):
    # Second opinion: pvlib's own SPA on the same year of 15-minute steps, to the claim in solar_position.
    steps = sun.generic_year_steps(1.0)
    ours = sun.solar_position(steps, latitude, 11.0, 300.0)
    full = pvlib.solarposition.spa_python(
        stamps(steps), latitude, 11.0, 300.0, pvlib.atmosphere.alt2pres(300.0), 10, delta_t=69.2
    )
    gap = np.abs(ours.zenith_deg - full["apparent_zenith"].to_numpy())
    # Where the centre crosses -0.8333 degrees refraction is switched on; a step may fall on either side of it.
    steady = np.abs(full["elevation"].to_numpy() + 0.8333) > 1e-3
    assert gap[steady].max() < 1e-4
    turn = np.mod(ours.azimuth_deg - full["azimuth"].to_numpy() + 180, 360) - 180
    assert np.abs(turn * np.sin(np.deg2rad(ours.zenith_deg))).max() < 1e-4


def test_steps_of_the_generic_year():
    # docs/time.md: each stamp is the middle of its step, in standard time, 365 days
    quarter = stamps(sun.generic_year_steps(1.0))
    assert len(quarter) == 365 * 96
    assert quarter[0] == pd.Timestamp("2026-01-01 00:07:30+01:00")
    assert quarter[-1] == pd.Timestamp("2026-12-31 23:52:30+01:00")
    assert len(sun.generic_year_steps(-3.5, 1)) == 365 * 1440
    for step_min in (0, -15, 7):
        with pytest.raises(ValueError, match="must divide 1440"):
            sun.generic_year_steps(0.0, step_min)


@pytest.mark.parametrize("row", rows("sun_noon_height.csv"), ids=ident)
def test_noon_height(row):
    got = sun.noon_height_deg(pd.DatetimeIndex([row["date"]]), float(row["latitude_deg"]))
    assert near(float(got[0]), row)


@pytest.mark.parametrize("latitude", [0.0, 23.0, 45.0, 60.0, 70.0])
def test_noon_height_is_the_highest_of_the_day(latitude):
    # 90 - |latitude - declination| against SPA: largest error 0.0025 degrees is parallax (tolerance 0.01).
    dates = pd.DatetimeIndex(["2026-01-15", "2026-03-20", "2026-06-21", "2026-10-05", "2026-12-21"])
    for date, noon in zip(dates, sun.noon_height_deg(dates, latitude), strict=True):
        near_noon = pd.date_range(date + pd.Timedelta(hours=11.5), periods=3600, freq="s", tz="UTC")
        path = sun.solar_position(near_noon, latitude, 0.0, pressure_pa=0.0)
        assert noon == pytest.approx(90 - path.zenith_deg.min(), abs=0.01)


@pytest.mark.parametrize("row", rows("sun_extraterrestrial.csv"), ids=ident)
def test_extraterrestrial_worked_examples(row):
    got = sun.extraterrestrial_of(*(float(row[k]) for k in list(row)[:4])) * 0.0864
    assert near(float(got), row)


FIFTEENTH = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)


@pytest.mark.parametrize("row", rows("sun_ra_month.csv"), ids=ident)
def test_extraterrestrial_by_month_with_fao_declination(row):
    # FAO 56 equations 23 and 24 for distance and declination, its constant 0.0820 MJ m-2 min-1.
    J = FIFTEENTH[int(row["month"]) - 1]
    declination = np.rad2deg(0.409 * np.sin(2 * np.pi * J / 365 - 1.39))
    distance = 1 + 0.033 * np.cos(2 * np.pi * J / 365)
    got = sun.extraterrestrial_of(float(row["latitude_deg"]), declination, distance, 0.0820e6 / 60) * 0.0864
    assert near(float(got), row)


def test_fao_declination_is_late_by_a_day_or_two():
    # Our own declination brings back more light in spring than FAO's approximation, by under 8 % even at 60 N.
    for row in rows("sun_ra_month.csv"):
        got = sun.extraterrestrial_daily(float(row["latitude_deg"]), FIFTEENTH[int(row["month"]) - 1]) * 0.0864
        assert float(got) == pytest.approx(float(row["expected"]), rel=0.08)


@pytest.mark.parametrize("latitude", [0.0, 48.0, 60.0, 67.0, 80.0, -50.0])
def test_extraterrestrial_is_the_sum_over_the_day(latitude):
    # Closed form against summing cos z over the steps of the same day, no refraction.
    steps = sun.generic_year_steps(0.0, 5)
    path = sun.solar_position(steps, latitude, 0.0, pressure_pa=0.0)
    normal = sun.extraterrestrial_normal(np.arange(1, 366))
    lit = np.maximum(np.cos(np.deg2rad(path.zenith_deg.reshape(365, -1))), 0).mean(axis=1) * normal
    assert sun.extraterrestrial_daily(latitude, np.arange(1, 366)) == pytest.approx(lit, abs=0.7, rel=2e-3)


def test_extraterrestrial_in_polar_night_is_zero():
    assert float(sun.extraterrestrial_daily(75.0, 355)) == 0.0
    assert float(sun.extraterrestrial_daily(-75.0, 355)) > 500.0
    assert float(sun.extraterrestrial_daily(48.0, 366)) == float(sun.extraterrestrial_daily(48.0, 365))


def test_generic_year_is_whole_and_mid_step():
    steps = stamps(sun.generic_year_steps(-3.5, 10)).tz_convert("-03:30")
    assert len(steps) == 365 * 144
    assert steps[0].isoformat() == "2026-01-01T00:05:00-03:30"
    assert steps[-1].isoformat() == "2026-12-31T23:55:00-03:30"
    assert not ((steps.month == 2) & (steps.day == 29)).any()


def test_a_step_that_does_not_divide_the_day_is_refused():
    with pytest.raises(ValueError, match="step_min is 7; it must divide 1440"):
        sun.generic_year_steps(0.0, 7)


def test_times_without_a_zone_are_refused():
    with pytest.raises(ValueError, match="times must be time-zone aware"):
        sun.solar_position(pd.DatetimeIndex(["2026-01-01"]), 48.0, 11.0)


@settings(deadline=None, derandomize=True, max_examples=25)
@given(latitude=st.floats(-89, 89), longitude=st.floats(-180, 180), hour=st.integers(0, 8759))
def test_one_time_alone_is_the_same_as_within_a_year(latitude, longitude, hour):
    year = pd.date_range("2026-01-01", periods=8760, freq="h", tz="UTC")
    whole = sun.solar_position(year, latitude, longitude, 100.0)
    alone = sun.solar_position(year[[hour]], latitude, longitude, 100.0)
    if abs(90.83 - alone.zenith_deg[0]) > 0.6:  # refraction sets in there
        assert whole.zenith_deg[hour] == pytest.approx(alone.zenith_deg[0], abs=5e-5)


def at_solar_time(date: str, solar_h: float, latitude: float) -> sun.SunPath:
    """Sun at a true solar time on the meridian of Greenwich, no refraction."""
    guess = pd.DatetimeIndex([pd.Timestamp(date) + pd.Timedelta(hours=solar_h)]).tz_localize("UTC")
    clock = guess - pd.to_timedelta(equation_of_time_min(guess), unit="min")
    return sun.solar_position(clock, latitude, 0.0, pressure_pa=0.0)


@pytest.mark.parametrize(
    ("date", "solar_h", "zenith", "compass"), [("2026-02-11", 9.5, 66.5, 140.0), ("2026-07-01", 18.5, 79.6, 292.0)]
)
def test_zenith_and_azimuth_of_duffie_and_beckman(date, solar_h, zenith, compass):
    # Duffie & Beckman example 1.6.2, 43 N (from memory): 66.5 and -40.0, 79.6 and 112.0 from south. The book's 13
    # February has the declination, -13.95, that the sun has two days earlier.
    found = at_solar_time(date, solar_h, 43.0)
    assert float(found.zenith_deg[0]) == pytest.approx(zenith, abs=0.15)
    assert float(found.azimuth_deg[0]) == pytest.approx(compass, abs=0.15)


def test_incidence_of_duffie_and_beckman():
    # Example 1.6.1, Madison 43 N, 13 February 10:30 solar, tilted 45 degrees, 15 degrees west of south: 35.0.
    found = at_solar_time("2026-02-11", 10.5, 43.0)  # declination of the book, as above
    angle = pvlib.irradiance.aoi(45, 195, found.zenith_deg[0], found.azimuth_deg[0])
    assert float(angle) == pytest.approx(35.0, abs=0.3)


def test_hourly_extraterrestrial_of_duffie_and_beckman():
    # Example 1.10.2, 43 N, 15 April, 10-11 h solar: 3.79 MJ m-2 with 1367 W m-2 and declination 9.41, which the sun
    # has on 14 April.
    hours = np.linspace(10, 11, 21)
    height = [90 - float(at_solar_time("2026-04-14", h, 43.0).zenith_deg[0]) for h in hours]
    energy = 1367 / 1361 * float(sun.extraterrestrial_normal(104)) * np.sin(np.deg2rad(height)).mean() * 3600 / 1e6
    assert energy == pytest.approx(3.79, abs=0.015)


@pytest.mark.parametrize("latitude", [0.0, 30.0, 50.0, 60.0, 70.0])
def test_height_against_astral(latitude):
    # Every hour of every tenth day, no refraction. Found before: within 0.017 degrees (at the equator).
    days = pd.date_range("2025-01-03", periods=36, freq="10D", tz="UTC")
    times = pd.DatetimeIndex([day + pd.Timedelta(hours=h) for day in days for h in range(24)])
    ours = 90 - sun.solar_position(times, latitude, 0.0, pressure_pa=0.0).zenith_deg
    place = Observer(latitude, 0.0, 0.0)
    for moment, height in zip(times, ours, strict=True):
        if height > 0:
            theirs = astral_sun.elevation(place, moment.to_pydatetime(), with_refraction=False)
            assert height == pytest.approx(theirs, abs=0.02)


@pytest.mark.parametrize("elevation_m", [0.0, 700.0, 3000.0])
def test_air_on_the_way_is_that_of_the_reference_library(elevation_m):
    # Kasten & Young 1989 and the standard atmosphere as pvlib has them: the same formulas.
    zenith = np.append(np.linspace(0.0, 90.0, 91), 90.5)
    wanted = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith), pvlib.atmosphere.alt2pres(elevation_m)
    )
    np.testing.assert_allclose(air.absolute_airmass(zenith, elevation_m), wanted, rtol=1e-12)
    assert np.isnan(air.relative_airmass(zenith)[-1])


@pytest.mark.parametrize(
    ("latitude", "longitude", "elevation"),
    [(57.5, 10.6, 20.0), (-45.9, 170.5, 2100.0), (79.0, -64.0, 0.0), (1.0, -3.7, 900.0)],
)
def test_whether_the_sun_shows_is_that_of_the_full_algorithm(latitude, longitude, elevation):
    clock_h = round(longitude / 15.0)
    steps = sun.generic_year_steps(clock_h, 15)
    zenith = sun.solar_position(steps, latitude, longitude, elevation).zenith_deg
    shows = sun.up_by_step(latitude, longitude, elevation, clock_h, 15)
    np.testing.assert_array_equal(shows.ravel(), zenith < 90.0)
