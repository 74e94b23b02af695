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
from helpers_fuzz import check_line
from helpers_options import HOUSE, run, walled_in

LAMPS: Final = ["lamps", "front", "--crop", "leaf-lettuce", "--json", "--lamp"]


def _weather(path: Path, folder: Path) -> list[str]:
    shutil.copy(path, folder / path.name)
    (folder / "house.toml").write_text(HOUSE.replace("[site]", f'[site]\nclimate = "{path.name}"'), "utf-8")
    return ["light", "--house", str(folder / "house.toml"), "--json"]


def _log(path: Path, folder: Path) -> list[str]:
    shutil.copy(path, folder / "sown.csv")
    (folder / "house.toml").write_text(HOUSE, "utf-8")
    return ["sow", "--house", str(folder / "house.toml"), "--crop", "kale", "--on", "2027-01-15", "--json"]


def _crop(path: Path, folder: Path) -> list[str]:
    return ["sow", "--crops", str(path.parent), "--crop", path.stem, "--on", "2027-01-15", "--json"]


USES: Final = MappingProxyType[str, Callable[[Path, Path], list[str]]](
    {
        "house": lambda path, folder: ["light", "--house", str(path), "--json"],
        "crop": _crop,
        "weather": _weather,
        "readings": lambda path, folder: ["read", str(path), "--json"],
        "log": _log,
        "lamp": lambda path, folder: [*LAMPS, str(path)],
        "luminaire": lambda path, folder: [*LAMPS, str(path), "--spectrum", "white-led", "--intensities", "photon"],
    }
)


def used(room: str, path: Path) -> str:
    """Return "used" or "unused", the latter with lines that say why; anything else is raised."""
    with tempfile.TemporaryDirectory(prefix="deeper-") as name, walled_in():
        words = USES[room](path, Path(name))
        done = run(words)
    for line in done.err.splitlines():
        check_line(line)
    if done.status:
        assert done.status in (1, 2), f"status {done.status}: {done.err[:300]}"
        assert done.err, "no answer, and no reason"
        return "unused"
    answer = json.loads(done.out, parse_constant=_no_constant)
    check_numbers(answer, words[0])
    if words[0] == "light":
        check_light(answer)
    return "used"


def _no_constant(name: str) -> object:
    raise AssertionError(f"{name} in the answer")
