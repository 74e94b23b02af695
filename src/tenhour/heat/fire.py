"""What fuels and heaters give: wood by the batch, its burn, flued gas, electricity and a heat pump in the cold."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

DRY_MJ_KG: Final = 18.6
WATER_MJ_KG: Final = 2.443
"""Net heat of dry wood, and heat that goes up the flue with each kilogram of its water. Memory."""
MJ_KWH: Final = 3.6
DRY_WOOD_FRAC: Final = 0.2
"""Moisture of wood dried for a year, of its wet mass. Read (a state's air agency)."""
BURN_H: Final = 1.0
"""Time to the peak of a batch: 0.7-1 h in thin steel, 1.5-2.5 h in cast iron or firebrick. Judgement."""
RADIANT_FRAC: Final = 0.3
"""Of the heat of a stove, or of any heater a sensor stands beside, what goes to surfaces first. Judgement."""
PUMP_AT_ZERO: Final = 3.0
PUMP_PER_K: Final = 0.06
PUMP_LEAST: Final = 1.5
"""Heat per electricity of a small air-to-air heat pump: 2.5-3.5 at 0 °C, 1.8-2.2 at -15 °C. Memory."""


def wood_kwh_kg(moisture_frac: ArrayLike = DRY_WOOD_FRAC, efficiency_frac: ArrayLike = 1.0) -> Array:
    """Heat from a kilogram of wood as burnt.

    Parameters: moisture_frac, water over wet mass; efficiency_frac, of the net heating value.
    Method: what dry wood gives less what its water takes to boil (checked against a stove's table). Derived.

    >>> [round(float(q), 2) for q in wood_kwh_kg([0.2, 0.3, 0.4])]
    [4.0, 3.41, 2.83]
    """
    w = np.asarray(moisture_frac, dtype=np.float64)
    return np.asarray((DRY_MJ_KG * (1.0 - w) - WATER_MJ_KG * w) / MJ_KWH * np.asarray(efficiency_frac))


def burnt_kwh(since_h: ArrayLike, batch_kwh: float, burn_h: float = BURN_H) -> Array:
    """What one load has given by some time after it was lit.

    Parameters: since_h; batch_kwh, E; burn_h, τ.
    Method: E (1 - (1 + t/τ) exp(-t/τ)), the integral of E t/τ² exp(-t/τ), whose peak comes at τ. Derived.

    >>> burnt_kwh([0.0, 4.0, 99.0], 7.8).round(2).tolist()
    [0.0, 7.09, 7.8]
    """
    t = np.maximum(np.asarray(since_h, dtype=np.float64), 0.0) / burn_h
    return np.asarray(batch_kwh * (1.0 - (1.0 + t) * np.exp(-t)))


def pump_ratio(temp_out_degc: ArrayLike) -> Array:
    """Heat over electricity of an air-to-air heat pump. Parameters: temp_out_degc.

    >>> pump_ratio([0.0, -15.0, -40.0]).round(1).tolist()
    [3.0, 2.1, 1.5]
    """
    out = np.asarray(temp_out_degc, dtype=np.float64)
    return np.clip(PUMP_AT_ZERO + PUMP_PER_K * out, PUMP_LEAST, 4.0)
