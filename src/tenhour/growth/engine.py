"""The daily loop: many cases at once, in single precision, dropping those that have ended.

A case is one sowing of one crop in one bed under one draw. Rows are what share a year of coefficients (crop, bed,
draw); each case walks down its row's column of the day tables from its own first day. Nothing here knows crops.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.carbon import Constants
from tenhour.growth.shapes import YEAR_D, Status

Single = NDArray[np.float32]
Index = NDArray[np.intp]

CHECK_EVERY_D: Final = 4
"""Days between looks for the dead and finished."""

PART_CASES: Final = 24000
"""Cases stepped together through the days between two looks: few enough to stay in the processor's cache, enough to
hide numpy's overhead. Measured."""

COMPACT_BELOW: Final = 0.9
"""Close up the arrays when fewer than this share of cases still grows."""

SEEDLING_LEAVES: Final = 2.0
SEEDLING_LOST_SHARE: Final = 0.13
"""A seedling that has lived on this share of its greatest mass is dead: weeks in the dark at 20/10 °C, months near
freezing, where little is spent (late sowings stand still and crop in spring: Orde & Sideman 2016). Judgement."""
LOST_SHARE: Final = 0.4
"""A stand that has lost this share of its greatest mass is dead. Judgement."""

WEEK_D: Final = 7
EARLY_D: Final = 21
"""Days after emergence over which supply and demand are averaged: the first three weeks decide on stretch."""

NEVER: Final = np.float32(np.inf)
SMALL: Final = np.float32(1e-9)


class Tables(NamedTuple):
    """Day coefficients of R rows, arrays [365, R] or, of days that are all alike, [1, R] in single precision (see
    ``carbon.DayCoefficients``)."""

    cover_m2_g: Single
    gross_g_m2_d: Single
    upkeep_per_d: Single
    sink_per_d: Single
    length_ratio: Single | None = None
    young_length_ratio: Single | None = None
    """Of leaves that are cut young."""


@dataclass
class Cases:
    """The n cases of a block while they run; arrays [n], closed up as cases end."""

    number: Index
    index: Index
    start_d: Single
    mass: Single
    leaf_clock: Single
    leaf_cost: Single
    leaf_speed: Single
    next_leaf: Single
    shortest: Single
    """Least share of the leaves wanted that can be long enough, as drawn leaves are; 1 for crops not cut by length."""
    transplant_leaves: Single
    target: Single
    target_after: Single
    least: Single
    heavy: Single
    cuts_left: Single
    keep_share: Single
    running: Single
    peak: Single
    young_target: Single
    young_leaves: Single
    """Mass, or leaves, at which it would be cut as young leaf; infinite where it never is, or has been."""
    young_shortest: Single
    done: NDArray[np.bool_]
    leaves: Single = field(init=False)
    """Leaves unfolded: what the clock gives, no more than the mass has paid for."""
    early: Single = field(init=False)
    """Supply over demand so far, while it is averaged."""

    def __post_init__(self) -> None:
        """Count the leaves that stand."""
        self.leaves = self.unfolded(slice(None))
        self.early = np.zeros_like(self.mass)

    def unfolded(self, which: Index | slice) -> Single:
        """Leaves of some cases by their clock and mass. Method: docs/method/growth.md, "One day"."""
        found: Single = np.minimum(self.leaf_clock[which], np.sqrt(self.mass[which] / self.leaf_cost[which]))
        return found

    def parts(self) -> Iterator[Cases]:
        """Views of so many cases each as are stepped together."""
        count = len(self.mass)
        if count <= PART_CASES:
            yield self
            return
        size = -(-count // -(-count // PART_CASES))
        for first in range(0, count, size):
            part = object.__new__(Cases)
            for name in self.__dataclass_fields__:
                setattr(part, name, getattr(self, name)[first : first + size])
            yield part

    def keep(self, which: Index) -> None:
        """Close up to some of the cases."""
        for name in self.__dataclass_fields__:
            setattr(self, name, getattr(self, name).take(which))


@dataclass
class Outcome:
    """What became of the n cases; arrays [n], days since sowing."""

    first_leaf_d: Single
    transplant_d: Single
    harvest_d: Single
    harvest_mass: Single
    status: NDArray[np.int8]
    mass: Single
    leaves: Single
    growth: Single
    ratio: Single
    transplant_mass: Single
    count: Single
    weeks: Single | None
    snapshots: Single | None
    young_d: Single
    young_mass: Single


class Plan(NamedTuple):
    """What a run is asked for: how long, which stands are cut again, days to photograph, and whether young cuts are
    noted."""

    horizon_d: int
    repeat: NDArray[np.bool_] | None
    """By number of the case; None where no stand is."""
    snapshot_d: NDArray[np.float64]
    by_leaves: NDArray[np.bool_]
    young: bool = False


def empty_outcome(n: int, plan: Plan) -> Outcome:
    """Outcome of cases that have not begun: NaN everywhere."""

    def nan() -> Single:
        return np.full(n, np.nan, dtype=np.float32)

    weeks = None
    if plan.repeat is not None:
        weeks = np.zeros((n, -(-plan.horizon_d // WEEK_D) + 1), dtype=np.float32)
    shots = np.full((n, len(plan.snapshot_d), 4), np.nan, dtype=np.float32) if len(plan.snapshot_d) else None
    status = np.full(n, Status.TOO_COLD, dtype=np.int8)
    zero = np.zeros(n, dtype=np.float32)
    young = (nan(), nan()) if plan.young else (zero, zero)
    return Outcome(
        nan(), nan(), nan(), nan(), status, nan(), nan(), nan(), zero, nan(), zero.copy(), weeks, shots, *young
    )


def cover_share(x: Single) -> Single:
    """Light absorbed per unit of cover, (1 − exp(−x))/x, to 1e-4 for x in 0-20.

    A rational function that is 1 at nothing and goes as 1/x far out; fitted by ``scripts/fit_cover_share.py``,
    checked against the exact form in tests/growth.
    Method: rational function of degree 3 over 4, by the script named above.
    """
    a, b, c = COVER_TOP
    d, e, f, g = COVER_BOTTOM
    top: Single = x * c
    bottom = x * g
    for upper, lower in ((b, f), (a, e)):
        top += upper
        top *= x
        bottom += lower
        bottom *= x
    bottom += d
    bottom *= x
    top += 1
    bottom += 1
    top /= bottom
    return top


COVER_TOP: Final = (np.float32(0.2346742), np.float32(0.05232375), np.float32(0.01190384))
COVER_BOTTOM: Final = (np.float32(0.7333947), np.float32(0.2580124), np.float32(0.0516716), np.float32(0.01190384))
"""Coefficients of :func:`cover_share`: least worst relative error on 0-20 (scripts/fit_cover_share.py). Derived."""


class Loop:
    """One block of cases, stepped a day at a time."""

    def __init__(self, tables: Tables, cases: Cases, outcome: Outcome, plan: Plan, constants: Constants) -> None:
        self.tables = tables
        days, self.rows = tables.sink_per_d.shape
        if days == 1:  # all days are alike
            cases.index %= self.rows
            self.rows = 0
        self.cases = cases
        self.out = outcome
        self.plan = plan
        self.young = plan.young
        """Whether any case may still be cut as young leaf."""
        self.constants = constants
        most = min(len(cases.mass), PART_CASES)  # numpy is slower at the lesser of an array and a number
        self.zeros, self.ones = np.zeros(most, dtype=np.float32), np.ones(most, dtype=np.float32)
        self.many_leaves = np.full(most, constants.young_leaves_count, dtype=np.float32)
        self.places = np.full(plan.horizon_d + 2, -1, dtype=np.intp)
        asked = np.flatnonzero((plan.snapshot_d >= 0) & (plan.snapshot_d <= plan.horizon_d))
        self.places[plan.snapshot_d[asked].astype(np.intp)] = asked

    def run(self) -> Outcome:
        """Step until every case has ended; return the outcome."""
        day = 0
        self._close()
        while len(self.cases.mass):
            whole = self.cases
            for self.cases in whole.parts():
                for step in range(CHECK_EVERY_D):
                    self._step(day + step)
            self.cases = whole
            day += CHECK_EVERY_D
            self._end(day)
        return self.out

    def _take(self, table: Single) -> Single:
        """Today's coefficient of every case; indexes past the year's end wrap round."""
        return table.take(self.cases.index, mode="wrap")

    def _step(self, day: int) -> None:
        """Advance every case by a day and note what it has reached."""
        c, k = self.cases, self.constants
        count = len(c.mass)
        stage = np.minimum(c.leaves, self.many_leaves[:count])
        stage *= np.float32((1 - k.young_frac) / k.young_leaves_count)
        stage += np.float32(k.young_frac)
        stage *= self._take(self.tables.cover_m2_g)
        cover = stage * c.mass
        source = self._take(self.tables.gross_g_m2_d)
        source *= stage
        source *= cover_share(cover)
        upkeep = self._activity()
        upkeep *= self._take(self.tables.upkeep_per_d)
        source -= upkeep
        np.minimum(source, np.multiply(source, np.float32(k.growth_yield_frac), out=upkeep), out=source)
        sink = self._take(self.tables.sink_per_d)
        growth = _smooth_minimum(source, sink, k.smooth_frac)
        np.maximum(source, self.zeros[:count], out=source)
        self._unfold(source, sink)
        self._note_early(day, source, sink)
        c.mass *= np.add(growth, np.float32(1), out=upkeep)
        growth -= c.running
        growth *= np.float32(1 / WEEK_D)
        c.running += growth
        self._events(day + 1, source, sink, cover)
        c.index += self.rows

    def _activity(self) -> Single:
        """Share of full upkeep, from the running growth of the last week."""
        idle = np.float32(self.constants.upkeep_idle_frac)
        active = np.maximum(self.cases.running, self.zeros[: len(self.cases.running)])
        active *= np.float32(-self.constants.upkeep_growth_d)
        np.exp(active, out=active)
        active *= 1 - idle
        return np.subtract(np.float32(1), active, out=active)

    def _unfold(self, source: Single, sink: Single) -> None:
        """Move the leaf clock on: at the pace of warmth, slowed where supply falls short of demand."""
        half = np.float32(self.constants.leaf_half_ratio)
        pace = source * (1 + half)
        want = sink * half
        want += source
        want += SMALL
        pace /= want
        np.minimum(pace, self.ones[: len(pace)], out=pace)
        pace *= sink
        pace *= self.cases.leaf_speed
        self.cases.leaf_clock += pace

    def _note_early(self, day: int, source: Single, sink: Single) -> None:
        """Add up supply over demand through the first three weeks."""
        if day < EARLY_D:
            ratio = np.minimum(source / (sink + SMALL), RATIO_CAP)
            ratio -= self.cases.early
            ratio /= np.float32(day + 1)
            self.cases.early += ratio

    def _events(self, step: int, source: Single, sink: Single, cover: Single) -> None:
        """Record first leaf, transplanting, harvests and snapshots reached on this day."""
        c = self.cases
        leaves = np.divide(c.mass, c.leaf_cost, out=c.leaves)
        np.sqrt(leaves, out=leaves)
        np.minimum(leaves, c.leaf_clock, out=leaves)
        if self.young:
            self._note_young(leaves, step)
        reached = self._long_enough(leaves, self.tables.length_ratio, c.next_leaf, c.shortest)
        if reached.size:
            self._leaf_event(reached, step)
        grown = leaves if self.out.snapshots is None else leaves.copy()
        ripe = (c.mass >= c.target).nonzero()[0]
        if ripe.size:
            self._harvest(ripe, step)
        if self.out.snapshots is not None:
            self._photograph(step, grown, source / (sink + SMALL), cover)

    def _long_enough(self, leaves: Single, table: Single | None, wanted: Single, shortest: Single) -> Index:
        """Cases whose leaves count as many as are wanted: drawn leaves count for more, once there are true ones.

        Parameters: leaves; table, what drawn leaves count; wanted; shortest, least share of them that can be enough.
        """
        if table is None:
            return np.asarray((leaves >= wanted).nonzero()[0])
        c = self.cases
        near = (leaves >= wanted * shortest).nonzero()[0]
        if not near.size:
            return np.asarray(near)
        counted = leaves[near]
        drawn = counted * table.take(c.index[near], mode="wrap")
        return np.asarray(near[np.where(c.next_leaf[near] > 1, drawn, counted) >= wanted[near]])

    def _note_young(self, leaves: Single, step: int) -> None:
        """Note the cases that would be cut as young leaf on this day: by mass, or by leaves after the first one."""
        c, out = self.cases, self.out
        by_leaves = self._long_enough(leaves, self.tables.young_length_ratio, c.young_leaves, c.young_shortest)
        by_leaves = by_leaves[c.next_leaf[by_leaves] > 1]
        for which in (by_leaves, (c.mass >= c.young_target).nonzero()[0]):
            if which.size:
                number = c.number[which]
                out.young_d[number] = c.start_d[which] + step
                out.young_mass[number] = c.mass[which]
                self._grown_up(which)

    def _grown_up(self, which: Index) -> None:
        """Let cases be cut as young leaf no more."""
        self.cases.young_target[which] = NEVER
        self.cases.young_leaves[which] = NEVER

    def _leaf_event(self, which: Index, step: int) -> None:
        """Note first leaves and plants ready to be set out; leaves of cutting length then wait for their mass."""
        c, out = self.cases, self.out
        number, day = c.number[which], c.start_d[which] + step
        first = c.next_leaf[which] <= 1
        out.first_leaf_d[number[first]] = day[first]
        later = ~first & np.isnan(out.transplant_d[number])
        out.transplant_d[number[later]] = day[later]
        out.transplant_mass[number[later]] = c.mass[which[later]]
        long_enough = which[~first & self.plan.by_leaves[number]]
        c.next_leaf[which] = np.where(first, c.transplant_leaves[which], NEVER)
        # leaves of cutting length are cut once they also make a cut worth taking
        c.target[long_enough] = c.least[long_enough]

    def _harvest(self, which: Index, step: int) -> None:
        """Cut or pick; a crop that does not grow again is finished."""
        c, out = self.cases, self.out
        number, day = c.number[which], c.start_d[which] + step
        self._finish(number, which, day)
        self._grown_up(which)
        if out.weeks is None or self.plan.repeat is None:
            self._stop(which)
            return
        again = self.plan.repeat[number]
        if not again.all():
            self._stop(which[~again])
            which, number, day = which[again], number[again], day[again]
        picked = np.isfinite(c.target_after[which])
        after = np.where(picked, c.target_after[which], c.mass[which] * c.keep_share[which])
        inside = day <= self.plan.horizon_d
        week = ((day - 1) // WEEK_D).astype(np.intp)
        taken = np.where(picked, c.mass[which] - after, c.mass[which])
        np.add.at(out.weeks, (number[inside], week[inside]), taken[inside])
        out.count[number[inside]] += 1
        c.cuts_left[which] -= 1
        over = ~picked & ((c.keep_share[which] <= 0) | (c.cuts_left[which] < 1))
        self._stop(which[over])
        self._cut_back(which[~over], after[~over])

    def _stop(self, which: Index) -> None:
        """Let nothing more come of cases that have ended, however long they stay beside others of their block."""
        self.cases.done[which] = True
        self.cases.target[which] = NEVER
        self.cases.next_leaf[which] = NEVER
        self._grown_up(which)

    def _cut_back(self, which: Index, after: Single) -> None:
        """Leave the stubble, or the standing part, to grow on; cut leaves have to be made anew."""
        c = self.cases
        share = after / c.mass[which]
        c.leaf_clock[which] *= np.where(np.isfinite(c.target_after[which]), 1, share)
        c.mass[which] = after
        c.peak[which] = after
        c.leaves[which] = c.unfolded(which)
        again = self.plan.by_leaves[c.number[which]]
        c.next_leaf[which] = np.where(again, c.transplant_leaves[which], c.next_leaf[which])
        c.target[which] = np.where(again, c.heavy[which], c.target[which])

    def _finish(self, number: Index, which: Index, day: Single) -> None:
        """Record a first harvest."""
        out = self.out
        new = np.isnan(out.harvest_d[number]) & (day <= self.plan.horizon_d)
        out.harvest_d[number[new]] = day[new]
        out.harvest_mass[number[new]] = self.cases.mass[which[new]]
        out.status[number[new]] = Status.FINE

    def _photograph(self, step: int, leaves: Single, ratio: Single, cover: Single) -> None:
        """Note the state of the cases that have an asked day today."""
        c, shots = self.cases, self.out.snapshots
        place = self.places[np.minimum(c.start_d + step, self.plan.horizon_d + 1).astype(np.intp)]
        hit = np.flatnonzero(place >= 0)
        if hit.size and shots is not None:
            four = np.stack([c.mass[hit], leaves[hit], ratio[hit], cover[hit]], axis=-1)
            shots[c.number[hit], place[hit]] = four

    def _end(self, day: int) -> None:
        """Find the dead, the finished and those past the horizon, and close up."""
        c = self.cases
        np.maximum(c.peak, c.mass, out=c.peak)
        dead = c.mass < c.peak * (1 - np.float32(LOST_SHARE))
        dead |= (c.mass < c.peak * (1 - np.float32(SEEDLING_LOST_SHARE))) & (c.leaves < SEEDLING_LEAVES)
        number = c.number[dead]
        self.out.status[number[np.isnan(self.out.harvest_d[number])]] = Status.STARVED
        self._stop(np.flatnonzero(dead))
        over = c.start_d + day >= self.plan.horizon_d
        stop = dead | over | c.done
        if np.count_nonzero(stop) > (1 - COMPACT_BELOW) * len(stop) or stop.all():
            self._leave(stop)
            c.keep(np.flatnonzero(~stop))
        self.young = self.young and bool((np.minimum(c.young_target, c.young_leaves) < NEVER).any())

    def _close(self) -> None:
        """Set the status of cases that begin to "not within the horizon"; drop those that begin after it."""
        c = self.cases
        self.out.status[c.number] = Status.NOT_WITHIN
        late = c.start_d >= self.plan.horizon_d
        if late.any():
            self._leave(late)
            c.keep(np.flatnonzero(~late))

    def _leave(self, stop: NDArray[np.bool_]) -> None:
        """Write the last state of cases that leave."""
        c, out = self.cases, self.out
        number = c.number[stop]
        out.mass[number] = c.mass[stop]
        out.leaves[number] = c.leaves[stop]
        out.growth[number] = c.running[stop]
        out.ratio[number] = c.early[stop]


RATIO_CAP: Final = np.float32(3.0)
"""Supply over demand counts no further than this in the mean of the first weeks."""


def _smooth_minimum(a: Single, b: Single, smooth_frac: float) -> Single:
    """Smaller of two numbers with a rounded corner: the lower root of smooth y² - (a + b) y + a b = 0."""
    total = a + b
    root = total * total
    both = a * b
    both *= np.float32(4 * smooth_frac)
    root -= both
    np.sqrt(root, out=root)
    total -= root
    total *= np.float32(1 / (2 * smooth_frac))
    return total


def single(values: Any) -> Single:
    """Return values as a fresh single-precision array."""
    return np.array(values, dtype=np.float32)


__all__ = [
    "CHECK_EVERY_D",
    "YEAR_D",
    "Cases",
    "Loop",
    "Outcome",
    "Plan",
    "Tables",
    "cover_share",
    "empty_outcome",
    "single",
]
