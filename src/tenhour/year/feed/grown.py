"""What every sowing on offer gives in the seasons that a household plans for, grown some beds at a time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, Final, overload

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.shapes import Draws
from tenhour.model.crop import Crop
from tenhour.pace import give_back_memory, tell
from tenhour.plan.dates import day_index
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D, Harvests, harvests_of
from tenhour.year.crops.moved import MoveIn, moved_harvests
from tenhour.year.feed.helped import Helped
from tenhour.year.world import World

Array = NDArray[np.float64]
Index = NDArray[np.intp]

HOLD_WEEKS: Final = 10
"""Weeks over which one harvest is offered: judgement."""
CLEAR_AFTER_WEEKS: Final = (2, 5, 8, 12, 17, 24)
"""When a stand that is cut again may be cleared, after it is ready; its natural end besides."""
SMALL: Final = 1e-6
GROWN_AT_ONCE: Final = 45_000
"""Sowings times seasons grown together where there are many beds: they take some 100 MB. Measured."""


@dataclass(frozen=True)
class Standing:
    """What is sown already, by the log or by the plan that is kept."""

    crop: str
    bed: str
    sown: date
    raised: bool
    area_m2: float
    assumed: bool = False
    """Whether nobody told its area."""
    moved_in: date | None = None
    """When it was moved in, where it was raised outdoors."""

    @property
    def begun(self) -> date:
        """Day from which its weeks are counted."""
        return self.moved_in or self.sown


@dataclass(frozen=True)
class Ground:
    """What a household may sow, and where."""

    world: World
    crops: tuple[Crop, ...]
    """As chosen."""
    usual: Mapping[str, Any]
    """The household's data."""
    first: date
    """First day of week 0."""
    sown: Index
    """Weeks of sowing offered [S]."""
    standing: tuple[Standing, ...] = ()
    """What is sown already."""
    helps: tuple[Helped, ...] = ()
    """What could be bought: the same is offered on its bed."""
    moves: tuple[MoveIn, ...] = ()
    """Plants raised outdoors that could be moved in."""

    @property
    def cuts_most(self) -> dict[str, int]:
        """Most cuts of one sowing, by crop."""
        return {crop.key: cuts_most(crop, self.usual) for crop in self.crops}

    def doy(self, sown: Index) -> Index:
        """Day of the year of weeks of sowing."""
        return np.array([day_index(self.first + timedelta(days=int(WEEK_D * week))) for week in sown], np.intp)


@dataclass(frozen=True)
class Cautious:
    """One route's sowings as they come in the season that is planned for; arrays [C, B, S]."""

    ready_week: Array
    end_week: Array
    mass_g_m2: Array
    week_g_m2: Array | None
    """[W, C, B, S]."""

    def outdone(self, row: int, bed: int, at: int, sown: Index) -> bool:
        """Whether the next sowing offered is ready as soon, gives as much and as long: then this one is not needed."""
        if self.week_g_m2 is not None or at + 1 >= len(sown):
            return False
        here, after = (row, bed, at), (row, bed, at + 1)
        later = int(sown[at + 1] - sown[at])
        return bool(
            self.ready_week[after] + later <= self.ready_week[here]
            and self.end_week[after] + later >= self.end_week[here]
            and self.mass_g_m2[after] >= self.mass_g_m2[here]
        )

    def options(self, place: tuple[int, int, int], week: int) -> list[tuple[int, dict[int, float]]]:
        """Last week in the ground and grams by week, for every way of clearing a sowing of a week."""
        if self.week_g_m2 is None:
            ready, end = self.ready_week[place], self.end_week[place]
            if not np.isfinite(ready) or end < ready:
                return []
            last = int(min(end, ready + HOLD_WEEKS))
            return [(week + w, {week + w: float(self.mass_g_m2[place])}) for w in range(int(ready), last + 1)]
        grams = self.week_g_m2[:, *place]
        there = np.flatnonzero(grams > SMALL)
        if not len(there):
            return []
        begin, natural = int(there[0]), int(there[-1])
        clear = sorted({min(begin + after, natural) for after in (*CLEAR_AFTER_WEEKS, natural - begin)})
        return [(week + w, {week + int(n): float(grams[n]) for n in there if n <= w}) for w in clear]


@dataclass(frozen=True)
class Route:
    """Sowings of some crops by one route, in the seasons that may be planned for."""

    rows: tuple[int, ...]
    """Crops of the ground's list."""
    raised: bool
    raised_weeks: Index
    """[C, S]."""
    of_surety: Mapping[float, Cautious]
    """By the share of seasons in which each sowing is in time."""


@dataclass(frozen=True)
class Grown:
    """All that is offered to a household, grown."""

    offered: tuple[Route, ...]
    lit: tuple[tuple[int, Route], ...]
    """With things to buy: number of the thing, and what grows there."""
    standing: tuple[Route | None, ...]
    """What stands, each on its bed alone; None where no wish asks for it."""
    moved: Route | None
    """Plants raised outdoors and moved in."""

    @property
    def routes(self) -> tuple[Route | None, ...]:
        """By the kinds of an offer's lots."""
        return (*self.offered, *(route for _, route in self.lit), *self.standing, self.moved)

    @property
    def first_standing(self) -> int:
        """Kind of the first that stands."""
        return len(self.offered) + len(self.lit)


def grown_for(ground: Ground, draws: Draws, sureties: Sequence[float]) -> Grown:
    """Grow all that is on offer under every draw, and keep what comes of it with each surety.

    Parameters: ground; draws, J seasons of its crops; sureties, shares of seasons that may be planned for.
    """
    standing = tuple(_kept_of(stand_grown(ground, one, draws), sureties) for one in ground.standing)
    offered = _in_turn(ground.world, ground, draws, sureties)
    moved = _moved_in_turn(ground, draws, sureties)
    return Grown(offered, helped_grown(ground, draws, sureties), standing, moved)


def helped_grown(ground: Ground, draws: Draws, sureties: Sequence[float]) -> tuple[tuple[int, Route], ...]:
    """Grow the same sowings on the beds of what could be bought: number of the thing, and what grows there."""
    return tuple(
        (number, route)
        for number, helped in enumerate(ground.helps)
        for route in _in_turn(helped.world.of_beds([helped.bed]), ground, draws, sureties)
    )


def beds_in_turn(world: World, cells: int) -> Iterator[World]:
    """A world some beds at a time, memory handed back between them; cells, sowings times seasons of one bed."""
    names, count = world.bed_names, max(1, GROWN_AT_ONCE // max(cells, 1))
    if len(names) <= count:
        yield world
        return
    for first in range(0, len(names), count):
        give_back_memory()
        tell(first, len(names), "beds")
        yield world.of_beds(names[first : first + count])
    tell(len(names), len(names), "beds")
    give_back_memory()


def _in_turn(world: World, ground: Ground, draws: Draws, sureties: Sequence[float]) -> tuple[Route, ...]:
    """Every route to every bed of a world."""
    rows = tuple(range(len(ground.crops)))
    cells = len(rows) * len(ground.sown) * len(draws)
    parts = [
        [_kept_of(harvests, sureties) for harvests in sown_grown(some, ground, rows, ground.sown, draws)]
        for some in beds_in_turn(world, cells)
    ]
    return tuple(_side_by_side(same) for same in zip(*parts, strict=True))


def _moved_in_turn(ground: Ground, draws: Draws, sureties: Sequence[float]) -> Route | None:
    if not ground.moves:
        return None
    crops, days = ({move.crop for move in ground.moves}, {move.on for move in ground.moves})
    parts = [
        _kept_of(moved_harvests(some, ground.crops, ground.moves, draws, ground.cuts_most), sureties)
        for some in beds_in_turn(ground.world, len(crops) * len(days) * len(draws))
    ]
    known = [part for part in parts if part is not None]
    return _side_by_side(known) if known else None


def sown_grown(world: World, ground: Ground, rows: Sequence[int], sown: Index, draws: Draws) -> list[Harvests]:
    """Sowings of some weeks on every bed of a world, each crop in its season.

    Parameters: world; rows, crops of the ground's list; sown, weeks [S]; draws, J seasons of the ground's crops.
    """
    crops, doy = tuple(ground.crops[row] for row in rows), ground.doy(sown)
    season = growing.in_season(crops, world.darkest_day)[:, doy]
    found = harvests_of(world, crops, doy, draws.of_crops(list(rows)), ground.cuts_most)
    return [replace(_in_season(one, season), rows=tuple(rows[row] for row in one.rows)) for one in found]


def _in_season(harvests: Harvests, season: NDArray[np.bool_]) -> Harvests:
    """The harvests of sowings on days on which a crop is sown at all; season by crop and sowing [C, S]."""
    sown = season[list(harvests.rows)][:, None, :, None]
    if sown.all():
        return harvests
    grams = harvests.week_g_m2
    return replace(
        harvests,
        ready_week=np.where(sown, harvests.ready_week, np.nan),
        week_g_m2=None if grams is None else np.where(sown, grams, 0.0),
    )


def stand_grown(ground: Ground, one: Standing, draws: Draws) -> Harvests | None:
    """What one stand gives on its bed alone; None where no wish asks for its crop."""
    keys = [crop.key for crop in ground.crops]
    if one.crop not in keys:
        return None
    row, world, most = keys.index(one.crop), ground.world.of_beds([one.bed]), ground.cuts_most
    if one.moved_in is not None:
        return moved_harvests(world, ground.crops, (MoveIn(one.crop, one.moved_in, one.sown),), draws, most)
    doy = np.array([day_index(one.sown)], np.intp)
    ways = harvests_of(world, (ground.crops[row],), doy, draws.of_crops([row]), most)
    raised = [way for way in ways if way.raised_weeks.any()]
    found = raised[0] if one.raised and raised else ways[0]
    return replace(found, rows=(row,))


def cuts_most(crop: Crop, usual: Mapping[str, Any]) -> int:
    """Most cuts of one sowing, by the crop's file, or else by the household's data."""
    own = getattr(crop.harvest, "cuts_most_count", None) if crop.harvest is not None else None
    if own is not None:
        return round(float(own.value))
    table = usual["cuts_most"]
    return int(table.get(crop.key, table.get(crop.way, {"value": 1}))["value"])


@overload
def _kept_of(harvests: Harvests, sureties: Sequence[float]) -> Route: ...
@overload
def _kept_of(harvests: None, sureties: Sequence[float]) -> None: ...
@overload
def _kept_of(harvests: Harvests | None, sureties: Sequence[float]) -> Route | None: ...
def _kept_of(harvests: Harvests | None, sureties: Sequence[float]) -> Route | None:
    """What comes of sowings with each surety; the seasons themselves are not held."""
    if harvests is None:
        return None
    each = {surety: _cautious(harvests, surety) for surety in sureties}
    return Route(harvests.rows, harvests.raised, harvests.raised_weeks, each)


def _cautious(harvests: Harvests, surety_frac: float) -> Cautious:
    late = np.where(np.isnan(harvests.ready_week), np.inf, harvests.ready_week)
    ready = np.quantile(late, surety_frac, axis=-1, method="higher")
    end = np.quantile(np.nan_to_num(harvests.end_week, nan=-1.0), 1.0 - surety_frac, axis=-1, method="lower")
    grams = None
    if harvests.week_g_m2 is not None:
        grams = np.quantile(harvests.week_g_m2, 1.0 - surety_frac, axis=-1)
    return Cautious(ready, end, np.quantile(harvests.mass_g_m2, 1.0 - surety_frac, axis=-1), grams)


def _side_by_side(parts: Sequence[Route]) -> Route:
    """The same route to some beds after others."""
    if len(parts) == 1:
        return parts[0]

    def joined(surety_frac: float) -> Cautious:
        some = [part.of_surety[surety_frac] for part in parts]
        grams = [one.week_g_m2 for one in some if one.week_g_m2 is not None]
        return Cautious(
            np.concatenate([one.ready_week for one in some], axis=1),
            np.concatenate([one.end_week for one in some], axis=1),
            np.concatenate([one.mass_g_m2 for one in some], axis=1),
            np.concatenate(grams, axis=2) if grams else None,
        )

    return replace(parts[0], of_surety={surety_frac: joined(surety_frac) for surety_frac in parts[0].of_surety})
