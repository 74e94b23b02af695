"""Where the house stands: place, horizon, ground and climate choice."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from tenhour.model.checks import check_between, check_length

GROUND_REFLECTANCE_PAR: Final = 0.07
"""Grass in PAR, snow-free (0.05-0.10): from memory (check-values 5.1)."""
SNOW_REFLECTANCE_PAR: Final = 0.9
"""Snow in PAR (0.9 or more): Grenfell et al. 1994 as quoted in textbooks, second-hand."""
DAYS: Final = 365
MONTHS: Final = 12

Monthly = tuple[float, ...]


@dataclass(frozen=True)
class Skyline:
    """Horizon height by compass azimuth, joined round the circle; empty means level."""

    azimuth_deg: tuple[float, ...] = ()
    height_deg: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        check_length("skyline height_deg", self.height_deg, len(self.azimuth_deg))
        for azimuth, height in zip(self.azimuth_deg, self.height_deg, strict=True):
            check_between("skyline azimuth", azimuth, 0.0, 360.0)
            check_between("skyline height", height, 0.0, 89.0)


@dataclass(frozen=True)
class OwnMeans:
    """Twelve monthly means a user trusts more than the normals; one of the two light rows is given."""

    ghi_mj_m2_d: Monthly | None = None
    dli_mol_m2_d: Monthly | None = None
    temp_degc: Monthly | None = None

    def __post_init__(self) -> None:
        for name in ("ghi_mj_m2_d", "dli_mol_m2_d", "temp_degc"):
            values = getattr(self, name)
            if values is not None:
                check_length(name, values, MONTHS)
        for name, top in (("ghi_mj_m2_d", 50.0), ("dli_mol_m2_d", 100.0)):
            for value in getattr(self, name) or ():
                check_between(name, value, 0.0, top)


@dataclass(frozen=True)
class Site:
    """A place on the ground with its horizon and what is known of its climate."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float = 0.0
    timezone: str = "UTC"
    place: str = ""
    skyline: Skyline = field(default_factory=Skyline)
    snow_months: tuple[int, ...] = ()
    ground_reflectance_frac: Monthly = (GROUND_REFLECTANCE_PAR,) * MONTHS
    """PAR, by month, snow included."""
    climate: Literal["normals", "file", "means"] = "normals"
    weather_path: str = ""
    weather_trust: bool = False
    """Whether the user stands for the weather file even where it differs much from the normals."""
    weather_since: str = ""
    """A file of the days of this winter so far, which grows."""
    means: OwnMeans | None = None
    last_frost_doy: int | None = None
    """Day of the year from 0 after which half of the springs still freeze in the garden."""

    def __post_init__(self) -> None:
        if self.last_frost_doy is not None:
            check_between("last_frost", self.last_frost_doy, 0, DAYS - 1)
        check_between("latitude_deg", self.latitude_deg, -90.0, 90.0)
        check_between("longitude_deg", self.longitude_deg, -180.0, 180.0)
        check_between("elevation_m", self.elevation_m, -450.0, 6000.0)
        check_length("ground_reflectance", self.ground_reflectance_frac, MONTHS)
        for month in self.snow_months:
            check_between("snow_months", month, 1, MONTHS)
        for value in self.ground_reflectance_frac:
            check_between("ground_reflectance", value, 0.0, 1.0)
