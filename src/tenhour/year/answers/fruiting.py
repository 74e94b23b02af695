"""Crops grown for fruit: a verdict on light and temperature, no dates of harvest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop, Keeping
from tenhour.model.results import CropVerdict, Kept, Verdict
from tenhour.model.season import CropSeason, SowWeek, Span
from tenhour.plan.dates import DAYS, day_index, next_on_or_after
from tenhour.plan.season import WEEK_D, WEEKS, runs
from tenhour.plan.sowing import first_steady
from tenhour.words import year as words
from tenhour.words.crops import crop_name
from tenhour.words.text import Text, joined
from tenhour.year.crops import growing
from tenhour.year.world import World

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

WINDOW_D: Final = 28
"""Days ahead over which light and air must suffice."""
DOUBLES_K: Final = 10.0
"""Kelvins that double what a resting plant burns, and so the light that keeps it (docs/method/growth.md)."""


@dataclass(frozen=True)
class FruitYear:
    """Whether the four weeks from each day of the year suit a fruiting crop, arrays [365]."""

    needs_dli_mol_m2_d: float
    limit_degc: float
    most_mean_degc: float
    """Mean air above which flowers drop or fruit spoils; infinite where nobody knows."""
    light_dli_mol_m2_d: Array
    cold_night_degc: Array
    mean_degc: Array

    @cached_property
    def hot(self) -> Bools:
        """Too hot for fruit to set or swell well."""
        return np.asarray(self.mean_degc > self.most_mean_degc)

    @cached_property
    def bright(self) -> Bools:
        """Enough light for fruit."""
        return np.asarray(self.light_dli_mol_m2_d >= self.needs_dli_mol_m2_d)

    @cached_property
    def warm(self) -> Bools:
        """Warm enough nights."""
        return np.asarray(self.cold_night_degc >= self.limit_degc)

    @cached_property
    def good(self) -> Bools:
        """Light and warmth suffice."""
        return self.bright & self.warm & ~self.hot

    def pays_from(self, world: World, on: date) -> date | None:
        """The next date of the first day after the darkest from which four weeks of days are good."""
        first = float(first_steady(self.good, world.darkest_day))
        return next_on_or_after(int(first), on) if np.isfinite(first) else None

    def verdict(self, day: int) -> Verdict:
        """The verdict of a day of the year, from 0."""
        good = bool(self.good.any())
        hot = bool(self.hot[day]) or (not good and bool((self.bright & self.warm).any()))
        missing = max(self.needs_dli_mol_m2_d - float(self.light_dli_mol_m2_d[day]), 0.0)
        return _verdict(good, hot, bool(self.warm[day]), missing)


def fruit_year(world: World, crop: Crop, bed: int) -> FruitYear:
    """Light and coldest night of the four weeks from each day, held against what the crop needs."""
    ahead = (np.arange(DAYS)[:, None] + np.arange(WINDOW_D)) % DAYS
    return FruitYear(
        needs_dli_mol_m2_d=growing.value_of(crop.light.dli_min_mol_m2_d or crop.light.dli_target_mol_m2_d, 0.0),
        limit_degc=growing.tender_degc(crop),
        most_mean_degc=growing.value_of(crop.climate.most_mean_degc, np.inf),
        light_dli_mol_m2_d=world.beds[bed].dli_mol_m2_d[ahead].mean(axis=1),
        cold_night_degc=world.air.cold_night_degc[bed][ahead].min(axis=1),
        mean_degc=growing.bed_mean_degc(world, bed)[ahead].mean(axis=1),
    )


def fruiting_season(world: World, crop: Crop, bed: int, on: date) -> CropSeason:
    """The weeks of a year in which light and warmth suffice for fruit; no dates of harvest."""
    found = fruit_year(world, crop, bed)
    states = [found.verdict((day_index(on) + WEEK_D * week) % DAYS) for week in range(WEEKS)]
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
    hot = [
        (weeks[a].start, weeks[b].start + timedelta(days=WEEK_D - 1)) for a, b in runs([s == "too-hot" for s in states])
    ]
    heat = words.FRUIT_HOT_WEEKS(most=found.most_mean_degc, spans=words.spans_text(hot)) if hot else ""
    text = joined([text, heat, rest_text(world, crop, bed, on)])
    household = world.house.household
    return CropSeason(
        crop.key, crop.name, crop.way, weeks, spans, None, found.pays_from(world, on), sentence=text,
        short=crop_name(crop.key),
        wanted=household is not None and crop.key in household.likes,
    )  # fmt: skip


def fruiting_verdict(world: World, crop: Crop, bed: int, on: date) -> CropVerdict:
    """Hold the light and air of the next four weeks against what a fruiting crop needs."""
    day = day_index(on)
    found = fruit_year(world, crop, bed)
    needs, limit, light = found.needs_dli_mol_m2_d, found.limit_degc, float(found.light_dli_mol_m2_d[day])
    good = np.flatnonzero(found.good[(day + np.arange(DAYS)) % DAYS])
    again = next_on_or_after((day + int(good[0])) % DAYS, on) if good.size else None
    missing = max(needs - light, 0.0)
    verdict = found.verdict(day)
    pattern = {
        "not-here": words.FRUIT_NOT_HERE,
        "too-hot": words.FRUIT_HOT if found.hot[day] else words.FRUIT_HOT_HERE,
        "too-cold": words.FRUIT_COLD,
        "needs-lamps": words.FRUIT_LAMPS,
        "sow": words.FRUIT_NOW,
    }[verdict]
    text = pattern(
        coldest=found.cold_night_degc[day], limit=limit, needs=needs, missing=missing, most=found.most_mean_degc
    )
    if again is not None and verdict in ("too-cold", "too-hot", "needs-lamps"):
        text = joined([text, words.FRUIT_FROM(pays=again)])
    told = CropVerdict(
        crop=crop.key,
        name=crop.name,
        way=crop.way,
        verdict=verdict,
        sentence=text,
        dli_mol_m2_d=light,
        needs_dli_mol_m2_d=needs,
        missing_dli_mol_m2_d=missing,
        pays_from=found.pays_from(world, on),
    )
    return with_rest(told, world, crop, bed, on)


@dataclass(frozen=True)
class Rest:
    """A plant that is only to survive in a bed from a day to the end of the dark."""

    kept: Kept
    needs_dli_mol_m2_d: float
    light_dli_mol_m2_d: float
    mean_degc: float
    coldest_degc: float
    ripe_d: float
    """Days until what hangs is ripe; infinite where it is not in a year."""
    stands_d: float
    """Days until nights harm the plant in full leaf."""


def with_rest(told: CropVerdict, world: World, crop: Crop, bed: int, on: date) -> CropVerdict:
    """A verdict with what becomes of plants that stood grown by then and are only to survive."""
    found = rest_of(world, crop, bed, on)
    if found is None:
        return told
    text = joined([told.moved_in, rest_text(world, crop, bed, on)])
    return replace(told, kept=found.kept, kept_dli_mol_m2_d=found.needs_dli_mol_m2_d, moved_in=text)


def rest_of(world: World, crop: Crop, bed: int, on: date) -> Rest | None:
    """Hold a winter of rest against light and air of a bed; None where the crop is not kept, or there is no winter.

    The stay runs from the day asked to the day on which the light of spring is back; light counts by its four darkest
    weeks, warmth by the mean of these, nights by the coldest.
    """
    keeping = crop.keeping
    if keeping is None:
        return None
    day, back = day_index(on), _light_back(world, bed, keeping)
    if back is None:
        return None
    days = (day + np.arange(max((back - day) % DAYS, 1))) % DAYS
    ahead = (days[:, None] + np.arange(WINDOW_D)) % DAYS
    light = world.beds[bed].dli_mol_m2_d[ahead].mean(axis=1)
    darkest = ahead[int(light.argmin())]
    mean = growing.bed_mean_degc(world, bed)
    coldest = float(world.air.cold_night_degc[bed][days].min())
    warm = float(mean[darkest].mean())
    needs = keeping.dli_mol_m2_d.value * 2.0 ** ((warm - keeping.rest_degc.value) / DOUBLES_K)
    kept: Kept = "keeps"
    if coldest < keeping.night_degc.value:
        kept = "too-cold"
    elif float(light.min()) < needs:
        kept = "needs-lamps"
    elif warm > keeping.rest_degc.high:
        kept = "too-hot"
    ripe, stands = _ripens(mean, world.air.cold_night_degc[bed], crop, keeping, day)
    return Rest(kept, needs, float(light.min()), warm, coldest, ripe, stands)


def _light_back(world: World, bed: int, keeping: Keeping) -> int | None:
    """First day after the darkest whose four weeks have twice the light that keeps the plant; None in bright beds."""
    ahead = (np.arange(DAYS)[:, None] + np.arange(WINDOW_D)) % DAYS
    light = world.beds[bed].dli_mol_m2_d[ahead].mean(axis=1)
    order = (world.darkest_day + np.arange(DAYS)) % DAYS
    bright = light[order] >= 2.0 * keeping.dli_mol_m2_d.value
    return int(order[int(bright.argmax())]) if bright.any() else None


def _ripens(mean_degc: Array, cold_degc: Array, crop: Crop, keeping: Keeping, day: int) -> tuple[float, float]:
    """Days from a day of the year until green fruit is ripe, and until a night harms the plant."""
    order = (day + np.arange(DAYS)) % DAYS
    cold = cold_degc[order] < growing.tender_degc(crop)
    stands = float(cold.argmax()) if cold.any() else np.inf
    if keeping.ripe_base_degc is None or keeping.ripe_sum_degcday is None:
        return np.nan, stands
    total = np.cumsum(np.maximum(mean_degc[order] - keeping.ripe_base_degc.value, 0.0))
    ripe = int(np.searchsorted(total, keeping.ripe_sum_degcday.value)) + 1
    return (float(ripe) if ripe <= DAYS else np.inf), stands


def rest_text(world: World, crop: Crop, bed: int, on: date) -> Text:
    """Say what becomes of plants that stood grown by then: their fruit, and whether they outlive the winter."""
    found, keeping = rest_of(world, crop, bed, on), crop.keeping
    if found is None or keeping is None:
        return Text(())
    rest, night = keeping.rest_degc.value, keeping.night_degc.value
    if found.kept == "keeps":
        back = next_on_or_after(_light_back(world, bed, keeping) or 0, on)
        text = words.KEPT_OVER(night=night, needs=found.needs_dli_mol_m2_d, mean=found.mean_degc, back=back)
    elif found.kept == "too-cold":
        text = words.KEPT_COLD(night=night, coldest=found.coldest_degc, rest=rest)
    elif found.kept == "needs-lamps":
        text = words.KEPT_DIM(
            mean=found.mean_degc, needs=found.needs_dli_mol_m2_d, light=found.light_dli_mol_m2_d, rest=rest,
            least=keeping.dli_mol_m2_d.value,
        )  # fmt: skip
    else:
        text = words.KEPT_HOT(mean=found.mean_degc, rest=rest)
    return joined([_hangs(found, crop, on), text])


def _hangs(found: Rest, crop: Crop, on: date) -> Text:
    """What becomes of the fruit on plants moved in on a day."""
    if np.isnan(found.ripe_d):
        return Text(())
    if found.ripe_d > found.stands_d:
        return words.HANGS_NOT()
    night = words.HANGS_NIGHT(limit=growing.tender_degc(crop)) if np.isfinite(found.stands_d) else ""
    return words.HANGS_RIPENS(ripe=on + timedelta(days=int(found.ripe_d)), night=night)


def _verdict(ever: bool, hot: bool, warm: bool, missing_dli_mol_m2_d: float) -> Verdict:
    if hot:
        return "too-hot"
    if not ever:
        return "not-here"
    if not warm:
        return "too-cold"
    return "needs-lamps" if missing_dli_mol_m2_d > 0.0 else "sow"
