"""When lamps burn: windows on the local clock that join the day, keep the night, and follow the change of the clock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final, NamedTuple
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

SLOT_H: Final = 0.25
"""A quarter of an hour, the step of plain mechanical timers. Practice."""
ONE_BLOCK_H: Final = 1.5
"""A single window over the whole day may leave the lit span this much shorter than it could be. Judgement."""
DAY_H: Final = 24.0
DAY_S: Final = 86_400
SLOT_S: Final = 900
DAY_SLOTS: Final = 96
ROUNDING_SLOTS: Final = 1e-6
QUIET_HOURS: Final = (22.0, 5.0)
"""Part of the night when lit windows disturb people most; only breaks ties. Judgement."""
RUNNING_MEAN_DAYS: Final = 10
"""Span of the mean that decides first and last lamp day: facts rule "the 10-day mean stays at the target". Practice."""
DEADBAND_RATIO: Final = 1.5
"""A sensor switches off this far above the light it switches on below, so that clouds do not chatter. Practice."""


class Window(NamedTuple):
    """Lamps on from on_h to off_h on the local clock; off_h beyond 24 is on the next day."""

    on_h: float
    off_h: float


class DayPlan(NamedTuple):
    """Windows of one day, the hours they add up to, and the unbroken span of sun or lamps they leave [h]."""

    windows: tuple[Window, ...]
    lamp_h: float
    photoperiod_h: float


@dataclass(frozen=True)
class DayFrame:
    """One day as the timer sees it: civil dawn on the clock [h], hours of civil daylight, longest day allowed."""

    dawn_h: float
    daylight_h: float
    limit_h: float


def _slots(hours: float) -> int:
    return int(np.floor(hours / SLOT_H + ROUNDING_SLOTS))


def _slots_up(hours: float) -> int:
    return int(np.ceil(hours / SLOT_H - ROUNDING_SLOTS))


_HOUR_OF_SLOT: Final = (np.arange(DAY_SLOTS) * SLOT_H).astype(np.intp)
_QUIET: Final = np.array([slot >= _slots(QUIET_HOURS[0]) or slot < _slots(QUIET_HOURS[1]) for slot in range(DAY_SLOTS)])


def plan_day(
    dawn_h: float,
    daylight_h: float,
    lamp_h: float,
    limit_h: float,
    prices: ArrayLike | None = None,
    windows_count: int = 1,
) -> DayPlan:
    """Choose when the lamps burn on one day.

    Parameters: dawn_h, civil dawn on the local clock, any value where daylight_h is 0; daylight_h, dawn to dusk by
        civil twilight, 0-24; lamp_h, hours wanted, rounded up to quarters; limit_h, longest unbroken span of sun or
        lamps the crop stands; prices, (24,) by local hour, or None; windows_count, 1 or 2 windows at most.
    Returns: DayPlan. Lamps join the day without a dark gap, lengthen it up to the limit and spend only the rest inside
        it, at its dim ends; of such plans the cheapest, then the one with least light from ten to five, then evening.
    Method: every placement on a grid of quarter hours is tried; the night stays one unbroken block.
    """
    frame = DayFrame(dawn_h, min(max(daylight_h, 0.0), DAY_H), min(limit_h, DAY_H))
    wanted = min(_slots_up(lamp_h), _slots(frame.limit_h))
    if wanted <= 0:
        return DayPlan((), 0.0, frame.daylight_h)
    tariff = np.zeros(int(DAY_H)) if prices is None else np.asarray(prices, dtype=np.float64)
    plans = _placements(frame, wanted)
    if frame.daylight_h == 0 and windows_count > 1 and len(set(tariff.tolist())) > 1:
        plans += _with_pause(frame, wanted, tariff)
    if prices is None or len(set(np.asarray(prices, dtype=np.float64).tolist())) == 1:
        plans += _earlier(plans, frame)
    plans = [p for p in plans if len(p) <= max(windows_count, 1)] or plans
    best = min(plans, key=lambda p: _rank(p, tariff))
    return DayPlan(best, wanted * SLOT_H, _span_h(frame, best))


def _placements(frame: DayFrame, wanted: int) -> list[tuple[Window, ...]]:
    """Every way to lay the wanted quarter hours around the day."""
    dawn, dusk = _slots_up(frame.dawn_h), _slots(frame.dawn_h + frame.daylight_h)
    inside_day = max(dusk - dawn, 0)
    outside = min(wanted, max(_slots(frame.limit_h - frame.daylight_h), 0))
    inside = wanted - outside
    if inside_day == 0 or inside >= inside_day:
        return _one_block(frame, wanted)
    found = []
    for before in range(outside + 1):
        for early in range(inside + 1):
            morning = _window(dawn - before, before + early)
            evening = _window(dusk - (inside - early), outside - before + inside - early)
            found.append(tuple(w for w in (morning, evening) if w is not None))
    if wanted >= _slots(frame.limit_h - ONE_BLOCK_H):
        found += _one_block(frame, wanted)
    return found


def _with_pause(frame: DayFrame, wanted: int, prices: Array) -> list[tuple[Window, ...]]:
    """The cheapest two windows in the dark, with a pause by day between them where power is dear.

    Both and the pause stay within the longest day the crop stands, so that the night stays one block.
    """
    upto = np.concatenate([[0.0], np.cumsum(np.tile(prices.repeat(DAY_SLOTS // len(prices)), 2))])
    spans = np.arange(wanted + 1, _slots(frame.limit_h) + 1)
    if not len(spans) or wanted < 2:
        return []
    start, span, early = np.ix_(np.arange(DAY_SLOTS), spans, np.arange(1, wanted))
    late = start + span - (wanted - early)
    cost = upto[start + early] - upto[start] + upto[start + span] - upto[late]
    # the shortest pause of those that cost least
    which = np.argwhere(cost.round(9) == cost.min().round(9))
    which = which[which[:, 1] == which[:, 1].min()]
    found = [(int(s), int(spans[n]), int(e) + 1) for s, n, e in which]
    return [
        (Window(s * SLOT_H, (s + e) * SLOT_H), Window((s + n - wanted + e) * SLOT_H, (s + n) * SLOT_H))
        for s, n, e in found
    ]


def _earlier(plans: Sequence[tuple[Window, ...]], frame: DayFrame) -> list[tuple[Window, ...]]:
    """Single evening windows moved forward into the day until people sleep: the same light, a shorter day."""
    bedtime, dawn, dusk = QUIET_HOURS[0], _slots_up(frame.dawn_h), _slots(frame.dawn_h + frame.daylight_h)
    found: list[tuple[Window, ...]] = []
    for plan in plans:
        late = _slots_up(plan[-1].off_h - bedtime)
        start, end = round(plan[0].on_h / SLOT_H) - late, round(plan[-1].off_h / SLOT_H) - late
        if len(plan) == 1 and late > 0 and start >= dawn and end >= dusk:
            found.append((Window(start * SLOT_H, end * SLOT_H),))
    return found


def _window(start: int, length: int) -> Window | None:
    return Window(start * SLOT_H, (start + length) * SLOT_H) if length > 0 else None


def _one_block(frame: DayFrame, wanted: int) -> list[tuple[Window, ...]]:
    """One unbroken window that covers the whole day, or, without a day, any window."""
    last = _slots(frame.dawn_h)
    first = _slots_up(frame.dawn_h + frame.daylight_h) - wanted
    if frame.daylight_h == 0:
        first, last = 0, DAY_SLOTS - 1
    starts = range(first, last + 1) if first <= last else (first,)
    return [(Window(s * SLOT_H, (s + wanted) * SLOT_H),) for s in starts]


def _slots_of(windows: Sequence[Window]) -> NDArray[np.intp]:
    parts = [np.arange(round(w.on_h / SLOT_H), round(w.off_h / SLOT_H), dtype=np.intp) for w in windows]
    return (parts[0] if len(parts) == 1 else np.concatenate(parts)) % DAY_SLOTS


def _rank(windows: Sequence[Window], prices: Array) -> tuple[float, int, int, float]:
    """Price of one watt run through the windows, quarter hours in the quiet of the night, windows, and how late."""
    slots = _slots_of(windows)
    quiet = int(_QUIET[slots].sum())
    return round(float(prices[_HOUR_OF_SLOT[slots]].sum()), 9), quiet, len(windows), -windows[0].on_h


def _span_h(frame: DayFrame, windows: Sequence[Window]) -> float:
    """Unbroken span of civil daylight and lamps [h]."""
    start = min(w.on_h for w in windows)
    end = max(w.off_h for w in windows)
    if frame.daylight_h > 0:
        start, end = min(start, frame.dawn_h), max(end, frame.dawn_h + frame.daylight_h)
    return min(end - start, DAY_H)


def span_h(windows: Sequence[Window], dawn_h: float, daylight_h: float) -> float:
    """Unbroken span from the first to the last light of civil day and lamps.

    Parameters: windows on the local clock, at least one; dawn_h, on it [h]; daylight_h, civil [h]. Returns: [h], 0-24.
    """
    return _span_h(DayFrame(dawn_h, daylight_h, DAY_H), windows)


def lit_union_h(windows: Sequence[Window], sunrise_h: float, daylength_h: float) -> float:
    """Hours with the sun up or lamps on.

    Parameters: windows on the local clock; sunrise_h on the local clock; daylength_h, sunrise to sunset.
    Returns: hours [h], 0-24.
    Method: counted on a fine clock of 24 h, so hours in both count once (definition of lit hours).
    """
    fine = np.arange(DAY_SLOTS * DAY_SLOTS) / DAY_SLOTS * SLOT_H
    lit = np.mod(fine - sunrise_h, DAY_H) < daylength_h
    for w in windows:
        lit |= np.mod(fine - w.on_h, DAY_H) < (w.off_h - w.on_h)
    return float(lit.mean() * DAY_H)


def clock_text(hour_h: float) -> str:
    """Clock time HH:MM of an hour on the 24 h circle.

    >>> clock_text(25.5), clock_text(-0.25)
    ('01:30', '23:45')
    """
    minutes = round(hour_h * 60) % (24 * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _utc_s(day: date, hour_h: float, zone: ZoneInfo) -> int:
    """Moment at which the local clock shows an hour; hours beyond 24 fall on the next day, missing hours shift on."""
    days, rest = divmod(hour_h, DAY_H)
    minutes = round(rest * 60)
    local = datetime.combine(day + timedelta(days=int(days)), time(minutes // 60, minutes % 60), tzinfo=zone)
    return round(local.timestamp())


def run_slots_s(days: Sequence[date], windows: Sequence[Sequence[Window]], zone: str) -> NDArray[np.int64]:
    """Quarter hours in which lamps on a local-clock timer burn.

    Parameters: days, n dates; windows, n lists of windows that start on those dates; zone, IANA time zone name.
    Returns: starts of the quarter hours, seconds since 1970 (UTC). On days when the clock changes a window across the
        change is an hour shorter or longer, as a timer on local time makes it.
    """
    tz = ZoneInfo(zone)
    parts = [
        np.arange(_utc_s(day, window.on_h, tz), _utc_s(day, window.off_h, tz), SLOT_S, dtype=np.int64)
        for day, todays in zip(days, windows, strict=True)
        for window in todays
    ]
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.int64)


def local_clock_s(moments_s: NDArray[np.int64], zone: str) -> NDArray[np.int64]:
    """Moments as the local clock shows them, counted as if it never changed.

    Parameters: moments_s, seconds since 1970 (UTC); zone, IANA time zone name.
    Returns: the same shape: seconds since 1970 by the local clock.
    """
    tz = ZoneInfo(zone)
    hours, place = np.unique(moments_s // SLOT_S, return_inverse=True)
    # the offset is the same all day but where it differs between the day's ends
    days, of_day = np.unique(hours // DAY_SLOTS, return_inverse=True)
    early, late = (np.array([_ahead_s(int(day) * DAY_S, tz) for day in days + n], dtype=np.int64) for n in (0, 1))
    ahead = early[of_day]
    for n in np.flatnonzero((early != late)[of_day]):
        ahead[n] = _ahead_s(int(hours[n]) * SLOT_S, tz)
    return np.asarray(moments_s + ahead[place].reshape(moments_s.shape))


def _ahead_s(moment_s: int, zone: ZoneInfo) -> int:
    ahead = datetime.fromtimestamp(moment_s, zone).utcoffset()
    return 0 if ahead is None else round(ahead.total_seconds())


def clock_changes(first: date, last: date, zone: str) -> list[tuple[date, float]]:
    """Dates from first to last on which the local clock is put on or back, with the shift [h] (positive: put on)."""
    tz = ZoneInfo(zone)
    found = []
    for n in range((last - first).days + 1):
        day = first + timedelta(days=n)
        before = datetime.combine(day, time(0), tzinfo=tz).utcoffset()
        after = datetime.combine(day + timedelta(days=1), time(0), tzinfo=tz).utcoffset()
        if before is not None and after is not None and before != after:
            found.append((day, (after - before).total_seconds() / 3600))
    return found


class Season(NamedTuple):
    """First lamp day of autumn and first day without lamps (day of the year, 1-365); None where there is none."""

    on_from_doy: int | None
    off_from_doy: int | None
    lamp_days: NDArray[np.bool_]


def lamp_season(daily_dli_mol_m2_d: ArrayLike, target_dli_mol_m2_d: float) -> Season:
    """When the bed's own light falls short of the target.

    Parameters: daily_dli_mol_m2_d, (365,) daylight on the bed by day of the year; target_dli_mol_m2_d, light wanted.
    Returns: Season; lamp_days (365,) true from the first to the last short day round the darkest one. Both days are
        None where light never or always falls short.
    Method: ten-day mean centred on each day; lamps end on the first day from which it stays at the target until
        midsummer (the crest of the yearly wave), and begin on the first day after it on which it falls short.
    """
    light = np.asarray(daily_dli_mol_m2_d, dtype=np.float64)
    mean = _running_mean(light)
    short = mean < target_dli_mol_m2_d
    if not short.any() or short.all():
        return Season(None, None, short)
    brightest = _midsummer(mean)
    turned = np.roll(short, -brightest)
    first, last = int(np.argmax(turned)), int(turned.size - 1 - np.argmax(turned[::-1]))
    lamp = np.zeros(turned.size, dtype=bool)
    lamp[first : last + 1] = True
    size = turned.size
    on, off = (first + brightest) % size + 1, (last + 1 + brightest) % size + 1
    return Season(on, off, np.roll(lamp, brightest))


def _midsummer(values: Array) -> int:
    """Place of the bright half-year's middle: the phase of the yearly wave, which no single bright spell moves."""
    turn = np.exp(2j * np.pi * np.arange(values.size) / values.size)
    return round(float(np.angle(values @ turn)) / (2 * np.pi) * values.size) % values.size


def _running_mean(values: Array) -> Array:
    """Ten-day mean round the year, centred."""
    half = RUNNING_MEAN_DAYS // 2
    rolled = [np.roll(values, shift) for shift in range(-half, RUNNING_MEAN_DAYS - half)]
    return np.asarray(np.mean(rolled, axis=0))


def sensor_rule_umol_m2_s(target_dli_mol_m2_d: float, lit_h: float) -> tuple[float, float]:
    """Light on the bed below which a light sensor lets the lamps burn, and above which it stops them.

    Parameters: target_dli_mol_m2_d, light wanted; lit_h, hours of sun or lamps, > 0.
    Returns: (on below, off above) [µmol m⁻² s⁻¹].
    Method: on below the steady flux that would give the target in those hours; off 1.5 times above it. Practice.
    """
    on_below = target_dli_mol_m2_d / (lit_h * 3600 * 1e-6)
    return on_below, on_below * DEADBAND_RATIO
