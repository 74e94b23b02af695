"""Indoor air by day and night from set points, the outdoor normal and the sun, and the cold single night."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.units import MICRO, UMOL_PER_J_GLOBAL

Array = NDArray[np.float64]

SENSIBLE_SHARE: Final = 0.6
"""Share of the sun indoors that warms air; a half to nine tenths (evaporation takes the rest): common practice."""
AIR_CHANGE_W_M2_K: Final = 0.8
"""Leakage per floor area: 0.33 W h m⁻³ K⁻¹ x about 1 change an hour x 2.4 m³ per m²: practice."""
MOST_LIFT_K: Final = 12.0
"""Beyond this a grower opens the vents: common practice."""
NIGHT_LIFT_K: Final = 2.0
"""Unheated night above the outdoor mean: by definition of the answers (practice)."""
MARITIME_RANGE_K: Final = 12.0
CONTINENTAL_RANGE_K: Final = 30.0
"""Annual ranges of monthly means between which the cold-night offset grows: practice."""
MARITIME_OFFSET_K: Final = 4.0
CONTINENTAL_OFFSET_K: Final = 9.0
"""How far the coldest ordinary night lies below the mean night, by climate: practice."""
GIVEN_OFFSET_K: Final = 2.0
"""The same for an indoor mean night the grower has stated: a stove or heater evens the nights: practice."""


@dataclass(frozen=True)
class IndoorAir:
    """Air of each bed on each day of the year [B, 365]."""

    day_degc: Array
    night_degc: Array
    cold_night_degc: Array


def day_lift_k(dli_bed_mol_m2_d: Array, daylength_h: Array, loss_w_m2_k: float) -> Array:
    """Mean rise of daytime air over outdoors by the sun that enters.

    Parameters: dli_bed_mol_m2_d, light inside [B, 365]; daylength_h [365]; loss_w_m2_k, fabric loss per floor area.
    Returns: rise [K], [B, 365], capped where vents open.
    Method: steady balance of sun against fabric and leakage, as in lamps-and-heat 2.1 and 2.9; sun even over the day.
    """
    seconds = np.maximum(daylength_h, 1.0) * 3600.0
    sun_w_m2 = dli_bed_mol_m2_d / (UMOL_PER_J_GLOBAL * MICRO * seconds)
    return np.asarray(np.minimum(SENSIBLE_SHARE * sun_w_m2 / (loss_w_m2_k + AIR_CHANGE_W_M2_K), MOST_LIFT_K))


def cold_offset_k(temp_out_month_degc: Array) -> float:
    """How far a cold single night lies below the mean night, from the annual range of monthly means [K].

    Parameters: temp_out_month_degc, twelve monthly means [°C].
    Method: straight between 4 K at a range of 12 K and 9 K at 30 K (docs/method/air.md).
    """
    span = float(np.ptp(temp_out_month_degc))
    share = np.clip((span - MARITIME_RANGE_K) / (CONTINENTAL_RANGE_K - MARITIME_RANGE_K), 0.0, 1.0)
    return float(MARITIME_OFFSET_K + share * (CONTINENTAL_OFFSET_K - MARITIME_OFFSET_K))


def indoor_air(
    temp_out_degc: Array,
    lift_k: Array,
    offset_k: float,
    *,
    day_degc: Array | None = None,
    night_degc: Array | None = None,
    day_set_degc: Array | None = None,
    night_set_degc: Array | None = None,
    night_min_degc: Array | None = None,
) -> IndoorAir:
    """Day, night and cold-night air of every bed.

    Parameters: temp_out_degc, outdoor mean [365]; lift_k, daytime rise [B, 365]; offset_k, cold night below mean night;
    the others, when known, [365] or [B, 365]: means stated by the grower, heater set points, and the coldest night.
    Returns: IndoorAir, each [B, 365].
    Method: day = max(set point, outdoor + lift), night = max(set point, outdoor + 2 K); stated means replace both.
    Of the stated ones, day_degc, night_degc are means, day_set_degc, night_set_degc set points, night_min_degc the
        coldest night [°C].
    """
    floor = -np.inf
    day = np.maximum(day_set_degc if day_set_degc is not None else floor, temp_out_degc + lift_k)
    night = np.maximum(night_set_degc if night_set_degc is not None else floor, temp_out_degc + NIGHT_LIFT_K)
    cold = np.maximum(night_set_degc if night_set_degc is not None else floor, temp_out_degc + NIGHT_LIFT_K - offset_k)
    if day_degc is not None:
        day = np.asarray(day_degc)
    if night_degc is not None:
        night = np.asarray(night_degc)
        cold = night - GIVEN_OFFSET_K
    if night_min_degc is not None:
        cold = np.asarray(night_min_degc)
    shape = lift_k.shape
    return IndoorAir(*(np.broadcast_to(part, shape).astype(np.float64) for part in (day, night, cold)))
