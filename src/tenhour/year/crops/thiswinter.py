"""Days of this winter as they were, on every bed, and the stands for the dark that they move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, GrowthRun, bed_climate, each_bed_of
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.weather import PastDays
from tenhour.plan.dates import DAYS, LEAP_DAY, begun_or_next, day_index, last_on_or_before
from tenhour.plan.ranges import straight
from tenhour.plan.sowing import sow_by_day
from tenhour.units import dli_from_ghi
from tenhour.year.crops.growing import SOWN_DOY, bed_climates, crop_arrays
from tenhour.year.crops.grown import Table
from tenhour.year.outside.sunlight import CLASSES
from tenhour.year.world import World

Array = NDArray[np.float64]

STAND_D: Final = 238
"""Days from the start of the dark over which a grown stand is followed: 34 weeks."""


@dataclass(frozen=True)
class Past:
    """Days of the last year as they were, by day of the generic year; NaN where nobody knows."""

    dli_mol_m2_d: Array
    shift_k: Array
    """Air outdoors less the usual [365]."""
    first: date
    last: date

    def since(self, day: date) -> Past:
        """The same without the days before one: a year on they would come round again as days ahead."""
        first = self.last - timedelta(days=DAYS - 1)
        before = [first + timedelta(days=n) for n in range(max((day - first).days, 0))]
        dli, shift = self.dli_mol_m2_d.copy(), self.shift_k.copy()
        gone = [day_index(on) for on in before[:DAYS] if (on.month, on.day) != LEAP_DAY]
        dli[gone] = shift[gone] = np.nan
        return Past(dli, shift, max(self.first, day), self.last)


def past_of(world: World, given: PastDays, today: date) -> Past | None:
    """The days of a file up to yesterday, a year back at most; None where it has none.

    Parameters: world; given; today, which itself does not count.
    """
    dli, shift = np.full(DAYS, np.nan), np.full(DAYS, np.nan)
    usual = world.outdoors.temp_degc
    known: list[date] = []
    for when, ghi, temp in zip(given.day.astype(object), given.ghi_w_m2, given.temp_degc, strict=True):
        if not today - timedelta(days=DAYS) <= when < today or (when.month, when.day) == LEAP_DAY:
            continue
        place = day_index(when)
        if np.isfinite(ghi):
            dli[place] = float(dli_from_ghi(ghi))
            known.append(when)
        if np.isfinite(temp):
            shift[place] = temp - usual[place]
    return Past(dli, shift, min(known), max(known)) if known else None


def as_it_went(world: World, past: Past, since: date) -> BedClimate:
    """Light and air of every bed with the past days from one on as they were and the rest as usual.

    Parameters: world; past; since, the first day that counts.
    Method: a bed's light follows the outdoor light of the day between the day classes of that date, and in proportion
    beyond them; air follows the outdoor shift, but no lower than a heater holds it. Air the user states does not move.
    """
    past = past.since(since)
    usual = bed_climates(world)
    out = world.outdoors.class_dli_mol_m2_d[:, :CLASSES]
    dli = usual.dli_mol_m2_d.copy()
    for day in np.flatnonzero(np.isfinite(past.dli_mol_m2_d)):
        order = np.argsort(out[day])
        outside, light = out[day][order], float(past.dli_mol_m2_d[day])
        for bed, own in enumerate(world.beds):
            inside = own.class_dli_mol_m2_d[day, :CLASSES][order]
            near = outside[0] if light < outside[0] else outside[-1] if light > outside[-1] else light
            found = float(np.interp(near, outside, inside))
            dli[bed, day] = found * light / near if near > 0.0 else found
    shift = np.nan_to_num(past.shift_k)
    day_degc, night_degc = (_moved(part, shift, world.house, name) for part, name in (
        (usual.temp_day_degc, "day"), (usual.temp_night_degc, "night")))  # fmt: skip
    soil = usual.soil_degc + (night_degc - usual.temp_night_degc)
    return bed_climate(dli, day_degc, night_degc, usual.lit_h, swing_frac=usual.swing_frac, soil_degc=soil)


def _moved(usual: Array, shift_k: Array, house: House, when: str) -> Array:
    """Air after the outdoor shift; what the user states stays, and a heater holds its floor."""
    stated = house.air.day_degc if when == "day" else house.air.night_degc
    if stated is not None:
        return usual
    floors = (house.air.night_set_degc, house.air.day_set_degc if when == "day" else None)
    held = [np.min(np.asarray(floor)) for floor in floors if floor is not None]
    moved = usual + shift_k
    if not held:
        return moved
    floor = float(np.max(held))
    return np.where(shift_k == 0.0, usual, np.maximum(moved, np.minimum(usual, floor)))


def went_since(table: Table, since: date, on: date) -> BedClimate | None:
    """Light and air with the days of a file as they were; None without any.

    Parameters: table; since, the first day that counts; on, the day asked, which itself does not.
    """

    def read(table: Table) -> Past | None:
        given = table.world.warmth.sources.since
        return None if given is None else past_of(table.world, given, on)

    past = table.once(f"days up to {on.isoformat()}", read)
    if past is None or past.last < since:
        return None
    return table.once(
        f"days from {since.isoformat()} to {on.isoformat()}", lambda table: as_it_went(table.world, past, since)
    )


def later_d(climates: tuple[BedClimate, BedClimate], crops: Sequence[Crop], sown_doy: ArrayLike) -> Array:
    """Days by which sowings come later in the second climate than in the first [C, B, N]; NaN where either never does.

    Parameters: climates; crops, whose growth is by carbon; sown_doy, days of the year. Plants for setting out are
    counted to that.
    """
    arrays = crop_arrays(crops)
    usual, moved = (_took_d(run(arrays, climate, sown_doy), crops) for climate in climates)
    return moved - usual


def _took_d(found: GrowthRun, crops: Sequence[Crop]) -> Array:
    """Days to the harvest, or to setting out [C, B, N]."""
    raised = np.array([crop.way == "transplant" for crop in crops])[:, None, None]
    return np.where(raised, found.transplant_d[..., 0], found.harvest_d[..., 0])


@dataclass(frozen=True)
class DarkNow:
    """The dark that is on, or the next one, and what this winter's days do to what stands in it."""

    begins: tuple[date, ...]
    """Of every bed."""
    climate: BedClimate
    later_d: Array | None = None
    """Days by which sowings of the year come later than usual [C, B, 365]; None where all days are usual."""

    def sown_by(self, table: Table, crop: int, bed: int) -> date | None:
        """The last sowing that stands grown when that dark begins."""
        days = table.days[crop, bed] + (0.0 if self.later_d is None else self.later_d[crop, bed])
        start = self.begins[bed]
        last = sow_by_day(days, day_index(start))
        return None if last is None else last_on_or_before(last, start)


def dark_now(table: Table, on: date) -> DarkNow:
    """The dark on a day, with the days up to it as they were.

    Parameters: table; on, the day asked.
    Method: days count that come round again only after a stand has been followed to its end; a sowing comes later by
    what the middle season's run differs by.
    """

    def found(table: Table) -> DarkNow:
        begins = tuple(begun_or_next(int(start), STAND_D, on) for start in table.dark[:, 0])
        each = [went_since(table, begin - timedelta(days=DAYS - STAND_D), on) or table.climate for begin in begins]
        if all(one is table.climate for one in each):
            return DarkNow(begins, table.climate)
        went = each_bed_of(each)
        return DarkNow(begins, went, _later_d(table, went))

    return table.once(f"dark on {on.isoformat()}", found)


def _later_d(table: Table, went: BedClimate) -> Array:
    """Days by which sowings come later in one climate than in the usual one [C, B, 365]; 0 where either never does."""
    rows = [n for n, crop in enumerate(table.crops) if crop.grows_by_carbon]
    out = np.zeros((len(table.crops), len(went), DAYS))
    if rows:
        by = later_d((table.climate, went), [table.crops[n] for n in rows], SOWN_DOY)
        out[rows] = np.nan_to_num(straight(by, SOWN_DOY))
    return out
