"""This winter so far, through the house file: days past as they were, days ahead as usual."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from helpers_cli import tenhour
from helpers_long import LONG, many
from helpers_once import build_once, few_winters
from helpers_world import PLAIN, crops
from tenhour.cli.loading import sources
from tenhour.files.house.household import household_data
from tenhour.files.house.read import load_house
from tenhour.files.lamp import LampChoice, find_lamp
from tenhour.model.household import Household
from tenhour.model.lamp import LampRequest
from tenhour.plan.dates import DAYS
from tenhour.report.feed import feed_text
from tenhour.sky.spread import class_sequence
from tenhour.year.feed.asked import Asked
from tenhour.year.warm.helps import Helps
from tenhour.year.year import Year

HOUSE = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip
TODAY = "2026-11-28"
FIRST, LAST = date(2026, 9, 20), date(2026, 11, 27)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    build_once(monkeypatch)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    (tmp_path / "sown.csv").write_text("date,what,crop,bed\n2026-09-25,sown,romaine,front\n", encoding="utf-8")
    return tmp_path


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)
    if not LONG:  # no test here asks what would help
        monkeypatch.setattr("tenhour.year.feed.plan.remedies_of", lambda *_: ())
        monkeypatch.setattr("tenhour.year.answers.heat._helps", lambda *_: Helps((), (), None))
        monkeypatch.setattr("tenhour.year.answers.heat.spots_of", lambda *_: ())


FEW = many(("--crop", "romaine", "--crop", "kale", "--crop", "spinach"), ())
"""Crops of an answer, with the one that stands."""


def usual() -> dict[int, float]:
    """Outdoor light of each day as the model's own year has it, dull and bright days in its fixed order."""
    import tenhour as th

    out = th.Year(th.read_house("house.toml"))._year.world.outdoors
    found = out.class_dli_mol_m2_d[np.arange(DAYS), class_sequence(DAYS)]
    return {day + 1: float(light) for day, light in enumerate(found)}


def write_days(
    factor: float, *, last: date = LAST, without: tuple[date, ...] = (), column: str = "dli_mol_m2_d"
) -> None:
    light = usual()
    rows, on = [f"date,{column}"], FIRST
    while on <= last:
        if on not in without:
            rows.append(f"{on.isoformat()},{factor * light[on.timetuple().tm_yday]:.4f}")
        on += timedelta(days=1)
    name = f"days-{factor:g}-{last.isoformat()}-{len(without)}.csv"  # years are kept by the text of the house
    Path(name).write_text("\n".join(rows) + "\n", encoding="utf-8")
    Path("house.toml").write_text(HOUSE + f'\n[weather]\nsince = "{name}"\n', encoding="utf-8")


def answer(*arguments: str) -> Any:
    done = tenhour(*arguments, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def test_the_months_are_the_files_and_the_winter_counts_from_october() -> None:
    write_days(0.66, without=(date(2026, 10, 20),))
    found = answer("sow", "--on", TODAY, *FEW)["so_far"]
    assert (found["from"], found["to"]) == ("2026-10-01", "2026-11-27")
    assert found["missing"] == ["2026-10-20"]
    assert found["light_ratio"] == pytest.approx(0.66, abs=0.01)
    light = usual()
    for month in found["months"]:
        days = [FIRST + timedelta(days=n) for n in range((LAST - FIRST).days + 1)]
        known = [day for day in days if day.month == month["month"] and day != date(2026, 10, 20)]
        wanted = sum(0.66 * light[day.timetuple().tm_yday] for day in known) / len(known)
        assert month["days_count"] == len(known)
        assert month["dli_mol_m2_d"] == pytest.approx(wanted, rel=0.005)
    text = " ".join(tenhour("sow", "--on", TODAY, *FEW).out.split())
    said = re.search(r"This winter so far: (\d+)% less light than usual from 2026-10-01 to 2026-11-27 (.*?);", text)
    assert said is not None
    assert int(said[1]) == pytest.approx(34, abs=1)
    assert said[2] == "(2026-10-20 missing)"
    assert "Romaine sown 2026-09-25 comes" in text
    assert "later for it" in text


def test_usual_days_move_nothing_and_dull_ones_what_stands_alone() -> None:
    before = answer("sow", "--on", TODAY, *FEW)
    write_days(1.0)
    plain = answer("sow", "--on", TODAY, *FEW)
    assert plain["so_far"]["effects"] == []
    assert plain["so_far"]["light_ratio"] == pytest.approx(1.0, abs=0.015)
    write_days(0.5)
    dull = answer("sow", "--on", TODAY, *FEW)
    assert dull["beds"] == before["beds"]  # what is sown now grows in days to come, which are as usual
    assert len(dull["so_far"]["effects"]) == 1
    assert answer("sow", "--on", TODAY, *FEW) == dull


def test_only_days_before_the_day_asked_count() -> None:
    write_days(0.5)
    early = answer("sow", "--on", "2026-10-11", *FEW)["so_far"]
    assert early["to"] == "2026-10-10"
    assert early["days_count"] == 10
    assert "so_far" not in answer("sow", "--on", "2028-11-28", *FEW)
    assert answer("light")["so_far"]["light_ratio"] < 0.6


def test_what_cannot_be_a_file_of_days_is_refused_in_one_line(folder: Path) -> None:
    write_days(8.0)
    done = tenhour("sow", "--on", TODAY)
    assert done.status == 2
    assert "days-8-" in done.err
    next(folder.glob("days-8-*")).unlink()
    done = tenhour("sow", "--on", TODAY)
    assert done.status == 2
    assert "weather.since" in done.err


def test_days_may_be_left_out_and_a_day_brighter_than_space_is_named(folder: Path) -> None:
    """Own sums of some days of each week are days too; check tells how many are known."""
    rows = "\n".join(f"2026-10-{day:02d},5.0" for day in (1, 4, 8, 11, 15, 18, 22, 25))
    (folder / "weekly.csv").write_text(f"date,dli_mol_m2_d\n{rows}\n", encoding="utf-8")
    (folder / "house.toml").write_text(HOUSE + '\n[weather]\nsince = "weekly.csv"\n', encoding="utf-8")
    assert answer("light", "--on", "2026-10-26")["so_far"]["days_count"] == 8
    said = " ".join(tenhour("check").out.split())
    assert "Days of this winter: weekly.csv, 8 days known from 2026-10-01 to 2026-10-25." in said
    (folder / "space.csv").write_text("date,dli_mol_m2_d\n2026-10-01,5\n2026-10-02,333\n", encoding="utf-8")
    (folder / "house.toml").write_text(HOUSE + '\n[weather]\nsince = "space.csv"\n', encoding="utf-8")
    done = tenhour("check")
    assert done.status == 2
    assert "333.0 mol m⁻² on 2026-10-02" in done.err


def test_a_grower_may_write_a_first_single_day(folder: Path) -> None:
    write_days(0.8, last=FIRST)
    found = answer("sow", "--on", "2026-09-25", *FEW)["so_far"]
    assert found["days_count"] <= 1
    assert "too few" in found["sentence"]


def ready(command: str) -> str:
    """First day on which the logged romaine is ready, by one command."""
    stands = answer(command, "--on", TODAY)["stands"]
    return str(next(one["ready_from"] for one in stands if one["crop"] == "romaine"))


@pytest.mark.parametrize("command", many(["log"], ["week", "log"]))
def test_the_dates_of_what_stands_move_with_the_winter(command: str) -> None:
    before = ready(command)
    write_days(1.0)
    assert ready(command) == before
    write_days(0.5)
    assert ready(command) > before


def test_the_plan_of_a_household_tells_this_winter_too() -> None:
    write_days(0.5)
    house = load_house(Path("house.toml"))
    year = Year(house, sources(house), (crops()["spinach"], crops()["pea-shoots"]))
    one = Household(1, end=date(2027, 3, 1), meals_per_week={"salad": 2.0})
    asked = Asked(one, year.crops, household_data(), date.fromisoformat(TODAY), 4)
    plan = year.feed(asked, find_lamp(LampChoice("led-bar")), LampRequest(), seconds_s=1.0)
    assert plan.basis.so_far is not None
    assert str(plan.basis.so_far.sentence) in " ".join(feed_text(plan, 200).split())


def test_what_stands_for_the_dark_moves_with_the_winter_in_season_by_itself() -> None:
    """After a dull autumn a stand had to be sown sooner to give as much; of sowings to come nothing moves."""

    def bed() -> tuple[Any, str, float]:
        beds = answer("season", "--from", TODAY, "--bed", "front", *FEW)["beds"]
        crops = {one["crop"]: one for one in beds[0]["crops"]}
        romaine, picked = crops["romaine"], crops["kale"]["picking_g_m2_week"][:6]
        return romaine["sow_by"], romaine["stands_if_by"], sum(value or 0.0 for value in picked)

    before = bed()
    write_days(1.0)
    assert bed()[:2] == before[:2]
    write_days(0.5)
    after = bed()
    assert after[0] == before[0]  # the next one, in days to come
    assert after[1] < before[1]
    assert after[2] == pytest.approx(
        before[2], rel=0.03
    )  # what is grown by the dark, less or more by its pickings' days


def test_days_of_last_year_do_not_come_round_again_as_days_ahead() -> None:
    from tenhour.year.crops.thiswinter import Past

    known = Past(np.ones(DAYS), np.zeros(DAYS), date(2025, 11, 28), LAST)
    cut = known.since(date(2026, 9, 20))
    assert np.isfinite(cut.dli_mol_m2_d).sum() == (LAST - date(2026, 9, 20)).days + 1
    assert np.isnan(cut.dli_mol_m2_d[date(2026, 12, 10).timetuple().tm_yday - 1])


def test_joined_at_any_day_it_is_the_file_before_and_the_normals_after() -> None:
    import tenhour as th
    from tenhour.year.crops.growing import bed_climates
    from tenhour.year.crops.thiswinter import as_it_went, past_of

    write_days(0.5)
    year = th.Year(th.read_house("house.toml"))._year
    given, world = year.sources.since, year.world
    assert given is not None
    usual = bed_climates(world).dli_mol_m2_d
    for on in (date(2026, 10, 3), date(2026, 11, 1), date(2026, 11, 28)):
        past = past_of(world, given, on)
        assert past is not None
        went = as_it_went(world, past, FIRST).dli_mol_m2_d
        there = np.isfinite(past.dli_mol_m2_d)
        assert there.sum() == (on - FIRST).days
        np.testing.assert_array_equal(went[:, ~there], usual[:, ~there])
        ratio = went[:, there].sum() / usual[:, there].sum()
        assert ratio == pytest.approx(0.5, abs=0.06)  # a dull day's light passes the house a little otherwise


HANGING = (
    '\n[[heater]]\nkind = "stove"\npower_w = 6000\nefficiency_frac = 0.5\nflue_mm = 150\n'
    '[[lamps]]\nbed = "front"\nkind = "led-bar"\ncount = 4\nheight_m = 0.4\nclock = ["06:00-16:00"]\n'
    'burn_from = "10-15"\nburn_to = "02-28"\n'
)


def used(air_degc: float, *, with_air: bool = True) -> Any:
    """What a winter of about one temperature used in a house held at 18 °C."""
    light = usual()
    rows, on = ["date,dli_mol_m2_d,temp_degc"], FIRST
    while on <= LAST:
        air = f"{air_degc + on.day % 3 - 1:g}" if with_air else ""  # a constant one would be a thermometer that sticks
        rows.append(f"{on.isoformat()},{0.5 * light[on.timetuple().tm_yday]:.4f},{air}")
        on += timedelta(days=1)
    name = f"air-{air_degc:g}-{with_air}.csv"
    Path(name).write_text("\n".join(rows) + "\n", encoding="utf-8")
    held = HOUSE.replace("day_set_degc = 12\nnight_set_degc = 5", "day_degc = 18\nnight_degc = 18")
    Path("house.toml").write_text(held + HANGING + f'\n[weather]\nsince = "{name}"\n', encoding="utf-8")
    return answer("heat", "--on", TODAY)["so_far"]["used"]


def test_lamp_hours_burnt_and_heat_used_so_far() -> None:
    cold, text = used(-5.0), " ".join(tenhour("week", "--on", TODAY).out.split())
    lamps = cold["lamps"][0]
    burning = (date(2026, 11, 28) - date(2026, 10, 15)).days  # up to yesterday
    power_w = 4 * lamps["energy_kwh"] * 1000 / lamps["hours_h"] / 4
    assert (lamps["bed"], lamps["hours_h"]) == ("front", 10 * burning)
    assert power_w in range(40, 1000)
    assert lamps["ahead_h"] == 10 * (137 - burning)  # 15 October to 28 February are 137 days
    assert f"Lamps have burnt {10 * burning} h over front since 2026-10-01" in text
    assert "as dry wood" in text
    assert "colder from 2026-10-01 to 2026-11-27" in text
    # a steady loss: 5 K colder take as many watts more as the heater of the coldest night is sized for per kelvin
    colder = used(-10.0)
    days = (date(2026, 11, 28) - date(2026, 10, 1)).days
    per_k = (colder["heat_kwh"] - cold["heat_kwh"]) * 1000 / (5.0 * 24 * days)
    heater = answer("heat", "--on", TODAY)["heater"]
    assert per_k == pytest.approx(heater["power_w"] / 1.2 / (18.0 - heater["design_outdoor_degc"]), rel=0.15)
    unknown = used(0.0, with_air=False)
    assert unknown["heat_kwh"] is None
    assert unknown["lamps"] == cold["lamps"]
