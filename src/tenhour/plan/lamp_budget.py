"""Which beds get lamps, and on which rung, when watts or money are limited."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

CLOSE = 1e-9


class Offer(NamedTuple):
    """One rung of one bed: the share of the budget that it takes, and the harvest it adds [kg]."""

    rung: str
    spent_frac: float
    gain_kg: float


def shared(offers: Sequence[Sequence[Offer]], most_frac: float = 1.0) -> tuple[Offer | None, ...]:
    """At most one offer for every bed, so that together they add most within the budget; of equals the thriftiest.

    Parameters: offers, B beds with any number of rungs each; most_frac, share of the budget that may be spent.
    Returns: B offers, None where a bed stays unlit.
    Method: bed by bed, keeping only the ways that no other beats in both spending and harvest: exact.
    """
    ways: list[tuple[float, float, tuple[Offer | None, ...]]] = [(0.0, 0.0, ())]
    for bed in offers:
        more = [(spent, gain, (*taken, None)) for spent, gain, taken in ways]
        for offer in bed:
            more += [
                (spent + offer.spent_frac, gain + offer.gain_kg, (*taken, offer))
                for spent, gain, taken in ways
                if offer.gain_kg > 0 and spent + offer.spent_frac <= most_frac + CLOSE
            ]
        ways = _unbeaten(more)
    return ways[-1][2]


def _unbeaten(
    ways: list[tuple[float, float, tuple[Offer | None, ...]]],
) -> list[tuple[float, float, tuple[Offer | None, ...]]]:
    kept: list[tuple[float, float, tuple[Offer | None, ...]]] = []
    for way in sorted(ways, key=lambda one: (one[0], -one[1])):
        if not kept or way[1] > kept[-1][1] + CLOSE:
            kept.append(way)
    return kept


def order_of(taken: Sequence[Offer | None]) -> tuple[int | None, ...]:
    """Which bed comes first, second, ...: by harvest added for what its offer takes; None where a bed stays unlit."""
    lit = [n for n, offer in enumerate(taken) if offer is not None]
    worth = {n: offer.gain_kg / max(offer.spent_frac, CLOSE) for n, offer in enumerate(taken) if offer is not None}
    ranked = sorted(lit, key=lambda n: -worth[n])
    return tuple(ranked.index(n) + 1 if n in worth else None for n in range(len(taken)))
