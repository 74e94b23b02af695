"""A house described back to the one who wrote its file: faces, areas, beds, in plain numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final, Literal

from tenhour.model.fields import HIDDEN, About, Area, Bearing, Month, Prose
from tenhour.model.house import Bed, House, cautions_of
from tenhour.model.outline import area_m2, face_names, face_outline_m, looks_deg, polygon_area_m2
from tenhour.model.results import Answer, Basis, ColdNight

DARK: Final = (
    "Nothing lets light in: every bed is dark without lamps. Name a cover that is not opaque, or a [[window]]."
)


@dataclass(frozen=True)
class FaceLine:
    """One face or surface: what it is made of and how large it is."""

    name: str
    cover: Annotated[str, HIDDEN]
    area_m2: Area
    window_m2: Annotated[Area, HIDDEN]
    looks_deg: Bearing | None
    opaque: Annotated[bool, HIDDEN]

    @property
    def made_of(self) -> Annotated[str, About(name="cover")]:
        """Its cover, without the mark that its frame is drawn."""
        return self.cover.split("/", 1)[0]

    @property
    def glazed_m2(self) -> Annotated[Area, About()]:
        """Area that lets light through, frames included."""
        return self.window_m2 if self.opaque else self.area_m2


@dataclass(frozen=True)
class BedLine:
    """One bed and its area."""

    bed: Annotated[Bed, HIDDEN]
    area_m2: Area

    @property
    def name(self) -> Annotated[str, About()]:
        """What it is called."""
        return self.bed.name

    @property
    def at_m(self) -> Annotated[tuple[float, float], About(kind="length")]:
        """Its south-west corner on the floor [m]."""
        return self.bed.at_m

    @property
    def size_m(self) -> Annotated[tuple[float, float], About(kind="length")]:
        """Along the house and away from the front [m]."""
        return self.bed.size_m

    @property
    def height_m(self) -> Annotated[float, About(kind="length")]:
        """Of the soil [m]."""
        return self.bed.height_m

    @property
    def canopy_m(self) -> Annotated[float, About(kind="length")]:
        """Of the leaves above the soil [m], where light is taken."""
        return self.bed.canopy_m


@dataclass(frozen=True)
class SiteLine:
    """Where the house was understood to stand."""

    latitude_deg: Annotated[float, About(kind="angle", least=-90, most=90)]
    longitude_deg: Annotated[float, About(kind="angle", least=-180, most=180)]
    elevation_m: Annotated[float, About(kind="elevation")]
    timezone: str
    place: str
    snow_months: tuple[Month, ...]
    ground_reflectance_frac: Annotated[tuple[float, ...], About(kind="share", least=0, most=1, size=12)]
    """For PAR, by month, snow included."""
    climate: Literal["normals", "file", "means"]
    weather_path: str


@dataclass(frozen=True)
class Described(Answer):
    """Answer of ``tenhour check``: what was understood of a house file."""

    COMMAND = "check"

    house: Annotated[House, HIDDEN]
    faces: tuple[FaceLine, ...]
    beds: tuple[BedLine, ...]
    nights: tuple[ColdNight, ...] = ()
    """Coldest nights to expect outdoors; inside and under cover where the year of the house is kept already."""
    days_of_winter: Prose = ""
    """What is known of this winter's days; empty where the house file names no file of them."""

    @property
    def name(self) -> Annotated[str, About()]:
        """What the house is called."""
        return self.house.name

    @property
    def site(self) -> Annotated[SiteLine, About()]:
        """Where it stands."""
        site = self.house.site
        return SiteLine(
            site.latitude_deg, site.longitude_deg, site.elevation_m, site.timezone, site.place, site.snow_months,
            site.ground_reflectance_frac, site.climate, site.weather_path,
        )  # fmt: skip

    @property
    def shape(self) -> Annotated[str, About()]:
        """Kind of house."""
        return self.house.shape

    @property
    def dimensions(self) -> Annotated[dict[str, float], About()]:
        """Its measures by name [m]."""
        return {f"{key}_m": value for key, value in self.house.dimensions_m.items()}

    @property
    def length_azimuth_deg(self) -> Annotated[float, About(kind="angle")]:
        """Compass direction along its length [°]."""
        return self.house.azimuth_deg

    @property
    def glazed_m2(self) -> Annotated[Area, About()]:
        """Sum of all that lets light through."""
        return sum(face.glazed_m2 for face in self.faces)

    @property
    def skin_m2(self) -> Annotated[Area, About()]:
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
    lit = any(face.glazed_m2 > 0.0 for face in faces)
    basis = Basis({"house": house.path}, house.assumptions, () if lit else (DARK,), cautions_of(house))
    return Described(basis, house, faces, tuple(BedLine(bed, bed.size_m[0] * bed.size_m[1]) for bed in house.beds))


def _area_m2(house: House, name: str) -> float:
    return area_m2(face_outline_m(house.shape, house.dimensions_m, name))


def _line(house: House, name: str, cover: str, size_m2: float, windows_m2: dict[str, float]) -> FaceLine:
    """Windows in a strip of a curved roof count with their side."""
    window_m2 = sum(area for on, area in windows_m2.items() if on == name or on.startswith(f"{name}-"))
    direction = looks_deg(name, house.azimuth_deg) if house.shape != "custom" else None
    return FaceLine(name, cover, size_m2, window_m2, direction, house.covers[cover].opaque)
