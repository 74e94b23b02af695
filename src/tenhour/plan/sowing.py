"""The one rule book of a sowing: its verdict on any day of the year, when sowing pays again, and sow-by for winter."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.model.results import VERDICTS, Verdict
from tenhour.plan.dates import DAYS
from tenhour.words.sowing import DEAR_WAIT_D

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Codes = NDArray[np.int8]

LEGGY_SCORE: Final = 45.0
"""Stretch from which seedlings count as leggy (growth-and-stretch 8.2)."""
STRINGY_SCORE: Final = 65.0
"""Stretch from which they are not worth raising (growth-and-stretch 8.2)."""
WAITING_D: Final = 14
WAITING_COST_D: Final = 7.0
"""A sowing pays when waiting 14 days would cost at least 7 days of harvest: by definition of the answers."""
STEADY_D: Final = 28
"""A sowing pays from a day on when the verdict stays so for four weeks: by definition of the answers."""
SETTLED_D: Final = 14
"""No verdict comes back sooner than this after it was left: by definition of the answers."""
CALM_D: Final = 60
MOST_CHANGES: Final = 4
"""In so many days a verdict changes so often at most: by definition of the answers."""
WAIT_COST_D: Final = DEAR_WAIT_D
"""Waiting is advised only where it costs less harvest than this: by definition of the answers."""
SLOW_RATIO: Final = 1.5
"""Slower than 1.5 times the days at the crop's target light is called slow: by definition of the answers."""
SENSELESS_RATIO: Final = 2.5
"""Beyond 2.5 times those days a sowing is not sensible (growth-and-stretch 4): judgement."""
LAMPS_AHEAD_D: Final = 45
"""When the sowing that pays is further off than this, lamps are the answer, not waiting: judgement."""
LATE_EMERGENCE_D: Final = 35.0
"""Seed that lies longer than five weeks in cold soil is lost to rot as often as not: common practice."""
SOONER_D: Final = 7.0
"""Raising is worth naming when it brings the harvest a week or more forward: judgement."""
TRAY_WAYS: Final = ("seed-fed", "bulb")
STANDING_WAYS: Final = ("head", "root", "cut", "pick")
SMALL_WAYS: Final = ("head", "root", "cut")
"""Ways of cropping that can overwinter young and be harvested after the dark."""
SMALL_BEFORE_D: Final = 60
"""Days before the dark from which a sowing that misses it may be meant to stand small: judgement."""
TRAY_SLOW_D: Final = 30.0
"""Trays that live on their reserves are slow beyond a month, whatever the light: judgement."""
TRAY_WASTE_D: Final = 45.0
"""Trays that live on their reserves go mouldy rather than grow when it takes longer than this: judgement."""
DARK_DLI_MOL_M2_D: Final = 3.0
"""Below this daily light a bed is in the dark season: leafy stands then gain under 400 g m⁻² a week: judgement."""
DARK_HALF_D: Final = 30
"""Where a bed never falls that low, the dark season is the 30 days either side of its darkest: judgement."""
HALF_YEAR_D: Final = 183
MOST_HELD_D: Final = 200
"""What must be sown longer than this before the dark is no sowing for it, unless picked by the leaf: judgement."""
NIGHTS_D: Final = 28
"""Nights after a sowing that must not chill it, for it to pay: by definition of the answers (growth's first weeks)."""

CODE: Final[dict[Verdict, int]] = {verdict: number for number, verdict in enumerate(VERDICTS)}
SOW: Final = CODE["sow"]
HARMS: Final = (CODE["not-here"], CODE["too-hot"], CODE["too-cold"])
"""Verdicts that say what would become of a sowing: no milder one takes their days."""
PROMISES: Final = (CODE["raise"], CODE["stand-small"], CODE["set-out-grown"], CODE["cut-young"])
"""Verdicts that say what would come of it instead: they spread least."""
UNSETTLED: Final = (CODE["wait"], CODE["slow"])
"""Verdicts that are not stretched over neighbouring days: they promise something that may not hold there."""


@dataclass(frozen=True)
class SowingYear:
    """Crops on beds by day of sowing, arrays [C, B, 365] unless said otherwise; NaN where never."""

    ways: tuple[str, ...]
    """Way of cropping of each crop."""
    in_season: Bools
    """Whether it is sown at all then: types that live through the winter by nature are sown before it."""
    days: Array
    """Median days from sowing to harvest at full size."""
    young_days: Array
    """The same to young leaf, of crops that can be cut young."""
    keeps_d: Array
    """Days a crop that is ready stands before it is past its best; infinite where nobody gives that."""
    emergence_d: Array
    stretch_score: Array
    harmed: Bools
    """Whether a night between emergence and harvest kills or chills it."""
    young_harmed: Bools
    """Whether a night between emergence and young leaf does."""
    chilled: Bools
    """Whether a night of the four weeks after the sowing would."""
    harmed_by_dark: Bools
    """Whether a night between emergence and the start of the dark would."""
    hot: Bools
    """Whether the air is above the crop's limit for too much of its days."""
    too_warm: Bools
    """Whether the weeks after the sowing are on average too warm for the seed to come up."""
    bolting_d: Array
    """Days from sowing until it runs to flower; NaN where it does not, or does not matter."""
    missing_dli_mol_m2_d: Array
    """Need less the mean light of the first four weeks, not below 0."""
    raised_days: Array
    """Median days from sowing in the nursery to harvest on the bed, unharmed; NaN where it is not raised."""
    raised_score: Array
    """Stretch in the nursery [C, 365]."""
    best_days: Array
    """Days at the crop's target light in the bed's air of its best month [C, B]; infinite where never."""
    dark: NDArray[np.intp]
    """First and last day of each bed's dark season [B, 2]."""
    darkest_day: int

    @property
    def trays(self) -> Bools:
        """Crops that live on what their seed or bulb holds [C, 1, 1]."""
        return self.way_is(TRAY_WAYS)

    def way_is(self, ways: tuple[str, ...]) -> Bools:
        """Crops of some ways of cropping [C, 1, 1]."""
        return np.array([way in ways for way in self.ways], dtype=np.bool_)[:, None, None]

    @cached_property
    def bolts(self) -> Bools:
        """Whether it runs to flower before it is ready."""
        return np.asarray(np.where(np.isnan(self.days), np.inf, self.days) > self.bolting_d)


class SowingDates(NamedTuple):
    """Days of the generic year [C, B], NaN where none."""

    pays_from: Array
    sow_by: Array


@dataclass(frozen=True)
class Ruling:
    """What the rule book says of every sowing of the year; days are days of the generic year, NaN where none."""

    code: Codes
    """Places in ``VERDICTS`` [C, B, 365]."""
    pays_from: Array
    """[C, B]."""
    sow_by: Array
    """[C, B]."""
    waiting_cost_d: Array
    """Days of harvest lost by waiting for the sowing that pays [C, B, 365]."""

    def verdict(self, crop: int, bed: int, day: int) -> Verdict:
        """Verdict of one sowing."""
        return VERDICTS[int(self.code[crop, bed, day])]

    def again_from(self, crop: int, bed: int, day: int) -> int | None:
        """Next day whose sowing on the bed comes to something, by day of the year."""
        later = np.roll(self.code[crop, bed], -day)[1:]
        found = np.flatnonzero((later == SOW) | (later == CODE["slow"]) | (later == CODE["stand-small"]))
        return int((day + 1 + found[0]) % DAYS) if found.size else None


def judge(year: SowingYear) -> Ruling:
    """Judge every sowing of every crop on every bed, the first verdict that applies.

    Method: docs/method/sowing.md; thresholds are the constants above, each with its mark. Short spells between two of
    the same verdict take the more cautious one, so that none comes back within two weeks.
    """
    faults = _faults(year)
    poor = _poor(year, faults)
    dates = SowingDates(_pays_from(year, poor), _sow_by(year))
    cost = _waiting_cost_d(year, dates.pays_from)
    code = np.where(poor, _reasons(year, *faults, dates.pays_from, cost, dates.sow_by), SOW).astype(np.int8)
    return Ruling(_settled(code), *dates, cost)


def dates_of(year: SowingYear) -> SowingDates:
    """The two dates of :func:`judge` alone; they ask nothing of young leaf, nursery, or the light that is missing."""
    return SowingDates(_pays_from(year, _poor(year, _faults(year))), _sow_by(year))


def _faults(year: SowingYear) -> tuple[Bools, Bools, Bools, Bools]:
    """Sowings that never come to anything, come up late, are slow, are drawn."""
    late = ~(year.emergence_d <= LATE_EMERGENCE_D)
    usual = np.where(year.trays, TRAY_SLOW_D / SLOW_RATIO, year.best_days[..., None])
    slow = ~(year.days <= SLOW_RATIO * usual) | year.bolts
    drawn = np.nan_to_num(year.stretch_score) >= LEGGY_SCORE
    comes = np.isfinite(year.days) & ~year.bolts & ~late & ~year.harmed & year.in_season
    never = np.broadcast_to(~comes.any(axis=-1, keepdims=True), comes.shape)
    return never, late, slow, drawn


def _poor(year: SowingYear, faults: tuple[Bools, Bools, Bools, Bools]) -> Bools:
    """Days of sowing that are not simply good, in spells of two weeks and more."""
    never, late, slow, drawn = faults
    poor = never | year.hot | late | year.harmed | slow | drawn | ~year.in_season
    return _settled_spells(poor | _not_yet(year, poor))


def _pays_from(year: SowingYear, poor: Bools) -> Array:
    return np.where(year.trays[..., 0], np.nan, first_steady(~poor, year.darkest_day))


def waiting_costs(days: Array) -> Bools:
    """Days of sowing from which waiting a fortnight costs a week of harvest; days [..., 365], NaN where never."""
    later = np.roll(days, -WAITING_D, axis=-1)
    lost = np.where(np.isnan(later), np.inf, later) + WAITING_D - days
    return np.asarray(lost >= WAITING_COST_D)


def _not_yet(year: SowingYear, poor: Bools) -> Bools:
    """Days after the darkest on which sowing does not pay yet; none for trays, which wait for no light."""
    paying = waiting_costs(year.days) & ~year.chilled
    first = first_steady(~poor & paying, year.darkest_day)
    ahead = np.where(np.isnan(first), HALF_YEAR_D, (first - year.darkest_day) % DAYS)
    since = (np.arange(DAYS) - year.darkest_day) % DAYS
    return np.asarray((since < ahead[..., None]) & ~paying & ~year.trays)


def first_steady(good: Bools, darkest_day: int) -> Array:
    """First day of the half year after the darkest from which four weeks of sowings are good [...]; NaN where none.

    Parameters: good [..., 365], by day of the generic year; darkest_day, of it.
    """
    order = np.roll(good, -darkest_day, axis=-1).astype(np.intp)
    order = np.concatenate([np.zeros_like(order[..., :1]), order, order[..., :STEADY_D]], axis=-1)
    run = np.cumsum(order, axis=-1)
    steady = run[..., STEADY_D : STEADY_D + HALF_YEAR_D] - run[..., :HALF_YEAR_D] == STEADY_D
    found = (steady.argmax(axis=-1) + darkest_day) % DAYS
    return np.asarray(np.where(steady.any(axis=-1), found, np.nan))


def _ahead_d(pays: Array) -> Array:
    """Days from every day of the year to the sowing that pays [C, B, 365]; NaN where none."""
    return np.asarray((pays[..., None] - np.arange(DAYS)) % DAYS)


def _waiting_cost_d(year: SowingYear, pays: Array) -> Array:
    known = np.where(np.isfinite(pays), pays, 0).astype(np.intp)
    then = np.take_along_axis(year.days, known[..., None], axis=-1)
    return np.asarray(np.where(np.isfinite(pays)[..., None], _ahead_d(pays) + then - year.days, np.nan))


def _reasons(
    year: SowingYear, never: Bools, late: Bools, slow: Bools, drawn: Bools, pays: Array, cost: Array, sow_by: Array
) -> Codes:
    """Why a sowing is not simply good, the first that applies."""
    limit = SLOW_RATIO * year.best_days[..., None]
    usual = np.where(year.trays, TRAY_WASTE_D / SENSELESS_RATIO, year.best_days[..., None])
    senseless = ~(year.days <= SENSELESS_RATIO * usual)
    flowers = np.where(np.isnan(year.bolting_d), np.inf, year.bolting_d)
    direct = np.where(year.bolts | late | year.harmed | np.isnan(year.days), np.inf, year.days)
    raised = (year.raised_days <= limit) & (year.raised_days < flowers) & (direct - year.raised_days >= SOONER_D)
    raised &= (np.nan_to_num(year.raised_score) < LEGGY_SCORE)[:, None]
    young = (year.young_days <= limit) & (year.young_days < flowers) & ~year.young_harmed & ~late
    young &= np.nan_to_num(year.stretch_score) < STRINGY_SCORE
    ahead = _ahead_d(pays)
    lacking = (year.missing_dli_mol_m2_d > 0.0) & ((senseless & ~year.bolts) | drawn) & ~year.trays
    lamps = lacking & ~(ahead <= LAMPS_AHEAD_D)
    nothing = year.bolts | np.isnan(year.days)
    waits = (ahead > 0) & (ahead <= DAYS // 2) & ((cost < WAIT_COST_D) | nothing)
    chosen = {
        "not-here": never,
        "out-of-season": ~year.in_season,
        "too-hot": year.hot | (late & year.too_warm),
        "raise": raised,
        "too-cold": (year.harmed & ~young) | late,
        "before-frost": year.harmed,
        "stand-small": _stands_small(year, drawn, cost),
        "set-out-grown": year.way_is(("pick",)) & slow & np.isfinite(sow_by)[..., None] & _in_dark(year)[None],
        "cut-young": young & slow,
        "needs-lamps": lamps,
        "wait": waits & ~year.trays,
        "lacking": lacking | (drawn & (year.missing_dli_mol_m2_d > 0.0)),
        "nothing": nothing & ~year.trays,
    }  # fmt: skip
    codes: dict[str, int] = {str(name): place for name, place in CODE.items()} | {
        "out-of-season": CODE["wait"],
        "before-frost": CODE["cut-young"],
        "lacking": CODE["needs-lamps"],
        "nothing": CODE["wait"],
    }
    return np.select(list(chosen.values()), [codes[name] for name in chosen], CODE["slow"]).astype(np.int8)


def _in_dark(year: SowingYear) -> Bools:
    first, last = year.dark[:, :1], year.dark[:, 1:]
    return np.asarray((np.arange(DAYS) - first) % DAYS <= (last - first) % DAYS)


def _stands_small(year: SowingYear, drawn: Bools, cost: Array) -> Bools:
    """Sown before the darkest day, alive and sturdy, ready after the dark and well before a sowing in spring."""
    first, last = year.dark[:, :1], year.dark[:, 1:]
    day = np.arange(DAYS)
    to_darkest = (year.darkest_day - day) % DAYS
    in_time = (to_darkest <= (year.darkest_day - first) % DAYS + SMALL_BEFORE_D)[None]
    in_time = in_time | (year.in_season & ~year.in_season.all(axis=-1, keepdims=True))
    after = year.days > ((last - day) % DAYS)[None]
    worth = np.isnan(cost) | (cost >= WAIT_COST_D)
    return np.asarray(year.way_is(SMALL_WAYS) & in_time & after & worth & ~drawn & ~year.bolts)


def _sow_by(year: SowingYear) -> Array:
    """Last sowing that stands at harvest size, unharmed, when the dark begins [C, B]."""
    out = np.full(year.days.shape[:2], np.nan)
    bolts = year.bolts
    for crop, way in enumerate(year.ways):
        if way not in STANDING_WAYS:
            continue
        for bed, (dark_start, dark_end) in enumerate(year.dark.tolist()):
            if (dark_end - dark_start) % DAYS == DAYS - 1:  # dark all year: nothing is sown before it
                continue
            last = sow_by_day(np.where(year.in_season[crop, bed], year.days[crop, bed], np.nan), dark_start)
            if last is None or bolts[crop, bed, last]:
                continue
            if way != "pick" and (dark_start - last) % DAYS > MOST_HELD_D:
                continue
            if (dark_start - last) % DAYS - year.days[crop, bed, last] > year.keeps_d[crop, bed, last]:
                continue
            if not year.harmed_by_dark[crop, bed, last]:
                out[crop, bed] = last
    return out


def sow_by_day(days: Array, dark_start: int) -> int | None:
    """Last day of sowing that stands at harvest size when the dark begins, or None.

    Parameters: days [365], sowing to harvest; dark_start, day of the year.
    """
    back = np.arange(1, DAYS)
    ready = days[(dark_start - back) % DAYS] <= back
    found = np.flatnonzero(ready)
    return int((dark_start - back[found[0]]) % DAYS) if found.size else None


def dark_season(mean_dli_mol_m2_d: Array, darkest_day: int) -> tuple[int, int]:
    """First and last day of the dark season of a bed, as days of the generic year.

    Parameters: mean_dli_mol_m2_d [365], smoothed typical light; darkest_day, day of the shortest day.
    Method: the run of days below 3 mol around the darkest day, or 30 days either side of it (judgement).
    """
    order = (darkest_day + np.arange(DAYS)) % DAYS
    dim = mean_dli_mol_m2_d[order] < DARK_DLI_MOL_M2_D
    if not dim[0]:
        return (darkest_day - DARK_HALF_D) % DAYS, (darkest_day + DARK_HALF_D) % DAYS
    if dim.all():
        return (darkest_day - DAYS // 2) % DAYS, (darkest_day + DAYS // 2) % DAYS
    after = int(np.argmin(dim)) - 1
    before = int(np.argmin(dim[::-1]))
    return (darkest_day - before) % DAYS, (darkest_day + after) % DAYS


def _settled_spells(poor: Bools) -> Bools:
    """Spells of good and of poor sowing of at least two weeks each; a short good one counts as poor."""
    flat = poor.reshape(-1, DAYS).copy()
    for place in _flapping(flat):
        _settle(flat[place], np.ones(DAYS, dtype=np.bool_))
    return flat.reshape(poor.shape)


def _settled(code: Codes) -> Codes:
    """Verdicts of which none comes back within two weeks after it was left; the more cautious spreads."""
    flat = code.reshape(-1, DAYS).copy()
    for place in _flapping(flat):
        row = flat[place]
        for verdict in np.unique(row).tolist():
            if verdict in UNSETTLED or verdict == SOW:
                continue
            mask = row == verdict
            _settle(mask, (row > verdict) & (row != SOW))
            row[mask] = verdict
        _settle_waiting(row)
    for place in _restless(flat):
        calm(flat[place], code.reshape(-1, DAYS)[place])
    return flat.reshape(code.shape)


class _Move(NamedTuple):
    """Days that take another verdict: the first, how many, which."""

    first: int
    length: int
    verdict: int


def calm(row: Codes, judged: Codes | None = None) -> None:
    """Bring a round year of verdicts to rest; in place.

    Parameters: row [365], places in ``VERDICTS``; judged [365], as every day was judged by itself, the row if not
    told. Afterwards no verdict comes back within two weeks after it was left,
    and no sixty days see five changes. No day becomes good to sow, and none that is harmed is told anything milder.
    Method: as long as something is wrong, the change that mends it, keeps off good days, promises least and leaves the
    most days as they were judged. Each leaves fewer spells, or as many of which one has spread that comes sooner in
    one order of all verdicts, so there is an end.
    """
    as_judged = row.copy() if judged is None else judged
    while moves := _comes_back(row) or _crowded(row):
        row[:] = _given(row, min(moves, key=lambda move: _cost(row, as_judged, move)))


def _cost(row: Codes, judged: Codes, move: _Move) -> tuple[bool, int, int, bool, int]:
    days = (move.first + np.arange(move.length)) % DAYS
    wrong = int((judged[days] != move.verdict).sum())
    promised = wrong if move.verdict in PROMISES else 0
    more = wrong - int((judged[days] != row[days]).sum())
    return bool((row[days] == SOW).any()), promised, more, bool(_comes_back(_given(row, move))), move.first


def _may_take(old: int, new: int) -> bool:
    """Whether a day may be told another verdict: no good one, and instead of a harm only a worse one."""
    return new not in (old, SOW) and (old not in HARMS or (new in HARMS and new < old))


def _spreads(verdict: int, other: int) -> bool:
    """Whether a verdict may last longer at the cost of another, by one order of all: harms, then the rest in theirs."""
    return (verdict not in HARMS, verdict) < (other not in HARMS, other)


def _crowded(row: Codes) -> list[_Move]:
    """Ways to mend five changes in too few days: a spell between two of them takes the verdict beside it."""
    change = np.flatnonzero(row != np.roll(row, 1))
    count = len(change)
    for first in range(count if count > MOST_CHANGES else 0):
        days = change[(first + np.arange(MOST_CHANGES + 1)) % count]
        if (days[-1] - days[0]) % DAYS >= CALM_D:
            continue
        spells = [(begin, (end - begin) % DAYS) for begin, end in itertools.pairwise(days.tolist())]
        return [
            _Move(begin, length, int(other))
            for begin, length in spells
            for other in (row[begin - 1], row[(begin + length) % DAYS])
            if _may_take(int(row[begin]), int(other))
        ]
    return []


def _comes_back(row: Codes) -> list[_Move]:
    """Ways to mend a verdict's coming back too soon: what lies between takes it, lasts for two weeks, or spreads."""
    change = np.flatnonzero(row != np.roll(row, 1)).tolist()
    spells = [(first, (after - first) % DAYS) for first, after in zip(change, change[1:] + change[:1], strict=True)]
    for left in range(len(spells)):
        verdict, away = row[spells[left][0]], 0
        for ahead in range(1, len(spells) + 1):
            first, length = spells[(left + ahead) % len(spells)]
            if row[first] == verdict:
                between = [spells[(left + step) % len(spells)] for step in range(1, ahead)]
                return _parted(row, spells[left], between, (first, length))
            away += length
            if away >= SETTLED_D:
                break
    return []


Spell = tuple[int, int]
"""First day and length."""


def _parted(row: Codes, before: Spell, between: list[Spell], after: Spell) -> list[_Move]:
    """Ways to mend two spells of one verdict that lie too close."""
    verdict = int(row[before[0]])
    (first, first_d), (last, last_d) = between[0], between[-1]
    away = sum(length for _, length in between)
    lacking = SETTLED_D - away
    ends = {first: first_d, last: last_d}
    found = [_Move(own, own_d, verdict) for own, own_d in ends.items() if _may_take(int(row[own]), verdict)]
    if all(_may_take(int(row[day]), verdict) for day, _ in between):
        found.append(_Move(first, away, verdict))
    for own, (begin, length), at_end in ((first, before, True), (last, after, False)):
        other = int(row[own])
        if _may_take(verdict, other):
            found.append(_Move(begin, length, other))
            if _spreads(other, verdict) and lacking < length:
                found.append(_Move((begin + length - lacking) % DAYS if at_end else begin, lacking, other))
    return found


def _given(row: Codes, move: _Move) -> Codes:
    out = row.copy()
    out[(move.first + np.arange(move.length)) % DAYS] = move.verdict
    return out


def _settle(mask: Bools, free: Bools) -> None:
    """Close short gaps of a round year's mask and lengthen its short spells, over free days only; in place."""
    for first, length in _spells(~mask):
        span = (first + np.arange(length)) % DAYS
        if length < SETTLED_D and free[span].all():
            mask[span] = True
    for first, length in _spells(mask):
        begin, end, short = first, first + length, length
        while short < SETTLED_D:
            forward, back = free[end % DAYS] and not mask[end % DAYS], free[(begin - 1) % DAYS]
            back = back and not mask[(begin - 1) % DAYS]
            if not forward and not back:
                break
            if forward:
                mask[end % DAYS], end, short = True, end + 1, short + 1
            if back and short < SETTLED_D:
                mask[(begin - 1) % DAYS], begin, short = True, begin - 1, short + 1
    for first, length in _spells(~mask):
        span = (first + np.arange(length)) % DAYS
        if length < SETTLED_D and free[span].all():
            mask[span] = True


def _settle_waiting(row: Codes) -> None:
    """A short wait between slow sowings is slow too, and the other way round."""
    for one, other in (UNSETTLED, UNSETTLED[::-1]):
        for first, length in _spells(row == one):
            around = row[(first - 1) % DAYS], row[(first + length) % DAYS]
            if length < SETTLED_D and around == (other, other):
                row[(first + np.arange(length)) % DAYS] = other


def _flapping(rows: Bools | Codes) -> list[int]:
    """Rows [n, 365] with a spell of one value shorter than two weeks, round the year; the others are settled."""
    return [int(place) for place in np.flatnonzero((_changes(rows, SETTLED_D) > 1).any(axis=1))]


def _restless(rows: Codes) -> list[int]:
    """Rows [n, 365] in which a verdict may come back too soon or that change too often."""
    often = (_changes(rows, CALM_D) > MOST_CHANGES).any(axis=1)
    return sorted({*_flapping(rows), *np.flatnonzero(often).tolist()})


def _changes(rows: Bools | Codes, days: int) -> NDArray[np.intp]:
    """Changes on so many days in a row, from every day of a round year on [n, 365]."""
    change = rows != np.concatenate([rows[:, -1:], rows[:, :-1]], axis=1)
    total = np.cumsum(np.concatenate([change, change[:, : days - 1]], axis=1), axis=1)
    before = np.concatenate([np.zeros_like(total[:, :1]), total[:, : DAYS - 1]], axis=1)
    return np.asarray(total[:, days - 1 :] - before)


def _spells(mask: Bools) -> list[tuple[int, int]]:
    """First day and length of every unbroken run of a round year's mask; none where it is all one."""
    change = (np.flatnonzero(mask[1:] != mask[:-1]) + 1).tolist()
    if mask[0] != mask[-1]:
        change.insert(0, 0)
    following = change[1:] + change[:1]
    return [(first, (end - first) % DAYS) for first, end in zip(change, following, strict=True) if mask[first]]
