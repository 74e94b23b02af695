"""A house described back to the one who wrote its file: faces, areas, beds, in plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

from tenhour.model.house import Bed, House
from tenhour.model.outline import area_m2, face_names, face_outline_m, looks_deg, polygon_area_m2


@dataclass(frozen=True)
class FaceLine:
    """One face or surface: what it is made of and how large it is."""

    name: str
    cover: str
    area_m2: float
    window_m2: float
    looks_deg: float | None
    opaque: bool

    @property
    def glazed_m2(self) -> float:
        """Area that lets light through, frames included."""
        return self.window_m2 if self.opaque else self.area_m2


@dataclass(frozen=True)
class BedLine:
    """One bed and its area."""

    bed: Bed
    area_m2: float


@dataclass(frozen=True)
class Described:
    """What was understood of a house file."""

    house: House
    faces: tuple[FaceLine, ...]
    beds: tuple[BedLine, ...]

    @property
    def glazed_m2(self) -> float:
        """Sum of all that lets light through."""
        return sum(face.glazed_m2 for face in self.faces)

    @property
    def skin_m2(self) -> float:
        """Sum of walls and roofs; of a custom house, of all its surfaces."""
        return sum(face.area_m2 for face in self.faces if face.name != "floor")


def describe(house: House) -> Described:
    """Return the areas of a house by its plain outline.

    Parameters: house.
    Returns: one line for each face (of a custom house, each surface) and each bed.
    """
    windows_m2: dict[str, float] = {}
    for window in house.windows:
        windows_m2[window.on] = windows_m2.get(window.on, 0.0) + window.width_m * window.height_m
    if house.shape == "custom":
        faces = tuple(
            _line(house, surface.name, surface.cover, polygon_area_m2(surface.vertices_m), windows_m2)
            for surface in house.surfaces
        )
    else:
        faces = tuple(
            _line(house, name, house.faces[name].cover, _area_m2(house, name), windows_m2)
            for name in face_names(house.shape, house.dimensions_m)
        )
    return Described(house, faces, tuple(BedLine(bed, bed.size_m[0] * bed.size_m[1]) for bed in house.beds))


def _area_m2(house: House, name: str) -> float:
    return area_m2(face_outline_m(house.shape, house.dimensions_m, name))


def _line(house: House, name: str, cover: str, size_m2: float, windows_m2: dict[str, float]) -> FaceLine:
    """Windows in a strip of a curved roof count with their side."""
    window_m2 = sum(area for on, area in windows_m2.items() if on == name or on.startswith(f"{name}-"))
    direction = looks_deg(name, house.azimuth_deg) if house.shape != "custom" else None
    return FaceLine(name, cover, size_m2, window_m2, direction, house.covers[cover].opaque)
