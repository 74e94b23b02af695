"""The exact day of growth in double precision, formula by formula: what the engine's tables and steps are held to."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.carbon import (
    CONSTANTS,
    LEAF_AREA_HIGH,
    LEAF_AREA_LOW,
    MICRO,
    NEARLY_DARK_MOL,
    REFERENCE_DLI_MOL,
    REFERENCE_TEMP_DEGC,
    SECONDS_PER_HOUR,
    SHORTEST_DAY_H,
    TINY,
    Constants,
    above_compensation_frac,
    by_light,
    drawn_length_ratio,
    photosynthesis_warmth_frac,
    upkeep_per_d,
)
from tenhour.growth.temperature import day_nodes, growth_frac, hour_weighted, thawed_frac

Floats = NDArray[np.float64]
Array = NDArray[np.floating[Any]]


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
    crop: Any,
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


def growth_warmth_frac(
    crop: Any, temp_day_degc: Array, temp_night_degc: Array, lit_h: Array, swing_frac: ArrayLike = 0.0
) -> Floats:
    """Share of the growth ceiling that a day's warmth allows, 0-1: rates, not temperatures, weighted by hours.

    Parameters: crop, with its cardinal temperatures [°C]; temp_day_degc, temp_night_degc [°C]; lit_h [h]; swing_frac,
    as for :func:`day_nodes`; broadcast. Method: :func:`growth_frac` at two temperatures of the day and the night's.
    """
    cardinal = (crop.temp_min_degc, crop.temp_opt_degc, crop.temp_max_degc)
    outer, inner = (growth_frac(node, *cardinal) for node in day_nodes(temp_day_degc, temp_night_degc, swing_frac))
    by_day = (outer + inner) / 2.0 * thawed_frac(temp_night_degc)
    return hour_weighted(by_day, growth_frac(temp_night_degc, *cardinal), lit_h)


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
