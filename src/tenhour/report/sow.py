"""The sowing answer as text, tables and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from tenhour.model.results import BedSowing, CropVerdict, Raising, SowAnswer
from tenhour.report.common import basis_json, basis_lines, iso, rounded, style_of
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import ROOMY, bold, heading, wrap
from tenhour.report.units import Style, date_text, localise, quantity_text

VERDICT_WORDS: Final = {
    "sow": "sow now",
    "slow": "slow",
    "wait": "wait",
    "needs-lamps": "needs lamps",
    "cut-young": "cut young",
    "set-out-grown": "set out grown",
    "too-cold": "too cold",
    "not-here": "not here",
}
SHOWN: Final = {"sow": 8, "cut-young": 4, "slow": 6, "wait": 6, "needs-lamps": 6, "set-out-grown": 6}
"""Crops of each verdict that get a line of their own unless everything is asked for."""
INDENT: Final = 2
LONGEST_NAME: Final = 24
WORTH_TELLING: Final = 25.0
"""Stretch from which it is told beside a sentence."""
LEGEND: Final = "light: daily mean in mol m⁻² d⁻¹ from sowing to harvest; stretch: 25 watch, 45 leggy, 65 stringy."


def sow_json(answer: SowAnswer) -> dict[str, Any]:
    """Answer as the JSON object of the contract."""
    out = basis_json("sow", answer.basis)
    out["date"] = answer.on.isoformat()
    out["calibration"] = answer.calibration
    out["beds"] = [
        {"name": bed.name, "standing": list(bed.standing), "crops": [_crop_json(crop) for crop in bed.crops]}
        for bed in answer.beds
    ]
    return out


def _crop_json(crop: CropVerdict) -> dict[str, Any]:
    return {
        "crop": crop.crop,
        "name": crop.name,
        "verdict": crop.verdict,
        "sentence": crop.sentence,
        "harvest_from": iso(crop.harvest_from),
        "harvest_to": iso(crop.harvest_to),
        "days_low": crop.days_low,
        "days_median": crop.days_median,
        "days_high": crop.days_high,
        "dli_mol_m2_d": rounded(crop.dli_mol_m2_d, 2),
        "needs_dli_mol_m2_d": rounded(crop.needs_dli_mol_m2_d, 2),
        "missing_dli_mol_m2_d": rounded(crop.missing_dli_mol_m2_d, 2),
        "stretch_score": rounded(crop.stretch_score, 0),
        "pays_from": iso(crop.pays_from),
        "sow_by": iso(crop.sow_by),
        "yield_kg_m2": rounded(crop.yield_kg_m2, 2),
        "yield_g_m2_d": rounded(crop.yield_g_m2_d, 1),
        "flags": list(crop.flags),
        "raising": None if crop.raising is None else _raising_json(crop.raising),
    }


def _raising_json(raising: Raising) -> dict[str, Any]:
    return {
        "nursery": raising.nursery,
        "set_out": raising.set_out.isoformat(),
        "harvest_from": iso(raising.harvest_from),
        "harvest_to": iso(raising.harvest_to),
        "sooner_d": raising.sooner_d,
        "stretch_score": rounded(raising.stretch_score, 0),
        "sentence": raising.sentence,
    }


def sow_tables(answer: SowAnswer) -> tuple[Table, ...]:
    """Every table of the answer: all beds and crops, with all that is known of each."""
    fields = (
        Field("bed", "bed"),
        Field("crop", "crop"),
        Field("name", "name"),
        Field("verdict", "verdict"),
        Field("sentence", "what to do", "prose", wrap=True),
        Field("harvest_from", "harvest from", "date"),
        Field("harvest_to", "harvest to", "date"),
        Field("days_low", "days low", "days"),
        Field("days_median", "days median", "days"),
        Field("days_high", "days high", "days"),
        Field("dli_mol_m2_d", "light", "dli"),
        Field("needs_dli_mol_m2_d", "needs", "dli"),
        Field("missing_dli_mol_m2_d", "missing", "dli"),
        Field("stretch_score", "stretch", "score"),
        Field("pays_from", "pays from", "date"),
        Field("sow_by", "sow by", "date"),
        Field("yield_kg_m2", "yield", "yield"),
        Field("yield_g_m2_d", "yield a day", "yield_day"),
        Field("flags", "flags", "prose", wrap=True),
        Field("set_out", "set out", "date"),
        Field("sooner_d", "raised, sooner by", "days"),
    )
    rows = tuple(
        (
            bed.name, crop.crop, crop.name, crop.verdict, crop.sentence, crop.harvest_from, crop.harvest_to,
            crop.days_low, crop.days_median, crop.days_high, crop.dli_mol_m2_d, crop.needs_dli_mol_m2_d,
            crop.missing_dli_mol_m2_d, crop.stretch_score, crop.pays_from, crop.sow_by, crop.yield_kg_m2,
            crop.yield_g_m2_d, "; ".join(crop.flags), None if crop.raising is None else crop.raising.set_out,
            None if crop.raising is None else crop.raising.sooner_d,
        )
        for bed in answer.beds
        for crop in bed.crops
    )  # fmt: skip
    caption = "What becomes of a sowing on the day asked for, best first on each bed."
    return (Table("crops", caption, fields, rows),)


def sow_text(answer: SowAnswer, width: int, *, style: Style | None = None, everything: bool = False) -> str:
    """Answer as text: per bed the crops by verdict, best first, each with its sentence.

    Unless ``everything`` is asked for, only the best of each verdict get a line of their own, the rest are named.
    """
    chosen = style_of(answer.us_units, style)
    lines = [bold(f"Sowing on {date_text(answer.on, chosen)}")]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, width, chosen, everything)]
    lines += ["", *wrap(LEGEND, width)]
    lines += basis_lines(answer.basis, width, chosen, answer.calibration)
    return "\n".join(lines)


def _bed_lines(bed: BedSowing, width: int, style: Style, everything: bool) -> list[str]:
    lines = heading(f"Bed {bed.name}", "", width)
    if bed.standing:
        lines += wrap(localise("Stands there by your log: " + ", ".join(bed.standing) + ".", style), width)
    for verdict, word in VERDICT_WORDS.items():
        crops = [crop for crop in bed.crops if crop.verdict == verdict]
        if crops:
            shown = len(crops) if everything else SHOWN.get(verdict, 0)
            lines += _verdict_lines(word, crops, shown, width, style)
    return lines


def _verdict_lines(word: str, crops: Sequence[CropVerdict], shown: int, width: int, style: Style) -> list[str]:
    lines = [f"{word[0].upper()}{word[1:]}:"]
    name_width = min(max(len(_short(crop)) for crop in crops), LONGEST_NAME) + INDENT + 2
    for crop in crops[:shown]:
        text = wrap(localise(_told(crop, style, width), style), width - name_width)
        first = " " * INDENT + _short(crop)[:LONGEST_NAME]
        lines.append(first.ljust(name_width) + text[0])
        lines += [" " * name_width + rest for rest in text[1:]]
    if crops[shown:]:
        rest = ", ".join(_short(crop) for crop in crops[shown:])
        label = "also: " if shown else ""
        lines += wrap(label + rest + ".", width, " " * INDENT)
    return lines


def _short(crop: CropVerdict) -> str:
    """Key as words: short, and no two crops share it."""
    return crop.crop.replace("-", " ")


def _told(crop: CropVerdict, style: Style, width: int) -> str:
    """Sentence, flags and, where there is room, the numbers a grower compares."""
    sentence = crop.sentence
    word = f"{VERDICT_WORDS[crop.verdict]}: "
    if sentence.lower().startswith(word):
        rest = sentence[len(word) :]
        sentence = rest[0].upper() + rest[1:]
    parts = [sentence, *crop.flags, *([] if crop.raising is None else [crop.raising.sentence])]
    numbers = []
    if width >= ROOMY and crop.dli_mol_m2_d is not None:
        numbers.append(f"light {crop.dli_mol_m2_d:.1f}")
    if width >= ROOMY and crop.needs_dli_mol_m2_d is not None:
        numbers.append(f"needs {crop.needs_dli_mol_m2_d:.1f}")
    if crop.stretch_score is not None and crop.stretch_score >= WORTH_TELLING:
        numbers.append(f"stretch {crop.stretch_score:.0f}")
    if width >= ROOMY and crop.yield_kg_m2:
        numbers.append(quantity_text("yield", crop.yield_kg_m2, style))
    return " ".join(parts) + (f" ({', '.join(numbers)})" if numbers else "")
