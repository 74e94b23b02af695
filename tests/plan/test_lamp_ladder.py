"""Steps in light, the knee, and the harvest of a bed sown again and again: by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.plan.lamp_ladder import KNEE_RATIO, harvest_in, knee_dli_mol_m2_d, steps_of

LIGHT = np.array([3.0, 5.0, 7.0, 9.0, 13.0])


def test_a_bed_is_sown_again_when_it_is_cleared() -> None:
    """100 days of crops of 40 days: two whole ones of 2 kg, and half of a third."""
    days, each = np.full(365, 40.0), np.full(365, 2.0)
    assert harvest_in(days, each, 350, 100) == pytest.approx(2 * 2.0 + 0.5 * 2.0)
    assert harvest_in(days, each, 350, 10) == pytest.approx(0.25 * 2.0)
    assert harvest_in(np.full(365, np.nan), each, 0, 100) == 0.0


def test_what_is_sown_later_takes_its_own_days() -> None:
    days = np.full(365, 20.0)
    days[:10] = 60.0
    assert harvest_in(days, np.ones(365), 0, 80) == pytest.approx(1.0 + 1.0)


def test_the_knee_by_hand() -> None:
    """100 kWh for 2 kg, then 120 for 2, 150 for 2, 600 for 2: 50, 60, 75 and 300 a kilo; twice 50 ends before 300."""
    steps = steps_of(LIGHT, np.array([0.0, 100.0, 220.0, 370.0, 970.0]), np.array([10.0, 12.0, 14.0, 16.0, 18.0]))
    assert [step.each_kwh for step in steps] == pytest.approx([50.0, 60.0, 75.0, 300.0])
    assert knee_dli_mol_m2_d(steps) == 9.0


def test_the_cheapest_step_may_come_later() -> None:
    """A bed that only comes in at 7 mol: 0 kg, 0 kg, then 4 kg for 200 kWh, and 2 kg for 90 more."""
    steps = steps_of(LIGHT, np.array([0.0, 100.0, 200.0, 290.0, 700.0]), np.array([0.0, 0.0, 4.0, 6.0, 7.0]))
    assert not np.isfinite(steps[0].each_kwh)
    assert knee_dli_mol_m2_d(steps) == 9.0


def test_light_that_adds_nothing_has_no_knee() -> None:
    assert knee_dli_mol_m2_d(steps_of(LIGHT, LIGHT * 10.0, np.ones(5))) is None
    assert knee_dli_mol_m2_d(()) is None


@given(st.lists(st.floats(0.1, 50.0), min_size=4, max_size=4), st.lists(st.floats(0.0, 5.0), min_size=4, max_size=4))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_no_step_up_to_the_knee_from_the_cheapest_costs_twice_that(power: list[float], more: list[float]) -> None:
    energy, harvest = np.concatenate([[0.0], np.cumsum(power)]), np.concatenate([[1.0], 1.0 + np.cumsum(more)])
    steps = steps_of(LIGHT, energy, harvest)
    knee = knee_dli_mol_m2_d(steps)
    costs = [step.each_kwh for step in steps]
    if knee is None:
        assert not np.isfinite(costs).any()
        return
    last, cheapest = [step.dli_mol_m2_d for step in steps].index(knee), int(np.argmin(costs))
    assert cheapest <= last
    assert all(
        cost < KNEE_RATIO * costs[cheapest] or n == cheapest
        for n, cost in enumerate(costs[: last + 1])
        if n >= cheapest
    )
    assert last + 1 == len(costs) or costs[last + 1] >= KNEE_RATIO * costs[cheapest]
