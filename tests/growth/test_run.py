from types import SimpleNamespace

import numpy as np
import pytest

from helpers_exact_day import day_coefficients, day_growth
from helpers_growth import both, lettuce, plants, seasons, steady
from tenhour.growth import carbon
from tenhour.growth.run import run
from tenhour.growth.shapes import CropArrays, Draws, Start, Status, ten_day_mean

ENDLESS = {"target_g": 1e9}


def exact(
    dli: float, day: float, night: float, lit: float, days: int, mass: float, leaves: float
) -> tuple[float, float]:
    """Grow one steady stand with the exact day in double precision."""
    crop = lettuce()
    coefficients = day_coefficients(crop, dli, dli, day, night, lit)
    constants = carbon.CONSTANTS
    cost = crop.seedling_mg / 1000 * crop.density_per_m2 * constants.leaf_cost_ratio
    running, clock = 0.0, leaves
    for _ in range(days):
        leaf = min(clock, np.sqrt(mass / cost))
        grown = day_growth(coefficients, mass, leaf, running)
        source, sink = max(float(grown.source_per_d), 0.0), float(coefficients.sink_per_d)
        half = constants.leaf_half_ratio
        pace = min(1.0, (1 + half) * source / (source + half * sink + 1e-9))
        clock += pace * sink * crop.leaf_rate_per_d / crop.rgr_per_d
        running += (float(grown.growth_per_d) - running) / 7
        mass *= 1 + float(grown.growth_per_d)
    return mass, min(clock, np.sqrt(mass / cost))


@pytest.mark.parametrize(
    ("dli", "day", "night"), [(2.6, 21.0, 10.0), (8.0, 20.0, 14.0), (16.0, 24.0, 19.0), (5.0, 9.0, 3.0)]
)
def test_a_run_is_the_exact_day_repeated(dli: float, day: float, night: float) -> None:
    start = Start(mass_g_m2=2.0, leaves_count=3.0)
    shots = run(plants(**ENDLESS), steady(dli, day, night), [0], start=start, snapshot_d=[40]).snapshots
    assert shots is not None
    mass, leaves = exact(dli, day, night, 10.0, 40, 2.0, 3.0)
    # single precision and the cheap interception: stated error 0.5 % of mass
    assert shots.mass_g_m2.item() == pytest.approx(mass, rel=0.005)
    assert shots.leaves_count.item() == pytest.approx(leaves, rel=0.005)


def test_young_leaves_weigh_more_in_a_run_too() -> None:
    """A week from the seed leaves, where a leaf's area per mass has not come to its full value."""
    start = Start(mass_g_m2=0.05, leaves_count=0.3)
    shots = run(plants(**ENDLESS), steady(8.0, 20.0, 14.0), [0], start=start, snapshot_d=[7]).snapshots
    assert shots is not None
    mass, leaves = exact(8.0, 20.0, 14.0, 10.0, 7, 0.05, 0.3)
    assert leaves < carbon.CONSTANTS.young_leaves_count
    assert shots.mass_g_m2.item() == pytest.approx(mass, rel=0.005)
    assert shots.leaves_count.item() == pytest.approx(leaves, rel=0.005)


def test_axes_are_crops_beds_sowings_draws() -> None:
    crops = both(plants(), plants(rgr_per_d=0.3), plants(target_g=50.0))
    one = np.ones(2)
    draws = Draws(np.array([0.8, 1.2]), np.zeros(2), one, one, one, one)
    found = run(crops, steady([4.0, 8.0, 12.0, 16.0]), np.arange(0, 350, 70), draws)
    assert found.harvest_d.shape == (3, 4, 5, 2)
    assert (found.harvest_d[1] >= found.harvest_d[0]).all()  # a lower ceiling is never quicker
    assert (found.harvest_d[2] < found.harvest_d[0]).all()  # a smaller head is sooner
    assert (np.diff(found.harvest_d, axis=1) <= 0).all()  # more light is never later
    assert (found.harvest_d[..., 1] < found.harvest_d[..., 0]).all()


def test_each_case_is_the_same_alone_as_in_a_crowd() -> None:
    crops = both(plants(), plants(rgr_per_d=0.3, target_g=60.0))
    sowings = np.arange(0, 365, 7)
    crowd = run(crops, seasons(), sowings)
    for crop, sowing in ((0, 3), (1, 40), (0, 51)):
        alone = run(crops.take(slice(crop, crop + 1)), seasons(), [sowings[sowing]])
        assert alone.harvest_d.item() == crowd.harvest_d[crop, 0, sowing, 0]


def test_the_year_wraps_and_hemispheres_mirror() -> None:
    north = run(plants(), seasons(1), np.arange(0, 365, 5)).harvest_d.ravel()
    south = run(plants(), seasons(-1), (np.arange(0, 365, 5) + 182) % 365).harvest_d.ravel()
    assert np.nanmax(np.abs(north - south)) <= 4.0  # half a year is 182.5 days


@pytest.mark.parametrize("dli", [0.0, 0.2, 0.5])
def test_near_dark_ends_in_death_within_weeks(dli: float) -> None:
    # growth-and-stretch section 4: DLI 0, 0.2, 0.5: every crop starves, dead by day 19-24
    found = run(plants(), steady(dli, 20.0, 10.0, 9.0), [0])
    assert found.status.item() == Status.STARVED
    assert np.isnan(found.harvest_d.item())


def test_the_dark_kills_a_warm_seedling_in_weeks_and_spares_a_cold_one_for_months() -> None:
    # growth-and-stretch section 4: dead within weeks in the dark (day 19-24 there); common practice: near freezing a
    # seedling stands still through the darkest weeks and grows on (Orde & Sideman 2016: October sowings crop in spring)
    warm = run(plants(), steady(0.0, 20.0, 10.0, 9.0), [0], snapshot_d=[21, 36])
    assert warm.snapshots is not None
    alive = np.isfinite(warm.snapshots.mass_g_m2.ravel()).tolist()
    assert alive == [True, False]  # up on day 5, dead some four weeks later
    young = Start(mass_g_m2=0.1, leaves_count=1.0)
    cold = run(plants(), steady(0.3, 1.0, 0.0, 9.0), [0], start=young, horizon_d=60, snapshot_d=[59])
    assert cold.status.item() == Status.NOT_WITHIN
    assert cold.snapshots is not None
    assert 0.087 < cold.snapshots.mass_g_m2.item() < 0.1


@pytest.mark.parametrize(("leaves", "mass_g_m2", "spent_frac"), [(14.0, 200.0, 0.4), (1.0, 200.0, 0.13)])
def test_what_may_be_spent_in_the_dark(leaves: float, mass_g_m2: float, spent_frac: float) -> None:
    # docs/method/growth.md, "starved": 40 % of a stand's greatest mass, 13 % of a seedling's, which has its seed leaves
    # and not two true ones, however heavy; upkeep, below half a per cent a day here, is the only loss in the dark
    stand = Start(mass_g_m2=mass_g_m2, leaves_count=leaves)
    dark, days = steady(0.0, 20.0, 10.0, 0.0), np.arange(1, 200)
    found = run(plants(target_g=1e6), dark, [0], start=stand, horizon_d=201, snapshot_d=days)
    assert found.snapshots is not None
    mass = found.snapshots.mass_g_m2.ravel()
    last = mass[np.isfinite(mass)][-1]
    assert not np.isfinite(mass[-1])
    assert found.status.item() == Status.STARVED
    assert last / mass_g_m2 == pytest.approx(1 - spent_frac, abs=0.02)


def test_one_mole_keeps_alive_but_never_makes_a_head() -> None:
    # growth-and-stretch section 4: DLI 1: alive, no harvest in 300 days
    found = run(plants(), steady(1.0, 20.0, 10.0, 9.0), [0], horizon_d=300)
    assert found.status.item() == Status.NOT_WITHIN
    assert found.growth_per_d.item() > 0


def test_frozen_soil_is_too_cold_to_emerge() -> None:
    found = run(plants(), steady(8.0, 1.0, 0.0), [0])
    assert found.status.item() == Status.TOO_COLD
    assert np.isnan(found.emergence_d.item())


def test_one_harvest_yields_the_target_and_a_cut_leaves_its_stubble() -> None:
    head = run(plants(), steady(), [0])
    assert head.yield_g_m2.item() == pytest.approx(150.0 * 20.0, rel=0.12)  # crossed within a day of growth
    cut = run(plants(target_g=5.0, density_per_m2=300.0, regrow_frac=0.3), steady(), [0], repeat=True)
    assert cut.harvest_count.item() > 5
    assert cut.week_yield_g_m2 is not None
    total = cut.week_yield_g_m2.sum()
    assert total > 3 * cut.yield_g_m2.item()
    first_week = int((cut.harvest_d.item() - 1) // 7)
    assert cut.week_yield_g_m2[:first_week].sum() == 0
    assert cut.week_yield_g_m2[first_week].item() == pytest.approx(cut.yield_g_m2.item(), rel=1e-3)


def test_leaves_cut_young_are_ready_at_their_leaf_number() -> None:
    baby = plants(by_leaves=True, transplant_leaves_count=5.0, density_per_m2=900.0, regrow_frac=0.3)
    found = run(baby, steady(12.0), [0])
    assert found.harvest_d.item() == found.transplant_d.item()
    assert found.leaves_count.item() >= 5.0
    dim = run(baby, steady(4.0), [0])
    assert dim.yield_g_m2.item() < found.yield_g_m2.item()  # length is warmth's, weight is light's


def test_snapshots_and_stages_come_in_order() -> None:
    found = run(plants(), steady(), [0], snapshot_d=[3, 20, 40])
    shots = found.snapshots
    assert shots is not None
    assert np.isnan(shots.mass_g_m2[0]).all()  # not up yet
    assert shots.mass_g_m2[2].item() > shots.mass_g_m2[1].item()
    assert found.emergence_d.item() < found.first_leaf_d.item() < found.transplant_d.item() < found.harvest_d.item()


def test_ten_day_mean_wraps_round_the_year() -> None:
    dli = np.zeros(365)
    dli[-5:] = 10.0
    mean = ten_day_mean(dli)
    assert mean[0] == pytest.approx(5.0)
    assert mean[9] == pytest.approx(0.0)
    assert mean[-1] == pytest.approx(5.0)
    assert mean.mean() == pytest.approx(dli.mean())


def test_real_days_in_a_fixed_order_are_slower_than_their_mean() -> None:
    # contract: a mean day is 3-5 % too quick; classes at 10/30/50/70/90 % of light
    level = np.array([0.45, 0.7, 0.95, 1.25, 1.65])
    order = np.tile(level[[2, 0, 4, 1, 3]], 73)
    steady_days = run(plants(), steady(6.0), [0], snapshot_d=[60]).harvest_d.item()
    from tenhour.growth.shapes import bed_climate

    real = run(plants(), bed_climate(6.0 * order, 20.0, 10.0, 10.0), [0]).harvest_d.item()
    assert 1.0 < real / steady_days < 1.08


@pytest.mark.parametrize("sunny", [False, True])
def test_looked_up_tables_are_the_formulas(sunny: bool) -> None:
    from tenhour.growth.carbon import CONSTANTS
    from tenhour.growth.tables import Weather, year_tables

    random = np.random.default_rng(3)
    shape = (365, 2, 3)
    day, night = random.uniform(-5, 36, shape), random.uniform(-12, 25, shape)
    dli, ten, lit = random.uniform(0, 30, shape), random.uniform(0.1, 25, shape), random.uniform(0, 24, shape)
    swing = random.uniform(0.0, 1.0, shape) if sunny else np.zeros(shape)
    crops = both(plants(), plants(temp_min_degc=5.0, drawn_ratio=0.45))
    tables = year_tables(crops, np.ones(3), np.ones(3), Weather(dli, ten, day, night, lit, swing), CONSTANTS)
    for c, crop in enumerate(
        (lettuce(), SimpleNamespace(**{**vars(lettuce()), "temp_min_degc": 5.0, "drawn_ratio": 0.45}))
    ):
        exact = day_coefficients(crop, dli, ten, day, night, lit, swing_frac=swing)
        for name in ("cover_m2_g", "gross_g_m2_d", "upkeep_per_d", "sink_per_d", "length_ratio"):
            ours = getattr(tables, name).reshape(365, 2, 2, 3)[:, c]
            scale = np.abs(getattr(exact, name)).max()
            assert np.abs(ours - getattr(exact, name)).max() < 0.005 * scale, name


# -- leaves cut young --------------------------------------------------------------------------------------------------


def salad(**changes: float) -> CropArrays:
    """A salad cut at five leaves and 400 g m⁻²."""
    return plants(**{
        "by_leaves": True, "transplant_leaves_count": 5.0, "density_per_m2": 900.0, "regrow_frac": 0.3,
        "cut_g_m2": 400.0, **changes,
    })  # fmt: skip


def test_a_salad_cut_needs_leaves_and_weight() -> None:
    climate = steady([1.5, 3.0, 12.0])
    found = run(salad(), climate, [0])
    long_enough = found.transplant_d.ravel()
    cut = found.harvest_d.ravel()
    assert (found.yield_g_m2 >= 400.0).all()
    assert cut[0] > long_enough[0]  # dim: long before it weighs anything
    assert cut[2] == long_enough[2]  # bright: heavy before it is long


@pytest.mark.parametrize("day_night", [(24.0, 18.0), (20.0, 10.0), (12.0, 6.0), (8.0, 3.0)])
def test_less_light_never_brings_any_shipped_crop_forward(day_night: tuple[float, float]) -> None:
    from tenhour.files.crop import load_crops
    from tenhour.model.crop import growth_columns

    table = CropArrays(**growth_columns([c for c in load_crops() if c.grows_by_carbon and c.way != "transplant"]))
    light = np.geomspace(1.5, 25.0, 16)
    days = run(table, steady(light.tolist(), *day_night), [0]).harvest_d[:, :, 0, 0]
    known = np.where(np.isnan(days), 999.0, days)
    assert (np.diff(known, axis=1) <= 0).all()


def test_a_stand_is_given_up_after_its_cuts() -> None:
    found = run(salad(cuts_most_count=3.0), steady(12.0), [0], repeat=True)
    assert found.harvest_count.item() == 3
    assert run(salad(), steady(12.0), [0], repeat=True).harvest_count.item() > 6


def test_seed_comes_up_by_the_warmth_of_the_soil() -> None:
    from tenhour.growth.shapes import bed_climate

    cold = bed_climate(8.0, 20.0, 10.0, 10.0, soil_degc=6.0)
    same = bed_climate(8.0, 20.0, 10.0, 10.0)
    up = [run(plants(), climate, [0]).emergence_d.item() for climate in (cold, same)]
    assert up[0] == pytest.approx(57.0 / (6.0 - 1.3), abs=1.0)
    assert up[0] > 1.8 * up[1]


def test_a_stand_is_cut_the_same_whatever_else_is_grown_beside_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cases that have ended stay in their block for a while: nothing more may come of them there."""
    from tenhour.files.crop import load_crops
    from tenhour.growth import run as runs
    from tenhour.model.crop import growth_columns

    crops = [crop for crop in load_crops() if crop.grows_by_carbon and crop.way in ("cut", "pick")]
    table = CropArrays(**growth_columns(crops))
    sown = list(range(0, 365, 15))
    found = []
    for cases in (24000, 1):
        monkeypatch.setattr(runs, "BLOCK_CASES", cases)
        found.append(run(table, seasons(), sown, repeat=True))
    among, alone = found
    for name in ("harvest_d", "harvest_count", "week_yield_g_m2", "status", "transplant_d"):
        np.testing.assert_array_equal(getattr(among, name), getattr(alone, name), err_msg=name)
