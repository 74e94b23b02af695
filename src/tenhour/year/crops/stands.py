"""What stands on a bed when the dark begins: how long it holds, and what is picked or cut from it week by week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.places import standing
from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate
from tenhour.model.crop import Crop
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS
from tenhour.plan.ranges import straight
from tenhour.year.crops import growing
from tenhour.year.crops.growing import SOWN_DOY
from tenhour.year.crops.grown import Table
from tenhour.year.crops.thiswinter import STAND_D, DarkNow, dark_now

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STAND_WEEKS: Final = STAND_D // plan.WEEK_D
STALK_PHOTOPERIOD_H: Final = 13.0
"""Flower stalks of plants that have had their cold rise as the days pass this length: judgement."""
HOLDING_WAYS: Final = ("head", "root", "cut")


@dataclass(frozen=True)
class Cuts:
    """Second cuts of C crops."""

    rows: tuple[int, ...]
    again_d: Array
    """Days from the first cut to the second by day of sowing, the median of the draws that have one [C, B, 365]; NaN
    where half of them have none."""


@dataclass(frozen=True)
class Stands:
    """What stands grown when the dark begins, by crop of the table."""

    hold_d: Array
    """Days a crop that is not picked leaf by leaf keeps from then on, uncut [C, B]; NaN for others."""
    picking: dict[int, Array]
    """Mass per m² and week from then on, by crop [STAND_WEEKS, B]; NaN where nothing stands."""
    cuts: Cuts
    dark: DarkNow
    """The dark they stand in."""


def stands_of(table: Table, sow_by: NDArray[np.float64], on: date) -> Stands:
    """Follow every stand from the start of the dark, through this winter's days as far as they are known.

    Parameters: sow_by, last sowing that stands grown by then, day of the year [C, B]; NaN where none does; on, the day
    asked.
    """
    start = table.dark[:, 0]
    end = _end_d(table, start, sow_by)
    dark = dark_now(table, on)
    picking = {**_picks(table, dark.climate, start), **_cut_picks(table, dark.climate, start, sow_by)}
    weeks = np.arange(STAND_WEEKS)[:, None] * plan.WEEK_D
    kept = {row: np.where((weeks < end[row]) & np.isfinite(sow_by[row]), mass, np.nan) for row, mass in picking.items()}
    return Stands(np.minimum(_hold_d(table, dark.climate, start), end), kept, _cuts(table), dark)


def _end_d(table: Table, start: Index, sow_by: Array) -> Array:
    """Days from the start of the dark until a night kills a stand or it runs to flower [C, B]."""
    days = np.arange(STAND_D)
    span = (start[:, None] + days) % DAYS
    beds = np.arange(len(start))
    long_days = table.world.photoperiod_h[span]
    until = [table.nights.until_d(row)[beds, start] for row in range(len(table.crops))]
    out = np.minimum(np.array(until).reshape(len(table.crops), len(start)), float(len(days)))
    for row, crop in enumerate(table.crops):
        if crop.bolting is None:
            continue
        stalk = growing.value_of(crop.bolting.photoperiod_h, STALK_PHOTOPERIOD_H)
        for bed in range(len(table.climate)):
            turned = _turned_d(table, row, bed, start, sow_by)
            risen = (long_days[bed] >= stalk) & (days >= turned)
            if risen.any():
                out[row, bed] = min(out[row, bed], float(risen.argmax()))
    return out


def _turned_d(table: Table, row: int, bed: int, start: Index, sow_by: Array) -> float:
    """Days from the start of the dark until the last useful sowing has turned to flower."""
    if not np.isfinite(sow_by[row, bed]):
        return np.inf
    last = int(sow_by[row, bed])
    turned = table.threats.bolting_d[row, bed, last]
    back = (start[bed] - last) % DAYS
    return float(turned - back) if np.isfinite(turned) else np.inf


def _hold_d(table: Table, climate: BedClimate, start: Index) -> Array:
    """Days crops keep that are ready when the dark begins [C, B]; NaN where nobody knows."""
    ready = np.broadcast_to(start[:, None].astype(np.float64), (len(table.crops), len(start), 1))
    keeps = table.keeps_from_d(ready, climate)
    holding = np.array([crop.way in HOLDING_WAYS for crop in table.crops], dtype=np.bool_)[:, None]
    return np.where(holding & np.isfinite(keeps[..., 0]), keeps[..., 0], np.nan)


def picked_grown(crop: Crop) -> bool:
    """Whether a crop is picked leaf by leaf from a stand grown before the dark."""
    harvest = crop.harvest
    return crop.way == "pick" and harvest is not None and None not in (harvest.standing_g_m2, harvest.pick_g_m2)


def _picks(table: Table, climate: BedClimate, start: Index) -> dict[int, Array]:
    """Expected picking of grown stands by week from the start of the dark [STAND_WEEKS, B]."""
    rows = [n for n, crop in enumerate(table.crops) if picked_grown(crop)]
    if not rows:
        return {}
    arrays = growing.crop_arrays([table.crops[n] for n in rows])
    starts, which = np.unique(start, return_inverse=True)
    only = which[:, None] == np.arange(len(starts))
    found = standing(arrays, climate, starts, table.draws.of_crops(rows), horizon_d=STAND_D, only=only)
    assert found.week_yield_g_m2 is not None
    beds = np.arange(len(table.climate))
    mean = found.week_yield_g_m2[:STAND_WEEKS, :, beds, which].mean(axis=-1)
    return {row: mean[:, place] for place, row in enumerate(rows)}


def _cut_rows(table: Table) -> tuple[int, ...]:
    return tuple(n for n, crop in enumerate(table.crops) if crop.way == growing.AGAIN_WAY)


def _cuts(table: Table) -> Cuts:
    """When every cut-and-come-again crop is cut again, from sowings of the whole year under every draw."""
    rows = _cut_rows(table)
    if not rows:
        return Cuts(rows, np.empty((0, len(table.climate), DAYS)))
    cut = _cut_weeks(table) > 0.0
    first = cut.argmax(axis=0)
    later = cut & (np.arange(len(cut)).reshape(-1, 1, 1, 1, 1) > first)
    weeks = np.where(later.any(axis=0), later.argmax(axis=0) - first, np.inf)
    middle = np.median(weeks, axis=-1) * float(plan.WEEK_D)
    return Cuts(rows, straight(np.where(np.isfinite(middle), middle, np.nan), SOWN_DOY))


def _cut_weeks(table: Table) -> Array:
    """Mass of each week's cuts of the crops that are cut again [W, K, B, S, J]."""
    if table.grown.cut_g_m2 is not None:
        return table.grown.cut_g_m2
    return table.once("cuts", lambda own: _cut_in(own, own.climate, np.ones((1, 1, 1), dtype=np.bool_)))


def _cut_in(table: Table, climate: BedClimate, only: NDArray[np.bool_]) -> Array:
    """The same in another climate, of some sowings alone [K, B, S]."""
    rows = list(_cut_rows(table))
    arrays = growing.crop_arrays([table.crops[n] for n in rows])
    found = run(arrays, climate, SOWN_DOY, table.draws.of_crops(rows), repeat=True, only=only)
    assert found.week_yield_g_m2 is not None
    return found.week_yield_g_m2


def _cut_picks(table: Table, climate: BedClimate, start: Index, sow_by: Array) -> dict[int, Array]:
    """Weekly cutting of a share of the stand, from the last sowing that stands by the dark [STAND_WEEKS, B]."""
    rows = list(_cut_rows(table))
    stands = np.isfinite(sow_by[rows])
    out = {row: np.full((STAND_WEEKS, len(climate)), np.nan) for row in rows}
    if not stands.any():
        return out
    last = np.searchsorted(SOWN_DOY, np.where(stands, sow_by[rows], 0.0), side="right") - 1
    if climate is table.climate:
        mass = _cut_weeks(table)
    else:
        mass = _cut_in(table, climate, stands[..., None] & (last[..., None] == np.arange(len(SOWN_DOY))))
    for place, bed in np.argwhere(stands).tolist():
        sown = int(last[place, bed])
        since = int(((start[bed] - SOWN_DOY[sown]) % DAYS) // plan.WEEK_D)
        even = _mean_of(plan.spread_cuts(mass[:, place, bed, sown]))[since : since + STAND_WEEKS]
        out[rows[place]][: len(even), bed] = even
    return out


def _mean_of(even_g_m2: Array) -> Array:
    """Mean over the draws of weekly cutting [W, J], a draw that is cut no more giving none; NaN where half are done."""
    done = np.isnan(even_g_m2)
    return np.where(done.mean(axis=-1) < 0.5, np.nan_to_num(even_g_m2).mean(axis=-1), np.nan)
