"""The reader of photometric files: layout, symmetries, traps, and Radiance's own reader as second opinion."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_lamps import lambert_lm63, radiance_levels
from tenhour.errors import FileProblem
from tenhour.files.lm63 import parse_lm63, read_lm63
from tenhour.lamps.beam import IntensityTable, table_flux_umol_s
from tenhour.lamps.fixtures import Beam, level_ppfd_umol_m2_s


def luminaire(
    vertical: str = "0 45 90",
    horizontal: str = "0",
    values: str = "10 8 0",
    head: str = "",
    tail: str = "1 1 50",
    lead: str = "IESNA:LM-63-2002\n[TEST] none\n[MANUFAC] none\nTILT=NONE\n",
) -> str:
    counts = f"1 -1 1 {len(vertical.split())} {len(horizontal.split())} 1 2 0.1 0.5 0"
    return f"{lead}{head or counts}\n{tail}\n{vertical}\n{horizontal}\n{values}\n"


def test_flux_of_a_lambertian_file() -> None:
    """19 angles, peak 31.831: 100 µmol/s, less 0.1 % for the five-degree grid (derived)."""
    light = parse_lm63(lambert_lm63(100.0), "bar.ies")
    assert light.flux == pytest.approx(100.0, rel=1e-3)
    assert light.power_w == 50.0
    assert light.stated_flux is None
    table = IntensityTable(light.vertical_deg, light.horizontal_deg, light.intensity)
    assert table_flux_umol_s(table) == pytest.approx(light.flux, rel=1e-12)


def test_numbers_may_wrap_anywhere_and_take_commas() -> None:
    plain = luminaire()
    wrapped = plain.replace("10 8 0", "10,\n8\n\n 0").replace("0 45 90", "0\n45, 90")
    assert np.array_equal(parse_lm63(plain, "a").intensity, parse_lm63(wrapped, "b").intensity)


def test_line_ends_of_all_kinds_and_old_versions() -> None:
    expected = parse_lm63(luminaire(), "a").intensity
    for text in (
        luminaire().replace("\n", "\r\n"),
        luminaire().replace("\n", "\r"),
        luminaire(lead="IESNA91\n[TEST] x\nTILT=NONE\n"),
        luminaire(lead="an office lamp of 1986\nTILT=NONE\n"),
        luminaire(lead="IES:LM-63-2019\n[LUMINAIRE] bar\ntilt=none\n"),
    ):
        assert np.array_equal(parse_lm63(text, "a").intensity, expected)


def test_multiplier_and_ballast_factor_count() -> None:
    once = parse_lm63(luminaire(), "a")
    more = parse_lm63(luminaire(head="2 1000 2 3 1 1 2 0.1 0.5 0", tail="0.9 1 50"), "a")
    np.testing.assert_allclose(more.intensity, once.intensity * 1.8)
    assert more.stated_flux == 2000.0


def test_feet_and_round_openings() -> None:
    light = parse_lm63(luminaire(head="1 -1 1 3 1 1 1 -1 4 0"), "a")
    assert light.length_m == pytest.approx(1.2192)
    assert light.width_m == pytest.approx(0.3048)


def test_symmetries_unfold_to_a_full_turn() -> None:
    quadrant = parse_lm63(luminaire(horizontal="0 45 90", values="10 8 0 10 6 0 10 4 0"), "a")
    np.testing.assert_allclose(quadrant.horizontal_deg, [0, 45, 90, 135, 180, 225, 270, 315, 360])
    np.testing.assert_allclose(quadrant.intensity[:, 1], [8, 6, 4, 6, 8, 6, 4, 6, 8])
    half = parse_lm63(luminaire(horizontal="0 90 180", values="10 8 0 10 6 0 10 4 0"), "a")
    np.testing.assert_allclose(half.intensity[:, 1], [8, 6, 4, 6, 8])
    full = parse_lm63(luminaire(horizontal="0 90 180 270", values="10 8 0 10 6 0 10 4 0 10 5 0"), "a")
    np.testing.assert_allclose(full.horizontal_deg, [0, 90, 180, 270, 360])
    np.testing.assert_allclose(full.intensity[:, 1], [8, 6, 4, 5, 8])
    closed = parse_lm63(luminaire(horizontal="0 180 360", values="10 8 0 10 6 0 10 8 0"), "a")
    np.testing.assert_allclose(closed.intensity[:, 1], [8, 6, 8])


def test_symmetry_about_the_other_plane() -> None:
    turned = parse_lm63(luminaire(horizontal="90 180 270", values="10 4 0 10 8 0 10 6 0"), "a")
    np.testing.assert_allclose(turned.horizontal_deg, [0, 90, 180, 270, 360])
    np.testing.assert_allclose(turned.intensity[:, 1], [8, 4, 8, 6, 8])
    uneven = parse_lm63(luminaire(horizontal="90 150 270", values="10 4 0 10 8 0 10 6 0"), "a")
    assert uneven.horizontal_deg[0] == 0.0
    assert uneven.horizontal_deg[-1] == 360.0
    np.testing.assert_allclose(uneven.intensity[0], uneven.intensity[-1])


def test_uplight_shines_only_up() -> None:
    up = parse_lm63(luminaire(vertical="90 135 180", values="1 8 10"), "a")
    assert up.vertical_deg[0] == 0.0
    below = np.interp([0.0, 45.0, 89.0], up.vertical_deg, up.intensity[0])
    assert not below.any()


def test_an_included_tilt_table_is_skipped() -> None:
    lead = "IESNA:LM-63-1995\nTILT=INCLUDE\n1\n3\n0 45 90\n1 .9 .8\n"
    assert np.array_equal(parse_lm63(luminaire(lead=lead), "a").intensity, parse_lm63(luminaire(), "a").intensity)


def test_a_western_european_keyword_does_not_matter(tmp_path: Path) -> None:
    path = tmp_path / "lamp.ies"
    path.write_bytes(luminaire(lead="IESNA91\n[MANUFAC] Lumi\xe8re 45\xb0\nTILT=NONE\n").encode("latin-1"))
    assert read_lm63(path).power_w == 50.0


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("hello\n", "no TILT= line"),
        ("", "no TILT= line"),
        (luminaire(lead="IESNA91\nTILT=other.tlt\n"), 'TILT: found "OTHER.TLT"; allowed: NONE or INCLUDE'),
        (luminaire(lead="IESNA91\nTILT=INCLUDE\n1 5000\n"), "TILT: found a table that does not end"),
        (luminaire(head="1 -1 1 3 1 2 2 0.1 0.5 0"), r"photometric type: found B; allowed: 1 \(type C\)"),
        (luminaire(head="1 -1 1 3 1 1 3 0.1 0.5 0"), "units: found 3; allowed: 1"),
        (luminaire(head="1 -1 1 2.5 1 1 2 0.1 0.5 0"), "vertical angles: found 2.5"),
        (luminaire(head="1 -1 1 3 0 1 2 0.1 0.5 0"), "horizontal angles: found 0"),
        (luminaire(head="1 -1 1 1e9 1 1 2 0.1 0.5 0"), "vertical angles: found 1e"),
        (luminaire(values="10 8"), r"intensities: found 2; allowed: 3 \(3 vertical by 1 horizontal angles\)"),
        (luminaire(values="10 8 0 7"), "intensities: found 4; allowed: 3"),
        (luminaire(values="10 x 0"), "'x' among the numbers"),
        (luminaire(values="10 nan 0"), "'nan' among the numbers"),
        (luminaire(values="10 -8 0"), "intensities: found -8; allowed: 0 or more"),
        (luminaire(values="0 0 0"), "all 0"),
        (luminaire(vertical="0 90 45"), "vertical angles: found 0 to 45"),
        (luminaire(vertical="10 45 90"), "vertical angles: found 10 to 90"),
        (luminaire(horizontal="0 45", values="1 1 1 1 1 1"), "horizontal angles: found 0 to 45"),
        (luminaire(horizontal="5 360", values="1 1 1 1 1 1"), "horizontal angles: found 5 to 360"),
        (luminaire(tail="0 1 50"), "candela multiplier: found 0"),
        ("TILT=NONE\n1 2 3\n", "3 numbers after TILT; allowed: at least 13"),
    ],
)
def test_traps_are_named_in_one_line(text: str, message: str) -> None:
    with pytest.raises(FileProblem, match=message) as caught:
        parse_lm63(text, "lamp.ies")
    assert all(problem.line().startswith("lamp.ies") for problem in caught.value.problems)


@given(st.text(alphabet="0123456789 .,-\nTILT=NOEC[]xe", max_size=200))
@settings(deadline=None, derandomize=True, max_examples=80)
def test_rubbish_gives_a_problem_not_a_crash(text: str) -> None:
    with pytest.raises(FileProblem):
        parse_lm63("TILT=NONE\n" + text, "lamp.ies")


def as_beam(text: str) -> Beam:
    light = parse_lm63(text, "lamp.ies")
    table = IntensityTable(light.vertical_deg, light.horizontal_deg, light.intensity)
    return Beam(light.flux, light.length_m, light.width_m, table=table)


@pytest.mark.radiance
@pytest.mark.parametrize("step_deg", [5.0, 2.5])
def test_ies2rad_reads_the_same_light(tmp_path: Path, step_deg: float) -> None:
    pr = pytest.importorskip("pyradiance")
    text = lambert_lm63(100.0, step_deg=step_deg)
    (tmp_path / "lamp.ies").write_text(text, encoding="utf-8")
    scene = traced_scene(pr, tmp_path)
    radius = np.array([0.0, 0.25, 0.5, 1.0])
    points = np.column_stack([radius, np.zeros(4), np.full(4, -0.5)])
    again = np.repeat(points, 50, axis=0)
    traced = radiance_levels(tmp_path, scene, again, np.tile([0.0, 0.0, 1.0], (len(again), 1))) * 179.0
    traced = traced.reshape(4, 50).mean(axis=1)
    ours = level_ppfd_umol_m2_s(as_beam(text), radius, 0.0, 0.5)
    np.testing.assert_allclose(ours, traced, rtol=0.005)


@pytest.mark.radiance
def test_ies2rad_lays_the_planes_the_same_way(tmp_path: Path) -> None:
    pr = pytest.importorskip("pyradiance")
    values = "30 40 20 5 30 30 15 4 30 18 8 3 30 24 10 2 30 40 20 5"
    text = luminaire("0 30 60 90", "0 90 180 270 360", values, head="1 -1 1 4 5 1 2 0.002 0.006 0")
    (tmp_path / "lamp.ies").write_text(text, encoding="utf-8")
    scene = traced_scene(pr, tmp_path)
    points = np.array([[0.4, 0, -0.6], [-0.5, 0, -0.6], [0, 0.45, -0.6], [0, -0.3, -0.6], [0.3, 0.2, -0.6]])
    rays = 200  # Radiance dithers directions into a table; the mean of many rays is steady
    again = np.repeat(points, rays, axis=0)
    traced = radiance_levels(tmp_path, scene, again, np.tile([0.0, 0.0, 1.0], (len(again), 1))) * 179.0
    traced = traced.reshape(5, rays).mean(axis=1)
    ours = level_ppfd_umol_m2_s(as_beam(text), points[:, 0], points[:, 1], 0.6)
    np.testing.assert_allclose(ours, traced, rtol=0.005)


def traced_scene(pr: object, folder: Path) -> str:
    """The scene ies2rad makes of lamp.ies in the folder, its data file named in full."""
    import os

    before = Path.cwd()
    os.chdir(folder)
    try:
        pr.ies2rad("lamp.ies", outname="lamp")  # type: ignore[attr-defined]
    finally:
        os.chdir(before)
    return (folder / "lamp.rad").read_text("utf-8").replace("lamp.dat", str(folder / "lamp.dat"))
