"""Conversions against published factors."""

import pytest

from tenhour import units


def test_photons_of_the_published_map_factor() -> None:
    # 0.007265 mol per Wh, Faust & Logan 2018 (abstract read): a day of 1 W m-2 is 24 Wh.
    assert float(units.dli_from_ghi(1.0)) == pytest.approx(24 * 0.007265, rel=2e-3)


def test_photons_lie_in_the_band_of_published_factors() -> None:
    # ASTM G173 clear sky 1.977, maps of 2016 1.961, Jacovides et al. 2003 daily clear 2.07 and overcast 2.13 µmol/J.
    low, high = (units.UMOL_PER_J_GLOBAL * (1 + s * 1.5 * units.UMOL_PER_J_GLOBAL_SPREAD_FRAC) for s in (-1, 1))
    for factor in (1.977, 1.961, 2.07, 2.13):
        assert low < factor < high
