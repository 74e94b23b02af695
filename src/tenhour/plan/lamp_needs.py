"""What several crops under one lamp ask of it together, and where they disagree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.model.lamp import LampNeed, LampRequest
from tenhour.words import lamps as words
from tenhour.words.text import listed

USUAL_H: Final = 16.0
"""Lamp hours by default: long and dim beats short and bright (Elkins & van Iersel 2020), and it is usual practice."""
BEFORE_BOLTING_H: Final = 0.5
"""How far the day stays below the length that makes a crop bolt or bulb. Judgement."""
SAME_LIMIT_H: Final = 1.0
"""A longest day this near to (or beyond) the day that makes a crop bolt or bulb is that limit again. Judgement."""
DAY_H: Final = 24.0
WASTE_RATIO: Final = 1.3
"""A crop that gets this much more than it asks for is named. Judgement."""


@dataclass(frozen=True)
class Demand:
    """What the lamps must do for all crops: light, hours, longest day; and what is said about it."""

    target_dli_mol_m2_d: float
    hours_h: float
    limit_h: float
    """Longest unbroken span of sun or lamps."""
    conflicts: tuple[str, ...]
    warnings: tuple[str, ...]
    assumptions: tuple[str, ...]


@dataclass(frozen=True)
class _Limit:
    """One reason to end the day: hours, crop, why, and whether a longer day does harm (else it changes growth)."""

    hours_h: float
    name: str
    why: str
    harm: bool


def demand(needs: Sequence[LampNeed], request: LampRequest) -> Demand:
    """Join the needs of all crops under the lamp.

    Parameters: needs, at least one; request, whose hours and target come first where given.
    Returns: Demand. The most light any crop wants, and the shortest day any crop needs kept.
    Errors: FileProblem where the hours asked for would harm a crop, with the hours it stands.
    """
    limits = [limit for need in needs for limit in _limits(need)]
    _refuse_harm(limits, request)
    limit = min(limits, key=lambda x: x.hours_h) if limits else None
    limit_h = min(limit.hours_h if limit is not None else DAY_H, DAY_H)
    asked = USUAL_H if request.hours_h is None else request.hours_h
    hours = min(asked, limit_h)
    warnings = []
    if request.hours_h is not None and limit is not None and hours < request.hours_h:
        warnings.append(
            f"{request.hours_h:g} h of lamps asked for, {hours:g} h planned: {limit.name} {limit.why} in longer days."
        )
    assumptions = []
    if request.hours_h is None:
        because = (
            f", the most {limit.name} should have ({limit.why} in longer days)" if hours < USUAL_H and limit else ""
        )
        assumptions.append(f"Lamp hours not given: up to {hours:g} h a day{because}.")
    if limit is None or limit_h > USUAL_H >= asked:
        limit_h = max(min(limit_h, USUAL_H), hours)
    target = max(need.target_dli_mol_m2_d for need in needs)
    if request.target_dli_mol_m2_d is not None:
        target = request.target_dli_mol_m2_d
    if request.target_reason:
        assumptions.append(request.target_reason)
    return Demand(
        target, hours, limit_h, _conflicts(needs, limits, target, limit_h), tuple(warnings), tuple(assumptions)
    )


def _limits(need: LampNeed) -> list[_Limit]:
    """Every reason of one crop to end the day; a longest day that only repeats its bolting or bulbing does no harm."""
    found = []
    turning = [(need.bolt_h, "runs to flower"), (need.bulb_h, "makes bulbs")]
    for turns_h, why in turning:
        if turns_h is not None:
            found.append(_Limit(turns_h - BEFORE_BOLTING_H, need.name, why, False))
    longest = need.longest_h
    if longest is not None and longest < DAY_H:
        same = [why for turns_h, why in turning if turns_h is not None and turns_h - longest <= SAME_LIMIT_H]
        why = same[0] if same else "is harmed or gains nothing"
        found.append(_Limit(longest, need.name, why, not same))
    return found


def _refuse_harm(limits: Sequence[_Limit], request: LampRequest) -> None:
    asked = request.hours_h
    harmed = [limit for limit in limits if limit.harm and asked is not None and asked > limit.hours_h]
    if harmed:
        raise FileProblem(
            [
                Problem(
                    ARGUMENT,
                    "hours_h",
                    f"{asked:g}",
                    f"up to {limit.hours_h:g} h for {limit.name}, which longer days harm or do nothing for",
                    f"Ask for {limit.hours_h:g} or less.",
                )
                for limit in harmed
            ]
        )


def _conflicts(
    needs: Sequence[LampNeed], limits: Sequence[_Limit], target_dli_mol_m2_d: float, limit_h: float
) -> tuple[str, ...]:
    """Disagreements between crops under one lamp, each in a sentence."""
    if len(needs) < 2:
        return ()
    said: list[str] = []
    for need in needs:
        most = need.most_dli_mol_m2_d
        if most is not None and target_dli_mol_m2_d > most:
            said.append(words.SUFFERS(crop=need.name, most=most, light=target_dli_mol_m2_d))
        elif target_dli_mol_m2_d > need.target_dli_mol_m2_d * WASTE_RATIO:
            said.append(words.ASKS_LESS(crop=need.name, wants=need.target_dli_mol_m2_d, light=target_dli_mol_m2_d))
    longest = {need.name: min((x.hours_h for x in limits if x.name == need.name), default=DAY_H) for need in needs}
    bound = [limit for limit in limits if limit.hours_h == min(longest.values())]
    if bound and limit_h < USUAL_H and max(longest.values()) >= USUAL_H:
        others = listed([name for name, hours in longest.items() if hours >= USUAL_H])
        first = bound[0]
        said.append(words.SHORT_DAY(crop=first.name, why=first.why, day=first.hours_h, others=others, usual=USUAL_H))
    return tuple(said)
