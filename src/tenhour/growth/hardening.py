"""How much frost a crop stands on a day, from the cold and warm days before it.

Plants harden in cold days and lose it in warm ones, within days: one kill temperature per crop cannot hold for October
and January both. Everything here works on daily series of any length, of the air or of what a cover keeps.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FULL_DEGC: Final = 1.0
NONE_DEGC: Final = 9.0
"""Middle of a day's lowest and daytime air at which plants harden wholly, and from which they do not. Set so that a
greenhouse whose lows fall from 8 to 2 °C gains little and one below 2 °C much (Tamura 2002, J. Japan. Soc. Hort. Sci.
71:74, abstract read). Derived."""
GAIN_PER_D: Final = 0.4
"""Share of what is missing that a cold day adds: spinach at 5/2 °C gained 2-4 K in a day, most in three and hardly any
after fourteen (Fennell & Li 1985, abstract read). Derived."""
LOSS_PER_D: Final = 0.5
"""Share that a warm day takes: spinach at 20/17 °C lost 3-5 K in a day and no more after the third (same). Derived."""
LOSS_FULL_DEGC: Final = 15.0
LOSS_LEAST_FRAC: Final = 0.1
"""A day loses by its warmth, in full from 15 °C, a tenth of that in the cool. Judgement."""
ROOTED_LEAVES: Final = 4.0
LEAST_REACH_FRAC: Final = 0.5
"""Seedlings below four leaves harden in proportion, half at least: it rises with leaf number (Cox & Levitt
1969, abstract read); late, unrooted sowings died where older ones stood (growers' records). Judgement on the size."""
SCORCH_K: Final = 3.0
"""Outer leaves are hurt this far above what kills: half the leaf area was injured 2-4 K above the temperature at which
half the cell sap leaked (Tamura 2000, J. Japan. Soc. Hort. Sci. 69:332, abstract read)."""


class Harm(IntEnum):
    """What a night does to a crop."""

    SAFE = 0
    SCORCHED = 1
    KILLED = 2


def hardening_frac(low_degc: ArrayLike, day_degc: ArrayLike) -> Floats:
    """Share of its hardening that a plant has at the end of each day, 0-1.

    Parameters: low_degc, lowest air of each day [°C], [..., D]; day_degc, mean of the lit hours [°C], broadcast.
    Returns: [..., D]; the state before the first day is that in which its weather would leave a plant for good.
    Method: first order, quicker down than up; docs/method/growth.md, "Frost".
    """
    low, day = np.broadcast_arrays(np.asarray(low_degc, dtype=np.float64), np.asarray(day_degc, dtype=np.float64))
    middle = (low + day) / 2.0
    goal = np.clip((NONE_DEGC - middle) / (NONE_DEGC - FULL_DEGC), 0.0, 1.0)
    warm = np.clip((middle - FULL_DEGC) / (LOSS_FULL_DEGC - FULL_DEGC), LOSS_LEAST_FRAC, 1.0)
    out = np.empty_like(goal)
    state = goal[..., 0]
    for d in range(goal.shape[-1]):
        gap = goal[..., d] - state
        state = state + gap * np.where(gap > 0, GAIN_PER_D, LOSS_PER_D * warm[..., d])
        out[..., d] = state
    return np.asarray(out)


def kill_degc(
    hardened_degc: ArrayLike, tender_degc: ArrayLike, hardening_frac: ArrayLike, leaves_count: ArrayLike = np.inf
) -> Floats:
    """Night that kills a crop in its state [°C].

    Parameters: hardened_degc, tender_degc, what kills it hardened and not [°C]; hardening_frac, 0-1; leaves_count, true
    leaves, for seedlings; all broadcast. Method: straight between the two, see ``ROOTED_LEAVES`` for seedlings.
    """
    hard, tender = np.asarray(hardened_degc, dtype=np.float64), np.asarray(tender_degc, dtype=np.float64)
    reach = np.clip(np.asarray(leaves_count, dtype=np.float64) / ROOTED_LEAVES, LEAST_REACH_FRAC, 1.0)
    return np.asarray(tender + (hard - tender) * np.asarray(hardening_frac) * reach)


def margin_k(low_degc: ArrayLike, day_degc: ArrayLike, hardened_degc: ArrayLike, tender_degc: ArrayLike) -> Floats:
    """How far each night stays above what kills each crop [K]: [C, ..., D]; below 0 it dies.

    Parameters: low_degc, day_degc as in :func:`hardening_frac`, [..., D]; hardened_degc, tender_degc [C].
    Method: a night is met with the hardening of the day before it.
    """
    low = np.asarray(low_degc, dtype=np.float64)
    state = hardening_frac(low, day_degc)
    before = np.concatenate([state[..., :1], state[..., :-1]], axis=-1)
    column = (slice(None), *([None] * before.ndim))
    kill = kill_degc(np.asarray(hardened_degc)[column], np.asarray(tender_degc)[column], before[None])
    return np.asarray(low - kill)


def harm(margin_k: ArrayLike) -> NDArray[np.int8]:
    """What nights do, as values of :class:`Harm`.

    Parameters: margin_k, night less what kills [K], any shape. Method: see ``SCORCH_K``.
    """
    margin = np.asarray(margin_k, dtype=np.float64)
    return (np.where(margin <= 0.0, Harm.KILLED, np.where(margin <= SCORCH_K, Harm.SCORCHED, Harm.SAFE))).astype(
        np.int8
    )
