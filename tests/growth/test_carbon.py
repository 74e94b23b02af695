import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import helpers_exact_day as exact
from helpers_growth import lettuce
from tenhour.growth import carbon
from tenhour.growth.engine import cover_share

LETTUCE = lettuce()


def day(dli: float, day_degc: float = 20.0, night_degc: float = 10.0, lit_h: float = 10.0) -> exact.DayCoefficients:
    return exact.day_coefficients(LETTUCE, dli, dli, day_degc, night_degc, lit_h)


def test_upkeep_doubles_per_ten_kelvin() -> None:
    # Q10 = 2, Van Henten 1994 (second-hand)
    warm, cool = (float(carbon.upkeep_per_d(t, t, 12.0)) for t in (25.0, 15.0))
    assert warm == pytest.approx(2 * cool)
    assert warm == pytest.approx(carbon.CONSTANTS.upkeep_25_per_d)


def test_light_below_the_compensation_point_fixes_nothing() -> None:
    # 5-35 µmol in the literature; the day worked by hand in growth-and-stretch section 7 has 12 at 20 °C: 15 % lost
    twelve = carbon.Constants(compensation_umol_m2_s=12.0)
    assert float(carbon.above_compensation_frac(12.0, 20.0, twelve)) == 0.0
    assert float(carbon.above_compensation_frac(24.0, 30.0, twelve)) == 0.0
    assert float(carbon.above_compensation_frac(85.0, 21.0, twelve)) == pytest.approx(0.85, abs=0.005)
    assert 5.0 <= carbon.CONSTANTS.compensation_umol_m2_s <= 35.0


def test_interception_is_beers_law() -> None:
    x = np.array([0.01, 0.5, 2.0, 6.0])
    assert exact.absorbed_per_cover(x) * x == pytest.approx(1 - np.exp(-x), rel=1e-12)


def test_the_cheap_interception_keeps_to_its_stated_error() -> None:
    x = np.linspace(1e-6, 20.0, 20001)
    ours = cover_share(x.astype(np.float32)).astype(np.float64)
    assert np.abs(ours / exact.absorbed_per_cover(x) - 1).max() < 1e-4
    far = np.linspace(20.0, 200.0, 500)
    assert np.abs(cover_share(far.astype(np.float32)) * far - 1).max() < 0.02


def test_conversion_of_light_lies_under_the_published_limit() -> None:
    # Zhen & Bugbee 2020: 1.71 g CH2O gross per mole absorbed after saturation; 2.0 is the initial slope
    full = day(10.0, 20.0, 20.0, 16.0)
    assert 1.4 < float(full.gross_g_m2_d) / 10.0 < 2.0


def test_growth_is_the_smaller_of_supply_and_demand() -> None:
    assert float(exact.smooth_minimum(np.float64(0.1), np.float64(0.5), 0.95)) == pytest.approx(0.0988, abs=1e-3)
    assert float(exact.smooth_minimum(np.float64(0.3), np.float64(0.3), 1.0)) == pytest.approx(0.3)
    bright, dim = (exact.day_growth(day(dli), 0.1, 2.0) for dli in (25.0, 2.0))
    assert float(bright.growth_per_d) <= float(day(25.0).sink_per_d)
    assert float(dim.growth_per_d) == pytest.approx(float(dim.source_per_d), rel=0.05)


@given(st.floats(0.0, 40.0), st.floats(0.5, 10.0))
@settings(deadline=None, derandomize=True, max_examples=40)
def test_more_light_never_grows_less(dli: float, more: float) -> None:
    less, extra = (float(exact.day_growth(day(x), 5.0, 4.0).growth_per_d) for x in (dli, dli + more))
    # Leaves thicken with light, so a bright day gains at most nothing; 1e-3 a day is the room for that.
    assert extra >= less - 1e-3


@pytest.mark.parametrize("dli", [0.0, 0.2, 0.4])
def test_near_darkness_loses_mass(dli: float) -> None:
    # growth-and-stretch section 3: nothing is gained below about 0.5 mol (seedlings)
    assert float(exact.day_growth(day(dli, lit_h=9.0), 0.02, 0.2).growth_per_d) < 0.0


def test_compensation_light_rises_with_the_stand_and_with_warm_nights() -> None:
    # growth-and-stretch section 3, table "Compensation DLI from the model"
    def compensation(mass: float, night: float) -> float:
        levels = np.linspace(0.05, 4.0, 800)
        gain = [float(exact.day_growth(day(x, 20.0, night, 9.0), mass, 8.0).source_per_d) for x in levels]
        return float(levels[np.argmax(np.array(gain) > 0)])

    young, stand, heavy = (compensation(mass, 10.0) for mass in (5.0, 120.0, 400.0))
    assert young < stand < heavy
    assert 0.3 < young < 0.8
    assert compensation(120.0, 18.0) > stand


def test_no_light_hours_and_nan_are_answers() -> None:
    dark = day(0.0, lit_h=0.0)
    assert float(dark.gross_g_m2_d) == 0.0
    assert np.isnan(float(day(float("nan")).gross_g_m2_d))
