"""A steady supply: which bed serves which crop, sowings that follow each other, area, seed, and how full beds are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.household import Household
from tenhour.model.season import BedSeason, CropSeason, SeedNeed, Succession
from tenhour.plan import season as plan
from tenhour.plan import supply
from tenhour.plan.choosing import MOST_OF_YEAR, chosen_of
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.season import SEED_RESERVE_RATIO, WEEK_D, WEEKS
from tenhour.plan.sowing import CODE
from tenhour.words import remarks as words
from tenhour.words.crops import crop_name
from tenhour.words.text import joined, listed
from tenhour.year.crops import growing
from tenhour.year.crops.grown import Table

Array = NDArray[np.float64]

MEALS_PER_WEEK: Final = 2.0
"""Servings a week for which a steady supply is planned unless told otherwise."""
EVERY_D: Final = 7
"""Days between harvests where only the servings a week are told: a harvest every week."""
USUAL_MEAL_G: Final = 100.0
"""One serving of a crop whose file names none: judgement."""
WHOLE_SHARE: Final = 0.995
"""A bed that has room for this much of a wish has room for it."""
NO_SUPPLY_WAYS: Final = ("transplant", "fruiting")


@dataclass(frozen=True)
class Wishes:
    """What the user asked of the season beside the house."""

    every_d: int | None = None
    meals_per_week_count: float = MEALS_PER_WEEK
    last_frost: date | None = None

    @classmethod
    def of(cls, every_d: int | None, meals_per_week_count: float | None, last_frost: date | None) -> Wishes:
        """Wishes as they were told; servings a week without an interval mean a harvest every week.

        Parameters: every_d, days between harvests; meals_per_week_count, servings a week; last_frost outdoors.
        """
        if every_d is None and meals_per_week_count is not None:
            every_d = EVERY_D
        return cls(every_d, MEALS_PER_WEEK if meals_per_week_count is None else meals_per_week_count, last_frost)


@dataclass(frozen=True)
class Supply:
    """Everything planned."""

    successions: tuple[Succession, ...] = ()
    seeds: tuple[SeedNeed, ...] = ()
    full_frac: tuple[tuple[float, ...], ...] = ()
    wished_ratio: tuple[tuple[float, ...], ...] = ()
    """By bed and week."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Offer:
    """What sowings of C crops on B beds give, as a supply is planned from."""

    crops: tuple[Crop, ...]
    worth: NDArray[np.bool_]
    """Sowings that are worth it, by day of sowing [C, B, 365]."""
    days_low: Array
    days: Array
    days_high: Array
    """Days to harvest [C, B, 365]; NaN where never."""
    gives_g_m2: Array
    """Fresh mass of one harvest, in the middle of all sowings and draws that give one [C, B]; NaN where none does."""


def offer_of(table: Table) -> Offer:
    """What the beds of a table give."""
    worth = np.isin(table.ruling.code, [CODE["sow"], CODE["slow"], CODE["stand-small"]])
    mass = table.grown.yield_g_m2
    gives = [[float(np.nanmedian(own)) if np.isfinite(own).any() else float("nan") for own in row] for row in mass]
    shape = mass.shape[:2]
    return Offer(table.crops, worth, table.days_low, table.days, table.days_high, np.array(gives).reshape(shape))


def offers_together(offers: Sequence[Offer]) -> Offer:
    """Those of the beds of several tables, in order."""

    def all_of(name: str) -> NDArray[Any]:
        return np.concatenate([getattr(one, name) for one in offers], axis=1)

    return Offer(offers[0].crops, *(all_of(name) for name in Offer.__dataclass_fields__ if name != "crops"))


@dataclass
class _Plan:
    """One crop on one bed: what it would take and give, in days from the start."""

    crop: int
    bed: int
    wanted: list[supply.Wanted] = field(default_factory=list)
    harvest: list[tuple[int, int]] = field(default_factory=list)
    meals_count: list[float] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    missed: list[float] = field(default_factory=list)

    @property
    def count(self) -> float:
        """Servings it gives in all."""
        return sum(self.meals_count)


def supply_of(
    offer: Offer, beds: Sequence[BedSeason], wishes: Wishes, on: date, household: Household | None = None
) -> Supply:
    """Plan a steady supply of crops, each on the bed that serves it best.

    Parameters: offer; beds, their seasons; wishes; on, first day planned; household, of the house file.
    Of more crops than a screen shows, only those that feed the household best are planned: half a hundred kinds on
    one bed would each get a crumb of their wish.
    """
    area = np.array([bed.area_m2 for bed in beds])
    chosen: list[_Plan] = []
    asked = supplied(offer, beds, household)
    for row, crop in enumerate(offer.crops):
        if crop.key not in asked:
            continue
        plans = [_plan(offer, row, bed, beds[bed].crops[row], wishes, on) for bed in range(len(beds))]
        best = _best(chosen, [one for one in plans if one.wanted], area)
        if best is not None:
            chosen.append(best)
    every = [item for one in chosen for item in one.wanted]
    share = supply.shares(every, area, DAYS)
    granted = [replace(item, area_m2=item.area_m2 * part) for item, part in zip(every, share, strict=True)]
    found = _successions(offer, beds, chosen, share, on)
    return Supply(
        successions=tuple(sorted(found, key=lambda s: (s.sow, s.bed, s.crop))),
        seeds=_seeds(offer, found),
        full_frac=_by_week(granted, area),
        wished_ratio=_by_week(every, area),
        notes=tuple(_notes(offer, beds, chosen, share, asked)),
    )


def supplied(offer: Offer, beds: Sequence[BedSeason], household: Household | None = None) -> frozenset[str]:
    """Crops of which a supply is planned: all there are where they are few, else those that feed the household best."""
    few = len(offer.crops) <= MOST_OF_YEAR
    named = {crop.key for crop in offer.crops} if few else {one.crop for one in chosen_of(beds, household)}
    return frozenset(crop.key for crop in offer.crops if crop.key in named and crop.way not in NO_SUPPLY_WAYS)


def _best(chosen: Sequence[_Plan], plans: Sequence[_Plan], area: Array) -> _Plan | None:
    """The bed that gives most servings; of beds that give about as many, the one that stays emptiest."""
    if not plans:
        return None
    most = max(one.count for one in plans)
    held = [item for one in chosen for item in one.wanted]

    def fullest(one: _Plan) -> float:
        taken = supply.taken_m2([*held, *one.wanted], len(area), DAYS)[one.bed]
        return float(taken.max() / area[one.bed])

    return min((one for one in plans if one.count >= 0.9 * most), key=fullest)


def _plan(offer: Offer, row: int, bed: int, season: CropSeason, wishes: Wishes, on: date) -> _Plan:
    out = _Plan(row, bed)
    crop = offer.crops[row]
    if crop.way != "pick":
        _fresh(out, offer, wishes, day_index(on))
    _standing(out, offer, crop, season, wishes, on)
    return out


def _fresh(out: _Plan, offer: Offer, wishes: Wishes, begin: int) -> None:
    """Sowings that are harvested as they come in."""
    row, bed, every_d = out.crop, out.bed, wishes.every_d or EVERY_D
    days = np.where(offer.worth[row, bed], offer.days[row, bed], np.nan)
    met, out.missed = supply.successions(days, begin, every_d, DAYS)
    meals = wishes.meals_per_week_count * every_d / WEEK_D
    gives = float(offer.gives_g_m2[row, bed])
    if not np.isfinite(gives) or gives <= 0.0:
        return
    area = meals * _meal_g(offer.crops[row]) / gives
    for sown, took in met:
        day = (begin + sown) % DAYS
        low, high = whole(offer.days_low[row, bed, day]), whole(offer.days_high[row, bed, day])
        first, last = sown + (low or round(took)), sown + (high or round(took))
        out.wanted.append(supply.Wanted(bed, sown, max(last, sown + round(took) + every_d), area))
        out.harvest.append((first, last))
        out.meals_count.append(meals)
        out.notes.append("first cut only" if offer.crops[row].way == "cut" else "")


def _standing(out: _Plan, offer: Offer, crop: Crop, season: CropSeason, wishes: Wishes, on: date) -> None:
    """One larger sowing that stands through the dark, for the harvests that no fresh sowing gives."""
    if season.sow_by is None:
        return
    begin, end, meals, area = _stand(out, offer, crop, season, wishes, on)
    if meals <= 0.0 or area <= 0.0:
        return
    sow = season.sow_by_sure if season.sow_by_sure is not None and season.sow_by_sure >= on else season.sow_by
    sown = (sow - on).days
    if sown >= begin:
        return
    for near in [n for n, item in enumerate(out.wanted) if abs(item.first_d - sown) < supply.LEAST_APART_D][::-1]:
        area, meals = area + out.wanted.pop(near).area_m2, meals + out.meals_count.pop(near)
        begin = min(begin, out.harvest.pop(near)[0])  # one sowing in a week, from which both are taken
        out.notes.pop(near)
    out.wanted.append(supply.Wanted(out.bed, sown, end, area))
    out.harvest.append((begin, end))
    out.meals_count.append(meals)
    out.notes.append("stands; take as needed")


def _stand(
    out: _Plan, offer: Offer, crop: Crop, season: CropSeason, wishes: Wishes, on: date
) -> tuple[int, int, float, float]:
    """First and last day of taking from a winter stand, servings in all, and area."""
    per_week, meal = wishes.meals_per_week_count, _meal_g(crop)
    if crop.way in ("pick", "cut"):
        given = [(n, value) for n, value in enumerate(season.picking_g_m2_week) if value]
        ahead = [n for n, _ in given if season.sow_by is not None and on + timedelta(days=WEEK_D * n) >= season.sow_by]
        lean = plan.leanest([season.picking_g_m2_week[n] for n in ahead])
        if not ahead or not lean:
            return 0, 0, 0.0, 0.0
        first, last = WEEK_D * ahead[0], WEEK_D * ahead[-1] + WEEK_D - 1
        if crop.way == "cut":
            missed = [day for day in out.missed if first <= day <= last]
            if not missed:
                return 0, 0, 0.0, 0.0
        return first, last, per_week * len(ahead), per_week * meal / lean
    if season.hold_from is None or season.hold_to is None:
        return 0, 0, 0.0, 0.0
    first, last = (season.hold_from - on).days, (season.hold_to - on).days
    missed = [day for day in out.missed if first <= day <= last]
    meals = len(missed) * per_week * (wishes.every_d or EVERY_D) / WEEK_D
    gives = float(offer.gives_g_m2[out.crop, out.bed])
    return first, last, meals, meals * meal / gives if np.isfinite(gives) and gives > 0.0 else 0.0


def whole(value: float) -> int | None:
    """Whole days, or None where never."""
    return round(float(value)) if np.isfinite(value) else None


def _meal_g(crop: Crop) -> float:
    return USUAL_MEAL_G if crop.use is None else growing.value_of(crop.use.meal_g, USUAL_MEAL_G)


def _successions(
    offer: Offer, beds: Sequence[BedSeason], chosen: Sequence[_Plan], share: Sequence[float], on: date
) -> list[Succession]:
    out, number = [], 0
    for one in chosen:
        crop = offer.crops[one.crop]
        for item, harvest, meals, note in zip(one.wanted, one.harvest, one.meals_count, one.notes, strict=True):
            part = share[number]
            number += 1
            area = item.area_m2 * part
            cut_down = words.ROOM_FOR(part=part) if part < WHOLE_SHARE else ""
            out.append(
                Succession(
                    bed=beds[one.bed].name,
                    crop=crop.key,
                    sow=on + timedelta(days=item.first_d),
                    harvest_from=on + timedelta(days=harvest[0]),
                    harvest_to=on + timedelta(days=harvest[1]),
                    area_m2=area,
                    seed_g=seed_for_g(crop, area),
                    note=joined([cut_down, note], "; "),
                    meals_count=meals * part,
                    plants_count=plants_for(crop, area),
                    share=part,
                    seeds_count=seeds_for(crop, area),
                )
            )
    return out


def seed_for_g(crop: Crop, area_m2: float) -> float | None:
    """Seed (or bulbs) of a crop for an area [g]; None where the crop's file does not tell.

    Parameters: crop; area_m2 sown [m²].
    """
    if crop.tray is not None:
        return crop.tray.seed_g_m2.value * area_m2
    if crop.harvest is None or crop.use is None or crop.use.thousand_seed_g is None:
        return None
    return plan.seed_g(area_m2, crop.harvest.density_per_m2.value, crop.use.thousand_seed_g.value)


def seeds_for(crop: Crop, area_m2: float) -> int | None:
    """Seeds of a crop for an area, as a person counts or measures them out; None of what is weighed.

    Parameters: crop; area_m2 sown [m²].
    """
    if crop.tray is not None or crop.harvest is None or crop.use is None or crop.use.thousand_seed_g is None:
        return None
    return supply.measurable_count(area_m2 * crop.harvest.density_per_m2.value * SEED_RESERVE_RATIO)


def plants_for(crop: Crop, area_m2: float) -> int | None:
    """Plants on an area; None for trays, which are told by their seed.

    Parameters: crop; area_m2 planted [m²].
    """
    return None if crop.harvest is None else max(round(crop.harvest.density_per_m2.value * area_m2), 1)


def _seeds(offer: Offer, found: Sequence[Succession]) -> tuple[SeedNeed, ...]:
    out = []
    for crop in offer.crops:
        own = [item for item in found if item.crop == crop.key]
        if own:
            area = sum(item.area_m2 for item in own)
            grams, plants, seeds = seed_for_g(crop, area), plants_for(crop, area), seeds_for(crop, area)
            out.append(SeedNeed(crop.key, crop_name(crop.key), area, grams, plants, seeds))
    return tuple(out)


def _by_week(items: Sequence[supply.Wanted], area: Array) -> tuple[tuple[float, ...], ...]:
    """Fullest day of each week, as a share of the bed [beds][weeks]."""
    taken = supply.taken_m2(items, len(area), WEEKS * WEEK_D) / area[:, None]
    most = taken.reshape(len(area), WEEKS, WEEK_D).max(axis=-1)
    return tuple(tuple(float(value) for value in row) for row in most)


def _notes(
    offer: Offer, beds: Sequence[BedSeason], chosen: Sequence[_Plan], share: Sequence[float], asked: frozenset[str]
) -> list[str]:
    out: list[str] = []
    every = [item for one in chosen for item in one.wanted]
    for bed, season in enumerate(beds):
        wished = supply.taken_m2(every, len(beds), DAYS)[bed].max() / season.area_m2
        least = min((part for item, part in zip(every, share, strict=True) if item.bed == bed), default=1.0)
        if least < WHOLE_SHARE:
            out.append(words.OVERFULL(bed=season.name, times=wished, part=least))
    planned = {one.crop for one in chosen}
    absent = [crop_name(crop.key) for row, crop in enumerate(offer.crops) if row not in planned and crop.key in asked]
    if absent:
        out.append(words.NO_SUPPLY(crops=listed(absent)))
    return out
