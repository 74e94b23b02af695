"""The household's plan through the door: a house file and the command."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from helpers_guide import GUIDE
from helpers_long import many
from tenhour.files.house.read import load_house

DEMO = (GUIDE.parents[1] / "src" / "tenhour" / "_data" / "demo-house.toml").read_text("utf-8")
SECONDS = many("2", "6")
SOME = """
people = 2
from = "2026-10-05"
to = "2027-01-17"
meals = { salad = 3, cooked = 2 }
likes = ["spinach", "romaine", "pak-choi", "tatsoi", "leaf-lettuce"]
"""


def house(folder: Path, table: str) -> Path:
    path = folder / "house.toml"
    path.write_text(f"{DEMO}\n[household]\n{table}\n", "utf-8")
    return path


def plan(folder: Path, table: str, *options: str, on: str = "2026-08-17") -> dict[str, Any]:
    done = tenhour(
        "feed", "-H", house(folder, table), "--on", on, "--every", "2w", "--seconds", SECONDS, *options, "--json"
    )
    assert done.status == 0, done.err
    found: dict[str, Any] = json.loads(done.out)
    return found


def test_the_plan_holds_when_counted_again_from_its_own_lists(tmp_path: Path) -> None:
    """Beds never over full, wishes never over met, missing and there make up the wish."""
    answer = plan(tmp_path, SOME)
    beds = {bed.name: bed.size_m[0] * bed.size_m[1] for bed in load_house(tmp_path / "house.toml").beds}
    for week in answer["weeks"]:
        used = dict.fromkeys(beds, 0.0)
        for sowing in answer["sowings"]:
            begin = sowing["set_out"] or sowing["sow"]
            parts = [part["area_m2"] for part in sowing["cleared"] if begin <= week["start"] < part["clear_by"]]
            used[sowing["bed"]] += sum(parts)
        assert all(used[name] <= area + 0.003 * len(answer["sowings"]) for name, area in beds.items())
        for wish in week["wishes"]:
            assert 0.0 <= wish["there_count"] <= wish["wanted_count"] + 1e-6
    missing = sum(item["missing_count"] for item in answer["missing"])
    told = sum(wish["wanted_count"] - wish["there_count"] for week in answer["weeks"] for wish in week["wishes"])
    assert missing == pytest.approx(told, abs=0.1 * 2 * len(answer["weeks"]))
    proof = answer["proof"]
    assert proof["missing_least_count"] <= proof["missing_count"] + 1e-6
    assert proof["bound"] <= proof["cost"] + 1e-6


@pytest.mark.long
def test_twice_the_people_want_twice_the_portions_and_never_miss_less(tmp_path: Path) -> None:
    two, four = plan(tmp_path, SOME), plan(tmp_path, SOME, "--people", "4")
    wanted = [
        sum(wish["wanted_count"] for week in answer["weeks"] for wish in week["wishes"]) for answer in (two, four)
    ]
    assert wanted[1] == pytest.approx(2 * wanted[0])
    assert four["proof"]["missing_least_count"] >= two["proof"]["missing_least_count"] - 1e-6


def test_sown_too_late_it_says_what_is_missing_and_that_sowing_earlier_would_close_it(tmp_path: Path) -> None:
    late = plan(tmp_path, SOME, on="2026-11-02")
    early = plan(tmp_path, SOME)
    assert late["proof"]["missing_least_count"] > early["proof"]["missing_least_count"] + 1.0
    assert late["missing"]
    remedies = {remedy["kind"]: remedy["missing_after_count"] for remedy in late["remedies"]}
    assert remedies["earlier"] < late["proof"]["missing_least_count"]
    text = tenhour(
        "feed", "-H", tmp_path / "house.toml", "--on", "2026-11-02", "--every", "2w", "--seconds", SECONDS
    ).out
    assert "Short:" in text
    assert "sow 4 weeks earlier" in text
    assert max(map(len, text.splitlines())) <= 80


def test_this_week_is_part_of_the_plan(tmp_path: Path) -> None:
    answer = plan(tmp_path, SOME)
    now = [sowing for sowing in answer["sowings"] if date.fromisoformat(sowing["sow"]) == date(2026, 8, 17)]
    text = tenhour(
        "feed", "-H", tmp_path / "house.toml", "--on", "2026-08-17", "--every", "2w", "--seconds", SECONDS, "--week"
    ).out
    assert now
    for sowing in now:
        assert sowing["name"] in text


def test_likes_limit_and_animals_add(tmp_path: Path) -> None:
    more = SOME + '[[household.animal]]\nkind = "hen"\ncount = 3\n'
    answer = plan(tmp_path, more)
    crops = {item["crop"] for item in (*answer["sowings"], *answer["shelf"])}
    liked = {"spinach", "romaine", "pak-choi", "tatsoi", "leaf-lettuce"}
    assert crops <= liked | {"wheat-fodder", "barley-fodder", "kale", "chard", "komatsuna"}
    assert {wish["wish"] for wish in answer["weeks"][-1]["wishes"]} == {"salad", "cooked", "hen"}
    hens = [wish["wanted_count"] for week in answer["weeks"] for wish in week["wishes"] if wish["wish"] == "hen"]
    assert max(hens) == 3 * 7
    assert any("never a ration" in caution for caution in answer["cautions"])


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ('people = 2\nlikes = ["spinnach"]', "likes: found 'spinnach'; allowed: a crop. Did you mean spinach"),
        ('people = 2\nlikes = ["kale"]\nmeals = { salad = 2 }', "household.meals.salad: no crop that gives it"),
        ("people = 0", "household.people: found 0; allowed: a whole number, 1 to 50"),
        ("people = 2\nportions_g = { salad = 10000 }", "household.portions_g.salad: found 10000; allowed: 1 to 1000"),
        ('people = 2\nfrom = "2027-05-01"\nto = "2027-01-01"', "household.to: found 2027-01-01, before from"),
        ("people = 2\nmeals = { cakes = 2 }", "kinds of food: salad, cooked, herbs, roots. cakes is none"),
        ('people = 2\nbudget = "9 EUR"\nprice_kg = "3 GBP"', "allowed: one currency"),
        ('people = 2\nlikes = ["kale"]\nleave_out = ["kale"]', 'household.leave_out: found "kale", which is liked too'),
    ],
)  # fmt: skip
def test_bad_wishes_are_one_clear_line(tmp_path: Path, table: str, said: str) -> None:
    done = tenhour("feed", "-H", house(tmp_path, table), "--on", "2026-08-17")
    assert done.status == 2
    assert done.out == ""
    assert said in done.err
    assert len(done.err.strip().splitlines()) == 1


def test_a_season_that_is_over_is_no_answer(tmp_path: Path) -> None:
    done = tenhour("feed", "-H", house(tmp_path, SOME), "--on", "2027-03-01")
    assert done.status == 1
    assert "ended on 2027-01-17" in done.err
