"""The lamp season on the calendar and the clock: which days, which windows, how many kilowatt-hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.cost import Bill, bill
from tenhour.lamps.timer import DayPlan, Season, Window, lit_union_h, plan_day, run_slots_s
from tenhour.plan.dates import DAYS, day_index, last_on_or_before, next_on_or_after

Array = NDArray[np.float64]

MONTHS: Final = 12
WORTH_FRAC: Final = 0.05
"""Two windows a day are only planned if they save this much. Judgement."""


@dataclass(frozen=True)
class SunClock:
    """The 15th of each month on the local clock, all (12,); dawn and sunrise are any number where there is none."""

    dawn_h: Array
    photoperiod_h: Array
    sunrise_h: Array
    daylength_h: Array
    zone: str


@dataclass(frozen=True)
class LampCalendar:
    """Days with lamps, the plan of each month, and what the clock adds up to."""

    days: tuple[date, ...]
    on_from: date | None
    off_from: date | None
    plans: tuple[DayPlan | None, ...]
    """By month; None where the lamps stay off."""
    lit_h: Array
    """(12,) hours with the sun up or lamps on."""
    bill: Bill
    billed: tuple[date, ...] = ()
    """Those of the days whose electricity is counted."""


def season_days(
    season: Season, today: date, first: date | None, last: date | None
) -> tuple[tuple[date, ...], date | None, date | None]:
    """Dates with lamps, first lamp day and first day without, in the season that holds or follows today.

    Parameters: season; today; first, last, the time asked about (both included), or None.
    Returns: (dates, on_from, off_from); off_from is None where the lamps are never off.
    """
    start = first or today
    if season.off_from_doy is None or season.on_from_doy is None:
        if not season.lamp_days.any():
            return (), None, None
        end = last or start + timedelta(days=DAYS - 1)
        return _run(start, end), start, (end + timedelta(days=1) if last else None)
    off = next_on_or_after(season.off_from_doy - 1, start + timedelta(days=1))
    on = last_on_or_before(season.on_from_doy - 1, off)
    if first is not None:
        on = max(on, first)
    if last is not None:
        off = min(off, last + timedelta(days=1))
    return (_run(on, off - timedelta(days=1)), on, off) if on < off else ((), None, None)


def _run(first: date, last: date) -> tuple[date, ...]:
    return tuple(first + timedelta(days=n) for n in range((last - first).days + 1))


def month_plans(
    sun: SunClock,
    hours_h: Array,
    limit_h: float,
    prices: Sequence[float] | None,
    windows_count: int | None,
) -> tuple[DayPlan | None, ...]:
    """Windows of each month for the lamp hours it needs.

    Parameters: sun; hours_h, (12,) lamp hours, 0 for none; limit_h, longest day; prices, (24,) or None; windows_count,
        most windows a day, or None: one, and two where the tariff rewards it.
    Returns: twelve plans, None where no lamp hours are needed.
    """
    found: list[DayPlan | None] = []
    for m in range(MONTHS):
        if hours_h[m] <= 0:
            found.append(None)
            continue
        # A day that is longer than the limit by itself keeps the lamps inside it.
        limit = max(limit_h, float(sun.photoperiod_h[m])) if sun.photoperiod_h[m] > 0 else limit_h
        day = (float(sun.dawn_h[m]), float(sun.photoperiod_h[m]), float(hours_h[m]), limit)
        one = plan_day(*day, prices, windows_count or 1)
        if windows_count is None and prices is not None:
            two = plan_day(*day, prices, 2)
            one = two if _price(two, prices) < _price(one, prices) * (1 - WORTH_FRAC) else one
        found.append(one)
    return tuple(found)


def _price(plan: DayPlan, prices: Sequence[float]) -> float:
    hours = np.concatenate([np.arange(w.on_h, w.off_h, 1 / 4) for w in plan.windows])
    return float(np.asarray(prices)[np.floor(hours).astype(int) % len(prices)].sum())


def calendar(
    season: Season,
    sun: SunClock,
    hours_h: Array,
    limit_h: float,
    power_w: float,
    today: date,
    first: date | None = None,
    last: date | None = None,
    prices: Sequence[float] | None = None,
    windows_count: int | None = None,
) -> LampCalendar:
    """Put lamp hours on calendar and clock and add them up, from today or the first day on.

    Parameters: season; sun; hours_h, (12,); limit_h; power_w that all fixtures draw; today; first, last; prices, (24,)
        by local hour; windows_count.
    Returns: LampCalendar. Months without a day in the season carry no plan.
    """
    days, on, off = season_days(season, today, first, last)
    counted = np.bincount([d.month - 1 for d in days], minlength=MONTHS) if days else np.zeros(MONTHS)
    plans = month_plans(sun, np.where(counted > 0, hours_h, 0.0), limit_h, prices, windows_count)
    days = tuple(d for d in days if plans[d.month - 1] is not None)
    billed = tuple(d for d in days if d >= (first or today))
    slots = run_slots_s(billed, [_windows(plans[d.month - 1]) for d in billed], sun.zone)
    lit = np.array(
        [lit_union_h(_windows(plans[m]), float(sun.sunrise_h[m]), float(sun.daylength_h[m])) for m in range(MONTHS)]
    )
    if not days:
        on = off = None
    return LampCalendar(days, on, off, plans, lit, bill(slots, power_w, prices, sun.zone), billed)


def billed_until(
    clock: LampCalendar, sun: SunClock, power_w: float, prices: Sequence[float] | None, last: date
) -> LampCalendar:
    """The calendar with the electricity of its days up to one alone.

    Parameters: clock; sun; power_w drawn; prices, (24,) by local hour; last, last day counted.
    """
    days = tuple(day for day in clock.billed if day <= last)
    slots = run_slots_s(days, [_windows(clock.plans[d.month - 1]) for d in days], sun.zone)
    return replace(clock, bill=bill(slots, power_w, prices, sun.zone), billed=days)


def _windows(plan: DayPlan | None) -> tuple[Window, ...]:
    return plan.windows if plan is not None else ()


def days_by_month(days: Sequence[date]) -> NDArray[np.intp]:
    """How many of the dates fall into each month (12,)."""
    return np.bincount([d.month - 1 for d in days], minlength=MONTHS).astype(np.intp)


def on_day(days: Sequence[date]) -> NDArray[np.bool_]:
    """Days of the generic year (365,) that are among the dates."""
    out = np.zeros(DAYS, dtype=bool)
    out[[day_index(d) for d in days]] = True
    return out
