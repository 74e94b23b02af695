"""The ladder of every kind of crop through the door: complete, on one screen, with the cautions that apply."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import time_machine

from helpers_cli import tenhour
from helpers_guide import GUIDE
from helpers_long import many

PRICED = ("--price", "0.30 EUR", "--worth", "15")
BED = ("leaf-lettuce", "spinach", "mizuna", "baby-lettuce", "radish-microgreens")
SHELF = ("tomato-plants", "radish-microgreens")
LINES, COLUMNS, CAUTIONS = 30, 80, 3
HOUSE = """
schema = 1
[site]
latitude_deg = {lat}
longitude_deg = {lon}
elevation_m = 100
timezone = "{zone}"
[house]
shape = "{shape}"
length_m = {length}
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
length_azimuth_deg = 90
cover = "{cover}"
[[bed]]
name = "long"
at_m = [0.2, 0.2]
size_m = [{bed}, 0.9]
height_m = 0.3
[air]
day_degc = {warm}
night_degc = {warm}
"""
HOUSES = {
    "cool tunnel of 10 m": {
        "lat": 60.2, "lon": 24.9, "zone": "Europe/Helsinki", "shape": "gable", "length": 11.0, "bed": 10.0,
        "cover": "film-2", "warm": 10,
    },
    "glass at 50 degrees": {
        "lat": 50.0, "lon": 8.0, "zone": "Europe/Berlin", "shape": "gable", "length": 5.0, "bed": 4.6,
        "cover": "glass-2", "warm": 8,
    },
}  # fmt: skip


def _json(*arguments: str | Path) -> Any:
    done = tenhour(*arguments, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def _one_screen(*arguments: str | Path) -> None:
    done = tenhour(*arguments)
    assert done.status == 0, done.err
    lines = done.out.splitlines()
    assert len(lines) <= LINES, done.out
    assert max(map(len, lines)) <= COLUMNS
    cautions = lines[lines.index("Cautions") :] if "Cautions" in lines else []
    assert sum(line.startswith("- ") for line in cautions) == CAUTIONS


@pytest.mark.parametrize("crop", many(BED[1::3], BED))
def test_every_kind_of_crop_is_told_on_one_screen(crop: str) -> None:
    _one_screen("lamps", "front", crop, *PRICED)


@pytest.mark.parametrize("name", many(list(HOUSES)[1:], list(HOUSES)))
@pytest.mark.parametrize("crop", many(("leaf-lettuce",), BED))
def test_every_house_is_told_on_one_screen(tmp_path: Path, name: str, crop: str) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE.format(**HOUSES[name]), encoding="utf-8")
    _one_screen("lamps", "--house", path, crop, *PRICED)


@pytest.mark.parametrize("crop", many(SHELF[:1], SHELF))
def test_a_shelf_is_told_on_one_screen(crop: str) -> None:
    _one_screen("lamps", "--shelf", "1.2x0.5", "--tiers", "2", "--crop", crop, *PRICED)


def test_lamps_over_the_seedlings_alone_are_the_cheapest_kilo() -> None:
    """90 plants (20 per m² of 4.48 m²) stand on one tray of 500 per m²: three bars instead of a bed full of them."""
    answer = _json("lamps", "front", "leaf-lettuce", *PRICED)
    rungs = {rung["name"]: rung for rung in answer["ladder"]}
    seedlings, steady = rungs["seedlings"], rungs["steady"]
    assert next(iter(rungs)) == answer["chosen"] == "seedlings"
    assert seedlings["power_w"] < steady["power_w"] / 2
    assert seedlings["dli_mol_m2_d"] == pytest.approx(10.0, abs=0.3)
    assert seedlings["cost_per_kg"] == pytest.approx(seedlings["cost_season"] / seedlings["extra_kg"], rel=0.01)
    assert seedlings["cost_per_kg"] < steady["cost_per_kg"] / 2
    assert seedlings["pays"]
    assert "over the whole bed it costs" in answer["verdict"]
    assert answer["power_w"] == seedlings["power_w"]
    assert answer["bed"] == "one tray with the 90 plants of front"


def _knee_by_hand(steps: list[dict[str, float]]) -> float:
    """Each step's kWh and kilos by subtraction; on from the cheapest while the next costs less than twice as much."""
    dearer = []
    kwh = kilos = 0.0
    for n, step in enumerate(steps):
        more = step["harvest"] - kilos if n else step["harvest"] - step["unlit"]
        dearer.append((step["energy_kwh"] - kwh) / more if more > 1e-9 else float("inf"))
        kwh, kilos = step["energy_kwh"], max(kilos, step["harvest"])
    best = dearer.index(min(dearer))
    last = best
    while last + 1 < len(dearer) and dearer[last + 1] < 2 * dearer[best]:
        last += 1
    return steps[last]["dli_mol_m2_d"]


@pytest.mark.parametrize("bed", many(["front"], ["front", "back"]))
def test_the_knee_of_two_beds_by_hand(bed: str) -> None:
    answer = _json("lamps", bed, "spinach")
    unlit = answer["unlit"]["harvest_kg"]
    knee = _knee_by_hand([step | {"unlit": unlit} for step in answer["knee"]])
    steady = next(rung for rung in answer["ladder"] if "steady" in (rung["name"], *rung["also"]))
    least = next((rung["dli_mol_m2_d"] for rung in answer["ladder"] if rung["name"] == "least"), 0.0)
    # whole fixtures give a little more than the step
    assert steady["dli_mol_m2_d"] == pytest.approx(max(knee, least), rel=0.06)


def test_cold_comes_before_light(tmp_path: Path) -> None:
    """At 64 N without heat, nights below what hardened spinach stands: no ladder, but the degrees and the cure."""
    path = tmp_path / "house.toml"
    text = HOUSE.format(**HOUSES["glass at 50 degrees"] | {"lat": 63.8, "lon": 20.3, "zone": "Europe/Stockholm"})
    path.write_text(text.split("[air]")[0], encoding="utf-8")
    done = tenhour("lamps", "--house", path, "spinach", "--from", "2026-12-01")
    assert (done.status, done.out) == (1, "")
    assert "Too cold for lamps to help" in done.err
    assert "tenhour heat --helps" in done.err


ARCTIC = {
    "lat": 69.7, "lon": 18.9, "zone": "Europe/Oslo", "shape": "gable", "length": 6.0, "bed": 5.4, "cover": "glass-2",
    "warm": 8,
}  # fmt: skip


def test_lamps_and_sow_tell_the_same_of_cold_seed(tmp_path: Path) -> None:
    """At 69.7 N with air held at 12 and 6, soil of some 3 degrees: spinach is refused, lettuce raised in the warm."""
    path = tmp_path / "house.toml"
    held = "[air]\nday_set_degc = 12\nnight_set_degc = 6\n"
    path.write_text(HOUSE.format(**ARCTIC).split("[air]")[0] + held, encoding="utf-8")
    asked = ("--house", path, "--crop", "spinach", "--crop", "leaf-lettuce", "--on", "2026-11-29")
    rows = {row["crop"]: row["verdict"] for row in _json("sow", *asked)["beds"][0]["crops"]}
    assert set(rows.values()) <= {"too-cold", "not-here"}
    refused = tenhour("lamps", "--house", path, "spinach", "--from", "2026-11-29")
    assert (refused.status, refused.out) == (1, "")
    assert "may rot before it comes up" in refused.err
    answer = _json("lamps", "--house", path, "leaf-lettuce", "--from", "2026-11-29", *PRICED)
    assert answer["chosen"] == "seedlings"
    assert any("Raise leaf lettuce" in text for text in answer["warnings"])
    _one_screen("lamps", "--house", path, "leaf-lettuce", "--from", "2026-11-29", *PRICED)


def test_no_rung_keeps_a_crop_growing_in_the_dark() -> None:
    """Least over wanted is 0.38 at least, as of lettuce (6.5 of 17 mol), for a crop whose file has no least."""
    ladder = {rung["name"]: rung for rung in _json("lamps", "front", "spinach")["ladder"]}
    assert ladder["least"]["dli_mol_m2_d"] >= 4.56  # 0.38 of 12 mol, as it is told


GUIDE_BED = (GUIDE / "lamps.md").read_text(encoding="utf-8")
GUIDE_DAY = "2026-11-29"
GUIDE_ROWS = {"leaf-lettuce": "leaf lettuce, front bed", "spinach": "spinach, front bed",
              "mizuna": "mizuna, front bed", "baby-lettuce": "baby lettuce, front bed"}  # fmt: skip


@pytest.mark.parametrize("crop", many(("spinach",), tuple(GUIDE_ROWS)))
def test_the_table_of_the_guide_is_what_comes_out(crop: str) -> None:
    with time_machine.travel(GUIDE_DAY):  # what is past by then is not counted
        answer = _json("lamps", "front", crop, "--from", GUIDE_DAY, "--price", "0.30 EUR")
    lines = GUIDE_BED[GUIDE_BED.index(f"| {GUIDE_ROWS[crop]} |") :].splitlines()
    for rung, line in zip(answer["ladder"], lines, strict=False):
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        assert cells[0] in ("", GUIDE_ROWS[crop])
        watts, kwh, more, each = (float(cells[n]) for n in (2, 5, 7, 8))
        assert rung["power_w"] == pytest.approx(watts)
        assert rung["days_to_harvest"] == int(cells[4].split()[0])
        assert rung["energy_season_kwh"] == pytest.approx(kwh, abs=0.6)
        assert rung["extra_kg"] == pytest.approx(more, abs=0.06)
        assert rung["cost_per_kg"] == pytest.approx(each, abs=0.6)
        pays = " / ".join("yes" if rung["cost_per_kg"] <= worth else "no" for worth in (10, 15, 25))
        assert cells[9] == pays


@pytest.mark.parametrize(
    ("crop", "why"),
    many(
        [("spinach", "this is sown where it grows")],
        [
            ("spinach", "this is sown where it grows"),
            ("lettuce-plants", "these are seedlings all along"),
            ("radish-microgreens", "these are eaten as seedlings"),
        ],
    ),
)
def test_a_rung_that_does_not_apply_says_why(crop: str, why: str) -> None:
    asked = tenhour("lamps", "front", crop, "--rung", "seedlings")
    assert (asked.status, asked.out) == (1, "")
    assert 'No rung "seedlings only" here: ' + why in asked.err
    answer = _json("lamps", "front", crop)
    assert why in next(one["why"] for one in answer["absent"] if one["name"] == "seedlings")
    every = {name for rung in answer["ladder"] for name in (rung["name"], *rung["also"])}
    assert every | {one["name"] for one in answer["absent"]} == {"seedlings", "least", "steady", "full"}


def test_lamps_over_seedlings_are_not_kept_over_the_bed(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE.format(**HOUSES["glass at 50 degrees"]), encoding="utf-8")
    done = tenhour("lamps", "--house", path, "leaf-lettuce", "--rung", "seedlings", "--keep")
    assert done.status == 1
    assert "[nursery]" in done.err
    assert "[[lamps]]" not in path.read_text(encoding="utf-8")
