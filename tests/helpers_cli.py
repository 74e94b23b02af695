"""Run the command line inside the test process."""

from __future__ import annotations

import contextlib
import io
import sys
from dataclasses import dataclass
from pathlib import Path

from tenhour.cli.main import run


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
