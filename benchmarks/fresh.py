"""Wall time and processor time of a command in a fresh process."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Mapping, Sequence

AS_A_USER = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
"""The first run compiles, as it does where the program is installed."""


def seconds(command: Sequence[str], folder: str | None = None) -> float:
    """Wall time of a command that must succeed [s]; folder is where it runs."""
    begin = time.perf_counter()
    subprocess.run(command, cwd=folder, capture_output=True, check=True, env=AS_A_USER)
    return time.perf_counter() - begin


def cpu_seconds(command: Sequence[str], folder: str | None = None, more: Mapping[str, str] = {}) -> float:
    """Processor time, user's and system's, of a command that must succeed and of its children [s].

    Parameters: folder, where it runs; more, set in its environment.
    """
    process = subprocess.Popen(
        command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={**AS_A_USER, **more}
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, command)
    return used.ru_utime + used.ru_stime
