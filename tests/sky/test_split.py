"""Light by day, class and hour: textbook values, closure of sums, order and bounds."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_sky import DOY, Site, ident, near, rows
from tenhour.sky import split
from tenhour.sun.position import extraterrestrial_daily

PLACES = [(48.0, 11.0), (60.3, 25.0), (69.6, 19.0), (72.0, 100.0), (-45.0, 170.0), (5.0, 20.0)]


@pytest.fixture(scope="module", params=PLACES, ids=str)
def site(request):
    return Site(*request.param)


@pytest.mark.parametrize("row", rows("sky_erbs_daily.csv"), ids=ident)
def test_daily_erbs(row):
    sunset = 60.0 if row["season"] == "winter" else 100.0
    assert near(float(split.daily_diffuse_frac(float(row["kt_ratio"]), sunset)), row)


def test_daily_erbs_ends():
    assert float(split.daily_diffuse_frac(0.0, 60.0)) == 1.0
    assert float(split.daily_diffuse_frac(0.8, 60.0)) == pytest.approx(0.143)
    assert float(split.daily_diffuse_frac(0.8, 100.0)) == pytest.approx(0.175)
    assert np.isnan(split.daily_diffuse_frac(np.nan, 60.0))


def zenith_of_day(day_h: float, steps: int) -> np.ndarray:
    """Zenith through a day of a given length at the latitude of 45 degrees, whatever declination that takes."""
    ws = np.deg2rad(day_h * 7.5)
    delta = np.arctan(-np.cos(ws) / np.tan(np.deg2rad(45.0)))
    w = (np.arange(steps) + 0.5) / steps * 2 * np.pi - np.pi
    height = np.sin(np.deg2rad(45.0)) * np.sin(delta) + np.cos(np.deg2rad(45.0)) * np.cos(delta) * np.cos(w)
    return np.rad2deg(np.arccos(height))[None, :]


@pytest.mark.parametrize("row", rows("sky_profile.csv"), ids=ident)
def test_hour_profile(row):
    # The published formula does not sum to one (1.013 for 8 h to 0.992 for 12 h); ours does, so it is undone here.
    day_h, ws = float(row["day_h"]), np.deg2rad(float(row["day_h"]) * 7.5)
    steps = 9600
    shape = split.day_shape(zenith_of_day(day_h, steps))
    share = (shape.global_share if row["kind"] == "rt" else shape.diffuse_share)[0]
    lean = np.sin(ws - np.deg2rad(60))
    a, b = 0.409 + 0.5016 * lean, 0.6609 - 0.4767 * lean
    sine = np.sin(ws) - ws * np.cos(ws)
    whole = a + b * (ws - np.sin(ws) * np.cos(ws)) / 2 / sine if row["kind"] == "rt" else 1.0
    at = int((12 + float(row["hour_from_noon_h"])) / 24 * steps)
    rate = share[at - 1 : at + 1].mean() * steps / 24  # of the day's light in one hour at this moment
    assert near(rate * whole, row)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(kt=st.lists(st.floats(0.15, 0.75), min_size=12, max_size=12), latitude=st.floats(-70, 70))
def test_each_month_keeps_its_light(kt, latitude):
    h0 = extraterrestrial_daily(latitude, DOY)
    day = split.daily_clearness(kt, h0)
    assert split.month_mean(day * h0) == pytest.approx(np.array(kt) * split.month_mean(h0), abs=1e-9)
    assert (day >= 0).all()


def test_clearness_has_no_steps(site):
    # Months differ by up to 0.2, thirty days apart; only the borders of the polar night may step a little.
    step = np.abs(np.diff(np.append(site.kt_day, site.kt_day[0])))
    sunny = np.minimum(site.h0, np.roll(site.h0, -1)) > 5
    assert step[sunny].max() < 0.012
    assert step.max() < 0.03


def test_a_flat_year_stays_flat():
    h0 = extraterrestrial_daily(50.0, DOY)
    assert split.daily_clearness(np.full(12, 0.4), h0) == pytest.approx(0.4)
    assert split.daily_means(np.full(12, 7.0)) == pytest.approx(7.0)


def test_temperature_keeps_its_month_means():
    temp = np.array([-5, -4, 0, 5, 10, 14, 17, 16, 11, 6, 1, -3], dtype=float)
    day = split.daily_means(temp)
    assert split.month_mean(day) == pytest.approx(temp)
    assert np.abs(np.diff(day)).max() < 0.4


def test_classes_keep_the_day_and_rise(site):
    assert site.ratio.mean(axis=1) == pytest.approx(1.0)
    assert (np.diff(site.ratio, axis=1) >= -1e-12).all()
    assert (site.ratio >= 0).all()
    assert (site.kt_day[:, None] * site.ratio <= 0.85 + 1e-9).all()


def test_a_ceiling_is_shared_out():
    level = np.array([0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9])
    ratio = np.tile([0.1, 0.3, 0.5, 1.0, 1.4, 1.7, 2.0], (12, 1))
    flat = np.full(365, 200.0)
    wide = split.day_classes(level, ratio, np.full(365, 0.2), flat)
    cut = split.day_classes(level, ratio, np.full(365, 0.6), flat)
    assert cut.max() == pytest.approx(0.85 / 0.6)
    assert cut.mean(axis=1) == pytest.approx(1.0)
    assert (cut[:, 0] > wide[:, 0]).all()


def test_lengthening_days_are_not_counted_as_weather():
    # The same quantiles at 60 N: in March, when days lengthen fast, part of their spread is the calendar's.
    level = np.array([0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9])
    ratio = np.tile([0.5, 0.6, 0.7, 1.0, 1.3, 1.4, 1.5], (12, 1))
    found = split.day_classes(level, ratio, np.full(365, 0.4), extraterrestrial_daily(60.0, DOY))
    assert np.ptp(found[45]) < 0.93 * np.ptp(found[172])
    steady = split.day_classes(level, ratio, np.full(365, 0.4), np.full(365, 200.0))
    assert np.ptp(steady, axis=1) == pytest.approx(np.ptp(steady[0]))


def test_energy_of_each_day_closes(site):
    want = site.kt_day[:, None] * site.ratio * site.h0[:, None]
    assert site.steps.ghi_w_m2.mean(axis=2) == pytest.approx(want, abs=1e-9)


def test_global_is_diffuse_plus_beam(site):
    steps = site.steps
    cosine = np.maximum(np.cos(np.deg2rad(site.zenith)), 0)[:, None, :]
    np.testing.assert_allclose(steps.dhi_w_m2 + steps.dni_w_m2 * cosine, steps.ghi_w_m2, rtol=0, atol=1e-9)
    assert steps.dhi_w_m2.min() >= 0
    assert steps.dni_w_m2.min() >= 0


def test_no_light_at_night_and_no_beam_below_two_degrees(site):
    day_has_sun = (site.zenith < 90).any(axis=1)
    night = np.broadcast_to((site.zenith > 90)[:, None, :], site.steps.ghi_w_m2.shape) & day_has_sun[:, None, None]
    assert site.steps.ghi_w_m2[night].max(initial=0.0) == 0.0
    low = np.broadcast_to((site.zenith > 88)[:, None, :], site.steps.ghi_w_m2.shape)
    assert site.steps.dni_w_m2[low].max(initial=0.0) == 0.0


def test_beam_stays_below_the_clearest_air(site):
    ceiling = split.beam_ceiling(site.zenith, site.extra, 50.0)
    assert (site.steps.dni_w_m2 <= ceiling[:, None, :] + 1e-6).all()
    assert ceiling.max() < 1050


def test_diffuse_of_the_day_is_that_of_erbs_where_there_is_sun(site):
    wanted = split.daily_diffuse_frac(
        site.kt_day[:, None] * site.ratio, split.day_shape(site.zenith).sunset_angle_deg[:, None]
    )
    ghi, dhi = site.steps.ghi_w_m2.mean(axis=2), site.steps.dhi_w_m2.mean(axis=2)
    # Below 20 degrees at noon even the clearest air holds back more beam than the relation would have.
    high = (site.zenith.min(axis=1) < 70)[:, None] & np.ones(5, dtype=bool)
    assert dhi[high] / ghi[high] == pytest.approx(wanted[high], abs=0.045)


def test_a_duller_class_is_dimmer_and_more_diffuse_in_every_lit_day(site):
    ghi, dhi = site.steps.ghi_w_m2.mean(axis=2), site.steps.dhi_w_m2.mean(axis=2)
    lit = site.h0 > 20
    assert (np.diff(ghi[lit], axis=1) > -1e-9).all()
    assert (np.diff(dhi[lit] / ghi[lit], axis=1) < 1e-3).all()


def test_polar_night_is_dark_and_its_return_is_smooth():
    site = Site(72.0, 100.0)
    dark = site.h0 == 0
    assert 60 < dark.sum() < 120
    assert site.steps.ghi_w_m2[dark].max() == 0.0
    first = np.flatnonzero(~dark)[0]
    assert 0 < site.steps.ghi_w_m2[first].mean() < 1.0


def test_finer_steps_give_the_same_days():
    site = Site(52.0, 5.0)
    every_third = site.zenith[:, 1::3]  # 45 minutes apart
    coarse = split.outdoor_steps(site.kt_day[:, None] * site.ratio, site.h0, every_third, site.extra, 50.0)
    fine_share = site.steps.dhi_w_m2.mean(axis=2) / site.steps.ghi_w_m2.mean(axis=2)
    share = coarse.dhi_w_m2.mean(axis=2) / coarse.ghi_w_m2.mean(axis=2)
    # Erbs' relation has a step at a sunset angle of 81.4 degrees; leave out the days next to it.
    steady = np.abs(split.day_shape(site.zenith).sunset_angle_deg - split.ERBS_WINTER_SUNSET_DEG) > 1.5
    assert share[steady] == pytest.approx(fine_share[steady], abs=0.02)


@pytest.mark.parametrize("elevation_m", [0.0, 700.0, 3000.0])
def test_the_clear_beam_is_that_of_the_reference_library(elevation_m: float) -> None:
    """Ineichen & Perez 2002 as pvlib has it: the same formula, so equal but for rounding."""
    from pvlib import atmosphere, clearsky

    zenith = np.linspace(0.0, 89.0, 90)
    airmass = atmosphere.get_absolute_airmass(atmosphere.get_relative_airmass(zenith), atmosphere.alt2pres(elevation_m))
    for linke in (2.0, 4.5):
        wanted = clearsky.ineichen(zenith, airmass, linke, elevation_m, 1400.0)["dni"]
        found = split.clear_beam(airmass, linke, elevation_m, np.full(90, 1400.0))
        assert found == pytest.approx(wanted, rel=1e-12)
