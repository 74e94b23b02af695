"""Dates as people say them, for sentences not yet made of typed gaps."""

from __future__ import annotations

from datetime import date

from tenhour.words.style import MONTH_NAMES


def day_text(on: date | None) -> str:
    """Write a date as people say it: 5 Mar 2027."""
    return "never" if on is None else f"{on.day} {MONTH_NAMES[on.month - 1]} {on.year}"
