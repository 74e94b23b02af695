"""The household's plan from the house-year: offered, searched, judged in other seasons, and told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
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
    KeptPlan,
    KeptSowing,
)
from tenhour.model.household import Household
from tenhour.model.log import LogLine
from tenhour.model.results import Basis
from tenhour.plan.feed.solve import Plan, Progress, least_cost_currency, least_missing, served, solve
from tenhour.words import feeding as words
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.feed.jobs import changes_of, jobs_of
from tenhour.year.feed.offer import (
    SHORT_FRAC,
    Offer,
    Seasons,
    chosen_crops,
    grown_for,
    lots_in_season,
    offer_of,
    weeks_of,
)
from tenhour.year.feed.standing import begun_of, fitted
from tenhour.year.feed.told import LEAST_TOLD, Told
from tenhour.year.world import World

Array = NDArray[np.float64]


def judged(offer: Offer, found: Seasons, plan: Plan, draws: int) -> Array:
    """Portions missing when the plan meets seasons it was not made for [J, G, T]."""
    return np.stack([served(offer.program, plan, lots_in_season(offer, found.all, draw)) for draw in range(draws)])


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


@dataclass(frozen=True)
class Asked:
    """What a plan is asked for, beside the house."""

    household: Household
    crops: Sequence[Crop]
    """All there are."""
    usual: Mapping[str, Any]
    """The household's data."""
    today: date
    step_weeks: int = 1
    log: Sequence[LogLine] = ()
    kept: KeptPlan | None = None


def feed_of(world: World, asked: Asked, *, seconds_s: float = 60.0, progress: Progress | None = None) -> FeedAnswer:
    """Plan for a household.

    Parameters: asked; seconds_s, most time for the search [s]; progress, told how far it is.
    Errors: FileProblem for wishes that cannot be understood; NoAnswer where the season is over.
    """
    household, usual, today = asked.household, asked.usual, asked.today
    chosen = chosen_crops(household, asked.crops, usual, world.house.path or "[household]")
    by_key = {crop.key: crop for crop in asked.crops}
    begun = begun_of(world, by_key, asked.log, asked.kept, today)
    standing = fitted(world, begun.standing)
    served_keys = {crop.key for crop in chosen}
    others = tuple(by_key[key] for key in sorted({one.crop for one in standing} - served_keys))
    seasons = growing.seasons_of(world, chosen, SEASONS, PLAN_SEED)
    offer, grown, sown = offer_of(
        world, household, chosen, usual, seasons, today,
        step_weeks=asked.step_weeks, standing=standing, others=others, kept=begun.kept,
    )  # fmt: skip
    plan = solve(
        offer.program, seconds_s=seconds_s, progress=progress, kept_missing_weight=_kept_missing(asked, offer, today)
    )
    start, end = weeks_of(household, today)[1:]
    draws = growing.seasons_of(world, chosen, JUDGED, JUDGE_SEED)
    unseen = grown_for(world, chosen, usual, draws, offer.first, sown, standing)
    surety, short = surety_of(offer, judged(offer, unseen, plan, JUDGED))
    told = Told(world, offer, plan)
    sowings, trays, stands, seeds = told.sowings(), told.trays(), told.stands(), told.seeds()
    names = {crop.key: crop.name for crop in asked.crops}
    tray_min = float(usual["work"]["tray_min"]["value"])
    return FeedAnswer(
        basis=_with_cautions(world.basis(_inputs(world, household, today, offer)), household),
        people_count=household.people_count,
        first=start,
        last=end,
        weeks=told.weeks(short),
        sowings=sowings,
        shelf=told.shelf(),
        lamps=(),
        seeds=seeds,
        missing=told.missing(),
        remedies=_remedies(world, asked, plan),
        surety=surety,
        proof=_proof(plan),
        money_currency=told.money_currency,
        work_h_week=told.work_h_week,
        shop_currency=None if household.kilo_currency is None else household.kilo_currency * told.food_kg,
        surety_frac=household.surety_frac,
        caution_currency=_caution(world, asked, chosen, grown, offer, begun.kept),
        currency=household.currency,
        trays=trays,
        stands=stands,
        jobs=jobs_of(sowings, trays, stands, seeds, today, tray_min),
        changes=() if asked.kept is None else changes_of(begun.kept, begun.missed, sowings, trays, names),
        kept=asked.kept is not None,
        us_units=world.house.us_units,
    )


def _kept_missing(asked: Asked, offer: Offer, today: date) -> float:
    """Weighted portions that the plan that is kept was to leave missing from now on."""
    if asked.kept is None:
        return 0.0
    weight: dict[str, float] = dict(zip(offer.wishes, offer.program.wishes.weight.tolist(), strict=True))
    return sum(weight.get(wish, 0.0) * count for week, wish, count in asked.kept.missing if week + WEEK > today)


WEEK: Final = timedelta(days=WEEK_D)


def _caution(
    world: World, asked: Asked, chosen: tuple[Crop, ...], grown: Seasons, offer: Offer, kept: Sequence[KeptSowing]
) -> float | None:
    """What the surety costs at least, beside planning for a middling season; None where no surety is asked."""
    if asked.household.surety_frac <= MIDDLING_FRAC:
        return None
    middling = replace(asked.household, surety_frac=MIDDLING_FRAC)
    other, _, _ = offer_of(
        world, middling, chosen, asked.usual, None, asked.today,
        step_weeks=asked.step_weeks, standing=offer.standing, others=offer.crops[len(chosen):], kept=kept, grown=grown,
    )  # fmt: skip
    return max(least_cost_currency(offer.program) - least_cost_currency(other.program), 0.0)


MIDDLING_FRAC: Final = 0.5


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


def _remedies(world: World, asked: Asked, plan: Plan) -> tuple[FeedRemedy, ...]:
    """What would close the gaps, each tried on its own by the relaxed program; best first."""
    if plan.missing_least_weight < LEAST_TOLD:
        return ()
    household, today = asked.household, asked.today

    def missing(own: World, wishes: Household, on: date) -> float:
        chosen = chosen_crops(wishes, asked.crops, asked.usual, "")
        seasons = growing.seasons_of(own, chosen, SEASONS, PLAN_SEED)
        offer, _, _ = offer_of(own, wishes, chosen, asked.usual, seasons, on, step_weeks=asked.step_weeks)
        return least_missing(offer.program)

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
