"""What the household's plan starts from: what stands by the log, and the sowings of a plan that was kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from tenhour.model.crop import Crop
from tenhour.model.feed import KeptPlan, KeptSowing
from tenhour.model.log import STANDING_D, LogLine, Sowing, sowings
from tenhour.year.crops.moved import MoveIn, Outside
from tenhour.year.crops.stands import picked_grown
from tenhour.year.feed.grown import Standing
from tenhour.year.feed.offer import TRAY_M2
from tenhour.year.world import World

NEAR_D: Final = 10
"""A sowing of the log within so many days of one planned is that one: judgement."""
PART_OF_BED: Final = 0.25
"""Of a bed, where the log tells neither area nor plants: judgement, and said."""


@dataclass(frozen=True)
class Begun:
    """From where a plan goes on."""

    standing: tuple[Standing, ...] = ()
    kept: tuple[KeptSowing, ...] = ()
    """Sowings of the kept plan that are still ahead."""
    missed: tuple[KeptSowing, ...] = ()
    """Sowings of the kept plan whose day is past and that the log does not hold."""
    outside: tuple[Outside, ...] = ()
    """Plants that stand outdoors or in pots and may be moved in."""
    moves: tuple[MoveIn, ...] = ()
    """All moves on offer."""


def begun_of(
    world: World, crops: Mapping[str, Crop], log: Sequence[LogLine], plan: KeptPlan | None, today: date
) -> Begun:
    """What stands, and what is still to be sown of a plan that was kept.

    Parameters: crops by key; log, empty where none is kept: then what the plan had sown by now counts as sown.
    """
    monday = today - timedelta(days=today.weekday())
    planned = () if plan is None else plan.sowings
    standing, done, outside = [], set(), []
    for one in sowings(log, today):
        near = _planned(one, [of for of in planned if of not in done])
        if near is not None:
            done.add(near)
        if one.cleared is not None or (today - one.sown).days > STANDING_D:
            continue
        if _is_outside(crops, one, near):
            meant = [of for of in planned if _same_row(of, one) and of.moved_in is not None and of.moved_in >= monday]
            done.update(meant)
            outside += [Outside(of.crop, of.sow, of.units_count, of.bed, of.moved_in) for of in meant]
            outside += [] if meant else [_outside(crops[one.crop], one)]
            continue
        found = _standing(world, crops, one, near)
        if found is not None:
            standing.append(found)
    past = [one for one in planned if one.sow < monday and one not in done]
    if plan is not None and not log:
        waiting = [one for one in past if one.moved_in is not None and one.moved_in >= monday]
        outside += [Outside(one.crop, one.sow, one.units_count, one.bed, one.moved_in) for one in waiting]
        standing += [_as_planned(one) for one in past if one.clear_by > today and one not in waiting]
        past = []
    waits = {(one.crop, one.sown, one.bed, one.on) for one in outside}
    ahead = tuple(
        one
        for one in planned
        if (one.crop, one.sow, one.bed, one.moved_in) in waits or (one.sow >= monday and one not in done)
    )
    missed = tuple(one for one in past if (today - one.sow).days <= MISSED_D)
    return Begun(tuple(standing), ahead, missed, tuple(outside))


LONG_RAISED_D: Final = 70
"""Plants set out so long after they were sown stood outdoors or in pots, not in a nursery tray. Judgement."""


def _is_outside(crops: Mapping[str, Crop], one: Sowing, near: KeptSowing | None) -> bool:
    """Whether a sowing of the log, in no bed yet, is of plants that can be moved in grown."""
    crop = crops.get(one.crop)
    if crop is None or one.bed or one.set_out is not None or not picked_grown(crop):
        return False
    return near is None or near.moved_in is not None


def _outside(crop: Crop, one: Sowing) -> Outside:
    area, harvest = one.area_m2, crop.harvest
    if one.plants_count is not None and harvest is not None:
        area = one.plants_count / harvest.density_per_m2.low
    return Outside(one.crop, one.sown, area)


def _moved_in(crop: Crop, one: Sowing) -> date | None:
    """When plants of the log were moved in grown; None for those that were sown in place or in a nursery."""
    if one.set_out is None or not picked_grown(crop) or (one.set_out - one.sown).days < LONG_RAISED_D:
        return None
    return one.set_out


MISSED_D: Final = 42
"""Sowings that were left out longer ago are not told any more: judgement."""


def _planned(one: Sowing, planned: Sequence[KeptSowing]) -> KeptSowing | None:
    """The sowing of the plan that one of the log is."""
    near = [of for of in planned if one.bed in ("", of.bed) and _same_row(of, one)]
    return min(near, key=lambda of: _unlike(of, one), default=None)


def _unlike(of: KeptSowing, one: Sowing) -> tuple[int, bool, float]:
    """How far a sowing of the plan is from one of the log: by day, by being raised, by its ground."""
    area = 0.0 if one.area_m2 is None else abs(one.area_m2 - of.units_count * (TRAY_M2 if of.tray else 1.0))
    return abs((of.sow - one.sown).days), of.raised != (one.set_out is not None or not one.bed), area


def _same_row(of: KeptSowing, one: Sowing) -> bool:
    return of.crop == one.crop and abs((of.sow - one.sown).days) <= NEAR_D


def _as_planned(one: KeptSowing) -> Standing:
    area = one.units_count * (TRAY_M2 if one.tray else 1.0)
    return Standing(one.crop, one.bed, one.sow, one.raised, area, moved_in=one.moved_in)


def _standing(world: World, crops: Mapping[str, Crop], one: Sowing, near: KeptSowing | None) -> Standing | None:
    """A sowing of the log on its ground; None where it is in no bed of the house."""
    beds = {bed.name: bed.size_m[0] * bed.size_m[1] for bed in world.house.beds}
    bed = one.bed or (near.bed if near is not None else "")
    crop = crops.get(one.crop)
    if bed not in beds or crop is None:
        return None
    raised = one.set_out is not None or not one.bed
    area, assumed = _area_m2(one, crop, near), False
    if area is None:
        area, assumed = (TRAY_M2 if crop.grows_by_reserves else PART_OF_BED * beds[bed]), True
    return Standing(one.crop, bed, one.sown, raised, min(area, beds[bed]), assumed, _moved_in(crop, one))


def _area_m2(one: Sowing, crop: Crop, near: KeptSowing | None) -> float | None:
    if one.area_m2 is not None:
        return one.area_m2
    density = one.plants_per_m2 or (None if crop.harvest is None else crop.harvest.density_per_m2.value)
    if one.plants_count is not None and density:
        return one.plants_count / density
    return None if near is None else _as_planned(near).area_m2


def fitted(world: World, standing: Sequence[Standing]) -> tuple[Standing, ...]:
    """The same with beds no fuller than they are: stands that the log makes too large are scaled down together."""
    room = {bed.name: bed.size_m[0] * bed.size_m[1] for bed in world.house.beds}
    used = dict.fromkeys(room, 0.0)
    for one in standing:
        used[one.bed] += one.area_m2
    return tuple(
        replace(one, area_m2=one.area_m2 * min(1.0, room[one.bed] / used[one.bed])) if used[one.bed] else one
        for one in standing
    )
