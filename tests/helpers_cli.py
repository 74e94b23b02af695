"""Run the command line inside the test process."""

from __future__ import annotations

import contextlib
import functools
import io
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from tenhour.cli import main
from tenhour.cli.main import run

_make_ready = main._of_command
_made_ready = functools.cache(_make_ready)


def _ready(words: Sequence[str]) -> typer.Typer:
    """The parser of a command holds nothing of a call, and making it takes as long as many an answer."""
    return _make_ready(words) if any(key.endswith("_COMPLETE") for key in os.environ) else _made_ready(tuple(words[:1]))


main._of_command = _ready


@dataclass(frozen=True)
class Done:
    """Exit status and what was written."""

    status: int
    out: str
    err: str


def tenhour(*arguments: str | Path) -> Done:
    """Run ``tenhour`` with arguments; an exception that is no exit passes through and fails the test."""
    out, err = io.StringIO(), io.StringIO()
    before = sys.argv
    sys.argv = ["tenhour", *map(str, arguments)]
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                run()
            except SystemExit as leaving:
                status = leaving.code if isinstance(leaving.code, int) else 0
    finally:
        sys.argv = before
    return Done(status, out.getvalue(), err.getvalue())
