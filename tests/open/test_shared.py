"""The page for a phone: let in by a code that is good for a while and for one device, with a token of its own."""

from __future__ import annotations

import io
import re
import socket
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from helpers_open import POOL, served
from tenhour.open.guard import CODE_S, DEVICE_S, FREE_TRIES, WAIT_S, Guard

HERE, THERE = "127.0.0.1:80", "192.168.1.7:80"


class Clock:
    """Seconds as a test sets them."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def __call__(self) -> float:
        return self.now_s


def ask(guard: Guard, path: str, host: str = THERE, body: str | None = None) -> tuple[int, dict[str, str]]:
    """Status and headers of a request."""
    got: list[Any] = []
    data = (body or "").encode()
    environ = {
        "REQUEST_METHOD": "GET" if body is None else "POST", "PATH_INFO": path, "HTTP_HOST": host,
        "CONTENT_LENGTH": str(len(data)), "wsgi.input": io.BytesIO(data),
    }  # fmt: skip
    if body is not None:
        environ |= {"HTTP_ORIGIN": f"http://{host}", "CONTENT_TYPE": "application/x-www-form-urlencoded"}

    def inner(environ: dict[str, Any], start: Any) -> list[bytes]:
        start("200 OK", [])
        return [environ["PATH_INFO"].encode()]

    guard.watched(inner)(environ, lambda status, headers, *_: got.extend([int(status[:3]), dict(headers)]))
    return got[0], got[1]


def let_in(guard: Guard, code: str) -> str | None:
    status, headers = ask(guard, "/code", body=f"code={code}")
    return headers["Location"] if status == 303 else None


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def guard(clock: Clock) -> Guard:
    return Guard(80, shared=True, now_s=clock)


def test_a_phone_gets_a_token_of_its_own_and_this_computers_serves_it_alone(guard: Guard) -> None:
    assert ask(guard, f"/{guard.token}/", HERE)[0] == 200
    assert ask(guard, f"/{guard.token}/", THERE)[0] == 404
    own = let_in(guard, guard.code)
    assert own is not None
    assert guard.token not in own
    assert ask(guard, own, THERE)[0] == 200
    assert ask(guard, own, HERE)[0] == 404


def test_a_code_serves_once_and_a_quarter_of_an_hour(guard: Guard, clock: Clock) -> None:
    told: list[str] = []
    guard.tell = told.append
    code = guard.code
    assert let_in(guard, code)
    assert let_in(guard, code) is None
    assert ask(guard, "/")[0] == 200
    assert told == [guard.code] != [code]
    code = guard.code
    clock.now_s += CODE_S - 1
    assert ask(guard, "/")[0] == 200
    assert guard.code == code
    clock.now_s += 1
    assert let_in(guard, code) is None
    assert len(told) == 2


def test_a_phone_that_was_let_in_asks_for_half_a_day(guard: Guard, clock: Clock) -> None:
    own = let_in(guard, guard.code)
    assert own is not None
    clock.now_s += DEVICE_S - 1
    assert ask(guard, own)[0] == 200
    clock.now_s += 1
    assert ask(guard, own)[0] == 404


def test_wrong_codes_are_heard_slowly(guard: Guard, clock: Clock) -> None:
    wrong = f"{(int(guard.code) + 1) % 10**8:08d}"
    for _ in range(FREE_TRIES):
        assert let_in(guard, wrong) is None
    assert let_in(guard, guard.code) is None, "the right one too has to wait"
    clock.now_s += WAIT_S
    assert let_in(guard, guard.code)


def test_unshared_there_is_no_door_and_no_other_name(clock: Clock) -> None:
    alone = Guard(80, now_s=clock)
    assert ask(alone, "/", HERE)[0] == 404
    assert ask(alone, "/", THERE)[0] == 421
    assert ask(alone, "/code", HERE, body=f"code={alone.code}")[0] in (404, 415)


def test_shared_the_command_warns_and_prints_a_code_that_opens_the_page(tmp_path: Path) -> None:
    with served(tmp_path, ["--share"]) as running:
        assert running.process.stdout is not None
        line = running.process.stdout.readline()
        found = re.search(r"open (http://([\d.]+):\d+/) and give the code (\d{8})", line)
        assert found is not None, line
        port = urlsplit(running.address).port
        origin = f"http://{found[2]}:{port}"
        try:
            socket.create_connection((found[2], port), timeout=5).close()
        except OSError:
            pytest.skip("this computer has no address of a network")
        if found[2] == "127.0.0.1":
            pytest.skip("this computer has no address of a network")
        answer = POOL.request("GET", origin + "/", retries=False)
        assert (answer.status, b"code" in answer.data) == (200, True)
        answer = POOL.request(
            "POST", origin + "/code", body=f"code={found[3]}", redirect=False, retries=False,
            headers={"Origin": origin, "Content-Type": "application/x-www-form-urlencoded"},
        )  # fmt: skip
        assert answer.status == 303
        page = POOL.request("GET", origin + answer.headers["Location"], retries=False)
        assert (page.status, b"<title>tenhour</title>" in page.data) == (200, True)
        assert POOL.request("GET", origin + urlsplit(running.address).path, retries=False).status == 404


PAGE = ("bottle", "waitress", "tenhour.open.server")


@pytest.mark.parametrize(
    ("words", "unwanted"),
    [
        (["open", "--help"], (*PAGE, "numpy", "matplotlib")),
        (["--help"], (*PAGE, "numpy", "tenhour.open")),
        (["check"], (*PAGE, "tenhour.open")),
    ],
)
def test_nothing_of_the_page_is_loaded_before_it_is_opened(
    tmp_path: Path, words: list[str], unwanted: tuple[str, ...]
) -> None:
    script = (
        "import sys; from tenhour.cli.main import app\n"
        f"try: app({words})\n"
        "except SystemExit: pass\n"
        f"print([n for n in {unwanted} if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=tmp_path)
    assert len(done.stdout) > 200
    assert done.stdout.splitlines()[-1] == "[]", done.stdout


LOADS = re.compile(r"""^(?:import|export)\b[^"';=]*\bfrom "([^"]+)"|\bimport\s*\(?\s*["'`]([^"'`]+)""", re.MULTILINE)


def test_the_page_has_no_part_of_others() -> None:
    from importlib import resources

    own = {each.name: each.read_text("utf-8") for each in (resources.files("tenhour.open") / "static").iterdir()}
    scripts = {name: text for name, text in own.items() if name.endswith(".js")}
    taken = [one or other for text in scripts.values() for one, other in LOADS.findall(text)]
    assert len(taken) > 20
    assert all(part.startswith("./") and part[2:] in scripts for part in taken)
    assert not re.search("@license|copyright|sourceMappingURL", "".join(own.values()), re.IGNORECASE)


def test_the_page_adds_less_than_a_megabyte_to_the_archive() -> None:
    import zipfile
    from importlib import resources

    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        folder = Path(str(resources.files("tenhour.open")))
        for file in folder.rglob("*"):
            if file.is_file() and "__pycache__" not in file.parts:
                archive.write(file, file.relative_to(folder))
    assert 10_000 < len(packed.getvalue()) < 1_000_000
