"""The search for a household's plan: what may be bought, the season it is made for, and how it fares in others."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.feed import FeedSurety
from tenhour.model.household import SURETY_MOST, Household
from tenhour.plan.feed.solve import (
    START_SHARE,
    Kept,
    Plan,
    Progress,
    least_cost_currency,
    least_missing,
    least_parts,
    served,
    solve,
)
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.crops.moved import MoveIn, Outside, moves_of
from tenhour.year.feed.asked import PLAN_SEED, SEASONS, Asked
from tenhour.year.feed.helped import Helped, brightest, fleeced_beds, with_lamp
from tenhour.year.feed.offer import (
    SHORT_FRAC,
    Offer,
    Seasons,
    grown_for,
    helped_grown,
    lots_in_season,
    offer_of,
    weeks_of,
)
from tenhour.year.feed.standing import Begun
from tenhour.year.feed.told import LEAST_TOLD
from tenhour.year.world import World

Array = NDArray[np.float64]

CHECK_SEED: Final = 11
CHECKED: Final = 20
"""Seasons by which it is decided, neither those planned on nor those judged by."""
SURE_SPARE: Final = 0.02
"""Served so much more than asked in twenty seasons, it will be in others: about their standard error."""
LEAST_S: Final = 1.0
"""A search gets so much at least: judging between the searches takes time too."""
PART_SPARE: Final = 1.25
"""So much larger than the relaxed program's least a part under lamps is offered: sowings are whole. Judgement."""
MIDDLING_FRAC: Final = 0.5
LEANER_STEPS: Final = (0.5, 0.75)
"""How far toward certainty the leaner seasons lie that are tried where a wish is served too rarely: judgement."""
WEEK: Final = timedelta(days=WEEK_D)


def judged(offer: Offer, found: Seasons, plan: Plan, draws: int) -> Array:
    """Portions missing when the plan meets seasons it was not made for [J, G, T]."""
    sown = sorted({int(offer.program.lots.sowing[lot]) for lot, _ in plan.lots})
    return np.stack([
        served(offer.program, plan, lots_in_season(offer, found.all, draw, sown)) for draw in range(draws)
    ])  # fmt: skip


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


def moves_on_offer(
    world: World, chosen: tuple[Crop, ...], household: Household, today: date, outside: Sequence[Outside] = ()
) -> tuple[MoveIn, ...]:
    """Plants raised outdoors that could be moved in, from the week of a day to the end of the household's season."""
    first, start, end = weeks_of(household, today)
    days = [first + WEEK * week for week in range((end - first).days // WEEK_D + 1)]
    return moves_of(world, chosen, growing.seasons_of(world, chosen, SEASONS, PLAN_SEED), days, start, outside)


def _kept(asked: Asked, offer: Offer, today: date) -> Kept:
    """What the plan that is kept was to leave missing from now on, and what was proven of it."""
    if asked.kept is None:
        return Kept()
    weight: dict[str, float] = dict(zip(offer.wishes, offer.program.wishes.weight.tolist(), strict=True))
    missing = sum(weight.get(wish, 0.0) * count for week, wish, count in asked.kept.missing if week + WEEK > today)
    return Kept(missing, asked.kept.mark, asked.kept.bound_currency, asked.kept.whole_weight)


@dataclass(frozen=True)
class Made:
    """A plan and the season it is made for."""

    offer: Offer
    grown: Seasons
    sown: NDArray[np.intp]
    plan: Plan
    season_frac: float


@dataclass(frozen=True)
class Case:
    """A household before its plan."""

    world: World
    asked: Asked
    chosen: tuple[Crop, ...]
    others: tuple[Crop, ...]
    begun: Begun
    helps: tuple[Helped, ...] = ()
    """What may be bought and could close a miss."""
    grown: Seasons | None = None
    """What is offered, once it is grown."""

    def offer(self, surety_frac: float) -> tuple[Offer, Seasons, NDArray[np.intp]]:
        """What could be sown, as it comes in a season of such surety.

        Parameters: surety_frac, share of seasons in which each sowing is in time.
        """
        asked, grown = self.asked, self.grown
        seasons = growing.seasons_of(self.world, self.chosen, SEASONS, PLAN_SEED) if grown is None else None
        return offer_of(
            self.world, replace(asked.household, surety_frac=surety_frac), self.chosen, asked.usual, seasons,
            asked.today, step_weeks=asked.step_weeks, standing=self.begun.standing, others=self.others,
            kept=self.begun.kept, lamps=self.helps, moves=self.begun.moves, grown=grown,
        )  # fmt: skip

    def equipped(self) -> Case:
        """The case with what may be bought, where it could close a miss of the season planned for.

        Method: every bed is tried first as it would be with all the light its crops want and at no cost, or under a
        fleece; only for beds where the relaxed program then misses less is a lamp sized and offered.
        """
        season_frac = self.asked.household.surety_frac
        offer, grown, sown = self.offer(season_frac)
        bare = replace(self, grown=grown)
        may = self.asked.household.may_buy
        if not {"lamp", "cover"} & set(may):
            return bare
        least = least_missing(offer.program)
        if least < LEAST_TOLD:
            return bare
        lamps = brightest(self.world, self.asked.bright, self.asked.usual) if "lamp" in may else ()
        covers = fleeced_beds(self.world, self.asked.fleece, self.asked.usual) if "cover" in may else ()
        worth = bare.closing((*lamps, *covers), offer, sown, least, season_frac)
        real = []
        for one in worth:
            hung = self.asked.hung(one.bed) if one.kind == "lamp" else None
            if one.kind == "cover":
                real.append(one)
            elif hung is not None and hung.within_circuit:
                real.append(with_lamp(self.world, hung, self.asked.usual))
        whole = bare.buying(tuple(real), offer, sown)
        return bare.buying(whole.proportioned(season_frac)[0], offer, sown)

    def proportioned(self, season_frac: float) -> tuple[tuple[Helped, ...], float]:
        """What is on offer with no more lamps than the miss asks for, and what must then be missing.

        Parameters: season_frac, share of seasons it is for.
        Method: the least parts of the lamps with which the relaxed program misses as little as with all of them, a
        quarter more for whole sowings, in whole lamps.
        """
        if not any(one.hung is not None for one in self.helps):
            return self.helps, 0.0
        program = self.offer(season_frac)[0].program
        least = least_missing(program)
        parts = np.minimum(least_parts(program, least + LEAST_TOLD) * PART_SPARE, 1.0)
        found = tuple(
            one if one.hung is None else with_lamp(self.world, one.hung.over_part(float(part)), self.asked.usual)
            for one, part in zip(self.helps, parts, strict=True)
        )
        return found, least

    def buying(self, helps: tuple[Helped, ...], offer: Offer, sown: NDArray[np.intp]) -> Case:
        """The same with things on offer, and what grows under them."""
        assert self.grown is not None
        draws = growing.seasons_of(self.world, self.chosen, SEASONS, PLAN_SEED)
        lit = helped_grown(self.world, self.chosen, self.asked.usual, draws, offer.first, sown, helps)
        return replace(self, helps=helps, grown=replace(self.grown, lit=lit))

    def closing(
        self, trials: tuple[Helped, ...], offer: Offer, sown: NDArray[np.intp], least_weight: float, season_frac: float
    ) -> tuple[Helped, ...]:
        """Those of some trials with which less must be missing; all of them where only together they help.

        Parameters: trials; offer and sown, what there is without; least_weight, weighted portions missing then;
        season_frac, share of seasons it is for.
        """
        if not trials:
            return ()
        every = self.buying(trials, offer, sown)
        assert every.grown is not None

        def left(numbers: Sequence[int]) -> float:
            lit = [(numbers.index(n), found) for n, found in every.grown.lit if n in numbers]  # type: ignore[union-attr]
            grown = replace(every.grown, lit=lit)  # type: ignore[type-var]
            some = replace(every, helps=tuple(trials[n] for n in numbers), grown=grown)
            return least_missing(some.offer(season_frac)[0].program)

        numbers = list(range(len(trials)))
        if left(numbers) > least_weight - LEAST_TOLD:
            return ()
        found = [n for n in numbers if len(numbers) == 1 or left([n]) <= least_weight - LEAST_TOLD]
        return tuple(trials[n] for n in found or numbers)

    def planned(self, seconds_s: float, progress: Progress | None) -> Made:
        """The plan for the season of the surety asked, or for a leaner one where other seasons serve a wish less.

        A quick plan of each shows which it is to be; the rest of the time is that season's. A search that ends before
        its time, and falls short, tries a leaner one too. A plan that is kept stays in the season it was made for.
        """
        surety, kept = self.asked.household.surety_frac, self.asked.kept
        if kept is not None and kept.surety_frac == surety:
            surety = max(surety, kept.season_frac)
        offer, grown, sown = self.offer(surety)
        if self.begun.kept:
            known = _kept(self.asked, offer, self.asked.today)
            plan = solve(offer.program, seconds_s=seconds_s, progress=progress, kept=known)
            return Made(offer, grown, sown, plan, surety)
        search = _Search(self, (offer, grown, sown), surety, (seconds_s, progress))
        return search.found(self.asked.household.surety_frac)

    def caution(self, made: Made) -> tuple[float | None, float]:
        """What the surety costs at least, beside planning for a middling season, and how much more must be missing.

        Returns: (money and work, weighted portions); the former None where no surety is asked, or more is missing.
        """
        if self.asked.household.surety_frac <= MIDDLING_FRAC:
            return None, 0.0
        other, _, _ = self.offer(MIDDLING_FRAC)
        more = made.plan.missing_least_weight - least_missing(other.program)
        if more >= LEAST_TOLD:
            return None, more
        return max(least_cost_currency(made.offer.program) - least_cost_currency(other.program), 0.0), 0.0


def _leaner(surety_frac: float) -> list[float]:
    leaner = {min(surety_frac + (1.0 - surety_frac) * step, SURETY_MOST) for step in LEANER_STEPS}
    return sorted(frac for frac in leaner if frac > surety_frac)


class _Search:
    """Plans for one season after another, judged in twenty others."""

    def __init__(
        self, case: Case, usual: tuple[Offer, Seasons, NDArray[np.intp]], season_frac: float,
        given: tuple[float, Progress | None],
    ) -> None:  # fmt: skip
        self._case, self._usual, self._season_frac = case, usual, season_frac
        self._all_s, self._progress = given
        seconds_s = self._all_s
        self._end_s = time.monotonic() + seconds_s
        self._worst: list[tuple[Plan, float]] = []
        self._check: Seasons | None = None

    def found(self, enough_frac: float) -> Made:
        """The plan, when stopped the one there is by then; enough_frac, share of every wish that is to be served."""
        self._made = self._quick(self._season_frac)
        try:
            made = self._best(self._made, enough_frac)
        except KeyboardInterrupt:
            made = replace(self._made, plan=replace(self._made.plan, stopped=True, by_hand=True))
        spent_s = self._all_s - max(self._end_s - time.monotonic(), 0.0)
        return replace(made, plan=replace(made.plan, seconds_s=spent_s))

    def _best(self, made: Made, enough_frac: float) -> Made:
        leaner = [frac for frac in _leaner(enough_frac) if frac > made.season_frac]
        made, leaner = self._lean(made, leaner, enough_frac + SURE_SPARE)
        self._made = before = made
        if not made.plan.by_hand:
            made = self._longer(made)
        if not made.plan.by_hand and self.worst(made) < enough_frac:
            if self.worst(before) >= enough_frac:
                bound, whole = made.plan.bound_currency, made.plan.missing_whole_weight
                bound = max(before.plan.bound_currency, bound)
                made = replace(before, plan=replace(before.plan, bound_currency=bound, missing_whole_weight=whole))
            elif not made.plan.stopped and leaner:
                self._made = made
                tried, _ = self._lean(made, leaner, enough_frac)
                made = tried if tried is made else self._longer(tried)
        return made

    def _lean(self, made: Made, leaner: list[float], enough_frac: float) -> tuple[Made, list[float]]:
        """The plan of the first season that serves enough, or of the one that serves most; and seasons not tried."""
        while leaner and not made.plan.by_hand and self.worst(made) < enough_frac:
            other = self._quick(leaner.pop(0))
            if other.plan.by_hand:
                return made, []
            made = max(made, other, key=self.worst)
        return made, leaner

    def worst(self, made: Made) -> float:
        """Share served of the wish that fares worst in other seasons."""
        known = next((worst for plan, worst in self._worst if plan is made.plan), None)
        if known is None:
            found, _ = surety_of(made.offer, judged(made.offer, self._checks(), made.plan, CHECKED))
            known = min((one.served_frac for one in found), default=1.0)
            self._worst.append((made.plan, known))
        return known

    def _checks(self) -> Seasons:
        if self._check is None:
            case, (offer, _, sown) = self._case, self._usual
            draws = growing.seasons_of(case.world, case.chosen, CHECKED, CHECK_SEED)
            self._check = grown_for(
                case.world, case.chosen, case.asked.usual, draws, offer.first, sown, case.begun.standing,
                case.helps, case.begun.moves,
            )  # fmt: skip
        return self._check

    def _quick(self, season_frac: float) -> Made:
        offer, grown, sown = self._usual
        offered = offer if season_frac == self._season_frac else self._case.offer(season_frac)[0]
        plan = solve(offered.program, seconds_s=self._all_s * START_SHARE, progress=self._progress, first=True)
        return Made(offered, grown, sown, plan, season_frac)

    def _longer(self, made: Made) -> Made:
        left_s = max(self._end_s - time.monotonic(), LEAST_S)
        return replace(made, plan=solve(made.offer.program, seconds_s=left_s, progress=self._progress, start=made.plan))
