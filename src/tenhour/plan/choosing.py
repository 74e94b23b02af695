"""The short answer to a sowing: what to do today, what on which later day, and what goes into the diary."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import product
from typing import Final, TypeVar

from tenhour.model.household import WISHES, Household
from tenhour.model.results import BedSowing, CropVerdict, SowAnswer, SowDay, SowNow
from tenhour.model.season import BedSeason, Chosen, CropSeason
from tenhour.plan.sowing import TRAY_WAYS
from tenhour.words import screen

MOST_NOW: Final = 6
MOST_TRAYS: Final = 2
"""Trays ask for one sowing a week, so that two kinds of them are enough for a list of six: judgement."""
MOST_TRAYS_ALONE: Final = 4
"""Where little else can be sown: judgement."""
MOST_OF_YEAR: Final = 12
MOST_DIARY: Final = 9
LONG_D: Final = 120
"""A sowing ready later than this is no answer to what to eat this winter: judgement."""
YOUNG_D: Final = 90
"""Young leaf that takes longer than this stands still or is drawn, and is no answer for today: judgement."""
HOLDS_D: Final = 200
"""What holds a bed longer than this before it is ready, or before the dark it is sown for, is told to those alone who
like it or ask for it: judgement."""
LAST_DAYS_D: Final = 7
"""In the last week for winter even a slow sowing is told, for the next one comes a year later: judgement."""
SOON_D: Final = 60
"""A day to sow by that is nearer than this is not yet too late: judgement."""
LATE: Final = ("set-out-grown", "too-cold", "needs-lamps", "wait", "slow")
TIERS: Final = {"cut-young": 1, "slow": 2}
FAR: Final = 3
YEAR_D: Final = 365
SERVED: Final = {"salad": 1.0, "cooked": 1.5, "herbs": 0.3, "roots": 1.0}
"""How much a portion of a kind counts beside a salad, as in the plan of meals: judgement."""
LEAST: Final = 0.5
"""Of a kind that is not asked for: judgement."""
USUAL: Final = {"salad": 4.0, "cooked": 3.0, "herbs": 0.9, "roots": 1.0, "store": 0.1}
"""Where the house file names no household; as the plan of meals has it, with some roots: judgement."""

Row = TypeVar("Row")


def wishes_of(household: Household | None) -> dict[str, float]:
    """How much of a household's greens each kind of food is, by kind."""
    if household is None:
        return dict(USUAL)
    asked = household.meals_per_week
    return {**USUAL, **{kind: max(asked.get(kind, 0.0) * SERVED[kind], LEAST) for kind in WISHES}}


def mixed(rows: Sequence[Row], kind: Callable[[Row], str], wishes: Mapping[str, float]) -> list[Row]:
    """Rows in an order that serves every kind of food in the measure it is wished for.

    Parameters: rows, best first; kind of a row; wishes, by kind. Method: highest quotients of the wish over 1, 3, 5 ...
    (Sainte-Lague, as seats are shared out among lists); a kind nobody named counts as cooked.
    """
    places: dict[str, int] = {}
    keys: list[tuple[float, int]] = []
    for order, row in enumerate(rows):
        own = kind(row) or "cooked"
        place = places.get(own, 0)
        places[own] = place + 1
        keys.append(((2 * place + 1) / wishes.get(own, LEAST), order))
    return [rows[order] for _, order in sorted(keys)]


def with_short(answer: SowAnswer, household: Household | None = None) -> SowAnswer:
    """The answer with its short form: the best few for today, later days, and days for the diary."""
    doing = _doing(answer, household)
    done = {one.crop for one in doing}
    later, diary = _later(answer, done), _diary(answer, done, household)
    missed = bool(diary) and answer.darkest is not None and answer.on <= answer.darkest < diary[0].on
    return replace(answer, now=tuple(_chosen(doing)), later=tuple(later), diary=tuple(diary), missed=missed)


def _each(answer: SowAnswer) -> Iterable[tuple[BedSowing, CropVerdict]]:
    return ((bed, crop) for bed in answer.beds for crop in bed.crops if crop.wanted)


def _doing(answer: SowAnswer, household: Household | None) -> list[SowNow]:
    """What can be sown today, each crop on its best bed, by what the household eats and then by servings."""
    best: dict[str, SowNow] = {}
    for bed, crop in _each(answer):
        one = _now(answer, bed, crop)
        if one is None or _flowers_first(one, crop.flowers_from):
            continue
        kept = best.get(crop.crop)
        if kept is None or _rank(one, answer.on) < _rank(kept, answer.on):
            best[crop.crop] = one
    ranked = sorted(best.values(), key=lambda one: _rank(one, answer.on))
    likes = _likes(household)
    ranked = [one for one in ranked if one.crop in likes or not _holds_long(one.ready_from, answer.on)]
    wishes, kinds = wishes_of(household), {crop.crop: crop.serves for _, crop in _each(answer)}
    out: list[SowNow] = []
    for tier, liked in product(range(FAR + 1), (True, False)):
        rows = [one for one in ranked if _rank(one, answer.on)[0] == tier and (one.crop in likes) is liked]
        out += mixed(rows, lambda one: kinds[one.crop], wishes)
    return out


def _likes(household: Household | None) -> frozenset[str]:
    return frozenset() if household is None else frozenset(household.likes)


def _holds_long(ready: date | None, on: date) -> bool:
    return ready is not None and (ready - on).days > HOLDS_D


def _rank(one: SowNow, on: date) -> tuple[int, float, str]:
    """Full crops first, then young leaf, slow ones, and those that hold a bed far into the next season."""
    tier = 0 if one.where else TIERS.get(one.verdict, 0)
    if one.ready_to is None or (one.ready_to - on).days > LONG_D:
        tier = FAR
    return tier, -(one.meals_m2_week_count or 0.0), one.crop


def _now(answer: SowAnswer, bed: BedSowing, crop: CropVerdict) -> SowNow | None:
    """What to do with a crop today; raising elsewhere comes before waiting."""
    raising, first, last = crop.raising, crop.harvest_from, crop.harvest_to
    base = SowNow(crop.crop, bed.name, crop.verdict, crop.way, "", meals_m2_week_count=crop.meals_m2_week_count)
    if crop.verdict == "raise" and crop.set_out is not None and (first or raising) is not None:
        if first is None and raising is not None:
            first, last = raising.harvest_from, raising.harvest_to
        text = screen.RAISE_ON(where=answer.where, bed=bed.name, out=crop.set_out, ready=_ready(first, last))
        return replace(base, text=text, where=answer.where, set_out=crop.set_out, ready_from=first, ready_to=last)
    tray = crop.way in TRAY_WAYS
    better = tray or crop.verdict not in ("sow", "stand-small")
    if better and raising is not None and raising.harvest_to is not None:
        first, last = raising.harvest_from, raising.harvest_to
        where = raising.where or answer.where
        said = screen.STAYS_IN if raising.stays else screen.SPROUT_ON if tray else screen.RAISE_ON
        text = said(where=where, bed=bed.name, out=raising.set_out, ready=_ready(first, last))
        return replace(base, text=text, where=where, set_out=raising.set_out, ready_from=first, ready_to=last)
    if crop.verdict == "cut-young" and crop.young_from is not None and crop.young_to is not None:
        if (crop.young_from - answer.on).days > YOUNG_D:
            return None
        text = screen.YOUNG_ON(bed=bed.name, ready=screen.RANGE(first=crop.young_from, last=crop.young_to))
        return replace(base, text=text, ready_from=crop.young_from, ready_to=crop.young_to)
    if crop.verdict in ("sow", "stand-small") and first is not None:
        said = screen.SOW_ON if crop.verdict == "sow" else screen.SMALL_ON
        text = said(bed=bed.name, ready=_ready(first, last))
        return replace(base, text=text, ready_from=first, ready_to=last)
    ends = crop.sow_by is not None and 0 <= (crop.sow_by - answer.on).days < LAST_DAYS_D
    if crop.verdict == "slow" and last is not None and (crop.next_from is None or ends):
        text = screen.SLOW_ON(bed=bed.name, ready=_ready(first, last))
        return replace(base, text=text, ready_from=first, ready_to=last)
    return None


def _flowers_first(one: SowNow, flowers: date | None) -> bool:
    """Whether it runs to flower before it is ready in half of the seasons."""
    if flowers is None or one.ready_from is None:
        return False
    return flowers <= one.ready_from + ((one.ready_to or one.ready_from) - one.ready_from) / 2


def _ready(first: date | None, last: date | None) -> str:
    if first is None:
        return ""
    return screen.READY(when=screen.FROM(first=first) if last is None else screen.RANGE(first=first, last=last))


def _chosen(doing: Sequence[SowNow]) -> list[SowNow]:
    """The best few, of which only some are trays; more trays only where there is room."""
    trays = [one for one in doing if one.way in TRAY_WAYS]
    others = [one for one in doing if one.way not in TRAY_WAYS]
    kept = trays[: MOST_TRAYS if len(others) >= MOST_NOW - MOST_TRAYS else MOST_TRAYS_ALONE] + others
    chosen, there = kept[:MOST_NOW], [one for one in doing if not one.where]
    if there and all(one.where for one in chosen):  # what the beds take today is never left out
        chosen = [*chosen[: MOST_NOW - 1], there[0]]
    return chosen


def _later(answer: SowAnswer, done: set[str]) -> list[SowDay]:
    """Crops of a later day, by day: the first on any bed."""
    found: dict[str, SowDay] = {}
    for bed, crop in _each(answer):
        on = crop.next_from
        if crop.crop in done or on is None or on <= answer.on:
            continue
        kept = found.get(crop.crop)
        if kept is None or on < kept.on:
            found[crop.crop] = SowDay(on, crop.crop, bed.name)
        elif on == kept.on:
            found[crop.crop] = replace(kept, bed=f"{kept.bed}, {bed.name}")
    return sorted(found.values(), key=lambda day: (day.on, day.crop))


def _diary(answer: SowAnswer, done: set[str], household: Household | None) -> list[SowDay]:
    """Sowings that feed the household through the dark, by the last day for them on the bed that allows the latest."""
    found: dict[str, tuple[CropVerdict, SowDay]] = {}
    likes = _likes(household)
    for bed, crop in _each(answer):
        if crop.crop in done or crop.sow_by is None or crop.verdict not in LATE:
            continue
        by = crop.sow_by if crop.sow_by > answer.on else crop.sow_by + timedelta(days=YEAR_D)
        dark = None if answer.darkest is None else answer.darkest + timedelta(days=YEAR_D * (answer.darkest < by))
        if (by - answer.on).days < SOON_D or (_holds_long(dark, by) and crop.crop not in likes):
            continue
        kept, day = found.get(crop.crop, (crop, SowDay(by, crop.crop, bed.name)))
        best = max(kept, crop, key=lambda one: one.winter_meals_m2_week_count)
        found[crop.crop] = best, max(day, SowDay(by, crop.crop, bed.name), key=lambda one: one.on)
    rows = sorted(found.values(), key=lambda row: (row[0].way != "pick", -row[0].winter_meals_m2_week_count))
    best_few = mixed(rows, lambda row: row[0].serves, wishes_of(household))[:MOST_DIARY]
    return sorted((day for _, day in best_few), key=lambda day: (day.on, day.crop))


def chosen_of(beds: Sequence[BedSeason], household: Household | None) -> tuple[Chosen, ...]:
    """The crops of a year that feed a household most, each on the bed where it does.

    Parameters: beds, their years; household, of the house file. Crops with a day to sow by or again come first.
    """
    best: dict[str, tuple[Chosen, CropSeason]] = {}
    for bed in beds:
        for crop in bed.crops:
            kept = best.get(crop.crop)
            if crop.wanted and crop.lives and (kept is None or _season_meals(crop) > _season_meals(kept[1])):
                best[crop.crop] = (Chosen(crop.crop, bed.name), crop)
    ranked = sorted(best.values(), key=lambda one: (not _dated(one[1]), -_season_meals(one[1]), one[0].crop))
    trays = mixed([one for one in ranked if one[1].way in TRAY_WAYS], lambda one: one[1].serves, USUAL)[:MOST_TRAYS]
    likes = () if household is None else household.likes
    out: list[tuple[Chosen, CropSeason]] = []
    for liked in (True, False):
        rows = [one for one in ranked if one[1].way not in TRAY_WAYS and (one[0].crop in likes) is liked]
        out += mixed(rows, lambda one: one[1].serves, wishes_of(household))
    return tuple(one for one, _ in [*out[: MOST_OF_YEAR - len(trays)], *trays])


def _season_meals(crop: CropSeason) -> float:
    return crop.meals_m2_week_count or 0.0


def _dated(crop: CropSeason) -> bool:
    """Whether it has dates of its own: to sow by for winter, or to sow again from."""
    return crop.sow_by is not None or crop.pays_from is not None
