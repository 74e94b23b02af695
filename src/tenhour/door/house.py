"""Houses for Python: read from a file, a text or a dict, and moved about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tenhour.door.answer import Answer
from tenhour.door.arguments import number_of, wrong
from tenhour.errors import FileProblem

if TYPE_CHECKING:
    from tenhour.model.house import House as HouseModel


class House:
    """A house as a file describes it: where it stands, its walls and panes, its beds."""

    def __init__(self, described: HouseModel) -> None:
        """Hold a house that was read; :func:`read_house` and :func:`demo_house` make one."""
        self.model = described

    @property
    def name(self) -> str:
        """What the file calls it."""
        return self.model.name

    @property
    def bed_names(self) -> tuple[str, ...]:
        """Names of its beds, in the order of the file."""
        return tuple(bed.name for bed in self.model.beds)

    def at(self, latitude_deg: float, longitude_deg: float, elevation_m: float | None = None) -> House:
        """The same house in another place.

        Parameters: latitude_deg, -90 to 90, south negative; longitude_deg, -180 to 180, west negative [°];
        elevation_m, metres above the sea, looked up on a coarse map if None.
        Returns: a new house; skyline, ground and heating move along, a weather file or own means do not.
        Errors: FileProblem for a number out of bounds.
        """
        from tenhour.files.house.read import house_at

        latitude_deg = number_of("latitude_deg", latitude_deg, -90.0, 90.0)
        longitude_deg = number_of("longitude_deg", longitude_deg, -180.0, 180.0)
        if elevation_m is not None:
            elevation_m = number_of("elevation_m", elevation_m, -450.0, 6000.0)
        return House(house_at(self.model, latitude_deg, longitude_deg, elevation_m))

    def check(self) -> Answer:
        """The house as it was understood: ``faces`` and ``beds`` as data frames.

        Errors: FileProblem for things that stand outside the room or in each other.
        """
        from tenhour.model.described import describe
        from tenhour.report.check import check_text
        from tenhour.year.inside.scene import room_problems

        problems = room_problems(self.model)
        if problems:
            raise FileProblem(problems)
        described = describe(self.model)
        return Answer(described, lambda width, style: check_text(described, width, style), tuple, self.model.us_units)

    def __str__(self) -> str:
        return str(self.check())

    def __repr__(self) -> str:
        site = self.model.site
        return f"<House {self.name!r} at {site.latitude_deg:g}, {site.longitude_deg:g}: {', '.join(self.bed_names)}>"


def read_house(source: str | Path | Mapping[str, Any]) -> House:
    """Read a house.

    Parameters: source, the path of a house file; or its text, if it has a newline; or its tables as a dict.
    Returns: the house; a weather file that it names is looked for beside the file, or in the working folder.
    Errors: FileProblem with every problem found, one line each.
    """
    from tenhour.files.house.read import house_from_tables, house_from_text, load_house

    if isinstance(source, Mapping):
        return House(replace(house_from_tables(source, "house"), path=""))
    if isinstance(source, str) and "\n" in source:
        return House(replace(house_from_text(source, "house"), path=""))
    if not isinstance(source, str | Path):
        raise wrong("source", source, "a path, the text of a house file, or a dict")
    return House(load_house(source))


def demo_house() -> House:
    """Return the built-in house, an invented one with four beds."""
    from tenhour.files.house.read import demo_house as built_in

    return House(built_in())
