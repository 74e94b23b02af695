"""From what seedlings have had to a score, the share of each cause, and what the signs say to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from tenhour.growth.stretch import (
    CAUSES,
    LATE_PER_D,
    LEGGY_SCORE,
    STRINGY_SCORE,
    SUN_RED_FAR_RED,
    USUAL_DIF_K,
    WATCH_SCORE,
    dli_for_score_mol_m2_d,
    score_of,
    stretch,
    temp_for_score_degc,
)
from tenhour.model.diagnosis import Cause, Check, Diagnosis, Evidence, Match, Sign, Word
from tenhour.words import why as words

CROWDING: Final = "crowding"
LATE: Final = "late to pot on"
DARK: Final = "dark after emergence"
WET: Final = "wet and rich"
BRUSHING: Final = "brushing"
SIGN_FACTOR: Final = 1.6
"""One sign for a cause makes its share so much larger, one against it so much smaller: judgement."""
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
    """Word for a score: sturdy below 25, watch to 45, leggy to 65, stringy above."""
    if value < WATCH_SCORE:
        return "sturdy"
    if value < LEGGY_SCORE:
        return "watch"
    return "leggy" if value < STRINGY_SCORE else "stringy"


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
    out, taken = evidence, []
    if DARK in pointed and evidence.dark_d == 0.0 and _only(signs, DARK):
        out = replace(out, dark_d=SIGN_DARK_D)
        taken.append("one day in the dark after they came up")
    if LATE in pointed and evidence.late_d == 0.0:
        out = replace(out, late_d=SIGN_LATE_D)
        taken.append("a week late to pot on")
    if WET in pointed and evidence.wetness_frac == 0.0:
        out = replace(out, wetness_frac=SIGN_WETNESS_FRAC)
        taken.append("kept rather wet")
    if CROWDING in pointed and evidence.leaf_area_ratio < 1.0 and _only(signs, CROWDING):
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
) -> Diagnosis:
    """Score, causes by share, and where signs and numbers contradict.

    Parameters: evidence; checks, by cause; signs seen; told, causes for which the grower gave numbers.
    Method: shares of the model's terms, each times 1.6 for a sign that speaks for it and over 1.6 for one against.
    """
    given, brought_in = with_signs(evidence, signs, told)
    found = terms(given)
    plain = shares(found)
    weighted = {cause: share * SIGN_FACTOR ** _votes(cause, signs) for cause, share in plain.items()}
    total = sum(weighted.values())
    causes = [
        Cause(cause, weight / total, plain[cause], checks[cause].says, checks[cause].check)
        for cause, weight in weighted.items()
        if weight > 0.0
    ]
    causes.sort(key=lambda cause: -cause.share_frac)
    value = float(score_of(sum(found.values())))
    conflicts = _conflicts(plain, signs, checks, value)
    return Diagnosis(value, word_of(value), tuple(causes), tuple(conflicts), tuple(brought_in), given)


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
