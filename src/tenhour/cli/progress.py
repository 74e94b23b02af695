"""A sign of life for work that takes longer than a second; only on a terminal, only on stderr."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

PATIENCE_S: Final = 1.0


@contextmanager
def working(text: str, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Say what is being done if it takes longer than ``patience_s``, and take the words away when it is done."""
    if not sys.stderr.isatty():
        yield
        return
    done = threading.Event()
    shown = threading.Thread(target=_show, args=(text, done, patience_s), daemon=True)
    shown.start()
    try:
        yield
    finally:
        done.set()
        shown.join()


def _show(text: str, done: threading.Event, patience_s: float) -> None:
    if done.wait(patience_s):
        return
    from rich.console import Console

    with Console(stderr=True).status(f"{text} ..."):
        done.wait()
