"""Lamp light that comes by way of walls, panes and side panels: lamps handed to the house's own bounces."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house.bedlight import Panes, plain_dome
from tenhour.house.cutting import build_room
from tenhour.house.mirror import curve_at
from tenhour.house.outside import Dome, Emitters, Outside, emitters
from tenhour.house.patches import Room
from tenhour.house.radiosity import Exchange, exchange
from tenhour.house.shapes import OPAQUE, Surface, box
from tenhour.house.spread import even_points
from tenhour.house.trace import first_block_m, patch_at
from tenhour.house.transfer import Tables, gather
from tenhour.lamps.fixtures import Fixtures, irradiance_on, single_light_umol_m2_s

Array = NDArray[np.float64]

SAMPLES: Final = 8
"""Points per patch on which direct lamp light is taken; totals are scaled to the photons sent. Derived."""
SHADOW_PARTS: Final = (-0.4, 0.0, 0.4)
"""Places along a fixture that must be seen, as shares of its length. Judgement."""
SHORT_M: Final = 0.7
"""A fixture shorter than this is seen or hidden as a whole. Judgement."""
TOUCH_M: Final = 1e-4
FAINT_FRAC: Final = 2e-3
"""A lamp so far from a pane that a perfect mirror would return less than this share of its light. Judgement."""
UP: Final = np.array([0.0, 0.0, 1.0])
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


def bounces_of(lit: LitRoom, points_m: Array) -> Array:
    """What light first landing on each patch becomes at level points after at least one reflection.

    Parameters: lit; points_m, in the axes of the room [m], (p, 3).
    Returns: [m⁻²], (p, n): times photons landing on the patches [µmol s⁻¹].
    Method: the radiosity the daylight uses and the points' own view of the patches, solved once for all fixtures.
    """
    room = lit.room
    return lit.exchange.gathered(view_of(lit, points_m), room.patch_piece, room.piece_pane == OPAQUE)[0]


def bounced_light_umol_m2_s(lit: LitRoom, fixtures: Fixtures, bounces: Array) -> Array:
    """Light of the fixtures that reaches level points after at least one reflection.

    Parameters: lit, the room; fixtures, in the axes of the room; bounces, of the points, as of :func:`bounces_of`.
    Returns: extra photon flux density [µmol m⁻² s⁻¹], (p,).
    Method: direct light on every patch with shadows of boxes and beds, scaled so that all photons land somewhere, then
        its bounces.
    """
    return np.asarray(bounces @ (patch_light_umol_m2_s(lit, fixtures) * lit.exchange.area_m2))


def mirrored_light_umol_m2_s(lit: LitRoom, fixtures: Fixtures, points_m: Array) -> Array:
    """Light of the fixtures that smooth panes mirror onto level points, once.

    Parameters: lit; fixtures and points_m (p, 3), in the axes of the room. Returns: [µmol m⁻² s⁻¹], (p,).
    Method: each point is mirrored in the pane's plane and looks at the lamp from there, times what the pane mirrors at
        that angle (of the lamp's middle), where the way by the pane lies inside the room and no box stands in it.
    """
    room, mirrors = lit.room, lit.tables.mirrored
    total = np.zeros(len(points_m))
    if not mirrors.any():
        return total
    count = len(points_m)
    for face in np.flatnonzero(room.face_glazed[: room.planes_count]):
        normal, offset = room.plane_normal[face], room.plane_offset_m[face]
        lamp_m, point_m = fixtures.centre_m @ normal - offset, points_m @ normal - offset
        drop = np.maximum(fixtures.centre_m[:, 2] - points_m[:, 2].mean(), TOUCH_M)
        near = (drop**2 / (drop**2 + (lamp_m + point_m.min()) ** 2)) ** 2 > FAINT_FRAC
        point, lamp = np.tile(np.arange(count), int(near.sum())), np.repeat(np.flatnonzero(near), count)
        image = points_m - 2.0 * point_m[:, np.newaxis] * normal
        share = _pane_share(
            lit, int(face), fixtures.centre_m[lamp], lamp_m[lamp], points_m[point], image[point], point_m[point]
        )
        seen = np.flatnonzero(share > 0)
        up = np.tile(UP - 2.0 * normal[2] * normal, (len(seen), 1))
        light = single_light_umol_m2_s(image[point[seen]], up, fixtures, lamp[seen])
        total += np.bincount(point[seen], share[seen] * light, count)
    return total


def _pane_share(
    lit: LitRoom, face: int, lamp_at: Array, lamp_m: Array, points_m: Array, image_m: Array, point_m: Array
) -> Array:
    """Which share of lamps' light a pane mirrors onto points, pair by pair; 0 where no pane, or something, is there."""
    room = lit.room
    way = image_m - lamp_at
    at = lamp_at + way * (lamp_m / np.maximum(lamp_m + point_m, TOUCH_M))[:, np.newaxis]
    inside = (at @ room.plane_normal.T - room.plane_offset_m >= -TOUCH_M).all(axis=1)
    pane = room.patch_pane_index[patch_at(room, np.full(len(at), face, dtype=np.int16), at)]
    cosine = (lamp_m + point_m) / np.maximum(np.linalg.norm(way, axis=1), TOUCH_M)
    share = np.where(pane == OPAQUE, 0.0, curve_at(lit.tables.mirrored, np.clip(cosine, 0.0, 1.0), pane))
    share[~inside] = 0.0
    for start in (lamp_at, points_m):
        seen = np.flatnonzero(share > 0)
        leg = at[seen] - start[seen]
        length = np.maximum(np.linalg.norm(leg, axis=1), TOUCH_M)
        hidden = first_block_m(room, start[seen], leg / length[:, np.newaxis]) < length - TOUCH_M
        share[seen[hidden]] = 0.0
    return np.asarray(share)


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
        seen += first_block_m(room, points_m, way / distance[:, np.newaxis]) >= distance - TOUCH_M
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
