"""The page and the command line tell the same numbers of the same house."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from helpers_long import LONG, many
from helpers_open import Served, served
from tenhour.files.house.draft import DEFAULTS, Draft, draft_text

HOUSES = many(2, 10)
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


DAY, SOWN = "2027-01-15", "2026-12-20"
ASKED: dict[str, tuple[dict[str, object], tuple[str, ...]]] = {
    "light": ({"on": DAY}, ("--on", DAY)),
    "week": ({"on": DAY}, ("--on", DAY)),
    "sow": ({"on": DAY}, ("--on", DAY)),
    "season": ({"start": DAY}, ("--from", DAY)),
    "heat": ({"on": DAY}, ("--on", DAY)),
    "lamps": (
        {"bed": "front", "crop": "leaf-lettuce", "on": DAY, "price": "0.30 EUR"},
        ("front", "leaf-lettuce", "--from", DAY, "--price", "0.30 EUR"),
    ),
    "why": (
        {"crop": "tomato", "sown": SOWN, "seen": DAY, "signs": ["pale"], "night_degc": 9, "dli_mol_m2_d": 3},
        ("tomato", "--sown", SOWN, "--seen", DAY, "--looks", "pale", "--night-c", "9", "--dli", "3"),
    ),
    "feed": ({"on": DAY, "seconds_s": 60, "step_weeks": 2}, ("--on", DAY, "--seconds", "60", "--every", "2w")),
}
"""Every question of the page: as it asks, and as it is typed. The search for a plan has time to end: one that
is cut off ends where the machine left it."""
SHORT = {0: ("light",), 1: ("week", "why")}


def told_of(answer: dict[str, Any]) -> dict[str, Any]:
    """What an answer says, without where its house file stands and how long it took."""
    told = {key: value for key, value in answer.items() if key != "inputs"}
    if "proof" in told:
        told["proof"] = {key: value for key, value in told["proof"].items() if key != "seconds_s"}
    return told


def test_answers_on_random_houses_are_what_the_commands_print(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    with served(tmp_path, sharing=not LONG) as running:
        for number in range(HOUSES):
            path.write_text(some_house(number), "utf-8")
            now = running.ask("GET", "api/version")[1]["version"]
            for question in ASKED if LONG else SHORT[number]:
                words, typed_words = ASKED[question]
                body = {"version": now, "question": question, "words": words, "number": number, "tab": "same"}
                status, told = running.ask("POST", "api/ask", body)
                done = tenhour(question, *typed_words, "--house", path, "--json")
                if done.status == 1:  # no answer, in the same words
                    assert (status, told["problems"][0] in done.err) == (422, True), (number, question, told, done.err)
                    continue
                assert (status, done.status) == (200, 0), (number, question, told, done.err)
                assert told_of(told["json"]) == told_of(json.loads(done.out)), (number, question)
                if question == "light":
                    the_drawing_says(running, now, number, told["json"])


def the_drawing_says(running: Served, now: str, number: int, light: dict[str, Any]) -> None:
    """The light that beds are coloured by is that of the answer."""
    year = running.ask("POST", "api/year", {"version": now, "number": number})[1]
    for bed, row in zip(year["beds"], light["day"]["beds"], strict=True):
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
