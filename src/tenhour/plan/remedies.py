"""What could be done about leggy seedlings, each with the score it would give by the same model."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np

from tenhour.model.diagnosis import Evidence, Remedy
from tenhour.plan.diagnosis import day_and_night, light_for, match, score, terms
from tenhour.plan.sentences import day_text
from tenhour.units import ppfd_from_dli

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
        detail = f"cool white, {LAMP_HOURS_H:.0f} h a day at {ppfd:.0f} µmol m⁻² s⁻¹ on top of the {_mol(evidence)}"
        if step == LAMP_STEPS_MOL_M2_D[-1] and evidence.dli_mol_m2_d < enough < step:
            detail += f"; {enough:.1f} mol would just be sturdy"
        yield Option(f"lamps-{step:.0f}", f"lamps to {step:.0f} mol", _under_lamps(evidence, step), detail, True)


def _mol(evidence: Evidence) -> str:
    return f"{evidence.dli_mol_m2_d:.1f} mol that are there"


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
        detail = "slower, not taller, and it saves heat"
        if mean > found.mean_degc:
            detail += "; as cool as this crop goes"
        if cooler.mean_degc < situation.bolt_degc:
            detail += f"; not for long: weeks below {situation.bolt_degc:.0f} °C turn it to flower"
        text = f"cooler, {cooler.day_degc:.0f} °C by day and {cooler.night_degc:.0f} at night"
        yield Option(f"cooler-{cooler.day_degc:.0f}-{cooler.night_degc:.0f}", text, cooler, detail, True)
    if evidence.dif_k >= FLAT_FROM_K:
        flat = replace(evidence, day_degc=evidence.mean_degc, night_degc=evidence.mean_degc)
        detail = (
            f"the same mean of {evidence.mean_degc:.0f} °C day and night; a cool first hour of light does part of it"
        )
        yield Option("even-days", "days no warmer than nights", flat, detail)


def _room(evidence: Evidence, situation: Situation) -> Iterator[Option]:
    if evidence.leaf_area_ratio > ROOM_RATIO:
        roomy = replace(evidence, leaf_area_ratio=ROOM_RATIO)
        room = situation.density_per_m2 * ROOM_RATIO / evidence.leaf_area_ratio
        detail = f"from {situation.density_per_m2:.0f} to {room:.0f} plants a square metre, until leaves just touch"
        yield Option("thin", f"thin or pot on to {room:.0f} plants a square metre", roomy, detail)
    if evidence.late_d > 0.0:
        text = "each day in an outgrown pot counts"
        yield Option("pot-on", "pot on at once", replace(evidence, late_d=0.0), text)


def _handling(evidence: Evidence) -> Iterator[Option]:
    if evidence.dark_d > 0.0:
        detail = "at the next sowing: light on, cover and heat mat off, on the day the first hook shows"
        yield Option("light-at-once", "light from the first hook", replace(evidence, dark_d=0.0), detail)
    if evidence.brushing_frac < 1.0:
        detail = "ten strokes with a hand or a card a day from the first true leaf, or a fan; not on wet leaves"
        yield Option("brush", "brush or move air daily", replace(evidence, brushing_frac=1.0), detail)
    poor_blue = evidence.lamp_share > 0.0 and evidence.blue_frac < ENOUGH_BLUE_FRAC
    poor_red = evidence.red_far_red_ratio is not None and evidence.red_far_red_ratio < SUN_RED_FAR_RED
    if poor_blue or poor_red:
        better = replace(evidence, blue_frac=ENOUGH_BLUE_FRAC, red_far_red_ratio=None)
        detail = "cool white (a quarter blue), no incandescent bulbs, no far-red at the end of the day"
        yield Option("white-lamps", "white lamps instead", better, detail)
    if evidence.wetness_frac > 0.0:
        yield Option(
            "drier", "drier and leaner", replace(evidence, wetness_frac=0.0), "water when the tray feels light"
        )


def _elsewhere(situation: Situation) -> Iterator[Option]:
    for name, there in situation.other_beds:
        detail = f"{there.dli_mol_m2_d:.1f} mol at {there.mean_degc:.0f} °C there"
        yield Option(f"bed-{name}", f"stand them on bed {name}", there, detail, True)
    if situation.resow is not None:
        on, then = situation.resow
        detail = f"{then.dli_mol_m2_d:.1f} mol at {then.mean_degc:.0f} °C in their first three weeks"
        yield Option("resow", f"sow again on {day_text(on)}", then, detail)


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
        out.append(Remedy("cut-young", "cut them young and eat", here, situation.young))
    return tuple(out)


def _remedy(option: Option, there: float | None, now: float | None) -> Remedy:
    detail = option.detail
    if there is not None and now is not None and np.isfinite(there) and int(there) != int(now):
        detail += f"; about {_leaves(there)} by now instead of {_count(now)}"
    return Remedy(option.key, option.remedy, score(option.evidence), detail, there)


def _count(leaves: float) -> str:
    """Whole true leaves in words.

    >>> _count(0.4), _count(3.7)
    ('none', '3')
    """
    whole = int(leaves)
    return str(whole) if whole else "none"


def _leaves(leaves: float) -> str:
    whole = int(leaves)
    return "no true leaf" if whole == 0 else f"{whole} true leaf" if whole == 1 else f"{whole} true leaves"
