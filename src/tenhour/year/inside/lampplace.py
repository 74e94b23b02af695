"""A bed as lamps see it: the room above and around it, and the sun on the local clock."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from tenhour.house.bedlight import Scene, plain_dome, room_alone
from tenhour.house.outside import Dome
from tenhour.house.trace import first_hit
from tenhour.lamps.fixtures import Fixtures
from tenhour.lamps.layout import BedSize
from tenhour.model.house import Bed, House
from tenhour.plan.dates import next_mid_month
from tenhour.plan.lamp_bounce import LitRoom, bounced_light_umol_m2_s, bounces_of, mirrored_light_umol_m2_s
from tenhour.plan.lamp_clock import MONTHS, SunClock
from tenhour.plan.lamp_hang import Bounce, Place
from tenhour.sun import daylength

Array = NDArray[np.float64]

LIFT_M: Final = 1e-3
DOME_SAMPLES: Final = 2000
UP: Final = np.array([0.0, 0.0, 1.0])
SIDES: Final = np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, -1.0, 0.0]])
LAMP_LEVEL_M: Final = 0.2


def bed_points_m(bed: Bed) -> Array:
    """Points at the canopy of a bed, its corners and middle (5, 3)."""
    length, width = bed.size_m
    corners = np.array([[0, 0], [length, 0], [0, width], [length, width], [length / 2, width / 2]]) + bed.at_m
    return np.column_stack([corners, np.full(len(corners), bed.height_m + max(bed.canopy_m, LIFT_M))])


def place_of(scene: Scene, bed: Bed) -> Place:
    """The bed in its room: what is above it, how near the walls are, and what they return."""
    lit = LitRoom(*room_alone(scene, Dome(*plain_dome(DOME_SAMPLES))))
    canopy = bed.height_m + max(bed.canopy_m, LIFT_M)
    length, width = bed.size_m
    points = bed_points_m(bed)
    seen = float(first_hit(lit.room, points, np.broadcast_to(UP, points.shape)).distance_m.min())
    above = min([seen, *_over(scene, bed, canopy)])
    level = points[:4] + UP * min(LAMP_LEVEL_M, above / 2)
    outward = first_hit(lit.room, level[:, np.newaxis], SIDES[np.newaxis]).distance_m
    spare = float(np.min([outward[1::2, 0].min(), outward[::2, 1].min(), outward[2:, 2].min(), outward[:2, 3].min()]))
    headroom = above if bed.headroom_m is None else min(above, bed.headroom_m)
    return Place(BedSize(length, width), bed.at_m, canopy, headroom, spare, bed.reflectance_frac, _bounce(lit))


def _over(scene: Scene, bed: Bed, canopy_m: float) -> list[float]:
    """Heights above the canopy of beds and boxes that reach over any part of the bed, however little [m]."""
    slabs = [(own.low_m, own.high_m, own.height_m) for own in scene.beds]
    boxes = [(own.low_m[:2], own.high_m[:2], own.low_m[2]) for own in scene.blocks]
    low, high = np.array(bed.at_m), np.array(bed.at_m) + np.array(bed.size_m)
    return [
        level - canopy_m
        for start, end, level in (*slabs, *boxes)
        if level > canopy_m and (np.array(start) < high).all() and (low < np.array(end)).all()
    ]


def _bounce(lit: LitRoom) -> Bounce:
    seen: dict[bytes, Array] = {}

    def bounce(fixtures: Fixtures, points_m: Array) -> Array:
        key = points_m.tobytes()
        if key not in seen:
            seen[key] = bounces_of(lit, points_m)
        bounced = bounced_light_umol_m2_s(lit, fixtures, seen[key])
        return bounced + mirrored_light_umol_m2_s(lit, fixtures, points_m)

    return bounce


def sun_clock(house: House, today: date) -> SunClock:
    """Dawn and sunrise on the local clock for the coming 15th of each month."""
    site = house.site
    zone = ZoneInfo(site.timezone)
    days = [next_mid_month(month, today) for month in range(1, MONTHS + 1)]
    midnight_s = np.array(days, dtype="datetime64[s]").astype(np.float64)
    events = daylength.day_events(midnight_s, site.latitude_deg, site.longitude_deg)
    shift = np.array([_offset_h(day, zone) for day in days])
    dawn = np.nan_to_num(np.mod(events.dawn_h + shift, 24.0))
    rise = np.nan_to_num(np.mod(events.sunrise_h + shift, 24.0))
    return SunClock(dawn, np.asarray(events.photoperiod_h), rise, np.asarray(events.daylength_h), site.timezone)


def standard_offset_h(house: House) -> float:
    """Hours of the house's clock ahead of UTC in winter: the least of the year."""
    zone = ZoneInfo(house.site.timezone)
    return min(_offset_h(date(2027, month, 15), zone) for month in (1, 7))


def _offset_h(day: date, zone: ZoneInfo) -> float:
    offset = datetime(day.year, day.month, day.day, 12, tzinfo=zone).utcoffset()
    return offset.total_seconds() / 3600 if offset is not None else 0.0
