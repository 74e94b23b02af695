"""Readings made from the model with a known factor give it back; readings that cannot be are refused."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pandas as pd
import pytest

from helpers_world import plain, sources
from tenhour.errors import FileProblem
from tenhour.files.spectra import load_meters, load_spectra
from tenhour.model.readings import OUTSIDE, LightReadings, Readings
from tenhour.plan.possible import ceiling_umol_m2_s
from tenhour.year.inside.moments import moments_inside, sun_at
from tenhour.year.readings.read import change_lines, read_answer
from tenhour.year.readings.readlight import LightTools, light_found
from tenhour.year.year import Year

LUX = 55.0
TOOLS = LightTools(load_spectra(), load_meters())
TRUTH = {"front": 0.82, "back": 0.60}


@lru_cache(maxsize=1)
def truth() -> tuple[pd.DatetimeIndex, np.ndarray, dict[str, np.ndarray]]:
    """Three winter days of hand readings, hours apart: outdoors, and on both beds by the model with clean panes."""
    house = plain(zone="Europe/Vienna")
    days = pd.to_datetime(["2027-01-12", "2027-01-15", "2027-01-20"])
    time = pd.DatetimeIndex([day + pd.Timedelta(hours=hour) for day in days for hour in np.arange(9.5, 15.0, 1.0)])
    utc = time.tz_localize(house.site.timezone).tz_convert("UTC").as_unit("us")
    clear = ceiling_umol_m2_s(sun_at(house, utc)[0]) / 1.5
    outside = clear * np.repeat([0.25, 0.85, 0.3], 6)
    point = np.full((len(utc), 2), np.nan)
    beds = {
        name: moments_inside(house, sources(), utc, outside, np.full(len(utc), k), point).inside_umol_m2_s
        for k, name in enumerate(TRUTH)
    }
    return utc, outside, beds


def taken(seed: int = 0, noise: float = 0.07, shift_h: float = 0.0, swap: bool = False, both: bool = True) -> Readings:
    """Readings as a person with a lux meter would note them, one in ten spoilt by a shadow."""
    random = np.random.default_rng(seed)
    utc, outside, beds = truth()
    columns = {OUTSIDE: outside} if both else {}
    columns |= {name: beds[name] * TRUTH[name] for name in TRUTH}
    parts = []
    for k, (name, value) in enumerate(columns.items()):
        read = value * np.exp(random.normal(0, noise, len(utc)))
        if name != OUTSIDE:
            read = np.where(random.random(len(utc)) < 0.1, read * 0.4, read)
        place = {OUTSIDE: "front", "front": OUTSIDE}.get(name, name) if swap else name
        parts.append((utc + pd.Timedelta(minutes=k), np.full(len(utc), place), read * LUX))
    time = pd.DatetimeIndex(np.concatenate([p[0].asi8 for p in parts]).view("M8[us]"), tz="UTC")
    n = len(time)
    light = LightReadings(
        time + pd.Timedelta(hours=shift_h), np.concatenate([p[1] for p in parts]), np.full((n, 2), np.nan),
        np.concatenate([p[2] for p in parts]), np.full(n, "lux"), np.full(n, "daylight"), np.arange(2, n + 2),
    )  # fmt: skip
    return Readings("readings.csv", light, None, offset_h=1.0)


def test_the_factor_comes_back_within_its_interval() -> None:
    """Through the whole chain; how often the interval holds is counted over thousands of trials in tests/plan."""
    house, hits = plain(zone="Europe/Vienna"), []
    for seed in range(3):
        for bed in light_found(house, sources(), taken(seed), TOOLS).beds:
            assert bed.factor is not None, bed.refused
            assert bed.low is not None
            assert bed.high is not None
            hits.append(bed.low <= TRUTH[bed.bed] <= bed.high)
    assert sum(hits) >= 5  # of six; fewer come by chance once in nine at nine in ten, and the seeds are fixed


def test_the_factor_is_measured_against_clean_panes_whatever_the_file_assumes() -> None:
    dirty = plain(
        zone="Europe/Vienna", faces='[face.north]\ncover = "opaque"\n[calibration]\nfactor = 0.5\nreadings = 9\n'
    )
    clean = light_found(plain(zone="Europe/Vienna"), sources(), taken(), TOOLS).beds[0]
    again = light_found(dirty, sources(), taken(), TOOLS).beds[0]
    assert again.factor == pytest.approx(clean.factor)
    assert again.assumed_factor == 0.5


def test_the_answer_proposes_lines_for_the_house_file() -> None:
    house = plain(zone="Europe/Vienna")
    answer = read_answer(Year(house, sources()), taken(), TOOLS)
    assert answer.proposal is not None
    assert answer.proposal.lines[0].startswith("[calibration]")
    assert any(line.startswith("factor = { front = 0.8") for line in answer.proposal.lines)
    assert answer.proposal.lines[-1] == "date = 2027-01-20"
    assert not answer.proposal.kept_in
    assert change_lines(answer.proposal.changes[0], house) == list(answer.proposal.lines)
    assert {day.place for day in answer.days} == {"outside", "front", "back"}
    assert all(day.gaps for day in answer.days)


@pytest.mark.parametrize("shift_h", [-6.0, 7.0])
def test_a_wrong_zone_is_named(shift_h: float) -> None:
    with pytest.raises(FileProblem, match=r"light that no sky gives.*h are added to the stamps.*Try --zone"):
        light_found(plain(zone="Europe/Vienna"), sources(), taken(shift_h=shift_h), TOOLS)


def test_exchanged_places_are_named() -> None:
    with pytest.raises(FileProblem, match=r"bed front: inside and outside look exchanged.*Nothing was kept"):
        light_found(plain(lat=30.0, zone="Europe/Vienna"), sources(), swapped_summer(), TOOLS)


def swapped_summer() -> Readings:
    """Noon readings under a high sun with the columns exchanged."""
    time = pd.date_range("2027-06-10 09:00", periods=8, freq="30min", tz="UTC").as_unit("us")
    both = pd.DatetimeIndex(np.concatenate([time.asi8, time.asi8]).view("M8[us]"), tz="UTC")
    value = np.concatenate([np.full(8, 20_000.0), np.full(8, 38_000.0)])
    return Readings(
        "readings.csv",
        LightReadings(
            both, np.repeat([OUTSIDE, "front"], 8), np.full((16, 2), np.nan), value, np.full(16, "lux"),
            np.full(16, "daylight"), np.arange(16),
        ),
        None,
    )  # fmt: skip


def test_readings_indoors_alone_give_days_but_no_factor() -> None:
    found = light_found(plain(zone="Europe/Vienna"), sources(), taken(both=False), TOOLS)
    assert {bed.refused for bed in found.beds} == {"no reading in the open to compare with"}
    assert "outside in the open" in found.beds[0].next_reading
    assert found.days


def test_lamps_at_night_spoil_a_bed() -> None:
    readings = taken()
    assert readings.light is not None
    night = pd.date_range("2027-01-12 20:00", periods=4, freq="30min", tz="UTC").as_unit("us")
    light = readings.light
    more = LightReadings(
        pd.DatetimeIndex(np.concatenate([light.time.asi8, night.asi8]).view("M8[us]"), tz="UTC"),
        np.append(light.place, np.full(4, "front")), np.vstack([light.point_m, np.full((4, 2), np.nan)]),
        np.append(light.value, np.full(4, 6000.0)), np.append(light.unit, np.full(4, "lux")),
        np.append(light.light, np.full(4, "daylight")), np.append(light.row, np.arange(4)),
    )  # fmt: skip
    beds = light_found(plain(zone="Europe/Vienna"), sources(), Readings("x", more, None), TOOLS).beds
    assert "lamps burnt on this bed at night" in beds[0].refused
    assert beds[1].factor is not None


def test_readings_under_lamps_become_photons_with_their_error() -> None:
    time = pd.date_range("2027-01-12 20:00", periods=5, freq="1min", tz="UTC").as_unit("us")
    light = LightReadings(
        time, np.full(5, "front"), np.full((5, 2), np.nan), np.array([9000.0, 10000, 11000, 12000, 8000]),
        np.full(5, "lux"), np.full(5, "white-led"), np.arange(5),
    )  # fmt: skip
    found = light_found(plain(), sources(), Readings("x", light, None), TOOLS)
    assert found.beds == ()
    lamp = found.lamps[0]
    assert lamp.ppfd_umol_m2_s == pytest.approx(10_000 / 69.5, rel=1e-6)
    assert lamp.min_mean_frac == pytest.approx(0.8)
    assert lamp.low_umol_m2_s < 10_000 / 76 < 10_000 / 63 < lamp.high_umol_m2_s
    assert lamp.readings_count == 5


def test_two_meters_widen_the_interval() -> None:
    house = plain(zone="Europe/Vienna")
    one = light_found(house, sources(), taken(), TOOLS).beds[0]
    two = light_found(house, sources(), taken(), LightTools(TOOLS.spectra, TOOLS.meters, one_meter=False)).beds[0]
    assert one.factor is not None
    assert two.factor is None  # two hobby meters may differ by more than dirt and frame do
    assert two.refused.startswith("the two meters may differ too much: the factor could be anything from 0.6")
    assert "one and the same meter" in two.next_reading


def test_a_point_is_taken_at_its_place_on_the_bed() -> None:
    house = plain(zone="Europe/Vienna")
    utc, outside, _ = truth()
    rows = len(utc)
    mean = moments_inside(house, sources(), utc, outside, np.zeros(rows, dtype=int), np.full((rows, 2), np.nan))
    front = moments_inside(house, sources(), utc, outside, np.zeros(rows, dtype=int), np.tile([2.5, 0.25], (rows, 1)))
    rear = moments_inside(house, sources(), utc, outside, np.zeros(rows, dtype=int), np.tile([2.5, 0.95], (rows, 1)))
    assert (front.inside_umol_m2_s != rear.inside_umol_m2_s).any()
    middle = (front.inside_umol_m2_s + rear.inside_umol_m2_s) / 2
    assert mean.inside_umol_m2_s == pytest.approx(middle, rel=0.15)


def test_moments_add_up_to_the_year_of_the_same_house() -> None:
    """The overcast ratio of the bed, built by another path, is what a dull moment shows."""
    from tenhour.year.inside.moments import bare
    from tenhour.year.world import build

    house = plain(zone="UTC", lon=0.0)
    time = pd.DatetimeIndex(["2026-10-20 11:45", "2026-10-20 10:00"], tz="UTC").as_unit("us")
    outside = np.array([60.0, 45.0])  # clearness below 0.1: all but overcast
    found = moments_inside(house, sources(), time, outside, np.zeros(2, dtype=int), np.full((2, 2), np.nan))
    assert (found.diffuse_frac > 0.98).all()
    year = build(bare(house), sources()).beds[0]
    assert found.inside_umol_m2_s / outside == pytest.approx(year.overcast_ratio, rel=0.06)


@pytest.mark.parametrize(
    ("panes", "sky", "said"),
    [
        (1.0, 1.0, "Neither cover nor sky is at fault"),
        (0.6, 1.0, "It is the cover, not the sky: the panes let through 40% less than the house file has"),
        (1.0, 0.6, "It is the sky, not the cover: the panes let through what the house file has; the sky gave 40%"),
        (0.6, 0.6, "Both cover and sky: the panes let through 40% less"),
    ],
)
def test_a_dirty_cover_is_told_from_a_dull_sky(panes: float, sky: float, said: str) -> None:
    """Both sides known: what both lack is the sky's, what the bed lacks beyond that is the cover's."""
    assumed = "[calibration]\nfactor = { front = 0.82, back = 0.60 }\nreadings = 9\n"
    house, clean = plain(zone="Europe/Vienna", faces=assumed), taken(noise=0.03)
    assert clean.light is not None
    inside = clean.light.place != OUTSIDE
    value = clean.light.value * np.where(inside, panes * sky, sky)
    bed = light_found(house, sources(), replace(clean, light=replace(clean.light, value=value)), TOOLS).beds[0]
    assert bed.cover_ratio == pytest.approx(panes, rel=0.05)
    assert bed.sky_ratio == pytest.approx(sky, rel=0.05)
    for share in ("39%", "41%"):
        said = said if said in bed.told else said.replace("40%", share)
    assert said in bed.told
    assert "3 days of readings tell of their own weather" in bed.told


def test_without_the_open_nobody_tells_cover_from_sky() -> None:
    bed = light_found(plain(zone="Europe/Vienna"), sources(), taken(both=False), TOOLS).beds[0]
    assert (bed.told, bed.cover_ratio, bed.sky_ratio) == ("", None, None)
    assert "no reading in the open" in bed.refused
