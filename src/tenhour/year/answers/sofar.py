"""This winter so far: days up to yesterday as they were, days ahead from the normals.

A dull autumn says next to nothing of the months ahead (day-to-day light is correlated at 0.26-0.30 from one day to the
next, a month's anomaly hardly at all), so what is ahead stays normal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, bed_climate
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.log import Sowing
from tenhour.model.sofar import SoFar, SoFarMonth
from tenhour.model.weather import PastDays
from tenhour.plan.dates import DAYS, LEAP_DAY, day_index, next_on_or_after
from tenhour.units import dli_from_ghi
from tenhour.words import sofar as words
from tenhour.words.crops import crop_name
from tenhour.words.text import counted, listed
from tenhour.year.answers.used import used_of
from tenhour.year.crops.growing import bed_climates, crop_arrays
from tenhour.year.crops.grown import Table
from tenhour.year.outside.sunlight import CLASSES
from tenhour.year.world import World

Array = NDArray[np.float64]

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


@dataclass(frozen=True)
class Past:
    """Days of the last year as they were, by day of the generic year; NaN where nobody knows."""

    dli_mol_m2_d: Array
    shift_k: Array
    """Air outdoors less the usual [365]."""
    first: date
    last: date


def past_of(world: World, given: PastDays, today: date) -> Past | None:
    """The days of a file up to yesterday, a year back at most; None where it has none.

    Parameters: world; given; today, which itself does not count.
    """
    dli, shift = np.full(DAYS, np.nan), np.full(DAYS, np.nan)
    usual = world.outdoors.temp_degc
    known: list[date] = []
    for when, ghi, temp in zip(given.day.astype(object), given.ghi_w_m2, given.temp_degc, strict=True):
        if not today - timedelta(days=DAYS) <= when < today or (when.month, when.day) == LEAP_DAY:
            continue
        place = day_index(when)
        if np.isfinite(ghi):
            dli[place] = float(dli_from_ghi(ghi))
            known.append(when)
        if np.isfinite(temp):
            shift[place] = temp - usual[place]
    return Past(dli, shift, min(known), max(known)) if known else None


def as_it_went(world: World, past: Past) -> BedClimate:
    """Light and air of every bed with the past days as they were and the rest as usual.

    Method: a bed's light follows the outdoor light of the day between the day classes of that date, and in proportion
    beyond them; air follows the outdoor shift, but no lower than a heater holds it. Air the user states does not move.
    """
    usual = bed_climates(world)
    out = world.outdoors.class_dli_mol_m2_d[:, :CLASSES]
    dli = usual.dli_mol_m2_d.copy()
    for day in np.flatnonzero(np.isfinite(past.dli_mol_m2_d)):
        order = np.argsort(out[day])
        outside, light = out[day][order], float(past.dli_mol_m2_d[day])
        for bed, own in enumerate(world.beds):
            inside = own.class_dli_mol_m2_d[day, :CLASSES][order]
            near = outside[0] if light < outside[0] else outside[-1] if light > outside[-1] else light
            found = float(np.interp(near, outside, inside))
            dli[bed, day] = found * light / near if near > 0.0 else found
    shift = np.nan_to_num(past.shift_k)
    day_degc, night_degc = (_moved(part, shift, world.house, name) for part, name in (
        (usual.temp_day_degc, "day"), (usual.temp_night_degc, "night")))  # fmt: skip
    soil = usual.soil_degc + (night_degc - usual.temp_night_degc)
    return bed_climate(dli, day_degc, night_degc, usual.lit_h, swing_frac=usual.swing_frac, soil_degc=soil)


def _moved(usual: Array, shift_k: Array, house: House, when: str) -> Array:
    """Air after the outdoor shift; what the user states stays, and a heater holds its floor."""
    stated = house.air.day_degc if when == "day" else house.air.night_degc
    if stated is not None:
        return usual
    floors = (house.air.night_set_degc, house.air.day_set_degc if when == "day" else None)
    held = [np.min(np.asarray(floor)) for floor in floors if floor is not None]
    moved = usual + shift_k
    if not held:
        return moved
    floor = max(float(np.max(held)), -np.inf)
    return np.where(shift_k == 0.0, usual, np.maximum(moved, np.minimum(usual, floor)))


def later_d(table: Table, crop: int, bed: int, sown: date, on: date) -> int:
    """Days by which this winter so far moves a stand of the log, whole; 0 without a file of its days.

    Parameters: table; crop and bed, their numbers; sown; on, the day asked.
    """

    def both(table: Table) -> tuple[BedClimate, BedClimate] | None:
        given = table.world.warmth.sources.since
        past = None if given is None else past_of(table.world, given, on)
        return None if past is None else (table.climate, as_it_went(table.world, past))

    climates = table.once(f"this winter up to {on.isoformat()}", both)
    if climates is None or not table.crops[crop].grows_by_carbon or sown >= on:
        return 0
    return round(_later_d(climates, table.crops[crop], bed, sown))


def _later_d(climates: tuple[BedClimate, BedClimate], crop: Crop, bed: int, sown: date) -> float:
    """Days by which a sowing is later in the second climate than in the first; 0 where never in either."""
    arrays = crop_arrays([crop])
    one = slice(bed, bed + 1)
    took = [run(arrays, climate.take(one), [day_index(sown)]) for climate in climates]
    usual, went = ((found.transplant_d if crop.way == "transplant" else found.harvest_d)[0, 0, 0, 0] for found in took)
    return float(went - usual) if np.isfinite(usual) and np.isfinite(went) else 0.0


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
    climates = (bed_climates(world), as_it_went(world, past))
    moved = [
        (_later_d(climates, known[one.crop], names.index(one.bed), one.sown), one)
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
