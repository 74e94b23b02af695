"""The household's wall sheet as a printer gets it: one page of A4, with few sowings and with very many."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pypdfium2
import pytest

import helpers_browser
from tenhour.model.feed import (
    FeedAnswer,
    FeedCleared,
    FeedEaten,
    FeedProof,
    FeedSeed,
    FeedSowing,
    FeedTray,
    FeedWeek,
    FeedWish,
)
from tenhour.model.results import Basis
from tenhour.report.feedsheet import wall_html
from tenhour.words.style import METRIC
from tenhour.year.feed.jobs import jobs_of

pytestmark = pytest.mark.skipif(
    helpers_browser.BINARY is None and not helpers_browser.IN_CI, reason="Chromium is not installed"
)
BEGIN = date(2026, 8, 17)
WEEKS = 42
BEDS = ("front", "middle", "back bench", "shelf")
CROPS = {"spinach": "spinach", "baby-lettuce": "baby lettuce, cut and come again", "kale": "kale", "leek": "leek"}
A4_INCH = (8.27, 11.69)


def monday(week: int) -> date:
    return BEGIN + timedelta(days=7 * week)


def plan(a_week: int) -> FeedAnswer:
    """Three people, 42 weeks with 35 of food, four beds; so many sowings and a tray in every week, or once in four."""
    step = 4 if a_week == 1 else 1
    sowings = tuple(
        FeedSowing(
            monday(week), number % 2 == 1, monday(week + 4) if number % 2 else None, BEDS[(week + number) % 3], crop,
            name, 0.4, 0, 20, 1.0, monday(week + 7), monday(week + 9), monday(week + 10),
            (FeedCleared(0.2, monday(week + 8)), FeedCleared(0.2, monday(week + 10))), 12.0,
        )
        for week in range(0, WEEKS - 10, step)
        for number, (crop, name) in enumerate([*CROPS.items()][:a_week])
    )  # fmt: skip
    trays = tuple(
        FeedTray(monday(week), "shelf", "pea-shoots", "pea shoots", 2.0, 0.25, 600.0, monday(week + 3),
                 monday(week + 4), "salad")
        for week in range(0, WEEKS - 5, step)
    )  # fmt: skip
    seeds = tuple(FeedSeed(crop, name, 100, 2.0) for crop, name in CROPS.items())[:a_week]
    weeks = tuple(
        FeedWeek(
            monday(week), (FeedWish("salad", 12.0, 12.0, 0.1),),
            tuple(FeedEaten(crop, "front", 300.0, 4.0) for crop in [*CROPS][:a_week]) if week > 6 else (), 60.0,
        )
        for week in range(WEEKS)
    )  # fmt: skip
    jobs = jobs_of(sowings, trays, (), seeds, BEGIN, 4.0)
    return FeedAnswer(
        Basis({}), 3, monday(7), monday(WEEKS) - timedelta(days=1), weeks, sowings, (), (), seeds, (), (), (),
        FeedProof(0.0, 0.0, 90.0, 100.0, 0.1, 60.0, "HiGHS", True), 20.0, 2.0, trays=trays, jobs=jobs,
    )  # fmt: skip


@pytest.mark.parametrize("a_week", [1, 4])
def test_the_wall_sheet_is_one_page_however_many_sowings(tmp_path: Path, a_week: int) -> None:
    """ISO 216 A4, margins of 10 mm; what finds no room is said to be on the next one."""
    page = wall_html(plan(a_week), METRIC)
    (tmp_path / "wall.html").write_text(page, "utf-8")
    with helpers_browser.browser() as chromium:
        opened = chromium.page()
        opened.open(tmp_path / "wall.html")
        document = pypdfium2.PdfDocument(opened.pdf(*A4_INCH, by_page=True))
    assert len(document) == 1
    width, height = document[0].get_size()
    assert (width, height) == pytest.approx((595.3, 841.9), abs=1.5)
    text = document[0].get_textpage().get_text_bounded()
    assert ("The sheet is full" in text) == (a_week == 4)
    assert "Throw away trays that smell or mould." in text  # the last line is on the page
