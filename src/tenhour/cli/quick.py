"""Start quicker: load of large libraries only what is used."""

from __future__ import annotations

import dataclasses
import importlib
import importlib.util
import inspect
import sys
import threading
from collections.abc import Callable
from importlib.machinery import ModuleSpec, PathFinder
from types import ModuleType
from typing import Any, Final

LIBRARY: Final = "pvlib"
"""Its top module loads every reader and model it has, which costs a second; we use three of its modules."""
RARE: Final = ("numpy.f2py", "numpy.testing", "h5py", "scipy.spatial.transform")
"""Modules that libraries load beside what we use and that no answer of ours calls: a quarter of a second."""
RARE_NUMBERS: Final = (
    "numpy.ma", "numpy.polynomial", "numpy.ctypeslib", "numpy.rec", "numpy.char",
    "importlib.metadata._adapters",
)  # fmt: skip
"""Parts of the library of arrays that the one of sparse matrices looks at all together, and what reads the letters of
other libraries: most answers call few of them. A thirtieth of a second each for three."""
RARE_IN_DRAWING: Final = ("matplotlib.widgets",)
"""The same of the plotting library: buttons."""
_loading: Final = threading.RLock()


def load_by_module(name: str = LIBRARY) -> None:
    """Make the modules of a library load one by one, each when it is first asked for, and rare ones when used.

    The library's own top module is not run; it must hold nothing but imports, as a test of the installed one asserts.
    A library that is loaded already, or not installed, is left alone.
    """
    if name == LIBRARY:
        load_when_used(*RARE, *RARE_NUMBERS)
        _nothing_is_masked()
    if name in sys.modules:
        return
    spec = importlib.util.find_spec(name)
    if spec is None or spec.submodule_search_locations is None:
        return
    package = importlib.util.module_from_spec(spec)
    package.__dict__["__getattr__"] = lambda part: _part(name, part)
    sys.modules[name] = package


def _nothing_is_masked() -> None:
    """Answer for masked arrays, which the search for distinct values asks of, while their module waits: without it
    there are none. Once it has run, its own answer stands in the place of this one.
    """
    masked = sys.modules.get("numpy.ma")
    if masked is not None and "__getattr__" in vars(masked):
        masked.__dict__["is_masked"] = lambda _: False


def _part(name: str, part: str) -> object:
    if part == "__version__":
        from importlib.metadata import version  # which loads what reads letters

        return version(name)
    if part.startswith("__"):
        raise AttributeError(part)
    try:
        return importlib.import_module(f"{name}.{part}")
    except ModuleNotFoundError:
        raise AttributeError(f"module {name!r} has no attribute {part!r}") from None


def load_when_used(*names: str) -> None:
    """Put off running modules until something in them is first asked for; loaded or missing ones are left alone."""
    for name in names:
        if name not in sys.modules:
            _put_off(name)


def _put_off(name: str) -> None:
    spec = _spec_of(name)
    if spec is None or spec.loader is None:
        return
    module = importlib.util.module_from_spec(spec)
    module.__dict__["__getattr__"] = lambda part: _run_and_get(module, part)
    sys.modules[name] = module
    package, _, part = name.rpartition(".")
    if package in sys.modules:
        setattr(sys.modules[package], part, module)


def _spec_of(name: str) -> ModuleSpec | None:
    """Where a module lies, loading no more than the top of its library; None if that is not installed."""
    top, *parts = name.split(".")
    try:
        spec = importlib.import_module(top).__spec__ if parts else importlib.util.find_spec(top)
    except ModuleNotFoundError:
        return None
    for part in parts:
        if spec is None:
            return None
        spec = PathFinder.find_spec(f"{spec.name}.{part}", spec.submodule_search_locations)
    return spec


def _run_and_get(module: ModuleType, part: str) -> object:
    if part.startswith("__"):
        raise AttributeError(part)
    with _loading:
        if module.__dict__.pop("__getattr__", None) is not None:
            spec = module.__spec__
            assert spec is not None
            assert spec.loader is not None
            spec.loader.exec_module(module)
    return getattr(module, part)


MAKER: Final = "_create_fn"
MADE_OF: Final = ("name", "args", "body", "globals", "locals", "return_type")
"""What the standard library compiles a method of a record with, and from what; another one is left alone."""
AT_ONCE: Final = ("__init__",)
"""Methods that nearly every record needs, and whose signature is asked for."""


def compile_when_called() -> None:
    """Put off compiling the methods of records (to compare, print, hash, refuse to be changed) until one is called.

    A command loads some three hundred records and calls a few of those methods: a twentieth of its time. The methods
    are the same; for processes of the command line alone, as the first thing they do.
    """
    make: Callable[..., Any] | None = getattr(dataclasses, MAKER, None)
    if make is not None and tuple(inspect.signature(make).parameters) == MADE_OF:
        setattr(dataclasses, MAKER, _later(make))


def _later(make: Callable[..., Any]) -> Callable[..., Any]:
    def promised(name: str, args: Any, body: Any, **rest: Any) -> Any:
        if name in AT_ONCE:
            return make(name, args, body, **rest)
        found: Callable[..., Any] | None = None

        def method(*own: Any) -> Any:
            nonlocal found
            if found is None:
                found = make(name, args, body, **rest)
            return found(*own)

        method.__name__ = name
        return method

    return promised
