"""How well the few drawn seasons behind an answer stand for six hundred of them."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from helpers_world import crops, demo_world
from tenhour.plan.ranges import HIGH, LOW, MIDDLE, at_share, sorted_draws
from tenhour.year.crops import growing
from tenhour.year.crops.grown import DRAWS
from tenhour.year.outside.sunlight import SEED

GROWN = [crop for crop in crops().values() if crop.way != "fruiting"]
MANY = 600
SHARES = {LOW: 0.08, MIDDLE: 0.08, HIGH: 0.10}
"""What nine sowings in ten may be off by, at each share of the draws: wanted of the answers."""


def days_at(count: int, seed: int) -> dict[float, np.ndarray]:
    """Days to harvest of every crop, bed and sowing at the shares told in answers."""
    world = demo_world()
    draws = growing.seasons_of(world, GROWN, count, seed)
    found = growing.grow(GROWN, growing.bed_climates(world), growing.SOWN_DOY, draws).harvest_d
    return {share: at_share(sorted_draws(found), share) for share in SHARES}


@lru_cache(maxsize=1)
def of_many() -> dict[float, np.ndarray]:
    """The same from many seasons, of a seed of their own."""
    return days_at(MANY, 99)


@pytest.mark.long
@pytest.mark.parametrize("seed", [SEED, 1, 2, 3, 4])
def test_ranges_of_few_draws_are_those_of_many(seed: int) -> None:
    few = days_at(DRAWS, seed)
    for share, wanted in SHARES.items():
        known = np.isfinite(few[share]) & np.isfinite(of_many()[share])
        off = np.abs(few[share][known] / of_many()[share][known] - 1.0)
        lost = np.mean(np.isfinite(few[share]) != np.isfinite(of_many()[share]))
        print(f"seed {seed}, {share:.0%}: nine in ten within {np.quantile(off, 0.9):.1%}, lost or won {lost:.1%}")
        assert np.quantile(off, 0.9) < wanted
