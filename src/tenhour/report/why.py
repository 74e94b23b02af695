"""The why answer as text and as tables."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from tenhour.model.diagnosis import Cause, Match, Remedy, WhyAnswer
from tenhour.report.common import GAS, basis_lines, grower_lines, told
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import heading, table_lines, wrap
from tenhour.words import why as words
from tenhour.words.crops import crop_name
from tenhour.words.style import METRIC, Style, date_text
from tenhour.words.text import Text, joined, written

LEAST_SHARE: Final = 0.03
STURDY: Final = 25.0
SCREEN_LINES: Final = 12


def why_text(answer: WhyAnswer, width: int, style: Style = METRIC, *, everything: bool = True) -> str:
    """Answer as text: the paragraph first, then what they have had, causes and remedies; or only the first screen."""
    where = f" on bed {answer.bed}" if answer.bed else ""
    head = (
        f"{crop_name(answer.crop)}{where}, sown {date_text(answer.sown, style)}, seen {date_text(answer.seen, style)}"
    )
    lines = [*heading(head, "", width), *wrap(written(answer.sentence, style), width)]
    if not (everything or style.all_notes):
        closing = _closing(answer, width, style)
        room = SCREEN_LINES - len(lines) - len(closing)
        return "\n".join([*lines, *grower_lines(answer.grower_lines, width, style, room), *closing])
    if answer.score is not None:
        lines += ["", *_stage_lines(answer, width, style)]
        lines += _cause_lines(answer, width, style) + _remedy_lines(answer, width, style)
    lines += told(
        "Other trouble, and how to tell", [joined([one.says, one.check], ": ") for one in answer.troubles], width, style
    )
    lines += told("Signs and numbers that do not fit together", answer.conflicts, width, style)
    lines += told("Where the model is in doubt", answer.doubts, width, style)
    lines += told("What every grower is told", answer.grower_lines, width, style)
    lines += told("Stands on the bed by your log", answer.standing, width, style)
    return "\n".join(lines + basis_lines(answer.basis, width, style))


def _closing(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    """Cautions that touch the advice, and what more there is."""
    warm = any(remedy.key == "warmer" for remedy in answer.remedies)
    lamps = "lamps" in answer.sentence
    said = [text for text in answer.basis.cautions if (lamps and text == words.LAMP_CAUTION) or (warm and GAS in text)]
    more = ["how to tell the causes"] if answer.causes else []
    more += [f"{len(answer.remedies)} remedies"] if len(answer.remedies) > 1 else []
    more += ["where the model is in doubt"] if answer.doubts else []
    texts = [*said, words.REST(what=joined([*more, "what was assumed"], ", "))]
    return [line for text in texts for line in wrap(written(text, style), width)]


def why_tables(answer: WhyAnswer) -> tuple[Table, ...]:
    """Return causes and remedies as data."""
    return causes_table(answer), remedies_table(answer)


def causes_table(answer: WhyAnswer) -> Table:
    """Return the share of each cause and how to tell it."""
    rows = ((cause,) for cause in answer.causes)
    return table_of("causes", "Why they are drawn", rows, columns(Cause, "says share_frac check"))


def remedies_table(answer: WhyAnswer) -> Table:
    """Return what each remedy would do."""
    rows = ((remedy,) for remedy in answer.remedies)
    return table_of("remedies", "What would help", rows, columns(Remedy, "remedy score detail"))


def _stage_lines(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    lines = []
    if answer.leaves_count is not None:
        stage = words.IN_GOOD_LIGHT(stage=answer.stage, expected=answer.expected_stage)
        lines += wrap(written(stage, style), width)
    if answer.low_score is not None and answer.high_score is not None:
        spread = words.SPREAD(score=answer.score, low=answer.low_score, high=answer.high_score)
        lines += wrap(written(spread, style), width)
    shown = answer.matches[:1] if answer.matches and answer.matches[0].any_warmth else answer.matches
    match = words.MATCH(what=joined([_match_text(one) for one in shown], "; "))
    return lines + wrap(written(match, style), width)


def _match_text(one: Match) -> Text:
    word = "sturdy plants" if one.score <= STURDY else "plants just short of leggy"
    if one.any_warmth:
        return words.MATCH_ANY(plants=word)
    if not one.reachable:
        return words.MATCH_NONE(plants=word)
    return words.MATCH_AT(plants=word, day=one.day_degc, night=one.night_degc)


def _cause_lines(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    """Return the causes that matter."""
    telling = tuple(cause for cause in answer.causes if cause.share_frac >= LEAST_SHARE)
    if not telling or (answer.word == "sturdy" and not answer.contradicted):
        return []
    return ["", *table_lines(causes_table(replace(answer, causes=telling)), width, style)]


def _remedy_lines(answer: WhyAnswer, width: int, style: Style) -> list[str]:
    return ["", *table_lines(remedies_table(answer), width, style)] if answer.remedies else []
