"""Plants for the garden in a nursery that was named: told by sow, and never without a word."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_cli import tenhour
from helpers_once import build_once
from helpers_options import HOUSE


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "house.toml").write_text(HOUSE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    build_once(monkeypatch)
    return tmp_path


def test_sow_says_when_plants_are_ready_in_the_nursery_and_where_it_gains_nothing(house: Path) -> None:
    asked = ("sow", "--on", "2027-02-20", "--raise-dli", "10")
    told = " ".join(tenhour(*asked, "--crop", "tomato-plants").out.split())
    assert "plants for the garden are ready between" in told
    said = tenhour(*asked, "--crop", "leaf-lettuce", "--json").out
    assert "gains none of these crops 7 days on this date" in said
