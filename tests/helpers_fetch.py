"""A small weather service on loopback that answers as its documents say, or misbehaves on request."""

from __future__ import annotations

import gzip
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from typing import Any
from urllib.parse import parse_qs, urlparse

DRIP_S = 0.05
MOST_DRIPS = 200
MOST_BLOCKS = 4_000
"""Of 64 KiB: a quarter of a gigabyte, more than anyone should take."""


@dataclass
class Answer:
    """One answer: body and status, and what goes wrong with it."""

    body: str = ""
    status: int = 200
    wait_s: float = 0.0
    fault: str = ""
    """cut (breaks off inside the body), drip (a letter now and then), drop (closes at once), endless."""
    headers: dict[str, str] = field(default_factory=dict)
    packed: bool = False


@dataclass
class Service:
    """A running service: its address and what it was asked."""

    url: str
    asked: list[tuple[str, dict[str, str]]] = field(default_factory=list)


@contextmanager
def service(*answers: Answer) -> Iterator[Service]:
    """Serve the answers in turn; the last one stays."""
    left = list(answers)

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked = urlparse(self.path)
            running.asked.append((asked.path, {key: values[0] for key, values in parse_qs(asked.query).items()}))
            answer = left.pop(0) if len(left) > 1 else left[0]
            try:
                _send(self, answer)
            except (BrokenPipeError, ConnectionResetError):
                self.close_connection = True

        def log_message(self, *args: Any) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    server.block_on_close = False
    running = Service(f"http://127.0.0.1:{server.server_port}/api/")
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield running
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def _send(handler: BaseHTTPRequestHandler, answer: Answer) -> None:
    time.sleep(answer.wait_s)
    if answer.fault == "drop":
        handler.close_connection = True
        return
    data = gzip.compress(answer.body.encode(), 1) if answer.packed else answer.body.encode()
    handler.send_response(answer.status)
    handler.send_header("Content-Type", "application/json")
    if answer.packed:
        handler.send_header("Content-Encoding", "gzip")
    if answer.fault != "endless":
        handler.send_header("Content-Length", str(len(data)))
    for name, value in answer.headers.items():
        handler.send_header(name, value)
    handler.end_headers()
    if answer.fault == "endless":
        for _ in range(MOST_BLOCKS):
            handler.wfile.write(b" " * 65_536)
        handler.close_connection = True
    elif answer.fault == "cut":
        handler.wfile.write(data[: len(data) // 2])
        handler.close_connection = True
    elif answer.fault == "drip":
        for letter in data[:MOST_DRIPS]:
            handler.wfile.write(bytes([letter]))
            handler.wfile.flush()
            time.sleep(DRIP_S)
        handler.close_connection = True
    else:
        handler.wfile.write(data)


def closed_port_url() -> str:
    """An address on loopback where nobody listens."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return f"http://127.0.0.1:{probe.getsockname()[1]}/api/"
