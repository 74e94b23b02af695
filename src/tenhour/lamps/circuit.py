"""Amperes, breakers and what a circuit may carry for hours on end."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

CONTINUOUS_SHARE: Final = 0.8
"""Share of a breaker that a load of three hours or more may take: the inverse of the 125 % rule of NEC 210.19(A)(1) and
210.20(A); 15 A carries 12 A, 20 A carries 16 A. Read (code text as quoted by electricians)."""
CONTINUOUS_AFTER_H: Final = 3.0
"""A load on this long is continuous: NEC article 100. Read, second-hand."""
BREAKERS_A: Final = (6.0, 10.0, 13.0, 15.0, 16.0, 20.0, 25.0, 30.0, 32.0, 40.0, 50.0, 63.0)
"""Common sizes: IEC 60898-1 preferred values and NEC 240.6(A), small end. Memory."""
ROUNDING_A: Final = 1e-9


class CircuitLoad(NamedTuple):
    """Load of one circuit: lamps and all [A], what it may carry [A], and whether it is too much."""

    lamps_a: float
    total_a: float
    allowed_a: float
    overloaded: bool
    smallest_breaker_a: float | None
    circuits_count: int


def current_a(power_w: float, mains_v: float, power_factor: float = 1.0) -> float:
    """Current that a load draws.

    Parameters: power_w [W]; mains_v [V], > 0; power_factor, real over apparent power [-], 0-1.
    Returns: current [A].
    """
    return power_w / (mains_v * power_factor)


def allowed_a(breaker_a: float, lit_h: float = CONTINUOUS_AFTER_H) -> float:
    """Current a breaker may carry for a load of that many hours: 80 % from three hours up, else all of it.

    >>> allowed_a(15.0), allowed_a(20.0)
    (12.0, 16.0)
    """
    return breaker_a * CONTINUOUS_SHARE if lit_h >= CONTINUOUS_AFTER_H else breaker_a


def smallest_breaker_a(load_a: float, lit_h: float = CONTINUOUS_AFTER_H) -> float | None:
    """Smallest common breaker that may carry the load, or None beyond the list.

    Parameters: load_a [A]; lit_h, hours it burns [h].
    """
    return next((b for b in BREAKERS_A if load_a <= allowed_a(b, lit_h) + ROUNDING_A), None)


def circuit_load(
    lamps_w: float,
    others_w: float,
    mains_v: float,
    breaker_a: float,
    lit_h: float,
    fixtures_count: int,
    power_factor: float = 1.0,
) -> CircuitLoad:
    """What the lamps and all else on the circuit draw, and how many circuits the lamps need.

    Parameters: lamps_w, all fixtures together; others_w, whatever shares the circuit (heater, fan); mains_v; breaker_a;
        lit_h, lamp hours a day; fixtures_count; power_factor of the lamps.
    Returns: CircuitLoad; circuits_count is how many circuits of that breaker carry the fixtures alone, others apart.
    Method: sum of currents against the continuous-load rule; no phase angle between loads, which errs to the safe side.
    """
    lamps = current_a(lamps_w, mains_v, power_factor)
    total = lamps + current_a(others_w, mains_v)
    allowed = allowed_a(breaker_a, lit_h)
    over = total > allowed + ROUNDING_A
    each = lamps / fixtures_count if fixtures_count else 0.0
    per_circuit = math.floor(allowed / each + ROUNDING_A) if each > 0 else 0
    count = math.ceil(fixtures_count / per_circuit) if per_circuit else int(fixtures_count > 0)
    return CircuitLoad(lamps, total, allowed, over, smallest_breaker_a(total, lit_h), count)
