"""Which known words a mistyped one may have meant, quickly among very many."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterable
from typing import Final

CLOSE_RATIO: Final = 0.72
"""Least similarity worth suggesting (1 is equal): judgement."""
NEXT_BEST: Final = 0.08
"""How much less similar than the best a second suggestion may be: judgement."""
LENGTHS_APART: Final = 2
LETTERS_APART: Final = 4
"""Letters that two words may not share (two exchanged letters or four added ones): judgement."""


def closest(word: str, known: Iterable[str], most: int) -> list[str]:
    """The most similar known words, best first.

    >>> closest("tromsoe", ["tromso", "tromper", "oslo"], 3)
    ['tromso']
    """
    letters = Counter(word)
    near = [
        name for name in known if abs(len(name) - len(word)) <= LENGTHS_APART and _apart(letters, name) <= LETTERS_APART
    ]
    match = difflib.SequenceMatcher(autojunk=False)
    match.set_seq2(word)
    scored = []
    for name in near:
        match.set_seq1(name)
        if match.quick_ratio() >= CLOSE_RATIO and (ratio := match.ratio()) >= CLOSE_RATIO:
            scored.append((-ratio, name))
    best = min((score for score, _ in scored), default=0.0)
    return [name for score, name in sorted(scored)[:most] if score <= best + NEXT_BEST]


def _apart(letters: Counter[str], name: str) -> int:
    other = Counter(name)
    return sum(((letters - other) + (other - letters)).values())
