"""Every float that crosses a function or lies in a dataclass says its unit in its name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tenhour.units import SUFFIXES

SOURCE = Path(__file__).parents[2] / "src" / "tenhour"
ROOMS = ("words", "model", "sun", "sky", "cover", "house", "growth", "lamps", "plan", "year")

# Words that name a dimensionless or generic quantity by themselves; each is a trade or code word, not a unit.
PLAIN = {"value", "low", "high", "expected", "top", "rank_score", "default", "start", "shade", "us_offset", "scale"}


def has_unit(name: str) -> bool:
    parts = name.lower().split("_")
    return name in PLAIN or any("_".join(parts[i:]) in SUFFIXES for i in range(len(parts)))


def floats_in(tree: ast.Module) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
            for argument in arguments:
                if is_float(argument.annotation):
                    yield argument.lineno, argument.arg
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for part in node.body:
                if isinstance(part, ast.AnnAssign) and is_float(part.annotation) and isinstance(part.target, ast.Name):
                    yield part.lineno, part.target.id


def is_float(annotation: ast.expr | None) -> bool:
    if annotation is None:
        return False
    return ast.unparse(annotation) in {"float", "float | None"}


@pytest.mark.parametrize("path", [p for room in ROOMS for p in sorted((SOURCE / room).rglob("*.py"))], ids=str)
def test_every_float_names_its_unit(path: Path) -> None:
    bare = [
        f"{path.name}:{line} {name}"
        for line, name in floats_in(ast.parse(path.read_text("utf-8")))
        if not has_unit(name)
    ]
    assert not bare, f"no registered unit suffix (see units.SUFFIXES): {bare}"


def test_the_rule_itself_catches_a_bare_float() -> None:
    tree = ast.parse("def light(energy: float, area_m2: float) -> float: ...")
    assert [name for _, name in floats_in(tree) if not has_unit(name)] == ["energy"]
