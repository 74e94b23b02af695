"""A steady supply: sowings whose harvests follow each other, their area and seed, and how full the bed is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.season import (
    BedSeason,
    Succession,
)
from tenhour.pipeline import growing
from tenhour.pipeline.sow import Table, crop_year
from tenhour.pipeline.weeks import WEEKS, week_facts, whole
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS

Array = NDArray[np.float64]

MEALS_PER_WEEK: Final = 2.0
"""Servings a week for which a steady supply is planned unless told otherwise."""


@dataclass(frozen=True)
class Wishes:
    """What the user asked of the season beside the house."""

    every_d: int | None = None
    meals_per_week_count: float = MEALS_PER_WEEK
    last_frost: date | None = None


def successions_of(table: Table, number: int, bed: BedSeason, wishes: Wishes) -> list[Succession]:
    """Sowings of a steady supply on one bed, in order of sowing; none unless an interval is wished."""
    if wishes.every_d is None:
        return []
    out: list[Succession] = []
    for crop, chosen in enumerate(table.crops):
        if chosen.way == "transplant":
            continue
        year = crop_year(table, crop, number)
        worth = _worth_by_day(table, crop, number)
        days = np.where(worth, year.days, np.nan)
        area = _area_m2(table, crop, number, wishes)
        for sown, took in plan.successions(days, table.day, wishes.every_d, DAYS):
            on = table.on + timedelta(days=sown)
            spread = _rangeat(table, crop, number, sown)
            out.append(
                Succession(
                    bed=bed.name,
                    crop=chosen.key,
                    sow=on,
                    harvest_from=on + timedelta(days=spread[0] or round(took)),
                    harvest_to=on + timedelta(days=spread[1] or round(took)),
                    area_m2=area,
                    seed_g=_seed(chosen, area),
                )
            )
    return sorted(out, key=lambda s: (s.sow, s.crop))


def _worth_by_day(table: Table, crop: int, bed: int) -> NDArray[np.bool_]:
    states = plan.states_of(week_facts(table, crop, bed))
    week = np.minimum(((np.arange(DAYS) - table.day) % DAYS) // 7, WEEKS - 1)
    return np.array([state in ("sow", "slow", "drawn") for state in states], dtype=np.bool_)[week]


def _rangeat(table: Table, crop: int, bed: int, sown: int) -> tuple[int | None, int | None]:
    facts = week_facts(table, crop, bed)
    week = min(sown // 7, WEEKS - 1)
    return whole(facts.days_low[week]), whole(facts.days_high[week])


def _area_m2(table: Table, crop: int, bed: int, wishes: Wishes) -> float:
    """Area of one succession: servings until the next, over the yield of an area."""
    chosen = table.crops[crop]
    mass = table.year.yield_g_m2[crop, bed]
    per_m2 = float(np.nanmedian(mass)) if np.isfinite(mass).any() else 0.0
    meal = 100.0 if chosen.use is None else growing.value_of(chosen.use.meal_g, 100.0)
    wanted = meal * wishes.meals_per_week_count * (wishes.every_d or 7) / 7.0
    return wanted / per_m2 if per_m2 > 0.0 else 0.0


def _seed(crop: Crop, area_m2: float) -> float | None:
    if crop.tray is not None:
        return crop.tray.seed_g_m2.value * area_m2
    if crop.harvest is None or crop.use is None or crop.use.thousand_seed_g is None:
        return None
    return plan.seed_g(area_m2, crop.harvest.density_per_m2.value, crop.use.thousand_seed_g.value)


def filled(bed: BedSeason, planned: tuple[Succession, ...], start: date) -> BedSeason:
    """The bed with the share of it that the planned successions take in each week."""
    own = [s for s in planned if s.bed == bed.name]
    if not own:
        return bed
    full = []
    for week in bed.weeks:
        taken = sum(s.area_m2 for s in own if s.sow <= week.start <= s.harvest_to)
        full.append(taken / bed.area_m2 if bed.area_m2 > 0.0 else 0.0)
    return replace(bed, full_frac=tuple(full))
