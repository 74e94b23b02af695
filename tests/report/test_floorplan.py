"""The plan of ``check``: every bed in its place, walls by what passes them, within 80 columns."""

from __future__ import annotations

from pathlib import Path

import pytest

from tenhour.files.house.read import demo_house, house_from_text, load_house
from tenhour.model.house import House
from tenhour.report.floorplan import floor_plan
from tenhour.words.style import METRIC, Style

HERE = Path(__file__).parents[1]
FILES = sorted([*(HERE / "screens/houses").glob("*.toml"), *(HERE / "files/good").glob("*.toml")])
TURNED = """
schema = 1
[site]
latitude_deg = 52
longitude_deg = 0
[house]
shape = "box"
length_m = 6
width_m = 3
eaves_m = 2.4
length_azimuth_deg = 180
cover = "glass-2"
[face.south]
cover = "opaque"
[[window]]
on = "south"
left_m = 0.5
sill_m = 0.8
width_m = 1.0
height_m = 1.0
cover = "glass-2"
[[bed]]
name = "left bed"
at_m = [0.2, 0.2]
size_m = [1.5, 0.8]
[[bed]]
name = "low"
at_m = [3.0, 2.0]
size_m = [2.5, 0.8]
[[bed]]
name = "top"
at_m = [3.0, 2.0]
size_m = [2.5, 0.8]
height_m = 1.2
"""


@pytest.mark.parametrize("house", [demo_house(), *map(load_house, FILES)], ids=lambda house: house.path or "demo")
def test_every_bed_is_drawn_within_a_screen(house: House) -> None:
    lines = floor_plan(house, METRIC)
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 22
    text = "\n".join(lines)
    for bed in house.beds:
        assert bed.name in text or bed.name[:3] in text


def test_walls_windows_and_beds_lie_where_the_file_says() -> None:
    lines = floor_plan(house_from_text(TURNED, "turned.toml"), Style(us_units=True))
    # the length runs south, so the front looks west and the left end north
    assert lines[0].strip() == "back E"
    assert lines[-2].strip() == "front W"
    middle = next(line for line in lines if line.startswith("left"))
    assert middle.startswith("left N │")
    assert middle.endswith("│ right S")
    assert "north ←" in lines[-1]
    assert "19.7 ft by 9.8 ft" in lines[-1]
    # a window half a metre from the left as seen from inside is on the right of the drawing
    front = lines[-3].strip()
    wide = len(front) - 1
    light = [n for n, letter in enumerate(front) if letter == "─"]
    assert light[0] / wide == pytest.approx(4.5 / 6, abs=0.02)
    assert light[-1] / wide == pytest.approx(5.5 / 6, abs=0.02)
    assert front.count("━") > 40
    rows = {name: n for n, line in enumerate(lines) for name in ("left bed", "top, low") if name in line}
    assert rows["top, low"] < rows["left bed"]  # nearer to the back
    assert lines[rows["left bed"]].index("left bed") < lines[rows["top, low"]].index("top, low")
