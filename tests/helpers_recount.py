"""A plan counted again from its list of lots, in plain Python, without the solver's rows."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

from tenhour.plan.feed.program import NONE, Program
from tenhour.plan.feed.solve import Plan


@dataclass(frozen=True)
class Recount:
    """What a plan breaks and what it comes to; every worst is 0 or a rounding error for a plan that holds."""

    over_full_m2: float
    over_eaten_g: float
    over_served_count: float
    over_worked_min: float
    nursery_over_m2: float
    unlit_m2: float
    over_drawn_a: float
    missing_weight: float
    money_currency: float
    work_min: float


def recount(program: Program, plan: Plan) -> Recount:
    """Go through the lots of a plan one by one.

    Method: sums in dictionaries; nothing of the solver's matrix is used, so an error there shows here.
    """
    ground: dict[tuple[int, int], float] = defaultdict(float)
    lit: dict[tuple[int, int], float] = defaultdict(float)
    nursery: dict[int, float] = defaultdict(float)
    work: dict[int, float] = defaultdict(float)
    harvest: dict[tuple[int, int], float] = defaultdict(float)
    money = minutes = 0.0
    sowings, weeks = program.sowings, program.weeks
    yields = program.lots.yield_g.toarray()
    for lot, units in plan.lots:
        number = int(program.lots.sowing[lot])
        crop, place = int(sowings.crop[number]), int(sowings.place[number])
        area = units * float(sowings.unit_m2[number])
        for week in range(int(program.lots.first_week[lot]), int(program.lots.last_week[lot]) + 1):
            ground[int(program.places.bed[place]), week] += area
            if program.places.lamp[place] != NONE:
                lit[int(program.places.lamp[place]), week] += area
        sown = int(sowings.week[number])
        for week in range(sown, sown + int(sowings.nursery_weeks_count[number])):
            nursery[week] += units * float(sowings.nursery_m2[number])
            if program.limits.nursery_bed != NONE:
                ground[program.limits.nursery_bed, week] += units * float(sowings.nursery_m2[number])
        money += units * float(sowings.unit_currency[number])
        work[sown] += units * float(sowings.unit_min[number])
        for week in range(max(int(program.lots.first_week[lot]), 0), min(int(program.lots.last_week[lot]) + 1, weeks)):
            work[week] += units * float(sowings.week_min[number])
        for week in range(weeks):
            grams = units * float(yields[lot, week])
            harvest[crop, week] += grams
            work[week] += grams * float(program.harvest_min_per_g[crop])
    for number in {int(program.lots.sowing[lot]) for lot, _ in plan.lots}:
        work[int(sowings.week[number])] += float(sowings.fixed_min[number])
    minutes = sum(work.values())
    for lamp, week in plan.burns:
        money += float(program.lamps.week_currency[lamp, week])
    money += sum(float(program.lamps.buy_currency[lamp]) for lamp in plan.lamps)
    money += _trays_at_once(program, plan) * program.tray_currency
    burning = set(plan.burns)
    return Recount(
        over_full_m2=max(
            (m2 - program.places.bed_m2[bed] for (bed, w), m2 in ground.items() if 0 <= w < weeks), default=0.0
        ),
        over_eaten_g=_over_eaten(program, plan, harvest),
        over_served_count=_over_served(program, plan),
        over_worked_min=max((m - program.limits.work_min[w] for w, m in work.items() if 0 <= w < weeks), default=0.0),
        nursery_over_m2=max((m2 - program.limits.nursery_m2 for m2 in nursery.values()), default=0.0),
        unlit_m2=max((m2 for key, m2 in lit.items() if key not in burning), default=0.0),
        over_drawn_a=_drawn_a(program, plan) - program.limits.lamps_a,
        missing_weight=sum(
            float(program.wishes.weight[wish])
            * (float(program.wishes.portions_count[wish, week]) - _served(program, plan, wish, week))
            for wish in range(len(program.wishes.weight))
            for week in range(weeks)
        ),
        money_currency=money,
        work_min=minutes,
    )


def _drawn_a(program: Program, plan: Plan) -> float:
    """Current of all lamps that are bought."""
    drawn = program.lamps.current_a
    return 0.0 if drawn is None else sum(float(drawn[lamp]) for lamp in plan.lamps)


def _trays_at_once(program: Program, plan: Plan) -> int:
    """Whole trays for the most that lie there in any week."""
    lying: dict[int, float] = defaultdict(float)
    for lot, units in plan.lots:
        number = int(program.lots.sowing[lot])
        if program.sowings.tray[number]:
            for week in range(int(program.lots.first_week[lot]), int(program.lots.last_week[lot]) + 1):
                lying[week] += units * float(program.sowings.unit_m2[number]) / program.tray_m2
    return math.ceil(max(lying.values(), default=0.0) - 1e-6)


def _served(program: Program, plan: Plan, wish: int, week: int) -> float:
    return sum(
        float(plan.eaten_count[pair, week])
        for pair in range(len(program.wishes.pair_crop))
        if program.wishes.pair_wish[pair] == wish
    )


def _over_served(program: Program, plan: Plan) -> float:
    wishes = program.wishes
    return max(
        _served(program, plan, wish, week) - float(wishes.portions_count[wish, week])
        for wish in range(len(wishes.weight))
        for week in range(program.weeks)
    )


def _over_eaten(program: Program, plan: Plan, harvest: dict[tuple[int, int], float]) -> float:
    """Most grams eaten beyond what was harvested in the weeks it keeps, first in first out."""
    worst = 0.0
    for crop in range(program.crops):
        keeps = int(program.keep_weeks_count[crop])
        larder = [0.0] * (keeps + 1)  # grams by age in weeks
        for week in range(program.weeks):
            larder = [harvest[crop, week], *larder[:-1]]
            eaten = sum(
                float(plan.eaten_count[pair, week]) * float(program.wishes.pair_portion_g[pair])
                for pair in range(len(program.wishes.pair_crop))
                if program.wishes.pair_crop[pair] == crop
            )
            for age in reversed(range(keeps + 1)):
                taken = min(eaten, larder[age])
                larder[age] -= taken
                eaten -= taken
            worst = max(worst, eaten)
    return worst
