"""What every grower is told, one line each, and when it applies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

MOST_LINES: Final = 2
"""Lines in one answer."""
HALF_YEAR: Final = 6
MONTHS: Final = 12


@dataclass(frozen=True)
class GrowerLine:
    """One line with the conditions that must all hold; an empty one always does."""

    key: str
    text: str
    answers: tuple[str, ...]
    months: tuple[int, ...] = ()
    ways: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    """Beginnings of Latin names."""
    night_below_degc: float | None = None
    dli_below_mol_m2_d: float | None = None
    harvest: bool = False
    raised: bool = False


@dataclass(frozen=True)
class GrowerFacts:
    """What an answer is about.

    answer, its command; on, its day; south, whether the house is south of the equator; ways and latins, of its crops;
    night_degc, coldest ordinary night, and dli_mol_m2_d, of the bed, None if not known; harvest, whether something is
    ready; raised, whether something is raised elsewhere and set out.
    """

    answer: str
    on: date
    south: bool = False
    ways: tuple[str, ...] = ()
    latins: tuple[str, ...] = ()
    night_degc: float | None = None
    dli_mol_m2_d: float | None = None
    harvest: bool = False
    raised: bool = False


def lines_for(facts: GrowerFacts, lines: Sequence[GrowerLine]) -> tuple[str, ...]:
    """At most two lines that apply, the more particular first; among equals those of the week.

    Parameters: facts; lines, of the table.
    """
    week = facts.on.isocalendar().week
    fitting = [line for line in lines if applies(line, facts)]
    places = {line.key: (place + week) % max(len(fitting), 1) for place, line in enumerate(fitting)}
    fitting.sort(key=lambda line: (-_conditions(line), places[line.key]))
    return tuple(line.text for line in fitting[:MOST_LINES])


def applies(line: GrowerLine, facts: GrowerFacts) -> bool:
    """Whether every condition of a line holds."""
    month = (facts.on.month - 1 + (HALF_YEAR if facts.south else 0)) % MONTHS + 1
    return all(
        (
            facts.answer in line.answers,
            not line.months or month in line.months,
            not line.ways or any(way in line.ways for way in facts.ways),
            not line.kinds or any(latin.startswith(line.kinds) for latin in facts.latins),
            _below(facts.night_degc, line.night_below_degc),
            _below(facts.dli_mol_m2_d, line.dli_below_mol_m2_d),
            facts.harvest or not line.harvest,
            facts.raised or not line.raised,
        )
    )


def _below(value: float | None, limit: float | None) -> bool:
    return limit is None or (value is not None and value < limit)


def _conditions(line: GrowerLine) -> int:
    """How particular a line is."""
    some = (line.months, line.ways, line.kinds, line.night_below_degc, line.dli_below_mol_m2_d)
    return sum(part not in ((), None) for part in some) + 2 * line.harvest + 2 * line.raised
