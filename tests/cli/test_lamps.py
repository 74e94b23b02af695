"""lamps on the command line: contract keys, household cases, one clear line per mistake."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_lamps import lambert_lm63

KEYS = {
    "tenhour", "command", "inputs", "assumptions", "warnings", "cautions", "target_dli_mol_m2_d",
    "daylight_dli_mol_m2_d", "missing_dli_mol_m2_d", "ppfd_umol_m2_s", "hours_h", "ppf_umol_s", "fixtures", "height_m",
    "min_mean_frac", "power_w", "circuit_a", "energy_day_kwh", "energy_season_kwh", "cost_season", "currency", "clock",
    "off_from",
}  # fmt: skip


@pytest.fixture(autouse=True)
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_json_has_the_contracts_keys_and_adds_up() -> None:
    done = tenhour("lamps", "front", "--crop", "spinach", "--price", "0.30 EUR", "--json")
    assert done.status == 0
    answer = json.loads(done.out)
    assert set(answer) >= KEYS
    assert answer["command"] == "lamps"
    assert [row["month"] for row in answer["clock"]] == list(range(1, 13))
    assert all(set(row) >= {"month", "on", "off"} for row in answer["clock"])
    missing = answer["target_dli_mol_m2_d"] - answer["daylight_dli_mol_m2_d"]
    assert answer["missing_dli_mol_m2_d"] == pytest.approx(missing, abs=0.002)
    flux = answer["missing_dli_mol_m2_d"] * 1e6 / 3600 / answer["hours_h"]
    assert answer["ppfd_umol_m2_s"] == pytest.approx(flux, rel=1e-3)
    drawn_w = answer["power_w"] * (answer["dim_frac"] or 1.0)
    assert answer["energy_day_kwh"] == pytest.approx(drawn_w * answer["hours_h"] / 1000, rel=1e-3)
    assert answer["energy_season_kwh"] == pytest.approx(sum(r["energy_kwh"] for r in answer["clock"]), abs=0.1)
    assert answer["cost_season"] == pytest.approx(0.30 * answer["energy_season_kwh"], abs=0.02)
    assert answer["currency"] == "EUR"
    assert answer["circuit_a"] == pytest.approx(answer["power_w"] / 230, abs=0.002)
    assert answer["off_from"] is not None
    assert all(row["photoperiod_h"] <= 13.01 for row in answer["clock"] if row["on"] and row["month"] in (12, 1))
    assert any("licensed electrician" in caution for caution in answer["cautions"])


def test_lamps_of_a_rack_stay_between_its_posts() -> None:
    """Fixed below the shelf above, they stand out by no more than 4 cm, whatever a single shelf would allow."""
    done = tenhour("lamps", "--shelf", "1.2x0.5", "--tiers", "3", "--crop", "lettuce-plants", "--json")
    layout = json.loads(done.out)["layout"]
    lengths = (layout["length_m"], layout["width_m"])
    along, across = lengths if layout["along"] == "the length" else lengths[::-1]
    for middles, half, side in ((layout["x_m"], along / 2, 1.2), (layout["y_m"], across / 2, 0.5)):
        assert min(middles) - half >= -0.0401
        assert max(middles) + half <= side + 0.0401


def test_a_cellar_shelf_needs_no_house() -> None:
    done = tenhour(
        "lamps", "--shelf", "4ft x 2ft", "--tiers", "2", "--crop", "tomato-plants", "--lamp", "t5-tube", "--json"
    )
    assert done.status == 0
    assert done.err == ""
    answer = json.loads(done.out)
    assert answer["daylight_dli_mol_m2_d"] == 0.0
    assert answer["tiers"] == 2
    assert answer["fixtures"] == 2 * answer["layout"]["fixtures_each"]
    assert answer["off_from"] is None
    assert {row["off"] for row in answer["clock"]} == {"22:00"}
    assert len({row["on"] for row in answer["clock"]}) == 1
    assert answer["cost_season"] is None


def test_text_says_the_answer_first_and_the_cautions_last() -> None:
    done = tenhour(
        "lamps", "--shelf", "1.2x0.6", "--crop", "basil", "--lamp", "40 W 104 umol/s 1.15 m", "--cautions", "--all"
    )
    assert done.status == 0
    assert done.out.startswith("One more kilo takes")
    assert "\nOver the shelf for basil" in done.out
    assert "\nFixtures\n" in done.out
    assert "\nClock\n" in done.out
    assert "\nPower\n" in done.out
    assert done.out.index("Cautions") > done.out.index("Assumed")
    assert max(len(line) for line in done.out.splitlines()) <= 80


def test_an_overloaded_circuit_comes_before_the_answer() -> None:
    done = tenhour(
        "lamps", "--shelf", "1.2x0.6", "--crop", "basil", "--volts", "120", "--others", "1500", "--lamp", "led-panel"
    )
    assert done.status == 0
    assert done.out.startswith("Circuit overloaded: lamps")
    assert "Over the shelf for basil" in done.out


def test_a_photometric_file_hangs_like_any_lamp(tmp_path: Path) -> None:
    (tmp_path / "bar.ies").write_text(lambert_lm63(104.0), encoding="utf-8")
    done = tenhour(
        "lamps", "--shelf", "1.2x0.6", "--crop", "basil", "--lamp", "bar.ies", "--intensities", "photon", "--json"
    )
    assert done.status == 0
    assert json.loads(done.out)["layout"]["fixture_ppf_umol_s"] == pytest.approx(104.0, abs=0.2)


def test_tables_as_csv() -> None:
    names = tenhour("lamps", "--shelf", "1x0.5", "--crop", "basil", "--csv", "list")
    assert {line.split(":")[0] for line in names.out.splitlines()} >= {"days", "clock", "heights", "places"}
    clock = tenhour("lamps", "--shelf", "1x0.5", "--crop", "basil", "--csv", "clock")
    assert clock.out.splitlines()[0].startswith("month,clock,lamp_h")
    assert len(clock.out.splitlines()) == 13


def test_a_wished_harvest_sets_the_light() -> None:
    arguments = ("lamps", "--shelf", "1x0.5", "--crop", "baby-lettuce", "--from", "2026-12-01", "--json")
    slow = json.loads(tenhour(*arguments, "--harvest", "2027-01-20").out)
    quick = json.loads(tenhour(*arguments, "--harvest", "2027-01-07").out)
    assert quick["target_dli_mol_m2_d"] > slow["target_dli_mol_m2_d"] > 0
    assert any("growth model inverted" in note for note in quick["assumptions"])
    never = tenhour(*arguments, "--harvest", "2026-12-08")
    assert never.status == 1
    assert "cannot be in by 2026-12-08" in never.err
    assert "the earliest is 2026-12" in never.err or "the earliest is 2027-01" in never.err


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("front",), "--crop: found nothing; allowed: at least one crop."),
        (("nowhere", "--crop", "basil"), "BED or CROP: found 'nowhere'; allowed: one of front,"),
        (("front", "--crop", "tomato", "--hours", "24"), "--hours: found 24; allowed: up to 17 h for tomato"),
        (("--shelf", "3", "--crop", "basil"), '--shelf: found "3"; allowed: length x width'),
        (("--shelf", "3x90", "--crop", "basil"), '--shelf: found "90"; allowed: 0.05 to 20 m'),
        (("--bed", "front", "--shelf", "1x1", "--crop", "basil"), "BED and --shelf: found both; allowed: one of them"),
        (("front", "--crop", "basil", "--price", "cheap"), '--price: found "cheap"; allowed: a price like'),
        (("front", "--crop", "basil", "--price", "0.3; 25-7=0.1"), '--price: found "25-7=0.1"; allowed: a span'),
        (("front", "--crop", "basil", "--lamp", "40 W 4000 umol/s"), "That looks like lumens"),
        (("front", "--crop", "basil", "--lamp", "no.ies"), "no such file"),
        (("front", "--crop", "basil", "--from", "2027-02-01", "--to", "2027-01-01"), "--to: found 2027-01-01, before"),
        (("front", "--crop", "basil", "--volts", "9"), "--volts: found '9'; allowed: a number from 12 to 480."),
        (("front", "--crop", "basil", "--from", "someday"), "--from: found 'someday'"),
        (
            ("--shelf", "1x1", "--crop", "kale-microgreens", "--harvest", "2030-01-01"),
            "warmth, not light, sets its time",
        ),
    ],
)
def test_each_mistake_is_one_clear_line(arguments: tuple[str, ...], expected: str) -> None:
    done = tenhour("lamps", *arguments)
    assert done.status in (1, 2)
    assert done.out == ""
    assert expected in done.err
    assert "Traceback" not in done.err


def test_all_wrong_options_are_told_at_once() -> None:
    done = tenhour("lamps", "front", "--crop", "tomatoo", "--hours", "x", "--volts", "9", "--lamp", "sun")
    assert done.status == 2
    assert [line.split(": ")[1] for line in done.err.splitlines()[1:]] == ["--hours", "--volts", "--crop", "--lamp"]
