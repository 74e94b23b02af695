"""The beds of a year as data frames of days, each with its light on a grid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

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
