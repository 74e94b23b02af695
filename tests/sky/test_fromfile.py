"""A series of days becomes the climate it was drawn from."""

from __future__ import annotations

import numpy as np
import pytest

from tenhour.errors import OutOfRange
from tenhour.sky.fromfile import DaySeries, climate_from_series
from tenhour.sky.normals import KT_CEILING

LEVELS = np.array([0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9])
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_OF_DAY = np.repeat(np.arange(1, 13), MONTH_DAYS)
KT = np.array([0.30, 0.34, 0.40, 0.44, 0.46, 0.45, 0.43, 0.42, 0.40, 0.35, 0.30, 0.27])


def level_h0(years: int) -> np.ndarray:
    """Light above the air that is level within a month, so that the spread of light is that of clearness."""
    return np.tile(np.array([60, 110, 200, 300, 390, 430, 410, 330, 230, 140, 75, 45.0])[MONTH_OF_DAY - 1], years)


def series(years: int, spread: float = 0.5, h0: np.ndarray | None = None, seed: int = 3) -> DaySeries:
    """Days whose clearness is even from 1 - spread to 1 + spread of the month's."""
    above = level_h0(years) if h0 is None else h0
    month = np.tile(MONTH_OF_DAY, years)
    n = month.size
    factor = 1.0 + spread * np.random.default_rng(seed).uniform(-1.0, 1.0, n)
    temp = 10.0 - 8.0 * np.cos(2 * np.pi * (month - 1) / 12.0)
    return DaySeries(
        year=np.repeat(np.arange(2001, 2001 + years), 365),
        month=month,
        ghi_w_m2=KT[month - 1] * factor * above,
        h0_w_m2=above,
        temp_degc=temp,
    )


def test_many_years_give_back_clearness_and_spread() -> None:
    found = climate_from_series(series(40), LEVELS, typical=False)
    np.testing.assert_allclose(found.kt_month, KT, rtol=0.03)  # 1200 days of sd 0.29: standard error 0.8 %
    np.testing.assert_allclose(found.quantile_ratio, np.tile(0.5 + LEVELS, (12, 1)), atol=0.05)
    assert np.all(np.diff(found.quantile_ratio, axis=1) > 0)
    np.testing.assert_array_equal(found.quantile_level_frac, LEVELS)


def test_temperatures_and_height() -> None:
    found = climate_from_series(series(2), LEVELS, typical=False, site_above_file_m=200.0)
    assert found.temp_degc[0] == pytest.approx(2.0 - 1.3)  # 6.5 K per km


def test_months_without_temperature_take_the_normals() -> None:
    days = series(1)
    days = days._replace(temp_degc=np.where(days.month == 3, np.nan, days.temp_degc))
    normal = np.full(12, -9.0)
    found = climate_from_series(days, LEVELS, typical=True, normal_temp_degc=normal)
    assert found.temp_degc[2] == -9.0
    assert found.temp_degc[3] != -9.0


def test_few_days_take_in_their_neighbours_and_say_so() -> None:
    one, many = (climate_from_series(series(n), LEVELS, typical=n == 1) for n in (1, 4))
    assert any("neighbouring months" in note for note in one.notes)
    assert any("typical year" in note for note in one.notes)
    assert many.notes == ()
    np.testing.assert_allclose(one.quantile_ratio, np.tile(0.5 + LEVELS, (12, 1)), atol=0.2)


def test_more_years_are_surer() -> None:
    errors = [climate_from_series(series(n), LEVELS, typical=False).uncertainty_frac.mean() for n in (2, 10, 40)]
    assert errors[0] > errors[1] > errors[2] > 0.05
    found = climate_from_series(series(1), LEVELS, typical=True)
    assert found.uncertainty_frac == pytest.approx(np.hypot(0.05, 0.06))
    # of a normal distribution nine errors in ten lie below 1.645 sd, and their mean is sqrt(2 / pi) sd
    assert found.uncertainty_p90_frac / found.uncertainty_frac == pytest.approx(1.645 / np.sqrt(2 / np.pi), rel=2e-3)


def test_polar_night_borrows_clearness_and_light_stays_nothing() -> None:
    h0 = level_h0(2)
    dark = np.isin(np.tile(MONTH_OF_DAY, 2), (11, 12, 1))
    found = climate_from_series(series(2, h0=np.where(dark, 0.0, h0)), LEVELS, typical=False)
    assert np.isfinite(found.kt_month).all()
    assert found.kt_month[10] == found.kt_month[9]
    assert found.kt_month[0] == found.kt_month[1]
    assert np.isfinite(found.quantile_ratio).all()
    assert "The sun hardly rises in month 1, 11, 12 of the weather file" in found.notes[0]


def test_missing_days_are_left_out() -> None:
    days = series(4)
    holes = days._replace(ghi_w_m2=np.where(np.arange(days.month.size) % 5 == 0, np.nan, days.ghi_w_m2))
    whole, part = (climate_from_series(d, LEVELS, typical=False) for d in (days, holes))
    np.testing.assert_allclose(part.kt_month, whole.kt_month, rtol=0.04)


def test_no_month_is_clearer_than_the_ceiling() -> None:
    found = climate_from_series(series(2, h0=level_h0(2))._replace(ghi_w_m2=0.95 * level_h0(2)), LEVELS, typical=False)
    assert found.kt_month.max() == KT_CEILING


def test_a_series_without_light_is_refused() -> None:
    days = series(1)
    with pytest.raises(OutOfRange, match="no month of the series has 10 days with light"):
        climate_from_series(days._replace(ghi_w_m2=np.full(365, np.nan)), LEVELS, typical=False)
