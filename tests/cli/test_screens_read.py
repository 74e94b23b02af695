"""Rules that the forty sowing screens were read by: dated, doable, no feed first, no bolting, trays in the warm."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

import tenhour
from helpers_long import many

FOLDER = Path(__file__).parents[1] / "screens"
HOUSES = sorted(path.stem for path in (FOLDER / "houses").glob("*.toml"))
DAYS = ("2026-08-25", "2026-10-10", "2026-12-05", "2027-01-15", "2027-02-25")
DATE = re.compile(r"\d{4}-\d\d-\d\d")
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


@pytest.fixture(scope="module", params=many(HOUSES[::3], HOUSES))
def year(request: pytest.FixtureRequest) -> tenhour.Year:
    return tenhour.Year(tenhour.read_house(FOLDER / "houses" / f"{request.param}.toml"))


def test_eight_unlike_houses_have_their_texts_in_the_repository() -> None:
    assert len(HOUSES) == 8
    for house in HOUSES:
        text = (FOLDER / f"{house}.txt").read_text("utf-8")
        assert re.findall(r"^Sowing on (\S+),", text, re.MULTILINE) == list(DAYS)


def test_every_screen_keeps_the_rules_it_was_read_by(year: tenhour.Year) -> None:
    for day in DAYS:
        answer = year.sow(day)
        text = answer.text(width=80)
        lines = text.splitlines()
        assert len(lines) <= 30, text
        assert max(map(len, lines)) <= 80, text
        said = "\n".join(lines[: next(n for n, line in enumerate(lines) if line.startswith(CLOSING))])
        assert not any(word in said for word in UNASKED), said
        found = answer.to_dict()
        _check_now(found["now"], date.fromisoformat(day), {bed["name"]: bed for bed in found["beds"]})
        _check_cold(said)
        for row in (*found["later"], *found["diary"]):
            assert row["date"] > day


def _check_now(now: list[dict[str, object]], on: date, beds: dict[str, dict[str, object]]) -> None:
    assert now, "something can be sown on every day: a tray in the warm at least"
    for one in now:
        assert DATE.search(str(one["text"])), one
        assert one["ready_from"], one
        crop = next(row for row in beds[str(one["bed"])]["crops"] if row["crop"] == one["crop"])  # type: ignore[attr-defined]
        if one["way"] in ("seed-fed", "bulb") and one["verdict"] != "slow":
            assert (date.fromisoformat(str(one["ready_from"])) - on).days <= LATE_TRAY_D, one
        if crop["flowers_from"] and one["verdict"] != "cut-young" and not one["where"]:
            assert crop["flowers_from"] > one["ready_from"], one


def _check_cold(said: str) -> None:
    """Every word of cold has degrees, a cure, and a date unless no day of the year is better."""
    flat = " ".join(said.split())
    for cold in re.findall(r"(?:A night would kill|Seed would lie too cold).*?Cure: [^.]*\.", flat):
        assert re.search(r"-?\d+ °C", cold), cold
        assert DATE.search(cold) or "No day of the year" in cold, cold
    assert flat.count("Cure:") == len(re.findall(r"A night would kill|Seed would lie too cold", flat))
