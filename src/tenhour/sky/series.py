"""A series of weather made whole: what cannot be and what stands still is taken out, short gaps are filled."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

Array = NDArray[np.float64]

SOLAR_CONSTANT_W_M2: Final = 1361.0
"""Kopp & Lean 2011. Second-hand (pvlib's choice is 1366.1; the half per cent does not matter here)."""
POINTS_HOUR: Final = 5
POINTS_DAY: Final = 49
"""Points per step for its mean, ends included (trapezoids)."""
EXPONENT: Final = 1.2
RARE_FACTOR: Final = 1.2
RARE_EXTRA_W_M2: Final = 50.0
"""Extremely rare limit of global light, 1.2 S μ^1.2 + 50 W m⁻²: Long & Dutton 2002, BSRN recommended checks V2.0,
table of limits. From memory."""

AIR_RANGES: Final = {
    "wind_m_s": (0.0, 60.0),
    "dew_degc": (-80.0, 40.0),
    "infrared_w_m2": (50.0, 600.0),
    "cloud_frac": (0.0, 1.0),
    "temp_min_degc": (-75.0, 45.0),
}
"""What a file may tell of the air beside its temperature, and what can be. Judgement."""
AIR_WORDS: Final = {
    "wind_m_s": "wind", "dew_degc": "dew point", "infrared_w_m2": "heat from the sky", "cloud_frac": "cloud",
    "temp_min_degc": "lowest temperature",
}  # fmt: skip
MOST_HOURS_LIGHT: Final = 3
"""Longest gap in light that is filled, by the clearness on both sides [h]: practice."""
MOST_HOURS_TEMP: Final = 6
"""Longest gap in temperature that is filled by a straight line [h]: practice."""
SUN_UP_DEG: Final = -0.833
DIM_W_M2: Final = 5.0
"""Mean extraterrestrial light below which clearness is not used [W m⁻²]: judgement."""
NIGHT_OFFSET_W_M2: Final = -20.0
"""Readings between this and zero are the sensor's own night offset: practice."""
TEMP_RANGE_DEGC: Final = (-75.0, 58.0)
"""Beyond the coldest and hottest inhabited places: judgement."""
DEAD_DAY_W_M2: Final = 20.0
"""Mean light above the air of a day on which no light at all is a fault [W m⁻²]: judgement."""
STUCK_W_M2: Final = 20.0
STUCK_STEPS: Final = 5
STUCK_DAYS: Final = 4
STUCK_TEMP_STEPS: Final = 47
STUCK_TEMP_DAYS: Final = 9
"""Equal values in a row beyond which a sensor stands still; light only above 20 W m⁻²: judgement."""


class SunOfSeries(NamedTuple):
    """By step: extraterrestrial level light (mean) [W m⁻²], the sun's greatest height [°], the top of rare light."""

    ext_w_m2: Array
    highest_deg: Array
    top_w_m2: Array


def sun_of(times: pd.DatetimeIndex, step_h: float, latitude_deg: float, longitude_deg: float) -> SunOfSeries:
    """Sun over every step of a series.

    Parameters: times, middle of the steps, with zone; step_h; latitude_deg, longitude_deg (east positive).
    Returns: arrays of the length of times.
    Method: Spencer 1971 declination, equation of time and distance as in pvlib; within 0.3° and 1 %.
    """
    from pvlib.irradiance import get_extra_radiation
    from pvlib.solarposition import declination_spencer71, equation_of_time_spencer71

    utc = times.tz_convert("UTC")
    doy = utc.day_of_year.to_numpy()
    declination = np.asarray(declination_spencer71(doy))
    solar_h = utc.hour.to_numpy() + utc.minute.to_numpy() / 60.0 + longitude_deg / 15.0
    solar_h = solar_h + np.asarray(equation_of_time_spencer71(doy)) / 60.0
    phi = np.radians(latitude_deg)
    upright, level = np.sin(phi) * np.sin(declination), np.cos(phi) * np.cos(declination)
    points = POINTS_DAY if step_h > 1.0 else POINTS_HOUR
    total, highest = np.zeros(len(times)), np.full(len(times), -1.0)
    offsets_h = np.linspace(-step_h / 2, step_h / 2, points)
    for number, offset_h in enumerate(offsets_h):
        sine = upright + level * np.cos(np.radians(15.0 * (solar_h + offset_h - 12.0)))
        weight = 0.5 if number in (0, points - 1) else 1.0
        total += weight * np.maximum(sine, 0.0)
        highest = np.maximum(highest, sine)
    normal = np.asarray(get_extra_radiation(doy, solar_constant=SOLAR_CONSTANT_W_M2, method="spencer"))
    top = np.maximum(highest, 0.0)
    return SunOfSeries(
        normal * total / (points - 1),
        np.degrees(np.arcsin(np.clip(highest, -1.0, 1.0))),
        RARE_FACTOR * normal * top**EXPONENT + RARE_EXTRA_W_M2,
    )


def told_air(columns: dict[str, Array], notes: list[str]) -> dict[str, Array]:
    """Columns of the air that say something: impossible values missing, columns of one value left out with a note."""
    found, same = {}, []
    for name, (least, most) in AIR_RANGES.items():
        if name not in columns:
            continue
        with np.errstate(invalid="ignore"):
            values = np.where((columns[name] >= least) & (columns[name] <= most), columns[name], np.nan)
        known = values[np.isfinite(values)]
        if known.size and np.ptp(known) > 0.0:
            found[name] = values
        elif known.size:
            same.append(AIR_WORDS[name])
    if same:
        notes.append(f"The same at all hours and so left out: {', '.join(same)}.")
    return found


def without_offset(values: Array, notes: list[str]) -> Array:
    """Light with the small negative readings of a sensor at night set to zero, larger ones missing."""
    with np.errstate(invalid="ignore"):
        small = (values < 0) & (values >= NIGHT_OFFSET_W_M2)
        wrong = values < NIGHT_OFFSET_W_M2
    if wrong.any():
        notes.append(f"{int(wrong.sum())} negative values of light were taken as missing.")
    return np.where(wrong, np.nan, np.where(small, 0.0, values))


def possible_temp(values: Array, notes: list[str]) -> Array:
    """Temperatures with impossible ones missing."""
    with np.errstate(invalid="ignore"):
        wrong = (values < TEMP_RANGE_DEGC[0]) | (values > TEMP_RANGE_DEGC[1])
    if wrong.any():
        notes.append(f"{int(wrong.sum())} impossible temperatures were taken as missing.")
    return np.where(wrong, np.nan, values)


def alive_light(ghi_w_m2: Array, sun: SunOfSeries, step_h: float) -> tuple[Array, str]:
    """Light without whole days of zero under a sun and without a value that stands still, and what was found in words.

    Parameters: ghi_w_m2 [W m⁻²]; sun at the same moments; step_h between them [h].
    Method: a day is dead whose steps are all zero under a sun; a value stands still that repeats longer than light can.
    """
    steps = round(24.0 / step_h)
    days = ghi_w_m2.size // steps
    by_day = ghi_w_m2[: days * steps].reshape(days, steps)
    above = sun.ext_w_m2[: days * steps].reshape(days, steps).mean(axis=1)
    known = np.isfinite(by_day).all(axis=1)
    dead = known & (above > DEAD_DAY_W_M2) & (np.nan_to_num(by_day).max(axis=1) <= 0.0)
    most = STUCK_STEPS if step_h <= 1.0 else STUCK_DAYS
    stuck = _stuck(ghi_w_m2, most) & (ghi_w_m2 > STUCK_W_M2)
    out = np.where(stuck, np.nan, ghi_w_m2)
    out[: days * steps][np.repeat(dead, steps)] = np.nan
    words = []
    if dead.any():
        words.append(f"{int(dead.sum())} whole days without light while the sun is up")
    if stuck.any():
        words.append(
            f"{int(stuck.sum())} {'hours' if step_h <= 1.0 else 'days'} of light that stand still at one value"
        )
    return out, " and ".join(words)


def alive_temp(temp_degc: Array, step_h: float, notes: list[str]) -> Array:
    """Temperatures [°C] without those that stand still for two days (ten, in a file of days).

    Parameters: temp_degc [N] [°C]; step_h, between readings [h]; notes, what was taken out is told there.
    """
    stuck = _stuck(temp_degc, STUCK_TEMP_STEPS if step_h <= 1.0 else STUCK_TEMP_DAYS)
    if stuck.any():
        notes.append(f"{int(stuck.sum())} temperatures that stand still at one value were taken as missing.")
    return np.where(stuck, np.nan, temp_degc)


def _stuck(values: Array, most: int) -> NDArray[np.bool_]:
    """Which values belong to a run of more than ``most`` equal ones."""
    change = np.flatnonzero(np.concatenate(([True], np.diff(values) != 0.0, [True])))
    length = np.diff(change)
    return np.repeat(length > most, length) & np.isfinite(values)


def _short(missing: NDArray[np.bool_], most: int) -> NDArray[np.bool_]:
    """Which missing steps lie in runs of at most ``most`` steps with something on both sides."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], missing.astype(np.int8), [0]))))
    starts, ends = edges[::2], edges[1::2]
    fill = np.zeros(missing.size, dtype=bool)
    for start, end in zip(starts, ends, strict=True):
        if end - start <= most and start > 0 and end < missing.size:
            fill[start:end] = True
    return fill


def filled_light(ghi_w_m2: Array, sun: SunOfSeries, step_h: float) -> tuple[Array, int]:
    """Light with short gaps filled by clearness between their neighbours and dark gaps set to zero.

    Parameters: ghi_w_m2 [W m⁻²], NaN in gaps; sun at the same moments; step_h between them [h].
    """
    missing = np.isnan(ghi_w_m2)
    up = sun.highest_deg > SUN_UP_DEG
    out = np.where(missing & ~up, 0.0, ghi_w_m2)
    if step_h > 1.0 or not (missing & up).any():
        return out, 0
    clear = np.where(sun.ext_w_m2 > DIM_W_M2, out / np.maximum(sun.ext_w_m2, DIM_W_M2), np.nan)
    known = np.isfinite(clear)
    if not known.any():
        return out, 0
    place = np.arange(out.size, dtype=np.float64)
    between = np.interp(place, place[known], clear[known]) * sun.ext_w_m2
    fill = _short(missing & up, MOST_HOURS_LIGHT)
    return np.where(fill, between, out), int(fill.sum())


def filled_temp(temp_degc: Array, step_h: float) -> Array:
    """Temperature with gaps of a few hours bridged by a straight line.

    Parameters: temp_degc [°C], NaN in gaps; step_h between the values [h].
    """
    missing = np.isnan(temp_degc)
    if step_h > 1.0 or missing.all() or not missing.any():
        return temp_degc
    place = np.arange(temp_degc.size, dtype=np.float64)
    between = np.interp(place, place[~missing], temp_degc[~missing])
    return np.where(_short(missing, MOST_HOURS_TEMP), between, temp_degc)
