"""What --version says of the data is what the page on data says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import helpers_report as made_up
from helpers_cli import tenhour
from tenhour.files.find import crop_files, shipped_folder
from tenhour.files.versions import NORMALS, PLACES, data_lines, notice_lines
from tenhour.report.page.build import page_html
from tenhour.words.style import Style

PAGE = (Path(__file__).parents[2] / "docs" / "data.md").read_text("utf-8")


def test_the_lines_name_sources_the_page_on_data_names() -> None:
    for word in ("MERRA-2", "ERA5", "2011-2015", "2000-2025"):
        assert word in NORMALS
        assert word in PAGE
    for word in PLACES.replace(" of", "").split():
        assert word in PAGE


def test_notices_say_what_their_holders_ask_for() -> None:
    """The words of the licences: CC BY 4.0, section 3(a)(1), asks for the maker, the licence, its address and changes;
    Copernicus for "Contains modified Copernicus Climate Change Service information" and the disclaimer."""
    done = tenhour("--version", "--all")
    assert done.status == 0
    lines = done.out.splitlines()
    assert lines[: len(data_lines()) + 1] == tenhour("--version").out.splitlines()
    told = "\n".join(lines)
    assert "Contains modified Copernicus Climate Change Service information" in told
    assert "Neither the European Commission nor ECMWF is responsible" in told
    assert "Contains data of GeoNames (www.geonames.org), licensed under CC BY 4.0" in told
    assert told.count("Changed: ") == len(notice_lines()) - 1
    assert tenhour("--all").status == 2


def test_the_page_ends_with_the_notices() -> None:
    page = page_html(made_up.report_answer(), Style(), notices=notice_lines())
    foot = page[page.index("<footer") :]
    for word in ("GeoNames", "Copernicus", "MERRA-2", "ArcticDEM"):
        assert word in foot


@pytest.mark.parametrize("words", [("--version",), ("-v",), ("version",)])
def test_the_version_by_every_word_for_it(words: tuple[str, ...]) -> None:
    assert tenhour(*words).out.startswith("tenhour ")


@pytest.mark.parametrize("words", [(), ("--help",), ("help",), ("-h",)])
def test_without_a_word_and_with_help_there_is_an_answer(words: tuple[str, ...]) -> None:
    done = tenhour(*words)
    assert (done.status, done.err) == (0, "")
    assert "sow" in done.out
    assert max(map(len, done.out.splitlines())) <= 80


def test_help_of_one_command_and_of_one_within_another() -> None:
    assert tenhour("help", "sow").out == tenhour("sow", "--help").out
    assert tenhour("help", "weather", "fetch").out == tenhour("weather", "fetch", "--help").out
    assert "No such command 'sew'" in tenhour("help", "sew").err


def test_one_line_for_each_set_with_a_mark() -> None:
    lines = data_lines()
    assert [line.split(":")[0] for line in lines] == ["normals", "places", "crops"]
    assert all(re.search(r"\([0-9a-f]{8}\)$", line) for line in lines)
    assert f"{len(crop_files(shipped_folder()))} files" in lines[2]
