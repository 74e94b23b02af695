"""The household's search on the built-in house: gap over time, and how its cost grows.

    python benchmarks/feed.py gap [seconds]      19 crops every second week, the same in its plainer form, all crops
    python benchmarks/feed.py grows [seconds]    beds, crops and weeks, one after another, beside the smallest

Three people and four hens, 35 weeks of food. Gaps are shares of the plan's cost (missing portions, money, work)
between it and the proven bound. Times depend on the machine and on what else it does; compare only within one run. With
a file name in FEED_PLOT the gaps are drawn too.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import numpy as np

from tenhour.files.crop import load_crops
from tenhour.files.house.household import household_data
from tenhour.files.house.read import demo_house
from tenhour.model.household import Animals, Household
from tenhour.plan.feed import matrix
from tenhour.plan.feed import solve as solving
from tenhour.plan.feed.program import Program
from tenhour.plan.feed.solve import Plan, Progress, Standing, solve
from tenhour.year.crops import growing
from tenhour.year.feed.asked import PLAN_SEED, SEASONS
from tenhour.year.feed.grown import grown_for
from tenhour.year.feed.offer import chosen_crops, ground_of, offer_of
from tenhour.year.world import World
from tenhour.year.year import Year

NINETEEN = (
    "spinach", "romaine", "leaf-lettuce", "head-lettuce", "kale", "chard", "pak-choi", "komatsuna", "tatsoi", "mizuna",
    "baby-lettuce", "arugula", "parsley", "cilantro", "chives", "dill", "pea-shoots", "radish-microgreens",
    "wheat-fodder",
)  # fmt: skip
Search = Callable[..., Plan]
MEALS = {"salad": 4.0, "cooked": 2.0, "herbs": 3.0}


def the_world() -> tuple[World, tuple[object, ...]]:
    """The built-in house and every crop."""
    from tenhour.door.year import sources_of

    house = demo_house()
    return Year(house, sources_of(house), load_crops()).world, tuple(load_crops())


def program(world: World, crops: tuple[object, ...], likes: tuple[str, ...], step: int, end: date) -> Program:
    """Three people and four hens from 10 August, eating from 28 September."""
    household = Household(3, date(2026, 9, 28), end, MEALS, likes=likes, animals=(Animals("hen", 4, 25.0),))
    chosen = chosen_crops(household, crops, household_data(), "")
    chosen = tuple(crop for crop in chosen if not likes or crop.key in likes)
    on, surety = date(2026, 8, 10), household.surety_frac
    ground = ground_of(world, household, chosen, household_data(), on, step_weeks=step)
    grown = grown_for(ground, growing.seasons_of(world, chosen, SEASONS, PLAN_SEED), (surety,))
    return offer_of(ground, grown, household, surety, on).program


def watched(name: str, one: Program, seconds: float, search: Search = solve) -> list[tuple[float, float]]:
    """Search and print how the gap falls."""
    told: list[tuple[float, float]] = []
    first = [np.nan]

    def tell(now: Standing) -> None:
        if np.isnan(first[0]):
            first[0] = now.seconds_s
        if now.bound_currency > 0.0:
            told.append((now.seconds_s, (now.best_currency - now.bound_currency) / now.best_currency))

    begin, used = time.monotonic(), time.process_time()
    plan = search(one, seconds_s=seconds, progress=tell)
    took, cpu = time.monotonic() - begin, time.process_time() - used
    marks = [at for at in (10, 20, 30, 60, 90, 120) if told and told[0][0] <= at <= took]
    gaps = ", ".join(f"{at} s {min(gap for when, gap in told if when <= at):.1%}" for at in marks)
    print(
        f"{name:22s} {len(one.sowings.crop):5d} sowings {len(one.lots.sowing):6d} lots: plan {plan.cost_currency:.2f}, "
        f"bound {plan.bound_currency:7.2f}, gap {plan.gap_frac:5.1%} in {took:.0f} s ({cpu:.0f} s of processor), "
        f"missing {plan.missing_weight:.2f}, first word after {first[0]:.0f} s; {gaps}",
        flush=True,
    )
    return [*told, (took, plan.gap_frac)]


def plainly(one: Program, *, seconds_s: float, progress: Progress) -> Plan:
    """The same instance, plainer and from nothing: sowings capped by what fits and can be eaten, lots not, no
    row of variety, no plan to start from, one search of the whole.
    """
    lots = replace(one.lots, most_units_count=np.full(len(one.lots.sowing), np.inf))
    varied, matrix._varied = matrix._varied, lambda *_: None
    try:
        rows = matrix.matrix_of(replace(one, lots=lots))
    finally:
        matrix._varied = varied
    aim = rows.cost_currency + one.prices.missing_currency * rows.missing_weight
    found = solving._searched(rows, aim, seconds_s, solving.GAP_FRAC, None, progress)
    assert found is not None
    known = (found.values, found.cost_currency)
    case = solving._Case(one, rows, aim, "", solving._Clock(seconds_s, None))
    return case.told(known, solving._Known(0.0, found.bound_currency))


def draw(curves: dict[str, list[tuple[float, float]]]) -> None:
    """Draw the gaps into the file that FEED_PLOT names."""
    if not os.environ.get("FEED_PLOT"):
        return
    from matplotlib.figure import Figure
    from matplotlib.ticker import PercentFormatter

    figure = Figure(figsize=(7.0, 3.6))
    axes = figure.add_subplot()
    for name, points in curves.items():
        axes.step(*zip(*points, strict=True), where="post", label=name)
    axes.set(xlabel="seconds", ylabel="gap to the proven bound", yscale="log", ylim=(0.02, 1.0))
    axes.set_yticks([0.02, 0.05, 0.1, 0.2, 0.5, 1.0])
    axes.yaxis.set_major_formatter(PercentFormatter(1.0))
    axes.grid(alpha=0.3)
    axes.legend()
    figure.savefig(os.environ["FEED_PLOT"], metadata={"Date": None})


def main() -> None:
    what = sys.argv[1] if len(sys.argv) > 1 else "gap"
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 60.0
    world, crops = the_world()
    end = date(2027, 5, 30)
    if what == "gap":
        one = program(world, crops, NINETEEN, 2, end)
        draw({
            "19 crops, every second week": watched("19 crops, fortnightly", one, seconds),
            "the same, plainer form": watched("the same, plainer", one, seconds, plainly),
            "all crops, every week": watched("all crops, weekly", program(world, crops, (), 1, end), 2.0 * seconds),
        })  # fmt: skip
    else:
        for beds in (1, 2, len(world.house.beds)):
            some = world.of_beds(world.bed_names[:beds])
            watched(f"{beds} beds", program(some, crops, NINETEEN, 2, end), seconds)
        for step in (4, 2, 1):  # each has some of every kind of food
            some_crops = NINETEEN[::step]
            watched(f"{len(some_crops)} crops", program(world, crops, some_crops, 2, end), seconds)
        for stop in (date(2026, 12, 20), date(2027, 2, 28), end):
            watched(f"to {stop}", program(world, crops, NINETEEN, 2, stop), seconds)


if __name__ == "__main__":
    main()
