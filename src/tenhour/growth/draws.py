"""Seeded, stratified draws of what is uncertain, so that few of them give steady ranges."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

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
SEASON_FACTORS: Final = 2
"""Of the factors, light and air: shared by all crops of a draw."""
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
    light, temp, rgr, sla, seedling, target = _shuffled(n, seed, FACTORS)
    return Draws(
        light_factor=np.exp(light_sd_frac * light),
        temp_offset_k=temp_sd_k * temp,
        rgr_factor=np.exp(rgr_sd_frac * rgr),
        sla_factor=np.exp(sla_sd_frac * sla),
        seedling_factor=np.exp(seedling_sd_frac * seedling),
        target_factor=np.exp(target_sd_frac * target),
    )


def season_draws(
    crop_seeds: Sequence[int],
    light_sd_frac: ArrayLike,
    n: int = DRAWS,
    seed: int = 1,
    *,
    growth_spread_factor: ArrayLike = 1.0,
) -> Draws:
    """Draw n seasons that C crops share, and each crop's own numbers for itself.

    Parameters: crop_seeds, a number of each crop [C], so that its draws do not depend on which others are asked for;
    light_sd_frac, standard deviation of a season's light by day of the year [365], or [365, B] of each bed; n,
    draws, at least 1; seed, of the seasons; growth_spread_factor [C], on the spread of growth and leaf area, where a
    log has narrowed it.
    Returns: :class:`Draws`, light_factor [365, n] or [365, B, n], temp_offset_k [n], the rest [C, n].
    Method: as :func:`latin_draws`; the order of a crop's own numbers is the one of 200 least correlated with the
    seasons' and with each other.
    """
    season = _shuffled(n, seed, SEASON_FACTORS)
    own = np.empty((FACTORS - SEASON_FACTORS, len(crop_seeds), n))
    for row, number in enumerate(crop_seeds):
        own[:, row] = _shuffled(n, number + seed, FACTORS - SEASON_FACTORS, season)
    growth = CROP_SD * np.broadcast_to(np.asarray(growth_spread_factor, dtype=np.float64), len(crop_seeds))[:, None]
    rgr, sla = (np.exp(growth * z) for z in own[:2])
    seedling, target = (np.exp(sd * z) for sd, z in zip((SEEDLING_SD, TARGET_SD), own[2:], strict=True))
    light = np.exp(np.asarray(light_sd_frac, dtype=np.float64)[..., None] * season[0])
    return Draws(light, TEMP_SD_K * season[1], rgr, sla, seedling, target)


def _shuffled(n: int, seed: int, rows: int, beside: Floats | None = None) -> Floats:
    """Orders of the same n normal scores with little correlation between them, and with others beside, [rows, n]."""
    normal = NormalDist()
    scores = np.array([normal.inv_cdf((i + 0.5) / n) for i in range(n)])
    trials = scores[np.random.default_rng(seed).random((SHUFFLES, rows, n)).argsort(axis=-1)]
    every = trials
    if beside is not None:
        every = np.concatenate([trials, np.broadcast_to(beside, (SHUFFLES, *beside.shape))], axis=1)
    alike = np.abs(every @ np.swapaxes(every, 1, 2))
    alike[:, np.arange(every.shape[1]), np.arange(every.shape[1])] = 0.0
    return np.asarray(trials[alike.max(axis=(1, 2)).argmin()])
