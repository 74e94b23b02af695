"""Each of the 365 or 366 days at every second degree from 75 S to 75 N, in the short form every tenth."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest

from helpers_everywhere import ZONES, house_text, means
from helpers_long import LONG
from helpers_sky import dull_day_ratio
from helpers_world import crops, sources, world_of
from tenhour.errors import FileProblem, OutOfRange
from tenhour.files.house.read import house_from_text
from tenhour.lamps.timer import SLOT_H, Window, clock_changes, local_clock_s, plan_day, run_slots_s
from tenhour.plan import dates
from tenhour.sky import normals, split, spread
from tenhour.sun.daylength import CIVIL_HEIGHT_DEG, SUNRISE_HEIGHT_DEG, day_events, ten_hour_dates
from tenhour.sun.position import extraterrestrial_daily, generic_year_steps, noon_height_deg, solar_position
from tenhour.year.answers.lamps import sun_clock
from tenhour.year.answers.season import season_of
from tenhour.year.crops.grown import table_of
from tenhour.year.outside.sunlight import site_climate, standard_offset_h

LATITUDES = np.arange(-75.0, 75.1, 2.0 if LONG else 10.0)
YEARS = (2027, 2028)


def days(year: int) -> pd.DatetimeIndex:
    return pd.date_range(f"{year}-01-01", f"{year}-12-31", freq="D")


def of_hemisphere(latitude_deg: float, values: np.ndarray) -> np.ndarray:
    """Days of the year turned so that the solstice of winter is near the middle."""
    return np.roll(values, values.size // 2 if latitude_deg >= 0 else 0)


@pytest.mark.parametrize("year", YEARS)
def test_day_and_twilight_are_whole_on_every_day_of_every_latitude(year: int) -> None:
    for lat in LATITUDES:
        found, height = day_events(days(year), lat, 25.0), noon_height_deg(days(year), lat, 25.0)
        assert len(found.daylength_h) == (366 if year == 2028 else 365)
        for length, limit in ((found.daylength_h, SUNRISE_HEIGHT_DEG), (found.photoperiod_h, CIVIL_HEIGHT_DEG)):
            assert np.isfinite(length).all()
            assert ((length >= 0.0) & (length <= 24.0)).all()
            assert (length[height < limit] == 0.0).all()
            assert (length[height > limit + 0.3] > 0.0).all()
        assert (found.daylength_h <= found.photoperiod_h + 1e-9).all()
        if abs(lat) <= 60.0:  # no day is more than 6.5 minutes longer than the day before it
            assert np.abs(np.diff(found.daylength_h)).max() < 0.11


@pytest.mark.parametrize("lat", [70.0, 75.0, -70.0, -75.0])
def test_polar_night_and_midnight_sun_are_one_spell_each(lat: float) -> None:
    for year in YEARS:
        length = of_hemisphere(lat, day_events(days(year), lat, 0.0).daylength_h)
        dark, light = np.flatnonzero(length == 0.0), np.flatnonzero(np.roll(length, length.size // 2) == 24.0)
        for spell in (dark, light):
            assert 40 < spell.size < 115
            assert (np.diff(spell) == 1).all()
            assert abs(spell.mean() - length.size / 2) < 25
        assert (
            ten_hour_dates(date(year, 6, 1), lat, 0.0)[0] is not None
        )  # a day of ten hours comes in spring all the same


@pytest.mark.parametrize("lat", [-52.0, 0.0, 66.0])
@pytest.mark.parametrize("year", YEARS)
def test_the_date_line_only_changes_the_date(lat: float, year: int) -> None:
    """180 W on one date is 180 E on the next: the same sun, the same moment."""
    west, east = day_events(days(year), lat, -180.0), day_events(days(year), lat, 180.0)
    for one, other in zip(west, east, strict=True):
        shift = 24.0 if one is west.sunrise_h or one is west.sunset_h or one is west.dawn_h or one is west.dusk_h else 0
        np.testing.assert_allclose(one[:-1] - shift, other[1:], atol=1e-6)


def test_the_sun_of_the_generic_year_is_finite_in_every_zone_of_the_day() -> None:
    for offset_h in (-12.0, -9.5, 0.0, 5.75, 14.0):
        times = generic_year_steps(offset_h, 60)
        assert len(times) == 365 * 24
        for lat, lon in ((-75.0, 180.0), (0.0, -180.0), (75.0, 15.0 * offset_h)):
            path = solar_position(times, lat, lon)
            assert np.isfinite(path.zenith_deg).all()
            assert np.isfinite(path.azimuth_deg).all()
            assert ((path.zenith_deg >= 0.0) & (path.zenith_deg <= 180.0)).all()


@pytest.mark.parametrize("clear", [0.02, 0.42, 0.80])
def test_outdoor_light_of_every_day_is_finite_and_never_negative(clear: float) -> None:
    """Every day class, from the dullest month there may be to the clearest."""
    doy = np.arange(1, 366)
    for lat in LATITUDES[::2]:
        h0 = extraterrestrial_daily(lat, doy)
        assert np.isfinite(h0).all()
        assert (h0 >= 0.0).all()
        ghi = clear * split.month_mean(h0) * 0.0864
        climate = normals.climate_from_means(ghi, np.zeros(12), h0)
        kt = split.daily_clearness(climate.kt_month, h0)
        ratio = split.day_classes(climate.quantile_level_frac, climate.quantile_ratio, kt, h0)
        dull = dull_day_ratio(climate, kt, h0)
        for values in (kt, ratio, dull):
            assert np.isfinite(values).all()
            assert (values >= 0.0).all()
        assert (np.diff(ratio, axis=1) >= -1e-9).all()
        assert (dull <= 1.0 + 1e-9).all()
        light = split.month_mean(kt * h0) * 0.0864
        np.testing.assert_allclose(light, ghi, atol=1e-6)
        assert (spread.gloomy_week((kt * h0)[:, None] * ratio) >= 0.0).all()


def test_normals_answer_or_refuse_all_over_the_world() -> None:
    grid = normals.ClimateGrid(**sources().normals)
    answered, refused = 0, []
    for lat in np.arange(-75.0, 75.1, 7.5):
        for lon in np.arange(-180.0, 180.1, 24.0):
            try:
                climate = normals.climate_at(grid, lat, lon, 50.0)
            except OutOfRange as error:
                refused.append(str(error))
                continue
            answered += 1
            assert np.isfinite(climate.kt_month).all()
            assert np.isfinite(climate.temp_degc).all()
            assert ((climate.kt_month >= 0.0) & (climate.kt_month <= normals.KT_CEILING)).all()
            assert (np.abs(climate.temp_degc) < 65.0).all()
    assert answered > 100
    assert len(refused) > 50
    assert not any("\n" in line or "nan" in line for line in refused)
    west, east = (normals.climate_at(grid, -17.0, lon, 5.0) for lon in (-180.0, 180.0))
    np.testing.assert_allclose(west.kt_month, east.kt_month)
    np.testing.assert_allclose(west.temp_degc, east.temp_degc)


@pytest.mark.parametrize("zone", ZONES)
def test_lamps_follow_the_clock_on_every_day_of_a_leap_year(zone: str) -> None:
    """Day windows burn as long as they say on the clock; the year's changes of the clock cancel out."""
    today = [day.date() for day in days(2028)]
    slots = local_clock_s(run_slots_s(today, [[Window(7.0, 9.5)]] * len(today), zone), zone).astype("M8[s]").tolist()
    assert len(slots) == len(today) * 10
    assert {f"{slot:%H:%M}" for slot in slots} == {f"{h:02d}:{m:02d}" for h in (7, 8) for m in (0, 15, 30, 45)} | {
        "09:00", "09:15",
    }  # fmt: skip
    assert sorted({slot.date() for slot in slots}) == today
    night = [len(run_slots_s([day], [[Window(22.0, 30.0)]], zone)) * SLOT_H for day in today]
    changes = dict(clock_changes(today[0], today[-1], zone))
    for day, hours in zip(today, night, strict=True):
        across = changes.get(day + timedelta(days=1), 0.0)
        assert hours == 8.0 - across, day
    assert sum(changes.values()) == 0.0
    offset = ZoneInfo(zone).utcoffset(datetime(2028, 1, 1))
    assert offset is not None
    assert standard_offset_h(zone) <= offset.total_seconds() / 3600.0


@pytest.mark.parametrize("lat", [-75.0, -31.5, 0.0, 51.0, 69.65, 75.0])
def test_every_month_has_its_sun_on_the_clock_and_its_lamp_hours(lat: float) -> None:
    house = house_from_text(house_text(lat, 159.0, "Australia/Lord_Howe", own=True), "house.toml")
    for today in (date(2027, 12, 31), date(2028, 2, 29), date(2028, 4, 2)):
        sun = sun_clock(house, today)
        for hours in (sun.dawn_h, sun.photoperiod_h, sun.sunrise_h, sun.daylength_h):
            assert len(hours) == 12
            assert np.isfinite(hours).all()
            assert ((hours >= 0.0) & (hours <= 24.0)).all()
        for month in range(12):
            plan = plan_day(sun.dawn_h[month], sun.photoperiod_h[month], 6.0, 16.0)
            assert plan.lamp_h == 6.0
            assert all(0.0 < window.off_h - window.on_h <= 24.0 for window in plan.windows)


def test_own_means_are_refused_where_the_sun_cannot_give_them() -> None:
    """The mirrored means of the other hemisphere shine in the polar night: that is named by month."""
    lat = 74.0
    house = house_from_text(house_text(lat, 20.0, "UTC", own=False) + means(-lat), "house.toml")
    with pytest.raises(FileProblem) as caught:
        site_climate(house, sources())
    assert {p.key for p in caught.value.problems} >= {f"site.means.ghi_mj_m2_d[{month}]" for month in (0, 10, 11)}


@pytest.mark.parametrize("year", [2027, 2028, 2100, 2000])
def test_every_date_of_common_leap_and_century_years_has_its_day_and_month(year: int) -> None:
    seen = []
    for day in (d.date() for d in days(year)):
        index = dates.day_index(day)
        seen.append(index)
        assert dates.MONTH_OF_DAY[index] == day.month
        mid = dates.next_mid_month(day.month, day)
        assert day <= mid <= day + timedelta(days=366)
        assert (mid.month, mid.day) == (day.month, 15)
    assert sorted(set(seen)) == list(range(365))
    assert (np.diff(seen) >= 0).all()


def test_the_season_of_a_crop_is_mirrored_between_hemispheres() -> None:
    """The same means turned half a year: sowing dates half a year apart, within a week that the year is cut into.

    The sun stands in the northern half of the sky for a week longer than in the southern (any almanac), and the grid
    of weeks begins at another day.
    """
    found = []
    for lat, start in ((48.0, date(2027, 9, 1)), (-48.0, date(2028, 3, 1))):
        world = world_of(house_from_text(house_text(lat, 10.0, "UTC", own=True), "house.toml"))
        table = table_of(world, [crops()[key] for key in ("kale", "spinach", "radish")])
        found.append(
            [crop for bed in season_of(table.world, [table], table.crops, start=start).beds for crop in bed.crops]
        )
    assert len(found[0]) == 6
    for north, south in zip(*found, strict=True):
        assert north.crop == south.crop
        assert north.sow_by is not None
        assert south.sow_by is not None
        assert abs((south.sow_by - north.sow_by).days - 182) <= 9, north.crop
