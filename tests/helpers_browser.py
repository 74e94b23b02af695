"""A headless Chromium driven over its debugging pipe: no driver program, no open port, no network."""

from __future__ import annotations

import base64
import fcntl
import json
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

BINARY = shutil.which("chromium") or shutil.which("chromium-browser")
IN_CI = bool(os.environ.get("TENHOUR_CI"))
ROOT = Path(__file__).parents[1]
PATIENCE_S = 60.0
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-extensions",
    "--disable-quic",
    "--hide-scrollbars",
    "--remote-debugging-pipe",
)


def axe_source() -> str | None:
    """Source of axe-core as npm installs it, or None where it is not installed."""
    places = [os.environ.get("TENHOUR_AXE", ""), str(ROOT / "node_modules" / "axe-core" / "axe.min.js")]
    for place in places:
        if place and Path(place).is_file():
            return Path(place).read_text("utf-8")
    return None


class Page:
    """One open page; what it asked of the network and what it complained of is kept."""

    def __init__(self, browser: Browser, target: str, session: str) -> None:
        self._browser = browser
        self._target = target
        self._session = session
        for domain in ("Page", "Runtime", "Log", "Network", "DOM"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        return self._browser.call(method, parameters, self._session)

    def close(self) -> None:
        self._browser.call("Target.closeTarget", {"targetId": self._target})

    def open(self, path: Path | str) -> None:
        self.call("Page.navigate", url=path if isinstance(path, str) else path.as_uri())
        self._browser.wait("Page.loadEventFired", self._session)

    def run(self, script: str) -> Any:
        done = self.call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in done, done["exceptionDetails"]
        return done["result"].get("value")

    def size(self, width: int, height: int = 800) -> None:
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=width < 500
        )

    def media(self, kind: str = "screen", scheme: str = "light") -> None:
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.call("Emulation.setEmulatedMedia", media=kind, features=features)

    def press(self, key: str) -> None:
        code = {"Tab": 9, "Enter": 13, "Escape": 27, " ": 32, "ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39}[key]
        text = {"text": {"Enter": "\r", " ": " "}[key]} if key in ("Enter", " ") else {}
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, code=key, windowsVirtualKeyCode=code, **text)

    def until(self, script: str, patience_s: float = PATIENCE_S) -> Any:
        """What a script gives once that is true."""
        end = time.monotonic() + patience_s
        while not (found := self.run(f"(found => found instanceof Node || found)({script})")):
            assert time.monotonic() < end, f"not in {patience_s:g} s: {script}"
            time.sleep(0.03)
        return found

    def when(self, there: Callable[[], bool]) -> None:
        """Wait until something is so outside the page."""
        end = time.monotonic() + PATIENCE_S
        while not there():
            assert time.monotonic() < end, f"not in {PATIENCE_S:g} s"
            time.sleep(0.01)

    def middle(self, selector: str) -> tuple[float, float]:
        """Middle of an element, scrolled into view, in CSS pixels."""
        found = self.run(
            f"""(() => {{ const el = document.querySelector({json.dumps(selector)}); el.scrollIntoView({{block: 'center'}});
                 const b = el.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2] }})()"""
        )
        return found[0], found[1]

    def mouse(self, kind: str, x: float, y: float) -> None:
        self.call("Input.dispatchMouseEvent", type=f"mouse{kind}", x=x, y=y, button="left", clickCount=1, buttons=1)

    def click(self, selector: str) -> None:
        place = self.middle(selector)
        for kind in ("Pressed", "Released"):
            self.mouse(kind, *place)

    def drag(self, selector: str, dx: float, dy: float, steps: int = 4) -> None:
        x, y = self.middle(selector)
        self.mouse("Pressed", x, y)
        for n in range(1, steps + 1):
            self.mouse("Moved", x + dx * n / steps, y + dy * n / steps)
        self.mouse("Released", x + dx, y + dy)

    def write(self, selector: str, text: str) -> None:
        """Replace what stands in a field and leave it."""
        self.run(f"document.querySelector({json.dumps(selector)}).select()")
        self.click(selector)
        self.run(f"document.querySelector({json.dumps(selector)}).select()")
        self.call("Input.insertText", text=text)
        self.run(
            f"document.querySelector({json.dumps(selector)}).dispatchEvent(new Event('change', {{bubbles: true}}))"
        )

    def picture(self, path: Path) -> None:
        path.write_bytes(base64.b64decode(self.call("Page.captureScreenshot", format="png")["data"]))

    def pdf(self, width_inch: float, height_inch: float, *, by_page: bool = False) -> bytes:
        """The page as a printer gets it; ``by_page`` as its own @page rule says."""
        self.media("print")
        done = self.call("Page.printToPDF", paperWidth=width_inch, paperHeight=height_inch, preferCSSPageSize=by_page,
                         printBackground=by_page)  # fmt: skip
        return base64.b64decode(done["data"])

    def complaints(self) -> list[str]:
        """Console errors, exceptions and browser log entries above information."""
        said = []
        for event in self._browser.events(self._session):
            parameters = event["params"]
            if event["method"] == "Runtime.exceptionThrown":
                said.append(str(parameters["exceptionDetails"]))
            if event["method"] == "Log.entryAdded" and parameters["entry"]["level"] in ("error", "warning"):
                said.append(parameters["entry"]["text"])
            if event["method"] == "Runtime.consoleAPICalled" and parameters["type"] in ("error", "warning"):
                said.append(str(parameters["args"]))
        return said

    def requests(self) -> list[str]:
        """Addresses of everything the page asked for, itself included."""
        return [
            event["params"]["request"]["url"]
            for event in self._browser.events(self._session)
            if event["method"] == "Network.requestWillBeSent"
        ]


class Browser:
    """The process and its pipe; messages are JSON ended by a zero byte."""

    def __init__(self, profile: str) -> None:
        assert BINARY is not None
        to_read, to_write = os.pipe()
        from_read, from_write = os.pipe()
        high = [fcntl.fcntl(fd, fcntl.F_DUPFD_CLOEXEC, 20) for fd in (to_read, from_write)]

        def connect() -> None:
            os.dup2(high[0], 3)
            os.dup2(high[1], 4)

        self._process = subprocess.Popen(
            [BINARY, *FLAGS, f"--user-data-dir={profile}", "about:blank"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            close_fds=False,
            preexec_fn=connect,
        )
        for fd in (to_read, from_write, *high):
            os.close(fd)
        self._out, self._in = to_write, from_read
        self._buffer = b""
        self._number = 0
        self._events: list[dict[str, Any]] = []
        self.pages: list[Page] = []

    def close(self) -> None:
        try:
            self.call("Browser.close", {})
        except (OSError, AssertionError):
            self._process.kill()
        self._process.wait(timeout=PATIENCE_S)
        os.close(self._out)
        os.close(self._in)

    def _receive(self) -> dict[str, Any]:
        while b"\0" not in self._buffer:
            part = os.read(self._in, 1 << 20)
            assert part, "the browser has gone"
            self._buffer += part
        message, self._buffer = self._buffer.split(b"\0", 1)
        found: dict[str, Any] = json.loads(message)
        if "method" in found:
            self._events.append(found)
        return found

    def call(self, method: str, parameters: dict[str, Any], session: str | None = None) -> dict[str, Any]:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if session is not None:
            message["sessionId"] = session
        data = json.dumps(message).encode() + b"\0"
        while data:
            data = data[os.write(self._out, data) :]
        while True:
            answer = self._receive()
            if answer.get("id") == self._number:
                assert "error" not in answer, answer
                result: dict[str, Any] = answer["result"]
                return result

    def events(self, session: str) -> list[dict[str, Any]]:
        return [event for event in self._events if event.get("sessionId") == session]

    def wait(self, method: str, session: str) -> None:
        before = sum(event["method"] == method for event in self.events(session))
        end = time.monotonic() + PATIENCE_S
        while sum(event["method"] == method for event in self.events(session)) == before:
            assert time.monotonic() < end, f"no {method}"
            self._receive()

    def page(self) -> Page:
        target = self.call("Target.createTarget", {"url": "about:blank"})["targetId"]
        session = self.call("Target.attachToTarget", {"targetId": target, "flatten": True})["sessionId"]
        self.pages.append(Page(self, target, session))
        return self.pages[-1]


@contextmanager
def browser() -> Iterator[Browser]:
    with tempfile.TemporaryDirectory(prefix="tenhour-browser-", ignore_cleanup_errors=True) as profile:
        started = Browser(profile)
        try:
            yield started
        finally:
            started.close()
