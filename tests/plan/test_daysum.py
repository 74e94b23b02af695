"""A day's light from readings: closed forms, and gaps that are said."""

from __future__ import annotations

import numpy as np
import pytest

from tenhour.plan.daysum import clock_text, day_sum

SECOND = np.arange(300.0, 86400.0, 600.0)
NOON = 43200.0
HALF = 4 * 3600.0
SINE = np.where(np.abs(SECOND - NOON) < HALF, np.cos((SECOND - NOON) / HALF * np.pi / 2), 0.0)


def arch(second: np.ndarray, top: float = 400.0) -> np.ndarray:
    return np.asarray(top * np.clip(np.cos(np.clip((second - NOON) / HALF, -1, 1) * np.pi / 2), 0, None))


def test_a_logger_gives_the_closed_form() -> None:
    """The integral of a half sine of height P over T seconds is 2 P T / pi: 400 over 8 h is 7.33 mol."""
    second = np.arange(0.0, 86400.0, 300.0)
    found = day_sum(second, arch(second), SECOND, SINE)
    assert found.dli_mol_m2_d == pytest.approx(2 * 400 * 8 * 3600 / np.pi * 1e-6, rel=1e-3)
    assert found.whole_dli_mol_m2_d == pytest.approx(found.dli_mol_m2_d, rel=0.01)
    assert found.covered_share == pytest.approx(1.0, abs=0.01)
    assert found.gaps_s == ()


def test_a_constant_flux_is_the_definition_of_the_integral() -> None:
    """ANSI/ASABE S640: 200 µmol for 16 h is 11.52 mol."""
    second = np.linspace(0.0, 16 * 3600.0, 40)
    assert day_sum(second, np.full(40, 200.0), SECOND, SINE).dli_mol_m2_d == pytest.approx(11.52)


def test_a_gap_is_left_out_said_and_made_up_for_in_the_estimate() -> None:
    second = np.arange(0.0, 86400.0, 600.0)
    second = second[(second < 11 * 3600) | (second > 12.8 * 3600)]
    found = day_sum(second, arch(second), SECOND, SINE)
    whole = 2 * 400 * 8 * 3600 / np.pi * 1e-6
    missing = (np.sin(np.pi / 2 * 70 / 240) + np.sin(np.pi / 2 * 50 / 240)) / 2  # of the half sine, 10:50 to 12:50
    assert found.covered_share == pytest.approx(1 - missing, abs=0.01)
    assert found.dli_mol_m2_d == pytest.approx((1 - missing) * whole, rel=0.01)
    assert found.whole_dli_mol_m2_d == pytest.approx(whole, rel=0.02)
    assert [clock_text(edge) for edge in found.gaps_s[0]] == ["10:55", "12:45"]


def test_too_little_gives_no_estimate() -> None:
    second = np.arange(9 * 3600.0, 11 * 3600.0, 600.0)
    found = day_sum(second, arch(second), SECOND, SINE)
    assert np.isnan(found.whole_dli_mol_m2_d)
    assert len(found.gaps_s) == 2


def test_polar_night_has_no_gaps() -> None:
    found = day_sum(np.array([0.0, 3600.0]), np.array([50.0, 50.0]), SECOND, np.zeros(len(SECOND)))
    assert found.covered_share == 1.0
    assert found.dli_mol_m2_d == pytest.approx(0.18)
