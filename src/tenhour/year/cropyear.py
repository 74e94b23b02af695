"""One crop on one bed through a year: its weeks, dates, spans and sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.season import CropSeason, Route, SowWeek, Span, SpanKind
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS, next_on_or_after
from tenhour.plan.sowing import STANDING_WAYS, Decision, by_day
from tenhour.words.year import (
    TrayWords,
    YearWords,
    flag_sentences,
    plants_sentence,
    short_name,
    tray_sentence,
    year_sentence,
)
from tenhour.year.routes import Routes, kept_count, route_of, tray_route
from tenhour.year.sow import WEEK_D, Table
from tenhour.year.stands import Stands
from tenhour.year.supply import seed_for_g
from tenhour.year.weeks import WEEKS, YearWeeks, numbers, wholes

Array = NDArray[np.float64]
Dates = tuple[date, date]

GOOD: Final = ("sow", "slow")
SPAN_OF_WAY: Final[dict[str, SpanKind]] = {"seed-fed": "trays", "bulb": "trays", "transplant": "raise"}
DEAR_D: Final = 10.0
"""A week's wait that costs less than this is not worth a sentence: judgement."""


@dataclass(frozen=True)
class Year:
    """Everything about all crops on all beds that their seasons are made of."""

    table: Table
    weeks: YearWeeks
    decisions: tuple[tuple[Decision, ...], ...]
    """By crop and bed."""
    stands: Stands
    routes: Routes


@dataclass(frozen=True)
class _Winter:
    """What is there when the dark begins, and while it lasts."""

    window: plan.WinterWindow | None
    hold: Dates | None
    picking: tuple[float | None, ...]


def crop_season(year: Year, crop: int, bed: int) -> CropSeason:
    """Everything about one crop on one bed."""
    table, chosen = year.table, year.table.crops[crop]
    weeks = _weeks(year, crop, bed)
    winter = _winter(year, crop, bed)
    spans = _spans(chosen, table.on, weeks, winter)
    decision = year.decisions[crop][bed]
    on = table.on
    sow_by = None if winter.window is None else next_on_or_after(winter.window.last, on)
    pays = None
    if decision.pays_from is not None and chosen.way in STANDING_WAYS:
        pays = next_on_or_after(decision.pays_from, on)
    cost = year.weeks.waiting_cost_d[crop, bed, :WEEKS]
    sown = year.weeks.code[crop, bed, :WEEKS] >= plan.STATES.index("drawn")
    dear = np.where(sown & np.isfinite(cost), cost, -np.inf)
    week = int(dear.argmax())
    dearest = on + timedelta(days=WEEK_D * week) if dear[week] >= DEAR_D and chosen.way in STANDING_WAYS else None
    kept = [kept_count(w.days_median) for w in weeks if w.state in GOOD and w.days_median] if _tray(chosen) else []
    base = CropSeason(
        crop=chosen.key,
        name=chosen.name,
        way=chosen.way,
        weeks=weeks,
        spans=spans,
        sow_by=sow_by,
        pays_from=pays,
        hold_from=winter.hold[0] if winter.hold else None,
        hold_to=winter.hold[1] if winter.hold else None,
        picking_g_m2_week=winter.picking,
        plants_per_meal_count=_plants_per_meal(chosen, winter.picking),
        short=short_name(chosen.name),
        sow_from=_before(winter.window.first if winter.window else None, sow_by, on),
        sow_by_sure=_sure(winter.window, sow_by, on),
        dearest=dearest,
        dearest_cost_d=float(dear[week]) if dearest is not None else None,
        kept_low_count=min(kept, default=None),
        kept_high_count=max(kept, default=None),
        seed_g_m2=seed_for_g(chosen, 1.0),
        flags=_flags(year, crop, bed),
        route=tray_route(table, year.routes, crop) if _tray(chosen) else _route(year, crop, bed),
    )
    return replace(base, sentence=_sentence(base, year, bed))


def _tray(crop: Crop) -> bool:
    return crop.grows_by_reserves


def _route(year: Year, crop: int, bed: int) -> Route | None:
    return route_of(year.table, year.routes, crop, bed, year.decisions[crop][bed].sow_by)


def _before(day: int | None, sow_by: date | None, on: date) -> date | None:
    """The date of a day of the year that comes before the last sowing, or today where it is past."""
    if day is None or sow_by is None:
        return None
    found = next_on_or_after(day, on)
    return found if found <= sow_by else on


def _sure(window: plan.WinterWindow | None, sow_by: date | None, on: date) -> date | None:
    """The sure date before the last sowing; None where it is past already."""
    if window is None or window.sure is None or sow_by is None:
        return None
    found = next_on_or_after(window.sure, on)
    return found if found <= sow_by else None


def _weeks(year: Year, crop: int, bed: int) -> tuple[SowWeek, ...]:
    table, found = year.table, year.weeks
    low, median, high = (wholes(part[crop, bed]) for part in (found.days_low, found.days, found.days_high))
    cost, score = (numbers(part[crop, bed]) for part in (found.waiting_cost_d, found.stretch_score))
    states, flags = found.states(crop, bed), found.flags(crop, bed)
    reserves, cuts = table.crops[crop].grows_by_reserves, year.stands.cuts
    again = wholes(cuts.again_d[cuts.rows.index(crop), bed]) if crop in cuts.rows else [None] * (WEEKS + 1)
    return tuple(
        SowWeek(
            start=table.on + timedelta(days=WEEK_D * week),
            state=states[week],
            days_low=low[week],
            days_median=median[week],
            days_high=high[week],
            waiting_cost_d=cost[week],
            stretch_score=None if reserves else score[week],
            flags=flags[week],
            again_d=again[week],
        )
        for week in range(WEEKS)
    )


def _winter(year: Year, crop: int, bed: int) -> _Winter:
    """Window of sowing for winter, hold, and picking by week of the year."""
    table, stands, decision = year.table, year.stands, year.decisions[crop][bed]
    start = int(stands.dark.start[bed])
    window = None
    if decision.sow_by is not None:
        days, high = (by_day(table.day, WEEK_D, part[crop, bed]) for part in (year.weeks.days, year.weeks.days_high))
        window = plan.winter_window(days, high, start)
    hold = None
    held = stands.hold_d[crop, bed]
    if window is not None and np.isfinite(held) and held > 0.0:
        hold = _occurrence(start, int(held), table)
    picking: tuple[float | None, ...] = ()
    if crop in stands.picking:
        picking = _by_week(stands.picking[crop][:, bed], start, table)
    return _Winter(window, hold, picking)


def _occurrence(first_day: int, length_d: int, table: Table) -> Dates:
    """The stretch of days that is on when the year begins, or else the next one."""
    since = (table.day - first_day) % DAYS
    begin = table.on - timedelta(days=since) if since < length_d else table.on + timedelta(days=DAYS - since)
    return begin, begin + timedelta(days=length_d - 1)


def _by_week(values: Array, first_day: int, table: Table) -> tuple[float | None, ...]:
    """Picking of each week of the year, from picking by week since the dark began; empty where nothing stands."""
    since = [((table.day + WEEK_D * week - first_day) % DAYS) // WEEK_D for week in range(WEEKS)]
    found = [float(values[n]) if n < len(values) and np.isfinite(values[n]) else None for n in since]
    return tuple(found) if any(value is not None for value in found) else ()


def _plants_per_meal(crop: Crop, weekly: tuple[float | None, ...]) -> float | None:
    """Plants that give one serving a week in the leanest month of picking."""
    lean = plan.leanest(weekly)
    if not lean or crop.way != "pick" or crop.harvest is None or crop.use is None or crop.use.meal_g is None:
        return None
    return crop.use.meal_g.value / lean * crop.harvest.density_per_m2.value


def _flags(year: Year, crop: int, bed: int) -> tuple[str, ...]:
    """Threats in words; weeks in which sowing is a waste anyway count for starving alone."""
    table = year.table
    worth = year.weeks.code[crop, bed, :WEEKS] != plan.STATES.index("waste")
    found: list[tuple[str, tuple[Dates, ...]]] = []
    for flag, marks in year.weeks.threats.named().items():
        own = marks[crop, bed, :WEEKS] & (worth | (flag == "starves"))
        found.append((flag, _runs(own, table.on)))
    hot = year.weeks.code[crop, bed, :WEEKS] == plan.STATES.index("hot")
    return flag_sentences([("seed", _runs(hot, table.on)), *found], WEEKS)


def _runs(marks: Sequence[bool] | NDArray[np.bool_], start: date) -> tuple[Dates, ...]:
    """Unbroken runs of weeks, as their first and last day."""
    return tuple(
        (start + timedelta(days=WEEK_D * a), start + timedelta(days=WEEK_D * b + WEEK_D - 1))
        for a, b in plan.runs([bool(mark) for mark in marks])
    )


def _spans(crop: Crop, on: date, weeks: tuple[SowWeek, ...], winter: _Winter) -> tuple[Span, ...]:
    out: list[Span] = []
    good = [week.state in GOOD for week in weeks]
    out += [Span(SPAN_OF_WAY.get(crop.way, "sow"), *run) for run in _runs(good, on)]
    out += [Span("waste", *run) for run in _runs([week.state == "waste" for week in weeks], on)]
    out += _harvests(crop, on, weeks, good)
    if winter.window is not None:
        last = next_on_or_after(winter.window.last, on)
        first = _before(winter.window.first, last, on) or last
        out.append(Span("sow-for-winter", first, last, "stands at harvest size when the dark begins"))
    if winter.hold is not None:
        first = max(winter.hold[0], on)
        out.append(Span("hold", first, winter.hold[1], "ready when the dark begins, and keeps"))
    note = "a share of a stand cut each week" if crop.way == "cut" else "from plants grown before the dark"
    out += [Span("pick", *run, note) for run in _runs([value is not None for value in winter.picking], on)]
    return tuple(sorted(out, key=lambda span: (span.first, span.kind)))


def _harvests(crop: Crop, on: date, weeks: tuple[SowWeek, ...], good: list[bool]) -> list[Span]:
    """Stretches in which one or other of the good sowings comes in."""
    if crop.way == "transplant":
        return []
    ripe = np.zeros(2 * WEEKS, dtype=np.bool_)
    for week, ok in zip(weeks, good, strict=True):
        if ok and week.days_low is not None and week.days_high is not None:
            begin = (week.start - on).days
            ripe[(begin + week.days_low) // WEEK_D : (begin + week.days_high) // WEEK_D + 1] = True
    return [Span("harvest", *run) for run in _runs(ripe, on)]


def _sentence(season: CropSeason, year: Year, bed: int) -> str:
    states = [week.state for week in season.weeks]
    if season.way in ("seed-fed", "bulb"):
        return tray_sentence(_tray_words(season))
    if season.way == "transplant":
        return _transplant_words(season)
    dark = _occurrence(int(year.stands.dark.start[bed]), int(year.stands.dark.length_d[bed]), year.table)
    picks = [span for span in season.spans if span.kind == "pick"]
    return year_sentence(
        YearWords(
            way=season.way,
            always=all(state == "sow" for state in states),
            sow_from=season.sow_from,
            sow_by=season.sow_by,
            sow_by_sure=season.sow_by_sure,
            stands_from=dark[0] if picks else season.hold_from,
            stands_to=picks[-1].last if picks else season.hold_to,
            picking_dark=_picked_between(season, *dark),
            picking_most_g_m2_week=max((value for value in season.picking_g_m2_week if value), default=None),
            plants_per_meal_count=season.plants_per_meal_count,
            waste=_joined([(span.first, span.last) for span in season.spans if span.kind == "waste"]),
            dearest=season.dearest,
            dearest_cost_d=season.dearest_cost_d,
            pays_from=season.pays_from,
        )
    )


def _joined(runs: list[Dates]) -> tuple[Dates, ...]:
    """Runs of weeks with gaps of a single week closed, so that a sentence is not chopped up."""
    out: list[Dates] = []
    for first, last in runs:
        if out and (first - out[-1][1]).days <= WEEK_D + 1:
            out[-1] = (out[-1][0], last)
        else:
            out.append((first, last))
    return tuple(out)


def _picked_between(season: CropSeason, first: date, last: date) -> tuple[float, ...]:
    """Picking of the weeks that begin between two days."""
    weekly = zip(season.weeks, season.picking_g_m2_week, strict=False)
    return tuple(value for week, value in weekly if value is not None and first <= week.start <= last)


def _tray_words(season: CropSeason) -> TrayWords | None:
    spans = tuple((span.first, span.last) for span in season.spans if span.kind == "trays")
    days = [week.days_median for week in season.weeks if week.state in GOOD and week.days_median is not None]
    if not spans or season.kept_low_count is None or season.kept_high_count is None:
        return None
    whole_year = all(week.state in GOOD for week in season.weeks)
    return TrayWords(min(days), max(days), season.kept_low_count, season.kept_high_count, spans, whole_year)


def _transplant_words(season: CropSeason) -> str:
    spans = tuple((span.first, span.last) for span in season.spans if span.kind == "raise")
    days = [week.days_median for week in season.weeks if week.state in GOOD and week.days_median is not None]
    return plants_sentence(spans, days, all(week.state in GOOD for week in season.weeks))
