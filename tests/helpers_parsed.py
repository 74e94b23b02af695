"""Modules of the program as their syntax trees, parsed once for all rules."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path


@cache
def parsed(path: Path) -> ast.Module:
    """The tree of a module; not to be changed."""
    return ast.parse(path.read_text("utf-8"))
