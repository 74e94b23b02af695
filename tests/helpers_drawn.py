"""Houses drawn at random, each written twice: as a house file, and corner by corner for Radiance.

Nothing here uses the code under test: corners, panes and hills are worked out anew from what the house file says.
"""

from __future__ import annotations

import itertools
import json
from dataclasses import dataclass, field

import numpy as np

import helpers_house as hh
import helpers_houses as hs

Array = hh.Array
Faces = dict[str, list[list[float]]]

HILL_M = 4000.0
HILL_REFL = 0.1


@dataclass(frozen=True)
class Pane:
    """A cover: clear panes, or a sheet that passes the same at every angle."""

    panes: int = 2
    index: float = 1.52
    internal: float = 0.9617
    flat: float = 0.0
    """Transmittance of a sheet, 0 for clear panes."""
    straight_share: float = 1.0
    refl: float = 0.0
    frame: float = 0.0

    def toml(self, name: str) -> str:
        """Table of the house file."""
        rest = f"frame_share = {self.frame}\ndirt_share = 0\ncondensation_share = 0\nsnow_share = 0\n"
        if self.flat:
            made = f"normal_transmittance = {self.flat}\nhemispherical_transmittance = {self.flat}\n"
            made += f"straight_share = {self.straight_share}\nreflectance = {self.refl}\n"
        else:
            made = f"panes = {self.panes}\nrefractive_index = {self.index}\ninternal_transmittance = {self.internal}\n"
        return f"[cover.{name}]\n{made}{rest}"

    def radiance(self, name: str) -> str:
        """Material of that name."""
        kept = 1.0 - self.frame
        if not self.flat:
            return self._material(name, (self.index, self.internal, self.panes, kept, 1.0, 0.0), 0.0, 0.0)
        clear = _mean_refl(1.0, 10.0)
        share = self.refl * self.straight_share / clear
        thrown = _mean_refl(share, 1.0 - self.flat)
        stack = (1.52, 1.0, 1, kept * self.straight_share, share, self.flat)
        return self._material(name, stack, max(self.refl - thrown, 0.0), kept * self.flat * (1.0 - self.straight_share))

    def _material(self, name: str, stack: tuple[float, ...], refl: float, passed: float) -> str:
        given = " ".join(f"{v:.9g}" for v in stack)
        curve = "smooth smooth smooth straight straight straight 0 0 0 panes.cal"
        pane = f"void BRTDfunc {name}.p\n10 {curve}\n0\n15 {hh.grey(refl)} {hh.grey(refl)} {hh.grey(passed)} {given}\n"
        if stack[4] <= 0.0:
            return pane.replace(f"{name}.p", name)
        strength = f"void brightfunc {name}.m\n2 smooth mirrors.cal\n0\n6 {given}\n"
        return f"{pane}{strength}{name}.m mirror {name}\n1 {name}.p\n0\n3 1 1 1\n"


def _mean_refl(factor: float, most: float) -> float:
    """Share mirrored of light from all sides by a clear pane of index 1.52, times a factor and bounded."""
    angle = np.radians(np.linspace(0.0, 90.0, 2001))
    one, two = np.cos(angle), np.sqrt(1.0 - (np.sin(angle) / 1.52) ** 2)
    surface = np.stack([((one - 1.52 * two) / (one + 1.52 * two)) ** 2, ((1.52 * one - two) / (1.52 * one + two)) ** 2])
    pane = (2.0 * surface / (1.0 + surface)).mean(axis=0)
    return float(np.trapezoid(np.minimum(factor * pane, most) * np.sin(2.0 * angle), angle))


@dataclass
class Drawn:
    """A house as it is written: what its file says, and what Radiance gets."""

    kind: str
    faces: Faces
    azimuth_deg: float
    house: str
    """Keys of [house] that say the shape."""
    covers: dict[str, Pane]
    made_of: dict[str, str | float]
    """Cover of each face, or its reflectance."""
    windows: list[tuple[str, float, float, float, float, str]] = field(default_factory=list)
    """On, left, sill, width, height, cover."""
    boxes: list[tuple[tuple[float, ...], tuple[float, ...], float]] = field(default_factory=list)
    outside: list[tuple[tuple[float, ...], tuple[float, ...], float]] = field(default_factory=list)
    """At, size, reflectance."""
    sheets: list[tuple[list[list[float]], float]] = field(default_factory=list)
    """Corners of a flat wall outside, reflectance."""
    beds: list[tuple[str, tuple[float, float], tuple[float, float], float, float]] = field(default_factory=list)
    """Name, at, size, height, reflectance."""
    skyline: list[tuple[float, float]] = field(default_factory=list)
    custom: bool = False

    def toml(self, site: str) -> str:
        """The house file, after its [site]."""
        text = site
        if self.skyline:
            text += f"skyline = {json.dumps([list(p) for p in self.skyline])}\n"
        text += f'[house]\n{self.house}length_azimuth_deg = {self.azimuth_deg}\ncover = "opaque"\n'
        text += "".join(pane.toml(name) for name, pane in self.covers.items())
        for name, corners in self.faces.items():
            made = self.made_of[name]
            line = f'cover = "{made}"\n' if isinstance(made, str) else f"reflectance = {made}\n"
            if self.custom:
                text += f'[[surface]]\nname = "{name}"\n{line}vertices_m = {corners}\n'
            elif isinstance(made, str) or name == "floor":
                text += f"[face.{name}]\n{line}"
            else:
                text += f'[face.{name}]\ncover = "opaque"\n{line}'
        for on, left, sill, width, height, cover in self.windows:
            text += f'[[window]]\non = "{on}"\nleft_m = {left}\nsill_m = {sill}\nwidth_m = {width}\n'
            text += f'height_m = {height}\ncover = "{cover}"\n'
        for kind, blocks in (("box", self.boxes), ("outside", self.outside)):
            for k, (at, size, refl) in enumerate(blocks):
                text += f'[[{kind}]]\nname = "{kind} {k}"\nat_m = {list(at)}\nsize_m = {list(size)}\n'
                text += f"reflectance = {refl}\n"
        for k, (corners, refl) in enumerate(self.sheets):
            text += f'[[outside]]\nname = "sheet {k}"\nvertices_m = {corners}\nreflectance = {refl}\n'
        for name, at, size, height, refl in self.beds:
            text += f'[[bed]]\nname = "{name}"\nat_m = {list(at)}\nsize_m = {list(size)}\nheight_m = {height}\n'
            text += f"canopy_m = 0.05\nreflectance = {refl}\n"
        return text

    def radiance(self) -> str:
        """The scene, without sky and suns."""
        corners = np.concatenate([np.array(c, dtype=float) for c in self.faces.values()])
        middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
        w = hs.Writer((float(middle[0]), float(middle[1]), float(middle[2])), self.azimuth_deg)
        w.text += "".join(pane.radiance(name) for name, pane in self.covers.items())
        holes: dict[str, list[Array]] = {}
        for number, (on, left, sill, width, height, cover) in enumerate(self.windows):
            hole = _hole(self.faces[on], middle, left, sill, width, height)
            holes.setdefault(on, []).append(hole)
            w.pane(f"window{number}", cover, hole.tolist())
        for name, face in self.faces.items():
            made = self.made_of[name]
            if isinstance(made, str):
                w.pane(name.replace(" ", ""), made, face)
            else:
                w.wall(name.replace(" ", ""), face, made, tuple(holes.get(name, ())))
        for kind, blocks in (("box", self.boxes), ("outside", self.outside)):
            for k, (at, size, refl) in enumerate(blocks):
                w.box(f"{kind}{k}", at, tuple(np.add(at, size).tolist()), refl)
        for k, (corners, refl) in enumerate(self.sheets):
            w.wall(f"sheet{k}", corners, refl)
        for _, at, size, height, refl in self.beds:
            w.bed(at, (at[0] + size[0], at[1] + size[1]), height, refl)
        return w.text + self._hills()

    def _hills(self) -> str:
        if not self.skyline:
            return ""
        azimuth, height = np.array(self.skyline).T
        turn = np.arange(0.0, 361.0, 2.0)
        top = np.interp(turn, azimuth, height, period=360.0)
        text = hh.plastic("hill", HILL_REFL)
        at = [[HILL_M * np.sin(np.radians(a)), HILL_M * np.cos(np.radians(a))] for a in turn]
        up = HILL_M * np.tan(np.radians(np.maximum(top, 0.01)))
        for k, ((a, b), (low, high)) in enumerate(zip(itertools.pairwise(at), itertools.pairwise(up), strict=True)):
            strip = np.array([[*a, 0.0], [*b, 0.0], [*b, high], [*a, low]])
            text += hh.polygon("hill", f"hill{k}", strip[::-1])
        return text


def _hole(face: list[list[float]], middle: Array, left: float, sill: float, width: float, height: float) -> Array:
    """Corners of a window: from the left as seen from inside, up the wall or the slope from the face's lowest edge."""
    at = np.array(face, dtype=float)
    normal = np.cross(at, np.roll(at, -1, axis=0)).sum(axis=0)
    normal *= np.sign((middle - at.mean(axis=0)) @ normal) / np.linalg.norm(normal)
    up = np.array([0.0, 0.0, 1.0]) - normal[2] * normal
    up /= np.linalg.norm(up)
    u = np.cross(up, normal)
    low = at[0] + ((at - at[0]) @ u).min() * u + ((at - at[0]) @ up).min() * up + left * u + sill * up
    return np.array([low, low + width * u, low + width * u + height * up, low + height * up])


def walls(length: float, width: float, south: float, north: float) -> Faces:
    """Upright walls of a room with a straight roof, each from its low left corner as seen from inside."""
    return {
        "floor": [[0, 0, 0], [length, 0, 0], [length, width, 0], [0, width, 0]],
        "south": [[length, 0, 0], [0, 0, 0], [0, 0, south], [length, 0, south]],
        "north": [[0, width, 0], [length, width, 0], [length, width, north], [0, width, north]],
        "west": [[0, 0, 0], [0, width, 0], [0, width, north], [0, 0, south]],
        "east": [[length, width, 0], [length, 0, 0], [length, 0, south], [length, width, north]],
    }


def _gable(draw: np.random.Generator, length: float, width: float) -> tuple[Faces, str]:
    eaves = round(float(draw.uniform(1.5, 2.2)), 2)
    ridge = round(eaves + float(draw.uniform(0.5, 1.2)), 2)
    faces = walls(length, width, eaves, eaves)
    half = width / 2
    faces["west"].insert(3, [0, half, ridge])
    faces["east"].insert(3, [length, half, ridge])
    faces["roof-south"] = [[length, 0, eaves], [0, 0, eaves], [0, half, ridge], [length, half, ridge]]
    faces["roof-north"] = [[0, width, eaves], [length, width, eaves], [length, half, ridge], [0, half, ridge]]
    return faces, f'shape = "gable"\nlength_m = {length}\nwidth_m = {width}\neaves_m = {eaves}\nridge_m = {ridge}\n'


def _hoop(draw: np.random.Generator, length: float, width: float) -> tuple[Faces, str]:
    ridge = round(float(draw.uniform(1.9, 2.6)), 2)
    turn = [np.pi * k / 10 for k in range(11)]
    arc = [(width / 2 * (1 - np.cos(a)), ridge * np.sin(a)) for a in turn]
    faces: Faces = {"floor": [[0, 0, 0], [length, 0, 0], [length, width, 0], [0, width, 0]]}
    for k, ((y1, z1), (y2, z2)) in enumerate(itertools.pairwise(arc)):
        side = f"south-{k + 1}" if k < 5 else f"north-{10 - k}"
        faces[f"roof-{side}"] = [[0, y1, z1], [length, y1, z1], [length, y2, z2], [0, y2, z2]]
    faces["west"] = [[0, y, z] for y, z in arc]
    faces["east"] = [[length, y, z] for y, z in arc]
    return faces, f'shape = "hoop"\nlength_m = {length}\nwidth_m = {width}\nridge_m = {ridge}\n'


def _lean_to(draw: np.random.Generator, length: float, width: float) -> tuple[Faces, str]:
    front = round(float(draw.uniform(1.3, 2.0)), 2)
    back = round(front + float(draw.uniform(0.4, 1.2)), 2)
    faces = walls(length, width, front, back)
    faces["roof"] = [[length, 0, front], [0, 0, front], [0, width, back], [length, width, back]]
    return faces, f'shape = "lean-to"\nlength_m = {length}\nwidth_m = {width}\nfront_m = {front}\nback_m = {back}\n'


def _box(draw: np.random.Generator, length: float, width: float) -> tuple[Faces, str]:
    eaves = round(float(draw.uniform(2.0, 2.8)), 2)
    faces = walls(length, width, eaves, eaves)
    faces["roof"] = [[length, 0, eaves], [0, 0, eaves], [0, width, eaves], [length, width, eaves]]
    return faces, f'shape = "box"\nlength_m = {length}\nwidth_m = {width}\neaves_m = {eaves}\nroof = "flat"\n'


def _custom(draw: np.random.Generator, length: float, width: float) -> tuple[Faces, str]:
    """A room with a bay: five upright walls, the southern one broken in two, under a roof that falls to the south."""
    low, rise = float(draw.uniform(1.5, 2.0)), float(draw.uniform(0.15, 0.35))
    bay = float(draw.uniform(0.4, 0.9))
    plan = [(0.0, bay), (length / 2, 0.0), (length, bay), (length, width), (0.0, width)]
    high = [low + rise * y for _, y in plan]
    names = ("glass west", "glass east", "side 1", "wall", "side 2")
    faces: Faces = {"ground": [[x, y, 0.0] for x, y in plan]}
    for k, name in enumerate(names):
        (x1, y1), (x2, y2) = plan[k], plan[(k + 1) % 5]
        z1, z2 = high[k], high[(k + 1) % 5]
        # left to right as seen from inside: the plan runs against the clock, so the wall is walked backwards
        faces[name] = [[x2, y2, 0.0], [x1, y1, 0.0], [x1, y1, z1], [x2, y2, z2]]
    faces["lid"] = [[x, y, z] for (x, y), z in zip(plan, high, strict=True)]
    return {n: np.round(c, 4).tolist() for n, c in faces.items()}, 'shape = "custom"\n'


SHAPES = {"gable": _gable, "hoop": _hoop, "lean-to": _lean_to, "box": _box, "custom": _custom}
SUNNY = {"gable": ("south", "roof-south", "east", "west"), "lean-to": ("south", "roof", "east", "west"), "box": (),
         "hoop": (), "custom": ("glass west", "glass east", "lid")}  # fmt: skip
WALLS = {"gable": ("north",), "lean-to": ("north",), "box": ("south", "east", "west"), "hoop": (), "custom": ("wall",)}


def _clear(draw: np.random.Generator) -> Pane:
    return Pane(
        int(draw.integers(1, 4)), round(float(draw.uniform(1.4, 1.6)), 2), round(float(draw.uniform(0.9, 0.99)), 3),
        frame=round(float(draw.uniform(0.0, 0.15)), 2),
    )  # fmt: skip


def _sheet(draw: np.random.Generator) -> Pane:
    flat = round(float(draw.uniform(0.5, 0.85)), 2)
    return Pane(
        flat=flat, straight_share=round(float(draw.uniform(0.0, 0.9)), 2), refl=round(float(draw.uniform(0.08, 0.14)), 3),
        frame=round(float(draw.uniform(0.0, 0.15)), 2),
    )  # fmt: skip


def drawn(seed: int, kind: str | None = None) -> Drawn:
    """A house by a seed: any shape, way it faces, covers, windows, boxes, racks, neighbours and hills."""
    draw = np.random.default_rng(seed)
    kind = kind or str(draw.choice(list(SHAPES)))
    length, width = round(float(draw.uniform(2.5, 6.0)), 2), round(float(draw.uniform(2.0, 4.0)), 2)
    faces, head = SHAPES[kind](draw, length, width)
    covers = {"main": _sheet(draw) if kind == "hoop" or draw.random() < 0.4 else _clear(draw), "window": _clear(draw)}
    made: dict[str, str | float] = {name: round(float(draw.uniform(0.1, 0.85)), 2) for name in faces}
    sunny = SUNNY[kind] if kind != "hoop" else [name for name in faces if name != "floor"]
    for name in sunny:
        made[name] = "main"
    if kind == "lean-to" and draw.random() < 0.5:
        made["roof"] = "window"
    house = Drawn(kind, faces, round(float(draw.uniform(0.0, 360.0)), 1), head, covers, made, custom=kind == "custom")
    _windows(draw, house, one_only=kind != "box" or draw.random() < 0.4)
    _inside(draw, house, length, width)
    if draw.random() < 0.5:
        size = (round(float(draw.uniform(2.0, 8.0)), 1), 1.0, round(float(draw.uniform(1.5, 4.0)), 1))
        house.outside.append(((-1.0, round(-float(draw.uniform(2.5, 6.0)), 1), 0.0), size, 0.4))
    if draw.random() < 0.4:
        house.skyline = [(az, round(float(draw.uniform(0.0, 14.0)), 1)) for az in (20, 80, 140, 200, 260, 320)]
    return house


def _windows(draw: np.random.Generator, house: Drawn, one_only: bool) -> None:
    walls = WALLS[house.kind][:1] if one_only else WALLS[house.kind]
    for name in walls:
        face = np.array(house.faces[name], dtype=float)
        wide, tall = float(np.linalg.norm(face[1] - face[0])), float(min(face[2, 2], face[3, 2]))
        width, height = round(wide * float(draw.uniform(0.3, 0.6)), 2), round(tall * float(draw.uniform(0.3, 0.55)), 2)
        left, sill = round(wide * float(draw.uniform(0.05, 0.35)), 2), round(tall * float(draw.uniform(0.15, 0.4)), 2)
        house.windows.append((name, left, sill, width, height, "window"))


def _inside(draw: np.random.Generator, house: Drawn, length: float, width: float) -> None:
    """Two beds, or one and a rack of two to four tiers; a box between them."""
    margin = 0.18 * width if house.kind == "hoop" else 0.1
    front = 1.0 if house.kind == "custom" else margin
    deep = round(float(draw.uniform(0.4, 0.3 * width)), 2)

    def refl() -> float:
        return round(float(draw.uniform(0.05, 0.5)), 2)

    def bed(name: str, x: float, y: float, long: float, high: float) -> None:
        house.beds.append((name, (round(x, 2), round(y, 2)), (round(long, 2), deep), round(high, 2), refl()))

    bed("front", 0.15 * length, front, 0.7 * length, float(draw.uniform(0.2, 0.7)))
    back, tiers = width - margin - deep, int(draw.integers(1, 5))
    for tier in range(tiers):
        bed(f"back {tier + 1}", 0.2 * length, back, 0.5 * length, 0.25 + 0.35 * tier)
    if draw.random() < 0.5:
        depth = round(back - front - deep - 0.1, 2)
        if depth > 0.1:
            at = (round(0.1 * length, 2), round(front + deep + 0.05, 2), 0.0)
            house.boxes.append((at, (0.6, min(depth, 0.5), round(float(draw.uniform(0.4, 1.2)), 2)), refl()))


def twin_wall() -> Drawn:
    """Gable house of a diffusing sheet all round, three beds, one of them a shelf over another."""
    faces = walls(4.0, 2.5, 1.6, 1.6)
    for name, x in (("west", 0.0), ("east", 4.0)):
        faces[name].insert(3, [x, 1.25, 2.4])
    faces["roof-south"] = [[4.0, 0, 1.6], [0, 0, 1.6], [0, 1.25, 2.4], [4.0, 1.25, 2.4]]
    faces["roof-north"] = [[0, 2.5, 1.6], [4.0, 2.5, 1.6], [4.0, 1.25, 2.4], [0, 1.25, 2.4]]
    made: dict[str, str | float] = {name: "main" for name in faces if name != "floor"} | {"floor": 0.15}
    head = 'shape = "gable"\nlength_m = 4.0\nwidth_m = 2.5\neaves_m = 1.6\nridge_m = 2.4\n'
    beds = [
        ("front", (0.1, 0.1), (3.8, 0.7), 0.3, 0.1),
        ("back", (0.1, 1.7), (3.8, 0.7), 0.3, 0.1),
        ("shelf", (0.1, 1.9), (2.4, 0.5), 1.2, 0.1),
    ]
    sheet = Pane(flat=0.68, straight_share=0.4, refl=0.13)
    return Drawn("twin-wall", faces, 90.0, head, {"main": sheet}, made, beds=beds)


def film_hoop() -> Drawn:
    """Hoop of hazy film, ends too; a barrel by the north side."""
    turn = [np.pi * k / 10 for k in range(11)]
    arc = [(1.8 * (1 - np.cos(a)), 2.1 * np.sin(a)) for a in turn]
    faces: Faces = {"floor": [[0, 0, 0], [6.0, 0, 0], [6.0, 3.6, 0], [0, 3.6, 0]]}
    for k, ((y1, z1), (y2, z2)) in enumerate(itertools.pairwise(arc)):
        side = f"south-{k + 1}" if k < 5 else f"north-{10 - k}"
        faces[f"roof-{side}"] = [[0, y1, z1], [6.0, y1, z1], [6.0, y2, z2], [0, y2, z2]]
    faces["west"], faces["east"] = ([[x, y, z] for y, z in arc] for x in (0.0, 6.0))
    made: dict[str, str | float] = {name: "main" for name in faces if name != "floor"} | {"floor": 0.2}
    head = 'shape = "hoop"\nlength_m = 6.0\nwidth_m = 3.6\nridge_m = 2.1\n'
    beds = [("south", (0.3, 0.3), (5.4, 0.9), 0.15, 0.1), ("north", (0.3, 2.4), (5.4, 0.9), 0.15, 0.1)]
    film = Pane(flat=0.8, straight_share=0.65, refl=0.12)
    barrel = ((2.6, 2.0, 0.0), (0.6, 0.3, 0.9), 0.1)
    return Drawn("hoop", faces, 90.0, head, {"main": film}, made, boxes=[barrel], beds=beds)


NAMED = {"twin-wall": twin_wall, "film-hoop": film_hoop}


def house(name: str) -> Drawn:
    """A house by its name; drawn-7 is the one of seed 7."""
    kind, _, seed = name.rpartition("-")
    return drawn(int(seed)) if kind == "drawn" else NAMED[name]()
