"""Panes against pywincalc, run live: the same pane given to both by its transmittance and reflectance at normal."""

from __future__ import annotations

import numpy as np
import pytest

from tenhour.cover import optics

pw = pytest.importorskip("pywincalc")

ANGLES_DEG = (0, 30, 40, 50, 60, 70, 80)
INTERNAL = (0.9617, 0.987, 0.90)
"""4 mm clear, low-iron, and tinted glass."""


def _glazing(internal: float, panes: int) -> object:
    at_normal = optics.angle_curve(1.52, internal, 1, [0.0])
    t, r = float(at_normal.trans_frac[0]), float(at_normal.refl_frac[0])
    bands = np.arange(0.30, 2.55, 0.05)
    data = [pw.WavelengthData(float(w), pw.OpticalMeasurementComponent(t, t, r, r)) for w in bands]
    optical = pw.ProductDataOpticalNBand(
        material_type=pw.MaterialType.MONOLITHIC,
        thickness_meters=0.004,
        wavelength_data=data,
        coated_side=pw.CoatedSide.NEITHER,
        ir_transmittance_front=0,
        ir_transmittance_back=0,
        emissivity_front=0.84,
        emissivity_back=0.84,
    )
    layer = pw.ProductDataOpticalAndThermal(optical, pw.ProductDataThermal(1.0, 0.004))
    air = pw.create_gas([[1.0, pw.PredefinedGasType.AIR]])
    if panes == 1:
        return pw.GlazingSystem(solid_layers=[layer])
    gaps = [pw.Layers.gap(thickness=0.0127, gas=air)] * (panes - 1)
    return pw.GlazingSystem(solid_layers=[layer] * panes, gap_layers=gaps)


def _by_angle(system: object) -> np.ndarray:
    found = [system.optical_method_results("PHOTOPIC", a, 0).system_results.front for a in ANGLES_DEG]  # type: ignore[attr-defined]
    return np.array([[f.transmittance.direct_direct, f.reflectance.direct_direct] for f in found])


@pytest.mark.parametrize("internal", INTERNAL)
def test_one_pane_agrees_at_every_angle(internal: float) -> None:
    system = _glazing(internal, 1)
    ours = optics.angle_curve(1.52, internal, 1, ANGLES_DEG)
    theirs = _by_angle(system)
    assert ours.trans_frac == pytest.approx(theirs[:, 0], abs=5e-4)
    assert ours.refl_frac == pytest.approx(theirs[:, 1], abs=5e-4)
    all_round = system.optical_method_results("PHOTOPIC", 0, 0).system_results.front.transmittance.diffuse_diffuse  # type: ignore[attr-defined]
    whole = optics.hemispherical_frac(optics.angle_curve(1.52, internal).trans_frac)
    assert whole == pytest.approx(all_round, abs=0.005)  # it integrates in steps of ten degrees


@pytest.mark.parametrize("panes", [2, 3])
@pytest.mark.parametrize("internal", INTERNAL)
def test_stacking_agrees_once_polarisations_are_averaged_first(internal: float, panes: int) -> None:
    """The library averages the two polarisations of each pane before stacking; done likewise, ours gives the same."""
    trans, refl = optics.slab(ANGLES_DEG, 1.52, internal)
    one = (trans.mean(axis=0), refl.mean(axis=0))
    stacked = optics.stacked([one] * panes)
    theirs = _by_angle(_glazing(internal, panes))
    assert stacked[0] == pytest.approx(theirs[:, 0], abs=5e-4)
    assert stacked[1] == pytest.approx(theirs[:, 1], abs=5e-4)


@pytest.mark.parametrize("internal", INTERNAL)
def test_keeping_polarisations_apart_moves_double_glass_little(internal: float) -> None:
    """The physical way passes up to 0.037 more at 70 degrees; docs/method/cover.md says so."""
    ours = optics.angle_curve(1.52, internal, 2, ANGLES_DEG).trans_frac
    more = ours - _by_angle(_glazing(internal, 2))[:, 0]
    assert np.all(more > -5e-4)
    assert np.all(more[:3] < 0.006)
    assert more.max() < 0.038
