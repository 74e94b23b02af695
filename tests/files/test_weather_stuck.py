"""A thermometer that stands still all year is no thermometer: the normals' temperature is taken, and it is said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from helpers_weather import NORTH, made_up, place_head, plain
from tenhour.door.weather import load_weather


def test_a_whole_column_that_stands_still_is_left_out(tmp_path: Path) -> None:
    truth = made_up(NORTH)
    still = replace(truth, temp_degc=np.full_like(truth.temp_degc, 9.0))
    path = tmp_path / "mine.csv"
    path.write_text(plain(still, place_head(NORTH)), encoding="utf-8")
    weather = load_weather(path)
    assert weather.temp_degc is None
    assert any("stand still" in note for note in weather.notes)
    assert any("that of the normals is taken" in note for note in weather.notes)
