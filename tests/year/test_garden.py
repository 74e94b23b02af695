"""The last frost by chance reaches the garden's plants."""

from __future__ import annotations

import csv
import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from helpers_cli import tenhour
from helpers_sky import PUBLISHED
from helpers_world import NORTH_WALL, PLAIN, crops, plain, world_of
from tenhour.sky.split import MONTH_DAYS, month_mean
from tenhour.year.answers.garden import LastFrost, bed_places, garden_of, last_frost
from tenhour.year.crops.grown import table_of


def test_tender_plants_wait_for_the_frost_of_one_spring_in_ten_and_hardy_ones_do_not() -> None:
    world, on = world_of(plain()), date(2027, 1, 10)
    frost = last_frost(world, on)
    assert frost is not None
    assert on < frost.half < frost.tenth
    table = table_of(world, [crops()["tomato-plants"], crops()["cabbage-plants"]])
    beds = [bed_places(table, bed) for bed in range(len(world.beds))]
    out = {plants.crop: plants.set_out for plants in garden_of(table.crops, frost, [], beds, on)}
    assert out["tomato-plants"] >= frost.tenth
    assert out["cabbage-plants"] < frost.half
    own = LastFrost(date(2027, 6, 1), date(2027, 6, 1))
    later = {plants.crop: plants.set_out for plants in garden_of(table.crops, own, [], beds, on)}
    assert later["tomato-plants"] >= own.tenth


def test_a_weather_file_of_hours_tells_the_last_frost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Through a house file and a command, to a week, where the normals are a month late: New York by the sea.

    Nights and published days: climate_typical_lows.csv.
    """
    lines = (PUBLISHED / "climate_typical_lows.csv").read_text("utf-8").splitlines()
    row = next(r for r in csv.DictReader(line for line in lines if line[0] != "#") if r["name"] == "New York JFK")
    low = np.array(row["lows_of_days"].split(), dtype=float) / 10.0
    days, hour = np.arange(365)[:, None], np.arange(24)
    swing = np.repeat(np.array(row["means_of_months"].split(), dtype=float) - month_mean(low), MONTH_DAYS)[:, None]
    temp = low[:, None] + swing * (1.0 - np.cos(2 * np.pi * (hour - 5) / 24.0))
    sun = np.maximum(np.sin(np.pi * (hour - 6) / 12.0), 0.0) * (330.0 - 170.0 * np.cos(2 * np.pi * days / 365))
    rows = [
        f"{date(2027, 1, 1) + timedelta(days=day)} {h:02d}:00,{sun[day, h]:.0f},{temp[day, h]:.1f}"
        for day in range(365)
        for h in hour
    ]
    head = f"# latitude_deg: {row['latitude_deg']}\n# longitude_deg: {row['longitude_deg']}\n# utc_offset_h: -5\n"
    (tmp_path / "hours.csv").write_text(f"{head}# typical: true\ntime,ghi,temp\n" + "\n".join(rows) + "\n", "utf-8")
    place = {"lat": row["latitude_deg"], "lon": row["longitude_deg"], "elev": row["elevation_m"]}
    warm = {"azimuth": 90.0, "faces": NORTH_WALL, "air": "night_set_degc = 5", "cover": "glass-1"}
    text = PLAIN.format(**place, zone="America/New_York", **warm)
    (tmp_path / "house.toml").write_text(text.replace("[house]", 'climate = "hours.csv"\n[house]', 1), "utf-8")
    monkeypatch.chdir(tmp_path)
    done = tenhour("season", "--from", "2027-01-10", "--crop", "tomato-plants", "--json")
    assert done.status == 0, done.err
    found = json.loads(done.out)
    for key, read in (("last_frost", row["half_of_years"]), ("last_frost_tenth", row["one_in_ten"])):
        off = date.fromisoformat(found[key]) - date.fromisoformat(f"2027-{read}")
        assert abs(off.days) <= 7, (key, found[key])
    assert any("by the nights of the weather file" in told for told in found["assumptions"])
