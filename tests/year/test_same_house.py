"""A house drawn by its shape and the same one drawn by surfaces answer alike, whatever the surfaces are called."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from helpers_cli import tenhour
from helpers_long import LONG, many

HEAD = """
schema = 1
[site]
latitude_deg = 50.0
longitude_deg = 8.0
elevation_m = 200
timezone = "Europe/Berlin"
snow_months = [1, 2]
ground_reflectance = 0.07
[cover.pane]
like = "glass-2"
frame_share = 0
"""
SHAPE = """
[house]
shape = "gable"
length_m = 5.0
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
length_azimuth_deg = 90
cover = "pane"
reflectance = 0.5
[face.north]
cover = "opaque"
reflectance = 0.5
[face.roof-north]
cover = "opaque"
reflectance = 0.5
[face.floor]
reflectance = 0.5
"""
CUSTOM = """
[house]
shape = "custom"
length_azimuth_deg = 90
cover = "pane"
reflectance = 0.5
"""
SURFACES = {
    "floor": ("opaque", [[0, 0, 0], [5, 0, 0], [5, 3, 0], [0, 3, 0]]),
    "south": ("pane", [[0, 0, 0], [5, 0, 0], [5, 0, 1.8], [0, 0, 1.8]]),
    "north": ("opaque", [[0, 3, 0], [5, 3, 0], [5, 3, 1.8], [0, 3, 1.8]]),
    "roof-south": ("pane", [[0, 0, 1.8], [5, 0, 1.8], [5, 1.5, 2.6], [0, 1.5, 2.6]]),
    "roof-north": ("opaque", [[0, 3, 1.8], [5, 3, 1.8], [5, 1.5, 2.6], [0, 1.5, 2.6]]),
    "west": ("pane", [[0, 0, 0], [0, 3, 0], [0, 3, 1.8], [0, 1.5, 2.6], [0, 0, 1.8]]),
    "east": ("pane", [[5, 0, 0], [5, 3, 0], [5, 3, 1.8], [5, 1.5, 2.6], [5, 0, 1.8]]),
}
RAYS = 6e-3
"""Surfaces in another order are cut and sampled anew: the spread of the rays that follow bounced light."""
NAMINGS = {
    "as a shape names them": {name: name for name in SURFACES},
    "in other words": dict(
        zip(SURFACES, ("ground", "low glass", "wall", "lid", "lid 2", "left", "right"), strict=True)
    ),
    "turned about": dict(zip(SURFACES, ("roof", "floor", "roof-south", "north", "south", "roof-1", "e"), strict=True)),
}
REST = """
[[window]]
on = "{roof_north}"
left_m = 1.0
sill_m = 0.2
width_m = 2.0
height_m = 1.0
cover = "glass-2"
[[window]]
on = "{north}"
left_m = 1.0
sill_m = 0.1
width_m = 2.0
height_m = 1.0
cover = "glass-2"
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
height_m = 0.4
[[bed]]
name = "back"
at_m = [0.2, 2.0]
size_m = [4.6, 0.8]
height_m = 0.4
[air]
day_degc = 15
night_degc = 6
"""


def _surfaces(called: dict[str, str]) -> str:
    parts = []
    for name, (cover, corners) in SURFACES.items():
        made = f'cover = "{cover}"' if cover != "opaque" else "reflectance = 0.5"
        parts.append(f'[[surface]]\nname = "{called[name]}"\n{made}\nvertices_m = {corners}\n')
    return "".join(parts)


def _answers(path: Path, text: str) -> tuple[Any, Any, float]:
    """Light of the beds, what washing and the like would add (in the long form), and how far lamps warm the house."""
    path.write_text(text, encoding="utf-8")
    light = tenhour("light", "--house", path, *many((), ("--brighter",)), "--json")
    assert light.status == 0, light.err
    told = json.loads(light.out)
    hung = ("--crop", "leaf-lettuce", "--dli", "12", "--from", "2027-03-15", "--to", "2027-04-15", "--json")
    lamps = tenhour("lamps", "front", "--house", path, *hung)
    assert lamps.status == 0, lamps.err
    return told["beds"], told.get("brighter") or (), json.loads(lamps.out)["warming_k"]


@pytest.fixture(scope="module")
def drawn_by_shape(tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Any, float]:
    """Answers of the house by its shape."""
    text = HEAD + SHAPE + REST.format(north="north", roof_north="roof-north")
    return _answers(tmp_path_factory.mktemp("shape") / "house.toml", text)


@pytest.mark.parametrize("naming", list(NAMINGS) if LONG else ["turned about"])
def test_names_of_surfaces_change_nothing(tmp_path: Path, naming: str, drawn_by_shape: tuple[Any, Any, float]) -> None:
    called = NAMINGS[naming]
    rest = REST.format(north=called["north"], roof_north=called["roof-north"])
    beds, gains, warming = _answers(tmp_path / "house.toml", HEAD + CUSTOM + _surfaces(called) + rest)
    before, gains_before, warming_before = drawn_by_shape
    assert bool(gains) == LONG
    for own, other in zip(beds, before, strict=True):
        assert own["overcast_ratio"] == pytest.approx(other["overcast_ratio"], rel=RAYS)
        for month, as_shape in zip(own["months"], other["months"], strict=True):
            assert month["dli_mol_m2_d"] == pytest.approx(as_shape["dli_mol_m2_d"], rel=RAYS)
    assert warming == pytest.approx(warming_before, rel=1e-3)
    assert {(g["change"], g["bed"]): g["gain_frac"] for g in gains} == pytest.approx(
        {(g["change"], g["bed"]): g["gain_frac"] for g in gains_before}, abs=6e-3
    )


SIZES = {
    "gable": {"length": (3, 7), "width": (2.2, 4), "eaves": (1.5, 2.2), "ridge": (2.4, 3.4)},
    "lean-to": {"length": (3, 7), "width": (1.8, 3.5), "front": (1.2, 1.9), "back": (2.1, 2.9)},
    "box": {"length": (2.5, 6), "width": (2, 4), "eaves": (2, 3)},
    "hoop": {"length": (4, 9), "width": (2.6, 5), "ridge": (2, 3)},
}


@pytest.mark.parametrize("seed", range(many(1, 16)))
def test_a_house_drawn_at_random_is_its_surfaces_in_any_order_and_by_any_names(tmp_path: Path, seed: int) -> None:
    """Shape, size, way of facing, cover and opaque faces drawn; faces in a shuffled order under shuffled names."""
    from tenhour.house.shapes import faces_m

    draw = np.random.default_rng(seed)
    shape = list(SIZES)[seed % len(SIZES)]
    sizes = {key: round(float(draw.uniform(*span)), 2) for key, span in SIZES[shape].items()}
    corners = faces_m(shape, sizes)
    facing, cover = round(float(draw.uniform(0, 360)), 1), str(draw.choice(["glass-2", "film-1", "twin-wall-10"]))
    head = HEAD.replace('like = "glass-2"', f'like = "{cover}"')
    whole = [name for name in ("north", "east", "west") if draw.random() < 0.4 and name in corners]
    house = f'[house]\nshape = "{shape}"\nlength_azimuth_deg = {facing}\ncover = "pane"\nreflectance = 0.5\n'
    house += "".join(f"{key}_m = {value}\n" for key, value in sizes.items())
    house += "".join(f'[face.{name}]\ncover = "opaque"\nreflectance = 0.5\n' for name in whole)
    house += "[face.floor]\nreflectance = 0.5\n"
    length, width = sizes["length"], sizes["width"]
    bed = f"at_m = [0.3, {0.25 * width:.2f}]\nsize_m = [{length - 0.6:.2f}, {0.3 * width:.2f}]\nheight_m = 0.4\n"
    bed = f'[[bed]]\nname = "bed"\n{bed}[air]\nday_degc = 15\nnight_degc = 6\n'
    order = [str(name) for name in draw.permutation(list(corners))]
    names = [str(name) for name in draw.permutation(list(corners))]
    surfaces = f'[house]\nshape = "custom"\nlength_azimuth_deg = {facing}\ncover = "pane"\nreflectance = 0.5\n'
    for name, called in zip(order, names, strict=True):
        made = "reflectance = 0.5" if name in whole or name == "floor" else 'cover = "pane"'
        surfaces += f'[[surface]]\nname = "{called}"\n{made}\nvertices_m = {np.round(corners[name], 9).tolist()}\n'
    told = []
    for kind, text in (("shape", house), ("surfaces", surfaces)):
        path = tmp_path / f"{kind}{seed}.toml"
        path.write_text(head + text + bed, encoding="utf-8")
        done = tenhour("light", "--house", path, "--json")
        assert done.status == 0, done.err
        told.append(json.loads(done.out)["beds"][0])
    months = [np.array([month["dli_mol_m2_d"] for month in one["months"]]) for one in told]
    print(shape, seed, (months[1] / months[0]).round(4), told[1]["overcast_ratio"] / told[0]["overcast_ratio"])
    assert told[1]["overcast_ratio"] == pytest.approx(told[0]["overcast_ratio"], rel=RAYS)
    assert months[1] == pytest.approx(months[0], rel=RAYS, abs=0.01)  # printed to a hundredth


def test_snow_lies_on_flat_panes_and_slides_off_steep_ones_onto_the_low_glass(tmp_path: Path) -> None:
    """Shares by the slopes of EN 1991-1-3:2003, table 5.2 (from memory): all up to 30 degrees, none from 60."""
    from tenhour.files.house.read import load_house
    from tenhour.year.inside.panes import pane_states

    path = tmp_path / "house.toml"
    path.write_text(HEAD + SHAPE + REST.format(north="north", roof_north="roof-north"), encoding="utf-8")
    house = load_house(path)
    states = pane_states(house, [20.0] * 12)
    dry, snowed = states.factors[states.of_bed[0]], states.factors[states.of_bed_month[0, 0]]
    lost = {name: 1.0 - snowed[name] / dry[name] for name in dry}
    share = house.covers["pane"].snow_share
    assert share > 0.1
    assert lost["roof-south"] == pytest.approx(share)  # 28 degrees
    assert lost["south"] == pytest.approx(share * 0.3 / 1.8)
    assert lost["east"] == lost["west"] == 0.0
    assert lost["window 1"] == pytest.approx(share)
    assert lost["window 2"] == pytest.approx(share * 0.2 / 1.0)
