"""Lamps from kinds, short texts and files: photons worked out, impossible claims refused with the reason."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from helpers_lamps import cases, lambert_lm63, rows
from tenhour.errors import FileProblem
from tenhour.files.lamp import LampChoice, find_lamp, read_lamp
from tenhour.files.lamp_kinds import ceilings, load_cautions, load_kinds, white_led_lux_umol
from tenhour.files.spectra import load_spectra

DATA = Path(__file__).parents[2] / "src" / "tenhour" / "_data"


def own(tmp_path: Path, body: str, name: str = "lamp.toml") -> Path:
    path = tmp_path / name
    path.write_text(f"schema = 1\n[lamp]\n{body}", encoding="utf-8")
    return path


@pytest.mark.parametrize("key", sorted(load_kinds()))
def test_every_kind_is_within_what_physics_allows_and_sourced(key: str) -> None:
    lamp = load_kinds()[key]
    assert ceilings()[lamp.spectrum].high > lamp.sources["efficacy_umol_j"].high
    assert {"efficacy_umol_j", "beam_deg", "down_share", "maintenance_frac", "clearance_m"} <= set(lamp.sources)
    for size in lamp.sizes:
        assert size.efficacy_umol_j == pytest.approx(lamp.sources["efficacy_umol_j"].value, rel=1e-3)


def test_the_data_file_names_no_source_it_does_not_list() -> None:
    data = tomllib.loads((DATA / "lamps.toml").read_text("utf-8"))
    used = {raw["source"] for raw in data["ceiling"].values()} | {data["white_led"]["source"]}
    for kind in data["kind"].values():
        used |= {part["source"] for part in kind.values() if isinstance(part, dict)}
    assert used <= set(data["sources"])


@cases("lamps_lux_factors.csv")
def test_spectra_and_ceilings_hold_the_computed_ones(row: dict[str, str]) -> None:
    """CIE and NIST-collected spectra integrated by colour-science 0.4.7 (scripts/build_lux_factors.py)."""
    names = {
        "white-led": "white-led",
        "tube-cool-white": "tube",
        "tube-triphosphor": "tube",
        "hps": "hps",
        "metal-halide": "metal-halide",
        "incandescent": "incandescent",
        "white-led-high-cri": "full-spectrum-led",
    }
    key = names.get(row["family"])
    if key is None:
        assert row["family"] in {"daylight", "white-hps", "low-pressure-sodium"}
        return
    ceiling, factor = ceilings()[key], load_spectra()[key].lux_umol
    assert factor is not None
    assert ceiling.low - 0.005 <= float(row["umol_j"]) <= ceiling.high + 0.005
    assert factor.low - 0.5 <= float(row["lux_umol"]) <= factor.high + 0.5


def test_white_leds_follow_their_colour_temperature() -> None:
    for row in rows("lamps_lux_factors.csv"):
        if row["family"] == "white-led":
            assert white_led_lux_umol(float(row["kelvin"])).value == pytest.approx(float(row["lux_umol"]), rel=2e-3)
    assert white_led_lux_umol(2000.0).value == white_led_lux_umol(2733.0).value


def test_a_kind_by_its_key() -> None:
    assert find_lamp(LampChoice("led-bar")).key == "led-bar"


def test_watts_and_photons_in_one_line() -> None:
    lamp = find_lamp(LampChoice("40 W 104 umol/s 1.15 m"))
    (size,) = lamp.sizes
    assert (size.power_w, size.ppf_umol_s, size.length_m) == (40.0, 104.0, 1.15)
    assert lamp.shape == "bar"


def test_watts_lumens_and_colour_temperature_in_one_line() -> None:
    """100 lm/W of a 4000 K white LED: 1.4 to 2.15 µmol/J for 100-150 lm/W (lm/W over 70; derived)."""
    lamp = find_lamp(LampChoice("40 W, 4000 lm, 4000 K, 4 ft"))
    (size,) = lamp.sizes
    assert size.efficacy_umol_j == pytest.approx(1.43, abs=0.015)
    assert size.length_m == pytest.approx(1.2192)
    assert any("± 10 %" in note for note in lamp.assumptions)


def test_a_household_bulb_like_a_bulb() -> None:
    lamp = find_lamp(LampChoice("9 W 806 lm 2700 K led-bulb"))
    assert lamp.down_share == load_kinds()["led-bulb"].down_share
    assert lamp.sizes[0].ppf_umol_s == pytest.approx(806 / 67.07, rel=1e-3)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("40 W 4000 umol/s", r"100\.00 µmol/J; allowed: up to 4\.89 .*looks like lumens"),
        ("40 W 260 umol/s", r"6\.50 µmol/J; allowed: up to 4\.89 .*photon energy.*not those of the bulb it replaces"),
        ("9 W 8000 lm", r"889 lm/W; allowed: up to 260 lm/W"),
        ("20 W 2000 lm red-blue-led-panel", "lumens say nothing about a lamp of red and blue"),
        ("9 W 100 lm 5 q", '"5 q"; allowed: W, umol/s'),
        ("9 W 12 W", "W twice"),
        ("led-barr", "Did you mean led-bar"),
        ("sun", "allowed: a kind, a file, or a text like"),
        ("0.01 W 1 umol/s", "power_w: found 0.01; allowed: 0.1 to 5000"),
        ("40 W shiny", '"shiny"'),
    ],
)
def test_bad_lamps_are_refused_with_the_reason(text: str, message: str) -> None:
    with pytest.raises(FileProblem, match=message) as caught:
        find_lamp(LampChoice(text))
    assert all("\n" not in problem.line() for problem in caught.value.problems)


def test_a_lamp_file_fills_gaps_from_its_kind(tmp_path: Path) -> None:
    path = own(tmp_path, 'name = "shed tube"\nlike = "t8-tube"\npower_w = 36\nppf_umol_s = 30\nlength_m = "4 ft"\n')
    lamp = read_lamp(path)
    assert lamp.title == "shed tube"
    assert lamp.clearance_m == load_kinds()["t8-tube"].clearance_m
    assert lamp.sizes[0].length_m == pytest.approx(1.2192)
    assert lamp.origin == str(path)
    assert find_lamp(LampChoice(str(path))) == lamp


def test_every_problem_of_a_lamp_file_at_once(tmp_path: Path) -> None:
    path = own(tmp_path, 'powerw = 40\nbeam_deg = 200\ndown_share = 85\nintensities = "lumens"\n')
    with pytest.raises(FileProblem) as caught:
        read_lamp(path)
    lines = [problem.line() for problem in caught.value.problems]
    assert len(lines) == 4
    text = "\n".join(lines)
    assert "lamp.powerw: unknown key. Did you mean power_w?" in text
    assert "lamp.beam_deg: found 200; allowed: 1 to 179" in text
    assert "lamp.down_share: found 85; allowed: 0 to 1. Did you mean 0.85?" in text
    assert "lamp.intensities" in text


def test_a_lamp_file_needs_its_schema_and_table(tmp_path: Path) -> None:
    path = tmp_path / "lamp.toml"
    path.write_text("[lamps]\n", encoding="utf-8")
    with pytest.raises(FileProblem, match="schema: found nothing; allowed: 1") as caught:
        read_lamp(path)
    assert "lamps: unknown key" in str(caught.value)


def test_unknown_kind_and_spectrum(tmp_path: Path) -> None:
    path = own(tmp_path, 'like = "led-baar"\nspectrum = "white"\npower_w = 40\n')
    with pytest.raises(FileProblem, match="Did you mean led-bar") as caught:
        read_lamp(path)
    assert "lamp.spectrum" in str(caught.value)


def test_watts_alone_are_judged_as_the_kind_and_say_so() -> None:
    lamp = find_lamp(LampChoice("60 W"))
    assert lamp.sizes[0].efficacy_umol_j == pytest.approx(load_kinds()["led-bar"].sizes[0].efficacy_umol_j)
    assert any("Photons not given" in note for note in lamp.assumptions)


def test_photon_file_on_the_command_line(tmp_path: Path) -> None:
    path = tmp_path / "bar.ies"
    path.write_text(lambert_lm63(120.0), encoding="utf-8")
    lamp = find_lamp(LampChoice(str(path), intensities="photon"))
    assert lamp.sizes[0].ppf_umol_s == pytest.approx(120.0, rel=2e-3)
    assert lamp.sizes[0].power_w == 50.0
    assert lamp.intensities is not None


def test_photometric_file_asks_for_its_spectrum(tmp_path: Path) -> None:
    path = tmp_path / "office.ies"
    path.write_text(lambert_lm63(6950.0), encoding="utf-8")
    with pytest.raises(FileProblem, match=r"--intensities: found nothing.*138\.\d per watt looks photometric"):
        find_lamp(LampChoice(str(path)))
    with pytest.raises(FileProblem, match=r"spectrum: found nothing.*Name one: white-led"):
        find_lamp(LampChoice(str(path), intensities="photometric"))
    with pytest.raises(FileProblem, match=r"photon energy.*Is it photometric"):
        find_lamp(LampChoice(str(path), intensities="photon"))
    lamp = find_lamp(LampChoice(str(path), spectrum="white-led", intensities="photometric"))
    assert lamp.sizes[0].ppf_umol_s == pytest.approx(100.0, rel=2e-3)
    with pytest.raises(FileProblem, match="candela of red-blue-led"):
        find_lamp(LampChoice(str(path), spectrum="red-blue-led", intensities="photometric"))


def test_photometric_file_held_against_stated_photons(tmp_path: Path) -> None:
    (tmp_path / "office.ies").write_text(lambert_lm63(6950.0), encoding="utf-8")
    said = 'photometry = "office.ies"\nspectrum = "white-led"\nppf_umol_s = 105\n'
    lamp = read_lamp(own(tmp_path, said + 'intensities = "photometric"\n'))
    assert lamp.sizes[0].ppf_umol_s == 105.0
    with pytest.raises(FileProblem, match=r"adds up to 66\.\d+ times ppf_umol_s.*It looks photometric"):
        read_lamp(own(tmp_path, said + 'intensities = "photon"\n'))


def test_cautions_cover_what_can_hurt() -> None:
    cautions = {row["key"]: row for row in load_cautions()}
    assert {"mains", "ground-fault", "wet", "continuous", "support", "eyes", "heat", "frost", "fumes"} <= set(cautions)
    for row in cautions.values():
        assert row["source"]
        assert len(row["text"]) < 230
        assert row["when"] in {"always", "heater", "discharge", "coloured"}
    assert "licensed electrician" in cautions["mains"]["text"]
    assert "local code" in cautions["mains"]["text"]
