"""Hold a file for one writer at a time, on any system, without waiting for ever."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

PATIENCE_S: Final = 10.0
"""A line is written in milliseconds; a lock held longer means a stuck program. Judgement."""
PAUSE_S: Final = 0.01
LOCKED_BYTES: Final = 1


class StillLockedError(TimeoutError):
    """Another program held the file all the time we waited."""


if sys.platform == "win32":  # pragma: no cover
    import msvcrt

    def _try_lock(handle: int) -> bool:
        os.lseek(handle, 0, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, LOCKED_BYTES)
        except OSError:
            return False
        return True

    def _unlock(handle: int) -> None:
        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, LOCKED_BYTES)

else:
    import fcntl

    def _try_lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except (BlockingIOError, InterruptedError):
            return False
        return True

    def _unlock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)


@contextmanager
def held(handle: int, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold an open file alone; the system lets go of it when the process ends, however it ends.

    Parameters: handle, an open file; patience_s, how long to wait for another holder [s].
    Errors: StillLockedError when the patience runs out; OSError where the file system knows no locks.
    """
    until = time.monotonic() + patience_s
    while not _try_lock(handle):
        if time.monotonic() > until:
            raise StillLockedError
        time.sleep(PAUSE_S)
    try:
        yield
    finally:
        _unlock(handle)
