"""Every float that crosses a function or lies in a dataclass says its unit in its name."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers_parsed import parsed
from tenhour.model import fields
from tenhour.units import SUFFIXES

SOURCE = Path(__file__).parents[2] / "src" / "tenhour"
ROOMS = ("words", "model", "sun", "sky", "cover", "house", "heat", "growth", "lamps", "plan", "year")

# Words that name a dimensionless or generic quantity by themselves; each is a trade or code word, not a unit.
PLAIN = {
    "value", "low", "high", "expected", "top", "rank_score", "default", "start", "shade", "us_offset", "scale", "least",
    "most",
}  # fmt: skip


FLOATS = {name for name, kind in vars(fields).items() if getattr(kind, "__origin__", None) is float}


def has_unit(name: str) -> bool:
    parts = name.lower().split("_")
    return name in PLAIN or any("_".join(parts[i:]) in SUFFIXES for i in range(len(parts)))


def floats_in(tree: ast.Module) -> Iterator[tuple[int, str]]:
    kinds = {"float", *(FLOATS & imported(tree))}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
            for argument in arguments:
                if is_float(argument.annotation, kinds):
                    yield argument.lineno, argument.arg
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for part in node.body:
                if (
                    isinstance(part, ast.AnnAssign)
                    and is_float(part.annotation, kinds)
                    and isinstance(part.target, ast.Name)
                ):
                    yield part.lineno, part.target.id


def imported(tree: ast.Module) -> set[str]:
    parts = (node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom))
    return {name.asname or name.name for part in parts if part.module == "tenhour.model.fields" for name in part.names}


def is_float(annotation: ast.expr | None, kinds: set[str]) -> bool:
    """Whether an annotation is a float, or a kind of float of ``model/fields.py``, whatever is said of it."""
    if annotation is None:
        return False
    words = ast.unparse(annotation)
    inner = re.match(r"Annotated\[([^,]+),", words)
    return (inner[1] if inner else words).removesuffix(" | None") in kinds


@pytest.mark.parametrize("path", [p for room in ROOMS for p in sorted((SOURCE / room).rglob("*.py"))], ids=str)
def test_every_float_names_its_unit(path: Path) -> None:
    bare = [f"{path.name}:{line} {name}" for line, name in floats_in(parsed(path)) if not has_unit(name)]
    assert not bare, f"no registered unit suffix (see units.SUFFIXES): {bare}"


def test_the_rule_itself_catches_a_bare_float() -> None:
    tree = ast.parse(
        "from tenhour.model.fields import Hours, Prose, Temp\n"
        "def light(energy: float, area_m2: float) -> float: ...\n"
        "class Row:\n    lit: Annotated[Hours | None, About()]\n    lit_h: Hours\n    warm: Temp\n    name: Prose"
    )
    assert [name for _, name in floats_in(tree) if not has_unit(name)] == ["energy", "lit", "warm"]
