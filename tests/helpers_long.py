"""The short form of the tests, which everybody runs, and the long one: ``TENHOUR_LONG=1 pytest``."""

from __future__ import annotations

import os
from typing import TypeVar

T = TypeVar("T")

LONG = os.environ.get("TENHOUR_LONG") == "1"


def many(short: T, long: T) -> T:
    """How many cases a test goes through, or which."""
    return long if LONG else short
