"""The search for a household's plan: what may be bought, the season it is made for, and how it fares in others."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np

from tenhour.growth.shapes import Draws
from tenhour.model.crop import Crop
from tenhour.model.household import SURETY_MOST, Household
from tenhour.plan.feed.solve import (
    START_SHARE,
    Kept,
    Plan,
    Progress,
    least_cost_currency,
    least_missing,
    least_parts,
    solve,
)
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.crops.moved import MoveIn, Outside, moves_of
from tenhour.year.feed.asked import PLAN_SEED, SEASONS, Asked, usual_step_weeks
from tenhour.year.feed.grown import Ground, Grown, grown_for, helped_grown
from tenhour.year.feed.helped import Helped, brightest, fleeced_beds, with_lamp
from tenhour.year.feed.judging import judged, surety_of
from tenhour.year.feed.offer import Offer, ground_of, offer_of, weeks_of
from tenhour.year.feed.standing import Begun
from tenhour.year.feed.told import LEAST_TOLD
from tenhour.year.world import World

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
    grown: Grown | None = None
    """What is offered, once it is grown."""

    @property
    def step_weeks(self) -> int:
        """Weeks between the sowings offered."""
        return self.asked.step_weeks or usual_step_weeks(len(self.world.bed_names))

    @property
    def ground(self) -> Ground:
        """What may be sown, and where."""
        asked = self.asked
        return ground_of(
            self.world, asked.household, self.chosen, asked.usual, asked.today, step_weeks=self.step_weeks,
            standing=self.begun.standing, kept=self.begun.kept, helps=self.helps, moves=self.begun.moves,
        )  # fmt: skip

    @property
    def draws(self) -> Draws:
        """The seasons to plan on."""
        return growing.seasons_of(self.world, self.chosen, SEASONS, PLAN_SEED)

    @property
    def season_frac(self) -> float:
        """Surety of the season to plan for at first: leaner than asked where a plan that is kept was made so."""
        surety, kept = self.asked.household.surety_frac, self.asked.kept
        return surety if kept is None or kept.surety_frac != surety else max(surety, kept.season_frac)

    @property
    def sureties(self) -> tuple[float, ...]:
        """Every surety with which anything may be planned or compared."""
        surety = self.asked.household.surety_frac
        return tuple(sorted({surety, self.season_frac, MIDDLING_FRAC, *_leaner(surety)}))

    def offer(self, surety_frac: float) -> Offer:
        """What could be sown, as it comes in a season of such surety.

        Parameters: surety_frac, share of seasons in which each sowing is in time: one of ``sureties``.
        """
        ground = self.ground
        grown = grown_for(ground, self.draws, self.sureties) if self.grown is None else self.grown
        return offer_of(
            ground, grown, self.asked.household, surety_frac, self.asked.today, others=self.others, kept=self.begun.kept
        )

    def equipped(self) -> Case:
        """The case with what may be bought, where it could close a miss of the season planned for.

        Method: every bed is tried first as it would be with all the light its crops want and at no cost, or under a
        fleece; only for beds where the relaxed program then misses less is a lamp sized and offered.
        """
        season_frac = self.asked.household.surety_frac
        offer = self.offer(season_frac)
        bare = replace(self, grown=offer.grown)
        may = self.asked.household.may_buy
        if not {"lamp", "cover"} & set(may):
            return bare
        least = least_missing(offer.program)
        if least < LEAST_TOLD:
            return bare
        lamps = brightest(self.world, self.asked.bright, self.asked.usual) if "lamp" in may else ()
        covers = fleeced_beds(self.world, self.asked.fleece, self.asked.usual) if "cover" in may else ()
        worth = bare.closing((*lamps, *covers), least, season_frac)
        real = []
        for one in worth:
            hung = self.asked.hung(one.bed) if one.kind == "lamp" else None
            if one.kind == "cover":
                real.append(one)
            elif hung is not None and hung.within_circuit:
                real.append(with_lamp(self.world, hung, self.asked.usual))
        whole = bare.buying(tuple(real), season_frac)
        return bare.buying(whole.proportioned(season_frac)[0])

    def proportioned(self, season_frac: float) -> tuple[tuple[Helped, ...], float]:
        """What is on offer with no more lamps than the miss asks for, and what must then be missing.

        Parameters: season_frac, share of seasons it is for.
        Method: the least parts of the lamps with which the relaxed program misses as little as with all of them, a
        quarter more for whole sowings, in whole lamps.
        """
        if not any(one.hung is not None for one in self.helps):
            return self.helps, 0.0
        program = self.offer(season_frac).program
        least = least_missing(program)
        parts = np.minimum(least_parts(program, least + LEAST_TOLD) * PART_SPARE, 1.0)
        found = tuple(
            one if one.hung is None else with_lamp(self.world, one.hung.over_part(float(part)), self.asked.usual)
            for one, part in zip(self.helps, parts, strict=True)
        )
        return found, least

    def buying(self, helps: tuple[Helped, ...], *sureties: float) -> Case:
        """The same with things on offer, and what grows under them with all sureties, or with some."""
        assert self.grown is not None
        equipped = replace(self, helps=helps)
        lit = helped_grown(equipped.ground, self.draws, sureties or self.sureties)
        return replace(equipped, grown=replace(self.grown, lit=lit))

    def closing(self, trials: tuple[Helped, ...], least_weight: float, season_frac: float) -> tuple[Helped, ...]:
        """Those of some trials with which less must be missing; all of them where only together they help.

        Parameters: trials; least_weight, weighted portions missing without; season_frac, share of seasons it is for.
        """
        if not trials:
            return ()
        every = self.buying(trials, season_frac)

        def left(numbers: Sequence[int]) -> float:
            assert every.grown is not None
            lit = tuple((numbers.index(n), found) for n, found in every.grown.lit if n in numbers)
            grown = replace(every.grown, lit=lit)
            some = replace(every, helps=tuple(trials[n] for n in numbers), grown=grown)
            return least_missing(some.offer(season_frac).program)

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
        offer = self.offer(self.season_frac)
        if self.begun.kept:
            known = _kept(self.asked, offer, self.asked.today)
            plan = solve(offer.program, seconds_s=seconds_s, progress=progress, kept=known)
            return Made(offer, plan, self.season_frac)
        search = _Search(self, offer, (seconds_s, progress))
        return search.found(self.asked.household.surety_frac)

    def caution(self, made: Made) -> tuple[float | None, float]:
        """What the surety costs at least, beside planning for a middling season, and how much more must be missing.

        Returns: (money and work, weighted portions); the former None where no surety is asked, or more is missing.
        """
        if self.asked.household.surety_frac <= MIDDLING_FRAC:
            return None, 0.0
        other = self.offer(MIDDLING_FRAC)
        more = made.plan.missing_least_weight - least_missing(other.program)
        if more >= LEAST_TOLD:
            return None, more
        return max(least_cost_currency(made.offer.program) - least_cost_currency(other.program), 0.0), 0.0


def _leaner(surety_frac: float) -> list[float]:
    leaner = {min(surety_frac + (1.0 - surety_frac) * step, SURETY_MOST) for step in LEANER_STEPS}
    return sorted(frac for frac in leaner if frac > surety_frac)


class _Search:
    """Plans for one season after another, judged in twenty others."""

    def __init__(self, case: Case, usual: Offer, given: tuple[float, Progress | None]) -> None:
        self._case, self._usual = case, usual
        self._all_s, self._progress = given
        seconds_s = self._all_s
        self._end_s = time.monotonic() + seconds_s
        self._worst: list[tuple[Plan, float]] = []

    def found(self, enough_frac: float) -> Made:
        """The plan, when stopped the one there is by then; enough_frac, share of every wish that is to be served."""
        self._made = self._quick(self._case.season_frac)
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
            found, _ = surety_of(made.offer, judged(made.offer, made.plan, CHECKED, CHECK_SEED))
            known = min((one.served_frac for one in found), default=1.0)
            self._worst.append((made.plan, known))
        return known

    def _quick(self, season_frac: float) -> Made:
        offered = self._usual if season_frac == self._case.season_frac else self._case.offer(season_frac)
        plan = solve(offered.program, seconds_s=self._all_s * START_SHARE, progress=self._progress, first=True)
        return Made(offered, plan, season_frac)

    def _longer(self, made: Made) -> Made:
        left_s = max(self._end_s - time.monotonic(), LEAST_S)
        return replace(made, plan=solve(made.offer.program, seconds_s=left_s, progress=self._progress, start=made.plan))
