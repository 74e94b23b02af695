"""Every public function says its units and the errors it raises, and those of the science their source.

Functions of the command line are left out: their text is the help that users read.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from helpers_parsed import parsed
from tenhour.units import SUFFIXES

SOURCE = Path(__file__).parents[2] / "src" / "tenhour"
SCIENCE = ("sun", "sky", "cover", "house", "heat", "growth", "lamps")
ROOMS = (*SCIENCE, "words", "plan", "model", "year", "files", "report")

# How a unit reads in a sentence, where it is not the words of the ending themselves.
SIGNS = {
    "deg": "°", "h": r"\bh\b|hour", "d": r"\bd\b|day", "min": r"\bmin", "s": r"\bs\b|second", "m": r"\bm\b",
    "m2": "m²", "degc": "°C", "k": r"\bK\b", "w": r"\bW\b", "a": r"\bA\b|[Cc]urrent", "lm": r"\blm\b", "lux": "lux",
    "mol_m2_d": "mol m⁻² d⁻¹", "mol_m2": "mol m⁻²", "umol_m2_s": "µmol m⁻² s⁻¹", "umol_s": "µmol s⁻¹",
    "umol_j": "µmol J⁻¹", "w_m2": "W m⁻²", "w_m2_k": "W m⁻² K⁻¹", "w_k": "W K⁻¹", "mol_kwh": "mol kWh⁻¹",
    "g_mol": "g mol⁻¹", "g_m2": "g m⁻²", "per_m2": "m⁻²", "ppm": "ppm", "lux_umol": "lux per µmol",
    "frac": r"0-1|share|[Ss]hare|\[-\]|[Ff]raction|reflectance", "share": r"0-1|[Ss]hare|\[-\]",
    "ratio": r"\[-\]|ratio|over|per\b", "factor": r"factor|\[-\]", "count": r"number|count|how many|\[-\]",
    "day": r"\bday", "month": r"month", "index": r"index|place", "doy": "day", "year": "year",
}  # fmt: skip

# How a text says where a relation comes from: a heading, a work with its year, a page, another function, a definition.
ORIGIN = re.compile(
    r"Method:|\b(?:18|19|20)\d\d\b|[Dd]efinition|docs/\w+|[Ee]quation|:func:|[Jj]udgement|[Pp]ractice|contract"
    r"|[Ii]nverse|[Cc]losed form|[Gg]eometry|\b[a-z]+ = |NEC"
)
# What makes a function a formula: these calls, or arithmetic beyond one operation.
MATHS = {"sin", "cos", "tan", "arcsin", "arccos", "arctan", "arctan2", "exp", "log", "expm1", "log1p", "power", "sqrt"}
MOST_PLAIN = 2


class Function(NamedTuple):
    where: str
    node: ast.FunctionDef
    text: str
    context: str


def functions(tree: ast.Module, name: str) -> Iterator[Function]:
    """Public functions and methods of a module, with their own text and that of their class."""
    for node in tree.body:
        inner = node.body if isinstance(node, ast.ClassDef) and not node.name.startswith("_") else [node]
        around = (ast.get_docstring(node) or "") if isinstance(node, ast.ClassDef) else ""
        for part in inner:
            if isinstance(part, ast.FunctionDef) and not part.name.startswith("_"):
                yield Function(f"{name}:{part.lineno} {part.name}", part, ast.get_docstring(part) or "", around)


def ending(name: str) -> str | None:
    parts = name.lower().split("_")
    return next((end for i in range(1, len(parts)) if (end := "_".join(parts[i:])) in SUFFIXES), None)


def without_unit(function: Function) -> list[str]:
    """Arguments that are neither named in the text (which then says their unit) nor have their unit said."""
    said = function.text + " " + function.context
    if "as :func:" in function.text:
        return []  # explained there
    missing = []
    for argument in [*function.node.args.posonlyargs, *function.node.args.args, *function.node.args.kwonlyargs]:
        end = ending(argument.arg)
        if end and argument.arg not in said and not re.search(SIGNS.get(end, re.escape(end.replace("_", " "))), said):
            missing.append(argument.arg)
    return missing


def is_formula(node: ast.FunctionDef) -> bool:
    sums = sum(isinstance(n, ast.BinOp) and isinstance(n.op, ast.Mult | ast.Div | ast.Pow) for n in ast.walk(node))
    return sums > MOST_PLAIN or any(isinstance(n, ast.Attribute) and n.attr in MATHS for n in ast.walk(node))


def errors_of(node: ast.FunctionDef) -> set[str]:
    found = set()
    for part in ast.walk(node):
        if isinstance(part, ast.Raise) and part.exc is not None:
            raised = part.exc.func if isinstance(part.exc, ast.Call) else part.exc
            name = ast.unparse(raised).split(".")[-1]
            # what makes an error, rather than being one, makes that of a file in this code
            found.add("FileProblem" if name.lstrip("_")[0].islower() else name)
    return found - {"AssertionError"}


def of_room(*rooms: str) -> list[Function]:
    paths = [path for room in rooms for path in sorted((SOURCE / room).rglob("*.py"))]
    trees = [(f"{path.parent.name}/{path.name}", parsed(path)) for path in paths]
    return [function for name, tree in trees for function in functions(tree, name)]


@pytest.mark.parametrize("room", ROOMS)
def test_every_argument_with_a_unit_is_explained(room: str) -> None:
    found = {function.where: missing for function in of_room(room) if (missing := without_unit(function))}
    assert not found


@pytest.mark.parametrize("room", SCIENCE)
def test_every_formula_says_where_it_comes_from(room: str) -> None:
    found = [f.where for f in of_room(room) if is_formula(f.node) and not ORIGIN.search(f.text + f.context)]
    assert not found


@pytest.mark.parametrize("room", ROOMS)
def test_every_error_raised_is_announced(room: str) -> None:
    found = {f.where: lost for f in of_room(room) if (lost := {e for e in errors_of(f.node) if e not in f.text})}
    assert not found


def test_the_rules_catch_what_they_are_for() -> None:
    code = """
def bare(height_m: float, width_m: float) -> float:
    '''Something; width_m.'''
    if height_m < 0:
        raise ValueError("no")
    return np.sin(height_m)
"""
    (function,) = functions(ast.parse(code), "room/module.py")
    assert without_unit(function) == ["height_m"]
    assert is_formula(function.node)
    assert not ORIGIN.search(function.text)
    assert errors_of(function.node) == {"ValueError"}
