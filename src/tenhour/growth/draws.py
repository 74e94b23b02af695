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

SEASON_FACTORS: Final = 2
CROP_FACTORS: Final = 4
"""Light and air, shared by all crops of a draw; ceiling, leaf area, seedling and target of each crop."""
SHUFFLES: Final = 200
"""Orders tried for the one with the least correlation between what is drawn."""


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
    Method: Latin hypercube (McKay, Beckman & Conover 1979, from memory), log-normal factors of median 1; the order of
    a crop's own numbers is the one of 200 least correlated with the
    seasons' and with each other.
    """
    season = shuffled(n, seed, SEASON_FACTORS)
    own = np.empty((CROP_FACTORS, len(crop_seeds), n))
    for row, number in enumerate(crop_seeds):
        own[:, row] = shuffled(n, number + seed, CROP_FACTORS, season)
    growth = CROP_SD * np.broadcast_to(np.asarray(growth_spread_factor, dtype=np.float64), len(crop_seeds))[:, None]
    rgr, sla = (np.exp(growth * z) for z in own[:2])
    seedling, target = (np.exp(sd * z) for sd, z in zip((SEEDLING_SD, TARGET_SD), own[2:], strict=True))
    light = np.exp(np.asarray(light_sd_frac, dtype=np.float64)[..., None] * season[0])
    return Draws(light, TEMP_SD_K * season[1], rgr, sla, seedling, target)


def shuffled(n: int, seed: int, rows: int, beside: Floats | None = None) -> Floats:
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
