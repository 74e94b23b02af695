"""Good house files: what is read of them, and which defaults are said aloud."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest

from tenhour.errors import FileProblem
from tenhour.files.covers import shipped_covers
from tenhour.files.house.read import demo_house, house_at, house_from_text, load_house
from tenhour.files.house.warmth import EFFICIENCY
from tenhour.model.house import HeaterKind, House, Layer
from tenhour.model.outline import FACES

GOOD = Path(__file__).parent / "good"
LEAST = (GOOD / "least.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def full() -> House:
    return load_house(GOOD / "full.toml")


def least(*changes: tuple[str, str]) -> House:
    text = LEAST
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return house_from_text(text, "least.toml")


def test_every_kind_of_heater_has_its_usual_efficiency() -> None:
    assert set(EFFICIENCY) == set(get_args(HeaterKind))


@pytest.mark.parametrize("path", sorted(GOOD.glob("*.toml")), ids=lambda path: path.stem)
def test_good_files_are_read(path: Path) -> None:
    house = load_house(path)
    assert house.beds
    assert house.path == str(path)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("Beet\u00a0vorn", "Beet vorn"),  # no-break space, as pasted from a web page
        ("Beet\u2009\u3000vorn", "Beet  vorn"),
        ("e\u0301pinards", "épinards"),  # an accent of its own, as some keyboards send it
        ("🧑\u200d🌾 Beet", "🧑\u200d🌾 Beet"),
        ("می\u200cخواهم", "می\u200cخواهم"),
        ("🏳\ufe0f", "🏳\ufe0f"),
    ],
)
def test_names_as_people_type_and_paste_them(typed: str, kept: str) -> None:
    house = least(("[[bed]]", f'[[bed]]\nname = "{typed}"'))
    assert house.beds[0].name == kept


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("Beet\u200f", "right-to-left mark (U+200F): type the name anew"),
        ("\u202efront", "right-to-left override (U+202E)"),
        ("Be\u00adet", "soft hyphen (U+00AD)"),
        ("\u200dfront", "zero width joiner (U+200D)"),
        ("front\u200b", "zero width space (U+200B)"),
        ("front\\u0007", "a control character (U+0007)"),
    ],
)
def test_a_name_with_a_sign_nobody_sees_is_refused_by_that_name(typed: str, says: str) -> None:
    with pytest.raises(FileProblem, match=re.escape(says)) as caught:
        least(("[[bed]]", f'[[bed]]\nname = "{typed}"'))
    assert "of signs that can be seen, on one line" in str(caught.value)


def test_every_key_arrives(full: House) -> None:
    assert full.name == "a house with everything"
    assert full.dimensions_m == {"length": 5.0, "width": 3.0, "eaves": 1.8, "ridge": 2.6}
    site = full.site
    assert (site.latitude_deg, site.longitude_deg, site.elevation_m) == (57.1, -4.7, 40.0)
    assert site.timezone == "Europe/London"
    assert site.skyline.azimuth_deg == (90.0, 180.0, 270.0)
    assert site.skyline.height_deg == (3.0, 8.0, 4.0)
    assert full.air.night_min_degc == (1, 1, 2, 3, 5, 8, 8, 8, 6, 4, 2, 1)
    assert full.air.day_degc == (18.0,) * 12
    front, rack = full.beds
    assert (front.at_m, front.size_m, front.height_m, front.canopy_m) == ((0.2, 0.2), (4.6, 0.8), 0.4, 0.08)
    assert front.layers == (Layer("fleece"), Layer("fleece", (12, 1, 2), by_day=False))
    assert front.headroom_m == 1.2
    assert rack.layers == (Layer("fleece", (12, 1, 2), by_day=False),)
    assert full.boxes[0].size_m == (1.2, 0.4, 1.6)
    assert full.outside[0].name == "shed"
    assert full.outside_surfaces[0].reflectance_frac == 0.8
    assert full.light_factor == {"front": 0.93, "on the rack": 0.8}
    assert full.calibration_note == "fitted from 14 readings of 2026-01-12"


def test_faces_are_resolved_from_their_own_table_then_their_group_then_the_house(full: House) -> None:
    faces = full.faces
    assert set(faces) == set(FACES["gable"])
    assert (faces["north"].cover, faces["north"].reflectance_frac, faces["north"].u_w_m2_k) == ("opaque", 0.7, 0.35)
    assert (faces["south"].cover, faces["south"].u_w_m2_k) == ("twin-wall-8", 3.0)
    assert faces["roof-south"].cover == faces["roof-north"].cover == "my-film"
    assert faces["floor"].cover == "opaque"


def test_own_covers_are_built_from_what_is_given(full: House) -> None:
    film = full.covers["my-film"]
    assert (film.normal_trans_frac, film.hemispherical_trans_frac, film.straight_share) == (0.82, 0.74, 0.3)
    assert (film.inside_refl_frac, film.frame_share, film.snow_share) == (0.12, 0.08, 0.5)
    glass = full.covers["my-glass"]
    assert (glass.panes, glass.refractive_index, glass.internal_trans_frac) == (2, 1.52, 0.96)
    assert glass.layered
    assert not glass.measured


@pytest.mark.parametrize(("panes", "glass"), [(1, 5.7), (2, 2.8)])
def test_a_cover_without_a_heat_loss_loses_what_its_panes_of_glass_do(panes: int, glass: float) -> None:
    """Plain glass 5.7, double with 12 mm of air 2.8 W m⁻² K⁻¹: EN 673 and glassmakers' tables, from memory; 10 %."""
    own = f"[cover.mine]\npanes = {panes}\nrefractive_index = 1.52\ninternal_transmittance = 0.96\n"
    house = house_from_text(LEAST.replace("eaves_m = 2.3", 'eaves_m = 2.3\ncover = "mine"') + f"\n{own}", "x.toml")
    assert house.covers["mine"].u_w_m2_k == pytest.approx(glass, rel=0.1)
    assert any("no u_w_m2_k was given" in note for note in house.assumptions)


def test_a_cover_of_the_catalogue_can_be_given_other_losses() -> None:
    text = LEAST.replace("eaves_m = 2.3", 'eaves_m = 2.3\ncover = "glass-1"')
    house = house_from_text(text + "\n[cover.glass-1]\ndirt_share = 0.3\n", "x.toml")
    shipped = shipped_covers()["glass-1"]
    assert house.covers["glass-1"] == replace(shipped, dirt_share=0.3)


def test_no_frame_is_taken_off_glass_that_is_drawn() -> None:
    window = '\n[[window]]\non = "south"\nwidth_m = 1\nheight_m = 1\ncover = "{}"\n'
    own = "[cover.mine]\nnormal_transmittance = 0.8\nhemispherical_transmittance = 0.7\nframe_share = 0.2\n"
    shipped = shipped_covers()["glass-2"]
    assert shipped.frame_share > 0
    house = house_from_text(LEAST + window.format("glass-2"), "x.toml")
    assert house.covers[house.windows[0].cover] == replace(shipped, key="glass-2/window", frame_share=0.0)
    assert any("frame share" in text for text in house.assumptions)
    house = house_from_text(LEAST + window.format("mine") + own, "x.toml")
    assert house.covers[house.windows[0].cover].frame_share == 0.2  # said so, so it stands


def test_units_in_text_are_turned_into_si() -> None:
    house = load_house(GOOD / "us.toml")
    assert house.us_units
    assert house.dimensions_m == pytest.approx({"length": 4.8768, "width": 1.9812, "front": 1.6764, "back": 2.4384})
    assert (house.site.latitude_deg, house.site.longitude_deg) == (44.5, -89.5)
    assert house.site.elevation_m == pytest.approx(335.28)
    assert house.site.ground_reflectance_frac[6] == pytest.approx(0.08)
    assert house.air.day_set_degc is not None
    assert house.air.day_set_degc[0] == pytest.approx((60 - 32) / 1.8)
    assert house.beds[0].size_m == pytest.approx((4.572, 0.762))


def test_snow_whitens_a_single_ground_number_but_not_twelve() -> None:
    one = least(("longitude_deg = 12.0", "longitude_deg = 12.0\nsnow_months = [1]\nground_reflectance = 0.2"))
    assert one.site.ground_reflectance_frac == (0.9, *(0.2,) * 11)
    twelve = "ground_reflectance = [0.3, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2]"
    listed = least(("longitude_deg = 12.0", f"longitude_deg = 12.0\nsnow_months = [1]\n{twelve}"))
    assert listed.site.ground_reflectance_frac == (0.3, *(0.2,) * 11)
    assert listed.site.snow_months == (1,)


def test_every_default_is_said() -> None:
    said = "\n".join(least().assumptions)
    for key in (
        "skyline", "climate", "Elevation", "Time zone", "ground_reflectance", "snow_months", "height_m", "canopy_m",
        "reflectance", "day_set_degc", "night_set_degc", "night_min_degc", "length_azimuth_deg", "cover", "name",
        "Floor", "Flat roof", "schema",
    ):  # fmt: skip
        assert key in said or key in ("ground_reflectance",), key
    assert "Ground reflectance 0.07" in said


def test_a_key_that_is_given_is_not_called_a_default(full: House) -> None:
    said = "\n".join(full.assumptions)
    for word in (
        "Level horizon",
        "No snow",
        "Elevation",
        "Time zone",
        "length_azimuth_deg",
        "night_min_degc",
        "schema",
    ):
        assert word not in said


def test_the_floor_is_dark_unless_the_house_says_how_light_it_is_inside() -> None:
    assert least().faces["floor"].reflectance_frac == 0.2
    assert least(("eaves_m = 2.3", "eaves_m = 2.3\nreflectance = 0.6")).faces["floor"].reflectance_frac == 0.6


@pytest.mark.parametrize("key", ["length_azimuth_deg", "ridge_azimuth_deg"])
def test_both_names_of_the_direction(key: str) -> None:
    assert least(("eaves_m = 2.3", f"eaves_m = 2.3\n{key} = 120")).azimuth_deg == 120.0


def test_a_window_without_a_place_stands_in_the_middle() -> None:
    window = load_house(GOOD / "window-sill.toml").windows[0]
    assert (window.left_m, window.sill_m, window.cover) == (1.0, 0.8, "glass-1/window")


def test_own_means_come_before_the_normals() -> None:
    site = load_house(GOOD / "hoop.toml").site
    assert site.climate == "means"
    assert site.means is not None
    assert site.means.dli_mol_m2_d is not None
    assert site.means.ghi_mj_m2_d is None
    temperature_only = least(
        ("longitude_deg = 12.0", f"longitude_deg = 12.0\nmeans = {{ temp_degc = {[5] * 12} }}")
    ).site
    assert temperature_only.climate == "normals"
    assert temperature_only.means is not None


def test_a_weather_file_is_looked_for_beside_the_house_file(tmp_path: Path) -> None:
    (tmp_path / "year.csv").write_text("timestamp,ghi\n")
    house = tmp_path / "house.toml"
    house.write_text(LEAST.replace("longitude_deg = 12.0", 'longitude_deg = 12.0\nclimate = "year.csv"'))
    site = load_house(house).site
    assert (site.climate, site.weather_path) == ("file", str(tmp_path / "year.csv"))


def test_one_factor_stands_for_the_whole_house() -> None:
    assert load_house(GOOD / "hoop.toml").light_factor == {"": 0.93}


def test_the_demo_house() -> None:
    house = demo_house()
    assert house.path == ""
    assert 45 <= house.site.latitude_deg <= 58
    assert len(house.beds) >= 3
    assert house.site.snow_months
    assert house.site.skyline.azimuth_deg
    assert house.air.night_set_degc is not None


def test_moving_a_house_keeps_the_house_and_says_what_changed() -> None:
    house = demo_house()
    moved = house_at(house, 47.0, 8.0, 500.0)
    assert (moved.site.latitude_deg, moved.site.longitude_deg, moved.site.elevation_m) == (47.0, 8.0, 500.0)
    assert moved.site.timezone == "Europe/Zurich"
    assert moved.site.snow_months == house.site.snow_months
    assert moved.site.ground_reflectance_frac == house.site.ground_reflectance_frac
    assert moved.site.skyline == house.site.skyline
    assert replace(moved, site=house.site, assumptions=house.assumptions) == house
    assert "The house is moved to 47, 8; its skyline, ground and heating move along." in moved.assumptions


def test_moving_across_the_equator_shifts_the_snow_by_half_a_year() -> None:
    moved = house_at(demo_house(), -45.0, 170.0, 300.0).site
    assert moved.snow_months == (7, 8)
    assert [value > 0.5 for value in moved.ground_reflectance_frac] == [month in (7, 8) for month in range(1, 13)]
    assert house_at(demo_house(), 5.0, 100.0, 10.0).site.snow_months == ()


def test_moving_to_the_same_place_changes_nothing_but_the_elevation_asked_for() -> None:
    house = demo_house()
    assert house_at(house, house.site.latitude_deg, house.site.longitude_deg) == house
    assert house_at(house, house.site.latitude_deg, house.site.longitude_deg, 20.0).site.elevation_m == 20.0


def test_own_means_stay_behind() -> None:
    house = load_house(GOOD / "hoop.toml")
    moved = house_at(house, 60.0, 25.0, 20.0)
    assert moved.site.climate == "normals"
    assert moved.site.means is None
    assert "Its weather file or own means belong to the old place: the embedded normals are used." in moved.assumptions
    assert not any(text.startswith("The place ") for text in moved.assumptions)


@pytest.mark.parametrize("text", ["\ufeff" + LEAST, LEAST.replace("\n", "\r\n"), LEAST + "# grüße, 日本\n"])
def test_marks_line_ends_and_other_letters_do_no_harm(text: str, tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_bytes(text.encode("utf-8"))
    assert replace(load_house(path), path="") == replace(least(), path="")


def test_a_cover_like_another_keeps_all_but_what_is_changed() -> None:
    text = LEAST.replace("eaves_m = 2.3", 'eaves_m = 2.3\ncover = "dirty"')
    house = house_from_text(text + '\n[cover.dirty]\nlike = "glass-1"\ndirt_share = 0.3\n', "x.toml")
    assert house.covers["dirty"] == replace(shipped_covers()["glass-1"], key="dirty", dirt_share=0.3)


def test_a_custom_room_may_lie_anywhere() -> None:
    text = (GOOD / "custom.toml").read_text("utf-8").replace("[4, ", "[2, ").replace("[0, ", "[-2, ")
    house = house_from_text(text.replace("at_m = [0.5, 0.3]", "at_m = [-1.5, 0.3]"), "x.toml")
    assert house.beds[0].at_m == (-1.5, 0.3)


def test_an_elevation_asked_for_is_no_assumption() -> None:
    house = least()
    assert any(text.startswith("Elevation ") for text in house.assumptions)
    same = house_at(house, house.site.latitude_deg, house.site.longitude_deg, 20.0)
    assert not any(text.startswith("Elevation ") for text in same.assumptions)
