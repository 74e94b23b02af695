from dataclasses import replace

import numpy as np
import pytest

from helpers_growth import seasons, steady
from tenhour.growth.seedfed import TrayArrays, seed_fed


def trays() -> TrayArrays:
    one = np.ones(1)
    return TrayArrays(3.0 * one, 180.0 * one, 900.0 * one, 1500.0 * one, 120.0 * one, 0.0 * one)


def test_light_never_changes_the_days_only_the_mass() -> None:
    # Jones-Baumgardt et al. 2020: ready in 11-12 d whatever the lamps, fresh mass rises to an asymptote
    found = seed_fed(trays(), steady([0.0, 3.0, 6.0, 12.0, 23.5], 22.0, 18.0, 12.0), [0])
    assert np.unique(found.harvest_d).size == 1
    mass = found.yield_g_m2[0, :, 0, 0]
    assert mass[0] == pytest.approx(900.0)
    gain = np.diff(mass) / np.diff([0.0, 3.0, 6.0, 12.0, 23.5])
    assert (np.diff(gain) < 0).all()
    assert mass[-1] < 2400.0


def test_a_february_glasshouse_takes_eleven_days() -> None:
    # Jones-Baumgardt et al. 2020: kale 11 days, natural 6 mol plus lamps, 43° N
    assert seed_fed(trays(), steady(10.0, 22.0, 18.0, 12.0), [31]).harvest_d.item() == pytest.approx(11, abs=1)


def test_days_follow_the_sum_of_warmth_through_the_year() -> None:
    found = seed_fed(trays(), seasons(), np.arange(0, 365, 30)).harvest_d[0, 0, :, 0]
    assert found[0] > 1.5 * found[6]  # January against July


def test_too_cold_is_never() -> None:
    assert np.isnan(seed_fed(trays(), steady(6.0, 3.5, 2.0), [0]).harvest_d).all()


def test_light_counts_from_when_the_tray_is_uncovered() -> None:
    climate = steady([6.0], 22.0, 18.0, 12.0)
    plain, dark = trays(), replace(trays(), dark_d=np.array([3.0]))
    open_at_once, covered = (seed_fed(tray, climate, [0]) for tray in (plain, dark))
    days = open_at_once.harvest_d.item()
    assert covered.harvest_d.item() == days
    light = 6.0 * (days - 3.0)
    assert covered.yield_g_m2.item() == pytest.approx(900.0 + 1500.0 * light / (light + 120.0))
    assert covered.yield_g_m2.item() < open_at_once.yield_g_m2.item()
