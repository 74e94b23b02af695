"""What would close a plan's gaps: changes tried one by one by the relaxed program, with what each costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np

from tenhour.model.crop import Crop
from tenhour.model.feed import FeedRemedy
from tenhour.model.household import Household
from tenhour.plan.feed.solve import least_missing
from tenhour.words import feeding as words
from tenhour.words.text import Text, counted
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.feed.asked import PLAN_SEED, SEASONS, Asked
from tenhour.year.feed.helped import Helped, warmer_of, with_lamp
from tenhour.year.feed.offer import Seasons, chosen_crops, offer_of, weeks_of
from tenhour.year.feed.standing import Begun
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
    grown: Seasons | None = None


def remedies_of(
    world: World,
    asked: Asked,
    begun: Begun,
    others: tuple[Crop, ...],
    grown: Seasons,
    lamps: tuple[Helped, ...] = (),
    least_weight: float = np.inf,
) -> tuple[FeedRemedy, ...]:
    """Every change that mends something, on its own: what leaves least missing first, the cheaper of two as good.

    Parameters: grown, what is offered as it is: more bed gives the same a square metre; lamps, on offer already;
        least_weight, weighted portions that must be missing as it is.
    """
    found = []
    for trial in _trials(world, asked, grown, lamps):
        left = _missing(trial, asked, begun, others, lamps)
        if left <= least_weight - LEAST_TOLD:
            found.append(FeedRemedy(trial.kind, trial.text, left, trial.cost_currency))
    return tuple(sorted(found, key=lambda one: (round(one.missing_after_count, 1), one.cost_currency or 0.0)))


def _trials(world: World, asked: Asked, grown: Seasons, lamps: tuple[Helped, ...]) -> Iterator[_Trial]:
    household, today = asked.household, asked.today
    start = weeks_of(household, today)[1]
    before = today - timedelta(days=WEEK_D * EARLIER_WEEKS)
    earlier = words.EARLIER(weeks=EARLIER_WEEKS)
    yield _Trial("earlier", earlier, world, replace(household, start=start), before, 0.0)
    if household.likes:
        yield _Trial("crops", words.OTHER_CROPS(), world, replace(household, likes=()), today, 0.0)
    beds = tuple(replace(bed, size_m=(bed.size_m[0] * MORE_BED, bed.size_m[1])) for bed in world.house.beds)
    larger = replace(world, house=replace(world.house, beds=beds))
    yield _Trial("bed", words.MORE_BED(), larger, household, today, None, grown)
    price = float(asked.usual["money"]["kwh"]["value"])
    offered = {helped.bed for helped in lamps}
    for hung in asked.hung():
        if hung.bed in offered:
            continue
        helped = with_lamp(world, hung, asked.usual)
        yield _helped(helped, household, today, price)
    for helped in warmer_of(world, asked.fleece, asked.usual):
        yield _helped(helped, household, today, price)


def _helped(helped: Helped, household: Household, today: date, kwh_currency: float) -> _Trial:
    cost = helped.buy_currency + max(kwh_currency * helped.energy_kwh - helped.saved_currency, 0.0)
    if helped.hung is not None:
        circuit = "" if helped.hung.within_circuit else words.OVER_CIRCUIT
        share = helped.hung.replaced_frac
        spares = words.SPARES(share=share) if share >= TOLD_FRAC else ""
        text = words.LAMP(bed=helped.bed, count=counted(helped.hung.count, "lamp"), power=helped.hung.power_w,
                          kwh=helped.energy_kwh, spares=spares, circuit=circuit)  # fmt: skip
    elif helped.kind == "cover":
        text = words.FLEECE()
    else:
        text = words.WARMER(kwh=helped.energy_kwh)
    return _Trial(helped.kind, text, helped.world, household, today, cost)


def _missing(trial: _Trial, asked: Asked, begun: Begun, others: Sequence[Crop], lamps: tuple[Helped, ...]) -> float:
    chosen = chosen_crops(trial.household, asked.crops, asked.usual, "")
    same = trial.grown is not None
    seasons = None if same else growing.seasons_of(trial.world, chosen, SEASONS, PLAN_SEED)
    keys = {crop.key for crop in chosen}
    if not same:
        lamps = tuple(with_lamp(trial.world, one.hung, asked.usual) for one in lamps if one.hung is not None)
    offer, _, _ = offer_of(
        trial.world, trial.household, chosen, asked.usual, seasons, trial.on,
        step_weeks=asked.step_weeks, standing=begun.standing if trial.on == asked.today else (),
        others=tuple(crop for crop in others if crop.key not in keys), kept=begun.kept if same else (),
        lamps=lamps, grown=trial.grown,
    )  # fmt: skip
    return least_missing(offer.program)
