"""No module is two subjects, and none needs itself: sizes and circles of imports."""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src"
MOST_LINES = 400


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


def test_modules_are_short() -> None:
    lines = {name: len(path.read_text("utf-8").splitlines()) for name, path in PATHS.items()}
    assert {name: count for name, count in lines.items() if count > MOST_LINES} == {}


def test_no_module_imports_itself_by_a_detour() -> None:
    known = set(PATHS)
    graph = {name: imports(ast.parse(path.read_text("utf-8")), known) - {name} for name, path in PATHS.items()}
    assert sum(map(len, graph.values())) > len(PATHS)
    TopologicalSorter(graph).prepare()


def test_the_rule_finds_a_circle() -> None:
    trees = {"a": "from b import x", "b": "def f():\n    import a", "c": "import a"}
    graph = {name: imports(ast.parse(text), set(trees)) for name, text in trees.items()}
    with pytest.raises(CycleError, match="cycle"):
        TopologicalSorter(graph).prepare()
