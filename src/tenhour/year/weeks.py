"""All crops on all beds by week of sowing: ranges of days, what a sowing is worth and what threatens it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.model.season import SowFlag, SowState
from tenhour.plan import season as plan
from tenhour.plan.ranges import at_share, sorted_draws
from tenhour.year.flagging import Threats
from tenhour.year.sow import Table

Array = NDArray[np.float64]

WEEKS: Final = 52
LOW, HIGH = 0.1, 0.9
"""A range of dates runs from the first to the last tenth of the draws: by definition of the answers."""


@dataclass(frozen=True)
class YearWeeks:
    """Arrays [C, B, 53] by week of sowing, the last a year after the first; NaN where never."""

    days_low: Array
    days: Array
    days_high: Array
    waiting_cost_d: Array
    stretch_score: Array
    code: NDArray[np.int8]
    """Places in ``plan.season.STATES``."""
    threats: Threats

    def states(self, crop: int, bed: int) -> list[SowState]:
        """What the sowing of each week is worth."""
        return [plan.STATES[code] for code in self.code[crop, bed].tolist()]

    def flags(self, crop: int, bed: int) -> list[tuple[SowFlag, ...]]:
        """What threatens the sowing of each week beside slow growth."""
        out: list[tuple[SowFlag, ...]] = [()] * self.code.shape[-1]
        for name, marks in self.threats.named().items():
            for week in np.flatnonzero(marks[crop, bed]).tolist():
                out[week] = (*out[week], name)
        return out


def weeks_of(table: Table) -> YearWeeks:
    """Everything that depends on the week of sowing alone."""
    ordered = sorted_draws(table.year.harvest_d)
    threats = table.threats
    facts = plan.YearFacts(
        days=table.days,
        emergence_d=table.year.emergence_d,
        stretch_score=table.year.stretch_score,
        harmed=threats.harmed,
        too_warm=table.too_warm[:, :, table.sow_doy],
        reserves=np.array([crop.grows_by_reserves for crop in table.crops], dtype=np.bool_),
    )
    return YearWeeks(
        days_low=at_share(ordered, LOW),
        days=table.days,
        days_high=at_share(ordered, HIGH),
        waiting_cost_d=plan.waiting_cost_d(table.days),
        stretch_score=table.year.stretch_score,
        code=plan.state_codes(facts),
        threats=threats,
    )


def wholes(values: Array) -> list[int | None]:
    """Whole days, or None where never."""
    return [round(value) if math.isfinite(value) else None for value in values.tolist()]


def numbers(values: Array) -> list[float | None]:
    """Plain numbers, or None where unknown."""
    return [value if math.isfinite(value) else None for value in values.tolist()]


def whole(value: float) -> int | None:
    """Whole days, or None where never."""
    return round(float(value)) if np.isfinite(value) else None
