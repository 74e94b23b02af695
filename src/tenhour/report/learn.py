"""What the log has taught, as text and tables."""

from __future__ import annotations

from typing import Final

from tenhour.model.learn_answer import LearnAnswer, LearnEffect, LearnFactor, LearnLeftOut
from tenhour.report.common import basis_lines, style_of, told
from tenhour.report.tables import Table, columns, table_of
from tenhour.report.terminal import heading, table_lines, wrap
from tenhour.words import learning as words
from tenhour.words.crops import crop_name
from tenhour.words.style import Style
from tenhour.words.text import counted, written

SAME_FRAC: Final = 0.015
"""Growth nearer to the table's than this is called the same."""
FEW_WINTERS: Final = 2
MOST_LEFT_OUT: Final = 4


def learn_tables(answer: LearnAnswer) -> list[Table]:
    """Factors, effects and what taught nothing."""
    factors = columns(LearnFactor, "factor crop winter value low high rows used")
    effects = columns(LearnEffect, "crop bed sown days_before_d days_after_d days_low_d days_high_d")
    left = columns(LearnLeftOut, "crop bed sown because")
    return [
        table_of("factors", "What the log says of each factor, with 90 % intervals.",
                 ((one,) for one in answer.factors), factors),
        table_of("effects", "Days to harvest of sowings to come.", ((one,) for one in answer.effects), effects),
        table_of("left_out", "Sowings that taught nothing.", ((one,) for one in answer.left_out), left),
    ]  # fmt: skip


def learn_text(answer: LearnAnswer, width: int, style: Style | None = None) -> str:
    """Answer as text."""
    chosen = style_of(answer.us_units, style)
    lines = list(heading("What the log has taught", "", width))
    if not answer.rows_count:
        lines += ["", *wrap(words.NOTHING(), width)]
    else:
        said = [_sentence(one) for one in answer.factors if one.used and one.factor == "growth" and one.crop]
        said += [_sentence(one) for one in answer.factors if one.used and one.factor == "yield" and one.crop]
        said += [_sentence(one) for one in answer.factors if one.factor == "winter-light"]
        said += [words.MORE()] if answer.winters_count < FEW_WINTERS else []
        for text in said:
            lines += wrap(written(text, chosen), width)
        if answer.effects:
            lines += ["", words.DAYS_TO_COME(), *table_lines(learn_tables(answer)[1], width, chosen)]
    left = [words.LEFT_OUT(name=crop_name(one.crop), on=one.sown, because=one.because) for one in answer.left_out]
    if len(left) > MOST_LEFT_OUT and not chosen.all_notes:
        left = [*left[:MOST_LEFT_OUT], words.MORE_LEFT(count=counted(len(left) - MOST_LEFT_OUT, "sowing"))]
    lines += told("Taught nothing", left, width, chosen)
    lines += told("To learn more", answer.ask, width, chosen)
    closing = words.KEPT(file=answer.kept_in) if answer.kept_in else words.NOT_KEPT() if answer.rows_count else ""
    lines += ["", *wrap(closing, width)] if closing else []
    return "\n".join([*lines, *basis_lines(answer.basis, width, chosen)])


def _sentence(one: LearnFactor) -> str:
    """What one factor says, in words."""
    crop = crop_name(one.crop)
    name = f"{crop[:1].upper()}{crop[1:]}"
    percent = {end: _percent(value) for end, value in (("low", one.low), ("high", one.high))}
    if one.factor == "winter-light":
        return words.WINTER(winter=one.winter, share=f"{one.value:.0%}", low=f"{one.low:.0%}", high=f"{one.high:.0%}")
    if one.factor == "yield":
        share = f"{abs(one.value - 1.0):.0%} {'more' if one.value > 1.0 else 'less'}"
        return words.WEIGHT(name=name, share=share, rows=counted(one.rows, "weighing"), **percent)
    rows = counted(one.rows, "sowing")
    if abs(one.value - 1.0) < SAME_FRAC:
        return words.AS_TABLE(name=name, rows=rows, **percent)
    share = f"{abs(one.value - 1.0):.0%} {'faster' if one.value > 1.0 else 'slower'}"
    return words.GROWTH(name=name, share=share, rows=rows, **percent)


def _percent(factor: float) -> str:
    return f"{factor - 1.0:+.0%}"
