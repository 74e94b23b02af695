import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.growth.temperature import (
    day_nodes,
    emergence_rate_per_d,
    growth_frac,
    hour_weighted,
    thawed_frac,
    yan_hunt_frac,
)

# Yan & Hunt 1999, Ann. Bot. 84:607, equation with base 0: r = (Tmax-T)/(Tmax-Topt) (T/Topt)^(Topt/(Tmax-Topt)).
PUBLISHED_FORM = [(t, 30.0, 40.0, (40.0 - t) / 10.0 * (t / 30.0) ** 3.0) for t in (5.0, 10.0, 20.0, 25.0, 35.0)]


@pytest.mark.parametrize(("temp", "opt", "top", "expected"), PUBLISHED_FORM)
def test_yan_hunt_with_base_zero_is_the_published_equation(
    temp: float, opt: float, top: float, expected: float
) -> None:
    assert float(yan_hunt_frac(temp, 0.0, opt, top)) == pytest.approx(expected, rel=1e-12)


def test_yan_hunt_stands_within_0_03_of_wang_and_engel_1998() -> None:
    # Wang & Engel 1998, Agric. Syst. 58:1 (from memory); growth-and-stretch: at most 0.03 apart for (2, 25, 35).
    t = np.linspace(2.0, 35.0, 331)
    x, o = t - 2.0, 23.0
    a = np.log(2) / np.log(33.0 / 23.0)
    engel = (2 * x**a * o**a - x ** (2 * a)) / o ** (2 * a)
    assert np.abs(yan_hunt_frac(t, 2.0, 25.0, 35.0) - engel).max() < 0.031


@given(st.floats(-60, 60), st.floats(-5, 10), st.floats(1, 20), st.floats(1, 15))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_a_rate_is_a_share_and_nil_outside(temp: float, low: float, rise: float, fall: float) -> None:
    rate = float(yan_hunt_frac(temp, low, low + rise, low + rise + fall))
    assert 0.0 <= rate <= 1.0 + 1e-12
    if temp <= low or temp >= low + rise + fall:
        assert rate == pytest.approx(0.0, abs=1e-12)


def test_nan_in_nan_out() -> None:
    assert np.isnan(yan_hunt_frac(np.nan, 0.0, 20.0, 30.0))


def test_the_rate_is_averaged_not_the_temperature() -> None:
    cardinal = (-2.0, 24.0, 33.0)
    mean = float(hour_weighted(yan_hunt_frac(21.0, *cardinal), yan_hunt_frac(10.0, *cardinal), 8.5))
    assert mean == pytest.approx(0.51, abs=0.01)  # the day worked by hand in growth-and-stretch, section 7
    assert float(hour_weighted(21.0, 10.0, 8.5)) == pytest.approx(13.9, abs=0.01)
    # 18/0 °C: the curve bends up at the cold end, so the mean of rates exceeds the rate of the mean
    cold = float(hour_weighted(yan_hunt_frac(18.0, *cardinal), yan_hunt_frac(0.0, *cardinal), 8.0))
    assert cold > 1.2 * float(yan_hunt_frac(float(hour_weighted(18.0, 0.0, 8.0)), *cardinal))


# Days from sowing 12 mm deep to emergence, Harrington & Minges 1954, reprinted in Knott's Handbook 1997 (read).
HARRINGTON = {
    "lettuce": (1.3, 57.0, {5: 15, 10: 7, 15: 4, 20: 3}),
    "spinach": (0.1, 114.0, {5: 23, 10: 12, 15: 7, 20: 6}),
    "radish": (2.5, 75.0, {5: 29, 10: 11, 15: 6, 20: 4}),
    "cabbage": (3.2, 103.0, {10: 15, 15: 9, 20: 6}),
    "turnip": (3.2, 34.0, {10: 5, 15: 3, 20: 2}),
    "carrot": (2.6, 124.0, {5: 51, 10: 17, 15: 10, 20: 7}),
    "beet": (2.2, 121.0, {5: 42, 10: 17, 15: 10, 20: 6}),
    "celery": (1.6, 141.0, {5: 41, 10: 16, 15: 12, 20: 7}),
    "onion": (2.0, 94.0, {5: 31, 10: 13, 15: 7, 20: 5}),
    "parsley": (1.1, 253.0, {10: 29, 15: 17, 20: 14}),
    "pea": (1.2, 134.0, {5: 36, 10: 14, 15: 9, 20: 8}),
    "tomato": (7.7, 100.0, {10: 43, 15: 14, 20: 8, 25: 6}),
    "pepper": (10.1, 123.0, {15: 25, 20: 13, 25: 8}),
    "cucumber": (10.6, 57.0, {15: 13, 20: 6, 25: 4}),
}


@pytest.mark.parametrize("crop", HARRINGTON)
def test_emergence_follows_the_table_of_harrington_and_minges(crop: str) -> None:
    base, total, days = HARRINGTON[crop]
    temps = np.array(list(days), dtype=float)
    ours = 1.0 / emergence_rate_per_d(temps, base, total, 30.0)
    error = np.log(ours / np.array(list(days.values())))
    # rms error of the fits 1-8 % (growth-and-stretch 2.2); half a printed day is another 12 % at four days
    assert np.sqrt(np.mean(error**2)) < 0.12


def test_no_emergence_below_the_base_nor_where_seed_fails() -> None:
    assert float(emergence_rate_per_d(10.0, 10.6, 57.0, 28.0)) == 0.0
    # Lettuce: none at 35 °C in the same table
    assert float(emergence_rate_per_d(35.0, 1.3, 57.0, 24.0, 30.0)) == 0.0


# -- in the cold ------------------------------------------------------------------------------------------------------


def test_growth_near_freezing_goes_on_as_in_cabbage_leaves() -> None:
    # Cox & Levitt 1969, Plant Physiol. 44:923 (abstract): leaves grew on at 5 and 0 °C, a factor of 2.0-2.5 per 10 K.
    # A straight line to -2 °C halves from 10 to 4 °C (they: 1.5 to 1.7); the bent curve left a quarter at 4 °C.
    cardinal = (-2.0, 24.0, 33.0)
    line = float(growth_frac(4.0, *cardinal) / growth_frac(10.0, *cardinal))
    curve = float(yan_hunt_frac(4.0, *cardinal) / yan_hunt_frac(10.0, *cardinal))
    assert line == pytest.approx(0.5)
    assert curve < 0.3


@given(st.floats(-10.0, 45.0), st.floats(-4.0, 12.0), st.floats(8.0, 20.0), st.floats(4.0, 15.0))
def test_growth_is_the_curve_above_ten_degrees_and_never_below_it(
    temp: float, low: float, up: float, fall: float
) -> None:
    cardinal = (low, low + up, low + up + fall)
    ours, curve = float(growth_frac(temp, *cardinal)), float(yan_hunt_frac(temp, *cardinal))
    assert 0.0 <= curve <= ours <= 1.0 + 1e-12
    assert temp < min(10.0, low + up) or ours == curve
    assert temp > low or ours == 0.0


def test_kale_at_ten_degrees_lies_between_canola_and_cabbage() -> None:
    # straight from 2 to 30 °C for canola (APSIM Next Generation): 0.29; from 3 to 13 °C for early cabbage (Daisy): 0.7
    from tenhour.files.crop import load_crops

    kale = next(crop for crop in load_crops() if crop.key == "kale").growth
    assert kale is not None
    found = float(growth_frac(10.0, kale.temp_min_degc.value, kale.temp_opt_degc.value, kale.temp_max_degc.value))
    assert (10 - 2) / (30 - 2) < found < (10 - 3) / (13 - 3)


def test_the_halves_of_a_sunny_day_are_those_of_a_half_sine() -> None:
    # definition: a half sine above the night whose mean is the day's
    hour = (np.arange(4000) + 0.5) / 4000
    air = 2.0 + (10.0 - 2.0) * np.pi / 2 * np.sin(np.pi * hour)
    inside = np.abs(hour - 0.5) < 0.25
    outer, inner = day_nodes(10.0, 2.0, 1.0)
    assert float(outer) == pytest.approx(air[~inside].mean(), abs=0.01)
    assert float(inner) == pytest.approx(air[inside].mean(), abs=0.01)


def test_no_swing_where_set_points_make_the_air_and_none_above_the_vents() -> None:
    assert [float(x) for x in day_nodes(22.0, 10.0, 0.0)] == [22.0, 22.0]
    outer, inner = (float(x) for x in day_nodes(24.0, 10.0, 1.0))
    assert inner == 25.0
    assert outer + inner == pytest.approx(48.0)
    assert [float(x) for x in day_nodes(31.0, 20.0, 1.0)] == [31.0, 31.0]


def test_a_frozen_night_costs_a_quarter_of_the_next_day_at_most() -> None:
    assert [float(thawed_frac(t)) for t in (5.0, 0.0, -2.0, -4.0, -12.0)] == [1.0, 1.0, 0.875, 0.75, 0.75]
