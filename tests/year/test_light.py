"""The light answer holds its definitions, and every number moves the right way when the house changes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise

import numpy as np
import pytest

from helpers_world import NORTH_WALL, demo_world, plain, sources, world_of
from tenhour.errors import FileProblem, OutOfRange
from tenhour.files.house.read import demo_house, house_at, house_from_text
from tenhour.plan.dates import MONTH_OF_DAY, month_means
from tenhour.units import UMOL_PER_J_GLOBAL
from tenhour.year.answers.light import bed_map, light_of
from tenhour.year.outside.sunlight import CLASSES, DULL, sunlight_at
from tenhour.year.world import World
from tenhour.year.year import Year

TODAY = date(2026, 11, 25)


def december(world: World, bed: int = 0) -> float:
    return float(month_means(world.beds[bed].dli_mol_m2_d)[11])


def june(world: World, bed: int = 0) -> float:
    return float(month_means(world.beds[bed].dli_mol_m2_d)[5])


def test_months_are_complete_and_in_order() -> None:
    answer = light_of(demo_world(), today=TODAY)
    assert [month.month for month in answer.months] == list(range(1, 13))
    for bed in answer.beds:
        assert [month.month for month in bed.months] == list(range(1, 13))


def test_snow_is_asked_about_where_winter_is_cold_and_nobody_spoke_of_it() -> None:
    cold = plain(lat=63.8, lon=20.3)
    told = [line for line in world_of(cold).warnings if "snow_months = [12, 1, 2, 3]" in line]
    assert len(told) == 1
    white = replace(cold, site=replace(cold.site, snow_months=(12, 1, 2, 3)))
    for house in (white, plain(lat=51.5, lon=-4.0)):
        assert not any("snow_months" in line for line in world_of(house).warnings)


def test_ratio_is_of_the_months_sums() -> None:
    world = demo_world()
    answer = light_of(demo_world(), today=TODAY)
    for number, bed in enumerate(answer.beds):
        inside, outside = world.beds[number].dli_mol_m2_d, world.outdoors.dli_mol_m2_d
        for month in bed.months:
            days = month.month == MONTH_OF_DAY
            assert month.ratio == pytest.approx(inside[days].sum() / outside[days].sum(), rel=1e-12)


def test_parts_of_a_beds_light_add_up() -> None:
    for bed in light_of(demo_world(), today=TODAY).beds:
        for month in bed.months:
            assert month.beam_frac + month.sky_frac + month.bounced_frac == pytest.approx(1.0, abs=1e-9)
            assert month.min_dli_mol_m2_d <= month.dli_mol_m2_d <= month.max_dli_mol_m2_d


def test_outdoor_dli_and_ghi_are_one_light() -> None:
    """DLI = 24 h mean of GHI x 0.0864 x 2.018 (Faust & Logan 2018, 0.007265 mol per Wh)."""
    for month in light_of(demo_world(), today=TODAY).months:
        assert month.dli_mol_m2_d == pytest.approx(month.ghi_w_m2 * 0.0864 * UMOL_PER_J_GLOBAL, rel=1e-9)


def test_dull_day_is_its_own_pass_through_the_house() -> None:
    """A dull sky has no beam, so a bed that lives on low sun loses more of its light than the outdoors does."""
    world = demo_world()
    bed = world.beds[0]
    inside = month_means(bed.class_dli_mol_m2_d[:, DULL])[11] / month_means(bed.dli_mol_m2_d)[11]
    outside = month_means(world.outdoors.class_dli_mol_m2_d[:, DULL])[11] / month_means(world.outdoors.dli_mol_m2_d)[11]
    assert inside < 0.95 * outside


def test_mean_day_is_the_mean_of_five_equally_likely_classes() -> None:
    world = demo_world()
    classes = world.beds[1].class_dli_mol_m2_d[:, :CLASSES]
    assert np.allclose(world.beds[1].dli_mol_m2_d, classes.mean(axis=1))
    assert (np.diff(world.outdoors.class_dli_mol_m2_d[:, :CLASSES], axis=1) >= -1e-9).all()


def test_beds_of_the_demo_house_differ() -> None:
    world = demo_world()
    assert december(world, 0) > 1.15 * december(world, 2)


def test_moving_a_bed_to_the_back_changes_its_light() -> None:
    house = plain()
    moved = replace(house, beds=(replace(house.beds[0], at_m=(0.3, 2.0)), replace(house.beds[1], at_m=(0.3, 0.2))))
    here, there = world_of(house), world_of(moved)
    assert june(there, 0) == pytest.approx(june(here, 1), rel=0.02)
    assert june(here, 0) != pytest.approx(june(here, 1), rel=0.02)


def test_swapping_two_walls_turns_the_light_round() -> None:
    opaque_north, opaque_south = world_of(plain()), world_of(plain(faces='[face.south]\ncover = "opaque"\n'))
    assert december(opaque_north, 0) > 1.3 * december(opaque_south, 0)


def test_closing_a_face_darkens_every_bed() -> None:
    open_house, closed = world_of(plain()), world_of(plain(faces=NORTH_WALL + '[face.east]\ncover = "opaque"\n'))
    for number in (0, 1):
        assert december(closed, number) < december(open_house, number)


def test_turning_the_ridge_away_from_the_sun_costs_winter_light() -> None:
    south, west = world_of(plain()), world_of(plain(azimuth=180.0))
    assert december(west, 0) < 0.99 * december(south, 0)


def test_dirt_costs_light() -> None:
    clean = plain()
    dirty = replace(clean, covers={key: replace(c, dirt_share=0.3) for key, c in clean.covers.items()})
    assert december(world_of(dirty)) < december(world_of(clean))


def test_snow_on_the_ground_adds_and_on_the_roof_takes() -> None:
    bare = plain()
    albedo = tuple(0.9 if month in (12, 1, 2) else 0.07 for month in range(1, 13))
    white_ground = replace(bare, site=replace(bare.site, ground_reflectance_frac=albedo))
    white_all = replace(white_ground, site=replace(white_ground.site, snow_months=(12, 1, 2)))
    assert december(world_of(white_ground)) > 1.02 * december(world_of(bare))
    assert december(world_of(white_all)) < december(world_of(white_ground))


def test_a_fitted_factor_replaces_dirt_and_frame() -> None:
    house = plain()
    fitted = replace(house, light_factor={"front": 0.5, "": 0.8})
    bare = replace(house, covers={k: replace(c, dirt_share=0.0, frame_share=0.0) for k, c in house.covers.items()})
    assert december(world_of(fitted), 0) == pytest.approx(0.5 * december(world_of(bare), 0), rel=1e-6)
    assert december(world_of(fitted), 1) == pytest.approx(0.8 * december(world_of(bare), 1), rel=1e-6)


def test_light_is_continuous_over_the_map() -> None:
    """Normals glide: a step of 0.02 degrees never moves a month's light by more than 1 %."""
    places = [plain(lat=49.0 + 0.02 * step, lon=16.49 + 0.02 * step) for step in range(4)]
    months = [month_means(sunlight_at(place, sources()).outdoors.dli_mol_m2_d) for place in places]
    for here, there in pairwise(months):
        assert np.abs(there / here - 1.0).max() < 0.01


def test_uncertainty_differs_by_latitude_and_month() -> None:
    south = light_of(world_of(plain(lat=48.0)), today=TODAY).months
    north = light_of(world_of(plain(lat=62.0, lon=25.0)), today=TODAY).months
    assert south[11].spread_frac != north[11].spread_frac
    assert north[11].spread_frac > south[11].spread_frac
    assert south[11].spread_frac != south[2].spread_frac


def test_polar_night_is_an_answer() -> None:
    answer = light_of(world_of(plain(lat=70.0, lon=25.0, elev=50.0)), today=TODAY)
    december_row = answer.months[11]
    assert december_row.daylength_h == 0.0
    assert december_row.dli_mol_m2_d == pytest.approx(0.0, abs=0.02)
    assert all(month.dli_mol_m2_d >= 0.0 for bed in answer.beds for month in bed.months)
    assert answer.before_dark is not None
    assert answer.after_dark is not None


def test_southern_hemisphere_is_dark_in_june() -> None:
    answer = light_of(world_of(plain(lat=-43.5, lon=171.5, azimuth=270.0)), today=TODAY)
    light = [month.dli_mol_m2_d for month in answer.months]
    assert light.index(min(light)) in (5, 6)
    assert answer.before_dark is not None
    assert answer.before_dark.month in (4, 5)


def test_equator_never_falls_short_of_ten_hours() -> None:
    answer = light_of(world_of(plain(lat=5.0, lon=-75.0, elev=1500.0)), today=TODAY)
    assert answer.before_dark is None
    assert answer.after_dark is None


def test_beyond_the_data_the_twelve_means_key_is_named() -> None:
    with pytest.raises(OutOfRange, match=r"site\.means"):
        light_of(world_of(plain(lat=0.0, lon=-150.0)), today=TODAY)


def test_own_means_override_the_normals() -> None:
    text = "[1.5, 2, 4, 6, 8, 9, 9, 8, 6, 3, 1.8, 1.2]"
    own = house_from_text(
        f"schema = 1\n[site]\nlatitude_deg = 0\nlongitude_deg = -150\nelevation_m = 0\n[site.means]\n"
        f"ghi_mj_m2_d = {text}\n[house]\nshape = 'hoop'\nlength_m = 5\nwidth_m = 3\nridge_m = 2\n"
        "[[bed]]\nname = 'bed'\nat_m = [1, 1]\nsize_m = [2, 1]\n",
        "house.toml",
    )
    months = light_of(world_of(own), today=TODAY).months
    assert months[0].dli_mol_m2_d == pytest.approx(1.5 * UMOL_PER_J_GLOBAL, rel=1e-3)
    assert months[5].dli_mol_m2_d == pytest.approx(9.0 * UMOL_PER_J_GLOBAL, rel=1e-3)


def test_map_covers_the_bed_and_its_mean_is_the_beds() -> None:
    world = demo_world()
    found = bed_map(world, "front", month=12)
    grid = np.array(found.dli_mol_m2_d)
    assert grid.shape == (len(found.y_m), len(found.x_m))
    assert np.isfinite(grid).all()
    assert grid.mean() == pytest.approx(december(world, 0), rel=1e-9)


def test_map_of_an_unknown_bed_is_refused() -> None:
    with pytest.raises(FileProblem, match=r"^map_bed: found 'nowhere'"):
        Year(demo_house(), sources()).light(map_bed="nowhere", today=TODAY)


def test_moving_the_house_moves_the_light() -> None:
    far = house_at(demo_house(), 61.0, 25.0, 100.0)
    assert december(world_of(far)) < 0.6 * december(demo_world())


def test_one_day_lies_between_its_months() -> None:
    answer = light_of(demo_world(), on=date(2028, 2, 29), today=TODAY)
    assert answer.day is not None
    assert answer.months[1].dli_mol_m2_d < answer.day.outdoor_dli_mol_m2_d < answer.months[2].dli_mol_m2_d
