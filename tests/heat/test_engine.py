"""Houses of house files in EnergyPlus, an open building-energy engine, and in ``tenhour heat`` (its months, its hours).

Golden, Colorado: a typical year that comes with the engine. Helsinki: no weather file of it is at hand, so the first
made-up winter of its normals, written as a weather file that both read. Three houses: a gable of double glass, heated
to 8 °C; the same unheated with 600 l of water; an insulated box with one window, heated to 12 °C.

Matched: shape, glass by its sheets, U-values, what surfaces reflect, soil, draughts and how they grow with wind, what
follows the air at once, where vents open, weather. Both trace their own sun, have their own films, sky, ground and wind
at each face. The engine's house is dry, so paths are paved here and the bed is a tray of 0.09 m².
Changed after the first comparison (heat +27 %): the engine's soil near the surface, whose own grid is too coarse for a
day, became 25 cm solved exactly (then +2 %); and the panes' U-value, from a table's 2.85 to the 2.73 W m⁻² K⁻¹ of this
glass without frame in the table behind the catalogue. Nothing of ours was changed.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from helpers_engine import epw_text, solve
from helpers_long import LONG, many
from helpers_world import sources
from tenhour.cli.loading import sources as file_sources
from tenhour.files.house.read import house_from_text
from tenhour.plan.dates import MONTH_OF_DAY
from tenhour.sky.hours import WINTERS
from tenhour.year.outside.hours import year_hours
from tenhour.year.outside.sunlight import sunlight_at
from tenhour.year.warm.warmth import Winters
from tenhour.year.world import build

pyenergyplus = pytest.importorskip("pyenergyplus") if not os.environ.get("TENHOUR_CI") else __import__("pyenergyplus")
GOLDEN = Path(pyenergyplus.__file__).parent / "data" / "weather" / "USA_CO_Golden-NREL.724666_TMY3.epw"
PLACES = {"golden": (39.74, -105.18, 1829.0, "America/Denver"), "helsinki": (60.2, 24.9, 20.0, "Europe/Helsinki")}
MONTHS = many((8, 1), (7, 4))
"""Run from July, so that the soil under the house has had its summer; October to April count. In the short form from
August to January: half the time, and the dark half of what counts."""
FIRST_DOY = (date(2017, MONTHS[0], 1) - date(2017, 1, 1)).days
SOME = [("golden", "gable")]
EVERY = [(place, name) for place in PLACES for name in ("gable", "water", "box")]

HEAD = """
schema = 1
[site]
latitude_deg = {site[0]}
longitude_deg = {site[1]}
elevation_m = {site[2]}
timezone = "{site[3]}"
climate = "{weather}"
ground_reflectance = 0.2
[cover.pane]
panes = 2
refractive_index = 1.526
internal_transmittance = 0.96
frame_share = 0
dirt_share = 0
condensation_share = 0
snow_share = 0
u_w_m2_k = 2.73
[heat]
leak_ach = 0.5
wind = "open"
paths = "paved"
"""
GABLE = """
[house]
shape = "gable"
length_m = 6.0
width_m = 3.6
eaves_m = 1.6
ridge_m = 2.6
length_azimuth_deg = 90
cover = "pane"
reflectance = 0.5
[face.north]
cover = "opaque"
u_w_m2_k = 0.4
[face.floor]
reflectance = 0.15
[[bed]]
name = "tray"
at_m = [2.9, 1.7]
size_m = [0.3, 0.3]
"""
BOX = """
[house]
shape = "box"
length_m = 4.0
width_m = 3.0
eaves_m = 2.4
length_azimuth_deg = 90
cover = "opaque"
reflectance = 0.5
[face.floor]
reflectance = 0.15
[[window]]
on = "south"
left_m = 0.5
sill_m = 0.8
width_m = 3.0
height_m = 1.0
cover = "pane"
[[bed]]
name = "tray"
at_m = [1.9, 1.4]
size_m = [0.3, 0.3]
""" + "".join(f"[face.{name}]\nu_w_m2_k = 0.4\n" for name in ("south", "north", "east", "west", "roof"))
HOUSES = {
    "gable": GABLE + "[air]\nnight_set_degc = 8\nvent_degc = 45\n",
    "water": GABLE + "[[store]]\nlitres = 600\n[air]\nvent_degc = 45\n",
    "box": BOX + "[air]\nnight_set_degc = 12\nvent_degc = 45\n",
}


@dataclass(frozen=True)
class Both:
    """Hours from October to April: air [°C] and heat [W], ours and the engine's."""

    air: np.ndarray
    heat: np.ndarray
    engine_air: np.ndarray
    engine_heat: np.ndarray
    night: np.ndarray
    unheated: bool


@lru_cache(maxsize=2)
def weather(place: str, folder: Path) -> Path:
    """A file of a year."""
    if place == "golden":
        return GOLDEN
    text = (HEAD + HOUSES["gable"]).format(site=PLACES[place], weather="normals")
    house = house_from_text(text, "house.toml")
    hours = year_hours(house, sources(), sunlight_at(house, sources()), count=WINTERS)
    path = folder / f"{place}.epw"
    path.write_text(epw_text(hours, *PLACES[place][:3]), "utf-8")
    return path


@lru_cache(maxsize=6)
def both(place: str, name: str, folder: Path) -> Both:
    """Both, once for all tests."""
    file = weather(place, folder)
    house = house_from_text((HEAD + HOUSES[name]).format(site=PLACES[place], weather=file), "house.toml")
    given = file_sources(house)
    world = build(house, given)
    hours = year_hours(house, given, world.light)
    winters = Winters(house, world.light, world.warmth.found, world.warmth.states, hours)
    engine = solve(house, file, folder / f"{place}-{name}", MONTHS)
    count = len(engine["Zone Air Temperature"])
    days = (FIRST_DOY + np.arange(count // 24)) % 365
    cold = np.isin(MONTH_OF_DAY[days], (10, 11, 12, 1, 2, 3, 4))
    engine = {key: values.reshape(-1, 24)[cold].ravel() for key, values in engine.items()}
    air, days = engine["Zone Air Temperature"], days[cold]
    order = np.argsort(winters.doy)[days]
    ours, heat = (part[:, 0].reshape(365, 24)[order].ravel() for part in (winters.run.air_degc, winters.run.heat_w))
    hour = np.arange(len(air)) % 24
    return Both(ours, heat, air, engine.get("Zone Ideal Loads Zone Sensible Heating Rate", np.zeros_like(air)),
                (hour < 6) | (hour >= 20), house.air.night_set_degc is None)  # fmt: skip


@pytest.fixture(scope="module", params=EVERY if LONG else SOME, ids="-".join)
def pair(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Both:
    """Engine and house file at one place."""
    return both(*request.param, tmp_path_factory.getbasetemp())


def test_heat_and_its_largest_hour(pair: Both) -> None:
    """Within 10 and 8 %."""
    if pair.unheated:
        assert not pair.heat.any()
        return
    assert 0.9 < pair.heat.sum() / pair.engine_heat.sum() < 1.1
    assert 0.92 < pair.heat.max() / pair.engine_heat.max() < 1.08


def test_nights_by_the_hour_and_the_coldest(pair: Both) -> None:
    """Within 1.5 K rms; the coldest hour of an unheated house within 1 K."""
    gap = (pair.air - pair.engine_air)[pair.night]
    rms = float(np.sqrt(np.mean(gap**2)))
    assert rms < 1.5, rms
    assert abs(pair.air.min() - pair.engine_air.min()) < 1.0
