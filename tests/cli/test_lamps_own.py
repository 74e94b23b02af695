"""Lamps that a household has already: hung better, run longer, then more of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour

HOUSE = """
schema = 1
[site]
latitude_deg = 50.0
longitude_deg = 8.0
elevation_m = 200
timezone = "Europe/Berlin"
[house]
shape = "gable"
length_m = 5.0
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
length_azimuth_deg = 90
cover = "glass-2"
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
height_m = 0.4
"""
HUNG = """
[[lamps]]
bed = "front"
kind = "led-bar"
count = 6
height_m = 0.25
hours = 10
burn_from = "10-10"
burn_to = "03-05"
"""


def _json(*arguments: str | Path) -> Any:
    done = tenhour(*arguments, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def test_lamps_in_a_cupboard_are_hung_and_reckoned() -> None:
    """4 bars of 40 W give 104 umol/s each (2.6 umol/J): no more light than that can land on 4.48 m²."""
    answer = _json("lamps", "front", "--crop", "leaf-lettuce", "--own", "4", "--price", "0.30 EUR")
    now, more = answer["own"]
    assert (now["step"], more["step"]) == ("as it is", "more")
    assert (now["fixtures"], now["power_w"]) == (4, 160.0)
    assert answer["fixtures"] == 4
    added = answer["days"][1]["lamp_dli_mol_m2_d"]
    assert 0 < added < 4 * 104.0 * 0.9 / 4.48 * now["hours_h"] * 0.0036
    assert now["dli_mol_m2_d"] < more["dli_mol_m2_d"]
    assert now["cost_season"] == pytest.approx(0.30 * now["energy_season_kwh"], abs=0.02)
    assert now["energy_season_kwh"] < more["energy_season_kwh"]
    steady = next(row for row in answer["ladder"] if "steady" in (row["name"], *row["also"]))
    assert more["fixtures"] == steady["fixtures"]
    assert answer["own_for_m2"] == pytest.approx(4.48 * 4 / steady["fixtures"], rel=0.01)
    text = tenhour("lamps", "front", "--crop", "leaf-lettuce", "--own", "4").out
    assert "Your 4 x white LED bar of 40 W over front" in text
    assert len(text.splitlines()) <= 30


def test_lamps_that_hang_are_raised_before_they_burn_longer(tmp_path: Path) -> None:
    """At 25 cm six bars are uneven; 13 h are the most for spinach, so 10 h may be made longer."""
    path = tmp_path / "house.toml"
    path.write_text(HOUSE + HUNG, encoding="utf-8")
    rows = _json("lamps", "front", "--house", path, "--crop", "spinach", "--own", "hung")["own"]
    steps = [row["step"] for row in rows]
    assert steps[:3] == ["as it is", "raise", "longer"]
    hung, raised, longer = rows[:3]
    assert (hung["height_m"], hung["hours_h"]) == (0.25, 10.0)
    assert raised["height_m"] > hung["height_m"]
    assert raised["min_mean_frac"] > hung["min_mean_frac"]
    assert raised["hours_h"] == hung["hours_h"]
    assert longer["hours_h"] > raised["hours_h"]
    assert longer["height_m"] == raised["height_m"]
    assert longer["dli_mol_m2_d"] >= raised["dli_mol_m2_d"]


@pytest.mark.parametrize(
    ("own", "line"),
    [
        ("hung", "a bed with [[lamps]]; front has none"),
        ("0", "--own: found '0'; allowed: a number from 1 to 400"),
        ("2.5", "a whole number"),
        ("399", "columns and rows that fit the bed"),
    ],
)
def test_lamps_that_are_not_there_are_one_clear_line(own: str, line: str) -> None:
    done = tenhour("lamps", "front", "--crop", "spinach", "--own", own)
    assert (done.status, done.out) == (2, "")
    assert line in done.err
