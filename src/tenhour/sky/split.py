"""From a month's light to every step of every day: clearness by day, day classes, beam and diffuse, the hours."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.sky import air

Array = NDArray[np.float64]

MONTH_DAYS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_STARTS: Final = np.concatenate([[0], np.cumsum(MONTH_DAYS)])
DAYS: Final = 365

CLASS_LEVEL_FRAC: Final = (0.1, 0.3, 0.5, 0.7, 0.9)
"""Levels of the five day classes: the middles of five equal parts of a month's days [-]."""

LEAST_H0_W_M2: Final = 5.0
"""A month with less sun above the atmosphere is dark: its spread says nothing [W m⁻²]. As in the normals' study."""

KT_BOUNDS: Final = (0.02, 0.80)
"""Clearness of a date [-]: no month's mean leaves this range in the stations of the normals' study. Measured there."""

DAY_KT_CEILING: Final = 0.85
"""Clearest single day, global over extraterrestrial [-]: stations reach 0.76-0.88 (98th percentile). Measured there."""

LOWEST_BEAM_DEG: Final = 2.0
"""Sun height below which all light is diffuse [°]: hills, haze and refraction decide there. Practice."""

CLEAREST_TURBIDITY: Final = 2.0
"""Linke turbidity of clean cold air [-], the least that limits the beam (Ineichen & Perez 2002). From memory."""

DRIFT_SHARE_CEILING: Final = 0.75
"""Most of a month's spread that may be put down to the lengthening of its days [-]. Judgement."""


class OutdoorSteps(NamedTuple):
    """Outdoor irradiance [W m⁻²] of each day, class and step: global and diffuse horizontal, direct normal."""

    ghi_w_m2: Array
    dhi_w_m2: Array
    dni_w_m2: Array


@lru_cache(maxsize=1)
def _hats() -> Array:
    """Weights [365, 12] that join twelve mid-month values by straight lines round the year; read only."""
    middle = (MONTH_STARTS[:-1] + MONTH_STARTS[1:]) / 2
    day = np.arange(DAYS) + 0.5
    found = np.stack([np.interp(day, middle, row, period=DAYS) for row in np.eye(12)], axis=1)
    found.setflags(write=False)
    return found


def _month_weights(weight_day: Array) -> Array:
    """Weights [12, 365] of each day in its month's mean, from weights by day; a month of zeros counts alike."""
    weights = np.zeros((12, DAYS))
    for m in range(12):
        days = slice(MONTH_STARTS[m], MONTH_STARTS[m + 1])
        part = weight_day[days]
        weights[m, days] = part / part.sum() if part.sum() > 0 else 1 / part.size
    return weights


def _mean_preserving(value_month: Array, weights: Array) -> Array:
    """Straight lines between mid-months whose weighted month means are the values given: [365]."""
    hats = _hats()
    knots = np.linalg.solve(weights @ hats, value_month)
    return np.asarray(hats @ knots)


def month_mean(value_day: Array) -> Array:
    """Mean over each month: [12, ...] from [365, ...], any unit.

    Parameters: value_day, days of the generic year come first.
    """
    return np.stack([value_day[a:b].mean(axis=0) for a, b in pairwise(MONTH_STARTS)])


def daily_clearness(kt_month: ArrayLike, h0_w_m2: ArrayLike) -> Array:
    """Clearness of each date, without steps between months, each month's light kept.

    Parameters: kt_month[12], month's global over extraterrestrial radiation [-]; h0_w_m2[365], extraterrestrial
        daily mean [W m⁻²].
    Returns: kt_day[365] [-]; the month's sum of kt_day · h0 equals kt_month times its sum of h0.
    Method: straight lines between mid-month values found from the twelve means; where a line leaves 0.02-0.80 it
        is cut there and the month scaled back to its mean.
    """
    kt, h0 = np.asarray(kt_month, dtype=np.float64), np.asarray(h0_w_m2, dtype=np.float64)
    day = np.clip(_mean_preserving(kt, _month_weights(h0)), *KT_BOUNDS)
    have, want = month_mean(day * h0), kt * month_mean(h0)
    scale = np.where(have > 0, want / np.where(have > 0, have, 1.0), 1.0)
    return np.asarray(day * np.repeat(scale, MONTH_DAYS))


def joined(value_month: ArrayLike) -> Array:
    """Straight lines through the middles of months: [365] from [12]; unlike daily_means, between its values."""
    middle = (MONTH_STARTS[:-1] + MONTH_STARTS[1:]) / 2
    value = np.asarray(value_month, dtype=np.float64)
    return np.asarray(np.interp(np.arange(DAYS) + 0.5, middle, value, period=DAYS))


def daily_means(value_month: ArrayLike) -> Array:
    """Value of each date [365], in the unit given, whose month means are the twelve values (air temperature)."""
    return _mean_preserving(np.asarray(value_month, dtype=np.float64), _month_weights(np.ones(DAYS)))


def _drift_free(ratio_month: Array, h0: Array) -> Array:
    """Spread about the mean without the part that comes from days growing longer within the month.

    The normals' levels are of all days of a month pooled; the squares of the two spreads add up.
    """
    level = month_mean(h0)
    with np.errstate(invalid="ignore", divide="ignore"):
        drift = month_mean(h0**2) / level**2 - 1
    total = ratio_month.var(axis=1)
    dark = (level < LEAST_H0_W_M2) | (total <= 0)
    share = np.where(dark, 0.0, drift / np.where(dark, 1.0, total))
    return np.asarray(np.sqrt(1 - np.minimum(share, DRIFT_SHARE_CEILING)))


def _levels(quantile_level_frac: Array, quantile_ratio: Array, level_frac: ArrayLike) -> Array:
    """Monthly ratios [12, k] at other levels, by straight lines between the levels given."""
    return np.stack([np.interp(np.asarray(level_frac), quantile_level_frac, row) for row in quantile_ratio])


def day_ratio(quantile_level_frac: Array, quantile_ratio: Array, h0_w_m2: Array, level_frac: ArrayLike) -> Array:
    """Light of the day at a level of the date's own distribution, over the date's mean.

    Parameters: quantile_level_frac[q] and quantile_ratio[12, q] as in SiteClimate; h0_w_m2[365] [W m⁻²];
        level_frac[k], share of days that are duller (0.2: the dull day).
    Returns: [365, k] [-].
    Method: the month's quantiles over the mean of its five classes, less the drift of day length within the
        month, joined by straight lines between mid-months.
    """
    classes = _levels(quantile_level_frac, quantile_ratio, CLASS_LEVEL_FRAC)
    mean = classes.mean(axis=1)[:, None]
    wanted = _levels(quantile_level_frac, quantile_ratio, np.atleast_1d(np.asarray(level_frac, dtype=np.float64)))
    narrower = _drift_free(classes / mean, np.asarray(h0_w_m2, dtype=np.float64))[:, None]
    return np.asarray(_hats() @ (1 + narrower * (wanted / mean - 1)))


def day_classes(quantile_level_frac: Array, quantile_ratio: Array, kt_day: Array, h0_w_m2: Array) -> Array:
    """Light of five equally likely days of each date over the date's mean.

    Parameters: quantile_level_frac[q], quantile_ratio[12, q] as in SiteClimate; kt_day[365] [-];
        h0_w_m2[365] [W m⁻²].
    Returns: [365, 5] [-], dullest first, mean 1; no day clearer than 0.85 of extraterrestrial.
    Method: day_ratio at 10, 30, 50, 70 and 90 %; what a ceiling cuts off is shared by the other classes.
    """
    ratio = np.maximum(day_ratio(quantile_level_frac, quantile_ratio, h0_w_m2, CLASS_LEVEL_FRAC), 0.0)
    ratio = ratio / ratio.mean(axis=1, keepdims=True)
    ceiling = DAY_KT_CEILING / np.maximum(kt_day, KT_BOUNDS[0])[:, None]
    for _ in range(len(CLASS_LEVEL_FRAC)):
        cut = ratio >= ceiling
        room = np.where(cut, 0.0, ratio).sum(axis=1)
        missing = len(CLASS_LEVEL_FRAC) - np.where(cut, ceiling, 0.0).sum(axis=1)
        scale = np.where(room > 0, missing / np.where(room > 0, room, 1.0), 1.0)
        ratio = np.where(cut, ceiling, ratio * scale[:, None])
    return ratio


# Daily diffuse share: Erbs, Klein & Duffie 1982, as in Duffie & Beckman, equations 2.11.1. From memory, checked.
_ERBS_WINTER: Final = (1.0, -0.2727, 2.4495, -11.9514, 9.3879)
_ERBS_WINTER_END: Final = (0.715, 0.143)
_ERBS_OTHER: Final = (1.0, 0.2832, -2.5557, 0.8448)
_ERBS_OTHER_END: Final = (0.722, 0.175)
ERBS_WINTER_SUNSET_DEG: Final = 81.4


def _polynomial(terms: tuple[float, ...], end: tuple[float, float], K: Array) -> Array:
    found = np.full_like(K, terms[-1])
    for term in terms[-2::-1]:  # Horner; the library's own of the same sums takes longer to load than a year of days
        found = term + found * K
    return np.where(end[0] <= K, end[1], found)


def daily_diffuse_frac(kt_day: ArrayLike, sunset_angle_deg: ArrayLike) -> Array:
    """Diffuse share of a day's global radiation.

    Parameters: kt_day, the day's clearness [-]; sunset_angle_deg, hour angle of sunset [°]; broadcast together.
    Returns: diffuse over global [-].
    Method: Erbs, Klein & Duffie 1982, daily relation, doi 10.1016/0038-092X(82)90302-4; share 1 at K = 0.
    """
    K = np.asarray(kt_day, dtype=np.float64)
    winter = np.asarray(sunset_angle_deg) <= ERBS_WINTER_SUNSET_DEG
    share = np.where(
        winter, _polynomial(_ERBS_WINTER, _ERBS_WINTER_END, K), _polynomial(_ERBS_OTHER, _ERBS_OTHER_END, K)
    )
    return np.clip(share, 0.0, 1.0)


# Collares-Pereira & Rabl 1979, Solar Energy 22:155, as in Duffie & Beckman, equation 2.13.2. From memory, checked.
_CPR_A: Final = (0.409, 0.5016)
_CPR_B: Final = (0.6609, -0.4767)
_CPR_SHIFT_DEG: Final = 60.0


class DayShape(NamedTuple):
    """Shares of a day's light in each step, [day, step], each day summing to 1; sunset_angle_deg[day] [°]."""

    global_share: Array
    diffuse_share: Array
    sunset_angle_deg: Array


def day_shape(zenith_deg: Array) -> DayShape:
    """How a day's global and diffuse light spreads over its steps.

    Parameters: zenith_deg[day, step], of the sun through whole days [°].
    Returns: DayShape; polar night, too, sums to 1, at its step nearest to noon.
    Method: Collares-Pereira & Rabl 1979 for global, Liu & Jordan 1960 for diffuse light, both normalised over the
        steps. The hour angle is read from the zenith itself: cos z = A + B cos ω over a day.
    """
    height = np.cos(np.deg2rad(zenith_deg))
    top, bottom = height.max(axis=1, keepdims=True), height.min(axis=1, keepdims=True)
    A, B = (top + bottom) / 2, np.maximum((top - bottom) / 2, 1e-9)  # B is 0 only at the very pole
    ws = np.rad2deg(np.arccos(np.clip(-A / B, -1.0, 1.0)))
    lean = np.sin(np.deg2rad(ws - _CPR_SHIFT_DEG))
    a, b = _CPR_A[0] + _CPR_A[1] * lean, _CPR_B[0] + _CPR_B[1] * lean
    diffuse = np.maximum(height, 0.0)
    night = diffuse.sum(axis=1) <= 0
    diffuse[night, np.argmax(height[night], axis=1)] = 1.0
    total = np.maximum(a + b * (height - A) / B, 0.0) * diffuse
    total = np.where(night[:, None], diffuse, total)
    return DayShape(total / total.sum(axis=1, keepdims=True), diffuse / diffuse.sum(axis=1, keepdims=True), ws[:, 0])


def beam_ceiling(zenith_deg: Array, extraterrestrial_w_m2: Array, elevation_m: float) -> Array:
    """Most direct normal irradiance that the clearest air lets through, none below 2° of sun height.

    Parameters: zenith_deg[day, step] [°]; extraterrestrial_w_m2[day], normal to the sun [W m⁻²]; elevation_m [m].
    Returns: [day, step] [W m⁻²].
    Method: :func:`clear_beam` at Linke turbidity 2.
    """
    up = zenith_deg < 90.0 - LOWEST_BEAM_DEG
    day = np.nonzero(up)[0]
    zenith = zenith_deg[up]
    airmass = air.absolute_airmass(zenith, elevation_m)
    ceiling = np.zeros(zenith_deg.shape)
    ceiling[up] = clear_beam(airmass, CLEAREST_TURBIDITY, elevation_m, extraterrestrial_w_m2[day])
    return ceiling


def clear_beam(airmass: Array, linke_ratio: float, elevation_m: float, extraterrestrial_w_m2: Array) -> Array:
    """Direct normal irradiance under a clear sky with the sun up [W m⁻²].

    Parameters: airmass, absolute [-]; linke_ratio, turbidity [-]; elevation_m [m]; extraterrestrial_w_m2, normal to
        the sun; arrays of one shape.
    Method: Ineichen & Perez 2002, doi 10.1016/S0038-092X(02)00045-2, read in pvlib, whose module of clear skies loads
        a library that nothing else here needs; tests hold it against that one.
    """
    low, high = math.exp(-elevation_m / 8000.0), math.exp(-elevation_m / 1250.0)
    haze = linke_ratio - 1.0
    dimmed = np.exp(-(3.92e-5 * elevation_m + 0.0387) * airmass * (low + high * haze))
    level = (5.09e-5 * elevation_m + 0.868) * extraterrestrial_w_m2 * dimmed
    beam = (0.664 + 0.163 / low) * extraterrestrial_w_m2 * np.exp(-0.09 * airmass * haze)
    share = 1.0 - (0.1 - 0.2 * math.exp(-linke_ratio)) / (0.1 + 0.882 / low)
    return np.asarray(np.minimum(beam, level * max(share, 0.0)))


def _diffuse_between(shape: Array, least: Array, most: Array, wanted: Array) -> Array:
    """Diffuse light proportional to a shape, held between two bounds by step, with the wanted mean if it can be.

    shape[day, 1, step]; least, most[day, class, step]; wanted[day, class] [W m⁻²].
    """
    scale = np.asarray(wanted)[..., None] * shape.shape[-1] * np.ones(1)
    dhi = np.clip(scale * shape, least, most)
    for _ in range(4):  # the set of free steps settles after two or three rounds
        free = (dhi > least) & (dhi < most)
        held = np.where(free, 0.0, dhi).sum(axis=-1, keepdims=True)
        loose = np.where(free, shape, 0.0).sum(axis=-1, keepdims=True)
        target = wanted[..., None] * shape.shape[-1] - held
        scale = np.where(loose > 0, np.maximum(target, 0.0) / np.where(loose > 0, loose, 1.0), scale)
        dhi = np.clip(scale * shape, least, most)
    return np.asarray(dhi)


def outdoor_steps(
    kt_class: Array,
    h0_w_m2: Array,
    zenith_deg: Array,
    extraterrestrial_w_m2: Array,
    elevation_m: float = 0.0,
) -> OutdoorSteps:
    """Global, diffuse and direct light outdoors in every step of every day and class.

    Parameters: kt_class[day, class], clearness of the day (kt_day × class ratio) [-]; h0_w_m2[day],
        extraterrestrial daily mean [W m⁻²]; zenith_deg[day, step], apparent, at mid-step [°];
        extraterrestrial_w_m2[day], normal to the sun [W m⁻²]; elevation_m [m].
    Returns: OutdoorSteps of [day, class, step]. The mean of ghi over a day's steps is kt_class · h0 exactly, and
        ghi = dhi + dni cos z in every step.
    Method: daily Erbs share; Collares-Pereira & Rabl and Liu & Jordan profiles; diffuse never above global, beam
        never above beam_ceiling (so none below 2°), what is cut being spread over the day's other steps.
    """
    shape = day_shape(zenith_deg)
    steps = zenith_deg.shape[1]
    day_mean = kt_class * h0_w_m2[:, None]
    ghi = day_mean[:, :, None] * shape.global_share[:, None, :] * steps
    cosine = np.maximum(np.cos(np.deg2rad(zenith_deg)), 0.0)
    ceiling = beam_ceiling(zenith_deg, extraterrestrial_w_m2, elevation_m) * cosine
    least = np.maximum(ghi - ceiling[:, None, :], 0.0)
    wanted = daily_diffuse_frac(kt_class, shape.sunset_angle_deg[:, None]) * day_mean
    dhi = _diffuse_between(shape.diffuse_share[:, None, :], least, ghi, wanted)
    with_beam = (ceiling > 0)[:, None, :]
    dhi = np.where(with_beam, dhi, ghi)
    dni = np.where(with_beam, (ghi - dhi) / np.where(cosine > 0, cosine, 1.0)[:, None, :], 0.0)
    return OutdoorSteps(ghi, dhi, dni)
