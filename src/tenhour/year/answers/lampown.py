"""What lamps that are there already can do over a bed: hung better first, then longer hours, then more of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.lamps.layout import search_heights_m
from tenhour.lamps.search import FAIR_EVENNESS_FRAC
from tenhour.model.lamp import Lamp, LampSize, OwnLamps, OwnStep
from tenhour.model.lamp_answer import LampAnswer, LampRung, OwnRow
from tenhour.plan.lamp_hang import Hanging, hang_given, heights_m
from tenhour.plan.lamp_job import Job, Sizing
from tenhour.plan.lamp_needs import demand
from tenhour.plan.lamp_words import own_headline, verdict
from tenhour.plan.lighting import answer_of, basis_of, job_of, size_hung
from tenhour.year.answers.lampcase import Case, Plan, lamps_by_day, plan_billed, rung_under, with_heating
from tenhour.year.answers.lampgrowth import harvests_of

HEIGHTS: Final = 5
"""Heights tried. Judgement."""
ENOUGH_FRAC: Final = 0.99
"""Lamps that give so much of the light worth reaching are enough. Judgement."""
SAME_HEIGHT_M: Final = 0.03
SAME_H: Final = 0.25
"""Heights and hours nearer to one another than this are one. Judgement."""


@dataclass(frozen=True)
class _Way:
    """One way to hang and run them."""

    step: OwnStep
    job: Job
    sizing: Sizing


def one_size(lamp: Lamp, longest_m: float) -> Lamp:
    """The lamp with the one size that is taken to be there: the longest no longer than the bed.

    Parameters: longest_m, longer side of the bed [m].
    """
    fitting = [size for size in lamp.sizes if size.length_m <= longest_m]

    def length(size: LampSize) -> float:
        return size.length_m

    return replace(lamp, sizes=(max(fitting, key=length) if fitting else min(lamp.sizes, key=length),))


def with_own(case: Case, answer: LampAnswer, dli_mol_m2_d: float) -> LampAnswer:
    """The answer about lamps that are there already, in the place of that about lamps to buy.

    Parameters: case, whose lamp has one size and whose request names them; answer, with the ladder; dli_mol_m2_d, light
        of the rung that is worth reaching.
    Errors: FileProblem where they find no room over the bed.
    """
    own = case.request.own
    assert own is not None
    ways = _ways(case, own, answer, dli_mol_m2_d)
    if not ways:
        return answer
    plans = [Plan("asked", way.job, way.sizing, lamps_by_day(way.job, way.sizing)) for way in ways]
    found = harvests_of(case.crops, case.ground, [None, *(plan.lamps for plan in plans)])
    bills = with_heating(case, [plan_billed(case, plan, case.days(found, n)) for n, plan in enumerate(plans, 1)])
    rungs = [rung_under(case, plan, found, n) for n, plan in enumerate(bills, start=1)]
    rows = tuple(_row(way, rung) for way, rung in zip(ways, rungs, strict=True))
    last = max(n for n, way in enumerate(ways) if way.step != "more")
    plan, rung = bills[last], rungs[last]
    planned = answer_of(plan.job, basis_of(plan.job, case.basis, case.cautions), plan.sizing)
    steady = next((one for one in answer.ladder if "steady" in (one.name, *one.also)), None)
    area = case.bed.place.area_m2
    share = 1.0 if steady is None else min(own.count / max(steady.fixtures_count / case.bed.tiers_count, 1), 1.0)
    planned = replace(
        planned,
        own=rows,
        own_for_m2=area * share,
        ladder=answer.ladder,
        absent=answer.absent,
        knee=answer.knee,
        unlit=answer.unlit,
        counted_from=answer.counted_from,
        counted_to=answer.counted_to,
        heat_replaced_frac=rung.heat_replaced_frac,
        chosen=None,
    )
    told = verdict(planned, rung, case.kind, case.request.worth_currency)
    return replace(planned, verdict=told, headline=own_headline(planned, rows, dli_mol_m2_d))


def _ways(case: Case, own: OwnLamps, answer: LampAnswer, dli: float) -> list[_Way]:
    """As they are, hung better, run longer, and with as many more as the light worth reaching takes."""
    longest = demand(case.needs, replace(case.request, hours_h=None)).hours_h
    hours = min(own.hours_h or longest, longest) if case.request.hours_h is None else case.request.hours_h
    better = _hung_better(case, own)
    ways: list[_Way] = []
    if own.height_m is not None:
        as_it_is = _hung(case, own.count, own.height_m)
        ways += _way("as it is", case, as_it_is, hours, dli)
        there = own.height_m - better.layout.height_m
        if abs(there) > SAME_HEIGHT_M:
            ways += _way("lower" if there > 0 else "raise", case, better, hours, dli)
        else:
            better = as_it_is
    else:
        ways += _way("as it is", case, better, hours, dli)
    if longest - hours > SAME_H and case.request.hours_h is None:
        ways += _way("longer", case, better, longest, dli)
    if not ways or ways[-1].sizing.run_umol_m2_s >= ways[-1].sizing.needed_umol_m2_s * ENOUGH_FRAC:
        return ways
    more = _enough(answer, own.count, case.bed.tiers_count)
    if more is not None:
        hanging = hang_given(case.bed.place, case.lamp, more, better.layout.height_m)
        if hanging is not None:
            ways += _way("more", case, hanging, max(hours, ways[-1].job.need.hours_h), dli)
    return ways


def _enough(answer: LampAnswer, count: int, tiers_count: int) -> int | None:
    """How many the steady rung takes over one bed, at least one more; None where no rung is steady."""
    steady = next((one for one in answer.ladder if "steady" in (one.name, *one.also)), None)
    return None if steady is None else max(steady.fixtures_count // tiers_count, count + 1)


def _way(step: OwnStep, case: Case, hanging: Hanging, hours_h: float, dli: float) -> list[_Way]:
    request = replace(case.request, hours_h=hours_h, target_dli_mol_m2_d=dli, sized_on="mean", target_reason="")
    job = job_of(case.bed, case.needs, case.lamp, request, case.today)
    sizing = size_hung(job, hanging)
    return [] if sizing is None else [_Way(step, job, sizing)]


def _hung_better(case: Case, own: OwnLamps) -> Hanging:
    """The lowest height at which they are even enough for trays that are turned, or else the most even one."""
    lowest, highest = heights_m(case.bed.place, case.lamp, case.request.headroom_m)
    heights = {*search_heights_m(lowest, highest, HEIGHTS).tolist(), *([own.height_m] if own.height_m else [])}
    tried = [_hung(case, own.count, height) for height in sorted(heights)]
    fair = [one for one in tried if one.light.min_mean_frac >= FAIR_EVENNESS_FRAC]
    return fair[0] if fair else max(tried, key=lambda one: one.light.min_mean_frac)


def _hung(case: Case, count: int, height_m: float) -> Hanging:
    found = hang_given(case.bed.place, case.lamp, count, height_m)
    if found is None:
        size = case.lamp.sizes[0]
        what = f"{count} of {size.length_m:g} by {size.width_m:g} m"
        raise FileProblem([Problem(ARGUMENT, "own_count", what, "columns and rows that fit the bed", "Take fewer.")])
    return found


def _row(way: _Way, rung: LampRung) -> OwnRow:
    layout = way.sizing.hanging.layout
    return OwnRow(
        step=way.step,
        fixtures_count=way.sizing.fixtures_count,
        height_m=layout.height_m,
        hours_h=way.sizing.hours_h,
        dli_mol_m2_d=rung.dli_mol_m2_d,
        min_mean_frac=way.sizing.hanging.light.min_mean_frac,
        days_to_harvest=rung.days_to_harvest,
        energy_season_kwh=rung.energy_season_kwh,
        cost_season_currency=rung.cost_season_currency,
        extra_kg=rung.extra_kg,
        cost_per_kg_currency=rung.cost_per_kg_currency,
        cost_per_hundred_plants_currency=rung.cost_per_hundred_plants_currency,
        cost_per_tray_currency=rung.cost_per_tray_currency,
        power_w=rung.power_w,
        dull_dli_mol_m2_d=rung.dull_dli_mol_m2_d,
    )
