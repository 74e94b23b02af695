"""Houses that chance does not draw, written out one by one: each twice, as a house file and for Radiance."""

from __future__ import annotations

import numpy as np

import helpers_drawn as hd

CLEAR1, CLEAR2 = hd.Pane(panes=1), hd.Pane(panes=2, frame=0.08)
HAZY = hd.Pane(flat=0.72, straight_share=0.3, refl=0.12)
MILKY = hd.Pane(flat=0.6, straight_share=0.0, refl=0.1)


def _lean_to(length: float, width: float, front: float, back: float) -> tuple[hd.Faces, str]:
    faces = hd.walls(length, width, front, back)
    faces["roof"] = [[length, 0, front], [0, 0, front], [0, width, back], [length, width, back]]
    return faces, f"length_m = {length}\nwidth_m = {width}\nfront_m = {front}\nback_m = {back}\n"


def _box(length: float, width: float, eaves: float) -> tuple[hd.Faces, str]:
    faces = hd.walls(length, width, eaves, eaves)
    faces["roof"] = [[length, 0, eaves], [0, 0, eaves], [0, width, eaves], [length, width, eaves]]
    return faces, f"length_m = {length}\nwidth_m = {width}\neaves_m = {eaves}\n"


def _gable(length: float, width: float, eaves: float, ridge: float) -> tuple[hd.Faces, str]:
    faces, half = hd.walls(length, width, eaves, eaves), width / 2
    faces["west"].insert(3, [0, half, ridge])
    faces["east"].insert(3, [length, half, ridge])
    faces["roof-south"] = [[length, 0, eaves], [0, 0, eaves], [0, half, ridge], [length, half, ridge]]
    faces["roof-north"] = [[0, width, eaves], [length, width, eaves], [length, half, ridge], [0, half, ridge]]
    sizes = f"length_m = {length}\nwidth_m = {width}\neaves_m = {eaves}\nridge_m = {ridge}\n"
    return faces, f'shape = "gable"\n{sizes}'


def cold_frame() -> hd.Drawn:
    """Wooden sides, one pane for a lid, soil to the boards."""
    faces, sizes = _lean_to(1.6, 0.9, 0.28, 0.42)
    made: dict[str, str | float] = dict.fromkeys(faces, 0.35) | {"roof": "main", "floor": 0.1}
    bed = ("soil", (0.05, 0.05), (1.5, 0.8), 0.06, 0.1)
    return hd.Drawn("cold-frame", faces, 98.0, f'shape = "cold-frame"\n{sizes}', {"main": CLEAR1}, made, beds=[bed])


def wall_lean_to() -> hd.Drawn:
    """Against a house that is wider and higher, under its eaves; hazy roof, clear front, one boarded end."""
    faces, sizes = _lean_to(4.5, 2.1, 1.6, 2.4)
    made: dict[str, str | float] = {"floor": 0.25, "north": 0.75, "west": 0.4, "south": "front", "east": "front",
                                    "roof": "main"}  # fmt: skip
    house = hd.Drawn("lean-to", faces, 75.0, f'shape = "lean-to"\n{sizes}', {"main": HAZY, "front": CLEAR2}, made)
    house.outside.append(((-3.0, 2.1, 0.0), (10.0, 6.0, 5.0), 0.7))
    house.sheets.append(([[-3.0, 1.3, 4.2], [7.0, 1.3, 4.2], [7.0, 2.1, 4.6], [-3.0, 2.1, 4.6]], 0.5))
    house.beds += [("front", (0.2, 0.15), (4.0, 0.6), 0.5, 0.1), ("wall", (0.4, 1.4), (3.6, 0.6), 0.9, 0.1)]
    return house


def two_windows() -> hd.Drawn:
    """A room with windows in two walls, a bed on a sill, one on a table, one under that table."""
    faces, sizes = _box(4.2, 3.4, 2.5)
    made: dict[str, str | float] = dict.fromkeys(faces, 0.6) | {"floor": 0.25, "roof": 0.8}
    house = hd.Drawn("window-sill", faces, 120.0, f'shape = "window-sill"\n{sizes}', {"window": CLEAR2}, made)
    house.windows += [("south", 0.7, 0.85, 1.5, 1.3, "window"), ("east", 0.5, 0.4, 1.2, 1.8, "window")]
    house.boxes.append(((1.2, 1.0, 0.7), (2.4, 0.7, 0.04), 0.4))
    house.beds += [
        ("sill", (1.9, 0.04), (1.6, 0.3), 0.86, 0.2),
        ("table", (1.2, 1.0), (2.4, 0.7), 0.76, 0.1),
        ("under it", (1.3, 1.05), (2.2, 0.6), 0.1, 0.1),
    ]
    return house


def well_window() -> hd.Drawn:
    """A cellar room with one high window in a well of masonry, white shelves behind it."""
    faces, sizes = _box(3.6, 2.8, 2.3)
    made: dict[str, str | float] = dict.fromkeys(faces, 0.7) | {"floor": 0.4}
    house = hd.Drawn("box", faces, 90.0, f'shape = "box"\n{sizes}roof = "flat"\n', {"window": CLEAR1}, made)
    house.windows.append(("south", 0.9, 1.2, 1.8, 0.9, "window"))
    house.outside += [
        ((0.2, -1.5, 0.0), (3.2, 0.4, 1.8), 0.6), ((0.2, -1.1, 0.0), (0.3, 1.0, 1.8), 0.6),
        ((3.1, -1.1, 0.0), (0.3, 1.0, 1.8), 0.6),
    ]  # fmt: skip
    house.beds += [("near", (0.9, 0.1), (1.8, 0.4), 1.0, 0.2), ("far", (0.8, 1.6), (2.0, 0.5), 0.8, 0.2)]
    return house


def doored_hoop() -> hd.Drawn:
    """A tunnel of clear film with boarded ends, a glass door in each, and boards along the foot of one side."""
    house = hd.film_hoop()
    house.covers.update(main=hd.Pane(flat=0.86, straight_share=0.9, refl=0.1, frame=0.03), window=CLEAR1)
    house.made_of.update({"west": 0.3, "east": 0.3, "roof-north-1": 0.5})
    for end in ("west", "east"):
        house.windows.append((end, 1.4, 0.0, 0.8, 1.7, "window"))
    house.azimuth_deg = 160.0
    return house


def tent() -> hd.Drawn:
    """A custom room of glass down to the ground on one side, a low wall and a steep roof on the other."""
    length, width, low, high, at = 5.0, 3.2, 0.9, 2.5, 1.9
    faces: hd.Faces = {
        "earth": [[0, 0, 0], [length, 0, 0], [length, width, 0], [0, width, 0]],
        "slope": [[length, 0, 0], [0, 0, 0], [0, at, high], [length, at, high]],
        "back": [[0, width, 0], [length, width, 0], [length, width, low], [0, width, low]],
        "lid": [[0, width, low], [length, width, low], [length, at, high], [0, at, high]],
        "left": [[0, 0, 0], [0, width, 0], [0, width, low], [0, at, high]],
        "right": [[length, width, 0], [length, 0, 0], [length, at, high], [length, width, low]],
    }
    made: dict[str, str | float] = {"earth": 0.15, "slope": "main", "back": 0.6, "lid": 0.7, "left": "main",
                                    "right": 0.5}  # fmt: skip
    house = hd.Drawn("custom", faces, 100.0, 'shape = "custom"\n', {"main": CLEAR2}, made, custom=True)
    house.beds += [("foot", (0.3, 0.35), (4.4, 0.6), 0.12, 0.1), ("bench", (0.3, 2.3), (4.4, 0.7), 0.7, 0.1)]
    return house


def tier_window() -> hd.Drawn:
    """Five boards of a rack before a glazed wall, each with its trays, in a room with white walls."""
    faces, sizes = _box(3.0, 2.4, 2.5)
    made: dict[str, str | float] = dict.fromkeys(faces, 0.75) | {"floor": 0.3}
    house = hd.Drawn("box", faces, 80.0, f'shape = "box"\n{sizes}roof = "flat"\n', {"window": CLEAR2}, made)
    house.windows.append(("south", 0.3, 0.2, 2.4, 2.1, "window"))
    for tier in range(5):
        height = round(0.25 + 0.42 * tier, 2)
        house.boxes.append(((0.6, 0.4, height - 0.03), (1.8, 0.45, 0.025), 0.5))
        house.beds.append((f"tier {tier + 1}", (0.6, 0.4), (1.8, 0.45), height, 0.2))
    return house


def crated_bed() -> hd.Drawn:
    """A gable of milky sheets with a crate on half of one bed and a bench above the other, roof lights of glass."""
    faces, head = _gable(4.5, 3.0, 1.7, 2.7)
    made: dict[str, str | float] = dict.fromkeys(faces, "main") | {"floor": 0.2, "roof-north": 0.5, "north": 0.5}
    house = hd.Drawn("gable", faces, 60.0, head, {"main": MILKY, "window": CLEAR1}, made)
    house.windows += [("roof-north", 0.5, 0.3, 1.2, 1.0, "window"), ("roof-north", 2.4, 0.3, 1.4, 1.0, "window")]
    house.boxes += [((0.3, 0.3, 0.45), (1.8, 0.7, 0.4), 0.4), ((0.3, 1.9, 0.72), (3.8, 0.8, 0.05), 0.3)]
    house.beds += [
        ("crated", (0.3, 0.3), (3.8, 0.7), 0.45, 0.1),
        ("bench", (0.3, 1.9), (3.8, 0.8), 0.78, 0.1),
        ("floor", (0.3, 1.95), (3.8, 0.7), 0.05, 0.1),
    ]
    return house


def southern() -> hd.Drawn:
    """A gable whose front faces north, as in the south of the world, with hills all round and a hedge as a sheet."""
    faces, head = _gable(6.0, 3.4, 1.6, 2.6)
    made: dict[str, str | float] = dict.fromkeys(faces, "main") | {"floor": 0.2, "north": 0.6, "roof-north": 0.6}
    house = hd.Drawn("gable", faces, 268.0, head, {"main": CLEAR2}, made)
    house.skyline = [(10, 9.0), (60, 4.0), (130, 12.0), (200, 3.0), (290, 7.0)]
    house.sheets.append(([[-2.0, -3.0, 0.0], [9.0, -3.5, 0.0], [9.0, -3.5, 1.6], [-2.0, -3.0, 1.6]], 0.15))
    house.beds += [("front", (0.3, 0.2), (5.4, 0.8), 0.4, 0.1), ("back", (0.3, 2.4), (5.4, 0.8), 0.4, 0.1)]
    return house


def small_case() -> hd.Drawn:
    """A propagator of clear sheets all round, 0.9 by 0.5 m, on a table in the open."""
    faces, sizes = _box(0.9, 0.5, 0.4)
    made: dict[str, str | float] = dict.fromkeys(faces, "main") | {"floor": 0.5}
    house = hd.Drawn("box", faces, 90.0, f'shape = "box"\n{sizes}roof = "flat"\n', {"main": CLEAR1}, made)
    house.beds.append(("trays", (0.05, 0.05), (0.8, 0.4), 0.08, 0.1))
    return house


def long_tunnel() -> hd.Drawn:
    """Thirty metres of hazy film, beds from end to end."""
    faces, head = hd.SHAPES["hoop"](np.random.default_rng(1), 30.0, 7.0)
    made: dict[str, str | float] = dict.fromkeys(faces, "main") | {"floor": 0.15}
    house = hd.Drawn("hoop", faces, 178.0, head, {"main": HAZY}, made)
    house.beds += [("west", (0.5, 0.8), (29.0, 1.2), 0.1, 0.1), ("middle", (0.5, 2.9), (29.0, 1.2), 0.1, 0.1)]
    return house


def yard() -> hd.Drawn:
    """A glass house in a yard of white walls on three sides, taller than itself."""
    faces, head = _gable(4.0, 3.0, 1.8, 2.6)
    made: dict[str, str | float] = dict.fromkeys(faces, "main") | {"floor": 0.2}
    house = hd.Drawn("gable", faces, 110.0, head, {"main": CLEAR1}, made)
    house.outside += [
        ((-2.0, 3.8, 0.0), (8.0, 0.4, 4.0), 0.75), ((-2.4, -3.0, 0.0), (0.4, 7.2, 4.0), 0.75),
        ((6.0, -3.0, 0.0), (0.4, 7.2, 3.0), 0.75),
    ]  # fmt: skip
    house.beds += [("front", (0.2, 0.2), (3.6, 0.8), 0.4, 0.1), ("back", (0.2, 2.0), (3.6, 0.8), 0.7, 0.1)]
    return house


KINDS = {
    made.__name__.replace("_", "-"): made
    for made in (
        cold_frame, wall_lean_to, two_windows, well_window, doored_hoop, tent, tier_window, crated_bed, southern,
        small_case, long_tunnel, yard,
    )
}  # fmt: skip
