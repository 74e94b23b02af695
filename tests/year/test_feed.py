"""The household's plan through the door: a house file and the command."""

from __future__ import annotations

import json
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from helpers_long import LONG, many
from helpers_once import soon_searched
from helpers_world import demo_text
from tenhour.files.crop import load_crops
from tenhour.files.house.read import load_house

DEMO = demo_text(*many(("front", "middle"), ()))
SECONDS = many("1", "6")
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


@pytest.fixture(autouse=True)
def _soon(monkeypatch: pytest.MonkeyPatch) -> None:
    soon_searched(monkeypatch)


@pytest.fixture
def no_remedies(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the short form what would help is looked for where a test asks for it: it is half of the time."""
    if not LONG:
        monkeypatch.setattr("tenhour.year.feed.plan.remedies_of", lambda *_: ())


def plan(folder: Path, table: str, *options: str, on: str = "2026-08-17") -> dict[str, Any]:
    done = tenhour(
        "feed", "-H", house(folder, table), "--on", on, "--every", "2w", "--seconds", SECONDS, *options, "--json"
    )
    assert done.status == 0, done.err
    found: dict[str, Any] = json.loads(done.out)
    return found


@pytest.fixture(scope="module")
def early(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    """A house whose household asks in time, and its plan, made once."""
    folder = tmp_path_factory.mktemp("early")
    with pytest.MonkeyPatch.context() as patch:
        soon_searched(patch)
        if not LONG:
            patch.setattr("tenhour.year.feed.plan.remedies_of", lambda *_: ())
        return folder, plan(folder, SOME)


def test_the_plan_holds_when_counted_again_from_its_own_lists(early: tuple[Path, dict[str, Any]]) -> None:
    """Beds never over full, wishes never over met, missing and there make up the wish."""
    folder, answer = early
    beds = {bed.name: bed.size_m[0] * bed.size_m[1] for bed in load_house(folder / "house.toml").beds}
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


def test_sown_too_late_it_says_what_is_missing_and_that_sowing_earlier_would_close_it(
    tmp_path: Path, early: tuple[Path, dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    if not LONG:  # what is asked of the remedies is the earlier sowing
        monkeypatch.setattr("tenhour.year.feed.remedies._lamps", lambda *_: ())
        monkeypatch.setattr("tenhour.year.feed.remedies.warmer_of", lambda *_: ())
    late = plan(tmp_path, SOME, on="2026-11-02")
    assert late["proof"]["missing_least_count"] > early[1]["proof"]["missing_least_count"] + 1.0
    assert late["missing"]
    remedies = {remedy["kind"]: remedy["missing_after_count"] for remedy in late["remedies"]}
    assert remedies["earlier"] < late["proof"]["missing_least_count"]
    asked = ("feed", "-H", tmp_path / "house.toml", "--on", "2026-11-02", "--every", "2w", "--seconds", SECONDS)
    text = tenhour(*asked).out
    assert "Missing\n" in text
    assert "sow 4 weeks earlier" in text
    lines = text.splitlines()
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 30
    if not LONG:
        return
    everything = tenhour(*asked, "--all").out
    assert "Short:" in everything
    for sowing in late["sowings"]:
        assert sowing["sow"] in everything


def test_stopped_while_changes_are_tried_it_tells_the_plan_and_what_was_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("tenhour.year.feed.remedies.warmer_of", stopped)
    table = SOME.replace("people = 2", "people = 3")
    asked = ("feed", "-H", house(tmp_path, table), "--on", "2026-11-09", "--every", "4w", "--seconds", SECONDS)
    done = tenhour(*asked)
    assert done.status == 0, done.err
    said = " ".join(done.out.split())
    assert "sow 4 weeks earlier" in said
    assert "Stopped from the keyboard before everything that could close it was tried." in said
    assert "salads must be missing (proven)" in said


@pytest.mark.usefixtures("no_remedies")
def test_this_week_is_part_of_the_plan(early: tuple[Path, dict[str, Any]]) -> None:
    folder, answer = early
    now = [sowing for sowing in answer["sowings"] if date.fromisoformat(sowing["sow"]) == date(2026, 8, 17)]
    text = tenhour(
        "feed", "-H", folder / "house.toml", "--on", "2026-08-17", "--every", "2w", "--seconds", SECONDS, "--week"
    ).out
    assert now
    for sowing in now:
        assert sowing["name"] in text


@pytest.mark.usefixtures("no_remedies")
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
        ('people = 2\nlikes = ["tomato"]', "household.likes: no crop that makes a meal"),
        ('people = 2\nlikes = ["kale"]\nleave_out = ["kale"]', 'household.leave_out: found "kale", which is liked too'),
    ],
)  # fmt: skip
def test_bad_wishes_are_one_clear_line(tmp_path: Path, table: str, said: str) -> None:
    done = tenhour("feed", "-H", house(tmp_path, table), "--on", "2026-08-17")
    assert done.status == 2
    assert done.out == ""
    assert said in done.err
    assert len(done.err.strip().splitlines()) == 1


def test_no_lamp_is_sized_to_be_bought_where_nothing_must_be_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tenhour.year.answers import lampladder
    from tenhour.year.feed import plan as planning

    def sized(*_: object) -> None:
        raise AssertionError("a lamp was sized")

    monkeypatch.setattr(lampladder, "over_bed", sized)
    monkeypatch.setattr(planning, "remedies_of", lambda *_: ())  # they are for the leaner season that may be taken
    table = """people = 1
from = "2026-11-02"
to = "2026-12-20"
meals = { salad = 2 }
likes = ["pea-shoots", "radish-microgreens", "spinach"]
may_buy = ["lamp", "cover"]
"""
    answer = plan(tmp_path, table)
    assert answer["lamps"] == answer["buys"] == []


@pytest.mark.long
def test_a_lamp_of_the_plan_is_the_one_that_lamps_sizes() -> None:
    from tenhour.door.year import sources_of
    from tenhour.files.crop import load_crops
    from tenhour.files.house.read import demo_house
    from tenhour.files.lamp import LampChoice, find_lamp
    from tenhour.model.lamp import LampRequest
    from tenhour.year.answers.lampladder import over_bed
    from tenhour.year.answers.lamps import case_over_bed
    from tenhour.year.year import Year

    year, on = Year(demo_house(), sources_of(demo_house()), load_crops()), date(2026, 8, 10)
    leaf = [crop for crop in year.crops if crop.key == "spinach"]
    asked = (leaf, "front", find_lamp(LampChoice()), LampRequest(over_bed=True))
    answer = year.lamps("front", leaf, *asked[2:], today=on)
    found = over_bed(case_over_bed(year.world, *asked, on))
    assert found is not None
    (hung, share) = found
    assert (hung.sizing.power_w, hung.sizing.fixtures_count) == (answer.power_w, answer.fixtures_count)
    assert share == pytest.approx(answer.heat_replaced_frac, abs=0.002)  # there it is reckoned beside other rungs
    assert [0.0 if one is None else one.lamp_h for one in hung.sizing.clock.plans] == [m.lamp_h for m in answer.clock]


def test_trays_and_seasons_are_told_as_a_grower_counts_them() -> None:
    from tenhour.words.feeding import seasons_said, trays_said

    assert [trays_said(count) for count in (0.25, 0.5, 1.0, 1.75, 3.0)] == [
        "¼ tray", "½ tray", "1 tray", "1¾ trays", "3 trays"
    ]  # fmt: skip
    assert [seasons_said(share) for share in (0.02, 0.1, 0.26, 0.5, 0.8)] == [
        "one season of 20", "one season of 10", "one season of 4", "one season of 2", "most seasons"
    ]  # fmt: skip


@pytest.mark.usefixtures("no_remedies")
def test_trays_are_bought_where_they_may_be_and_animals_get_parts_of_them(tmp_path: Path) -> None:
    table = """people = 2
from = "2026-10-05"
to = "2026-12-20"
meals = { salad = 3 }
likes = ["romaine", "pea-shoots"]
leave_out = ["kale", "chard", "komatsuna", "spinach", "leaf-lettuce"]
may_buy = ["tray"]
[[household.animal]]
kind = "hen"
count = 3
"""
    answer = plan(tmp_path, table)
    trays = answer["trays"]
    assert trays
    lying = [
        sum(one["trays_count"] for one in trays if one["sow"] <= week["start"] <= one["cut_to"])
        for week in answer["weeks"]
    ]
    bought = [one for one in answer["buys"] if one["kind"] == "tray"]
    assert len(bought) == 1
    assert bought[0]["cost"] == pytest.approx(3.0 * bought[0]["count"])
    assert bought[0]["count"] <= max(lying) + 1.0
    for one in trays:
        assert (one["trays_count"] * (4 if one["crop"].endswith("fodder") else 1)) % 1 == pytest.approx(0.0)


def test_a_season_that_is_over_is_no_answer(tmp_path: Path) -> None:
    done = tenhour("feed", "-H", house(tmp_path, SOME), "--on", "2027-03-01")
    assert done.status == 1
    assert "ended on 2027-01-17" in done.err


SPRING = """
people = 3
from = "2027-03-08"
to = "2027-05-16"
meals = { salad = 4, cooked = 2 }
likes = ["romaine", "pak-choi", "head-lettuce"]
[nursery]
dli_mol_m2_d = 8
day_degc = 19
night_degc = 15
"""


@pytest.mark.usefixtures("no_remedies")
def test_the_nursery_raises_no_more_than_stands_on_its_shelf(tmp_path: Path) -> None:
    """Counted again from the list: plants by the trays' own density, whole weeks from sowing to setting out."""
    trays = {crop.key: crop.raising.tray_density_per_m2.value for crop in load_crops() if crop.raising is not None}
    sizes = {"": 9.0, **many({}, {"size_m = [0.2, 0.2]\n": 0.04}), "size_m = [0.1, 0.2]\n": 0.02}
    missing = []
    for line, size in sizes.items():
        answer = plan(tmp_path, SPRING + line, on="2027-01-11")
        missing.append(answer["proof"]["missing_least_count"])
        assert any("has room for all" in told for told in answer["assumptions"]) == (line == "")
        raised = [one for one in answer["sowings"] if one["set_out"]]
        assert raised
        for week in {one["sow"] for one in raised}:
            there = [one for one in raised if one["sow"] <= week < one["set_out"]]
            assert sum(one["plants_count"] / trays[one["crop"]] for one in there) <= size * 1.05  # whole plants
    assert all(larger + 1.0 < smaller for larger, smaller in pairwise(missing))


SUMMER = """
people = 50
from = "2027-05-10"
to = "2027-08-22"
meals = { salad = 7 }
likes = ["romaine", "leaf-lettuce", "baby-lettuce"]
"""


@pytest.mark.usefixtures("no_remedies")
def test_a_family_comes_back_to_its_ground_only_after_its_rest(tmp_path: Path) -> None:
    """Lettuce alone on full beds: drawn out by the rest their patches still fit side by side; and more is missing."""
    free, rested = (plan(tmp_path, SUMMER + line, on="2027-03-01") for line in ("", "rest_weeks = 12\n"))
    assert rested["proof"]["missing_least_count"] > free["proof"]["missing_least_count"] + 1.0
    area = {bed.name: bed.size_m[0] * bed.size_m[1] for bed in load_house(tmp_path / "house.toml").beds}
    for here in rested["sowings"]:
        begin = here["set_out"] or here["sow"]
        until = [
            (one["set_out"] or one["sow"], date.fromisoformat(part["clear_by"]) + timedelta(weeks=12), part["area_m2"])
            for one in rested["sowings"]
            for part in one["cleared"]
            if one["bed"] == here["bed"]
        ]
        there = [size for sow, clear, size in until if sow <= begin < clear.isoformat()]
        assert sum(there) <= area[here["bed"]] + 0.003 * len(there)
