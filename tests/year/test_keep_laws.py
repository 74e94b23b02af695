"""Readings that agree with the model leave the model's light as it is, whatever stands in the house file."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from helpers_cli import tenhour
from helpers_long import LONG, many

HOUSE = """
schema = 1
[site]
latitude_deg = 50.0
longitude_deg = 8.0
elevation_m = 200
timezone = "Europe/Berlin"
{site}
[house]
shape = "gable"
length_m = 5.0
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
length_azimuth_deg = 90
cover = "{cover}"
{house}
{faces}
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
height_m = 0.6
{front}
[[bed]]
name = "back"
at_m = [0.2, 2.0]
size_m = [4.6, 0.8]
height_m = 0.6
[air]
night_set_degc = 5
"""
NORTH = '[face.north]\ncover = "opaque"'
GLASS = "\n".join(f'[face.{name}]\ncover = "glass-2"' for name in ("south", "east", "west", "roof-south"))
CASES = {
    "plain": {},
    "a box on half the bed": {
        "faces": NORTH + '\n[[box]]\nname = "crate"\nat_m = [0.2, 0.2, 0.6]\nsize_m = [2.3, 0.8, 0.3]'
    },
    "a layer": {"front": 'layers = ["fleece"]'},
    "snow": {"site": "snow_months = [1, 2]"},
    "a measured house": {"house": "whole_house_transmittance = 0.5"},
    "glass by faces": {"cover": "opaque", "faces": GLASS},
    "an older factor": {"faces": NORTH + "\n[calibration]\nfactor = { front = 0.7 }"},
    "an older factor of the other bed": {"faces": NORTH + "\n[calibration]\nfactor = { back = 0.7 }"},
    "an older factor of the house": {"faces": NORTH + "\n[calibration]\nfactor = 0.7"},
}


def _drawn(seed: int) -> dict[str, str]:
    """Any of the cases laid upon one another."""
    draw = np.random.default_rng(seed)
    chosen = [CASES[name] for name in CASES if draw.random() < 0.4]
    opaque = any("cover" in case for case in chosen)
    faces = [case["faces"].removeprefix(NORTH) for case in chosen if "cover" not in case and "faces" in case]
    factor = [part for part in faces if "[calibration]" in part][:1]
    boxes = [part for part in faces if "[[box]]" in part]
    out = {key: text for case in chosen for key, text in case.items() if key != "faces"}
    return out | {"faces": (GLASS if opaque else NORTH) + "".join(boxes + factor)}


CASES |= {f"drawn {seed}": _drawn(seed) for seed in range(many(1, 12))}
EMPTY = {"site": "", "cover": "glass-2", "house": "", "faces": NORTH, "front": ""}
SKIES = 0.015
"""Readings are made under the overcast sky of the CIE and judged under that of Perez for such light; behind glass on
some faces only the two differ by one part in a hundred. A factor is kept to three digits."""


def _light(path: Path) -> dict[str, dict[str, object]]:
    done = tenhour("light", "--house", path, "--json")
    assert done.status == 0, done.err
    return {bed["name"]: bed for bed in json.loads(done.out)["beds"]}


def _readings(path: Path, ratio: dict[str, float]) -> Path:
    """Eighteen pairs a bed on three overcast days of a snow-free and dry month, to the letter as the model has it."""
    lines = ["time,place,ppfd_umol_m2_s"]
    for day in ("2027-06-03", "2027-06-08", "2027-06-12"):
        for hour in range(9, 15):
            outside = 120.0 + 10.0 * (hour - 9)
            lines.append(f"{day} {hour:02d}:00,outside,{outside:.1f}")
            lines += [f"{day} {hour:02d}:0{k},{bed},{outside * r:.2f}" for k, (bed, r) in enumerate(ratio.items(), 1)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _dli(bed: dict[str, object]) -> list[float]:
    return [month["dli_mol_m2_d"] for month in bed["months"]]


BEDS = (("front",), ("front", "back"))
ASKED = [(case, measured) for case in CASES for measured in BEDS]
if not LONG:  # every third house with one of the two, in turn
    ASKED = [(case, BEDS[number % 2]) for number, case in enumerate(CASES)][::3]


@pytest.mark.parametrize(
    ("case", "measured"), ASKED, ids=lambda part: part if isinstance(part, str) else "+".join(part)
)
def test_readings_of_the_models_own_light_leave_it_unchanged(
    tmp_path: Path, case: str, measured: tuple[str, ...]
) -> None:
    house = tmp_path / "house.toml"
    house.write_text(HOUSE.format(**{**EMPTY, **CASES[case]}), encoding="utf-8")
    before = _light(house)
    taken = _readings(tmp_path / "r.csv", {name: before[name]["overcast_ratio"] for name in measured})
    done = tenhour("read", taken, "--house", house, "--keep")
    assert done.status == 0, done.err
    after = _light(house)
    for name, bed in after.items():
        within = SKIES if name in measured else 1e-9
        assert bed["overcast_ratio"] == pytest.approx(before[name]["overcast_ratio"], rel=within), name
        assert _dli(bed) == pytest.approx(_dli(before[name]), rel=within), name
