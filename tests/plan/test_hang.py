"""Where a thermostat goes, found again in rooms that are layered and have a cold corner."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from helpers_long import many
from tenhour.plan.warmth import DayTable, hang

pytestmark = pytest.mark.quick
HOLD_DEGC = 3.0
PLACES = {"middle": 0.0, "corner": -2.5, "ridge": 3.0}


def room(seed: int, nights: int, noise_k: float = 0.3, **places: float) -> DayTable:
    """Lows of some nights: layering grows with the cold, the corner's pool with still air."""
    random = np.random.default_rng(seed)
    air = random.uniform(-4.0, 8.0, nights)
    still = random.normal(1.0, 0.15, nights)
    layers = (10.0 - air) / 10.0
    dates = pd.date_range("2027-01-10", periods=nights)
    offsets = places or PLACES
    lows = {
        name: air + k * (layers if k > 0.0 else still) + random.normal(0.0, noise_k, nights)
        for name, k in offsets.items()
    }
    frame = pd.DataFrame(lows, index=dates)
    return DayTable(frame + 5.0, frame + 1.0, frame.assign(outside=air - 6.0))


def test_the_set_point_is_found_within_half_a_kelvin() -> None:
    found = [hang(room(seed, 10), HOLD_DEGC) for seed in range(40)]
    told = [one for one in found if one is not None and one.set_degc is not None]
    assert len(told) > 30
    assert all(one.coldest == "corner" for one in told)
    middle = [one for one in told if one.place == "middle"]
    assert len(middle) >= 0.9 * len(told)  # under the ridge it is only now and then as even, by chance
    errors = np.array([one.set_degc - (HOLD_DEGC + 2.5) for one in middle if one.set_degc is not None])
    assert (np.abs(errors) <= 0.5).mean() >= 0.95


def test_the_days_a_backup_would_have_come_on_are_those_the_corner_was_too_cold() -> None:
    table = room(3, 10, noise_k=0.01)
    one = hang(table, HOLD_DEGC)
    assert one is not None
    corner = table.coldest_degc["corner"]
    clear = (corner - HOLD_DEGC).abs() > 1.0
    cold = {day.date() for day in corner.index[(corner < HOLD_DEGC) & clear]}
    assert cold <= set(one.backup_on) <= {day.date() for day in corner.index[(corner < HOLD_DEGC) | ~clear]}


@pytest.mark.parametrize(
    ("nights", "places", "noise_k"),
    [(2, PLACES, 0.3), (6, {"a": 0.0, "b": 0.05}, 0.3), (4, PLACES, 3.0)],
    ids=["two nights", "alike", "noisy"],
)
def test_it_says_when_it_cannot_tell(nights: int, places: dict[str, float], noise_k: float) -> None:
    for seed in range(10):
        one = hang(room(seed, nights, noise_k, **places), HOLD_DEGC)
        assert one is not None
        if one.place is None:
            assert "cannot be told" in one.told
    silent = [hang(room(seed, nights, noise_k, **places), HOLD_DEGC) for seed in range(10)]
    assert sum(one is not None and one.place is None for one in silent) >= 8


def any_room(seed: int) -> tuple[DayTable, dict[str, float]]:
    """A room drawn at random, 3 to 14 nights of two to five places, and how far each is from the coldest on the mean.

    Layers and pools grow with the cold and with still air, by as much as houses do (2-5 K under a roof, 2 K at an edge:
    docs/method/heat.md); some rooms have no cold corner, or two alike.
    """
    random = np.random.default_rng(seed)
    nights, noise_k = int(random.integers(3, 15)), random.uniform(0.1, 0.6)
    count = int(random.integers(1, 5))
    offsets = {"corner": -random.choice([0.0, 0.5, 1.5, 3.0])}
    offsets |= {f"place {n}": random.uniform(-0.5, 4.0) for n in range(count)}
    air = random.uniform(-6.0, 8.0, nights)
    still, layers = 1.0 + random.normal(0.0, 0.15, nights), (10.0 - air) / 10.0
    mean_layer = (10.0 - 1.0) / 10.0
    lows = {
        name: air + k * (layers if k > 0.0 else still) + random.normal(0.0, noise_k, nights)
        for name, k in offsets.items()
    }
    frame = pd.DataFrame(lows, index=pd.date_range("2027-01-10", periods=nights))
    mean = {name: k * (mean_layer if k > 0.0 else 1.0) for name, k in offsets.items()}
    low = min(mean.values())
    return DayTable(frame + 5.0, frame + 1.0, frame), {name: one - low for name, one in mean.items()}


def test_in_rooms_of_all_kinds_what_is_told_is_right_within_half_a_kelvin() -> None:
    """What is told holds within half a kelvin nineteen times in twenty; where it cannot, it says so.

    3000 rooms in the long form: a count of 95 % of the 1500 that are told has a spread of 0.6 %; of 300 short, 1.8 %.
    """
    told, silent, wrong = [], 0, 0
    for seed in range(many(300, 3000)):
        table, above = any_room(seed)
        one = hang(table, HOLD_DEGC)
        assert one is not None
        if one.place is None:
            silent += 1
            assert "cannot be told" in one.told
            continue
        assert one.set_degc is not None
        told.append(abs(one.set_degc - HOLD_DEGC - (above[one.place] - above[one.coldest])))
        wrong += above[one.coldest] > 0.5  # another place is the coldest by more than half a kelvin
    assert len(told) > 0.2 * (len(told) + silent)
    assert silent > 0.1 * (len(told) + silent)
    assert np.mean(np.array(told) <= 0.5) >= many(0.92, 0.94)
    assert wrong <= 0.05 * len(told)
