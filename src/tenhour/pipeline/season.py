"""The season answer: every crop on every bed through a year."""

from __future__ import annotations

from collections.abc import Sequence
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
)
from tenhour.pipeline import growing
from tenhour.pipeline.sow import SMOOTH_D, Table, ask_of, crop_year, sow_draws, table_of
from tenhour.pipeline.sunlight import DULL, Sources
from tenhour.pipeline.supply import Wishes, filled, successions_of
from tenhour.pipeline.tasks import tasks_of
from tenhour.pipeline.weeks import WEEKS, number, week_facts, whole
from tenhour.pipeline.world import World, build
from tenhour.plan import season as plan
from tenhour.plan.dates import DAYS, next_on_or_after, wrap_mean
from tenhour.plan.sowing import dark_season, decide
from tenhour.sun import daylength

Array = NDArray[np.float64]

TRAY_LIMIT_D: Final = 30.0
"""A tray slower than this is not worth starting: judgement."""
PICK_WEEKS: Final = 34
"""Weeks from the start of the dark over which picking from a grown stand is reckoned."""


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
    planned = tuple(s for number in range(len(beds)) for s in successions_of(table, number, beds[number], wishes))
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
        beds=tuple(filled(bed, planned, start) for bed in beds),
        tasks=tasks_of(table, beds, frost),
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
            days_low=whole(facts.days_low[week]),
            days_median=whole(facts.days[week]),
            days_high=whole(facts.days_high[week]),
            waiting_cost_d=number(cost[week]),
            stretch_score=None if chosen.grows_by_reserves else number(facts.stretch_score[week]),
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
        plants_per_meal_count=_plants_per_meal(chosen, weekly),
        sentence=_sentence(chosen, sow_by, pays, weekly),
    )


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
