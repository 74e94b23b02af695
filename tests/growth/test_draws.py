import numpy as np
import pytest

from helpers_growth import plants, seasons
from tenhour.growth.draws import season_draws
from tenhour.growth.run import run
from tenhour.growth.shapes import Draws


def drawn(n: int, seed: int = 1) -> Draws:
    """Draws for one crop, its season with a spread of 15 %."""
    return season_draws((1,), 0.15, n, seed)


def test_one_draw_is_the_middle() -> None:
    one = drawn(1)
    assert one.light_factor.tolist() == [1.0]
    assert one.temp_offset_k.tolist() == [0.0]


def test_draws_have_their_median_and_spread_and_hardly_correlate() -> None:
    draws = drawn(15)
    assert np.median(draws.light_factor) == pytest.approx(1.0)
    assert np.log(draws.light_factor).std() == pytest.approx(0.15, rel=0.08)  # 15 midpoints of a normal
    assert draws.temp_offset_k.mean() == pytest.approx(0.0, abs=1e-12)
    columns = np.stack([np.log(draws.light_factor), draws.temp_offset_k, np.log(draws.rgr_factor[0]),
                        np.log(draws.sla_factor[0]), np.log(draws.seedling_factor[0]),
                        np.log(draws.target_factor[0])])  # fmt: skip
    assert np.abs(np.corrcoef(columns) - np.eye(6)).max() < 0.45


def test_the_seed_decides() -> None:
    assert (drawn(15, 3).light_factor == drawn(15, 3).light_factor).all()
    assert (drawn(15, 3).light_factor != drawn(15, 4).light_factor).any()


def test_fifteen_draws_give_the_range_of_many() -> None:
    many = np.nanpercentile(run(plants(), seasons(), [20], drawn(400, 9)).harvest_d, [10, 50, 90])
    few = np.nanpercentile(run(plants(), seasons(), [20], drawn(15, 1)).harvest_d, [10, 50, 90])
    assert few == pytest.approx(many, rel=0.07)


def test_autumn_sowings_that_race_the_dark_have_wider_ranges() -> None:
    # growth-and-stretch section 6: ±12 % from midwinter and spring, ±30 % from September to October
    found = run(plants(), seasons(), [60, 250], drawn(60, 2)).harvest_d[0, 0]
    low, middle, high = np.nanpercentile(np.nan_to_num(found, nan=365.0), [10, 50, 90], axis=1)
    width = (high - low) / middle
    assert width[1] > 1.5 * width[0]
