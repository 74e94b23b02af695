"""This winter so far: days up to yesterday as they were, days ahead from the normals.

A dull autumn says next to nothing of the months ahead (day-to-day light is correlated at 0.26-0.30 from one day to the
next, a month's anomaly hardly at all), so what is ahead stays normal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import numpy as np

from tenhour.errors import FileProblem, Problem
from tenhour.growth.shapes import BedClimate
from tenhour.model.crop import Crop
from tenhour.model.log import Sowing
from tenhour.model.sofar import SoFar, SoFarMonth
from tenhour.model.weather import PastDays
from tenhour.plan.dates import DAYS, LEAP_DAY, day_index, next_on_or_after
from tenhour.words import sofar as words
from tenhour.words.crops import crop_name
from tenhour.words.text import counted, listed
from tenhour.year.answers.used import used_of
from tenhour.year.crops.growing import bed_climates
from tenhour.year.crops.grown import Table
from tenhour.year.crops.thiswinter import Past, as_it_went, later_d, past_of, went_since
from tenhour.year.world import World

START_D: Final = -81
"""Days from the darkest day on which a winter's count begins: the first of October in the north."""
FEWEST_DAYS: Final = 7
"""Whole days before anything is said of a winter. Practice."""
MOST_NAMED: Final = 3
FEWEST_JUDGED: Final = 14
POSSIBLE: Final = (0.3, 2.5)
"""Shares of the usual light between which a fortnight or more can lie. Judgement."""
LEAST_MOVED_D: Final = 2.0
"""Days of which nothing is said. Practice."""
LEAST_K: Final = 1.0
"""Air nearer to the usual than this is called usual: a month's mean strays by as much. Practice."""
EVEN_FRAC: Final = 0.03
"""Light nearer to the usual than this is called usual; a station's sum is no better. Practice."""


def stand_later_d(table: Table, crop: int, bed: int, sown: date, on: date) -> int:
    """Days by which this winter so far moves a stand of the log, whole; 0 without a file of its days.

    Parameters: table; crop and bed, their numbers; sown; on, the day asked.
    """

    if not table.crops[crop].grows_by_carbon or sown >= on:
        return 0
    went = went_since(table, sown, on)
    return 0 if went is None else round(_moved_d((table.climate, went), table.crops[crop], bed, sown))


def _moved_d(climates: tuple[BedClimate, BedClimate], crop: Crop, bed: int, sown: date) -> float:
    """Days by which a sowing is later in the second climate than in the first; 0 where never in either."""
    one = slice(bed, bed + 1)
    by = later_d((climates[0].take(one), climates[1].take(one)), [crop], [day_index(sown)])
    return float(np.nan_to_num(by[0, 0, 0]))


def so_far_of(
    world: World,
    given: PastDays | None,
    today: date,
    standing: Sequence[Sowing] = (),
    crops: Sequence[Crop] = (),
    *,
    with_used: bool = False,
) -> SoFar | None:
    """What a winter has been so far against the usual one; None without days of it.

    Parameters: world; given, days as they were; today; standing, sowings of the log; crops, those known;
    with_used, whether lamp hours and heat up to yesterday are reckoned (the hourly balance runs again).
    Errors: FileProblem for light that no winter has.
    """
    past = None if given is None else past_of(world, given, today)
    if given is None or past is None:
        return None
    found = _counted(world, past, today)
    if found.days_count >= FEWEST_JUDGED and not POSSIBLE[0] < found.light_ratio < POSSIBLE[1]:
        text = f"{found.light_ratio:.0%} of the usual light in {found.days_count} days"
        do = "Is the unit right? A column ghi is W m⁻², dli mol m⁻² d⁻¹; others are named, as ghi_mj_m2_d."
        raise FileProblem([Problem(given.file, "light", text, "what a winter can be", do)])
    used = used_of(world, past, winter_began(world, today), today) if with_used else None
    return replace(found, sentence=_sentence(found), effects=_effects(world, past, standing, crops), used=used)


def winter_began(world: World, today: date) -> date:
    """The day a winter's count begins, up to a year before today."""
    return next_on_or_after((world.darkest_day + START_D) % DAYS, today - timedelta(days=DAYS))


def _counted(world: World, past: Past, today: date) -> SoFar:
    """Sums and means of the days of this winter that are known."""
    began = winter_began(world, today)
    first = max(began, past.first)
    span = [first + timedelta(days=n) for n in range((past.last - first).days + 1)]
    span = [on for on in span if (on.month, on.day) != LEAP_DAY]
    index = np.array([day_index(on) for on in span], dtype=np.intp)
    there = np.isfinite(past.dli_mol_m2_d[index]) if index.size else np.zeros(0, dtype=np.bool_)
    usual = world.outdoors.dli_mol_m2_d[index]
    got = past.dli_mol_m2_d[index]
    share = float(got[there].sum() / usual[there].sum()) if there.any() and usual[there].sum() > 0.0 else 1.0
    warm = past.shift_k[index]
    return SoFar(
        first=first,
        last=past.last,
        days_count=int(there.sum()),
        light_ratio=share,
        warmer_k=float(np.nanmean(warm)) if np.isfinite(warm).any() else None,
        missing=tuple(on for on, known in zip(span, there, strict=True) if not known),
        months=_months(past, world),
    )


def _months(past: Past, world: World) -> tuple[SoFarMonth, ...]:
    """Means of the known days of each month of the last year, and of the same days in a usual one."""
    months = []
    on = past.first.replace(day=1)
    while on <= past.last:
        after = (on + timedelta(days=32)).replace(day=1)
        days = [on + timedelta(days=n) for n in range((after - on).days)]
        index = np.array([day_index(day) for day in days if (day.month, day.day) != LEAP_DAY], dtype=np.intp)
        known = index[np.isfinite(past.dli_mol_m2_d[index])]
        if known.size:
            means = (float(part[known].mean()) for part in (past.dli_mol_m2_d, world.outdoors.dli_mol_m2_d))
            months.append(SoFarMonth(on.year, on.month, int(known.size), *means))
        on = after
    return tuple(months)


def _effects(world: World, past: Past, standing: Sequence[Sowing], crops: Sequence[Crop]) -> tuple[str, ...]:
    """Days by which sowings that stand are later or sooner for it, the most first."""
    known = {crop.key: crop for crop in crops if crop.grows_by_carbon}
    names = world.bed_names
    usual = bed_climates(world)
    moved = [
        (_moved_d((usual, as_it_went(world, past, one.sown)), known[one.crop], names.index(one.bed), one.sown), one)
        for one in standing
        if one.crop in known and one.bed in names and one.cleared is None and one.sown <= past.last
    ]
    told = sorted((pair for pair in moved if abs(pair[0]) >= LEAST_MOVED_D), key=lambda pair: -abs(pair[0]))
    return tuple(
        (words.LATER if days > 0 else words.SOONER)(name=_plain(one.crop), on=one.sown, days=abs(round(days)))
        for days, one in told[:MOST_NAMED]
    )


def _plain(crop: str) -> str:
    name = crop_name(crop)
    return name[:1].upper() + name[1:]


def _sentence(found: SoFar) -> str:
    """One line on this winter so far."""
    if found.days_count < FEWEST_DAYS:
        return words.FEW(days=counted(found.days_count, "day"), first=found.first)
    change = found.light_ratio - 1.0
    gaps = _gaps(found)
    span = {"first": found.first, "last": found.last, "gaps": gaps, "air": _air(found.warmer_k)}
    if abs(change) < EVEN_FRAC:
        return words.USUAL(**span)
    return words.LIGHT(share=f"{abs(change):.0%}", more="more" if change > 0.0 else "less", **span)


def _air(warmer_k: float | None) -> str:
    """How the air was, as a phrase; nothing where it was as usual or nobody knows."""
    if warmer_k is None or abs(warmer_k) < LEAST_K:
        return ""
    return (words.WARMER if warmer_k > 0.0 else words.COLDER)(by=abs(warmer_k))


def _gaps(found: SoFar) -> str:
    """Which days are missing, as a phrase."""
    if not found.missing:
        return ""
    if len(found.missing) > MOST_NAMED:
        return words.MISSING_MANY(days=counted(len(found.missing), "day"), first=found.missing[0])
    return words.MISSING(days=listed([words.DAY(on=on) for on in found.missing]))
