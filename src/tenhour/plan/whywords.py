"""The paragraph a beginner understands: what is wrong, why, and what to do first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np

from tenhour.model.diagnosis import Cause, Diagnosis, Evidence, Remedy, Sign
from tenhour.plan.diagnosis import score
from tenhour.words import why as words
from tenhour.words.text import Text, joined, listed

STAGES: Final = (words.SEED_LEAVES, words.FIRST_LEAF)
TELLING_SHARE: Final = 0.2
RAISED_DEGC: Final = 20.0
"""A warm sill or a heat mat: practice."""
LONG_LIE: Final = 2.5
"""Times the days in warmth after which seed is told to lie cold. Judgement."""
COOL_MEAN_DEGC: Final = 10.0
LOW_DLI_MOL_M2_D: Final = 4.0
MOST_DLI_MOL_M2_D: Final = 40.0
"""Light beyond which it is idle to ask for more: judgement."""
MOST_SIGNS: Final = 2
"""Signs repeated in a sentence."""


def stage_of(leaves_count: float | None, transplant_leaves_count: float | None) -> str:
    """Name of a stage by true leaves.

    Parameters: leaves_count, true leaves now; transplant_leaves_count, those at which it is set out; None if not known.

    >>> stage_of(0.6, 4), stage_of(1.2, 4), stage_of(3.1, 4), stage_of(4.2, 4)
    ('seed leaves', 'first true leaf', '3 true leaves', 'ready to set out (4 true leaves)')
    """
    if leaves_count is None:
        return "not known"
    whole = int(leaves_count)
    if transplant_leaves_count is not None and leaves_count >= transplant_leaves_count:
        return words.READY_TO_SET_OUT(leaves=whole)
    return STAGES[whole] if whole < len(STAGES) else words.LEAVES(leaves=whole)


def plants_of(name: str, way: str) -> str:
    """Name of a crop's young plants in running text.

    >>> plants_of("spinach, cut", "cut"), plants_of("tomato plants", "transplant"), plants_of("pea shoots", "seed-fed")
    ('spinach seedlings', 'tomato seedlings', 'pea shoots')
    """
    short = name.split(",")[0].strip().removesuffix(" plants")
    return short if way == "seed-fed" else f"{short} seedlings"


def not_up(name: str, sown: date, seen: date, due: date | None, warm_d: float = np.nan) -> Text:
    """Say when plants that are not up yet are to be expected.

    Parameters: name; sown; seen; due, None if never; warm_d, days they would take at RAISED_DEGC (NaN: unknown).
    """
    name = name[:1].upper() + name[1:]
    if due is None:
        return words.NEVER_UP(name=name, sown=sown)
    if due <= seen:
        return words.COMING_UP(name=name)
    cold = (due - sown).days > LONG_LIE * warm_d
    warm = words.LIES_COLD(warm=RAISED_DEGC, days=warm_d) if cold else ""
    return joined([words.NOT_YET_UP(name=name, sown=sown, due=due), warm])


@dataclass(frozen=True)
class Tale:
    """What the paragraph is made of.

    name, of the young plants; emerged; sturdy_dli_mol_m2_d, light at which they would be sturdy; least_mean_degc, below
    which the crop does not go on; remedies, in order; bury, what can be done with plants already stretched; signs seen.
    """

    name: str
    diagnosis: Diagnosis
    emerged: date
    sturdy_dli_mol_m2_d: float
    least_mean_degc: float
    remedies: Sequence[Remedy]
    bury: str
    signs: Sequence[Sign] = ()

    @property
    def cold(self) -> bool:
        """Whether the mean lies below what the crop goes on at."""
        return self.diagnosis.evidence.mean_degc < self.least_mean_degc


def paragraph(tale: Tale) -> Text:
    """Return the whole answer in one paragraph: what was seen first, then the numbers, causes and what to do."""
    found = tale.diagnosis
    if found.troubles:
        return _trouble(tale)
    if found.as_seen is not None:
        return joined([*_seen_first(tale), words.SEEN_STURDY(score=found.score), _measure(), *_look(tale)])
    if found.word == "sturdy":
        return _cold(tale) if tale.cold else _healthy(tale)
    seen = [*_seen_first(tale), _measure()] if found.contradicted else []
    return joined(
        [
            words.DRAWN(name=tale.name, word=words.WORDS[found.word], score=found.score),
            *seen,
            _had(found.evidence, tale.emerged, tale.sturdy_dli_mol_m2_d),
            _reason(found.causes),
            _cold_too(tale),
            *_advice(tale.remedies),
            words.STAYS_LONG(bury=tale.bury),
        ]
    )


def _trouble(tale: Tale) -> Text:
    found = tale.diagnosis
    first = found.troubles[0]
    out: list[str] = [words.NOT_STRETCHING(says=first.says, do=first.do), words.TO_TELL(check=first.check)]
    out += [words.NOT_STRETCHING(says=more.says, do=more.do) for more in found.troubles[1:2]]
    if found.word != "sturdy":
        out += [words.BESIDES(word=words.WORDS[found.word], score=found.score), _reason(found.causes)]
        out += _advice([remedy for remedy in tale.remedies if not remedy.key.startswith("trouble")])[:1]
    elif tale.cold:
        out.append(_cold_too(tale))
    return joined(out)


def _seen_first(tale: Tale) -> list[Text]:
    cause = tale.diagnosis.causes[0]
    seen = [sign.says for sign in tale.signs if cause.cause in sign.raises][:MOST_SIGNS]
    said = words.SEEN_FIRST(signs=listed(seen), says=cause.says)
    if tale.diagnosis.as_seen is not None:
        return [said]
    main = max(tale.diagnosis.causes, key=lambda one: one.model_share_frac)
    return [said, words.SEEN_OTHER(says=main.says)]


def measures() -> tuple[Text, ...]:
    """Three things to measure where eyes and numbers disagree."""
    return words.MEASURE_LIGHT(), words.MEASURE_WARMTH(), words.MEASURE_ROOM()


def _measure() -> Text:
    return words.MEASURE_FIRST(what=listed(measures()))


def _look(tale: Tale) -> list[Text]:
    first = next(iter(tale.remedies), None)
    if first is None or tale.diagnosis.as_seen is None:
        return []
    look = score(tale.diagnosis.as_seen)
    return [words.AS_THEY_LOOK(score=look, remedy=first.remedy, there=first.score)]


def _cold(tale: Tale) -> Text:
    given = tale.diagnosis.evidence
    return joined(
        [
            words.TOO_COLD(up=tale.emerged, light=given.dli_mol_m2_d, mean=given.mean_degc, least=tale.least_mean_degc),
            *_advice(tale.remedies),
        ]
    )


def _cold_too(tale: Tale) -> str:
    if not tale.cold:
        return ""
    return words.COLD_TOO(mean=tale.diagnosis.evidence.mean_degc, least=tale.least_mean_degc)


def _healthy(tale: Tale) -> Text:
    found = tale.diagnosis
    given = found.evidence
    slow = given.dli_mol_m2_d < LOW_DLI_MOL_M2_D and given.mean_degc < COOL_MEAN_DEGC
    fits = words.SIGNS_FIT(signs=listed([sign.says for sign in tale.signs][:MOST_SIGNS])) if tale.signs else ""
    return joined(
        [
            words.STURDY(name=tale.name, score=found.score),
            words.HAD_FITS(up=tale.emerged, light=given.dli_mol_m2_d, mean=given.mean_degc),
            words.SLOW_BUT_COOL() if slow else fits or words.NOTHING_TO_MEND(),
            fits if slow else "",
        ]
    )


def _had(given: Evidence, emerged: date, sturdy_dli_mol_m2_d: float) -> Text:
    short = given.dli_mol_m2_d < sturdy_dli_mol_m2_d < MOST_DLI_MOL_M2_D
    enough = words.ENOUGH(light=sturdy_dli_mol_m2_d) if short else ""
    return words.HAD(up=emerged, light=given.dli_mol_m2_d, day=given.day_degc, night=given.night_degc, enough=enough)


def _reason(causes: Sequence[Cause]) -> str:
    if not causes:
        return ""
    said = [
        words.CAUSE(says=cause.says, share=cause.share_frac)
        for n, cause in enumerate(causes)
        if n == 0 or cause.share_frac >= TELLING_SHARE
    ]
    if len(said) == 1:
        return words.MAIN_REASON(first=said[0])
    return words.MAIN_REASON_THEN(first=said[0], others=listed(said[1:3]))


def _advice(remedies: Sequence[Remedy]) -> list[Text]:
    """Say the first step, which is free where a free one does anything, and the strongest where that is another."""
    real = [remedy for remedy in remedies if remedy.key != "cut-young"]
    if not real:
        return [words.NO_STEP()]
    first, best = real[0], min(real, key=lambda remedy: round(remedy.score))
    pattern = words.FREE_STEP if first.free else words.ONLY_STEP
    out = [pattern(remedy=first.remedy, score=first.score)]
    if best is not first and round(best.score) < round(first.score):
        out.append(words.BEST_STEP(remedy=best.remedy, score=best.score))
    return out


def brush_of(latin: str) -> str:
    """Say how a crop bears brushing: by hand, or only moving air.

    Source: peppers damaged in 48-93 % of plants (Latimer 1994, HortScience 29:1002, read, abstract; at 80 strokes twice
    a day, eight times the ten that are advised here).

    >>> brush_of("Capsicum annuum"), brush_of("Solanum lycopersicum")
    ('fan', 'hand')
    """
    return "fan" if latin.startswith("Capsicum") else "hand"


def bury_text(latin: str, way: str) -> str:
    """Say what can be done with plants of a kind that are stretched already (common practice)."""
    if latin.startswith("Solanum lycopersicum"):
        return words.BURY_DEEP
    if way in ("root", "seed-fed") or latin.startswith(("Spinacia", "Daucus", "Raphanus")):
        return words.BURY_NOT
    if latin.startswith(("Lactuca", "Brassica", "Eruca", "Cichorium")):
        return words.BURY_TO_SEED_LEAVES
    return words.BURY_A_LITTLE
