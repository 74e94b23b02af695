"""What could be sown for a household, as the program of the search."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from difflib import get_close_matches
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.errors import FileProblem, NoAnswer, Problem
from tenhour.model.crop import Crop
from tenhour.model.feed import KeptSowing
from tenhour.model.household import Household
from tenhour.plan.dates import DAYS, day_index
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
from tenhour.plan.season import SEED_RESERVE_RATIO
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D
from tenhour.year.crops.moved import MoveIn
from tenhour.year.feed.grown import Cautious, Ground, Grown, Route, Standing
from tenhour.year.feed.helped import Helped
from tenhour.year.world import World

Array = NDArray[np.float64]
Index = NDArray[np.intp]


START_MONTH_DAY: Final = (10, 1)
END_MONTH_DAY: Final = (5, 31)
LONGEST_WEEKS: Final = 60
TRAY_M2: Final = 0.125
PART_OF_TRAY: Final = 0.25
"""Part of a tray in which greens for animals are sown: four parts share a tray. Judgement."""
LEAST_M2: Final = 0.1
"""A smaller patch is not worth a line of its own: judgement."""
LAMP_PORTIONS: Final = 10.0
"""A lamp that the household may buy is worth its price for so many portions: judgement."""


@dataclass(frozen=True)
class Offer:
    """The program with what its numbers stand for."""

    program: Program
    crops: tuple[Crop, ...]
    wishes: tuple[str, ...]
    ground: Ground
    grown: Grown
    lot_kind: Index
    """Which route each lot is of [N]."""
    lot_at: tuple[Index, Index, Index]
    """Its crop row, bed and sowing within it."""
    lot_first: Index
    """First week of its harvest; T for one that gives nothing."""
    sown_week: Index
    """Week of every sowing as it was [Z], that of what stands included."""
    standing_sowing: tuple[int, ...] = ()
    """Which sowing each stand of the ground is; -1 for one that gives nothing any more."""
    moved: Mapping[int, MoveIn] = field(default_factory=dict)
    """Sowings of plants raised outdoors and moved in."""


def weeks_of(household: Household, today: date) -> tuple[date, date, date]:
    """First day of the plan, and first and last day on which something should be on the table.

    Errors: NoAnswer where the household's season is over.
    """
    if household.end is not None:
        end = household.end
    else:
        end = date(today.year, *END_MONTH_DAY)
        if (end - today).days < 2 * WEEK_D:
            end = date(today.year + 1, *END_MONTH_DAY)
    start = household.start or date(end.year - 1, *START_MONTH_DAY)
    first = today - timedelta(days=today.weekday())
    if end <= today:
        raise NoAnswer(f"the household's season ended on {end.isoformat()}: give [household] a later last day (to)")
    if (end - first).days > LONGEST_WEEKS * WEEK_D:
        raise NoAnswer(f"the household's season ends on {end.isoformat()}, more than {LONGEST_WEEKS} weeks ahead")
    return first, max(start, first), end


def chosen_crops(household: Household, crops: Sequence[Crop], usual: Mapping[str, Any], file: str) -> tuple[Crop, ...]:
    """Crops that serve a wish of the household.

    Errors: FileProblem where a liked or left-out crop is unknown, or a wish that was told has no crop.
    """
    keys = {name: crop.key for crop in crops for name in (crop.key, *crop.also)}
    problems = []
    for key, names in (("likes", household.likes), ("leave_out", household.leave_out)):
        for name in names:
            if name not in keys:
                close = get_close_matches(name, keys, n=1)
                do = f"Did you mean {close[0]}?" if close else "See 'tenhour crops'."
                problems.append(Problem(file, f"household.{key}", repr(name), "a crop", do))
    if problems:
        raise FileProblem(problems)
    kinds = [*household.meals_per_week, *(animal.kind for animal in household.animals)]
    serving = {key for kind in kinds for key in usual["serves"][kind] if _served(household, key, kind)}
    found = tuple(crop for crop in crops if crop.key in serving and crop.way not in ("fruiting", "transplant"))
    for kind in kinds:
        told = kind not in household.meals_per_week or not household.meals_assumed
        if told and not any(crop.key in usual["serves"][kind] for crop in found):
            named = ", ".join(usual["serves"][kind][:6])
            do = f"Like one of: {named}." if household.likes else f"Leave in one of: {named}."
            problems.append(Problem(file, f"household.meals.{kind}", "no crop that gives it", "", do))
    if not found and not problems:
        do = "Like others too, or leave likes out. 'tenhour crops' lists all."
        problems.append(Problem(file, "household.likes", "no crop that makes a meal", "", do))
    if problems:
        raise FileProblem(problems)
    return found


def _served(household: Household, crop: str, kind: str) -> bool:
    """Whether a crop may stand for a kind of food: people eat what they like, animals what they are given."""
    if crop in household.leave_out:
        return False
    return kind not in household.meals_per_week or not household.likes or crop in household.likes


def ground_of(
    world: World, household: Household, crops: tuple[Crop, ...], usual: Mapping[str, Any], today: date, *,
    step_weeks: int = 1, standing: tuple[Standing, ...] = (), kept: Sequence[KeptSowing] = (),
    helps: tuple[Helped, ...] = (), moves: tuple[MoveIn, ...] = (),
) -> Ground:  # fmt: skip
    """What may be sown from today to the end of the household's season.

    Parameters: crops as chosen; usual, the household's data; step_weeks, weeks between sowings offered; standing, what
    is sown already; kept, sowings of the plan that is kept; helps, what could be bought; moves of plants raised
    outdoors.
    """
    first, _, end = weeks_of(household, today)
    weeks = _weeks_count(first, end)
    planned = {(one.sow - first).days // WEEK_D for one in kept if one.moved_in is None}
    sown = np.array(sorted({*range(0, weeks, step_weeks), *(week for week in planned if 0 <= week < weeks)}), np.intp)
    return Ground(world, crops, usual, first, sown, standing, helps, moves)


def _weeks_count(first: date, end: date) -> int:
    return (end - first).days // WEEK_D + 1


def offer_of(
    ground: Ground, grown: Grown, household: Household, surety_frac: float, today: date, *,
    others: tuple[Crop, ...] = (), kept: Sequence[KeptSowing] = (),
) -> Offer:  # fmt: skip
    """Offer every sowing to the search.

    Parameters: ground; grown, what comes of it with that surety; surety_frac, share of seasons in which each sowing is
    in time; others, crops that stand and serve no wish; kept, sowings of the plan that is kept.
    """
    first, start, end = weeks_of(household, today)
    weeks = _weeks_count(first, end)
    wishes = _wishes(household, ground.crops, ground.usual, first, start, weeks)
    lots = _LotList(weeks)
    for kind, route in enumerate(grown.offered):
        lots.add(kind, route, surety_frac, ground.sown)
    for more, (helped, route) in enumerate(grown.lit):
        lots.add(len(grown.offered) + more, route, surety_frac, ground.sown, len(ground.world.house.beds) + helped)
    of_moves = _add_moved(lots, ground, grown, surety_frac)
    known = (*ground.crops, *others)
    number = _add_standing(lots, ground, known, grown, surety_frac)
    program = _program(ground, household, known, wishes[0], lots, grown, number)
    program = _with_moved(program, of_moves)
    program = _with_kept(program, known, [bed.name for bed in ground.world.house.beds], first, kept, of_moves)
    at = (np.array(lots.row, np.intp), np.array(lots.bed, np.intp), np.array(lots.sowing_at, np.intp))
    return Offer(
        program, known, wishes[1], ground, grown, np.array(lots.kind, np.intp), at,
        np.array(lots.first_harvest), np.array(lots.week, np.intp), number, of_moves,
    )  # fmt: skip


def _add_moved(lots: _LotList, ground: Ground, grown: Grown, surety_frac: float) -> dict[int, MoveIn]:
    """Put plants moved in among the lots: which move each of their sowings is, with the ground there is of it.

    Plants that were counted are shared out among the beds by their ground.
    """
    if grown.moved is None:
        return {}
    before, days = len(lots.sowings), sorted({move.on for move in ground.moves})
    weeks = np.array([(day - ground.first).days // WEEK_D for day in days], np.intp)
    lots.add(len(grown.routes) - 1, grown.moved, surety_frac, weeks)
    known = {(move.crop, move.on, move.bed): move for move in ground.moves}
    beds = ground.world.house.beds
    whole = sum(bed.size_m[0] * bed.size_m[1] for bed in beds)
    out = {}
    for number in range(before, len(lots.sowings)):
        _, row, bed, at, _ = lots.sowings[number]
        of, here = (ground.crops[grown.moved.rows[row]].key, days[at]), beds[bed]
        move = known.get((*of, here.name)) or known[*of, ""]
        if move.area_m2 is not None and not move.bed:
            move = replace(move, area_m2=move.area_m2 * here.size_m[0] * here.size_m[1] / whole)
        out[number] = move
    return out


def _with_moved(program: Program, moved: Mapping[int, MoveIn]) -> Program:
    """The program with no more plants moved in than there are."""
    counted = {number: move.area_m2 for number, move in moved.items() if move.area_m2 is not None}
    if not counted:
        return program
    sowings = program.sowings
    most, least = sowings.most_units_count.copy(), sowings.least_units_count.copy()
    for number, area in counted.items():
        most[number] = min(most[number], area)
        least[number] = min(least[number], most[number])
    return replace(program, sowings=replace(sowings, most_units_count=most, least_units_count=least))


def _add_standing(
    lots: _LotList, ground: Ground, crops: tuple[Crop, ...], grown: Grown, surety_frac: float
) -> tuple[int, ...]:  # fmt: skip
    """Put what stands among the lots; the number of its sowing, -1 where it gives nothing any more."""
    keys, beds = [crop.key for crop in crops], [bed.name for bed in ground.world.house.beds]
    out = []
    for number, (one, route) in enumerate(zip(ground.standing, grown.standing, strict=True)):
        week = (one.begun - ground.first).days // WEEK_D
        before = len(lots.sowings)
        if route is None:
            lots.add_fixed(grown.first_standing + number, keys.index(one.crop), beds.index(one.bed), week)
        else:
            lots.add_stand(grown.first_standing + number, route, beds.index(one.bed), week, surety_frac)
        out.append(before if len(lots.sowings) > before else -1)
    return tuple(out)


def _with_kept(
    program: Program, crops: tuple[Crop, ...], beds: list[str], first: date, kept: Sequence[KeptSowing],
    moved: Mapping[int, MoveIn],
) -> Program:  # fmt: skip
    """The program that knows which of its sowings are those of the plan that is kept."""
    if not kept:
        return program
    wanted = {
        (
            one.crop,
            one.bed,
            ((one.moved_in or one.sow) - first).days // WEEK_D,
            one.raised,
            one.moved_in is not None,
        ): one.units_count
        for one in kept
        if one.units_count > 0
    }
    sowings = program.sowings
    units = np.zeros(len(sowings.crop))
    for n, (crop, place, week, raised) in enumerate(
        zip(sowings.crop, sowings.place, sowings.week, sowings.nursery_weeks_count, strict=True)
    ):
        key = (crops[crop].key, beds[int(program.places.bed[place])], int(week), bool(raised > 0), n in moved)
        if program.places.lamp[place] == NONE:
            tray_units = TRAY_M2 / sowings.unit_m2[n] if sowings.tray[n] else 1.0
            units[n] = wanted.get(key, 0.0) * tray_units
    return replace(program, sowings=replace(sowings, kept_units_count=units))


class _LotList:
    """Lots and sowings as they are found."""

    def __init__(self, weeks: int) -> None:
        self.weeks = weeks
        self.kind: list[int] = []
        self.row: list[int] = []
        self.bed: list[int] = []
        self.sowing_at: list[int] = []
        self.first_harvest: list[int] = []
        self.sowing: list[int] = []
        self.first: list[int] = []
        self.last: list[int] = []
        self.entries: list[tuple[int, int, float]] = []
        self.fixed: dict[int, int] = {}
        """Crops of sowings that only hold their ground."""
        self.sowings: list[tuple[int, int, int, int, int]] = []
        """(kind, row, bed, sowing index, nursery weeks)."""
        self.week: list[int] = []
        """Of sowing, or of moving in."""

    def add(self, kind: int, route: Route, surety_frac: float, sown: Index, held: int | None = None) -> None:
        """Offer one route's sowings, as they come in the cautious season; held, the place they hold if not the bed."""
        usual = route.of_surety[surety_frac]
        rows, beds, sowings = usual.ready_week.shape
        for row in range(rows):
            for bed in range(beds):
                for at in range(sowings):
                    if not usual.outdone(row, bed, at, sown):
                        raised = int(route.raised_weeks[row, at])
                        self._add_sowing(kind, (row, bed, at), int(sown[at]), raised, usual, held)

    def add_stand(self, kind: int, route: Route, bed: int, week: int, surety_frac: float) -> None:
        """Take what stands on a bed since a week before the plan: it gives what it gives, or is cleared at once."""
        before, place = len(self.sowings), (0, 0, 0)
        self._add_sowing(kind, place, week, int(route.raised_weeks[0, 0]), route.of_surety[surety_frac], bed)
        if len(self.sowings) > before:
            self._add_lot(before, (kind, *place), (week, -1), {})

    def add_fixed(self, kind: int, crop: int, bed: int, week: int) -> None:
        """Leave the ground to what serves no wish."""
        self.fixed[len(self.sowings)] = crop
        self.sowings.append((kind, 0, bed, 0, 0))
        self.week.append(week)
        self._add_lot(len(self.sowings) - 1, (kind, 0, bed, 0), (week, self.weeks - 1), {})

    def _add_lot(
        self, sowing: int, of: tuple[int, int, int, int], stay: tuple[int, int], gives: Mapping[int, float]
    ) -> None:
        kind, row, bed, at = of
        lot = len(self.sowing)
        self.sowing.append(sowing)
        self.first.append(stay[0])
        self.last.append(stay[1])
        self.kind.append(kind)
        self.row.append(row)
        self.bed.append(bed)
        self.sowing_at.append(at)
        self.first_harvest.append(min(gives, default=self.weeks))
        self.entries += [(lot, when, gram) for when, gram in gives.items()]

    def _add_sowing(
        self, kind: int, place: tuple[int, int, int], week: int, raised: int, usual: Cautious, held: int | None = None
    ) -> None:
        options = [
            (last, {when: gram for when, gram in gives.items() if 0 <= when < self.weeks})
            for last, gives in usual.options(place, week)
        ]
        options = [(last, gives) for last, gives in options if gives]
        if not options:
            return
        number = len(self.sowings)
        row, bed, at = place
        self.sowings.append((kind, row, bed if held is None else held, at, raised))
        self.week.append(week)
        for last, gives in options:
            self._add_lot(number, (kind, *place), (week + raised, min(last, self.weeks - 1)), gives)


def _wishes(
    household: Household, crops: tuple[Crop, ...], usual: Mapping[str, Any], first: date, start: date, weeks: int
) -> tuple[Wishes, tuple[str, ...]]:
    served = {kind for kind in household.meals_per_week for crop in crops if crop.key in usual["serves"][kind]}
    names = [kind for kind, count in household.meals_per_week.items() if count > 0 and kind in served]
    eating = np.array([first + timedelta(days=WEEK_D * week + WEEK_D - 1) >= start for week in range(weeks)])
    wanted = [household.meals_per_week[kind] * household.people_count * eating for kind in names]
    pairs: list[tuple[int, int, float]] = []
    for wish, kind in enumerate(names):
        for number, crop in enumerate(crops):
            if crop.key in usual["serves"][kind] and _served(household, crop.key, kind):
                pairs.append((number, wish, _portion_g(household, crop, kind, usual)))
    for animal in household.animals:
        wanted.append(np.full(weeks, float(animal.count * WEEK_D)) * eating)
        pairs += [
            (number, len(names), animal.greens_g_d)
            for number, crop in enumerate(crops)
            if crop.key in usual["serves"][animal.kind]
        ]
        names.append(animal.kind)
    weights = [usual["weights"].get(name, usual["weights"]["animals"]) for name in names]
    served_by = np.array([max(1, sum(pair[1] == wish for pair in pairs)) for wish in range(len(names))])
    share = np.array([float(weight["most_share"]) for weight in weights])
    return (
        Wishes(
            np.array(wanted, dtype=np.float64),
            np.array([float(weight["value"]) for weight in weights]),
            np.where(served_by > 1, share, 1.0),
            np.array([pair[0] for pair in pairs], np.intp),
            np.array([pair[1] for pair in pairs], np.intp),
            np.array([pair[2] for pair in pairs], dtype=np.float64),
        ),
        tuple(names),
    )


def _portion_g(household: Household, crop: Crop, kind: str, usual: Mapping[str, Any]) -> float:
    if kind in household.portions_g:
        return float(household.portions_g[kind])
    if crop.use is not None and crop.use.meal_g is not None:
        return crop.use.meal_g.value
    return float(usual["portions_g"][kind]["value"])


def _program(
    ground: Ground, household: Household, crops: tuple[Crop, ...], wishes: Wishes, lots: _LotList, grown: Grown,
    number: tuple[int, ...],
) -> Program:  # fmt: skip
    world, usual, lamps, weeks = ground.world, ground.usual, ground.helps, lots.weeks
    beds, nursery = world.house.beds, world.house.nursery
    stood_on = None if nursery is None else nursery.bed
    area = np.array([bed.size_m[0] * bed.size_m[1] for bed in beds])
    grams = sparse.csr_array(
        (
            [entry[2] for entry in lots.entries],
            ([entry[0] for entry in lots.entries], [entry[1] for entry in lots.entries]),
        ),
        shape=(len(lots.sowing), weeks),
    )
    kind, row, place, _, raised = np.array(lots.sowings, np.intp).reshape(-1, 5).T
    names = [bed.name for bed in beds]
    of_bed = np.array([*range(len(beds)), *(names.index(helped.bed) for helped in lamps)], np.intp)
    bed = of_bed[place]
    rows = [None if route is None else route.rows for route in grown.routes]
    crop = np.array(
        [
            lots.fixed.get(n, -1) if rows[k] is None else rows[k][r]
            for n, (k, r) in enumerate(zip(kind, row, strict=True))
        ],
        np.intp,
    )
    stands = {of: one for of, one in zip(number, ground.standing, strict=True) if of >= 0}
    size = np.array([stands[n].area_m2 if n in stands else np.nan for n in range(len(crop))])
    old = np.isfinite(size)
    weeks_sown = np.array(lots.week, np.intp)
    week = np.where(old, np.minimum(weeks_sown, -1), weeks_sown)
    tray = np.array([crops[c].grows_by_reserves for c in crop], dtype=np.bool_)
    part = np.where(_for_animals(household, crops, usual)[crop], PART_OF_TRAY, 1.0)
    unit = np.where(tray, TRAY_M2 * part, 1.0)
    sowing = np.array(lots.sowing, np.intp)
    grams = sparse.csr_array(grams.multiply(unit[sowing][:, None]))
    keeps = np.array([int(usual["keeps_weeks"].get(c.way, 0)) for c in crops], np.intp)
    most, lot_most = _most_units(area[bed] / unit, tray, grams, sowing, crop, wishes, keeps)
    most = np.where(old, np.where(tray, np.round(size / unit), size / unit), most)
    lot_most = np.where(old[sowing], most[sowing], lot_most)
    density = growing.column(crops, growing.part("harvest", "density_per_m2", 0.0))
    trays_m2 = growing.column(crops, growing.part("raising", "tray_density_per_m2", np.inf))
    work, money = usual["work"], usual["money"]
    lit_costs = lamp_costs(lamps, ground.first, weeks, float(money["kwh"]["value"]))
    dearest = float((lit_costs.buy_currency + lit_costs.week_currency.sum(axis=1)).max(initial=0.0))
    return Program(
        lots=Lots(
            sowing, np.array(lots.first, np.intp), np.array(lots.last, np.intp), grams, lot_most
        ),
        sowings=Sowings(
            crop=crop, place=place, week=week, tray=tray, unit_m2=unit,
            least_units_count=np.where(old, most, np.where(tray, 1.0, np.minimum(LEAST_M2, area[bed]))),
            most_units_count=most,
            nursery_m2=np.where(raised > 0, density[crop] / trays_m2[crop], 0.0), nursery_weeks_count=raised,
            unit_currency=np.where(old, 0.0, _seed_currency(crops, money)[crop] * unit),
            fixed_min=np.where(tray | old, 0.0, float(work["sowing_min"]["value"])),
            unit_min=np.where(old, 0.0, np.where(tray, part * float(work["tray_min"]["value"]),
                                                 float(work["sowing_min_per_m2"]["value"]))),
            week_min=np.where(tray, part * WEEK_D * float(work["tray_min_per_d"]["value"]), 0.0),
            must=np.isin(np.arange(len(crop)), list(lots.fixed)), kept_units_count=np.zeros(len(crop)),
        ),
        places=Places(of_bed, np.concatenate([np.full(len(beds), NONE), np.arange(len(lamps))]).astype(np.intp), area),
        lamps=lit_costs,
        wishes=wishes,
        limits=Limits(
            np.full(weeks, np.inf if household.work_h_week is None else 60.0 * household.work_h_week),
            most_sowings_count=np.inf if household.most_sowings_count is None else household.most_sowings_count,
            budget_currency=np.inf if household.budget_currency is None else household.budget_currency,
            nursery_m2=np.inf if nursery is None or nursery.size_m is None else float(np.prod(nursery.size_m)),
            nursery_bed=names.index(stood_on.name) if stood_on is not None and stood_on.name in names else NONE,
            lamps_a=min((one.hung.spare_a for one in lamps if one.hung is not None), default=np.inf),
            rest_weeks_count=household.rest_weeks_count,
        ),
        crop_family=_families(crops, usual),
        keep_weeks_count=keeps,
        harvest_min_per_g=np.array([float(work["harvest_min_per_kg"].get(c.way, 0)) / 1000.0 for c in crops]),
        prices=Prices(
            missing_currency=Prices.missing_currency + dearest / LAMP_PORTIONS,
            hour_currency=float(money["hour"]["value"]) if household.hour_currency is None else household.hour_currency
        ),
        tray_currency=float(money["tray"]["value"]) if "tray" in household.may_buy else 0.0,
        tray_m2=TRAY_M2,
    )  # fmt: skip


def _for_animals(household: Household, crops: tuple[Crop, ...], usual: Mapping[str, Any]) -> NDArray[np.bool_]:
    """Crops that only animals are wanted for [C]."""
    people = {key for kind in household.meals_per_week for key in usual["serves"][kind]}
    return np.array([crop.key not in people for crop in crops], dtype=np.bool_)


def lamp_costs(lamps: Sequence[Helped], first: date, weeks: int, kwh_currency: float) -> LampCosts:
    """What lamps and covers cost to buy and, less the heating they take the place of, to burn week by week.

    Parameters: lamps and covers on offer; first, day of week 0; weeks, how many; kwh_currency, price of electricity.
    """
    days = day_index(first) + np.arange(WEEK_D * weeks)
    week = np.zeros((len(lamps), weeks))
    for number, helped in enumerate(lamps):
        if helped.hung is not None:
            cost = max(kwh_currency - helped.hung.spared_currency_kwh, 0.0) * helped.hung.drawn_w / 1000.0
            week[number] = cost * helped.hung.day_h[days % DAYS].reshape(weeks, WEEK_D).sum(axis=1)
    part = np.array([1.0 if helped.hung is None else helped.hung.part_frac for helped in lamps])
    drawn = np.array([0.0 if helped.hung is None else helped.hung.current_a for helped in lamps])
    return LampCosts(np.array([helped.buy_currency for helped in lamps]), week, part, drawn)


def _most_units(
    room: Array,
    tray: NDArray[np.bool_],
    grams: sparse.csr_array,
    sowing: Index,
    crop: Index,
    wishes: Wishes,
    keeps: Index,
) -> tuple[Array, Array]:
    """What fits, and no more than could be eaten: of each sowing [Z] and of each lot [N], in units.

    A harvest is eaten in its week and the weeks it keeps; a stand cut for weeks may be what its leanest week asks, and
    all its lots give the same in the weeks they share: more than that leaves something uneaten in every week.
    """
    eaten = np.zeros((len(keeps), wishes.portions_count.shape[1]))
    np.add.at(
        eaten, wishes.pair_crop,
        wishes.pair_portion_g[:, None] * (wishes.most_share[:, None] * wishes.portions_count)[wishes.pair_wish],
    )  # fmt: skip
    later = eaten.copy()
    for weeks in range(1, int(keeps.max(initial=0)) + 1):
        ahead = np.concatenate([eaten[:, weeks:], np.zeros((len(eaten), weeks))], axis=1)
        later += np.where(keeps[:, None] >= weeks, ahead, 0.0)
    entries = grams.tocoo()
    lot, week = entries.coords
    units = np.zeros(grams.shape[0])
    np.maximum.at(units, lot, later[crop[sowing[lot]], week] / entries.data)
    lot_most = np.where(tray[sowing], np.ceil(units), units)
    again = np.zeros(len(room), dtype=np.bool_)
    again[sowing[np.diff(grams.indptr) > 1]] = True
    total = np.zeros(len(room))
    np.add.at(total, sowing, lot_most)
    largest = np.zeros(len(room))
    np.maximum.at(largest, sowing, lot_most)
    total = np.where(again, largest, total)
    least = np.where(tray, 1.0, LEAST_M2)
    most = np.minimum(room, np.maximum(total, least))
    return np.asarray(np.where(tray, np.floor(np.maximum(most, 0.0)), most)), lot_most


def _seed_currency(crops: tuple[Crop, ...], money: Mapping[str, Any]) -> Array:
    out = []
    for crop in crops:
        if crop.tray is not None:
            out.append(crop.tray.seed_g_m2.value * float(money["tray_seed_per_g"]["value"]))
        else:
            out.append((seed_g_m2(crop) or 0.0) * float(money["seed_per_g"]["value"]))
    return np.array(out)


def seed_g_m2(crop: Crop) -> float | None:
    """Seed of a square metre of a crop [g m⁻²]; None where its file has no mass of seed."""
    if crop.harvest is None or crop.use is None or crop.use.thousand_seed_g is None:
        return None
    return crop.harvest.density_per_m2.value * SEED_RESERVE_RATIO * crop.use.thousand_seed_g.value / 1000.0


def _families(crops: tuple[Crop, ...], usual: Mapping[str, Any]) -> Index:
    genus = {name: family for family, names in usual["families"].items() for name in names}
    named = [genus.get(crop.latin.split(" ")[0], crop.latin or crop.key) for crop in crops]
    order = {name: number for number, name in enumerate(dict.fromkeys(named))}
    return np.array([order[name] for name in named], np.intp)
