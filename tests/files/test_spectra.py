"""Blue share and red to far-red of daylight and incandescent light against integrals anyone can repeat."""

from __future__ import annotations

import numpy as np
import pytest
from pvlib import spectrum

from tenhour.files.spectra import load_spectra


def photons(wavelength_nm: np.ndarray, energy: np.ndarray, low_nm: float, high_nm: float) -> float:
    inside = (wavelength_nm >= low_nm) & (wavelength_nm <= high_nm)
    y, x = (energy * wavelength_nm)[inside], wavelength_nm[inside]
    return float((np.diff(x) * (y[1:] + y[:-1]) / 2).sum())


def shares(wavelength_nm: np.ndarray, energy: np.ndarray) -> tuple[float, float]:
    blue = photons(wavelength_nm, energy, 400, 500) / photons(wavelength_nm, energy, 400, 700)
    return blue, photons(wavelength_nm, energy, 655, 665) / photons(wavelength_nm, energy, 725, 735)


def test_daylight_against_the_astm_g173_spectrum() -> None:
    table = spectrum.get_reference_spectra()["global"]
    blue, red = shares(np.asarray(table.index, dtype=float), np.asarray(table))
    known = load_spectra()["daylight"]
    assert known.blue.value == pytest.approx(blue, abs=0.005)
    assert known.red_far_red is not None
    assert known.red_far_red.value == pytest.approx(red, abs=0.01)


def test_incandescent_against_a_black_body_of_2856_k() -> None:
    """CIE illuminant A is a black body of 2856 K; Planck's law with c2 = 1.4388e7 nm K."""
    nm = np.arange(380.0, 780.0)
    blue, red = shares(nm, nm**-5 / np.expm1(1.4388e7 / (nm * 2856.0)))
    known = load_spectra()["incandescent"]
    assert known.blue.value == pytest.approx(blue, abs=0.005)
    assert known.red_far_red is not None
    assert known.red_far_red.value == pytest.approx(red, abs=0.005)


def test_ranges_are_in_order_and_marked() -> None:
    marks = {"read", "second-hand", "memory", "practice", "judgement", "derived"}
    for kind in load_spectra().values():
        for number in filter(None, (kind.lux_umol, kind.blue, kind.red_far_red)):
            assert number.low <= number.value <= number.high
            assert number.mark in marks
