"""Fresnel, slabs, stacks and measured covers against printed values, limits and order."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenhour.cover import optics
from tenhour.errors import OutOfRange

with (Path(__file__).parents[1] / "published" / "cover_slab.csv").open(encoding="utf-8", newline="") as _file:
    ROWS = list(csv.DictReader(_file))

pytestmark = pytest.mark.quick


def _found(row: dict[str, str]) -> float:
    index, internal, panes = float(row["refractive_index"]), float(row["internal_trans_frac"]), int(row["panes"])
    if row["kind"] == "hemi":
        return optics.hemispherical_frac(optics.angle_curve(index, internal, panes).trans_frac)
    angle = [float(row["angle_deg"])]
    if row["kind"] == "surface":
        return float(optics.fresnel_refl_frac(angle, index).mean())
    curve = optics.angle_curve(index, internal, panes, angle)
    return float((curve.trans_frac if row["kind"] == "trans" else curve.refl_frac)[0])


@pytest.mark.parametrize(
    "row", ROWS, ids=[f"{i}-{r['kind']}-{r['panes']}-{r['angle_deg']}" for i, r in enumerate(ROWS)]
)
def test_printed_values(row: dict[str, str]) -> None:
    assert _found(row) == pytest.approx(float(row["expected"]), abs=float(row["tol_abs"]))


# Non-absorbing panes of n 1.526, normal and 60 degrees and all sides: recomputed values of the two-polarisation stack.
LIMITS = [
    (1, 0.9169, 0.8421, 0.8451),
    (2, 0.8465, 0.7588, 0.7627),
    (3, 0.7862, 0.7070, 0.7039),
    (4, 0.7339, 0.6715, None),
]


@pytest.mark.parametrize(("panes", "normal", "oblique", "all_round"), LIMITS)
def test_panes_that_absorb_nothing(panes: int, normal: float, oblique: float, all_round: float | None) -> None:
    at = optics.angle_curve(1.526, 1.0, panes, [0.0, 60.0]).trans_frac
    assert at == pytest.approx([normal, oblique], abs=5e-5)
    if all_round is not None:
        assert optics.hemispherical_frac(optics.angle_curve(1.526, 1.0, panes).trans_frac) == pytest.approx(
            all_round, abs=2e-4
        )


def test_equivalent_angle_of_diffuse_light() -> None:
    """The angle at which a beam passes like isotropic light is about 60 degrees (Brandemuehl & Beckman 1980)."""
    for kl in (0.0125, 0.0370, 0.0524):
        for panes in (1, 2):
            curve = optics.angle_curve(1.526, float(np.exp(-kl)), panes)
            all_round = optics.hemispherical_frac(curve.trans_frac)
            angle = np.interp(-all_round, -curve.trans_frac, curve.angle_deg)
            assert angle == pytest.approx(59.7, abs=1.0)


def test_no_surface_where_nothing_changes() -> None:
    """Fresnel's equations at equal indices: nothing is thrown back, at any angle but the grazing one."""
    assert optics.fresnel_refl_frac([0.0, 45.0, 89.0], 1.0) == pytest.approx(np.zeros((2, 3)), abs=1e-12)
    assert optics.angle_curve(1.0, 0.8, 1, [0.0, 60.0]).trans_frac == pytest.approx([0.8, 0.8**2])


def test_a_pane_is_not_one_interface() -> None:
    """pvlib's incidence modifier describes light entering a panel; a pane passes less at 80 degrees."""
    from pvlib import iam

    slab = optics.angle_curve(1.526, 1.0, 1, [0.0, 80.0]).trans_frac
    assert float(iam.physical(80.0, n=1.526, K=4.0, L=0.002)) == pytest.approx(0.6341, abs=1e-3)
    assert slab[1] / slab[0] == pytest.approx(0.496, abs=1e-3)


def test_hemispherical_mean_of_known_curves() -> None:
    angle = np.radians(optics.ANGLE_DEG)
    assert optics.hemispherical_frac(np.ones(91)) == pytest.approx(1.0, abs=1e-12)
    assert optics.hemispherical_frac(np.cos(angle)) == pytest.approx(2 / 3, abs=1e-4)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(
    index=st.floats(1.3, 1.7),
    internal=st.floats(0.3, 1.0),
    panes=st.integers(1, 4),
)
def test_light_is_kept_and_falls_with_angle(index: float, internal: float, panes: int) -> None:
    curve = optics.angle_curve(index, internal, panes)
    assert np.all(curve.trans_frac >= 0.0)
    assert np.all(curve.trans_frac + curve.refl_frac <= 1.0 + 1e-12)
    assert np.isfinite(curve.trans_frac).all()
    assert curve.trans_frac[-1] == pytest.approx(0.0, abs=1e-9)
    assert np.all(np.diff(curve.trans_frac[60:]) <= 1e-12)
    if internal > 0.999999:
        assert curve.trans_frac + curve.refl_frac == pytest.approx(np.ones(91), abs=1e-5)
    more = optics.angle_curve(index, internal, panes + 1)
    assert np.all(more.trans_frac <= curve.trans_frac + 1e-12)


@settings(deadline=None, derandomize=True, max_examples=30)
@given(
    normal=st.floats(0.05, 1.0),
    ratio=st.floats(0.35, 1.0),
    straight=st.floats(0.0, 1.0),
    lost=st.floats(0.0, 1.0),
)
def test_measured_pane_honours_both_numbers(normal: float, ratio: float, straight: float, lost: float) -> None:
    pane = optics.measured_pane(normal, normal * ratio, straight, None)
    whole = pane.straight_frac + pane.scattered_frac
    assert optics.hemispherical_frac(whole) == pytest.approx(normal * ratio, abs=1e-6)
    if ratio < 1.0:
        assert whole[0] == pytest.approx(normal, abs=1e-9)
    assert optics.hemispherical_frac(pane.straight_frac) == pytest.approx(straight * normal * ratio, abs=1e-6)
    assert np.all(whole + pane.mirrored_frac <= 1.0 + 1e-9)
    dirty = optics.with_losses(pane, lost, 0.1)
    assert np.all(dirty.straight_frac <= pane.straight_frac)
    assert dirty.scattered_frac == pytest.approx(pane.scattered_frac * (1 - lost) * 0.9, abs=1e-12)


def test_one_number_fills_the_other_by_a_clear_pane() -> None:
    clear = optics.angle_curve(1.52, 1.0).trans_frac
    ratio = optics.hemispherical_frac(clear) / clear[0]
    assert optics.hemispherical_frac(optics.measured_curve(0.8, None)) == pytest.approx(0.8 * ratio, abs=1e-6)
    assert optics.measured_curve(None, 0.6)[0] == pytest.approx(0.6 / ratio, abs=1e-6)


@pytest.mark.parametrize("known", [{"normal_trans_frac": 0.8}, {"hemispherical_trans_frac": 0.7}])
def test_one_measured_number_is_a_measurement(known: dict[str, float]) -> None:
    pane = optics.pane(1, **known)
    curve = optics.measured_curve(known.get("normal_trans_frac"), known.get("hemispherical_trans_frac"))
    assert pane.straight_frac == pytest.approx(curve)
    assert pane.u_w_m2_k == optics.clear_pane(1.52, 0.96, 1).u_w_m2_k == 0.0  # not known, so nothing carried along
    # a measurement goes before layers, which then give the reflectance only
    both = optics.pane(1, 1.52, 0.96, **known)
    assert both.straight_frac == pytest.approx(curve)


def test_reflectance_guessed_from_what_passes() -> None:
    """What neither passes nor is absorbed (3 %, judgement), but no more than three clear panes throw back."""
    assert optics.measured_pane(0.9, 0.9, 0.0, None).inside_refl_frac == pytest.approx(0.07, abs=1e-12)
    # three lossless panes of n 1.526 pass 0.7039 of light from all sides (LIMITS above); 1.52 passes 0.002 more
    assert optics.measured_pane(0.4, 0.4, 0.0, None).inside_refl_frac == pytest.approx(1 - 0.7039, abs=0.003)


def test_panes_of_different_glass_keep_all_light_from_both_sides() -> None:
    angle = [0.0, 40.0, 75.0]
    thin, thick = optics.slab(angle, 1.3, 1.0), optics.slab(angle, 1.7, 1.0)
    trans, outside, inside = optics.stacked([thin, thick, thin, thick])
    assert trans + outside == pytest.approx(np.ones((2, 3)))
    assert trans + inside == pytest.approx(np.ones((2, 3)))
    # one that absorbs, seen from both sides: followed bounce by bounce
    dark = optics.slab(angle, 1.5, 0.5)
    _, outside, inside = optics.stacked([thick, dark])
    for (t, near), far, whole in ((thick, dark[1], outside), (dark, thick[1], inside)):
        follow = near + sum(t**2 * far * (near * far) ** k for k in range(60))
        assert whole == pytest.approx(follow, abs=1e-9)


def test_mirrored_share_follows_the_straight_share() -> None:
    clear = optics.clear_pane(1.52, 0.96, 2)
    hazy = optics.clear_pane(1.52, 0.96, 2, straight_share=0.25)
    assert optics.hemispherical_frac(clear.mirrored_frac) == pytest.approx(clear.inside_refl_frac, rel=1e-3)
    assert hazy.mirrored_frac == pytest.approx(clear.mirrored_frac * 0.25)
    assert hazy.inside_refl_frac == pytest.approx(clear.inside_refl_frac)


def test_pane_takes_what_is_known() -> None:
    layers = optics.pane(2, 1.586, 0.98, 0.8, 0.69, 0.5)
    assert optics.hemispherical_frac(layers.straight_frac + layers.scattered_frac) == pytest.approx(0.69, abs=1e-6)
    computed = optics.hemispherical_frac(optics.angle_curve(1.586, 0.98, 2).refl_frac)
    assert layers.inside_refl_frac == pytest.approx(computed)
    own = optics.pane(1, 1.52, 0.96, inside_refl_frac=0.3)
    assert own.inside_refl_frac == pytest.approx(0.3)
    assert own.straight_frac == pytest.approx(optics.clear_pane(1.52, 0.96, 1).straight_frac)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: optics.fresnel_refl_frac([0.0], 0.9), "below 1"),
        (lambda: optics.slab([0.0], 1.5, 1.2), "internal transmittance 1.2 is outside 0 to 1"),
        (lambda: optics.slab([0.0], 1.5, 1.05), "internal transmittance 1.05 is outside 0 to 1"),
        (lambda: optics.angle_curve(1.5, 1.0, 0), "at least one"),
        (lambda: optics.measured_curve(None, None), "normal or its hemispherical"),
        (lambda: optics.measured_curve(85.0, 70.0), "must lie in 0 to 1"),
        (lambda: optics.measured_curve(1.05, 0.9), "must lie in 0 to 1"),
        (lambda: optics.measured_curve(0.9, 1.05), "must lie in 0 to 1"),
        (lambda: optics.with_losses(optics.clear_pane(1.5, 1.0, 1), 1.05), "share 1.05"),
        (lambda: optics.measured_curve(0.9, 0.02), "no pane drops that fast"),
        (lambda: optics.measured_pane(0.8, 0.7, 1.5, None), "straight share 1.5"),
        (lambda: optics.with_losses(optics.clear_pane(1.5, 1.0, 1), -0.1), "share -0.1"),
        (lambda: optics.pane(1), "layers or a measured"),
    ],
)
def test_bad_input_is_refused(call: object, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()  # type: ignore[operator]


def test_three_points_of_gauss_are_those_of_the_library() -> None:
    places, weights = np.polynomial.legendre.leggauss(3)  # numpy's, as a reference
    assert places == pytest.approx(optics.GAUSS_PLACES, abs=1e-15)
    assert weights == pytest.approx(optics.GAUSS_WEIGHTS, abs=1e-15)
