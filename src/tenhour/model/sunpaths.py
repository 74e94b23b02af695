"""Where the sun stands through the year, and what of it reaches each bed: skyline, walls and panes in its way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class SunTrack:
    """The sun's way on one day, above the horizon, in order of time."""

    on: date
    azimuth_deg: tuple[float, ...]
    height_deg: tuple[float, ...]
    clock_h: tuple[float, ...]
    """Hours after midnight of the site's standard time."""
    skyline_deg: tuple[float, ...]
    """Height of what stands below or before the sun there; 0 where the horizon is level."""


@dataclass(frozen=True)
class BedSky:
    """What of the sky one bed sees through the house: rows by height, columns by compass direction."""

    bed: str
    azimuth_deg: tuple[float, ...]
    height_deg: tuple[float, ...]
    reached_frac: tuple[tuple[float, ...], ...]
    """Share of the bed that sun from that direction reaches straight through a pane, skyline apart."""


@dataclass(frozen=True)
class SunPaths:
    """The year's sun over one house."""

    latitude_deg: float
    tracks: tuple[SunTrack, ...]
    skyline_azimuth_deg: tuple[float, ...]
    skyline_height_deg: tuple[float, ...]
    """Every few degrees round the circle; heights 0 where the horizon is level."""
    beds: tuple[BedSky, ...]
