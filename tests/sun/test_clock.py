"""Clock times of single days (astral) against the arrays of the year (SPA): the two tell the same sun."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest

from tenhour.sun.clock import clock_times
from tenhour.sun.daylength import day_events

DAYS = [date(2027, month, 15) for month in range(1, 13)]
MINUTES_H = 2.0 / 60.0
"""Astral and SPA differ by up to 1.24 minutes of day length (tests/sun/test_daylength.py); astral rounds to seconds."""


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (0.0, 10.0, "UTC"),
        (43.2, -71.5, "America/New_York"),
        (52.2, 0.2, "Europe/London"),
        (-45.2, 169.4, "Pacific/Auckland"),
    ],
)
def test_one_day_is_the_year_s(latitude: float, longitude: float, zone: str) -> None:
    year = day_events(pd.DatetimeIndex(pd.to_datetime(DAYS)), latitude, longitude)
    for n, on in enumerate(DAYS):
        offset = datetime(on.year, on.month, on.day, 12, tzinfo=ZoneInfo(zone)).utcoffset()
        assert offset is not None
        shift_h = offset.total_seconds() / 3600.0
        found = clock_times(latitude, longitude, on, zone)
        for name in ("dawn_h", "sunrise_h", "sunset_h", "dusk_h"):
            wanted = getattr(year, name)[n] + shift_h
            apart = (getattr(found, name) - wanted + 12.0) % 24.0 - 12.0
            assert abs(apart) <= MINUTES_H, (name, on)
        assert found.noon_h == pytest.approx((found.sunrise_h + found.sunset_h) / 2, abs=0.03)


def test_a_sun_that_does_not_rise_has_no_times_but_a_noon() -> None:
    found = clock_times(78.0, 15.0, date(2026, 12, 21), "Europe/Oslo")
    assert np.isnan([found.sunrise_h, found.sunset_h]).all()
    assert 11.0 < found.noon_h < 13.0
