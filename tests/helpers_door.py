"""The houses that are held against Radiance once more, as house files: what a user writes, traced by the whole chain."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import numpy as np
import pvlib

import helpers_house as hh
import helpers_houses as hs
import helpers_years as hy
from tenhour.cover import optics
from tenhour.door.weather import load_weather
from tenhour.files.house.read import house_from_text
from tenhour.files.packaged import normals, perez_sky, weather_hours
from tenhour.house import bedlight, shapes
from tenhour.model.house import House
from tenhour.plan.dates import month_means
from tenhour.year.outside.sunlight import Sources
from tenhour.year.world import World, build

Array = hh.Array
PLACES = {"Sand Point": (55.317, -160.517, 7.0), "Greensboro": (36.1, -79.95, 273.0)}
DATA = Path(pvlib.__file__).parent / "data"
GLASS = """
[cover.pane]
panes = {panes}
refractive_index = 1.52
internal_transmittance = 0.9617
frame_share = 0
dirt_share = 0
condensation_share = 0
snow_share = 0
"""


def _site(place: str, ground: float) -> str:
    latitude, longitude, elevation = PLACES[place]
    return (
        f"schema = 1\n[site]\nlatitude_deg = {latitude}\nlongitude_deg = {longitude}\nelevation_m = {elevation}\n"
        f'timezone = "UTC"\nground_reflectance = {ground}\nclimate = {json.dumps(str(DATA / hy.FILES[place]))}\n'
    )


def house_text(pair: hs.Pair, panes: int, place: str, ground: float = hy.ALBEDO) -> str:
    """A house of clear panes as a house file, surface by surface, with its windows, boxes, beds and neighbours."""
    scene = pair.scene
    text = _site(place, ground) + GLASS.format(panes=panes)
    text += f'[house]\nshape = "custom"\nlength_azimuth_deg = {scene.azimuth_deg}\ncover = "opaque"\n'
    for surface in scene.surfaces:
        made = f"reflectance = {surface.refl_frac}" if surface.pane_index == shapes.OPAQUE else 'cover = "pane"'
        text += f'[[surface]]\nname = "{surface.name}"\n{made}\nvertices_m = {surface.vertices_m.tolist()}\n'
    for one in scene.openings:
        text += f'[[window]]\non = "{one.on}"\nleft_m = {one.left_m}\nsill_m = {one.sill_m}\n'
        text += f'width_m = {one.width_m}\nheight_m = {one.height_m}\ncover = "pane"\n'
    for kind, blocks in (("box", scene.blocks), ("outside", scene.outside.blocks)):
        for block in blocks:
            size = (np.array(block.high_m) - np.array(block.low_m)).tolist()
            text += f'[[{kind}]]\nname = "{block.name}"\nat_m = {list(block.low_m)}\nsize_m = {size}\n'
            text += f"reflectance = {block.refl_frac}\n"
    for bed in scene.beds:
        size = (np.array(bed.high_m) - np.array(bed.low_m)).tolist()
        text += f'[[bed]]\nname = "{bed.name}"\nat_m = {list(bed.low_m)}\nsize_m = {size}\n'
        text += f"height_m = {bed.height_m}\ncanopy_m = {bed.canopy_m}\nreflectance = {bed.refl_frac}\n"
    return text


def house_of(pair: hs.Pair, panes: int, place: str) -> House:
    """The same, read."""
    return house_from_text(house_text(pair, panes, place), "house.toml")


@cache
def sources_of(place: str) -> Sources:
    """Packaged data and the typical year."""
    latitude, longitude, _ = PLACES[place]
    weather = load_weather(DATA / hy.FILES[place], latitude, longitude)
    return Sources(normals(), perez_sky(), weather, hours=weather_hours())


def world_of(pair: hs.Pair, panes: int, place: str) -> World:
    """The house-year, all the way from the file."""
    return build(house_of(pair, panes, place), sources_of(place))


def ratios(world: World) -> list[Array]:
    """Month's light at every point of every bed over that outdoors [12, p]."""
    outdoors = month_means(world.outdoors.dli_mol_m2_d)
    return [month_means(bed.point_dli_mol_m2_d.T).T / outdoors[:, None] for bed in world.beds]


def far_shelf(seed: int = 0) -> tuple[hs.Pair, int]:
    """A room with one window and a small shelf well behind it; the seed moves window and shelf about."""
    draw = np.random.default_rng(seed)
    back = 1.5 if seed == 0 else float(draw.uniform(1.0, 2.2))
    wide, tall = (1.0, 1.2) if seed == 0 else (float(draw.uniform(0.7, 1.6)), float(draw.uniform(0.8, 1.4)))
    azimuth = 90.0 if seed == 0 else float(draw.uniform(60.0, 120.0))
    length, width, height = 3.5, 3.2, 2.4
    left, sill = (length - wide) / 2, 0.85
    refl = {"floor": 0.3, "roof": 0.8, "south": 0.6, "north": 0.6, "east": 0.6, "west": 0.6}
    skin = hs._skin("box", {"length": length, "width": width, "eaves": height}, {}, refl)
    beds = (bedlight.BedPlane("shelf", (1.35, back), (2.15, back + 0.3), 0.9),)
    opening = shapes.Opening("south", left, sill, wide, tall, 0)
    scene = bedlight.Scene(
        skin, (opening,), (), beds, hs.panes_of(optics.clear_pane(*hs.GLASS, 2)), azimuth_deg=azimuth
    )
    w = hs.Writer((length / 2, width / 2, 1.2), azimuth)
    w.text += hh.clear_panes("glass", *hs.GLASS, 2)
    right = length - left
    hole = np.array(
        [[right - wide, 0, sill], [right, 0, sill], [right, 0, sill + tall], [right - wide, 0, sill + tall]]
    )
    for name, (at, across, up) in hs._box_walls(length, width, height).items():
        outline = np.array([at, at + across, at + across + up, at + up])
        w.wall(name, outline.tolist(), refl[name], (hole,) if name == "south" else ())
    w.pane("window", "glass", hole.tolist())
    return hs._finish(f"far shelf {seed}", w, scene), 2


CLEAR = {"double-glass": (hs.double_glass, 2), "lean-to": (hs.lean_to, 1), "window-room": (hs.window_room, 2)}


def pair_of(name: str) -> tuple[hs.Pair, int]:
    """A house of clear panes and how many it has; random-7 is the first clear house drawn from seed 7 on."""
    kind, _, seed = name.rpartition("-")
    if kind == "far-shelf":
        return far_shelf(int(seed))
    if kind == "random":
        return next(found for n in range(int(seed), int(seed) + 50) if (found := _drawn(n)) is not None)
    made, panes = CLEAR[name]
    return made(), panes


def _drawn(seed: int) -> tuple[hs.Pair, int] | None:
    pair = hs.random_house(seed)
    if pair.scene.panes.scattered_frac.any():
        return None
    at_normal = [optics.clear_pane(*hs.GLASS, n).straight_frac[0] for n in (1, 2, 3)]
    return pair, int(np.abs(np.array(at_normal) - pair.scene.panes.straight_frac[0, 0]).argmin()) + 1
