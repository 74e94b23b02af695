"""Every key moves something: one row per key of the house file, the lamp file and the weather table.

A row says what the guide promises: a base, a change, the number that must move, its direction and rough size; or in
words why nothing need move. A key without a row fails. Numbers are read from the answers' JSON, in this process.

Counted on 29 November 2026: 160 keys of the house file (138 with a row here, 12 whose effect another test shows, 10 said
in words), 64 of a crop file (43 and 21 in words), 10 of a lamp file, 4 columns of a weather table and 331 options of the
commands. Ten moved nothing at all before the rows were written, though the guides promised it: ``dhi`` and ``dni`` of a
weather table, its warmth by day and night, ``layer.by_day``, a night cover's U-value, ``face.NAME.u_w_m2_k`` of floors
and of a hoop's roof, ``heater.flue_mm``, ``tray.dark_d``, ``report --lamps`` and ``lamps --windows`` on a dark shelf. A
dozen more moved by the wrong size, and a surety above 0.9 ended in an error. Thirty-seven of the guide's promises, tried
once more by hand on a lean-to at 61° N, a tunnel at 45° S and a lit sill at 53° N, moved what they say.
"""

# ruff: noqa: E501 - one row, one line

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from helpers_long import many
from helpers_world import crops
from tenhour.cli.loading import sources
from tenhour.files.house import schema, warmtables
from tenhour.files.house.household import household_data
from tenhour.files.house.parts import TOP_KEYS
from tenhour.files.house.read import house_from_tables
from tenhour.files.lamp import LampChoice, find_lamp
from tenhour.files.lamp_build import OwnLamp
from tenhour.files.problems import Section
from tenhour.house import suntable
from tenhour.model.house import Air, Draughts, House
from tenhour.model.lamp import LampRequest
from tenhour.report.answers import answer_json
from tenhour.year.feed.asked import Asked
from tenhour.year.inside.beds import traced
from tenhour.year.outside.sunlight import Sources, Sunlight, sunlight_at
from tenhour.year.warm.helps import Helps
from tenhour.year.year import Year

BASE: dict[str, Any] = {
    "site": {
        "latitude_deg": 50.0, "longitude_deg": 8.0, "elevation_m": 200.0, "timezone": "Europe/Berlin",
        "skyline": [[90, 2], [180, 2], [270, 2]], "snow_months": [1], "ground_reflectance": 0.07,
    },
    "house": {
        "shape": "gable", "length_m": 4.0, "width_m": 3.0, "eaves_m": 1.8, "ridge_m": 2.6, "length_azimuth_deg": 90,
        "cover": "glass-2", "reflectance": 0.4,
    },
    "face": {"north": {"cover": "opaque", "reflectance": 0.4}},
    "window": [{"on": "north", "left_m": 0.4, "sill_m": 0.4, "width_m": 1.5, "height_m": 1.0, "cover": "glass-2"}],
    "box": [{"name": "rack", "at_m": [0.4, 1.2, 0], "size_m": [1.5, 0.4, 1.2], "reflectance": 0.2}],
    "outside": [{"name": "wall", "at_m": [-3, -4, 0], "size_m": [10, 1, 2], "reflectance": 0.2}],
    "bed": [
        {"name": "front", "at_m": [0.2, 0.2], "size_m": [3.6, 0.7], "height_m": 0.4, "canopy_m": 0.05, "reflectance": 0.1},
        {"name": "back", "at_m": [0.2, 2.0], "size_m": [3.6, 0.8], "height_m": 0.4, "layers": [{"cover": "fleece"}]},
    ],
    "air": {"day_degc": 15, "night_degc": 7},
}  # fmt: skip
LEAN_TO = {
    "house": {"shape": "lean-to", "length_m": 4.0, "width_m": 3.0, "front_m": 1.5, "back_m": 2.5, "cover": "glass-2"},
    "window": None,
    "face": {"north": {"cover": "opaque"}},
}
BOX = {
    "house": {"shape": "box", "length_m": 4.0, "width_m": 3.0, "eaves_m": 2.0, "back_m": 2.6, "cover": "glass-2"},
    "window": None,
    "face": {"north": {"cover": "opaque"}},
}
OWN = {
    "cover": {"own": {"normal_transmittance": 0.85, "hemispherical_transmittance": 0.75, "straight_share": 0.8,
                      "reflectance": 0.12, "frame_share": 0.05, "dirt_share": 0.05, "condensation_share": 0.05,
                      "snow_share": 0.3}},
    "house.cover": "own",
}  # fmt: skip
PANED = {
    "cover": {"own": {"panes": 1, "refractive_index": 1.52, "internal_transmittance": 0.96}}, "house.cover": "own",
}  # fmt: skip
CUSTOM = {
    "house": {"shape": "custom", "cover": "opaque", "reflectance": 0.4, "length_azimuth_deg": 90},
    "face": None,
    "window": None,
    "surface": [
        {"name": "floor", "reflectance": 0.2, "vertices_m": [[0, 0, 0], [4, 0, 0], [4, 3, 0], [0, 3, 0]]},
        {"name": "south", "cover": "glass-2", "vertices_m": [[0, 0, 0], [4, 0, 0], [4, 0, 2], [0, 0, 2]]},
        {"name": "north", "reflectance": 0.4, "vertices_m": [[0, 3, 0], [4, 3, 0], [4, 3, 2], [0, 3, 2]]},
        {"name": "top", "cover": "glass-2", "vertices_m": [[0, 0, 2], [4, 0, 2], [4, 3, 2], [0, 3, 2]]},
        {"name": "west", "reflectance": 0.4, "vertices_m": [[0, 0, 0], [0, 3, 0], [0, 3, 2], [0, 0, 2]]},
        {"name": "east", "reflectance": 0.4, "vertices_m": [[4, 0, 0], [4, 3, 0], [4, 3, 2], [4, 0, 2]]},
    ],
}
LAMPS = {"lamps": [{"bed": "front", "kind": "led-bar", "count": 4, "height_m": 0.4, "hours": 14,
                    "burn_from": "10-10", "burn_to": "03-05"}]}  # fmt: skip
MAT = {"mat": [{"bed": "front", "set_degc": 20, "power_w_m2": 70, "months": [9, 10, 11], "price": 0.3}]}
SHELF = {
    "nursery": {"dli_mol_m2_d": 9.0, "lit_h": 14.0, "day_degc": 14, "night_degc": 12},
    "air": {"day_degc": 10, "night_degc": 4},
}
SOIL = "beds.front.soil_degc"
Patch = dict[str, Any]


@dataclass(frozen=True)
class Row:
    """One key: what is changed, on which base, which number moves, and between which factors of itself."""

    key: str
    change: Patch
    path: str = "beds.back.months.1.dli_mol_m2_d"
    low: float = 0.0
    high: float = 1.0
    base: Patch = field(default_factory=dict)
    ask: str = "light"


def down(
    key: str, change: Patch, path: str = "beds.back.months.12.dli_mol_m2_d", least: float = 0.3, **more: Any
) -> Row:
    """A row that takes light away, by half a percent at least."""
    return Row(key, change, path, least, 0.995, **more)


def up(key: str, change: Patch, path: str = "beds.back.months.12.dli_mol_m2_d", most: float = 3.0, **more: Any) -> Row:
    """A row that adds light, half a percent at least."""
    return Row(key, change, path, 1.005, most, **more)


HELD: Patch = {
    "heat": {"leak": "ordinary", "wind": "sheltered", "edge": "bare", "paths": "soil"},
    "air": {"day_set_degc": 8, "night_set_degc": 5},
    "heater": [{"kind": "electric", "power_w": 2000, "price": 0.3}],
}
STOVE: Patch = {"heater": [{"kind": "stove", "power_w": 4000, "flue_mm": 120, "efficiency_frac": 0.7, "price": 0.2}]}
TUB: Patch = {"store": [{"name": "tub", "litres": 400, "at_m": [3.2, 1.2, 0], "size_m": [0.6, 0.6, 1.0]}]}
CURTAIN: Patch = {"curtain": {"faces": ["south", "roof-south"], "kind": "night-curtain"}}
ROOM: Patch = {"nursery": {"dli_mol_m2_d": 8, "lit_h": 14, "day_degc": 19, "night_degc": 16}}
UNDER_LAMPS: Patch = {"nursery": {"lamp_h": 14, "lamp_ppfd_umol_m2_s": 150, "day_degc": 19, "night_degc": 16}}
FED: Patch = {"household": {"people": 2, "from": "2026-10-12", "to": "2026-11-08", "meals": {"salad": 3, "cooked": 2}}}
PRICED: Patch = {**FED, "household.price_kg": "12 EUR", "household.work_worth": "6 EUR"}
TAUGHT: Patch = {
    "learned": {
        "kept": date(2026, 9, 1),
        "sowings": 5,
        "growth": [1.0, 0.9, 1.1],
        "weighings": 2,
        "yield": [1.1, 0.8, 1.5],
    }
}
MISSED = "proof.missing_count"
KWH, COST = "winter.energy_kwh", "tonight.cost_currency"
RAISED = "beds.front.crops.raising."
OUT = "months.1.outdoor.dli_mol_m2_d"
LIT = "beds.front.months.12.lamps_dli_mol_m2_d"
FRONT = "beds.front.months.12.dli_mol_m2_d"
ROWS = [
    down("site.latitude_deg", {"site.latitude_deg": 56.0}, OUT),
    up("site.longitude_deg", {"site.longitude_deg": -3.0, "site.latitude_deg": 40.0}, OUT, 4.0),
    Row("site.place", {"site.latitude_deg": None, "site.longitude_deg": None, "site.place": "Inverness, Scotland"}, OUT, 0.2, 0.9),
    Row("site.elevation_m", {"site.elevation_m": 800.0}, "months.7.outdoor.temp_degc", 0.7, 0.85),
    Row("site.timezone", {"site.timezone": "America/New_York"}, "clock.12.on", ask="lamps"),
    down("site.skyline", {"site.skyline": [[90, 15], [180, 15], [270, 15]]}, FRONT),
    Row("site.snow_months", {"site.snow_months": []}, FRONT.replace("12", "1"), 0.8, 1.5),
    up("site.ground_reflectance", {"site.ground_reflectance": 0.4}, "beds.back.months.6.dli_mol_m2_d", 1.5),
    Row("site.climate", {"site.climate": "weather.csv"}, OUT, 0.2, 0.97),
    Row("site.means.ghi_mj_m2_d", {"site.means": {"ghi_mj_m2_d": [1.0, 2, 4, 7, 9, 10, 9, 8, 5, 3, 1.5, 0.9]}}, OUT, 0.3, 0.95),
    Row("site.means.dli_mol_m2_d", {"site.means": {"dli_mol_m2_d": [2.0, 4, 8, 14, 18, 20, 18, 16, 10, 6, 3, 1.8]}}, OUT, 0.3, 0.95),
    Row("site.last_frost", {"site.last_frost": "06-10"}, "last_frost_tenth", ask="season"),
    Row("site.means.temp_degc", {"site.means": {"temp_degc": [5.0] * 12}}, "months.7.outdoor.temp_degc", 0.2, 0.4),
    Row("house.shape", {"house.shape": "box", "house.ridge_m": None, "face": {"north": {"cover": "opaque"}}}, low=0.3, high=0.995, path=FRONT),
    Row("house.length_m", {"house.length_m": 6.0}, low=0.5, high=2.0),
    Row("house.width_m", {"house.width_m": 4.0}, FRONT, 0.8, 1.2),
    Row("house.eaves_m", {"house.eaves_m": 2.4}, low=0.7, high=1.3),
    Row("house.ridge_m", {"house.ridge_m": 3.4}, low=1.01, high=1.6),
    Row("house.front_m", {"house.front_m": 2.0}, low=0.7, high=1.3, base=LEAN_TO),
    Row("house.back_m", {"house.back_m": 3.2}, low=0.7, high=1.3, base=LEAN_TO),
    Row("house.roof", {"house.back_m": None, "house.roof": "flat"}, low=0.5, high=0.999, base=BOX),
    Row("house.length_azimuth_deg", {"house.length_azimuth_deg": 180}, FRONT, 0.5, 1.6),
    Row("house.ridge_azimuth_deg", {"house.length_azimuth_deg": None, "house.ridge_azimuth_deg": 180}, FRONT, 0.5, 1.6),
    up("house.cover", {"house.cover": "film-1"}, FRONT, 1.4),
    Row("house.reflectance", {"house.reflectance": 0.8}, "beds.back.overcast_ratio", 1.001, 1.3),
    down("house.whole_house_transmittance", {"house.whole_house_transmittance": 0.4}),
    down("house.layers", {"house.layers": ["fleece"]}, FRONT),
    up("face.NAME.cover", {"face.north.cover": "glass-2", "face.north.reflectance": None, "window": None}, "beds.back.months.6.dli_mol_m2_d", 2.0),
    up("face.NAME.reflectance", {"face.north.reflectance": 0.85}, most=1.4),
    Row("window.on", {"window.0.on": "roof-north", "face.roof-north": {"cover": "opaque"}}, low=0.3, high=1.5),
    Row("window.left_m", {"window.0.left_m": 2.2}, "beds.back.months.6.dli_mol_m2_d", 0.8, 1.2),
    Row("window.sill_m", {"window.0.sill_m": 0.75}, "beds.back.months.6.dli_mol_m2_d", 0.8, 1.2),
    up("window.width_m", {"window.0.width_m": 3.0}, "beds.back.months.6.dli_mol_m2_d", 1.5),
    down("window.height_m", {"window.0.height_m": 0.3}, "beds.back.months.6.dli_mol_m2_d"),
    down("window.cover", {"window.0.cover": "multi-wall-16"}, "beds.back.months.6.dli_mol_m2_d"),
    Row("surface.vertices_m", {"surface.0.vertices_m": [[0, 3, 0], [4, 3, 0], [4, 0, 0], [0, 0, 0]]}, low=0.98, high=1.02, base=CUSTOM),
    down("surface.cover", {"surface.3.cover": None, "surface.3.reflectance": 0.5}, base=CUSTOM, least=0.1),
    up("surface.reflectance", {"surface.2.reflectance": 0.85}, base=CUSTOM),
    Row("box.at_m", {"box.0.at_m": [2.0, 1.2, 0]}, low=0.9, high=1.1),
    down("box.size_m", {"box.0.size_m": [3.0, 0.4, 1.4]}),
    up("box.reflectance", {"box.0.reflectance": 0.9}, "beds.back.overcast_ratio", 1.2),
    up("outside.at_m", {"outside.0.at_m": [-3, -20, 0]}, FRONT),
    down("outside.size_m", {"outside.0.size_m": [10, 1, 5]}, FRONT, 0.05),
    up("outside.reflectance", {"outside.0.reflectance": 0.9}, "beds.front.overcast_ratio", 1.3),
    down("outside.vertices_m", {"outside": [{"name": "wall", "vertices_m": [[-6, -3, 0], [10, -3, 0], [10, -3, 4], [-6, -3, 4]]}]}, FRONT, 0.05),
    Row("bed.at_m", {"bed.0.at_m": [0.2, 0.45]}, FRONT, 0.7, 1.3),
    Row("bed.size_m", {"bed.0.size_m": [1.8, 0.3]}, FRONT, 0.7, 1.3),
    Row("bed.height_m", {"bed.0.height_m": 0.9}, FRONT, 0.7, 1.5),
    Row("bed.canopy_m", {"bed.0.canopy_m": 0.5}, FRONT, 0.7, 1.5),
    Row("bed.reflectance", {"bed.0.reflectance": 0.6}, "beds.back.overcast_ratio", 1.001, 1.3),
    up("bed.layers", {"bed.1.layers": []}),
    Row("layer.cover", {"bed.1.layers": [{"cover": "bubble-film"}]}, low=0.7, high=1.4),
    up("layer.months", {"bed.1.layers": [{"cover": "fleece", "months": [1, 2]}]}),
    up("layer.by_day", {"bed.1.layers": [{"cover": "fleece", "by_day": False}]}),
    Row("bed.headroom_m", {"bed.0.headroom_m": 0.45}, "height_m", 0.5, 1.5, ask="lamps"),
    Row("bed.day_degc", {"bed.0.day_degc": 8}, "beds.front.crops.days_median", 1.03, 4.0, ask="sow"),
    Row("mat.bed", {"mat.0.bed": "back"}, SOIL, 0.5, 0.95, base=MAT, ask="sow"),
    Row("mat.set_degc", {"mat.0.set_degc": 24}, SOIL, 1.03, 1.3, base=MAT, ask="sow"),
    Row("mat.power_w_m2", {"mat.0.power_w_m2": 8}, SOIL, 0.5, 0.97, base=MAT, ask="sow"),
    Row("mat.months", {"mat.0.months": [1, 2]}, SOIL, 0.5, 0.95, base=MAT, ask="sow"),
    Row("mat.price", {"mat.0.price": 0.6}, "mats.cost_currency", 1.99, 2.01, base=MAT, ask="heat"),
    Row("air.held", {"air.held": False}, "winter.energy_kwh", 0.0, 0.001, base={"air": {"day_degc": 12, "night_degc": 6}}, ask="heat"),
    Row("air.swing_k", {"air.swing_k": 3}, "winter.lowest_air_degc", 5 / 7 - 0.01, 5 / 7 + 0.01, base={"air": {"night_set_degc": 8}}, ask="heat"),
    Row("nursery.mat_degc", {"nursery.mat_degc": 22}, "beds.front.crops.raising.set_out", base=SHELF, ask="raise"),
    Row("lamps.bed", {"lamps.0.bed": "back"}, LIT, base=LAMPS),
    Row("lamps.kind", {"lamps.0.kind": "t5-tube"}, LIT, 0.2, 0.98, base=LAMPS),
    Row("lamps.file", {"lamps.0.kind": None, "lamps.0.file": "lamp.toml"}, LIT, 0.2, 5.0, base=LAMPS),
    Row("lamps.power_w", {"lamps.0.power_w": 20}, LIT, 0.05, 0.98, base=LAMPS),
    Row("lamps.count", {"lamps.0.count": 8}, LIT, 1.8, 2.2, base=LAMPS),
    Row("lamps.height_m", {"lamps.0.height_m": 0.9}, LIT, 0.4, 0.98, base=LAMPS),
    Row("lamps.hours", {"lamps.0.hours": 7}, LIT, 0.49, 0.51, base=LAMPS),
    Row("lamps.longest_h", {"lamps.0.longest_h": 8}, LIT, 0.4, 0.8, base=LAMPS),
    Row("lamps.ppfd_umol_m2_s", {"lamps.0.ppfd_umol_m2_s": 10}, LIT, 0.01, 0.9, base=LAMPS),
    Row("lamps.clock", {"lamps.0.hours": None, "lamps.0.clock": "08:00-15:00"}, LIT, 0.49, 0.51, base=LAMPS),
    Row("lamps.burn_from", {"lamps.0.burn_from": "12-17"}, LIT, 0.45, 0.52, base=LAMPS),
    Row("lamps.burn_to", {"lamps.0.burn_to": "12-15"}, LIT, 0.45, 0.52, base=LAMPS),
    down("cover.NAME.like", {"cover.own": {"like": "multi-wall-16"}}, FRONT, base=OWN),
    down("cover.NAME.normal_transmittance", {"cover.own.normal_transmittance": 0.6, "cover.own.hemispherical_transmittance": 0.55}, FRONT, base=OWN),
    down("cover.NAME.hemispherical_transmittance", {"cover.own.hemispherical_transmittance": 0.6}, FRONT, base=OWN),
    Row("cover.NAME.straight_share", {"cover.own.straight_share": 0.1}, FRONT, 0.6, 1.6, base=OWN),
    Row("cover.NAME.reflectance", {"cover.own.reflectance": 0.2}, "beds.back.overcast_ratio", 1.001, 1.2, base=OWN),
    Row("cover.NAME.frame_share", {"cover.own.frame_share": 0.3}, FRONT, 0.70 / 0.95 * 0.97, 0.70 / 0.95 * 1.03, base=OWN),
    Row("cover.NAME.dirt_share", {"cover.own.dirt_share": 0.3}, FRONT, 0.70 / 0.95 * 0.97, 0.70 / 0.95 * 1.03, base=OWN),
    Row("cover.NAME.condensation_share", {"cover.own.condensation_share": 0.3}, FRONT, 0.70, 0.78, base=OWN),
    down("cover.NAME.snow_share", {"cover.own.snow_share": 0.9}, FRONT.replace("12", "1"), base=OWN),
    down("cover.NAME.panes", {"cover.own.panes": 3}, FRONT, base=PANED),
    down("cover.NAME.refractive_index", {"cover.own.refractive_index": 1.9}, FRONT, base=PANED),
    down("cover.NAME.internal_transmittance", {"cover.own.internal_transmittance": 0.7}, FRONT, base=PANED),
    Row("calibration.factor", {"calibration": {"factor": {"front": 0.5}}}, FRONT, 0.4, 0.8),
    Row("calibration.readings", {"calibration": {"factor": 0.8, "readings": 9}}, "calibration", base={"calibration": {"factor": 0.8, "readings": 4}}),
    Row("calibration.date", {"calibration": {"factor": 0.8, "date": date(2027, 1, 5)}}, "calibration", base={"calibration": {"factor": 0.8}}),
    # warmth: a house held at set points, asked what a winter and a cold night take
    Row("heat.leak", {"heat.leak": "draughty"}, KWH, 1.05, 1.6, HELD, "heat"),
    Row("heat.leak_ach", {"heat.leak_ach": 4.0}, KWH, 1.05, 3.0, {**HELD, "heat.leak": None, "heat.leak_ach": 0.5}, "heat"),
    Row("heat.wind", {"heat.wind": "open"}, "winter.largest_hour_w", 1.005, 1.3, HELD, "heat"),
    Row("heat.edge", {"heat.edge": "board"}, KWH, 0.7, 0.99, HELD, "heat"),
    Row("heat.paths", {"heat.paths": "paved"}, KWH, 0.8, 0.99, HELD, "heat"),
    Row("heat.loss_factor", {"heat.loss_factor": 1.5}, KWH, 1.3, 2.2, HELD, "heat"),
    Row("face.NAME.u_w_m2_k", {"face.north.u_w_m2_k": 0.3}, KWH, 0.85, 0.995, HELD, "heat"),
    Row("face.NAME.wall_kg_m2", {"face.north.wall_kg_m2": 400}, KWH, 0.7, 0.99, {**HELD, "face.north.u_w_m2_k": 0.3}, "heat"),
    Row("cover.NAME.u_w_m2_k", {"cover.own.u_w_m2_k": 1.5}, KWH, 0.1, 0.6, {**OWN, **HELD}, "heat"),
    Row("air.day_set_degc", {"air.day_set_degc": 14}, KWH, 1.3, 3.0, HELD, "heat"),
    Row("air.night_set_degc", {"air.night_set_degc": 9}, KWH, 1.4, 3.0, HELD, "heat"),
    Row("air.vent_degc", {"air.vent_degc": 10}, KWH, 1.005, 1.3, HELD, "heat"),
    Row("air.night_min_degc", {"air.night_min_degc": -4}, "beds.front.cold_night_degc", -9.0, 0.9, ask="sow"),
    Row("air.day_degc", {"air.day_degc": 8}, "beds.front.crops.days_median", 1.03, 4.0, ask="sow"),
    Row("air.night_degc", {"air.night_degc": 2}, "beds.front.crops.days_median", 1.01, 4.0, ask="sow"),
    Row("bed.night_degc", {"bed.0.night_degc": 2}, "beds.front.crops.days_median", 1.01, 4.0, ask="sow"),
    Row("store.litres", {"store.0.litres": 3000}, KWH, 0.8, 0.99, {**HELD, "store": [{"litres": 400}]}, "heat"),
    Row("store.at_m", {"store.0.at_m": [0.3, 1.2, 0]}, KWH, 0.9, 1.1, {**HELD, "box": None, **TUB}, "heat"),
    Row("store.size_m", {"store.0.size_m": [0.6, 0.6, 1.7]}, KWH, 0.9, 1.1, {**HELD, **TUB}, "heat"),
    Row("curtain.faces", {"curtain.faces": ["south"]}, KWH, 1.02, 1.4, {**HELD, **CURTAIN}, "heat"),
    Row("curtain.kind", {"curtain.kind": "bubble-film"}, KWH, 1.02, 1.4, {**HELD, **CURTAIN}, "heat"),
    Row("curtain.resistance_m2_k_w", {"curtain.kind": None, "curtain.resistance_m2_k_w": 1.5}, KWH, 0.7, 0.99, {**HELD, **CURTAIN}, "heat"),
    Row("heater.kind", {"heater.0.kind": "heat-pump"}, COST, 0.3, 0.7, HELD, "heat"),
    Row("heater.power_w", {"heater.0.power_w": 300}, KWH, 0.3, 0.9, HELD, "heat"),
    Row("heater.price", {"heater.0.price": 0.6}, COST, 1.9, 2.1, HELD, "heat"),
    Row("heater.efficiency_frac", {"heater.0.efficiency_frac": 0.35}, "tonight.wood_kg", 1.5, 2.5, {**HELD, **STOVE}, "heat"),
    Row("heater.flue_mm", {"heater.0.flue_mm": 150}, "cautions", base={**HELD, **STOVE}, ask="heat"),
    Row("weather.file", {"weather": {"file": "weather.csv"}}, OUT, 0.2, 0.97),
    # a household of two for four weeks of autumn, four crops, a sowing offered every fourth week
    Row("household.portions_g", {"household.portions_g": {"salad": 150}}, "money", 1.01, 3.0, FED, "feed"),
    Row("household.leave_out", {"household.leave_out": ["spinach"]}, "inputs.crops", 0.74, 0.76, FED, "feed"),
    Row("household.surety", {"household.surety": 0.95}, "caution_missing_count", 1.01, 5.0, FED, "feed"),
    Row("household.work_h_week", {"household.work_h_week": 0.2}, MISSED, 1.01, 6.0, FED, "feed"),
    Row("household.work_worth", {"household.work_worth": "60 EUR"}, "proof.cost", 1.01, 5.0, PRICED, "feed"),
    Row("household.most_sowings", {"household.most_sowings": 1}, MISSED, 1.01, 6.0, FED, "feed"),
    Row("household.price_kg", {"household.price_kg": "24 EUR"}, "shop", 1.99, 2.01, PRICED, "feed"),
    Row("household.animal", {"household.animal": [{"kind": "hen", "count": 4}]}, MISSED, 1.1, 9.0, FED, "feed"),
    Row("learned.yield", {"learned.yield": [1.32, 1.0, 1.6]}, "beds.front.crops.yield_kg_m2", 1.19, 1.21, TAUGHT, "sow"),
    Row("learned.sowings", {"learned.sowings": 8}, "assumptions", base=TAUGHT, ask="sow"),
    Row("learned.weighings", {"learned.weighings": 7}, "assumptions", base=TAUGHT, ask="sow"),
    # plants for the garden, raised there
    Row("nursery.name", {"nursery.name": "sill"}, RAISED + "nursery", base=ROOM, ask="plants"),
    Row("nursery.dli_mol_m2_d", {"nursery.dli_mol_m2_d": 4}, RAISED + "set_out", base=ROOM, ask="plants"),
    Row("nursery.lit_h", {"nursery.lit_h": 8}, RAISED + "set_out", base=ROOM, ask="plants"),
    Row("nursery.day_degc", {"nursery.day_degc": 15}, RAISED + "set_out", base=ROOM, ask="plants"),
    Row("nursery.night_degc", {"nursery.night_degc": 14}, RAISED + "set_out", base=ROOM, ask="plants"),
    Row("nursery.lamp_h", {"nursery.lamp_h": 8}, RAISED + "set_out", base=UNDER_LAMPS, ask="plants"),
    Row("nursery.lamp_ppfd_umol_m2_s", {"nursery.lamp_ppfd_umol_m2_s": 70}, RAISED + "set_out", base=UNDER_LAMPS, ask="plants"),
    Row("nursery.bed", {"nursery": {"bed": "back", "day_degc": 19, "night_degc": 16}}, RAISED + "nursery", base=ROOM, ask="plants"),
]  # fmt: skip
WORDS = {
    "schema": "the version of the format: any other is refused",
    "name": "a name, said in titles",
    "units": "sets what is printed, never a number of the JSON",
    "window.name": "a name",
    "surface.name": "names move nothing, see tests/year/test_same_house.py",
    "box.name": "a name, said in remarks and gains",
    "outside.name": "a name, said in refusals",
    "bed.name": "the name an answer goes by",
    "cover.NAME.title": "a name",
    "store.name": "a name, said in remarks",
    "curtain.closes": "dusk is the only time there is",
}
SEEN = {
    "year/test_so_far.py": "weather.since",
    "year/test_weather_judged.py": "weather.trust",
    "cli/test_learn.py": "learned.kept learned.from learned.growth",
    "year/test_feed_living.py": "household.from household.to household.people household.meals household.likes household.may_buy household.budget",
    "year/test_feed.py": "household.rest_weeks nursery.size_m",
}
"""Keys whose effect another test shows, which must name them."""
NAMED = ("face", "cover")
TABLES: dict[str, type[Section]] = {
    "site": schema.SiteTable, "house": schema.HouseTable, "face": schema.FaceTable, "window": schema.WindowTable,
    "surface": schema.SurfaceTable, "box": schema.BoxTable, "outside": schema.OutsideTable, "bed": schema.BedTable,
    "air": schema.AirTable, "lamps": schema.LampsTable, "nursery": schema.NurseryTable, "mat": warmtables.MatTable, "cover": schema.CoverTable,
    "calibration": schema.CalibrationTable, "weather": schema.WeatherTable, "household": schema.HouseholdTable,
    "learned": schema.LearnedTable, "heat": warmtables.DraughtTable, "store": warmtables.StoreTable,
    "curtain": warmtables.CurtainTable, "heater": warmtables.HeaterTable,
}  # fmt: skip
LAMP_TEXT = 'schema = 1\n[lamp]\nname = "mine"\npower_w = 30\nppf_umol_s = 75\nlength_m = 1.2\n'


def house_keys() -> Iterator[str]:
    """Every key of the house file, tables with a name of their own as NAME."""
    for top in TOP_KEYS:
        if top not in TABLES:
            yield top
            continue
        for field_name, described in TABLES[top].model_fields.items():
            name = described.alias or field_name
            if (top, name) == ("site", "means"):
                yield from (f"site.means.{row}" for row in schema.MeansTable.model_fields)
            else:
                yield f"{top}.NAME.{name}" if top in NAMED else f"{top}.{name}"
    yield from (f"layer.{name}" for name in schema.LayerTable.model_fields)


def test_every_key_of_the_house_file_has_a_row() -> None:
    rows = {row.key for row in ROWS}
    waiting = {key for keys in SEEN.values() for key in keys.split()}
    missing = [key for key in house_keys() if key not in rows | set(WORDS) | waiting]
    assert not missing
    assert not rows & waiting
    assert not waiting - set(house_keys())


@pytest.mark.parametrize("file", SEEN)
def test_the_other_test_has_the_key(file: str) -> None:
    text = (Path(__file__).parents[1] / file).read_text(encoding="utf-8")
    assert not [
        key
        for key in SEEN[file].split()
        if f"{key.split('.')[1]} = " not in text and f"{key.split('.')[1]}:" not in text
    ]


def _patched(base: dict[str, Any], patch: Patch) -> dict[str, Any]:
    out = copy.deepcopy(base)
    for path, value in patch.items():
        place: Any = out
        *way, last = path.split(".")
        for step in way:
            place = place[int(step)] if isinstance(place, list) else place.setdefault(step, {})
        if isinstance(place, list):
            place[int(last)] = value
        elif value is None:
            place.pop(last, None)
        else:
            place[last] = copy.deepcopy(value)
    return out


@cache
def _folder() -> Path:
    import tempfile

    folder = Path(tempfile.mkdtemp())
    (folder / "lamp.toml").write_text(LAMP_TEXT, encoding="utf-8")
    _write_weather(folder / "weather.csv")
    return folder


def _write_weather(path: Path, change: Callable[[pd.DataFrame], pd.DataFrame] = lambda table: table) -> None:
    """A year of plain hours: a sine of light by day, half of it diffuse, 9 degrees."""
    times = pd.date_range("2019-01-01", periods=8760, freq="h")
    hour, day = times.hour.to_numpy() + 0.5, times.day_of_year.to_numpy()
    noon = 350.0 - 300.0 * np.cos(2.0 * np.pi * (day + 10.0) / 365.0)
    half = 6.0 - 2.0 * np.cos(2.0 * np.pi * (day + 10.0) / 365.0)
    ghi = np.maximum(noon * np.cos(np.pi / 2.0 * (hour - 11.5) / half), 0.0) * (np.abs(hour - 11.5) < half)
    ghi *= 0.5 + 0.12 * (day % 5)
    table = change(
        pd.DataFrame(
            {"time": times, "ghi": ghi, "dhi": 0.5 * ghi, "temp": 9.0 + 3.0 * np.cos(np.pi / 12.0 * (hour - 14.0))}
        )
    )
    head = "# latitude_deg: 50\n# longitude_deg: 8\n# elevation_m: 200\n# utc_offset_h: 0\n"
    path.write_text(
        head + table.to_csv(index=False, float_format="%.2f", date_format="%Y-%m-%d %H:%M"), encoding="utf-8"
    )


_SUNS: dict[str, Sunlight] = {}


def _sunlight(house: House, given: Sources) -> Sunlight:
    """Sun and sky of a site, worked out once for all rows that leave it alone."""
    key = repr(house.site)
    if key not in _SUNS:
        _SUNS[key] = sunlight_at(house, given)
    return _SUNS[key]


_TRACED: dict[tuple[int, str], Any] = {}
MOST_TRACED = 4


def _traced(house: House, light: Sunlight, hold: Any = None) -> Any:
    """A house traced once for all rows that change its warmth, lamps or plants alone."""
    alone = replace(
        house, air=Air(), draughts=Draughts(), curtains=(), heaters=(), lamps=(), nursery=None, household=None,
        calibration_note="", assumptions=(),
    )  # fmt: skip
    key = id(light), repr(alone)
    if key not in _TRACED:
        while len(_TRACED) >= MOST_TRACED:
            del _TRACED[next(iter(_TRACED))]
        _TRACED[key] = traced(house, light)
    return _TRACED[key]


@pytest.fixture(autouse=True)
def _shared(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sun, sky and tracing worked out once; fewer suns and winters, which the bounds of the rows are wide enough for."""
    monkeypatch.setattr("tenhour.year.world.sunlight_at", _sunlight)
    monkeypatch.setattr("tenhour.year.world.traced", _traced)
    monkeypatch.setattr(suntable.sun_nodes, "__defaults__", (24, 1))
    monkeypatch.setattr("tenhour.year.answers.heat.WINTERS", many(2, 4))
    monkeypatch.setattr("tenhour.year.world.FEW_WINTERS", many(2, 4))
    monkeypatch.setattr("tenhour.year.answers.heat._helps", lambda *_: Helps((), (), None))
    monkeypatch.setattr("tenhour.year.answers.heat.spots_of", lambda *_: ())
    monkeypatch.setattr("tenhour.year.feed.plan.JUDGED", many(2, 4))
    monkeypatch.setattr("tenhour.year.feed.search.CHECKED", many(2, 4))
    monkeypatch.setattr("tenhour.year.feed.plan._remedies", lambda *_: ((), True))


FEEDING = ("spinach", "pak-choi", "leaf-lettuce", "pea-shoots")


def _fed(house: House) -> dict[str, Any]:
    """The household's plan."""
    year = Year(house, sources(house), tuple(crops()[name] for name in FEEDING))
    assert house.household is not None
    asked = Asked(house.household, year.crops, household_data(), date(2026, 8, 17), 4, (), None)
    answer = year.feed(asked, find_lamp(LampChoice("led-bar")), LampRequest(), seconds_s=2)
    found: dict[str, Any] = json.loads(json.dumps(answer_json(answer), default=str))
    return found


def _answer(raw: dict[str, Any], ask: str) -> dict[str, Any]:
    house = house_from_tables(raw, "house.toml", _folder())
    if ask == "feed":
        return _fed(house)
    crop = crops()[{"raise": "head-lettuce", "plants": "tomato-plants"}.get(ask, "spinach")]
    year = Year(house, sources(house), (crop,))
    if ask == "lamps":
        lamp = find_lamp(LampChoice("led-bar"))
        answer: Any = year.lamps("front", (crop,), lamp, LampRequest(), today=date(2026, 11, 10))
    elif ask == "heat":
        answer = year.heat(today=date(2026, 11, 10), tonight_degc=-9.0)
    elif ask == "light":
        answer = year.light(today=date(2026, 11, 10))
    elif ask == "season":
        answer = year.season(date(2026, 11, 10))
    else:
        answer = year.sow(_SOWN[ask])
    return json.loads(json.dumps(answer_json(answer), default=str))


_SOWN = {"sow": date(2026, 10, 1), "raise": date(2027, 1, 15), "plants": date(2027, 2, 20)}
_BEFORE: dict[str, dict[str, Any]] = {}


def _before(base: Patch, ask: str) -> dict[str, Any]:
    key = json.dumps([base, ask], default=str)
    if key not in _BEFORE:
        _BEFORE[key] = _answer(_patched(BASE, base), ask)
    return _BEFORE[key]


def _at(answer: Any, path: str) -> Any:
    for step in path.split("."):
        if isinstance(answer, list) and step.isdigit():
            answer = next((one for one in answer if one.get("month") == int(step)), None)
        elif isinstance(answer, list):
            named = [one for one in answer if one.get("name") == step]
            answer = named[0] if named else answer[0][step]
        else:
            answer = answer.get(step)
    return answer


@pytest.mark.parametrize("row", many(ROWS[::24], ROWS), ids=lambda row: row.key)
def test_the_key_moves_what_the_guide_says(row: Row) -> None:
    before = _at(_before(row.base, row.ask), row.path)
    after = _at(_answer(_patched(_patched(BASE, row.base), row.change), row.ask), row.path)
    assert after != before or row.key == "surface.vertices_m", f"{row.path} stays {before}"
    if isinstance(before, int | float) and isinstance(after, int | float):
        assert row.low <= after / before <= row.high, f"{row.path}: {before} -> {after}"


LAMP_ROWS = {
    "power_w": ("power_w = 60\n", "power_w", 1.2, 2.2), "ppf_umol_s": ("ppf_umol_s = 60\n", "power_w", 1.05, 1.6),
    "flux_lm": ("flux_lm = 4000\nkelvin = 4000\n", "power_w", 0.7, 2.0), "length_m": ("length_m = 0.6\n", "height_m", None, None),
    "width_m": ("width_m = 0.3\n", "layout.shade_frac", 1.3, 9.0), "beam_deg": ("beam_deg = 60\n", "min_mean_frac", None, None),
    "down_share": ("down_share = 0.7\n", "power_w", 1.1, 1.8), "maintenance_frac": ("maintenance_frac = 0.6\n", "power_w", 1.1, 1.9),
    "clearance_m": ("clearance_m = 0.7\n", "height_m", 1.2, 5.0), "power_factor": ("power_factor = 0.6\n", "circuit_a", 1.5, 1.8),
}  # fmt: skip
LAMP_WORDS = {
    "dimmable": "dims only where more light hangs than is wanted", "name": "a name", "like": "fills the gaps of the other keys", "kelvin": "turns lumens into photons, with flux_lm",
    "spectrum": "where photons are given it only bounds them", "lux_umol": "turns lux or lumens into photons",
    "clearance_above_m": "bounds the height under a roof; refused where it does not fit (tests/plan)",
    "photometry": "another file (tests/files/test_lm63)", "intensities": "how that file is read",
}  # fmt: skip


def test_every_key_of_the_lamp_file_has_a_row() -> None:
    assert set(OwnLamp.model_fields) == set(LAMP_ROWS) | set(LAMP_WORDS)


@cache
def _plan(text: str) -> dict[str, Any]:
    path = _folder() / "mine.toml"
    path.write_text(text, encoding="utf-8")
    from tenhour.year.answers.lamps import Shelf, shelf_answer

    lamp = find_lamp(LampChoice(str(path)))
    answer = shelf_answer(Shelf(2.0, 0.8), (crops()["spinach"],), lamp, LampRequest(), today=date(2026, 11, 10))
    return json.loads(json.dumps(answer_json(answer), default=str))


@pytest.mark.parametrize("key", many([*LAMP_ROWS][::2], [*LAMP_ROWS]))
def test_the_key_of_a_lamp_moves_its_plan(key: str) -> None:
    line, path, low, high = LAMP_ROWS[key]
    own = {"ppf_umol_s = 75\n"} if key == "flux_lm" else set()
    kept = [part for part in LAMP_TEXT.splitlines(keepends=True) if not part.startswith(f"{key} ") and part not in own]
    before, after = _at(_plan(LAMP_TEXT), path), _at(_plan("".join(kept) + line), path)
    assert after != before, f"{path} stays {before}"
    if low is not None and high is not None:
        assert low <= after / before <= high, f"{path}: {before} -> {after}"


WEATHER_ROWS = {
    "ghi": (lambda t: t.assign(ghi=t.ghi * 1.15, dhi=t.dhi * 1.15), OUT, 1.14, 1.16),
    "dhi": (lambda t: t.assign(dhi=t.ghi * 0.95), "beds.front.months.3.beam_frac", 0.05, 0.3),
    "dni": (lambda t: t.drop(columns="dhi").assign(dni=0.0), "beds.front.months.3.beam_frac", 0.0, 0.05),
    "temp": (lambda t: t.assign(temp=t.temp + 3.0), "months.3.outdoor.temp_degc", 1.32, 1.35),
}  # fmt: skip


@pytest.mark.parametrize("column", many(["dhi", "temp"], ["ghi", "dhi", "dni", "temp"]))
def test_the_column_of_a_weather_table_moves_the_light(column: str) -> None:
    change, path, low, high = WEATHER_ROWS[column]
    _write_weather(_folder() / f"{column}.csv", change)
    before = _at(_before({"site.climate": "weather.csv"}, "light"), path)
    after = _at(_answer(_patched(BASE, {"site.climate": f"{column}.csv"}), "light"), path)
    assert low <= after / before <= high, f"{path}: {before} -> {after}"


NIGHTS = [
    ("beds.front.night_degc", "sow", {"air": None}, 1.05, 1.4),
    ("beds.front.cold_night_degc", "sow", {"air": None}, 1.3, 3.0),
    ("beds.front.crops.days_median", "sow", {"air": None}, 0.97, 0.999),
    (KWH, "heat", HELD, 0.0, 0.3),
]  # fmt: skip


@pytest.mark.parametrize(("path", "ask", "base", "low", "high"), many(NIGHTS[::3], NIGHTS))
def test_warmer_nights_of_an_hourly_file_reach_bed_crop_and_heater(
    path: str, ask: str, base: Patch, low: float, high: float
) -> None:
    """Two files of one daily mean, 8 and 3 K up and down: the hours themselves drive the balance of heat."""
    swing = _folder() / "swing.csv"
    if not swing.exists():
        _write_weather(swing, lambda t: t.assign(temp=9.0 + (t.temp - 9.0) * 8.0 / 3.0))
    cold = _before({**base, "site.climate": "swing.csv"}, ask)
    mild = _before({**base, "site.climate": "weather.csv"}, ask)
    assert low <= _at(mild, path) / _at(cold, path) <= high, f"{path}: {_at(cold, path)} -> {_at(mild, path)}"
