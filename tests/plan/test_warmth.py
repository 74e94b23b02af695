"""Thermometers: months and spots of series whose answer is known because they were made so."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from tenhour.model.readings import OUTSIDE, TempReadings
from tenhour.plan.warmth import Needs, day_table, spot_months, spots, suits, thermostat, twelve_months

ZONE = "Europe/London"


def logger(start: str, days: int, **places: tuple[float, float]) -> tuple[TempReadings, np.ndarray]:
    """Sensors that read one temperature while the sun is up (8-16 h) and another while it is down."""
    local = pd.date_range(start, periods=days * 48, freq="30min", tz=ZONE)
    up = (local.hour >= 8) & (local.hour < 16)
    rows = [(name, np.where(up, day, night)) for name, (day, night) in places.items()]
    time = pd.DatetimeIndex(np.tile(local.tz_convert("UTC").as_unit("us").asi8, len(rows)).view("M8[us]"), tz="UTC")
    place = np.repeat([name for name, _ in rows], len(local))
    value = np.concatenate([series for _, series in rows])
    taken = TempReadings(time, place, value, np.full(len(time), "at"), np.arange(len(time)))
    return taken, np.tile(np.asarray(up), len(rows))


def notes(dates: list[str], low: list[float], high: list[float], place: str = "front") -> TempReadings:
    time = pd.DatetimeIndex(pd.to_datetime(dates * 2, utc=True)).as_unit("us")
    part = np.array(["min"] * len(dates) + ["max"] * len(dates))
    return TempReadings(time, np.full(len(time), place), np.array(low + high), part, np.arange(len(time)))


def test_a_logger_gives_its_day_and_night_by_month() -> None:
    taken, up = logger("2027-01-20", 20, front=(16.0, 6.0), outside=(3.0, -2.0))
    months = {(m.month, m.place): m for m in spot_months(day_table(taken, up, ZONE))}
    assert set(months) == {(1, "front"), (2, "front"), (1, OUTSIDE), (2, OUTSIDE)}
    january = months[(1, "front")]
    assert january.day_degc == pytest.approx(16.0)
    assert january.night_degc == pytest.approx(6.0)
    assert january.coldest_degc == pytest.approx(6.0)
    assert january.days_count == 12


def test_uneven_steps_do_not_weigh_more() -> None:
    """Hours read every minute count as much as hours read once."""
    taken, up = logger("2027-01-20", 8, front=(16.0, 6.0))
    extra = pd.date_range("2027-01-22 12:00", periods=59, freq="1min", tz=ZONE).tz_convert("UTC").as_unit("us")
    more = TempReadings(
        pd.DatetimeIndex(np.concatenate([taken.time.asi8, extra.asi8]).view("M8[us]"), tz="UTC"),
        np.append(taken.place, np.full(59, "front")),
        np.append(taken.temp_degc, np.full(59, 24.0)),
        np.append(taken.part, np.full(59, "at")),
        np.arange(len(taken) + 59),
    )
    table = day_table(more, np.append(up, np.ones(59, dtype=bool)), ZONE)
    assert float(table.day_degc["front"].loc["2027-01-22"]) == pytest.approx((7 * 16 + 24) / 8, abs=0.2)


def test_a_night_belongs_to_the_date_it_ends_on() -> None:
    taken, up = logger("2027-01-20", 4, front=(16.0, 6.0))
    frost = np.asarray(taken.time >= "2027-01-21 18:00Z") & np.asarray(taken.time < "2027-01-22 06:00Z")
    cold = TempReadings(taken.time, taken.place, np.where(frost, -3.0, taken.temp_degc), taken.part, taken.row)
    night = day_table(cold, up, ZONE).night_degc["front"]
    assert float(night.loc["2027-01-22"]) < 0.0
    assert float(night.loc["2027-01-21"]) == pytest.approx(6.0)


def test_maximum_minimum_notes() -> None:
    """Day = maximum less a quarter of the span, night = minimum and a quarter: 4 and 20 give 16 and 8."""
    taken = notes(["2027-01-15", "2027-01-16"], [4.0, 2.0], [20.0, 18.0])
    month = spot_months(day_table(taken, np.zeros(4, dtype=bool), ZONE))[0]
    assert (month.day_degc, month.night_degc, month.coldest_degc) == (15.0, 7.0, 2.0)
    assert month.days_count == 2


def test_days_with_too_few_hours_do_not_count() -> None:
    taken, up = logger("2027-01-20", 6, front=(16.0, 6.0))
    keep = ~(np.asarray(taken.time >= "2027-01-22 10:00Z") & np.asarray(taken.time < "2027-01-22 20:00Z"))
    part = TempReadings(taken.time[keep], taken.place[keep], taken.temp_degc[keep], taken.part[keep], taken.row[keep])
    table = day_table(part, up[keep], ZONE)
    assert pd.Timestamp("2027-01-22") not in table.day_degc["front"].dropna().index
    assert pd.Timestamp("2027-01-23") in table.day_degc["front"].dropna().index


def test_spots_and_where_to_hang_the_thermostat() -> None:
    taken, up = logger(
        "2027-01-20", 12, back=(14.0, 8.0), front=(15.0, 5.0), shelf=(16.0, 11.0), pole=(24.0, 8.0), outside=(1.0, -3.0)
    )
    found = spots(day_table(taken, up, ZONE))
    by_place = {spot.place: spot for spot in found}
    assert set(by_place) == {"back", "front", "shelf", "pole"}
    assert by_place["shelf"].verdict == "warm by night"
    assert by_place["front"].night_k == pytest.approx(-3.0)
    assert "is the sensor in the sun?" in by_place["pole"].verdict
    text = thermostat(found)
    assert text.startswith("A sensor or thermostat sees a typical temperature at back")
    assert "not at pole, which is" in text


def test_places_alike_are_said_to_be_so() -> None:
    taken, up = logger("2027-01-20", 8, back=(14.0, 8.0), front=(14.2, 8.1))
    found = spots(day_table(taken, up, ZONE))
    assert {spot.verdict for spot in found} == {"typical"}
    assert "any of them will do" in thermostat(found)


def test_one_place_or_too_few_common_days_compare_nothing() -> None:
    taken, up = logger("2027-01-20", 8, back=(14.0, 8.0))
    assert spots(day_table(taken, up, ZONE)) == ()
    short, up = logger("2027-01-20", 2, back=(14.0, 8.0), front=(15.0, 8.0))
    assert spots(day_table(short, up, ZONE)) == ()
    assert thermostat(()) == ""


def test_crops_go_where_no_night_harms_them_and_the_mean_suits() -> None:
    crops = [
        Needs("spinach", -10.0, np.nan, 8.0, 16.0),
        Needs("basil", 2.0, 10.0, 20.0, 28.0),
        Needs("lettuce", -3.0, np.nan, 12.0, 20.0),
        Needs("orchid", 12.0, 15.0, 22.0, 26.0),
    ]
    found = suits({"front": 10.0, "shelf": 18.0}, {"front": 1.0, "shelf": 12.0}, crops)
    assert found == {"front": ("spinach",), "shelf": ("lettuce", "basil")}


def test_unmeasured_months_follow_the_nearest_measured_one_and_far_ones_do_not() -> None:
    given = np.arange(12.0)
    values, months = twelve_months({1: 4.0, 2: 3.0}, given)
    assert months == [1, 2]
    assert values == [4.0, 3.0, 4.0, 4.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 12.0, 15.0]
    assert twelve_months({}, given) == (given.tolist(), [])
