"""From what seedlings have had to a score, the share of each cause, and what the signs say to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from tenhour.growth.stretch import (
    CAUSES,
    DARK_MOST_D,
    DIF_PER_K,
    HEAT_EXPONENT,
    LATE_PER_D,
    LEGGY_SCORE,
    LIGHT_EXPONENT,
    LONGEST_AT_DEGC,
    STRINGY_SCORE,
    SUN_RED_FAR_RED,
    USUAL_DIF_K,
    WATCH_SCORE,
    dli_for_score_mol_m2_d,
    log_of_score,
    score_of,
    stretch,
    temp_for_score_degc,
)
from tenhour.model.diagnosis import Cause, Check, Diagnosis, Evidence, Match, Sign, Trouble, Word
from tenhour.words import why as words

HEAT: Final = "heat"
CROWDING: Final = "crowding"
LATE: Final = "late to pot on"
DARK: Final = "dark after emergence"
WET: Final = "wet and rich"
BRUSHING: Final = "brushing"
SIGN_FACTOR: Final = 2.0
"""One sign for a cause makes its weight so much larger, one against it so much smaller: judgement."""
FLOOR_TOLD: Final = 0.05
FLOOR_UNTOLD: Final = 0.2
"""Weight of a cause that a sign speaks for where the numbers give it none: those the grower measured can be believed
more than those the house stands in for. Judgement."""
SMALL_SHARE: Final = 0.10
LARGE_SHARE: Final = 0.35
"""Signs that speak for a cause of less, or against one of more than these shares contradict the numbers. Judgement."""
SIGN_DARK_D: Final = 1.0
SIGN_LATE_D: Final = 7.0
SIGN_WETNESS_FRAC: Final = 0.5
SIGN_LEAF_AREA_RATIO: Final = 1.5
"""What a sign stands for where no number was given: a dark day, a week late, half wet, a closed tray. Judgement."""
LEAST_LIT_H: Final = 0.5
HOURS: Final = 24.0
MAT: Final = "mat"
MAT_K: Final = 4.0
"""Warmth of a heat mat at the leaves of a tray: judgement (mats hold soil 5-8 K above the air, common practice)."""
MOST_SEEN_K: Final = 10.0
MOST_SEEN_DIF_K: Final = 15.0
MOST_SEEN_LATE_D: Final = 21.0
CLOSED_TRAY_RATIO: Final = 2.0
LEAST_SEEN_DLI_MOL_M2_D: Final = 0.3
"""How far the numbers are bent to what is seen: judgement."""


def terms(evidence: Evidence) -> dict[str, float]:
    """Terms of the logarithm of lengthening by cause; crowding and late potting apart, brushing negative.

    Method: :func:`tenhour.growth.stretch.stretch`.
    """
    found = stretch(
        evidence.dli_mol_m2_d,
        evidence.mean_degc,
        evidence.dif_k,
        evidence.base_degc,
        leaf_area_ratio=evidence.leaf_area_ratio,
        late_d=evidence.late_d,
        red_far_red_ratio=SUN_RED_FAR_RED if evidence.red_far_red_ratio is None else evidence.red_far_red_ratio,
        blue_frac=evidence.blue_frac,
        lamp_share=evidence.lamp_share,
        dark_d=evidence.dark_d,
        wetness_frac=evidence.wetness_frac,
        brushing_frac=evidence.brushing_frac,
    )
    out = dict(zip(CAUSES, (float(value) for value in found.term), strict=True))
    late = LATE_PER_D * evidence.late_d
    out[CROWDING] -= late
    out[LATE] = late
    return out


def score(evidence: Evidence) -> float:
    """Score 0-100 of what plants have had.

    >>> round(score(Evidence(2.6, 21.0, 10.0, 8.5)))
    61
    """
    return float(score_of(sum(terms(evidence).values())))


def word_of(value: float) -> Word:
    """Word for a score as it is printed, in whole numbers: sturdy below 25, watch to 45, leggy to 65, stringy above."""
    shown = round(value)
    if shown < WATCH_SCORE:
        return "sturdy"
    if shown < LEGGY_SCORE:
        return "watch"
    return "leggy" if shown < STRINGY_SCORE else "stringy"


def shares(found: Mapping[str, float]) -> dict[str, float]:
    """Share of each lengthening term in their sum."""
    positive = {cause: max(value, 0.0) for cause, value in found.items() if cause != BRUSHING}
    total = sum(positive.values())
    return {cause: value / total if total > 0.0 else 0.0 for cause, value in positive.items()}


def with_signs(evidence: Evidence, signs: Sequence[Sign], told: frozenset[str]) -> tuple[Evidence, list[str]]:
    """Take into the evidence what signs alone can tell; ``told`` names causes the grower gave numbers for.

    Returns: the evidence, and in words what was taken for given.
    """
    against = {cause for sign in signs for cause in sign.lowers}
    pointed = {cause for sign in signs for cause in sign.raises} - against - told
    out = evidence
    taken: list[str] = []
    if any(sign.key == MAT for sign in signs) and HEAT not in told:
        out = replace(out, day_degc=out.day_degc + MAT_K, night_degc=out.night_degc + MAT_K)
        taken.append(words.TAKEN_MAT(warmer=MAT_K))
    if DARK in pointed and evidence.dark_d == 0.0 and _only(signs, DARK):
        out = replace(out, dark_d=SIGN_DARK_D)
        taken.append("one day in the dark after they came up")
    if LATE in pointed and evidence.late_d == 0.0:
        out = replace(out, late_d=SIGN_LATE_D)
        taken.append("a week late to pot on")
    if WET in pointed and evidence.wetness_frac == 0.0:
        out = replace(out, wetness_frac=SIGN_WETNESS_FRAC)
        taken.append("kept rather wet")
    crowded = CROWDING not in against and _only(signs, CROWDING)
    if crowded and evidence.leaf_area_ratio < SIGN_LEAF_AREA_RATIO:
        out = replace(out, leaf_area_ratio=SIGN_LEAF_AREA_RATIO)
        taken.append("leaves that have closed over the tray")
    return out, taken


def _only(signs: Sequence[Sign], cause: str) -> bool:
    """Whether some sign speaks for this cause and for no other."""
    return any(sign.raises == (cause,) for sign in signs)


def diagnose(
    evidence: Evidence,
    checks: Mapping[str, Check],
    signs: Sequence[Sign] = (),
    told: frozenset[str] = frozenset(),
    troubles: Mapping[str, Trouble] | None = None,
) -> Diagnosis:
    """Score, causes ranked by numbers and signs, and where the two contradict.

    Parameters: evidence; checks, by cause; signs seen; told, causes for which the grower gave numbers; troubles
    that are no stretching, by key.
    Method: shares of the model's terms, at least a floor where a sign speaks for one, each times 2 for every sign
    for it and over 2 for every sign against.
    """
    given, brought_in = with_signs(evidence, signs, told)
    found = terms(given)
    plain = shares(found)
    value = float(score_of(sum(found.values())))
    causes = _ranked(plain, checks, signs, told, value)
    conflicts = _conflicts(plain, signs, checks, value)
    drawn = [sign for sign in signs if sign.raises and not sign.healthy]
    as_seen = _as_seen(given, found, causes, signs) if drawn and round(value) < WATCH_SCORE else None
    main = max(plain, key=lambda cause: plain[cause])
    other = bool(causes) and causes[0].cause != main and plain[main] > 0.0 and _votes(causes[0].cause, signs) > 0
    named = [key for sign in signs for key in sign.means]
    return Diagnosis(
        value, word_of(value), causes, tuple(conflicts), tuple(brought_in), given,
        troubles=tuple((troubles or {})[key] for key in dict.fromkeys(named)) if troubles else (),
        contradicted=as_seen is not None or (other and bool(drawn) and plain[main] > LARGE_SHARE),
        as_seen=as_seen,
    )  # fmt: skip


def _ranked(
    plain: Mapping[str, float], checks: Mapping[str, Check], signs: Sequence[Sign], told: frozenset[str], value: float
) -> tuple[Cause, ...]:
    """Causes by weight: what the numbers say and what is seen, together.

    Where by the numbers there is little stretch, value, their shares of it say little.
    """
    weights = {}
    pointed = any(_votes(cause, signs) > 0 for cause in plain)
    trust = min(max(value / LEGGY_SCORE, FLOOR_TOLD), 1.0) if pointed else 1.0
    for cause, share in plain.items():
        votes = _votes(cause, signs)
        floor = (FLOOR_TOLD if cause in told else FLOOR_UNTOLD) if votes > 0 else 0.0
        weights[cause] = max(share * trust, floor) * SIGN_FACTOR**votes
    total = sum(weights.values())
    causes = [
        Cause(cause, weight / total, plain[cause], checks[cause].says, checks[cause].check)
        for cause, weight in weights.items()
        if weight > 0.0
    ]
    return tuple(sorted(causes, key=lambda cause: -cause.share_frac))


def _as_seen(
    given: Evidence, found: Mapping[str, float], causes: Sequence[Cause], signs: Sequence[Sign]
) -> Evidence | None:
    """Bend the number that the signs point at until the plants would be leggy; None where signs point at none."""
    pointed = next((cause.cause for cause in causes if _votes(cause.cause, signs) > 0), None)
    missing = float(log_of_score(LEGGY_SCORE)) - sum(found.values())
    if pointed is None:
        return None
    if pointed == HEAT and given.mean_degc < LONGEST_AT_DEGC:
        warmth = max(given.mean_degc - given.base_degc, 1.0)
        lift = min(warmth * float(np.expm1(missing / HEAT_EXPONENT)), MOST_SEEN_K, LONGEST_AT_DEGC - given.mean_degc)
        return replace(given, day_degc=given.day_degc + lift, night_degc=given.night_degc + lift)
    if pointed == "days warmer than nights":
        half = min(missing / DIF_PER_K, MOST_SEEN_DIF_K) / 2.0
        return replace(given, day_degc=given.day_degc + half, night_degc=given.night_degc - half)
    if pointed == LATE:
        return replace(given, late_d=given.late_d + min(missing / LATE_PER_D, MOST_SEEN_LATE_D))
    if pointed == DARK:
        return replace(given, dark_d=DARK_MOST_D)
    if pointed == WET:
        return replace(given, wetness_frac=1.0)
    if pointed == CROWDING:
        return replace(given, leaf_area_ratio=max(given.leaf_area_ratio, CLOSED_TRAY_RATIO))
    dimmer = given.dli_mol_m2_d * float(np.exp(-missing / LIGHT_EXPONENT))
    return replace(given, dli_mol_m2_d=max(dimmer, min(LEAST_SEEN_DLI_MOL_M2_D, given.dli_mol_m2_d)))


def _votes(cause: str, signs: Sequence[Sign]) -> int:
    return sum((cause in sign.raises) - (cause in sign.lowers) for sign in signs)


def _conflicts(
    plain: Mapping[str, float], signs: Sequence[Sign], checks: Mapping[str, Check], value: float
) -> list[str]:
    """Contradictions between signs, and between signs and numbers, in sentences; nothing is averaged away."""
    out: list[str] = []
    for cause, check in checks.items():
        raising = [sign for sign in signs if cause in sign.raises]
        lowering = [sign for sign in signs if cause in sign.lowers]
        if raising and lowering:
            pattern = words.FOR_AND_AGAINST
        elif raising and plain.get(cause, 0.0) < SMALL_SHARE and _points_nowhere_else(raising, plain):
            pattern = words.FOR_BUT_LITTLE
        elif lowering and plain.get(cause, 0.0) > LARGE_SHARE and value >= WATCH_SCORE:
            pattern = words.AGAINST_THE_MAIN
        else:
            continue
        out.append(pattern(raising=_seen(raising), lowering=_seen(lowering), says=check.says, check=check.check))
    return out


def _points_nowhere_else(raising: Sequence[Sign], plain: Mapping[str, float]) -> bool:
    """Whether some of these signs speaks for no cause that the numbers bear out."""
    return any(all(plain.get(cause, 0.0) < SMALL_SHARE for cause in sign.raises) for sign in raising)


def _seen(signs: Sequence[Sign]) -> str:
    return " and ".join(f'"{sign.key}"' for sign in signs)


def light_for(value: float, evidence: Evidence) -> float:
    """Light that suits the warmth of these plants at a score, all else as it should be [mol m⁻² d⁻¹]."""
    return float(dli_for_score_mol_m2_d(value, evidence.mean_degc, evidence.dif_k, evidence.base_degc))


def day_and_night(mean_degc: float, dif_k: float, lit_h: float) -> tuple[float, float]:
    """Day and night temperature with a mean and a difference, for hours of light.

    Parameters: mean_degc, 24 h mean [°C]; dif_k, day less night [K]; lit_h, hours of day [h].

    >>> day_and_night(14.0, 6.0, 8.0)
    (18.0, 12.0)
    """
    share = lit_h / HOURS
    return mean_degc + dif_k * (1.0 - share), mean_degc - dif_k * share


def match(
    value: float, evidence: Evidence, least_mean_degc: float, most_mean_degc: float, dif_k: float = USUAL_DIF_K
) -> Match:
    """Temperatures that this light can carry at a score: match heat to light.

    Parameters: value, the score; evidence, of which only the light and its hours count; least_mean_degc and
    most_mean_degc, means between which the crop goes on well [°C]; dif_k, day less night [K].
    """
    mean = float(temp_for_score_degc(value, evidence.dli_mol_m2_d, dif_k, evidence.base_degc))
    day, night = day_and_night(mean, dif_k, max(evidence.lit_h, LEAST_LIT_H))
    return Match(value, mean, day, night, bool(mean >= least_mean_degc), bool(mean > most_mean_degc))
