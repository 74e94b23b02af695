"""What becomes of a broken file that was accepted: the command that uses it gives sound numbers or a line."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import MappingProxyType
from typing import Final

from helpers_everywhere import check_light, check_numbers
from helpers_fuzz import check_line, zarr_folder
from helpers_options import HOUSE, run, walled_in

LAMPS: Final = ["lamps", "front", "--crop", "leaf-lettuce", "--json", "--lamp"]


FED: Final = """
[household]
people = 1
from = "2026-12-01"
to = "2027-03-31"
meals = { salad = 4 }
likes = ["spinach", "pea-shoots"]
"""
PLANNED: Final = ["feed", "--on", "2026-11-29", "--every", "8w", "--seconds", "1", "--json"]
REGION: Final = ["atlas", "--ask", "light", "--house", "tunnel", "--json", "-o"]
Calls = list[list[str]]


def _house(path: Path, folder: Path) -> Calls:
    shutil.copy(path, folder / "house.toml")
    at = ["--house", str(folder / "house.toml")]
    return [["light", *at, "--json"], ["heat", *at, "--on", "2027-01-15", "--json"],
            ["learn", *at, "--on", "2027-01-15", "--json"], [*PLANNED, *at]]  # fmt: skip


def _weather(path: Path, folder: Path) -> Calls:
    shutil.copy(path, folder / path.name)
    (folder / "house.toml").write_text(HOUSE.replace("[site]", f'[site]\nclimate = "{path.name}"'), "utf-8")
    return [["light", "--house", str(folder / "house.toml"), "--json"]]


def _log(path: Path, folder: Path) -> Calls:
    shutil.copy(path, folder / "sown.csv")
    (folder / "house.toml").write_text(HOUSE, "utf-8")
    at = ["--house", str(folder / "house.toml"), "--on", "2027-01-15", "--json"]
    return [["sow", "--crop", "kale", *at], ["learn", *at]]


def _crop(path: Path, folder: Path) -> Calls:
    return [["sow", "--crops", str(path.parent), "--crop", path.stem, "--on", "2027-01-15", "--json"]]


def _plan(path: Path, folder: Path) -> Calls:
    shutil.copy(path, folder / "plan.json")
    (folder / "house.toml").write_text(HOUSE + FED, "utf-8")
    return [[*PLANNED, "--house", str(folder / "house.toml"), "--keep", str(folder / "plan.json")]]


def _days(path: Path, folder: Path) -> Calls:
    shutil.copy(path, folder / path.name)
    (folder / "house.toml").write_text(f'{HOUSE}\n[weather]\nsince = "{path.name}"\n', "utf-8")
    at = ["--house", str(folder / "house.toml"), "--on", "2026-11-29", "--json"]
    return [["light", *at], ["sow", "--crop", "kale", *at]]


def _region(option: str, *more: str) -> Callable[[Path, Path], Calls]:
    return lambda path, folder: [[*REGION, str(folder / "out"), option, str(path), *more]]


def _zarr(path: Path, folder: Path) -> Calls:
    return _region("--grid")(zarr_folder(path.read_bytes(), folder / "grid"), folder)


def _lamp(*more: str) -> Callable[[Path, Path], Calls]:
    return lambda path, folder: [[*LAMPS, str(path), *more]]


USES: Final = MappingProxyType[str, Callable[[Path, Path], Calls]](
    {
        "house": _house,
        "crop": _crop,
        "weather": _weather,
        "readings": lambda path, folder: [["read", str(path), "--json"]],
        "log": _log,
        "lamp": _lamp(),
        "luminaire": _lamp("--spectrum", "white-led", "--intensities", "photon"),
        "plan": _plan,
        "days": _days,
        "places": _region("--places"),
        "outline": _region("--outline", "--step", "8"),
        "grid": _region("--grid"),
        "zarr": _zarr,
    }
)
"""Requests to the page are answered by the commands' own functions when they are read."""


def used(room: str, path: Path) -> str:
    """Return "used" or "unused", the latter with lines that say why; anything else is raised."""
    said = "used"
    with tempfile.TemporaryDirectory(prefix="deeper-") as name, walled_in():
        for words in USES[room](path, Path(name)) if room in USES else ():
            said = said if _answers(words) else "unused"
        drafts = [there.name for there in Path(name).rglob("*") if there.name.endswith(".new")]
        assert not drafts, drafts
    return said


def _answers(words: list[str]) -> bool:
    """Whether a command gives an answer, which is sound, and not lines that say why there is none."""
    done = run(words)
    for line in done.err.splitlines():
        check_line(line)
    if done.status:
        assert done.status in (1, 2), f"status {done.status}: {done.err[:300]}"
        assert done.err, "no answer, and no reason"
        return False
    answer = json.loads(done.out, parse_constant=_no_constant)
    check_numbers(answer, words[0])
    if words[0] == "light":
        check_light(answer)
    return True


def _no_constant(name: str) -> object:
    raise AssertionError(f"{name} in the answer")
