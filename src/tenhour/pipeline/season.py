"""The season answer: every crop on every bed through a year."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.places import standing
from tenhour.growth.shapes import BedClimate
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.results import Basis
from tenhour.model.season import (
    BedSeason,
    CropSeason,
    SeasonAnswer,
    SeasonWeek,
    SowWeek,
    Span,
    SpanKind,
    Succession,
    Task,
)
from tenhour.pipeline import growing
from tenhour.pipeline.sow import SMOOTH_D, Table, ask_of, crop_year, sow_draws, table_of
from tenhour.pipeline.world import DULL, Sources, World, build
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS, day_index, next_on_or_after, wrap_mean
from tenhour.plan.sowing import chilled_days, dark_season, decide
from tenhour.sun import daylength

Array = NDArray[np.float64]

WEEKS: Final = 52
MEALS_PER_WEEK: Final = 2.0
"""Servings a week for which a steady supply is planned unless told otherwise."""
TRAY_LIMIT_D: Final = 30.0
"""A tray slower than this is not worth starting: judgement."""
PICK_WEEKS: Final = 34
"""Weeks from the start of the dark over which picking from a grown stand is reckoned."""


@dataclass(frozen=True)
class Wishes:
    """What the user asked of the season beside the house."""

    every_d: int | None = None
    meals_per_week_count: float = MEALS_PER_WEEK
    last_frost: date | None = None


def season_answer(
    house: House, sources: Sources, crops: Sequence[Crop], *, start: date, wishes: Wishes | None = None
) -> SeasonAnswer:
    """Year of every crop on every bed from ``start`` on.

    Errors: OutOfRange where there are no climate data near.
    """
    world = build(house, sources)
    return season_of(world, table_of(world, [c for c in crops if c.way != "fruiting"], start), wishes or Wishes())


def season_of(world: World, table: Table, wishes: Wishes) -> SeasonAnswer:
    """Year of every crop of a table already grown."""
    site, start = world.house.site, table.on
    frost = wishes.last_frost or _last_frost(world, start)
    picking = _picking(table)
    beds = tuple(_bed_season(table, number, picking, wishes) for number in range(len(world.beds)))
    planned = tuple(s for number in range(len(beds)) for s in _successions(table, number, beds[number], wishes))
    before, after = daylength.ten_hour_dates(start, site.latitude_deg, site.longitude_deg)
    notes = list(world.assumptions)
    if wishes.last_frost is None and frost is not None:
        notes.append(f"Last frost about {frost.isoformat()} ± 2 weeks, when the outdoor mean reaches 11 °C (practice).")
    inputs: dict[str, object] = {
        "house": world.house.path or "built-in demo house",
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "start": start.isoformat(),
        "every_d": wishes.every_d,
        "meals_per_week": wishes.meals_per_week_count,
    }
    return SeasonAnswer(
        basis=Basis(inputs, tuple(notes), world.warnings),
        start=start,
        beds=tuple(_filled(bed, planned, start) for bed in beds),
        tasks=_tasks(table, beds, frost),
        successions=planned,
        before_dark=before,
        after_dark=after,
        last_frost=frost,
        calibration=world.house.calibration_note,
        us_units=world.house.us_units,
    )


def _last_frost(world: World, start: date) -> date | None:
    temp = world.outdoors.temp_degc
    found = plan.last_frost_day(temp, int(np.argmin(temp)))
    return None if found is None else next_on_or_after(found, start)


def _week_starts(start: date) -> list[date]:
    return [start + timedelta(days=7 * week) for week in range(WEEKS)]


def _bed_season(table: Table, number: int, picking: dict[int, Array], wishes: Wishes) -> BedSeason:
    world = table.world
    bed, air, house_bed = world.beds[number], world.air, world.house.beds[number]
    weeks = []
    for week, begin in enumerate(_week_starts(table.on)):
        days = (table.day + 7 * week + np.arange(7)) % DAYS
        weeks.append(
            SeasonWeek(
                start=begin,
                dli_mol_m2_d=float(bed.dli_mol_m2_d[days].mean()),
                dull_dli_mol_m2_d=float(bed.class_dli_mol_m2_d[days, DULL].mean()),
                day_degc=float(air.day_degc[number, days].mean()),
                night_degc=float(air.night_degc[number, days].mean()),
                lit_h=float(table.climate.lit_h[number, days].mean()),
            )
        )
    crops = tuple(_crop_season(table, crop, number, picking) for crop in range(len(table.crops)))
    return BedSeason(bed.name, house_bed.size_m[0] * house_bed.size_m[1], tuple(weeks), crops)


def week_facts(table: Table, crop: int, bed: int) -> plan.WeekFacts:
    """One crop on one bed by week of sowing."""
    days = table.year.harvest_d[crop, bed, :WEEKS]
    ordered = np.sort(np.where(np.isnan(days), np.inf, days), axis=-1)
    low, high = (_at(ordered, q) for q in (0.1, 0.9))
    chosen = table.crops[crop]
    limit = np.fmax(chosen.climate.kill_degc.value, growing.value_of(chosen.climate.chill_degc))
    cold = chilled_days(table.world.air.cold_night_degc[bed], float(limit))
    week_day = (table.day + 7 * np.arange(WEEKS)) % DAYS
    return plan.WeekFacts(
        days_low=low,
        days=table.days[crop, bed, :WEEKS],
        days_high=high,
        emergence_d=table.year.emergence_d[crop, bed, :WEEKS],
        stretch_score=np.nan_to_num(table.year.stretch_score[crop, bed, :WEEKS], nan=0.0),
        cold=cold[week_day],
    )


def _at(ordered: Array, share: float) -> Array:
    position = share * (ordered.shape[-1] - 1)
    low, high = ordered[..., math.floor(position)], ordered[..., math.ceil(position)]
    known = np.isfinite(high)
    safe = np.where(known, high, 0.0) - np.where(known, low, 0.0)
    return np.asarray(np.where(known, np.where(known, low, 0.0) + safe * (position % 1.0), np.nan))


def _crop_season(table: Table, crop: int, bed: int, picking: dict[int, Array]) -> CropSeason:
    chosen = table.crops[crop]
    facts = week_facts(table, crop, bed)
    states = plan.states_of(facts)
    cost = plan.waiting_cost_d(facts.days)
    starts = _week_starts(table.on)
    weeks = tuple(
        SowWeek(
            start=starts[week],
            state=states[week],
            days_low=_whole(facts.days_low[week]),
            days_median=_whole(facts.days[week]),
            days_high=_whole(facts.days_high[week]),
            waiting_cost_d=_number(cost[week]),
            stretch_score=None if chosen.grows_by_reserves else _number(facts.stretch_score[week]),
        )
        for week in range(WEEKS)
    )
    decision = decide(ask_of(table, crop, bed), crop_year(table, crop, bed), table.world.darkest_day)
    sow_by = None if decision.sow_by is None else next_on_or_after(decision.sow_by, table.on)
    pays = None if decision.pays_from is None else next_on_or_after(decision.pays_from, table.on)
    hold = _hold(table, crop, bed, decision.sow_by is not None)
    weekly = _picking_weeks(table, crop, bed, picking)
    spans = _spans(chosen, weeks, sow_by, hold, weekly, table.on)
    return CropSeason(
        crop=chosen.key,
        name=chosen.name,
        way=chosen.way,
        weeks=weeks,
        spans=spans,
        sow_by=sow_by,
        pays_from=pays,
        hold_from=hold[0] if hold else None,
        hold_to=hold[1] if hold else None,
        picking_g_m2_week=weekly,
        plants_per_meal=_plants_per_meal(chosen, weekly),
        sentence=_sentence(chosen, sow_by, pays, weekly),
    )


def _whole(value: float) -> int | None:
    return round(float(value)) if np.isfinite(value) else None


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _dark(table: Table, bed: int) -> tuple[int, int]:
    smooth = wrap_mean(table.world.beds[bed].dli_mol_m2_d, SMOOTH_D)
    return dark_season(smooth, table.world.darkest_day)


def _hold(table: Table, crop: int, bed: int, stands: bool) -> tuple[date, date] | None:
    """The dark through which a grown crop stands, if it is there and its nights do not kill it."""
    chosen = table.crops[crop]
    if not stands or chosen.way not in ("head", "root", "pick", "cut"):
        return None
    first, last = _dark(table, bed)
    span = (first + np.arange((last - first) % DAYS + 1)) % DAYS
    limit = np.fmax(chosen.climate.kill_degc.value, growing.value_of(chosen.climate.chill_degc))
    if table.world.air.cold_night_degc[bed, span].min() < limit:
        return None
    begin = next_on_or_after(first, table.on)
    return begin, begin + timedelta(days=len(span) - 1)


def _picking(table: Table) -> dict[int, Array]:
    """Expected picking by week from the start of each bed's dark [weeks, B], for crops that stand grown."""
    rows = [n for n, crop in enumerate(table.crops) if crop.way == "pick" and _stands(crop)]
    if not rows:
        return {}
    arrays = growing.crop_arrays([table.crops[n] for n in rows])
    starts = [_dark(table, bed)[0] for bed in range(len(table.world.beds))]
    draws = sow_draws(table.world, table.day)
    out = {row: np.zeros((PICK_WEEKS, len(starts))) for row in rows}
    for bed, begin in enumerate(starts):
        found = standing(arrays, _one(table.climate, bed), [begin], draws, horizon_d=7 * PICK_WEEKS)
        assert found.week_yield_g_m2 is not None
        mean = found.week_yield_g_m2[:PICK_WEEKS, :, 0, 0, :].mean(axis=-1)
        for place, row in enumerate(rows):
            out[row][: len(mean), bed] = mean[:, place]
    return out


def _stands(crop: Crop) -> bool:
    return crop.harvest is not None and crop.harvest.standing_g_m2 is not None and crop.harvest.pick_g_m2 is not None


def _one(climate: BedClimate, bed: int) -> BedClimate:
    return climate.take(np.array([bed], dtype=np.intp))


def _picking_weeks(table: Table, crop: int, bed: int, picking: dict[int, Array]) -> tuple[float | None, ...]:
    if crop not in picking:
        return ()
    first = _dark(table, bed)[0]
    out: list[float | None] = []
    for week in range(WEEKS):
        since = ((table.day + 7 * week - first) % DAYS) // 7
        out.append(float(picking[crop][since, bed]) if since < PICK_WEEKS else None)
    return tuple(out)


def _plants_per_meal(crop: Crop, weekly: tuple[float | None, ...]) -> float | None:
    """Plants that give one serving a week in the leanest week of picking."""
    given = [value for value in weekly if value]
    if not given or crop.harvest is None or crop.use is None or crop.use.meal_g is None:
        return None
    lean = float(np.percentile(np.array(given), 20))
    return crop.use.meal_g.value / lean * crop.harvest.density_per_m2.value


def _spans(
    crop: Crop,
    weeks: tuple[SowWeek, ...],
    sow_by: date | None,
    hold: tuple[date, date] | None,
    weekly: tuple[float | None, ...],
    start: date,
) -> tuple[Span, ...]:
    out: list[Span] = []
    kind: SpanKind = {"seed-fed": "trays", "bulb": "trays", "transplant": "raise"}.get(crop.way, "sow")  # type: ignore[assignment]
    good = [
        week.state in ("sow", "slow") and (kind != "trays" or (week.days_median or 999) <= TRAY_LIMIT_D)
        for week in weeks
    ]
    out += [Span(kind, weeks[a].start, _end(weeks[b])) for a, b in plan.runs(good)]
    out += [Span("waste", weeks[a].start, _end(weeks[b])) for a, b in plan.runs([w.state == "waste" for w in weeks])]
    ripe = [w for w, ok in zip(weeks, good, strict=True) if ok and w.days_low is not None and w.days_high is not None]
    if ripe and crop.way not in ("transplant",):
        first = min(w.start + timedelta(days=w.days_low or 0) for w in ripe)
        last = max(w.start + timedelta(days=w.days_high or 0) for w in ripe)
        out.append(Span("harvest", first, last))
    if sow_by is not None and hold is not None:
        begin = max(start, sow_by - timedelta(days=plan.WINDOW_FOR_WINTER_D))
        out.append(Span("sow-for-winter", begin, sow_by, "stands at harvest size when the dark begins"))
        out.append(Span("hold", *hold))
    for a, b in plan.runs([bool(value) for value in weekly]):
        out.append(Span("pick", weeks[a].start, _end(weeks[b]), "from plants set out grown before the dark"))
    return tuple(sorted(out, key=lambda span: (span.first, span.kind)))


def _end(week: SowWeek) -> date:
    return week.start + timedelta(days=6)


def _sentence(crop: Crop, sow_by: date | None, pays: date | None, weekly: tuple[float | None, ...]) -> str:
    parts = []
    if sow_by is not None:
        parts.append(f"Sow by {sow_by.isoformat()} to stand grown before the dark")
    given = [value for value in weekly if value]
    if given:
        parts.append(f"then pick some {min(given):.0f}-{max(given):.0f} g per m² and week through it")
    if pays is not None:
        parts.append(f"sowing without lamps pays again from {pays.isoformat()}")
    if not parts:
        return "No sowing for winter here, and none that pays in the year ahead without more light or warmth."
    text = "; ".join(parts)
    return text[0].upper() + text[1:] + "."


def _tasks(table: Table, beds: tuple[BedSeason, ...], frost: date | None) -> tuple[Task, ...]:
    out: list[Task] = []
    for number, bed in enumerate(beds):
        for place, crop in enumerate(bed.crops):
            out += _crop_tasks(bed, crop)
            if crop.way == "transplant" and frost is not None:
                out += _raising_tasks(table, place, number, bed, frost)
    return tuple(sorted(out, key=lambda task: (task.on, task.bed, task.crop)))


def _crop_tasks(bed: BedSeason, crop: CropSeason) -> list[Task]:
    out = []
    if crop.sow_by is not None and crop.hold_from is not None:
        text = f"last sowing of {crop.name} that stands grown before the dark"
        out.append(Task(crop.sow_by, bed.name, crop.crop, text))
    if crop.pays_from is not None and crop.way not in ("transplant", "seed-fed", "bulb"):
        out.append(Task(crop.pays_from, bed.name, crop.crop, f"sowing {crop.name} without lamps pays again"))
    for span in crop.spans:
        if span.kind == "trays":
            out.append(Task(span.first, bed.name, crop.crop, _tray_text(crop, span)))
        if span.kind == "pick":
            out.append(Task(span.first, bed.name, crop.crop, f"begin to pick {crop.name} week by week"))
    return out


def _tray_text(crop: CropSeason, span: Span) -> str:
    days = [week.days_median for week in crop.weeks if span.first <= week.start <= span.last and week.days_median]
    longest = max(days) if days else 0
    kept = math.ceil(longest / 7)
    return f"trays of {crop.name}: {min(days, default=0)}-{longest} days; for one tray a week keep {kept} going"


def _raising_tasks(table: Table, crop: int, bed: int, where: BedSeason, frost: date) -> list[Task]:
    chosen = table.crops[crop]
    offset = 0 if chosen.raising is None else round(growing.value_of(chosen.raising.after_frost_d, 0.0))
    out_on = frost + timedelta(days=offset)
    sow_day = plan.sow_for(crop_year(table, crop, bed).days, day_index(out_on))
    if sow_day is None:
        return []
    on = next_on_or_after(sow_day, table.on)
    if on > out_on:
        return []
    text = f"sow {chosen.name} for the garden, to set out about {out_on.isoformat()} (last frost {frost.isoformat()})"
    return [
        Task(on, where.name, chosen.key, text),
        Task(out_on, where.name, chosen.key, f"harden off and set out {chosen.name}"),
    ]


def _successions(table: Table, number: int, bed: BedSeason, wishes: Wishes) -> list[Succession]:
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
            spread = _range_at(table, crop, number, sown)
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


def _range_at(table: Table, crop: int, bed: int, sown: int) -> tuple[int | None, int | None]:
    facts = week_facts(table, crop, bed)
    week = min(sown // 7, WEEKS - 1)
    return _whole(facts.days_low[week]), _whole(facts.days_high[week])


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


def _filled(bed: BedSeason, planned: tuple[Succession, ...], start: date) -> BedSeason:
    """The bed with the share of it that the planned successions take in each week."""
    from dataclasses import replace

    own = [s for s in planned if s.bed == bed.name]
    if not own:
        return bed
    full = []
    for week in bed.weeks:
        taken = sum(s.area_m2 for s in own if s.sow <= week.start <= s.harvest_to)
        full.append(taken / bed.area_m2 if bed.area_m2 > 0.0 else 0.0)
    return replace(bed, full_frac=tuple(full))
