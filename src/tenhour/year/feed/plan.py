"""The household's plan from the house-year: offered, searched, judged in other seasons, and told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.feed import (
    FeedAnswer,
    FeedProof,
    FeedRemedy,
    FeedSurety,
)
from tenhour.model.household import Household
from tenhour.model.results import Basis
from tenhour.plan.dates import day_index
from tenhour.plan.feed.solve import Plan, Progress, least_missing, served, solve
from tenhour.words import feeding as words
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D, Harvests, harvests_of
from tenhour.year.feed.offer import SHORT_FRAC, Offer, chosen_crops, cuts_most, lots_in_season, offer_of, weeks_of
from tenhour.year.feed.told import LEAST_TOLD, Told
from tenhour.year.world import World

Array = NDArray[np.float64]


def judged(offer: Offer, found: Sequence[Harvests], plan: Plan, draws: int) -> Array:
    """Portions missing when the plan meets seasons it was not made for [J, G, T]."""
    return np.stack([served(offer.program, plan, lots_in_season(offer, found, draw)) for draw in range(draws)])


def surety_of(offer: Offer, missing: Array) -> tuple[tuple[FeedSurety, ...], Array]:
    """How each wish fares over seasons, and by week the share of them short by a fifth or more [G, T]."""
    wanted = offer.program.wishes.portions_count
    asked = wanted > 0
    short = (missing >= SHORT_FRAC * wanted) & asked
    by_week = short.mean(axis=0)
    out = []
    for number, wish in enumerate(offer.wishes):
        weeks = asked[number]
        if not weeks.any():
            continue
        worst = int(np.argmax(by_week[number]))
        there = 1.0 - missing[:, number, weeks].sum() / (len(missing) * wanted[number, weeks].sum())
        worst_share = float(by_week[number, worst])
        when = offer.first + timedelta(days=WEEK_D * worst) if worst_share > 0 else None
        out.append(FeedSurety(wish, float(there), float(short[:, number, weeks].mean()), when, worst_share))
    return tuple(out), by_week


PLAN_SEED: Final = 20
JUDGE_SEED: Final = 7
SEASONS: Final = 15
JUDGED: Final = 45
"""Seasons to plan on, and others to judge by: judgement on what the judging costs."""


def feed_of(
    world: World, household: Household, crops: Sequence[Crop], usual: Mapping[str, Any], today: date,
    *, step_weeks: int = 1, seconds_s: float = 60.0, progress: Progress | None = None,
) -> FeedAnswer:  # fmt: skip
    """Plan for a household.

    Parameters: crops, all there are; usual, the household's data; today, from which on is sown; step_weeks, weeks
    between the sowings offered; seconds_s, most time for the search [s]; progress, told how far it is.
    Errors: FileProblem for wishes that cannot be understood; NoAnswer where the season is over.
    """
    chosen = chosen_crops(household, crops, usual, world.house.path or "[household]")
    seasons = growing.seasons_of(world, chosen, SEASONS, PLAN_SEED)
    offer, _ = offer_of(world, household, chosen, usual, seasons, today, step_weeks=step_weeks)
    plan = solve(offer.program, seconds_s=seconds_s, progress=progress)
    first, start, end = weeks_of(household, today)
    doy = np.array(
        [day_index(first + timedelta(days=int(WEEK_D * w))) for w in np.arange(0, offer.program.weeks, step_weeks)]
    )
    most = {crop.key: cuts_most(crop, usual) for crop in chosen}
    unseen = harvests_of(world, chosen, doy, growing.seasons_of(world, chosen, JUDGED, JUDGE_SEED), most)
    surety, short = surety_of(offer, judged(offer, unseen, plan, JUDGED))
    told = Told(world, offer, plan)
    return FeedAnswer(
        basis=_with_cautions(world.basis(_inputs(world, household, today, offer)), household),
        people_count=household.people_count,
        first=start,
        last=end,
        weeks=told.weeks(short),
        sowings=told.sowings(),
        shelf=told.shelf(),
        lamps=(),
        seeds=told.seeds(),
        missing=told.missing(),
        remedies=_remedies(world, household, crops, usual, today, step_weeks, plan),
        surety=surety,
        proof=_proof(plan),
        money_currency=told.money_currency,
        work_h_week=told.work_h_week,
        shop_currency=None if household.kilo_currency is None else household.kilo_currency * told.food_kg,
        currency=household.currency,
        us_units=world.house.us_units,
    )


def _inputs(world: World, household: Household, today: date, offer: Offer) -> dict[str, object]:
    site = world.house.site
    return {
        "house": world.house.path or "built-in demo house",
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "today": today.isoformat(),
        "people": household.people_count,
        "wishes_assumed": household.assumed,
        "crops": len(offer.crops),
        "sowings_offered": len(offer.program.sowings.crop),
        "surety": household.surety_frac,
    }


def _with_cautions(basis: Basis, household: Household) -> Basis:
    return replace(basis, cautions=(*basis.cautions, words.MOULD())) if household.animals else basis


def _proof(plan: Plan) -> FeedProof:
    return FeedProof(
        plan.missing_least_weight, plan.missing_weight, plan.bound_currency, plan.cost_currency,
        min(plan.gap_frac, 1.0), plan.seconds_s, "HiGHS", plan.stopped,
    )  # fmt: skip


EARLIER_WEEKS: Final = 4


def _remedies(
    world: World, household: Household, crops: Sequence[Crop], usual: Mapping[str, Any], today: date,
    step_weeks: int, plan: Plan,
) -> tuple[FeedRemedy, ...]:  # fmt: skip
    """What would close the gaps, each tried on its own by the relaxed program; best first."""
    if plan.missing_least_weight < LEAST_TOLD:
        return ()

    def missing(own: World, wishes: Household, on: date) -> float:
        chosen = chosen_crops(wishes, crops, usual, "")
        seasons = growing.seasons_of(own, chosen, SEASONS, PLAN_SEED)
        return least_missing(offer_of(own, wishes, chosen, usual, seasons, on, step_weeks=step_weeks)[0].program)

    same, before = replace(household, start=weeks_of(household, today)[1]), timedelta(days=WEEK_D * EARLIER_WEEKS)
    tried = [("earlier", words.EARLIER(weeks=EARLIER_WEEKS), missing(world, same, today - before))]
    if household.likes:
        tried.append(("crops", words.OTHER_CROPS(), missing(world, replace(household, likes=()), today)))
    larger = tuple(replace(bed, size_m=(bed.size_m[0] * MORE_BED, bed.size_m[1])) for bed in world.house.beds)
    tried.append(
        ("bed", words.MORE_BED(), missing(replace(world, house=replace(world.house, beds=larger)), household, today))
    )
    found = [FeedRemedy(kind, text, left, None) for kind, text, left in tried]
    return tuple(sorted(found, key=lambda remedy: remedy.missing_after_count))


MORE_BED: Final = 1.25
