"""Strips of 52 weeks: their marks, what the marks mean, and the months over them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from typing import Final, Protocol

from tenhour.model.results import Verdict
from tenhour.report.terminal import wrap
from tenhour.words.style import MONTH_NAMES

STATE_MARKS: Final[dict[Verdict, str]] = {
    "sow": "█", "slow": "▒", "stand-small": "▓", "cut-young": "░", "raise": "+", "wait": "·", "needs-lamps": "*",
    "set-out-grown": "=", "too-hot": "^", "too-cold": "×", "not-here": "-",
}  # fmt: skip
"""The verdict of a sowing of that week: the lighter the mark, the less it gives."""
STATE_WORDS: Final[dict[Verdict, str]] = {
    "sow": "good", "stand-small": "stands small through the dark", "slow": "slow", "cut-young": "cut young",
    "raise": "raise it elsewhere", "wait": "wait", "set-out-grown": "should stand by now",
    "needs-lamps": "needs lamps", "too-hot": "too hot", "too-cold": "too cold", "not-here": "not here",
}  # fmt: skip
NARROW_NAME_WIDTH: Final = 27
"""What 52 weeks leave of 80 columns."""


def legend_lines(width: int, seen: Collection[str] | None = None) -> list[str]:
    """What the marks mean; only those that are seen, if that is told."""
    said = [f"{STATE_MARKS[state]} {word}" for state, word in STATE_WORDS.items() if seen is None or state in seen]
    return wrap(f"A mark per week: {', '.join(said)}.", width)


class Week(Protocol):
    """A week by its first day."""

    @property
    def start(self) -> date:
        """Its first day."""


def month_letters(weeks: Sequence[Week]) -> str:
    """Names of months over the weeks in which they begin, where they have room."""
    begins = [i for i, week in enumerate(weeks) if i == 0 or week.start.month != weeks[i - 1].start.month]
    marks = [" "] * len(weeks)
    for i, end in zip(begins, [*begins[1:], len(weeks)], strict=True):
        name = MONTH_NAMES[weeks[i].start.month - 1]
        if i + len(name) <= end:
            marks[i : i + len(name)] = name
    return "".join(marks)
