"""A sign of life for work that takes longer than a second; only on a terminal, only on stderr."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock, Timer
from typing import TYPE_CHECKING, Final

from tenhour.pace import listening

if TYPE_CHECKING:
    from rich.progress import Progress

PATIENCE_S: Final = 1.0
IN_TURN: Final = "beds"
FEW: Final = 2
"""Work in fewer parts than this says nothing of the time left."""


@contextmanager
def working(text: str, patience_s: float = PATIENCE_S, *, of: str = "crops") -> Iterator[None]:
    """Say what is being done if it takes longer than ``patience_s``, how many of what are done, and the time left.

    Parameters: text; patience_s; of, what is counted: beds, where they are done in turn, for each turn counts anew.
    The words go away when the work is done or stopped.
    """
    if not sys.stderr.isatty():
        yield
        return
    shown = _Shown(text, of)
    timer = Timer(patience_s, shown.begin)
    timer.daemon = True
    timer.start()
    try:
        with listening(shown.told):
            yield
    finally:
        timer.cancel()
        shown.end()


class _Shown:
    """The line on the terminal: once begun it follows what the work tells."""

    def __init__(self, text: str, of: str) -> None:
        self._text = text
        self._of = of
        self._parts = (0, 0)
        self._bar: Progress | None = None
        self._ended = False
        self._lock = Lock()

    def begin(self) -> None:
        """Show the line, unless the work has ended meanwhile."""
        with self._lock:
            if self._ended:
                return
            self._bar = _bar()
            self._bar.add_task(self._text, total=None, of=self._of)
            self._follow()
            self._bar.start()

    def told(self, done: int, count: int, what: str) -> None:
        """Keep how far the work is, and show it where the line is shown."""
        with self._lock:
            if what == IN_TURN:
                self._of = IN_TURN
            if what != self._of:
                return
            self._parts = (done, count)
            self._follow()

    def _follow(self) -> None:
        done, count = self._parts
        if self._bar is None or count < FEW:
            return
        task = self._bar.tasks[0]
        if task.total != count or done < task.completed:
            self._bar.reset(task.id, total=count, completed=done)
        self._bar.update(task.id, completed=done, of=self._of)

    def end(self) -> None:
        """Take the line away."""
        with self._lock:
            self._ended = True
            if self._bar is not None:
                self._bar.stop()


def _bar() -> Progress:
    from rich.console import Console
    from rich.progress import MofNCompleteColumn, Progress, SpinnerColumn, TextColumn, TimeRemainingColumn

    return Progress(
        SpinnerColumn(),
        TextColumn("{task.description}:"),
        MofNCompleteColumn(),
        TextColumn("{task.fields[of]},"),
        TimeRemainingColumn(compact=True),
        TextColumn("left"),
        console=Console(stderr=True),
        transient=True,
    )
