"""Rules that the forty sowing screens were read by: dated, doable, no feed first, no bolting, trays in the warm."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import tenhour
from helpers_long import many
from helpers_rules import check_sow

FOLDER = Path(__file__).parents[1] / "screens"
HOUSES = sorted(path.stem for path in (FOLDER / "houses").glob("*.toml"))
DAYS = ("2026-08-25", "2026-10-10", "2026-12-05", "2027-01-15", "2027-02-25")


@pytest.fixture(scope="module", params=many(HOUSES[::3], HOUSES))
def year(request: pytest.FixtureRequest) -> tenhour.Year:
    return tenhour.Year(tenhour.read_house(FOLDER / "houses" / f"{request.param}.toml"))


def test_eight_unlike_houses_have_their_texts_in_the_repository() -> None:
    assert len(HOUSES) == 8
    for house in HOUSES:
        text = (FOLDER / f"{house}.txt").read_text("utf-8")
        assert re.findall(r"^Sowing on (\S+),", text, re.MULTILINE) == list(DAYS)


def test_every_screen_keeps_the_rules_it_was_read_by(year: tenhour.Year) -> None:
    for day in many(DAYS[1::2], DAYS):
        check_sow(year, day)
