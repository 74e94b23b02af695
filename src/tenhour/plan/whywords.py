"""The paragraph a beginner understands: what is wrong, why, and what to do first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from tenhour.model.diagnosis import Cause, Diagnosis, Evidence, Remedy
from tenhour.words import why as words
from tenhour.words.text import Text, joined, listed

STAGES: Final = (words.SEED_LEAVES, words.FIRST_LEAF)
FREE: Final = ("cooler", "even-days", "brush", "thin", "light-at-once", "drier", "bed-")
"""Keys of remedies that cost nothing but work."""
TELLING_SHARE: Final = 0.2
COOL_MEAN_DEGC: Final = 10.0
LOW_DLI_MOL_M2_D: Final = 4.0
MOST_DLI_MOL_M2_D: Final = 40.0
"""Light beyond which it is idle to ask for more: judgement."""


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


def not_up(name: str, sown: date, seen: date, due: date | None) -> Text:
    """Say when plants that are not up yet are to be expected."""
    name = name[:1].upper() + name[1:]
    if due is None:
        return words.NEVER_UP(name=name, sown=sown)
    return words.NOT_YET_UP(name=name, sown=sown, due=due) if due > seen else words.COMING_UP(name=name)


def paragraph(
    name: str,
    diagnosis: Diagnosis,
    emerged: date,
    sturdy_dli_mol_m2_d: float,
    remedies: Sequence[Remedy],
    bury: str,
    signs: bool,
) -> Text:
    """Return the whole answer in one paragraph.

    Parameters: name, of the young plants; diagnosis; emerged; sturdy_dli_mol_m2_d, light at which they would be sturdy;
    remedies, best first; bury, what can be done with plants already stretched; signs, whether the grower named any.
    """
    if diagnosis.word == "sturdy":
        return _healthy(name, diagnosis, emerged, signs)
    return joined(
        [
            words.DRAWN(name=name, word=words.WORDS[diagnosis.word], score=diagnosis.score),
            _had(diagnosis.evidence, emerged, sturdy_dli_mol_m2_d),
            _reason(diagnosis.causes),
            *_advice(remedies),
            words.STAYS_LONG(bury=bury),
        ]
    )


def _healthy(name: str, diagnosis: Diagnosis, emerged: date, signs: bool) -> Text:
    given = diagnosis.evidence
    slow = given.dli_mol_m2_d < LOW_DLI_MOL_M2_D and given.mean_degc < COOL_MEAN_DEGC
    return joined(
        [
            words.STURDY(name=name, score=diagnosis.score),
            words.HAD_FITS(up=emerged, light=given.dli_mol_m2_d, mean=given.mean_degc),
            words.SLOW_BUT_COOL() if slow else words.NOTHING_TO_MEND(),
            words.DRAWN_ALL_THE_SAME() if signs else "",
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
    real = [remedy for remedy in remedies if remedy.key != "cut-young"]
    if not real:
        return [words.NO_STEP()]
    best = real[0]
    out = [words.BEST_STEP(remedy=best.remedy, score=best.score)]
    free = next((remedy for remedy in real[1:] if remedy.key.startswith(FREE)), None)
    if free is not None and not best.key.startswith(FREE):
        out.append(words.FREE_STEP(remedy=free.remedy, score=free.score))
    return out


def bury_text(latin: str, way: str) -> str:
    """Say what can be done with plants of a kind that are stretched already (common practice)."""
    if latin.startswith("Solanum lycopersicum"):
        return words.BURY_DEEP
    if way in ("root", "seed-fed") or latin.startswith(("Spinacia", "Daucus", "Raphanus")):
        return words.BURY_NOT
    if latin.startswith(("Lactuca", "Brassica", "Eruca", "Cichorium")):
        return words.BURY_TO_SEED_LEAVES
    return words.BURY_A_LITTLE
