"""Photons and lux of daylight against the solar spectrum and published factors."""

import numpy as np
import pytest

from tenhour import units
from tenhour.sky import par


def test_photons_of_the_published_map_factor():
    # 0.007265 mol per Wh, Faust & Logan 2018 (abstract read).
    assert float(par.ppfd_of(1.0)) * 3600 / 1e6 == pytest.approx(0.007265, rel=2e-3)


def test_photons_lie_in_the_band_of_published_factors():
    # ASTM G173 clear sky 1.977, maps of 2016 1.961, Jacovides et al. 2003 daily clear 2.07 and overcast 2.13 µmol/J.
    low, high = (units.UMOL_PER_J_GLOBAL * (1 + s * 1.5 * units.UMOL_PER_J_GLOBAL_SPREAD_FRAC) for s in (-1, 1))
    for factor in (1.977, 1.961, 2.07, 2.13):
        assert low < factor < high


def test_lux_of_daylight():
    # Thimijan & Heins 1983: 54 lux per µmol m-2 s-1 for sun and sky; the G173 spectrum gives 55.36.
    assert float(par.ppfd_from_lux(54000.0)) == pytest.approx(1000.0)
    assert par.LUX_UMOL_DAYLIGHT_RANGE[0] <= 55.36 <= par.LUX_UMOL_DAYLIGHT_RANGE[1]


def test_there_and_back():
    flux = np.array([0.0, 1.0, 250.0, np.nan])
    assert par.ppfd_from_lux(par.lux_from_ppfd(flux)) == pytest.approx(flux, nan_ok=True)
