"""The page and the command line tell the same numbers of the same house."""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_open import served
from tenhour.files.house.draft import DEFAULTS, Draft, draft_text

HOUSES = many(1, 10)
PLACES = ("Duluth, Minnesota", "Inverness, Scotland", "Ulm, Germany", "Tromso, Norway", "Queenstown, New Zealand")


def some_house(number: int) -> str:
    rng = random.Random(f"page {number}")
    shape = rng.choice(sorted(set(DEFAULTS) - {"window-sill"}))
    sizes = {key: f"{float(size) * rng.uniform(0.9, 1.6):.2f}" for key, size in DEFAULTS[shape].items()}
    if "eaves" in sizes and "ridge" in sizes:
        sizes["ridge"] = f"{float(sizes['eaves']) + rng.uniform(0.4, 1.2):.2f}"
    if "front" in sizes:
        sizes["back"] = f"{float(sizes['front']) + rng.uniform(0.1, 0.8):.2f}"
    air = {"night": str(rng.randint(2, 9))} if rng.random() < 0.5 else {}
    return draft_text(Draft(place=rng.choice(PLACES), shape=shape, azimuth=str(rng.randrange(360)), **sizes, **air))


def test_light_of_random_houses_is_what_the_command_prints(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    with served(tmp_path) as running:
        for number in range(HOUSES):
            path.write_text(some_house(number), "utf-8")
            now = running.ask("GET", "api/version")[1]["version"]
            body = {"version": now, "question": "light", "words": {"on": "2027-01-15"}, "number": number}
            status, told = running.ask("POST", "api/ask", body)
            assert status == 200, told
            done = tenhour("light", "--house", path, "--on", "2027-01-15", "--json")
            assert done.status == 0, done.err
            typed = json.loads(done.out)
            drawn = told["json"]
            for answer in (typed, drawn):
                answer.pop("inputs")
            assert drawn == typed
            year = running.ask("POST", "api/year", {"version": now, "number": number})[1]
            for bed, row in zip(year["beds"], typed["day"]["beds"], strict=True):
                assert bed["dli"][14] / 100 == pytest.approx(row["dli_mol_m2_d"], abs=0.0051)
                assert bed["dull"][14] / 100 == pytest.approx(row["dull_dli_mol_m2_d"], abs=0.0051)


@pytest.mark.long
def test_a_year_rewarmed_is_the_year_built_anew() -> None:
    from dataclasses import replace
    from datetime import date

    import tenhour as th

    year = th.Year(th.demo_house())
    assert year.model.world.beds
    house = year.house.model
    colder = th.door.House(replace(house, air=replace(house.air, night_set_degc=(3.0,) * 12)))
    light = year.rewarmed(colder)
    assert light is not None
    fresh = th.Year(colder)
    own, new = (one.model.heat(today=date(2027, 1, 15)) for one in (light, fresh))
    assert own == new
    assert own != year.model.heat(today=date(2027, 1, 15))
    moved = th.door.House(replace(house, beds=house.beds[:2]))
    assert year.rewarmed(moved) is None
