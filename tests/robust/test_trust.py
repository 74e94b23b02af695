"""What the program may touch: no network but to fetch, no other program but a browser when told, no file unnamed."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from helpers_fuzz import seeds
from helpers_long import LONG
from helpers_options import commands, fill
from helpers_parsed import parsed

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "tenhour"

CALLS = {
    "light": ["light", "--map", "front"],
    "sow": ["sow", "--on", "2027-01-15", "--crop", "kale"],
    "season": ["season", "front", "--crop", "kale", "--from", "2027-01-15"],
    "lamps": ["lamps", "front", "--crop", "leaf-lettuce"],
    "report": ["report", "--crop", "kale", "-o", "page.html"],
    "new": ["new", "--lat", "48", "--lon", "16", "--shape", "gable", "-o", "mine.toml"],
    "check": ["check"],
    "why": ["why", "leaf-lettuce", "--sown", "2027-01-05", "--seen", "2027-01-25"],
    "read": ["read", "readings.csv"],
    "log": ["log", "sown", "kale"],
    "learn": ["learn"],
    "week": ["week"],
    "atlas": ["atlas", "--box", "51,12,52,13", "--step", "2", "--ask", "light", "--workers", "0", "-o", "region"],
    "feed": ["feed", "--on", "2026-08-17", "--every", "8w", "--seconds", "1"],
    "heat": ["heat", "--on", "2027-01-15"],
    "open": ["open", "--no-browser", "--idle", "0.001"],
    "crops": ["crops", "kale"],
    "weather judge": ["weather", "weather.csv"],
    "weather fetch": ["weather", "fetch", "--no-write", "--tries", "1", "--timeout", "5"],
}
WISHES = '\n[household]\npeople = 1\nmeals = { salad = 2 }\nlikes = ["spinach", "pea-shoots"]\n'
"""Few, so that a plan is soon made."""
WRITES = {"report": {"page.html"}, "new": {"mine.toml"}, "log": {"sown.csv"}}
OWN_ADDRESS = {"open": ["socket.getaddrinfo"]}
"""The page's own address on this computer is looked up; nothing is sent anywhere."""
FOLDERS = {"atlas": "region"}
"""Commands that fill a folder which was named."""
PICTURES = (
    (["light", "--plot", "year.png"], {"year.png"}),
    (["season", "--crop", "kale", "--plot", "year.svg", "--ics", "dates.ics"], {"year.svg", "dates.ics"}),
)
FONT_LIST = {"cache", "home"}
"""Matplotlib keeps its list of fonts in the user's cache folder; see "Limits and trust" in DEVELOPERS.md."""

WATCHED = """
import json, os, sys
seen = []
FONTS_AND_PROCESSOR = ("fc-list", "uname", "lscpu")
def watch(event, args):
    if event == "open":
        path, mode, flags = args
        if flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT) and not isinstance(path, int):
            seen.append(["write", os.path.abspath(os.fsdecode(path))])
    elif event in ("socket.connect", "socket.getaddrinfo", "socket.sendto", "socket.gethostbyname"):
        seen.append(["network", event])
    elif event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.fork"):
        # libraries, while they load, ask for the kind of processor and for the fonts
        if args[0] not in FONTS_AND_PROCESSOR:
            seen.append(["program", str(args)[:200]])
    elif event in ("os.mkdir", "os.rename", "os.link", "os.symlink", "os.remove", "os.rmdir", "os.chmod"):
        seen.append(["write", os.path.abspath(os.fsdecode(args[1] if event in ("os.rename", "os.link") else args[0]))])
    elif event == "compile" and os.getcwd() in str(args[1]):
        seen.append(["compile", str(args[1])])
from pytest import MonkeyPatch  # with the programs it asks, before the watch begins
sys.addaudithook(watch)
os.sched_getaffinity = lambda _: {0}  # with one processor the page is drawn in this process, under watch
from tenhour.cli.main import run
from helpers_long import LONG
from helpers_once import build_once, few_winters, soon_searched, trace_once
from tenhour.house import suntable
build_once(patch := MonkeyPatch())
few_winters(patch)
if not LONG:
    trace_once(patch)
    soon_searched(patch)
    patch.setattr(suntable.sun_nodes, "__defaults__", (24, 1))
    for few in ("tenhour.year.feed.plan.JUDGED", "tenhour.year.feed.search.CHECKED", "tenhour.year.world.FEW_WINTERS"):
        patch.setattr(few, 2)
    patch.setattr("tenhour.year.feed.search.LEANER_STEPS", ())
told = []
for words in json.loads(sys.argv[1]):
    seen.clear()
    sys.argv = ["tenhour", *words]
    status = 0
    try:
        run()
    except SystemExit as leaving:
        status = leaving.code or 0
    told.append([status, list(seen)])
print(json.dumps(told), file=sys.stderr)
"""
SCRATCH = str(Path(tempfile.gettempdir()) / "scipy-")
"""Older versions of scipy make an empty folder there while they load."""


@dataclass(frozen=True)
class Watched:
    """What each call touched."""

    folder: Path
    told: list[tuple[int, list[list[str]]]]
    said: str


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> Watched:
    """All calls, one after the other, in one process that notes what it touches."""
    folder = tmp_path_factory.mktemp("trust")
    fill(folder)
    (folder / "weather.csv").write_bytes(seeds("weather")[0])
    house = (folder / "house.toml").read_text("utf-8")
    if not LONG:
        before, front, back = house.split("[[bed]]")
        house = f"{before}[[bed]]{front}[air]{back.partition('[air]')[2]}"
        for name in ("sown.csv", "readings.csv"):
            (folder / name).write_text((folder / name).read_text("utf-8").replace("back", "front"), "utf-8")
    (folder / "house.toml").write_text(house + WISHES, "utf-8")
    environment = {
        **os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p), "PYTHONDONTWRITEBYTECODE": "1",
        "XDG_CACHE_HOME": str(folder / "cache"), "HOME": str(folder / "home"),
        "TENHOUR_PVGIS_URL": "http://127.0.0.1:9/",
    }  # fmt: skip
    environment.pop("MPLCONFIGDIR", None)
    calls = [*CALLS.values(), *(words for words, _ in PICTURES)]
    done = subprocess.run(
        [sys.executable, "-c", WATCHED, json.dumps(calls)],
        capture_output=True, text=True, cwd=folder, env=environment, stdin=subprocess.DEVNULL, check=False,
    )  # fmt: skip
    said, _, last = done.stderr.strip().rpartition("\n")
    assert last.startswith("[["), done.stderr[-2000:]
    return Watched(folder, json.loads(last), said)


def written(seen: list[list[str]], folder: Path) -> set[str]:
    """Names of the files written, drafts under the name they are for; devices and the font list are left out."""
    names = set()
    for path in {Path(what) for kind, what in seen if kind == "write" and not what.startswith("/dev/")}:
        name = path.relative_to(folder).as_posix() if folder in path.parents else str(path)
        if name.split("/")[0] in FONT_LIST or name.startswith(SCRATCH):
            continue
        draft = name.startswith(".") and name.endswith(".new")
        names.add(name[1:].rsplit(".", 2)[0] if draft else name)
    return names


def test_every_command_is_watched() -> None:
    assert set(CALLS) == set(commands())


@pytest.mark.parametrize("name", sorted(set(CALLS) - {"weather fetch"}))
def test_no_command_uses_a_network_or_another_program_or_writes_unasked(name: str, watched: Watched) -> None:
    status, seen = watched.told[list(CALLS).index(name)]
    assert status == 0, watched.said
    assert [what for kind, what in seen if kind in ("network", "program")] == OWN_ADDRESS.get(name, [])
    named = FOLDERS.get(name)
    touched = {path for path in written(seen, watched.folder) if named is None or path.split("/")[0] != named}
    assert touched == WRITES.get(name, set())
    users = [what for kind, what in seen if kind == "compile" and str(watched.folder) in what]
    assert users == [], "a user's file was compiled"


@pytest.mark.parametrize("number", range(len(PICTURES)))
def test_pictures_and_calendars_write_only_what_was_named(number: int, watched: Watched) -> None:
    folder = watched.folder
    status, seen = watched.told[len(CALLS) + number]
    assert status == 0, watched.said
    assert written(seen, folder) == PICTURES[number][1]
    kept = {path.name for path in (folder / "cache").glob("*")} | {path.name for path in folder.glob("home/.*/*")}
    assert kept <= {"matplotlib"}
    assert not [what for kind, what in seen if kind in ("network", "program")]


def test_fetching_is_what_asks_the_network(watched: Watched) -> None:
    """The watcher sees a network where there is a use of one: fetching asks an address that nobody serves."""
    status, seen = watched.told[list(CALLS).index("weather fetch")]
    assert status == 1, watched.said
    assert any(kind == "network" for kind, _ in seen)
    assert written(seen, watched.folder) == set()


FORBIDDEN_CALLS = {"eval", "exec", "compile", "__import__", "input"}
FORBIDDEN_IMPORTS = {"pickle", "marshal", "shelve", "yaml", "ctypes", "socket", "urllib", "http", "ftplib", "code"}
ALLOWED = {
    ("cli/printing.py", "subprocess"),  # prints a page by an installed browser, when --pdf is given
    ("files/fetch.py", "requests"),
    ("files/fetch.py", "http"),  # the name of an error alone
    ("files/fetch.py", "urllib"),  # puts an address together
    ("open/server.py", "socket"),  # listens on this computer, to be asked by its browser alone
    ("open/guard.py", "urllib"),  # takes a form apart
    ("pace.py", "ctypes"),  # asks the C library to hand freed memory back, by a name that is fixed
}


ROOMS = sorted({path.relative_to(SOURCE).parts[0] for path in SOURCE.rglob("*.py")})


@pytest.mark.parametrize("room", ROOMS)
def test_nothing_can_run_what_a_file_says(room: str) -> None:
    """No code from text, no pickles, and the network and other programs where they are meant."""
    place = SOURCE / room
    for path in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
        check_module(path)


def check_module(path: Path) -> None:
    where = path.relative_to(SOURCE).as_posix()
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in FORBIDDEN_CALLS, f"{where}:{node.lineno}"
        if isinstance(node, ast.Call):
            assert all(word.arg not in ("allow_pickle", "shell") for word in node.keywords), f"{where}:{node.lineno}"
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for name in (name.split(".")[0] for name in names):
            if name in FORBIDDEN_IMPORTS | {"subprocess", "requests"}:
                assert (where, name) in ALLOWED, f"{where} imports {name}"
