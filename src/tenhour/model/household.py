"""Who is fed, with what, and what they may spend on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from tenhour.errors import OutOfRange
from tenhour.model.checks import check_between

WISHES: Final = ("salad", "cooked", "herbs", "roots")
"""Kinds of food that a meal is made of."""
ANIMALS: Final = ("hen", "rabbit")
SURETY_MOST: Final = 0.95
"""Share of seasons a plan is made for at most: beyond it the seasons drawn say little. Judgement."""


@dataclass(frozen=True)
class Animals:
    """Animals that get greens beside their feed; never a ration."""

    kind: str
    count: int
    greens_g_d: float
    """Of each animal."""

    def __post_init__(self) -> None:
        if self.kind not in ANIMALS:
            raise OutOfRange(f"animal: {self.kind!r} is none of {', '.join(ANIMALS)}")


@dataclass(frozen=True)
class Household:
    """People, their meals and their means; what was not given stands at its default and is told as assumed."""

    people_count: int
    start: date | None = None
    """First day something should be on the table; None is the first of October."""
    end: date | None = None
    """None is the last of May."""
    meals_per_week: Mapping[str, float] = field(default_factory=dict)
    """Of each kind, a week and person."""
    portions_g: Mapping[str, float] = field(default_factory=dict)
    """Own portions, by kind; elsewhere the crop's serving."""
    likes: tuple[str, ...] = ()
    """Keys of crops, the best liked first; all that suit if empty."""
    leave_out: tuple[str, ...] = ()
    surety_frac: float = 0.75
    """Share of seasons in which each sowing is to be in time."""
    work_h_week: float | None = None
    hour_currency: float | None = None
    most_sowings_count: int | None = None
    may_buy: tuple[str, ...] = ()
    budget_currency: float | None = None
    rest_weeks_count: int = 0
    """Weeks for which no crop of a family follows another of it on the same ground."""
    kilo_currency: float | None = None
    """What a kilo of greens costs in the shop."""
    currency: str = ""
    animals: tuple[Animals, ...] = ()
    assumed: bool = False
    """Whether nobody told: sensible wishes stand in."""
    meals_assumed: bool = False
    """Whether only the meals were not told."""

    def __post_init__(self) -> None:
        check_between("surety", self.surety_frac, 0.5, SURETY_MOST)
        for kind in self.meals_per_week:
            if kind not in WISHES:
                raise OutOfRange(f"meals: {kind!r} is none of {', '.join(WISHES)}")
