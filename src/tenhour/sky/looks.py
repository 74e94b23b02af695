"""Does a series look like the light of its place? Each check gives a sentence; some refuse the file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tenhour.sky.quality import Finding, Judged
from tenhour.sky.series import Array, SunOfSeries
from tenhour.sky.sunclock import clock_checks
from tenhour.units import great_circle_km

MOST_MISSING_SHARE: Final = 0.10
"""Of the hours with the sun up: practice."""
LEAST_DAYS_PER_MONTH: Final = 20
"""Whole days that a calendar month needs, all years together: practice."""
NIGHT_DEG: Final = -3.0
"""Below this height of the sun twilight gives less than 1 W m⁻²: from memory."""
NIGHT_SHARES: Final = (0.0005, 0.005)
"""Share of all light that may fall at night before a note, and before refusal: judgement."""
ABOVE_SHARE: Final = 0.01
"""Share of daylight steps that may exceed the extremely rare limit: judgement."""
LOW_SUN_DEG: Final = 5.0
BRIGHT_MONTH_W_M2: Final = 20.0
MOST_KT: Final = 0.85
"""No month and hardly a day lets more through; stations' daily maxima lie at 0.76-0.88: derived (129 stations)."""
LEAST_KT: Final = 0.18
"""The dullest places pass about 0.26 of the light above the air over a year: from memory (Sichuan, Faroe Islands)."""
UNITS: Final = (
    ("kJ/m2 or Wh/m2 in other steps", 3.6),
    ("J/cm2", 1 / 2.778),
    ("kWh/m2", 1e-3),
    ("MJ/m2", 1 / 277.8),
    ("kilowatts", 1e-3),
)
NEAR_KM: Final = 100.0
TROPICS_DEG: Final = 23.44
SEASON_RATIO: Final = 1.15
"""Light of one solstice quarter over the other's beyond which the hemisphere is clear: judgement."""
MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Seen:
    """What the checks look at: the series on its grid, the sun over it, its days and months."""

    times: pd.DatetimeIndex
    step_h: float
    ghi_w_m2: Array
    sun: SunOfSeries
    month_ghi_w_m2: Array
    """Mean light of the calendar months [12], NaN where there is none."""
    whole_days_count: NDArray[np.int_]
    """Of the calendar months [12], all years together."""
    missing_share: float
    """Of the steps with the sun up, before filling."""
    filled_count: int
    lost_days_count: int
    latitude_deg: float
    longitude_deg: float
    file_offset_h: float
    dead: str = ""
    """Light that was taken as missing because nothing moves in it, in words."""


def all_checks(seen: Seen, site_deg: tuple[float, float] | None) -> tuple[Judged, ...]:
    """Every check, in the order a reader would want them.

    Parameters: seen; site_deg, latitude and longitude of the house [°], or None.
    """
    checks = [missing(seen), sensor(seen), months_missing(seen), unit_of_light(seen)]
    if seen.step_h == 1.0:
        clock = clock_checks(seen.times, seen.ghi_w_m2, seen.sun, seen.longitude_deg, seen.file_offset_h)
        checks += clock
        if all(check.finding != "refused" for check in clock):
            checks += [night_light(seen), above_clear_sky(seen)]
    checks.append(hemisphere(seen))
    if site_deg is not None:
        checks.append(place(seen, site_deg))
    return tuple(checks)


def _graded(value: float, note: float, refuse: float) -> Finding:
    return "refused" if value > refuse else "note" if value > note else "passed"


def missing(seen: Seen) -> Judged:
    """Share of daylight that is missing."""
    share = seen.missing_share
    finding = _graded(share, 0.0, MOST_MISSING_SHARE)
    text = f"{share:.1%} of the light while the sun is up is missing"
    if finding == "refused":
        text += f", with {seen.dead}" if seen.dead else ""
        return Judged("missing", finding, f"{text} (at most {MOST_MISSING_SHARE:.0%})")
    if finding == "note":
        text += f": {seen.filled_count} hours filled from their neighbours, {seen.lost_days_count} days left out"
    return Judged("missing", finding, text)


def sensor(seen: Seen) -> Judged:
    """Light that was taken as missing because nothing moves in it."""
    if not seen.dead:
        return Judged("sensor", "passed", "the light moves from day to day and from hour to hour")
    return Judged("sensor", "note", f"{seen.dead} were taken as missing: was the sensor off, or iced over?")


def months_missing(seen: Seen) -> Judged:
    """Calendar months with too few whole days."""
    short = [n for n, days in enumerate(seen.whole_days_count) if days < LEAST_DAYS_PER_MONTH]
    if not short:
        return Judged("months", "passed", "all twelve months are there")
    named = ", ".join(f"{MONTH_NAMES[n]} ({seen.whole_days_count[n]} days)" for n in short)
    return Judged(
        "months", "refused", f"months missing or too short: {named}; each needs {LEAST_DAYS_PER_MONTH} whole days"
    )


def unit_of_light(seen: Seen) -> Judged:
    """Monthly light against what reaches the top of the air: a wrong unit shows at once.

    Method: the clearness index of each bright month and of the year, against limits of nature (see the constants).
    """
    month = seen.times.month.to_numpy()
    known = np.isfinite(seen.ghi_w_m2)
    light = np.bincount(month[known], seen.ghi_w_m2[known], minlength=13)[1:]
    above = np.bincount(month[known], seen.sun.ext_w_m2[known], minlength=13)[1:]
    steps = np.bincount(month[known], minlength=13)[1:]
    bright = (above > BRIGHT_MONTH_W_M2 * np.maximum(steps, 1)) & (steps > 0)
    if not bright.any():
        return Judged("unit", "passed", "too little sun to judge the unit of light")
    kt = light[bright] / above[bright]
    year = float(light[bright].sum() / above[bright].sum())
    hint = _unit_hint(year)
    if (kt > MOST_KT).any():
        text = f"a month with {kt.max():.0%} of the light above the air (at most {MOST_KT:.0%}){hint}"
        return Judged("unit", "refused", text)
    if year < LEAST_KT:
        return Judged("unit", "refused", f"only {year:.1%} of the light above the air in a year{hint}")
    return Judged("unit", "passed", f"{year:.0%} of the light above the air reaches the ground over the year")


def _unit_hint(year_kt: float) -> str:
    found = next((name for name, factor in UNITS if 0.25 < year_kt / factor < 0.75), "")
    return f": it looks like {found} instead of W/m2" if found else ": is it in W/m2?"


def night_light(seen: Seen) -> Judged:
    """Light while the sun is well down."""
    known = np.isfinite(seen.ghi_w_m2)
    night = known & (seen.sun.highest_deg < NIGHT_DEG)
    total = float(seen.ghi_w_m2[known].sum())
    share = float(seen.ghi_w_m2[night].sum()) / total if total else 0.0
    finding = _graded(share, *NIGHT_SHARES)
    text = f"{share:.2%} of the light comes while the sun is down"
    return Judged("night", finding, text if finding == "passed" else f"{text}: a lamp, or a sensor's offset")


def above_clear_sky(seen: Seen) -> Judged:
    """Steps brighter than even broken cloud in front of a clear sky allows."""
    day = np.isfinite(seen.ghi_w_m2) & (seen.sun.highest_deg > LOW_SUN_DEG)
    if not day.any():
        return Judged("clear sky", "passed", "no steps with the sun high enough to judge")
    share = float((seen.ghi_w_m2[day] > seen.sun.top_w_m2[day]).mean())
    finding = _graded(share, 0.0, ABOVE_SHARE)
    text = f"{share:.2%} of the daylight hours are brighter than a clear sky can be"
    return Judged("clear sky", finding, text if share else "no hour is brighter than a clear sky can be")


def hemisphere(seen: Seen) -> Judged:
    """Light at its most in June north of the tropics and in December south of them."""
    if abs(seen.latitude_deg) <= TROPICS_DEG:
        return Judged("hemisphere", "passed", "within the tropics the seasons do not tell the hemisphere")
    june = float(np.nanmean(seen.month_ghi_w_m2[4:7])) if np.isfinite(seen.month_ghi_w_m2[4:7]).any() else np.nan
    december = seen.month_ghi_w_m2[[10, 11, 0]]
    winter = float(np.nanmean(december)) if np.isfinite(december).any() else np.nan
    north = seen.latitude_deg > 0
    wrong = (winter > SEASON_RATIO * june) if north else (june > SEASON_RATIO * winter)
    if wrong:
        bright, here = ("December", f"{seen.latitude_deg:.1f}") if north else ("June", f"{seen.latitude_deg:.1f}")
        text = f"light peaks in {bright}, against the latitude {here}: is its sign right (south is negative)?"
        return Judged("hemisphere", "refused", text)
    return Judged("hemisphere", "passed", "the bright season fits the hemisphere")


def place(seen: Seen, site_deg: tuple[float, float]) -> Judged:
    """How far the file's place lies from the house.

    Parameters: seen; site_deg, latitude and longitude of the house [°].
    """
    distance_km = float(great_circle_km(*site_deg, seen.latitude_deg, seen.longitude_deg))
    if seen.latitude_deg * site_deg[0] < 0 and min(abs(seen.latitude_deg), abs(site_deg[0])) > LOW_SUN_DEG:
        text = f"the file is of latitude {seen.latitude_deg:.1f}, the house of {site_deg[0]:.1f}: another hemisphere"
        return Judged("place", "refused", text)
    if distance_km > NEAR_KM:
        return Judged("place", "note", f"the file is of a place {distance_km:.0f} km from the house")
    return Judged("place", "passed", f"the file's place is {distance_km:.0f} km from the house")
