"""The edge of a floor, which takes heat to the ground outside, is as long as its walls."""

from __future__ import annotations

import numpy as np
import pytest

from tenhour.year.warm.heathouse import _around_m


def test_the_way_round_a_floor_is_the_sum_of_its_sides() -> None:
    oblong = np.array([[1.0, 2.0, 0.0], [6.0, 2.0, 0.0], [6.0, 5.0, 0.0], [1.0, 5.0, 0.0]])
    assert _around_m(oblong) == pytest.approx(16.0)
    assert _around_m(oblong[:3]) == pytest.approx(5.0 + 3.0 + np.hypot(5.0, 3.0))
