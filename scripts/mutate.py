"""Change formulas a little, one place at a time, and see whether a test notices.

    python scripts/mutate.py ROOM [--count 60] [--seed 1] [--tests tests/sun ...] [--modules position.py ...]
    python scripts/mutate.py year --reach --tests tests/year tests/plan ... [--seams] [--also plan:2:10 ...]

ROOM is a room, or several with commas. Of all places where an operator, a comparison, a number, a sine or a bound can
be changed, a named argument dropped (a field of an answer too) or two exchanged, COUNT are drawn by the seed; each
is tried in a process of its own against the tests of the room. --seams draws changes of arguments alone; --also draws
more in the same run (ROOM:SEED:COUNT, and :seams).

With --reach the tests of --tests run once, all statements of the rooms watched: it is told which test comes to which
and how long it takes. That is kept in .reach/, a line as each test ends: a run that was stopped goes on where it was,
another draw from the same sources need not watch again, and of changed or new files of tests only those run. Then each
change is put into the running program, in a copy of this process, and tried by the tests that came there, the quickest
first, then by the others of their files, for MOST_S of processor time at most. What was grown is kept, for its room is
not changed; all else is made anew. What stands outside functions (constants, defaults) is tried in a fresh process by
the files of tests that name its module.

What no test noticed is printed with its line. Leaves with status 0 always: the score is for reading,
and some changes mean nothing (a bound that is never reached, a number of rounds).
"""

from __future__ import annotations

import argparse
import ast
import builtins
import collections
import copy
import functools
import gc
import hashlib
import importlib
import importlib.abc
import importlib.util
import inspect
import json
import os
import random
import resource
import signal
import sys
import time
import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

ROOT = Path(__file__).parents[1]
KEPT_IN = ROOT / ".reach"
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
MOST_S = 60.0
"""Processor time of the tests that are chosen for one change, as they took without it. Judgement."""
MOST_FILES = 5
BROKEN = 77
SURE = 3
"""Changes whose tests are first run without them, to see that a copy of this process is as good."""
SLACK_S = 5.0
ANEW_S = 90.0
"""Processor time for what a test that runs alone makes anew, where it shared it when it was watched. Judgement."""
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

    @property
    def name(self) -> str:
        """Where it is and what it does."""
        return f"{self.path.relative_to(ROOT_SOURCE / 'tenhour')}:{self.line}: {self.what} ({self.index})"


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


# ---- changes put into the running program ----


@dataclass(frozen=True)
class Place:
    """The function that holds a change: its names from the module inwards, and the line it begins in."""

    names: tuple[str, ...]
    line: int


def place_of(change: Change) -> Place | None:
    """Where a change is; None outside of functions, in defaults and decorators, and where a pattern is matched."""
    tree = ast.parse(change.path.read_text("utf-8"))
    target = next(node for number, node in enumerate(ast.walk(tree)) if number == change.index)
    if not isinstance(target, ast.expr | ast.If | ast.AugAssign):
        return None

    def within(node: ast.AST, names: tuple[str, ...]) -> Place | None:
        for inner in ast.iter_child_nodes(node):
            if isinstance(inner, ast.ClassDef):
                found = within(inner, (*names, inner.name))
                if found is not None:
                    return found
            if isinstance(inner, ast.FunctionDef) and any(part is target for b in inner.body for part in ast.walk(b)):
                first = min([inner.lineno, *(one.lineno for one in inner.decorator_list)])
                return Place((*names, inner.name), first)
        return None

    patterns = [part for node in ast.walk(tree) if isinstance(node, ast.pattern) for part in ast.walk(node)]
    return None if any(part is target for part in patterns) else within(tree, ())


def code_at(code: CodeType, place: Place) -> CodeType:
    """The code of a function in that of its module."""
    for name in place.names:
        inner = [one for one in code.co_consts if isinstance(one, CodeType) and one.co_name == name]
        code = next((one for one in inner if one.co_firstlineno == place.line), inner[0])
    return code


def functions_at(module: ModuleType, place: Place) -> list[FunctionType]:
    """The functions of the running program that were made there."""
    here = (one for one in gc.get_objects() if isinstance(one, FunctionType))
    return [
        one
        for one in here
        if one.__module__ == module.__name__
        and one.__code__.co_firstlineno == place.line
        and one.__code__.co_name == place.names[-1]
        and "<locals>" not in one.__qualname__
    ]


def put_in(change: Change, place: Place, source: ast.Module) -> None:
    """Give the functions of the running program the code of a changed module."""
    module = importlib.import_module(".".join(change.path.relative_to(ROOT_SOURCE).with_suffix("").parts))
    new = code_at(compile(source, str(change.path), "exec"), place)
    found = functions_at(module, place)
    if not found:
        raise SystemExit(f"{change.path}:{change.line}: no such function is running")
    for one in found:
        one.__code__ = new


def changed_tree(change: Change) -> ast.Module:
    """The changed module, its lines where they were."""
    tree = ast.parse(change.path.read_text("utf-8"))
    target = next(node for number, node in enumerate(ast.walk(tree)) if number == change.index)
    return ast.fix_missing_locations(_Replace(target, change.apply(target)).visit(tree))


class Units:
    """The parts of all functions that are come to or not: statements, and what an expression may pass over."""

    def __init__(self, files: Sequence[Path]) -> None:
        self.trees = {path: ast.parse(path.read_text("utf-8")) for path in files}
        self.of_node: dict[int, int] = {}
        self.owner: dict[tuple[Path, int], int] = {}
        for path, tree in self.trees.items():
            self._number(tree, None)
            for index, node in enumerate(ast.walk(tree)):
                if (unit := self.of_node.get(id(node))) is not None:
                    self.owner[path, index] = unit
            self._inherit(path, tree)
        self.count = 1 + max(self.owner.values(), default=-1)

    def _number(self, node: ast.AST, within: ast.AST | None) -> None:
        for inner in ast.iter_child_nodes(node):
            if within is not None and (isinstance(inner, ast.stmt) or inner in passed_over(node)):
                self.of_node[id(inner)] = len(self.of_node)
            self._number(inner, inner if isinstance(inner, ast.FunctionDef) else within)

    def _inherit(self, path: Path, tree: ast.Module) -> None:
        indexes = {id(node): index for index, node in enumerate(ast.walk(tree))}

        def down(node: ast.AST, unit: int | None) -> None:
            unit = self.of_node.get(id(node), unit)
            if unit is not None:
                self.owner[path, indexes[id(node)]] = unit
            for inner in ast.iter_child_nodes(node):
                down(inner, unit)

        down(tree, None)


def passed_over(node: ast.AST) -> list[ast.AST]:
    """Expressions in another that are not always worked out with it."""
    if isinstance(node, ast.IfExp):
        return [node.body, node.orelse]
    if isinstance(node, ast.BoolOp):
        return [*node.values[1:]]
    if isinstance(node, ast.ListComp | ast.SetComp | ast.GeneratorExp):
        return [node.elt]
    return [node.body] if isinstance(node, ast.Lambda) else []


class _Watched(ast.NodeTransformer):
    """Tells of every unit that is come to."""

    def __init__(self, of_node: dict[int, int]) -> None:
        self.of_node = of_node

    def visit(self, node: ast.AST) -> Any:
        unit = self.of_node.get(id(node))
        self.generic_visit(node)
        if unit is None:
            return node
        come = ast.Call(ast.Name("__come__", ast.Load()), [ast.Constant(unit)], [])
        if isinstance(node, ast.stmt):
            return [ast.copy_location(ast.Expr(come), node), node]
        both = ast.Tuple([come, node], ast.Load())
        return ast.copy_location(ast.Subscript(both, ast.Constant(1), ast.Load()), node)


@dataclass
class Seen:
    """What one test came to (a bit for each unit), the processor time it took, and the file it was read from."""

    test: str
    took_s: float
    good: bool
    file: str
    come: int


class Watch:
    """Which test comes to which unit, and how long each takes: a line in a file when the test is over.

    The file is named by the sources, the tests' helpers and the rooms that are watched. Tests that stand in it with
    the same contents of their file are not run again.
    """

    def __init__(self, units: Units, rooms: str) -> None:
        self.units = units
        shared = [*sorted(ROOT_SOURCE.rglob("*.py")), *sorted(Path("tests").glob("*.py"))]
        self.path = KEPT_IN / f"reach-{digest(shared, rooms)}.jsonl"
        self.seen: dict[str, Seen] = {}
        self.files: dict[str, str] = {}
        self.test, self.began_s, self.good = "", 0.0, True
        self.come: set[int] = set()
        if self.path.exists():
            kept = self.path.read_text("utf-8")
            if not kept.endswith("\n"):  # a run that was stopped while it wrote
                self.path.write_text(kept + "\n", "utf-8")
            for line in kept.splitlines():
                self._take(line)

    def _take(self, line: str) -> None:
        try:
            found = json.loads(line)
        except ValueError:
            return
        one = Seen(found["test"], found["took_s"], found["good"], found["file"], int(found["come"], 16))
        if one.file == self.file_of(one.test):
            self.seen[one.test] = one

    def file_of(self, test: str) -> str:
        """The contents of the file of a test, as a digest."""
        path = test.split("::")[0]
        if path not in self.files:
            self.files[path] = digest([Path(path)], "") if Path(path).exists() else ""
        return self.files[path]

    def run(self, tests: Sequence[str]) -> None:
        """Run those that were not watched yet, all units watched."""
        import pytest

        self.path.parent.mkdir(exist_ok=True)
        running = all_functions()
        held = []
        for path, tree in self.units.trees.items():
            module = module_of(path)
            watched = ast.fix_missing_locations(_Watched(self.units.of_node).visit(tree))
            whole = compile(watched, str(path), "exec")
            for code in codes_in(whole):
                for one in running[module, code.co_firstlineno, code.co_name]:
                    held.append((one, one.__code__))
                    one.__code__ = code
        builtins.__dict__["__come__"] = self.come.add
        status = pytest.main([*(word for word in QUIETLY if word != "-x"), *tests], plugins=[self])
        for one, code in held:
            one.__code__ = code
        if status not in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.NO_TESTS_COLLECTED):
            raise SystemExit(f"stopped: {len(self.seen)} tests are watched, kept in {self.path}")

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        """Those that were watched before need not run."""
        kept = [item for item in items if item.nodeid not in self.seen]
        print(f"  {len(items) - len(kept)} tests were watched before, {len(kept)} are now ({self.path})", flush=True)
        items[:] = kept

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        """A test begins."""
        self.test, self.began_s, self.good = nodeid, time.process_time(), True
        self.come.clear()

    def pytest_runtest_logreport(self, report: Any) -> None:
        """A test failed or was skipped: it says nothing of any change."""
        self.good = self.good and report.outcome == "passed"

    def pytest_runtest_logfinish(self, nodeid: str) -> None:
        """A test is over: what it came to is written down at once."""
        took_s = time.process_time() - self.began_s
        come = sum(1 << unit for unit in self.come)
        one = Seen(nodeid, round(took_s, 4), self.good, self.file_of(nodeid), come)
        self.seen[nodeid] = one
        with self.path.open("a", encoding="utf-8") as file:
            file.write(json.dumps({**vars(one), "come": f"{come:x}"}) + "\n")


def digest(paths: Sequence[Path], also: str) -> str:
    """A short name for contents."""
    whole = hashlib.sha256(also.encode())
    for path in paths:
        whole.update(str(path.name).encode() + path.read_bytes())
    return whole.hexdigest()[:16]


def module_of(path: Path) -> str:
    """The name of the module in a file."""
    return ".".join(path.relative_to(ROOT_SOURCE).with_suffix("").parts).removesuffix(".__init__")


def all_functions() -> dict[tuple[str, int, str], list[FunctionType]]:
    """The functions of the running program by module, first line and name."""
    found = collections.defaultdict(list)
    for one in gc.get_objects():
        if isinstance(one, FunctionType) and "<locals>" not in one.__qualname__:
            found[one.__module__, one.__code__.co_firstlineno, one.__code__.co_name].append(one)
    return found


def codes_in(code: CodeType) -> Iterator[CodeType]:
    """The codes of functions of a module and of its classes, not those inside of functions."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            if inner.co_flags & inspect.CO_OPTIMIZED and not inner.co_name.startswith("<"):
                yield inner
            elif not inner.co_flags & inspect.CO_OPTIMIZED:
                yield from codes_in(inner)


def chosen_tests(unit: int | None, seen: Sequence[Seen]) -> tuple[list[str], float]:
    """Tests that come to a unit, the quickest first, then the others of their files; how long they take."""
    good = {one.test: one.took_s for one in seen if one.good}
    come = [] if unit is None else sorted((one.took_s, one.test) for one in seen if one.good and one.come >> unit & 1)
    names = [name for _, name in come]
    files, there = {name.split("::")[0] for name in names}, set(names)
    rest = sorted((n for n in good if n.split("::")[0] in files and n not in there), key=lambda name: good[name])
    chosen, whole_s = [], 0.0
    for name in [*names, *rest]:
        if not chosen or whole_s + good[name] <= MOST_S:
            chosen.append(name)
            whole_s += good[name]
    return chosen, whole_s


def try_here(change: Change, place: Place, tests: Sequence[str], limit_s: float) -> str:
    """Return "survived", "killed" or "late" of a change that is put into a copy of this process."""
    child = os.fork()
    if child == 0:
        limit = int(time.process_time() + limit_s) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1))
        signal.signal(signal.SIGXCPU, signal.SIG_DFL)
        if not os.environ.get("MUTATE_TALK"):
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            os.dup2(1, 2)
        status = 1
        try:
            put_in(change, place, changed_tree(change))
            forget(change)
            import pytest

            status = int(pytest.main([*QUIETLY, *tests]))
        except BaseException:
            traceback.print_exc()
            status = BROKEN
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(status)
    _, status, _ = os.wait4(child, 0)
    if os.WIFSIGNALED(status):
        return "late"
    if os.WEXITSTATUS(status) == BROKEN:
        raise SystemExit(f"{change.path}:{change.line}: could not be tried")
    return "survived" if os.WEXITSTATUS(status) == 0 else "killed"


def forget(change: Change) -> None:
    """Drop what tests and program keep of earlier work, but for what the change cannot touch."""
    import helpers_once as once

    once.KEPT.clear()
    once.GROWN.clear()
    inside = change.path.relative_to(ROOT_SOURCE / "tenhour").parts[:2]
    traced = () if inside[0] == "year" and inside[1] in ("inside", "outside", "world.py") else ("light", "sky", "sun")
    for kind in set(once.PARTS) - {"growth", *traced}:
        once.PARTS.pop(kind)
    for kept in [one for one in gc.get_objects() if isinstance(one, functools._lru_cache_wrapper)]:
        home = str(getattr(kept, "__module__", ""))
        if home.startswith(("tenhour.year", "tenhour.plan", "tenhour.heat", "tenhour.door", "tenhour.cli", "helpers_")):
            kept.cache_clear()


def _by_files(change: Change, tests: Sequence[str]) -> str:
    """What files of tests, each in a process that loads the module anew, say of a change outside of functions."""
    limit_s = 2.0 * MOST_S
    said, _ = try_change(change, tests, limit_s)
    if said == "late" and try_change(None, tests, limit_s)[0] == "late":
        said, _ = try_change(change, tests, 4.0 * limit_s)  # the bound was too narrow, not the change slow
    return said


def by_reach(chosen: Sequence[Change], tests: Sequence[str], rooms: Sequence[str]) -> Iterator[tuple[Change, str, int]]:
    """Every change with what became of it and how many tests tried it."""
    found = [(change, place_of(change)) for change in chosen]
    for change, place in found:
        if place is None:  # before its module is loaded here
            near = touching(change, MOST_FILES)
            yield change, _by_files(change, near) if near else "survived", len(near)
    files = [path for room in rooms for path in sorted((ROOT_SOURCE / "tenhour" / room).rglob("*.py"))]
    for path in files:
        importlib.import_module(module_of(path))
    units = Units(files)
    owner = dict(units.owner)
    watch = Watch(units, ",".join(rooms))
    watch.run(tests)
    under = tuple(str(Path(test)) for test in tests)
    seen = [one for one in watch.seen.values() if one.test.startswith(under)]
    of_no_use = sum(not one.good for one in seen)
    print(f"  {len(seen)} tests in {sum(one.took_s for one in seen):.0f} s; of no use: {of_no_use}", flush=True)
    sure = 0
    for change, place in found:
        if place is None:
            continue
        names, took_s = chosen_tests(owner.get((change.path, change.index)), seen)
        limit_s = 2.0 * took_s + ANEW_S
        if not names:
            yield change, "survived", 0
            continue
        nothing = Change(change.path, change.line, "nothing", copy.copy, change.index)
        sure += 1
        if sure <= SURE and try_here(nothing, place, names, limit_s) != "survived":
            raise SystemExit(f"the tests fail without any change: {names}")
        said = try_here(change, place, names, limit_s)
        if said == "late" and try_here(nothing, place, names, limit_s) == "late":
            said = try_here(change, place, names, 4.0 * limit_s)  # the bound was too narrow, not the change slow
        yield change, said, len(names)


def by_room(chosen: Sequence[Change], tests: Sequence[str]) -> Iterator[tuple[int, tuple[str, int]]]:
    """The same by all tests for every change."""
    said, base_s = try_change(None, tests, 3600.0)
    if said != "survived":
        raise SystemExit("the tests fail without any change")
    print(f"  tests take {base_s:.0f} s", flush=True)
    for change in chosen:
        said, _ = try_change(change, nearest_first(change, tests), 2.0 * base_s + SLACK_S)
        yield id(change), (said, len(tests))


def drawn(rooms: str, seed: int, count: int, seams: bool, modules: Sequence[str] | None) -> list[Change]:
    """Changes drawn from rooms."""
    files = [path for room in rooms.split(",") for path in sorted((ROOT_SOURCE / "tenhour" / room).rglob("*.py"))]
    files = [path for path in files if modules is None or path.name in modules]
    found = [change for path in files for change in changes(path)]
    found = [change for change in found if not seams or change.what.startswith(SEAM)]
    chosen = random.Random(seed).sample(found, min(count, len(found)))
    print(f"{rooms}: {len(found)} possible changes, {len(chosen)} tried (seed {seed})", flush=True)
    return sorted(chosen, key=lambda change: (change.path, change.line))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("room")
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", nargs="+")
    parser.add_argument("--modules", nargs="+")
    parser.add_argument("--reach", action="store_true", help="choose tests for each change by what they come to")
    parser.add_argument("--also", nargs="+", default=[], metavar="ROOM:SEED:COUNT[:seams]")
    parser.add_argument("--seams", action="store_true", help="change arguments alone")
    parser.add_argument("--known", type=Path, help="file of what runs with --reach noticed, not tried again")
    parser.add_argument("--source", type=Path, default=ROOT_SOURCE, help="another tree of the same sources")
    parser.add_argument("--kept", type=Path, default=KEPT_IN, help="folder of what was watched")
    args = parser.parse_args()
    globals()["ROOT_SOURCE"] = args.source.resolve()
    globals()["KEPT_IN"] = args.kept.resolve()
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
    own = [str(path) for room in args.room.split(",") for path in sorted(Path("tests", room).rglob("test_*.py"))]
    tests = args.tests or own
    draws = [(args.room, args.seed, args.count, args.seams)]
    for more in args.also:
        room, seed, count, *seams = more.split(":")
        draws.append((room, int(seed), int(count), bool(seams)))
    drafts = [drawn(*one, args.modules) for one in draws]
    before = json.loads(args.known.read_text("utf-8")) if args.known and args.known.exists() else []
    if args.reach:
        fates = {id(change): ("killed", 0) for draft in drafts for change in draft if change.name in before}
        left = [change for draft in drafts for change in draft if id(change) not in fates]
        rooms = sorted({room for draw in draws for room in draw[0].split(",")})
        for change, said, count in by_reach(left, tests, rooms):
            fates[id(change)] = (said, count)
            noticed = sum(fate != "survived" for fate, _ in fates.values())
            so_far = f"{noticed} of {len(fates)} noticed so far"
            print(f"    {change.name}: {said}, {count} tests ({so_far})", flush=True)
            before += [change.name] if said != "survived" else []
            if args.known:
                args.known.write_text(json.dumps(before, indent=1), "utf-8")
    else:
        fates = dict(by_room(drafts[0], tests))
    for (room, seed, _, seams), chosen in zip(draws, drafts, strict=True):
        lost = [change for change in chosen if fates[id(change)][0] == "survived"]
        for change in lost:
            text = change.path.read_text("utf-8").splitlines()[change.line - 1].strip()
            where = change.path.relative_to(ROOT_SOURCE / "tenhour")
            print(f"  {where}:{change.line}: {change.what}:  {text[:90]}  ({fates[id(change)][1]} tests)")
        score = 1 - len(lost) / len(chosen)
        what = f"{room}{' seams' if seams else ''}, seed {seed}"
        print(f"{what}: {len(chosen) - len(lost)} of {len(chosen)} noticed ({score:.0%})", flush=True)


if __name__ == "__main__":
    main()
