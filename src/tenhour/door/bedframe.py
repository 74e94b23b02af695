"""A bed as a data frame; apart from the beds, because a kind of data frame cannot be told without its library."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

import numpy as np
import pandas as pd

if TYPE_CHECKING:
    from tenhour.year.year import Year as HouseYear


class BedYear(pd.DataFrame):
    """One bed by day of the generic year, and its light on a grid; what is cut out of it is a plain data frame."""

    _metadata: ClassVar[list[str]] = ["_grid"]
    _grid: pd.DataFrame

    @property
    def _constructor(self) -> Callable[..., pd.DataFrame]:
        return pd.DataFrame

    @property
    def grid(self) -> pd.DataFrame:
        """Mean light of each month at each point: ``month``, ``x_m``, ``y_m`` [m, of the house], ``dli_mol_m2_d``."""
        return self._grid.copy()


def bed_frame(year: HouseYear, name: str) -> BedYear:
    """One bed of a year, by name."""
    from tenhour.plan.dates import day_columns, month_means
    from tenhour.year.outside.sunlight import BRIGHT, DULL

    world = year.world
    number = world.bed_names.index(name)
    bed = world.beds[number]
    frame = BedYear(
        {
            **day_columns(),
            "dli_mol_m2_d": bed.dli_mol_m2_d,
            "dull_dli_mol_m2_d": bed.class_dli_mol_m2_d[:, DULL],
            "bright_dli_mol_m2_d": bed.class_dli_mol_m2_d[:, BRIGHT],
            "beam_dli_mol_m2_d": bed.beam_dli_mol_m2_d,
            "sky_dli_mol_m2_d": bed.sky_dli_mol_m2_d,
            "bounced_dli_mol_m2_d": bed.bounced_dli_mol_m2_d,
            "lit_h": world.lit_h[number],
            "day_degc": world.air.day_degc[number],
            "night_degc": world.air.night_degc[number],
        }
    )
    months = month_means(bed.point_dli_mol_m2_d.T)
    points = len(bed.x_m)
    frame._grid = pd.DataFrame(
        {
            "month": np.repeat(np.arange(1, 13), points),
            "x_m": np.tile(bed.x_m, 12),
            "y_m": np.tile(bed.y_m, 12),
            "dli_mol_m2_d": months.T.ravel(),
        }
    )
    return frame
