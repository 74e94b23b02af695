"""The house as the hourly balance needs it: what its faces, beds, water and draughts are in watts and kelvin."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import build as parts
from tenhour.heat import films, fire, ground
from tenhour.house import shapes
from tenhour.house.bedlight import Scene
from tenhour.model.cover import OPAQUE, Cover
from tenhour.model.house import BENCH_M, Bed, House, Layer, Leak
from tenhour.year.inside.scene import OPAQUE_U_W_M2_K, cover_by_face, face_of, floor_names, layer_share, scene_of

Array = NDArray[np.float64]

LEAK_PER_H: Final[dict[Leak, tuple[float, float]]] = {
    "tight": (0.3, 0.1), "ordinary": (0.5, 0.15), "draughty": (1.0, 0.4),
}  # fmt: skip
"""Air changes an hour, and more per m s⁻¹ of wind at the house. Ten commercial houses by tracer gas 0.34 to below 1,
mean 0.56 (Colorado State, read in an abstract); slopes: practice."""
WIND_SHARE: Final = {"sheltered": 0.5, "open": 0.75}
"""Wind at the house over that at 10 m in the open: behind hedges 0.5-0.7 (practice), in the open (2/10)^0.14."""
BOARD_M: Final = 0.6
BOARD_M2_K_W: Final = 1.5
"""A board round the edge: 5 cm of closed-cell foam, 0.6 m deep (extension advice, read)."""
QUICK_J_M2_K: Final = 12_000.0
"""Air, leaves, trays and staging that follow the air at once, per floor. Judgement."""
LEAF_FRAC: Final = 0.5
"""Ground of a bed that leaves hide, on the mean of a winter. Judgement."""
LEAST_PATH_FRAC: Final = 0.05
"""Floor that is not bed at least; beds on shelves may be more than the floor. Judgement."""
LEAF_WET_FRAC: Final = 0.75
SOIL_WET_FRAC: Final = 0.5
"""Of what wet ground would evaporate, what leaves and moist soil do: at 20 °C 0.65 and 0.43 of the sun on them, at 5 °C
0.45 and 0.3 (0.5-0.7 of leaves: practice). Judgement."""
SOIL_WATER_KG_M2: Final = 16.0
"""Water in the upper 8 cm of moist soil that freezes: a fifth of its volume. Judgement."""
TRAY_WATER_KG_M2: Final = 12.0
"""The same in trays, half of whose upper half is water. Judgement."""
MAT_BACK_FRAC: Final = 0.15
"""What a mat on a bench loses down through 2 cm of foam. Judgement."""
SKIN_M2_PER_LITRE: Final = 0.0095
"""Of drums of 200 l. Derived: 0.58 m across, 0.88 m high."""
DRUM_FILM_W_M2_K: Final = 2.0
WALL_SUN_FRAC: Final = 0.6
"""Sun that an opaque face outdoors takes in: weathered timber, render. Judgement."""
FRAME_SUN_FRAC: Final = 0.7
CLEAR_SUN_FRAC: Final = 0.06
"""Sun that one sheet of glass or plastic takes in, near infrared included: 0.05 film to 0.12 green glass. Judgement."""
SPILT_FRAC: Final = 0.5
"""Of the light that a layer over a bed throws back, what the room keeps. Judgement."""


@dataclass(frozen=True)
class Cased:
    """One cover or light wall of the skin."""

    name: str
    normal: Array
    """Outward, in house axes [3]."""
    sun_frac: float
    glazed: bool


@dataclass(frozen=True)
class HeatHouse:
    """A house unpacked for the balance, with the names its arrays go by."""

    house: House
    scene: Scene
    build: parts.Build
    skin: tuple[Cased, ...]
    zone_of_bed: tuple[int, ...]
    """Zone of each bed; 0 are the paths."""
    bed_layers: tuple[tuple[Layer, ...], ...]
    """Layers over each zone; none over the first and over walls and water."""
    zone_names: tuple[tuple[str, ...], ...]
    """Pieces of the room whose light each zone takes in; () for the first, which takes in the rest."""
    mat_of_bed: tuple[int | None, ...]
    """Mat under each bed, among those of the build; none under most."""
    leaf_frac: Array
    """Of the sun each zone takes in, what falls on leaves; none on walls and water."""
    walls: dict[int, Cased]
    """Zones that are heavy walls, as they look from outside."""


def own_layers(house: House, bed: int) -> tuple[Layer, ...]:
    """Layers over one bed alone."""
    layers = house.beds[bed].layers
    return layers[: len(layers) - len(house.layers)]


def resistance_m2_k_w(cover: Cover) -> float:
    """What a layer adds, from its own U-value; none where that is unknown."""
    return 0.0 if cover.u_w_m2_k is None else 1.0 / cover.u_w_m2_k


def unpacked(house: House) -> HeatHouse:
    """Unpack a house. Parameters: house, with every bed whose air is asked for."""
    scene = scene_of(house)
    floor = floor_names(scene)
    areas = {s.name: _area_m2(s.vertices_m) for s in scene.surfaces}
    floor_m2 = max(sum(areas[name] for name in floor), 0.1)
    edge_m = sum(_around_m(s.vertices_m) for s in scene.surfaces if s.name in floor)
    column = ground.soil_column(_floor_u(house, floor_m2, edge_m))
    zones, names, layers, shares, of_bed = _bed_zones(house, floor_m2, column)
    mats, mat_of_bed = _mats(house, of_bed)
    skin, cased, heavy = _skin(house, scene, floor, areas)
    walls = {}
    for wall, zone in heavy:
        walls[len(zones)] = wall
        zones.append(zone)
        names.append((wall.name,))
    for store in house.stores:
        box = next((box for box in house.boxes if box.name == store.name), None) if store.in_sun else None
        area = SKIN_M2_PER_LITRE * store.water_kg if box is None else _box_m2(box.size_m)
        water = ground.water_column(store.water_kg / area)
        zones.append(parts.Zone(area, DRUM_FILM_W_M2_K, water, water_kg=store.water_kg))
        names.append((store.name,) if box is not None else ("no piece",))
    more = len(zones) - len(shares)
    leak, per_wind = LEAK_PER_H[house.draughts.leak]
    stove = any(heater.kind == "stove" for heater in house.heaters)
    skin = skin._replace(area_m2=skin.area_m2 * house.draughts.loss_factor)
    build = parts.Build(
        skin, tuple(zones), _volume_m3(scene), QUICK_J_M2_K * floor_m2,
        leak if house.draughts.leak_per_h is None else house.draughts.leak_per_h, per_wind, house.site.elevation_m,
        heater=parts.Heater(sum(h.power_w for h in house.heaters) or np.inf, fire.RADIANT_FRAC if stove else 0.0),
        mats=mats,
    )  # fmt: skip
    leaf = np.array(shares + [0.0] * more)
    over = (*layers, *((),) * more)
    return HeatHouse(house, scene, build, tuple(cased), of_bed, over, tuple(names), mat_of_bed, leaf, walls)


def loss_w_k(house: House) -> float:
    """Heat lost through faces and draughts per kelvin, from U-values as in tables: what lamps' heat is set against."""
    build = unpacked(house).build
    skin = float((build.skin.area_m2 / (build.skin.resistance_m2_k_w + films.ROOM_FILM_M2_K_W)).sum())
    heavy = sum(
        zone.area_m2 * zone.column.steady_w_m2_k() for zone in build.zones if len(zone.column.layer_j_m2_k) == 1
    )
    return skin + heavy + build.change_w_k * build.leak_per_h


def _floor_u(house: House, floor_m2: float, edge_m: float) -> float:
    whole = float(ground.slab_u_w_m2_k(edge_m / floor_m2)) * floor_m2
    if house.draughts.edge == "board":
        whole += ground.edge_board_w_m_k(BOARD_M, BOARD_M2_K_W) * edge_m
    return max(whole / floor_m2, 0.05)


_Zones = tuple[list[parts.Zone], list[tuple[str, ...]], list[tuple[Layer, ...]], list[float], tuple[int, ...]]


def _bed_zones(house: House, floor_m2: float, column: ground.Column) -> _Zones:
    """Paths, and beds: those with the same layers of their own together, each bed with a mat by itself."""
    mats = {mat.bed for mat in house.mats}
    kinds: list[tuple[tuple[Layer, ...], str]] = []
    of_bed = []
    for number, bed in enumerate(house.beds):
        own = own_layers(house, number), bed.name if bed.name in mats else ""
        if own not in kinds:
            kinds.append(own)
        of_bed.append(kinds.index(own) + 1)
    bed_m2 = [0.0] * (len(kinds) + 1)
    tray = [False] * (len(kinds) + 1)
    for bed, zone in zip(house.beds, of_bed, strict=True):
        bed_m2[zone] += _bed_m2(bed)
        tray[zone] = bed.name in mats and bed.height_m >= BENCH_M
    on_floor = sum(area for area, up in zip(bed_m2, tray, strict=True) if not up)
    path_m2 = max(floor_m2 - on_floor, LEAST_PATH_FRAC * floor_m2)
    leaf = [0.0, *(LEAF_FRAC for _ in kinds)]
    damp = [house.draughts.paths == "soil", *(True for _ in kinds)]
    zones = [
        parts.Zone(area, _film(frac), ground.tray_column() if up else column, frac, parts.DAMP_W_M2_K * wet,
                   area * (TRAY_WATER_KG_M2 if up else SOIL_WATER_KG_M2) * wet)
        for area, frac, wet, up in zip([path_m2, *bed_m2[1:]], leaf, damp, tray, strict=True)
    ]  # fmt: skip
    names = [(), *(tuple(f"bed {b.name}" for b, z in zip(house.beds, of_bed, strict=True) if z == n + 1)
                   for n in range(len(kinds)))]  # fmt: skip
    return zones, names, [(), *(layers for layers, _ in kinds)], leaf, tuple(of_bed)


def _mats(house: House, of_bed: tuple[int, ...]) -> tuple[tuple[parts.Mat, ...], tuple[int | None, ...]]:
    """Mats of the beds that are asked for, and the mat of each bed."""
    made: list[parts.Mat] = []
    of: list[int | None] = []
    under = {mat.bed: mat for mat in house.mats}
    for bed, zone in zip(house.beds, of_bed, strict=True):
        mat = under.get(bed.name)
        of.append(None if mat is None else len(made))
        if mat is not None:
            down = MAT_BACK_FRAC if bed.height_m >= BENCH_M else 0.0
            made.append(parts.Mat(zone, mat.power_w_m2 * _bed_m2(bed), down))
    return tuple(made), tuple(of)


def _bed_m2(bed: Bed) -> float:
    return bed.size_m[0] * bed.size_m[1]


def _film(leaf_frac: float) -> float:
    return parts.FLOOR_FILM_W_M2_K * (1.0 - leaf_frac) + parts.LEAF_FILM_W_M2_K * leaf_frac


def _skin(
    house: House, scene: Scene, floor: frozenset[str], areas: dict[str, float]
) -> tuple[parts.Skin, list[Cased], list[tuple[Cased, parts.Zone]]]:
    """Covers and light walls, and heavy walls as zones."""
    covers = cover_by_face(house)
    middle = np.concatenate([s.vertices_m for s in scene.surfaces]).mean(axis=0)
    normals = {s.name: -shapes.frame_of(s.vertices_m, middle).normal for s in scene.surfaces}
    rows: list[tuple[Cased, float, float]] = []
    heavy: list[tuple[Cased, parts.Zone]] = []
    left = dict(areas)
    for number, window in enumerate(house.windows, start=1):
        name, area = f"window {number}", window.width_m * window.height_m
        if window.on in left:
            left[window.on] -= area
            rows.append(_cased(name, area, normals[window.on], covers.get(name), None))
    for surface in scene.surfaces:
        area = left[surface.name]
        if surface.name in floor or area <= 0.0:
            continue
        face = None if house.shape == "custom" else face_of(house, surface.name)
        given = None if face is None else face.u_w_m2_k
        cover = covers.get(surface.name)
        if face is not None and face.wall_kg_m2 is not None and cover is None:
            column = ground.wall_column(face.wall_kg_m2, OPAQUE_U_W_M2_K if given is None else given)
            wall = Cased(surface.name, normals[surface.name], WALL_SUN_FRAC, False)
            heavy.append((wall, parts.Zone(area, parts.COVER_FILM_W_M2_K, column)))
        else:
            rows.append(_cased(surface.name, area, normals[surface.name], cover, given))
    cased = [row[0] for row in rows]
    tilt = np.degrees(np.arccos(np.clip([row.normal[2] for row in cased], -1.0, 1.0)))
    skin = parts.Skin(
        np.array([row[1] for row in rows]), np.array([row[2] for row in rows]), np.asarray(tilt),
        np.array([0.5 if row.glazed else 0.0 for row in cased]),
    )  # fmt: skip
    return skin, cased, heavy


def _cased(
    name: str, area_m2: float, normal: Array, cover: Cover | None, given_u: float | None
) -> tuple[Cased, float, float]:
    glazed = cover is not None and cover.key != OPAQUE
    u = given_u
    if u is None:
        u = OPAQUE_U_W_M2_K if cover is None or cover.u_w_m2_k is None else cover.u_w_m2_k
    sun = WALL_SUN_FRAC
    if cover is not None and glazed:
        pane = 1.0 - (1.0 - CLEAR_SUN_FRAC) ** cover.panes
        sun = cover.frame_share * FRAME_SUN_FRAC + (1.0 - cover.frame_share) * (cover.dirt_share + pane)
    return Cased(name, normal, sun, glazed), area_m2, float(films.pane_resistance_m2_k_w(u))


def spilt_share(house: House, layers: tuple[Layer, ...], month: int) -> float:
    """Share of a bed's light that passes the layers over it by day in a month."""
    share = 1.0
    for layer in layers:
        if layer.by_day and month in layer.months:
            share *= layer_share(house.covers[layer.cover])
    return share


def _area_m2(vertices_m: Array) -> float:
    return float(np.linalg.norm(shapes.newell_normal(vertices_m)))


def _around_m(vertices_m: Array) -> float:
    return float(np.linalg.norm(vertices_m - np.roll(vertices_m, -1, axis=0), axis=1).sum())


def _box_m2(size_m: tuple[float, float, float]) -> float:
    a, b, c = size_m
    return 2.0 * (a * b + b * c + c * a)


def _volume_m3(scene: Scene) -> float:
    """Of a room that bulges nowhere inwards: cones from its middle to every face."""
    middle = np.concatenate([s.vertices_m for s in scene.surfaces]).mean(axis=0)
    total = 0.0
    for surface in scene.surfaces:
        frame = shapes.frame_of(surface.vertices_m, middle)
        total += _area_m2(surface.vertices_m) * abs(float((middle - surface.vertices_m[0]) @ frame.normal)) / 3.0
    return total
