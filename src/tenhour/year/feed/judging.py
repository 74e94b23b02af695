"""How a household's plan fares in seasons it was not made for; only its own sowings are grown for that."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.growth.shapes import Draws
from tenhour.model.feed import FeedSurety
from tenhour.plan.feed.solve import Plan, served
from tenhour.year.crops import growing
from tenhour.year.crops.larder import WEEK_D, Harvests
from tenhour.year.crops.moved import moved_harvests
from tenhour.year.feed.grown import beds_in_turn, sown_grown, stand_grown
from tenhour.year.feed.offer import Offer
from tenhour.year.world import World

Array = NDArray[np.float64]
Index = NDArray[np.intp]

SHORT_FRAC: Final = 0.2
"""A week is short when a fifth or more of a wish is missing: by definition of the answer."""

Place = tuple[int, int, int]
"""Row, bed and sowing of a lot among some harvests."""


def judged(offer: Offer, plan: Plan, count: int, seed: int) -> Array:
    """Portions missing when the plan meets seasons it was not made for [J, G, T].

    Parameters: count, J seasons; seed, of their order.
    """
    ground = offer.ground
    draws = growing.seasons_of(ground.world, ground.crops, count, seed)
    return np.stack([served(offer.program, plan, grams) for grams in _in_seasons(offer, plan, draws)])


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
        when = offer.ground.first + timedelta(days=WEEK_D * worst) if worst_share > 0 else None
        out.append(FeedSurety(wish, float(there), float(short[:, number, weeks].mean()), when, worst_share))
    return tuple(out), by_week


def _in_seasons(offer: Offer, plan: Plan, draws: Draws) -> list[sparse.csr_array]:
    """Grams of the lots of a plan's sowings in every season, each [N, T]; what comes too late for its clearing is lost.

    All lots of a sowing, also those that the plan leaves: a season may clear it at another time.
    """
    sowing = offer.program.lots.sowing
    sown = sorted({int(sowing[lot]) for lot, _ in plan.lots})
    lots = np.flatnonzero(np.isin(sowing, sown))
    entries: list[list[tuple[int, int, float]]] = [[] for _ in range(len(draws))]
    for lot, harvests, place in _grown(offer, lots, draws):
        for draw, into in enumerate(entries):
            into += _given(offer, lot, harvests, (*place, draw))
    return [_as_rows(some, offer.program.lots.yield_g.shape) for some in entries]


def _as_rows(entries: Sequence[tuple[int, int, float]], shape: tuple[int, int]) -> sparse.csr_array:
    lot, week, grams = zip(*entries, strict=True) if entries else ((), (), ())
    return sparse.csr_array((grams, (lot, week)), shape=shape)


def _given(
    offer: Offer, lot: int, harvests: Harvests, here: tuple[int, int, int, int]
) -> list[tuple[int, int, float]]:  # fmt: skip
    """(lot, week, grams a unit) of what one lot gives in one season."""
    program, sowing = offer.program, int(offer.program.lots.sowing[lot])
    sown, last = int(offer.sown_week[sowing]), int(program.lots.last_week[lot])
    unit = float(program.sowings.unit_m2[sowing])
    if harvests.week_g_m2 is not None:
        series = harvests.week_g_m2[: last - sown + 1, *here]
        weeks = [int(n) for n in np.flatnonzero(series) if 0 <= sown + n < program.weeks]
        return [(lot, sown + n, unit * float(series[n])) for n in weeks]
    if last >= 0 and harvests.ready_week[here] <= last - sown <= harvests.end_week[here]:
        return [(lot, last, unit * float(harvests.mass_g_m2[here]))]
    return []


def _grown(offer: Offer, lots: Index, draws: Draws) -> Iterator[tuple[int, Harvests, Place]]:
    """Some lots with the harvests they are of and their place in them: what is on beds, under lamps, and stands."""
    grown, kind = offer.grown, offer.lot_kind[lots]
    offered, standing = len(grown.offered), grown.first_standing
    yield from _on_beds(offer, lots[kind < offered], offer.ground.world, draws)
    for number, helped in enumerate(offer.ground.helps):
        lit = [offered + n for n, (of, _) in enumerate(grown.lit) if of == number]
        yield from _on_beds(offer, lots[np.isin(kind, lit)], helped.world.of_beds([helped.bed]), draws)
    moved = len(grown.routes) - 1
    for which in sorted({int(one) for one in kind if standing <= one < moved}):
        harvests = stand_grown(offer.ground, offer.ground.standing[which - standing], draws)
        if harvests is not None:
            yield from ((int(lot), harvests, (0, 0, 0)) for lot in lots[kind == which])
    yield from _moved(offer, lots[kind == moved], draws)


def _on_beds(offer: Offer, lots: Index, world: World, draws: Draws) -> Iterator[tuple[int, Harvests, Place]]:
    """Lots sown on the beds of a world, or raised for them, some beds at a time."""
    ground, routes = offer.ground, offer.grown.routes
    row, bed, at = (part[lots] for part in offer.lot_at)
    own = [routes[kind] for kind in offer.lot_kind[lots]]
    crop = np.array([route.rows[n] for route, n in zip(own, row, strict=True) if route is not None], np.intp)
    raised = np.array([route is not None and route.raised for route in own], np.bool_)
    cells = len(np.unique(crop)) * len(np.unique(at)) * len(draws)
    for some, here, among in _in_turn(world, bed, cells):
        rows, sown = np.unique(crop[here]), np.unique(at[here])
        found = sown_grown(some, ground, rows.tolist(), ground.sown[sown], draws)
        for n, place in zip(here.tolist(), among.tolist(), strict=True):
            of = next(one for one in found if one.raised == raised[n] and crop[n] in one.rows)
            yield int(lots[n]), of, (of.rows.index(int(crop[n])), place, int(np.searchsorted(sown, at[n])))


def _moved(offer: Offer, lots: Index, draws: Draws) -> Iterator[tuple[int, Harvests, Place]]:
    """Lots of plants moved in."""
    ground, route = offer.ground, offer.grown.moved
    if route is None:
        return
    row, bed, at = (part[lots] for part in offer.lot_at)
    days = {move.on for move in ground.moves}
    for some, here, among in _in_turn(ground.world, bed, len(route.rows) * len(days) * len(draws)):
        found = moved_harvests(some, ground.crops, ground.moves, draws, ground.cuts_most)
        if found is not None:
            for n, place in zip(here.tolist(), among.tolist(), strict=True):
                yield int(lots[n]), found, (int(row[n]), place, int(at[n]))


def _in_turn(world: World, bed: Index, cells: int) -> Iterator[tuple[World, Index, Index]]:
    """The beds that some lots are on, some at a time: the world of these, which lots are on them, and on which each.

    Parameters: bed, that of each lot among those of the world; cells, sowings times seasons of one bed.
    """
    if not len(bed):
        return
    used = np.unique(bed)
    names, begin = world.bed_names, 0
    for some in beds_in_turn(world.of_beds([names[n] for n in used]), cells):
        number = np.searchsorted(used, bed) - begin
        begin += len(some.bed_names)
        here = np.flatnonzero((number >= 0) & (number < len(some.bed_names)))
        yield some, here, number[here]
