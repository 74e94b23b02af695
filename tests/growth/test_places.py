import numpy as np
import pytest

from helpers_growth import both, plants, seasons, steady
from tenhour.growth.places import days_by_light, light_for_days_mol_m2_d, set_out, standing, steady_climate
from tenhour.growth.run import run
from tenhour.growth.shapes import CropArrays, Status

KALE = {
    "temp_opt_degc": 26.0, "temp_max_degc": 34.0, "leaf_rate_per_d": 0.35, "rgr_per_d": 0.27, "leaf_area_m2_g": 0.032,
    "extinction_ratio": 0.65, "seedling_mg": 2.5, "density_per_m2": 9.0, "root_frac": 0.15, "dry_matter_frac": 0.12,
    "harvest_frac": 0.45, "target_g": 60.0, "transplant_leaves_count": 5.0, "regrow_frac": 0.6,
    "standing_g_m2": 250.0, "pick_g_m2": 100.0, "pick_frac": 0.75,
}  # fmt: skip


def test_plants_raised_warm_and_lit_overtake_those_sown_in_the_cold() -> None:
    crop, cold = plants(), seasons()
    nursery = steady_climate(14.0, 21.0, 17.0, 14.0)
    raised = set_out(crop, nursery, cold, [20, 300], tray_density_per_m2=500.0)
    direct = run(crop, cold, [20, 300])
    assert (raised.harvest_d < direct.harvest_d).all()
    assert (raised.transplant_d < 35).all()
    # mass and leaves are carried over: a plant of four leaves, thinner spaced
    alone = run(plants(density_per_m2=500.0, by_leaves=True), nursery, [20, 300])
    assert raised.transplant_mass_g_m2.ravel() == pytest.approx(alone.transplant_mass_g_m2.ravel())


def test_a_dark_nursery_is_told_from_a_dark_bed() -> None:
    found = set_out(plants(), steady(0.2), steady(10.0), [0], tray_density_per_m2=500.0)
    assert found.status.item() == Status.STARVED
    assert np.isnan(found.harvest_d.item())


def test_grown_kale_keeps_giving_slow_pickings_through_december() -> None:
    # common practice: grown hardy plants give slow pickings; growth-and-stretch section 7: picks of 100 g m⁻² on days
    # 10, 20, 29, 37, 44, about 70 rising to 150 g m⁻² a week at 2.5-4.5 mol, 21/10 °C
    from growth_trials import invented_house

    found = standing(plants(**KALE), invented_house(21.0, 10.0), [338])
    assert found.week_yield_g_m2 is not None
    weeks = found.week_yield_g_m2[:, 0, 0, 0, 0]
    first, second = weeks[:4].mean(), weeks[4:8].mean()
    assert 45 < first < 130
    assert first < second < 300


def test_a_stand_in_the_dark_gives_nothing() -> None:
    found = standing(plants(**KALE), steady(0.3), [338])
    assert found.harvest_count.item() == 0


LEVELS = np.geomspace(0.3, 40.0, 28)


def light_for(crops: CropArrays, days: float, day: list[float], night: list[float], lit: list[float]) -> np.ndarray:
    """Steady light that brings crops in within given days, one column a bed."""
    took = days_by_light(crops, LEVELS, day, night, lit, horizon_d=int(days) + 1)
    return light_for_days_mol_m2_d(took, np.full(took.shape[:2], days), LEVELS)


def test_light_for_given_days_inverts_the_run() -> None:
    crops = both(plants(), plants(target_g=30.0))
    need = light_for(crops, 60.0, [20.0, 16.0], [14.0, 8.0], [14.0, 10.0])
    assert need.shape == (2, 2)
    assert np.isnan(need[0, 1])  # too cold for a head in 60 days at any light
    assert need[1, 1] > need[1, 0]  # a cooler bed needs more light for the same days
    for crop, days in ((0, 60.0), (1, 60.0)):
        took = run(crops.take(slice(crop, crop + 1)), steady_climate(need[crop, 0], 20.0, 14.0, 14.0), [0]).harvest_d
        assert took.item() == pytest.approx(days, abs=2.0)


def test_no_light_brings_a_head_in_ten_days() -> None:
    assert np.isnan(light_for(plants(), 10.0, [20.0], [14.0], [14.0]).item())
