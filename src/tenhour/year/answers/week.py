"""This week: what to sow, what to do with what stands, cover and heater, lamps, water and air."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.hardening import Harm
from tenhour.lamps.timer import clock_text
from tenhour.model.crop import Crop
from tenhour.model.log import LogLine, Stand, standing, standing_by_bed
from tenhour.model.results import BedSowing
from tenhour.model.week import WeekAnswer, WeekBed, WeekLamps, WeekStand
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.ranges import HIGH, LOW, at_share
from tenhour.words import week as words
from tenhour.words.nights import alike
from tenhour.words.text import Text, joined, listed
from tenhour.year.answers.sofar import stand_later_d
from tenhour.year.answers.sow import beds_sown, sow_from
from tenhour.year.crops.grown import Table
from tenhour.year.crops.nursery import set_out_harvest
from tenhour.year.inside.lit import windows_on
from tenhour.year.outside.sunlight import DULL
from tenhour.year.world import World

Days = NDArray[np.intp]

WEEK_D: Final = 7
FLOWERS_SOON_D: Final = 21
"""Plants that may run to flower within three weeks are eaten first: judgement."""
MILD_DEGC: Final = 8.0
"""Nights warmer than this need no cover: judgement."""
LITTLE_L_M2: Final = 1.0
"""Less water than this in a week is told as hardly any: judgement."""
HEAT_KWH: Final = 0.5
FROZEN_MEAN_DEGC: Final = 8.0
"""Soil that freezes by night and is colder than this on average is not watered freely: practice."""
ROOMS: Final = ("window-sill",)
"""Places in a room that is lived in: its heat and air are not those of the plants."""
TENTH: Final = 0.1


def week_of(
    world: World, tables: Iterable[Table], fruiting: Sequence[Crop] = (), *, on: date, log: Sequence[LogLine] = ()
) -> WeekAnswer:
    """What to do in the seven days from a date.

    Parameters: world; tables, of its beds in their order, each let go before the next is grown; fruiting, crops without
    dates; on; log, the grower's lines, empty if there is none.
    """
    house, stand_there, names = world.house, standing_by_bed(log, on), world.bed_names
    stands: dict[Stand, WeekStand] = {}

    def told(table: Table) -> tuple[BedSowing, ...]:
        own = [one for one in standing(log, on) if one.bed in table.world.bed_names or one.bed not in names]
        stands.update({one: stand_of(table, one, on) for one in own})
        return beds_sown(table, fruiting, on, stand_there)

    sown = [bed for part in map(told, tables) for bed in part]
    sow = sow_from(world, sown, on=on)
    days = (day_index(on) + np.arange(WEEK_D)) % DAYS
    beds = tuple(_bed(world, number, days) for number in range(len(world.beds)))
    room = house.shape in ROOMS
    kwh = 0.0 if room else float(world.air.heat_kwh_d[days].sum())
    water = float(world.air.water_l_d[days].mean())
    return WeekAnswer(
        basis=sow.basis,
        on=on,
        days=WEEK_D,
        sow=sow,
        stands=tuple(stands[stand] for stand in standing(log, on)),
        beds=beds,
        lamps=tuple(lamps_on(world, on)),
        water_l_d=water,
        heat_kwh=kwh,
        warmth=_warmth(world, beds, on, kwh),
        care=_care(world, water, frozen=_frozen(beds)),
        logged=bool(log),
        us_units=house.us_units,
    )


def _bed(world: World, bed: int, days: Days) -> WeekBed:
    light, air = world.beds[bed], world.air
    lows = air.lows_degc[:, bed, days].min(axis=-1)
    return WeekBed(
        light.name,
        float(light.dli_mol_m2_d[days].mean()),
        float(light.class_dli_mol_m2_d[days, DULL].mean()),
        float(air.day_degc[bed, days].mean()),
        float(air.night_degc[bed, days].mean()),
        float(np.median(lows)),
        float(np.quantile(lows, TENTH)),
    )


def stand_dates(table: Table, crop: int, bed: int, sown: date) -> tuple[date | None, date | None, date | None]:
    """First and last day of the harvest of one sowing in eight seasons of ten, and the day it may run to flower."""
    day = day_index(sown)
    spread = table.harvest_on_d(day)[crop, bed]
    bolting = float(table.sowings.bolting_d[crop, bed, day])
    first, last, flowers = (
        sown + timedelta(days=round(value)) if np.isfinite(value) else None
        for value in (float(at_share(spread, LOW)), float(at_share(spread, HIGH)), bolting)
    )
    return first, last, flowers


def stand_of(table: Table, stand: Stand, on: date) -> WeekStand:
    """When one logged sowing is ready, and what to do with it now.

    Parameters: table; stand, of the log; on, the day asked for.
    """
    keys, names = [crop.key for crop in table.crops], table.world.bed_names
    base = (stand.crop, stand.bed, stand.sown)
    if stand.crop not in keys or stand.bed not in names:
        return WeekStand(*base, "ask", words.NO_FORECAST(on=stand.sown))
    crop, bed = keys.index(stand.crop), names.index(stand.bed)
    first, last, flowers = stand_dates(table, crop, bed, stand.sown)
    if stand.set_out is not None and (found := set_out_harvest(table, crop, bed, stand.set_out)) is not None:
        first, last = found
    later = timedelta(days=stand_later_d(table, crop, bed, stand.sown, on))
    first, last = (None if day is None else day + later for day in (first, last))
    dates = (first, last, flowers)
    cold = table.nights.stay(crop, bed, day_index(on), WEEK_D)
    if cold.harm >= Harm.KILLED:
        return WeekStand(*base, "cover", words.COLD(night=cold.lowest_degc, limit=cold.limit_degc), *dates)
    if flowers is not None and (flowers - on).days <= FLOWERS_SOON_D and first is not None and first <= on:
        return WeekStand(*base, "eat-first", words.FLOWERS(on=flowers), *dates)
    if first is None:
        return WeekStand(*base, "ask", words.NO_HARVEST(), *dates)
    if on >= first:
        return WeekStand(*base, "harvest", words.HARVEST[table.crops[crop].way](first=first), *dates)
    when = words.FROM(first=first) if last is None else words.RANGE(first=first, last=last)
    young = float(at_share(table.young_on_d(day_index(stand.sown))[crop, bed], LOW))
    said = words.LEAVE_YOUNG if np.isfinite(young) and (on - stand.sown).days >= young else words.LEAVE
    return WeekStand(*base, "leave", said(when=when), *dates)


def lamps_on(world: World, on: date) -> Iterator[WeekLamps]:
    """When the lamps of the house file burn on a day, and what they bring."""
    day = day_index(on)
    for lamps in world.lamps:
        hung = next((one for one in world.house.lamps if one.bed == lamps.bed), None)
        if hung is None or not lamps.dli_mol_m2_d[day]:
            continue
        windows = windows_on(world.house, hung, on)
        burning = sum(window.off_h - window.on_h for window in windows)
        for window in windows:
            hours = window.off_h - window.on_h
            light = lamps.dli_mol_m2_d[day] * hours / burning
            yield WeekLamps(lamps.bed, clock_text(window.on_h), clock_text(window.off_h), hours, light)


def _warmth(world: World, beds: Sequence[WeekBed], on: date, kwh: float) -> Text:
    """Cover and heater in words."""
    coldest = min(beds, key=lambda bed: bed.lowest_degc)
    facts = {
        "night": coldest.night_degc,
        "low": coldest.lowest_degc,
        "tenth": coldest.lowest_1in10_degc,
        "bed": coldest.name,
    }
    same = alike(coldest.lowest_degc, coldest.lowest_1in10_degc)
    said: list[str] = [(words.NIGHTS_ALIKE if same else words.NIGHTS)(**facts)]
    if kwh >= HEAT_KWH:
        said.append(words.HEATED(kwh=round(kwh)))
    elif world.house.shape not in ROOMS:
        said.append(words.COOL)
    said += _covers(world, beds, on)
    return joined(said)


def _covers(world: World, beds: Sequence[WeekBed], on: date) -> list[str]:
    house = world.house
    cold = {bed.name for bed in beds if bed.night_degc < MILD_DEGC}
    laid: dict[tuple[str, bool], list[str]] = {}
    for bed in house.beds:
        for layer in bed.layers:
            if on.month in layer.months and (layer.by_day or bed.name in cold):
                laid.setdefault((layer.cover, layer.by_day), []).append(bed.name)
    said: list[str] = [
        (words.KEEP_ON if by_day else words.CLOSE)(cover=cover, beds=listed(names))
        for (cover, by_day), names in laid.items()
    ]
    if house.curtains and cold:
        said.append(words.CURTAIN())
    if not said and any(bed.lowest_degc < 0.0 for bed in beds):
        said.append(words.FLEECE())
    return said


def _frozen(beds: Sequence[WeekBed]) -> bool:
    """Whether the ground of the coldest bed may be frozen this week."""
    return any(bed.lowest_degc < 0.0 and (bed.day_degc + bed.night_degc) / 2 < FROZEN_MEAN_DEGC for bed in beds)


def _care(world: World, water_l_d: float, *, frozen: bool) -> Text:
    """Watering and air in words."""
    area = sum(bed.size_m[0] * bed.size_m[1] for bed in world.house.beds)
    litres = water_l_d * WEEK_D
    some = words.WATER_FROST(litres=litres) if frozen else words.WATER(litres=litres)
    water = some if litres >= max(LITTLE_L_M2 * area, 1.0) else words.WATER_LITTLE()
    return water if world.house.shape in ROOMS else joined([water, words.VENT(vent=world.house.air.vent_degc)])
