"""Range checks shared by the model objects; they guard against bugs, files report to the user."""

from __future__ import annotations

import math
from collections.abc import Sized

from tenhour.errors import OutOfRange


def check_between(name: str, value: float, low: float, high: float) -> None:
    """Raise :class:`OutOfRange` unless low <= value <= high (NaN never is)."""
    if math.isnan(value) or not low <= value <= high:
        raise OutOfRange(f"{name}: {value} is outside {low} to {high}")


def check_length(name: str, values: Sized, length: int) -> None:
    """Raise :class:`OutOfRange` unless there are exactly ``length`` values."""
    if len(values) != length:
        raise OutOfRange(f"{name}: {len(values)} values, not {length}")
