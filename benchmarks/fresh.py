"""Wall time of a command in a fresh process."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Sequence

AS_A_USER = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
"""The first run compiles, as it does where the program is installed."""


def seconds(command: Sequence[str], folder: str | None = None) -> float:
    """Wall time of a command that must succeed [s]; folder is where it runs."""
    begin = time.perf_counter()
    subprocess.run(command, cwd=folder, capture_output=True, check=True, env=AS_A_USER)
    return time.perf_counter() - begin
