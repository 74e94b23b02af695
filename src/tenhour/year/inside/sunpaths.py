"""The sun's ways over the house through the year, and from which directions it reaches each bed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.house.bedlight import BedPlane, Scene, bed_points
from tenhour.house.outside import house_axes, near_face
from tenhour.house.patches import Room
from tenhour.house.shapes import OPAQUE
from tenhour.house.trace import first_hit, patch_at
from tenhour.model.house import House
from tenhour.model.sunpaths import BedSky, SunPaths, SunTrack
from tenhour.sun import position
from tenhour.sun.position import SECONDS_PER_HOUR
from tenhour.units import GENERIC_YEAR, SECONDS_PER_DAY
from tenhour.year.inside.scene import bed_plane, scene_of
from tenhour.year.outside.sunlight import standard_offset_h

Array = NDArray[np.float64]

TRACK_MONTHS: Final = (12, 1, 2, 3, 4, 5, 6)
TRACK_DAY: Final = 21
"""Near the solstices and equinoxes; the other half of the year walks the same ways back."""
TRACK_STEP_S: Final = 600.0
AZIMUTH_STEP_DEG: Final = 5.0
HEIGHT_STEP_DEG: Final = 4.0
SPOT_M: Final = 0.02
"""Side of the bed that stands for a spot."""
MOST_POINTS: Final = 20
"""Points of a bed that look at the sky: enough for a picture."""


def sun_paths(house: House) -> SunPaths:
    """Ways of the sun and what of the sky each bed of a house sees through its panes."""
    return _paths(house, {number: _few(bed) for number, bed in enumerate(scene_of(house).beds)})


def spot_paths(house: House, number: int, at_m: tuple[float, float]) -> SunPaths:
    """The same for one spot of a bed, at the height of its leaves.

    Parameters: number, of the bed, from 0; at_m, the spot on the floor [m].
    """
    bed = house.beds[number]
    spot = replace(bed, at_m=at_m, size_m=(SPOT_M, SPOT_M))
    return _paths(house, {number: bed_points(bed_plane(spot)).point_m[:1]})


def _few(bed: BedPlane) -> Array:
    """Some points of a bed: enough for a picture."""
    points = bed_points(bed).point_m
    return points[:: max(1, -(-len(points) // MOST_POINTS))]


def _paths(house: House, points: dict[int, Array]) -> SunPaths:
    site = house.site
    tracks = tuple(_track(house, date(GENERIC_YEAR, month, TRACK_DAY)) for month in TRACK_MONTHS)
    azimuth = np.arange(0.0, 360.0, AZIMUTH_STEP_DEG)
    highest = max((height for track in tracks for height in track.height_deg), default=0.0)
    height = np.arange(HEIGHT_STEP_DEG / 2, max(highest, 2 * HEIGHT_STEP_DEG) + HEIGHT_STEP_DEG, HEIGHT_STEP_DEG)
    scene = scene_of(house)
    room = scene.room()
    beds = tuple(
        BedSky(
            house.beds[number].name,
            tuple(azimuth.tolist()),
            tuple(height.tolist()),
            _reached(scene, room, from_m, azimuth, height),
        )
        for number, from_m in points.items()
    )
    line = _skyline(house, azimuth)
    return SunPaths(site.latitude_deg, tracks, tuple(azimuth.tolist()), tuple(line.tolist()), beds)


def _track(house: House, on: date) -> SunTrack:
    site = house.site
    offset_h = standard_offset_h(site.timezone)
    midnight_s = float(np.datetime64(on, "s").astype(np.int64)) - offset_h * SECONDS_PER_HOUR
    times = np.arange(midnight_s, midnight_s + SECONDS_PER_DAY, TRACK_STEP_S)
    path = position.solar_position(times, site.latitude_deg, site.longitude_deg, site.elevation_m)
    height = 90.0 - np.asarray(path.zenith_deg)
    up = height > 0.0
    azimuth = np.asarray(path.azimuth_deg)[up]
    hours = (times - midnight_s) / SECONDS_PER_HOUR
    return SunTrack(
        on,
        tuple(azimuth.tolist()),
        tuple(height[up].tolist()),
        tuple(hours[up].tolist()),
        tuple(_skyline(house, azimuth).tolist()),
    )


def _skyline(house: House, azimuth: Array) -> Array:
    line = house.site.skyline
    if not line.azimuth_deg:
        return np.zeros_like(azimuth)
    order = np.argsort(line.azimuth_deg)
    at, height = np.array(line.azimuth_deg)[order], np.array(line.height_deg)[order]
    return np.asarray(np.maximum(np.interp(azimuth, at, height, period=360.0), 0.0))


def _reached(scene: Scene, room: Room, points: Array, azimuth: Array, height: Array) -> tuple[tuple[float, ...], ...]:
    """Share of the bed's points that see out through a pane in each direction [heights][azimuths]."""
    up, turn = np.meshgrid(np.radians(height), np.radians(azimuth), indexing="ij")
    world = np.stack([np.cos(up) * np.sin(turn), np.cos(up) * np.cos(turn), np.sin(up)], axis=-1).reshape(-1, 3)
    direction = house_axes(world, scene.azimuth_deg)
    hits = first_hit(room, points[:, None, :], direction[None, :, :])
    where = points[:, None, :] + hits.distance_m[..., None] * direction
    open_sky = room.patch_pane_index[patch_at(room, hits.face, where)] != OPAQUE
    if scene.outside.near:
        open_sky &= near_face(scene.outside, points[:, None, :], direction[None, :, :]) < 0
    share = open_sky.mean(axis=0).reshape(len(height), len(azimuth))
    return tuple(tuple(row) for row in share.tolist())
