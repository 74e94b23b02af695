"""How far a long piece of work has come, for whoever asked to be told; and memory handed back between its parts.

Nobody asks to be told in a library's own use.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
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


def give_back_memory() -> None:
    """Hand memory that is free again back to the system, where its library can: it holds on to most of it by itself."""
    import ctypes

    with suppress(AttributeError, OSError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)
