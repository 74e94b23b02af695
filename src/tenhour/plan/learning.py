"""What a log of dates and weights says of a few factors: a posterior by Gauss-Newton with Student-t errors.

A sowing's date is asked of the growth model again for other light, air and growth, so the factors move dates through
the model and never days by a share. Light, this winter's light and air trade places with growth; all are fitted, so
that growth is not blamed for what they may have done.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from tenhour.errors import OutOfRange

Array = NDArray[np.float64]
Index = NDArray[np.intp]

LIGHT_LN: Final = np.linspace(-0.6, 0.6, 7)
AIR_K: Final = np.linspace(-3.0, 3.0, 5)
GROWTH_LN: Final = np.linspace(-0.6, 0.6, 7)
"""Where the growth model is asked: natural logarithms of factors, and kelvins."""
STUDENT_DF: Final = 4.0
"""Degrees of freedom of the errors of dates: one wrong date in ten does little harm. Lange et al. 1989, from memory."""
MOST_STEPS: Final = 100
SMALLEST_STEP: Final = 1e-9
HALVINGS: Final = 30
SHARED: Final = 4
"""Factors before those of crops and winters: light, air, growth, days put off."""
PUT_OFF: Final = 3
NO_DAYS: Final = 1e-6
"""Stands for a wait of which one is sure that there is none."""
NINETY: Final = 1.6449
"""Standard deviations from the middle to the ends of a 90 % interval."""


@dataclass(frozen=True)
class Priors:
    """Standard deviations before anything is known; growth, light and dates in logarithms, air in kelvins."""

    light_sd_frac: float
    winter_sd_frac: float
    air_k: float
    growth_sd_frac: float
    crop_sd_frac: float
    dates_sd_frac: float
    late_d: float = 0.0
    """Days by which a harvest is usually put off after the crop is ripe, and as much again or none."""
    wider_factor: float = 1.0
    """What the spread after learning is multiplied by."""
    predicted_factor: float = 1.0
    """What the error of a single date is multiplied by where a date is foretold."""


@dataclass(frozen=True)
class Surfaces:
    """Logarithm of the model's days of N sowings [N, 7, 5, 7] at every LIGHT_LN, AIR_K and GROWTH_LN.

    crop, winter [N]: numbers of the crop and of the winter each belongs to.
    """

    ln_days: Array
    crop: Index
    winter: Index

    def __post_init__(self) -> None:
        grid = (len(self.crop), len(LIGHT_LN), len(AIR_K), len(GROWTH_LN))
        if self.ln_days.shape != grid or len(self.winter) != len(self.crop):
            raise OutOfRange(f"ln_days: shape {self.ln_days.shape}, not {grid}")
        if not np.isfinite(self.ln_days).all():
            raise OutOfRange("ln_days: a sowing without a date")

    def at(self, light_ln: Array, air_k: Array, growth_ln: Array) -> tuple[Array, Array]:
        """Logarithm of days and its slopes by light, air and growth.

        Parameters: light_ln, air_k, growth_ln [N]. Returns: ln days [N]; slopes [N, 3]. Method: straight lines between
        the points of the grid, and beyond its ends.
        """
        parts = [_between(axis, value) for axis, value in zip(_AXES, (light_ln, air_k, growth_ln), strict=True)]
        every = np.arange(len(self.crop))
        value = np.zeros(len(every))
        slopes = np.zeros((len(every), 3))
        for corner in range(8):
            bits = [corner >> axis & 1 for axis in range(3)]
            found = self.ln_days[(every, *(part.left + bit for part, bit in zip(parts, bits, strict=True)))]
            shares = [part.share if bit else 1.0 - part.share for part, bit in zip(parts, bits, strict=True)]
            value += found * shares[0] * shares[1] * shares[2]
            for axis in range(3):
                others = shares[(axis + 1) % 3] * shares[(axis + 2) % 3]
                slopes[:, axis] += found * others * (1.0 if bits[axis] else -1.0) / parts[axis].width
        return value, slopes


@dataclass(frozen=True)
class Dates:
    """What the log says of N sowings, arrays [N].

    age_d: days from sowing to ripe, or that it has stood unripe; open: whether it was still not ripe; look_d: days
    between looks, within which the true date lies; eaten: whether the day is that of a harvest, which may have waited.
    """

    age_d: Array
    open: NDArray[np.bool_]
    look_d: Array
    eaten: NDArray[np.bool_]


@dataclass(frozen=True)
class Posterior:
    """Middle and covariance of the factors.

    mean [F], covariance [F, F] in the order light, air, growth, days put off, growth of each crop, light of winters.
    """

    mean: Array
    covariance: Array
    crops_count: int
    priors: Priors

    def sums(self, crop: int | None, winter: int | None = None) -> tuple[Array, Array]:
        """Middle [3] and covariance [3, 3] of the light, air and growth that a sowing meets.

        Parameters: crop, its number, None for one without rows; winter, its number, None for one to come: both add
        what is then not known.
        """
        pick = self.rows(crop, winter)
        spread = pick @ self.covariance @ pick.T
        if winter is None:
            spread[0, 0] += self.priors.winter_sd_frac**2
        if crop is None:
            spread[2, 2] += self.priors.crop_sd_frac**2
        return pick @ self.mean, spread

    def rows(self, crop: int | None, winter: int | None) -> Array:
        """Which factors add up to the light, air and growth of a sowing [3, F]."""
        crops, winters = (np.array([-1 if number is None else number]) for number in (crop, winter))
        picks = _picks(crops, winters, self.crops_count, len(self.mean) - SHARED - self.crops_count)
        return np.asarray(picks[0])


def fit(surfaces: Surfaces, dates: Dates, priors: Priors, crops_count: int, winters_count: int) -> Posterior:
    """Return what dates say of the factors.

    Parameters: surfaces and dates of N sowings; priors; crops_count, winters_count, how many there are.
    Method: Gauss-Newton on the posterior with normal priors; Student-t errors as weights (nu + 1) / (nu + (r/s)²);
    a sowing that still stands unripe is a right-censored normal; covariance is the inverse of the curvature (Laplace).
    Errors: OutOfRange for ages that are not above 0.
    """
    if (dates.age_d <= 0.0).any():
        raise OutOfRange("age_d: days from sowing must be above 0")
    case = _case(surfaces, dates, priors, crops_count, winters_count)
    mean = case.start.copy()
    best = case.minus_log(mean)
    for _ in range(MOST_STEPS):
        pull, curve = case.local(mean)
        step = np.linalg.solve(curve, pull)
        for _ in range(HALVINGS):
            tried = case.minus_log(mean + step)
            if tried <= best:
                break
            step /= 2.0
        else:
            break
        mean, best = mean + step, tried
        if np.abs(step).max() < SMALLEST_STEP:
            break
    covariance = np.linalg.inv(case.local(mean)[1]) * priors.wider_factor**2
    return Posterior(mean, np.asarray(covariance, dtype=np.float64), crops_count, priors)


def foretold(surfaces: Surfaces, posterior: Posterior, crop: Index, winter: Index) -> tuple[Array, Array, Array]:
    """Days of sowings after learning: middle and the ends of a 90 % interval, three arrays [N].

    Parameters: surfaces; posterior; crop, winter [N], numbers, -1 for a crop without rows or a winter to come.
    """
    at = [posterior.sums(_known(c), _known(w)) for c, w in zip(crop, winter, strict=True)]
    middle = np.array([mean for mean, _ in at]).reshape(len(at), 3)
    value, slopes = surfaces.at(*middle.T)
    spread = np.array([slope @ cov @ slope for slope, (_, cov) in zip(slopes, at, strict=True)])
    sd = np.sqrt(spread + (posterior.priors.predicted_factor * posterior.priors.dates_sd_frac) ** 2)
    return np.exp(value), np.exp(value - NINETY * sd), np.exp(value + NINETY * sd)


def fit_yields(ln_ratio: Array, crop: Index, crops_count: int, sd: tuple[float, float, float]) -> tuple[Array, Array]:
    """Return middle and covariance of yield factors, logarithms in the order of the grower, then each crop.

    Parameters: ln_ratio [N], weighed over the model's; crop [N]; crops_count; sd, of grower, crop and one harvest.
    Method: conjugate normal; linear, so exact.
    """
    grower, own, row = sd
    design = np.zeros((len(crop), 1 + crops_count))
    design[:, 0] = 1.0
    design[np.arange(len(crop)), 1 + crop] = 1.0
    hold = np.diag([grower**-2.0, *[own**-2.0] * crops_count])
    covariance = np.linalg.inv(hold + design.T @ design / row**2)
    return covariance @ design.T @ ln_ratio / row**2, np.asarray(covariance, dtype=np.float64)


@dataclass(frozen=True)
class _Between:
    left: Index
    share: Array
    width: float


_AXES: Final = (LIGHT_LN, AIR_K, GROWTH_LN)


def _between(axis: Array, value: Array) -> _Between:
    width = float(axis[1] - axis[0])
    left = np.clip(np.floor((value - axis[0]) / width).astype(np.intp), 0, len(axis) - 2)
    return _Between(left, (value - axis[left]) / width, width)


def _known(number: int) -> int | None:
    return None if number < 0 else int(number)


def _picks(crop: Index, winter: Index, crops_count: int, winters_count: int) -> Array:
    """Which factors add up to the light, air and growth of each sowing [N, 3, F]; -1 is none."""
    out = np.zeros((len(crop), 3, SHARED + crops_count + winters_count))
    out[:, 0, 0] = out[:, 1, 1] = out[:, 2, 2] = 1.0
    every = np.arange(len(crop))
    known, there = crop >= 0, winter >= 0
    out[every[known], 2, SHARED + crop[known]] = 1.0
    out[every[there], 0, SHARED + crops_count + winter[there]] = 1.0
    return out


@dataclass(frozen=True)
class _Case:
    """A posterior to be climbed: what was seen, and where it starts."""

    surfaces: Surfaces
    dates: Dates
    picks: Array
    start: Array
    hold: Array
    """One over the variance of every factor [F]."""
    scale: Array
    """Standard deviation of the logarithm of each date [N]."""

    def minus_log(self, mean: Array) -> float:
        """Minus the logarithm of the posterior, up to a constant."""
        score, _ = self._score(mean)
        closed = 0.5 * (STUDENT_DF + 1.0) * np.log1p(score**2 / STUDENT_DF)
        seen = np.where(self.dates.open, -norm.logcdf(-score), closed).sum()
        return float(0.5 * (self.hold * (mean - self.start) ** 2).sum() + seen)

    def local(self, mean: Array) -> tuple[Array, Array]:
        """Downhill pull [F] and curvature [F, F] at a point."""
        score, along = self._score(mean)
        weight = (STUDENT_DF + 1.0) / (STUDENT_DF + score**2)
        # the inverse Mills ratio of an unripe stand: how strongly its age pulls the date outward
        mills = np.exp(norm.logpdf(score) - norm.logcdf(-score))
        push = np.where(self.dates.open, mills, weight * score) / self.scale
        stiff = np.where(self.dates.open, np.maximum(mills * (mills - score), 0.0), weight) / self.scale**2
        return along.T @ push - self.hold * (mean - self.start), np.diag(self.hold) + along.T @ (stiff[:, None] * along)

    def _score(self, mean: Array) -> tuple[Array, Array]:
        """Distance of each date from the model in standard deviations [N], and slopes of ln days by factor [N, F]."""
        value, slopes = self.surfaces.at(*(self.picks @ mean).T)
        days = np.exp(value)
        waited = np.where(self.dates.eaten, max(float(mean[PUT_OFF]), 0.0), 0.0)
        along = np.einsum("na,naf->nf", slopes, self.picks) * (days / (days + waited))[:, None]
        along[:, PUT_OFF] = self.dates.eaten / (days + waited)
        return (np.log(self.dates.age_d) - np.log(days + waited)) / self.scale, along


def _case(surfaces: Surfaces, dates: Dates, priors: Priors, crops_count: int, winters_count: int) -> _Case:
    late = max(priors.late_d, NO_DAYS)
    sd = [priors.light_sd_frac, priors.air_k, priors.growth_sd_frac, late]
    sd += [priors.crop_sd_frac] * crops_count + [priors.winter_sd_frac] * winters_count
    start = np.zeros(len(sd))
    start[PUT_OFF] = priors.late_d
    waits = np.where(dates.eaten, priors.late_d, 0.0)
    scale = np.sqrt(priors.dates_sd_frac**2 + (dates.look_d**2 / 12.0 + waits**2) / dates.age_d**2)
    picks = _picks(surfaces.crop, surfaces.winter, crops_count, winters_count)
    return _Case(surfaces, dates, picks, start, np.array(sd) ** -2.0, scale)
