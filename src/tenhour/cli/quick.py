"""Start quicker: load of a large library only the modules that are used."""

from __future__ import annotations

import importlib
import importlib.metadata
import importlib.util
import sys
from typing import Final

LIBRARY: Final = "pvlib"
"""Its top module loads every reader and model it has, which costs a second; we use three of its modules."""


def load_by_module(name: str = LIBRARY) -> None:
    """Make the modules of a library load one by one, each when it is first asked for.

    The library's own top module is not run; it must hold nothing but imports, as a test of the installed one asserts.
    A library that is loaded already, or not installed, is left alone.
    """
    if name in sys.modules:
        return
    spec = importlib.util.find_spec(name)
    if spec is None or spec.submodule_search_locations is None:
        return
    package = importlib.util.module_from_spec(spec)
    package.__dict__["__getattr__"] = lambda part: _part(name, part)
    sys.modules[name] = package


def _part(name: str, part: str) -> object:
    if part == "__version__":
        return importlib.metadata.version(name)
    if part.startswith("__"):
        raise AttributeError(part)
    try:
        return importlib.import_module(f"{name}.{part}")
    except ModuleNotFoundError:
        raise AttributeError(f"module {name!r} has no attribute {part!r}") from None
