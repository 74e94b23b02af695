"""Living with the household's plan: kept, gone on with by the log, pinned up, in the calendar; through the door."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from helpers_cli import tenhour
from helpers_long import LONG, many
from helpers_once import soon_searched
from helpers_world import demo_text

DEMO = demo_text(*many(("front", "middle"), ()))
TABLE = """
[household]
people = 2
from = "2026-10-05"
to = "2026-12-20"
meals = { salad = 3, cooked = 2 }
likes = ["spinach", "romaine", "pak-choi", "tatsoi", "leaf-lettuce", "pea-shoots"]
"""
BEGIN = date(2026, 8, 17)
SECONDS = many("1", "3")


def feed(folder: Path, on: date, *options: str) -> dict[str, Any]:
    done = tenhour(
        "feed", "-H", folder / "house.toml", "--on", on.isoformat(), "--every", "2w", "--seconds", SECONDS,
        "--keep", folder / "plan.json", *options, "--json",
    )  # fmt: skip
    assert done.status == 0, done.err
    found: dict[str, Any] = json.loads(done.out)
    return found


@pytest.fixture(scope="module", autouse=True)
def no_remedies() -> Iterator[None]:
    """In the short form what would help is not looked for: no test here asks for it."""
    with pytest.MonkeyPatch.context() as patch:
        if not LONG:
            patch.setattr("tenhour.year.feed.plan.remedies_of", lambda *_: ())
        soon_searched(patch)
        yield


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A house whose plan was kept, with its calendar, sheet and picture."""
    here = tmp_path_factory.mktemp("feed")
    (here / "house.toml").write_text(DEMO + TABLE, "utf-8")
    feed(here, BEGIN, "--ics", str(here / "plan.ics"), "--sheet", str(here / "wall.html"), "--plot",
         str(here / "plan.svg"))  # fmt: skip
    (here / "first.json").write_text((here / "plan.json").read_text("utf-8"), "utf-8")
    return here


@pytest.fixture
def first(folder: Path) -> dict[str, Any]:
    """The plan as it was made."""
    (folder / "plan.json").write_text((folder / "first.json").read_text("utf-8"), "utf-8")
    (folder / "sown.csv").unlink(missing_ok=True)
    found: dict[str, Any] = json.loads((folder / "first.json").read_text("utf-8"))
    return found


def sowing(one: dict[str, Any]) -> tuple[str, str, str]:
    return one["crop"], one["bed"], one["sow"]


def test_a_week_later_with_all_done_as_planned_nothing_changes(folder: Path, first: dict[str, Any]) -> None:
    """What was planned for the week past stands now; what is ahead is the same; nothing is told as changed."""
    later = BEGIN + timedelta(days=7)
    now = feed(folder, later)
    assert now["kept_plan"] is True
    assert now["changes"] == []
    ahead = {sowing(one) for one in first["sowings"] if one["sow"] >= later.isoformat()}
    assert {sowing(one) for one in now["sowings"]} == ahead
    past = {(one["crop"], one["bed"]) for one in first["sowings"] if one["sow"] < later.isoformat()}
    assert past == {(one["crop"], one["bed"]) for one in now["stands"]}
    assert now["proof"]["missing_count"] <= first["proof"]["missing_count"] + 0.3


def test_a_plan_that_is_kept_is_shown_with_the_bound_it_had(folder: Path, first: dict[str, Any]) -> None:
    """The same question has the same bound, however short the second look."""
    now = feed(folder, BEGIN)
    for key in ("mark", "bound", "season_frac"):
        assert now["proof"][key] == first["proof"][key]
    assert now["proof"]["gap_frac"] == pytest.approx(first["proof"]["gap_frac"], abs=0.005)


def test_the_log_decides_what_stands_and_what_was_missed_is_not_counted_on(folder: Path, first: dict[str, Any]) -> None:
    done, *rest = [one for one in first["sowings"] if one["sow"] == BEGIN.isoformat()]
    (folder / "sown.csv").write_text(
        f"date,what,crop,bed,area_m2\n{BEGIN + timedelta(days=2)},sown,{done['crop']},{done['bed']},{done['area_m2']}\n"
        f"{BEGIN},sown,strawberry,front,0.3\n",
        "utf-8",
    )
    now = feed(folder, BEGIN + timedelta(days=7))
    stands = {one["crop"]: one for one in now["stands"]}
    assert stands[done["crop"]]["area_m2"] == pytest.approx(done["area_m2"], abs=1e-3)
    missed = {(one["crop"], one["bed"]) for one in now["changes"] if one["change"] == "missed"}
    assert missed == {(one["crop"], one["bed"]) for one in rest}
    assert "Keeps its ground" in stands["strawberry"]["text"]
    for week in now["weeks"]:
        used = sum(
            part["area_m2"]
            for one in now["sowings"]
            for part in one["cleared"]
            if one["bed"] == "front" and (one["set_out"] or one["sow"]) <= week["start"] < part["clear_by"]
        )
        front = sum(one["area_m2"] for one in now["stands"] if one["bed"] == "front" and one["clear_by"] is None)
        assert front == pytest.approx(0.3)
        assert used <= front_m2(folder) - front + 0.05


def front_m2(folder: Path) -> float:
    from tenhour.files.house.read import load_house

    bed = next(bed for bed in load_house(folder / "house.toml").beds if bed.name == "front")
    return bed.size_m[0] * bed.size_m[1]


def test_more_people_change_the_plan_and_it_says_how(folder: Path, first: dict[str, Any]) -> None:
    now = feed(folder, BEGIN, "--people", "5")
    assert now["changes"]
    told = {(one["crop"], one["bed"], one["sow"]) for one in now["changes"] if one["change"] == "dropped"}
    gone = {sowing(one) for one in first["sowings"]} - {sowing(one) for one in now["sowings"]}
    assert told == gone


def test_every_job_is_in_the_calendar_once_and_known_by_its_sowing(folder: Path, first: dict[str, Any]) -> None:
    """RFC 5545: one UID for one job; a second import of the next plan replaces, and drops what is off."""
    events = Calendar.from_ical((folder / "plan.ics").read_bytes()).walk("VEVENT")
    ids = [str(event["uid"]) for event in events]
    assert len(ids) == len(set(ids)) == len(first["jobs"])
    feed(folder, BEGIN, "--people", "5", "--ics", str(folder / "five.ics"), "--force")
    after = Calendar.from_ical((folder / "five.ics").read_bytes()).walk("VEVENT")
    off = {str(event["uid"]) for event in after if event.get("status") == "CANCELLED"}
    on = {str(event["uid"]) for event in after if event.get("status") != "CANCELLED"}
    assert not on & off
    assert set(ids) - on == off  # moved clearings, pickings and seed to buy too, not only what is not sown any more
    dropped = {sowing(one) for one in first["sowings"]} - {
        sowing(one) for one in json.loads((folder / "plan.json").read_text("utf-8"))["sowings"]
    }
    known = {str(event["uid"]) for event in events if str(event["categories"].to_ical(), "utf-8") in ("sow", "raise")}
    assert len(known & off) == len(dropped)
    assert len(known & on) == len(known) - len(dropped)


def test_the_sheet_has_a_box_for_every_job_and_its_beds(folder: Path, first: dict[str, Any]) -> None:
    page = (folder / "wall.html").read_text("utf-8")
    assert "@page{size:A4" in page
    assert page.count('class="box"') >= len(first["sowings"])
    for one in first["sowings"]:
        assert one["name"].split(",")[0] in page
    assert "<svg" in page
    assert "<title" in page
    assert "http" not in re.sub(r'xmlns(:\w+)?="[^"]+"', "", page)
    drawn = (folder / "plan.svg").read_text("utf-8")
    assert "salad" in drawn
    assert "front" in drawn


def test_this_week_tells_jobs_food_and_minutes(folder: Path, first: dict[str, Any]) -> None:
    done = tenhour("feed", "-H", folder / "house.toml", "--on", BEGIN, "--every", "2w", "--seconds", SECONDS,
                   "--keep", folder / "plan.json", "--week")  # fmt: skip
    assert done.status == 0
    week = first["weeks"][0]
    assert f"About {week['work_min']:.0f} minutes of work." in done.out
    for job in first["jobs"]:
        if job["on"] == BEGIN.isoformat() and job["do"] in ("sow", "raise"):
            assert job["bed"] in done.out or "nursery" in done.out


def test_a_file_that_is_no_plan_is_one_clear_line_and_stays_as_it_is(folder: Path, first: dict[str, Any]) -> None:
    (folder / "other.json").write_text('{"command": "sow"}', "utf-8")
    done = tenhour("feed", "-H", folder / "house.toml", "--keep", folder / "other.json")
    assert done.status == 2
    assert "a plan that 'tenhour feed --keep' or 'feed --json' wrote" in done.err
    assert len(done.err.strip().splitlines()) == 1
    assert (folder / "other.json").read_text("utf-8") == '{"command": "sow"}'


LATE = """
[household]
people = 5
from = "2026-11-02"
to = "2027-01-10"
meals = { salad = 4 }
likes = ["spinach", "baby-lettuce"]
"""


def late(folder: Path, more: str = "") -> dict[str, Any]:
    (folder / "house.toml").write_text(DEMO + LATE + more, "utf-8")
    done = tenhour("feed", "-H", folder / "house.toml", "--on", "2026-10-26", "--every", "2w", "--seconds", "2",
                   "--json")  # fmt: skip
    assert done.status == 0, done.err
    found: dict[str, Any] = json.loads(done.out)
    return found


@pytest.mark.long
def test_remedies_are_tried_one_by_one_and_lamps_are_bought_where_they_may(tmp_path: Path) -> None:
    """More of anything never leaves more missing; best first; a lamp on offer is bought only within its means."""
    bare = late(tmp_path)
    remedies = bare["remedies"]
    assert {one["kind"] for one in remedies} <= {"earlier", "crops", "bed", "lamp", "cover", "heat"}
    assert remedies
    left = [round(one["missing_after_count"], 1) for one in remedies]
    assert left == sorted(left)
    least = bare["proof"]["missing_least_count"]
    assert all(one["missing_after_count"] < least for one in remedies)
    assert all(one["cost"] > 0 for one in remedies if one["kind"] in ("lamp", "cover"))
    lit = late(tmp_path, 'may_buy = ["lamp"]\n')
    assert lit["proof"]["missing_least_count"] <= least + 1e-6
    for lamp in lit["lamps"]:
        most_kwh = (lamp["hours_h_week"] + 0.5) * lamp["power_w"] / 1000.0 * len(lit["weeks"])  # told in whole hours
        assert lamp["kwh"] <= most_kwh
        assert lamp["cost"] >= lamp["power_w"] * 1.0
    poor = late(tmp_path, 'may_buy = ["lamp"]\nbudget = "1 EUR"\n')
    assert poor["lamps"] == []
    assert poor["proof"]["missing_least_count"] >= lit["proof"]["missing_least_count"] - 1e-6
