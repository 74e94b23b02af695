"""Houses and house-years for tests of the whole chain; each is built once."""

from __future__ import annotations

from collections import OrderedDict
from functools import lru_cache
from importlib import resources

from helpers_once import keep
from tenhour.files import packaged
from tenhour.files.crop import load_crops
from tenhour.files.house.read import demo_house, house_from_text
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.year.outside.sunlight import Sources
from tenhour.year.world import World, build

PLAIN = """
schema = 1
[site]
latitude_deg = {lat}
longitude_deg = {lon}
elevation_m = {elev}
timezone = "{zone}"
[house]
shape = "gable"
length_m = 5.0
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
length_azimuth_deg = {azimuth}
cover = "{cover}"
reflectance = 0.4
{faces}
[[bed]]
name = "front"
at_m = [0.3, 0.2]
size_m = [4.4, 0.8]
height_m = 0.6
[[bed]]
name = "back"
at_m = [0.3, 2.0]
size_m = [4.4, 0.8]
height_m = 0.6
[air]
{air}
"""
NORTH_WALL = '[face.north]\ncover = "opaque"\n'


def plain(
    lat: float = 48.0,
    lon: float = 16.0,
    elev: float = 200.0,
    zone: str = "UTC",
    azimuth: float = 90.0,
    faces: str = NORTH_WALL,
    air: str = "day_set_degc = 12\nnight_set_degc = 5",
    cover: str = "glass-1",
) -> House:
    """A small glass house with two beds; every argument changes one thing about it."""
    text = PLAIN.format(lat=lat, lon=lon, elev=elev, zone=zone, azimuth=azimuth, faces=faces, air=air, cover=cover)
    return house_from_text(text, "house.toml")


@lru_cache(maxsize=1)
def sources() -> Sources:
    """The packaged normals and sky."""
    return Sources(packaged.normals(), packaged.perez_sky(), hours=packaged.weather_hours(), kept=keep)


_CACHE: OrderedDict[str, World] = OrderedDict()
MOST = 8
"""House-years that are kept, the least lately asked for let go of: some ten megabytes each."""


def world_of(house: House) -> World:
    """The house-year of a house, built once for tests that stand near one another."""
    key = repr(house)
    if key not in _CACHE:
        _CACHE[key] = build(house, sources())
    _CACHE.move_to_end(key)
    while len(_CACHE) > MOST:
        _CACHE.popitem(last=False)
    return _CACHE[key]


def demo_world() -> World:
    """The house-year of the built-in house."""
    return world_of(demo_house())


def demo_text(*beds: str) -> str:
    """The file of the built-in house, of its beds those named alone: all of it without a name."""
    text = (resources.files("tenhour") / "_data" / "demo-house.toml").read_text("utf-8")
    before, *tables = text.split("[[bed]]\n")
    last, heater, after = tables[-1].partition("# Heater set points")
    kept = [
        f"[[bed]]\n{table}"
        for table in (*tables[:-1], last)
        if not beds or any(f'name = "{bed}"' in table for bed in beds)
    ]
    return before + "".join(kept) + heater + after


@lru_cache(maxsize=1)
def crops() -> dict[str, Crop]:
    """The shipped crop table by key."""
    return {crop.key: crop for crop in load_crops()}
