"""What every sowing would put on the table, week by week: what the household's plan is made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth import seedfed
from tenhour.growth.places import set_out
from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, CropArrays, Draws, GrowthRun
from tenhour.growth.stages import keeps_d
from tenhour.model.crop import Crop
from tenhour.plan.dates import DAYS
from tenhour.year.crops import growing
from tenhour.year.crops.flagging import bolting_days
from tenhour.year.crops.nights import Nights
from tenhour.year.crops.nursery import RAISED_WAYS, nursery_climate
from tenhour.year.world import World

Array = NDArray[np.float64]
Index = NDArray[np.intp]

WEEK_D: Final = 7
ONCE_WAYS: Final = ("head", "root")
CUT_WAYS: Final = ("cut", "pick")
TRAY_HOLD_WEEKS: Final = 1
"""A tray that is ready is cut within the week after: practice."""
FOLLOWED_WEEKS: Final = 53


@dataclass(frozen=True)
class Harvests:
    """Sowings of some crops by one route; arrays [C, B, S, J], weeks counted from the week of sowing.

    A crop of one harvest has its mass in any week from ready to the end; a cut or picked one gives what ``week_g_m2``
    says, up to any week in which it is cleared.
    """

    rows: tuple[int, ...]
    """Crops of the world's list."""
    raised_weeks: Index
    """Weeks in the nursery before it holds a bed [C, S]; 0 where it is sown in place."""
    ready_week: Array
    """NaN where it never is."""
    end_week: Array
    """Last week in which it can be taken."""
    mass_g_m2: Array
    """Of one harvest."""
    week_g_m2: Array | None
    """[W, C, B, S, J] for crops cut or picked again; None for crops of one harvest."""
    raised: bool = False
    """Whether the route begins in the nursery."""


def harvests_of(
    world: World, crops: Sequence[Crop], sow_doy: Index, draws: Draws, cuts_most: Mapping[str, int]
) -> list[Harvests]:
    """Every way in which sowings of the given days come to the table, under every draw.

    Parameters: sow_doy [S]; draws, J seasons; cuts_most, most cuts of a sowing by key of crop.
    """
    climate = growing.bed_climates(world)
    out = []
    for ways, grow in ((ONCE_WAYS, _once), (CUT_WAYS, _again), (("seed-fed", "bulb"), _trays)):
        rows = tuple(n for n, crop in enumerate(crops) if crop.way in ways)
        if rows:
            out.append(
                grow(
                    _Grove(world, tuple(crops[n] for n in rows), rows, climate, sow_doy, draws.of_crops(list(rows))),
                    cuts_most,
                )
            )
    out += _raised(world, crops, climate, sow_doy, draws, cuts_most)
    return out


@dataclass(frozen=True)
class _Grove:
    """Some crops, where and when they are grown."""

    world: World
    crops: tuple[Crop, ...]
    rows: tuple[int, ...]
    climate: BedClimate
    sow_doy: Index
    draws: Draws

    @property
    def arrays(self) -> CropArrays:
        return growing.crop_arrays(self.crops)

    def keeps_d(self, ready_d: Array) -> Array:
        """Days crops stand that are ready some days after sowing [C, B, S, J]."""
        holds = growing.column(self.crops, growing.part("harvest", "holds_degcday", np.inf))
        ready = (self.sow_doy[:, None] + ready_d).reshape(*ready_d.shape[:2], -1)
        return keeps_d(growing.mean_temp_degc(self.climate), ready, holds).reshape(ready_d.shape)

    def end_d(self, begin_d: Array) -> Array:
        """Days from sowing until a night harms it or it runs to flower [C, B, S, 1].

        Parameters: begin_d, days from sowing from which it stands in its bed [C, B, S].
        """
        nights = Nights(self.crops, self.world.air)
        until = np.stack([nights.until_d(n) for n in range(len(self.crops))])  # [C, B, 365]
        known = np.isfinite(begin_d)
        first = (self.sow_doy + np.where(known, begin_d, 0.0).astype(np.intp)) % DAYS
        killed = begin_d + np.take_along_axis(until, first, axis=2)
        stalks = bolting_days(
            self.crops, self.world.photoperiod_h, self.climate, self.sow_doy, np.where(known, begin_d, np.nan)
        )
        return np.asarray(np.fmin(killed, stalks))[..., None]


def _weeks(days: Array) -> Array:
    return np.floor(days / WEEK_D)


def _once(grove: _Grove, _: Mapping[str, int]) -> Harvests:
    """One harvest: any week from full size until it is past its best, a killing night or the flower."""
    first = run(grove.arrays, grove.climate, grove.sow_doy, grove.draws)
    return _one_harvest(grove, first.emergence_d, first.harvest_d, first.yield_g_m2, None)


def _one_harvest(grove: _Grove, begin_d: Array, ready_d: Array, mass: Array, raised_d: Array | None) -> Harvests:
    end = np.fmin(grove.end_d(np.median(begin_d, axis=-1)), ready_d + grove.keeps_d(ready_d))
    end = np.minimum(end, FOLLOWED_WEEKS * WEEK_D)
    there = np.isfinite(ready_d) & (ready_d < end)
    weeks = np.zeros((len(grove.rows), len(grove.sow_doy)), np.intp) if raised_d is None else _whole_weeks(raised_d)
    return Harvests(
        grove.rows, weeks, np.where(there, np.ceil(ready_d / WEEK_D), np.nan), np.where(there, _weeks(end), np.nan),
        np.where(there, mass, 0.0), None, raised_d is not None,
    )  # fmt: skip


def _whole_weeks(days: Array) -> Index:
    return np.asarray(np.where(np.isfinite(days), np.round(days / WEEK_D), 0), dtype=np.intp)


def _again(grove: _Grove, cuts_most: Mapping[str, int]) -> Harvests:
    """Cuts and pickings, no more than the crop bears, until a night or the flower ends it."""
    found = run(grove.arrays, grove.climate, grove.sow_doy, grove.draws, repeat=True)
    return _repeated(grove, found.emergence_d, found.harvest_d, found.week_yield_g_m2, cuts_most, None)


def _repeated(
    grove: _Grove, begin_d: Array, ready_d: Array, week_g_m2: Array | None, cuts_most: Mapping[str, int],
    raised_d: Array | None,
) -> Harvests:  # fmt: skip
    assert week_g_m2 is not None
    end = _weeks(np.minimum(grove.end_d(np.median(begin_d, axis=-1)), FOLLOWED_WEEKS * WEEK_D))
    most = np.array([cuts_most[crop.key] for crop in grove.crops])[:, None, None, None]
    grams = even_cuts(week_g_m2[:FOLLOWED_WEEKS], most)
    grams = np.where(np.arange(len(grams))[:, None, None, None, None] <= end, grams, 0.0)
    gives = (grams > 0.0).any(axis=0)
    last = len(grams) - 1 - (grams[::-1] > 0.0).argmax(axis=0)
    ready = np.where(gives, (grams > 0.0).argmax(axis=0), np.nan)
    weeks = np.zeros((len(grove.rows), len(grove.sow_doy)), np.intp) if raised_d is None else _whole_weeks(raised_d)
    none = np.zeros_like(ready_d)
    return Harvests(grove.rows, weeks, ready, np.where(gives, last, np.nan), none, grams, raised_d is not None)


def even_cuts(week_g_m2: Array, most_count: Array) -> Array:
    """Cuts taken a share at a time: each cut spread from its week to the week before the next; the last over four.

    Parameters: week_g_m2 [W, ...], mass of each week's cuts; most_count [...], cuts a sowing bears.
    Returns: [W, ...]; a mass is never there before it is cut.
    """
    cuts = week_g_m2 > 0.0
    number = np.cumsum(cuts, axis=0)
    kept = np.where(cuts & (number <= most_count), week_g_m2, 0.0)
    weeks = np.arange(len(kept)).reshape(-1, *([1] * (kept.ndim - 1)))
    later = np.where(kept > 0.0, weeks, len(kept) + LAST_CUT_WEEKS)
    following = np.minimum.accumulate(later[::-1], axis=0)[::-1]
    following = np.concatenate([following[1:], np.full_like(following[:1], len(kept) + LAST_CUT_WEEKS)])
    span = np.clip(np.where(following >= len(kept) + LAST_CUT_WEEKS, LAST_CUT_WEEKS, following - weeks), 1, None)
    rate = np.where(kept > 0.0, kept / span, 0.0)
    before = np.maximum.accumulate(np.where(kept > 0.0, weeks, -1), axis=0)
    place = np.maximum(before, 0)
    within = (before >= 0) & (weeks - before < np.take_along_axis(span, place, axis=0))
    return np.asarray(np.where(within, np.take_along_axis(rate, place, axis=0), 0.0))


LAST_CUT_WEEKS: Final = 4


def _trays(grove: _Grove, _: Mapping[str, int]) -> Harvests:
    """Trays: cut in the week they are ready or the next."""
    found = seedfed.seed_fed(growing.tray_arrays(grove.crops), grove.climate, grove.sow_doy, grove.draws)
    ready = np.ceil(found.harvest_d / WEEK_D)
    none = np.zeros((len(grove.rows), len(grove.sow_doy)), np.intp)
    return Harvests(grove.rows, none, ready, ready + TRAY_HOLD_WEEKS, np.nan_to_num(found.yield_g_m2), None)


def _raised(
    world: World, crops: Sequence[Crop], climate: BedClimate, sow_doy: Index, draws: Draws, cuts_most: Mapping[str, int]
) -> list[Harvests]:
    """The same crops raised in the nursery and set out, where the house has one."""
    nursery = world.house.nursery
    rows = [n for n, crop in enumerate(crops) if crop.way in RAISED_WAYS and crop.raising is not None]
    if nursery is None or not rows:
        return []
    there = nursery_climate(world, nursery)
    out = []
    for ways in (ONCE_WAYS, CUT_WAYS):
        some = tuple(n for n in rows if crops[n].way in ways)
        if not some:
            continue
        own = draws.of_crops(list(some))
        grove = _Grove(world, tuple(crops[n] for n in some), some, climate, sow_doy, own)
        trays = growing.column(grove.crops, growing.part("raising", "tray_density_per_m2", np.nan))
        raise_: Callable[..., GrowthRun] = lambda arrays, own=own, trays=trays, **more: set_out(  # noqa: E731
            arrays, there, climate, sow_doy, own, tray_density_per_m2=trays, **more
        )
        arrays = grove.arrays
        first = raise_(arrays, repeat=ways is CUT_WAYS)
        moved = np.median(first.transplant_d, axis=-1)
        raised_d = moved[:, 0]
        begin = np.broadcast_to(moved[..., None], first.harvest_d.shape)
        if ways is CUT_WAYS:
            out.append(_repeated(grove, begin, first.harvest_d, first.week_yield_g_m2, cuts_most, raised_d))
        else:
            out.append(_one_harvest(grove, begin, first.harvest_d, first.yield_g_m2, raised_d))
    return out
