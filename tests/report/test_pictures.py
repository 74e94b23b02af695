"""Pictures: well formed, named, in colours by role with enough contrast, the same every time."""

from __future__ import annotations

import re
import struct
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from datetime import date

import numpy as np
import pytest

import helpers_report as made_up
from tenhour.model.results import BedMap
from tenhour.report.pictures.bedmap import map_picture, shade
from tenhour.report.pictures.canvas import Sheet, svg_text
from tenhour.report.pictures.lamps import clock_picture, hang_picture
from tenhour.report.pictures.light import light_picture, winter_year
from tenhour.report.pictures.palette import DARK, DRAWN_ROLES, LIGHT, MAP_STEPS, TEXT_ROLES
from tenhour.report.pictures.picture import Picture, TimeAxis, together
from tenhour.report.pictures.season import season_picture
from tenhour.report.pictures.season_key import STREAMS
from tenhour.report.pictures.sun import sun_picture
from tenhour.words.style import Style

SVG = "{http://www.w3.org/2000/svg}"
STYLE = Style(dates="long")


def all_pictures(beds: tuple[str, ...] = ("front",)) -> Iterator[Picture]:
    season, light, sow = made_up.season_answer(beds), made_up.light_answer(beds), made_up.sow_answer(beds)
    needs = {crop.crop: crop.needs_dli_mol_m2_d or 0.0 for crop in sow.beds[0].crops}
    for n, bed in enumerate(beds):
        yield season_picture(season, season.beds[n], f"season-{n}", made_up.TODAY, STYLE, needs)
        yield light_picture(light, light.beds[n], f"light-{n}", made_up.TODAY, STYLE, needs)
        yield map_picture(made_up.bed_map(bed, "December", 1.4), f"map-{n}", STYLE)
        lamps = made_up.lamp_answer(bed)
        yield clock_picture(lamps, f"clock-{n}")
        assert lamps.layout is not None
        yield hang_picture(lamps, lamps.layout, f"hang-{n}", STYLE)
        yield sun_picture(made_up.sun_paths(beds), made_up.sun_paths(beds).beds[n], f"sun-{n}")


PICTURES = list(all_pictures())


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.key)
def test_a_picture_names_itself_for_screen_readers(picture: Picture) -> None:
    root = ET.fromstring(picture.svg())
    assert root.get("role") == "img"
    named = {element.get("id"): element for element in root if element.tag in (f"{SVG}title", f"{SVG}desc")}
    assert list(named) == root.get("aria-labelledby", "").split()
    assert root[0].tag == f"{SVG}title"
    assert all(len((element.text or "").split()) >= 3 for element in named.values())


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.key)
def test_colours_are_roles(picture: Picture) -> None:
    svg = picture.svg()
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b(?!-)", re.sub(r'(href="|url\()#[\w-]+', "", svg))
    assert "style=" not in svg, "pages that forbid styles within elements show it without colours"
    roles = set(re.findall(r"var\(--(\w+)\)", svg))
    assert roles <= set(LIGHT)
    assert len(roles) >= 4


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.key)
def test_everything_drawn_lies_on_the_sheet(picture: Picture) -> None:
    root = ET.fromstring(picture.svg())
    width, height = (float(part) for part in (root.get("viewBox") or "").split()[2:])
    for path in root.findall(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.get("d") or "")]
        assert all(-1.0 <= x <= width + 1.0 for x in numbers[::2])
        assert all(-1.0 <= y <= height + 1.0 for y in numbers[1::2])
    for text in root.iter(f"{SVG}text"):
        assert 0.0 <= float(text.get("x") or -1) <= width
        assert 0.0 <= float(text.get("y") or -1) <= height


def test_a_disc_strays_from_a_circle_by_less_than_is_written() -> None:
    """Each quarter is one cubic curve, by its own definition at many places (Farin, Curves and Surfaces, memory)."""
    sheet = Sheet(100.0, 100.0)
    sheet.discs([(50.0, 40.0)], [30.0], "hold")
    root = ET.fromstring(svg_text(sheet, "disc", "a disc", "one disc"))
    said = root.findall(f"{SVG}path")[0].get("d") or ""
    assert re.sub(r"[-\d. ]+", "", said) == "MCz"
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", said)]
    points = np.array(numbers).reshape(-1, 2)
    assert len(points) == 1 + 4 * 3
    t = np.linspace(0.0, 1.0, 33)[:, None]
    for first in range(0, 12, 3):
        a, b, c, d = points[first : first + 4]
        curve = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d
        assert np.hypot(*(curve - [50.0, 40.0]).T) == pytest.approx(30.0, abs=0.1)
    assert points[0].tolist() == points[-1].tolist()


def test_ids_are_unique_over_pictures_and_references_point_home() -> None:
    found: list[str] = []
    for picture in PICTURES:
        svg = picture.svg()
        ids = re.findall(r'\bid="([^"]+)"', svg)
        assert all(name.startswith(picture.key + "-") for name in ids)
        assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
        found += ids
    assert len(found) == len(set(found))


def test_the_same_answer_gives_the_same_bytes() -> None:
    assert [p.svg() for p in all_pictures()] == [p.svg() for p in PICTURES]
    assert PICTURES[1].png() == PICTURES[1].png()


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definition with the sRGB threshold 0.04045)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_on_white_is_the_standards_own_21() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, abs=1e-9)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_contrast(colours: dict[str, str]) -> None:
    for paper in ("paper", "night", "panel"):
        for role in TEXT_ROLES:
            assert contrast(colours[role], colours[paper]) >= 4.5, f"text {role} on {paper}"
        for role in DRAWN_ROLES:
            assert contrast(colours[role], colours[paper]) >= 3.0, f"mark {role} on {paper}"
    for step in range(MAP_STEPS):
        assert contrast(colours["mapink"], colours[f"map{step}"]) >= 4.5, f"number on map{step}"
    shades = [luminance(colours[f"map{step}"]) for step in range(MAP_STEPS)]
    assert shades in (sorted(shades), sorted(shades, reverse=True)), (
        "shades must run one way, for print and for the colour blind"
    )


def test_every_role_has_both_colours() -> None:
    assert set(LIGHT) == set(DARK)


def test_states_differ_without_colour() -> None:
    looks = list(STREAMS.values())
    assert len({(fill != "", hatch, dash) for fill, hatch, dash in looks}) == len(looks)


def test_png_has_its_size_and_is_not_empty() -> None:
    for picture in PICTURES:
        data = picture.png()
        assert data[:8] == b"\x89PNG\r\n\x1a\n"
        width, height = struct.unpack(">II", data[16:24])
        assert (width, height) == (int(2 * picture.drawn.width_px), int(2 * picture.drawn.height_px))
        assert len(data) > 4000


def test_svg_file_stands_alone_in_light_and_dark() -> None:
    text = PICTURES[0].svg_file()
    root = ET.fromstring(text.encode("utf-8"))
    assert root.get("width") == f"{PICTURES[0].drawn.width_px:g}"
    assert "prefers-color-scheme:dark" in text
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")


def test_pictures_join_into_one() -> None:
    whole = together(PICTURES[:2], "Both")
    assert whole.drawn.height_px > PICTURES[0].drawn.height_px + PICTURES[1].drawn.height_px
    assert len(whole.drawn.words) == len(PICTURES[0].drawn.words) + len(PICTURES[1].drawn.words)
    assert together(PICTURES[:1], "One") is PICTURES[0]
    ET.fromstring(whole.svg())


@pytest.mark.parametrize("name", [*made_up.HOSTILE, made_up.STEERING])
def test_hostile_names_stay_text(name: str) -> None:
    for picture in all_pictures((name,)):
        root = ET.fromstring(picture.svg())
        assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
            "svg", "title", "desc", "path", "text", "defs", "pattern", "rect", "g",
        }  # fmt: skip
        assert not any(attribute.startswith("on") for element in root.iter() for attribute in element.attrib)
    assert picture.png()


def test_year_has_its_winter_in_the_middle() -> None:
    assert winter_year(date(2027, 1, 15), 57.0) == (date(2026, 7, 1), date(2027, 7, 1))
    assert winter_year(date(2026, 7, 1), 57.0) == (date(2026, 7, 1), date(2027, 7, 1))
    assert winter_year(date(2027, 1, 15), -45.0) == (date(2027, 1, 1), date(2028, 1, 1))


def test_time_axis() -> None:
    axis = TimeAxis(date(2026, 9, 7), date(2027, 9, 6), 100.0, 464.0)
    assert axis.x(date(2026, 9, 7)) == 100.0
    assert axis.x(date(2026, 9, 17)) == pytest.approx(110.0, abs=0.01)
    assert axis.clipped(date(2026, 1, 1), date(2026, 9, 8)) == (100.0, pytest.approx(102.0, abs=0.01))
    assert axis.clipped(date(2026, 1, 1), date(2026, 8, 8)) is None
    assert [on.month for on in axis.month_starts()] == [10, 11, 12, 1, 2, 3, 4, 5, 6, 7, 8, 9]


def test_polar_night_and_midnight_sun_are_drawn() -> None:
    light = made_up.light_answer(("dark",))
    dark = light.beds[0].months[0].__class__(*([1] + [0.0] * 10))
    bed = light.beds[0].__class__("dark", 0.5, (dark,) * 12)
    svg = light_picture(light, bed, "polar", made_up.TODAY, STYLE).svg()
    assert "nan" not in svg
    paths = made_up.sun_paths(("dark",))
    nothing = paths.__class__(
        80.0, (paths.tracks[0].__class__(date(2026, 12, 21), (), (), (), ()),), (), (), paths.beds
    )
    assert "nan" not in sun_picture(nothing, nothing.beds[0], "night").svg()


def test_lamp_clock_wraps_round_midnight() -> None:
    root = ET.fromstring(clock_picture(made_up.lamp_answer(), "clock").svg())
    bars = [path.get("d") or "" for path in root.findall(f"{SVG}path") if path.get("fill") == "var(--sun)"]
    assert len([bar for bar in bars if bar.count("z") == 2]) == 1, (
        "March burns from 22:30 to 24 h and from 0 h to 02:00"
    )


def test_lamps_that_never_burn_are_drawn_dark() -> None:
    answer = made_up.lamp_answer()
    off = answer.__class__(**{**vars(answer), "clock": tuple(row.__class__(row.month) for row in answer.clock)})
    picture = clock_picture(off, "clock")
    assert "stay off all year" in picture.desc
    bare = off.__class__(**{**vars(off), "map": None})
    assert bare.layout is not None
    assert "fixtures" in hang_picture(bare, bare.layout, "hang", STYLE).svg()


def test_map_shades_are_shares_of_the_brightest_point() -> None:
    assert [shade(value, 7.0) for value in (0.0, 0.99, 1.0, 3.5, 6.99, 7.0)] == [0, 0, 1, 3, 6, 6]
    assert shade(float("nan"), 7.0) == shade(1.0, 0.0) == 0
    gap = BedMap("gap", "December", (0.1, 0.3), (0.1,), ((1.0, float("nan")),))
    assert ">-<" in map_picture(gap, "gap", STYLE).svg()


def test_crops_that_never_pay_are_named_not_drawn() -> None:
    answer = made_up.season_answer(("front",), 2)
    bed = answer.beds[0]
    crop = bed.crops[1]
    waste = tuple(week.__class__(week.start, "wait", None, None, None, None, None) for week in crop.weeks)
    never = crop.__class__(crop.crop, "never here", crop.way, waste, (), None, None)
    poor = bed.__class__(bed.name, bed.area_m2, bed.weeks, (bed.crops[0], never))
    assert [c.name for c in poor.barren] == ["never here"]
    assert "never here" not in season_picture(answer, poor, "s", made_up.TODAY, STYLE).svg()
