"""The household's plan in one screen."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tenhour.model.feed import (
    FeedAnswer,
    FeedChange,
    FeedEaten,
    FeedMissing,
    FeedProof,
    FeedRemedy,
    FeedSeed,
    FeedSowing,
    FeedSurety,
    FeedTray,
    FeedWeek,
    FeedWish,
)
from tenhour.model.feed import FeedCleared as Cleared
from tenhour.model.results import Basis
from tenhour.report.feed import feed_text, shelf_text
from tenhour.words import feeding as words
from tenhour.words.style import Style
from tenhour.year.feed.jobs import jobs_of

MONDAY = date(2026, 8, 10)
CROPS = ("spinach", "romaine", "kale", "chard", "pak-choi", "komatsuna", "tatsoi", "mizuna", "arugula", "parsley")
BASIS = Basis(
    {"today": "2026-08-10"}, ("Something is assumed.",) * 9, ("The least certain month is March.",) * 2,
    ("Heaters in a closed house: outside combustion air and a carbon monoxide alarm.",),
)  # fmt: skip


def sowing(number: int) -> FeedSowing:
    """One of many sowings, three a week."""
    on, crop = MONDAY + timedelta(days=7 * (number // 6)), CROPS[number % len(CROPS)]
    first, last = on + timedelta(days=50), on + timedelta(days=90)
    bed = ("front", "middle", "back")[number % 3]
    return FeedSowing(
        on, False, None, bed, crop, crop.replace("-", " "), 0.5, 0, 12, 1.0, first, last, last,
        (Cleared(0.5, last),), 9.0,
    )  # fmt: skip


def answer(count: int = 40, missing: int = 12) -> FeedAnswer:
    """A plan of many sowings that leaves much missing."""
    weeks = tuple(
        FeedWeek(
            MONDAY + timedelta(days=7 * week),
            (FeedWish("salad", 12.0, 12.0 - (week < missing), 0.1), FeedWish("cooked", 6.0, 6.0, 0.0)),
            tuple(FeedEaten(crop, "front", 500.0 + 10 * n, 3.0) for n, crop in enumerate(CROPS)), 30.0,
        )
        for week in range(40)
    )  # fmt: skip
    sowings = tuple(sowing(number) for number in range(count))
    trays = (FeedTray(MONDAY, "shelf", "pea-shoots", "pea shoots", 0.25, 0.03, 75.0, MONDAY, MONDAY, "hen"),)
    seeds = tuple(FeedSeed(crop, crop, 10, 1.0) for crop in {*(one.crop for one in sowings), "pea-shoots"})
    short = tuple(FeedMissing(week.start, "salad", 1.0, 12.0) for week in weeks[:missing])
    return FeedAnswer(
        BASIS, 3, MONDAY, weeks[-1].start, weeks, sowings, (), (), seeds, short,
        tuple(FeedRemedy("bed", "A quarter more bed of the same light.", 3.0 + n, 5.0) for n in range(6)),
        (FeedSurety("salad", 0.7, 0.2, weeks[3].start, 0.5), FeedSurety("cooked", 1.0, 0.0, None, 0.0)),
        FeedProof(10.0, float(missing), 90.0, 100.0, 0.1, 60.0, "HiGHS", True, missing_whole_count=11.0),
        12.0, 0.5, trays=trays, jobs=jobs_of(sowings, trays, (), seeds, MONDAY, 5.0), currency="EUR",
    )  # fmt: skip


@pytest.mark.parametrize("width", [80, 120])
@pytest.mark.parametrize("many", [40, 6, 0])
def test_it_fits_one_screen_and_says_what_lacks_what_to_do_and_how_good_it_is(width: int, many: int) -> None:
    found = answer(many)
    text = feed_text(found, width)
    lines = text.splitlines()
    assert len(lines) <= 30
    assert max(map(len, lines)) <= width
    flat = " ".join(text.split())
    assert "No plan costs less than 90.0 EUR, this one 100.0 EUR in money and work: 10% apart" in flat
    assert "salad: short in 12 weeks of 40" in flat
    assert "A quarter more bed" in flat
    assert "Do first, week of 2026-08-10" in flat
    assert "carbon monoxide" in flat
    assert "salad 70% and cooked 100%" in flat
    assert "less than the 75% asked for: salad" in flat
    if many:
        assert "spinach" in flat


def test_what_is_not_named_is_counted() -> None:
    """Every sowing after the first week is named under its day, or among those counted at the end."""
    found = answer(missing=0)
    flat = " ".join(feed_text(found, 80).split())
    later = flat.split("Then sow ")[1].split(" more to ")[0]
    *named, counted = later.split("; ")
    days = {one.split()[0]: one for one in named}
    left = [one for one in found.sowings if one.sow >= MONDAY + timedelta(days=7) and f"{one.sow:%m-%d}" not in days]
    assert len(left) == int(counted)
    assert f"more to {found.sowings[-1].sow:%m-%d}." in flat


def test_everything_has_every_sowing_and_every_remedy() -> None:
    found = answer()
    text = feed_text(found, 80, everything=True)
    assert text.count("A quarter more bed") == len(found.remedies)
    assert all(one.sow.isoformat() in text for one in found.sowings)
    assert sum(line.startswith("2026-") for line in text.splitlines()) == len(found.sowings)


def test_changes_of_a_kept_plan_are_told_few_by_few() -> None:
    changes = tuple(
        FeedChange("new", "kale", "front", MONDAY, words.NEW(name="kale", bed="front", on=MONDAY, area=0.5 + n))
        for n in range(9)
    )
    told = replace(answer(), changes=changes, kept=True)
    text = feed_text(told, 80, style=Style())
    assert "9 changes to the plan that was kept:" in text
    assert len(text.splitlines()) <= 30
    shown = text.count("New: sow kale")
    assert f"And {9 - shown} changes more: --all." in text
    assert feed_text(told, 80, everything=True).count("New: sow kale") == 9
    same = feed_text(replace(told, changes=()), 80)
    assert "nothing in it changes" in same


def test_a_quarter_of_a_tray_is_told_as_one() -> None:
    text = shelf_text(answer(), 80)
    assert "¼" in text
    assert "0.2" not in text


def test_what_is_proven_is_proven_of_the_sowings_that_were_offered() -> None:
    found = answer()
    assert "Whatever is sown, the worth of 11 salads must be missing" in " ".join(feed_text(found, 80).split())
    stepped = " ".join(feed_text(replace(found, step_weeks=2), 80).split())
    assert "Sown every 2 weeks at most, the worth of 11 salads must be missing (proven)" in stepped
    assert "(--every 1w)" in stepped
