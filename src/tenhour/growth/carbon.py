"""The carbon balance of a stand for one day: light in, upkeep out, growth up to a ceiling.

:func:`day_coefficients` holds everything that depends on crop, weather and draw but not on the plants, so that a
run can compute it once for a year. :func:`day_growth` is the exact day; ``engine`` runs the same day in single
precision with the cheap :func:`absorbed_per_cover`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.temperature import (
    OUTER_LIGHT_FRAC,
    day_nodes,
    growth_frac,
    hour_weighted,
    thawed_frac,
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
AMBIENT_CO2_PPM: Final = 400.0
CO2_POINT_PPM: Final = 40.0
"""CO2 at which nothing is fixed at 20 °C [ppm]: Van Henten 1994. Second-hand."""
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


class CropColumns(Protocol):
    """The growth numbers a day needs; each broadcasts against the weather."""

    @property
    def extinction_ratio(self) -> Any: ...  # noqa: D102
    @property
    def leaf_area_m2_g(self) -> Any: ...  # noqa: D102
    @property
    def temp_min_degc(self) -> Any: ...  # noqa: D102
    @property
    def temp_opt_degc(self) -> Any: ...  # noqa: D102
    @property
    def temp_max_degc(self) -> Any: ...  # noqa: D102
    @property
    def rgr_per_d(self) -> Any: ...  # noqa: D102
    @property
    def drawn_ratio(self) -> Any: ...  # noqa: D102


class DayCoefficients(NamedTuple):
    """One day (or a year of days) of a crop in a place; arrays of one shape.

    cover_m2_g: extinction times leaf area per dry mass; gross_g_m2_d: CH2O fixed if all light were absorbed;
    upkeep_per_d, sink_per_d: per dry mass; length_ratio: how drawn leaves cut by length are, 1 in good light.
    """

    cover_m2_g: Array
    gross_g_m2_d: Array
    upkeep_per_d: Array
    sink_per_d: Array
    length_ratio: Array


class DayGrowth(NamedTuple):
    """One day per unit of dry mass: relative growth, supply over demand, supply; and the cover (extinction × LAI)."""

    growth_per_d: Array
    source_sink_ratio: Array
    source_per_d: Array
    cover_ratio: Array


def day_coefficients(
    crop: CropColumns,
    dli_mol_m2_d: ArrayLike,
    dli_ten_day_mol_m2_d: ArrayLike,
    temp_day_degc: ArrayLike,
    temp_night_degc: ArrayLike,
    lit_h: ArrayLike,
    constants: Constants = CONSTANTS,
    swing_frac: ArrayLike = 0.0,
) -> DayCoefficients:
    """Everything about a day that does not depend on how big the plants are.

    Parameters: crop, growth numbers, each broadcasting against the weather; dli_mol_m2_d, light of the day
    [mol m⁻² d⁻¹]; dli_ten_day_mol_m2_d, its ten-day mean; temp_day_degc, temp_night_degc [°C]; lit_h [h]; swing_frac,
    1 where the sun makes the air of the day, 0 where it stands at set points.
    Returns: :class:`DayCoefficients`, broadcast shape.
    Method: docs/method/growth.md, "One day"; Yan & Hunt 1999 for warmth, Van Henten 1994 for upkeep.
    """
    day, night, lit = (np.asarray(x, dtype=np.float64) for x in (temp_day_degc, temp_night_degc, lit_h))
    dli = np.asarray(dli_mol_m2_d, dtype=np.float64)
    mean = hour_weighted(day, night, lit)
    flux = dli / (np.maximum(lit, SHORTEST_DAY_H) * SECONDS_PER_HOUR * MICRO)
    saturation = 1.0 + flux / constants.half_light_umol_m2_s
    cover = (
        crop.extinction_ratio
        * crop.leaf_area_m2_g
        * leaf_area_factor(dli_ten_day_mol_m2_d, mean, crop.temp_min_degc, constants)
    )
    outer, inner = day_nodes(day, night, swing_frac)
    cardinal = (crop.temp_min_degc, crop.temp_opt_degc, crop.temp_max_degc)
    early, noon = (photosynthesis_warmth_frac(node, *cardinal) for node in (outer, inner))
    warm = by_light(early, noon, thawed_frac(night))
    gross = constants.light_use_g_mol * warm * dli * above_compensation_frac(flux, day, constants) / saturation
    return DayCoefficients(
        cover_m2_g=cover,
        gross_g_m2_d=gross,
        upkeep_per_d=upkeep_per_d(day, night, lit, constants, swing_frac),
        sink_per_d=crop.rgr_per_d * growth_warmth_frac(crop, day, night, lit, swing_frac),
        length_ratio=drawn_length_ratio(dli_ten_day_mol_m2_d, mean, crop.drawn_ratio),
    )


def growth_warmth_frac(
    crop: CropColumns, temp_day_degc: Array, temp_night_degc: Array, lit_h: Array, swing_frac: ArrayLike = 0.0
) -> Floats:
    """Share of the growth ceiling that a day's warmth allows, 0-1: rates, not temperatures, weighted by hours.

    Parameters: crop, with its cardinal temperatures [°C]; temp_day_degc, temp_night_degc [°C]; lit_h [h]; swing_frac,
    as for :func:`day_nodes`; broadcast. Method: :func:`growth_frac` at two temperatures of the day and the night's.
    """
    cardinal = (crop.temp_min_degc, crop.temp_opt_degc, crop.temp_max_degc)
    outer, inner = (growth_frac(node, *cardinal) for node in day_nodes(temp_day_degc, temp_night_degc, swing_frac))
    by_day = (outer + inner) / 2.0 * thawed_frac(temp_night_degc)
    return hour_weighted(by_day, growth_frac(temp_night_degc, *cardinal), lit_h)


def by_light(outer: ArrayLike, inner: ArrayLike, thawed: ArrayLike = 1.0) -> Floats:
    """Mean of the outer and the inner half of the lit hours, weighted by the light that falls in them.

    Parameters: outer, inner, any share; thawed, share of the lit hours without frozen leaves, of which the first
    hours, all in the outer half, are lost; broadcast.
    Method: light of a sine over the lit hours (geometry); that frost takes the first hours is judgement.
    """
    early = OUTER_LIGHT_FRAC * (1.0 - (1.0 - np.asarray(thawed, dtype=np.float64)) * 2.0)
    return np.asarray(early * np.asarray(outer) + (1.0 - OUTER_LIGHT_FRAC) * np.asarray(inner))


def leaf_area_factor(
    dli_ten_day_mol_m2_d: ArrayLike,
    temp_mean_degc: ArrayLike,
    temp_min_degc: ArrayLike,
    constants: Constants = CONSTANTS,
) -> Floats:
    """Leaf area per mass relative to 10 mol m⁻² d⁻¹ and 18 °C: thin leaves in shade, small ones in the cold.

    Parameters: dli_ten_day_mol_m2_d [mol m⁻² d⁻¹]; temp_mean_degc, 24 h mean [°C]; temp_min_degc, growth
    minimum [°C]. Returns: factor, within the limits of ``constants``.
    Method: (DLI/10)^-shade ((Tm - Tmin)/(18 - Tmin))^cool, docs/method/growth.md.
    """
    light = np.maximum(np.asarray(dli_ten_day_mol_m2_d, dtype=np.float64), NEARLY_DARK_MOL) / REFERENCE_DLI_MOL
    low = np.asarray(temp_min_degc)
    warmth = np.maximum(np.asarray(temp_mean_degc) - low, 0.0) / (REFERENCE_TEMP_DEGC - low)
    factor = light**-constants.shade_ratio * warmth**constants.cool_ratio
    return np.asarray(np.clip(factor, LEAF_AREA_LOW, LEAF_AREA_HIGH))


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


def light_use_at_co2_g_mol(co2_ppm: ArrayLike, temp_degc: ArrayLike = 20.0, constants: Constants = CONSTANTS) -> Floats:
    """Light use at another CO2 than the 400 ppm of outdoor air, to judge trials with raised CO2 [g mol⁻¹].

    Method: Van Henten 1994 (second-hand), (C − G)/(C + 2 G) with G = 40 ppm at 20 °C, doubling per 10 K.

    >>> round(float(light_use_at_co2_g_mol(400.0)), 2)
    2.0
    """
    point = CO2_POINT_PPM * 2.0 ** ((np.asarray(temp_degc) - COMPENSATION_TEMP_DEGC) / constants.doubling_k)
    ratio = [(c - point) / (c + 2.0 * point) for c in (np.asarray(co2_ppm, dtype=np.float64), AMBIENT_CO2_PPM)]
    return np.asarray(constants.light_use_g_mol * ratio[0] / ratio[1])


def absorbed_per_cover(cover_ratio: Array) -> Array:
    """Light absorbed per unit of cover, (1 − exp(−x))/x, exactly.

    Parameters: cover_ratio, extinction times leaf area index, ≥ 0. Returns: 1 at nothing, falling as 1/x.
    Method: Monteith's interception (Beer's law for leaves).
    """
    x = np.maximum(cover_ratio, TINY)
    return np.asarray(-np.expm1(-x) / x)


def day_growth(
    day: DayCoefficients,
    mass_g_m2: ArrayLike,
    leaves_count: ArrayLike,
    running_growth_per_d: ArrayLike = 0.0,
    constants: Constants = CONSTANTS,
) -> DayGrowth:
    """One exact day of growth of a stand.

    Parameters: day, its coefficients; mass_g_m2, dry mass [g m⁻²]; leaves_count, leaves unfolded;
    running_growth_per_d, relative growth of the last week [d⁻¹].
    Returns: :class:`DayGrowth`; growth is negative when light does not pay the upkeep.
    Method: docs/method/growth.md, "One day"; the engine is tested against this exact form.
    """
    age = np.minimum(np.asarray(leaves_count) / constants.young_leaves_count, 1.0)
    stage = constants.young_frac + (1.0 - constants.young_frac) * age
    per_mass = np.asarray(day.cover_m2_g * stage)
    cover = per_mass * np.asarray(mass_g_m2, dtype=np.float64)
    shade = absorbed_per_cover(cover)
    gross = day.gross_g_m2_d * per_mass * shade
    idle = constants.upkeep_idle_frac
    activity = 1.0 - (1.0 - idle) * np.exp(-constants.upkeep_growth_d * np.maximum(running_growth_per_d, 0.0))
    left = gross - day.upkeep_per_d * activity
    source = np.minimum(left, constants.growth_yield_frac * left)
    growth = smooth_minimum(source, day.sink_per_d, constants.smooth_frac)
    ratio = np.maximum(source, 0.0) / np.maximum(day.sink_per_d, TINY)
    return DayGrowth(growth, ratio, source, cover)


def smooth_minimum(a: Array, b: Array, smooth_frac: float) -> Array:
    """Smaller of two numbers with a rounded corner: the lower root of a quadratic (non-rectangular hyperbola).

    Parameters: a, b, same shape and unit; smooth_frac, 1 for a sharp corner, above 0.
    Method: smooth y² - (a + b) y + a b = 0.
    """
    total = a + b
    return np.asarray((total - np.sqrt(total * total - 4.0 * smooth_frac * a * b)) / (2.0 * smooth_frac))
