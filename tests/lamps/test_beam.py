"""Light under one lamp against closed forms, handbook exercises and quadrature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad, quad

from helpers_lamps import cases, close
from tenhour.lamps import beam
from tenhour.units import polar_weights_sr, turn_weights_frac


@cases("lamps_points.csv")
def test_point_lamps_of_the_exercises(row: dict[str, str]) -> None:
    intensity, height, radius = (float(row[k]) for k in ("intensity_cd", "height_m", "radius_m"))
    equal_all_round = beam.IntensityTable(np.array([0.0, 180.0]), np.zeros(1), np.full((1, 2), intensity))
    distance = np.hypot(height, radius)
    straight = beam.table_intensity_umol_sr_s(equal_all_round, np.rad2deg(np.arctan2(radius, height)), 0.0)
    level = float(row["lamps"]) * float(straight) * height / distance**3
    assert level == close(row)


@cases("lamps_flux.csv")
def test_flux_of_a_lamp_equal_all_round(row: dict[str, str]) -> None:
    intensity = float(row["intensity_cd"])
    table = beam.IntensityTable(np.array([0.0, 90.0, 180.0]), np.zeros(1), np.full((1, 3), intensity))
    assert beam.table_flux_umol_s(table) == close(row)
    at_37_degrees = intensity * 0.8
    assert at_37_degrees == pytest.approx(40.0, abs=0.5)


@cases("lamps_beams.csv")
def test_beam_angle_gives_exponent_and_peak(row: dict[str, str]) -> None:
    index = float(beam.beam_index_of_deg(float(row["beam_deg"])))
    assert index == pytest.approx(float(row["index"]), rel=1e-3)
    assert float(beam.axial_intensity_umol_sr_s(100.0, index)) == pytest.approx(float(row["axial"]), rel=1e-3)


def test_beam_angles_outside_the_half_space_are_not_numbers() -> None:
    assert np.isnan(beam.beam_index_of_deg([0.0, 180.0, -5.0])).all()


def test_half_intensity_stands_at_half_the_beam_angle() -> None:
    for angle in (40.0, 90.0, 120.0):
        index = float(beam.beam_index_of_deg(angle))
        assert np.cos(np.deg2rad(angle / 2)) ** index == pytest.approx(0.5, rel=1e-12)


@cases("lamps_bars.csv")
def test_bar_closed_form(row: dict[str, str]) -> None:
    place = [float(row[k]) for k in ("length_m", "height_m", "along_m", "aside_m")]
    assert float(beam.bar_ppfd_umol_m2_s(100.0, *place)) == close(row)


@cases("lamps_bar_ratio.csv")
def test_bar_against_point_on_axis(row: dict[str, str]) -> None:
    height = float(row["height_ratio"])
    ratio = beam.bar_ppfd_umol_m2_s(1.0, 1.0, height, 0.0, 0.0) / beam.point_ppfd_umol_m2_s(1.0, height, 0.0)
    assert float(ratio) == close(row)


@given(st.floats(0.1, 2.5), st.floats(0.1, 2.0), st.floats(-2, 2), st.floats(-1, 1))
@settings(deadline=None, derandomize=True, max_examples=40)
def test_bar_equals_quadrature_of_points(length: float, height: float, along: float, aside: float) -> None:
    def part(t: float) -> float:
        return float(beam.point_ppfd_umol_m2_s(1 / length, height, np.hypot(along - t, aside)))

    expected, _ = quad(part, -length / 2, length / 2, epsabs=1e-12, epsrel=1e-10)
    assert float(beam.bar_ppfd_umol_m2_s(1.0, length, height, along, aside)) == pytest.approx(expected, rel=1e-7)


@given(
    st.floats(0.1, 2.0),
    st.floats(0.05, 2.0),
    st.floats(-1, 1),
    st.floats(-1, 1),
    st.floats(0, 6.28),
    st.floats(0, 3.14),
)
@settings(deadline=None, derandomize=True, max_examples=60)
def test_bar_on_any_surface_equals_quadrature(
    length: float, height: float, along: float, aside: float, turn: float, tilt: float
) -> None:
    normal = np.array([np.cos(turn) * np.sin(tilt), np.sin(turn) * np.sin(tilt), np.cos(tilt)])

    def part(t: float) -> float:
        ray = np.array([t - along, -aside, height])
        d2 = float(ray @ ray)
        return max(float(ray @ normal), 0.0) * height / d2**2 / (np.pi * length)

    crossing = [along + (aside * normal[1] - height * normal[2]) / normal[0]] if abs(normal[0]) > 1e-9 else []
    breaks = [t for t in [*crossing, along] if -length / 2 < t < length / 2]
    expected, _ = quad(part, -length / 2, length / 2, points=breaks or None, epsabs=1e-12, epsrel=1e-10, limit=200)
    got = beam.bar_on_surface_umol_m2_s(
        [[along, aside, 0.0]], [normal], [0.0, 0.0, height], [1.0, 0.0, 0.0], length, 1.0
    )
    assert float(got[0]) == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_a_wall_in_line_with_a_bar_gets_the_limit_not_a_spike() -> None:
    drops = np.array([1e-9, 1e-7, 1e-5, 1e-3])
    points = np.column_stack([np.full(4, 1.0), np.zeros(4), -drops])
    normals = np.tile([-1.0, 0.0, 0.0], (4, 1))
    got = beam.bar_on_surface_umol_m2_s(points, normals, [0.0, 0.0, 0.0], [1.0, 0.0, 0.0], 1.0, 1.0)
    per_drop = (1 / 0.5**2 - 1 / 1.5**2) / 2 / np.pi
    np.testing.assert_allclose(got, drops * per_drop, rtol=1e-4)


@cases("lamps_cu.csv")
def test_coefficient_of_utilisation(row: dict[str, str]) -> None:
    a, b, h, index = (float(row[k]) for k in ("side_a_m", "side_b_m", "height_m", "beam_index"))
    if index == 1:
        assert 4.0 * float(beam.corner_factor_frac(a / 2.0, b / 2.0, h)) == close(row)
    landing, _ = dblquad(
        lambda y, x: float(beam.point_ppfd_umol_m2_s(1.0, h, np.hypot(x, y), index)),
        -a / 2,
        a / 2,
        -b / 2,
        b / 2,
        epsrel=1e-6,
    )
    assert landing == close(row)


def test_table_flux_is_the_flux_of_the_lamp_it_samples() -> None:
    vertical = np.arange(0.0, 91.0, 5.0)
    table = beam.IntensityTable(vertical, np.zeros(1), 31.831 * np.cos(np.deg2rad(vertical))[np.newaxis, :])
    assert beam.table_flux_umol_s(table) == pytest.approx(100.0, rel=1e-3)
    coarse = beam.IntensityTable(vertical, np.arange(0.0, 361.0, 90.0), np.repeat(table.intensity_umol_sr_s, 5, axis=0))
    assert beam.table_flux_umol_s(coarse) == pytest.approx(beam.table_flux_umol_s(table), rel=1e-12)


def test_weights_add_up_to_the_zones() -> None:
    angles = np.array([0.0, 10.0, 25.0, 60.0, 90.0, 180.0])
    assert polar_weights_sr(angles).sum() == pytest.approx(4 * np.pi, rel=1e-12)
    assert polar_weights_sr([20.0, 40.0]).sum() == pytest.approx(
        2 * np.pi * (np.cos(np.deg2rad(20)) - np.cos(np.deg2rad(40))), rel=1e-12
    )
    assert turn_weights_frac([0.0, 45.0, 180.0, 360.0]).sum() == pytest.approx(1.0, rel=1e-12)


def test_table_is_dark_beyond_its_last_angle_and_turns_round() -> None:
    table = beam.IntensityTable(
        np.array([0.0, 90.0]), np.array([0.0, 180.0, 360.0]), np.array([[10.0, 10.0], [10.0, 30.0], [10.0, 10.0]])
    )
    assert float(beam.table_intensity_umol_sr_s(table, 91.0, 0.0)) == 0.0
    assert float(beam.table_intensity_umol_sr_s(table, 90.0, 180.0)) == 30.0
    assert float(beam.table_intensity_umol_sr_s(table, 90.0, -90.0)) == pytest.approx(20.0)
    assert float(beam.table_intensity_umol_sr_s(table, 45.0, 450.0)) == pytest.approx(15.0)
