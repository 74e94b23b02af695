"""Hatching strokes against plain geometry: inside the shape, at their distance, of the length the area asks for."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.report.pictures.hatching import Hatch, strokes

SQUARE = [(10.0, 10.0), (110.0, 10.0), (110.0, 60.0), (10.0, 60.0)]
DISTANCE = {"bars": 7.0, "rising": 4.5, "falling": 6.0, "crossed": 1.6}


@pytest.mark.parametrize("hatch", DISTANCE)
def test_length_times_distance_is_the_area(hatch: Hatch) -> None:
    # Strokes at distance d through an area A have length A / d, up to one stroke at the rim (closed form).
    length = sum(math.dist(*stroke) for stroke in strokes(SQUARE, hatch))
    area = 100.0 * 50.0
    assert length * DISTANCE[hatch] == pytest.approx(area, abs=2 * DISTANCE[hatch] * math.hypot(100.0, 50.0))


def test_a_notch_stays_open() -> None:
    notched = [
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (60.0, 40.0),
        (60.0, 20.0),
        (40.0, 20.0),
        (40.0, 40.0),
        (0.0, 40.0),
    ]
    for (x, y), (_, end_y) in strokes(notched, "bars"):
        if 40.0 < x < 60.0:
            assert max(y, end_y) <= 20.0 + 1e-9


def test_neighbours_meet() -> None:
    left = [(0.0, 0.0), (50.0, 0.0), (50.0, 30.0), (0.0, 30.0)]
    right = [(50.0, 0.0), (100.0, 0.0), (100.0, 30.0), (50.0, 30.0)]
    ends = {(round(x, 6), round(y, 6)) for stroke in strokes(left, "rising") for x, y in stroke if abs(x - 50.0) < 1e-6}
    starts = {
        (round(x, 6), round(y, 6)) for stroke in strokes(right, "rising") for x, y in stroke if abs(x - 50.0) < 1e-6
    }
    assert ends == starts != set()


def test_no_hatch_no_strokes() -> None:
    assert strokes(SQUARE, "") == []


@settings(deadline=None, derandomize=True, max_examples=50)
@given(
    st.lists(st.tuples(st.floats(0, 200), st.floats(0, 200)), min_size=3, max_size=8),
    st.sampled_from(sorted(DISTANCE)),
)
def test_strokes_stay_in_the_bounds_of_any_polygon(polygon: list[tuple[float, float]], hatch: Hatch) -> None:
    xs, ys = zip(*polygon, strict=True)
    for stroke in strokes(polygon, hatch):
        for x, y in stroke:
            assert min(xs) - 1e-6 <= x <= max(xs) + 1e-6
            assert min(ys) - 1e-6 <= y <= max(ys) + 1e-6
