"""The sowing answer as text and as JSON."""

from __future__ import annotations

from typing import Any, Final

from tenhour.model.results import BedSowing, CropVerdict, SowAnswer
from tenhour.report.common import basis_json, rounded
from tenhour.report.terminal import WIDE, Column, bold, notes, number, table, wrap

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
    def iso(value: Any) -> str | None:
        return value.isoformat() if value is not None else None

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
    }


def sow_text(answer: SowAnswer, width: int) -> str:
    """Answer as text: per bed the crops, best first, each with its sentence."""
    lines = [bold(f"Sowing on {answer.on.isoformat()}")]
    for bed in answer.beds:
        lines += ["", *_bed_lines(bed, width)]
    lines += notes("Warnings", answer.basis.warnings, width)
    lines += notes("Assumed", answer.basis.assumptions, width)
    lines += notes("Cautions", answer.basis.cautions, width)
    return "\n".join(lines)


def _bed_lines(bed: BedSowing, width: int) -> list[str]:
    lines = [bold(f"Bed {bed.name}")]
    if bed.standing:
        lines += wrap("Stands there by your log: " + ", ".join(bed.standing) + ".", width)
    columns = [
        Column("crop", right=False),
        Column("verdict", right=False),
        Column("what to do", right=False, wrap=True),
        Column("mol", wide_only=True),
        Column("needs", wide_only=True),
        Column("stretch"),
        Column("kg m⁻²", wide_only=True),
    ]
    rows = [
        [
            crop.name,
            VERDICT_WORDS[crop.verdict],
            " ".join([crop.sentence, *crop.flags]),
            number(crop.dli_mol_m2_d),
            number(crop.needs_dli_mol_m2_d),
            number(crop.stretch_score, 0),
            number(crop.yield_kg_m2),
        ]
        for crop in bed.crops
    ]
    lines += table(columns, rows, width)
    if width >= WIDE - 20:
        lines += wrap("mol: daily light from sowing to harvest; stretch: 25 watch, 45 leggy, 65 stringy.", width)
    return lines
