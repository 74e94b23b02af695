"""What every answer shares when it is written: the common JSON keys, careful rounding, the closing remarks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import Any

from tenhour import __version__
from tenhour.model.results import Basis
from tenhour.report.terminal import notes
from tenhour.report.units import Style, localise


def rounded(value: float | None, digits: int) -> float | None:
    """Round for output; None and NaN become null, minus zero becomes zero."""
    if value is None or math.isnan(value):
        return None
    return round(float(value), digits) + 0.0


def iso(on: date | None) -> str | None:
    """Date as JSON writes it; None becomes null."""
    return None if on is None else on.isoformat()


def basis_json(command: str, basis: Basis) -> dict[str, Any]:
    """Return the keys common to all answers."""
    return {
        "tenhour": __version__,
        "command": command,
        "inputs": dict(basis.inputs),
        "assumptions": list(basis.assumptions),
        "warnings": list(basis.warnings),
        "cautions": list(basis.cautions),
    }


def told(title: str, texts: Sequence[str], width: int, style: Style) -> list[str]:
    """Return a titled list of remarks in the reader's units and dates; nothing when empty."""
    return notes(title, [localise(text, style) for text in texts], width)


def basis_lines(basis: Basis, width: int, style: Style, calibration: str = "") -> list[str]:
    """Return the closing remarks of an answer: warnings, what was assumed, cautions."""
    assumed = [*([calibration] if calibration else []), *basis.assumptions]
    lines = told("Warnings", basis.warnings, width, style) + told("Assumed", assumed, width, style)
    return lines + told("Cautions", basis.cautions, width, style)


def style_of(us_units: bool, style: Style | None) -> Style:
    """Return the style asked for, or the one the house file asks for."""
    return style if style is not None else Style(us_units=us_units)
