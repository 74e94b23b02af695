"""When a crop runs to flower: day length counts from the day it is up, and not before."""

from __future__ import annotations

import numpy as np

from tenhour.files.crop import load_crops
from tenhour.growth.shapes import bed_climate
from tenhour.year.crops.flagging import bolting_days


def test_long_days_count_from_the_day_a_crop_is_up() -> None:
    """In days all alike a crop that comes up ten days later runs to flower ten days later."""
    crops = [crop for crop in load_crops() if crop.key == "spinach"]
    alike = np.full((1, 365), 1.0)
    climate = bed_climate(12.0 * alike, 16.0 * alike, 12.0 * alike, 17.0 * alike)
    up_d = np.array([[[5.0], [15.0]]]).reshape(1, 1, 2)
    found = bolting_days(crops, np.full(365, 17.0), climate, np.array([100, 100]), up_d)
    assert np.isfinite(found).all()
    assert (found > up_d).all()
    assert found[0, 0, 1] - found[0, 0, 0] == 10.0
