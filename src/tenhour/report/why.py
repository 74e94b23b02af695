"""The why answer as text and as JSON."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any, Final

from tenhour.model.diagnosis import Evidence, Match, WhyAnswer
from tenhour.report.common import basis_json, basis_lines, rounded, told
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import bold, number, table_lines, wrap
from tenhour.report.units import METRIC, Style, date_text, localise, quantity_text

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


def why_text(answer: WhyAnswer, width: int, style: Style = METRIC) -> str:
    """Answer as text: the paragraph first, then what they have had, causes and remedies."""
    where = f" on bed {answer.bed}" if answer.bed else ""
    head = f"{answer.name}{where}, sown {date_text(answer.sown, style)}, seen {date_text(answer.seen, style)}"
    lines = [bold(head), "", *wrap(localise(answer.sentence, style), width)]
    if answer.score is not None:
        lines += ["", *_stage_lines(answer, width, style)]
        lines += _cause_lines(answer, width, style) + _remedy_lines(answer, width, style)
    lines += told("Signs and numbers that do not fit together", answer.conflicts, width, style)
    lines += told("Stands on the bed by your log", answer.standing, width, style)
    return "\n".join(lines + basis_lines(answer.basis, width, style))


def why_tables(answer: WhyAnswer) -> tuple[Table, ...]:
    """Return causes and remedies as data."""
    return causes_table(answer), remedies_table(answer)


def causes_table(answer: WhyAnswer) -> Table:
    """Return the share of each cause and how to tell it."""
    fields = (
        Field("cause", "cause"),
        Field("share_frac", "share", "share"),
        Field("how_to_tell", "how to tell", "prose", wrap=True),
    )
    rows = tuple((cause.says, cause.share_frac, cause.check) for cause in answer.causes)
    return Table("causes", "Why they are drawn", fields, rows)


def remedies_table(answer: WhyAnswer) -> Table:
    """Return what each remedy would do."""
    fields = (
        Field("remedy", "what to do", "prose"),
        Field("stretch_score", "stretch", "score"),
        Field("how", "how", "prose", wrap=True),
    )
    rows = tuple((remedy.remedy, remedy.score, remedy.detail) for remedy in answer.remedies)
    return Table("remedies", "What would help", fields, rows)


def _stage_lines(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    lines = []
    if answer.leaves_count is not None:
        stage = f"Stage: {answer.stage}; in good light (12 mol, 14 h) it would be: {answer.expected_stage}."
        lines += wrap(stage, width)
    if answer.low_score is not None and answer.high_score is not None:
        season = f"{answer.low_score:.0f} in a bright season, {answer.high_score:.0f} in a dull one"
        lines += wrap(f"Stretch {number(answer.score, 0)}; {season}.", width)
    shown = answer.matches[:1] if answer.matches and answer.matches[0].any_warmth else answer.matches
    parts = [_match_text(one, style) for one in shown]
    return lines + wrap(f"Match heat to light: this light carries {'; '.join(parts)}.", width)


def _match_text(one: Match, style: Style) -> str:
    word = "sturdy plants" if one.score <= STURDY else "plants just short of leggy"
    if one.any_warmth:
        return f"{word} at any warmth the crop likes"
    if not one.reachable:
        return f"{word} only below what this crop grows at"
    day, night = quantity_text("temp", one.day_degc, style), quantity_text("temp", one.night_degc, style)
    return f"{word} at {day} by day and {night} at night"


def _cause_lines(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    """Return the causes that matter."""
    telling = tuple(cause for cause in answer.causes if cause.share_frac >= LEAST_SHARE)
    if not telling or answer.word == "sturdy":
        return []
    return ["", *table_lines(causes_table(replace(answer, causes=telling)), width, style)]


def _remedy_lines(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    return ["", *table_lines(remedies_table(answer), width, style)] if answer.remedies else []
