"""One house under one climate with its crops: traced and grown once, and every answer a function of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cache
from threading import RLock
from typing import TYPE_CHECKING, Literal, TypeVar

from tenhour.model.learned import own_of
from tenhour.pace import give_back_memory, tell
from tenhour.year.outside.sunlight import Sources
from tenhour.year.world import World, build

if TYPE_CHECKING:
    from tenhour.model.crop import Crop, Source
    from tenhour.model.diagnosis import WhyAnswer
    from tenhour.model.feed import FeedAnswer
    from tenhour.model.heat_answer import HeatAnswer
    from tenhour.model.house import BedLamps, House
    from tenhour.model.lamp import Lamp, LampBudget, LampRequest
    from tenhour.model.lamp_answer import LampAnswer
    from tenhour.model.log import LogAnswer, LogLine
    from tenhour.model.report import ReportAnswer
    from tenhour.model.results import Answer, LightAnswer, SowAnswer
    from tenhour.model.season import SeasonAnswer
    from tenhour.model.sofar import SoFar
    from tenhour.model.week import WeekAnswer
    from tenhour.plan.feed.solve import Progress
    from tenhour.year.answers.grower import Answered
    from tenhour.year.answers.lampcase import Case
    from tenhour.year.answers.whycase import Told, WhyTools
    from tenhour.year.crops.grown import Table
    from tenhour.year.crops.supply import Wishes
    from tenhour.year.feed.asked import Asked
    from tenhour.year.feed.helped import HungLamp

BEDS_AT_ONCE = 12
"""Beds grown and judged together where there are many: their tables take some 10 MB each. Measured."""
Standing = Mapping[str, tuple[str, ...]]
USUAL_LEAF = "spinach"
"""For which lamps over a bed are sized where the household likes no leaf best: practice."""
A = TypeVar("A", bound="Answer")


class Year:
    """A house-year: light on every bed, air, and what grows there.

    Nothing is computed before it is asked for, and nothing twice; safe to share between threads. ``beds`` in any
    answer chooses what is shown, never what stands in the house.
    """

    def __init__(self, house: House, sources: Sources, crops: Sequence[Crop] = ()) -> None:
        """Hold a house, its climate and the crops to judge.

        Parameters: house, with all its beds; sources, packaged normals and sky with the weather of the house, if any;
        crops, in the order of the answers.
        """
        self.house = house
        self.sources = sources
        self.crops = self._taught(crops)
        self._lock = RLock()
        self._world: World | None = None
        self._tables: dict[tuple[str, ...], Table] = {}

    def _taught(self, crops: Sequence[Crop]) -> tuple[Crop, ...]:
        """Crops as they grow for this grower, by what the house file has learned."""
        return tuple(replace(crop, own=own_of(self.house.lessons, crop.key)) for crop in crops)

    @property
    def world(self) -> World:
        """Light on every bed and air, by day of the generic year.

        Errors: OutOfRange where there are no climate data near; FileProblem for a room that cannot be traced.
        """
        return self._built()

    def _built(self, *, for_changes: bool = False) -> World:
        with self._lock:
            if self._world is None:
                self._world = build(self.house, self.sources, for_changes=for_changes)
            return self._world

    def rewarmed(self, house: House) -> Year | None:
        """The year of a house that differs in its warmth alone, traced already; None where there is no such thing."""
        from tenhour.year.world import rewarmed

        with self._lock:
            world = None if self._world is None else rewarmed(self._world, house)
        if world is None:
            return None
        year = Year(house, self.sources, self.crops)
        year._world = world
        return year

    def _with_lines(self, answer: Answered, on: date) -> Answered:
        """An answer with the lines that every grower is told, where they apply."""
        from tenhour.year.answers.grower import with_grower_lines

        return with_grower_lines(answer, self.world, self.crops, self.sources.grower, on)

    def table(self, beds: Sequence[str] = (), *, again: bool = False) -> Table:
        """What grows on every bed, sown on fixed days of the year; fruiting crops are left out.

        Parameters: beds, names, all if none; again, whether later cuts will be asked for. Errors: as ``world``.
        """
        from tenhour.year.crops.grown import table_of

        world = self.world.of_beds(beds)
        with self._lock:
            key = tuple(world.bed_names)
            if key not in self._tables:
                self._tables[key] = table_of(world, self.dated, again=again)
            return self._tables[key]

    def _tables_in_turn(self, beds: Sequence[str], *, again: bool = False) -> Iterator[Table]:
        """The same in several tables where there are many beds, none of which is held on to."""
        names = self.world.of_beds(beds).bed_names
        if len(names) <= BEDS_AT_ONCE:
            yield self.table(beds, again=again)
            return
        from tenhour.year.crops.grown import table_of

        for first in range(0, len(names), BEDS_AT_ONCE):
            give_back_memory()
            tell(first, len(names), "beds")
            yield table_of(self.world.of_beds(names[first : first + BEDS_AT_ONCE]), self.dated, again=again)
        tell(len(names), len(names), "beds")
        give_back_memory()

    @property
    def dated(self) -> tuple[Crop, ...]:
        """Crops that get dates: all but those grown for fruit."""
        return tuple(crop for crop in self.crops if crop.way != "fruiting")

    @property
    def fruiting(self) -> tuple[Crop, ...]:
        """Crops grown for fruit, which get a verdict but no dates."""
        return tuple(crop for crop in self.crops if crop.way == "fruiting")

    def lit(self, plans: Sequence[LampAnswer]) -> Year:
        """The same year with the lamps of some plans burning over its beds; itself where there are none."""
        if not plans:
            return self
        from tenhour.year.inside.lit import lit_house

        return Year(lit_house(self.house, plans), self.sources, self.crops)

    def so_far(self, today: date, logged: Sequence[LogLine] = (), *, with_used: bool = False) -> SoFar | None:
        """This winter so far, where the house file names a file of its days.

        Parameters: today; logged, lines of the log, for what stands; with_used, whether lamp hours and heat up to
        yesterday are reckoned. Errors: as ``world``.
        """
        if self.sources.since is None:
            return None
        from tenhour.model.log import sowings
        from tenhour.year.answers.sofar import so_far_of

        stands = sowings(logged, today)
        return so_far_of(self.world, self.sources.since, today, stands, self.crops, with_used=with_used)

    def _told(self, answer: A, today: date | None, logged: Sequence[LogLine] = (), *, with_used: bool = False) -> A:
        """The answer with this winter so far beside it."""
        found = None if today is None else self.so_far(today, logged, with_used=with_used)
        return answer if found is None else replace(answer, basis=replace(answer.basis, so_far=found))

    def light(
        self,
        *,
        on: date | None = None,
        map_bed: str | None = None,
        with_gains: bool = False,
        today: date | None = None,
    ) -> LightAnswer:
        """Light outdoors and on every bed.

        Parameters: on, a day to show; map_bed, a bed whose grid is shown; with_gains, whether cheap gains are ranked;
        today, for the dates of the ten-hour day.
        Errors: FileProblem for a map of a bed that the house has not; see also ``world``.
        """
        from tenhour.year.answers.light import check_map_bed, light_of

        check_map_bed(self.house, map_bed)
        world = self._built(for_changes=with_gains)
        answer = light_of(world, on=on, map_bed=map_bed, with_gains=with_gains, today=today)
        return self._told(answer, today)

    def sow(
        self,
        on: date,
        *,
        beds: Sequence[str] = (),
        standing: Standing | None = None,
        logged: Sequence[LogLine] = (),
    ) -> SowAnswer:
        """Verdict of every crop on every bed at one date, best first.

        Parameters: on, date of sowing; beds, names shown, all if none; standing, what the log says, by bed; logged, its
        lines, for this winter so far.
        """
        from tenhour.year.answers.sow import sow_of

        tables = self._tables_in_turn(beds)
        answer = sow_of(self.world.of_beds(beds), tables, self.fruiting, on=on, standing=standing)
        return self._told(self._with_lines(answer, on), on, logged)

    def week(self, on: date, *, log: Sequence[LogLine] = ()) -> WeekAnswer:
        """What to do in the seven days from a date.

        Parameters: on; log, the grower's lines, which say what stands.
        """
        from tenhour.year.answers.week import week_of

        answer = week_of(self.world, self._tables_in_turn(()), self.fruiting, on=on, log=log)
        return self._told(answer, on, log, with_used=True)

    def log(self, on: date, *, lines: Sequence[LogLine], path: str = "") -> LogAnswer:
        """What stands by the log, with forecasts, and every line.

        Parameters: on; lines; path, where the log is kept.
        """
        from tenhour.model.log import log_answer
        from tenhour.year.answers.logged import stands_of_log
        from tenhour.year.world import lessons_used

        answer = log_answer(lines, on, path, stands_of_log(self.table(), lines, on), self.world.cautions)
        answer = replace(answer, basis=replace(answer.basis, assumptions=lessons_used(self.house)))
        return self._told(self._with_lines(answer, on), on, lines)

    def season(
        self,
        start: date,
        *,
        beds: Sequence[str] = (),
        wishes: Wishes | None = None,
        logged: Sequence[LogLine] = (),
    ) -> SeasonAnswer:
        """A year of every crop on every bed.

        Parameters: start, first day shown; beds, names shown (and supplied from), all if none; wishes, for a supply;
        logged, lines of the log, for this winter so far.
        """
        from tenhour.year.answers.season import season_of

        tables = self._tables_in_turn(beds, again=True)
        world = self.world.of_beds(beds)
        answer = season_of(world, tables, self.dated, self.fruiting, start=start, wishes=wishes)
        return self._told(self._with_lines(answer, start), start, logged)

    def heat(
        self,
        *,
        today: date,
        tonight_degc: float | None = None,
        sky: Literal["clear", "half", "overcast"] = "clear",
        wind: Literal["calm", "breeze", "windy"] = "calm",
        cut_h: int = 12,
        with_pairs: bool = False,
    ) -> HeatAnswer:
        """Whether the house is warm enough, and what that costs.

        Parameters: today; tonight_degc, lowest outdoors by the forecast, with sky and wind of the night; cut_h, hours
        for which heat fails; with_pairs, whether pairs of changes and an insulated shady side are run too (slow).
        Errors: see ``world``.
        """
        from tenhour.year.answers.heat import heat_of

        crops = [crop for crop in self.crops if crop.way != "seed-fed"]
        answer = heat_of(
            self.world, self.sources, crops, today=today, tonight_degc=tonight_degc, sky=sky, wind=wind,
            cut_h=cut_h, with_pairs=with_pairs,
        )  # fmt: skip
        return self._told(answer, today, with_used=True)

    def lamps(
        self,
        bed: str,
        crops: Sequence[Crop],
        lamp: Lamp,
        request: LampRequest,
        *,
        cautions: Sequence[Mapping[str, str]] = (),
        harvest_by: date | None = None,
        tiers_count: int = 1,
        today: date | None = None,
    ) -> LampAnswer:
        """Lamps over one bed; see :func:`tenhour.year.answers.lamps.lamps_of`.

        Parameters: tiers_count, shelves like this one; the rest as there.
        Errors: FileProblem for an unknown bed or hours that would harm a crop, before anything is traced; NoAnswer.
        """
        from tenhour.year.answers.lamps import check_request, lamps_of

        check_request(self.house, crops, bed, request)
        answer = lamps_of(
            self.world, self._taught(crops), bed, lamp, request,
            cautions=cautions, harvest_by=harvest_by, tiers_count=tiers_count, today=today,
        )  # fmt: skip
        return self._told(answer, today, with_used=True)

    def lamps_shared(
        self,
        beds: Sequence[str],
        crops: Sequence[Crop],
        lamp: Lamp,
        request: LampRequest,
        budget: LampBudget,
        *,
        cautions: Sequence[Mapping[str, str]] = (),
        today: date | None = None,
    ) -> LampAnswer:
        """Lamps over several beds under one budget; see :func:`tenhour.year.answers.lampbudget.shared_beds`.

        Parameters: beds, their names; the rest as of :meth:`lamps`; budget.
        Errors: as there.
        """
        from tenhour.year.answers.lampbudget import shared_beds

        def answer(bed: str, asked: LampRequest) -> LampAnswer:
            return self.lamps(bed, crops, lamp, asked, cautions=cautions, today=today)

        return shared_beds(beds, request, budget, answer)

    def why(self, crop: Crop, told: Told, tools: WhyTools, log: Sequence[LogLine] = ()) -> WhyAnswer:
        """Why seedlings of a crop look as they do.

        Parameters: crop; told, what the grower says; tools, packaged tables; log, lines of sowings and harvests.
        """
        from tenhour.year.answers.grower import with_grower_lines
        from tenhour.year.answers.why import why_of

        answer = why_of(self.world, self._taught([crop])[0], told, tools, log)
        return with_grower_lines(answer, self.world, [crop], self.sources.grower, told.seen)

    def report(
        self,
        on: date,
        *,
        beds: Sequence[str] = (),
        standing: Standing | None = None,
        cited: Mapping[str, Source] | None = None,
        lamps: tuple[LampAnswer, ...] = (),
        logged: Sequence[LogLine] = (),
    ) -> ReportAnswer:
        """Everything the page shows.

        Parameters: on; beds, names shown, all if none; standing, what the log says, by bed; cited, the works behind
        source keys; lamps, the plans made; logged, lines of the log, for this winter so far.
        """
        from tenhour.year.answers.report import report_of

        heat = self.heat(today=on)
        answer = report_of(
            self.world.of_beds(beds), self._tables_in_turn(beds, again=True), self.dated, self.fruiting,
            on=on, standing=standing, cited=cited, lamps=lamps, heat=heat,
        )  # fmt: skip
        told = self._told(self._with_lines(answer.sow, on), on, logged, with_used=True)
        return replace(answer, sow=told, basis=replace(answer.basis, so_far=told.basis.so_far))

    def feed(
        self, asked: Asked, lamp: Lamp, request: LampRequest, *, seconds_s: float = 60.0,
        progress: Progress | None = None,
    ) -> FeedAnswer:  # fmt: skip
        """Plan of a household: what to sow where and when so that every week has its meals.

        Parameters: asked, the household with its crops, log and kept plan; lamp, of the kind that could be bought, and
        request, how it is sized; seconds_s, most time for the search [s]; progress, told how far it is.
        Errors: FileProblem for wishes that cannot be understood; NoAnswer where the season is over.
        """
        from tenhour.year.feed.plan import feed_of

        lit = self._lamps_for(asked, lamp, replace(request, over_bed=True))
        plan = feed_of(self.world, lit, seconds_s=seconds_s, progress=progress)
        return self._told(plan, asked.today, asked.log)

    def _lamps_for(self, asked: Asked, lamp: Lamp, request: LampRequest) -> Asked:
        """The same with lamps over beds without, for the leaf crop that the household likes best, sized when asked for.

        Heating that they spare is priced as that of the heater, or as electricity where none has a price.
        """
        from tenhour.errors import FileProblem, NoAnswer
        from tenhour.lamps.circuit import current_a
        from tenhour.year.answers.coldnight import cost_currency
        from tenhour.year.answers.lampladder import all_light, over_bed
        from tenhour.year.answers.lamps import case_over_bed, check_request
        from tenhour.year.feed.helped import HungLamp

        likes, there = asked.household.likes, {over.bed for over in self.world.lamps}
        leaf = sorted(
            (crop for crop in self.crops if crop.way == "cut"),
            key=lambda crop: likes.index(crop.key) if crop.key in likes else len(likes) + (crop.key != USUAL_LEAF),
        )[:1]
        hung_w = sum(hung.count * hung.lamp.sizes[0].power_w for hung in self.world.house.lamps)
        own_a = current_a(hung_w, request.circuit.mains_v)
        priced = cost_currency(self.world.house, 1.0, 0.0)
        heat_currency_kwh = float(asked.usual["money"]["kwh"]["value"]) if priced is None else priced

        @cache
        def case(bed: str) -> Case | None:
            if bed in there or not leaf:
                return None
            try:
                check_request(self.house, leaf, bed, request)
                return case_over_bed(self.world, leaf, bed, lamp, request, asked.today)
            except (NoAnswer, FileProblem):
                return None

        def bright(bed: str) -> BedLamps | None:
            found = case(bed)
            return None if found is None else all_light(found)

        @cache
        def hung(bed: str) -> HungLamp | None:
            asked_of = case(bed)
            try:
                found = None if asked_of is None else over_bed(asked_of)
            except (NoAnswer, FileProblem):
                return None
            if found is None:
                return None
            (plan, share), sizing = found, found[0].sizing
            hours = tuple(0.0 if one is None else one.lamp_h for one in sizing.clock.plans)
            load = sizing.load
            return HungLamp(
                bed, plan.lamps, sizing.fixtures_count, sizing.power_w, sizing.drawn_w, hours,
                not load.overloaded, share, share * heat_currency_kwh, current_a=load.lamps_a,
                spare_a=load.allowed_a - (load.total_a - load.lamps_a) - own_a,
            )  # fmt: skip

        return replace(asked, hung=hung, bright=bright)
