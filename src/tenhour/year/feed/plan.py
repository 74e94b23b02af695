"""The household's plan from the house-year: offered, searched, judged in other seasons, and told."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.feed import (
    FeedAnswer,
    FeedProof,
    FeedRemedy,
    FeedSurety,
)
from tenhour.model.household import SURETY_MOST, Household
from tenhour.model.results import Basis
from tenhour.plan.feed.solve import START_SHARE, Kept, Plan, Progress, least_cost_currency, served, solve
from tenhour.words import feeding as words
from tenhour.words.crops import crop_name
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.feed.asked import PLAN_SEED, SEASONS, Asked
from tenhour.year.feed.helped import Helped, with_lamp
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
from tenhour.year.feed.remedies import remedies_of
from tenhour.year.feed.standing import Begun, begun_of, fitted
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
    begun = replace(begun, standing=fitted(world, begun.standing))
    served_keys = {crop.key for crop in chosen}
    others = tuple(by_key[key] for key in sorted({one.crop for one in begun.standing} - served_keys))
    lamps = _lamps_offered(world, asked)
    case = _Case(world, asked, chosen, others, begun, lamps)
    made = case.planned(seconds_s, progress)
    offer, grown, sown, plan = made.offer, made.grown, made.sown, made.plan
    start, end = weeks_of(household, today)[1:]
    draws = growing.seasons_of(world, chosen, JUDGED, JUDGE_SEED)
    unseen = grown_for(world, chosen, usual, draws, offer.first, sown, begun.standing, lamps)
    surety, short = surety_of(offer, judged(offer, unseen, plan, JUDGED))
    told = Told(world, offer, plan)
    sowings, trays, stands, seeds = told.sowings(), told.trays(), told.stands(), told.seeds()
    names = {crop.key: crop_name(crop.key) for crop in asked.crops}
    tray_min = float(usual["work"]["tray_min"]["value"])
    return FeedAnswer(
        basis=_with_cautions(world.basis(_inputs(world, household, today, offer)), household),
        people_count=household.people_count,
        first=start,
        last=end,
        weeks=told.weeks(short),
        sowings=sowings,
        shelf=told.shelf(),
        lamps=told.lamps(lamps),
        seeds=seeds,
        missing=told.missing(),
        remedies=_remedies(case, plan, grown),
        surety=surety,
        proof=_proof(plan, made.season_frac),
        money_currency=told.money_currency,
        work_h_week=told.work_h_week,
        shop_currency=None if household.kilo_currency is None else household.kilo_currency * told.food_kg,
        surety_frac=household.surety_frac,
        caution_currency=case.caution_currency(grown, offer),
        currency=household.currency,
        trays=trays,
        stands=stands,
        jobs=jobs_of(sowings, trays, stands, seeds, today, tray_min),
        changes=() if asked.kept is None else changes_of(begun.kept, begun.missed, sowings, trays, names),
        kept=asked.kept is not None,
        us_units=world.house.us_units,
    )


def _kept(asked: Asked, offer: Offer, today: date) -> Kept:
    """What the plan that is kept was to leave missing from now on, and what was proven of it."""
    if asked.kept is None:
        return Kept()
    weight: dict[str, float] = dict(zip(offer.wishes, offer.program.wishes.weight.tolist(), strict=True))
    missing = sum(weight.get(wish, 0.0) * count for week, wish, count in asked.kept.missing if week + WEEK > today)
    return Kept(missing, asked.kept.mark, asked.kept.bound_currency)


WEEK: Final = timedelta(days=WEEK_D)


def _lamps_offered(world: World, asked: Asked) -> tuple[Helped, ...]:
    """Lamps that the household may buy, each over one bed."""
    if "lamp" not in asked.household.may_buy:
        return ()
    return tuple(with_lamp(world, hung, asked.usual) for hung in asked.hung() if hung.within_circuit)


@dataclass(frozen=True)
class _Made:
    """A plan and the season it is made for."""

    offer: Offer
    grown: Seasons
    sown: NDArray[np.intp]
    plan: Plan
    season_frac: float


@dataclass(frozen=True)
class _Case:
    """A household before its plan."""

    world: World
    asked: Asked
    chosen: tuple[Crop, ...]
    others: tuple[Crop, ...]
    begun: Begun
    lamps: tuple[Helped, ...]

    def offer(self, surety_frac: float, grown: Seasons | None = None) -> tuple[Offer, Seasons, NDArray[np.intp]]:
        """What could be sown, as it comes in a season of such surety."""
        asked = self.asked
        seasons = growing.seasons_of(self.world, self.chosen, SEASONS, PLAN_SEED) if grown is None else None
        return offer_of(
            self.world, replace(asked.household, surety_frac=surety_frac), self.chosen, asked.usual, seasons,
            asked.today, step_weeks=asked.step_weeks, standing=self.begun.standing, others=self.others,
            kept=self.begun.kept, lamps=self.lamps, grown=grown,
        )  # fmt: skip

    def planned(self, seconds_s: float, progress: Progress | None) -> _Made:
        """The plan for the season of the surety asked, or for a leaner one where other seasons serve a wish less.

        A quick plan of each shows which of the two it is to be; the rest of the time is that season's. A search that
        ends before its time tries the leaner one too. A plan that is kept stays in the season it was made for.
        """
        surety, kept = self.asked.household.surety_frac, self.asked.kept
        if kept is not None and kept.surety_frac == surety:
            surety = max(surety, kept.season_frac)
        offer, grown, sown = self.offer(surety)
        if self.begun.kept:
            known = _kept(self.asked, offer, self.asked.today)
            plan = solve(offer.program, seconds_s=seconds_s, progress=progress, kept=known)
            return _Made(offer, grown, sown, plan, surety)
        draws = growing.seasons_of(self.world, self.chosen, CHECKED, CHECK_SEED)
        check = grown_for(
            self.world, self.chosen, self.asked.usual, draws, offer.first, sown, self.begun.standing, self.lamps
        )

        def worst(made: _Made) -> float:
            found, _ = surety_of(made.offer, judged(made.offer, check, made.plan, CHECKED))
            return min((one.served_frac for one in found), default=1.0)

        def quick(season_frac: float) -> _Made:
            offered = offer if season_frac == surety else self.offer(season_frac, grown)[0]
            plan = solve(offered.program, seconds_s=seconds_s * START_SHARE, progress=progress, first=True)
            return _Made(offered, grown, sown, plan, season_frac)

        def longer(made: _Made) -> _Made:
            left_s = max(end_s - time.monotonic(), LEAST_S)
            plan = solve(made.offer.program, seconds_s=left_s, progress=progress, start=made.plan)
            return replace(made, plan=plan)

        end_s = time.monotonic() + seconds_s
        made, enough = quick(surety), self.asked.household.surety_frac
        if made.plan.by_hand:
            return made
        leaner_frac = min(surety + (1.0 - surety) / 2.0, SURETY_MOST)
        can_lean = leaner_frac > surety
        if can_lean and worst(made) < enough + SURE_SPARE:
            leaner = quick(leaner_frac)
            if leaner.plan.by_hand:
                return made
            made = max(made, leaner, key=worst)
        made = longer(made)
        if can_lean and made.season_frac == surety and not made.plan.stopped and worst(made) < enough:
            made = max(made, longer(quick(leaner_frac)), key=worst)
        return replace(made, plan=replace(made.plan, seconds_s=seconds_s - max(end_s - time.monotonic(), 0.0)))

    def caution_currency(self, grown: Seasons, offer: Offer) -> float | None:
        """What the surety costs at least, beside planning for a middling season; None where no surety is asked."""
        if self.asked.household.surety_frac <= MIDDLING_FRAC:
            return None
        other, _, _ = self.offer(MIDDLING_FRAC, grown)
        return max(least_cost_currency(offer.program) - least_cost_currency(other.program), 0.0)


def _remedies(case: _Case, plan: Plan, grown: Seasons) -> tuple[FeedRemedy, ...]:
    if plan.missing_least_weight < LEAST_TOLD:
        return ()
    return remedies_of(case.world, case.asked, case.begun, case.others, grown, case.lamps, plan.missing_least_weight)


CHECK_SEED: Final = 11
CHECKED: Final = 20
"""Seasons by which it is decided, neither those planned on nor those judged by."""
SURE_SPARE: Final = 0.02
"""Served so much more than asked in twenty seasons, it will be in others: about their standard error."""
LEAST_S: Final = 1.0
"""A search gets so much at least: judging between the searches takes time too."""
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


def _proof(plan: Plan, season_frac: float) -> FeedProof:
    return FeedProof(
        plan.missing_least_weight, plan.missing_weight, plan.bound_currency, plan.cost_currency,
        min(plan.gap_frac, 1.0), plan.seconds_s, "HiGHS", plan.stopped, season_frac, plan.mark,
    )  # fmt: skip
