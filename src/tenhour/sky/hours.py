"""Hours of weather made from a place's normals: many winters whose months, cold spells and lowest nights are right."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.sky.extremes import Extremes
from tenhour.sky.split import (
    DAYS,
    LEAST_H0_W_M2,
    MONTH_DAYS,
    MONTH_STARTS,
    OutdoorSteps,
    daily_means,
    joined,
    month_mean,
)

Array = NDArray[np.float64]
Classes = NDArray[np.int_]

HOURS: Final = 24
CLASSES: Final = 5
WINTERS: Final = 24
"""Winters that answers rest on: twelve for means, thirty for one in ten. Judgement."""
SEED: Final = 20
LIGHT_DAY_TO_DAY_RATIO: Final = 0.3
"""Correlation of a day's light with the next day's [-]: as in sky.spread. Practice."""
MIDSUMMER_DAY: Final = 181
"""1 July as a day of the year, 0 for 1 January: half a year from the cold of the northern winter."""
SEASON_MIDDLE_D: Final = np.array([14.0, 105.0, 196.0, 288.0])
"""Middles of winter, spring, summer and autumn in the north, days of the year."""
COLD_SHARE: Final = 0.01
"""Share of a mean year's hours colder than its 99 % temperature [-]."""
LEAST_GAP_K: Final = 0.3
"""Least that a year's lowest lies below its 99 % temperature [K]. Judgement."""
STRETCH_FROM_K: Final = 3.0
"""A mild winter's own cold is stretched from no further above its lowest than this [K]. Judgement."""

LEAST_DEPRESSION_K: Final = 0.1

STEFAN_BOLTZMANN: Final = 5.670374e-8
"""[W m⁻² K⁻⁴], CODATA 2018."""
KELVIN: Final = 273.15
PRATA: Final = (46.5, 1.2, 3.0)
"""Clear sky, e = 1 - (1 + w) exp(-√(1.2 + 3 w)), w = 46.5 p/T: Prata 1996, Q. J. R. Meteorol. Soc. 122:1127. From
memory; checked against 15 German reference years (docs/method/hours.md)."""
WALTON: Final = (0.0224, -0.0035, 0.00028)
"""Rise with tenths of cloud: Walton 1983, as in the engine's own documents. Second-hand."""
MAGNUS: Final = (6.112, 17.62, 243.12)
"""Vapour pressure [hPa, -, °C]: WMO No. 8, annex 4.B. From memory."""


class Hours(NamedTuple):
    """Hours of weather, [N, 365, 24] unless said otherwise: N winters made up, or years of a file.

    Hour k of a day is k to k + 1 in the clock of the site's sun (days cut at solar midnight), days from 1 January.
    temp_degc, dew_degc [°C]; wind_m_s at 10 m in the open [m s⁻¹]; cloud_frac [-]; infrared_w_m2, from the sky on
    level ground; ghi_w_m2, dhi_w_m2 on level ground, dni_w_m2 normal to the sun, means of the hour [W m⁻²];
    light_class[N, 365], 0 dull to 4 bright; light_ratio[N, 365], the day's light over its class's. The years follow
    one another without a break, the first after the last.
    """

    temp_degc: Array
    dew_degc: Array
    wind_m_s: Array
    cloud_frac: Array
    infrared_w_m2: Array
    ghi_w_m2: Array
    dhi_w_m2: Array
    dni_w_m2: Array
    light_class: Classes
    light_ratio: Array

    def from_day(self, first: int) -> Hours:
        """The same chain cut at another day of the year, so that a winter is whole: day 0 is then ``first``."""

        def rolled(values: NDArray[Any]) -> NDArray[Any]:
            years, days = values.shape[:2]
            flat = values.reshape(years * days, *values.shape[2:])
            return np.roll(flat, -first, axis=0).reshape(values.shape)

        return Hours(*(rolled(part) for part in self))

    def series(self, first: int) -> Series:
        """The same as columns of hours, one per winter, beginning on a day of the year (0 for 1 January).

        Method: a black sky that radiates as much, σ T⁴ (Stefan-Boltzmann).
        """
        cut = self.from_day(first)

        def column(values: Array) -> Array:
            return np.ascontiguousarray(values.reshape(values.shape[0], -1).T)

        return Series(
            first_doy=first,
            temp_out_degc=column(cut.temp_degc),
            dew_point_degc=column(cut.dew_degc),
            temp_sky_degc=np.sqrt(np.sqrt(column(cut.infrared_w_m2) / STEFAN_BOLTZMANN)) - KELVIN,
            wind_m_s=column(cut.wind_m_s),
            ghi_w_m2=column(cut.ghi_w_m2),
            dni_w_m2=column(cut.dni_w_m2),
            dhi_w_m2=column(cut.dhi_w_m2),
            light_class=cut.light_class.T,
        )


class Series(NamedTuple):
    """Hours [8760, N] of N winters, hour 0 on the day ``first_doy`` (0 for 1 January); else as Hours.

    temp_out_degc, dew_point_degc, temp_sky_degc, of a black sky that radiates as much [°C]; wind_m_s [m s⁻¹];
    ghi_w_m2, dni_w_m2, dhi_w_m2 [W m⁻²]; light_class[365, N], day 0 on ``first_doy``.
    """

    first_doy: int
    temp_out_degc: Array
    dew_point_degc: Array
    temp_sky_degc: Array
    wind_m_s: Array
    ghi_w_m2: Array
    dni_w_m2: Array
    dhi_w_m2: Array
    light_class: Classes


class Normals(NamedTuple):
    """What the hours are made from.

    temp_month_degc[12] [°C]; kt_month[12] [-]; h0_w_m2[365], light above the air; class_steps, of [365, 5 or more, 24],
    light of the day classes by hour; south, whether the seasons are those of the south.
    """

    temp_month_degc: Array
    kt_month: Array
    h0_w_m2: Array
    class_steps: OutdoorSteps
    south: bool


class _Days(NamedTuple):
    """Scores and classes of the days [N, 365]."""

    warmth: Array
    light_class: Classes
    light_ratio: Array


def infrared_w_m2(temp_degc: ArrayLike, dew_degc: ArrayLike, cloud_frac: ArrayLike) -> Array:
    """Heat radiation of the sky on level ground [W m⁻²].

    Parameters: temp_degc, dew_degc, of the air [°C]; cloud_frac [-]; broadcast together.
    Method: Prata 1996 for the clear sky, times Walton 1983 for clouds, at most a black sky at air temperature.
    """
    T = np.asarray(temp_degc, dtype=np.float64) + KELVIN
    dew = np.asarray(dew_degc, dtype=np.float64)
    w = PRATA[0] * MAGNUS[0] * np.exp(MAGNUS[1] * dew / (MAGNUS[2] + dew)) / T
    clear = 1 - (1 + w) * np.exp(-np.sqrt(PRATA[1] + PRATA[2] * w))
    N = 10.0 * np.asarray(cloud_frac, dtype=np.float64)
    e = np.minimum(clear * (1 + N * (WALTON[0] + N * (WALTON[1] + N * WALTON[2]))), 1.0)
    square = T * T
    return np.asarray(e * STEFAN_BOLTZMANN * square * square)


def generated(
    normals: Normals, extremes: Extremes, rules: Mapping[str, Any], *, winters: int = WINTERS, seed: int = SEED
) -> Hours:
    """Winters of hours made up from a place's normals; the same for the same arguments.

    Parameters: normals; extremes of the place; rules, the tables of weather_hours.toml; winters, how many; seed.
    Returns: Hours of [winters, 365, 24].
    Method: docs/method/hours.md. Days of correlated warmth and light; every class of light comes equally often in
        each month; the cold side is stretched until one hour in a hundred is colder than the 99 % temperature, and
        each winter's cold until the yearly lowest follow their Gumbel distribution; months are set back to the
        normals over the winters used.
    """
    by_day = _Yearly.of(normals, rules)
    days = _days(normals, by_day, rules, winters, seed)
    synoptic, temp = _temperature(normals, by_day, days, extremes, rules, winters, seed)
    dew = _dew(temp, synoptic, by_day, days.light_class, rules)
    cloud = _between_noons(_cloud(normals, days.light_class, rules["cloud"]))
    day = np.arange(DAYS)[None, :]
    ghi, dhi, dni = (part[day, days.light_class] * days.light_ratio[..., None] for part in normals.class_steps)
    return Hours(
        temp_degc=temp,
        dew_degc=dew,
        wind_m_s=_wind(by_day, days, rules["wind"], seed),
        cloud_frac=cloud,
        infrared_w_m2=infrared_w_m2(temp, dew, cloud),
        ghi_w_m2=ghi,
        dhi_w_m2=dhi,
        dni_w_m2=dni,
        light_class=days.light_class,
        light_ratio=days.light_ratio,
    )


def nights(normals: Normals, extremes: Extremes, rules: Mapping[str, Any], *, winters: int, seed: int = SEED) -> Array:
    """Lowest of each night of the same winters [winters, 365] [°C], without the rest of their weather.

    Parameters: as of generated. Method: as there.
    """
    by_day = _Yearly.of(normals, rules)
    days = _days(normals, by_day, rules, winters, seed)
    return np.asarray(_temperature(normals, by_day, days, extremes, rules, winters, seed)[1].min(axis=2))


class MissingAir(NamedTuple):
    """What a file of temperature and light lacks, [N, 365, 24] as in Hours."""

    dew_degc: Array
    cloud_frac: Array
    wind_m_s: Array


def missing_air(
    temp_degc: Array, light_class: Classes, normals: Normals, rules: Mapping[str, Any], seed: int = SEED
) -> MissingAir:
    """Dew point, cloud and wind to go with known air and light.

    Parameters: temp_degc[N, 365, 24] [°C]; light_class[N, 365]; normals; rules and seed as in generated.
    """
    by_day = _Yearly.of(normals, rules)
    years = temp_degc.shape[0]
    ratio = float(rules["spread"]["day_to_day_ratio"])
    days = _Days(_noise(seed, 0, years, ratio), light_class, np.ones(light_class.shape))
    mean = np.broadcast_to(temp_degc.mean(axis=2, keepdims=True), temp_degc.shape)
    return MissingAir(
        _dew(temp_degc, mean, by_day, light_class, rules),
        _between_noons(_cloud(normals, light_class, rules["cloud"])),
        _wind(by_day, days, rules["wind"], seed),
    )


def _dew(temp: Array, synoptic: Array, by_day: _Yearly, light_class: Classes, rules: Mapping[str, Any]) -> Array:
    damp = _of_class(by_day.season, rules["damp"]["class_ratio"], light_class) * by_day.damp_k
    return np.asarray(np.minimum(temp - LEAST_DEPRESSION_K, synoptic - _between_noons(damp)))


class _Yearly(NamedTuple):
    """Courses through the year [365]: share of each season [365, 4], spread, swing [K], dew below the mean [K]."""

    season: Array
    spread_k: Array
    swing_k: Array
    damp_k: Array

    @classmethod
    def of(cls, normals: Normals, rules: Mapping[str, Any]) -> _Yearly:
        temp, span = normals.temp_month_degc, float(np.ptp(normals.temp_month_degc))
        spread, swing, damp = rules["spread"], rules["swing"], rules["damp"]
        spread_k = np.maximum(
            spread["base_k"] + spread["span_slope"] * span + spread["temp_slope"] * temp, spread["least_k"]
        )
        kt, h0 = daily_means(normals.kt_month), normals.h0_w_m2
        range_k = np.maximum(swing["base_k"] + swing["clear_slope"] * kt + swing["span_slope"] * span, swing["least_k"])
        swing_k = range_k * np.interp(h0, swing["light_w_m2"], swing["course_share"])
        damp_k = damp["base_k"] + damp["clear_slope"] * normals.kt_month + damp["temp_slope"] * temp
        damp_k = np.maximum(damp_k + damp["span_slope"] * span, damp["least_k"])
        return cls(_season_shares(normals.south), joined(spread_k), swing_k, joined(damp_k))


def _season_shares(south: bool) -> Array:
    """Shares [365, 4] of winter, spring, summer and autumn in a day's numbers, straight between their middles."""
    day = (np.arange(DAYS) + (MIDSUMMER_DAY if south else 0)) % DAYS
    return np.stack([np.interp(day, SEASON_MIDDLE_D, row, period=DAYS) for row in np.eye(4)], axis=1)


def _of_class(season: Array, table: ArrayLike, light_class: Classes) -> Array:
    """Factor of each day [N, 365] from a table by season and class [4, 5]."""
    by_day = season @ np.asarray(table, dtype=np.float64)
    return np.asarray(by_day[np.arange(DAYS)[None, :], light_class])


@lru_cache(maxsize=8)
def _noise(seed: int, stream: int, winters: int, ratio: float) -> Array:
    """Standard normal scores of days [N, 365], each correlated with the day before; read only.

    The first winters are the same for any number of them.
    """
    fresh = np.random.default_rng([seed, stream]).standard_normal(winters * DAYS) * np.sqrt(1 - ratio**2)
    if not ratio:
        return _set(fresh.reshape(winters, DAYS))
    start = fresh[0] / np.sqrt(1 - ratio**2)
    chain = np.fromiter(accumulate(fresh[1:].tolist(), lambda a, e: ratio * a + e, initial=start), np.float64)
    return _set(chain.reshape(winters, DAYS))


def _set(values: Array) -> Array:
    """Values that nobody may change any more."""
    values.setflags(write=False)
    return values


def _days(normals: Normals, by_day: _Yearly, rules: Mapping[str, Any], winters: int, seed: int) -> _Days:
    """Warmth and class of light of every day; classes come equally often in each month of all winters together."""
    spread = rules["spread"]
    warmth = _noise(seed, 0, winters, float(spread["day_to_day_ratio"]))
    together = by_day.season @ np.asarray(spread["light_ratio"])
    light = together * warmth + np.sqrt(1 - together**2) * _noise(seed, 1, winters, LIGHT_DAY_TO_DAY_RATIO)
    rank = np.empty((winters, DAYS), dtype=np.int_)
    for start, stop in pairwise(MONTH_STARTS):
        part = light[:, start:stop]
        order = np.empty(part.size, dtype=np.int_)
        order[np.argsort(part, axis=None)] = np.arange(part.size) * CLASSES // part.size
        rank[:, start:stop] = order.reshape(part.shape)
    by_class = normals.class_steps.ghi_w_m2.sum(axis=-1)[:, :CLASSES]
    drawn = by_class[np.arange(DAYS)[None, :], rank]
    want, have = month_mean(by_class.mean(axis=1)), month_mean(drawn.mean(axis=0))
    scale = np.where(have > 0, want / np.where(have > 0, have, 1.0), 1.0)
    ratio = np.broadcast_to(np.repeat(scale, MONTH_DAYS), rank.shape)
    return _Days(warmth, rank, ratio)


def _temperature(
    normals: Normals,
    by_day: _Yearly,
    days: _Days,
    extremes: Extremes,
    rules: Mapping[str, Any],
    winters: int,
    seed: int,
) -> tuple[Array, Array]:
    """Air without and with the course of the day [N, 365, 24], its cold tail as the extremes say."""
    mean = daily_means(normals.temp_month_degc)
    swing = by_day.swing_k * _of_class(by_day.season, rules["swing"]["class_ratio"], days.light_class)
    course = swing[..., None] * (by_day.season @ np.asarray(rules["swing"]["shape"]))[None]
    midnight = by_day.spread_k * float(rules["swing"]["midnight_ratio"]) * _noise(seed, 3, winters, 0.0)
    away = by_day.spread_k * days.warmth
    still = centred(_between_noons(mean + away, midnight) + course, normals.temp_month_degc)
    share = by_day.season @ np.asarray(rules["spread"]["stretch_share"])
    tail = centred(_between_noons(share * np.minimum(away, 0.0)), np.zeros(12))
    stretch = _stretch(still, tail, extremes.temp_99_degc)
    temp = _lowest_set(still + stretch * tail, extremes, normals.south)
    temp = centred(temp, normals.temp_month_degc)
    return temp - course, temp


def _between_noons(value_day: Array, midnight: Array | float = 0.0) -> Array:
    """Hours [N, 365, 24] on straight lines from noon to midnight to noon through the chain of years.

    value_day[N, 365], at noon; midnight[N, 365], what the midnight that begins the day lies off its neighbours' mean.
    """
    noon = value_day.reshape(-1)
    before = (np.roll(noon, 1) + noon) / 2 + np.reshape(np.broadcast_to(midnight, value_day.shape), -1)
    after = np.roll(before, -1)
    share = (np.arange(HOURS // 2) + 0.5) / (HOURS / 2)
    rise = before[:, None] + share * (noon - before)[:, None]
    fall = noon[:, None] + share * (after - noon)[:, None]
    return np.concatenate([rise, fall], axis=1).reshape(*value_day.shape, HOURS)


def centred(temp: Array, month: Array) -> Array:
    """Hours [N, 365, 24] moved so that their month means, over all years, are those wanted [12]; any unit."""
    off = month_mean(temp.mean(axis=(0, 2))) - month
    return np.asarray(temp - daily_means(off)[None, :, None])


def _stretch(still: Array, tail: Array, temp_99_degc: float) -> float:
    """Factor of the cold tail on top at which one hour in a hundred lies below the 99 % temperature."""
    count = int(COLD_SHARE * still.size)
    low, high = -0.8, 4.0
    ends = (still + low * tail).reshape(-1), (still + high * tail).reshape(-1)
    # so many hours are no warmer than this whatever the factor: one that is warmer at both ends is never the one sought
    most = np.partition(np.maximum(*ends), count)[count]
    cold = np.flatnonzero(np.minimum(*ends) <= most)
    still, tail = still.reshape(-1)[cold], tail.reshape(-1)[cold]

    def found(factor: float) -> float:
        return float(np.partition(still + factor * tail, count)[count])

    at_low, at_high = found(low), found(high)
    if temp_99_degc >= at_low:
        return low
    if temp_99_degc <= at_high:
        return high
    for _ in range(6):  # false position, halved where it sticks; within 0.05 K
        factor = low + (high - low) * (at_low - temp_99_degc) / (at_low - at_high)
        value = found(factor)
        if abs(value - temp_99_degc) < 0.05:
            return factor
        if value > temp_99_degc:
            low, at_low = factor, value
        else:
            high, at_high = factor, value
    return factor


def _lowest_set(temp: Array, extremes: Extremes, south: bool) -> Array:
    """Each winter's hours below the 99 % temperature stretched so that the winters' lowest follow the extremes."""
    shift = 0 if south else MIDSUMMER_DAY * HOURS
    winters = temp.shape[0]
    by_winter = np.roll(temp.reshape(-1), -shift).reshape(winters, -1)
    lowest = by_winter.min(axis=1)
    place = np.argsort(np.argsort(lowest))
    target = extremes.quantile((place + 0.5) / winters)
    bend = np.maximum(extremes.temp_99_degc, np.minimum(lowest, target) + STRETCH_FROM_K)
    target = np.minimum(target, bend - LEAST_GAP_K)
    factor = (bend - target) / np.maximum(bend - lowest, LEAST_GAP_K)
    row, column = np.nonzero(by_winter < bend[:, None])
    out = by_winter.copy()
    out[row, column] = bend[row] - factor[row] * (bend[row] - by_winter[row, column])
    return np.roll(out.reshape(-1), shift).reshape(temp.shape)


def _cloud(normals: Normals, light_class: Classes, rules: Mapping[str, Any]) -> Array:
    """Cloud cover of each day [N, 365], from its clearness, or its class where the sun is too low for one."""
    ghi = normals.class_steps.ghi_w_m2.mean(axis=-1)[:, :CLASSES]
    h0 = normals.h0_w_m2[:, None]
    cover = np.interp(ghi / np.maximum(h0, LEAST_H0_W_M2), rules["clearness"], rules["cover_frac"])
    cover = np.where(h0 >= LEAST_H0_W_M2, cover, np.asarray(rules["dark_class_frac"]))
    return np.asarray(cover[np.arange(DAYS)[None, :], light_class])


def _wind(by_day: _Yearly, days: _Days, rules: Mapping[str, Any], seed: int) -> Array:
    """Wind at 10 m [N, 365, 24]: log-normal days, calmer under a clear sky and by night."""
    with_warmth = by_day.season @ np.asarray(rules["warm_ratio"])
    winters = days.warmth.shape[0]
    own = _noise(seed, 2, winters, float(rules["day_to_day_ratio"]))
    score = with_warmth * days.warmth + np.sqrt(1 - with_warmth**2) * own
    sigma = float(np.sqrt(np.log1p(rules["day_sd_ratio"] ** 2)))
    day = np.exp(sigma * score - sigma**2 / 2) * np.asarray(rules["class_ratio"])[days.light_class]
    night = 1.0 - by_day.season @ np.asarray(rules["night_ratio"])
    hour = -np.cos(2 * np.pi * (np.arange(HOURS) + 0.5 - 2.0) / HOURS)  # least at two, most at fourteen
    return np.asarray(rules["mean_m_s"] * day[..., None] * (1.0 + night[:, None] * hour)[None])
