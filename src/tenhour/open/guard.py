"""Who may ask: only pages that came from here, by their address with its token, from this computer's own names."""

from __future__ import annotations

import re
import secrets
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from hmac import compare_digest
from threading import Lock
from typing import Any, Final
from urllib.parse import parse_qs

Environ = Mapping[str, Any]
StartResponse = Callable[..., Any]
App = Callable[[dict[str, Any], StartResponse], Iterable[bytes]]

MOST_BODY_BYTES: Final = 1_000_000
"""A house file is half of that at most."""
LOOPBACK: Final = ("127.0.0.1", "localhost", "[::1]")
ADDRESS: Final = re.compile(r"\d{1,3}(\.\d{1,3}){3}")
"""A number cannot be pointed elsewhere by a name server, so that other computers may call this one by it."""
HEADERS: Final = (
    (
        "Content-Security-Policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
    ),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Cache-Control", "no-store"),
)
CODE_DIGITS: Final = 8
FREE_TRIES: Final = 5
WAIT_S: Final = 30.0
"""After so many wrong codes one more is heard every so many seconds: a year would not try a tenth of all. Judgement."""
CODE_PAGE: Final = (
    '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>tenhour</title>'
    '<meta name="viewport" content="width=device-width, initial-scale=1"></head><body><main><h1>tenhour</h1>'
    '<form method="post" action="/code"><label>Code printed where tenhour runs: '
    '<input name="code" inputmode="numeric" autocomplete="off" required></label> <button>Open</button></form>'
    "</main></body></html>"
)


@dataclass
class Guard:
    """The rules of one server: its token, its port, and the code for other devices, if they may come at all."""

    port: int = 0
    shared: bool = False
    token: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    code: str = field(default_factory=lambda: "".join(secrets.choice("0123456789") for _ in range(CODE_DIGITS)))
    last_heard_s: float = field(default_factory=time.monotonic)
    """When something was last asked that was allowed."""
    _wrong_count: int = 0
    _wrong_s: float = 0.0
    _lock: Lock = field(default_factory=Lock)

    def watched(self, app: App) -> App:
        """The same app behind these rules; it sees paths without the token."""

        def guarded(environ: dict[str, Any], start: StartResponse) -> Iterable[bytes]:
            def answer(status: str, headers: list[tuple[str, str]], *more: Any) -> Any:
                own = {name.lower() for name, _ in HEADERS}
                return start(status, [*((n, v) for n, v in headers if n.lower() not in own), *HEADERS], *more)

            refused = self.refusal(environ)
            if refused is None and self.shared and environ.get("PATH_INFO") in ("/", "/code"):
                return self._at_the_door(environ, answer)
            if refused is None and not self._has_token(environ):
                refused = "404 Not Found"
            if refused is not None:
                return _plain(answer, refused, refused)
            self.last_heard_s = time.monotonic()
            environ["PATH_INFO"] = environ["PATH_INFO"][len(self.token) + 1 :]
            return app(environ, answer)

        return guarded

    def refusal(self, environ: Environ) -> str | None:
        """Status with which a request is refused for where it comes from and how it asks; None if it may go on."""
        host = str(environ.get("HTTP_HOST", ""))
        name, _, port = host.rpartition(":")
        known = name in LOOPBACK or (self.shared and ADDRESS.fullmatch(name) is not None)
        if not known or port != str(self.port):
            return "421 Misdirected Request"
        method = environ.get("REQUEST_METHOD")
        if method not in ("GET", "HEAD", "POST"):
            return "405 Method Not Allowed"
        origin = environ.get("HTTP_ORIGIN")
        if origin is not None and origin != f"http://{host}":
            return "403 Forbidden"
        if environ.get("HTTP_SEC_FETCH_SITE") in ("cross-site", "same-site"):
            return "403 Forbidden"
        if method == "POST":
            return self._refused_post(environ)
        return None

    def _refused_post(self, environ: Environ) -> str | None:
        kind = str(environ.get("CONTENT_TYPE", "")).partition(";")[0]
        form = self.shared and environ.get("PATH_INFO") == "/code"
        if environ.get("HTTP_ORIGIN") is None:
            return "403 Forbidden"
        if kind != ("application/x-www-form-urlencoded" if form else "application/json"):
            return "415 Unsupported Media Type"
        if int(environ.get("CONTENT_LENGTH") or 0) > MOST_BODY_BYTES:
            return "413 Content Too Large"
        return None

    def _has_token(self, environ: Environ) -> bool:
        path = str(environ.get("PATH_INFO", ""))
        given = path.split("/", 2)[1] if path.count("/") >= 2 else ""
        return compare_digest(given.encode("utf-8", "replace"), self.token.encode())

    def _at_the_door(self, environ: dict[str, Any], answer: StartResponse) -> Iterable[bytes]:
        """Another device gives the code and is sent on to the address with the token."""
        if environ["REQUEST_METHOD"] != "POST":
            return _plain(answer, "200 OK", CODE_PAGE, "text/html")
        body = environ["wsgi.input"].read(1000).decode("ascii", "replace")
        if self._right(parse_qs(body).get("code", [""])[0]):
            answer("303 See Other", [("Location", f"/{self.token}/"), ("Content-Length", "0")])
            return [b""]
        return _plain(answer, "403 Forbidden", "That is not the code, or too many were tried: wait half a minute.")

    def _right(self, code: str) -> bool:
        with self._lock:
            if self._wrong_count >= FREE_TRIES and time.monotonic() < self._wrong_s + WAIT_S:
                return False
            if compare_digest(code.strip().encode(), self.code.encode()):
                self._wrong_count = 0
                return True
            self._wrong_count, self._wrong_s = self._wrong_count + 1, time.monotonic()
            return False


def _plain(answer: StartResponse, status: str, text: str, kind: str = "text/plain") -> Iterable[bytes]:
    data = text.encode()
    answer(status, [("Content-Type", f"{kind}; charset=utf-8"), ("Content-Length", str(len(data)))])
    return [data]
