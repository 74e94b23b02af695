"""Plants raised outdoors over summer and moved in grown: when to sow and to lift them, and what they give after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.hardening import SCORCH_K
from tenhour.growth.places import GROWN_LEAVES
from tenhour.growth.run import dry_target_g_m2, fresh_per_dry_ratio, run
from tenhour.growth.shapes import BedClimate, CropArrays, Draws, Start, bed_climate
from tenhour.model.crop import Crop
from tenhour.model.season import MovedIn
from tenhour.plan.dates import DAYS, day_index, next_on_or_after
from tenhour.plan.ranges import HIGH, at_share, median_days, sorted_draws, straight
from tenhour.plan.season import WEEK_D
from tenhour.plan.sowing import sow_by_day
from tenhour.sky import spread
from tenhour.words.year import MovedWords, moved_sentence
from tenhour.year.crops import growing
from tenhour.year.crops.growing import SOWN_DOY
from tenhour.year.crops.grown import Table
from tenhour.year.crops.larder import Harvests, even_cuts
from tenhour.year.crops.nights import Nights
from tenhour.year.crops.stands import STALK_PHOTOPERIOD_H, picked_grown
from tenhour.year.warm.warmth import RARE_FRAC
from tenhour.year.world import World

Array = NDArray[np.float64]
Index = NDArray[np.intp]

CHECK_D: Final = 14
"""Days that grown plants stand still after lifting: roots are lost. Practice (one to three weeks)."""
FOLLOWED_WEEKS: Final = 34
LEAF_WEEKS: Final = 12
"""Weeks over which the leaf that plants bring along is picked down: the dark of a winter at 48° N. Judgement."""
SERVINGS_WEEK: Final = 2.0
"""Servings a week for which plants are counted: a couple of meals."""
HALF_YEAR_D: Final = 182
MOVE_WEEKS: Final = 13
"""Weeks before the last day outdoors within which a household's plan may move plants in. Judgement."""


@dataclass(frozen=True)
class Moved:
    """R crops moved in, by crop of the table."""

    rows: tuple[int, ...]
    sow_by: Array
    """Last sowing outdoors that is grown by the move, day of the year [R, B]; NaN where none is."""
    move_by: Index
    """Day of the year [R, B]."""
    ends_d: Array
    """Days from the move until a night kills it or its flower stalk rises [R, B]."""
    week_g_m2: Array
    """New leaf picked by week from the move [W, R, B], mean over the draws."""
    leaf_g_m2: Array
    """Leaf that a grown stand brings along and can spare [R]."""


def outdoor_climate(world: World) -> BedClimate:
    """Open ground as one bed: its light in the order of days that the beds have, air of real days and nights."""
    out, air = world.outdoors, world.warmth.outdoor_air
    light = out.class_dli_mol_m2_d[np.arange(DAYS), spread.class_sequence(DAYS)]
    lit = np.clip(out.daylength_h, 0.0, 24.0)
    return bed_climate(light, air.day_degc, air.night_degc, lit, swing_frac=1.0, soil_degc=air.soil_degc)


def moved_of(table: Table) -> Moved:
    """Everything about crops that can be raised outdoors and moved in grown."""
    return table.kept("moved", lambda: _moved(table), (Moved,))


def _moved(table: Table) -> Moved:
    crops, rows = table.crops, tuple(n for n, crop in enumerate(table.crops) if picked_grown(crop))
    beds = len(table.climate)
    if not rows:
        none = np.empty((0, beds))
        return Moved(rows, none, none.astype(np.intp), none, np.empty((0, 0, beds)), np.empty(0))
    some = [crops[n] for n in rows]
    arrays = growing.crop_arrays(some)
    move = _move_by(table, some)
    grown = _grown_d(table.world, some, arrays, table.draws.of_crops(list(rows)))
    sow_by = np.full(move.shape, np.nan)
    for place in range(len(rows)):
        for bed in range(beds):
            found = sow_by_day(grown[place], int(move[place, bed]))
            sow_by[place, bed] = np.nan if found is None else found
    ends = np.stack([
        _ends_d(table.world, crops[row], table.nights.until_d(row), move[place]) for place, row in enumerate(rows)
    ])  # fmt: skip
    leaf = fresh_per_dry_ratio(arrays) * arrays.standing_g_m2
    return Moved(rows, sow_by, move, ends, _picked(table, rows, arrays, move), leaf)


def _move_by(table: Table, crops: list[Crop]) -> Index:
    """Last day before nights outdoors hurt its leaves in one autumn of ten, or before the dark of the bed [R, B]."""
    begin = _summer(table.world)
    dark = (table.dark[:, 0] - begin) % DAYS
    return np.asarray((begin + np.minimum(_unhurt_d(table.world, crops)[:, None], dark)) % DAYS)


def _summer(world: World) -> int:
    """Day of the year from which autumn is counted: half a year from the darkest."""
    return int((world.darkest_day + HALF_YEAR_D) % DAYS)


def _unhurt_d(world: World, crops: Sequence[Crop]) -> Index:
    """Days from the summer until the last day before nights outdoors hurt its leaves in one autumn of ten [R]."""
    nights = Nights(tuple(crops), world.warmth.outdoor_air)
    order = (_summer(world) + np.arange(DAYS)) % DAYS
    out = np.empty(len(crops), dtype=np.intp)
    for n in range(len(crops)):
        margin = (nights.air.lows_degc - nights.limit_degc(n))[:, 0, order] <= SCORCH_K
        first = np.where(margin.any(axis=1), margin.argmax(axis=1), DAYS)
        out[n] = max(int(np.quantile(first, RARE_FRAC)) - 1, 0)
    return out


def _grown_d(world: World, crops: Sequence[Crop], arrays: CropArrays, draws: Draws) -> Array:
    """Days outdoors until nine stands of ten are picked from, by day of sowing [R, 365]; NaN where frost ends it."""
    usual = dry_target_g_m2(arrays)
    large = arrays.with_values(target_g=arrays.target_g * arrays.standing_g_m2 / usual)
    found = run(large, outdoor_climate(world), SOWN_DOY, draws)
    days, up = at_share(sorted_draws(found.harvest_d), HIGH), median_days(found.emergence_d)
    nights = Nights(tuple(crops), world.warmth.outdoor_air)
    least = nights.least_of_stays_k(SOWN_DOY, up, days)
    return straight(np.where(least > 0.0, days, np.nan)[:, 0], SOWN_DOY)


def _ends_d(world: World, crop: Crop, until_d: Array, move: Index) -> Array:
    """Days from the move until a night kills the plants, or their stalk rises in spring [B].

    Parameters: until_d, days until a night kills it, by day of the year [B, 365]; move, day of the year [B].
    """
    days = np.arange(FOLLOWED_WEEKS * WEEK_D)
    out = np.minimum(until_d[np.arange(len(move)), move], float(len(days)))
    if crop.bolting is None:
        return np.asarray(out)
    stalk = growing.value_of(crop.bolting.photoperiod_h, STALK_PHOTOPERIOD_H)
    for bed, first in enumerate(move.tolist()):
        spring = days >= (world.darkest_day - first) % DAYS
        risen = spring & (world.photoperiod_h[(first + days) % DAYS] >= stalk)
        if risen.any():
            out[bed] = min(out[bed], float(risen.argmax()))
    return np.asarray(out)


def _picked(table: Table, rows: tuple[int, ...], arrays: CropArrays, move: Index) -> Array:
    """New leaf by week from the move [W, R, B], none while the plants stand still."""
    starts, which = np.unique(move, return_inverse=True)
    asked = which.reshape(move.shape)
    begin = Start(arrays.standing_g_m2[:, None, None, None], GROWN_LEAVES, float(CHECK_D))
    found = run(
        arrays, table.climate, starts, table.draws.of_crops(list(rows)),
        horizon_d=WEEK_D * FOLLOWED_WEEKS, start=begin, repeat=True,
        only=asked[..., None] == np.arange(len(starts)),
    )  # fmt: skip
    assert found.week_yield_g_m2 is not None
    mean = found.week_yield_g_m2[:FOLLOWED_WEEKS].mean(axis=-1)
    place, bed = np.arange(len(rows))[:, None], np.arange(len(table.climate))
    return np.asarray(mean[:, place, bed, asked])


def moved_in(table: Table, row: int, bed: int, on: date) -> MovedIn | None:
    """The route of one crop to one bed; None where it cannot be moved in, or is not grown in time."""
    moved = table.once("moved", moved_of)
    if row not in moved.rows:
        return None
    place, crop = moved.rows.index(row), table.crops[row]
    sown, ends = moved.sow_by[place, bed], float(moved.ends_d[place, bed])
    harvest, use = crop.harvest, crop.use
    if not np.isfinite(sown) or ends <= CHECK_D or harvest is None:
        return None
    move = next_on_or_after(int(moved.move_by[place, bed]), on)
    sow = move - timedelta(days=int((moved.move_by[place, bed] - sown) % DAYS))
    weeks = int(ends // WEEK_D)
    grams = moved.week_g_m2[:weeks, place, bed].tolist()
    brought = float(moved.leaf_g_m2[place])
    dark = _dark_weeks(table, int(moved.move_by[place, bed]), weeks)
    lean = [grams[n] for n in dark]
    weekly = (sum(lean) / len(lean) if lean else 0.0) + brought / LEAF_WEEKS
    plants = None
    if use is not None and use.meal_g is not None and weekly > 0.0:
        # lifted plants are large ones: the crop's widest spacing
        plants = SERVINGS_WEEK * use.meal_g.value / weekly * harvest.density_per_m2.low
    last = move + timedelta(days=int(ends))
    text = moved_sentence(MovedWords(sow, move, last, CHECK_D, weekly, plants))
    return MovedIn(sow, move, last, tuple(grams), brought, plants, text)


def _dark_weeks(table: Table, move: int, weeks: int) -> list[int]:
    """Weeks from the move that lie within a month of the darkest day."""
    darkest = (table.world.darkest_day - move) % DAYS
    return [n for n in range(weeks) if abs(n * WEEK_D - darkest) <= 4 * WEEK_D and n * WEEK_D >= CHECK_D]


@dataclass(frozen=True)
class Outside:
    """Plants that stand outdoors or in pots and may be moved in."""

    crop: str
    sown: date
    area_m2: float | None = None
    """Ground they will take in the house; None where nobody counted them."""
    bed: str = ""
    """The one they are meant for."""
    on: date | None = None
    """Day planned for it."""


@dataclass(frozen=True)
class MoveIn:
    """Grown plants of one crop moved in on one day."""

    crop: str
    on: date
    sown: date
    """Outdoors."""
    area_m2: float | None = None
    bed: str = ""
    """Meant for this bed alone, if any."""


def moves_of(
    world: World, crops: Sequence[Crop], draws: Draws, days: Sequence[date], eat_from: date,
    outside: Sequence[Outside] = (),
) -> tuple[MoveIn, ...]:  # fmt: skip
    """Every move that a household's plan may offer: plants that stand outside, or that are still to be sown there.

    Parameters: crops, C; draws, J seasons of them; days, those offered, the first of them today's week; eat_from, first
    day with something on the table; outside, what stands there.
    Method: plants that were counted are offered once: when the household begins to eat, or on the last day there is.
    """
    rows = [n for n, crop in enumerate(crops) if picked_grown(crop)]
    some = [crops[n] for n in rows]
    if not some:
        return ()
    last = np.minimum(_unhurt_d(world, some), (world.darkest_day - _summer(world)) % DAYS)
    since = np.array([(day_index(day) - _summer(world)) % DAYS for day in days])
    offered = (since <= last[:, None]) & (since > last[:, None] - MOVE_WEEKS * WEEK_D)
    if not offered.any():
        return ()
    grown = _grown_d(world, some, growing.crop_arrays(some), draws.of_crops(rows))
    out = []
    for place, crop in enumerate(some):
        on = np.flatnonzero(offered[place]).tolist()
        found = [move for at in on for move in _on_day(crop.key, days[at], grown[place], days[0], outside)]
        counted = [move.on for move in found if move.area_m2 is not None and not move.bed]
        best = max((day for day in counted if day <= eat_from), default=min(counted, default=None))
        out += [move for move in found if move.on == best or move.on not in counted]
    return tuple(out)


def _on_day(crop: str, on: date, grown_d: Array, today: date, outside: Sequence[Outside]) -> list[MoveIn]:
    """Moves of one crop on one day: of plants that are there, else of those that can still be sown in time."""
    move = day_index(on)
    found = sow_by_day(grown_d, move)
    by = None if found is None else on - timedelta(days=(move - found) % DAYS)
    there = [one for one in outside if one.crop == crop]
    meant = [one for one in there if one.bed and one.on is not None and max(one.on, today) == on]
    if meant:
        return [MoveIn(crop, on, one.sown, one.area_m2, one.bed) for one in meant]
    ready = [one for one in there if not one.bed and by is not None and one.sown <= by]
    if ready:
        known = [one.area_m2 for one in ready if one.area_m2 is not None]
        return [MoveIn(crop, on, ready[0].sown, sum(known) if len(known) == len(ready) else None)]
    return [MoveIn(crop, on, by)] if by is not None and by >= today and not there else []


def moved_harvests(
    world: World, crops: Sequence[Crop], moves: Sequence[MoveIn], draws: Draws, cuts_most: Mapping[str, int]
) -> Harvests | None:
    """What plants moved in give by week from the move, the leaf they bring along and can spare included.

    Parameters: crops, C; moves; draws, J seasons of them; cuts_most, most pickings by key of crop.
    Returns: sowings [R, B, S] of the crops moved, S days of the moves in order; None where there are no moves.
    """
    keys, days = [crop.key for crop in crops], sorted({move.on for move in moves})
    rows = tuple(sorted({keys.index(move.crop) for move in moves if move.crop in keys}))
    if not rows:
        return None
    some, doy = [crops[n] for n in rows], np.array([day_index(day) for day in days], np.intp)
    arrays, climate, own = growing.crop_arrays(some), growing.bed_climates(world), draws.of_crops(list(rows))
    begin = Start(arrays.standing_g_m2[:, None, None, None], GROWN_LEAVES, float(CHECK_D))
    found = run(arrays, climate, doy, own, horizon_d=WEEK_D * FOLLOWED_WEEKS, start=begin, repeat=True)
    assert found.week_yield_g_m2 is not None
    most = np.array([cuts_most[crop.key] for crop in some])[:, None, None, None]
    grams = even_cuts(found.week_yield_g_m2[:FOLLOWED_WEEKS], most)
    leaf = fresh_per_dry_ratio(arrays) * arrays.standing_g_m2 / LEAF_WEEKS
    grams[:LEAF_WEEKS] += leaf[:, None, None, None]
    nights, beds = Nights(tuple(some), world.air), len(climate)
    ends = np.stack([
        np.stack([_ends_d(world, crop, nights.until_d(n), np.full(beds, day)) for day in doy], axis=-1)
        for n, crop in enumerate(some)
    ])  # fmt: skip
    meant = np.zeros((len(some), beds, len(days)), dtype=np.bool_)
    shown, others = world.bed_names, {bed.name for bed in world.house.beds}.difference(world.bed_names)
    for move in moves:
        if move.crop in keys and move.bed not in others:
            which = shown.index(move.bed) if move.bed in shown else slice(None)
            meant[rows.index(keys.index(move.crop)), which, days.index(move.on)] = True
    stays = np.where(meant & (ends > CHECK_D), ends // WEEK_D, 0.0)[..., None]
    grams = np.where(np.arange(len(grams))[:, None, None, None, None] < stays, grams, 0.0)
    there = np.broadcast_to(stays > 0.0, grams.shape[1:])
    none = np.zeros((len(some), len(days)), np.intp)
    return Harvests(
        rows, none, np.where(there, 0.0, np.nan), np.where(there, stays - 1.0, np.nan), np.zeros(grams.shape[1:]), grams
    )
