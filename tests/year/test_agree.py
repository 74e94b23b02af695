"""Every command reads the same verdicts and dates from one year, and no date moves with the day one asks."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from itertools import groupby

import numpy as np
import pytest

from helpers_any_house import any_house
from helpers_long import LONG, many
from helpers_once import few_winters
from helpers_world import crops, plain, sources
from tenhour.files.house.read import demo_house, house_from_text
from tenhour.model.house import House
from tenhour.model.season import CropSeason
from tenhour.plan.dates import DAYS
from tenhour.plan.sowing import SETTLED_D
from tenhour.report.calendar import season_ics
from tenhour.words.style import Style
from tenhour.year.year import Year

MADE = datetime(2027, 1, 15, 12, 0, tzinfo=UTC)
CASES = many(1, 4)
"""Questions to each house of ``ASKED``."""
EVERY_D = 1 if LONG else 6
GROWN = [crop for crop in crops().values() if crop.way != "fruiting"]
HOUSES: dict[str, House] = {
    "built-in": demo_house(),
    "plain": plain(),
    "north": plain(lat=61.0, lon=25.0, elev=100.0, air="night_set_degc = 2"),
    "south": plain(lat=-43.0, lon=171.0, elev=20.0, azimuth=270.0, air=""),
    "warm": plain(lat=40.0, lon=-4.0, elev=600.0, air="day_set_degc = 16\nnight_set_degc = 10", cover="twin-wall-10"),
}


ANY = {f"drawn {seed}": house_from_text(any_house(seed), "house.toml") for seed in many((), range(100, 145))}
"""Houses by chance: shapes, covers, places, warmth, fleece over beds, lamps, nurseries."""
EVERY = {**HOUSES, **ANY}
ASKED = many(["warm"], list(EVERY))


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)


@lru_cache(maxsize=2)
def year(name: str) -> Year:
    return Year(EVERY[name], sources(), GROWN if LONG else GROWN[::5])


def asked(count: int) -> list[tuple[str, date, int]]:
    """Dates and beds by chance, seeded, so many for each house."""
    draw = np.random.default_rng(7)
    return [
        (name, date(2026, 7, 1) + timedelta(days=int(draw.integers(730))), int(draw.integers(len(EVERY[name].beds))))
        for name in ASKED
        for _ in range(count)
    ]  # fmt: skip


NO_MIDDLE = ("north", date(2027, 9, 26), 1)
"""Asked then, some sowings have no middle day to be ready (of the few crops too): before the dark or else in spring."""


@pytest.mark.parametrize(("name", "on", "bed"), [*asked(CASES), NO_MIDDLE])
def test_sow_season_report_and_calendar_agree_to_the_day(name: str, on: date, bed: int) -> None:
    """Verdict, dates of harvest, pays-from and sow-by of every crop, asked of every command on its own."""
    asked_alone = year(name).sow(on)
    sown = {crop.crop: crop for crop in asked_alone.beds[bed].crops}
    season, page = year(name).season(on), year(name).report(on)
    assert page.sow.beds == asked_alone.beds
    assert page.season == season
    for crop in season.beds[bed].crops:
        one, week = sown[crop.crop], crop.weeks[0]
        assert week.state == one.verdict, crop.crop
        assert (week.days_low, week.days_median, week.days_high) == (one.days_low, one.days_median, one.days_high)
        ends = [None if days is None else on + timedelta(days=days) for days in (week.days_low, week.days_high)]
        assert ends == [one.harvest_from, one.harvest_to], crop.crop
        assert crop.pays_from == one.pays_from, crop.crop
        if one.verdict != "set-out-grown":  # which tells of the sowing that was missed
            assert crop.sow_by == one.sow_by, crop.crop
    week = year(name).week(on)
    assert week.sow.beds == asked_alone.beds, "bare tenhour reads the same verdicts"
    assert {(n.crop, n.bed, n.verdict, n.ready_from) for n in week.now} <= {
        (n.crop, n.bed, n.verdict, n.ready_from) for n in asked_alone.now
    }
    _in_calendar(season_ics(season, name, MADE, Style()), season.beds[bed].crops)


def _in_calendar(data: bytes, crops: tuple[CropSeason, ...]) -> None:
    text = data.decode()
    for crop in crops:
        for when in (crop.sow_by, crop.pays_from):
            assert when is None or f"DTSTART;VALUE=DATE:{when:%Y%m%d}" in text, crop.crop


def test_dates_do_not_move_with_the_day_one_asks() -> None:
    """On sixty days in a row a date that both days can see is the same; the model's own change is none."""
    seen: dict[tuple[str, str], date] = {}
    for day in range(0, 60, EVERY_D):
        on = date(2026, 12, 10) + timedelta(days=day)
        for crop in year("built-in").sow(on, beds=["middle"]).beds[0].crops:
            found = {"pays_from": crop.pays_from}
            if crop.verdict != "set-out-grown":  # which tells of the sowing that was missed
                found["sow_by"] = crop.sow_by
            for name, when in found.items():
                before = seen.get((crop.crop, name))
                if before is not None and before >= on:
                    assert when == before, (crop.crop, name, on)
                if when is not None:
                    seen[crop.crop, name] = when


@pytest.mark.parametrize("name", many(["built-in", "north"], ASKED))
def test_no_verdict_comes_back_within_two_weeks(name: str) -> None:
    code = year(name).table().ruling.code.reshape(-1, DAYS)
    for row in code.tolist():
        spells = [(verdict, len(list(days))) for verdict, days in groupby(row + row)]
        for place, (verdict, _) in enumerate(spells[1:-1], start=1):
            away = 0
            for later, length in spells[place + 1 : -1]:
                if later == verdict:
                    assert away >= SETTLED_D
                    break
                away += length


def test_harvest_dates_move_on_with_the_day_of_sowing() -> None:
    """Sown a day later, the median date of harvest moves by no more than its neighbours on the grid allow."""
    days = year("built-in").table().days
    step = np.diff(np.arange(DAYS) + days, axis=-1)
    assert np.nanquantile(np.abs(step), 0.99) < 5.0
