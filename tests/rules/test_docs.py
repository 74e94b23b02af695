"""The pages that must keep step with the code."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tenhour.units import SUFFIXES

ROOT = Path(__file__).parents[2]
LAYERS = {
    "sun", "sky", "cover", "house", "growth", "heat", "sowing", "season", "lamps", "stretch", "calibration", "speed",
}  # fmt: skip


def test_every_unit_ending_is_explained() -> None:
    page = (ROOT / "docs" / "units.md").read_text("utf-8")
    table = page.split("## Endings")[1].split("## Words")[0]
    explained = set(re.findall(r"`([a-z0-9_]+)`", table))
    assert explained == set(SUFFIXES)


def test_every_layer_has_a_method_page() -> None:
    pages = {path.stem for path in (ROOT / "docs" / "method").glob("*.md")}
    assert pages >= LAYERS


@pytest.mark.parametrize("page", sorted((ROOT / "docs" / "method").glob("*.md")), ids=lambda page: page.stem)
def test_every_method_page_has_equations_and_the_error_to_expect(page: Path) -> None:
    text = page.read_text("utf-8")
    equations = re.findall(r"^ {4}\S.* [=<≥] .*$|\|.* = .*\||\*\* = ", text, re.MULTILINE)
    assert equations, "no equation in a block, table or list"
    assert "error to expect" in text.lower()
    # a page that states an error gives it as a figure
    assert re.search(r"\d[\d.e-]*\s?(%|°|K\b|days|s\b|points)", text[text.lower().index("error to expect") :])


def test_every_abbreviation_of_the_trade_is_in_the_glossary() -> None:
    words = (ROOT / "docs" / "units.md").read_text("utf-8").split("## Words")[1]
    pages = [*(ROOT / "docs" / "guide").glob("*.md"), *(ROOT / "docs" / "method").glob("*.md"), ROOT / "README.md"]
    trade = {"GHI", "DNI", "PAR", "PPFD", "DLI", "PPF", "CU", "MF", "LAI", "EPW", "R:FR"}
    used = {word for word in trade for page in pages if re.search(rf"\b{word}\b", page.read_text("utf-8"))}
    assert used == trade, "take out of the list what nobody writes"
    assert [word for word in sorted(trade) if word not in words] == []
