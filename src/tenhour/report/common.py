"""What every answer shares when it is written: the closing remarks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tenhour.model.results import Basis, ColdNight
from tenhour.report.terminal import notes, wrap
from tenhour.words import nights as night_words
from tenhour.words.remarks import ASSUMED, MORE_CAUTIONS, MORE_WARNINGS, NOTES_BEHIND, NOTHING_BEHIND, file_doubts
from tenhour.words.style import Style
from tenhour.words.text import Sentence, counted, joined, listed, written

MOST_WARNINGS: Final = 2
MOST_CAUTIONS: Final = 3
"""Warnings and cautions shown unless all are asked for."""
LEARNED: Final = ("Growth as your own log has it", "Yields as your own log has them")
GAS: Final = "carbon monoxide"
"""What no answer leaves out."""


def _learned(basis: Basis) -> list[str]:
    """Lines that are never only counted: that an answer uses the grower's own log, and this winter so far."""
    said = [text for text in basis.assumptions if text.startswith(LEARNED)]
    return [*said[:1], *_so_far(basis)]


def _so_far(basis: Basis) -> list[str]:
    found = basis.so_far
    if found is None:
        return []
    used = () if found.used is None else found.used.sentences
    return [joined([found.sentence, *found.effects, *used])]


def doubts(basis: Basis) -> list[str]:
    """Return the warnings that are never only counted: that the weather file may be wrong."""
    return file_doubts(basis.warnings)


def weather_texts(basis: Basis, style: Style) -> list[str]:
    """Return doubts of the weather file, that the log is used, and this winter so far, a paragraph each."""
    return [written(text, style) for text in (*doubts(basis), *_learned(basis))]


def weather_lines(basis: Basis, width: int, style: Style) -> list[str]:
    """Return the same as lines."""
    return [line for text in weather_texts(basis, style) for line in wrap(text, width)]


def told(title: str, texts: Sequence[str], width: int, style: Style) -> list[str]:
    """Return a titled list of remarks in the reader's units and dates; nothing when empty."""
    return notes(title, [written(text, style) for text in texts], width)


def grower_lines(texts: Sequence[str], width: int, style: Style, most: int | None = None) -> list[str]:
    """Return what every grower is told, a dash before each; only as many as fit into ``most`` lines."""
    out: list[str] = []
    for text in texts:
        lines = wrap(written(text, style), width - 2)
        if most is None or len(out) + len(lines) <= most:
            out += [f"- {lines[0]}", *(f"  {line}" for line in lines[1:])]
    return out


def nights_text(nights: Sequence[ColdNight]) -> str:
    """The coldest nights to expect, all places in a sentence; where the inside is not known, where to ask for it."""
    if not nights:
        return ""
    told = [
        (night_words.UNDER if night.layers else night_words.AT)(
            place=night.place, layers=night.layers, low=night.lowest_degc, tenth=night.lowest_1in10_degc,
            mean=night.mean_degc,
        )
        for night in nights
    ]  # fmt: skip
    inside = any(night.place == night_words.INSIDE for night in nights)
    return joined([night_words.COLDEST(places=joined(told, "; ")), *([] if inside else [night_words.NOT_RUN()])])


def basis_lines(basis: Basis, width: int, style: Style, calibration: str = "") -> list[str]:
    """Return the closing remarks of an answer: warnings, cautions, what was assumed.

    Unless the reader wants them all, a few warnings and cautions and a count of the rest; carbon monoxide comes
    first and is never cut.
    """
    measured = [*([calibration] if calibration else []), *_learned(basis)]
    if style.all_notes:
        lines = told("Warnings", basis.warnings, width, style)
        lines += told("Assumed", list(dict.fromkeys([*measured, *basis.assumptions])), width, style)
        return lines + told("Cautions", basis.cautions, width, style)
    first = doubts(basis)
    rest = [text for text in basis.warnings if text not in first]
    shown = [*first, *_first(rest, max(MOST_WARNINGS - len(first), 0), MORE_WARNINGS)]
    lines = told("Warnings", shown, width, style)
    gas = [text for text in basis.cautions if GAS in text]
    others = [text for text in basis.cautions if GAS not in text]
    lines += told("Cautions", [*gas, *_first(others, max(MOST_CAUTIONS - len(gas), 0), MORE_CAUTIONS)], width, style)
    closing = [*measured, *([ASSUMED(count=len(basis.assumptions))] if basis.assumptions else [])]
    return [
        *lines,
        *([""] if closing else []),
        *(line for text in closing for line in wrap(written(text, style), width)),
    ]


def brief_basis(basis: Basis, width: int, style: Style, calibration: str = "") -> list[str]:
    """Return the closing remarks of a short answer: carbon monoxide in full, a count of everything else."""
    return [line for lines in brief_remarks(basis, width, style, calibration) for line in lines]


def brief_remarks(basis: Basis, width: int, style: Style, calibration: str = "") -> list[list[str]]:
    """Return the same remark by remark, what must be read first."""
    if style.all_notes:
        return [basis_lines(basis, width, style, calibration)]
    gas = [text for text in basis.cautions if GAS in text]
    texts = [*doubts(basis), *gas, *([calibration] if calibration else []), *_learned(basis), *_behind(basis)]
    return [wrap(written(text, style), width) for text in texts]


def _behind(basis: Basis) -> list[str]:
    """How many remarks stand behind an answer, but for the one that is always told in full."""
    counts = {
        "warning": len(basis.warnings) - len(doubts(basis)),
        "caution": sum(GAS not in text for text in basis.cautions),
        "assumption": len(basis.assumptions),
    }
    said = [counted(count, name) for name, count in counts.items() if count]
    return [NOTES_BEHIND(what=listed(said))] if said else []


def remarks_count(basis: Basis, width: int, style: Style) -> list[str]:
    """Return as lines how many remarks stand behind an answer; none where there are none."""
    return [line for text in _behind(basis) for line in wrap(written(text, style), width)]


def noted(text: str, basis: Basis, width: int, style: Style) -> str:
    """Return an answer that ends without remarks, with all of them behind it where the reader asked for them."""
    if not style.all_notes:
        return text
    lines = basis_lines(basis, width, style) or ["", *wrap(NOTHING_BEHIND(), width)]
    return "\n".join([text, *lines])


def _first(texts: Sequence[str], most: int, more: Sentence) -> list[str]:
    rest = len(texts) - most
    return [*texts[:most], more(count=rest)] if rest > 0 else list(texts)


def style_of(us_units: bool, style: Style | None) -> Style:
    """Return the style asked for, or the one the house file asks for."""
    return style if style is not None else Style(us_units=us_units)
