"""How much heat a house loses, and how much of it with the air, from the lowest temperatures of its nights."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LOSS_SPREAD: Final = 0.25
"""How far, in logarithms, the loss through panes and walls of a house may be from what is reckoned: the error without a
thermometer. Judgement."""
LEAK_SPREAD: Final = 0.6
"""The same of draughts: 0.3 to 1 air change an hour for one house by three people. Judgement."""
FINE: Final = (81, 61)
NINE_IN_TEN: Final = (0.05, 0.95)
APART_FRAC: Final = 0.8
"""Nights that leave the spread of the draughts above this share of what it was tell nothing of them. Judgement."""


class Fit(NamedTuple):
    """Factors on what was reckoned, each with the ends that hold nine times in ten."""

    loss_factor: float
    loss_low_factor: float
    loss_high_factor: float
    """Through panes and walls."""
    leak_factor: float
    leak_low_factor: float
    leak_high_factor: float
    """Draughts."""
    whole_factor: float
    whole_low_factor: float
    whole_high_factor: float
    """Both together."""
    apart: bool
    """Whether the nights tell draughts from the rest."""


def fit_nights(
    lows_degc: Array,
    loss_factor: Array,
    leak_factor: Array,
    measured_degc: Array,
    covariance_k2: Array,
    leak_frac: float,
) -> Fit:
    """Fit loss and draughts to the lows of some nights.

    Parameters: lows_degc [F, L, N], the house's lows in N nights [°C] with each factor on its loss, loss_factor [F],
    and on its draughts, leak_factor [L]; measured_degc [N]; covariance_k2 [N, N], of the errors of lows that are known
    but for these factors [K²]; leak_frac, share of the draughts in the whole loss as it was reckoned.
    Method: Bayes on a grid in logarithms, lows bilinear between their points, normal errors that go together as they
    are said to, normal priors of LOSS_SPREAD and LEAK_SPREAD; medians and 5 and 95 % of each. Derived.
    """
    loss, across_loss = _fine(loss_factor, FINE[0])
    leak, across_leak = _fine(leak_factor, FINE[1])
    predicted = np.einsum("af,bl,fln->abn", across_loss, across_leak, lows_degc)
    apart = (predicted - measured_degc) @ np.linalg.inv(np.linalg.cholesky(covariance_k2)).T
    chance = -0.5 * (apart**2).sum(axis=-1)
    chance -= 0.5 * (np.log(loss) / LOSS_SPREAD)[:, None] ** 2 + 0.5 * (np.log(leak) / LEAK_SPREAD) ** 2
    weight = np.exp(chance - chance.max())
    weight /= weight.sum()
    whole = (1.0 - leak_frac) * loss[:, None] + leak_frac * leak
    parts = [_ends(loss, weight.sum(axis=1)), _ends(leak, weight.sum(axis=0)), _ends(whole.ravel(), weight.ravel())]
    mean = (np.log(leak) * weight.sum(axis=0)).sum()
    left = float(np.sqrt((weight.sum(axis=0) * (np.log(leak) - mean) ** 2).sum()))
    return Fit(*parts[0], *parts[1], *parts[2], left < APART_FRAC * LEAK_SPREAD)


def _fine(factor: Array, count: int) -> tuple[Array, Array]:
    """A finer row of factors, even in logarithms, and what it takes of each given one [count, F]."""
    log = np.log(factor)
    fine = np.linspace(log[0], log[-1], count)
    return np.exp(fine), np.stack([np.interp(fine, log, unit) for unit in np.eye(len(log))], axis=-1)


def _ends(value: Array, weight: Array) -> tuple[float, float, float]:
    """Median, 5 and 95 % of values with weights."""
    order = np.argsort(value)
    reached = np.cumsum(weight[order]) - weight[order] / 2.0
    low, middle, high = np.interp([NINE_IN_TEN[0], 0.5, NINE_IN_TEN[1]], reached, value[order]).tolist()
    return middle, low, high
