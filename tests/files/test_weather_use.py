"""Naming a weather file in a house file changes one line and no other letter."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tenhour.errors import FileProblem
from tenhour.files.weather.use import name_weather, named_climate

WEATHER = Path("/cache/tenhour/weather/pvgis_57.100_-4.700.csv")
LINE = f'climate = "{WEATHER}"'

HOUSES = {
    "absent": (
        "schema = 1\n[site]  # here\nlatitude_deg = 57.1\n\n[house]\n",
        "schema = 1\n[site]  # here\n{line}\nlatitude_deg = 57.1\n\n[house]\n",
    ),
    "normals": (
        '[site]\nlatitude_deg = 57.1\nclimate = "normals"   # or a file\n[house]\nclimate = "x"\n',
        '[site]\nlatitude_deg = 57.1\n{line}   # or a file\n[house]\nclimate = "x"\n',
    ),
    "literal": ("[site]\n  climate='old.epw'\n", "[site]\n  climate={value}\n"),
    "commented": (
        '[site]\n# climate = "weather.epw"\nlatitude_deg = 57.1\n',
        '[site]\n{line}\n# climate = "weather.epw"\nlatitude_deg = 57.1\n',
    ),
    "windows": ("[site]\r\nlatitude_deg = 57.1\r\n", "[site]\r\n{line}\r\nlatitude_deg = 57.1\r\n"),
    "windows, set": ('[site]\r\nclimate = "a"\r\nx = 1\r\n', "[site]\r\n{line}\r\nx = 1\r\n"),
    "last line": ("[house]\n[site]", "[house]\n[site]\n{line}\n"),
    "only in another table": (
        '[site]\nx = 1\n[site.means]\nclimate = "y"\n',
        '[site]\n{line}\nx = 1\n[site.means]\nclimate = "y"\n',
    ),
    "umlauts": ('[site]\nplace = "Röros" # ø\n', '[site]\n{line}\nplace = "Röros" # ø\n'),
}


@pytest.mark.parametrize("name", list(HOUSES))
def test_one_line_is_set(tmp_path: Path, name: str) -> None:
    before, after = HOUSES[name]
    house = tmp_path / "house.toml"
    house.write_bytes(before.encode())
    name_weather(house, WEATHER)
    expected = after.replace("{line}", LINE).replace("{value}", f'"{WEATHER}"')
    assert house.read_bytes().decode() == expected
    assert named_climate(house) == str(WEATHER)
    assert [path.name for path in tmp_path.iterdir()] == ["house.toml"]


def test_naming_twice_changes_nothing_more(tmp_path: Path) -> None:
    house = tmp_path / "house.toml"
    house.write_text(HOUSES["absent"][0], encoding="utf-8")
    name_weather(house, WEATHER)
    once = house.read_bytes()
    name_weather(house, WEATHER)
    assert house.read_bytes() == once


def test_a_windows_path_is_written_so_that_it_reads_back(tmp_path: Path) -> None:
    house = tmp_path / "house.toml"
    house.write_text("[site]\n", encoding="utf-8")
    path = Path('C:\\Users\\"a"\\weather.csv')
    name_weather(house, path)
    assert tomllib.loads(house.read_text(encoding="utf-8"))["site"]["climate"] == str(path)


def test_rights_and_links_stay(tmp_path: Path) -> None:
    house, link = tmp_path / "real.toml", tmp_path / "house.toml"
    house.write_text("[site]\n", encoding="utf-8")
    house.chmod(0o640)
    link.symlink_to(house)
    name_weather(link, WEATHER)
    assert link.is_symlink()
    assert LINE in house.read_text(encoding="utf-8")
    assert house.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize(
    "text",
    [
        "site.latitude_deg = 57.1\n",
        "site = { latitude_deg = 57.1 }\n",
        '[site]\nclimate = """normals"""\n',
        "[house]\nlength_m = 3\n",
        'note = """\n[site]\n"""\n',
    ],
)
def test_a_layout_that_one_line_cannot_change_is_left_alone(tmp_path: Path, text: str) -> None:
    house = tmp_path / "house.toml"
    house.write_text(text, encoding="utf-8")
    with pytest.raises(
        FileProblem, match=r"cannot be edited safely\. Add this line under \[site\] yourself: climate = "
    ):
        name_weather(house, WEATHER)
    assert house.read_text(encoding="utf-8") == text


def test_what_is_named_now(tmp_path: Path) -> None:
    house = tmp_path / "house.toml"
    house.write_text('[site]\nclimate = "my.epw"\n', encoding="utf-8")
    assert named_climate(house) == "my.epw"
    house.write_text("[house]\n", encoding="utf-8")
    assert named_climate(house) == "normals"
    with pytest.raises(FileProblem, match="cannot be read"):
        named_climate(tmp_path / "none.toml")
    house.write_text("[site\n", encoding="utf-8")
    with pytest.raises(FileProblem, match="not valid TOML"):
        named_climate(house)
