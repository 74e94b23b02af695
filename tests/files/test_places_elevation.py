"""Height of the ground: from a coarse map in open country, asked for in mountains."""

from __future__ import annotations

import pytest

from tenhour.files.elevation import elevation_at


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "expected_m"),
    [  # airport or town heights from any atlas; the map steps by 28 m over 9 km cells
        (52.37, 4.90, 0.0),  # Amsterdam
        (47.37, 8.54, 408.0),  # Zürich
        (51.05, -114.07, 1045.0),  # Calgary
        (64.84, -147.72, 136.0),  # Fairbanks
        (62.32, -150.11, 106.0),  # Talkeetna
    ],
)
def test_open_country(latitude_deg: float, longitude_deg: float, expected_m: float) -> None:
    found = elevation_at(latitude_deg, longitude_deg)
    assert found.elevation_m == pytest.approx(expected_m, abs=110.0)
    assert "taken from a map" in found.note


@pytest.mark.parametrize("where", [(46.02, 7.75), (47.27, 11.39), (59.88, 8.58), (69.65, 18.95)])
def test_in_mountains_it_asks(where: tuple[float, float]) -> None:
    found = elevation_at(*where)
    assert found.elevation_m is None
    assert found.estimate_m > 100.0
    assert "give elevation_m" in found.note


@pytest.mark.parametrize("where", [(50.0, -30.0), (90.0, 0.0), (-90.0, 180.0), (65.0, 180.0)])
def test_at_sea_poles_and_date_line_it_asks_without_failing(where: tuple[float, float]) -> None:
    found = elevation_at(*where)
    assert found.elevation_m is None or found.note
