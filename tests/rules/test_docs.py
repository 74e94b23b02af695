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


PAGES = [*sorted((ROOT / "docs").rglob("*.md")), ROOT / "DEVELOPERS.md", ROOT / "README.md", ROOT / "CHANGELOG.md"]
HOMES = (ROOT, ROOT / "src" / "tenhour", ROOT / "src", ROOT / "tests", ROOT / "scripts")
"""Where a path may begin, beside the page's own folder."""
EXAMPLES = {
    "mine/pak-choi.toml", "tests/published/NAME.csv", "01/02/2027", "./house.toml", "sitecustomize.py", "static/",
    "W/m2K", "Btu/h/ft2/F",
}  # fmt: skip
"""Paths that a reader makes, and what only looks like one."""
OTHERS = {"--dist", "--cov", "--cov-branch"}
"""Options of other programs."""


def quoted(page: Path) -> list[str]:
    """What a page has in backticks, line by line."""
    return re.findall(r"`([^`\n]+)`", page.read_text("utf-8"))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_path_that_a_page_names_is_there(page: Path) -> None:
    words = {word.strip('",;:()') for text in quoted(page) for word in text.split()}
    paths = {word for word in words if re.fullmatch(r"[\w.*-]*(/[\w.*-]*)+|[\w*-]+\.py", word) and word[0] not in "/-"}
    paths -= {word for word in paths if word.startswith(".venv/")} | EXAMPLES
    homes = (*HOMES, page.parent)
    assert [path for path in sorted(paths) if not any(found(home, path) for home in homes)] == []


def found(home: Path, path: str) -> bool:
    """Whether a path, or a name in a module as in ``plan/ranges.peaks``, is there."""
    module = home / f"{path.rpartition('.')[0]}.py"
    inside = module.is_file() and re.search(rf"\b{path.rpartition('.')[2]}\b", module.read_text("utf-8"))
    plain = path if "/" in path else f"**/{path}"  # a module named alone
    return bool(inside) or (home / path).exists() or any(home.glob(plain.rstrip("/")))


def test_every_option_that_a_page_names_is_there() -> None:
    there = set(re.findall(r"--[a-z][a-z-]*", (ROOT / "docs" / "cli.md").read_text("utf-8"))) | OTHERS
    for script in (ROOT / "scripts").glob("*.py"):
        there |= set(re.findall(r'"(--[a-z][a-z-]*)"', script.read_text("utf-8")))
    for page in PAGES:
        named = {word for text in quoted(page) for word in re.findall(r"(?<![\w-])--[a-z][a-z-]*[a-z](?![\w…-])", text)}
        assert sorted(named - there) == [], page.name
