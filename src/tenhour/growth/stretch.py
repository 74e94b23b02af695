"""How drawn seedlings become: demand running ahead of supply, as a score with the share of each cause."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

CAUSES: Final = (
    "low light",
    "heat",
    "days warmer than nights",
    "crowding",
    "far-red light",
    "little blue light",
    "dark after emergence",
    "wet and rich",
    "brushing",
)
"""Order of the terms; the last only ever lowers the score."""

GOOD_DLI_MOL_M2_D: Final = 12.0
"""Light at which nothing is drawn: thresholds of 10-13 for seedlings (Randall & Lopez 2015, Craver 2019). Read."""
GOOD_TEMP_DEGC: Final = 18.0
"""Mean temperature of the reference. Judgement."""
LONGEST_AT_DEGC: Final = 32.0
"""Warmth at which stems are longest: cucumber 30 in dim, 35 in brighter light (hypocotyls at 20-40, Environ. Control in
Biol. 10, 1972; abstract). Read; the one number between is judgement."""
BEYOND_SLOPE: Final = 0.5
"""How fast warmth counts back beyond that: judgement."""
COOL_BASE_DEGC: Final = 4.0
"""Base temperature of cool crops; 8-10 for warm ones. Judgement."""
LIGHT_EXPONENT: Final = 0.45
"""ln(1.64)/ln(14.2/4.1) = 0.40 in Pramuk & Runkle 2005; strength 0.51, diameter 0.20 in Liu & Heins 1997. Derived."""
HEAT_EXPONENT: Final = 0.45
"""Equal to light's: the photothermal ratio of Liu & Heins 1997. Derived."""
DIF_PER_K: Final = 0.020
"""−33 % over 20 K in cucumber (Plants 2023, 12, 3164), if its reference was +10 K. Derived, uncertain."""
USUAL_DIF_K: Final = 5.0
CROWD_LOG: Final = 0.45
CROWD_SLOPE: Final = 0.15
CROWD_FROM: Final = 0.2
CROWD_CLOSED: Final = 1.0
CROWD_MOST: Final = 4.5
"""Crowding by leaf area index: shade of neighbours above 1 after Gent 2017. Below it the far-red that neighbours throw
back, well before they shade (Ballaré, Scopel & Sánchez 1990, Science 247:329, read, abstract); from 0.2 and sizes
judgement."""
LATE_PER_D: Final = 0.02
"""Per day late to pot on. Common practice."""
FAR_RED_SIZE: Final = 0.30
SUN_RED_FAR_RED: Final = 1.15
"""Red to far-red of daylight (1.14 second-hand). The size is weak and conservative (Knight & Mitchell 1988)."""
BLUE_SIZE: Final = 0.70
ENOUGH_BLUE: Final = 0.25
"""25 % blue or more: 41-57 % shorter than red only (Wollaeger & Runkle 2014). Derived."""
DARK_PER_D: Final = 0.25
"""Per day in the dark after emergence: hypocotyls add about a centimetre a day. Common practice."""
DARK_MOST_D: Final = 4.0
"""Dark days beyond this add no more: the reserves of small seeds are spent in four to five days. Judgement."""
WET_SIZE: Final = 0.15
BRUSH_SIZE: Final = 0.22
"""Tomato −20 %, cucumber −25 % for ten strokes a day (Garner & Bjorkman). Read."""
SCALE: Final = 0.7
TOP_SCORE: Final = 100.0
LEAST_WARMTH_K: Final = 0.5
LEAST_DLI_MOL_M2_D: Final = 0.05
"""Clamps: mean temperature above its base, light above nothing. Judgement."""

WATCH_SCORE: Final = 25.0
LEGGY_SCORE: Final = 45.0
STRINGY_SCORE: Final = 65.0
"""Below 25 sturdy, to 45 watch, to 65 leggy, above stringy. Judgement."""


class Stretch(NamedTuple):
    """Score 0-100, the terms of its logarithm [K, ...] in the order of ``CAUSES``, and each cause's share [K, ...]."""

    score: Floats
    term: Floats
    share_frac: Floats


def stretch(
    dli_mol_m2_d: ArrayLike,
    temp_mean_degc: ArrayLike,
    temp_dif_k: ArrayLike = USUAL_DIF_K,
    base_degc: ArrayLike = COOL_BASE_DEGC,
    *,
    leaf_area_ratio: ArrayLike = 0.0,
    late_d: ArrayLike = 0.0,
    red_far_red_ratio: ArrayLike = SUN_RED_FAR_RED,
    blue_frac: ArrayLike = ENOUGH_BLUE,
    lamp_share: ArrayLike = 0.0,
    dark_d: ArrayLike = 0.0,
    wetness_frac: ArrayLike = 0.0,
    brushing_frac: ArrayLike = 0.0,
) -> Stretch:
    """Stretch of seedlings from what they have had since emergence (first three weeks count most).

    Parameters: dli_mol_m2_d, mean light [mol m⁻² d⁻¹]; temp_mean_degc, 24 h mean [°C]; temp_dif_k, day minus
    night [K]; base_degc, 4 for cool crops, 8-10 for warm [°C]; leaf_area_ratio, leaf area index of the tray;
    late_d, days late to pot on [d]; red_far_red_ratio, if measured; blue_frac, share of blue in the lamp's photons;
    lamp_share, share of light from lamps; dark_d, days in the dark after emergence [d]; wetness_frac,
    brushing_frac, 0-1. All broadcast; defaults are neutral.
    Returns: :class:`Stretch`. Shares are of the sum of the lengthening terms, 0 where there are none.
    Method: docs/method/growth.md, "Stretch"; light and heat as the photothermal ratio of Liu & Heins 1997.

    >>> round(float(stretch(2.6, 13.9, 11.0).score))
    61
    """
    dif = DIF_PER_K * (np.asarray(temp_dif_k, dtype=np.float64) - USUAL_DIF_K)
    blue = BLUE_SIZE * (1.0 - np.minimum(np.asarray(blue_frac) / ENOUGH_BLUE, 1.0)) * np.asarray(lamp_share)
    terms = np.broadcast_arrays(
        light_term(dli_mol_m2_d),
        heat_term(temp_mean_degc, base_degc),
        dif,
        crowd_term(leaf_area_ratio) + LATE_PER_D * np.asarray(late_d),
        FAR_RED_SIZE * np.log(SUN_RED_FAR_RED / np.asarray(red_far_red_ratio)),
        blue,
        DARK_PER_D * np.minimum(dark_d, DARK_MOST_D),
        WET_SIZE * np.asarray(wetness_frac),
        -BRUSH_SIZE * np.asarray(brushing_frac),
    )
    term = np.stack(terms).astype(np.float64)
    positive = np.maximum(term, 0.0)
    total = positive.sum(axis=0)
    share = positive / np.where(total > 0, total, 1.0)
    return Stretch(score_of(term.sum(axis=0)), term, share)


def light_term(dli_mol_m2_d: ArrayLike) -> Floats:
    """Logarithm of lengthening by dim light (negative above the reference).

    Parameters: dli_mol_m2_d, mean since emergence [mol m⁻² d⁻¹], any shape.
    Method: 0.45 ln(12 / DLI); exponent from Pramuk & Runkle 2005 (docs/method/stretch.md).
    """
    light = np.maximum(np.asarray(dli_mol_m2_d, dtype=np.float64), LEAST_DLI_MOL_M2_D)
    return np.asarray(LIGHT_EXPONENT * np.log(GOOD_DLI_MOL_M2_D / light))


def heat_term(temp_mean_degc: ArrayLike, base_degc: ArrayLike = COOL_BASE_DEGC) -> Floats:
    """Logarithm of lengthening by warmth (negative below the reference).

    Parameters: temp_mean_degc, base_degc [°C], broadcast.
    Method: 0.45 ln((Tm - Tb)/(18 - Tb)), the photothermal ratio of Liu & Heins 1997, to an optimum and half as fast
    back beyond it (docs/method/stretch.md).
    """
    base = np.asarray(base_degc, dtype=np.float64)
    temp = np.asarray(temp_mean_degc, dtype=np.float64)
    beyond = np.maximum(temp - LONGEST_AT_DEGC, 0.0)
    warmth = np.maximum(temp - beyond * (1.0 + BEYOND_SLOPE) - base, LEAST_WARMTH_K)
    return np.asarray(HEAT_EXPONENT * np.log(warmth / (GOOD_TEMP_DEGC - base)))


def crowd_term(leaf_area_ratio: ArrayLike) -> Floats:
    """Logarithm of lengthening by neighbours.

    Parameters: leaf_area_ratio, leaf area over ground [-], any shape.
    Method: 0.15 over the way from 0.2 to 1 (far-red of neighbours), then 0.45 ln LAI + 0.15 (LAI - 1) to LAI 5.5
    (shade); docs/method/stretch.md.

    >>> [round(float(crowd_term(leaf)), 2) for leaf in (0.2, 0.6, 1.0, 2.0)]
    [0.0, 0.07, 0.15, 0.61]
    """
    leaf = np.asarray(leaf_area_ratio, dtype=np.float64)
    early = np.clip((leaf - CROWD_FROM) / (CROWD_CLOSED - CROWD_FROM), 0.0, 1.0)
    shade = CROWD_LOG * np.log(np.maximum(leaf, CROWD_CLOSED))
    return np.asarray(CROWD_SLOPE * (early + np.clip(leaf - CROWD_CLOSED, 0.0, CROWD_MOST)) + shade)


def score_of(log_ratio: ArrayLike) -> Floats:
    """Score 0-100 of a sum of terms.

    Parameters: log_ratio, ln E [-], any shape.
    Method: 100 (1 - exp(-max(0, ln E)/0.7)); judgement, docs/method/stretch.md.
    """
    return np.asarray(TOP_SCORE * -np.expm1(-np.maximum(np.asarray(log_ratio, dtype=np.float64), 0.0) / SCALE))


def log_of_score(score: ArrayLike) -> Floats:
    """Sum of terms that gives a score; the inverse of :func:`score_of` above 0."""
    return np.asarray(-SCALE * np.log1p(-np.asarray(score, dtype=np.float64) / TOP_SCORE))


def dli_for_score_mol_m2_d(
    score: ArrayLike,
    temp_mean_degc: ArrayLike,
    temp_dif_k: ArrayLike = USUAL_DIF_K,
    base_degc: ArrayLike = COOL_BASE_DEGC,
    other_terms: ArrayLike = 0.0,
) -> Floats:
    """Light at which stretch has a given score at a temperature [mol m⁻² d⁻¹].

    Parameters: score, 0-100; temp_mean_degc [°C]; temp_dif_k [K]; base_degc [°C]; other_terms, sum of the
    remaining terms of :func:`stretch`.
    Returns: light, nearly proportional to the warmth above the base.

    >>> [round(float(dli_for_score_mol_m2_d(45, t)), 1) for t in (8, 12, 16, 20, 24)]
    [1.4, 2.7, 4.1, 5.4, 6.8]
    """
    rest = heat_term(temp_mean_degc, base_degc) + DIF_PER_K * (np.asarray(temp_dif_k) - USUAL_DIF_K)
    need = log_of_score(score) - rest - np.asarray(other_terms)
    return np.asarray(GOOD_DLI_MOL_M2_D * np.exp(-need / LIGHT_EXPONENT))


def temp_for_score_degc(
    score: ArrayLike,
    dli_mol_m2_d: ArrayLike,
    temp_dif_k: ArrayLike = USUAL_DIF_K,
    base_degc: ArrayLike = COOL_BASE_DEGC,
    other_terms: ArrayLike = 0.0,
) -> Floats:
    """Mean temperature that a light can carry at a given score [°C]: match heat to light.

    Parameters as :func:`dli_for_score_mol_m2_d`, with dli_mol_m2_d [mol m⁻² d⁻¹] instead of temperature.
    Parameters: temp_dif_k, day less night [K]; base_degc [°C].
    Method: the branch below the optimum of :func:`heat_term`.
    """
    base = np.asarray(base_degc, dtype=np.float64)
    rest = light_term(dli_mol_m2_d) + DIF_PER_K * (np.asarray(temp_dif_k) - USUAL_DIF_K) + np.asarray(other_terms)
    return np.asarray(base + (GOOD_TEMP_DEGC - base) * np.exp((log_of_score(score) - rest) / HEAT_EXPONENT))
