"""CSV of every table: read back by the standard reader, numbers whole, no cell that runs as a formula."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import helpers_report as made_up
from tenhour.report.light import light_tables
from tenhour.report.season import season_tables
from tenhour.report.sow import sow_tables
from tenhour.report.spreadsheet import csv_text, safe_text
from tenhour.report.tables import Field, Table, find_table
from tenhour.units import SUFFIXES
from tenhour.words.style import Style

ALL = (
    *light_tables(made_up.light_answer()),
    *sow_tables(made_up.sow_answer()),
    *season_tables(made_up.season_answer()),
)
US = Style(us_units=True, dates="us")


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


@pytest.mark.parametrize("table", ALL, ids=lambda table: table.key)
def test_every_row_comes_back(table: Table) -> None:
    rows = read(csv_text(table, Style()))
    assert len(rows) == len(table.rows) > 0
    for row, cells in zip(rows, table.rows, strict=True):
        for field, cell in zip(table.fields, cells, strict=True):
            _same(row[field.key], cell)


def _same(text: str, cell: object) -> None:
    if cell is None:
        assert text == ""
    elif isinstance(cell, date):
        assert text == cell.isoformat()
    elif isinstance(cell, str):
        assert text == cell
    else:
        assert isinstance(cell, int | float)
        assert float(text) == pytest.approx(cell, rel=1e-5, abs=1e-9)


@pytest.mark.parametrize("table", ALL, ids=lambda table: table.key)
def test_every_number_names_its_unit(table: Table) -> None:
    for field in table.fields:
        if field.right and field.kind != "days":
            parts = field.key.split("_")
            assert any("_".join(parts[i:]) in SUFFIXES for i in range(len(parts))), field.key


def test_names_of_tables_are_unique_per_answer() -> None:
    for tables in (light_tables(made_up.light_answer()), season_tables(made_up.season_answer())):
        keys = [table.key for table in tables]
        assert len(set(keys)) == len(keys)
        assert find_table(tables, keys[-1]) is tables[-1]
        assert find_table(tables, "nothing") is None


def test_us_units_change_names_and_numbers_together() -> None:
    weeks = find_table(season_tables(made_up.season_answer()), "weeks")
    assert weeks is not None
    metric, us = read(csv_text(weeks, Style()))[0], read(csv_text(weeks, US))[0]
    assert float(us["night_degf"]) == pytest.approx(float(metric["night_degc"]) * 9 / 5 + 32, rel=1e-5)
    assert us["start"] == metric["start"], "dates in a spreadsheet stay ISO"


@settings(deadline=None, derandomize=True, max_examples=300)
@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r\x00")))
def test_any_name_comes_back_and_none_is_a_formula(name: str) -> None:
    table = Table("t", "", (Field("name", "name"), Field("a_m", "a", "length")), ((name, 1.0),))
    row = read(csv_text(table, Style()))[0]
    assert row["name"].removeprefix("'") == name.removeprefix("'")
    assert not row["name"].startswith(("=", "+", "-", "@", "\t"))


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\r=1", "＝1"])
def test_formulas_become_text(name: str) -> None:
    assert safe_text(name) == "'" + name


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        (" =1+1", "' =1+1"),
        ("\u00a0@SUM(A1)", "'\u00a0@SUM(A1)"),
        ("\ufeff=1", "'\ufeff=1"),
        ("\u200f-1", "'\u200f-1"),
        ("kale;=1+1", "kale;'=1+1"),
        ("kale\t@x", "kale\t'@x"),
        ("kale; from 3 -5 C", "kale; from 3 -5 C"),
    ],
)
def test_formulas_behind_blanks_and_other_separators_become_text(name: str, kept: str) -> None:
    """Programs trim what nobody sees, and where the comma is the decimal sign they split at semicolons."""
    assert safe_text(name) == kept


def test_headings_are_guarded_as_cells_are() -> None:
    table = Table("t", "", (Field("=cmd", "a"),), (("x",),))
    assert csv_text(table, Style()).splitlines()[0] == "'=cmd"


def test_infinite_and_missing_numbers_are_empty() -> None:
    table = Table("t", "", (Field("a_m", "a", "length"),), ((float("nan"),), (float("inf"),), (None,)))
    assert [row["a_m"] for row in read(csv_text(table, Style()).replace("\n\n", '\n""\n'))][:1] == [""]
    assert csv_text(table, Style()).count("nan") == csv_text(table, Style()).count("inf") == 0
