"""A place found by name: where it is, whose clock it keeps."""

from __future__ import annotations

from dataclasses import dataclass

from tenhour.model.checks import check_between


@dataclass(frozen=True)
class Place:
    """One populated place of the packaged gazetteer."""

    name: str
    region: str
    country: str
    country_code: str
    latitude_deg: float
    longitude_deg: float
    timezone: str
    population_index: int = 0
    """Class of population, two steps to a power of ten; only for ranking."""
    region_code: str = ""

    def __post_init__(self) -> None:
        check_between("latitude_deg", self.latitude_deg, -90.0, 90.0)
        check_between("longitude_deg", self.longitude_deg, -180.0, 180.0)

    @property
    def label(self) -> str:
        """Name, region and country, as a user may type it."""
        return ", ".join(part for part in (self.name, self.region, self.country) if part)


@dataclass(frozen=True)
class Zone:
    """The time zone of a pair of coordinates and how it was found."""

    name: str
    note: str
    distance_km: float | None
    """To the place whose zone was taken; None where a fixed offset by longitude stands in."""


@dataclass(frozen=True)
class Elevation:
    """Height of the ground from a coarse map, or None with the reason to ask the user."""

    elevation_m: float | None
    estimate_m: float
    """What the map says even where it is not to be trusted."""
    note: str
