"""What could be done about leggy seedlings, each with the score it would give by the same model."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np

from tenhour.model.diagnosis import Evidence, Remedy
from tenhour.plan.diagnosis import day_and_night, light_for, match, score, terms
from tenhour.units import ppfd_from_dli
from tenhour.words import why as words
from tenhour.words.text import joined

LAMP_HOURS_H: Final = 14.0
"""Usual day of lamps over seedlings, 14-16 h (Iowa State extension; lamps-and-heat 1.4). Read."""
LAMP_STEPS_MOL_M2_D: Final = (6.0, 12.0)
"""Half a good seedling light, and a good one: thresholds of 10-13 mol (Runkle 2007, Randall & Lopez 2015). Read."""
LEAST_GAIN_MOL_M2_D: Final = 1.0
STURDY_SCORE: Final = 25.0
WORKABLE_SCORE: Final = 45.0
COOL_DIF_K: Final = (6.0, 2.0)
"""Day over night of the two ways to cool that are offered: for sturdy plants, and the milder one. Judgement."""
ROOM_RATIO: Final = 0.8
"""Leaf area over ground below which plants do not shade each other: judgement (crowding begins near 1)."""
FLAT_FROM_K: Final = 6.0
LEAST_DROP_LOG: Final = 0.03
"""A remedy that shortens by less than 3 % is not worth a line: judgement."""
ENOUGH_BLUE_FRAC: Final = 0.25
"""Blue from which lamps do not lengthen: Wollaeger & Runkle 2014."""
SUN_RED_FAR_RED: Final = 1.15


@dataclass(frozen=True)
class Option:
    """One remedy: what it makes of the evidence; grows says whether leaves by now would differ."""

    key: str
    remedy: str
    evidence: Evidence
    detail: str
    grows: bool = False


@dataclass(frozen=True)
class Situation:
    """What the remedies must know of crop, bed and calendar beside the evidence.

    least_mean_degc, most_mean_degc: means between which the crop goes on well; bolt_degc: days colder than this turn it
    to flower (NaN: none); density_per_m2: plants on the tray; other_beds: evidence elsewhere in the house; resow: first
    later sowing that stays sturdy (or only workable), with its evidence.
    """

    least_mean_degc: float
    most_mean_degc: float
    bolt_degc: float
    density_per_m2: float
    other_beds: tuple[tuple[str, Evidence], ...] = ()
    resow: tuple[date, Evidence] | None = None
    young: str = ""
    """Why and how this crop can be eaten young; "" where it cannot."""
    bury: str = ""
    """What already stretched plants of this crop allow."""


def options(evidence: Evidence, situation: Situation) -> tuple[Option, ...]:
    """Return every remedy that lowers the score, with its evidence; not yet in order."""
    found = [
        *_lamps(evidence),
        *_cooler(evidence, situation),
        *_room(evidence, situation),
        *_handling(evidence),
        *_elsewhere(situation),
    ]
    here = sum(terms(evidence).values())
    if here <= 0.0:
        return ()
    return tuple(option for option in found if here - sum(terms(option.evidence).values()) >= LEAST_DROP_LOG)


def _lamps(evidence: Evidence) -> Iterator[Option]:
    enough = light_for(STURDY_SCORE, _under_lamps(evidence, LAMP_STEPS_MOL_M2_D[-1]))
    if enough <= evidence.dli_mol_m2_d:
        return
    for step in LAMP_STEPS_MOL_M2_D:
        missing = step - evidence.dli_mol_m2_d
        if missing < LEAST_GAIN_MOL_M2_D:
            continue
        ppfd = float(ppfd_from_dli(missing, LAMP_HOURS_H))
        just = step == LAMP_STEPS_MOL_M2_D[-1] and evidence.dli_mol_m2_d < enough < step
        detail = words.LAMPS_HOW(
            hours=LAMP_HOURS_H,
            flux=ppfd,
            there=evidence.dli_mol_m2_d,
            enough=words.LAMPS_ENOUGH(light=enough) if just else "",
        )
        yield Option(f"lamps-{step:.0f}", words.LAMPS(light=step), _under_lamps(evidence, step), detail, True)


def _under_lamps(evidence: Evidence, dli_mol_m2_d: float) -> Evidence:
    """Lamps of daylight's blue, 14 h, at day temperature; the share of any poor lamp shrinks."""
    share = evidence.lamp_share * min(evidence.dli_mol_m2_d / dli_mol_m2_d, 1.0)
    hours = max(evidence.lit_h, LAMP_HOURS_H)
    return replace(evidence, dli_mol_m2_d=dli_mol_m2_d, lit_h=hours, lamp_share=share)


def _cooler(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    done = set()
    for wanted, dif_k in zip((STURDY_SCORE, WORKABLE_SCORE), COOL_DIF_K, strict=True):
        found = match(wanted, evidence, situation.least_mean_degc, situation.most_mean_degc, dif_k)
        mean = max(min(found.mean_degc, situation.most_mean_degc), situation.least_mean_degc)
        day, night = (float(np.floor(part)) for part in day_and_night(mean, dif_k, evidence.lit_h))
        if mean >= evidence.mean_degc - 1.0 or (day, night) in done:
            continue
        done.add((day, night))
        cooler = replace(evidence, day_degc=min(day, evidence.day_degc), night_degc=min(night, evidence.night_degc))
        limits = [
            words.COOL_AS_IT_GOES() if mean > found.mean_degc else "",
            words.NOT_FOR_LONG(bolt=situation.bolt_degc) if cooler.mean_degc < situation.bolt_degc else "",
        ]
        detail = words.COOLER_HOW(limits=joined(limits, ""))
        text = words.COOLER(day=cooler.day_degc, night=cooler.night_degc)
        yield Option(f"cooler-{cooler.day_degc:.0f}-{cooler.night_degc:.0f}", text, cooler, detail, True)
    if evidence.dif_k >= FLAT_FROM_K:
        flat = replace(evidence, day_degc=evidence.mean_degc, night_degc=evidence.mean_degc)
        yield Option("even-days", words.EVEN_DAYS(), flat, words.EVEN_DAYS_HOW(mean=evidence.mean_degc))


def _room(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    if evidence.leaf_area_ratio > ROOM_RATIO:
        roomy = replace(evidence, leaf_area_ratio=ROOM_RATIO)
        room = situation.density_per_m2 * ROOM_RATIO / evidence.leaf_area_ratio
        detail = words.THIN_HOW(now=situation.density_per_m2, room=room)
        yield Option("thin", words.THIN(room=room), roomy, detail)
    if evidence.late_d > 0.0:
        yield Option("pot-on", words.POT_ON(), replace(evidence, late_d=0.0), words.POT_ON_HOW())


def _handling(evidence: Evidence) -> Iterator[Option]:
    if evidence.dark_d > 0.0:
        lit = replace(evidence, dark_d=0.0)
        yield Option("light-at-once", words.LIGHT_AT_ONCE(), lit, words.LIGHT_AT_ONCE_HOW())
    if evidence.brushing_frac < 1.0:
        yield Option("brush", words.BRUSH(), replace(evidence, brushing_frac=1.0), words.BRUSH_HOW())
    poor_blue = evidence.lamp_share > 0.0 and evidence.blue_frac < ENOUGH_BLUE_FRAC
    poor_red = evidence.red_far_red_ratio is not None and evidence.red_far_red_ratio < SUN_RED_FAR_RED
    if poor_blue or poor_red:
        better = replace(evidence, blue_frac=ENOUGH_BLUE_FRAC, red_far_red_ratio=None)
        yield Option("white-lamps", words.WHITE_LAMPS(), better, words.WHITE_LAMPS_HOW())
    if evidence.wetness_frac > 0.0:
        yield Option("drier", words.DRIER(), replace(evidence, wetness_frac=0.0), words.DRIER_HOW())


def _elsewhere(situation: Situation) -> Iterator[Option]:
    for name, there in situation.other_beds:
        detail = words.OTHER_BED_HOW(light=there.dli_mol_m2_d, mean=there.mean_degc)
        yield Option(f"bed-{name}", words.OTHER_BED(name=name), there, detail, True)
    if situation.resow is not None:
        on, then = situation.resow
        detail = words.RESOW_HOW(light=then.dli_mol_m2_d, mean=then.mean_degc)
        yield Option("resow", words.RESOW(on=on), then, detail)


def in_order(
    found: Sequence[Option], evidence: Evidence, situation: Situation, leaves: dict[str, float], now_count: float | None
) -> tuple[Remedy, ...]:
    """Remedies by effect, best first, with leaves they would have by now; eating them young comes last.

    Parameters: found; evidence and situation as for :func:`options`; leaves, by key of an option; now_count, leaves
    as it is.
    """
    out = [_remedy(option, leaves.get(option.key), now_count) for option in found]
    out.sort(key=lambda remedy: (round(remedy.score), remedy.key == "resow", remedy.score))
    here = score(evidence)
    if situation.young and here >= WORKABLE_SCORE:
        out.append(Remedy("cut-young", words.CUT_YOUNG(), here, situation.young))
    return tuple(out)


def _remedy(option: Option, there: float | None, now: float | None) -> Remedy:
    detail = option.detail
    if there is not None and now is not None and np.isfinite(there) and int(there) != int(now):
        detail = words.BY_NOW(how=detail, leaves=_leaves(there), now=_count(now))
    return Remedy(option.key, option.remedy, score(option.evidence), detail, there)


def _count(leaves: float) -> str:
    """Whole true leaves in words.

    >>> _count(0.4), _count(3.7)
    ('none', '3')
    """
    whole = int(leaves)
    return str(whole) if whole else "none"


def _leaves(leaves: float) -> str:
    return words.LEAVES(leaves=int(leaves)) if int(leaves) else words.NO_LEAF
