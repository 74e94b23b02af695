"""Rules that every answer about sowing keeps: dated, doable, no feed first, no bolting, trays in the warm, no quarrel."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import tenhour
from tenhour.plan.sowing import WAIT_COST_D

DATE = re.compile(r"\d{4}-\d\d-\d\d")
DEGREES = re.compile(r"-?\d+ °C")
UNASKED = (
    "wheat fodder",
    "barley fodder",
    "strawberry",
    "cucumber",
    "tomato",
    "pepper",
    "lettuce plants",
    "onion plants",
    "cabbage plants",
    "celery plants",
)
LATE_TRAY_D = 31
CLOSING = "Each crop's sentence"
SOWN = ("sow", "slow", "stand-small", "raise", "cut-young")
NEVER_SAID = ("never and", "beyond the year", "None", "nan", "0.0 g", "from  to", "{", "}")
MOST_LINES = {"sow": 30, "week": 24, "season": 60, "light": 20}
WIDTH = 80


def screen_of(answer: Any, kind: str, width: int = WIDTH) -> str:
    """An answer as its screen: short enough, narrow enough, nothing that nobody would say."""
    text: str = answer.text(width=width)
    lines = text.splitlines()
    assert max(map(len, lines)) <= width, f"too wide\n{text}"
    assert width < WIDTH or len(lines) <= MOST_LINES[kind], f"{len(lines)} lines\n{text}"
    for word in NEVER_SAID:
        assert word not in text, f"{word}\n{text}"
    return text


def check_sow(year: tenhour.Year, day: str) -> dict[str, Any]:
    """The screen of a day's sowing, and every sentence behind it."""
    answer = year.sow(day)
    text = screen_of(answer, "sow")
    lines = text.splitlines()
    said = "\n".join(lines[: next(n for n, line in enumerate(lines) if line.startswith(CLOSING))])
    assert not any(word in said for word in UNASKED), said
    found: dict[str, Any] = answer.to_dict()
    on = date.fromisoformat(day)
    _check_now(found["now"], on, {bed["name"]: bed for bed in found["beds"]})
    _check_cold(said)
    for row in (*found["later"], *found["diary"]):
        assert row["date"] > day, row
    for bed in found["beds"]:
        for crop in bed["crops"]:
            _check_sentence(crop, on)
    return found


def _check_now(now: list[dict[str, Any]], on: date, beds: dict[str, dict[str, Any]]) -> None:
    assert now, "something can be sown on every day: a tray in the warm at least"
    for one in now:
        assert DATE.search(one["text"]), one
        assert one["ready_from"], one
        crop = next(row for row in beds[one["bed"]]["crops"] if row["crop"] == one["crop"])
        if one["way"] in ("seed-fed", "bulb") and one["verdict"] != "slow":
            assert (date.fromisoformat(one["ready_from"]) - on).days <= LATE_TRAY_D, one
        if crop["flowers_from"] and one["verdict"] != "cut-young" and not one["where"]:
            assert crop["flowers_from"] > one["ready_from"], one


def _check_cold(said: str) -> None:
    """Every word of cold has degrees, a cure, and a date unless no day of the year is better."""
    flat = " ".join(said.split())
    for cold in re.findall(r"(?:A night would kill|Seed would lie too cold).*?Cure: [^.]*\.", flat):
        assert DEGREES.search(cold), cold
        assert DATE.search(cold) or "No day of the year" in cold, cold
    assert flat.count("Cure:") == len(re.findall(r"A night would kill|Seed would lie too cold", flat))


def _check_sentence(crop: dict[str, Any], on: date) -> None:
    """A date where there is one, none of them past, cold with its degrees and cure, waiting only where it costs little."""
    verdict, said = crop["verdict"], crop["sentence"]
    told = [date.fromisoformat(word) for word in DATE.findall(said)]
    dates = ("harvest_from", "pays_from", "next_from", "young_from", "set_out")
    known = [name for name in dates if crop[name]]
    if verdict in ("sow", "slow", "stand-small", "raise", "cut-young", "wait", "too-cold", "too-hot"):
        needed = "next_from" in known if verdict in ("wait", "too-cold", "too-hot") else "harvest_from" in known
        assert told or not needed, (crop["crop"], verdict, said)
    if verdict != "set-out-grown":
        assert all(one >= on for one in told), (crop["crop"], said)
    for name in known:
        assert date.fromisoformat(crop[name]) >= on, (crop["crop"], name)
    for first, last in (("harvest_from", "harvest_to"), ("young_from", "young_to")):
        assert not crop[first] or not crop[last] or crop[first] <= crop[last], crop["crop"]
    if verdict == "too-cold":
        assert DEGREES.search(said), said
        assert re.search(r"warm|keep its nights|kept above", said), said
    if verdict == "wait" and (only := re.search(r"only (\d+) days? later", said)):
        assert int(only[1]) <= WAIT_COST_D, said
    if verdict in ("sow", "slow", "stand-small") and crop["flowers_from"] and crop["harvest_from"]:
        assert crop["flowers_from"] > crop["harvest_from"], (crop["crop"], said)


def check_pays(year: tenhour.Year, day: str, found: dict[str, Any], most: int = 3) -> None:
    """The day on which a crop pays again is one on which sow says to sow it, and for later days the same."""
    dates = sorted({crop["pays_from"] for bed in found["beds"] for crop in bed["crops"] if crop["pays_from"]})
    for when in dates[:: max(len(dates) // most, 1)]:
        then = {(bed["name"], crop["crop"]): crop for bed in year.sow(when).to_dict()["beds"] for crop in bed["crops"]}
        for bed in found["beds"]:
            for crop in bed["crops"]:
                if crop["pays_from"] == when:
                    verdict = then[bed["name"], crop["crop"]]["verdict"]
                    assert verdict == "sow", (crop["crop"], bed["name"], when, verdict)
    for row in found["later"][:most]:
        then = {
            (bed["name"], crop["crop"]): crop
            for bed in year.sow(row["date"]).to_dict()["beds"]
            for crop in bed["crops"]
        }
        for bed in row["bed"].split(", "):
            assert then[bed, row["crop"]]["verdict"] in SOWN, (row, then[bed, row["crop"]]["sentence"])


def check_others(year: tenhour.Year, day: str, found: dict[str, Any]) -> None:
    """The week, the year and the page say what the sowing says."""
    week = year.week(day)
    screen_of(week, "week")
    told = week.to_dict()
    assert [(row["crop"], row["bed"], row["verdict"]) for row in told["sow"]] == [
        (row["crop"], row["bed"], row["verdict"]) for row in found["now"]
    ][: len(told["sow"])]
    season = year.season(day)
    screen_of(season, "season")
    rows = {(bed["name"], crop["crop"]): crop for bed in found["beds"] for crop in bed["crops"]}
    for bed in season.to_dict()["beds"]:
        for crop in bed["crops"]:
            one, first = rows[bed["name"], crop["crop"]], crop["weeks"][0]
            assert first["state"] == one["verdict"], (crop["crop"], bed["name"])
            assert crop["pays_from"] == one["pays_from"], (crop["crop"], bed["name"])
            if one["verdict"] != "set-out-grown":
                assert crop["sow_by"] == one["sow_by"], (crop["crop"], bed["name"])
            assert (one["harvest_from"] is None) == (first["days_low"] is None), (crop["crop"], bed["name"])
            if one["harvest_from"]:
                low = date.fromisoformat(day) + timedelta(days=first["days_low"])
                assert low.isoformat() == one["harvest_from"], (crop["crop"], bed["name"])
    for task in season.to_dict()["tasks"]:
        assert task["date"] >= day, task
