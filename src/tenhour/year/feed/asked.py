"""What a household's plan is asked for, beside the house."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from tenhour.model.cover import Cover
from tenhour.model.crop import Crop
from tenhour.model.feed import KeptPlan
from tenhour.model.house import BedLamps
from tenhour.model.household import Household
from tenhour.model.log import LogLine
from tenhour.year.feed.helped import HungLamp

PLAN_SEED: Final = 20
SEASONS: Final = 15
"""Seasons to plan on: judgement on what growing them costs."""


STEP_BEDS: Final = 20
STEP_MOST_WEEKS: Final = 4
"""Everything is offered weekly, on more beds than each twenty a week later, on very many monthly: judgement."""


def usual_step_weeks(beds_count: int) -> int:
    """Weeks between the sowings offered where nobody asks for any; beds_count, of the house.

    Many beds alike need not all be offered weekly.
    """
    return min(max(1, -(-beds_count // STEP_BEDS)), STEP_MOST_WEEKS)


def no_lamp(_: str) -> None:
    """No lamp on offer for any bed."""


@dataclass(frozen=True)
class Asked:
    """What a plan is asked for, beside the house."""

    household: Household
    crops: Sequence[Crop]
    """All there are."""
    usual: Mapping[str, Any]
    """The household's data."""
    today: date
    step_weeks: int | None = None
    """Weeks between the sowings offered; None for what suits the number of beds."""
    log: Sequence[LogLine] = ()
    kept: KeptPlan | None = None
    fleece: Cover | None = None
    """A cover that could be laid over the beds by night."""
    hung: Callable[[str], HungLamp | None] = no_lamp
    """The lamp that could hang over a bed, by name; sized when first asked."""
    bright: Callable[[str], BedLamps | None] = no_lamp
    """All the light that crops want of a lamp over that bed, whatever it takes; None where it wants none."""
