"""The beds of a year as data frames of days, each with its light on a grid."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np
import pandas as pd

from tenhour.door.arguments import bed_of

if TYPE_CHECKING:
    from tenhour.year.year import Year as HouseYear


class Beds(Mapping[str, "BedYear"]):
    """The beds of a year by name: each a data frame of 365 days with the light on a grid beside it."""

    def __init__(self, year: HouseYear) -> None:
        """Hold a year; :attr:`Year.beds` makes one."""
        self._year = year

    def __getitem__(self, name: str) -> BedYear:
        return _bed_frame(self._year, bed_of(self._year.house, "bed", name))

    def __iter__(self) -> Iterator[str]:
        return (bed.name for bed in self._year.house.beds)

    def __len__(self) -> int:
        return len(self._year.house.beds)

    def __contains__(self, name: object) -> bool:
        return any(bed.name == name for bed in self._year.house.beds)

    def get(self, name: str, default: Any = None) -> Any:
        """The bed of that name, or ``default``."""
        if name in self:
            return self[name]
        return default


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


def _bed_frame(year: HouseYear, name: str) -> BedYear:
    from tenhour.plan.dates import month_means
    from tenhour.year.outside.sunlight import BRIGHT, DULL

    world = year.world
    number = world.bed_names.index(name)
    bed = world.beds[number]
    frame = BedYear(
        {
            **calendar(),
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


def calendar() -> dict[str, Any]:
    """Day, month and day of the month of each day of the generic year, as columns."""
    from tenhour.units import GENERIC_YEAR

    days = pd.date_range(f"{GENERIC_YEAR}-01-01", periods=365)
    return {"day_doy": np.arange(1, 366), "month": days.month.to_numpy(), "day": days.day.to_numpy()}
