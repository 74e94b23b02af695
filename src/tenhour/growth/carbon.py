"""The carbon balance of a stand for one day: light in, upkeep out, growth up to a ceiling.

Everything here depends on crop, weather and draw but not on the plants, so that ``tables`` works it out once for a year
and ``engine`` steps through it in single precision; tests hold both to the exact day.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.temperature import (
    OUTER_LIGHT_FRAC,
    day_nodes,
    hour_weighted,
)

Floats = NDArray[np.float64]
Array = NDArray[np.floating[Any]]


@dataclass(frozen=True)
class Constants:
    """Numbers shared by all crops; source and mark beside each. How they were fitted: docs/method/growth.md."""

    light_use_g_mol: float = 2.0
    """CH2O fixed per mole intercepted, ambient CO2. Derived: Van Henten 1994 (1.90), Zhen & Bugbee 2020 (1.71)."""
    half_light_umol_m2_s: float = 1070.0
    """Flux at which a stand fixes half of what it could. Fitted: Carotti et al. 2021, Palmer & van Iersel 2020."""
    compensation_umol_m2_s: float = 13.5
    """Leaf light compensation at 20 °C, doubling per 10 K. Judgement within 5-35 published."""
    growth_yield_frac: float = 0.8
    """g dry matter per g CH2O used. Second-hand: Van Henten 1994."""
    upkeep_25_per_d: float = 0.022
    """g CH2O per g dry matter and day at 25 °C. Fitted; Van Henten 1994 has 0.027 per g structural mass."""
    doubling_k: float = 10.0
    """Kelvins that double upkeep and compensation. Second-hand: Van Henten 1994 (Q10 = 2)."""
    upkeep_idle_frac: float = 0.5
    """Share of upkeep left when growth stops. Judgement (growth-linked maintenance of tomato models)."""
    upkeep_growth_d: float = 20.0
    """How fast upkeep rises with relative growth [d]. Judgement."""
    shade_ratio: float = 0.25
    """Leaf area per mass falls as light to the minus this. Fitted; at most 0.28 in Poorter et al. 2019."""
    cool_ratio: float = 0.7
    """Leaf area per mass rises as warmth above the growth minimum to this. Fitted: Bierhuizen et al. 1973."""
    young_frac: float = 0.58
    """Leaf area per mass of a plant with open cotyledons, as a share of a grown plant's. Fitted."""
    young_leaves_count: float = 3.3
    """Leaves from which leaf area per mass is that of a grown plant. Fitted."""
    smooth_frac: float = 0.95
    """How sharp the smaller of supply and demand is taken; 1 is a plain minimum. Judgement."""
    leaf_half_ratio: float = 0.25
    """Supply over demand that halves leaf appearance. Judgement."""
    leaf_cost_ratio: float = 1.5
    """Seedling masses that a first leaf costs; n leaves cost n² times that. Fitted: trade practice."""


CONSTANTS: Final = Constants()

SECONDS_PER_HOUR: Final = 3600.0
MICRO: Final = 1e-6
TINY: Final = 1e-12
SHORTEST_DAY_H: Final = 0.1
NEARLY_DARK_MOL: Final = 0.05
"""Light below which leaves get no thinner [mol m⁻² d⁻¹]; only keeps powers finite."""
REFERENCE_DLI_MOL: Final = 10.0
REFERENCE_TEMP_DEGC: Final = 18.0
"""Light and warmth at which a crop's leaf area per mass is given."""
GOOD_DLI_MOL: Final = 12.0
"""Light at which seedlings are not drawn [mol m⁻² d⁻¹]: reference of the stretch score."""
DRAWN_RANGE_MOL: Final = (4.1, 14.2)
"""Light of the seedlings in Pramuk & Runkle 2005 [mol m⁻² d⁻¹]. Read."""
COOL_BASE_DEGC: Final = 4.0
"""Warmth above this draws seedlings: base of the stretch score for cool crops. Judgement."""
LEAF_AREA_LOW: Final = 0.2
LEAF_AREA_HIGH: Final = 2.0
"""Leaf area per mass stays within these shares of its reference. Judgement; published trials stay inside."""
UPKEEP_TEMP_DEGC: Final = 25.0
COMPENSATION_TEMP_DEGC: Final = 20.0
COLD_TOP_K: Final = 10.0
"""Photosynthesis is full this far above the growth minimum, and nil at it [K]: 0.01 at 0 °C and full from 10 °C for
cabbage in Daisy (Mollerup 2005, crop file read); the dim light of winter is what limits it above."""
STILL_DEGC: Final = -3.0
"""No leaf fixes anything below this, however low its crop's base of growth lies: cells freeze. Memory; dated October
sowings of spinach and pickings of kale in the dark agree (docs/method/growth.md)."""
HOT_TOP_K: Final = 3.0
HOT_END_K: Final = 5.0
"""Corners of photosynthesis in heat, from growth optimum and maximum [K]. Judgement."""


def by_light(outer: ArrayLike, inner: ArrayLike, thawed: ArrayLike = 1.0) -> Floats:
    """Mean of the outer and the inner half of the lit hours, weighted by the light that falls in them.

    Parameters: outer, inner, any share; thawed, share of the lit hours without frozen leaves, of which the first
    hours, all in the outer half, are lost; broadcast.
    Method: light of a sine over the lit hours (geometry); that frost takes the first hours is judgement.
    """
    early = OUTER_LIGHT_FRAC * (1.0 - (1.0 - np.asarray(thawed, dtype=np.float64)) * 2.0)
    return np.asarray(early * np.asarray(outer) + (1.0 - OUTER_LIGHT_FRAC) * np.asarray(inner))


def photosynthesis_warmth_frac(
    temp_degc: ArrayLike, temp_min_degc: ArrayLike, temp_opt_degc: ArrayLike, temp_max_degc: ArrayLike
) -> Floats:
    """Share of photosynthesis left by temperature: a plateau with slopes at both ends, 0-1.

    Parameters: temp_degc; temp_min_degc, temp_opt_degc, temp_max_degc, cardinal temperatures of growth [°C], broadcast.
    """
    t = np.asarray(temp_degc, dtype=np.float64)
    rise = (t - np.maximum(np.asarray(temp_min_degc), STILL_DEGC)) / COLD_TOP_K
    top, end = np.asarray(temp_opt_degc) + HOT_TOP_K, np.asarray(temp_max_degc) + HOT_END_K
    return np.asarray(np.clip(np.minimum(rise, (end - t) / (end - top)), 0.0, 1.0))


def above_compensation_frac(
    flux_umol_m2_s: ArrayLike, temp_day_degc: ArrayLike, constants: Constants = CONSTANTS
) -> Floats:
    """Share of the light above the leaf's compensation point, 0-1.

    Parameters: flux_umol_m2_s, mean flux of the lit hours [µmol m⁻² s⁻¹]; temp_day_degc [°C].
    Method: Pc = compensation 2^((Td - 20)/10), share = max(P - Pc, 0)/P (docs/method/growth.md).
    """
    flux = np.asarray(flux_umol_m2_s, dtype=np.float64)
    steps = (np.asarray(temp_day_degc) - COMPENSATION_TEMP_DEGC) / constants.doubling_k
    need = constants.compensation_umol_m2_s * 2.0**steps
    return np.asarray(np.maximum(flux - need, 0.0) / np.maximum(flux, TINY))


def upkeep_per_d(
    temp_day_degc: ArrayLike,
    temp_night_degc: ArrayLike,
    lit_h: ArrayLike,
    constants: Constants = CONSTANTS,
    swing_frac: ArrayLike = 0.0,
) -> Floats:
    """CH2O a growing gram of dry matter burns in a day [g g⁻¹ d⁻¹]; doubles per ``doubling_k``.

    Parameters: temp_day_degc, temp_night_degc [°C]; lit_h [h], hours of day; swing_frac, as for :func:`day_nodes`;
    broadcast.
    Method: upkeep = r25 2^((T - 25)/10), weighted by hours (docs/method/growth.md).
    """
    outer, inner, night = (
        2.0 ** ((np.asarray(x, dtype=np.float64) - UPKEEP_TEMP_DEGC) / constants.doubling_k)
        for x in (*day_nodes(temp_day_degc, temp_night_degc, swing_frac), temp_night_degc)
    )
    return constants.upkeep_25_per_d * hour_weighted((outer + inner) / 2.0, night, lit_h)


def drawn_length_ratio(dli_ten_day_mol_m2_d: ArrayLike, temp_mean_degc: ArrayLike, drawn_ratio: ArrayLike) -> Floats:
    """Length of leaves relative to those in good light at 18 °C, at the same number of leaves.

    Leaves cut by length are ready with fewer and lighter leaves where light is short for the warmth, because they are
    drawn: length goes as light over warmth to the minus 0.45 (first two terms of the stretch score; Liu & Heins 1997).
    In the cold nothing is drawn. Parameters: dli_ten_day_mol_m2_d [mol m⁻² d⁻¹]; temp_mean_degc, 24 h mean [°C];
    drawn_ratio, that exponent, 0 for crops not cut by length. Returns: factor; held outside the light of the trial it
    comes from (Pramuk & Runkle 2005, 4.1 to 14.2 mol).
    """
    warmth = (np.asarray(temp_mean_degc, dtype=np.float64) - COOL_BASE_DEGC) / (REFERENCE_TEMP_DEGC - COOL_BASE_DEGC)
    bright = np.maximum(np.asarray(dli_ten_day_mol_m2_d, dtype=np.float64), NEARLY_DARK_MOL)
    most, least = (GOOD_DLI_MOL / light for light in DRAWN_RANGE_MOL)
    return np.asarray(np.clip(GOOD_DLI_MOL / bright * warmth, least, most) ** np.asarray(drawn_ratio))
