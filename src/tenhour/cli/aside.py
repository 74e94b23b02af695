"""Draw in a second process: loading the plotting library and drawing take as long as a fifth of the whole answer."""

from __future__ import annotations

import contextlib
import importlib
import os
import pickle
import subprocess
import sys
from collections.abc import Iterator
from typing import IO, TYPE_CHECKING, Final

from tenhour.cli.quick import RARE_IN_DRAWING, load_when_used

if TYPE_CHECKING:
    from tenhour.model.report import ReportAnswer
    from tenhour.report.page.drawn import Drawings
    from tenhour.words.style import Style

SERVE: Final = "from tenhour.cli.aside import serve; serve()"
LIBRARY: Final = "matplotlib"
DRAWING: Final = "tenhour.report.page.drawing"


class Aside:
    """Someone who draws the pictures of a page; a second process where there is a processor for it."""

    def __init__(self, child: subprocess.Popen[bytes] | None) -> None:
        self._child = child

    def begin(self, answer: ReportAnswer, style: Style) -> None:
        """Hand over an answer; the drawing goes on while the caller does something else."""
        self._job = answer, style
        if self._child is not None:
            with contextlib.suppress(OSError):
                assert self._child.stdin is not None
                with self._child.stdin as pipe:
                    pickle.dump(self._job, pipe, pickle.HIGHEST_PROTOCOL)

    def finish(self) -> Drawings:
        """Return the pictures; what the second process could not draw is drawn here."""
        if self._child is not None and self._child.stdout is not None:
            with contextlib.suppress(OSError, EOFError, pickle.UnpicklingError):
                drawings: Drawings = pickle.load(self._child.stdout)
                return drawings
        return _draw(*self._job)


@contextlib.contextmanager
def drawing_aside() -> Iterator[Aside]:
    """Start the second process, which loads the plotting library meanwhile; it ends with this block."""
    child = _start() if _worth_it() else None
    if child is None:
        yield Aside(None)
        return
    with child:
        try:
            yield Aside(child)
        finally:
            child.kill()


def _worth_it() -> bool:
    """A second process pays where it has a processor of its own and the library is not loaded yet."""
    free = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return free > 1 and LIBRARY not in sys.modules and bool(sys.executable)


def _start() -> subprocess.Popen[bytes] | None:
    # -P keeps the folder of the user, and whatever modules lie in it, out of the second process.
    command = [sys.executable, "-P", "-c", SERVE]
    try:
        return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    except OSError:
        return None


def _draw(answer: ReportAnswer, style: Style) -> Drawings:
    load_when_used(*RARE_IN_DRAWING)
    drawings: Drawings = importlib.import_module(DRAWING).draw(answer, style)
    return drawings


def serve(source: IO[bytes] | None = None, to: IO[bytes] | None = None) -> None:
    """Be the second process: load the library, wait for an answer, draw it, hand the pictures back."""
    load_when_used(*RARE_IN_DRAWING)
    importlib.import_module(DRAWING)
    try:
        job = pickle.load(source or sys.stdin.buffer)
    except EOFError:
        return
    pickle.dump(_draw(*job), to or sys.stdout.buffer, pickle.HIGHEST_PROTOCOL)
