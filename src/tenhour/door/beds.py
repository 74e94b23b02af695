"""The beds of a year as data frames of days, each with its light on a grid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from tenhour.door.arguments import bed_of

if TYPE_CHECKING:
    from tenhour.door.bedframe import BedYear
    from tenhour.year.year import Year as HouseYear


class Beds(Mapping[str, "BedYear"]):
    """The beds of a year by name: each a data frame of 365 days with the light on a grid beside it."""

    def __init__(self, year: HouseYear) -> None:
        """Hold a year; :attr:`Year.beds` makes one."""
        self._year = year

    def __getitem__(self, name: str) -> BedYear:
        from tenhour.door.bedframe import bed_frame

        return bed_frame(self._year, bed_of(self._year.house, "bed", name))

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


def calendar() -> dict[str, Any]:
    """Day, month and day of the month of each day of the generic year, as columns."""
    from tenhour.units import GENERIC_YEAR

    days = np.datetime64(f"{GENERIC_YEAR}-01-01") + np.arange(365)
    months = days.astype("datetime64[M]")
    day = (days - months).astype(np.int32) + np.int32(1)
    return {"day_doy": np.arange(1, 366), "month": (months.astype(np.int32) % 12 + 1).astype(np.int32), "day": day}
