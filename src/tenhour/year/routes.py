"""Crops raised in the nursery and set out on each bed: for winter, and after the dark."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from tenhour.model.season import Route
from tenhour.plan.dates import DAYS, next_on_or_after, wrap_mean
from tenhour.plan.ranges import median_days
from tenhour.plan.season import TRAY_WASTE_D
from tenhour.plan.sowing import (
    LEGGY_SCORE,
    CropYear,
    by_day,
    chilled_days,
    dark_season,
    past_its_best,
    paying_days,
    pays_from_day,
    sow_by_day,
)
from tenhour.words.year import RouteWords, TrayWords, route_sentence, tray_route_sentence
from tenhour.year import growing
from tenhour.year.nursery import Raised, raise_all, trays_there_d
from tenhour.year.sow import SMOOTH_D, WEEK_D, Table

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Routes:
    """Raised crops by week of sowing in the nursery, and the last day that stands by the dark."""

    raised: Raised | None
    sow_by: Array
    """Day of the year [C, B]; NaN where none, or where the crop is not raised."""
    trays: dict[int, Array]
    """Days that trays take in the nursery, by crop of the table and week of sowing [S]."""


def routes_of(table: Table) -> Routes:
    """Raise what is raised from every week of the year."""
    raised = raise_all(table, table.sow_doy)
    sow_by = np.full((len(table.crops), len(table.climate)), np.nan)
    rows = tuple(n for n, crop in enumerate(table.crops) if crop.grows_by_reserves)
    there = trays_there_d(table, rows)
    trays = {} if there is None else {row: there[place] for place, row in enumerate(rows)}
    if raised is None:
        return Routes(None, sow_by, trays)
    for place, row in enumerate(raised.rows):
        for bed in range(len(table.climate)):
            found = _winter(table, raised, place, row, bed)
            sow_by[row, bed] = np.nan if found is None else found
    return Routes(raised, sow_by, trays)


def _days(table: Table, raised: Raised, place: int, bed: int) -> tuple[Array, Array]:
    """Days to harvest and to setting out by day of sowing [365]."""
    days = by_day(table.day, WEEK_D, median_days(raised.harvest_d[place, bed]))
    return days, by_day(table.day, WEEK_D, raised.set_out_d[place])


def _winter(table: Table, raised: Raised, place: int, row: int, bed: int) -> int | None:
    """Last sowing in the nursery that stands at harvest size, unharmed, when the dark begins."""
    days, out = _days(table, raised, place, bed)
    world = table.world
    dark, _ = dark_season(wrap_mean(world.beds[bed].dli_mol_m2_d, SMOOTH_D), world.darkest_day)
    last = sow_by_day(days, dark)
    if last is None or past_its_best(table.crops[row].way, (dark - last) % DAYS - days[last]):
        return None
    there = int(last + out[last])
    span = (there + np.arange(max((dark - there) % DAYS, 1))) % DAYS
    harmed = world.air.cold_night_degc[bed, span].min() < growing.harm_degc(table.crops[row])
    return None if harmed else last


def route_of(table: Table, routes: Routes, row: int, bed: int, direct_sow_by: int | None) -> Route | None:
    """Route of one crop to one bed; None where the house has no nursery or the crop is not raised."""
    nursery, raised = table.world.house.nursery, routes.raised
    if nursery is None or raised is None or row not in raised.rows:
        return None
    place = raised.rows.index(row)
    days, out = _days(table, raised, place, bed)
    score = by_day(table.day, WEEK_D, np.nan_to_num(raised.stretch_score[place]))
    sow_by = routes.sow_by[row, bed]
    known = np.isfinite(sow_by)
    winter = next_on_or_after(int(sow_by), table.on) if known else None
    set_out_by = winter + timedelta(days=round(out[int(sow_by)])) if winter is not None else None
    free = None
    if known and direct_sow_by is not None:
        free = round(float((sow_by + out[int(sow_by)] - direct_sow_by) % DAYS))
        free = free if free <= DAYS // 2 else free - DAYS
    pays = _pays(table, days, out, score, row, bed)
    spring = None if pays is None else next_on_or_after(pays, table.on)
    set_out_from = None if pays is None or spring is None else spring + timedelta(days=round(out[pays]))
    stay = raised.set_out_d[place]
    drawn = bool(np.nanmax(raised.stretch_score[place], initial=0.0) >= LEGGY_SCORE)
    words = RouteWords(nursery.where, winter, set_out_by, free, spring, set_out_from, drawn)
    finite = stay[np.isfinite(stay)]
    return Route(
        nursery=nursery.name,
        where=nursery.where,
        sow_by=winter,
        set_out_by=set_out_by,
        bed_free_d=free,
        pays_from=spring,
        set_out_from=set_out_from,
        days_low=round(float(finite.min())) if finite.size else None,
        days_high=round(float(finite.max())) if finite.size else None,
        stretch_score=float(np.nanmax(raised.stretch_score[place], initial=0.0)),
        sentence=route_sentence(words),
    )


def _pays(table: Table, days: Array, out: Array, score: Array, row: int, bed: int) -> int | None:
    """First sowing in the nursery after the dark that pays; the bed's nights count from setting out."""
    chilled = chilled_days(table.world.air.cold_night_degc[bed], growing.harm_degc(table.crops[row]))
    there = (np.arange(DAYS) + np.nan_to_num(out).astype(np.intp)) % DAYS
    never = np.zeros(DAYS, dtype=np.bool_)
    year = CropYear(days=days, young_days=days, emergence_d=out, stretch_score=score, too_warm=never, bolts=never)
    pays = paying_days(year, chilled[there] | ~np.isfinite(out))
    return pays_from_day(pays, table.day, table.world.darkest_day)


def tray_route(table: Table, routes: Routes, row: int) -> Route | None:
    """Trays in the nursery; None where the house has none."""
    nursery = table.world.house.nursery
    if nursery is None or row not in routes.trays:
        return None
    days = routes.trays[row][:-1]
    good = days[np.isfinite(days) & (days <= TRAY_WASTE_D)]
    words = None
    if good.size == days.size:
        low, high = round(float(good.min())), round(float(good.max()))
        words = TrayWords(low, high, kept_count(low), kept_count(high), (), True)
    return Route(
        nursery=nursery.name,
        where=nursery.where,
        days_low=round(float(good.min())) if good.size else None,
        days_high=round(float(good.max())) if good.size else None,
        sentence=tray_route_sentence(nursery.where, words),
    )


def kept_count(took_d: float) -> int:
    """Trays to keep going for one a week when each takes some days."""
    return int(-(-took_d // WEEK_D))
