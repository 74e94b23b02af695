"""The paragraph a beginner understands: what is wrong, why, and what to do first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from tenhour.model.diagnosis import Cause, Diagnosis, Evidence, Remedy
from tenhour.plan.sentences import day_text

STAGES: Final = ("seed leaves", "first true leaf")
FREE: Final = ("cooler", "even-days", "brush", "thin", "light-at-once", "drier", "bed-")
"""Keys of remedies that cost nothing but work."""
TELLING_SHARE: Final = 0.2
COOL_MEAN_DEGC: Final = 10.0
LOW_DLI_MOL_M2_D: Final = 4.0
PERCENT: Final = 100.0


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
        return f"ready to set out ({whole} true leaves)"
    return STAGES[whole] if whole < len(STAGES) else f"{whole} true leaves"


def plants_of(name: str, way: str) -> str:
    """Name of a crop's young plants in running text.

    >>> plants_of("spinach, cut", "cut"), plants_of("tomato plants", "transplant"), plants_of("pea shoots", "seed-fed")
    ('spinach seedlings', 'tomato seedlings', 'pea shoots')
    """
    short = name.split(",")[0].strip().removesuffix(" plants")
    return short if way == "seed-fed" else f"{short} seedlings"


def not_up(name: str, sown: date, seen: date, due: date | None) -> str:
    """Say when plants that are not up yet are to be expected."""
    if due is None:
        return (
            f"{_cap(name)} sown on {day_text(sown)} cannot come up in this cold: the seed lies there and may rot. "
            "Start it warmer, or sow later."
        )
    if due > seen:
        return (
            f"{_cap(name)} sown on {day_text(sown)} should not be up yet: expect it about {day_text(due)}. Give light "
            "and take covers and heat mats off on the very day the first hook shows."
        )
    return f"{_cap(name)} is just coming up: give it light from today, and keep it cool."


def paragraph(
    name: str,
    diagnosis: Diagnosis,
    emerged: date,
    sturdy_dli_mol_m2_d: float,
    remedies: Sequence[Remedy],
    bury: str,
    signs: bool,
) -> str:
    """Return the whole answer in one paragraph.

    Parameters: name, of the young plants; diagnosis; emerged; sturdy_dli_mol_m2_d, light at which they would be sturdy;
    remedies, best first; bury, what can be done with plants already stretched; signs, whether the grower named any.
    """
    given = diagnosis.evidence
    if diagnosis.word == "sturdy":
        return _healthy(name, diagnosis, emerged, signs)
    word = {"watch": "on the way to being leggy", "leggy": "leggy", "stringy": "stringy"}[diagnosis.word]
    sentences = [
        f"These {name} are {word}: stretch {diagnosis.score:.0f} of 100, where below 25 is sturdy and above 45 leggy.",
        _had(given, emerged, sturdy_dli_mol_m2_d),
        _reason(diagnosis.causes),
        *_advice(remedies),
        f"What is long already stays long: {bury}.",
    ]
    return " ".join(part for part in sentences if part)


def _healthy(name: str, diagnosis: Diagnosis, emerged: date, signs: bool) -> str:
    given = diagnosis.evidence
    out = (
        f"These {name} should be sturdy: stretch {diagnosis.score:.0f} of 100, where below 25 is sturdy. "
        f"Since they came up about {day_text(emerged)} they have had {given.dli_mol_m2_d:.1f} mol of light a day at a "
        f"mean of {given.mean_degc:.0f} °C, and that fits together."
    )
    if given.dli_mol_m2_d < LOW_DLI_MOL_M2_D and given.mean_degc < COOL_MEAN_DEGC:
        out += " They are slow because light is short, but cool enough not to stretch: warmth alone would spoil them."
    else:
        out += " Nothing needs mending."
    if signs:
        out += (
            " If they are drawn all the same, light, warmth or days in the dark were not as assumed here: check them."
        )
    return out


def _had(given: Evidence, emerged: date, sturdy_dli_mol_m2_d: float) -> str:
    had = (
        f"Since they came up about {day_text(emerged)} they have had {given.dli_mol_m2_d:.1f} mol of light a day at "
        f"{given.day_degc:.0f} °C by day and {given.night_degc:.0f} at night"
    )
    if sturdy_dli_mol_m2_d > given.dli_mol_m2_d and sturdy_dli_mol_m2_d < 40.0:
        return f"{had}; as warm as that, {sturdy_dli_mol_m2_d:.1f} mol would keep them sturdy."
    return f"{had}."


def _reason(causes: Sequence[Cause]) -> str:
    if not causes:
        return ""
    first = causes[0]
    text = f"The main reason is {first.says} ({PERCENT * first.share_frac:.0f} %)"
    telling = [cause for cause in causes[1:] if cause.share_frac >= TELLING_SHARE]
    if telling:
        others = " and ".join(f"{cause.says} ({PERCENT * cause.share_frac:.0f} %)" for cause in telling[:2])
        text += f", then {others}"
    return f"{text}."


def _advice(remedies: Sequence[Remedy]) -> list[str]:
    real = [remedy for remedy in remedies if remedy.key != "cut-young"]
    if not real:
        return ["No single step makes much difference."]
    best = real[0]
    out = [f"The strongest single step: {best.remedy} (stretch {best.score:.0f})."]
    free = next((remedy for remedy in real[1:] if remedy.key.startswith(FREE)), None)
    if free is not None and not best.key.startswith(FREE):
        out.append(f"Without buying anything: {free.remedy} (stretch {free.score:.0f}).")
    return out


def bury_text(latin: str, way: str) -> str:
    """Say what can be done with plants of a kind that are stretched already (common practice)."""
    if latin.startswith("Solanum lycopersicum"):
        return "pot these deep, up to the seed leaves or beyond; the stem will root"
    if way in ("root", "seed-fed") or latin.startswith(("Spinacia", "Daucus", "Raphanus")):
        return "this crop cannot be set deeper, so sow again"
    if latin.startswith(("Lactuca", "Brassica", "Eruca", "Cichorium")):
        return "when potting on, set them down to the seed leaves"
    return "when potting on, set them a little deeper if the stem is firm; else sow again"


def _cap(name: str) -> str:
    return name[:1].upper() + name[1:]
