"""What every answer shares when it is written: the common JSON keys and careful rounding."""

from __future__ import annotations

import math
from typing import Any

from tenhour import __version__
from tenhour.model.results import Basis


def rounded(value: float | None, digits: int) -> float | None:
    """Round for output; None and NaN become null, minus zero becomes zero."""
    if value is None or math.isnan(value):
        return None
    return round(float(value), digits) + 0.0


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
