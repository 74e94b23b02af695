"""Height of the ground: from a coarse map in open country, asked for in mountains."""

from __future__ import annotations

import numpy as np
import pytest
from pvlib.location import lookup_altitude

from tenhour.files.elevation import MAP_HEIGHT_STEP_M, elevation_at, grounds_m


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


def test_heights_of_many_places_are_those_of_the_map_one_by_one() -> None:
    """Against the library whose map it is (pvlib.location.lookup_altitude); a height within a step of 0 is a shore."""
    rng = np.random.default_rng(3)
    lat = np.concatenate([rng.uniform(-90, 90, 60), [90.0, -90.0, 0.0, 27.988, 89.99999]])
    lon = np.concatenate([rng.uniform(-180, 180, 60), [180.0, -180.0, 0.0, 86.925, 179.99999]])
    wanted = np.array([float(lookup_altitude(y, x)) for y, x in zip(lat.tolist(), lon.tolist(), strict=True)])
    wanted[wanted == 0.0] = np.nan
    wanted[np.abs(wanted) < MAP_HEIGHT_STEP_M] = 0.0
    assert 10 < np.isfinite(wanted).sum() < 50
    np.testing.assert_array_equal(grounds_m(lat, lon), wanted)
