"""Unpack the house a user describes into the faces, panes, boxes and beds that light is traced through."""

from __future__ import annotations

from typing import Final

import numpy as np

from tenhour.cover import optics
from tenhour.errors import Problem
from tenhour.house import closed, shapes
from tenhour.house.bedlight import BedPlane, Panes, Scene
from tenhour.house.outside import Outside
from tenhour.model.cover import OPAQUE, Cover
from tenhour.model.house import Bed, Box, Face, House

OPAQUE_U_W_M2_K: Final = 0.6
"""A wall nobody described: boarded and moderately insulated. Judgement."""
FLOOR_M: Final = 0.3
"""A level face lower than this above the lowest corner is the floor: judgement."""


def pane_of(cover: Cover) -> optics.Pane:
    """Optical pane of a cover as it is made, clean and without a frame."""
    u_w_m2_k = cover.u_w_m2_k or 0.0
    if cover.measured:
        refl = cover.inside_refl_frac
        if refl is None and cover.refractive_index is not None and cover.internal_trans_frac is not None:
            refl = optics.clear_pane(cover.refractive_index, cover.internal_trans_frac, cover.panes).inside_refl_frac
        pane = optics.measured_pane(
            cover.normal_trans_frac, cover.hemispherical_trans_frac, cover.straight_share, refl, u_w_m2_k
        )
    else:
        assert cover.refractive_index is not None
        assert cover.internal_trans_frac is not None
        pane = optics.clear_pane(
            cover.refractive_index, cover.internal_trans_frac, cover.panes, cover.straight_share, u_w_m2_k
        )
        if cover.inside_refl_frac is not None:
            pane = pane._replace(inside_refl_frac=cover.inside_refl_frac)
    return pane


def layer_share(cover: Cover) -> float:
    """Share of light from all sides that passes a layer laid over a bed."""
    if cover.opaque:
        return 0.0
    pane = optics.with_losses(pane_of(cover), cover.frame_share, cover.dirt_share)
    return optics.hemispherical_frac(pane.straight_frac + pane.scattered_frac)


class _PaneList:
    """Panes in the order they are first used."""

    def __init__(self, house: House) -> None:
        self._house = house
        self._index: dict[str, int] = {}
        self.panes: list[optics.Pane] = []

    def index(self, key: str) -> int:
        """Number of a cover's pane, or the mark of an opaque face."""
        cover = self._house.covers.get(key)
        if key == OPAQUE or cover is None or cover.opaque:
            return shapes.OPAQUE
        if key not in self._index:
            self._index[key] = len(self.panes)
            self.panes.append(pane_of(cover))
        return self._index[key]

    def arrays(self) -> Panes:
        """All panes as arrays; a house without any gets one that is never used."""
        panes = self.panes or [optics.Pane(np.zeros(91), np.zeros(91), 0.0, 0.0)]
        return Panes(
            np.stack([pane.straight_frac for pane in panes]),
            np.stack([pane.scattered_frac for pane in panes]),
            np.array([pane.inside_refl_frac for pane in panes]),
            np.stack([pane.mirrored_frac for pane in panes]),
        )


def face_of(house: House, name: str) -> Face:
    """What a face is made of: its own entry, that of the face it is a strip of, or the house's cover."""
    exact = house.faces.get(name)
    if exact is not None:
        return exact
    for key, face in house.faces.items():
        if shapes.same_face(name, key):
            return face
    covered = shapes.covered_by_default(house.shape, name)
    return Face(house.cover if covered else OPAQUE, house.reflectance_frac)


def skin(house: House, panes: _PaneList) -> tuple[shapes.Surface, ...]:
    """Faces of the house in house axes."""
    if house.shape == "custom":
        return tuple(
            shapes.Surface(
                surface.name,
                np.array(surface.vertices_m, dtype=np.float64),
                panes.index(surface.cover),
                surface.reflectance_frac,
            )
            for surface in house.surfaces
        )
    out = []
    for name, corners in shapes.faces_m(house.shape, house.dimensions_m).items():
        face = face_of(house, name)
        out.append(shapes.Surface(name, corners, panes.index(face.cover), face.reflectance_frac))
    return tuple(out)


def _block(box: Box) -> shapes.Block:
    low = box.at_m
    high = (low[0] + box.size_m[0], low[1] + box.size_m[1], low[2] + box.size_m[2])
    return shapes.Block(box.name, low, high, box.reflectance_frac)


def bed_plane(bed: Bed) -> BedPlane:
    """A bed as light is traced to it."""
    high = (bed.at_m[0] + bed.size_m[0], bed.at_m[1] + bed.size_m[1])
    return BedPlane(bed.name, bed.at_m, high, bed.height_m, bed.canopy_m, bed.reflectance_frac)


def _outside(house: House) -> Outside:
    line = house.site.skyline
    skyline = np.column_stack([line.azimuth_deg, line.height_deg]) if line.azimuth_deg else None
    return Outside(
        skyline_deg=skyline,
        blocks=tuple(_block(box) for box in house.outside),
        surfaces=tuple(
            shapes.Surface(wall.name, np.array(wall.vertices_m), shapes.OPAQUE, wall.reflectance_frac)
            for wall in house.outside_surfaces
        ),
    )


def scene_of(house: House) -> Scene:
    """Everything the bed-light model needs of a house; its panes clean and without frames (see ``year.panes``)."""
    panes = _PaneList(house)
    surfaces = skin(house, panes)
    openings = tuple(
        shapes.Opening(w.on, w.left_m, w.sill_m, w.width_m, w.height_m, panes.index(w.cover)) for w in house.windows
    )
    return Scene(
        surfaces=surfaces,
        openings=openings,
        blocks=tuple(_block(box) for box in house.boxes),
        beds=tuple(bed_plane(bed) for bed in house.beds),
        panes=panes.arrays(),
        outside=_outside(house),
        azimuth_deg=house.azimuth_deg,
    )


def no_light_leaves(scene: Scene) -> bool:
    """Whether a room has no pane at all: a cellar."""
    return all(surface.pane_index == shapes.OPAQUE for surface in scene.surfaces) and not scene.openings


def cover_by_face(house: House) -> dict[str, Cover]:
    """Cover of every covered face and window, by the name its piece of the skin has."""
    if house.shape == "custom":
        named = {surface.name: surface.cover for surface in house.surfaces}
    else:
        named = {name: face_of(house, name).cover for name in shapes.faces_m(house.shape, house.dimensions_m)}
    named |= {f"window {number}": window.cover for number, window in enumerate(house.windows, start=1)}
    return {name: house.covers[key] for name, key in named.items() if key in house.covers and key != OPAQUE}


def floor_names(scene: Scene) -> frozenset[str]:
    """Names of the level faces at the bottom of a room, whatever they are called."""
    lowest = min(float(surface.vertices_m[:, 2].min()) for surface in scene.surfaces)
    return frozenset(s.name for s in scene.surfaces if _is_floor(s, lowest))


def _is_floor(surface: shapes.Surface, lowest_m: float) -> bool:
    height = surface.vertices_m[:, 2]
    return bool(np.ptp(height) < shapes.TOLERANCE_M and height[0] < lowest_m + FLOOR_M)


def room_problems(house: House) -> list[Problem]:
    """What is wrong with the geometry of a house: faces not flat, room not closed or not convex, windows outside."""
    scene = scene_of(house)
    # plain shapes are closed by how they are made, and the hull's library takes a fifth of a second to load
    check = closed.room_problems if house.shape == "custom" else closed.fitting_problems
    found = check(scene.surfaces, scene.openings, scene.blocks)
    return [Problem(house.path or "house", p.key, p.found, p.allowed, p.do) for p in found]
