"""When the sun rises and sets: day length, photoperiod, and the ten-hour dates."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.sun.position import (
    DEGREES_PER_HOUR,
    FULL_CIRCLE_DEG,
    HALF_CIRCLE_DEG,
    RIGHT_ANGLE_DEG,
    SECONDS_PER_HOUR,
    SlowSun,
    Times,
    local_noon,
    midnights_s,
    noon_height_deg,
    slow_sun,
)
from tenhour.units import SECONDS_PER_DAY

Array = NDArray[np.float64]
HOURS_PER_DAY: Final = 24.0

NODES_S: Final = 43200.0
"""Spacing of the sun's slow quantities [s]: twelve hours moves an event by under half a second. Derived."""

ROUNDS: Final = 4
"""Repetitions of the event equation; three settle it within 0.1 s except on grazing days. Derived."""

SUNRISE_HEIGHT_DEG: Final = -0.8333
"""Height of the sun's centre when its upper limb shows: refraction 34', radius 16' (almanacs). Read."""

CIVIL_HEIGHT_DEG: Final = -6.0
"""Height of the sun's centre at the ends of civil twilight (almanac convention). Read."""

HALF_YEAR_D: Final = 183

TEN_HOURS: Final = 10.0
"""The growers' familiar mark, not a threshold of the model (contract, definitions)."""


class DayEvents(NamedTuple):
    """Day by day, n each: lengths [h]; times [h after 0:00 UTC of that date], NaN where there is none."""

    daylength_h: Array
    photoperiod_h: Array
    sunrise_h: Array
    sunset_h: Array
    dawn_h: Array
    dusk_h: Array


def _crossings(sun: SlowSun, noon_s: Array, latitude_deg: float, height_deg: float, side: float) -> Array:
    """Unix seconds at which the sun's centre passes a height, before (side -1) or after (+1) noon; else NaN.

    noon_s [s], n; height_deg [°]. The wanted hour angle depends on the declination at the event itself, so
    the equation is solved by repetition; each round shrinks the error some hundredfold.
    """
    phi, wanted = np.deg2rad(latitude_deg), np.sin(np.deg2rad(height_deg))
    noon_angle = sun.at(noon_s)[0]
    when_s, cosine = noon_s, noon_s
    for _ in range(ROUNDS):
        angle, declination = sun.at(when_s)
        delta = np.deg2rad(declination)
        cosine = (wanted - np.sin(phi) * np.sin(delta)) / (np.cos(phi) * np.cos(delta))
        target = side * np.rad2deg(np.arccos(np.clip(cosine, -1.0, 1.0)))
        turn = target - (angle - noon_angle)
        when_s = when_s + turn / DEGREES_PER_HOUR * SECONDS_PER_HOUR
    return np.where(np.abs(cosine) <= 1.0, when_s, np.nan)


def _true_noon(sun: SlowSun, mean_noon_s: Array, longitude_deg: float) -> Array:
    """Unix seconds at which the local hour angle is zero, near mean solar noon [s]."""
    noon_s = mean_noon_s
    for _ in range(ROUNDS):
        angle = np.mod(sun.at(noon_s)[0] + longitude_deg + HALF_CIRCLE_DEG, FULL_CIRCLE_DEG) - HALF_CIRCLE_DEG
        noon_s = noon_s - angle / DEGREES_PER_HOUR * SECONDS_PER_HOUR
    return noon_s


def _both_or_none(up_h: Array, down_h: Array) -> tuple[Array, Array]:
    """Two events of a day, both NaN where one is: on a grazing day the sun may pass the height on one side only."""
    lost = np.isnan(up_h) | np.isnan(down_h)
    return np.where(lost, np.nan, up_h), np.where(lost, np.nan, down_h)


def _length(up_h: Array, down_h: Array, noon_height: Array, height_deg: float) -> Array:
    """Hours between two events; where one is missing, 24 or 0 by whether noon stands above the height."""
    between = down_h - up_h
    without = np.where(noon_height > height_deg, HOURS_PER_DAY, 0.0)
    return np.where(np.isnan(between), without, between)


def slow_year(first_s: float, last_s: float) -> SlowSun:
    """The slow sun behind all the events of some days at any longitude. Parameters: their midnights [unix s]."""
    margin_s = 2.0 * HOURS_PER_DAY * SECONDS_PER_HOUR
    return slow_sun(first_s - margin_s, last_s + margin_s, NODES_S)


def day_events(dates: Times, latitude_deg: float, longitude_deg: float, sun: SlowSun | None = None) -> DayEvents:
    """Sunrise, sunset and civil twilight with a level horizon, and the lengths between them.

    Parameters: dates, n calendar dates, or their midnights in seconds since 1970 UTC; latitude_deg, south negative [°];
        longitude_deg, east positive [°]; sun, its slow course through those days where it is at hand.
    Returns: DayEvents of n. daylength_h: upper limb with refraction (sun's centre at -0.833°); photoperiod_h:
        centre at -6°. Polar night gives 0 and midnight sun 24, decided by the sun's height at noon; the
        times are then NaN. Times are hours after 0:00 UTC of the date and may lie below 0 or above 24.
    Method: the hour angle at which the SPA sun (Reda & Andreas 2004) passes the height, declination taken at
        the event itself. Within 2 s of the printed SPA table; astral departs by up to 0.02 h to 60° (tests).
    """
    midnight_s = midnights_s(dates)
    mean_noon_s = local_noon(midnight_s, longitude_deg)
    margin_s = HOURS_PER_DAY * SECONDS_PER_HOUR
    if sun is None:
        sun = slow_sun(float(mean_noon_s.min()) - margin_s, float(mean_noon_s.max()) + margin_s, NODES_S)
    noon_s = _true_noon(sun, mean_noon_s, longitude_deg)
    height = RIGHT_ANGLE_DEG - np.abs(latitude_deg - sun.at(noon_s)[1])
    pairs = [
        _crossings(sun, noon_s, latitude_deg, limit, side)
        for limit in (SUNRISE_HEIGHT_DEG, CIVIL_HEIGHT_DEG)
        for side in (-1.0, 1.0)
    ]
    hours = [(when - midnight_s) / SECONDS_PER_HOUR for when in pairs]
    rise, fall = _both_or_none(hours[0], hours[1])
    dawn, dusk = _both_or_none(hours[2], hours[3])
    return DayEvents(
        _length(rise, fall, height, SUNRISE_HEIGHT_DEG),
        _length(dawn, dusk, height, CIVIL_HEIGHT_DEG),
        rise,
        fall,
        dawn,
        dusk,
    )


def ten_hour_dates(
    around: date, latitude_deg: float, longitude_deg: float, threshold_h: float = TEN_HOURS
) -> tuple[date | None, date | None]:
    """Last date before, and first date after the darkest day with at least ten hours from sunrise to sunset.

    Parameters: around, a date of the season asked about; the darkest day nearest to it is taken;
        latitude_deg, longitude_deg [°]; threshold_h, the day length asked for [h].
    Returns: (before_dark, after_dark); both None where the day never or always falls short.
    Method: daylength_h of day_events over the year centred on the darkest day (contract, definitions).
    """
    start = date(1970, 1, 1)
    about = np.arange(-HALF_YEAR_D, HALF_YEAR_D + 1, dtype=np.float64)
    window = (around - start).days + about
    darkest = int(window[np.argmin(noon_height_deg(window * SECONDS_PER_DAY, latitude_deg, longitude_deg))])
    season = darkest + about
    enough = day_events(season * SECONDS_PER_DAY, latitude_deg, longitude_deg).daylength_h >= threshold_h
    before, after = np.flatnonzero(enough[:HALF_YEAR_D]), np.flatnonzero(enough[HALF_YEAR_D + 1 :])
    if enough[HALF_YEAR_D] or not before.size or not after.size:
        return None, None
    found = int(season[before[-1]]), int(season[HALF_YEAR_D + 1 + after[0]])
    return start + timedelta(days=found[0]), start + timedelta(days=found[1])
