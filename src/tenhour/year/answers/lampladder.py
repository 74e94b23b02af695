"""The ladder of light over one bed: what each rung takes, what it adds over the unlit bed, and which is worth it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.growth.places import light_for_days_mol_m2_d
from tenhour.lamps.cost import heat_w, photons_mol_kwh
from tenhour.lamps.timer import lamp_season
from tenhour.model.crop import Crop
from tenhour.model.house import BedLamps
from tenhour.model.lamp import Lamp, LampNeed, LampRequest, RungName, SizedOn
from tenhour.model.lamp_answer import AbsentRung, LampAnswer, LampRung, LampStep, TurnedTrays, UnlitBed
from tenhour.model.results import Basis
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index
from tenhour.plan.lamp_clock import billed_until, days_by_month, season_days
from tenhour.plan.lamp_job import BedUnderLamps, Job, Sizing
from tenhour.plan.lamp_ladder import Step, harvest_in, heat_replaced_frac, knee_dli_mol_m2_d, raised_in, steps_of
from tenhour.plan.lamp_parts import clock_of, days_of
from tenhour.plan.lamp_words import verdict
from tenhour.plan.lighting import answer_of, basis_of, job_of, size_bed
from tenhour.plan.sowing import SLOW_RATIO
from tenhour.words import lamps as words
from tenhour.words import remarks
from tenhour.words.text import Text, listed
from tenhour.year.answers.lampgrowth import G_PER_KG, Ground, Harvests, harvests_of
from tenhour.year.answers.lampraise import can_be_raised, raised_for
from tenhour.year.inside.lit import clocked_lamps

Array = NDArray[np.float64]

LEVELS: Final = 9
"""Levels of light on which the knee is sought, from the unlit bed's up. Judgement."""
MOST_DLI: Final = 40.0
"""Light beyond which the growth model is not asked. Judgement."""
NO_DLI: Final = 0.1
"""Light that stands for none where a logarithm is taken. Judgement."""
SAME_FRAC: Final = 0.03
"""Rungs nearer to one another than this are one. Judgement."""
DARK_D: Final = 182
"""Days counted where the dark never ends: half a year. Judgement."""
TRAY_M2: Final = 0.18
"""One tray of 30 by 60 cm. Practice."""
HUNDRED: Final = 100.0
FAIR_EVENNESS_FRAC: Final = 0.5
"""Darkest over mean that serves if trays are turned every week. Practice."""
WORTH_TURNING_FRAC: Final = 0.95
"""Less even lamps are told of if they save more than the rest of this. Judgement."""


@dataclass(frozen=True)
class Case:
    """One question about lamps over a bed, with everything that it takes to answer it."""

    bed: BedUnderLamps
    crops: tuple[Crop, ...]
    needs: tuple[LampNeed, ...]
    lamp: Lamp
    request: LampRequest
    today: date
    ground: Ground
    basis: Basis
    cautions: tuple[Mapping[str, str], ...] = ()
    harvest_by: date | None = None

    @cached_property
    def full_dli(self) -> float:
        """Light that the crops want, of the one that wants most."""
        return max(need.target_dli_mol_m2_d for need in self.needs)

    @property
    def kind(self) -> str:
        """What is counted: "kg", "plants" or "trays"."""
        ways = {crop.way for crop in self.crops}
        if ways == {"transplant"}:
            return "plants"
        return "trays" if ways <= {"seed-fed", "bulb"} else "kg"

    @cached_property
    def typical(self) -> Array:
        """Mean day by day of the year (365,)."""
        return self.job(self.full_dli).typical

    @property
    def dark(self) -> bool:
        """Whether no daylight ever comes there."""
        return not self.typical.any()

    def job(self, dli_mol_m2_d: float, sized_on: SizedOn = "mean", reason: str = "") -> Job:
        """The question for one light.

        Parameters: dli_mol_m2_d, light wanted [mol m⁻² d⁻¹]; sized_on, the day it is for; reason, why that light.
        """
        aim = replace(self.request, target_dli_mol_m2_d=dli_mol_m2_d, sized_on=sized_on, target_reason=reason)
        return job_of(self.bed, self.needs, self.lamp, aim, self.today)

    @cached_property
    def counted(self) -> tuple[date, date]:
        """First and last day over which harvest and electricity are counted: from today to the end of the dark."""
        light = max(self.full_dli, *(float(step) for step in (self.request.target_dli_mol_m2_d or 0.0,)))
        season = lamp_season(self.typical, light)
        _, on, off = season_days(season, self.today, self.request.first, self.request.last)
        first = max(self.today, on or self.today)
        return first, (off or first + timedelta(days=DARK_D)) - timedelta(days=1)

    @property
    def count_d(self) -> int:
        """How many days are counted."""
        return max((self.counted[1] - self.counted[0]).days + 1, 1)

    @property
    def sown(self) -> int:
        """Day of the generic year on which the first sowing is taken to be made."""
        return day_index(self.counted[0])

    def gathered(self, found: Sequence[Harvests], light: int) -> float:
        """Harvest of the bed under one light, mean of the crops: kilograms, or raisings of the whole bed."""
        area = 1.0 if self.kind == "plants" else self.bed.place.area_m2 * self.bed.tiers_count
        each = [harvest_in(one.days_d[light], one.each[light], self.sown, self.count_d) for one in found]
        return float(np.mean(each)) * area

    def days(self, found: Sequence[Harvests], light: int) -> float:
        """Days to harvest of the crop that wants most light; NaN where never."""
        first = max(range(len(self.needs)), key=lambda n: self.needs[n].target_dli_mol_m2_d)
        return float(found[first].days_d[light, self.sown])


@dataclass(frozen=True)
class _Levels:
    """Levels of light on the mean day, the first of them the unlit bed's, and what grows at each."""

    dli_mol_m2_d: Array
    found: tuple[Harvests, ...]
    energy_kwh: Array
    harvest: Array


@dataclass(frozen=True)
class _Plan:
    """One rung sized: its question, its fixtures, its lamps by day."""

    name: RungName
    job: Job
    sizing: Sizing
    lamps: BedLamps
    also: tuple[RungName, ...] = ()
    """Rungs so near that they are one with it."""


@dataclass(frozen=True)
class _Ladder:
    """Rungs that are sized, and those that are not, with the reason."""

    plans: tuple[_Plan, ...]
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
    ladder = _ladder(case, levels, steps, asked, reason, sized)
    plans = ladder.plans
    if not plans:
        return _no_lamps(case, case.job(case.full_dli if asked is None else asked, reason=reason))
    found = harvests_of(case.crops, case.ground, [None, *(plan.lamps for plan in plans)])
    billed = [_billed(case, plan, case.days(found, n)) for n, plan in enumerate(plans, start=1)]
    rungs = tuple(_rung(case, plan, found, n) for n, plan in enumerate(billed, start=1))
    raised, why_not = _raised(case, found)
    absent = (*why_not, *ladder.absent)
    basis = case.basis
    if raised is not None:
        billed, rungs = [raised[0], *billed], (raised[1], *rungs)
        basis = replace(basis, assumptions=(*basis.assumptions, raised[2]))
    chosen = _chosen(case, billed, asked, absent)
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
    return replace(answer, verdict=verdict(seen, rung, case.kind, case.request.worth_currency))


def _raised(
    case: Case, found: Sequence[Harvests]
) -> tuple[tuple[_Plan, LampRung, Text] | None, tuple[AbsentRung, ...]]:
    """The rung of seedlings alone, or why there is none."""
    why = _why_not_raised(case)
    if why is not None:
        return None, (AbsentRung("seedlings", why),)
    raised = raised_for(case.bed, case.crops, case.needs, case.lamp, case.request, case.ground, case.job(case.full_dli))
    if raised is None:
        return None, (AbsentRung("seedlings", words.NO_ROOM_OVER_TRAYS()),)
    grown, lit_d = raised_in(raised.days_d, raised.out_d, raised.each, case.sown, case.count_d)
    sizing = _billed_for(case, raised.sizing, case.counted[0] + timedelta(days=max(lit_d, 1) - 1), raised.job)
    lamps = _lamps(case, raised.job, sizing)
    plan = _Plan("seedlings", raised.job, sizing, lamps)
    extra = grown * case.bed.place.area_m2 * case.bed.tiers_count - case.gathered(found, 0)
    rung = _rung_of(case, plan, float(raised.days_d[case.sown]), case.days(found, 0), extra)
    return (plan, replace(rung, heat_replaced_frac=None), raised.assumed(case.bed.name)), ()


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


def _lamps(case: Case, job: Job, sizing: Sizing) -> BedLamps:
    clock = clock_of(sizing, job.bed.sun, False, job.panels_share)
    return clocked_lamps(job.bed.name, clock, sizing.clock.on_from, sizing.clock.off_from, sizing.hanging.shade_share)


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
        raise NoAnswer(f"{crop.name}: warmth, not light, sets its time; a day of harvest cannot be asked of lamps.")
    days, dli = levels.found[0].days_d[:, day_index(first)], np.maximum(levels.dli_mol_m2_d, NO_DLI)
    took = np.minimum.accumulate(np.where(np.isfinite(days), days, np.inf))
    light = float(light_for_days_mol_m2_d(took, np.asarray(float(wanted)), dli))
    air = [float(part[(day_index(first) + np.arange(wanted)) % DAYS].mean()) for part in
           (case.ground.day_degc, case.ground.night_degc)]  # fmt: skip
    said = {"crop": crop.name, "sown": first, "by": case.harvest_by, "day": air[0], "night": air[1]}
    if not np.isfinite(light):
        nearest: str = "at that warmth it never is"
        if np.isfinite(took[-1]):
            nearest = remarks.EARLIEST(on=first + timedelta(days=int(np.ceil(took[-1]))))
        raise NoAnswer(remarks.CANNOT_BE_IN(nearest=nearest, **said))
    return light, remarks.LIGHT_WANTED(light=light, **said)


def _ladder(
    case: Case, levels: _Levels, steps: tuple[Step, ...], asked: float | None, reason: str, sized: Sizing | None
) -> _Ladder:
    """The rungs over the bed, each sized; those that daylight reaches by itself are left out."""
    full = case.full_dli
    wanted: list[tuple[RungName, float, SizedOn, str]] = []
    least = min(_least(case, levels), full)
    knee = knee_dli_mol_m2_d(steps[: LEVELS - 1])
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
    for name, dli, sized_on, why in wanted:
        job = case.job(dli, sized_on, why)
        sizing = sized if sized_on == "mean" and dli == full else size_bed(job)
        same = tuple(also) if name == "steady" else ()
        if sizing is not None:
            plans.append(_Plan(name, job, sizing, _lamps(case, job, sizing), same))
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


def _billed(case: Case, plan: _Plan, days: float) -> _Plan:
    """The plan with the electricity of one raising, tray or crop alone, where that is what is asked about."""
    first, last = case.counted
    if case.kind != "kg" or case.dark:
        last = first + timedelta(days=max(int(np.ceil(days)), 1) - 1) if np.isfinite(days) else last
    return replace(plan, sizing=_billed_for(case, plan.sizing, last, plan.job))


def _billed_for(case: Case, sizing: Sizing, last: date, job: Job) -> Sizing:
    tariff = case.request.tariff
    clock = billed_until(sizing.clock, job.bed.sun, sizing.drawn_w, tariff.prices if tariff else None, last)
    return replace(sizing, clock=clock)


def _rung(case: Case, plan: _Plan, found: Sequence[Harvests], light: int) -> LampRung:
    days = case.days(found, light)
    extra = _extra(case, found, light, days) if case.kind == "kg" else None
    return _rung_of(case, plan, days, case.days(found, 0), extra)


def _rung_of(case: Case, plan: _Plan, days: float, before: float, extra: float | None) -> LampRung:
    sizing, bill = plan.sizing, plan.sizing.clock.bill
    kinds = {day.kind: day.total_dli_mol_m2_d for day in days_of(plan.job, sizing)}
    cost = bill.cost_currency if case.request.tariff else None
    per_kg = cost / extra if cost is not None and extra and extra > 0 else None
    plants = trays = None
    area = case.bed.place.area_m2 * case.bed.tiers_count
    if cost is not None and case.kind == "plants":
        density = np.mean([c.raising.tray_density_per_m2.value for c in case.crops if c.raising is not None])
        plants = cost / (area * float(density)) * HUNDRED
    if cost is not None and case.kind == "trays":
        trays = cost / area * min(TRAY_M2, area)
    each = {"kg": per_kg, "plants": None if plants is None else plants / HUNDRED, "trays": trays}[case.kind]
    worth = case.request.worth_currency
    return LampRung(
        name=plan.name,
        also=plan.also,
        power_w=sizing.power_w,
        fixtures_count=sizing.fixtures_count,
        dli_mol_m2_d=kinds["mean"],
        dull_dli_mol_m2_d=kinds["dull"],
        bright_dli_mol_m2_d=kinds["bright"],
        days_to_harvest=round(days) if np.isfinite(days) else None,
        energy_season_kwh=bill.energy_kwh,
        cost_season_currency=cost,
        extra_kg=extra,
        cost_per_kg_currency=per_kg,
        energy_per_kg_kwh=bill.energy_kwh / extra if extra and extra > 0 else None,
        cost_per_hundred_plants_currency=plants,
        cost_per_tray_currency=trays,
        days_saved=round(before - days) if np.isfinite(before) and np.isfinite(days) else None,
        heat_kwh=float(heat_w(bill.energy_kwh, case.bed.closed)),
        heat_replaced_frac=_replaced(case, sizing),
        min_mean_frac=sizing.hanging.light.min_mean_frac,
        pays=None if worth is None or each is None else each <= worth,
    )


def _replaced(case: Case, sizing: Sizing) -> float | None:
    """Share of the electricity counted that heating need not give; None where nothing is known of heating."""
    wanted, clock = case.ground.heat_kwh_d, sizing.clock
    if wanted is None or not clock.billed:
        return None
    each = clock.bill.month_energy_kwh / np.maximum(days_by_month(clock.billed), 1)
    lamps = np.array([each[day.month - 1] for day in clock.billed])
    heat = wanted[[day_index(day) for day in clock.billed]]
    return heat_replaced_frac(heat_w(lamps, case.bed.closed), heat, clock.bill.energy_kwh)


def _extra(case: Case, found: Sequence[Harvests], light: int, days: float) -> float | None:
    """What the lamps add over the unlit bed in the days counted [kg]; one crop of it where it is always dark."""
    if all(not crop.grows_by_carbon and not crop.grows_by_reserves for crop in case.crops):
        return None
    more = case.gathered(found, light) - case.gathered(found, 0)
    if case.dark and np.isfinite(days):
        more *= min(days / case.count_d, 1.0)
    return more


def _chosen(case: Case, plans: Sequence[_Plan], asked: float | None, absent: Sequence[AbsentRung]) -> int:
    names = [(plan.name, *plan.also) for plan in plans]
    wanted = case.request.rung or ("asked" if asked is not None else "steady")
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


def _turned(case: Case, plan: _Plan) -> TurnedTrays | None:
    """The same light with less even lamps, where turning the trays every week saves some of the power."""
    if case.request.evenness_frac <= FAIR_EVENNESS_FRAC:
        return None
    request = replace(plan.job.request, evenness_frac=FAIR_EVENNESS_FRAC)
    found = size_bed(replace(plan.job, request=request))
    if found is None or found.power_w > WORTH_TURNING_FRAC * plan.sizing.power_w:
        return None
    hung = found.hanging
    return TurnedTrays(found.power_w, found.fixtures_count, hung.layout.height_m, hung.light.min_mean_frac)
