"""Solving the household's program: the least that must be missing, then the plan with its proven gap.

The solver is HiGHS (Huangfu & Hall 2018, Mathematical Programming Computation 10:119), through scipy, or through its
own package where that is installed: then a search starts from the best plan known, tells how far it is, and can be
stopped.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from hashlib import blake2b
from itertools import combinations, cycle
from threading import Event, Thread
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from tenhour.errors import NoAnswer
from tenhour.plan.feed.matrix import Matrix, columns_of, matrix_of, missing_weights
from tenhour.plan.feed.program import Lots, Program, Sowings

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

SMALL: Final = 1e-7
START_SOWINGS: Final = 100
"""Sowings kept for the first, quick search: those the relaxed plan uses, then the best by reduced cost."""
START_SHARE: Final = 0.15
"""Share of the time given to that first search; it finds most of what is found (docs/method/feeding.md)."""
WINDOWED_SOWINGS: Final = 300
"""With fewer sowings offered the whole is searched at once: judgement."""
WINDOWS_SHARE: Final = 0.4
"""Share of the time in which the plan is bettered some weeks at a time, where no other search can run beside."""
WINDOW_WEEKS: Final = 10
PAIR_WEEKS: Final = 20
"""Weeks of a window on two beds: twice as many on about half the ground."""
WINDOW_SOWINGS: Final = 150
WINDOW_S: Final = 4.0
WINDOW_SHARE: Final = 1.0 / 15.0
"""Most time for one window, in seconds or as a share of the whole search, whichever is more: judgement."""
KEPT_SHARE: Final = 0.3
"""Share of the time in which the bound of a plan that is kept is proven anew where it is not known: judgement."""
TIDY_SHARE: Final = 0.15
"""Share of what is left then that the third level may take."""
WHOLE_SHARE: Final = 0.15
"""Share of it for what must be missing with whole sowings, where the plan leaves more than the relaxed program."""
WHOLE_LEAST_S: Final = 1.0
"""And no less than this, however little time is left: judgement."""
TIDY_FRAC: Final = 0.005
"""A plan that costs so little more is given for a tidier one: as close as the search counts as the best."""
TIDY_MISSING: Final = 1e-4
"""Weighted portions that tidying may add: nothing that anybody sees, and more than rounding."""
TIDY_COST: Final = 1e-3
"""How much cost counts at the third level: it only breaks ties."""
TELL_S: Final = 0.2
"""Between two words of progress."""
GAP_FRAC: Final = 0.005
"""Closer than this to the bound a plan counts as the best: half a per cent is less than any number in it is sure."""

Progress = Callable[["Standing"], None]


@dataclass(frozen=True)
class Standing:
    """How far a search is."""

    seconds_s: float
    best_currency: float
    bound_currency: float


@dataclass(frozen=True)
class Plan:
    """What to do, and how good it is proven to be."""

    lots: tuple[tuple[int, float], ...]
    """Lots of the program that are used, with their units."""
    eaten_count: Array
    """Portions of each pair of crop and wish [K, T]."""
    missing_count: Array
    """Portions missing of each wish [G, T]."""
    lamps: tuple[int, ...]
    burns: tuple[tuple[int, int], ...]
    """Lamps and the weeks in which they burn."""
    cost_currency: float
    """Objective: missing portions at their price, money and work."""
    bound_currency: float
    """No plan costs less: proven."""
    missing_weight: float
    missing_least_weight: float
    """No plan leaves less missing: proven by the relaxed program."""
    missing_whole_weight: float
    """No plan of whole trays and of sowings worth a line leaves less missing: proven by a search, if there was time."""
    seconds_s: float
    stopped: bool
    """Whether the search ended by time or by hand, not by proof."""
    by_hand: bool = False
    """Whether it was ended by hand: then nothing more is to be searched."""
    values: Array = field(default_factory=lambda: np.zeros(0), repr=False)
    """The plan as values of the program's columns, for a search that goes on from it."""
    mark: str = ""
    """Which program its bound is of."""

    @property
    def gap_frac(self) -> float:
        """How much cheaper a plan could at most be, as a share of this one's cost."""
        return max(self.cost_currency - self.bound_currency, 0.0) / max(abs(self.cost_currency), SMALL)


def least_missing(program: Program) -> float:
    """Least weighted portions that any plan must leave missing.

    Method: first level alone with whole numbers relaxed and without least sizes, so a bound from below, solved to
    optimality as a linear program.
    """
    return _relaxed(matrix_of(_without_least(program)), first_level=True).fun_currency


def least_parts(program: Program, missing_weight: float) -> Array:
    """Least shares of the lamps and covers on offer with which no more must be missing [L].

    Parameters: program; missing_weight, weighted portions that may be missing.
    Method: the relaxed program, in which a lamp is bought and lights its bed in parts, at the least cost of buying.
    """
    matrix = matrix_of(_without_least(program))
    rows: Any = sparse.vstack([matrix.rows, sparse.csr_array(matrix.missing_weight[None, :])])
    held = replace(matrix, rows=sparse.csr_array(rows), low=np.append(matrix.low, -np.inf),
                   high=np.append(matrix.high, missing_weight))  # fmt: skip
    bought = np.zeros(matrix.columns.count)
    bought[matrix.columns.lamp] = program.lamps.buy_currency
    found = _relaxed(replace(held, cost_currency=bought), first_level=False)
    return np.clip(found.values[matrix.columns.lamp], 0.0, 1.0)


def least_cost_currency(program: Program) -> float:
    """Least that any plan costs, missing portions, money and work: the bound of the relaxed program."""
    found = _relaxed(matrix_of(program), first_level=False, missing_currency=program.prices.missing_currency)
    return found.fun_currency


@dataclass(frozen=True)
class _Relaxed:
    fun_currency: float
    values: Array
    reduced_currency: Array


def _without_least(program: Program) -> Program:
    least = np.zeros_like(program.sowings.least_units_count)
    return replace(program, sowings=replace(program.sowings, least_units_count=least))


def _relaxed(matrix: Matrix, *, first_level: bool, missing_currency: float = 0.0) -> _Relaxed:
    aim = matrix.missing_weight if first_level else matrix.cost_currency + missing_currency * matrix.missing_weight
    equal = matrix.low == matrix.high
    above, below = np.isfinite(matrix.high) & ~equal, np.isfinite(matrix.low) & ~equal
    upper: Any = sparse.vstack([matrix.rows[above], -matrix.rows[below]])  # the stubs of scipy know dense rows only
    exact: Any = matrix.rows[equal]
    found = linprog(
        aim,
        A_ub=upper,
        b_ub=np.concatenate([matrix.high[above], -matrix.low[below]]),
        A_eq=exact,
        b_eq=matrix.high[equal],
        bounds=list(zip(matrix.least.tolist(), matrix.most.tolist(), strict=True)),
        method="highs",
    )
    if found.status != 0 or found.fun is None:
        raise NoAnswer(f"the household's plan has no solution ({found.message})")
    return _Relaxed(float(found.fun), np.asarray(found.x), np.asarray(found.lower.marginals + found.upper.marginals))


@dataclass(frozen=True)
class Kept:
    """What is known of a plan that is kept."""

    missing_weight: float = 0.0
    """Weighted portions that it was to leave missing from now on."""
    mark: str = ""
    bound_currency: float = -np.inf
    """Proven bound of the program of that mark."""
    whole_weight: float = 0.0
    """Weighted portions that must be missing with whole sowings: proven for it."""


def solve(
    program: Program, *, seconds_s: float = 60.0, progress: Progress | None = None, kept: Kept = Kept(),
    start: Plan | None = None, first: bool = False,
) -> Plan:  # fmt: skip
    """Best plan found in the time, with its bound.

    Parameters: program; seconds_s, most time for the search [s]; progress, told how far it is where the solver's own
    package is installed; kept, what is known of a plan that is kept; start, a plan of this program to go on from;
    first, whether to stop at the first quick search.
    Method: least missing as a linear program; the relaxed plan rounded; a search among the sowings of best reduced
    cost; then the whole program, started from that plan; at last the tidiest of the plans that cost hardly more.
    Missing portions have a price above that of any portion offered, so that the second level never buys at the cost of
    the first. Stopped from the keyboard, it gives the best plan so far, once there is one.
    A plan that is kept stays as it is, or with other areas, or with some sowings more, where that leaves no more
    missing than it was to; and with some more where a plan made anew would hardly leave less.
    Errors: NoAnswer where the limits contradict each other.
    """
    clock = _Clock(seconds_s, progress)
    whole = matrix_of(program)
    case = _Case(program, whole, _aim(whole, program), _mark(whole, _aim(whole, program)), clock)
    try:
        if start is not None:
            known = _Known(start.missing_least_weight, start.bound_currency)
            return case.searched(known, (start.values, start.cost_currency), tidy=True)
        return case.begun(seconds_s, kept, first=first)
    except KeyboardInterrupt:
        return case.so_far()


@dataclass(frozen=True)
class _Known:
    least_weight: float
    bound_currency: float
    whole_weight: float = 0.0


@dataclass(frozen=True)
class _Case:
    """A program that is searched."""

    program: Program
    matrix: Matrix
    aim: Array
    mark: str
    clock: _Clock

    def begun(self, seconds_s: float, kept: Kept, *, first: bool) -> Plan:
        """The plan that is kept, if it will do; else a quick search, then the whole one if it is asked."""
        program, whole, clock = self.program, self.matrix, self.clock
        least = least_missing(program)
        relaxed = _relaxed(whole, first_level=False, missing_currency=program.prices.missing_currency)
        known = _Known(least, relaxed.fun_currency)
        enough = max(least, kept.missing_weight) + KEPT_SLACK
        same = _going_on(program, whole, relaxed, clock, enough)
        if same is not None:
            clock.same, clock.known = same, known
            if float(whole.missing_weight @ same[0]) <= enough:
                return self.kept(known, same, kept)
        best = _rounded(program, relaxed)
        if same is not None and _holds(whole, same[0]):  # mended, it may be better than the relaxed plan rounded
            best = _best(best, same)
        if best is not None:
            clock.keep(best, known)
            clock.told_best(Standing(clock.gone_s, best[1], -np.inf))
        chosen = _nearest(program, relaxed, best)
        some = len(chosen) < len(program.sowings.crop)
        if some:
            near = _among(program, chosen, best, seconds_s if first else clock.share_s(START_SHARE), clock)
            if near is not None:
                best = _best(best, (near.values, near.cost_currency))
                clock.keep((near.values, near.cost_currency), known)
                if near.by_hand:
                    raise KeyboardInterrupt
        if some and first and best is not None:
            return self.told(best, known, stopped=True)
        found = self.searched(known, best, tidy=not first)
        if same is None or float(whole.missing_weight @ same[0]) > found.missing_weight + KEPT_SLACK:
            return found
        known = replace(known, bound_currency=max(known.bound_currency, found.bound_currency))
        return self.told(same, known, stopped=found.stopped, by_hand=found.by_hand)

    def so_far(self) -> Plan:
        """The best plan of a search that was stopped from the keyboard; a plan that is kept, if no more is missing."""
        best, same, missing = self.clock.best, self.clock.same, self.matrix.missing_weight
        if best is None or (same is not None and float(missing @ same[0]) <= float(missing @ best[0]) + KEPT_SLACK):
            best = same
        if best is None or self.clock.known is None:
            raise KeyboardInterrupt
        return self.told(best, self.clock.known, by_hand=True)

    def searched(self, known: _Known, best: Known | None, *, tidy: bool) -> Plan:
        """Search the whole program from the best plan known, then for the tidiest of the plans as good."""
        if best is not None:
            self.clock.keep(best, known)
        wide = best is None or float(self.matrix.missing_weight @ best[0]) > known.least_weight + KEPT_SLACK
        share = 1.0 - TIDY_SHARE - WHOLE_SHARE * wide
        found = None
        if best is not None and len(self.program.sowings.crop) > WINDOWED_SOWINGS:
            best, found = self._side_by_side(best, known, share * self.clock.left_s)
        if found is None:
            found = _search(self.matrix, self.aim, share * self.clock.left_s, best, self.clock.told)
        known = replace(known, bound_currency=max(known.bound_currency, found.bound_currency))
        best = _best(best, (found.values, found.cost_currency))
        assert best is not None
        self.clock.keep(best, known)
        if tidy and not found.by_hand:
            known = self._with_whole(known, best)
            best = _tidied(self.program, self.aim, best, self.clock)
        return self.told(best, known, stopped=found.stopped, by_hand=found.by_hand)

    def _with_whole(self, known: _Known, best: Known) -> _Known:
        """What must be missing with whole sowings, searched where the plan leaves more than the relaxed program."""
        missing = self.matrix.missing_weight
        left = float(missing @ best[0])
        if left <= known.least_weight + KEPT_SLACK:
            return known
        seconds_s = max(self.clock.left_s * WHOLE_SHARE / (WHOLE_SHARE + TIDY_SHARE), WHOLE_LEAST_S)
        found = _searched(self.matrix, missing, seconds_s, GAP_FRAC, (best[0], left), None)
        if found is not None:
            known = replace(known, whole_weight=min(found.bound_currency, left))
            self.clock.keep(best, known)
            if found.by_hand:
                raise KeyboardInterrupt
        return known

    def _side_by_side(self, best: Known, known: _Known, seconds_s: float) -> tuple[Known, _Found | None]:
        """A better plan by windows, and beside it the search for the bound, where the solver's package is there."""
        beside = _beside(self, seconds_s, best)
        if beside is None:
            return self._by_windows(best, known, self.clock.gone_s + WINDOWS_SHARE * seconds_s, None), None
        try:
            best = self._by_windows(best, known, self.clock.gone_s + seconds_s, beside)
            if self.clock.closed(best[1]):
                beside.stop()
            return best, beside.found()
        except KeyboardInterrupt:
            beside.stop()
            found = beside.found()
            if found is not None:
                known = replace(known, bound_currency=max(known.bound_currency, found.bound_currency))
                self.clock.keep(best, known)
            raise
        finally:
            beside.stop()

    def _by_windows(self, best: Known, known: _Known, until_s: float, beside: _Beside | None) -> Known:
        """A better plan by choosing some of its sowings anew at a time, the rest standing: each a small program.

        It ends where a whole round finds nothing, where the bound is near, or with its time.
        """
        program, at = self.program, self.matrix.columns
        relaxed = _relaxed(self.matrix, first_level=False, missing_currency=program.prices.missing_currency)
        windows, most_s = _windows(program), max(WINDOW_S, WINDOW_SHARE * self.clock.all_s)
        idle = 0
        for inside in cycle(windows):
            left_s = until_s - self.clock.gone_s
            done = idle == len(windows) or self.clock.closed(best[1]) or (beside is not None and beside.ended)
            if done or left_s < 1.0:
                return best
            used = best[0][at.sown] > 0.5
            chosen = _within(program, relaxed, inside, used)
            found = _among(program, chosen, best, min(most_s, left_s), self.clock, used & ~inside)
            better = found is not None and found.cost_currency < best[1] - SMALL
            idle = 0 if better else idle + 1
            best = (found.values, found.cost_currency) if better and found is not None else best
            self.clock.keep(best, known)
            if found is not None and found.by_hand:
                raise KeyboardInterrupt
        return best

    def kept(self, known: _Known, same: Known, kept: Kept) -> Plan:
        """The plan that is kept; with the bound it had where the program is the same, else with one proven anew."""
        if kept.mark == self.mark and np.isfinite(kept.bound_currency):
            bound = max(known.bound_currency, kept.bound_currency)
            return self.told(same, replace(known, bound_currency=bound, whole_weight=kept.whole_weight))
        found = _search(self.matrix, self.aim, self.clock.share_s(KEPT_SHARE), same, self.clock.told)
        known = replace(known, bound_currency=max(known.bound_currency, found.bound_currency))
        return self.told(same, known, by_hand=found.by_hand)

    def told(self, best: Known, known: _Known, *, stopped: bool = False, by_hand: bool = False) -> Plan:
        """The plan as it is given."""
        plan = _plan(
            self.program, self.matrix, best[0], min(known.bound_currency, best[1]),
            (known.least_weight, max(known.least_weight, known.whole_weight)), self.clock.gone_s,
            stopped=stopped or by_hand,
        )  # fmt: skip
        return replace(plan, by_hand=by_hand, values=best[0], mark=self.mark)


def _mark(matrix: Matrix, aim: Array) -> str:
    """Short mark of a program: two with the same mark have the same plans at the same costs."""
    told = blake2b(digest_size=8)
    rows = matrix.rows
    for part in (rows.indptr, rows.indices, rows.data, matrix.low, matrix.high, matrix.least, matrix.most, aim):
        told.update(np.ascontiguousarray(part).tobytes())
    return told.hexdigest()


KEPT_SLACK: Final = 0.25
"""Weighted portions of which nobody changes a plan: judgement."""


SIZE_SLACK: Final = 0.02
"""A patch so much larger or smaller is the same: sizes are told rounded."""
MORE_SHARE: Final = 0.35
"""Of the time left, for each of two ways of mending a plan that is kept with some more sowings."""
MORE_SOWINGS: Final = 250
"""Sowings that such a plan may choose from."""


def _going_on(program: Program, whole: Matrix, relaxed: _Relaxed, clock: _Clock, enough_weight: float) -> Known | None:
    """The least change of a plan that is kept that leaves no more missing than is enough, else that leaves least.

    As it was, with other sizes, with some sowings more, with other sizes and more: each from the one before.
    """
    best, least = None, np.inf
    if not (program.sowings.kept_units_count > 0).any():
        return best
    for sizes, some in ((True, False), (False, False), (True, True), (False, True)):
        tried = _kept_with(program, relaxed, clock, best, sizes=sizes) if some else _as_kept(program, sizes=sizes)
        left = np.inf if tried is None else float(whole.missing_weight @ tried[0])
        if left <= enough_weight:
            return tried
        if left < least - KEPT_SLACK:
            best, least = tried, left
    return best


def _as_kept(program: Program, *, sizes: bool) -> Known | None:
    """A plan that is kept with no other sowings; with or without their sizes."""
    sowings = program.sowings
    kept = sowings.kept_units_count > 0
    own = _same_sizes(sowings) if sizes else sowings
    return _of_these(replace(program, sowings=own), np.flatnonzero(kept | (sowings.week < 0) | sowings.must))


def _same_sizes(sowings: Sowings) -> Sowings:
    """The sowings, those of a plan that is kept as large as they are in it and sown without fail."""
    kept, size = sowings.kept_units_count > 0, sowings.kept_units_count
    return replace(
        sowings, must=sowings.must | kept,
        most_units_count=np.where(kept, size * (1.0 + SIZE_SLACK), sowings.most_units_count),
        least_units_count=np.where(kept, size * (1.0 - SIZE_SLACK), sowings.least_units_count),
    )  # fmt: skip


def _kept_with(
    program: Program, relaxed: _Relaxed, clock: _Clock, start: Known | None, *, sizes: bool
) -> Known | None:  # fmt: skip
    """A plan that is kept, with or without its sizes, and as few new sowings as mend it; from one that is known."""
    sowings = program.sowings
    chosen = _nearest(program, relaxed, start, MORE_SOWINGS)
    held = replace(sowings, must=sowings.must | (sowings.kept_units_count > 0))
    own = _same_sizes(sowings) if sizes else held
    small, lot_of = part_of(replace(program, sowings=own), chosen)
    matrix = matrix_of(small, counted=True)
    aim = _aim(matrix, program)
    dear = aim + matrix.tidy_currency
    begin = None
    if start is not None and not sizes:  # a plan of other sizes is no plan of these
        known = _narrowed(program, matrix, start[0], chosen, lot_of)
        begin = known, float(dear @ known)
    try:
        found = _searched(matrix, dear, MORE_SHARE * clock.left_s, GAP_FRAC, begin, None)
    except NoAnswer:
        return None
    if found is None:
        return None
    return _widened(program, matrix, found.values, float(aim @ found.values), chosen, lot_of)


def _of_these(program: Program, chosen: NDArray[np.intp]) -> Known | None:
    small, lot_of = part_of(program, chosen)
    matrix = matrix_of(small)
    try:
        found = _by_scipy(matrix, _aim(matrix, program), ROUNDING_S, GAP_FRAC)
    except NoAnswer:
        return None
    if found is None:
        return None
    return _widened(program, matrix, found.values, found.cost_currency, chosen, lot_of)


class _Clock:
    """How much of the time is gone, who is told how far it is, and what there is by then: a plan, one that is kept."""

    def __init__(self, seconds_s: float, progress: Progress | None) -> None:
        self._begin, self._all_s, self._progress = time.monotonic(), seconds_s, progress
        self._bound = -np.inf
        self._best = np.inf
        self.best: Known | None = None
        self.same: Known | None = None
        self.known: _Known | None = None

    def keep(self, best: Known, known: _Known) -> None:
        """Remember a plan, and what is known of all, for a search that is stopped from the keyboard."""
        self.best, self.known = _best(self.best, best), known

    @property
    def all_s(self) -> float:
        """Time of the whole search."""
        return self._all_s

    @property
    def gone_s(self) -> float:
        return time.monotonic() - self._begin

    @property
    def left_s(self) -> float:
        return max(self._all_s - self.gone_s, 1.0)

    def share_s(self, share: float) -> float:
        return max(self._all_s * share - self.gone_s, 1.0)

    def told(self, now: Standing) -> None:
        """Tell of a search of the whole program, whose bound holds."""
        self._bound = max(self._bound, now.bound_currency)
        self.told_best(now)

    def told_bound(self, bound_currency: float) -> None:
        """Tell of the bound of the whole program, from whatever thread."""
        self._bound = max(self._bound, bound_currency)

    def closed(self, cost_currency: float) -> bool:
        """Whether a plan of such cost counts as the best by the bound known by now."""
        return cost_currency - self._bound <= GAP_FRAC * abs(cost_currency)

    def told_best(self, now: Standing) -> None:
        """Tell of a search of a part, whose plans hold and whose bound does not."""
        self._best = min(self._best, now.best_currency)
        if self._progress is not None:
            self._progress(Standing(self.gone_s, self._best, self._bound))


@dataclass(frozen=True)
class _Found:
    values: Array
    cost_currency: float
    bound_currency: float
    stopped: bool
    by_hand: bool = False


Known = tuple[Array, float]
"""A plan as values of the whole program's columns, and its cost."""


HOLDS: Final = 1e-6
"""So much may a row be broken by rounding alone."""


def _holds(matrix: Matrix, values: Array) -> bool:
    """Whether values keep every row and bound of a program; a plan of kept sizes may be more than can be eaten now."""
    rows = matrix.rows @ values
    slack = HOLDS * np.maximum(1.0, np.abs(np.where(np.isfinite(matrix.high), matrix.high, 0.0)))
    inside = (values >= matrix.least - HOLDS) & (values <= matrix.most + HOLDS)
    return bool(inside.all() and (rows <= matrix.high + slack).all() and (rows >= matrix.low - slack).all())


def _best(*plans: Known | None) -> Known | None:
    return min((plan for plan in plans if plan is not None), key=lambda plan: plan[1], default=None)


def _rounded(program: Program, relaxed: _Relaxed) -> Known | None:
    """The relaxed plan with its small sowings left out and the others sown in earnest: two linear programs, seconds.

    Trays, of which no sowing costs anything by itself, may be sown or not wherever the relaxed plan has some.
    """
    lots = program.lots.sowing
    area = np.zeros(len(program.sowings.crop))
    np.add.at(area, lots, relaxed.values[: len(lots)])
    new = ~program.sowings.must & (program.sowings.week >= 0)
    free = program.sowings.tray & new & np.isinf(program.limits.most_sowings_count)
    least = program.sowings.least_units_count * np.where(free, TRAY_ROUNDING, 1.0 - ROUNDING)
    chosen = np.flatnonzero(area >= np.maximum(least, SMALL))
    small, lot_of = part_of(program, chosen)
    matrix = matrix_of(small)
    low, most = matrix.least.copy(), matrix.most.copy()
    low[matrix.columns.sown] = np.maximum(low[matrix.columns.sown], ~free[chosen])
    whole = matrix.whole.copy()
    whole[matrix.columns.sown] = False
    found = milp(
        _aim(matrix, program), integrality=whole.astype(int), bounds=Bounds(low, most),
        constraints=LinearConstraint(matrix.rows, matrix.low, matrix.high),
        options={"time_limit": ROUNDING_S, "mip_rel_gap": 2 * GAP_FRAC},
    )  # fmt: skip
    if found.x is None:
        return None
    values = _sown_whole(small, matrix, np.asarray(found.x))
    return _widened(program, matrix, values, float(_aim(matrix, program) @ values), chosen, lot_of)


def _sown_whole(program: Program, matrix: Matrix, values: Array) -> Array:
    """The same with every sowing that has anything sown, and none that has nothing."""
    at, out = matrix.columns, values.copy()
    units = np.zeros(len(program.sowings.crop))
    np.add.at(units, program.lots.sowing, values[at.lot])
    sown = np.maximum(units > SMALL, matrix.least[at.sown] > 0.0)
    out[at.sown] = np.where(program.sowings.tray, sown, out[at.sown])
    return out


ROUNDING: Final = 0.5
"""A sowing that the relaxed plan makes half as large as is worth it is sown in earnest: judgement."""
TRAY_ROUNDING: Final = 0.05
"""Trays of which the relaxed plan has so much of one are tried: judgement."""
ROUNDING_S: Final = 10.0


def _narrowed(
    program: Program, matrix: Matrix, values: Array, chosen: NDArray[np.intp], lot_of: NDArray[np.intp]
) -> Array:
    """A plan of the whole program as values of the columns of one with some of its sowings."""
    whole, at = columns_of(program), matrix.columns
    out = np.zeros(at.count)
    out[at.lot] = values[whole.lot.start + lot_of]
    out[at.sown] = values[whole.sown.start + chosen]
    for name in SHARED:
        out[getattr(at, name)] = values[getattr(whole, name)]
    sowings = program.sowings
    sown = chosen[(out[at.sown] > 0.5) & (sowings.week[chosen] >= 0) & (sowings.week[chosen] < program.weeks)]
    out[at.kind.start + sowings.crop[sown]], out[at.day.start + sowings.week[sown]] = 1.0, 1.0
    return out


SHARED: Final = ("eaten", "missing", "kept", "lamp", "burns", "trays")
"""Columns that a program has whatever sowings it offers; kinds and weeks with sowing follow from what is sown."""


def _widened(
    program: Program, matrix: Matrix, found: Array, cost: float, chosen: NDArray[np.intp], lot_of: NDArray[np.intp]
) -> Known:
    """A plan of some of the sowings as values of the whole program's columns."""
    whole, at = columns_of(program), matrix.columns
    values = np.zeros(whole.count)
    values[whole.lot.start + lot_of] = found[at.lot]
    values[whole.sown.start + chosen] = found[at.sown]
    for name in SHARED:
        values[getattr(whole, name)] = found[getattr(at, name)]
    return values, cost


def _nearest(
    program: Program, relaxed: _Relaxed, known: Known | None, most: int = START_SOWINGS
) -> NDArray[np.intp]:  # fmt: skip
    """Sowings that the relaxed plan uses, then those of best reduced cost; a known plan's own and what stands."""
    count, at = len(program.sowings.crop), columns_of(program)
    used = relaxed.values[at.sown]
    merit = np.where(used > SMALL, -used, np.maximum(relaxed.reduced_currency[at.sown], 0.0))
    merit[program.sowings.must | (program.sowings.kept_units_count > 0) | (program.sowings.week < 0)] = -np.inf
    if known is not None:
        merit[known[0][at.sown] > 0.5] = -np.inf
    return np.sort(np.argsort(merit, kind="stable")[: min(most, count)])


def _windows(program: Program) -> list[Bools]:
    """Sowings that are chosen anew together: those of some weeks, then those of more weeks on two of the beds."""
    sowings = program.sowings
    bed = program.places.bed[sowings.place]
    few, many = range(0, program.weeks, WINDOW_WEEKS // 2), range(0, program.weeks, PAIR_WEEKS // 2)
    pairs = combinations(range(len(program.places.bed_m2)), 2)
    out = [(sowings.week >= first) & (sowings.week < first + WINDOW_WEEKS) for first in few]
    out += [
        np.isin(bed, pair) & (sowings.week >= first) & (sowings.week < first + PAIR_WEEKS)
        for pair in pairs
        for first in many
    ]
    return [inside for inside in out if inside.any()]


def _within(program: Program, relaxed: _Relaxed, inside: Bools, used: Bools) -> NDArray[np.intp]:
    """Sowings of the plan and, of those of some weeks, the ones that the relaxed program likes best."""
    at = columns_of(program)
    merit = np.where(relaxed.values[at.sown] > SMALL, 0.0, np.maximum(relaxed.reduced_currency[at.sown], 0.0))
    near = np.argsort(np.where(inside, merit, np.inf), kind="stable")[: min(WINDOW_SOWINGS, int(inside.sum()))]
    own = used | program.sowings.must | (program.sowings.kept_units_count > 0) | (program.sowings.week < 0)
    return np.union1d(np.flatnonzero(own), near)


def _among(
    program: Program, chosen: NDArray[np.intp], start: Known | None, seconds_s: float, clock: _Clock,
    held: Bools | None = None,
) -> _Found | None:  # fmt: skip
    """The best plan among some of the sowings, as values of the whole program's columns; held, those that stay."""
    small, lot_of = part_of(program, chosen)
    matrix = matrix_of(small)
    if held is not None:
        least = matrix.least.copy()
        least[matrix.columns.sown] = np.maximum(least[matrix.columns.sown], held[chosen])
        matrix = replace(matrix, least=least)
    known = None if start is None else (_narrowed(program, matrix, start[0], chosen, lot_of), start[1])
    found = _searched(matrix, _aim(matrix, program), seconds_s, 2 * GAP_FRAC, known, clock.told_best)
    if found is None:
        return None
    values, cost = _widened(program, matrix, found.values, found.cost_currency, chosen, lot_of)
    return replace(found, values=values, cost_currency=cost)


def _tidied(program: Program, aim: Array, best: Known, clock: _Clock) -> Known:
    """The plan with fewest kinds, sowing weeks and changes among those of its sowings and their like that cost hardly
    more and leave no more missing.
    """
    at = columns_of(program)
    used = best[0][at.sown] > 0.5
    weeks, crops = program.sowings.week, program.sowings.crop
    like = np.isin(crops, crops[used]) & np.isin(weeks, weeks[used]) | used | program.sowings.must
    chosen = np.flatnonzero(like | (program.sowings.kept_units_count > 0) | (weeks < 0))
    small, lot_of = part_of(program, chosen)
    matrix = matrix_of(small, counted=True)
    dear = _aim(matrix, program)
    more: Any = sparse.csr_array(np.stack([dear, matrix.missing_weight]))
    rows = sparse.csr_array(sparse.vstack([matrix.rows, more]))
    missing = float(missing_weights(program) @ best[0])
    most = [best[1] * (1.0 + TIDY_FRAC), missing + TIDY_MISSING]
    held = replace(matrix, rows=rows, low=np.append(matrix.low, [-np.inf, -np.inf]), high=np.append(matrix.high, most))
    tidy = matrix.tidy_currency + TIDY_COST * dear
    start = _narrowed(program, matrix, best[0], chosen, lot_of)
    try:
        found = _searched(held, tidy, clock.left_s, GAP_FRAC, (start, float(tidy @ start)), None)
    except NoAnswer:  # held so close that rounding alone may leave nothing
        return best
    if found is None or found.cost_currency > float(tidy @ start) - SMALL:
        return best
    values, _ = _widened(program, matrix, found.values, 0.0, chosen, lot_of)
    return values, float(aim @ values)


def part_of(program: Program, chosen: NDArray[np.intp]) -> tuple[Program, NDArray[np.intp]]:
    """The program with some of its sowings, and the numbers its lots have in the whole."""
    number = np.full(len(program.sowings.crop), -1)
    number[chosen] = np.arange(len(chosen))
    lot_of = np.flatnonzero(number[program.lots.sowing] >= 0)
    lots = program.lots
    some = Lots(
        number[lots.sowing[lot_of]], lots.first_week[lot_of], lots.last_week[lot_of],
        sparse.csr_array(lots.yield_g[lot_of]), lots.most_units_count[lot_of],
    )  # fmt: skip
    parts = (getattr(program.sowings, name)[chosen] for name in Sowings.__dataclass_fields__)
    return replace(program, lots=some, sowings=Sowings(*parts)), lot_of


def _aim(matrix: Matrix, program: Program) -> Array:
    return np.asarray(matrix.cost_currency + program.prices.missing_currency * matrix.missing_weight)


def _search(matrix: Matrix, aim: Array, seconds_s: float, start: Known | None, progress: Progress | None) -> _Found:
    found = _searched(matrix, aim, seconds_s, GAP_FRAC, start, progress)
    if found is not None:
        return found
    if start is None:
        raise NoAnswer(f"no plan was found in {seconds_s:.0f} s; give the search more time")
    return _Found(start[0], start[1], -np.inf, True)


def _searched(
    matrix: Matrix, aim: Array, seconds_s: float, gap_frac: float, start: Known | None, progress: Progress | None
) -> _Found | None:
    try:
        import highspy
    except ImportError:
        return _by_scipy(matrix, aim, seconds_s, gap_frac)
    return _by_highspy(highspy, matrix, aim, seconds_s, gap_frac, start, progress)


def _by_scipy(matrix: Matrix, aim: Array, seconds_s: float, gap_frac: float) -> _Found | None:
    found = milp(
        aim,
        integrality=matrix.whole.astype(int),
        bounds=Bounds(matrix.least, matrix.most),
        constraints=LinearConstraint(matrix.rows, matrix.low, matrix.high),
        options={"time_limit": seconds_s, "mip_rel_gap": gap_frac},
    )
    if found.x is None:
        if found.status == 2:
            raise NoAnswer("the household's limits contradict each other: no plan meets them")
        return None
    bound = -np.inf if found.mip_dual_bound is None else float(found.mip_dual_bound)
    return _Found(np.asarray(found.x), float(found.fun), bound, found.status != 0)


def _loaded(
    highspy: Any, matrix: Matrix, aim: Array, seconds_s: float, gap_frac: float, start: Known | None
) -> Any:  # fmt: skip
    """The solver with a program, its limits and a plan to start from."""

    class Quiet(highspy.Highs):  # type: ignore[misc]
        """Says nothing on stdout, not even that it runs."""

        def enableCallbacks(self) -> None:  # noqa: N802
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    solver = Quiet()
    solver.setOptionValue("time_limit", max(seconds_s, 0.0))
    solver.setOptionValue("mip_rel_gap", gap_frac)
    rows = matrix.rows
    solver.passModel(
        len(aim), len(matrix.low), rows.nnz, int(highspy.MatrixFormat.kRowwise), int(highspy.ObjSense.kMinimize), 0.0,
        aim, matrix.least, matrix.most, matrix.low, matrix.high,
        rows.indptr, rows.indices, rows.data, matrix.whole.astype(np.int32),
    )  # fmt: skip
    if start is not None:
        known = highspy.HighsSolution()
        known.col_value = list(start[0])
        solver.setSolution(known)
    return solver


def _by_highspy(
    highspy: Any,
    matrix: Matrix,
    aim: Array,
    seconds_s: float,
    gap_frac: float,
    start: Known | None,
    progress: Progress | None,
) -> _Found | None:
    begin = time.monotonic()
    solver = _loaded(highspy, matrix, aim, seconds_s, gap_frac, start)
    stopped = _run(solver, progress)
    info = solver.getInfo()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        raise NoAnswer("the household's limits contradict each other: no plan meets them")
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        if stopped:
            raise KeyboardInterrupt
        return None
    if progress is not None:
        progress(Standing(time.monotonic() - begin, info.objective_function_value, info.mip_dual_bound))
    ended = stopped or solver.getModelStatus() != highspy.HighsModelStatus.kOptimal
    values, told = np.asarray(solver.getSolution().col_value), float(info.objective_function_value)
    cost = float(aim @ values)
    if start is not None and abs(cost - told) > SMALL * max(1.0, abs(cost)) and not stopped:
        # seen in 1.16: a program that presolve empties loses its constant where a start was given, and so its bound
        return _by_highspy(highspy, matrix, aim, seconds_s, gap_frac, None, progress)
    return _Found(values, cost, float(info.mip_dual_bound), ended, stopped)


def _run(solver: Any, progress: Progress | None) -> bool:
    """Run a solver; whether it was stopped by hand. Ctrl-C ends the search and keeps the best plan so far.

    In a thread of its own: the package's own waiting for one takes the keyboard's signal for itself and writes of it to
    where the answer stands.
    """
    begin = told = time.monotonic()
    off = Event()

    def halt(event: Any) -> None:
        if off.is_set():
            event.interrupt()

    def tell(event: Any) -> None:
        nonlocal told
        now = time.monotonic()
        if progress is not None and now - told >= TELL_S:
            told = now
            out = event.data_out
            progress(Standing(now - begin, float(out.mip_primal_bound), float(out.mip_dual_bound)))
        halt(event)

    solver.cbMipInterrupt.subscribe(tell)
    for within in (solver.cbSimplexInterrupt, solver.cbIpmInterrupt):
        within.subscribe(halt)
    run = Thread(target=solver.run, daemon=True)
    run.start()
    try:
        run.join()
    except KeyboardInterrupt:
        off.set()
        run.join()
        return True
    return False


class _Beside:
    """A search of the whole program for its bound, in a thread beside the one that betters the plan.

    The solver lets go of the interpreter, so both processors work where there are two.
    """

    def __init__(self, highspy: Any, case: _Case, seconds_s: float, start: Known) -> None:
        self._highspy, self._case, self._off = highspy, case, Event()
        self._solver = _loaded(highspy, case.matrix, case.aim, seconds_s, GAP_FRAC, start)
        self._solver.setOptionValue("mip_heuristic_effort", BESIDE_EFFORT)
        self._solver.cbMipInterrupt.subscribe(self._tell)
        for within in (self._solver.cbSimplexInterrupt, self._solver.cbIpmInterrupt):
            within.subscribe(self._halt)
        self._thread = Thread(target=self._solver.run, daemon=True)
        self._thread.start()

    def _tell(self, event: Any) -> None:
        self._case.clock.told_bound(float(event.data_out.mip_dual_bound))
        self._halt(event)

    def _halt(self, event: Any) -> None:
        if self._off.is_set():
            event.interrupt()

    @property
    def ended(self) -> bool:
        """Whether it has ended."""
        return not self._thread.is_alive()

    def stop(self) -> None:
        """End it where it is; it is waited for a moment, as a thread that outlives the program may end it badly."""
        self._off.set()
        self._thread.join(BESIDE_STOP_S)

    def found(self) -> _Found | None:
        """What it has found, once it has ended; None where it has no plan, not even the one it began with."""
        self._thread.join()
        info = self._solver.getInfo()
        if info.primal_solution_status != self._highspy.SolutionStatus.kSolutionStatusFeasible:
            return None
        values = np.asarray(self._solver.getSolution().col_value)
        cost, told = float(self._case.aim @ values), float(info.objective_function_value)
        sound = abs(cost - told) <= SMALL * max(1.0, abs(cost))
        ended = self._solver.getModelStatus() != self._highspy.HighsModelStatus.kOptimal
        return _Found(values, cost, float(info.mip_dual_bound) if sound else -np.inf, ended)


BESIDE_STOP_S: Final = 5.0
BESIDE_EFFORT: Final = 0.0
"""Share of its work that the search for the bound gives to plans of its own: the other thread finds them."""


def _beside(case: _Case, seconds_s: float, start: Known) -> _Beside | None:
    """The search for the bound, begun in a thread; None without the solver's own package."""
    try:
        import highspy
    except ImportError:
        return None
    return _Beside(highspy, case, seconds_s, start)


def _plan(
    program: Program,
    matrix: Matrix,
    values: Array,
    bound: float,
    least: tuple[float, float],
    seconds_s: float,
    *,
    stopped: bool,
) -> Plan:
    at, weeks = matrix.columns, program.weeks
    units = np.clip(values[at.lot], 0.0, None)
    units = np.where(matrix.whole[at.lot], np.round(units), units)
    used = np.flatnonzero(units > SMALL)
    lamps = np.flatnonzero(values[at.lamp] > 0.5)
    burns = values[at.burns].reshape(-1, weeks) > 0.5
    missing = np.clip(values[at.missing], 0.0, None).reshape(-1, weeks)
    return Plan(
        lots=tuple((int(n), float(units[n])) for n in used),
        eaten_count=np.clip(values[at.eaten], 0.0, None).reshape(-1, weeks),
        missing_count=missing,
        lamps=tuple(int(n) for n in lamps),
        burns=tuple((int(lamp), int(week)) for lamp, week in np.argwhere(burns)),
        cost_currency=float(_aim(matrix, program) @ values),
        bound_currency=bound,
        missing_weight=float((missing * program.wishes.weight[:, None]).sum()),
        missing_least_weight=least[0],
        missing_whole_weight=least[1],
        seconds_s=seconds_s,
        stopped=stopped,
    )


def served(program: Program, plan: Plan, yield_g: sparse.csr_array) -> Array:
    """Portions missing [G, T] when a plan's sowings meet another season.

    Parameters: program; plan, whose sowings and areas are kept; yield_g, grams of every lot in that season [N, T].
    Method: a linear program chooses what is cleared when and what is eaten; it knows the season to its end, so the
    shortage is a lower bound.
    Errors: NoAnswer where the solver fails.
    """
    number = program.lots.sowing
    area = np.zeros(len(program.sowings.crop))
    for lot, units in plan.lots:
        area[number[lot]] += units
    chosen = np.flatnonzero(area > SMALL)
    free = np.full_like(program.lots.most_units_count, np.inf)
    season = replace(program, lots=replace(program.lots, yield_g=yield_g, most_units_count=free))
    small, _ = part_of(season, chosen)
    most = replace(small.sowings, most_units_count=area[chosen], least_units_count=area[chosen])
    limits = replace(
        small.limits, work_min=np.full(program.weeks, np.inf), most_sowings_count=np.inf, budget_currency=np.inf
    )
    matrix = matrix_of(replace(small, sowings=most, limits=limits))
    lit = matrix.most.copy()
    low = np.zeros(len(lit))
    low[matrix.columns.sown] = 1.0
    found = milp(
        matrix.missing_weight,
        bounds=Bounds(low, lit),
        constraints=LinearConstraint(matrix.rows, matrix.low, matrix.high),
    )
    if found.x is None:
        raise NoAnswer(f"the plan cannot be judged in this season ({found.message})")
    return np.asarray(found.x[matrix.columns.missing]).reshape(-1, program.weeks)
