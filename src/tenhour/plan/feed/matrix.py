"""Rows and columns of the household's program, as a solver takes them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.plan.feed.program import NONE, Program

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Columns:
    """Where each kind of variable stands among the columns."""

    lot: slice
    sown: slice
    eaten: slice
    missing: slice
    kept: slice
    lamp: slice
    burns: slice
    kind: slice
    day: slice
    trays: slice
    """Trays to buy; one column."""
    count: int


def columns_of(program: Program) -> Columns:
    """Lay out the columns.

    Order: lots, sowings, portions eaten [K, T], missing [G, T], kept [C, T], lamps, burning [L, T], kinds [C], weeks
    with sowing in them [T], trays to buy [1].
    """
    weeks = program.weeks
    sizes = (
        len(program.lots.sowing), len(program.sowings.crop), len(program.wishes.pair_crop) * weeks,
        len(program.wishes.weight) * weeks, program.crops * weeks, len(program.lamps.buy_currency),
        len(program.lamps.buy_currency) * weeks, program.crops, weeks, 1,
    )  # fmt: skip
    edges = np.concatenate([[0], np.cumsum(sizes)])
    lot, sown, eaten, missing, kept, lamp, burns, kind, day, trays = (slice(int(a), int(b)) for a, b in pairwise(edges))
    return Columns(lot, sown, eaten, missing, kept, lamp, burns, kind, day, trays, int(edges[-1]))


class Rows:
    """Rows of a sparse matrix as they are written, each block with its own lower and upper bound."""

    def __init__(self, columns: int) -> None:
        self._columns = columns
        self._blocks: list[tuple[sparse.csr_array, Array, Array]] = []

    def add(self, row: Index, column: Index, value: Array, low: Array, high: Array) -> None:
        """Add len(low) rows, given by the places and values of their entries."""
        shape = (len(low), self._columns)
        block = sparse.csr_array((np.asarray(value, dtype=np.float64), (row, column)), shape=shape)
        self._blocks.append((block, np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)))

    def stacked(self) -> tuple[sparse.csr_array, Array, Array]:
        """All rows [R, columns] with their bounds [R]."""
        matrices, lows, highs = zip(*self._blocks, strict=True)
        return sparse.csr_array(sparse.vstack(matrices)), np.concatenate(lows), np.concatenate(highs)


@dataclass(frozen=True)
class Matrix:
    """The program as a solver takes it: low <= rows x <= high, least <= x <= most."""

    rows: sparse.csr_array
    low: Array
    high: Array
    least: Array
    """Lower bound of each column: 0 but for what must be there."""
    most: Array
    whole: Bools
    """Columns that must be whole numbers."""
    missing_weight: Array
    """What counts at the first level, by column."""
    cost_currency: Array
    """What counts at the second, by column."""
    tidy_currency: Array
    """What counts at the third, by column; of use where kinds and weeks with sowing are counted."""
    columns: Columns


def matrix_of(program: Program, *, counted: bool = False) -> Matrix:
    """Rows and columns of the program.

    Parameters: counted, whether kinds and weeks with sowing are counted: two rows for every sowing, of which only the
    third level knows.
    """
    at = columns_of(program)
    rows = Rows(at.count)
    for write in (
        _ground,
        _sown,
        _food,
        _kept,
        _wished,
        _varied,
        _lit,
        _rested,
        _nursed,
        _worked,
        _spent,
        _lying,
        *((_counted,) if counted else ()),
    ):
        write(program, at, rows)
    matrix, low, high = rows.stacked()
    whole = np.zeros(at.count, dtype=bool)
    for number in (at.sown, at.lamp, at.burns, at.trays):  # kinds and days follow from what is sown
        whole[number] = True
    whole[at.lot] = program.sowings.tray[program.lots.sowing]
    return Matrix(
        matrix, low, high, _least(program, at), _most(program, at), whole, missing_weights(program),
        costs_currency(program), _tidy(program, at), at,
    )  # fmt: skip


def _least(program: Program, at: Columns) -> Array:
    least = np.zeros(at.count)
    least[at.sown] = program.sowings.must
    return least


def _tidy(program: Program, at: Columns) -> Array:
    """Kinds, weeks with sowing, and changes to a plan that is kept, by column; less a constant."""
    prices, kept = program.prices, program.sowings.kept_units_count > 0
    out = np.zeros(at.count)
    out[at.kind] = prices.kind_currency
    out[at.day] = prices.day_currency
    if kept.any():
        new = ~kept & (program.sowings.week >= 0)
        out[at.sown] = prices.change_currency * (new.astype(np.float64) - kept)
    return out


def _most(program: Program, at: Columns) -> Array:
    most = np.ones(at.count)
    most[at.lot] = np.minimum(program.sowings.most_units_count[program.lots.sowing], program.lots.most_units_count)
    wishes = program.wishes
    most[at.eaten] = (wishes.most_share[:, None] * wishes.portions_count)[wishes.pair_wish].ravel()
    most[at.missing] = wishes.portions_count.ravel()
    most[at.trays] = np.inf if program.tray_currency > 0.0 else 0.0
    most[at.kept] = np.where(np.repeat(program.keep_weeks_count, program.weeks) > 0, np.inf, 0.0)
    return most


def missing_weights(program: Program) -> Array:
    """How much a missing portion counts, by column."""
    at = columns_of(program)
    out = np.zeros(at.count)
    out[at.missing] = np.repeat(program.wishes.weight, program.weeks)
    return out


def lot_min(program: Program) -> Array:
    """Work that a unit of each lot takes over its life, but for the fixed part of a sowing [N] [min]."""
    lots, sowings = program.lots, program.sowings
    harvest = np.asarray(lots.yield_g.sum(axis=1)).ravel() * program.harvest_min_per_g[program.lot_crop]
    which, _ = _spans(lots.first_week, lots.last_week, program.weeks)
    weeks = np.bincount(which, minlength=len(lots.sowing))
    return np.asarray(sowings.unit_min[lots.sowing] + sowings.week_min[lots.sowing] * weeks + harvest)


def costs_currency(program: Program) -> Array:
    """Money and work at its price, by column."""
    at, prices, sowings = columns_of(program), program.prices, program.sowings
    minute = prices.hour_currency / 60.0
    out = np.zeros(at.count)
    out[at.lot] = sowings.unit_currency[program.lots.sowing] + minute * lot_min(program)
    out[at.sown] = minute * sowings.fixed_min
    out[at.lamp] = program.lamps.buy_currency
    out[at.burns] = program.lamps.week_currency.ravel()
    out[at.trays] = program.tray_currency
    return out


def _spans(first: Index, last: Index, weeks: int) -> tuple[Index, Index]:
    """(which, week) for every week from first to last of each, those outside 0..weeks-1 left out."""
    begin, end = np.maximum(first, 0), np.minimum(last, weeks - 1)
    length = np.maximum(end - begin + 1, 0)
    which = np.repeat(np.arange(len(first)), length)
    offset = np.arange(len(which)) - np.repeat(np.cumsum(length) - length, length)
    return which, begin[which] + offset


def _ground(program: Program, at: Columns, rows: Rows) -> None:
    """No bed over full in any week."""
    lots, weeks, places = program.lots, program.weeks, program.places
    which, week = _spans(lots.first_week, lots.last_week, weeks)
    sowing = lots.sowing[which]
    row = places.bed[program.sowings.place[sowing]] * weeks + week
    column, value = at.lot.start + which, program.sowings.unit_m2[sowing]
    if program.limits.nursery_bed != NONE:  # seedlings stand on that bed too
        lot, when, area = _raised(program)
        row = np.concatenate([row, program.limits.nursery_bed * weeks + when])
        column, value = np.concatenate([column, at.lot.start + lot]), np.concatenate([value, area])
    high = np.repeat(places.bed_m2, weeks)
    rows.add(row, column, value, np.full(len(high), -np.inf), high)


def _raised(program: Program) -> tuple[Index, Index, Array]:
    """(lot, week, m² of nursery per unit) of all that is sown there from now on."""
    lots, sowings = program.lots, program.sowings
    first = sowings.week[lots.sowing]
    lot, week = _spans(first, first + sowings.nursery_weeks_count[lots.sowing] - 1, program.weeks)
    new = first[lot] >= 0
    lot, week = lot[new], week[new]
    return lot, week, sowings.nursery_m2[lots.sowing[lot]]


def _sown(program: Program, at: Columns, rows: Rows) -> None:
    """A sowing's lots together: nothing unless it is sown, and then no less than is worth it."""
    lots, sowings = program.lots, program.sowings
    number = np.arange(len(sowings.crop))
    row = np.concatenate([lots.sowing, number])
    column = np.concatenate([at.lot.start + np.arange(len(lots.sowing)), at.sown.start + number])
    ones, none = np.ones(len(lots.sowing)), np.full(len(number), np.inf)
    zero = np.zeros(len(number))
    rows.add(row, column, np.concatenate([ones, -sowings.most_units_count]), -none, zero)
    rows.add(row, column, np.concatenate([ones, -sowings.least_units_count]), zero, none)
    tight = np.flatnonzero(lots.most_units_count < sowings.most_units_count[lots.sowing])
    row = np.tile(np.arange(len(tight)), 2)
    column = np.concatenate([at.lot.start + tight, at.sown.start + lots.sowing[tight]])
    value = np.concatenate([np.ones(len(tight)), -lots.most_units_count[tight]])
    rows.add(row, column, value, np.full(len(tight), -np.inf), np.zeros(len(tight)))


def _harvests(program: Program, at: Columns) -> tuple[Index, Index, Array]:
    """(crop x T + week, column, grams per unit) of every harvest."""
    found = program.lots.yield_g.tocoo()
    lot, week = found.coords
    return program.lot_crop[lot] * program.weeks + week, at.lot.start + np.asarray(lot), np.asarray(found.data)


def _food(program: Program, at: Columns, rows: Rows) -> None:
    """What is eaten of a crop in a week is harvested then or was kept."""
    weeks, wishes = program.weeks, program.wishes
    harvest, lot, grams = _harvests(program, at)
    week = np.arange(weeks)
    eaten = (wishes.pair_crop[:, None] * weeks + week).ravel()
    stock = np.arange(program.crops * weeks)
    later = stock[stock % weeks < weeks - 1]  # kept[c, t] is what comes into week t: it leaves week t-1
    row = np.concatenate([eaten, harvest, stock, later])
    column = np.concatenate(
        [at.eaten.start + np.arange(len(eaten)), lot, at.kept.start + stock, at.kept.start + later + 1]
    )
    value = np.concatenate([np.repeat(wishes.pair_portion_g, weeks), -grams, -np.ones(len(stock)), np.ones(len(later))])
    size = program.crops * weeks
    rows.add(row, column, value, np.full(size, -np.inf), np.zeros(size))


def _kept(program: Program, at: Columns, rows: Rows) -> None:
    """What comes into a week was harvested in the weeks before it that it keeps for."""
    weeks = program.weeks
    harvest, lot, grams = _harvests(program, at)
    crop, week = harvest // weeks, harvest % weeks
    parts: list[tuple[Index, Index, Array]] = []
    for age in range(1, int(program.keep_weeks_count.max(initial=0)) + 1):
        fits = (program.keep_weeks_count[crop] >= age) & (week + age < weeks)
        parts.append((harvest[fits] + age, lot[fits], -grams[fits]))
    stock = np.arange(program.crops * weeks)
    parts.append((stock, at.kept.start + stock, np.ones(len(stock))))
    row, column, value = (np.concatenate(part) for part in zip(*parts, strict=True))
    rows.add(row, column, value, np.full(len(stock), -np.inf), np.zeros(len(stock)))


def _wished(program: Program, at: Columns, rows: Rows) -> None:
    """Portions eaten and portions missing make up the wish."""
    weeks, wishes = program.weeks, program.wishes
    week = np.arange(weeks)
    eaten = (wishes.pair_wish[:, None] * weeks + week).ravel()
    missing = np.arange(len(wishes.weight) * weeks)
    row = np.concatenate([eaten, missing])
    column = np.concatenate([at.eaten.start + np.arange(len(eaten)), at.missing.start + missing])
    wanted = wishes.portions_count.ravel()
    rows.add(row, column, np.ones(len(row)), wanted, wanted)


def _varied(program: Program, at: Columns, rows: Rows) -> None:
    """As many sowings serve a wish in a week as its variety asks, or portions are missing.

    It follows from whole sowings and is not in the relaxed program without: where no crop fills more than a share s of
    a wish W, fewer than n = ⌈1/s⌉ sowings leave at least W (1 - (n - 1) s) of it missing, and each one fewer another
    sW, which is no less; so n sowings, or that much missing for each that is not there.
    """
    wishes, weeks = program.wishes, program.weeks
    serves = _serving(program)
    for wish, share in enumerate(wishes.most_share):
        crops = wishes.pair_crop[wishes.pair_wish == wish]
        asked = np.flatnonzero(wishes.portions_count[wish] > 0)
        if not len(crops) or not len(asked):
            continue
        count = int(np.ceil(1.0 / share - SMALL_SHARE))
        each = wishes.portions_count[wish, asked] * (1.0 - (count - 1) * share)
        week, sowing = np.nonzero((serves & np.isin(program.sowings.crop, crops)[:, None])[:, asked].T)
        row = np.concatenate([week, np.arange(len(asked))])
        column = np.concatenate([at.sown.start + sowing, at.missing.start + wish * weeks + asked])
        value = np.concatenate([np.ones(len(sowing)), 1.0 / each])
        rows.add(row, column, value, np.full(len(asked), float(count)), np.full(len(asked), np.inf))


SMALL_SHARE: Final = 1e-9


def _serving(program: Program) -> Bools:
    """Whether anything of a sowing can be on the table in a week, harvested then or kept [Z, T]."""
    lot, week = program.lots.yield_g.tocoo().coords
    keeps = program.keep_weeks_count[program.lot_crop[lot]]
    out = np.zeros((len(program.sowings.crop), program.weeks), dtype=np.bool_)
    for age in range(int(program.keep_weeks_count.max(initial=0)) + 1):
        there = (keeps >= age) & (week + age < program.weeks)
        out[program.lots.sowing[lot[there]], week[there] + age] = True
    return out


def _lit(program: Program, at: Columns, rows: Rows) -> None:
    """A place under a lamp is used only while it burns, and it burns only if it is there."""
    lamps, weeks = len(program.lamps.buy_currency), program.weeks
    if not lamps:
        return
    lots, places = program.lots, program.places
    which, week = _spans(lots.first_week, lots.last_week, weeks)
    sowing = lots.sowing[which]
    place = program.sowings.place[sowing]
    lit = places.lamp[place] != NONE
    burning = np.arange(lamps * weeks)
    own = np.zeros(lamps)
    given = places.lamp != NONE
    own[places.lamp[given]] = places.bed_m2[places.bed[given]]
    own *= 1.0 if program.lamps.part_frac is None else program.lamps.part_frac
    row = np.concatenate([places.lamp[place[lit]] * weeks + week[lit], burning])
    column = np.concatenate([at.lot.start + which[lit], at.burns.start + burning])
    value = np.concatenate([program.sowings.unit_m2[sowing[lit]], -np.repeat(own, weeks)])
    none, zero = np.full(len(burning), -np.inf), np.zeros(len(burning))
    rows.add(row, column, value, none, zero)
    row = np.concatenate([burning, burning])
    column = np.concatenate([at.burns.start + burning, at.lamp.start + burning // weeks])
    rows.add(row, column, np.repeat([1.0, -1.0], len(burning)), none, zero)
    drawn = program.lamps.current_a
    if drawn is not None and np.isfinite(program.limits.lamps_a):  # all that is bought hangs on one circuit
        bought = np.arange(at.lamp.start, at.lamp.stop)
        rows.add(np.zeros(lamps, np.intp), bought, drawn, np.array([-np.inf]), np.array([program.limits.lamps_a]))


def _rested(program: Program, at: Columns, rows: Rows) -> None:
    """A family's ground rests from it: its stands, each drawn out by the rest, must fit on the bed side by side."""
    rest = program.limits.rest_weeks_count
    if rest <= 0:
        return
    lots, weeks, places = program.lots, program.weeks, program.places
    families = int(program.crop_family.max(initial=0)) + 1
    which, week = _spans(lots.first_week, lots.last_week + rest, weeks)
    sowing = lots.sowing[which]
    bed = places.bed[program.sowings.place[sowing]]
    row = (bed * families + program.crop_family[program.sowings.crop[sowing]]) * weeks + week
    high = np.repeat(places.bed_m2, families * weeks)
    ground = ~program.sowings.tray[sowing]
    value = np.where(ground, program.sowings.unit_m2[sowing], 0.0)
    rows.add(row, at.lot.start + which, value, np.full(len(high), -np.inf), high)


def _nursed(program: Program, at: Columns, rows: Rows) -> None:
    """No more seedlings than the nursery has room for, beside those that stand there since before the plan."""
    if not np.isfinite(program.limits.nursery_m2):
        return
    sowings, weeks = program.sowings, program.weeks
    lot, week, value = _raised(program)
    old = np.flatnonzero(sowings.week < 0)
    stands, when = _spans(sowings.week[old], (sowings.week + sowings.nursery_weeks_count)[old] - 1, weeks)
    taken = np.zeros(weeks)
    np.add.at(taken, when, (sowings.nursery_m2 * sowings.most_units_count)[old[stands]])
    high = np.maximum(program.limits.nursery_m2 - taken, 0.0)
    rows.add(week, at.lot.start + lot, value, np.full(weeks, -np.inf), high)


def _worked(program: Program, at: Columns, rows: Rows) -> None:
    """No week asks for more work than there is time."""
    limit = program.limits.work_min
    if not np.isfinite(limit).any():
        return
    lots, sowings, weeks = program.lots, program.sowings, program.weeks
    harvest, lot, grams = _harvests(program, at)
    sown, number = sowings.week, np.arange(len(sowings.week))
    here = (sown >= 0) & (sown < weeks)
    lot_here = here[lots.sowing]
    tended, when = _spans(lots.first_week, lots.last_week, weeks)
    row = np.concatenate([harvest % weeks, sown[here], sown[lots.sowing][lot_here], when])
    column = np.concatenate(
        [
            lot,
            at.sown.start + number[here],
            at.lot.start + np.arange(len(lots.sowing))[lot_here],
            at.lot.start + tended,
        ]
    )
    value = np.concatenate(
        [
            grams * program.harvest_min_per_g[harvest // weeks],
            sowings.fixed_min[here],
            sowings.unit_min[lots.sowing][lot_here],
            sowings.week_min[lots.sowing][tended],
        ]
    )
    rows.add(row, column, value, np.full(weeks, -np.inf), limit)


def _spent(program: Program, at: Columns, rows: Rows) -> None:
    """Money within the budget, and no more sowings than the household wants to make."""
    for most, columns, value in _sums(program, at):
        if np.isfinite(most):
            rows.add(np.zeros(len(columns), np.intp), columns, value, np.array([-np.inf]), np.array([most]))


def _sums(program: Program, at: Columns) -> Iterator[tuple[float, Index, Array]]:
    sown = np.arange(at.sown.start, at.sown.stop)
    yield program.limits.most_sowings_count, sown, (program.sowings.week >= 0).astype(np.float64)
    money = money_currency(program)
    paid = np.flatnonzero(money)
    yield program.limits.budget_currency, paid, money[paid]


def money_currency(program: Program) -> Array:
    """Money alone, by column."""
    at = columns_of(program)
    out = np.zeros(at.count)
    out[at.lot] = program.sowings.unit_currency[program.lots.sowing]
    out[at.lamp] = program.lamps.buy_currency
    out[at.burns] = program.lamps.week_currency.ravel()
    out[at.trays] = program.tray_currency
    return out


def _lying(program: Program, at: Columns, rows: Rows) -> None:
    """No more trays lie in any week than are bought, where they must be bought."""
    if program.tray_currency <= 0.0:
        return
    lots, sowings, weeks = program.lots, program.sowings, program.weeks
    which, week = _spans(lots.first_week, lots.last_week, weeks)
    lies = sowings.tray[lots.sowing[which]]
    which, week = which[lies], week[lies]
    row = np.concatenate([week, np.arange(weeks)])
    column = np.concatenate([at.lot.start + which, np.full(weeks, at.trays.start)])
    value = np.concatenate([sowings.unit_m2[lots.sowing[which]] / program.tray_m2, -np.ones(weeks)])
    rows.add(row, column, value, np.full(weeks, -np.inf), np.zeros(weeks))


def _counted(program: Program, at: Columns, rows: Rows) -> None:
    """A kind is looked after, and a week has sowing in it, if anything of it is sown."""
    sowings = program.sowings
    ahead = np.flatnonzero((sowings.week >= 0) & (sowings.week < program.weeks))  # what stands is looked after already
    number = np.arange(len(ahead))
    none, zero = np.full(len(number), -np.inf), np.zeros(len(number))
    for what in (at.kind.start + sowings.crop[ahead], at.day.start + sowings.week[ahead]):
        row, column = np.concatenate([number, number]), np.concatenate([at.sown.start + ahead, what])
        rows.add(row, column, np.repeat([1.0, -1.0], len(number)), none, zero)
