"""What would close a plan's gaps: changes tried one by one by the relaxed program, with what each costs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from tenhour.model.feed import FeedRemedy
from tenhour.model.household import Household
from tenhour.plan.feed.solve import least_missing
from tenhour.words import feeding as words
from tenhour.words.text import Text, counted
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.feed.asked import PLAN_SEED, SEASONS
from tenhour.year.feed.grown import Grown, grown_for
from tenhour.year.feed.helped import Helped, HungLamp, brightest, fleeced_beds, warmer_of, with_lamp
from tenhour.year.feed.offer import chosen_crops, ground_of, offer_of, weeks_of
from tenhour.year.feed.search import Case, Made, moves_on_offer
from tenhour.year.feed.told import LEAST_TOLD
from tenhour.year.world import World

EARLIER_WEEKS: Final = 4
MORE_BED: Final = 1.25
TOLD_FRAC: Final = 0.05
"""Less of the current than this that heating need not give is not told. Judgement."""


@dataclass(frozen=True)
class _Trial:
    """One change: the house, the household and the day it is planned from, and what it costs."""

    kind: str
    text: Text
    world: World
    household: Household
    on: date
    cost_currency: float | None = None
    grown: Grown | None = None


def remedies_of(case: Case, made: Made) -> Iterator[FeedRemedy]:
    """Every change that mends something, on its own, as it is tried.

    Parameters: case; made, the plan that leaves something missing.
    """
    least_weight = made.plan.missing_least_weight
    most = float(case.asked.usual["money"]["remedy_per_portion"]["value"])
    for trial, left in _tried(case, made):
        closed = least_weight - left
        if closed >= LEAST_TOLD and (trial.cost_currency or 0.0) <= most * closed:
            yield FeedRemedy(trial.kind, trial.text, left, trial.cost_currency)


def _tried(case: Case, made: Made) -> Iterator[tuple[_Trial, float]]:
    """Every change with what must be missing then; lamps no larger than the miss asks for."""
    for trial in _trials(case, made):
        yield trial, _missing(trial, case, made.season_frac)
    household, today = case.asked.household, case.asked.today
    price = float(case.asked.usual["money"]["kwh"]["value"])
    bare = replace(case, grown=made.offer.grown)
    for hung in _lamps(case, made):
        whole = (*case.helps, with_lamp(case.world, hung, case.asked.usual))
        sized, left = bare.buying(whole, made.season_frac).proportioned(made.season_frac)
        yield _helped(sized[-1], household, today, price), left


def _trials(case: Case, made: Made) -> Iterator[_Trial]:
    world, asked = case.world, case.asked
    household, today = asked.household, asked.today
    start = weeks_of(household, today)[1]
    before = today - timedelta(days=WEEK_D * EARLIER_WEEKS)
    earlier = words.EARLIER(weeks=EARLIER_WEEKS)
    yield _Trial("earlier", earlier, world, replace(household, start=start), before, 0.0)
    if household.likes:
        yield _Trial("crops", words.OTHER_CROPS(), world, replace(household, likes=()), today, 0.0)
    beds = tuple(replace(bed, size_m=(bed.size_m[0] * MORE_BED, bed.size_m[1])) for bed in world.house.beds)
    larger = replace(world, house=replace(world.house, beds=beds))
    yield _Trial("bed", words.MORE_BED(), larger, household, today, None, made.offer.grown)
    price = float(asked.usual["money"]["kwh"]["value"])
    offered = any(helped.kind == "cover" for helped in case.helps)
    for helped in warmer_of(world, None if offered else asked.fleece, asked.usual):
        yield _helped(helped, household, today, price)


def _lamps(case: Case, made: Made) -> Iterator[HungLamp]:
    """Lamps that mend something, over beds for which none is on offer: all the light there is is tried first."""
    offered = {helped.bed for helped in case.helps if helped.kind == "lamp"}
    every = brightest(case.world, case.asked.bright, case.asked.usual)
    some = tuple(one for one in every if one.bed not in offered)
    bare = replace(case, helps=(), grown=replace(made.offer.grown, lit=()))
    least = made.plan.missing_least_weight
    for one in bare.closing(some, least, made.season_frac):
        hung = case.asked.hung(one.bed)
        if hung is not None:
            yield hung


def _helped(helped: Helped, household: Household, today: date, kwh_currency: float) -> _Trial:
    cost = helped.buy_currency + max(kwh_currency * helped.energy_kwh - helped.saved_currency, 0.0)
    if helped.hung is not None:
        circuit = "" if helped.hung.within_circuit else words.OVER_CIRCUIT
        share = helped.hung.replaced_frac
        spares = words.SPARES(share=share) if share >= TOLD_FRAC else ""
        bed = next(bed for bed in helped.world.house.beds if bed.name == helped.bed)
        area = bed.size_m[0] * bed.size_m[1] * helped.hung.part_frac
        over = words.PART_OF(area=area, bed=helped.bed) if helped.hung.part_frac < 1.0 else helped.bed
        text = words.LAMP(over=over, count=counted(helped.hung.count, "lamp"), power=helped.hung.power_w,
                          kwh=helped.energy_kwh, spares=spares, circuit=circuit)  # fmt: skip
    elif helped.kind == "cover":
        text = words.FLEECE()
    else:
        text = words.WARMER(kwh=helped.energy_kwh)
    return _Trial(helped.kind, text, helped.world, household, today, cost)


def _missing(trial: _Trial, case: Case, season_frac: float) -> float:
    asked, begun = case.asked, case.begun
    chosen = chosen_crops(trial.household, asked.crops, asked.usual, "")
    same = trial.grown is not None
    keys = {crop.key for crop in chosen}
    helps = case.helps
    if not same:
        covered = {one.bed for one in helps if one.kind == "cover"}
        lamps = tuple(with_lamp(trial.world, one.hung, asked.usual) for one in helps if one.hung is not None)
        covers = fleeced_beds(trial.world, asked.fleece, asked.usual) if covered else ()
        helps = (*lamps, *(one for one in covers if one.bed in covered))
    outside = begun.outside if trial.on == asked.today else ()
    moves = begun.moves if same else moves_on_offer(trial.world, chosen, trial.household, trial.on, outside)
    kept, others = begun.kept if same else (), tuple(crop for crop in case.others if crop.key not in keys)
    ground = ground_of(
        trial.world, trial.household, chosen, asked.usual, trial.on, step_weeks=case.step_weeks,
        standing=begun.standing if trial.on == asked.today else (), kept=kept, helps=helps, moves=moves,
    )  # fmt: skip
    grown = trial.grown
    if grown is None:
        grown = grown_for(ground, growing.seasons_of(trial.world, chosen, SEASONS, PLAN_SEED), (season_frac,))
    offer = offer_of(ground, grown, trial.household, season_frac, trial.on, others=others, kept=kept)
    return least_missing(offer.program)
