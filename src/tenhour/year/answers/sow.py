"""The sowing answer: every crop on every bed at one date, read from the year's growth table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.hardening import Harm
from tenhour.model.crop import Crop
from tenhour.model.results import BedSowing, CropVerdict, Frost, HarvestPeak, SowAnswer, Verdict
from tenhour.plan.choosing import with_short
from tenhour.plan.dates import DAYS, day_index, last_on_or_before, next_on_or_after
from tenhour.plan.sowing import LATE_EMERGENCE_D, SOONER_D, TRAY_WAYS
from tenhour.sun import daylength
from tenhour.words import remarks
from tenhour.words.sowing import Facts, sentence, told_from
from tenhour.year.answers.coldest import layers_text
from tenhour.year.answers.fruiting import fruiting_verdict, with_rest
from tenhour.year.crops import growing
from tenhour.year.crops.flagging import flags_of
from tenhour.year.crops.grown import DRAWS, Table
from tenhour.year.crops.moved import moved_in
from tenhour.year.crops.nights import NO_HARVEST_SPAN_D, Stay
from tenhour.year.crops.nursery import raising_advice
from tenhour.year.world import World

Array = NDArray[np.float64]

SHOWN: Final[tuple[Verdict, ...]] = (
    "sow", "stand-small", "raise", "cut-young", "slow", "wait", "needs-lamps", "set-out-grown", "too-hot", "too-cold",
    "not-here",
)  # fmt: skip
"""Verdicts in the order in which a bed's crops are listed, what can be done today first."""
FROST: Final[dict[Harm, Frost]] = {Harm.SAFE: "safe", Harm.SCORCHED: "outer leaves scorch", Harm.KILLED: "dies"}
"""What cold nights do, in the words of answers."""
G_PER_KG: Final = 1000.0
WEEK_D: Final = 7.0
NO_WINTER_DEGC: Final = 10.0
"""Nights that are never colder than this are no winter: cloves do not part and winter types gain nothing. Practice."""
AHEAD_D: Final = 28
"""Days ahead whose coldest ordinary night is told."""


def sow_of(
    world: World,
    tables: Iterable[Table],
    fruiting: Sequence[Crop] = (),
    *,
    on: date,
    standing: Mapping[str, tuple[str, ...]] | None = None,
) -> SowAnswer:
    """Verdict of every crop of the tables on every bed at one date, best first; fruiting crops get no dates.

    Parameters: world, of all beds shown; tables, of its beds in their order, each let go before the next is grown;
    fruiting; on, date of sowing; standing, what the log says, by bed.
    """

    def part(table: Table) -> tuple[BedSowing, ...]:
        return beds_sown(table, fruiting, on, standing)

    # map, unlike a loop, holds on to no table while the next one is made
    return sow_from(world, [bed for own in map(part, tables) for bed in own], on=on)


def sow_from(world: World, beds: Sequence[BedSowing], *, on: date) -> SowAnswer:
    """The answer from verdicts on its beds.

    Parameters: world, of all beds shown; beds, of :func:`beds_sown`, in their order; on.
    """
    house = world.house
    before, after = daylength.ten_hour_dates(on, house.site.latitude_deg, house.site.longitude_deg)
    gained = any(crop.raising is not None or crop.verdict == "raise" for bed in beds for crop in bed.crops)
    inputs: dict[str, object] = {
        "house": house.path or "built-in demo house",
        "latitude_deg": house.site.latitude_deg,
        "longitude_deg": house.site.longitude_deg,
        "on": on.isoformat(),
        "draws": DRAWS,
    }
    basis = world.basis(inputs)
    if house.nursery is not None and not gained:
        note = remarks.NURSERY_GAINS_NOTHING(where=house.nursery.where, days=SOONER_D)
        basis = replace(basis, assumptions=(*basis.assumptions, note))
    found = SowAnswer(
        basis=basis,
        on=on,
        beds=tuple(beds),
        before_dark=before,
        after_dark=after,
        calibration=house.calibration_note,
        us_units=house.us_units,
        place=house.name or house.site.place,
        where="" if house.nursery is None else house.nursery.where,
        darkest=next_on_or_after(world.darkest_day, on),
    )
    return with_short(found, house.household)


def beds_sown(
    table: Table, fruiting: Sequence[Crop], on: date, standing: Mapping[str, tuple[str, ...]] | None
) -> tuple[BedSowing, ...]:
    """Verdicts on the beds of one table; the rest as of :func:`sow_of`."""
    world, house = table.world, table.world.house
    ahead = (day_index(on) + np.arange(AHEAD_D)) % DAYS
    return tuple(
        BedSowing(
            bed.name,
            _ranked(table, fruiting, number, on),
            (standing or {}).get(bed.name, ()),
            dli_mol_m2_d=float(bed.dli_mol_m2_d[day_index(on)]),
            night_degc=float(world.air.night_degc[number, day_index(on)]),
            night_ahead_degc=float(world.air.night_degc[number, ahead[-1]]),
            cold_night_degc=float(world.air.cold_night_degc[number, ahead].min()),
            cold_night_1in10_degc=float(world.air.rare_night_degc[number, ahead].min()),
            layers=layers_text(house, number, on),
            soil_degc=float(world.air.soil_degc[number, day_index(on)]),
            matted=any(mat.bed == bed.name and on.month in mat.months for mat in house.mats),
        )
        for number, bed in enumerate(world.beds)
    )


def _ranked(table: Table, fruiting: Sequence[Crop], bed: int, on: date) -> tuple[CropVerdict, ...]:
    verdicts = [
        with_rest(verdict_of(table, number, bed, on), table.world, crop, bed, on)
        for number, crop in enumerate(table.crops)
    ]
    likes = _likes(table)
    verdicts += [replace(fruiting_verdict(table.world, crop, bed, on), wanted=crop.key in likes) for crop in fruiting]
    return tuple(sorted(verdicts, key=lambda v: (SHOWN.index(v.verdict), -v.rank_score, v.crop)))


def _likes(table: Table) -> frozenset[str]:
    household = table.world.house.household
    return frozenset() if household is None else frozenset(household.likes)


def meal_g_of(crop: Crop) -> float | None:
    """Fresh mass of one serving; None of what nobody eats so."""
    return None if crop.use is None or crop.use.meal_g is None else crop.use.meal_g.value


def is_wanted(table: Table, crop: Crop) -> bool:
    """Whether a household wants to hear of it unasked: what comes on its table, or on that of the animals it keeps."""
    household = table.world.house.household
    if crop.key in _likes(table):
        return True
    if household is not None and crop.key in household.leave_out:
        return False
    if _wants_winter(table, crop):
        return False
    if meal_g_of(crop) is None:
        return crop.way == "seed-fed" and household is not None and bool(household.animals)
    return True


def _wants_winter(table: Table, crop: Crop) -> bool:
    """Whether it is a type that is sown to live through a winter, in a house that has none."""
    season = table.in_season[table.row_of[crop.key]]
    return not season.all() and float(table.world.air.night_degc.min()) >= NO_WINTER_DEGC


def verdict_of(table: Table, crop: int, bed: int, on: date) -> CropVerdict:
    """Verdict, dates and sentence of one crop on one bed at one date."""
    chosen, day, ruling = table.crops[crop], day_index(on), table.ruling
    verdict = ruling.verdict(crop, bed, day)
    low, median, high = _span(table.span_on_d(day)[:, crop, bed])
    two = table.peaks_on(crop, bed, day)
    raising = raising_advice(table, crop, bed, on)
    stay = stay_of(table, crop, bed, day, verdict)
    facts = _facts(table, crop, bed, on, verdict, stay)
    route = moved_in(table, crop, bed, on)
    mass = table.young_yield_g_m2 if verdict == "cut-young" else table.yield_g_m2
    gives = None if chosen.way == "transplant" else _finite(mass[crop, bed, day])
    shown = _span(table.young_span_on_d(day)[:, crop, bed])[1] if verdict == "cut-young" else median
    rate = None if gives is None or shown is None else gives / shown
    if raising is not None and chosen.tray is not None:
        rate = chosen.tray.reserve_mass_g_m2.value / float(table.tray_room.days[crop][day])
    meal_g = meal_g_of(chosen)
    return CropVerdict(
        crop=chosen.key,
        name=chosen.name,
        way=chosen.way,
        serves=chosen.serves,
        flowers_from=_after(on, _whole(float(table.sowings.bolting_d[crop, bed, day]))),
        verdict=verdict,
        sentence=sentence(verdict, facts),
        harvest_from=_after(on, low),
        harvest_to=_after(on, high),
        days_low=low,
        days_median=None if two else median,
        days_high=high,
        young_from=facts.young_from,
        young_to=facts.young_to,
        peaks=tuple(HarvestPeak(_on(on, round(one.from_d)), _on(on, round(one.to_d)), one.share_frac) for one in two),
        dli_mol_m2_d=_mean_light(table, bed, day, median),
        needs_dli_mol_m2_d=_finite(table.needs_dli_mol_m2_d[crop, bed, day]),
        missing_dli_mol_m2_d=float(table.missing_dli_mol_m2_d[crop, bed, day]),
        stretch_score=_finite(table.stretch_score[crop, bed, day]),
        pays_from=facts.pays_from,
        sow_by=facts.sow_by,
        set_out=facts.set_out if verdict == "raise" else None,
        yield_kg_m2=None if gives is None else gives / G_PER_KG,
        yield_g_m2_d=rate,
        flags=flags_of(table, crop, bed, on, None if verdict == "too-cold" else stay),
        frost=_frost(table, crop, stay.harm, stay.lowest_degc),
        frost_tenth=_frost(table, crop, stay.rare_harm, stay.rare_degc),
        moved_in="" if route is None else route.sentence,
        keeps_to=_keeps_to(table, crop, bed, on),
        coldest_degc=stay.lowest_degc,
        coldest_tenth_degc=stay.rare_degc,
        rank_score=rate or 0.0,
        next_from=told_from(verdict, facts),
        meals_m2_week_count=None if rate is None or not meal_g else rate * WEEK_D / meal_g,
        wanted=is_wanted(table, chosen),
        lies_cold=_lies_late(table, crop, bed, day) and not bool(table.sowings.too_warm[crop, bed, day]),
        winter_meals_m2_week_count=_winter_meals(table, crop, bed),
        raising=None if verdict == "raise" else raising,
    )


def _lies_late(table: Table, crop: int, bed: int, day: int) -> bool:
    """Whether seed sown on a day lies too long before it comes up, or never does."""
    return not table.emergence_d[crop, bed, day] <= LATE_EMERGENCE_D


def _winter_meals(table: Table, crop: int, bed: int) -> float:
    """Servings from a square metre and week of bed held by the last sowing for winter; 0 where there is none."""
    found, meal_g = table.ruling.sow_by[crop, bed], meal_g_of(table.crops[crop])
    if not np.isfinite(found) or not meal_g:
        return 0.0
    rate = table.yield_g_m2[crop, bed, int(found)] / table.days[crop, bed, int(found)]
    return float(np.nan_to_num(rate * WEEK_D / meal_g))


def pays_from_on(table: Table, crop: int, bed: int, on: date) -> date | None:
    """The next date from which sowing pays; a day of the year that does not depend on the day asked."""
    found = table.ruling.pays_from[crop, bed]
    return next_on_or_after(int(found), on) if np.isfinite(found) else None


def sow_by_on(table: Table, crop: int, bed: int, on: date, *, missed: bool = False) -> date | None:
    """The sowing that stands when the dark begins: the next one, or the one just missed."""
    found = table.ruling.sow_by[crop, bed]
    if not np.isfinite(found):
        return None
    return last_on_or_before(int(found), on) if missed else next_on_or_after(int(found), on)


def _facts(table: Table, crop: int, bed: int, on: date, verdict: Verdict, stay: Stay) -> Facts:
    """Everything the sentence of a verdict may quote."""
    chosen, day, ruling = table.crops[crop], day_index(on), table.ruling
    low, median, high = _span(table.span_on_d(day)[:, crop, bed])
    young_low, _, young_high = _span(table.young_span_on_d(day)[:, crop, bed])
    hardened, tender, chill = table.nights.frost_degc[crop].tolist()
    harmed = stay.harm is Harm.KILLED
    coldest = stay.lowest_degc if harmed else float(table.world.air.night_degc[bed, day])
    pays = pays_from_on(table, crop, bed, on)
    again = ruling.again_from(crop, bed, day)
    best = table.sowings.best_days[crop, bed]
    set_out = where = None
    if table.raised is not None and verdict == "raise":
        place = table.raised.rows.index(crop)
        set_out = _on(on, round(float(table.raised.set_out_d[place, day])))
        low, _, high = _raised_span(table, crop, bed, day)
        where = table.world.house.nursery.where if table.world.house.nursery else None
    seed, most = _too_warm_above(table, crop, bed, day)
    return Facts(
        name=chosen.name,
        way=chosen.way,
        harvest_from=_after(on, low),
        harvest_to=_after(on, high),
        days_median=median,
        best_days=round(float(best)) if np.isfinite(best) and chosen.way not in TRAY_WAYS else None,
        missing_dli_mol_m2_d=float(table.missing_dli_mol_m2_d[crop, bed, day]),
        stretch_score=_finite(table.stretch_score[crop, bed, day]),
        pays_from=pays,
        sow_by=sow_by_on(table, crop, bed, on, missed=verdict == "set-out-grown"),
        later_d=_finite(ruling.waiting_cost_d[crop, bed, day]),
        wait_d=None if pays is None else (pays - on).days,
        coldest_night_degc=coldest,
        limit_degc=stay.limit_degc if harmed else float("nan"),
        hardened_degc=None if np.isfinite(chill) else hardened,
        tender_degc=None if np.isfinite(chill) else tender,
        young_from=_after(on, young_low),
        young_to=_after(on, young_high),
        again_from=None if again is None else next_on_or_after(again, on),
        seed_max_degc=seed,
        most_degc=most,
        hot=_hot(table, crop, bed, day),
        harmed=bool(table.threats.harmed[crop, bed, day]),
        in_season=bool(table.in_season[crop, day]),
        flowers=bool(table.sowings.bolts[crop, bed, day]),
        where=where or "",
        set_out=set_out,
    )


def _hot(table: Table, crop: int, bed: int, day: int) -> bool:
    """Whether a sowing is too hot for crop or seed; out of its season, whether most sowings of the season are."""
    marks, season = table.threats.hot[crop, bed] | table.sowings.too_warm[crop, bed], table.in_season[crop]
    return bool(marks[day]) if season[day] else bool(marks[season].mean() > 0.5)


def _too_warm_above(table: Table, crop: int, bed: int, day: int) -> tuple[float | None, float | None]:
    """What the air is above: the limit of the seed where that fails, and that of the crop where it passes it."""
    chosen = table.crops[crop]
    late = _lies_late(table, crop, bed, day) and table.sowings.too_warm[crop, bed, day]
    seed = growing.part("emergence", "max_degc", float("nan"))(chosen)
    most = growing.value_of(chosen.climate.most_mean_degc)
    return _finite(seed) if late or np.isnan(most) else None, _finite(most)


def stay_of(table: Table, crop: int, bed: int, day: int, verdict: Verdict = "sow") -> Stay:
    """The nights of a sowing's whole stay on its bed: from coming up or setting out to the harvest it is meant for."""
    begin, days = table.emergence_d[crop, bed, day], table.days[crop, bed, day]
    if verdict == "raise" and table.raised is not None:
        place = table.raised.rows.index(crop)
        begin, days = table.raised.set_out_d[place, day], table.raised.days[place, bed, day]
    elif verdict == "cut-young":
        days = table.young_span_on_d(day)[1, crop, bed]
    up = int(np.nan_to_num(begin))
    return table.nights.stay(crop, bed, day + up, int(days) - up if np.isfinite(days) else NO_HARVEST_SPAN_D)


def _keeps_to(table: Table, crop: int, bed: int, on: date) -> date | None:
    """Last day on which a crop that is ready on its median day is still good; None where nobody knows."""
    day = day_index(on)
    ready, keeps = table.days[crop, bed, day], table.keeps_d[crop, bed, day]
    if table.crops[crop].way == "pick" or not np.isfinite(ready) or not np.isfinite(keeps):
        return None
    cold = table.nights.until_d(crop)[bed, (day + int(ready)) % DAYS]
    stalk = table.threats.bolting_d[crop, bed, day] - ready
    left = float(np.fmin(np.minimum(keeps, cold), stalk))
    return _on(on, round(float(ready) + max(left, 0.0)))


def _frost(table: Table, crop: int, harm: Harm, lowest_degc: float) -> Frost:
    _, kills, chills = table.nights.frost_degc[crop].tolist()
    warm = np.isfinite(chills) and harm is Harm.KILLED and lowest_degc > kills
    return "chilled" if warm else FROST[harm]


def _span(days: Array) -> tuple[int | None, int | None, int | None]:
    """10th, 50th and 90th percentile of days over draws as whole days, None where that many never get there."""
    low, middle, high = (_whole(value) for value in days.tolist())
    return low, middle, high


def _raised_span(table: Table, crop: int, bed: int, day: int) -> tuple[int | None, int | None, int | None]:
    """The same of plants raised in the nursery, where a sowing on the bed never comes in."""
    if table.raised is None:
        return None, None, None
    found, place = table.raised, table.raised.rows.index(crop)
    return _span(np.array([part[place, bed, day] for part in (found.days_low, found.days, found.days_high)]))


def _on(on: date, days: int) -> date:
    return on + timedelta(days=days)


def _after(on: date, days: int | None) -> date | None:
    return None if days is None else _on(on, days)


def _whole(value: float) -> int | None:
    return round(float(value)) if np.isfinite(value) else None


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _mean_light(table: Table, bed: int, day: int, days: int | None) -> float | None:
    """Mean typical light from sowing to the median harvest; of the first 28 days where there is no harvest."""
    length = max(days or round(growing.FIRST_D), 1)
    light = table.world.beds[bed].dli_mol_m2_d
    return float(light[(day + np.arange(length)) % DAYS].mean())
