"""Solving the household's program: the least that must be missing, then the plan with its proven gap.

The solver is HiGHS (Huangfu & Hall 2018, Mathematical Programming Computation 10:119), through scipy, or through its
own package where that is installed: then a search starts from the best plan known, tells how far it is, and can be
stopped.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from tenhour.errors import NoAnswer
from tenhour.plan.feed.matrix import Matrix, columns_of, matrix_of
from tenhour.plan.feed.program import Lots, Program, Sowings

Array = NDArray[np.float64]

SMALL: Final = 1e-7
START_SOWINGS: Final = 120
"""Sowings kept for the first, quick search: those the relaxed plan uses, then the best by reduced cost."""
START_SHARE: Final = 0.3
"""Share of the time given to that first search."""
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
    """Objective: missing portions at their price, money, work, kinds and sowing weeks."""
    bound_currency: float
    """No plan costs less: proven."""
    missing_weight: float
    missing_least_weight: float
    """No plan leaves less missing: proven by the relaxed program."""
    seconds_s: float
    stopped: bool
    """Whether the search ended by time or by hand, not by proof."""

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
        bounds=[(0.0, float(most)) for most in matrix.most],
        method="highs",
    )
    if found.status != 0 or found.fun is None:
        raise NoAnswer(f"the household's plan has no solution ({found.message})")
    return _Relaxed(float(found.fun), np.asarray(found.x), np.asarray(found.lower.marginals + found.upper.marginals))


def solve(program: Program, *, seconds_s: float = 60.0, progress: Progress | None = None) -> Plan:
    """Best plan found in the time, with its bound.

    Parameters: program; seconds_s, most time for the search [s]; progress, told how far it is where the solver's own
    package is installed.
    Method: least missing as a linear program; a first search among the sowings of best reduced cost; then the whole
    program, started from that plan. Missing portions have a price above that of any portion offered, so that the second
    level never buys at the cost of the first.
    Errors: NoAnswer where the limits contradict each other.
    """
    begin = time.monotonic()
    least = least_missing(program)
    whole = matrix_of(program)
    relaxed = _relaxed(whole, first_level=False, missing_currency=program.prices.missing_currency)
    first = _best(_rounded(program, relaxed), _restricted(program, relaxed, seconds_s * START_SHARE))
    left = max(seconds_s - (time.monotonic() - begin), 1.0)
    found = _search(program, whole, left, first, progress)
    bound = max(found.bound_currency, relaxed.fun_currency)
    best = found.values if first is None or found.cost_currency <= first[1] + SMALL else first[0]
    return _plan(program, whole, best, bound, least, time.monotonic() - begin, found.stopped)


@dataclass(frozen=True)
class _Found:
    values: Array
    cost_currency: float
    bound_currency: float
    stopped: bool


Known = tuple[Array, float]
"""A plan as values of the whole program's columns, and its cost."""


def _best(*plans: Known | None) -> Known | None:
    return min((plan for plan in plans if plan is not None), key=lambda plan: plan[1], default=None)


def _rounded(program: Program, relaxed: _Relaxed) -> Known | None:
    """The relaxed plan with its small sowings left out and the others sown in earnest: two linear programs, seconds."""
    lots = program.lots.sowing
    area = np.zeros(len(program.sowings.crop))
    np.add.at(area, lots, relaxed.values[: len(lots)])
    chosen = np.flatnonzero(area >= np.maximum(program.sowings.least_units_count * (1.0 - ROUNDING), SMALL))
    small, lot_of = part_of(program, chosen)
    matrix = matrix_of(small)
    low, most = np.zeros(len(matrix.most)), matrix.most.copy()
    low[matrix.columns.sown] = 1.0
    whole = matrix.whole.copy()
    whole[matrix.columns.sown] = False
    found = milp(
        _aim(matrix, program), integrality=whole.astype(int), bounds=Bounds(low, most),
        constraints=LinearConstraint(matrix.rows, matrix.low, matrix.high),
        options={"time_limit": ROUNDING_S, "mip_rel_gap": 2 * GAP_FRAC},
    )  # fmt: skip
    return None if found.x is None else _widened(program, matrix, np.asarray(found.x), float(found.fun), chosen, lot_of)


ROUNDING: Final = 0.5
"""A sowing that the relaxed plan makes half as large as is worth it is sown in earnest: judgement."""
ROUNDING_S: Final = 10.0


def _widened(
    program: Program, matrix: Matrix, found: Array, cost: float, chosen: NDArray[np.intp], lot_of: NDArray[np.intp]
) -> Known:
    """A plan of some of the sowings as values of the whole program's columns."""
    whole, at = columns_of(program), matrix.columns
    values = np.zeros(whole.count)
    values[whole.lot.start + lot_of] = found[at.lot]
    values[whole.sown.start + chosen] = found[at.sown]
    for name in ("eaten", "missing", "kept", "lamp", "burns", "kind", "day"):
        values[getattr(whole, name)] = found[getattr(at, name)]
    return values, cost


def _restricted(program: Program, relaxed: _Relaxed, seconds_s: float) -> Known | None:
    """A plan among the sowings of best reduced cost, as values of the whole program's columns, and its cost."""
    count = len(program.sowings.crop)
    if count <= START_SOWINGS:
        return None
    lots = len(program.lots.sowing)
    merit, used = np.full(count, np.inf), np.zeros(count)
    np.minimum.at(merit, program.lots.sowing, relaxed.reduced_currency[:lots])
    np.maximum.at(used, program.lots.sowing, relaxed.values[:lots])
    merit = np.where(used > SMALL, -used, np.maximum(merit, 0.0))
    chosen = np.sort(np.argsort(merit, kind="stable")[:START_SOWINGS])
    small, lot_of = part_of(program, chosen)
    matrix = matrix_of(small)
    found = _by_scipy(matrix, _aim(matrix, program), seconds_s, 2 * GAP_FRAC)
    if found is None:
        return None
    return _widened(program, matrix, found.values, found.cost_currency, chosen, lot_of)


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


def _search(
    program: Program, matrix: Matrix, seconds_s: float, start: Known | None, progress: Progress | None
) -> _Found:
    aim = _aim(matrix, program)
    try:
        import highspy
    except ImportError:
        found = _by_scipy(matrix, aim, seconds_s, GAP_FRAC)
    else:
        found = _by_highspy(highspy, matrix, aim, seconds_s, start, progress)
    if found is not None:
        return found
    if start is None:
        raise NoAnswer(f"no plan was found in {seconds_s:.0f} s; give the search more time")
    return _Found(start[0], start[1], -np.inf, True)


def _by_scipy(matrix: Matrix, aim: Array, seconds_s: float, gap_frac: float) -> _Found | None:
    found = milp(
        aim,
        integrality=matrix.whole.astype(int),
        bounds=Bounds(np.zeros(len(aim)), matrix.most),
        constraints=LinearConstraint(matrix.rows, matrix.low, matrix.high),
        options={"time_limit": seconds_s, "mip_rel_gap": gap_frac},
    )
    if found.x is None:
        if found.status == 2:
            raise NoAnswer("the household's limits contradict each other: no plan meets them")
        return None
    bound = -np.inf if found.mip_dual_bound is None else float(found.mip_dual_bound)
    return _Found(np.asarray(found.x), float(found.fun), bound, found.status != 0)


def _by_highspy(
    highspy: Any,
    matrix: Matrix,
    aim: Array,
    seconds_s: float,
    start: Known | None,
    progress: Progress | None,
) -> _Found | None:
    class Quiet(highspy.Highs):  # type: ignore[misc]
        """Says nothing on stdout, not even that it runs."""

        def enableCallbacks(self) -> None:  # noqa: N802
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    begin = time.monotonic()
    solver = Quiet()
    solver.setOptionValue("time_limit", seconds_s)
    solver.setOptionValue("mip_rel_gap", GAP_FRAC)
    rows = matrix.rows
    solver.passModel(
        len(aim), len(matrix.low), rows.nnz, int(highspy.MatrixFormat.kRowwise), int(highspy.ObjSense.kMinimize), 0.0,
        aim, np.zeros(len(aim)), matrix.most, matrix.low, matrix.high,
        rows.indptr, rows.indices, rows.data, matrix.whole.astype(np.int32),
    )  # fmt: skip
    if start is not None:
        known = highspy.HighsSolution()
        known.col_value = list(start[0])
        solver.setSolution(known)
    stopped = _run(solver, progress)
    info = solver.getInfo()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        raise NoAnswer("the household's limits contradict each other: no plan meets them")
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    if progress is not None:
        progress(Standing(time.monotonic() - begin, info.objective_function_value, info.mip_dual_bound))
    ended = stopped or solver.getModelStatus() != highspy.HighsModelStatus.kOptimal
    return _Found(
        np.asarray(solver.getSolution().col_value), float(info.objective_function_value),
        float(info.mip_dual_bound), ended,
    )  # fmt: skip


def _run(solver: Any, progress: Progress | None) -> bool:
    """Run a solver; whether it was stopped by hand. Ctrl-C ends the search and keeps the best plan so far."""
    begin = told = time.monotonic()

    def tell(event: Any) -> None:
        nonlocal told
        now = time.monotonic()
        if progress is not None and now - told >= TELL_S:
            told = now
            out = event.data_out
            progress(Standing(now - begin, float(out.mip_primal_bound), float(out.mip_dual_bound)))

    solver.cbMipInterrupt.subscribe(tell)
    solver.HandleKeyboardInterrupt = True
    solver.HandleUserInterrupt = True
    try:
        solver.solve()
    except KeyboardInterrupt:
        return True
    return False


def _plan(
    program: Program, matrix: Matrix, values: Array, bound: float, least: float, seconds_s: float, stopped: bool
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
        missing_least_weight=least,
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
