"""What a grower's own log has taught of growth and yield, as the house file keeps it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from tenhour.errors import OutOfRange

NINETY_SPAN: Final = 2.0 * 1.6449
"""Width of a 90 % interval in standard deviations."""


@dataclass(frozen=True)
class Learned:
    """A factor with its 90 % interval, and the sowings or weighings it rests on."""

    value_factor: float
    low_factor: float
    high_factor: float
    rows_count: int = 0

    def __post_init__(self) -> None:
        if not 0.0 < self.low_factor <= self.value_factor <= self.high_factor:
            raise OutOfRange(f"{self.value_factor}: not between {self.low_factor} and {self.high_factor}")

    @property
    def sd_frac(self) -> float:
        """Standard deviation of its logarithm."""
        return math.log(self.high_factor / self.low_factor) / NINETY_SPAN


@dataclass(frozen=True)
class Lessons:
    """Growth and yield, over all crops and by crop key; what was not learned is None or not there."""

    kept: date | None = None
    since: date | None = None
    """Rows of the log before this day are of another house and teach nothing."""
    growth: Learned | None = None
    weight: Learned | None = None
    growth_of: Mapping[str, Learned] = field(default_factory=dict)
    weight_of: Mapping[str, Learned] = field(default_factory=dict)
    usual_sd_frac: float = 0.156
    """Spread of growth between growers and varieties without a log. Judgement."""
    least_spread_factor: float = 0.5
    """The drawn spread never falls below this share of the usual. Judgement."""

    @property
    def empty(self) -> bool:
        """Whether nothing was learned."""
        return self.growth is None and self.weight is None


@dataclass(frozen=True)
class Own:
    """How a crop grows for this grower: 1 is as the table has it."""

    growth_factor: float = 1.0
    """On the ceiling of growth and on leaf area."""
    spread_factor: float = 1.0
    """On the spread of both between draws."""
    yield_factor: float = 1.0


def own_of(lessons: Lessons, crop: str) -> Own:
    """Return how a crop, by its key, grows by what was learned."""
    growth = lessons.growth_of.get(crop, lessons.growth)
    weight = lessons.weight_of.get(crop, lessons.weight)
    narrow = 1.0
    if growth is not None:
        narrow = min(max(growth.sd_frac / lessons.usual_sd_frac, lessons.least_spread_factor), 1.0)
    return Own(
        growth_factor=1.0 if growth is None else growth.value_factor,
        spread_factor=narrow,
        yield_factor=1.0 if weight is None else weight.value_factor,
    )
