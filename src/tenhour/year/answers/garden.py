"""Plants raised under glass for the outdoor garden, counted back from the last frost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.season import GardenPlants
from tenhour.plan.dates import DAYS, day_index, next_on_or_after
from tenhour.plan.sowing import LEGGY_SCORE, sow_by_day
from tenhour.words import year as words
from tenhour.words.crops import crop_name
from tenhour.year.crops import growing
from tenhour.year.crops.grown import Table
from tenhour.year.crops.nursery import plants_ready_d
from tenhour.year.world import World

Array = NDArray[np.float64]

EARLY_D: Final = 21
"""Plants that stand ready for more than three weeks before they can go out are past setting out: judgement."""
LONGEST_RATIO: Final = 1.5
"""Plants that take longer than 1.5 times the usual longest stand too long in the tray: judgement."""


@dataclass(frozen=True)
class Place:
    """One place that could raise a crop: days and stretch by day of sowing [365]."""

    name: str
    days: Array
    stretch_score: Array


@dataclass(frozen=True)
class _Try:
    """What a place would do."""

    place: str
    sow_day: int | None
    days: float
    stretch_score: float
    fault: str


@dataclass(frozen=True)
class LastFrost:
    """The next last frost of spring by chance."""

    half: date
    """After it half of the springs still freeze."""
    tenth: date
    """After it one spring in ten does: plants that no frost may touch wait for it."""


def last_frost(world: World, start: date) -> LastFrost | None:
    """The next last frost of spring, from winters by the hour; None where half of the springs have none."""
    half, tenth = world.warmth.frost_doy
    if not np.isfinite(half) or not np.isfinite(tenth):
        return None
    first = next_on_or_after(int(half), start)
    return LastFrost(first, next_on_or_after(int(tenth), first))


def own_last_frost(world: World, half: date) -> LastFrost:
    """The last frost of a garden that knows the day after which half of its springs freeze."""
    return LastFrost(half, half + timedelta(days=world.warmth.frost_tail_d(day_index(half))))


def garden_of(
    crops: Sequence[Crop], frost: LastFrost | None, nursery: Sequence[Place], beds: Sequence[Sequence[Place]], on: date
) -> tuple[GardenPlants, ...]:
    """Where and when to raise each crop that goes outdoors.

    Parameters: crops; frost; nursery, what it would do for each of them, empty where there is none; beds, the same of
    each bed; on, the day asked.
    """
    goers = [crop for crop in crops if goes_out(crop)]
    if frost is None or not goers:
        return ()
    places = ([*nursery[n : n + 1], *(bed[n] for bed in beds)] for n in range(len(goers)))
    return tuple(_plants(crop, frost, own, on) for crop, own in zip(goers, places, strict=True))


def goes_out(crop: Crop) -> bool:
    """Whether a crop is raised under glass for the garden outdoors."""
    return crop.way == "transplant"


def nursery_places(table: Table) -> list[Place]:
    """What the nursery would do for each crop that goes outdoors; nothing where the house has none."""
    rows = tuple(n for n, crop in enumerate(table.crops) if goes_out(crop))
    there, nursery = plants_ready_d(table, rows), table.world.house.nursery
    if there is None or nursery is None:
        return []
    return [Place(nursery.name, days, score) for days, score in zip(*there, strict=True)]


def bed_places(table: Table, bed: int) -> list[Place]:
    """What a bed would do for each of them; sowings whose seedlings a night harms do not count."""
    rows = [n for n, crop in enumerate(table.crops) if goes_out(crop)]
    days = [np.where(table.threats.harmed[row, bed], np.nan, table.days[row, bed]) for row in rows]
    name = table.world.beds[bed].name
    return [
        Place(name, took, np.nan_to_num(table.stretch_score[row, bed])) for row, took in zip(rows, days, strict=True)
    ]


def _plants(crop: Crop, frost: LastFrost, places: list[Place], on: date) -> GardenPlants:
    assert crop.raising is not None
    offset = round(growing.value_of(crop.raising.after_frost_d, 0.0))
    out_on = frost.half + timedelta(days=offset)
    if offset >= 0:
        out_on = max(out_on, frost.tenth)
    if out_on < on:
        out_on = next_on_or_after(day_index(out_on), on)
    tries = [_try(place, crop, day_index(out_on)) for place in places]
    good = [found for found in tries if not found.fault and found.sow_day is not None]
    sow = None
    if good:
        best = min(good, key=lambda found: (found.stretch_score, found.days))
        sow = next_on_or_after(best.sow_day or 0, on)
    else:
        best = tries[0]
    late = sow is not None and sow > out_on
    return GardenPlants(
        crop=crop.key,
        name=crop.name,
        place=best.place if good else "",
        sow=sow,
        set_out=out_on if not late or sow is None else next_on_or_after(day_index(out_on), sow),
        days=round(best.days) if good else None,
        stretch_score=best.stretch_score if good else None,
        sentence=_sentence(crop, best, bool(good), late, sow, out_on),
    )


def _try(place: Place, crop: Crop, out_day: int) -> _Try:
    assert crop.raising is not None
    day = sow_by_day(place.days, out_day)
    if day is None:
        return _Try(place.name, None, np.inf, np.inf, words.FAULT_DIM_OR_COLD())
    days, score = float(place.days[day]), float(place.stretch_score[day])
    fault: str = ""
    if (out_day - day) % DAYS - days > EARLY_D:
        fault = words.FAULT_BEFORE()
    elif score >= LEGGY_SCORE:
        fault = words.FAULT_DIM()
    elif days > LONGEST_RATIO * crop.raising.transplant_d.high or days >= DAYS:
        fault = words.FAULT_SLOW(days=days)
    return _Try(place.name, day, days, score, fault)


def _sentence(crop: Crop, best: _Try, good: bool, late: bool, sow: date | None, out_on: date) -> str:
    name = crop_name(crop.key)
    if not good or sow is None:
        return words.GARDEN_NO_PLACE(name=name, out=out_on, fault=best.fault)
    if late:
        return words.GARDEN_LATE(name=name, out=out_on, days=best.days, sow=sow)
    return words.GARDEN(name=name, sow=sow, place=best.place, out=out_on)
