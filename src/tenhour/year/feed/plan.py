"""The household's plan from the house-year: offered, searched, judged in other seasons, and told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Final

from tenhour.model.feed import FeedAnswer, FeedProof, FeedRemedy
from tenhour.model.household import Household
from tenhour.model.results import Basis
from tenhour.plan.feed.solve import Plan, Progress
from tenhour.words import feeding as words
from tenhour.words.crops import crop_name
from tenhour.year.feed.asked import Asked
from tenhour.year.feed.jobs import changes_of, jobs_of, withdrawn
from tenhour.year.feed.judging import judged, surety_of
from tenhour.year.feed.offer import Offer, chosen_crops, weeks_of
from tenhour.year.feed.remedies import remedies_of
from tenhour.year.feed.search import Case, Made, moves_on_offer
from tenhour.year.feed.standing import begun_of, fitted
from tenhour.year.feed.told import LEAST_TOLD, Told
from tenhour.year.world import World

JUDGE_SEED: Final = 7
JUDGED: Final = 45
"""Seasons to judge by, others than those it is planned on: judgement on what the judging costs."""


def feed_of(world: World, asked: Asked, *, seconds_s: float = 60.0, progress: Progress | None = None) -> FeedAnswer:
    """Plan for a household.

    Parameters: asked; seconds_s, most time for the search [s]; progress, told how far it is.
    Errors: FileProblem for wishes that cannot be understood; NoAnswer where the season is over.
    """
    household, usual, today = asked.household, asked.usual, asked.today
    chosen = chosen_crops(household, asked.crops, usual, world.house.path or "[household]")
    by_key = {crop.key: crop for crop in asked.crops}
    begun = begun_of(world, by_key, asked.log, asked.kept, today)
    begun = replace(
        begun, standing=fitted(world, begun.standing),
        moves=moves_on_offer(world, chosen, household, today, begun.outside),
    )  # fmt: skip
    served_keys = {crop.key for crop in chosen}
    others = tuple(by_key[key] for key in sorted({one.crop for one in begun.standing} - served_keys))
    case = Case(world, asked, chosen, others, begun).equipped()
    made = case.planned(seconds_s, progress)
    offer, plan = made.offer, made.plan
    start, end = weeks_of(household, today)[1:]
    surety, short = surety_of(offer, judged(offer, plan, JUDGED, JUDGE_SEED))
    told, caution = Told(world, offer, plan), case.caution(made)
    remedies, tried = _remedies(case, made)
    sowings, trays, stands, seeds = told.sowings(), told.trays(), told.stands(), told.seeds()
    names = {crop.key: crop_name(crop.key) for crop in asked.crops}
    tray_min = float(usual["work"]["tray_min"]["value"])
    jobs = jobs_of(sowings, trays, stands, seeds, today, tray_min)
    before = () if asked.kept is None else asked.kept.jobs
    return FeedAnswer(
        basis=_with_notes(world.basis(_inputs(world, household, today, offer)), world, household),
        people_count=household.people_count,
        first=start,
        last=end,
        weeks=told.weeks(short),
        sowings=sowings,
        shelf=told.shelf(),
        lamps=told.lamps(case.helps),
        buys=told.buys(case.helps, household.currency),
        seeds=seeds,
        missing=told.missing(),
        remedies=remedies,
        surety=surety,
        proof=_proof(plan, made.season_frac),
        money_currency=told.money_currency,
        work_h_week=told.work_h_week,
        shop_currency=None if household.kilo_currency is None else household.kilo_currency * told.food_kg,
        surety_frac=household.surety_frac,
        caution_currency=caution[0],
        caution_missing_count=caution[1],
        currency=household.currency,
        trays=trays,
        stands=stands,
        jobs=jobs,
        withdrawn=withdrawn(before, jobs, begun.missed, today),
        changes=() if asked.kept is None else changes_of(begun.kept, begun.missed, sowings, trays, names),
        kept=asked.kept is not None,
        step_weeks=case.step_weeks,
        tried=tried,
        us_units=world.house.us_units,
    )


def _remedies(case: Case, made: Made) -> tuple[tuple[FeedRemedy, ...], bool]:
    """Changes that mend something, what leaves least missing first, the cheaper of two as good; and whether all that
    could do so were tried: none after a search that was stopped from the keyboard, some where they were.
    """
    found: list[FeedRemedy] = []
    whole = not made.plan.by_hand
    if made.plan.missing_least_weight >= LEAST_TOLD and whole:
        try:
            found.extend(remedies_of(case, made))
        except KeyboardInterrupt:
            whole = False
    return tuple(sorted(found, key=lambda one: (round(one.missing_after_count, 1), one.cost_currency or 0.0))), whole


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


def _with_notes(basis: Basis, world: World, household: Household) -> Basis:
    nursery = world.house.nursery
    if nursery is not None and nursery.size_m is None:
        basis = replace(basis, assumptions=(*basis.assumptions, words.NURSERY_ROOM()))
    return replace(basis, cautions=(*basis.cautions, words.MOULD())) if household.animals else basis


def _proof(plan: Plan, season_frac: float) -> FeedProof:
    return FeedProof(
        plan.missing_least_weight, plan.missing_weight, plan.bound_currency, plan.cost_currency,
        min(plan.gap_frac, 1.0), plan.seconds_s, "HiGHS", plan.stopped, season_frac, plan.mark,
        plan.missing_whole_weight,
    )  # fmt: skip
