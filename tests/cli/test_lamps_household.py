"""Lamps for a household: several beds under one budget, plants for the garden by a date."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from helpers_cli import tenhour

TRAY_M2 = 0.18


def _json(*arguments: str) -> Any:
    done = tenhour(*arguments, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def test_beds_share_watts_and_more_is_never_worse() -> None:
    asked = ("lamps", "front", "back", "--crop", "spinach", "--price", "0.30 EUR", "--budget")
    gains = []
    for watts in (150, 400):
        answer = _json(*asked, f"{watts} W")
        rows = answer["budget"]
        assert {row["bed"] for row in rows} == {"front", "back"}
        assert sum(row["power_w"] for row in rows) <= watts
        first = rows[0]
        assert (first["order"], answer["bed"]) == (1, first["bed"])
        assert (answer["power_w"], answer["chosen"]) == (first["power_w"], first["rung"])
        gains.append(sum(row["extra_kg"] for row in rows))
    assert gains[1] >= gains[0] > 0
    told = tenhour(*asked, "400 W").out
    assert told.startswith("400 W do most over")
    assert len(told.splitlines()) <= 30


def test_plants_for_the_garden_by_a_date() -> None:
    """500 tomato plants per m² of tray: 30 stand on one of 30 by 60 cm; 37 days under 10 mol before they go out."""
    asked = ("lamps", "--crop", "tomato-plants", "--plants", "30", "--harvest", "2028-05-01", "--price", "0.30 EUR")
    answer = _json(*asked)
    (row,) = answer["nursery"]
    assert (row["plants"], row["trays"], row["ready_on"]) == (30, 1, "2028-05-01")
    assert answer["area_m2"] == pytest.approx(TRAY_M2)
    rung = next(one for one in answer["ladder"] if answer["chosen"] in (one["name"], *one["also"]))
    raised = (date.fromisoformat(row["ready_on"]) - date.fromisoformat(row["sow_on"])).days
    assert raised == pytest.approx(rung["days_to_harvest"], abs=1)
    assert answer["counted_from"] == row["sow_on"]
    assert rung["cost_per_hundred_plants"] == pytest.approx(rung["cost_season"] / 30 * 100, rel=0.02)
    burning = [month["month"] for month in answer["clock"] if month["days"]]
    assert set(burning) <= {3, 4, 5}
    text = tenhour(*asked).out
    assert "30 tomato plants: sown as below they are ready for 2028-05-01" in text
    assert len(text.splitlines()) <= 30


def test_plants_that_come_too_late_say_so() -> None:
    answer = _json("lamps", "--crop", "tomato-plants", "--plants", "30", "--harvest", date.today().isoformat())
    assert "it is too late for" in answer["verdict"]


@pytest.mark.parametrize(
    ("words", "status", "line"),
    [
        (("front", "spinach", "--budget", "lots"), 2, 'watts or money, like "400 W"'),
        (("front", "spinach", "--budget", "100 EUR"), 2, "money with a price per kWh"),
        (("front", "radish-microgreens", "--budget", "400 W"), 1, "ask for one shelf at a time"),
        (("front", "spinach", "--budget", "1 W"), 1, "No rung of any bed"),
        (("front", "spinach", "--budget", "90 W", "--own", "3"), 2, "--own and --budget"),
        (("spinach", "--plants", "30"), 2, "crops that are raised for the garden"),
        (("tomato-plants", "--plants", "30,40"), 2, "one for every crop"),
        (("tomato-plants", "--plants", "few"), 2, "whole numbers from 1"),
    ],
)
def test_each_mistake_is_one_clear_line(words: tuple[str, ...], status: int, line: str) -> None:
    done = tenhour("lamps", *words)
    assert (done.status, done.out) == (status, "")
    assert line in done.err
