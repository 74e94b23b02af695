"""The short form of the tests, which everybody runs, and the long one: ``TENHOUR_LONG=1 pytest``."""

from __future__ import annotations

import os

LONG = os.environ.get("TENHOUR_LONG") == "1"


def many(short: int, long: int) -> int:
    """How many cases a test goes through."""
    return long if LONG else short
