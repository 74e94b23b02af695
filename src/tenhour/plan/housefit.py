"""When pairs of readings say something about a house, its own light factor from them, and what to read next."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.model.readings import BedFactor
from tenhour.plan.calibration import COUNTED_WEIGHT, Fit, fit_factor
from tenhour.plan.possible import exchanged, impossible

Array = NDArray[np.float64]

MODEL_SKY_SD_LOG: Final = 0.05
MODEL_BEAM_SD_LOG: Final = 0.15
"""Error of the model for one point under an even sky, and in the sun with the bars' shadows. Judgement."""
LEAST_PAIRS: Final = 6
LEAST_OUTSIDE_UMOL_M2_S: Final = 20.0
"""Some 1 100 lux: below, meters' steps and stray light decide. Judgement."""
LEAST_SPAN_S: Final = 1800.0
EVEN_SKY_FRAC: Final = 0.8
"""Diffuse share from which the sky counts as even."""
SUNNY_FRAC: Final = 0.6
LEAST_SUN_TURN_DEG: Final = 45.0
"""Sunny readings from a narrower range of sun directions tell of one pane only. Judgement."""
WIDEST_RATIO: Final = 1.7
"""Upper over lower end of an interval that is still worth keeping. Judgement."""
LOWEST_FACTOR: Final = 0.15
HIGHEST_FACTOR: Final = 1.6
"""Outside, units or geometry are wrong rather than panes dirty. Judgement."""
CLEANER_THAN_CLEAN: Final = 1.08
TWO_METERS_FRAC: Final = 0.10
ONE_METER_FRAC: Final = 0.06
"""A shared error beyond this is that of two meters."""
INTERVAL_SDS: Final = 1.88
"""Half width of the fit's interval in standard deviations: normal quantile of its level."""
TWO_SKIES_LOG: Final = 0.15
"""Factors of dull and sunny readings further apart than this point at something that is not drawn. Judgement."""
FULL_TURN_DEG: Final = 360.0


class BedPairs(NamedTuple):
    """Pairs of one bed: inside, outside and predicted light [µmol m⁻² s⁻¹], the sky and sun, and when; each [n].

    predicted_umol_m2_s: by the model with clean panes and without frame, from the light read outdoors.
    """

    inside_umol_m2_s: Array
    outside_umol_m2_s: Array
    predicted_umol_m2_s: Array
    diffuse_frac: Array
    height_deg: Array
    azimuth_deg: Array
    second: Array
    """Since any moment."""
    day: NDArray[np.int64]

    def take(self, mask: NDArray[np.bool_]) -> BedPairs:
        """Return some of the pairs."""
        return BedPairs(
            self.inside_umol_m2_s[mask],
            self.outside_umol_m2_s[mask],
            self.predicted_umol_m2_s[mask],
            self.diffuse_frac[mask],
            self.height_deg[mask],
            self.azimuth_deg[mask],
            self.second[mask],
            self.day[mask],
        )


# Erbs, Klein & Duffie 1982, hourly relation, doi 10.1016/0038-092X(82)90302-4. From memory, as in pvlib.
_ERBS_LOW: Final = (0.22, 1.0, -0.09)
_ERBS_MIDDLE: Final = (0.9511, -0.1604, 4.388, -16.638, 12.336)
_ERBS_HIGH: Final = (0.80, 0.165)


def hourly_diffuse_frac(clearness_ratio: Array) -> Array:
    """Diffuse share of global radiation at a moment, from its clearness.

    Parameters: clearness_ratio, global over extraterrestrial on the level [-]. Returns: share [-].
    Method: Erbs, Klein & Duffie 1982, hourly relation.

    >>> [round(float(share), 4) for share in hourly_diffuse_frac(np.array([0.1, 0.4, 0.7, 0.9]))]
    [0.991, 0.84, 0.244, 0.165]
    """
    kt = np.asarray(clearness_ratio, dtype=np.float64)
    middle = np.polynomial.polynomial.polyval(kt, np.array(_ERBS_MIDDLE))
    low = _ERBS_LOW[1] + _ERBS_LOW[2] * kt
    return np.asarray(np.where(kt <= _ERBS_LOW[0], low, np.where(kt <= _ERBS_HIGH[0], middle, _ERBS_HIGH[1])))


def usable(pairs: BedPairs) -> NDArray[np.bool_]:
    """Pairs bright enough to judge by, with the sun up, and possible outdoors; [n]."""
    bright = pairs.outside_umol_m2_s >= LEAST_OUTSIDE_UMOL_M2_S
    seen = (pairs.inside_umol_m2_s > 0.0) & (pairs.predicted_umol_m2_s > 0.0) & (pairs.height_deg > 0.0)
    return bright & seen & ~impossible(pairs.outside_umol_m2_s, pairs.height_deg)


def sun_turn_deg(azimuth_deg: Array) -> float:
    """Narrowest part of the compass that holds all azimuths [°].

    >>> sun_turn_deg(np.array([350.0, 20.0, 5.0]))
    30.0
    """
    around = np.sort(np.mod(azimuth_deg, FULL_TURN_DEG))
    gaps = np.diff(np.append(around, around[0] + FULL_TURN_DEG))
    return float(FULL_TURN_DEG - gaps.max())


def refusal(pairs: BedPairs, used: BedPairs) -> str:
    """Say why pairs cannot give a factor; "" if they can."""
    few, dark = len(used.second), len(pairs.second) - len(used.second)
    if few < LEAST_PAIRS and dark >= LEAST_PAIRS - few:
        return (
            f"too dull: {dark} of {len(pairs.second)} pairs were taken below {LEAST_OUTSIDE_UMOL_M2_S:.0f} "
            "µmol m⁻² s⁻¹ (1 100 lux) outdoors, where meters' steps decide"
        )
    if few < LEAST_PAIRS:
        return f"too few: {few} usable pairs; at least {LEAST_PAIRS} are needed"
    if np.ptp(used.second) < LEAST_SPAN_S:
        minutes = np.ptp(used.second) / 60.0
        return f"too one-sided: all within {minutes:.0f} min, under one sky and one sun"
    sunny = used.diffuse_frac < SUNNY_FRAC
    if sunny.all() and sun_turn_deg(used.azimuth_deg) < LEAST_SUN_TURN_DEG:
        turn = sun_turn_deg(used.azimuth_deg)
        return f"too one-sided: all in full sun from nearly one direction ({turn:.0f}° apart), which tells of one pane"
    return ""


def next_reading(used: BedPairs, bias_frac: float, spread_frac: float) -> str:
    """Name the reading that would narrow the factor most.

    Parameters: used, usable pairs; bias_frac, error shared by all of them (the meter); spread_frac, standard deviation
    of the factor by everything else (NaN before there is a fit).
    """
    even = int((used.diffuse_frac >= EVEN_SKY_FRAC).sum())
    if len(used.second) < LEAST_PAIRS or even < LEAST_PAIRS // 2:
        return "pairs under a fully overcast sky around noon, outside and then on the bed within two minutes"
    if len(np.unique(used.day)) == 1:
        return "the same pairs on another day: one day shares its dirt, wetness and way of holding the meter"
    if bias_frac > max(spread_frac, ONE_METER_FRAC):
        return "pairs with one and the same meter inside and outside: the two meters now decide the error"
    if (used.diffuse_frac < SUNNY_FRAC).sum() == 0:
        return "a few pairs in full sun, morning and afternoon, to see whether sun and overcast agree"
    return "a few more pairs spread over the bed, front and back"


def judge(bed: str, pairs: BedPairs, bias_frac: float, assumed_factor: float | None = None) -> BedFactor:
    """Fit the factor of one bed, or say why not and what to read next.

    Parameters: bed, its name; pairs; bias_frac, relative standard deviation of the meters' shared error;
    assumed_factor, dirt times frame as the house file has them.
    """
    mask = usable(pairs)
    used = pairs.take(mask)
    days = len(np.unique(used.day))
    base = BedFactor(bed, len(pairs.second), int(mask.sum()), days, None, None, None, assumed_factor)
    reason = nonsense(used) or refusal(pairs, used)
    if reason:
        return _with(base, refused=reason, next_reading=next_reading(used, bias_frac, float("nan")))
    sd = MODEL_SKY_SD_LOG * used.diffuse_frac + MODEL_BEAM_SD_LOG * (1.0 - used.diffuse_frac)
    fit = fit_factor(used.inside_umol_m2_s, used.predicted_umol_m2_s, sd, used.day, bias_frac)
    reason = _implausible(fit, bias_frac)
    half = np.log(fit.high / fit.low) / 2.0
    rest = np.sqrt(max((half / INTERVAL_SDS) ** 2 - bias_frac**2, 0.0))
    ahead = next_reading(used, bias_frac, float(rest))
    if reason:
        return _with(base, refused=reason, next_reading=ahead)
    kept = int((fit.weight_frac > COUNTED_WEIGHT).sum())
    return BedFactor(
        bed, len(pairs.second), kept, days, fit.factor, fit.low, fit.high, assumed_factor, "", ahead,
        _remarks(used, fit, pairs, assumed_factor),
    )  # fmt: skip


def _with(base: BedFactor, refused: str, next_reading: str) -> BedFactor:
    return BedFactor(
        base.bed, base.pairs_count, base.used_count, base.days_count, None, None, None, base.assumed_factor, refused,
        next_reading,
    )  # fmt: skip


def nonsense(used: BedPairs) -> str:
    """Say what is wrong with pairs that cannot be; "" if nothing."""
    ratio = used.predicted_umol_m2_s / np.maximum(used.outside_umol_m2_s, LEAST_OUTSIDE_UMOL_M2_S)
    found = exchanged(used.inside_umol_m2_s, used.outside_umol_m2_s, ratio, used.height_deg)
    if found == "exchanged":
        return (
            "inside and outside look exchanged: the bed reads brighter than the open, and the other way round it fits"
        )
    if found == "brighter":
        return "the bed reads brighter than the open under a high sun, which no pane can do: units, meter or lamps?"
    return ""


def _implausible(fit: Fit, bias_frac: float) -> str:
    if not LOWEST_FACTOR <= fit.factor <= HIGHEST_FACTOR:
        return (
            f"the bed reads {fit.factor:.2f} times what clean panes without a frame would give: units, lamps, a cover "
            "or a tree that is not in the house file"
        )
    if fit.high / fit.low > WIDEST_RATIO:
        why = "the two meters may differ too much" if bias_frac > TWO_METERS_FRAC else "the readings scatter too much"
        return f"{why}: the factor could be anything from {fit.low:.2f} to {fit.high:.2f}"
    return ""


def _remarks(used: BedPairs, fit: Fit, pairs: BedPairs, assumed_factor: float | None) -> tuple[str, ...]:
    out = []
    left = len(pairs.second) - len(used.second)
    odd = int((fit.weight_frac <= COUNTED_WEIGHT).sum())
    if left:
        out.append(f"Left out as too dull or impossible: {left}.")
    if odd:
        out.append(f"Left out as far from all others (a shadow, a lamp, a slip of the pen?): {odd}.")
    if fit.low > CLEANER_THAN_CLEAN:
        out.append("Brighter than clean panes without a frame: check the cover and the reflectances in the house file.")
    out += _skies(used, fit)
    if assumed_factor is not None and fit.low <= assumed_factor <= fit.high:
        out.append("What the house file assumes for dirt and frame agrees with the readings.")
    return tuple(out)


def _skies(used: BedPairs, fit: Fit) -> list[str]:
    y = np.log(used.inside_umol_m2_s / used.predicted_umol_m2_s)
    good = fit.weight_frac > COUNTED_WEIGHT
    even, sunny = good & (used.diffuse_frac >= EVEN_SKY_FRAC), good & (used.diffuse_frac < SUNNY_FRAC)
    if even.sum() < LEAST_PAIRS // 2 or sunny.sum() < LEAST_PAIRS // 2:
        return []
    gap = float(np.median(y[sunny]) - np.median(y[even]))
    if abs(gap) < TWO_SKIES_LOG:
        return []
    word = "less" if gap < 0 else "more"
    return [
        f"In the sun the bed gets {100 * abs(np.expm1(gap)):.0f} % {word} than under an even sky: something that "
        "shades or reflects is not in the house file (a tree, a wall, a bar, the direction of the house)."
    ]
