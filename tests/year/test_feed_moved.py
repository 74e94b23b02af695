"""Plants that stand outdoors or in pots, dug and moved in as part of the household's plan; through the door."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from helpers_cli import tenhour
from helpers_once import soon_searched

HOUSE = """
schema = 1
name = "a house with one bed"
[site]
latitude_deg = 52.3
longitude_deg = 0.9
elevation_m = 40
[house]
shape = "gable"
length_m = 4.0
width_m = 2.5
eaves_m = 1.7
ridge_m = 2.4
cover = "glass-1"
[[bed]]
name = "south"
at_m = [0.2, 0.2]
size_m = [3.6, 0.9]
height_m = 0.3
[air]
day_set_degc = 12
night_set_degc = 4
[household]
people = 1
from = "2026-10-05"
to = "2026-11-15"
meals = { cooked = 2 }
likes = ["kale", "komatsuna"]
"""
ON = "2026-09-21"
SOWN = "2026-05-25"
PLANTS = 6


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A house, and its plan before and after kale in the garden was logged."""
    here = tmp_path_factory.mktemp("moved")
    (here / "house.toml").write_text(HOUSE, "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("tenhour.year.feed.plan.remedies_of", lambda *_: ())
        soon_searched(patch)
        plan(here, "without.json")
        log(here, "sown", "kale", "--on", SOWN, "--plants", str(PLANTS))
        plan(here, "with.json", "--ics", str(here / "plan.ics"), "--sheet", str(here / "wall.html"))
        yield here


def log(here: Path, *line: str) -> None:
    done = tenhour("log", *line, "-H", here / "house.toml")
    assert done.status == 0, done.err


def plan(here: Path, name: str, *options: str, on: str = ON) -> dict[str, Any]:
    done = tenhour("feed", "-H", here / "house.toml", "--on", on, "--every", "4w", "--seconds", "1", "--keep",
                   here / name, *options, "--json")  # fmt: skip
    assert done.status == 0, done.err
    found: dict[str, Any] = json.loads(done.out)
    return found


def read(here: Path, name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((here / name).read_text("utf-8"))
    return found


def test_grown_kale_of_the_garden_feeds_the_weeks_that_a_late_sowing_cannot(folder: Path) -> None:
    """Sown on 21 September nothing is there on 5 October; six plants that stand outdoors are, and no more than six."""
    bare, answer = read(folder, "without.json"), read(folder, "with.json")
    assert not any(one["moved"] for one in bare["sowings"])
    assert answer["proof"]["missing_least_count"] < bare["proof"]["missing_least_count"] - 0.5
    moved = [one for one in answer["sowings"] if one["moved"]]
    assert moved
    assert {one["sow"] for one in moved} == {SOWN}
    assert all(ON <= one["set_out"] <= one["harvest_from"] for one in moved)
    most_at_once = max(one["plants_count"] for one in moved)
    assert 1 <= most_at_once <= PLANTS + 1  # told in whole plants
    fresh = {one["crop"] for one in answer["sowings"] if not one["moved"]}
    assert "kale" in fresh or "kale" not in {one["crop"] for one in answer["seeds"]}


def test_moving_in_is_a_job_of_its_day_in_text_sheet_and_calendar(folder: Path) -> None:
    answer = read(folder, "with.json")
    one = next(one for one in answer["sowings"] if one["moved"])
    jobs = [job for job in answer["jobs"] if job["do"] == "move-in" and job["on"] == one["set_out"]]
    assert len(jobs) == 1
    assert "Dig" in jobs[0]["text"]
    assert not any(job["do"] == "outdoors" for job in answer["jobs"])  # they stand there
    assert "Dig and move in" in (folder / "wall.html").read_text("utf-8")
    assert f"Move kale in to {one['bed']}" in (folder / "plan.ics").read_bytes().decode().replace("\r\n ", "")


def test_once_moved_in_by_the_log_they_stand_and_feed_on(folder: Path) -> None:
    one = next(one for one in read(folder, "with.json")["sowings"] if one["moved"])
    log(folder, "set-out", "kale", "--bed", one["bed"], "--on", one["set_out"], "--area", str(one["area_m2"]))
    now = plan(folder, "after.json", on=one["set_out"])
    stands = [stand for stand in now["stands"] if stand["crop"] == "kale"]
    assert [stand["bed"] for stand in stands] == [one["bed"]]
    assert stands[0]["harvest_from"] is not None
    assert any(item["crop"] == "kale" for week in now["weeks"] for item in week["eat"])
    assert not any(one["moved"] for one in now["sowings"])
