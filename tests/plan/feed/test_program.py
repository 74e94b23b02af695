"""The household's program against closed forms, brute force, and a count of its plans without the solver."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain, combinations, product
from typing import Any, NoReturn

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import sparse

import tenhour.plan.feed.solve as solving
from helpers_long import many
from helpers_recount import recount
from tenhour.plan.feed.matrix import costs_currency, matrix_of
from tenhour.plan.feed.program import (
    NONE,
    LampCosts,
    Limits,
    Lots,
    Places,
    Prices,
    Program,
    Sowings,
    Wishes,
)
from tenhour.plan.feed.solve import GAP_FRAC, least_cost_currency, least_missing, least_parts, served, solve

FREE = Prices(hour_currency=0.0, missing_currency=100.0, kind_currency=0.0, day_currency=0.0)


def program(
    lots: list[tuple[int, int, int, dict[int, float]]],
    sowings: list[dict[str, Any]],
    wanted: list[list[float]],
    *,
    bed_m2: tuple[float, ...] = (10.0,),
    pairs: list[tuple[int, int, float]] | None = None,
    **more: Any,
) -> Program:
    """A small program; lots are (sowing, first week, last week, {week: grams})."""
    weeks = len(wanted[0])
    grams = np.zeros((len(lots), weeks))
    for number, (_, _, _, gives) in enumerate(lots):
        for week, gram in gives.items():
            grams[number, week] = gram
    usual = {
        "crop": 0, "place": 0, "week": 0, "tray": False, "unit_m2": 1.0, "least_units_count": 0.0,
        "most_units_count": 10.0, "nursery_m2": 0.0, "nursery_weeks_count": 0, "unit_currency": 0.0,
        "fixed_min": 0.0, "unit_min": 0.0, "week_min": 0.0, "must": False, "kept_units_count": 0.0,
    }  # fmt: skip
    columns = {name: np.array([{**usual, **sowing}[name] for sowing in sowings]) for name in usual}
    crops = int(columns["crop"].max()) + 1
    pairs = pairs or [(crop, 0, 60.0) for crop in range(crops)]
    places = int(columns["place"].max()) + 1
    fields: dict[str, Any] = {
        "lamps": LampCosts(np.zeros(0), np.zeros((0, weeks))),
        "limits": Limits(work_min=np.full(weeks, np.inf)),
        "places": Places(np.arange(places), np.full(places, NONE), np.array(bed_m2)),
        "crop_family": np.zeros(crops, dtype=np.intp),
        "keep_weeks_count": np.zeros(crops, dtype=np.intp),
        "harvest_min_per_g": np.zeros(crops),
        "prices": FREE,
    }
    wishes = Wishes(
        np.array(wanted, dtype=float), np.ones(len(wanted)), np.ones(len(wanted)),
        *(np.array([pair[n] for pair in pairs]) for n in range(3)),
    )  # fmt: skip
    return Program(
        lots=Lots(
            *(np.array([lot[n] for lot in lots], dtype=np.intp) for n in range(3)),
            sparse.csr_array(grams),
            np.full(len(lots), np.inf),
        ),
        sowings=Sowings(**columns),
        wishes=wishes,
        **{**fields, **more},
    )


def test_area_of_a_week_of_salad_is_the_meal_over_the_yield() -> None:
    # closed form: 60 g x 3 people x 4 meals at 1800 g a square metre
    one = program([(0, 0, 5, {5: 1800.0})], [{"unit_currency": 1.0}], [[0, 0, 0, 0, 0, 12.0]])
    plan = solve(one)
    assert plan.lots[0][1] == pytest.approx(60 * 3 * 4 / 1800, abs=1e-6)


@pytest.mark.parametrize(("bed", "missing"), [(2.4, 0.0), (2.0, 2.0 * 20 / 12 * 12 / 20)])
def test_a_lot_every_week_that_stands_six_weeks_needs_six_times_its_area(bed: float, missing: float) -> None:
    # closed form: 0.4 m² a week that stands five weeks and the week of its harvest fills 2.4 m²
    weeks = 26
    sowings = [{"week": week, "most_units_count": 5.0} for week in range(weeks - 5)]
    lots = [(week, week, week + 5, {week + 5: 1800.0}) for week in range(weeks - 5)]
    wanted = [[0.0] * 5 + [12.0] * 20 + [0.0]]
    least = least_missing(program(lots, sowings, wanted, bed_m2=(bed,)))
    assert (least < 1e-6) == (missing == 0.0)


def test_two_trays_a_week_of_twelve_days_need_four_places() -> None:
    # closed form: trays a week times weeks that each lies, ceil(12 / 7) = 2
    weeks = 8
    sowings = [
        {"week": week, "tray": True, "unit_m2": 0.125, "most_units_count": 5.0, "least_units_count": 1.0}
        for week in range(weeks - 1)
    ]
    lots = [(week, week, week + 1, {week + 1: 60.0}) for week in range(weeks - 1)]
    wanted = [[0.0] + [2.0] * (weeks - 1)]
    for places, enough in ((4, True), (3, False)):
        plan = solve(program(lots, sowings, wanted, bed_m2=(places * 0.125,)))
        assert (plan.missing_weight < 1e-6) == enough


def test_missing_falls_by_ten_meals_for_a_square_metre_that_gives_ten() -> None:
    # closed form: 12 meals wanted, 1 m² gives 10
    one = program([(0, 0, 1, {1: 600.0})], [{}], [[0.0, 12.0]], bed_m2=(1.0,))
    more = replace(one, places=replace(one.places, bed_m2=np.array([1.1])))
    assert least_missing(one) == pytest.approx(2.0)
    assert least_missing(one) - least_missing(more) == pytest.approx(1.0)


def test_two_weeks_of_eight_meals_at_ten_a_square_metre_cost_three_a_square_metre() -> None:
    # closed form: 2 x 8 / 10 m² x 3
    sowings = [{"unit_currency": 3.0}, {"unit_currency": 3.0}]
    two = program([(0, 0, 1, {1: 600.0}), (1, 0, 2, {2: 600.0})], sowings, [[0.0, 8.0, 8.0]])
    assert solve(two).cost_currency == pytest.approx(4.8)


@pytest.mark.parametrize("seed", range(many(12, 200)))
def test_lot_sizing_with_holding_equals_trying_every_set_of_sowings(seed: int) -> None:
    rng = np.random.default_rng(seed)
    weeks, hold = int(rng.integers(3, 8)), int(rng.integers(1, 4))
    fixed = rng.uniform(1.0, 8.0, weeks)
    price = rng.uniform(0.5, 2.0, weeks)
    wanted = rng.integers(0, 9, weeks).astype(float)
    sowings = [
        {"week": w, "unit_currency": price[w], "fixed_min": fixed[w] * 60.0, "most_units_count": 99.0}
        for w in range(weeks)
    ]
    lots = [
        (week, week, last, {last: 60.0}) for week in range(weeks) for last in range(week, min(week + hold + 1, weeks))
    ]
    prices = Prices(hour_currency=1.0, missing_currency=100.0, kind_currency=0.0, day_currency=0.0)
    found = solve(program(lots, sowings, [list(wanted)], bed_m2=(999.0,), prices=prices)).cost_currency
    best = min(
        sum(fixed[list(open_)])
        + sum(wanted[t] * min([price[s] for s in open_ if s <= t <= s + hold], default=100.0) for t in range(weeks))
        for open_ in chain.from_iterable(combinations(range(weeks), n) for n in range(weeks + 1))
    )
    assert found == pytest.approx(best, rel=0.0051)


@pytest.mark.parametrize("seed", range(many(6, 120)))
def test_packing_of_two_beds_equals_trying_every_choice(seed: int) -> None:
    rng = np.random.default_rng(seed)
    weeks, count = 6, int(rng.integers(4, 8))
    first = rng.integers(0, weeks, count)
    last = np.minimum(first + rng.integers(0, 4, count), weeks - 1)
    size, beds = rng.uniform(0.2, 1.0, count), rng.uniform(0.6, 1.6, 2)
    meals = rng.integers(1, 9, count).astype(float)
    sowings, lots = [], []
    for n, bed in product(range(count), range(2)):
        sowings.append({"crop": n, "place": bed, "week": int(first[n]), "tray": True, "unit_m2": size[n],
                        "most_units_count": 1.0, "least_units_count": 1.0})  # fmt: skip
        lots.append((len(lots), int(first[n]), int(last[n]), {int(last[n]): 60.0 * meals[n]}))
    wanted = np.zeros((count, weeks))
    wanted[np.arange(count), last] = meals
    pairs = [(n, n, 60.0) for n in range(count)]
    least = solve(program(lots, sowings, wanted.tolist(), bed_m2=tuple(beds), pairs=pairs)).missing_weight
    best = np.inf
    for choice in product((NONE, 0, 1), repeat=count):
        used = np.zeros((2, weeks))
        for n, bed in enumerate(choice):
            if bed != NONE:
                used[bed, first[n] : last[n] + 1] += size[n]
        if (used <= beds[:, None] + 1e-12).all():
            best = min(best, sum(meals[n] for n in range(count) if choice[n] == NONE))
    assert least == pytest.approx(best, abs=1e-6)


def household(seed: int, tray_currency: float = 0.0) -> Program:
    """A random household with everything in it: trays, raised plants, lamps, kept food, families, two wishes."""
    rng = np.random.default_rng(seed)
    weeks, count = 10, 14
    sowings, lots = [], []
    for number in range(count):
        crop, week = int(rng.integers(0, 5)), int(rng.integers(0, 6))
        raised = int(rng.integers(0, 3)) if crop != 4 else 0
        sowings.append(
            {"crop": crop, "place": 2 if crop == 4 else int(rng.integers(0, 2)), "week": week, "tray": crop == 4,
             "unit_m2": 0.125 if crop == 4 else 1.0, "least_units_count": 1.0 if crop == 4 else 0.1,
             "most_units_count": 4.0 if crop == 4 else 2.0, "nursery_m2": 0.1 if raised else 0.0,
             "nursery_weeks_count": raised, "unit_currency": float(rng.uniform(0.1, 2.0)), "fixed_min": 8.0,
             "unit_min": 6.0, "week_min": 7.0 if crop == 4 else 0.0}
        )  # fmt: skip
        lasts = range(week + raised + 1, min(week + raised + 4, weeks))
        lots += [(number, week + raised, last, {last: float(rng.uniform(200.0, 2000.0))}) for last in lasts]
    wanted = rng.integers(0, 9, (2, weeks)).astype(float)
    pairs = [(crop, wish, 60.0 + 40.0 * wish) for crop in range(5) for wish in range(2) if (crop + wish) % 3]
    return program(
        lots, sowings, wanted.tolist(), pairs=pairs,
        places=Places(np.array([0, 1, 1]), np.array([NONE, NONE, 0]), np.array([1.5, 1.0])),
        lamps=LampCosts(np.array([3.0]), np.full((1, weeks), 0.2), current_a=np.array([9.0])),
        crop_family=np.array([0, 0, 1, 1, 2]), keep_weeks_count=np.array([1, 0, 1, 4, 0]),
        harvest_min_per_g=np.full(5, 0.012), prices=Prices(missing_currency=20.0), tray_currency=tray_currency,
        limits=Limits(
            np.full(weeks, 90.0), nursery_m2=0.15, nursery_bed=seed % 3 - 1, lamps_a=float(rng.choice([8.0, 12.8])),
            most_sowings_count=9, budget_currency=30.0, rest_weeks_count=1,
        ),
    )  # fmt: skip


@pytest.mark.parametrize("trays", [0.0, 3.0])
@pytest.mark.parametrize("seed", range(many(4, 12)))
def test_a_plan_counted_again_by_hand_holds_and_comes_to_the_same(seed: int, trays: float) -> None:
    one = household(seed, trays)
    plan = solve(one)
    found = recount(one, plan)
    worst = (found.over_full_m2, found.over_eaten_g / 100, found.over_served_count, found.over_worked_min,
             found.nursery_over_m2, found.unlit_m2, found.over_drawn_a)  # fmt: skip
    assert max(worst) < 1e-6
    assert found.missing_weight == pytest.approx(plan.missing_weight, abs=1e-6)
    cost = (
        found.money_currency + found.work_min * one.prices.hour_currency / 60.0
        + one.prices.missing_currency * found.missing_weight
    )  # fmt: skip
    assert cost == pytest.approx(plan.cost_currency, abs=1e-6)
    assert plan.bound_currency <= plan.cost_currency + 1e-6
    assert plan.missing_least_weight <= plan.missing_weight + 1e-6


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_more_of_anything_is_never_worse(seed: int) -> None:
    one = household(seed)
    before = least_missing(one)
    wider = replace(one, places=replace(one.places, bed_m2=one.places.bed_m2 * 1.2))
    freer = replace(one, limits=replace(one.limits, work_min=one.limits.work_min * 1.5))
    richer = replace(one, limits=replace(one.limits, budget_currency=60.0))
    assert max(least_missing(other) for other in (wider, freer, richer)) <= before + 1e-6


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_everything_doubled_doubles_what_is_missing(seed: int) -> None:
    one = household(seed)
    limits, sowings = one.limits, one.sowings
    two = replace(
        one,
        wishes=replace(one.wishes, portions_count=2 * one.wishes.portions_count),
        places=replace(one.places, bed_m2=2 * one.places.bed_m2),
        sowings=replace(sowings, most_units_count=2 * sowings.most_units_count, fixed_min=0 * sowings.fixed_min),
        limits=replace(limits, work_min=2 * limits.work_min, nursery_m2=2 * limits.nursery_m2, budget_currency=np.inf,
                       most_sowings_count=np.inf),
    )  # fmt: skip
    same = replace(
        one,
        sowings=replace(sowings, fixed_min=0 * sowings.fixed_min),
        limits=replace(limits, budget_currency=np.inf, most_sowings_count=np.inf),
    )
    assert least_missing(two) == pytest.approx(2 * least_missing(same), abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_lots_does_not_move_the_optimum(seed: int) -> None:
    one = household(seed)
    order = np.random.default_rng(seed).permutation(len(one.lots.sowing))
    lots = one.lots
    mixed = replace(
        one,
        lots=Lots(
            lots.sowing[order],
            lots.first_week[order],
            lots.last_week[order],
            sparse.csr_array(lots.yield_g[order]),
            lots.most_units_count[order],
        ),
    )
    assert solve(mixed).cost_currency == pytest.approx(solve(one).cost_currency, rel=0.0051)


@pytest.mark.parametrize("seed", range(many(2, 20)))
def test_names_of_crops_and_beds_do_not_move_the_optimum(seed: int) -> None:
    """Crops, wishes and beds numbered otherwise: the same least missing and, within the solver's gap, the same cost."""
    one = household(seed)
    rng = np.random.default_rng(seed)
    crop, wish, bed = rng.permutation(5), rng.permutation(2), np.array([1, 0])
    back, other = np.argsort(crop), np.argsort(wish)
    wishes = one.wishes
    mixed = replace(
        one,
        sowings=replace(one.sowings, crop=crop[one.sowings.crop]),
        places=replace(one.places, bed=bed[one.places.bed], bed_m2=one.places.bed_m2[bed]),
        wishes=replace(
            wishes, portions_count=wishes.portions_count[other], weight=wishes.weight[other],
            most_share=wishes.most_share[other], pair_crop=crop[wishes.pair_crop], pair_wish=wish[wishes.pair_wish],
        ),
        crop_family=one.crop_family[back], keep_weeks_count=one.keep_weeks_count[back],
        harvest_min_per_g=one.harvest_min_per_g[back],
        limits=replace(one.limits, nursery_bed=int([*bed, NONE][one.limits.nursery_bed])),
    )  # fmt: skip
    assert least_missing(mixed) == pytest.approx(least_missing(one), abs=1e-6)
    assert solve(mixed).cost_currency == pytest.approx(solve(one).cost_currency, rel=0.0051)


def test_variety_asks_for_two_sowings_also_of_the_relaxed_program() -> None:
    # closed form: no crop fills more than two thirds of twelve portions, so two sowings of 0.8 each, not one and a half
    sowings = [{"crop": n, "fixed_min": 8.0} for n in range(3)]
    prices = Prices(hour_currency=6.0, missing_currency=100.0)
    one = program([(n, 0, 1, {1: 600.0}) for n in range(3)], sowings, [[0.0, 12.0]], prices=prices)
    one = replace(one, wishes=replace(one.wishes, most_share=np.array([2.0 / 3.0])))
    assert least_cost_currency(one) == pytest.approx(1.6)
    assert solve(one).cost_currency == pytest.approx(1.6)


def test_trays_are_bought_for_the_most_that_lie_at_once() -> None:
    # closed form: two trays a week of two weeks each lie four at once, at 3 each; nothing else costs
    weeks = 6
    sowings = [{"week": week, "tray": True, "unit_m2": 0.125, "least_units_count": 1.0} for week in range(weeks - 1)]
    lots = [(week, week, week + 1, {week + 1: 60.0}) for week in range(weeks - 1)]
    one = program(lots, sowings, [[0.0] + [2.0] * (weeks - 1)], tray_currency=3.0)
    assert solve(one).cost_currency == pytest.approx(12.0)
    assert solve(replace(one, limits=replace(one.limits, budget_currency=9.0))).missing_weight == pytest.approx(2.0)


def test_seedlings_take_the_ground_of_the_bed_that_the_nursery_stands_on() -> None:
    # closed form: 12 portions of 60 g at 600 g/m² are 1.2 m², raised on 0.1 m² a square metre: a nursery of 0.06 m²
    # raises half of it; on a bed of 0.09 m² whose other crop asks for 0.03 m² the same half
    raised = {"place": 1, "week": 0, "nursery_m2": 0.1, "nursery_weeks_count": 2}
    here = {"crop": 1, "week": 0}
    lots = [(0, 2, 3, {3: 600.0}), (1, 0, 3, {3: 6000.0})]
    pairs = [(0, 0, 60.0), (1, 1, 60.0)]
    one = program(lots, [raised, here], [[0.0, 0.0, 0.0, 12.0], [0.0, 0.0, 0.0, 3.0]], bed_m2=(0.09, 10.0), pairs=pairs)
    small = replace(one, limits=replace(one.limits, nursery_m2=0.06))
    on_bed = replace(one, limits=replace(one.limits, nursery_bed=0))
    assert [least_missing(program) for program in (one, small, on_bed)] == pytest.approx([0.0, 6.0, 6.0])


def test_seedlings_that_stand_already_leave_the_less_room_in_the_nursery() -> None:
    # closed form: of 0.1 m² 0.04 are taken for two weeks more, so 0.6 m² are raised of the 1.2 m² wanted
    old = {"crop": 1, "week": -1, "nursery_m2": 0.1, "nursery_weeks_count": 3, "least_units_count": 0.4,
           "most_units_count": 0.4}  # fmt: skip
    new = {"crop": 0, "week": 0, "nursery_m2": 0.1, "nursery_weeks_count": 2}
    lots = [(0, 2, 3, {3: 600.0}), (1, 2, -1, {})]
    one = program(lots, [new, old], [[0.0, 0.0, 0.0, 12.0]], pairs=[(0, 0, 60.0)])
    roomy, full = (replace(one, limits=replace(one.limits, nursery_m2=m2)) for m2 in (0.1, 0.03))
    assert least_missing(roomy) == pytest.approx(6.0)
    assert least_missing(full) == pytest.approx(12.0)


def test_lamps_over_two_beds_hang_on_one_circuit() -> None:
    # closed form: each lamp draws 8 A and grows one of two wishes; 12.8 A bear one of them, 16 A both
    lots = [(n, 0, 1, {1: 600.0}) for n in range(2)]
    sowings = [{"crop": n, "place": 2 + n} for n in range(2)]
    one = program(lots, sowings, [[0.0, 3.0], [0.0, 5.0]], pairs=[(0, 0, 60.0), (1, 1, 60.0)],
                  places=Places(np.array([0, 1, 0, 1]), np.array([NONE, NONE, 0, 1]), np.array([1.0, 1.0])),
                  lamps=LampCosts(np.ones(2), np.zeros((2, 2)), current_a=np.full(2, 8.0)))  # fmt: skip
    for most_a, missing in ((12.8, 3.0), (16.0, 0.0)):
        limited = replace(one, limits=replace(one.limits, lamps_a=most_a))
        assert solve(limited).missing_weight == pytest.approx(missing)


def test_no_more_lamps_than_a_miss_asks_for() -> None:
    # closed form: 12 portions of 60 g at 600 g a lit square metre are 1.2 m² of the 4 m² that the lamp lights
    one = program([(0, 0, 1, {1: 600.0})], [{"place": 1}], [[0.0, 12.0]], bed_m2=(4.0,))
    lit = replace(one, places=Places(np.array([0, 0]), np.array([NONE, 0]), np.array([4.0])),
                  lamps=LampCosts(np.array([100.0]), np.zeros((1, 2))))  # fmt: skip
    assert least_missing(lit) == pytest.approx(0.0, abs=1e-9)
    assert least_parts(lit, 0.0) == pytest.approx([0.3])
    for part, missing in ((0.3, 0.0), (0.2, 4.0)):
        some = replace(lit, lamps=replace(lit.lamps, part_frac=np.array([part])))
        assert least_missing(some) == pytest.approx(missing, abs=1e-6)
        assert solve(some).missing_weight == pytest.approx(missing, abs=1e-6)


def test_a_tray_is_watered_every_week_that_it_lies() -> None:
    # closed form: 4 min to sow and 7 min a week; a tray of three weeks takes 25 min, one of two 18
    for weeks in (2, 3):
        tray = {"tray": True, "unit_m2": 0.125, "least_units_count": 1.0, "unit_min": 4.0, "week_min": 7.0}
        prices = Prices(hour_currency=60.0, missing_currency=100.0)
        one = program([(0, 0, weeks - 1, {weeks - 1: 60.0})], [tray], [[0.0] * (weeks - 1) + [1.0]], prices=prices)
        plan = solve(one)
        assert plan.cost_currency == pytest.approx(4.0 + 7.0 * weeks)
        assert recount(one, plan).work_min == pytest.approx(4.0 + 7.0 * weeks)


@pytest.mark.parametrize("seed", range(3))
def test_both_doors_to_the_solver_give_one_optimum(seed: int) -> None:
    pytest.importorskip("highspy")
    from scipy.optimize import Bounds, LinearConstraint, milp

    one = household(seed)
    matrix = matrix_of(one)
    aim = costs_currency(one) + one.prices.missing_currency * matrix.missing_weight
    other = milp(
        aim, integrality=matrix.whole.astype(int), bounds=Bounds(0.0, matrix.most),
        constraints=LinearConstraint(matrix.rows, matrix.low, matrix.high), options={"mip_rel_gap": 0.0},
    )  # fmt: skip
    assert solve(one).cost_currency == pytest.approx(other.fun, rel=0.0051)


@pytest.mark.parametrize("seed", range(6))
def test_the_planned_season_is_served_as_planned_and_a_lean_one_less(seed: int) -> None:
    one = household(seed)
    plan = solve(one)
    own = served(one, plan, one.lots.yield_g)
    lean = served(one, plan, sparse.csr_array(one.lots.yield_g * 0.6))
    weight = one.wishes.weight[:, None]
    assert (own * weight).sum() <= plan.missing_weight + 1e-6
    assert (lean * weight).sum() >= (own * weight).sum() - 1e-6


def test_the_search_tells_how_far_it_is_and_its_last_word_is_the_plan() -> None:
    pytest.importorskip("highspy")
    heard: list[tuple[float, float]] = []
    plan = solve(household(3), progress=lambda now: heard.append((now.best_currency, now.bound_currency)))
    assert heard
    assert min(best for best, _ in heard) >= plan.cost_currency - 1e-6
    assert all(bound <= plan.cost_currency + 1e-6 for _, bound in heard)


def test_a_wish_without_any_crop_is_missing_in_full() -> None:
    plan = solve(program([(0, 0, 1, {1: 600.0})], [{}], [[0.0, 4.0], [2.0, 3.0]]))
    assert plan.missing_count[0] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert plan.missing_count[1] == pytest.approx([2.0, 3.0])


def test_with_whole_trays_more_must_be_missing_than_the_relaxed_program_says() -> None:
    # closed form: one tray gives six portions of which two thirds of four may be one crop's; one tray fits, so of four
    # portions wanted of two crops one crop gives 8/3 and 4/3 are missing; in parts both crops lie and none is missing
    sowings = [{"crop": n, "tray": True, "unit_m2": 0.125, "least_units_count": 1.0, "most_units_count": 1.0}
               for n in range(2)]  # fmt: skip
    one = program([(n, 0, 1, {1: 360.0}) for n in range(2)], sowings, [[0.0, 4.0]], bed_m2=(0.2,))
    one = replace(one, wishes=replace(one.wishes, most_share=np.array([2.0 / 3.0])))
    plan = solve(one, seconds_s=4.0)
    assert plan.missing_least_weight == pytest.approx(0.0, abs=1e-9)
    assert plan.missing_whole_weight == pytest.approx(4.0 / 3.0, rel=0.006)
    assert plan.missing_weight == pytest.approx(4.0 / 3.0)


@pytest.mark.parametrize("seed", many([5], [1, 3, 5, 6]))
@pytest.mark.parametrize("stage", ["_relaxed", "_rounded", "_nearest", "_among", "_by_windows", "_search", "_tidied"])
def test_stopped_from_the_keyboard_the_best_plan_so_far_is_given(
    stage: str, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = household(seed)
    monkeypatch.setattr(solving, "START_SOWINGS", 9)  # so that every stage comes
    monkeypatch.setattr(solving, "WINDOWED_SOWINGS", 9)
    whole = solve(one, seconds_s=4.0)

    def stopped(*_: object, **__: object) -> NoReturn:
        raise KeyboardInterrupt

    if stage == "_search":  # the one search, where no other runs beside
        monkeypatch.setattr(solving, "_beside", lambda *_: None)
    holder = solving._Case if stage == "_by_windows" else solving
    monkeypatch.setattr(holder, stage, stopped)
    if stage in ("_relaxed", "_rounded"):  # no plan is there yet
        with pytest.raises(KeyboardInterrupt):
            solve(one)
        return
    plan = solve(one, seconds_s=4.0)
    assert plan.by_hand
    assert plan.stopped
    recount(one, plan)
    assert plan.bound_currency <= whole.cost_currency + 1e-6
    assert plan.cost_currency >= whole.bound_currency - 1e-6
    if stage == "_tidied":  # the search itself was over
        assert plan.cost_currency <= whole.cost_currency * 1.02 + 1e-6


def test_a_solver_stopped_before_its_first_plan_stops_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("highspy")
    one = household(0)
    monkeypatch.setattr(solving, "_rounded", lambda *_: None)
    monkeypatch.setattr(solving, "_run", lambda *_: True)  # stopped before it began
    with pytest.raises(KeyboardInterrupt):
        solve(one)


@pytest.fixture
def two_sides(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small programs are searched as large ones are: windows of some sowings, and the bound beside."""
    pytest.importorskip("highspy")
    monkeypatch.setattr(solving, "WINDOWED_SOWINGS", 0)


@pytest.mark.usefixtures("two_sides")
@pytest.mark.parametrize("seed", many([1, 3, 4], range(20)))
def test_both_sides_together_find_what_one_search_finds(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    case = household(seed)
    both = solve(case, seconds_s=20.0)
    monkeypatch.setattr(solving, "WINDOWED_SOWINGS", 10_000)
    alone = solve(case, seconds_s=20.0)
    assert both.bound_currency <= both.cost_currency + 1e-6
    slack = 3 * GAP_FRAC * abs(alone.cost_currency) + 1e-6
    assert abs(both.cost_currency - alone.cost_currency) <= slack
    assert both.bound_currency >= alone.cost_currency - slack


@pytest.mark.usefixtures("two_sides")
def test_without_the_solver_of_its_own_the_plan_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    case = household(1)
    both = solve(case, seconds_s=20.0)
    monkeypatch.setattr(solving, "_beside", lambda *_: None)
    alone = solve(case, seconds_s=20.0)
    assert abs(both.cost_currency - alone.cost_currency) <= 3 * GAP_FRAC * abs(alone.cost_currency) + 1e-6


@pytest.mark.usefixtures("two_sides")
def test_stopped_by_hand_the_other_side_ends_too(monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[Any] = []
    beside = solving._beside

    def watched(*args: Any) -> Any:
        begun.append(beside(*args))
        return begun[-1]

    def stopped(*_: Any) -> Any:
        raise KeyboardInterrupt

    monkeypatch.setattr(solving, "_beside", watched)
    monkeypatch.setattr(solving._Case, "_by_windows", stopped)
    plan = solve(household(1), seconds_s=20.0)
    assert plan.by_hand
    (one,) = begun
    assert one.ended
    assert plan.bound_currency <= plan.cost_currency + 1e-6


def test_a_mended_plan_is_gone_on_from_only_where_it_holds() -> None:
    """The whole of a program's rows and bounds is asked: one patch too many on a bed is no plan to start from."""
    case = household(1)
    matrix, plan = matrix_of(case), solve(case)
    assert solving._holds(matrix, plan.values)
    for lot, _ in plan.lots:
        more = plan.values.copy()
        more[matrix.columns.lot.start + lot] += 10.0
        assert not solving._holds(matrix, more)


def test_a_new_search_beside_a_kept_plan_begins_with_the_mended_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the kept plan misses too much, what mends it most is where the search for a new one starts."""
    case = household(1)
    plan = solve(case)
    kept = np.zeros(len(case.sowings.crop))
    for lot, units in plan.lots:
        kept[case.lots.sowing[lot]] += units
    wider = replace(case, sowings=replace(case.sowings, kept_units_count=kept))
    heard: list[float | None] = []
    nearest = solving._nearest

    def watched(of: Program, relaxed: Any, known: Any, *rest: Any) -> Any:
        heard.append(None if known is None else known[1])
        return nearest(of, relaxed, known, *rest)

    monkeypatch.setattr(solving, "_nearest", watched)
    monkeypatch.setattr(solving, "KEPT_SLACK", -np.inf)  # nothing is ever enough: a new one is searched
    again = solve(wider)
    assert heard[-1] is not None
    assert heard[-1] <= plan.cost_currency * (1.0 + 2 * GAP_FRAC)
    assert again.cost_currency <= plan.cost_currency * (1.0 + 3 * GAP_FRAC)
