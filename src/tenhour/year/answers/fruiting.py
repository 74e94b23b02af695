"""Crops grown for fruit: a verdict on light and temperature, no dates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.results import CropVerdict, Verdict
from tenhour.model.season import CropSeason, SowWeek, Span
from tenhour.plan.dates import DAYS, day_index, next_on_or_after
from tenhour.plan.season import WEEK_D, WEEKS, runs
from tenhour.words import year as words
from tenhour.words.crops import crop_name
from tenhour.words.text import joined
from tenhour.year.crops import growing
from tenhour.year.world import World

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

WINDOW_D: Final = 28
"""Days ahead over which light and air must suffice."""


@dataclass(frozen=True)
class FruitYear:
    """Whether the four weeks from each day of the year suit a fruiting crop, arrays [365]."""

    needs_dli_mol_m2_d: float
    limit_degc: float
    light_dli_mol_m2_d: Array
    cold_night_degc: Array

    @property
    def bright(self) -> Bools:
        """Enough light for fruit."""
        return np.asarray(self.light_dli_mol_m2_d >= self.needs_dli_mol_m2_d)

    @property
    def warm(self) -> Bools:
        """Warm enough nights."""
        return np.asarray(self.cold_night_degc >= self.limit_degc)


def fruit_year(world: World, crop: Crop, bed: int) -> FruitYear:
    """Light and coldest night of the four weeks from each day, held against what the crop needs."""
    ahead = (np.arange(DAYS)[:, None] + np.arange(WINDOW_D)) % DAYS
    return FruitYear(
        needs_dli_mol_m2_d=growing.value_of(crop.light.dli_min_mol_m2_d or crop.light.dli_target_mol_m2_d, 0.0),
        limit_degc=growing.tender_degc(crop),
        light_dli_mol_m2_d=world.beds[bed].dli_mol_m2_d[ahead].mean(axis=1),
        cold_night_degc=world.air.cold_night_degc[bed][ahead].min(axis=1),
    )


def fruiting_season(world: World, crop: Crop, bed: int, on: date) -> CropSeason:
    """The weeks of a year in which light and warmth suffice for fruit; no dates of harvest."""
    found = fruit_year(world, crop, bed)
    states: list[Verdict] = []
    for week in range(WEEKS):
        day = (day_index(on) + WEEK_D * week) % DAYS
        states.append("too-cold" if not found.warm[day] else "sow" if found.bright[day] else "needs-lamps")
    weeks = tuple(
        SowWeek(on + timedelta(days=WEEK_D * week), state, None, None, None, None, None)
        for week, state in enumerate(states)
    )
    spans = tuple(
        Span("sow", weeks[a].start, weeks[b].start + timedelta(days=WEEK_D - 1), "light and warmth suffice for fruit")
        for a, b in runs([state == "sow" for state in states])
    )
    text = (
        words.FRUIT_WEEKS(spans=words.spans_text([(span.first, span.last) for span in spans]))
        if spans
        else words.FRUIT_NEVER(needs=found.needs_dli_mol_m2_d, limit=found.limit_degc)
    )
    household = world.house.household
    return CropSeason(
        crop.key, crop.name, crop.way, weeks, spans, None, None, sentence=text, short=crop_name(crop.key),
        wanted=household is not None and crop.key in household.likes,
    )  # fmt: skip


def fruiting_verdict(world: World, crop: Crop, bed: int, on: date) -> CropVerdict:
    """Hold the light and air of the next four weeks against what a fruiting crop needs."""
    day = day_index(on)
    found = fruit_year(world, crop, bed)
    needs, limit, light = found.needs_dli_mol_m2_d, found.limit_degc, float(found.light_dli_mol_m2_d[day])
    bright, warm, cold_year = found.bright, found.warm, found.cold_night_degc
    good = np.flatnonzero((bright & warm)[(day + np.arange(DAYS)) % DAYS])
    pays = next_on_or_after((day + int(good[0])) % DAYS, on) if good.size else None
    missing = max(needs - light, 0.0)
    verdict = _verdict(bool(good.size), bool(warm[day]), missing)
    pattern = {
        "not-here": words.FRUIT_NOT_HERE,
        "too-cold": words.FRUIT_COLD,
        "needs-lamps": words.FRUIT_LAMPS,
        "sow": words.FRUIT_NOW,
    }[verdict]
    text = pattern(coldest=cold_year[day], limit=limit, needs=needs, missing=missing)
    if pays is not None and verdict in ("too-cold", "needs-lamps"):
        text = joined([text, words.FRUIT_FROM(pays=pays)])
    return CropVerdict(
        crop=crop.key,
        name=crop.name,
        way=crop.way,
        verdict=verdict,
        sentence=text,
        dli_mol_m2_d=light,
        needs_dli_mol_m2_d=needs,
        missing_dli_mol_m2_d=missing,
        pays_from=pays,
    )


def _verdict(ever: bool, warm: bool, missing_dli_mol_m2_d: float) -> Verdict:
    if not ever:
        return "not-here"
    if not warm:
        return "too-cold"
    return "needs-lamps" if missing_dli_mol_m2_d > 0.0 else "sow"
