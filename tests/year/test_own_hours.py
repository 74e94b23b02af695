"""A weather file that has beam or diffuse light shines on the beds by its own hours."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from helpers_cli import tenhour
from helpers_long import many
from helpers_world import sources
from tenhour.files.house.read import house_from_text
from tenhour.plan.dates import DAYS
from tenhour.sky import measured
from tenhour.sky.spread import class_sequence
from tenhour.year.outside.sunlight import sunlight_at

LATITUDE_DEG, LONGITUDE_DEG = 52.0, 0.0
HOUSE = f"""
schema = 1
[site]
latitude_deg = {LATITUDE_DEG}
longitude_deg = {LONGITUDE_DEG}
elevation_m = 50
timezone = "Europe/London"
climate = "CLIMATE"
[house]
shape = "gable"
length_m = 5.0
width_m = 3.0
eaves_m = 1.8
ridge_m = 2.6
length_azimuth_deg = 90
cover = "glass-2"
[face.north]
cover = "opaque"
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
height_m = 0.4
[[bed]]
name = "back"
at_m = [0.2, 2.0]
size_m = [4.6, 0.8]
height_m = 0.6
"""
HEAD = f"# latitude_deg: {LATITUDE_DEG}\n# longitude_deg: {LONGITUDE_DEG}\n# elevation_m: 50\n# utc_offset: 0\n"


def _light(folder: Path, climate: str, house: str = HOUSE) -> dict[str, Any]:
    path = folder / f"{climate.removesuffix('.csv')}.toml"
    path.write_text(house.replace("CLIMATE", climate), encoding="utf-8")
    done = tenhour("light", "--house", path, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def _write(path: Path, columns: dict[str, np.ndarray], head: str = HEAD) -> None:
    times = pd.date_range("2019-01-01", periods=DAYS * 24, freq="h")
    rows = [f"time,{','.join(columns)}"]
    values = np.column_stack([np.asarray(part).ravel() for part in columns.values()])
    rows += [f"{at:%Y-%m-%d %H:%M},{','.join(f'{v:.2f}' for v in row)}" for at, row in zip(times, values, strict=True)]
    path.write_text(head + "\n".join(rows) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def hours() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A year of the model's own days in their fixed order, hour by hour: global, diffuse and beam."""
    made = sunlight_at(house_from_text(HOUSE.replace("CLIMATE", "normals"), "house.toml"), sources()).class_hours
    day, order = np.arange(DAYS), class_sequence(DAYS)
    return made.ghi_w_m2[day, order], made.dhi_w_m2[day, order], made.dni_w_m2[day, order]


def _months(answer: dict[str, Any], bed: int, key: str) -> np.ndarray:
    return np.array([month[key] for month in answer["beds"][bed]["months"]])


@pytest.mark.parametrize("known", ["beam and diffuse", "diffuse", "beam"])
def test_a_file_made_from_the_models_own_year_gives_its_own_light(
    tmp_path: Path, hours: tuple[np.ndarray, np.ndarray, np.ndarray], known: str
) -> None:
    ghi, dhi, dni = hours
    columns = {"ghi": ghi}
    columns |= {"dni": dni} if "beam" in known else {}
    columns |= {"dhi": dhi} if "diffuse" in known else {}
    _write(tmp_path / "own.csv", columns | {"temp": np.full_like(ghi, 8.0)})
    own, normals = _light(tmp_path, "own.csv"), _light(tmp_path, "normals")
    assert any("its own beam and diffuse light by the hour" in line for line in own["assumptions"])
    for bed in range(2):
        ratio = _months(own, bed, "ratio") / _months(normals, bed, "ratio")
        print(known, ratio.round(3))
        assert ratio == pytest.approx(np.ones(12), abs=0.02)


PLACES = [(46.0, 9.0, 300.0), (60.2, 25.0, 20.0), (40.4, -3.7, 650.0), (-43.5, 172.6, 20.0), (65.0, 25.5, 10.0)]


@pytest.mark.parametrize("seed", range(many(1, 2 * len(PLACES))))
def test_so_does_a_file_of_another_place_in_a_house_drawn_at_random(tmp_path: Path, seed: int) -> None:
    """Any way of facing, ridge, cover and bed; months with a hundredth of the year's light or more (polar night)."""
    draw = np.random.default_rng(seed)
    latitude, longitude, elevation = PLACES[seed % len(PLACES)]
    house = HOUSE
    for old, new in (
        (f"latitude_deg = {LATITUDE_DEG}", f"latitude_deg = {latitude}"),
        (f"longitude_deg = {LONGITUDE_DEG}", f"longitude_deg = {longitude}"),
        ("elevation_m = 50", f"elevation_m = {elevation}"),
        ("Europe/London", "UTC"),
        ("length_azimuth_deg = 90", f"length_azimuth_deg = {draw.uniform(0.0, 180.0):.0f}"),
        ("ridge_m = 2.6", f"ridge_m = {draw.uniform(2.1, 3.2):.2f}"),
        ("glass-2", str(draw.choice(["glass-1", "glass-2", "film-1", "twin-wall-10"]))),
        ("at_m = [0.2, 2.0]", f"at_m = [0.2, {draw.uniform(1.1, 2.1):.2f}]"),
    ):
        assert old in house
        house = house.replace(old, new)
    plain = house_from_text(house.replace("CLIMATE", "normals"), "house.toml")
    made = sunlight_at(plain, sources()).class_hours
    day, order = np.arange(DAYS), class_sequence(DAYS)
    offset_h = round(longitude / 15.0 * 2.0) / 2.0
    head = f"# latitude_deg: {latitude}\n# longitude_deg: {longitude}\n# elevation_m: {elevation}\n"
    head += f"# utc_offset_h: {offset_h}\n"
    columns = {name: getattr(made, f"{name}_w_m2")[day, order] for name in ("ghi", "dni", "dhi")}
    _write(tmp_path / f"own{seed}.csv", columns | {"temp": np.full_like(columns["ghi"], 8.0)}, head)
    own, normals = (_light(tmp_path, climate, house) for climate in (f"own{seed}.csv", "normals"))
    for bed in range(2):
        light = _months(normals, bed, "dli_mol_m2_d")
        ratio = (_months(own, bed, "ratio") / _months(normals, bed, "ratio"))[light > 0.01 * light.sum()]
        print(seed, ratio.round(3))
        assert ratio == pytest.approx(np.ones(len(ratio)), abs=0.02)


def test_a_dull_file_is_answered_as_dull_and_a_clear_one_as_clear(
    tmp_path: Path, hours: tuple[np.ndarray, np.ndarray, np.ndarray]
) -> None:
    """The same global light of which 95 % or 35 % is diffuse: the beam's share of the bed's light follows."""
    ghi = hours[0]
    for name, share in (("dull", 0.95), ("clear", 0.35)):
        _write(tmp_path / f"{name}.csv", {"ghi": ghi, "dhi": share * ghi, "temp": np.full_like(ghi, 8.0)})
    dull, clear = _light(tmp_path, "dull.csv"), _light(tmp_path, "clear.csv")
    for month in (0, 3, 6, 9):
        assert dull["months"][month]["outdoor"]["dli_mol_m2_d"] == pytest.approx(
            clear["months"][month]["outdoor"]["dli_mol_m2_d"], rel=0.01
        )
    assert _months(dull, 0, "beam_frac").max() < 0.12
    assert _months(clear, 0, "beam_frac").min() > 0.4


def test_beam_and_diffuse_are_found_from_one_another() -> None:
    height = np.array([30.0, 30.0, 30.0, -2.0])
    ghi, dni, dhi = np.array([350.0, 350.0, 350.0, 4.0]), np.full(4, 500.0), np.full(4, 100.0)
    for given in ((dni, dhi), (None, dhi), (dni, None)):
        found = measured.split_of(ghi, *given, height)
        assert found.dni_w_m2 == pytest.approx([500.0, 500.0, 500.0, 0.0])
        assert found.dhi_w_m2 == pytest.approx([100.0, 100.0, 100.0, 4.0])


def test_classes_hold_every_day_alike() -> None:
    brightness = np.random.default_rng(3).random(31)
    weights = measured.class_weights(brightness, (0.2,))
    assert weights.sum(axis=1) == pytest.approx(np.ones(6))
    assert weights[:5].mean(axis=0) == pytest.approx(np.full(31, 1.0 / 31.0))
    means = weights @ brightness
    assert (np.diff(means[:5]) > 0.0).all()
    assert means[5] == pytest.approx(np.quantile(brightness, 0.2), abs=0.05)


def test_months_without_enough_days_fall_back_on_the_split(tmp_path: Path) -> None:
    """A file that ends in October: November and December by the normals' way, the others by their own hours."""
    house = house_from_text(HOUSE.replace("CLIMATE", "normals"), "house.toml")
    made = sunlight_at(house, sources()).class_hours
    day, order = np.arange(DAYS), class_sequence(DAYS)
    ghi, dhi = made.ghi_w_m2[day, order].copy(), made.dhi_w_m2[day, order].copy()
    ghi[304:], dhi[304:] = np.nan, np.nan
    times = pd.date_range("2019-01-01", periods=DAYS * 24, freq="h", tz="UTC") + pd.Timedelta(minutes=30)
    from tenhour.door.weather import load_weather

    _write(tmp_path / "own.csv", {"ghi": made.ghi_w_m2[day, order], "dhi": made.dhi_w_m2[day, order]})
    weather = load_weather(tmp_path / "own.csv", LATITUDE_DEG, LONGITUDE_DEG)
    assert len(times) == len(weather.times)
    cut = replace(weather, ghi_w_m2=ghi.ravel(), dhi_w_m2=dhi.ravel())
    site = replace(house.site, climate="file", weather_path="own.csv")
    found = sunlight_at(replace(house, site=site), replace(sources(), weather=cut))
    plain = replace(sources(), weather=replace(weather, dni_w_m2=None, dhi_w_m2=None))
    split = sunlight_at(replace(house, site=site), plain)
    late = slice(304, DAYS)
    assert found.drive.sky[late] == pytest.approx(split.drive.sky[late])
    assert found.drive.sky[:304] != pytest.approx(split.drive.sky[:304], rel=1e-3)
