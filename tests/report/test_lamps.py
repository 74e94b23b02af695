"""The lamp answer written: JSON that keeps to its schema, text that fits, tables that hold."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tenhour.model.lamp_answer import (
    ClockChange,
    ClockMonth,
    HeightRow,
    LampAnswer,
    LampCircuit,
    LampLayout,
    LampMap,
    LitDay,
    Remedy,
)
from tenhour.model.results import Basis
from tenhour.report.answers import answer_json
from tenhour.report.lamps import lamps_tables, lamps_text
from tenhour.report.spreadsheet import csv_text
from tenhour.words.style import Style

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "lamps.json"
DARK = {11, 12, 1, 2}


def made_up() -> LampAnswer:
    clock = tuple(
        ClockMonth(m, (("06:00", "09:00"), ("16:00", "22:00")), 9.0, 15.0, 14.5, 30.0, 9.0, 30)
        if m in DARK
        else ClockMonth(m, (), 0.0, 13.0, 12.0, 0.0, 0.0)
        for m in range(1, 13)
    )
    layout = LampLayout(
        "white LED bar", (1.15, 0.05), 40.0, 96.0, 4, 4, 1, "the width", (0.3, 0.9, 1.5, 2.1), (0.4,) * 4, 0.35, 0.62,
        0.9, 120.0, 0.58, 0.2, 0.04, 0.06, False, 0.7,
    )  # fmt: skip
    return LampAnswer(
        basis=Basis({"bed": "front"}, ("assumed",), ("Circuit overloaded: lamps 1.3 A",), ("mind the mains",)),
        bed="front", area_m2=1.92, tiers_count=1, crops=("lettuce",), headline="Over front for lettuce: 4 bars.",
        target_dli_mol_m2_d=12.0, daylight_dli_mol_m2_d=2.0, missing_dli_mol_m2_d=10.0, size_month=12,
        ppfd_umol_m2_s=115.0, hours_h=9.0, ppf_umol_s=380.0, fixtures_count=4, power_w=160.0, clock=clock,
        on_from=date(2026, 10, 20), off_from=date(2027, 3, 1), energy_day_kwh=1.44, energy_season_kwh=120.0,
        cost_season_currency=36.0, currency="EUR",
        circuit=LampCircuit(120.0, 15.0, 1.33, 12.5, 13.83, 12.0, True, 20.0, 1),
        layout=layout, heights=(HeightRow(0.35, 120.0, 0.58, 0.62, True), HeightRow(0.6, 90.0, 0.6, 0.47)),
        days=tuple(LitDay(kind, 2.0, 10.0, 12.0, 7.0) for kind in ("dull", "mean", "bright")),
        half_enough_from=date(2027, 2, 2), remedies=(Remedy("white side panels", 0.75, 1.16, True),),
        conflicts=("spinach and lettuce differ",), changes=(ClockChange(date(2026, 10, 25), -1.0),),
        photons_mol_kwh=5.1, growth_g_kwh=30.0, heat_w=144.0, warming_k=1.4, sensor_on_umol_m2_s=150.0,
        sensor_off_umol_m2_s=225.0, bright_day_rest_dli_mol_m2_d=9.0, dim_frac=0.9,
        map=LampMap((0.5, 1.5), (0.2, 0.6), ((10.0, 11.0), (12.0, 13.0)), ((80.0, 90.0), (100.0, 110.0))),
    )  # fmt: skip


def without_lamps() -> LampAnswer:
    return replace(
        made_up(), layout=None, map=None, on_from=None, off_from=None, half_enough_from=None, heights=(), days=(),
        remedies=(), changes=(), photons_mol_kwh=None, growth_g_kwh=None, warming_k=None, sensor_on_umol_m2_s=None,
        sensor_off_umol_m2_s=None, bright_day_rest_dli_mol_m2_d=None, dim_frac=None, fixtures_count=0,
        cost_season_currency=None, currency=None,
    )  # fmt: skip


@pytest.mark.parametrize("answer", [made_up(), without_lamps()], ids=["full", "none"])
def test_json_keeps_to_its_schema(answer: LampAnswer) -> None:
    schema = json.loads(SCHEMA.read_text("utf-8"))
    checker = Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)
    errors = [error.message for error in checker.iter_errors(answer_json(answer))]
    assert not errors
    json.dumps(answer_json(answer), allow_nan=False)


@pytest.mark.parametrize("width", [80, 120])
@pytest.mark.parametrize("us", [False, True])
def test_text_fits_and_says_what_matters_first(width: int, us: bool) -> None:
    text = lamps_text(made_up(), width, style=Style(us_units=us), with_map=True, everything=True)
    assert max(len(line) for line in text.splitlines()) <= width
    assert text.startswith("Circuit overloaded")
    assert text.index("Circuit overloaded") < text.index("Over front") < text.index("Cautions")
    for words in (
        "Conflict: spinach",
        "does not reach the 0.70",
        "06:00-09:00, 16:00-22:00",
        "put back 1 h",
        "36.00 EUR",
    ):
        assert words in text
    assert (" ft" in text) == us


def test_text_without_lamps_is_short() -> None:
    text = lamps_text(without_lamps(), 80)
    assert "Fixtures" not in text
    assert "Over front" in text


def test_tables_as_spreadsheets() -> None:
    tables = {table.key: table for table in lamps_tables(made_up())}
    assert set(tables) == {"days", "clock", "heights", "places", "remedies"}
    lines = csv_text(tables["places"], Style()).splitlines()
    assert lines[0] == "fixture,x_m,y_m"
    assert len(lines) == 5
