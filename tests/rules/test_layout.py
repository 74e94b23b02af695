"""Every module is one subject with a name, and none needs itself."""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from helpers_parsed import parsed

SOURCE = Path(__file__).parents[2] / "src"


def module_name(path: Path) -> str:
    parts = path.relative_to(SOURCE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(tree: ast.Module, known: set[str]) -> set[str]:
    """Modules of ours that a module imports anywhere in it, but for those only a type checker reads."""
    found = set()
    running = [n for n in tree.body if not (isinstance(n, ast.If) and ast.unparse(n.test).endswith("TYPE_CHECKING"))]
    for node in (inner for outer in running for inner in ast.walk(outer)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            whole = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= {name if name in known else node.module for name in whole}
    return found & known


PATHS = {module_name(path): path for path in sorted(SOURCE.rglob("*.py"))}


VAGUE = {
    "util",
    "utils",
    "helper",
    "helpers",
    "misc",
    "common",
    "base",
    "core",
    "tools",
    "stuff",
    "general",
    "extra",
    "more",
}
"""Names that say nothing of what a module holds."""
SHARED = {"tenhour.cli.common", "tenhour.report.common"}
"""What every command and every text shares: one subject each, named for that."""


def subject(path: Path) -> str:
    """The first line of a module's docstring: what a reader is told it holds."""
    return (ast.get_docstring(parsed(path)) or "").split("\n")[0]


def test_every_module_has_a_name_and_a_subject_that_a_reader_could_give_it() -> None:
    """No count of lines decides; a module that nobody could name is several, or part of another."""
    vague = {name for name in PATHS if set(name.split(".")[-1].split("_")) & VAGUE} - SHARED
    assert vague == set()
    unsaid = {name for name, path in PATHS.items() if len(subject(path).split()) < MIN_WORDS}
    assert unsaid == set()


MIN_WORDS = 3


def test_no_module_imports_itself_by_a_detour() -> None:
    known = set(PATHS)
    graph = {name: imports(parsed(path), known) - {name} for name, path in PATHS.items()}
    assert sum(map(len, graph.values())) > len(PATHS)
    TopologicalSorter(graph).prepare()


def test_the_rule_finds_a_circle() -> None:
    trees = {"a": "from b import x", "b": "def f():\n    import a", "c": "import a"}
    graph = {name: imports(ast.parse(text), set(trees)) for name, text in trees.items()}
    with pytest.raises(CycleError, match="cycle"):
        TopologicalSorter(graph).prepare()


HELD = {"tenhour.growth.engine", "tenhour.year.crops.supply"}
"""Where something that grows or is counted changes step by step within one call."""


def test_what_the_science_and_the_answers_hand_on_cannot_be_changed_afterwards() -> None:
    """Years, tables and answers are shared between commands, tabs of the page and threads."""
    loose = []
    for name, path in PATHS.items():
        if name.split(".")[1:2] and name.split(".")[1] in ("cli", "files", "open"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            marks = [ast.unparse(mark) for mark in node.decorator_list] if isinstance(node, ast.ClassDef) else []
            loose += [name for mark in marks if mark.startswith("dataclass") and "frozen=True" not in mark]
    assert set(loose) == HELD
