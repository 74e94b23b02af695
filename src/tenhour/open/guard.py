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
CODE_S: Final = 900.0
"""How long a code may be typed: a quarter of an hour. Judgement."""
DEVICE_S: Final = 43_200.0
"""How long another device that was let in may ask: half a day, so that the next day begins with a code. Judgement."""
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


def _new_code() -> str:
    return "".join(secrets.choice("0123456789") for _ in range(CODE_DIGITS))


def _new_token() -> str:
    return secrets.token_urlsafe(24)


@dataclass
class Guard:
    """The rules of one server: its token, its port, and the code for other devices, if they may come at all.

    The token serves this computer alone. Another device gets one of its own for a code, which is good for a quarter of
    an hour and for one device; the next one at the door is waited for with another.
    """

    port: int = 0
    shared: bool = False
    token: str = field(default_factory=_new_token)
    code: str = field(default_factory=_new_code)
    tell: Callable[[str], None] = lambda code: None
    """Told every new code."""
    now_s: Callable[[], float] = time.monotonic
    last_heard_s: float = field(default_factory=time.monotonic)
    """When something was last asked that was allowed."""
    _wrong_count: int = 0
    _wrong_s: float = 0.0
    _code_until_s: float = 0.0
    _devices: dict[str, float] = field(default_factory=dict)
    """Their tokens, and until when each is good."""
    _lock: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        """Count the code's time from now on."""
        self._code_until_s = self.now_s() + CODE_S

    def watched(self, app: App) -> App:
        """The same app behind these rules; it sees paths without the token."""

        def guarded(environ: dict[str, Any], start: StartResponse) -> Iterable[bytes]:
            def answer(status: str, headers: list[tuple[str, str]], *more: Any) -> Any:
                own = {name.lower() for name, _ in HEADERS}
                return start(status, [*((n, v) for n, v in headers if n.lower() not in own), *HEADERS], *more)

            refused = self.refusal(environ)
            if refused is None and self.shared and environ.get("PATH_INFO") in ("/", "/code"):
                return self._at_the_door(environ, answer)
            token = self._token_of(environ)
            if refused is None and token is None:
                refused = "404 Not Found"
            if refused is not None or token is None:
                return _plain(answer, str(refused), str(refused))
            self.last_heard_s = time.monotonic()
            environ["PATH_INFO"] = environ["PATH_INFO"][len(token) + 1 :]
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
        size = str(environ.get("CONTENT_LENGTH") or "0")
        if not re.fullmatch(r"[0-9]{1,18}", size):
            return "400 Bad Request"
        if int(size) > MOST_BODY_BYTES:
            return "413 Content Too Large"
        return None

    def _token_of(self, environ: Environ) -> str | None:
        """The token a request came with, if it is good: this computer's own from here, another device's from there."""
        path = str(environ.get("PATH_INFO", ""))
        given = path.split("/", 2)[1] if path.count("/") >= 2 else ""
        here = str(environ.get("HTTP_HOST", "")).rpartition(":")[0] in LOOPBACK
        with self._lock:
            good = [self.token] if here else [token for token, until in self._devices.items() if self.now_s() < until]
        return next((token for token in good if compare_digest(given.encode("utf-8", "replace"), token.encode())), None)

    def _at_the_door(self, environ: dict[str, Any], answer: StartResponse) -> Iterable[bytes]:
        """Another device gives the code and is sent on to an address with a token of its own."""
        self._code_in_time()
        if environ["REQUEST_METHOD"] != "POST":
            return _plain(answer, "200 OK", CODE_PAGE, "text/html")
        body = environ["wsgi.input"].read(1000).decode("ascii", "replace")
        token = self._let_in(parse_qs(body).get("code", [""])[0])
        if token is not None:
            answer("303 See Other", [("Location", f"/{token}/"), ("Content-Length", "0")])
            return [b""]
        return _plain(answer, "403 Forbidden", "That is not the code, or too many were tried: wait half a minute.")

    def _code_in_time(self) -> None:
        """Make another code once the last is used or too old."""
        with self._lock:
            if self.now_s() < self._code_until_s:
                return
            self.code, self._code_until_s = _new_code(), self.now_s() + CODE_S
        self.tell(self.code)

    def _let_in(self, code: str) -> str | None:
        """A token for another device that gave the code; the code is then used up."""
        with self._lock:
            now_s = self.now_s()
            if self._wrong_count >= FREE_TRIES and now_s < self._wrong_s + WAIT_S:
                return None
            if not compare_digest(code.strip().encode(), self.code.encode()):
                self._wrong_count, self._wrong_s = self._wrong_count + 1, now_s
                return None
            self._wrong_count, self._code_until_s = 0, now_s
            token = _new_token()
            good = {old: until for old, until in self._devices.items() if now_s < until}
            self._devices = {**good, token: now_s + DEVICE_S}
            return token


def _plain(answer: StartResponse, status: str, text: str, kind: str = "text/plain") -> Iterable[bytes]:
    data = text.encode()
    answer(status, [("Content-Type", f"{kind}; charset=utf-8"), ("Content-Length", str(len(data)))])
    return [data]
