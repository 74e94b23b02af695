"""Where the sun stands: position through a year, declination, noon height, extraterrestrial radiation."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final, NamedTuple, TypeAlias, Union

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pvlib import spa

from tenhour.units import GENERIC_YEAR, SECONDS_PER_DAY
from tenhour.units import pressure_pa as standard_pressure_pa

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Times: TypeAlias = Union["pd.DatetimeIndex", Array]
"""Stamps as pandas holds them, or seconds since 1970 UTC: the year itself is reckoned without that library."""

GENERIC_START_S: Final = float(np.datetime64(f"{GENERIC_YEAR}-01-01", "s").astype(np.int64))

DAYS_PER_YEAR: Final = 365
MINUTES_PER_DAY: Final = 1440
SECONDS_PER_MINUTE: Final = 60.0
SECONDS_PER_HOUR: Final = 3600.0
DEGREES_PER_HOUR: Final = 15.0
FULL_CIRCLE_DEG: Final = 360.0
HALF_CIRCLE_DEG: Final = 180.0
RIGHT_ANGLE_DEG: Final = 90.0

SOLAR_CONSTANT_W_M2: Final = 1361.0
"""Total solar irradiance [W m⁻²]: Kopp & Lean 2011, 1360.8 ± 0.5, doi 10.1029/2010GL045777. From memory."""

DELTA_T_S: Final = 69.2
"""Terrestrial less universal time, 2020-2026 [s]; a minute of it is under 0.001°. From memory."""

HORIZON_REFRACTION_DEG: Final = 0.5667
"""Refraction at sunrise and sunset [°]: Reda & Andreas 2004, section 3.11.4. Read in pvlib."""

AIR_TEMP_DEGC: Final = 10.0
"""Air temperature used for refraction alone [°C]; ten degrees change it by 4 %. Judgement."""

PARALLAX_DEG: Final = 8.794 / 3600.0
"""By which the sun on the horizon is lower than from the middle of the earth [°]: Reda & Andreas 2004, equation 38."""

HORIZON_ROUNDS: Final = 6
"""Repetitions that settle refraction on the horizon to 1e-5°. Derived."""

NODE_STEP_S: Final = 10800.0
"""Spacing of the slow quantities (declination, right ascension) [s]; errs by 1.3e-5°. Derived."""


class SunPath(NamedTuple):
    """Sun positions, one per time: apparent zenith (with refraction) and azimuth from north, eastward [°]."""

    zenith_deg: Array
    azimuth_deg: Array


def generic_year_steps(utc_offset_h: float, step_min: int = 15) -> Array:
    """Mid-step times of the 365 days of one generic common year in a site's standard time.

    Parameters: utc_offset_h, standard time less UTC [h]; step_min, length of a step [min], a divisor of 1440.
    Returns: seconds since 1970 UTC of 365 · 1440 / step_min times, each in the middle of its step.
    Method: definition (docs/time.md). Day-by-step arrays come by reshaping to (365, 1440 / step_min).
    Errors: ValueError where the step does not divide the day.
    """
    if step_min <= 0 or MINUTES_PER_DAY % step_min:
        raise ValueError(f"step_min is {step_min}; it must divide {MINUTES_PER_DAY}")
    middle_min = np.arange(DAYS_PER_YEAR * MINUTES_PER_DAY // step_min) * step_min + step_min / 2
    return np.asarray(GENERIC_START_S - utc_offset_h * SECONDS_PER_HOUR + middle_min * SECONDS_PER_MINUTE)


def generic_year_days() -> Array:
    """Midnights of the 365 dates of the generic common year, as seconds since 1970 UTC."""
    return np.asarray(GENERIC_START_S + np.arange(DAYS_PER_YEAR) * SECONDS_PER_DAY)


def unix_seconds(times: Times) -> Array:
    """Return seconds since 1970 UTC of a time-zone aware index; an array is such seconds already.

    Parameters: times, n stamps. Returns: [s], n.
    Errors: ValueError where the times carry no time zone.
    """
    if isinstance(times, np.ndarray):
        return times
    if times.tz is None:
        raise ValueError("times must be time-zone aware")
    return np.asarray(times.as_unit("ns").asi8, dtype=np.float64) * 1e-9


def midnights_s(dates: Times) -> Array:
    """Seconds since 1970 at 0:00 UTC of each calendar date; an array is such seconds already."""
    if isinstance(dates, np.ndarray):
        return dates
    return unix_seconds(dates.tz_localize(None).normalize().tz_localize("UTC"))


def _geocentric(unix_s: Array, delta_t_s: float) -> tuple[Array, Array, Array]:
    """Sidereal time, right ascension and declination [°] at each time, exact (no interpolation)."""
    v, alpha, delta = spa.solar_position_numpy(
        unix_s, 0.0, 0.0, 0.0, 0.0, 0.0, delta_t_s, HORIZON_REFRACTION_DEG, 1, sst=True
    )  # fmt: skip
    return np.asarray(v), np.asarray(alpha), np.asarray(delta)


class SlowSun(NamedTuple):
    """The slow part of the sun's course at evenly spaced nodes, joined by straight lines between them.

    node_s, nodes in seconds since 1970 UTC; gap_deg, Greenwich hour angle less 15° per hour since the first
    node (the equation of time, in effect); delta_deg, geocentric declination; each of the same length.
    """

    node_s: Array
    gap_deg: Array
    delta_deg: Array

    def at(self, unix_s: Array) -> tuple[Array, Array]:
        """Greenwich hour angle (not wrapped) and declination [°] at any times within the nodes."""
        turned = DEGREES_PER_HOUR / SECONDS_PER_HOUR * (unix_s - self.node_s[0])
        hour_angle = np.interp(unix_s, self.node_s, self.gap_deg) + turned
        return hour_angle, np.interp(unix_s, self.node_s, self.delta_deg)


@lru_cache(maxsize=64)
def slow_sun(first_s: float, last_s: float, step_s: float = NODE_STEP_S, delta_t_s: float = DELTA_T_S) -> SlowSun:
    """SPA hour angle and declination at nodes from first_s to past last_s [unix s], step_s apart [s].

    Straight lines between nodes err by step² / 8 times the curvature (0.007° d⁻²): 1.3e-5° at 3 h.
    Parameters: first_s, last_s [unix s]; step_s [s]; delta_t_s, terrestrial less universal time [s].
    Method: hour angle = sidereal time less right ascension (Reda & Andreas 2004).
    """
    node_s: Array = first_s + step_s * np.arange(int((last_s - first_s) // step_s) + 2, dtype=np.float64)
    v, alpha, delta = _geocentric(node_s, delta_t_s)
    gap = v - alpha - DEGREES_PER_HOUR / SECONDS_PER_HOUR * (node_s - node_s[0])
    return SlowSun(node_s, np.unwrap(gap, period=FULL_CIRCLE_DEG), delta)


def _hour_angle_and_declination(unix_s: Array, delta_t_s: float) -> tuple[Array, Array]:
    """Greenwich hour angle and geocentric declination [°], by nodes three hours apart where times are dense."""
    span_s = float(np.ptp(unix_s)) if unix_s.size else 0.0
    if span_s / NODE_STEP_S + 2 >= unix_s.size:
        v, alpha, delta = _geocentric(unix_s, delta_t_s)
        return v - alpha, delta
    return slow_sun(float(unix_s.min()), float(unix_s.max()), NODE_STEP_S, delta_t_s).at(unix_s)


def solar_position(
    times: Times,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float = 0.0,
    *,
    pressure_pa: float | None = None,
    temp_air_degc: float = AIR_TEMP_DEGC,
    delta_t_s: float = DELTA_T_S,
) -> SunPath:
    """Apparent position of the sun's centre.

    Parameters: times, time-zone aware, n stamps; latitude_deg, south negative [°]; longitude_deg, east
        positive [°]; elevation_m [m]; pressure_pa, air pressure [Pa], from the elevation if None;
        temp_air_degc [°C]; delta_t_s, terrestrial less universal time [s].
    Returns: SunPath of two arrays of n: zenith with refraction [°], azimuth from north, eastward, 0-360 [°].
    Method: SPA (Reda & Andreas 2004, equations 1-46) as in pvlib, with the declination and right ascension
        computed every three hours and joined by straight lines where times lie closer than that (error below
        2e-5°). Refraction only with the sun's upper limb above the horizon, as in the source.
    Errors: ValueError where the times carry no time zone.
    """
    unix_s = unix_seconds(times)
    pressure = standard_pressure_pa(elevation_m) if pressure_pa is None else pressure_pa
    greenwich, delta = _hour_angle_and_declination(unix_s, delta_t_s)
    H = np.mod(greenwich + longitude_deg, FULL_CIRCLE_DEG)
    # One value of the distance per call is enough: parallax is 0.0024° and changes by 3 % through the year.
    xi = spa.equatorial_horizontal_parallax(1.0)
    u = spa.uterm(latitude_deg)
    x, y = spa.xterm(u, latitude_deg, elevation_m), spa.yterm(u, latitude_deg, elevation_m)
    d_alpha = spa.parallax_sun_right_ascension(x, xi, H, delta)
    delta_topo = spa.topocentric_sun_declination(delta, x, y, xi, d_alpha, H)
    H_topo = spa.topocentric_local_hour_angle(H, d_alpha)
    e0 = spa.topocentric_elevation_angle_without_atmosphere(latitude_deg, delta_topo, H_topo)
    millibar = pressure / 100
    lift = spa.atmospheric_refraction_correction(millibar, temp_air_degc, e0, HORIZON_REFRACTION_DEG)
    elevation = spa.topocentric_elevation_angle(e0, lift)
    gamma = spa.topocentric_astronomers_azimuth(H_topo, delta_topo, latitude_deg)
    return SunPath(RIGHT_ANGLE_DEG - elevation, np.mod(gamma + HALF_CIRCLE_DEG, FULL_CIRCLE_DEG))


def up_by_step(latitude_deg: float, longitude_deg: float, elevation_m: float, clock_h: float, step_min: int) -> Bools:
    """Whether the sun's centre shows in the middle of each step of the generic year, as :func:`solar_position` has it.

    Parameters: latitude_deg, longitude_deg [°]; elevation_m [m]; clock_h and step_min, as of
    :func:`generic_year_steps`. Returns: [365, steps]. It shows from the height on at which refraction lifts it to the
    horizon. What belongs to the clock is kept, so that a place costs next to nothing.
    """
    millibar, seen_from_deg = standard_pressure_pa(elevation_m) / 100, -HORIZON_REFRACTION_DEG
    for _ in range(HORIZON_ROUNDS):
        lift = spa.atmospheric_refraction_correction(
            millibar, AIR_TEMP_DEGC, np.array([seen_from_deg]), HORIZON_REFRACTION_DEG
        )
        seen_from_deg = -float(lift[0])
    across, along, sine_delta = _clock_sun(clock_h, step_min)
    phi, longitude = np.deg2rad(latitude_deg), np.deg2rad(longitude_deg)
    sine = np.cos(phi) * (np.cos(longitude) * across - np.sin(longitude) * along) + np.sin(phi) * sine_delta
    return np.asarray(sine > np.sin(np.deg2rad(seen_from_deg + PARALLAX_DEG))).reshape(DAYS_PER_YEAR, -1)


@lru_cache(maxsize=16)
def _clock_sun(clock_h: float, step_min: int) -> tuple[Array, Array, Array]:
    """Cosine and sine of the hour angle at Greenwich, times the cosine of the declination, and its sine, by step."""
    greenwich_deg, delta_deg = _hour_angle_and_declination(generic_year_steps(clock_h, step_min), DELTA_T_S)
    greenwich, delta = np.deg2rad(greenwich_deg), np.deg2rad(delta_deg)
    return np.cos(greenwich) * np.cos(delta), np.sin(greenwich) * np.cos(delta), np.sin(delta)


def declination_deg(times: Times) -> Array:
    """Geocentric declination of the sun [°] at each of n time-zone aware times (SPA, see solar_position)."""
    return _hour_angle_and_declination(unix_seconds(times), DELTA_T_S)[1]


def local_noon(dates: Times, longitude_deg: float) -> Array:
    """Mean solar noon on each calendar date at a longitude [°], as seconds since 1970 UTC; within 17 minutes of true
    noon."""
    return midnights_s(dates) + (12 - longitude_deg / DEGREES_PER_HOUR) * SECONDS_PER_HOUR


def noon_height_deg(dates: Times, latitude_deg: float, longitude_deg: float = 0.0) -> Array:
    """Height of the sun's centre at noon, without refraction.

    Parameters: dates, n calendar dates; latitude_deg, longitude_deg [°].
    Returns: n heights [°], below zero in polar night.
    Method: 90° - |latitude - declination|; parallax left out (0.0025°).
    """
    return RIGHT_ANGLE_DEG - np.abs(latitude_deg - declination_deg(local_noon(dates, longitude_deg)))


@lru_cache(maxsize=1)
def _generic_sun() -> tuple[Array, Array]:
    """Declination [°] and (mean distance / distance)² at noon UTC of each day of the generic year (SPA)."""
    unix_s = generic_year_days() + SECONDS_PER_DAY / 2
    distance = np.asarray(spa.earthsun_distance(unix_s, DELTA_T_S, 1))
    return _geocentric(unix_s, DELTA_T_S)[2], 1.0 / distance**2


def _day_index(doy: ArrayLike) -> NDArray[np.intp]:
    """Day of the year (1-366) to a place in the generic year; day 366 stands for day 365."""
    return np.clip(np.asarray(doy).astype(np.intp), 1, DAYS_PER_YEAR) - 1


def sunset_angle_deg(latitude_deg: ArrayLike, declination_deg: ArrayLike) -> Array:
    """Hour angle of sunset [°], 0 (polar night) to 180 (midnight sun): centre, level horizon, no refraction.

    Parameters: latitude_deg, declination_deg [°], broadcast together.
    Method: cos ω = -tan φ tan δ, clipped (Duffie & Beckman, equation 1.6.10).
    """
    phi, delta = np.deg2rad(latitude_deg), np.deg2rad(declination_deg)
    return np.asarray(np.rad2deg(np.arccos(np.clip(-np.tan(phi) * np.tan(delta), -1.0, 1.0))))


def extraterrestrial_of(
    latitude_deg: ArrayLike,
    declination_deg: ArrayLike,
    distance_factor: ArrayLike = 1.0,
    solar_constant_w_m2: float = SOLAR_CONSTANT_W_M2,
) -> Array:
    """Daily mean of radiation on a horizontal plane above the atmosphere, from the declination.

    Parameters: latitude_deg, declination_deg [°]; distance_factor, (mean distance / distance)² [-];
        solar_constant_w_m2 [W m⁻²]; all broadcast together.
    Returns: 24 h mean h0_w_m2 [W m⁻²], exactly 0 in polar night.
    Method: Duffie & Beckman equation 1.10.3, FAO 56 equation 21.
    """
    phi, delta = np.deg2rad(latitude_deg), np.deg2rad(declination_deg)
    ws = np.deg2rad(sunset_angle_deg(latitude_deg, declination_deg))
    shape = np.cos(phi) * np.cos(delta) * np.sin(ws) + ws * np.sin(phi) * np.sin(delta)
    return np.asarray(np.maximum(solar_constant_w_m2 * np.asarray(distance_factor) * shape / np.pi, 0.0))


def extraterrestrial_daily(latitude_deg: ArrayLike, doy: ArrayLike) -> Array:
    """Daily mean of radiation on a horizontal plane above the atmosphere.

    Parameters: latitude_deg [°]; doy, day of the generic common year (1-365), broadcast together.
    Returns: 24 h mean h0_w_m2 [W m⁻²], exactly 0 in polar night.
    Method: extraterrestrial_of with the SPA declination and distance of the generic year.
    """
    index = _day_index(doy)
    declination, distance = _generic_sun()
    return extraterrestrial_of(latitude_deg, declination[index], distance[index])


def extraterrestrial_normal(doy: ArrayLike) -> Array:
    """Radiation above the atmosphere on a plane facing the sun [W m⁻²], by day of the generic common year (1-365)."""
    return np.asarray(SOLAR_CONSTANT_W_M2 * _generic_sun()[1][_day_index(doy)])
