"""The last frost of spring by chance, from the lowest of each night over many made-up springs."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.sky.split import DAYS, MONTH_STARTS, joined

Array = NDArray[np.float64]

MIDSUMMER_DAY: Final = 181
"""1 July as a day of the year, 0 for 1 January: half a year from the cold of the northern winter."""
FREEZES_DEGC: Final = 12.4
FREEZES_SLOPE_K_DEG: Final = -0.215
FREEZES_LATITUDE_DEG: Final = (33.0, 68.0)
"""Mean of a night's coldest hour of a square degree below which its gardens freeze, by latitude: least squares over the
86 stations of tests/published/climate_last_frost.csv, which lie between these latitudes. Derived."""
MEASURED_FREEZES_DEGC: Final = 1.25
"""The same of an hour as measured: a thermometer's lowest lies below it. Set on eleven typical years,
of 0.5 to 1.25 °C (docs/method/hours.md)."""
GARDEN_FREEZES_DEGC: Final = tuple(np.arange(-6.0, 12.25, 0.25).tolist())
"""Levels looked through for a garden that knows its own day: stations lie from -3 to 11 °C (docs/method/hours.md)."""
NEAR_D: Final = 10.0
SPRINGS: Final = 96
"""Made-up springs: of 24, one in ten is told to some five days, of 96 to two or three. Judgement."""
SPRING_DAYS: Final = 196
"""Days from 1 January (1 July in the south) in which a spring's last frost can fall. Practice."""


def freezes_degc(latitude_deg: float) -> float:
    """Mean of a night's coldest hour, as made up from a place's normals, below which its gardens freeze [°C].

    Parameters: latitude_deg, south negative [°].
    Method: 12.4 - 0.215 latitude, held beyond 33° and 68° (docs/method/hours.md).
    """
    return FREEZES_DEGC + FREEZES_SLOPE_K_DEG * float(np.clip(abs(latitude_deg), *FREEZES_LATITUDE_DEG))


def last_frost_days(low_degc: Array, chances_frac: ArrayLike, *, south: bool, freezes_degc: float) -> Array:
    """Days of spring after which a share of years still freezes, days of the year from 0; NaN where fewer years freeze.

    Parameters: low_degc[N, 365], lowest of each night outdoors [°C]; chances_frac[k], shares of years [-]; south,
        whether spring comes in September; freezes_degc, lowest below which the garden freezes [°C]. Returns: [k].
    Method: for each year the last such night from midwinter to two weeks after midsummer.
    """
    first = MIDSUMMER_DAY if south else 0
    cold = np.roll(low_degc, -first, axis=1)[:, :SPRING_DAYS] < freezes_degc
    last = np.where(cold.any(axis=1), SPRING_DAYS - 1 - np.argmax(cold[:, ::-1], axis=1), -np.inf)
    found = np.quantile(last, 1.0 - np.asarray(chances_frac, dtype=np.float64), method="inverted_cdf")
    return np.where(np.isfinite(found), (np.where(np.isfinite(found), found, 0.0) + first) % DAYS, np.nan)


def frost_tail_d(low_degc: Array, half_doy: int, *, south: bool) -> int:
    """Days from the day after which half of a garden's springs freeze to that after which one in ten does.

    Parameters: low_degc[N, 365], lowest of each night outdoors [°C]; half_doy, the garden's own day for half of the
        springs, of the year from 0; south, as last_frost_days.
    Method: a garden's nights differ from those of its square degree by the lie of the land, by one step all spring:
        the garden is taken to freeze below those levels which bring half of the springs to within ten days of its own
        day, as two dozen springs tell a day no closer (docs/method/hours.md).
    """
    found = np.array([
        last_frost_days(low_degc, [0.5, 0.1], south=south, freezes_degc=level) for level in GARDEN_FREEZES_DEGC
    ])  # fmt: skip
    known = found[np.isfinite(found).all(axis=1)]
    if not known.size:
        return 0
    off = np.abs((known[:, 0] - half_doy + DAYS // 2) % DAYS - DAYS // 2)
    half, tenth = known[off <= max(float(off.min()), NEAR_D)].mean(axis=0)
    return round(float(tenth - half)) % DAYS


def nights_as_measured(low_degc: Array, own_degc: Array, own_day: NDArray[np.int_]) -> Array:
    """Made-up nights with the means and the spread of measured ones [N, 365].

    Parameters: low_degc[N, 365], lowest of each made-up night [°C]; own_degc[n], lowest of each measured day [°C];
        own_day[n], of the 365-day year from 0.
    Method: in each month the made-up nights are moved to the mean of the measured ones, and stretched about it to
        their spread, taken over three months. So every night of a file tells, not only the last cold one of a spring.
    """
    shift, ratio = np.zeros(12), np.ones(12)
    course = low_degc.mean(axis=0)
    for month, (start, stop) in enumerate(pairwise(MONTH_STARTS)):
        here = (own_day >= start) & (own_day < stop)
        made = float((low_degc[:, start:stop] - course[start:stop]).std())
        if here.any() and made > 0.0:
            off = own_degc[here] - course[own_day[here]]
            shift[month], ratio[month] = off.mean(), off.std() / made
    smooth = (np.roll(ratio, 1) + ratio + np.roll(ratio, -1)) / 3.0
    return np.asarray(course + joined(shift) + (low_degc - course) * joined(smooth))
