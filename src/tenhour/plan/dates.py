"""Calendar dates against the generic year of 365 days that the light is computed for."""

from __future__ import annotations

import calendar
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.units import GENERIC_YEAR

DAYS: Final = 365
LEAP_DAY: Final = (2, 29)
LEAP_DAY_INDEX: Final = 58
"""29 February takes the light of 28 February; the generic year has none of its own."""
MID_MONTH_DAY: Final = 15
MONTH_OF_DAY: Final[NDArray[np.int64]] = np.repeat(
    np.arange(1, 13), [calendar.monthrange(GENERIC_YEAR, month)[1] for month in range(1, 13)]
)
"""Month 1-12 of each day of the generic year."""


def day_index(on: date) -> int:
    """Day of the generic year, 0 for 1 January; 29 February counts as 28 February."""
    if (on.month, on.day) == LEAP_DAY:
        return LEAP_DAY_INDEX
    return (date(GENERIC_YEAR, on.month, on.day) - date(GENERIC_YEAR, 1, 1)).days


def date_of_index(index: int, year: int) -> date:
    """Return the date in ``year`` that falls on a day of the generic year."""
    generic = date(GENERIC_YEAR, 1, 1) + timedelta(days=int(index) % DAYS)
    return date(year, generic.month, generic.day)


def next_on_or_after(index: int, start: date) -> date:
    """Return the first date on or after ``start`` with this day of the generic year."""
    if day_index(start) == int(index) % DAYS:
        return start
    found = date_of_index(index, start.year)
    return found if found >= start else date_of_index(index, start.year + 1)


def last_on_or_before(index: int, end: date) -> date:
    """Return the last date on or before ``end`` with this day of the generic year."""
    if day_index(end) == int(index) % DAYS:
        return end
    found = date_of_index(index, end.year)
    return found if found <= end else date_of_index(index, end.year - 1)


def begun_or_next(index: int, length_d: int, on: date) -> date:
    """Begin of a stretch of days that comes every year: of the one that is on, or else of the next.

    Parameters: index, day of the generic year on which it begins; length_d, its days by the calendar; on.
    """
    last = last_on_or_before(index, on)
    return last if (on - last).days < length_d else next_on_or_after(index, on)


def next_mid_month(month: int, today: date) -> date:
    """Return the next 15th of a month (1-12), today included."""
    found = date(today.year, month, MID_MONTH_DAY)
    return found if found >= today else date(today.year + 1, month, MID_MONTH_DAY)


def month_means(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Mean over the days of each month; ``values`` is [..., 365], the result [..., 12]."""
    return np.stack([values[..., month == MONTH_OF_DAY].mean(axis=-1) for month in range(1, 13)], axis=-1)


def wrap_mean(values: NDArray[np.float64], window_d: int) -> NDArray[np.float64]:
    """Centred running mean of ``window_d`` days round the year; ``values`` is [..., 365]."""
    half = window_d // 2
    padded = np.concatenate([values[..., -half:], values, values[..., : window_d - 1 - half]], axis=-1)
    total = np.cumsum(np.concatenate([np.zeros((*values.shape[:-1], 1)), padded], axis=-1), axis=-1)
    return np.asarray((total[..., window_d:] - total[..., :-window_d]) / window_d)


def day_columns() -> dict[str, NDArray[np.int64]]:
    """Day of the year from 1, month and day of the month of each day of the generic year, as columns [365]."""
    day = np.arange(1, DAYS + 1)
    begun = np.searchsorted(MONTH_OF_DAY, MONTH_OF_DAY)
    return {"day_doy": day, "month": MONTH_OF_DAY.copy(), "day": day - begun}
