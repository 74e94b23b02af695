"""Seeded, stratified draws of what is uncertain, so that few of them give steady ranges."""

from __future__ import annotations

from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.shapes import Draws

Floats = NDArray[np.float64]

DRAWS: Final = 15
LIGHT_SD: Final = 0.15
TEMP_SD_K: Final = 1.5
CROP_SD: Final = 0.15
SEEDLING_SD: Final = 0.25
TARGET_SD: Final = 0.20
"""One standard deviation of light, air, growth ceiling and leaf area, seedling mass, target size. Judgement."""

FACTORS: Final = 6
SHUFFLES: Final = 200
"""Orders tried for the one with the least correlation between what is drawn."""


def latin_draws(
    n: int = DRAWS,
    seed: int = 1,
    *,
    light_sd_frac: float = LIGHT_SD,
    temp_sd_k: float = TEMP_SD_K,
    rgr_sd_frac: float = CROP_SD,
    sla_sd_frac: float = CROP_SD,
    seedling_sd_frac: float = SEEDLING_SD,
    target_sd_frac: float = TARGET_SD,
) -> Draws:
    """Draw n seasons and crops: every factor takes each of n equal-probability values once.

    Parameters: n, draws, at least 1; seed, of the order in which they are combined; then standard deviations:
    light_sd_frac of the light of a season, temp_sd_k of air [K], rgr_sd_frac of the growth ceiling, sla_sd_frac of
    leaf area, seedling_sd_frac and target_sd_frac of masses. Factors are log-normal with median 1.
    Returns: :class:`Draws` [n]; the same seed gives the same draws. n = 1 is the middle.
    Method: Latin hypercube (McKay, Beckman & Conover 1979, from memory), the best of 200 shuffles.
    Errors: ValueError where n is below 1.
    """
    if n < 1:
        raise ValueError(f"n is {n}; at least one draw is needed")
    z = _shuffled(n, seed)
    light, temp, rgr, sla, seedling, target = z
    return Draws(
        light_factor=np.exp(light_sd_frac * light),
        temp_offset_k=temp_sd_k * temp,
        rgr_factor=np.exp(rgr_sd_frac * rgr),
        sla_factor=np.exp(sla_sd_frac * sla),
        seedling_factor=np.exp(seedling_sd_frac * seedling),
        target_factor=np.exp(target_sd_frac * target),
    )


def _shuffled(n: int, seed: int) -> Floats:
    """Six orders of the same n normal scores with little correlation between them, [6, n]."""
    normal = NormalDist()
    scores = np.array([normal.inv_cdf((i + 0.5) / n) for i in range(n)])
    order = np.random.default_rng(seed).random((SHUFFLES, FACTORS, n)).argsort(axis=-1)
    trials = scores[order]
    alike = np.abs(trials @ np.swapaxes(trials, 1, 2))
    alike[:, np.arange(FACTORS), np.arange(FACTORS)] = 0.0
    return np.asarray(trials[alike.max(axis=(1, 2)).argmin()])
