import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.files.crop import load_crops
from tenhour.growth.stages import bed_window_mean, days_to_reach, keeps_d, window_mean


def test_days_to_reach_counts_whole_days_and_wraps() -> None:
    rate = np.full((1, 365), 0.25)
    assert days_to_reach(rate, [0, 100, 364]).tolist() == [[4.0, 4.0, 4.0]]
    rate[0, :10] = 0.0
    assert days_to_reach(rate, [363, 5]).tolist() == [[14.0, 9.0]]


def test_never_within_the_limit_is_nan() -> None:
    assert np.isnan(days_to_reach(np.full((2, 365), 0.001), [0, 200])).all()
    with pytest.raises(ValueError, match="at most 365"):
        days_to_reach(np.ones((1, 365)), [0], 400)


@given(st.lists(st.floats(0.005, 0.9), min_size=5, max_size=5), st.integers(0, 364))
@settings(deadline=None, derandomize=True, max_examples=40)
def test_days_to_reach_is_the_plain_loop(values: list[float], start: int) -> None:
    rate = np.tile(values, 73)[None]
    total, day = 0.0, 0
    while total < 1.0 - 1e-9 and day < 365:
        total += rate[0, (start + day) % 365]
        day += 1
    assert days_to_reach(rate, [start], 365).item() == day
    few, many = days_to_reach(rate, [start], 60), days_to_reach(rate, [start] * 9, 60)
    assert few.item() == many[0, 0] or (np.isnan(few.item()) and np.isnan(many[0, 0]))


@given(st.integers(0, 1000), st.integers(1, 800))
@settings(deadline=None, derandomize=True, max_examples=40)
def test_window_mean_is_the_plain_mean_over_any_years(start: int, length: int) -> None:
    series = np.sin(np.arange(365) / 20.0)
    plain = series[(start + np.arange(length)) % 365].mean()
    assert float(window_mean(series, start, length)) == pytest.approx(plain, abs=1e-9)


def test_bed_window_mean_keeps_beds_apart() -> None:
    series = np.stack([np.arange(365.0), np.full(365, 7.0)])
    start = np.zeros((3, 2, 4, 2)) + np.arange(4)[:, None]
    found = bed_window_mean(series, start, 3.0)
    assert found.shape == (3, 2, 4, 2)
    assert found[0, 0, :, 0].tolist() == [1.0, 2.0, 3.0, 4.0]
    assert (found[:, 1] == 7.0).all()
    assert np.isnan(bed_window_mean(series, start, np.nan)).all()


def test_greens_of_market_size_stand_from_december_to_mid_february() -> None:
    # Purdue Vegetable Crops Hotline (read): 75-80 days in an Indiana tunnel; MOFGA 2011 (read): spinach picked 120-127
    # days from Thanksgiving. Their warmth is not stated: 4 °C by daily mean in December to February (judgement).
    crops = {crop.key: crop.harvest for crop in load_crops()}

    def days(key: str, degc: float) -> float:
        harvest = crops[key]
        assert harvest is not None
        assert harvest.holds_degcday is not None
        return float(keeps_d(np.full((1, 365), degc), [[[335.0]]], [harvest.holds_degcday.value]).item())

    assert 65 <= days("leaf-lettuce", 4.0) <= 85
    assert 110 <= days("spinach", 4.0) <= 140
    assert days("head-lettuce", 15.0) == 10
    assert all(days(key, 4.0) > 110 for key in ("kale", "leek", "corn-salad", "claytonia", "spinach"))


def test_frozen_ground_keeps_and_nothing_keeps_that_never_was() -> None:
    assert keeps_d(np.full((1, 365), -3.0), [[[10.0]]], [150.0]).item() == 365.0
    assert np.isnan(keeps_d(np.full((1, 365), 5.0), [[[np.nan]]], [150.0])).all()
    assert keeps_d(np.full((1, 365), 5.0), [[[400.0]]], [np.nan]).item() == 365.0
