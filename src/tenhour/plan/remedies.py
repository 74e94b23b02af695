"""What could be done about leggy seedlings, each with the score it would give by the same model."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np

from tenhour.model.diagnosis import Evidence, Remedy
from tenhour.plan.diagnosis import (
    CROWDING,
    DARK,
    LATE,
    MAT_K,
    WET,
    day_and_night,
    light_for,
    match,
    score,
    shares,
    terms,
)
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
LONG_HOURS_H: Final = 16.0
"""Longest day of lamps that seedlings are given: 14-18 h is usual, 16 is safe for tomatoes. Judgement."""
LOWER_GAIN: Final = 1.4
"""Light gained by hanging lamps at about two thirds of their height over a tray: judgement, between a bare source's 2.2
and a wide panel's 1.2."""
BRIGHTER_GAIN: Final = 1.25
MOST_LAMPS: Final = 0.5
"""Light gained in the brightest place of a room or bed with clean glass and a white board behind: judgement (a cover
grows dirty by about a tenth, a board returns a tenth or two). No such gain where lamps give most."""
WARMER_OVER_K: Final = 2.0
"""How far above its least a crop is warmed again: judgement."""
WORTH_POINTS: Final = 8.0
SWITCH_POINTS: Final = 3.0
WORTH_SHARE: Final = 0.25
"""A free step comes before bought ones if it takes so many points, or that share of what is above sturdy;
what is done at once, three points. Judgement."""
ENOUGH_BLUE_FRAC: Final = 0.25
"""Blue from which lamps do not lengthen: Wollaeger & Runkle 2014."""
SUN_RED_FAR_RED: Final = 1.15
AFTER_BOUGHT: Final = 2.5
KINDS: Final = ("switch", "free", "bought", "aid", "again")
MATCHED: Final = ("low light", "heat", "days warmer than nights")
"""Light and warmth are matched to each other: what mends one makes up for the other."""
LIGHT: Final = MATCHED[:1]
COLOURS: Final = ("little blue light", "far-red light")
COOL_ENOUGH_DEGC: Final = 11.0
"""Air as cool as this on the mean draws no plant; cooler air would only stop it. Judgement."""
WARM_DAY_K: Final = 3.0
COOL_NIGHT_K: Final = 4.0
"""Outdoor day above and night below the mean of the day: judgement; no house is cooled below them."""


@dataclass(frozen=True)
class Option:
    """One remedy: what it makes of the evidence; grows says whether leaves by now would differ."""

    key: str
    remedy: str
    evidence: Evidence
    detail: str
    grows: bool = False
    kind: str = "free"
    """"switch": free and at once; "free"; "bought"; "aid": treats the sign alone; "again": a new sowing."""
    against: tuple[str, ...] = MATCHED
    """Causes it takes away or makes up for."""


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
    outdoors_degc: float = -99.0
    """Mean of the air outdoors in the weeks to come: no house without a cooler is cooler than that."""
    mat: bool = False
    """Whether a heat mat is on under them."""
    lamp_dli_mol_m2_d: float = 0.0
    lamp_h: float | None = None
    """Light and hours of the lamps that burn over them."""
    brush: str = "hand"
    """How this crop bears brushing: "hand" or, where hands tear its leaves, "fan"."""


def options(evidence: Evidence, situation: Situation) -> tuple[Option, ...]:
    """Return every remedy that lowers the score, with its evidence; not yet in order."""
    found = [
        *_same_lamps(evidence, situation),
        *_lamps(evidence),
        *_cooler(evidence, situation),
        *_place(evidence),
        *_room(evidence, situation),
        *_handling(evidence, situation),
        *_elsewhere(situation),
    ]
    here = sum(terms(evidence).values())
    if here <= 0.0:
        return ()
    return tuple(option for option in found if here - sum(terms(option.evidence).values()) >= LEAST_DROP_LOG)


def warmer(evidence: Evidence, least_mean_degc: float) -> Option:
    """Option for plants that stand below what their crop goes on at; it lengthens, so it is not among the others.

    Parameters: evidence; least_mean_degc, mean below which the crop does not go on [°C].
    """
    lift = least_mean_degc + WARMER_OVER_K - evidence.mean_degc
    there = replace(evidence, day_degc=evidence.day_degc + lift, night_degc=evidence.night_degc + lift)
    enough = light_for(WORKABLE_SCORE, there)
    dim = words.WARMER_DIM(light=enough) if enough > evidence.dli_mol_m2_d else ""
    detail = words.WARMER_HOW(least=least_mean_degc, dim=dim)
    return Option("warmer", words.WARMER(mean=there.mean_degc), there, detail, True, "bought")


def _same_lamps(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    """More from the lamps that are there: longer, lower."""
    lamps = situation.lamp_dli_mol_m2_d
    if lamps <= 0.0:
        return
    hours = situation.lamp_h
    if hours is not None and hours < LONG_HOURS_H:
        more = lamps * (LONG_HOURS_H / max(hours, 1.0) - 1.0)
        there = _brighter(evidence, more, LONG_HOURS_H)
        yield Option(
            "lamp-hours",
            words.LONGER(hours=LONG_HOURS_H),
            there,
            words.LONGER_HOW(now=hours),
            True,
            "switch",
            LIGHT,
        )
    there = _brighter(evidence, lamps * (LOWER_GAIN - 1.0), evidence.lit_h)
    yield Option("lamps-lower", words.LOWER(), there, words.LOWER_HOW(light=there.dli_mol_m2_d), True, "switch", LIGHT)


def _place(evidence: Evidence) -> Iterator[Option]:
    """The best that can be made of the daylight there is."""
    if evidence.lamp_share < MOST_LAMPS and evidence.dli_mol_m2_d < light_for(STURDY_SCORE, evidence):
        there = replace(evidence, dli_mol_m2_d=evidence.dli_mol_m2_d * BRIGHTER_GAIN)
        yield Option("brighter", words.BRIGHTER(), there, words.BRIGHTER_HOW(), True, against=LIGHT)


def _brighter(evidence: Evidence, more_mol_m2_d: float, lit_h: float) -> Evidence:
    dli = evidence.dli_mol_m2_d + more_mol_m2_d
    share = (evidence.lamp_share * evidence.dli_mol_m2_d + more_mol_m2_d) / dli
    return replace(evidence, dli_mol_m2_d=dli, lit_h=max(lit_h, evidence.lit_h), lamp_share=share)


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
        yield Option(
            f"lamps-{step:.0f}",
            words.LAMPS(light=step),
            _under_lamps(evidence, step),
            detail,
            True,
            "bought",
            LIGHT,
        )


def _under_lamps(evidence: Evidence, dli_mol_m2_d: float) -> Evidence:
    """Lamps of daylight's blue, 14 h, at day temperature; the share of any poor lamp shrinks."""
    share = evidence.lamp_share * min(evidence.dli_mol_m2_d / dli_mol_m2_d, 1.0)
    hours = max(evidence.lit_h, LAMP_HOURS_H)
    return replace(evidence, dli_mol_m2_d=dli_mol_m2_d, lit_h=hours, lamp_share=share)


def _cooler(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    if situation.mat:
        off = replace(evidence, day_degc=evidence.day_degc - MAT_K, night_degc=evidence.night_degc - MAT_K)
        yield Option("mat-off", words.MAT_OFF(), off, words.MAT_OFF_HOW(), True, "switch")
    done = set()
    floor = max(situation.least_mean_degc, situation.outdoors_degc)
    scores = (STURDY_SCORE, WORKABLE_SCORE) if evidence.mean_degc >= COOL_ENOUGH_DEGC else ()
    for wanted, dif_k in zip(scores, COOL_DIF_K, strict=False):
        found = match(wanted, evidence, situation.least_mean_degc, situation.most_mean_degc, dif_k)
        mean = max(min(found.mean_degc, situation.most_mean_degc), floor)
        day, night = (float(np.floor(part)) for part in day_and_night(mean, dif_k, evidence.lit_h))
        day = max(day, float(np.ceil(situation.outdoors_degc + WARM_DAY_K)))
        night = max(night, float(np.ceil(situation.outdoors_degc - COOL_NIGHT_K)))
        if mean >= evidence.mean_degc - 1.0 or (day, night) in done:
            continue
        done.add((day, night))
        cooler = replace(evidence, day_degc=min(day, evidence.day_degc), night_degc=min(night, evidence.night_degc))
        if cooler.mean_degc >= evidence.mean_degc - 1.0:
            continue
        limits = [
            _coolest(mean, found.mean_degc, situation),
            words.NOT_FOR_LONG(bolt=situation.bolt_degc) if cooler.mean_degc < situation.bolt_degc else "",
        ]
        detail = words.COOLER_HOW(limits=joined(limits, ""))
        text = words.COOLER(day=cooler.day_degc, night=cooler.night_degc)
        yield Option(f"cooler-{cooler.day_degc:.0f}-{cooler.night_degc:.0f}", text, cooler, detail, True)
    if evidence.dif_k >= FLAT_FROM_K:
        flat = replace(evidence, day_degc=evidence.mean_degc, night_degc=evidence.mean_degc)
        yield Option(
            "even-days", words.EVEN_DAYS(), flat, words.EVEN_DAYS_HOW(mean=evidence.mean_degc), against=MATCHED[2:]
        )


def _coolest(mean_degc: float, wanted_degc: float, situation: Situation) -> str:
    if mean_degc <= wanted_degc:
        return ""
    outdoors = situation.outdoors_degc > situation.least_mean_degc
    return words.COOL_AS_OUTDOORS() if outdoors else words.COOL_AS_IT_GOES()


def _room(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    if evidence.leaf_area_ratio > ROOM_RATIO:
        roomy = replace(evidence, leaf_area_ratio=ROOM_RATIO)
        room = situation.density_per_m2 * ROOM_RATIO / evidence.leaf_area_ratio
        detail = words.THIN_HOW(now=situation.density_per_m2, room=room)
        yield Option("thin", words.THIN(room=room), roomy, detail, kind="switch", against=(CROWDING,))
    if evidence.late_d > 0.0:
        yield Option(
            "pot-on", words.POT_ON(), replace(evidence, late_d=0.0), words.POT_ON_HOW(), False, "switch", (LATE,)
        )


def _handling(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    if evidence.dark_d > 0.0:
        lit = replace(evidence, dark_d=0.0)
        yield Option("light-at-once", words.LIGHT_AT_ONCE(), lit, words.LIGHT_AT_ONCE_HOW(), False, "switch", (DARK,))
    if evidence.brushing_frac < 1.0:
        by_hand = situation.brush == "hand"
        text, detail = (words.BRUSH(), words.BRUSH_HOW()) if by_hand else (words.FAN(), words.FAN_HOW())
        yield Option("brush", text, replace(evidence, brushing_frac=1.0), detail, kind="aid")
    poor_blue = evidence.lamp_share > 0.0 and evidence.blue_frac < ENOUGH_BLUE_FRAC
    poor_red = evidence.red_far_red_ratio is not None and evidence.red_far_red_ratio < SUN_RED_FAR_RED
    if poor_blue or poor_red:
        better = replace(evidence, blue_frac=ENOUGH_BLUE_FRAC, red_far_red_ratio=None)
        yield Option("white-lamps", words.WHITE_LAMPS(), better, words.WHITE_LAMPS_HOW(), False, "bought", COLOURS)
    if evidence.wetness_frac > 0.0:
        yield Option(
            "drier", words.DRIER(), replace(evidence, wetness_frac=0.0), words.DRIER_HOW(), False, "switch", (WET,)
        )


def _elsewhere(situation: Situation) -> Iterator[Option]:
    for name, there in situation.other_beds:
        detail = words.OTHER_BED_HOW(light=there.dli_mol_m2_d, mean=there.mean_degc)
        yield Option(f"bed-{name}", words.OTHER_BED(name=name), there, detail, True)
    if situation.resow is not None:
        on, then = situation.resow
        detail = words.RESOW_HOW(light=then.dli_mol_m2_d, mean=then.mean_degc)
        yield Option("resow", words.RESOW(on=on), then, detail, kind="again")


def in_order(
    found: Sequence[Option],
    evidence: Evidence,
    situation: Situation,
    leaves: dict[str, float],
    now_count: float | None,
    main: str = "",
) -> tuple[Remedy, ...]:
    """Remedies in the order to take them: free ones against a cause, bought ones, aids, a new sowing; by effect within.

    Parameters: found; evidence and situation as for :func:`options`; leaves, by key of an option; now_count, leaves
    as it is; main, the first cause ("": by the numbers). What takes away another cause, or does little, comes after the
    bought; eating them young comes last.
    """
    here, parts = score(evidence), shares(terms(evidence))
    main = main or max(parts, key=lambda cause: parts[cause])
    worth = min(WORTH_POINTS, WORTH_SHARE * max(here - STURDY_SCORE, 0.0))
    least = {"switch": min(SWITCH_POINTS, worth), "bought": 0.0}

    def place(option: Option) -> tuple[float, float]:
        there = score(option.evidence)
        first = main in option.against and here - there >= least.get(option.kind, worth)
        kind = KINDS.index(option.kind)
        return (kind if first or option.kind in ("aid", "again") else AFTER_BOUGHT), there

    out = [_remedy(option, leaves.get(option.key), now_count) for option in sorted(found, key=place)]
    if situation.young and here >= WORKABLE_SCORE:
        out.append(Remedy("cut-young", words.CUT_YOUNG(), here, situation.young, free=True))
    return tuple(out)


def _remedy(option: Option, there: float | None, now: float | None) -> Remedy:
    detail = option.detail
    if there is not None and now is not None and np.isfinite(there) and int(there) != int(now):
        detail = words.BY_NOW(how=detail, leaves=_leaves(there), now=_count(now))
    free = option.kind != "bought"
    return Remedy(option.key, option.remedy, score(option.evidence), detail, there, free)


def _count(leaves: float) -> str:
    """Whole true leaves in words.

    >>> _count(0.4), _count(3.7)
    ('none', '3')
    """
    whole = int(leaves)
    return str(whole) if whole else "none"


def _leaves(leaves: float) -> str:
    return words.LEAVES(leaves=int(leaves)) if int(leaves) else words.NO_LEAF
