"""Crops raised in the nursery and set out on each bed: for winter, and after the dark."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from tenhour.model.season import Route
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS, next_on_or_after
from tenhour.plan.sowing import (
    LEGGY_SCORE,
    NIGHTS_D,
    TRAY_WASTE_D,
    first_steady,
    sow_by_day,
    waiting_costs,
)
from tenhour.words.year import RouteWords, TrayWords, route_sentence, tray_route_sentence
from tenhour.year.crops.grown import Table
from tenhour.year.crops.nursery import RaisedYear

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Routes:
    """Raised crops by day of sowing in the nursery, and the last day that stands by the dark."""

    raised: RaisedYear | None
    sow_by: Array
    """Day of the year [C, B]; NaN where none, or where the crop is not raised."""
    trays: dict[int, Array]
    """Days that trays take in the nursery, by crop of the table and day of sowing [365]."""


def routes_of(table: Table) -> Routes:
    """Routes of what is raised."""
    raised = table.raised
    sow_by = np.full((len(table.crops), len(table.climate)), np.nan)
    room = table.tray_room
    trays = room.days if room.own else {}
    if raised is None:
        return Routes(None, sow_by, trays)
    for place, row in enumerate(raised.rows):
        for bed in range(len(table.climate)):
            found = _winter(table, raised, place, row, bed)
            sow_by[row, bed] = np.nan if found is None else found
    return Routes(raised, sow_by, trays)


def _winter(table: Table, raised: RaisedYear, place: int, row: int, bed: int) -> int | None:
    """Last sowing in the nursery that stands at harvest size, unharmed, when the dark begins."""
    days, out = np.where(table.in_season[row], raised.days[place, bed], np.nan), raised.set_out_d[place]
    dark = int(table.dark[bed, 0])
    last = sow_by_day(days, dark)
    if last is None:
        return None
    keeps = table.keeps_from_d(np.full((len(table.crops), len(table.climate), 1), last + days[last]))[row, bed, 0]
    if (dark - last) % DAYS - days[last] > keeps:
        return None
    there = int(last + out[last])
    least = table.nights.least_k(row, [there], [(dark - there) % DAYS])[bed, 0]
    return None if least <= 0.0 else last


def route_of(table: Table, routes: Routes, row: int, bed: int, on: date) -> Route | None:
    """Route of one crop to one bed; None where the house has no nursery or the crop is not raised."""
    nursery, raised = table.world.house.nursery, routes.raised
    if nursery is None or raised is None or row not in raised.rows:
        return None
    place = raised.rows.index(row)
    out, direct_sow_by = raised.set_out_d[place], table.ruling.sow_by[row, bed]
    sow_by = routes.sow_by[row, bed]
    known = np.isfinite(sow_by)
    winter = next_on_or_after(int(sow_by), on) if known else None
    set_out_by = winter + timedelta(days=round(out[int(sow_by)])) if winter is not None else None
    free = None
    if known and np.isfinite(direct_sow_by):
        free = round(float((sow_by + out[int(sow_by)] - direct_sow_by) % DAYS))
        free = free if free <= DAYS // 2 else free - DAYS
    pays = _pays(table, raised, place, row, bed)
    spring = None if pays is None else next_on_or_after(pays, on)
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


def _pays(table: Table, raised: RaisedYear, place: int, row: int, bed: int) -> int | None:
    """First sowing in the nursery after the dark that pays; the bed's nights count from setting out."""
    out = raised.set_out_d[place]
    there = (np.arange(DAYS) + np.nan_to_num(out).astype(np.intp)) % DAYS
    chilled = table.nights.least_k(row, np.arange(DAYS), [NIGHTS_D])[bed] <= 0.0
    pays = waiting_costs(raised.days[place, bed]) & ~chilled[there] & np.isfinite(out) & table.in_season[row]
    pays &= np.nan_to_num(raised.stretch_score[place]) < LEGGY_SCORE
    found = first_steady(pays[None], table.world.darkest_day)[0]
    return int(found) if np.isfinite(found) else None


def tray_route(table: Table, routes: Routes, row: int) -> Route | None:
    """Trays in the nursery; None where the house has none."""
    nursery = table.world.house.nursery
    if nursery is None or row not in routes.trays:
        return None
    days = routes.trays[row]
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
    return int(-(-took_d // plan.WEEK_D))
