"""How light varies: from day to day (dull days, gloomy weeks) and from season to season (harvest dates)."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.sky.split import (
    CLASS_LEVEL_FRAC,
    DAYS,
    MONTH_STARTS,
    month_mean,
)
from tenhour.units import UMOL_PER_J_GLOBAL_SPREAD_FRAC

Array = NDArray[np.float64]

DAY_TO_DAY_RATIO: Final = 0.3
"""Correlation of the light of one day with the next [-]. Practice; pvlib's three typical years give 0.26-0.28."""

GLOOMY_YEARS_FRAC: Final = 0.2
"""The gloomy week comes in one year of five (contract, definitions)."""

WEEK_DAYS: Final = 7
TEN_DAYS: Final = 10
MADE_UP_YEARS: Final = 400
"""Seasons drawn to find the gloomy week; another seed moves it by about 2 %. Judgement."""

DARKEST_SHARE: Final = 0.5
"""No drawn day is darker than this share of the dullest class [-]. Judgement."""

SEED: Final = 20
CROP_DAYS: Final = 60.0
"""Length of a crop over which the weather averages out [d]. Judgement."""

SD_PER_MEAN_ERROR: Final = float(np.sqrt(np.pi / 2))
"""Standard deviation of a normal distribution over its mean absolute deviation [-]."""

SEASON_PER_MONTH_ERROR: Final = 0.07 / 0.109
"""Mean error of the normals' October-March sum over that of single months [-]: docs/method/sky.md. Derived."""


def class_sequence(n_days: int = DAYS, seed: int = SEED) -> NDArray[np.int_]:
    """Day class (0 dullest to 4 brightest) of each of n days, in one fixed order for all crops.

    Any ten days in a row hold each class exactly twice: a shuffled row of ten, repeated. So no sowing date is
    favoured by a run of bright days that the seed happened to deal.
    """
    row = np.repeat(np.arange(len(CLASS_LEVEL_FRAC)), TEN_DAYS // len(CLASS_LEVEL_FRAC))
    shuffled = np.random.default_rng(seed).permutation(row)
    return np.resize(shuffled, n_days).astype(np.int_)


def ten_day_mean(values: Array) -> Array:
    """Mean of each day and the nine before it, along the last axis (fewer at the start); unit as given."""
    total = np.cumsum(values, axis=-1)
    late = np.concatenate([total[..., :TEN_DAYS], total[..., TEN_DAYS:] - total[..., :-TEN_DAYS]], axis=-1)
    return np.asarray(late / np.minimum(np.arange(1, values.shape[-1] + 1), TEN_DAYS))


@lru_cache(maxsize=4)
def _weather(seed: int, years: int, ratio: float) -> Array:
    """Made-up weather as standard normal scores [years, 365], each day correlated with the day before."""
    noise = np.random.default_rng(seed).standard_normal((years, DAYS))
    score = noise.copy()
    fresh = np.sqrt(1 - ratio**2)
    for day in range(1, DAYS):
        score[:, day] = ratio * score[:, day - 1] + fresh * noise[:, day]
    return score


def drawn_days(class_value: Array, seed: int = SEED, day_to_day_ratio: float = DAY_TO_DAY_RATIO) -> Array:
    """Light of each day in many made-up years with the classes' spread and correlated days.

    Parameters: class_value[365, 5], the date's light in each class, any unit; seed; day_to_day_ratio,
        correlation of neighbouring days [-].
    Returns: [years, 365], unit as given.
    Method: normal scores of a first-order autoregressive series, mapped to the classes' values by straight lines
        between their levels' scores and beyond, at least half of the dullest class.
    """
    score = _weather(seed, MADE_UP_YEARS, day_to_day_ratio)
    at = np.array([NormalDist().inv_cdf(level) for level in CLASS_LEVEL_FRAC])
    left = np.clip(np.searchsorted(at, score, side="right") - 1, 0, at.size - 2)
    share = (score - at[left]) / (at[left + 1] - at[left])
    day = np.arange(DAYS)
    value = class_value[day, left] * (1 - share) + class_value[day, left + 1] * share
    return np.asarray(np.maximum(value, DARKEST_SHARE * class_value[:, 0]))


def gloomy_week(class_value: Array, seed: int = SEED, day_to_day_ratio: float = DAY_TO_DAY_RATIO) -> Array:
    """Darkest seven-day mean of each month that comes in one year of five.

    Parameters: as drawn_days; class_value may be outdoor light or a bed's.
    Returns: [12], unit as given.
    Method: 20th percentile, over the drawn years, of the least mean of seven days in a row within the month.
        The day-to-day correlation is common practice, compared with typical years in docs/method/sky.md.
    """
    drawn = drawn_days(class_value, seed, day_to_day_ratio)
    total = np.concatenate([np.zeros((drawn.shape[0], 1)), np.cumsum(drawn, axis=1)], axis=1)
    weeks = (total[:, WEEK_DAYS:] - total[:, :-WEEK_DAYS]) / WEEK_DAYS  # entry d: days d to d + 6
    least = [weeks[:, a : b - WEEK_DAYS + 1].min(axis=1) for a, b in pairwise(MONTH_STARTS)]
    return np.asarray(np.quantile(np.stack(least, axis=1), GLOOMY_YEARS_FRAC, axis=0))


def day_sd_frac(class_ratio: Array) -> Array:
    """Spread from day to day, standard deviation over mean, by month: [12] from the class ratios [365, 5] [-]."""
    return month_mean(class_ratio.std(axis=1) / class_ratio.mean(axis=1))


def season_light_sd_frac(
    class_ratio: Array,
    uncertainty_frac: Array,
    crop_d: float = CROP_DAYS,
    day_to_day_ratio: float = DAY_TO_DAY_RATIO,
) -> Array:
    """Spread of a whole crop's light about what the normals say, standard deviation over mean, by month.

    Parameters: class_ratio[365, 5] [-]; uncertainty_frac[12], mean error of the normals [-]; crop_d, days over
        which the weather averages out [d]; day_to_day_ratio, correlation of neighbouring days [-].
    Returns: [12] [-], to be held for a whole crop in a draw; it is far smaller than day_sd_frac.
    Method: squares added of (1) the mean of crop_d correlated days, sd · sqrt((1 + r) / (1 - r) / n); (2) the
        normals' error, as of a season's sum, mean error × 1.25; (3) the photon factor, ±4 %.
    """
    inflation = (1 + day_to_day_ratio) / (1 - day_to_day_ratio)
    weather = day_sd_frac(class_ratio) * np.sqrt(inflation / crop_d)
    normals = SD_PER_MEAN_ERROR * SEASON_PER_MONTH_ERROR * np.asarray(uncertainty_frac)
    return np.asarray(np.sqrt(weather**2 + normals**2 + UMOL_PER_J_GLOBAL_SPREAD_FRAC**2))
