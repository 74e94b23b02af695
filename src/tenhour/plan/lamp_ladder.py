"""How far up the ladder of light it is worth climbing: what each step costs for what it adds."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.plan.dates import DAYS

Array = NDArray[np.float64]

KNEE_RATIO: Final = 2.0
"""A step is worth taking while its kilo costs less than this many times that of the cheapest step. Judgement."""
NOTHING: Final = 1e-9


class Step(NamedTuple):
    """One step up in light: light reached on the mean day, electricity and harvest at it, and what the step adds."""

    dli_mol_m2_d: float
    energy_kwh: float
    harvest_count: float
    """Kilograms, or raisings of plants."""
    each_kwh: float
    """Electricity for one more of those by this step; infinite where it adds none."""


def harvest_in(days_d: Array, each: Array, first: int, count_d: int) -> float:
    """Harvest of a bed that is sown again whenever it is cleared, within some days.

    Parameters: days_d [365], days to harvest by day of sowing, NaN where never; each [365], what one harvest gives;
        first, day of the generic year on which sowing begins; count_d, days counted.
    Returns: the sum of the harvests; the last stands in the bed unripe and counts for the share of its days gone by.
    Method: within a day straight between the days on either side, so that no step in light is lost to whole days.
    """
    total, day = 0.0, 0.0
    while day < count_d - NOTHING:
        takes, gives = _between_days(days_d, first + day), _between_days(each, first + day)
        if not (np.isfinite(takes) and np.isfinite(gives)):
            break
        takes = max(takes, 1.0)
        total += min((count_d - day) / takes, 1.0) * gives
        day += takes
    return total


def _between_days(values: Array, day: float) -> float:
    """Value at a moment of the year, straight between its days; that of the earlier where the later has none."""
    before, share = int(day // 1.0), day % 1.0
    early, late = float(values[before % DAYS]), float(values[(before + 1) % DAYS])
    return early + (late - early) * share if np.isfinite(late) else early


def raised_in(days_d: Array, out_d: Array, each: Array, first: int, count_d: int) -> tuple[float, int]:
    """Harvest within some days of a bed that is filled with plants raised elsewhere, and the days of raising.

    Parameters: days_d [365], days from sowing to harvest by day of sowing, NaN where never; out_d [365], to setting
        out; each [365], what one harvest gives; first, count_d as of :func:`harvest_in`.
    Returns: (sum of the harvests, days on which plants are raised).
    Method: the next plants are sown so early that they can be set out when the bed is cleared; an unripe crop counts
        for the share of its days gone by, as in a bed that is sown.
    """
    total, raising, day = 0.0, 0, 0
    while day < count_d:
        sown = (first + day) % DAYS
        takes, out = float(days_d[sown]), float(out_d[sown])
        if not (np.isfinite(takes) and np.isfinite(out) and np.isfinite(each[sown])):
            break
        total += min((count_d - day) / max(takes, 1.0), 1.0) * float(each[sown])
        raising += min(round(out), count_d - day)
        day = max(day + round(takes) - round(out), day + 1)
    return total, raising


def steps_of(dli_mol_m2_d: Array, energy_kwh: Array, harvest: Array) -> tuple[Step, ...]:
    """Steps between levels of light, from the unlit bed up.

    Parameters: dli_mol_m2_d [L], rising; energy_kwh [L], 0 for the first, unlit one; harvest [L].
    Returns: L - 1 steps. Harvest is taken never to fall with light: the end of the days counted makes levels uneven.
    """
    rising = np.maximum.accumulate(harvest)
    found = []
    for n in range(1, len(dli_mol_m2_d)):
        more, power = float(rising[n] - rising[n - 1]), float(energy_kwh[n] - energy_kwh[n - 1])
        each = power / more if more > NOTHING else np.inf
        found.append(Step(float(dli_mol_m2_d[n]), float(energy_kwh[n]), float(harvest[n]), each))
    return tuple(found)


def cheapest_kwh(steps: tuple[Step, ...]) -> float:
    """Electricity for one more unit by the cheapest step [kWh]; infinite where no step adds any."""
    return min((step.each_kwh for step in steps), default=float("inf"))


def knee_dli_mol_m2_d(steps: tuple[Step, ...], most_kwh: float = float("inf")) -> float | None:
    """Light of the highest step whose next unit costs less than twice that of the cheapest step; None without any.

    Parameters: steps, rising in light; most_kwh, electricity that a unit is worth: where even the cheapest step takes
        more, twice its cost is no measure, and there is no knee.
    Method: from the cheapest step on, as long as the next one stays below the limit (docs/method/lamps.md).
    """
    costs = np.array([step.each_kwh for step in steps])
    least = cheapest_kwh(steps)
    if not np.isfinite(least) or least > most_kwh:
        return None
    cheapest = int(np.argmin(costs))
    last = cheapest
    while last + 1 < len(costs) and costs[last + 1] < KNEE_RATIO * costs[cheapest]:
        last += 1
    return steps[last].dli_mol_m2_d
