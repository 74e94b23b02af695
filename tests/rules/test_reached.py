"""Every function of the program serves an answer: reached, name by name, from a command, the Python door or an import.

Names are followed, not types: a function counts as reached when its name stands in code that is reached. So nothing
that is used is called unused, and two functions of one name hide each other; that much is let pass.
"""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

from helpers_parsed import parsed

ROOT = Path(__file__).parents[2] / "src" / "tenhour"
DOOR = ("door", "cli")
"""Rooms whose public names a user calls."""
ALLOWED = {
    "empty_frames": "columns of the data frames, for docs/reference (scripts/build_schemas.py)",
    "_repr_html_": "asked for by notebooks (door/answer.py)",
    "_constructor": "asked for by pandas (door/bedframe.py)",
    "run_accounted": "the account of heat that proves a run in tests; the run itself answers (heat/balance.py)",
    "_account": "its sums",
    "circuit_a": "a column of an answer, read by name (model/lamp_answer.py)",
}
Def = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef
FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)


def _names(nodes: list[ast.AST]) -> set[str]:
    """Names that stand in some code, without what is defined inside classes of it."""
    found = set()
    for node in (part for top in nodes for part in ast.walk(top)):
        if isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
            found.add(node.value)
    return found


def _split(body: list[ast.stmt]) -> tuple[list[Def], list[ast.AST]]:
    own = [node for node in body if isinstance(node, Def)]
    rest: list[ast.AST] = [node for node in body if not isinstance(node, (Def, ast.Import, ast.ImportFrom))]
    return own, rest


def _of_class(one: ast.ClassDef) -> tuple[list[Def], list[ast.AST]]:
    """Methods that wait to be called, and what a class brings along: bases, fields, methods called by Python itself."""
    methods, rest = _split(one.body)
    by_python = [m for m in methods if m.name.startswith("__")]
    rest += [*one.bases, *one.keywords, *one.decorator_list, *by_python]
    return [m for m in methods if m not in by_python], rest


def _code() -> tuple[dict[str, list[set[str]]], set[str]]:
    """Names used by every function and class, by its own name; and the names that are used from the start."""
    uses: dict[str, list[set[str]]] = {}
    start: set[str] = set()

    def add(defs: list[Def], called: bool) -> None:
        for one in defs:
            if isinstance(one, FUNCTION):
                uses.setdefault(one.name, []).append(_names([one]))
                if one.decorator_list and not _is_plain(one):
                    start.add(one.name)
            else:
                methods, rest = _of_class(one)
                uses.setdefault(one.name, []).append(_names(rest))
                add(methods, called)
            if called and not one.name.startswith("_"):
                start.add(one.name)

    for path in sorted(ROOT.rglob("*.py")):
        defs, rest = _split(parsed(path).body)
        start.update(_names(rest))
        add(defs, path.relative_to(ROOT).parts[0] in DOOR)
    return uses, start


PLAIN = (
    "property", "cached_property", "staticmethod", "classmethod", "cache", "lru_cache", "contextmanager",
    "abstractmethod", "wraps", "overload",
)  # fmt: skip
"""Decorators that hand a function on without calling it or noting it down."""


def _is_plain(one: Def) -> bool:
    return all(_names([mark]) & set(PLAIN) for mark in one.decorator_list)


def _reached(uses: dict[str, list[set[str]]], start: set[str]) -> set[str]:
    reached: set[str] = set()
    waiting = set(start)
    while waiting:
        name = waiting.pop()
        if name in uses and name not in reached:
            reached.add(name)
            waiting.update(*uses[name])
    return reached


@cache
def _unreached() -> tuple[str, ...]:
    uses, start = _code()
    return tuple(sorted(set(uses) - _reached(uses, start)))


def test_every_function_is_reached_from_a_command_or_the_door() -> None:
    assert not [name for name in _unreached() if name not in ALLOWED]


def test_what_is_allowed_is_still_needed() -> None:
    assert not set(ALLOWED) - set(_unreached())
