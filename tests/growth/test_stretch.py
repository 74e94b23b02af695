import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.growth.stretch import (
    CAUSES,
    dli_for_score_mol_m2_d,
    light_term,
    log_of_score,
    score_of,
    stretch,
    temp_for_score_degc,
)


def mean(day: float, night: float, lit: float) -> float:
    return (lit * day + (24 - lit) * night) / 24


# Worked cases of growth-and-stretch section 8.2: December romaine at 2.6 mol, 8.5 h.
DECEMBER = {"dli_mol_m2_d": 2.6, "temp_mean_degc": mean(21, 10, 8.5), "temp_dif_k": 11.0}
CASES = [
    ("december", {}, 61),
    ("nights at 18", {"temp_mean_degc": mean(21, 18, 8.5), "temp_dif_k": 3.0}, 62),
    ("cool house 12/6", {"temp_mean_degc": mean(12, 6, 8.5), "temp_dif_k": 6.0}, 20),
    ("crowded, LAI 2", {"leaf_area_ratio": 2.0}, 84),
    ("brushed", {"brushing_frac": 1.0}, 46),
    # lamps: 14 lamp hours at day temperature
    ("lamps to 6 mol", {"dli_mol_m2_d": 6.0, "temp_mean_degc": mean(21, 10, 14.0)}, 42),
    ("lamps to 12 mol", {"dli_mol_m2_d": 12.0, "temp_mean_degc": mean(21, 10, 14.0)}, 9),
    ("12/10 °C", {"temp_mean_degc": mean(12, 10, 8.5), "temp_dif_k": 2.0}, 35),
]


@pytest.mark.parametrize(("name", "change", "expected"), CASES, ids=[c[0] for c in CASES])
def test_worked_cases_of_the_december_romaine(name: str, change: dict[str, float], expected: int) -> None:
    found = float(stretch(**{**DECEMBER, **change}).score)
    # within rounding of the printed score; the lamp cases hang on the mean temperature meant, which is not printed
    assert found == pytest.approx(expected, abs=4.0 if "lamps" in name else 1.0)


def test_shares_of_the_december_romaine() -> None:
    found = stretch(**DECEMBER)
    share = dict(zip(CAUSES, found.share_frac.tolist(), strict=True))
    assert share["low light"] == pytest.approx(0.85, abs=0.005)
    assert share["days warmer than nights"] == pytest.approx(0.15, abs=0.005)
    assert sum(share.values()) == pytest.approx(1.0)


def test_pure_heat_and_crowding_in_good_light() -> None:
    # section 8.2: 12 mol, 28/22 °C: 26; LAI 3 at 12 mol (18 °C): 74, from 71 since neighbours count before they shade
    assert float(stretch(12.0, mean(28, 22, 12.0), 6.0).score) == pytest.approx(26, abs=2.0)
    assert float(stretch(12.0, 18.0, 5.0, leaf_area_ratio=3.0).score) == pytest.approx(74, abs=1.5)


def test_light_needed_is_nearly_proportional_to_warmth() -> None:
    # section 8.2: score 25 at 2.2, 4.4, 6.6, 8.8, 11; score 45 at 1.4, 2.7, 4.1, 5.4, 6.8 mol for 8 … 24 °C
    temps = np.array([8.0, 12.0, 16.0, 20.0, 24.0])
    assert dli_for_score_mol_m2_d(25, temps) == pytest.approx([2.2, 4.4, 6.6, 8.8, 11.0], abs=0.1)
    assert dli_for_score_mol_m2_d(45, temps) == pytest.approx([1.4, 2.7, 4.1, 5.4, 6.8], abs=0.06)


def test_light_exponent_against_pramuk_and_runkle() -> None:
    # Pramuk & Runkle 2005: 4.1 to 14.2 mol: dry mass per internode +47 to +68 % (bedding plants at 21 °C)
    ratio = float(np.exp(light_term(4.1) - light_term(14.2)))
    assert 1.47 <= ratio <= 1.76


def test_day_night_difference_against_cucumber() -> None:
    # Plants 2023, 12, 3164: −10 K against +10 K dwarfs cucumber by 33 %
    terms = [float(stretch(12.0, 18.0, dif).term[2]) for dif in (10.0, -10.0)]
    assert 1 - np.exp(terms[1] - terms[0]) == pytest.approx(0.33, abs=0.01)


def test_brushing_against_published_shortening() -> None:
    # Garner & Bjorkman: tomato −20 %, cucumber −25 %
    assert 1 - np.exp(float(stretch(12.0, 18.0, 5.0, brushing_frac=1.0).term[-1])) == pytest.approx(0.2, abs=0.05)


def test_red_only_lamps_against_a_quarter_blue() -> None:
    # Wollaeger & Runkle 2014: 25 % or more blue 41-57 % shorter than red only
    red = float(stretch(12.0, 18.0, 5.0, blue_frac=0.0, lamp_share=1.0).term[5])
    assert 0.41 <= 1 - np.exp(-red) <= 0.57


def test_clamps_in_the_dark_and_the_cold() -> None:
    assert np.isfinite(stretch(0.0, 2.0, 0.0).score)
    assert float(stretch(0.0, 20.0).score) > 90
    assert float(stretch(8.0, -5.0).score) == 0.0


@given(st.floats(0.2, 30), st.floats(5, 30), st.floats(-8, 15), st.floats(4, 10))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_bounds_order_and_inverses(dli: float, temp: float, dif: float, base: float) -> None:
    base = min(base, temp - 1.0)
    score = float(stretch(dli, temp, dif, base).score)
    assert 0.0 <= score < 100.0
    assert float(stretch(dli * 1.5, temp, dif, base).score) <= score
    assert float(stretch(dli, temp + 2, dif, base).score) >= score
    if 1.0 < score < 95.0:
        assert float(dli_for_score_mol_m2_d(score, temp, dif, base)) == pytest.approx(dli, rel=1e-6)
        assert float(temp_for_score_degc(score, dli, dif, base)) == pytest.approx(temp, rel=1e-6)


def test_score_and_logarithm_are_inverse() -> None:
    score = np.array([5.0, 45.0, 80.0])
    assert score_of(log_of_score(score)) == pytest.approx(score)


def test_arrays_broadcast() -> None:
    found = stretch(np.array([2.0, 6.0])[:, None], np.array([12.0, 18.0, 24.0]), 8.0, 4.0)
    assert found.score.shape == (2, 3)
    assert found.share_frac.shape == (len(CAUSES), 2, 3)
