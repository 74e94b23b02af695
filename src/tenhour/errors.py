"""The few errors a user can cause. Anything else is a bug and shows its traceback."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

LONGEST_FOUND: Final = 1000
"""Beyond this, what was found is somebody's whole file, and no help. Judgement."""

LONGEST_FILE: Final = 500
"""Of a longer path the end is shown, which tells it from others. Judgement."""


JOINERS: Final = "\u200c\u200d"
"""Signs without a shape that join or part the letters of some scripts, and the parts of some emoji: harmless."""
ARGUMENT: Final = "argument"
"""Stands for the file of a problem that lies in an argument of a call, which the problem's key names."""


class TenhourError(Exception):
    """Base of every error that the command line turns into a clear line."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input: where, what was found, what is allowed, what to do."""

    file: str
    key: str
    found: str
    allowed: str
    do: str = ""

    def line(self) -> str:
        """Return the problem as the one line a user reads."""
        file = self.file if len(self.file) <= LONGEST_FILE else f"…{self.file[-LONGEST_FILE:]}"
        where = ": ".join(part for part in (file, self.key) if part and part != ARGUMENT)
        found = self.found if len(self.found) <= LONGEST_FOUND else f"{self.found[:LONGEST_FOUND]}…"
        said = f"found {found}; allowed: {self.allowed}" if self.allowed else found
        text = f"{where}: {said}{'' if said.endswith(('?', '!', '.')) else '.'}"
        return one_line(f"{text} {self.do}").rstrip()


def one_line(text: str) -> str:
    """Return text on one line, with anything a terminal would act upon written out."""
    if text.isprintable():
        return text
    return "".join(
        char
        if char.isprintable() or char in JOINERS
        else " "
        if char.isspace()
        else char.encode("unicode_escape").decode()
        for char in text
    )


class FileProblem(TenhourError):
    """Bad input: every problem found, all at once."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.line() for problem in self.problems))


class OutOfRange(TenhourError):
    """A value lies outside the published range of a relation or of the data."""


class NoAnswer(TenhourError):
    """Nothing can be answered: what was asked, why not, and the nearest thing that can be."""
