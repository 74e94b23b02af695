"""Amperes and breakers against the code's own figures."""

from __future__ import annotations

import pytest

from helpers_lamps import cases
from tenhour.lamps import circuit


@cases("lamps_circuit.csv")
def test_what_a_breaker_may_carry_for_hours(row: dict[str, str]) -> None:
    allowed = circuit.allowed_a(float(row["breaker_a"]), 16.0)
    assert allowed == pytest.approx(float(row["expected_a"]), rel=1e-12)
    assert allowed * float(row["mains_v"]) == pytest.approx(float(row["expected_w"]), rel=1e-12)


def test_the_rule_is_125_per_cent_upside_down() -> None:
    """NEC: 16 A continuous x 1.25 = 20 A."""
    assert circuit.smallest_breaker_a(16.0) == 20.0
    assert circuit.smallest_breaker_a(16.01) == 25.0


def test_short_loads_may_use_the_whole_breaker() -> None:
    assert circuit.allowed_a(15.0, 2.9) == 15.0
    assert circuit.allowed_a(15.0, 3.0) == 12.0


def test_a_heater_on_the_same_circuit_overloads_it() -> None:
    alone = circuit.circuit_load(400.0, 0.0, 120.0, 15.0, 16.0, 10)
    shared = circuit.circuit_load(400.0, 1500.0, 120.0, 15.0, 16.0, 10)
    assert not alone.overloaded
    assert shared.overloaded
    assert shared.lamps_a == alone.lamps_a
    assert shared.total_a == pytest.approx(1900 / 120)
    assert shared.smallest_breaker_a == 20.0


def test_lamps_beyond_one_circuit_are_split() -> None:
    load = circuit.circuit_load(3000.0, 0.0, 120.0, 15.0, 16.0, 30)
    assert load.overloaded
    assert load.circuits_count == 3
    per_circuit = 3000.0 / 30 * 10
    assert per_circuit <= 1440.0
    assert circuit.circuit_load(0.0, 0.0, 230.0, 16.0, 16.0, 0).circuits_count == 0


def test_poor_power_factor_draws_more() -> None:
    assert circuit.current_a(100.0, 230.0, 0.5) == pytest.approx(2 * circuit.current_a(100.0, 230.0))


def test_beyond_the_list_there_is_no_breaker() -> None:
    assert circuit.smallest_breaker_a(60.0) is None
