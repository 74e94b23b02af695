"""``tenhour heat`` through the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from helpers_cli import tenhour

HOUSE = """
[site]
latitude_deg = 57.1
longitude_deg = -4.7
elevation_m = 40
[house]
shape = "gable"
length_m = 5
width_m = 3
eaves_m = 1.8
ridge_m = 2.6
cover = "twin-wall-8"
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
layers = [{ cover = "fleece", by_day = false }]
[air]
night_set_degc = 3
[[store]]
litres = 400
"""
STOVE = '[[heater]]\nkind = "stove"\npower_w = 3000\nflue_mm = 120\nefficiency_frac = 0.65\nprice = 0.08\n'


def test_a_night_a_winter_and_the_heater(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE + STOVE)
    done = tenhour("heat", "--house", str(path), "--tonight", "-9", "--on", "2027-01-20", "--json")
    assert done.status == 0, done.err
    answer = json.loads(done.out)
    winter, night, months = answer["winter"], answer["tonight"], answer["months"]
    # a floor of 3 °C holds at all hours, less what a thermostat lets it swing
    assert winter["lowest_air_degc"] == pytest.approx(2.0, abs=0.01)
    assert winter["hours_below_0_h"] == 0
    assert winter["energy_low_kwh"] < winter["energy_kwh"] < winter["energy_high_kwh"]
    assert sum(month["energy_kwh"] for month in months) == pytest.approx(winter["energy_kwh"], rel=0.01)
    assert night["lowest_unheated_degc"] < 0.0 < night["lowest_air_degc"]
    # 0.65 of 4.0 kWh from each kilogram of dry wood
    assert night["wood_kg"] == pytest.approx(night["heat_kwh"] / (0.65 * 4.0), rel=0.02)
    assert night["wood_low_kg"] < night["wood_kg"] < night["wood_high_kg"]
    assert answer["heater"]["hold_degc"] == 3.0
    assert answer["heater"]["power_w"] > 1.2 * night["largest_hour_w"] * 0.8
    assert answer["power_cut"]["floor_degc"] < 0.0
    assert any("carbon monoxide" in text for text in answer["cautions"])
    assert len(answer["cautions"]) >= 4
    assert {measure["measure"] for measure in answer["measures"]}


@pytest.mark.parametrize("night", [(), ("--tonight", "-9")], ids=["winter", "tonight"])
def test_the_text_fits_a_screen(tmp_path: Path, night: tuple[str, ...]) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE + STOVE)
    done = tenhour("heat", "--house", str(path), *night)
    assert done.status == 0, done.err
    lines = done.out.splitlines()
    assert len(lines) <= 40
    assert max(map(len, lines)) <= 80
    assert "carbon monoxide" in " ".join(done.out.split())


@pytest.mark.parametrize(
    ("more", "line"),
    [
        (
            '[[heater]]\nkind = "stove"\npower_w = 3000\n',
            "heater[1]: found a stove without flue_mm and",
        ),
        ('[curtain]\nfaces = ["loft"]\nkind = "night-curtain"\n', '"loft", a face this house has not'),
        ('[curtain]\nfaces = ["roof"]\n', "curtain: found neither kind nor resistance_m2_k_w"),
        ('[heat]\nleak = "tight"\nleak_ach = 0.3\n', "heat.leak_ach: found beside leak"),
        ("[[store]]\nlitres = 200\nat_m = [0.2, 2.2, 0]\n", "no size_m"),
    ],
    ids=["stove", "face", "curtain", "leak", "store"],
)
def test_one_line_for_what_cannot_be(tmp_path: Path, more: str, line: str) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE + more)
    done = tenhour("heat", "--house", str(path))
    assert done.status == 2
    said = [text for text in done.err.splitlines() if "house.toml" in text]
    assert len(said) == 1
    assert line in said[0]


def test_a_set_point_above_the_vents_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_text(HOUSE.replace("night_set_degc = 3", "night_set_degc = 20\nvent_degc = 18"))
    done = tenhour("heat", "--house", str(path))
    assert done.status == 2
    assert "air.night_set_degc: found 20 °C, above the 18 °C at which the vents open" in done.err
