"""The coldest nights to expect, by hand, and the dates between which covers lie."""

from __future__ import annotations

import statistics
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from helpers_once import few_winters
from helpers_world import plain, sources, world_of
from tenhour.files.covers import shipped_covers
from tenhour.model.house import Layer
from tenhour.plan.dates import month_means
from tenhour.year.answers.coldest import cold_nights, layers_text, month_spans
from tenhour.year.answers.light import light_of
from tenhour.year.outside.hours import place_extremes
from tenhour.year.warm.helps import Helps
from tenhour.year.world import World, kept_air
from tenhour.year.year import Year

ON = date(2026, 11, 29)


@cache
def covered() -> World:
    house = plain(air="")
    fleece = Layer("fleece", (11, 12, 1, 2, 3), by_day=False)
    covers = {**house.covers, "fleece": shipped_covers()["fleece"]}
    first, *others = house.beds
    return world_of(replace(house, covers=covers, beds=(replace(first, layers=(fleece,)), *others)))


def test_lowest_nights_are_the_median_and_the_tenth_of_each_winters_lowest() -> None:
    world = covered()
    assert world.air.lows_degc.size
    assert [night.place for night in light_of(world, today=ON).nights] == ["outdoors"]  # whatever was asked before
    found = {night.place: night for night in light_of(world, today=ON, warmed=True).nights}
    assert list(found) == ["outdoors", "inside", world.bed_names[0]]
    for place, lows in (("inside", world.air.room_lows_degc), (world.bed_names[0], world.air.lows_degc[:, 0])):
        winters = sorted(float(winter.min()) for winter in lows)
        assert found[place].lowest_degc == pytest.approx(statistics.median(winters), abs=1e-4)
        tenth = winters[0] + 0.9 * (winters[1] - winters[0])
        assert found[place].lowest_1in10_degc == pytest.approx(tenth, abs=1e-4)
    assert found["inside"].mean_degc == pytest.approx(month_means(world.air.room_night_degc).min())
    # a fleece over soil: warmer than the room it lies in
    assert found[world.bed_names[0]].lowest_degc > found["inside"].lowest_degc + 1.0
    assert found["outdoors"].lowest_1in10_degc < found["outdoors"].lowest_degc < found["inside"].lowest_degc


def test_outdoors_is_told_from_the_place_alone() -> None:
    world = covered()
    extremes = place_extremes(sources(), world.light)
    (night,) = cold_nights(world.house, extremes, world.outdoors.climate.temp_degc, None, ON)
    assert night.lowest_1in10_degc == pytest.approx(float(extremes.once_in(10)))
    assert night.mean_degc == min(world.outdoors.climate.temp_degc)
    assert kept_air(world.house, sources()) is None  # nothing is kept unless a folder is named


@pytest.mark.parametrize(
    ("months", "spans"),
    [
        ((11, 12, 1, 2, 3), [(date(2026, 11, 1), date(2027, 3, 31))]),
        ((1, 2), [(date(2027, 1, 1), date(2027, 2, 28))]),
        ((10,), [(date(2027, 10, 1), date(2027, 10, 31))]),
        ((11, 2), [(date(2026, 11, 1), date(2026, 11, 30)), (date(2027, 2, 1), date(2027, 2, 28))]),
        ((12,), [(date(2026, 12, 1), date(2026, 12, 31))]),
    ],
)
def test_months_become_the_dates_that_are_on_or_come_next(
    months: tuple[int, ...], spans: list[tuple[date, date]]
) -> None:
    assert month_spans(months, ON) == spans


def test_what_lies_over_a_bed_is_told_with_its_dates() -> None:
    text = layers_text(covered().house, 0, ON)
    assert text == "with the fleece on by night from 2026-11-01 to 2027-03-31"


def test_a_cold_night_hour_by_hour_is_that_of_the_place_and_colder_bare(monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)
    monkeypatch.setattr("tenhour.year.answers.heat._helps", lambda *_: Helps((), (), None))
    house = plain(air="night_set_degc = 5")
    year = Year(house, sources(), ())
    night = year.heat(today=ON).cold_night
    assert [round(hour.hour_h) for hour in night] == [(12 + n) % 24 for n in range(24)]
    lowest = float(place_extremes(sources(), year.world.light).lowest_mean_degc)
    assert min(hour.outdoor_degc for hour in night) == pytest.approx(lowest)
    assert all(hour.air_degc >= 5.0 - 1e-6 for hour in night)
    assert all(hour.unheated_degc <= hour.air_degc + 1e-9 for hour in night)
    assert min(hour.covered_degc for hour in night) > min(hour.unheated_degc for hour in night) + 1.0
    tonight = year.heat(today=ON, tonight_degc=-15.0)
    assert tonight.tonight is not None
    assert min(hour.outdoor_degc for hour in tonight.cold_night) == -15.0
    assert sum(hour.heat_w for hour in tonight.cold_night) / 1000.0 == pytest.approx(tonight.tonight.heat_kwh)


def test_heat_of_lamps_by_night_warms_the_nights_of_every_answer() -> None:
    lamps = '[[lamps]]\nbed = "front"\nkind = "led-bar"\ncount = 20\nheight_m = 0.4\nclock = "00:00-06:00"\n'
    dark = world_of(plain(air=""))
    bed = dark.house.beds[0].name
    lit = world_of(plain(air="vent_degc = 24\n" + lamps.replace("front", bed)))
    january = slice(0, 31)
    gain = float((lit.air.night_degc[0] - dark.air.night_degc[0])[january].mean())
    # 800 W for six of some fifteen dark hours are 320 W; the house loses 240 W/K by its U-values, half of that at least
    assert 320.0 / 240.0 < gain < 2.0 * 320.0 / 240.0, gain
