"""Print a page to PDF by a headless Chromium, if one is installed."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Final

from tenhour.errors import FileProblem, Problem

BROWSERS: Final = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
PATIENCE_S: Final = 120
FLAGS: Final = (
    "--headless",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-extensions",
    "--no-pdf-header-footer",
)


def find_browser() -> str | None:
    """Path of a browser that can print, or None."""
    return next((path for name in BROWSERS if (path := shutil.which(name)) is not None), None)


def need_browser() -> str:
    """Path of a browser that can print. Errors: FileProblem if there is none."""
    browser = find_browser()
    if browser is None:
        do = "Install Chromium, or leave out --pdf and print the page from your own browser."
        raise FileProblem([Problem("command line", "--pdf", "no Chromium on this machine", "", do)])
    return browser


def print_pdf(browser: str, page: str, out: Path, force: bool) -> None:
    """Print a page and save the PDF under a name, whole or not at all.

    Errors: FileProblem if the browser gives no PDF.
    """
    from tenhour.files.write import save_bytes

    with tempfile.TemporaryDirectory(prefix="tenhour-", ignore_cleanup_errors=True) as folder:
        save_bytes(out, _printed(browser, page, Path(folder)), force)


def _printed(browser: str, page: str, folder: Path) -> bytes:
    source, target = folder / "page.html", folder / "page.pdf"
    source.write_text(page, "utf-8")
    command = [browser, *FLAGS, f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={target}", source.as_uri()]
    done = _run(command)
    if not target.exists():
        # A browser run by root, as in a container, refuses its own sandbox; the page holds no script.
        done = _run([*command[:1], "--no-sandbox", *command[1:]])
    if not target.exists():
        said = (done.strip().splitlines() or ["no reason given"])[-1]
        do = "Leave out --pdf and print the page from your own browser."
        raise FileProblem([Problem("command line", "--pdf", f"{browser} printed nothing ({said})", "", do)])
    return target.read_bytes()


def _run(command: list[str]) -> str:
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=PATIENCE_S)
    except subprocess.TimeoutExpired:
        return f"gave up after {PATIENCE_S} s"
    except OSError as error:
        return str(error)
    return done.stderr
