"""Lamp light that comes by way of walls, panes and side panels: lamps handed to the house's own bounces."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.bedlight import Panes, plain_dome
from tenhour.house.cutting import build_room
from tenhour.house.outside import Dome, Emitters, Outside, emitters
from tenhour.house.patches import Room
from tenhour.house.radiosity import Exchange, exchange
from tenhour.house.shapes import OPAQUE, Surface, box
from tenhour.house.spread import even_points
from tenhour.house.trace import first_hit
from tenhour.house.transfer import Tables, gather
from tenhour.lamps.fixtures import Fixtures, irradiance_on

Array = NDArray[np.float64]

SAMPLES: Final = 8
"""Points per patch on which direct lamp light is taken; totals are scaled to the photons sent. Derived."""
SHADOW_PARTS: Final = (-0.4, 0.0, 0.4)
"""Places along a fixture that must be seen, as shares of its length. Judgement."""
SHORT_M: Final = 0.7
"""A fixture shorter than this is seen or hidden as a whole. Judgement."""
TOUCH_M: Final = 1e-4
DOME_SAMPLES: Final = 4000
PANEL_GAP_M: Final = 0.01
"""Gap between bed and side panels. Practice."""
ABOVE_LAMP_M: Final = 0.01
PANEL_PATCHES: Final = 700
PANEL_RAYS: Final = 120_000


class LitRoom(NamedTuple):
    """A room traced for lamps: its patches, where their light goes, and the directions points look in."""

    room: Room
    exchange: Exchange
    emitters: Emitters
    tables: Tables


def view_of(lit: LitRoom, points_m: Array) -> Array:
    """What level points see of the patches of a room: form factors (p, n).

    Parameters: lit; points_m, in the axes of the room [m], (p, 3).
    """
    return gather(lit.room, lit.emitters, lit.tables, points_m)[0]


def bounced_light_umol_m2_s(lit: LitRoom, fixtures: Fixtures, view: Array) -> Array:
    """Light of the fixtures that reaches level points after at least one reflection.

    Parameters: lit, the room; fixtures, in the axes of the room; view, of the points, as of :func:`view_of` (p, n).
    Returns: extra photon flux density [µmol m⁻² s⁻¹], (p,).
    Method: direct light on every patch with shadows of boxes and beds, scaled so that all photons land somewhere, the
        radiosity the daylight uses, and the points' own view of the patches.
    """
    settled = settled_light_umol_m2_s(lit, fixtures)
    return np.asarray(view @ (lit.exchange.refl_frac * settled))


def settled_light_umol_m2_s(lit: LitRoom, fixtures: Fixtures) -> Array:
    """Light of the fixtures on every patch of the room after all bounces, (n,)."""
    area = lit.exchange.area_m2
    arrived = patch_light_umol_m2_s(lit, fixtures) * area
    return np.asarray(lit.exchange.settled(arrived) / np.where(area > 0, area, np.inf))


def patch_light_umol_m2_s(lit: LitRoom, fixtures: Fixtures) -> Array:
    """Direct light of the fixtures on every patch of a room, (n,); the photons landing are those sent."""
    count = len(lit.exchange.area_m2)
    patch = np.repeat(np.arange(count), SAMPLES)
    even = even_points(count * SAMPLES, 2)
    points = lit.room.points_on_m(patch, even[:, 0], even[:, 1])
    normals = lit.room.patch_normal[patch]
    light = np.zeros(len(points))
    for place, turn in zip(fixtures.centre_m, fixtures.turn_deg, strict=True):
        one = Fixtures(fixtures.beam, place[np.newaxis, :], np.array([turn]))
        direct = irradiance_on(points, normals, one)
        shone = direct > 0
        direct[shone] *= _seen_share(lit.room, points[shone], one)
        light += direct
    mean = light.reshape(count, SAMPLES).mean(axis=1)
    landed = float(mean @ lit.exchange.area_m2)
    sent = fixtures.beam.ppf_umol_s * len(fixtures.centre_m)
    return np.asarray(mean * (sent / landed)) if landed > 0 else mean


def _seen_share(room: Room, points_m: Array, one: Fixtures) -> Array:
    """Share of a fixture that points see past boxes and beds."""
    if not len(room.block_low_m) or not len(points_m):
        return np.ones(len(points_m))
    turn = np.deg2rad(one.turn_deg[0])
    along = np.array([np.cos(turn), np.sin(turn), 0.0]) * one.beam.length_m
    seen = np.zeros(len(points_m))
    parts = SHADOW_PARTS if one.beam.length_m > SHORT_M else (0.0,)
    for part in parts:
        way = one.centre_m[0] + part * along - points_m
        distance = np.linalg.norm(way, axis=1)
        hits = first_hit(room, points_m, way / distance[:, np.newaxis])
        seen += hits.distance_m >= distance - TOUCH_M
    return seen / len(parts)


def panel_box(
    length_m: float, width_m: float, height_m: float, panels_refl_frac: float, bed_refl_frac: float
) -> LitRoom:
    """A bed between four side panels from the canopy up to the lamps, open above.

    Parameters: length_m, width_m of the bed; height_m of the lamps over the canopy; panels_refl_frac and bed_refl_frac.
    Returns: LitRoom; the bed's south-west corner stands at 0, 0 and its canopy at height 0.
    """
    gaps = 2 * PANEL_GAP_M
    faces = box({"length": length_m + gaps, "width": width_m + gaps, "eaves": height_m + ABOVE_LAMP_M})
    shift = np.array([PANEL_GAP_M, PANEL_GAP_M, 0.0])
    refl = {"floor": bed_refl_frac, "roof": 0.0}
    skin = [Surface(name, at - shift, OPAQUE, refl.get(name, panels_refl_frac)) for name, at in faces.items()]
    panes = Panes(np.zeros((1, 91)), np.zeros((1, 91)), np.zeros(1))
    tables = panes.tables()
    room = build_room(skin, (), (), [0.0], PANEL_PATCHES)
    around = emitters(Outside(), Dome(*plain_dome(DOME_SAMPLES)), 0.0)
    return LitRoom(room, exchange(room, tables.mirrored, PANEL_RAYS), around, tables)
