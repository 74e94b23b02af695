"""The ladder of light over one bed: what each rung takes, what it adds over the unlit bed, and which is worth it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.growth.places import light_for_days_mol_m2_d
from tenhour.lamps.cost import heat_w, photons_mol_kwh
from tenhour.lamps.timer import lamp_season
from tenhour.model.house import BedLamps
from tenhour.model.lamp import Lamp, RungName, SizedOn
from tenhour.model.lamp_answer import AbsentRung, LampAnswer, LampRung, LampStep, TurnedTrays, UnlitBed
from tenhour.pace import tell
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index
from tenhour.plan.lamp_job import Job, Sizing
from tenhour.plan.lamp_ladder import KNEE_RATIO, Step, cheapest_kwh, knee_dli_mol_m2_d, raised_in, steps_of
from tenhour.plan.lamp_words import none_pays_words, nursery_words, pays_words, verdict, without_lamps
from tenhour.plan.lighting import answer_of, basis_of, size_bed
from tenhour.plan.sowing import SLOW_RATIO
from tenhour.words import lamps as words
from tenhour.words import remarks
from tenhour.words.crops import crop_name
from tenhour.words.text import Text, joined, listed
from tenhour.year.answers.lampcase import (
    Case,
    Plan,
    lamps_by_day,
    plan_billed,
    rung_of,
    rung_under,
    sizing_until,
    with_heating,
)
from tenhour.year.answers.lampgrowth import G_PER_KG, Harvests, harvests_of
from tenhour.year.answers.lampown import with_own
from tenhour.year.answers.lampraise import can_be_raised, nursery_rows, raised_for

Array = NDArray[np.float64]

LEVELS: Final = 9
"""Levels of light on which the knee is sought, from the unlit bed's up. Judgement."""
MOST_DLI: Final = 40.0
"""Light beyond which the growth model is not asked. Judgement."""
NO_DLI: Final = 0.1
"""Light that stands for none where a logarithm is taken. Judgement."""
SAME_FRAC: Final = 0.03
"""Rungs nearer to one another than this are one. Judgement."""
LEAST_FRAC: Final = 0.38
"""Least light over the light wanted, of the crops whose files have both: 0.38 (lettuce) to 0.77. Derived."""
DEAREST_KILO_KWH: Final = 250.0
"""Electricity beyond which no kilo is worth its lamps, if nobody says what it is: 25 EUR at 10 cents. Judgement."""
FAIR_EVENNESS_FRAC: Final = 0.5
"""Darkest over mean that serves if trays are turned every week. Practice."""
WORTH_TURNING_FRAC: Final = 0.95
"""Less even lamps are told of if they save more than the rest of this. Judgement."""


@dataclass(frozen=True)
class _Levels:
    """Levels of light on the mean day, the first of them the unlit bed's, and what grows at each."""

    dli_mol_m2_d: Array
    found: tuple[Harvests, ...]
    energy_kwh: Array
    harvest: Array


@dataclass(frozen=True)
class _Ladder:
    """Rungs that are sized, and those that are not, with the reason."""

    plans: tuple[Plan, ...]
    absent: tuple[AbsentRung, ...]


def answered(case: Case) -> LampAnswer:
    """The whole answer: the ladder, and the chosen rung in full.

    Errors: FileProblem where the hours asked for would harm a crop, or no rung has the name asked for; NoAnswer where
        no light brings the crop in by the date wished for, or the lamp finds no room.
    """
    sized = size_bed(case.job(case.full_dli))
    if sized is None and case.harvest_by is None and case.request.target_dli_mol_m2_d is None:
        return _no_lamps(case, case.job(case.full_dli))
    levels = _levels(case, sized)
    asked, reason = _asked(case, levels)
    steps = steps_of(levels.dli_mol_m2_d, levels.energy_kwh, levels.harvest)
    least = cheapest_kwh(steps[: LEVELS - 1])
    none_pays = asked is None and _no_step_pays(case, sized, steps)
    ladder = _ladder(case, levels, steps, asked, reason, sized)
    plans = ladder.plans
    if none_pays and case.request.rung is None and {plan.name for plan in plans} <= {"full"}:
        light = max(_least(case, levels), LEAST_FRAC * case.full_dli)
        none = _no_lamps(case, case.job(light))
        return replace(none, verdict=_none_pays(case, sized, least))
    if not plans:
        return _no_lamps(case, case.job(case.full_dli if asked is None else asked, reason=reason))
    found = harvests_of(case.crops, case.ground, [None, *(plan.lamps for plan in plans)])
    billed = with_heating(case, [plan_billed(case, plan, case.days(found, n)) for n, plan in enumerate(plans, 1)])
    rungs = tuple(rung_under(case, plan, found, n) for n, plan in enumerate(billed, start=1))
    raised, why_not = _raised(case, found)
    absent = (*why_not, *ladder.absent)
    basis = case.basis
    if raised is not None:
        billed, rungs = [raised[0], *billed], (raised[1], *rungs)
        basis = replace(basis, assumptions=(*basis.assumptions, raised[2]))
    chosen = _chosen(case, billed, rungs, asked, absent)
    plan, rung = billed[chosen], rungs[chosen]
    answer = replace(
        answer_of(plan.job, basis_of(plan.job, basis, case.cautions), plan.sizing),
        ladder=rungs,
        absent=absent,
        chosen=plan.name,
        knee=tuple(LampStep(*step[:3], step.each_kwh if np.isfinite(step.each_kwh) else None) for step in steps),
        unlit=_unlit(case, found),
        counted_from=case.counted[0],
        counted_to=case.counted[1],
        growth_g_kwh=None if not rung.energy_per_kg_kwh else G_PER_KG / rung.energy_per_kg_kwh,
        heat_replaced_frac=rung.heat_replaced_frac,
        turned=_turned(case, plan),
    )
    seen = replace(answer, dark=case.dark, size_month=_darkest(case)[0])
    told: Text = verdict(seen, rung, case.kind, case.request.worth_currency)
    if none_pays and case.request.rung is None and "steady" in (plan.name, *plan.also):
        told = joined([_none_pays(case, sized, least), words.ONLY_GROWS(), without_lamps(seen, case.kind)])
    if case.plants_counts:
        rows = nursery_rows(case, found, chosen + 1)
        told = joined(
            [nursery_words(rows, case.ready_by), pays_words(seen, rung, case.kind, case.request.worth_currency)]
        )
        answer = replace(answer, nursery=rows)
    noted = replace(answer.basis, warnings=(*case.notes, *answer.basis.warnings))
    answer = replace(answer, verdict=told, urgent=(*case.notes, *answer.urgent), basis=noted)
    return answer if case.request.own is None else with_own(case, answer, plan.job.need.target_dli_mol_m2_d)


def over_bed(case: Case) -> tuple[Plan, float] | None:
    """The rung that is taken over a bed where nothing else is asked for, and the share of its current that heating
    need not give; None where daylight suffices. The same as :func:`answered` chooses, without the rest of its answer.

    Errors: as there.
    """
    sized = size_bed(case.job(case.full_dli))
    if sized is None:
        return None
    levels = _levels(case, sized)
    steps = steps_of(levels.dli_mol_m2_d, levels.energy_kwh, levels.harvest)
    plans = _ladder(case, levels, steps, None, "", sized, only=("steady",)).plans
    if not plans and not _no_step_pays(case, sized, steps):
        plans = _ladder(case, levels, steps, None, "", sized, only=("full",)).plans
    if not plans:
        return None
    found = harvests_of(case.crops, case.ground, [None, plans[0].lamps])
    plan = with_heating(case, [plan_billed(case, plans[0], case.days(found, 1))])[0]
    share = rung_under(case, plan, found, 1).heat_replaced_frac
    return plan, share or 0.0


def all_light(case: Case) -> BedLamps | None:
    """Lamps that bring every day up to the light that the crops want, and shade nothing; None where daylight does."""
    full = case.full_dli
    return _level_lamps(case, full, 0.0) if case.job(full).lamp_months(0.0).any() else None


def _price_kwh(case: Case, sized: Sizing | None) -> float | None:
    """What a kilowatt-hour of lamps costs at least: less the heating it may spare, where that has a price."""
    tariff = case.request.tariff
    if tariff is None:
        return None
    bill = None if sized is None else sized.clock.bill
    price = bill.cost_currency / bill.energy_kwh if bill is not None and bill.energy_kwh > 0 else np.mean(tariff.prices)
    heat = case.heat_price_currency_kwh if case.spared is not None else None
    return max(float(price) - (heat or 0.0) * float(heat_w(1.0, case.bed.closed)), 0.0)


def _dearest_kwh(case: Case, sized: Sizing | None) -> float:
    """Electricity that one more kilo is worth [kWh]: by what the grower would give for it, or beyond any doubt."""
    if case.kind != "kg":
        return float("inf")
    worth, price = case.request.worth_currency, _price_kwh(case, sized)
    if worth is None or price is None:
        return DEAREST_KILO_KWH
    return worth / price if price > 0 else float("inf")


def _no_step_pays(case: Case, sized: Sizing | None, steps: tuple[Step, ...]) -> bool:
    """Whether even the cheapest step of light takes more than a kilo is worth."""
    return _dearest_kwh(case, sized) < cheapest_kwh(steps[: LEVELS - 1]) < np.inf


def _none_pays(case: Case, sized: Sizing | None, least_kwh: float) -> Text:
    tariff, price = case.request.tariff, _price_kwh(case, sized)
    cost = None if tariff is None or price is None else (least_kwh * price, tariff.currency)
    return none_pays_words(least_kwh, cost, case.request.worth_currency)


def _raised(case: Case, found: Sequence[Harvests]) -> tuple[tuple[Plan, LampRung, Text] | None, tuple[AbsentRung, ...]]:
    """The rung of seedlings alone, or why there is none."""
    why = _why_not_raised(case)
    if why is not None:
        return None, (AbsentRung("seedlings", why),)
    raised = raised_for(case.bed, case.crops, case.needs, case.lamp, case.request, case.ground, case.job(case.full_dli))
    if raised is None:
        return None, (AbsentRung("seedlings", words.NO_ROOM_OVER_TRAYS()),)
    grown, lit_d = raised_in(raised.days_d, raised.out_d, raised.each, case.sown, case.count_d)
    sizing = sizing_until(case, raised.sizing, case.counted[0] + timedelta(days=max(lit_d, 1) - 1), raised.job)
    lamps = lamps_by_day(raised.job, sizing)
    plan = Plan("seedlings", raised.job, sizing, lamps)
    extra = grown * case.bed.place.area_m2 * case.bed.tiers_count - case.gathered(found, 0)
    rung = rung_of(case, plan, float(raised.days_d[case.sown]), case.days(found, 0), extra)
    return (plan, rung, raised.assumed(case.bed.name)), ()


def _why_not_raised(case: Case) -> str | None:
    if case.kind == "plants":
        return words.ALL_SEEDLINGS()
    if case.kind == "trays":
        return words.EATEN_AS_SEEDLINGS()
    if case.dark:
        return words.NOTHING_TO_SET_OUT_IN()
    return None if can_be_raised(case.crops) else words.SOWN_IN_PLACE()


def _no_lamps(case: Case, job: Job) -> LampAnswer:
    """Daylight suffices."""
    return answer_of(job, basis_of(job, case.basis, case.cautions), None)


def _levels(case: Case, sized: Sizing | None) -> _Levels:
    """Growth and electricity at levels of light, from the unlit bed up to what the crops want or may have."""
    dark = float(case.job(case.full_dli).by_month(case.typical).min())
    most = MOST_DLI if case.harvest_by is not None else case.full_dli
    low = min(dark, case.full_dli * 0.9)
    light = np.concatenate([[low], low + (case.full_dli - low) * np.arange(1, LEVELS) / (LEVELS - 1)])
    if most > case.full_dli:
        light = np.concatenate([light, np.geomspace(case.full_dli, most, LEVELS)[1:]])
    shade = 0.0 if sized is None else sized.hanging.shade_share / (case.full_dli - dark)
    lamps = [None, *(_level_lamps(case, float(dli), shade * max(float(dli) - dark, 0.0)) for dli in light[1:])]
    found = harvests_of(case.crops, case.ground, lamps)
    days = (case.sown + np.arange(case.count_d)) % DAYS
    added = np.array([0.0 if one is None else float(np.array(one.dli_mol_m2_d)[days].sum()) for one in lamps])
    per_kwh = _per_kwh(case.lamp, sized)
    energy = added * case.bed.place.area_m2 * case.bed.tiers_count / per_kwh
    harvest = np.array([case.gathered(found, n) for n in range(len(light))])
    return _Levels(light, found, energy, harvest)


def _per_kwh(lamp: Lamp, sized: Sizing | None) -> float:
    if sized is None:
        return float(photons_mol_kwh(lamp.sizes[0].efficacy_umol_j, 0.6, lamp.maintenance_frac))
    hung = sized.hanging
    efficacy = hung.layout.lamp.beam.ppf_umol_s / hung.layout.lamp.power_w
    return float(photons_mol_kwh(efficacy, hung.light.cu_frac, lamp.maintenance_frac))


def _level_lamps(case: Case, dli_mol_m2_d: float, shade_frac: float) -> BedLamps:
    """Lamps that bring the mean day of every month up to one light, with the shade of as many as that takes."""
    job = case.job(case.full_dli)
    month = job.by_month(case.typical)[MONTH_OF_DAY - 1] * (1 - shade_frac)
    short = lamp_season(case.typical, dli_mol_m2_d).lamp_days
    added = np.where(short, np.maximum(dli_mol_m2_d - month, 0.0), 0.0)
    on = added > 0
    lit = tuple(np.where(on, min(job.need.limit_h, job.need.hours_h), 0.0).tolist())
    return BedLamps(case.bed.name, tuple(added.tolist()), lit, lit, tuple(np.where(on, shade_frac, 0.0).tolist()))


def _asked(case: Case, levels: _Levels | None) -> tuple[float | None, str]:
    """Light asked for by a number or by a date of harvest, and why it is that."""
    if case.harvest_by is None or levels is None:
        return case.request.target_dli_mol_m2_d, case.request.target_reason
    crop, first = case.crops[0], case.request.first or case.today
    wanted = (case.harvest_by - first).days
    if wanted < 1:
        problem = Problem(ARGUMENT, "harvest_by", case.harvest_by.isoformat(), f"a day after {first.isoformat()}", "")
        raise FileProblem([problem])
    if not crop.grows_by_carbon:
        raise NoAnswer(
            f"{crop_name(crop.key)}: warmth, not light, sets its time; a day of harvest cannot be asked of lamps."
        )
    days, dli = levels.found[0].days_d[:, day_index(first)], np.maximum(levels.dli_mol_m2_d, NO_DLI)
    took = np.minimum.accumulate(np.where(np.isfinite(days), days, np.inf))
    light = float(light_for_days_mol_m2_d(took, np.asarray(float(wanted)), dli))
    air = [float(part[(day_index(first) + np.arange(wanted)) % DAYS].mean()) for part in
           (case.ground.day_degc, case.ground.night_degc)]  # fmt: skip
    said = {"crop": crop_name(crop.key), "sown": first, "by": case.harvest_by, "day": air[0], "night": air[1]}
    if not np.isfinite(light):
        nearest: str = "at that warmth it never is"
        if np.isfinite(took[-1]):
            nearest = remarks.EARLIEST(on=first + timedelta(days=int(np.ceil(took[-1]))))
        raise NoAnswer(remarks.CANNOT_BE_IN(nearest=nearest, **said))
    return light, remarks.LIGHT_WANTED(light=light, **said)


def _ladder(
    case: Case, levels: _Levels, steps: tuple[Step, ...], asked: float | None, reason: str, sized: Sizing | None,
    only: Sequence[RungName] = (),
) -> _Ladder:  # fmt: skip
    """The rungs over the bed, each sized; those that daylight reaches by itself are left out, and all but some."""
    full = case.full_dli
    wanted: list[tuple[RungName, float, SizedOn, str]] = []
    least = min(max(_least(case, levels), LEAST_FRAC * full), full)
    knee = knee_dli_mol_m2_d(steps[: LEVELS - 1], _dearest_kwh(case, sized))
    most = min((need.most_dli_mol_m2_d or np.inf for need in case.needs), default=np.inf)
    steady = max(min(least if knee is None else knee, full, most), least)
    also: list[RungName] = []
    if least < steady * (1 - SAME_FRAC):
        wanted.append(("least", least, "mean", ""))
    else:
        also.append("least")
    wanted.append(("steady", steady, "mean", ""))
    if asked is not None:
        wanted.append(("asked", asked, "mean", reason))
    if steady < full * (1 - SAME_FRAC):
        wanted.append(("full", full, "mean", ""))
    else:
        also.append("full")
    if case.request.rung == "dull":
        wanted.append(("dull", full if asked is None else asked, "dull", reason))
    plans, absent = [], []
    dark = _darkest(case)[1] * (1 + SAME_FRAC)
    chosen = [one for one in wanted if not only or one[0] in only]
    for done, (name, dli, sized_on, why) in enumerate(chosen):
        tell(done, len(chosen), "steps")
        job = case.job(dli, sized_on, why)
        sizing = sized if sized_on == "mean" and dli == full else size_bed(job)
        if sized_on == "mean" and dli <= dark and name != "asked":
            sizing = None
        same = tuple(also) if name == "steady" else ()
        if sizing is not None:
            plans.append(Plan(name, job, sizing, lamps_by_day(job, sizing), same))
        else:
            absent += [AbsentRung(one, words.DAYLIGHT_DOES()) for one in (name, *same)]
    return _Ladder(tuple(plans), tuple(absent))


def _least(case: Case, levels: _Levels) -> float:
    """Light with which the crops just keep growing: their files' least, or where a sowing is just not slow."""
    found, dli = [], np.maximum(levels.dli_mol_m2_d[:LEVELS], NO_DLI)
    for need, crop, grown in zip(case.needs, case.crops, levels.found, strict=True):
        if need.least_dli_mol_m2_d is not None:
            found.append(need.least_dli_mol_m2_d)
        elif crop.grows_by_carbon:
            days = grown.days_d[:LEVELS, case.sown]
            took = np.minimum.accumulate(np.where(np.isfinite(days), days, np.inf))
            light = light_for_days_mol_m2_d(took, np.asarray(took[-1] * SLOW_RATIO), dli)
            found.append(float(light) if np.isfinite(light) else need.target_dli_mol_m2_d)
        else:
            found.append(need.target_dli_mol_m2_d)
    return max(found)


def _chosen(
    case: Case, plans: Sequence[Plan], rungs: Sequence[LampRung], asked: float | None, absent: Sequence[AbsentRung]
) -> int:
    names = [(plan.name, *plan.also) for plan in plans]
    wanted = case.request.rung or ("asked" if asked is not None else "steady")
    if case.request.rung is None and asked is None and _seedlings_first(case, rungs):
        return 0
    for n, own in enumerate(names):
        if wanted in own:
            return n
    if case.request.rung is None:
        return len(names) - 1
    others = listed([name for own in names for name in own])
    for one in absent:
        if one.name == wanted:
            raise NoAnswer(words.NO_SUCH_RUNG(rung=words.RUNGS[wanted], why=one.why, others=others))
    raise FileProblem([Problem(ARGUMENT, "rung", wanted, "one of " + others, "")])


def _seedlings_first(case: Case, rungs: Sequence[LampRung]) -> bool:
    """Whether the knee lies on the seedlings alone: a kilo by lamps over the bed costs twice as much, or more."""
    alone = rungs[0].energy_per_kg_kwh
    if rungs[0].name != "seedlings" or alone is None or case.request.over_bed or case.request.own is not None:
        return False
    over = [rung.energy_per_kg_kwh for rung in rungs[1:] if "steady" in (rung.name, *rung.also)]
    return bool(over) and (over[0] is None or over[0] >= KNEE_RATIO * alone)


def _darkest(case: Case) -> tuple[int, float]:
    """The darkest month that is counted, 1-12, and its mean day [mol m⁻² d⁻¹]."""
    ahead = (case.sown + np.arange(case.count_d)) % DAYS
    light = case.job(case.full_dli).by_month(case.typical)
    month = min(set(MONTH_OF_DAY[ahead].tolist()), key=lambda one: float(light[one - 1]))
    return int(month), float(light[month - 1])


def _unlit(case: Case, found: Sequence[Harvests]) -> UnlitBed:
    days = case.days(found, 0)
    light = _darkest(case)[1]
    kilos = case.gathered(found, 0) if case.kind == "kg" else None
    return UnlitBed(light, round(days) if np.isfinite(days) else None, kilos)


def _turned(case: Case, plan: Plan) -> TurnedTrays | None:
    """The same light with less even lamps, where turning the trays every week saves some of the power."""
    if case.request.evenness_frac <= FAIR_EVENNESS_FRAC:
        return None
    request = replace(plan.job.request, evenness_frac=FAIR_EVENNESS_FRAC)
    found = size_bed(replace(plan.job, request=request))
    if found is None or found.power_w > WORTH_TURNING_FRAC * plan.sizing.power_w:
        return None
    hung = found.hanging
    return TurnedTrays(found.power_w, found.fixtures_count, hung.layout.height_m, hung.light.min_mean_frac)
