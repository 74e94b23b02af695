"""What every answer shares when it is written: the closing remarks."""

from __future__ import annotations

from collections.abc import Sequence

from tenhour.model.results import Basis
from tenhour.report.terminal import notes
from tenhour.words.style import Style
from tenhour.words.text import written


def told(title: str, texts: Sequence[str], width: int, style: Style) -> list[str]:
    """Return a titled list of remarks in the reader's units and dates; nothing when empty."""
    return notes(title, [written(text, style) for text in texts], width)


def basis_lines(basis: Basis, width: int, style: Style, calibration: str = "") -> list[str]:
    """Return the closing remarks of an answer: warnings, what was assumed, cautions."""
    assumed = [*([calibration] if calibration else []), *basis.assumptions]
    lines = told("Warnings", basis.warnings, width, style) + told("Assumed", assumed, width, style)
    return lines + told("Cautions", basis.cautions, width, style)


def style_of(us_units: bool, style: Style | None) -> Style:
    """Return the style asked for, or the one the house file asks for."""
    return style if style is not None else Style(us_units=us_units)
