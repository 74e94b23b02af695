"""The guide to the house file: its examples are read as they stand, and it names every shape and key there is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tenhour.files.house import schema, warmtables
from tenhour.files.house.parts import TOP_KEYS, read_parts
from tenhour.files.house.shape import NEEDED
from tenhour.files.problems import Problems
from tenhour.files.textfile import parse_toml

GUIDE = Path(__file__).parents[2] / "docs" / "guide" / "house.md"
TEXT = GUIDE.read_text("utf-8")
BLOCKS = re.findall(r"```toml\n(.*?)```", TEXT, re.DOTALL)
TABLES = [table for name, table in {**vars(schema), **vars(warmtables)}.items() if name.endswith("Table")]
NEEDED_BUT_LEFT_OUT = ("nothing", "no place")


@pytest.mark.parametrize("block", BLOCKS, ids=range(len(BLOCKS)))
def test_examples_are_good(block: str) -> None:
    problems = Problems("guide")
    read_parts(parse_toml(block, "guide"), problems)
    assert [problem.line() for problem in problems.found if problem.found not in NEEDED_BUT_LEFT_OUT] == []


def test_there_are_examples() -> None:
    assert len(BLOCKS) > 8


@pytest.mark.parametrize("section", TABLES)
def test_every_key_is_explained(section: type[schema.Section]) -> None:
    unexplained = [key for key in section.model_fields if not re.search(rf"\b{key}\b", TEXT)]
    assert set(unexplained) <= {"title", "headroom_m", "roof"}


def test_every_shape_and_table_is_named() -> None:
    assert all(f"`{shape}`" in TEXT for shape in NEEDED)
    assert all(key in TEXT for key in TOP_KEYS if key != "schema")
