"""The why answer as text and as JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from tenhour.model.diagnosis import Evidence, Match, WhyAnswer
from tenhour.report.common import basis_json, rounded
from tenhour.report.terminal import Column, bold, notes, number, table, wrap

PERCENT: Final = 100.0
DIGITS: Final = 2
LEAST_SHARE: Final = 0.03
STURDY: Final = 25.0


def why_json(answer: WhyAnswer) -> dict[str, Any]:
    """Answer as the JSON object of the contract."""
    out = basis_json("why", answer.basis)
    out |= {
        "crop": answer.crop,
        "name": answer.name,
        "bed": answer.bed or None,
        "sown": answer.sown.isoformat(),
        "seen": answer.seen.isoformat(),
        "emerged": answer.emerged.isoformat() if answer.emerged is not None else None,
        "stage": answer.stage,
        "expected_stage": answer.expected_stage,
        "leaves": rounded(answer.leaves_count, 1),
        "expected_leaves": rounded(answer.expected_leaves_count, 1),
        "score": rounded(answer.score, 1),
        "low_score": rounded(answer.low_score, 1),
        "high_score": rounded(answer.high_score, 1),
        "word": answer.word,
        "needs_dli_mol_m2_d": rounded(answer.needs_dli_mol_m2_d, 2),
        "sturdy_dli_mol_m2_d": rounded(answer.sturdy_dli_mol_m2_d, 2),
        "had": _evidence_json(answer.evidence),
        "causes": [
            {
                "cause": cause.cause,
                "share_frac": rounded(cause.share_frac, 3),
                "model_share_frac": rounded(cause.model_share_frac, 3),
                "check": cause.check,
            }
            for cause in answer.causes
        ],
        "remedies": [
            {
                "remedy": remedy.remedy,
                "key": remedy.key,
                "score": rounded(remedy.score, 1),
                "detail": remedy.detail,
                "leaves": rounded(remedy.leaves_count, 1),
            }
            for remedy in answer.remedies
        ],
        "matches": [
            {
                "score": one.score,
                "day_degc": rounded(one.day_degc, 1),
                "night_degc": rounded(one.night_degc, 1),
                "reachable": one.reachable,
            }
            for one in answer.matches
        ],
        "conflicts": list(answer.conflicts),
        "standing": list(answer.standing),
        "sentence": answer.sentence,
    }
    return out


def _evidence_json(evidence: Evidence | None) -> dict[str, Any] | None:
    if evidence is None:
        return None
    found = {key: rounded(value, DIGITS) for key, value in asdict(evidence).items()}
    return {**found, "mean_degc": rounded(evidence.mean_degc, DIGITS)}


def why_text(answer: WhyAnswer, width: int) -> str:
    """Answer as text: the paragraph first, then what they have had, causes and remedies."""
    where = f" on bed {answer.bed}" if answer.bed else ""
    head = f"{answer.name}{where}, sown {answer.sown.isoformat()}, seen {answer.seen.isoformat()}"
    lines = [bold(head), "", *wrap(answer.sentence, width)]
    if answer.score is not None:
        lines += ["", *_stage_lines(answer, width), *_cause_lines(answer, width), *_remedy_lines(answer, width)]
    lines += notes("Signs and numbers that do not fit together", answer.conflicts, width)
    lines += notes("Stands on the bed by your log", answer.standing, width)
    lines += notes("Warnings", answer.basis.warnings, width)
    lines += notes("Assumed", answer.basis.assumptions, width)
    lines += notes("Cautions", answer.basis.cautions, width)
    return "\n".join(lines)


def _stage_lines(answer: WhyAnswer, width: int) -> list[str]:
    lines = []
    if answer.leaves_count is not None:
        stage = f"Stage: {answer.stage}; in good light (12 mol, 14 h) it would be: {answer.expected_stage}."
        lines += wrap(stage, width)
    if answer.low_score is not None and answer.high_score is not None:
        season = f"{answer.low_score:.0f} in a bright season, {answer.high_score:.0f} in a dull one"
        lines += wrap(f"Stretch {number(answer.score, 0)}; {season}.", width)
    told = answer.matches[:1] if answer.matches and answer.matches[0].any_warmth else answer.matches
    parts = [_match_text(one) for one in told]
    return lines + wrap(f"Match heat to light: this light carries {'; '.join(parts)}.", width)


def _match_text(one: Match) -> str:
    word = "sturdy plants" if one.score <= STURDY else "plants just short of leggy"
    if one.any_warmth:
        return f"{word} at any warmth the crop likes"
    if not one.reachable:
        return f"{word} only below what this crop grows at"
    return f"{word} at {one.day_degc:.0f} °C by day and {one.night_degc:.0f} at night"


def _cause_lines(answer: WhyAnswer, width: int) -> list[str]:
    telling = [cause for cause in answer.causes if cause.share_frac >= LEAST_SHARE]
    if not telling or answer.word == "sturdy":
        return []
    columns = [Column("cause", right=False), Column("share"), Column("how to tell", right=False, wrap=True)]
    rows = [[cause.says, f"{PERCENT * cause.share_frac:.0f} %", cause.check] for cause in telling]
    return ["", *table(columns, rows, width)]


def _remedy_lines(answer: WhyAnswer, width: int) -> list[str]:
    if not answer.remedies:
        return []
    columns = [
        Column("what to do", right=False, wrap=False),
        Column("stretch"),
        Column("how", right=False, wrap=True),
    ]
    rows = [[remedy.remedy, number(remedy.score, 0), remedy.detail] for remedy in answer.remedies]
    return ["", *table(columns, rows, width)]
