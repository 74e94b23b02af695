"""The page's server as a grower starts it: a process of its own, asked over its own address."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import urllib3

from helpers_once import FOLDER

PATIENCE_S = 240.0
POOL = urllib3.PoolManager(maxsize=8)


@dataclass
class Served:
    """A server that runs."""

    process: subprocess.Popen[str]
    address: str
    """With its token and a slash at the end."""

    @property
    def origin(self) -> str:
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    def ask(
        self, method: str, path: str, body: Any = None, headers: dict[str, str] | None = None, address: str = ""
    ) -> tuple[int, Any]:
        """Status and what was told; the headers of a page that came from here unless others are given."""
        own = {"Origin": self.origin, "Content-Type": "application/json"} if method == "POST" else {}
        data = body if isinstance(body, bytes | type(None)) else json.dumps(body).encode()
        answer = POOL.request(
            method, (address or self.address) + path, body=data, headers={**own, **(headers or {})},
            redirect=False, retries=False, timeout=PATIENCE_S,
        )  # fmt: skip
        told = answer.data.decode()
        return answer.status, json.loads(told) if "json" in answer.headers.get("Content-Type", "") else told

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=PATIENCE_S)


def _heeding_interrupts() -> None:
    """A job that a shell began in the background has interrupts ignored; the page is to be ended by one here."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


PROGRAM = """
import sys
from pathlib import Path
from types import SimpleNamespace
from tenhour.cli.quick import compile_when_called
compile_when_called()
from tenhour.cli.main import run
sys.path.append({tests!r})
import helpers_once
helpers_once.FOLDER[:] = map(Path, {folder!r})
patched = SimpleNamespace(setattr=setattr)
helpers_once.build_once(patched)
helpers_once.trace_once(patched)
if {few!r}:
    from tenhour.year.answers import heat
    heat.WINTERS, heat.FEW = 2, 1
run()
"""
"""The program, its house-years shared with the tests of the run (helpers_once); with few winters for what heating
takes, for tests that ask no figure of it."""


def started(folder: Path, words: Sequence[str] = (), *, few: bool = False, sharing: bool = False) -> Served:
    shared = PROGRAM.format(tests=str(Path(__file__).parent), folder=[str(path) for path in FOLDER], few=few)
    program = ["-c", shared] if few or sharing else ["-m", "tenhour"]
    process = subprocess.Popen(
        [sys.executable, *program, "open", "--no-browser", *words],
        cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"}, preexec_fn=_heeding_interrupts,
    )  # fmt: skip
    assert process.stdout is not None
    address = process.stdout.readline().strip()
    assert address.startswith("http://127.0.0.1:"), address
    return Served(process, address)


@contextmanager
def served(folder: Path, words: Sequence[str] = (), *, few: bool = False, sharing: bool = False) -> Iterator[Served]:
    running = started(folder, words, few=few, sharing=sharing)
    try:
        yield running
    finally:
        if running.process.poll() is None:
            running.kill()
        assert running.process.stdout is not None
        running.process.stdout.close()
