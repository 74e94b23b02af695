"""Change formulas a little, one place at a time, and see whether a test notices.

    python scripts/mutate.py ROOM [--count 60] [--seed 1] [--tests tests/sun ...] [--modules position.py ...]
    python scripts/mutate.py year,plan,heat --near 4 --tests tests/year/test_year.py ... [--seams]

ROOM is a room, or several with commas. Of all places where an operator, a comparison, a number, a sine or a bound can
be changed, a named argument dropped (a field of an answer too) or two exchanged, COUNT are drawn by the seed; each
is tried in a process of its own against the tests of the room. With --near each is tried against as many files of
tests that import the changed module (those named for it first), then those of --tests. --seams draws changes of
arguments alone. What no test noticed is printed with its line. Leaves with status 0 always: the score is for reading,
and some changes mean nothing (a bound that is never reached, a number of rounds).
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib.abc
import importlib.util
import os
import random
import resource
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

ROOT = Path(__file__).parents[1]
OPERATORS: dict[type, type] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult, ast.Mod: ast.Mult,
    ast.FloorDiv: ast.Div, ast.And: ast.Or, ast.Or: ast.And, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
}  # fmt: skip
REVERSED: dict[type, type] = {ast.Lt: ast.Gt, ast.Gt: ast.Lt, ast.LtE: ast.GtE, ast.GtE: ast.LtE}
NAMES = {
    "sin": "cos", "cos": "sin", "minimum": "maximum", "maximum": "minimum", "min": "max", "max": "min",
    "argmin": "argmax", "argmax": "argmin", "mean": "sum", "sum": "mean", "exp": "expm1", "arcsin": "arccos",
    "arccos": "arcsin", "deg2rad": "rad2deg", "rad2deg": "deg2rad", "any": "all", "all": "any", "floor": "ceil",
}  # fmt: skip
STEP = 1.1
SEAM = "argument"
NEAR_S = 150.0
"""Processor time of one change where tests are chosen for it: those chosen take a minute at most. Judgement."""
SLACK_S = 5.0
QUIETLY = (
    "-x",
    "-q",
    "-n0",
    "-p",
    "no:cacheprovider",
    "-p",
    "no:randomly",
    "-W",
    "ignore::pytest.PytestAssertRewriteWarning",
)


@dataclass(frozen=True)
class Change:
    """One place and what is done to it."""

    path: Path
    line: int
    what: str
    apply: Callable[[ast.AST], ast.AST]
    index: int


def places(tree: ast.Module) -> Iterator[tuple[int, ast.AST]]:
    """Nodes by their number in the walk, without annotations, text and doctests."""
    skipped: set[int] = set()
    for node in ast.walk(tree):
        parts = [getattr(node, name, None) for name in ("annotation", "returns")]
        if isinstance(node, ast.Raise | ast.JoinedStr):
            parts.append(node)
        for part in parts:
            if isinstance(part, ast.AST):
                skipped |= {id(inner) for inner in ast.walk(part)}
    for number, node in enumerate(ast.walk(tree)):
        if id(node) not in skipped:
            yield number, node


def changes(path: Path) -> Iterator[Change]:
    """All changes of a file."""
    for number, node in places(ast.parse(path.read_text("utf-8"))):
        for what, apply in _of_node(node):
            yield Change(path, getattr(node, "lineno", 0), what, apply, number)


def _of_node(node: Any) -> Iterator[tuple[str, Callable[[Any], Any]]]:
    if isinstance(node, ast.BinOp | ast.BoolOp | ast.AugAssign) and type(node.op) in OPERATORS:
        new = OPERATORS[type(node.op)]
        yield f"{type(node.op).__name__} to {new.__name__}", _setter("op", new())
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        for table in (OPERATORS, REVERSED):
            if type(node.ops[0]) in table:
                new = table[type(node.ops[0])]
                yield f"{type(node.ops[0]).__name__} to {new.__name__}", _setter("ops", [new()])
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield "minus sign dropped", lambda old: old.operand
    if isinstance(node, ast.Attribute) and node.attr in NAMES:
        yield f"{node.attr} to {NAMES[node.attr]}", _setter("attr", NAMES[node.attr])
    if isinstance(node, ast.Call):
        yield from _of_call(node)
    yield from _of_value(node)
    if isinstance(node, ast.If | ast.IfExp):
        yield "condition turned round", _setter("test", ast.UnaryOp(ast.Not(), node.test))


def _of_call(node: ast.Call) -> Iterator[tuple[str, Callable[[Any], Any]]]:
    """A named argument left to its default, which drops a field of an answer; two places exchanged."""
    for number, word in enumerate(node.keywords):
        if word.arg is not None:
            rest = [*node.keywords[:number], *node.keywords[number + 1 :]]
            yield f"{SEAM} {word.arg} dropped", _setter("keywords", rest)
    for number in range(len(node.args) - 1):
        if not any(isinstance(arg, ast.Starred) for arg in node.args):
            swapped = [*node.args]
            swapped[number : number + 2] = swapped[number + 1], swapped[number]
            yield f"{SEAM}s {number + 1} and {number + 2} exchanged", _setter("args", swapped)


def _of_value(node: Any) -> Iterator[tuple[str, Callable[[Any], Any]]]:
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield f"{node.value} plus 1", _setter("value", node.value + 1)
        if isinstance(node.value, float) and node.value:
            yield f"{node.value} times {STEP}", _setter("value", node.value * STEP)
    if isinstance(node, ast.Constant) and type(node.value) is bool:
        yield f"{node.value} turned round", _setter("value", not node.value)


def _setter(name: str, value: Any) -> Callable[[Any], Any]:
    def apply(old: Any) -> Any:
        new = copy.copy(old)
        setattr(new, name, value)
        return new

    return apply


class _Replace(ast.NodeTransformer):
    def __init__(self, target: ast.AST, new: ast.AST) -> None:
        self.target, self.new = target, new

    def visit(self, node: ast.AST) -> Any:
        return ast.copy_location(self.new, node) if node is self.target else self.generic_visit(node)


def changed_source(change: Change) -> str:
    """The file with the change made."""
    tree = ast.parse(change.path.read_text("utf-8"))
    target = next(node for number, node in enumerate(ast.walk(tree)) if number == change.index)
    return ast.unparse(ast.fix_missing_locations(_Replace(target, change.apply(target)).visit(tree)))


class Loader(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module from changed source."""

    def __init__(self, name: str, path: Path, source: str) -> None:
        self.name, self.path, self.source = name, path, source

    def find_spec(self, fullname: str, path: Any, target: Any = None) -> Any:
        """Only the changed module comes from here."""
        if fullname != self.name:
            return None
        return importlib.util.spec_from_loader(fullname, self, origin=str(self.path))

    def exec_module(self, module: ModuleType) -> None:
        """Run the changed source in place of the file."""
        module.__file__ = str(self.path)
        exec(compile(self.source, str(self.path), "exec"), module.__dict__)


def try_change(change: Change | None, tests: Sequence[str], limit_s: float) -> tuple[str, float]:
    """Return "survived", "killed" or "late", and the processor time [s]."""
    child = os.fork()
    if child == 0:
        _in_child(change, tests, limit_s)
    _, status, used = os.wait4(child, 0)
    took_s = used.ru_utime + used.ru_stime
    if os.WIFSIGNALED(status):
        return "late", took_s
    return ("survived" if os.WEXITSTATUS(status) == 0 else "killed"), took_s


def _in_child(change: Change | None, tests: Sequence[str], limit_s: float) -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    os.dup2(1, 2)
    limit = int(limit_s) + 1
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1))
    signal.signal(signal.SIGXCPU, signal.SIG_DFL)
    status = 1
    try:
        if change is not None:
            name = ".".join(change.path.relative_to(ROOT_SOURCE).with_suffix("").parts)
            sys.meta_path.insert(0, Loader(name, change.path, changed_source(change)))
        import pytest

        for test in tests:  # one after the other, so that the nearest need not wait for the others to be read
            status = int(pytest.main([*QUIETLY, test]))
            if status:
                break
    finally:
        os._exit(status)


ROOT_SOURCE = ROOT / "src"


def nearest_first(change: Change, tests: Sequence[str]) -> list[str]:
    """The same tests, those named for the changed module first: they are the likeliest to notice, and soonest."""
    return sorted(tests, key=lambda name: change.path.stem not in Path(name).stem)


def touching(change: Change, most: int) -> list[str]:
    """Files of tests that import the changed module, those named for it first, then the shortest."""
    dotted = ".".join(change.path.relative_to(ROOT_SOURCE).with_suffix("").parts)
    parent, stem = dotted.rpartition(".")[::2]
    found = []
    for path in sorted(Path("tests").rglob("test_*.py")):
        text = path.read_text("utf-8")
        direct = f"{dotted} import" in text or f"import {dotted}" in text or f"from {parent} import {stem}" in text
        if direct or stem in path.stem:
            found.append(((stem not in path.stem, not direct, len(text)), str(path)))
    return [name for _, name in sorted(found)[:most]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("room")
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", nargs="+")
    parser.add_argument("--modules", nargs="+")
    parser.add_argument("--near", type=int, default=0, help="files of tests chosen for each change")
    parser.add_argument("--seams", action="store_true", help="change arguments alone")
    parser.add_argument("--source", type=Path, default=ROOT_SOURCE, help="another tree of the same sources")
    args = parser.parse_args()
    globals()["ROOT_SOURCE"] = args.source.resolve()
    os.chdir(args.source.resolve().parent)
    sys.path[:0] = [str(args.source.resolve()), "tests"]
    import hypothesis  # all loaded once, so that each trial starts soon
    import matplotlib
    import pandas
    import pvlib
    import pydantic
    import scipy.spatial

    del matplotlib, pandas, pvlib, pydantic, scipy
    # one failing example is enough: no time is spent on finding a smaller one
    phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
    hypothesis.settings.register_profile("mutants", phases=phases)
    hypothesis.settings.load_profile("mutants")
    rooms = args.room.split(",")
    own = [str(path) for room in rooms for path in sorted(Path("tests", room).glob("test_*.py"))]
    tests = args.tests or ([] if args.near else own)
    files = [path for room in rooms for path in sorted((ROOT_SOURCE / "tenhour" / room).rglob("*.py"))]
    files = [path for path in files if args.modules is None or path.name in args.modules]
    found = [change for path in files for change in changes(path)]
    found = [change for change in found if not args.seams or change.what.startswith(SEAM)]
    base_s = (NEAR_S - SLACK_S) / 2.0
    if not args.near:
        said, base_s = try_change(None, tests, 3600.0)
        if said != "survived":
            raise SystemExit("the tests fail without any change")
    chosen = random.Random(args.seed).sample(found, min(args.count, len(found)))
    print(f"{args.room}: {len(found)} possible changes, {len(chosen)} tried; tests take {base_s:.0f} s", flush=True)
    survived = 0
    for change in sorted(chosen, key=lambda c: (c.path, c.line)):
        near = [*touching(change, args.near), *tests] if args.near else nearest_first(change, tests)
        said, _ = try_change(change, list(dict.fromkeys(near)), 2.0 * base_s + SLACK_S)
        if said == "survived":
            survived += 1
            text = change.path.read_text("utf-8").splitlines()[change.line - 1].strip()
            print(f"  {change.path.name}:{change.line}: {change.what}:  {text[:90]}", flush=True)
    print(
        f"{args.room}: {len(chosen) - survived} of {len(chosen)} noticed ({1 - survived / len(chosen):.0%})", flush=True
    )


if __name__ == "__main__":
    main()
