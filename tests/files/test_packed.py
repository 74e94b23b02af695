"""Data files are read from packed tables, which hold the same as their TOML; a changed file is read itself."""

from __future__ import annotations

from pathlib import Path

import pack_tables
import pytest

from tenhour.files import covers, crop, textfile
from tenhour.files.covers import shipped_covers
from tenhour.files.house import read as house
from tenhour.files.house.read import demo_house


@pytest.mark.parametrize("name", [textfile.PACKED, crop.PACKED])
def test_packed_tables_are_those_of_the_files(name: str) -> None:
    assert (pack_tables.DATA / name).read_text("utf-8") == pack_tables.packed()[name], "run scripts/pack_tables.py"


def test_what_is_read_is_the_same_either_way(monkeypatch: pytest.MonkeyPatch) -> None:
    def read() -> tuple[object, ...]:
        for kept in (crop._checked, covers._shipped, house._catalogue):
            kept.cache_clear()
        return crop.load_crops(), crop._shipped_sources.__wrapped__(), shipped_covers(), demo_house()

    quick = read()
    with monkeypatch.context() as patched:
        patched.setattr(textfile, "_packed", lambda _: {})
        assert read() == quick
    assert read() == quick


def test_tables_are_anew_each_time_and_of_a_known_text_alone(tmp_path: Path) -> None:
    text = textfile.packaged_text("learning.toml")
    first, second = textfile.packed_tables(text), textfile.packed_tables(text)
    assert first == second
    assert first is not second
    assert textfile.packed_tables(text + "\n") is None
    spinach = (crop.shipped_folder() / "spinach.toml").read_text("utf-8")
    (tmp_path / "spinach.toml").write_text(spinach.replace("value = 250.0", "value = 251.0"), "utf-8")
    own = crop.find_crop(crop.load_crops(tmp_path), "spinach")
    assert own.harvest is not None
    assert own.harvest.density_per_m2.value == 251.0
