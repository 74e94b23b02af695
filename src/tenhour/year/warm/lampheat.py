"""Heat of lamps that takes the place of heating: the house through one winter with and without them, by the hour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import balance
from tenhour.plan.dates import DAYS
from tenhour.sky.hours import Hours
from tenhour.year.warm.helps import between
from tenhour.year.warm.warmth import DAY_H, HALF_YEAR_D, W_PER_KW, Winters

Array = NDArray[np.float64]

SETTLE_D: Final = 10
"""Days run before the first lamp, so that ground and walls find their warmth, and after the last. Derived."""


def middle_winter(hours: Hours, darkest_day: int) -> Hours:
    """The one of some winters whose dark half is as warm as that of the median one; it follows itself.

    Parameters: hours; darkest_day, day of the generic year.
    """
    far = np.abs((np.arange(DAYS) - darkest_day + HALF_YEAR_D) % DAYS - HALF_YEAR_D)
    mean = hours.temp_degc[:, far <= DAYS // 4].mean(axis=(1, 2))
    middle = int(np.argsort(mean)[(len(mean) - 1) // 2])

    def only(values: NDArray[Any]) -> NDArray[Any]:
        return values[middle : middle + 1]

    return Hours(*(only(part) for part in hours))


def heating_spared_kwh(winters: Winters, lamps_w: Sequence[Array]) -> list[float]:
    """Heat that the house need not be given for each of several ways to light it, mean of winters [kWh].

    Parameters: winters, of the house without those lamps; lamps_w, their heat that stays by day of the year and hour of
        the sun's clock [365, 24], on the days that are counted alone.
    Method: the hourly balance from before the first lamp day to after the last, all ways side by side. 0 where nothing
        is heated.
    """
    each = [one[winters.doy] for one in lamps_w]
    lit = np.flatnonzero(np.any([one.any(axis=1) for one in each], axis=0)) if each else np.zeros(0, dtype=np.intp)
    if not lit.size or not np.isfinite(winters.drive.set_degc).any():
        return [0.0] * len(each)
    first, last = max(int(lit[0]) - SETTLE_D, 0), min(int(lit[-1]) + 1 + SETTLE_D, DAYS)
    span = slice(first * DAY_H, last * DAY_H)
    plain = between(winters.drive, span.start, span.stop)
    gain = np.asarray(plain.gain_w)
    houses = [(winters.heat.build, plain)]
    houses += [(winters.heat.build, replace(plain, gain_w=gain + one.reshape(-1, 1)[span])) for one in each]
    given = [float(run.heat_w.sum(axis=0).mean()) / W_PER_KW for run in balance.run_together(houses)]
    return [max(given[0] - one, 0.0) for one in given[1:]]
