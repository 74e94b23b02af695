"""A weather file's own hours in the form of made-up winters, what it lacks being made up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.sky import hours as made
from tenhour.sky.hours import CLASSES, HOURS, Hours, Normals
from tenhour.sky.split import DAYS

Array = NDArray[np.float64]

LEAST_WHOLE_SHARE: Final = 0.9
"""Of a year's hours with a temperature, for the year to stand alone. Judgement."""
DIM_W_M2: Final = 1.0
"""Mean light of a day below which its class says nothing [W m⁻²]. Judgement."""


class FileHours(NamedTuple):
    """Hours of a file as they come, all of one length; NaN where missing, None where the file has no such column.

    year; day, of the 365-day year from 0 (-1 on 29 February); hour, middle of the step in the site's clock [h of the
    day]; the rest as in Hours.
    """

    year: NDArray[np.int_]
    day: NDArray[np.int_]
    hour: Array
    temp_degc: Array
    ghi_w_m2: Array
    dew_degc: Array | None
    wind_m_s: Array | None
    cloud_frac: Array | None
    infrared_w_m2: Array | None
    dhi_w_m2: Array | None
    dni_w_m2: Array | None


def own_hours(own: FileHours, normals: Normals, rules: Mapping[str, Any], *, most: int, seed: int = made.SEED) -> Hours:
    """The years of a file as Hours, its months set to those of the site.

    Parameters: own; normals of the site as the file tells them; rules, as in hours.generated; most, years at most.
    Method: calendar years with nine tenths of their hours, or else one year pieced together from all; gaps by straight
        lines from day to day at the same hour. What the file lacks: dew point and cloud by the day's clearness, heat
        from the sky from these, wind as in made-up winters, beam and diffuse light as in the day's class.
    Errors: ValueError where not one day of the year has temperatures.
    """
    place, years = _years(own, most)
    temp = made.centred(_cube(own.temp_degc, own, place, years), normals.temp_month_degc)
    ghi = np.maximum(_cube(own.ghi_w_m2, own, place, years), 0.0)
    light_class, ratio = _classes(ghi, normals)
    extra = made.missing_air(temp, light_class, normals, rules, seed)
    given = {
        name: None if values is None else _cube(values, own, place, years)
        for name, values in own._asdict().items()
        if name in ("dew_degc", "wind_m_s", "cloud_frac", "infrared_w_m2", "dhi_w_m2", "dni_w_m2")
    }
    dew = given["dew_degc"]
    shift = temp - _cube(own.temp_degc, own, place, years)
    dew = extra.dew_degc if dew is None else np.minimum(dew + shift, temp)
    cloud = extra.cloud_frac if given["cloud_frac"] is None else np.clip(given["cloud_frac"], 0.0, 1.0)
    infrared = given["infrared_w_m2"]
    day = np.arange(DAYS)[None, :]
    of_class = [part[day, light_class] * ratio[..., None] for part in normals.class_steps]
    dhi, dni = given["dhi_w_m2"], given["dni_w_m2"]
    return Hours(
        temp_degc=temp,
        dew_degc=dew,
        wind_m_s=extra.wind_m_s if given["wind_m_s"] is None else given["wind_m_s"],
        cloud_frac=cloud,
        infrared_w_m2=made.infrared_w_m2(temp, dew, cloud) if infrared is None else infrared,
        ghi_w_m2=ghi,
        dhi_w_m2=np.minimum(of_class[1], ghi) if dhi is None else np.maximum(dhi, 0.0),
        dni_w_m2=of_class[2] if dni is None else np.maximum(dni, 0.0),
        light_class=light_class,
        light_ratio=ratio,
    )


def _years(own: FileHours, most: int) -> tuple[NDArray[np.int_], int]:
    """Place of each hour among the years used (-1: left out), and their number."""
    found, place = np.unique(own.year, return_inverse=True)
    known = np.isfinite(own.temp_degc) & (own.day >= 0)
    whole = np.bincount(place[known], minlength=found.size) >= LEAST_WHOLE_SHARE * DAYS * HOURS
    if not whole.any():
        return np.where(own.day >= 0, 0, -1), 1
    kept = np.flatnonzero(whole)[-most:]
    of_year = np.full(found.size, -1)
    of_year[kept] = np.arange(kept.size)
    return np.where(own.day >= 0, of_year[place], -1), int(kept.size)


def _cube(values: Array, own: FileHours, place: NDArray[np.int_], years: int) -> Array:
    """Values at the middles of the hours [N, 365, 24], gaps filled from the days around at the same hour."""
    used = (place >= 0) & np.isfinite(values)
    if not used.any():
        raise ValueError("a column of a weather file without a single value")
    at = (place[used] * DAYS + own.day[used]) * HOURS + own.hour[used] - 0.5
    order = np.argsort(at, kind="stable")
    at, known = at[order], values[used][order]
    wanted = np.arange(years * DAYS * HOURS, dtype=np.float64)
    found = np.interp(wanted, at, known, period=years * DAYS * HOURS)
    near = np.searchsorted(at, wanted)
    apart = np.minimum(np.abs(at[np.minimum(near, at.size - 1)] - wanted), np.abs(at[np.maximum(near - 1, 0)] - wanted))
    by_hour = np.where(apart <= 1.0, found, np.nan).reshape(years * DAYS, HOURS)
    day = np.arange(years * DAYS, dtype=np.float64)
    for hour in np.flatnonzero(np.isnan(by_hour).any(axis=0)):
        there = np.isfinite(by_hour[:, hour])
        if there.any():
            by_hour[:, hour] = np.interp(day, day[there], by_hour[there, hour], period=day.size)
    return np.nan_to_num(by_hour, nan=float(np.mean(known))).reshape(years, DAYS, HOURS)


def _classes(ghi: Array, normals: Normals) -> tuple[made.Classes, Array]:
    """The class nearest to each day's light, and the day's light over the class's."""
    light = ghi.mean(axis=2)
    by_class = normals.class_steps.ghi_w_m2[:, :CLASSES].mean(axis=-1)
    edges = (by_class[:, 1:] + by_class[:, :-1]) / 2
    found = (light[:, :, None] > edges[None]).sum(axis=2)
    of_class = by_class[np.arange(DAYS)[None, :], found]
    bright = of_class > DIM_W_M2
    ratio = np.where(bright, light / np.where(bright, of_class, 1.0), 1.0)
    return found.astype(np.int_), ratio
