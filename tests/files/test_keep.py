"""Measured values go into a house file with its comments; anything odd leaves it as it was."""

from __future__ import annotations

import re
from datetime import date
from importlib import resources
from pathlib import Path

import pytest

from tenhour.errors import FileProblem
from tenhour.files.house.read import load_house
from tenhour.files.keep import changed_text, keep_changes
from tenhour.model.readings import Change

DEMO = (resources.files("tenhour") / "_data" / "demo-house.toml").read_text(encoding="utf-8")
FACTOR = Change(
    "calibration", {"factor": {"front": 0.87, "back": 0.8}, "readings": 24, "date": date(2026, 2, 3)}, remark="0.8-0.9"
)
AIR = Change("air", {"day_degc": [float(m) for m in range(1, 13)], "night_degc": [4.5] * 12}, remark="measured in Jan")
BED = Change("bed", {"day_degc": [11.0] * 12, "night_degc": [3.0] * 12}, 1)


def house_file(folder: Path, text: str = DEMO) -> Path:
    path = folder / "house.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_values_are_written_and_comments_kept(tmp_path: Path) -> None:
    path = house_file(tmp_path)
    keep_changes(path, [FACTOR, AIR, BED])
    text = path.read_text("utf-8")
    for line in DEMO.splitlines():
        if not line.startswith(("day_set_degc", "night_set_degc")):
            assert line in text.splitlines()
    assert re.search(r"# day_set_degc = \d+ +\(replaced by day_degc\)", text)
    house = load_house(path)
    assert house.light_factor == {"front": 0.87, "back": 0.8}
    assert "24" in house.calibration_note
    assert house.air.day_degc == tuple(float(m) for m in range(1, 13))
    assert house.beds[1].night_degc == (3.0,) * 12
    assert house.beds[0].night_degc is None
    assert "# measured in Jan" in text


def test_new_keys_stand_with_their_table_not_with_the_comments_of_the_next(tmp_path: Path) -> None:
    path = house_file(tmp_path)
    last = DEMO.count("[[bed]]") - 1
    keep_changes(path, [FACTOR, AIR, Change("bed", BED.values, last, "measured")])
    lines = path.read_text("utf-8").splitlines()
    at = lines.index("canopy_m = 0.06")
    assert lines[at + 1].startswith("day_degc = [11.0")
    assert lines[at + 1].endswith("# measured")
    assert lines[at + 2].startswith("night_degc = [3.0")
    assert lines[at + 3] == ""
    air = lines.index("[air]")
    assert lines[air + 1].startswith("day_degc = [1.0")
    assert lines[air + 3].startswith("# day_set_degc =")
    assert lines[lines.index("[calibration]") - 1] == ""


def test_kept_again_replaces_and_does_not_double(tmp_path: Path) -> None:
    path = house_file(tmp_path)
    keep_changes(path, [FACTOR, AIR, BED])
    keep_changes(
        path, [Change("calibration", {"factor": {"front": 0.9}, "readings": 8, "date": date(2026, 3, 1)}), AIR]
    )
    text = path.read_text("utf-8")
    assert text.count("[calibration]") == 1
    assert text.count("day_degc = [1.0") == 1
    assert load_house(path).light_factor == {"front": 0.9}


def test_a_file_of_windows_line_ends_stays_readable(tmp_path: Path) -> None:
    path = house_file(tmp_path)
    path.write_bytes(DEMO.replace("\n", "\r\n").encode())
    keep_changes(path, [FACTOR])
    assert load_house(path).light_factor["front"] == 0.87
    assert path.read_bytes().count(b"\n") == path.read_bytes().count(b"\r\n")


def test_beds_written_in_one_line_are_left_alone(tmp_path: Path) -> None:
    text = (
        "schema = 1\nbed = [{ at_m = [0.2, 0.2], size_m = [1.0, 0.5] }]\n[site]\nlatitude_deg = 50\n"
        'longitude_deg = 10\nelevation_m = 100\n[house]\nshape = "gable"\nlength_m = 4\nwidth_m = 3\n'
        "eaves_m = 1.8\nridge_m = 2.5\n"
    )
    path = house_file(tmp_path, text)
    with pytest.raises(FileProblem, match="cannot be edited"):
        keep_changes(path, [Change("bed", {"day_degc": [1.0] * 12}, 0)])
    assert path.read_text("utf-8") == text
    keep_changes(path, [Change("calibration", {"factor": 0.9})])
    assert load_house(path).light_factor == {"": 0.9}


def test_values_out_of_bounds_are_refused_and_nothing_changes(tmp_path: Path) -> None:
    path = house_file(tmp_path)
    with pytest.raises(FileProblem, match=r"air.day_degc"):
        keep_changes(path, [Change("air", {"day_degc": [99.0] * 12})])
    with pytest.raises(FileProblem, match="calibration"):
        keep_changes(path, [Change("calibration", {"factor": {"nowhere": 0.9}, "readings": 3})])
    assert path.read_text("utf-8") == DEMO


def test_changed_text_of_what_is_no_toml() -> None:
    with pytest.raises(FileProblem, match="cannot be edited"):
        changed_text("[air", "x", [AIR])
