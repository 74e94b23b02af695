"""The page's server as it is started: who may ask, what is written, and that nothing is ever lost."""

from __future__ import annotations

import http.client
import json
import re
import socket
import tomllib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from importlib import resources
from pathlib import Path
from urllib.parse import urlsplit

import pytest

import helpers_report as made_up
from helpers_cli import tenhour
from helpers_long import many
from helpers_open import Served, served
from tenhour.words.style import Style

DEMO = (resources.files("tenhour") / "_data" / "demo-house.toml").read_text("utf-8")
MOVED = [{"do": "set", "path": ["bed", 1, "at_m"], "value": [0.2, 1.6]}]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("open")


@pytest.fixture(scope="module")
def running(folder: Path) -> Iterator[Served]:
    (folder / "house.toml").write_text(DEMO, "utf-8")
    with served(folder) as one:
        yield one


@pytest.fixture
def house(folder: Path) -> Path:
    """The house file as it was in the beginning."""
    path = folder / "house.toml"
    path.write_text(DEMO, "utf-8")
    return path


def version(running: Served) -> str:
    return str(running.ask("GET", "api/version")[1]["version"])


def test_the_page_and_its_parts_forbid_all_that_does_not_come_from_here(running: Served) -> None:
    parts = urlsplit(running.address)
    for name, kind in (
        ("", "text/html"),
        ("app.js", "text/javascript"),
        ("page.css", "text/css"),
        ("report.css", "text/css"),
    ):
        line = http.client.HTTPConnection(parts.hostname or "", parts.port or 0)
        line.request("GET", parts.path + name)
        answer = line.getresponse()
        text = answer.read().decode()
        assert (answer.status, answer.headers.get_content_type()) == (200, kind)
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "Server" not in answer.headers
        assert not re.search(r"https?://(?!www\.w3\.org/)", text), "nothing is fetched from elsewhere"
        line.close()


FOREIGN = {
    "another origin": ({"Origin": "http://evil.example"}, 403),
    "another port of this computer": ({"Origin": "http://127.0.0.1:1"}, 403),
    "no origin": ({"Origin": "null"}, 403),
    "a page of another site": ({"Sec-Fetch-Site": "cross-site"}, 403),
    "a name pointed here": ({"Host": "evil.example"}, 421),
    "a form": ({"Content-Type": "text/plain"}, 415),
    "an address that is not this computer's own": ({"Host": "10.0.0.7:80"}, 421),
}


@pytest.mark.parametrize("case", FOREIGN)
def test_foreign_requests_are_refused_and_change_nothing(running: Served, house: Path, case: str) -> None:
    headers, status = FOREIGN[case]
    body = {"version": version(running), "edits": MOVED}
    assert running.ask("POST", "api/change", body, headers)[0] == status
    assert house.read_text("utf-8") == DEMO


def test_without_the_token_there_is_nothing(running: Served) -> None:
    token = urlsplit(running.address).path.strip("/")
    for path in ("/", "/api/file", "/index.html", f"/{token[:-1]}/api/file", f"/{token}", "//api/file", "/code"):
        assert running.ask("GET", path, address=running.origin)[0] == 404
    assert len(token) >= 32


@pytest.mark.parametrize(
    "path", ["../server.py", "..%2fserver.py", "%2e%2e/%2e%2e/house.toml", "....//x", "house.toml", "api/..", "%00"]
)
def test_no_path_leads_to_a_file_that_is_not_of_the_page(running: Served, path: str) -> None:
    parts = urlsplit(running.address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port or 0)
    line.request("GET", parts.path + path)
    assert line.getresponse().status == 404
    line.close()


def memory_mb(running: Served) -> float:
    text = Path(f"/proc/{running.process.pid}/status").read_text("utf-8")
    found = re.search(r"VmRSS:\s+(\d+) kB", text)
    assert found is not None
    return int(found[1]) / 1000


def test_a_hundred_megabytes_are_refused_before_they_are_taken_in(running: Served, house: Path) -> None:
    before = memory_mb(running)
    parts = urlsplit(running.address)
    line = socket.create_connection((parts.hostname, parts.port), timeout=30)
    head = (
        f"POST {parts.path}api/change HTTP/1.1\r\nHost: {parts.netloc}\r\nOrigin: {running.origin}\r\n"
        "Content-Type: application/json\r\nContent-Length: 100000000\r\n\r\n"
    )
    line.sendall(head.encode())
    try:
        for _ in range(100):
            line.sendall(b" " * 1_000_000)
    except OSError:
        pass  # the line was closed
    else:
        assert b" 413 " in line.recv(1000)
    line.close()
    assert version(running)
    assert memory_mb(running) < before + 30
    assert house.read_text("utf-8") == DEMO


def test_many_quick_requests_lose_nothing(running: Served, house: Path) -> None:
    """Every change is made once or refused: where hundreds are sent with the version of the first, one is made."""
    before = memory_mb(running)
    now = version(running)

    def one(number: int) -> int:
        edits = [{"do": "set", "path": ["bed", 1, "height_m"], "value": 0.2 + number / 10000}]
        return running.ask("POST", "api/change", {"version": now, "edits": edits})[0]

    with ThreadPoolExecutor(8) as hands:
        found = list(hands.map(one, range(many(200, 1000))))
    assert sorted(set(found)) == [200, 409]
    assert found.count(200) == 1
    assert tomllib.loads(house.read_text("utf-8"))["bed"][1]["height_m"] == pytest.approx(
        0.2 + found.index(200) / 10000
    )
    assert memory_mb(running) < before + 60


def test_a_change_keeps_comments_and_can_be_taken_back_and_done_again(running: Served, house: Path) -> None:
    status, told = running.ask(
        "POST", "api/change", {"version": version(running), "edits": MOVED, "label": "bed moved"}
    )
    assert (status, told["undo"], told["redo"]) == (200, "bed moved", None)
    assert told["house"]["beds"][1]["at_m"] == [0.2, 1.6]
    assert house.read_text("utf-8") == DEMO.replace("at_m = [0.2, 1.5]", "at_m = [0.2, 1.6]")
    told = running.ask("POST", "api/undo", {"version": told["version"]})[1]
    assert house.read_text("utf-8") == DEMO
    assert (told["undo"], told["redo"]) == (None, "bed moved")
    told = running.ask("POST", "api/redo", {"version": told["version"]})[1]
    assert told["house"]["beds"][1]["at_m"] == [0.2, 1.6]
    assert running.ask("POST", "api/redo", {"version": told["version"]})[0] == 422


def test_two_tabs_and_an_editor_never_overwrite_each_other(running: Served, house: Path) -> None:
    old = version(running)
    assert running.ask("POST", "api/change", {"version": old, "edits": MOVED})[0] == 200
    other = [{"do": "set", "path": ["house", "ridge_m"], "value": 2.8}]
    status, told = running.ask("POST", "api/change", {"version": old, "edits": other})
    assert (status, told["changed"], told["house"]["beds"][1]["at_m"]) == (409, True, [0.2, 1.6])
    by_hand = house.read_text("utf-8").replace("eaves_m = 1.6", "eaves_m = 1.7")
    house.write_text(by_hand, "utf-8")
    assert running.ask("POST", "api/undo", {"version": told["version"]})[0] == 409
    status, told = running.ask("POST", "api/undo", {"version": version(running)})
    assert (status, told["problems"]) == (422, ["page: nothing to take back."])
    assert house.read_text("utf-8") == by_hand


REFUSED = {
    "a bed outside": ({"do": "set", "path": ["bed", 0, "at_m"], "value": [5.0, 0.15]}, "bed"),
    "a ridge below the eaves": ({"do": "set", "path": ["house", "ridge_m"], "value": 1.0}, "ridge_m"),
    "a key nobody knows": ({"do": "set", "path": ["house", "hight_m"], "value": 1.0}, "hight_m"),
    "a cover nobody knows": ({"do": "set", "path": ["face", "south", "cover"], "value": "brass"}, "brass"),
    "a window beyond its wall": ({"do": "set", "path": ["window", 0, "width_m"], "value": 7}, "window"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_check_refuses_is_never_written(running: Served, house: Path, case: str) -> None:
    edit, said = REFUSED[case]
    status, told = running.ask("POST", "api/change", {"version": version(running), "edits": [edit]})
    assert status == 422
    assert any(said in line for line in told["problems"])
    assert house.read_text("utf-8") == DEMO


@pytest.mark.parametrize("size", ["ten", "-1", "1e3", "0x10", "+5", "9" * 40])
def test_a_garbled_length_is_the_askers_fault(size: str) -> None:
    from tenhour.open.guard import Guard

    asked = {
        "REQUEST_METHOD": "POST", "HTTP_HOST": "127.0.0.1:80", "HTTP_ORIGIN": "http://127.0.0.1:80",
        "CONTENT_TYPE": "application/json", "CONTENT_LENGTH": size,
    }  # fmt: skip
    assert Guard(80).refusal(asked) == "400 Bad Request"
    assert Guard(80).refusal({**asked, "CONTENT_LENGTH": "12"}) is None


@pytest.mark.parametrize("size", ["ten", "-1"])
def test_a_garbled_length_is_answered_in_kind(running: Served, house: Path, size: str) -> None:
    parts = urlsplit(running.address)
    with socket.create_connection((parts.hostname, parts.port), timeout=30) as line:
        head = (
            f"POST {parts.path}api/change HTTP/1.1\r\nHost: {parts.netloc}\r\nOrigin: {running.origin}\r\n"
            f"Content-Type: application/json\r\nContent-Length: {size}\r\n\r\n"
        )
        line.sendall(head.encode())
        assert b" 400 " in line.recv(1000).split(b"\r\n", 1)[0]


@pytest.mark.parametrize(
    "body", [b"{", b"[]", b'{"edits": 5}', b'{"edits": [{"do": "eval", "path": ["a"]}]}', b'{"number": "x"}']
)
def test_a_garbled_request_is_refused_in_words(running: Served, body: bytes) -> None:
    status, told = running.ask("POST", "api/change", body)
    assert status == 400
    assert "not understood" in told["problems"][0]


def test_a_killed_server_loses_nothing_and_one_started_again_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "house.toml"
    with served(tmp_path) as first:
        told = first.ask("GET", "api/file")[1]
        assert (told["house"], told["version"]) == (None, "")
        words = {"place": "Ulm, Germany", "shape": "gable", "length": "16 ft", "width": "10 ft", "units": "us"}
        told = first.ask("POST", "api/new", {"words": words})[1]
        edits = [{"do": "set", "path": ["face", "north", "cover"], "value": "opaque"}]
        status, told = first.ask("POST", "api/change", {"version": told["version"], "edits": edits})
        first.kill()
    assert status == 200
    written = path.read_text("utf-8")
    assert [name.name for name in tmp_path.iterdir()] == ["house.toml"]
    with served(tmp_path) as second:
        assert second.ask("GET", "api/file")[1]["version"] == told["version"]
        assert second.ask("POST", "api/new", {"words": words})[0] == 422, "a house that is there is not replaced"
        assert path.read_text("utf-8") == written
        assert second.stop() == 0


def test_it_ends_by_itself_once_nobody_asks(tmp_path: Path) -> None:
    with served(tmp_path, ["--idle", "0.02"]) as forgotten:
        assert forgotten.ask("GET", "api/version")[0] == 200
        assert forgotten.process.wait(timeout=60) == 0


def test_places_are_found_offline_and_close_spellings_told(running: Served) -> None:
    status, found = running.ask("GET", "api/places?q=Ulm")
    assert (status, found[0]["label"]) == (200, "Ulm, Baden-Wurttemberg, Germany")
    status, told = running.ask("GET", "api/places?q=Invernes")
    assert status == 422
    assert "Inverness" in told["problems"][0]


LAMPS = {"bed": "middle", "crop": "leaf-lettuce", "lamp": "led-bar", "on": "2026-11-29"}


@pytest.mark.long
def test_lamps_are_kept_as_the_command_keeps_them(running: Served, house: Path, tmp_path: Path) -> None:
    status, told = running.ask("POST", "api/keep-lamps", {"version": version(running), "words": LAMPS})
    assert (status, told["undo"]) == (200, "lamps over middle")
    typed = tmp_path / "house.toml"
    typed.write_text(DEMO, "utf-8")
    words = ("lamps", "middle", "leaf-lettuce", "--house", typed, "--from", "2026-11-29", "--keep")
    assert tenhour(*words).status == 0
    assert house.read_text("utf-8") == typed.read_text("utf-8")
    assert [one["bed"] for one in told["house"]["lamps"]] == ["middle"]
    running.ask("POST", "api/undo", {"version": told["version"]})
    assert house.read_text("utf-8") == DEMO


def test_pictures_of_an_answer_need_no_styles_that_the_page_forbids() -> None:
    from tenhour.open.asked import pictures

    found = pictures(made_up.lamp_answer(), Style(dates="long"), made_up.TODAY, 49.4)
    assert [one.title for one in found] == ["Lamps over bed front", "Lamp clock of bed front"]
    assert all("style=" not in one.svg and "var(--sun)" in one.svg for one in found[1:])


SMALL = {"place": "Ulm, Germany", "shape": "cold-frame"}


@pytest.mark.long
def test_a_plan_is_kept_taken_back_and_gone_on_from_and_no_other_file_is_touched(tmp_path: Path) -> None:
    path, ask = tmp_path / "plan.json", {"question": "feed", "tab": "t", "words": {"seconds_s": 1, "step_weeks": 8}}
    with served(tmp_path) as small:
        now = small.ask("POST", "api/new", {"words": SMALL})[1]["version"]
        assert small.ask("POST", "api/keep-plan", {"version": now, "tab": "t"})[0] == 422, "nothing is planned yet"
        status, told = small.ask("POST", "api/ask", {**ask, "version": now, "number": 1})
        assert (status, told["json"]["kept_plan"]) == (200, False)
        assert told["json"]["jobs"]
        status, kept = small.ask("POST", "api/keep-plan", {"version": now, "tab": "t"})
        assert (status, kept["kept"], kept["undo"]) == (200, "plan.json", "the plan kept")
        assert json.loads(path.read_text("utf-8"))["sowings"] == told["json"]["sowings"]
        again = small.ask("POST", "api/ask", {**ask, "version": now, "number": 2})[1]
        assert again["json"]["kept_plan"] is True
        small.ask("POST", "api/undo", {"version": now})
        assert not path.exists()
        path.write_text("[1, 2]", "utf-8")
        status, told = small.ask("POST", "api/keep-plan", {"version": now, "tab": "t"})
        assert status == 422
        assert "feed --keep" in told["problems"][0]
        assert path.read_text("utf-8") == "[1, 2]"


def test_what_was_sown_is_logged_with_its_ground(running: Served, house: Path) -> None:
    words = {"what": "sown", "crop": "kale", "bed": "front", "area_m2": 0.5, "plants_count": 12}
    log = house.parent / "sown.csv"
    assert running.ask("POST", "api/log", {"version": version(running), "words": words})[0] == 200
    assert ",0.5,12," in log.read_text("utf-8").splitlines()[1]
    status, told = running.ask("POST", "api/log", {"version": version(running), "words": {**words, "area_m2": -1}})
    assert (status, "area_m2" in told["problems"][0]) == (422, True)
    log.unlink()


@pytest.mark.parametrize(
    "words", ['{"length": ["x"]}', '{"opaque": "north"}', '{"place": "\\ud800"}', '{"lat": NaN}', '{"lat": 1e999}']
)
def test_a_new_house_of_garbled_words_is_refused_and_not_written(running: Served, house: Path, words: str) -> None:
    house.unlink()
    status, told = running.ask("POST", "api/new", f'{{"words": {words}}}'.encode())
    assert (status, "not understood" in told["problems"][0]) == (400, True)
    assert not house.exists()
    status, told = running.ask("POST", "api/change", f'{{"number": 1e999, "words": {words}}}'.encode())
    assert status == 400
