"""How far a long piece of work has come, for whoever asked to be told; nobody asks in a library's own use."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

Told = Callable[[int, int, str], None]
"""Takes how many are done, how many there are, and of what."""

_LISTENER: ContextVar[Told | None] = ContextVar("listener", default=None)


@contextmanager
def listening(told: Told) -> Iterator[None]:
    """Be told of long work until the end of the block."""
    token = _LISTENER.set(told)
    try:
        yield
    finally:
        _LISTENER.reset(token)


def tell(done: int, count: int, what: str) -> None:
    """Say that so many of so many are done, and of what."""
    told = _LISTENER.get()
    if told is not None:
        told(done, count, what)
