"""The houses that are held against Radiance: each written twice, once for tenhour and once corner by corner."""

from __future__ import annotations

import itertools
import os
from dataclasses import dataclass, field

import numpy as np

import helpers_house as hh
from tenhour.cover import optics
from tenhour.house import bedlight, outside, shapes

Array = hh.Array
GLASS = (1.52, 0.9617)
"""Index and transmittance of 4 mm clear glass for PAR."""
LATITUDE_DEG = 52.0


@dataclass
class Pair:
    """One house for both programs."""

    name: str
    scene: bedlight.Scene
    radiance: str
    ground: tuple[float, float] = (0.2, 0.7)
    notes: list[str] = field(default_factory=list)


def panes_of(*panes: optics.Pane) -> bedlight.Panes:
    """Arrays of several panes."""
    return bedlight.Panes(
        np.stack([p.straight_frac for p in panes]),
        np.stack([p.scattered_frac for p in panes]),
        np.array([p.inside_refl_frac for p in panes]),
        np.stack([p.mirrored_frac for p in panes]),
    )


def flat_pane(transmitted: float, straight_share: float, reflected: float) -> optics.Pane:
    """Pane that passes and reflects the same at every angle, as Radiance's trans does."""
    whole = np.full(91, transmitted)
    return optics.Pane(whole * straight_share, whole * (1 - straight_share), reflected, 0.0)


def _inward(vertices: Array, middle: Array) -> Array:
    normal = np.cross(vertices, np.roll(vertices, -1, axis=0)).sum(axis=0)
    return vertices if (middle - vertices.mean(axis=0)) @ normal > 0 else vertices[::-1]


class Writer:
    """Collects a Radiance scene in compass axes; polygons face the middle of the room."""

    def __init__(self, middle: tuple[float, float, float], azimuth_deg: float = 90.0) -> None:
        self.middle = np.array(middle)
        self.azimuth_deg = azimuth_deg
        self.text = ""
        self.made: dict[float, str] = {}

    def wall(self, name: str, vertices: list[list[float]], reflectance: float, holes: tuple[Array, ...] = ()) -> None:
        """Opaque wall, with rectangular holes."""
        at = _inward(np.array(vertices, dtype=float), self.middle)
        self._add(self._opaque(reflectance), name, hh.holed(at, holes))

    def pane(self, name: str, material: str, vertices: list[list[float]]) -> None:
        """Pane of a named material."""
        self._add(material, name, _inward(np.array(vertices, dtype=float), self.middle))

    def bed(self, low: tuple[float, float], high: tuple[float, float], height: float, reflectance: float) -> None:
        """Level rectangle."""
        corners = [[low[0], low[1]], [high[0], low[1]], [high[0], high[1]], [low[0], high[1]]]
        self._add(self._opaque(reflectance), f"bed{len(self.text)}", np.array([[*c, height] for c in corners]))

    def box(self, name: str, low: tuple[float, ...], high: tuple[float, ...], reflectance: float) -> None:
        """Box along the house's axes."""
        material = self._opaque(reflectance)
        for number, corners in enumerate(hh.box_faces(low, high)):
            self._add(material, f"{name}.{number}", corners)

    def _opaque(self, reflectance: float) -> str:
        if reflectance not in self.made:
            self.made[reflectance] = f"opaque{len(self.made)}"
            self.text += hh.plastic(self.made[reflectance], reflectance)
        return self.made[reflectance]

    def _add(self, material: str, name: str, vertices: Array) -> None:
        self.text += hh.polygon(material, name, to_compass(vertices, self.azimuth_deg))


def to_compass(points: Array, azimuth_deg: float) -> Array:
    """Points from house axes to east, north, up."""
    sin, cos = np.sin(np.radians(azimuth_deg)), np.cos(np.radians(azimuth_deg))
    x, y, z = points.T
    return np.column_stack([x * sin - y * cos, x * cos + y * sin, z])


def _finish(name: str, writer: Writer, scene: bedlight.Scene) -> Pair:
    for block in scene.blocks:
        writer.box(block.name, block.low_m, block.high_m, block.refl_frac)
    for bed in scene.beds:
        writer.bed(bed.low_m, bed.high_m, bed.height_m, bed.refl_frac)
    for number, block in enumerate(scene.outside.blocks):
        writer.box(f"outside{number}", block.low_m, block.high_m, block.refl_frac)
    return Pair(name, scene, writer.text)


def _skin(
    shape: str, dimensions: dict[str, float], pane: dict[str, int], refl: dict[str, float]
) -> tuple[shapes.Surface, ...]:
    faces = shapes.faces_m(shape, dimensions)
    return tuple(shapes.Surface(k, v, pane.get(k, shapes.OPAQUE), refl.get(k, 0.5)) for k, v in faces.items())


def double_glass() -> Pair:
    """Gable house, clear double glass south, east and west, insulated white north wall and north roof, a rack."""
    pane = dict.fromkeys(("south", "roof-south", "east", "west"), 0)
    skin = _skin(
        "gable",
        {"length": 5.0, "width": 3.0, "eaves": 1.8, "ridge": 2.6},
        pane,
        {"floor": 0.2, "north": 0.7, "roof-north": 0.7},
    )
    beds = (
        bedlight.BedPlane("front", (0.2, 0.2), (4.8, 1.0), 0.4),
        bedlight.BedPlane("back", (0.2, 2.0), (4.8, 2.8), 0.6),
    )
    rack = shapes.Block("rack", (0.3, 1.2, 0.0), (1.3, 1.6, 1.4), 0.3)
    scene = bedlight.Scene(skin, (), (rack,), beds, panes_of(optics.clear_pane(*GLASS, 2)))
    w = Writer((2.5, 1.5, 1.0))
    w.text += hh.clear_panes("glass", *GLASS, 2)
    w.wall("floor", [[0, 0, 0], [5, 0, 0], [5, 3, 0], [0, 3, 0]], 0.2)
    w.wall("north", [[0, 3, 0], [5, 3, 0], [5, 3, 1.8], [0, 3, 1.8]], 0.7)
    w.wall("roofnorth", [[0, 3, 1.8], [5, 3, 1.8], [5, 1.5, 2.6], [0, 1.5, 2.6]], 0.7)
    w.pane("roofsouth", "glass", [[0, 0, 1.8], [5, 0, 1.8], [5, 1.5, 2.6], [0, 1.5, 2.6]])
    w.pane("south", "glass", [[0, 0, 0], [5, 0, 0], [5, 0, 1.8], [0, 0, 1.8]])
    for name, x in (("west", 0), ("east", 5)):
        w.pane(name, "glass", [[x, 0, 0], [x, 3, 0], [x, 3, 1.8], [x, 1.5, 2.6], [x, 0, 1.8]])
    return _finish("double glass, insulated north", w, scene)


def twin_wall() -> Pair:
    """Gable house of a diffusing sheet all round, three beds, one of them a shelf over another."""
    sheet = (0.68, 0.4, 0.2)
    names = ("south", "north", "roof-south", "roof-north", "east", "west")
    skin = _skin(
        "gable", {"length": 4.0, "width": 2.5, "eaves": 1.6, "ridge": 2.4}, dict.fromkeys(names, 0), {"floor": 0.15}
    )
    beds = (
        bedlight.BedPlane("front", (0.1, 0.1), (3.9, 0.8), 0.3),
        bedlight.BedPlane("back", (0.1, 1.7), (3.9, 2.4), 0.3),
        bedlight.BedPlane("shelf", (0.1, 1.9), (2.5, 2.4), 1.2),
    )
    scene = bedlight.Scene(skin, (), (), beds, panes_of(flat_pane(*sheet)))
    w = Writer((2.0, 1.25, 1.0))
    w.text += hh.trans("sheet", *sheet)
    w.wall("floor", [[0, 0, 0], [4, 0, 0], [4, 2.5, 0], [0, 2.5, 0]], 0.15)
    for name, y in (("south", 0), ("north", 2.5)):
        w.pane(name, "sheet", [[0, y, 0], [4, y, 0], [4, y, 1.6], [0, y, 1.6]])
        w.pane("roof" + name, "sheet", [[0, y, 1.6], [4, y, 1.6], [4, 1.25, 2.4], [0, 1.25, 2.4]])
    for name, x in (("west", 0), ("east", 4)):
        w.pane(name, "sheet", [[x, 0, 0], [x, 2.5, 0], [x, 2.5, 1.6], [x, 1.25, 2.4], [x, 0, 1.6]])
    return _finish("twin-wall gable", w, scene)


def film_hoop() -> Pair:
    """Hoop of hazy film, ends too; a barrel by the north side."""
    film = (0.80, 0.65, 0.14)
    length, width, ridge = 6.0, 3.6, 2.1
    faces = shapes.faces_m("hoop", {"length": length, "width": width, "ridge": ridge})
    skin = tuple(shapes.Surface(k, v, shapes.OPAQUE if k == "floor" else 0, 0.2) for k, v in faces.items())
    beds = (
        bedlight.BedPlane("south", (0.3, 0.3), (5.7, 1.2), 0.15),
        bedlight.BedPlane("north", (0.3, 2.4), (5.7, 3.3), 0.15),
    )
    barrel = shapes.Block("barrel", (2.6, 2.0, 0.0), (3.2, 2.3, 0.9), 0.1)
    scene = bedlight.Scene(skin, (), (barrel,), beds, panes_of(flat_pane(*film)))
    w = Writer((3.0, 1.8, 0.8))
    w.text += hh.trans("film", *film)
    turn = [np.pi * k / 10 for k in range(11)]
    arc = [(width / 2 * (1 - np.cos(a)), ridge * np.sin(a)) for a in turn]
    w.wall("floor", [[0, 0, 0], [length, 0, 0], [length, width, 0], [0, width, 0]], 0.2)
    for k, ((y1, z1), (y2, z2)) in enumerate(itertools.pairwise(arc)):
        w.pane(f"strip{k}", "film", [[0, y1, z1], [length, y1, z1], [length, y2, z2], [0, y2, z2]])
    for name, x in (("west", 0.0), ("east", length)):
        w.pane(name, "film", [[x, y, z] for y, z in arc])
    return _finish("film hoop", w, scene)


def lean_to() -> Pair:
    """Single-glass lean-to against a white house wall that is wider and higher than itself."""
    length, width, front, back = 4.0, 2.2, 1.5, 2.5
    skin = _skin(
        "lean-to",
        {"length": length, "width": width, "front": front, "back": back},
        dict.fromkeys(("south", "roof", "east", "west"), 0),
        {"north": 0.8, "floor": 0.2},
    )
    beds = (
        bedlight.BedPlane("front", (0.2, 0.2), (3.8, 0.9), 0.0),
        bedlight.BedPlane("wall", (0.2, 1.5), (3.8, 2.1), 0.5),
    )
    house = shapes.Block("house", (-4.0, width, 0.0), (8.0, width + 6.0, 6.0), 0.8)
    around = outside.Outside(blocks=(house,))
    scene = bedlight.Scene(skin, (), (), beds, panes_of(optics.clear_pane(*GLASS, 1)), around)
    w = Writer((2.0, 1.0, 1.0))
    w.text += hh.clear_panes("glass", *GLASS, 1)
    w.wall("floor", [[0, 0, 0], [length, 0, 0], [length, width, 0], [0, width, 0]], 0.2)
    at = width - 0.001
    w.wall("north", [[0, at, 0], [length, at, 0], [length, at, back], [0, at, back]], 0.8)
    w.pane("south", "glass", [[0, 0, 0], [length, 0, 0], [length, 0, front], [0, 0, front]])
    w.pane("roof", "glass", [[0, 0, front], [length, 0, front], [length, width, back], [0, width, back]])
    for name, x in (("west", 0.0), ("east", length)):
        w.pane(name, "glass", [[x, 0, 0], [x, width, 0], [x, width, back], [x, 0, front]])
    return _finish("single-glass lean-to on a white wall", w, scene)


def window_room() -> Pair:
    """Plain room with one double-glazed window, a bed on the sill and one on a table inside."""
    length, width, height = 3.5, 3.0, 2.4
    skin = _skin(
        "box",
        {"length": length, "width": width, "eaves": height},
        {},
        {"floor": 0.3, "roof": 0.8, "south": 0.6, "north": 0.6, "east": 0.6, "west": 0.6},
    )
    window = shapes.Opening("south", 0.9, 0.9, 1.6, 1.2, 0)
    beds = (
        bedlight.BedPlane("sill", (1.0, 0.05), (2.6, 0.45), 0.9),
        bedlight.BedPlane("table", (0.8, 1.2), (2.6, 1.8), 0.75),
    )
    scene = bedlight.Scene(skin, (window,), (), beds, panes_of(optics.clear_pane(*GLASS, 2)))
    w = Writer((1.75, 1.5, 1.2))
    w.text += hh.clear_panes("glass", *GLASS, 2)
    right = length - 0.9
    hole = np.array([[right - 1.6, 0, 0.9], [right, 0, 0.9], [right, 0, 2.1], [right - 1.6, 0, 2.1]], dtype=float)
    w.wall("south", [[0, 0, 0], [length, 0, 0], [length, 0, height], [0, 0, height]], 0.6, (hole,))
    w.pane("window", "glass", hole.tolist())
    w.wall("floor", [[0, 0, 0], [length, 0, 0], [length, width, 0], [0, width, 0]], 0.3)
    w.wall("roof", [[0, 0, height], [length, 0, height], [length, width, height], [0, width, height]], 0.8)
    w.wall("north", [[0, width, 0], [length, width, 0], [length, width, height], [0, width, height]], 0.6)
    for name, x in (("west", 0.0), ("east", length)):
        w.wall(name, [[x, 0, 0], [x, width, 0], [x, width, height], [x, 0, height]], 0.6)
    return _finish("room with one window", w, scene)


def random_house(seed: int) -> Pair:
    """A box room turned anyhow, with two to four windows of clear panes or hazy film, a box and a neighbour."""
    draw = np.random.default_rng(seed)
    length, width, height = draw.uniform(2.5, 6.0), draw.uniform(2.2, 4.5), draw.uniform(2.0, 3.0)
    azimuth = float(draw.uniform(0.0, 360.0))
    refl = {name: float(draw.uniform(0.1, 0.8)) for name in ("floor", "north", "roof", "south", "east", "west")}
    clear = bool(draw.random() < 0.5)
    panes, film = int(draw.integers(1, 4)), (0.75, float(draw.uniform(0.1, 0.9)), 0.15)
    skin = _skin("box", {"length": length, "width": width, "eaves": height}, {}, refl)
    w = Writer((length / 2, width / 2, height / 2), azimuth)
    w.text += hh.clear_panes("pane", *GLASS, panes) if clear else hh.trans("pane", *film)
    corners = _box_walls(length, width, height)
    glazed = ["south", *draw.permutation(["east", "west", "roof"])[: int(draw.integers(1, 4))]]
    openings, holes = [], {}
    for name in glazed:
        bottom, across, up = corners[name]
        size = np.array([np.linalg.norm(across), np.linalg.norm(up)])
        start, extent = size * draw.uniform(0.1, 0.25, 2), size * draw.uniform(0.3, 0.6, 2)
        openings.append(shapes.Opening(name, *(float(v) for v in start), *(float(v) for v in extent), 0))
        u, v = across / size[0], up / size[1]
        at = bottom + start[0] * u + start[1] * v
        holes[name] = np.array([at, at + extent[0] * u, at + extent[0] * u + extent[1] * v, at + extent[1] * v])
        w.pane(f"window{name}", "pane", holes[name].tolist())
    for name, (at, across, up) in corners.items():
        outline = np.array([at, at + across, at + across + up, at + up])
        w.wall(name, outline.tolist(), refl[name], (holes[name],) if name in holes else ())
    beds = (
        bedlight.BedPlane(
            "near", (0.15 * length, 0.1 * width), (0.85 * length, 0.3 * width), float(draw.uniform(0.0, 0.8))
        ),
        bedlight.BedPlane(
            "far", (0.2 * length, 0.6 * width), (0.8 * length, 0.85 * width), float(draw.uniform(0.0, 0.8))
        ),
    )
    box = shapes.Block("box", (0.05 * length, 0.4 * width, 0.0), (0.25 * length, 0.5 * width, 0.6 * height), 0.4)
    wall = shapes.Block("neighbour", (-2.0, -5.0, 0.0), (length, -4.0, 2.0), 0.5)
    pane = optics.clear_pane(*GLASS, panes) if clear else flat_pane(*film)
    around = outside.Outside(blocks=(wall,))
    scene = bedlight.Scene(skin, tuple(openings), (box,), beds, panes_of(pane), around, azimuth)
    return _finish(f"random house, seed {seed}", w, scene)


def _box_walls(length: float, width: float, height: float) -> dict[str, tuple[Array, Array, Array]]:
    """Lower left corner seen from inside, way to the right and way up of each wall of a box."""

    def of(*values: float) -> Array:
        return np.array(values)

    up = of(0.0, 0.0, height)
    return {
        "south": (of(length, 0.0, 0.0), of(-length, 0.0, 0.0), up),
        "north": (of(0.0, width, 0.0), of(length, 0.0, 0.0), up),
        "east": (of(length, width, 0.0), of(0.0, -width, 0.0), up),
        "west": (of(0.0, 0.0, 0.0), of(0.0, width, 0.0), up),
        "floor": (of(0.0, 0.0, 0.0), of(length, 0.0, 0.0), of(0.0, width, 0.0)),
        "roof": (of(length, 0.0, height), of(-length, 0.0, 0.0), of(0.0, width, 0.0)),
    }


HOUSES = {
    "double-glass": double_glass,
    "twin-wall": twin_wall,
    "film-hoop": film_hoop,
    "lean-to": lean_to,
    "window-room": window_room,
}

SEED = int(os.environ.get("TENHOUR_HOUSE_SEED", "20240"))
"""Of the house drawn at random; any other will do. It stands in the names of the tests, so that it is printed."""
DRAWN = f"random-{SEED}"


def pair(name: str) -> Pair:
    """One of the houses, or the one drawn at random."""
    return random_house(SEED) if name == DRAWN else HOUSES[name]()
