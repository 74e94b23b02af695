"""The cold a crop meets: lowest nights of its stay over winters, against what it then stands, by hand."""

from __future__ import annotations

import statistics
from dataclasses import fields
from functools import cache
from typing import Any

import numpy as np
import pytest

from helpers_world import crops, plain, world_of
from tenhour.growth.hardening import GAIN_PER_D, Harm
from tenhour.plan.dates import DAYS
from tenhour.year.answers.sow import stay_of
from tenhour.year.crops.grown import Table, table_of
from tenhour.year.crops.nights import Nights
from tenhour.year.warm.warmth import IndoorAir

DAY = np.arange(DAYS)
KEYS = ("spinach", "head-lettuce", "basil")


def air_of(lows: list[np.ndarray], day: float = 12.0) -> IndoorAir:
    """One bed over made-up winters that begin on the 180th day of the year."""
    low = np.array(lows)[:, None]
    told: dict[str, Any] = {"lows_degc": low, "lit_degc": np.full_like(low, day), "first_doy": 180}
    return IndoorAir(**{part.name: told.get(part.name, np.zeros((1, DAYS))) for part in fields(IndoorAir)})


@cache
def unheated() -> Table:
    return table_of(world_of(plain(air="")), [crops()[key] for key in KEYS])


def test_lowest_night_of_a_stay_is_the_median_over_winters_of_each_winters_lowest() -> None:
    # by hand: every winter's own lowest between coming up and harvest, then the middle of the ten
    table = unheated()
    day = 275
    up, days = int(table.emergence_d[0, 1, day]), int(table.days[0, 1, day])
    winters = [
        min(float(table.world.air.lows_degc[winter, 1, (day + n) % DAYS]) for n in range(up, days))
        for winter in range(len(table.world.air.lows_degc))
    ]
    found = stay_of(table, 0, 1, day)
    assert found.lowest_degc == pytest.approx(statistics.median(winters))
    low, second = sorted(winters)[:2]
    assert found.rare_degc == pytest.approx(low + 0.9 * (second - low))  # tenth of ten, between lowest and next


def test_what_decides_is_what_the_sentence_says() -> None:
    """One rule book: the arrays behind verdicts and the figures printed come from the same nights."""
    table = unheated()
    for crop in range(len(KEYS)):
        for day in range(0, DAYS, 7):
            stay = stay_of(table, crop, 0, day)
            assert bool(table.threats.harmed[crop, 0, day]) == (stay.harm is Harm.KILLED), (crop, day)
            assert bool(table.threats.scorched[crop, 0, day]) == (stay.harm is Harm.SCORCHED), (crop, day)


def test_a_frost_out_of_warm_weather_kills_what_stands_it_in_the_cold() -> None:
    """Spinach -16 °C hardened, -6 °C from warmth (Tamura 2002; Fennell & Li 1985, abstracts read)."""
    nights = Nights((crops()["spinach"],), air_of([np.where(DAY == 300, -9.0, 12.0)], day=20.0))
    assert nights.stay(0, 0, 290, 20).harm is Harm.KILLED
    assert nights.stay(0, 0, 301, 20).harm is Harm.SAFE
    cold = Nights((crops()["spinach"],), air_of([np.where(DAY == 300, -9.0, -1.0)], day=2.0))
    assert cold.stay(0, 0, 290, 20).harm is Harm.SAFE


def test_hardening_counts_from_the_days_before_the_night() -> None:
    # two wholly cold days out of warmth give 1 - (1 - gain)^2 of it (definition)
    lows = np.where((DAY >= 298) & (DAY < 400), 0.0, 20.0)
    nights = Nights((crops()["spinach"],), air_of([lows], day=2.0))
    before = nights.hardened_frac[0, 0, 298]
    assert nights.hardened_frac[0, 0, 300] == pytest.approx(1 - (1 - before) * (1 - GAIN_PER_D) ** 2)


def test_winters_that_differ_give_the_middle_one_and_one_in_ten() -> None:
    lows = [np.where(DAY == 300, low, 3.0) for low in np.linspace(-1.0, -10.0, 10)]
    nights = Nights((crops()["head-lettuce"],), air_of(lows, day=6.0))
    stay = nights.stay(0, 0, 280, 40)
    assert stay.lowest_degc == pytest.approx(-5.5)
    assert stay.rare_degc == pytest.approx(-9.1)
    assert stay.rare_harm is Harm.KILLED
    assert stay.harm is not Harm.KILLED
    assert not np.isfinite(nights.until_d(0)[0, 320])
    assert nights.until_d(0)[0, 301] > DAYS / 2


def test_warm_crops_are_chilled_above_frost_and_never_merely_scorched() -> None:
    nights = Nights((crops()["basil"],), air_of([np.full(DAYS, 10.0)]))
    assert nights.stay(0, 0, 200, 30).harm is Harm.KILLED  # 11 °C chills it
    assert Nights((crops()["basil"],), air_of([np.full(DAYS, 12.0)])).stay(0, 0, 200, 30).harm is Harm.SAFE
