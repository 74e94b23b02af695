"""Every rule of the answers in houses drawn at random: one of them on two days, or forty on twelve in the long form."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

import helpers_rules as rules
import tenhour
from helpers_any_house import any_house
from helpers_long import many

HOUSES = many((8,), tuple(range(40)))
"""In the short form one with a nursery."""
DAYS = many(2, 12)
MONTH_D = 30.4
OTHERS_EVERY = 4
"""The week and the year are asked on every fourth day, the days that pay on every third."""
PAYS_EVERY = 3


@pytest.mark.parametrize("seed", HOUSES)
def test_every_answer_keeps_the_rules(seed: int, tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    path.write_text(any_house(seed), "utf-8")
    year = tenhour.Year(tenhour.read_house(path))
    draw = np.random.default_rng(seed + 1000)
    for number in range(DAYS):
        at = round(12 / DAYS * MONTH_D * number + int(draw.integers(28)))
        day = (date(2026, 7, 15) + timedelta(days=at)).isoformat()
        found = rules.check_sow(year, day)
        if number % PAYS_EVERY == 0:
            rules.check_pays(year, day, found)
        if number % OTHERS_EVERY == 0:
            rules.check_others(year, day, found)
