"""Several beds under one budget: against every way there is, and more of it is never worse."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_long import many
from tenhour.plan.lamp_budget import Offer, order_of, shared

offer = st.builds(Offer, st.just("steady"), st.floats(5.0, 500.0), st.floats(-1.0, 20.0))
beds = st.lists(st.lists(offer, max_size=4), min_size=1, max_size=4)


def _sum(taken: tuple[Offer | None, ...]) -> tuple[float, float]:
    lit = [one for one in taken if one is not None]
    return sum(one.spent_frac for one in lit), sum(one.gain_kg for one in lit)


def test_two_beds_by_hand() -> None:
    """300 W: 8 kg for 250 W over one bed beat 5 for 150; both beds on 150 W give 5 + 4 = 9 and beat that."""
    front = [Offer("least", 150.0, 5.0), Offer("steady", 250.0, 8.0)]
    back = [Offer("least", 150.0, 4.0), Offer("steady", 280.0, 6.0)]
    assert shared([front, back], 300.0) == (front[0], back[0])
    assert shared([front, back], 290.0) == (front[1], None)
    assert shared([front, back], 100.0) == (None, None)
    assert order_of((back[0], front[1])) == (2, 1)
    assert order_of((None, front[1])) == (None, 1)


@given(beds, st.floats(0.0, 1500.0))
@settings(deadline=None, derandomize=True, max_examples=many(60, 400))
def test_no_other_way_within_the_budget_adds_more(offers: list[list[Offer]], budget: float) -> None:
    spent, gain = _sum(shared(offers, budget))
    assert spent <= budget + 1e-6
    every = [_sum(way) for way in product(*([None, *bed] for bed in offers))]
    assert gain == pytest.approx(max(more for cost, more in every if cost <= budget + 1e-9), abs=1e-6)


@given(beds, st.floats(0.0, 1500.0), st.floats(0.0, 500.0))
@settings(deadline=None, derandomize=True, max_examples=many(60, 400))
def test_more_budget_is_never_worse(offers: list[list[Offer]], budget: float, more: float) -> None:
    assert _sum(shared(offers, budget + more))[1] >= _sum(shared(offers, budget))[1] - 1e-9
