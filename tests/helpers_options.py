"""Odd words for every option of every command, and what must hold of each run."""

from __future__ import annotations

import io
import itertools
import json
import os
import random
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any, Final
from unittest import mock

from helpers_cli import Done, tenhour
from helpers_fuzz import check_line, seeds
from helpers_world import PLAIN

HOUSE: Final = PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip
WORDS: Final = (
    "", " ", "0", "-0", "-1", "1", "2", "7", "1e400", "-1e400", "nan", "inf", "1e-320", "48", "48.0.1", "91", "-91",
    "180", "-180.0001", "0x10", "1_0", "٣", "½", "1,5", "12 ft", "68F", "70 F", "2w", "10d", "0d",
    "99999999999999999999d", "January", "ju", "13", "2027-01-15", "2027-02-29", "2028-02-29", "0001-01-01", "9999-12-31",
    "1899-12-31", "2027-W03-5", "20270115", "2027-01-15T00:00", "today", "kale", "leaf-lettuce", "Kale", "spinach", "front", "FRONT",
    "back", "nowhere", "none", "list", "iso", "us", "metric", "long", "locale", "led-bar", "white-led", "hps",
    "40 W 104 umol/s 1.15 m", "0 W", "1.2x0.5", "x", "1x", "0x0", "1e9x1e9", "0.30 EUR", "0.32 EUR; 23-7=0.14", ";=;",
    "pale,leaning", ",,,", "UTC", "+01:00", "+99:99", "Europe/Vienna", "../UTC", "C", "F", "dmy", "one", "auto",
    "pvgis", "2011-2020", "2020-2011", "gable", "hoop", "glass-1", "12,1,2", "front,0,0,1,1", "a,b,c", "south,1,1,1,1",
    "--", "-", "--json", "-h", "%s", "{0}", "=1+1", "'; rm -rf .", "$(id)", "\x1b[2J", "a\nb", "\r", "\t", "\u202e",
    "\udcff", "🌱", "x" * 3000, "9" * 5000, "[", "Vienna", "Vienna, Austria", "Inverness, Scotland", "no such town",
)  # fmt: skip
FILES: Final = (
    "house.toml", "readings.csv", "lamp.toml", "lamp.ies", "weather.csv", "sown.csv", "crops", ".", "", "missing",
    "missing/x.csv", "house.toml/x", "loop", "pipe", "out.svg", "out.png", "out.ics", "out.html", "-", "\udcff.svg",
    "x" * 300, "a\nb.svg", "/dev/null", "binary.bin",
)  # fmt: skip
WRITING: Final = {"--output", "-o", "--plot", "--ics", "--log"}
ALWAYS: Final = {"report": "tenhour.html", "new": "house.toml", "log": "sown.csv"}
"""What a command writes without being told a name."""
LEFT_OUT: Final = {"--pdf", "--help", "--version", "--install-completion", "--show-completion"}


def fill(folder: Path) -> None:
    """Files that options may name."""
    (folder / "house.toml").write_text(HOUSE, "utf-8")
    for name, room in (
        ("readings.csv", "readings"),
        ("lamp.toml", "lamp"),
        ("lamp.ies", "luminaire"),
        ("sown.csv", "log"),
    ):
        (folder / name).write_bytes(seeds(room)[0])
    (folder / "weather.csv").write_text("time,ghi\n2001-01-01 00:00,0\n", "utf-8")
    (folder / "binary.bin").write_bytes(bytes(range(256)))
    (folder / "crops").mkdir()
    shutil.copy(next(p for p in sorted((Path(__file__).parents[1] / "crops").glob("k*.toml"))), folder / "crops")
    (folder / "loop").symlink_to("loop")
    os.mkfifo(folder / "pipe")


@cache
def commands() -> dict[str, Any]:
    """Every command by the words that call it."""
    import typer

    from tenhour.cli.main import app

    found: dict[str, Any] = {}

    def walk(command: Any, words: tuple[str, ...]) -> None:
        inner = getattr(command, "commands", None)
        if inner is None:
            found[" ".join(words)] = command
        for name, each in (inner or {}).items():
            walk(each, (*words, name))

    walk(typer.main.get_command(app), ())
    return found


def words_of(case: int, seed: int = 1) -> list[str]:
    """The words of one call; the same for the same number and seed."""
    rng = random.Random(f"options {case} {seed}")
    name = rng.choice(sorted(commands()))
    words = name.split()
    parameters = [p for p in commands()[name].params if not set(p.opts) & LEFT_OUT]
    arguments = [p for p in parameters if p.param_type_name == "argument"]
    options = [p for p in parameters if p.param_type_name == "option"]
    for argument in arguments:
        if argument.required or rng.random() < 0.6:
            words.append(_value(rng, argument))
    for option in rng.sample(options, min(len(options), rng.choice((0, 1, 1, 2, 2, 3, 5)))):
        flag = rng.choice(option.opts + option.secondary_opts)
        words += [flag] if option.is_flag else [flag, _value(rng, option)]
    if name == "lamps" and rng.random() < 0.8:
        words += ["--crop", "leaf-lettuce" if rng.random() < 0.5 else "kale"]
    if name == "weather fetch":
        words += ["--no-write"]
    if name == "open":  # a page that is served would wait for its reader
        words += ["--no-browser", "--port", "-1"]
    if rng.random() < 0.05:
        words.append(rng.choice(WORDS))
    return words


def _value(rng: random.Random, parameter: Any) -> str:
    kind = parameter.type_descriptor.annotation
    if isinstance(kind, type) and issubclass(kind, Enum) and rng.random() < 0.5:
        return str(rng.choice(list(kind)).value)
    return rng.choice(FILES if kind is Path and rng.random() < 0.9 else WORDS)


_WORLDS: dict[str, Any] = {}


@contextmanager
def walled_in() -> Iterator[None]:
    """No network, no browser, no questions, and each house traced once."""
    import requests

    from tenhour.cli import printing
    from tenhour.files import fetch
    from tenhour.year import world

    build = world.build

    def built(house: Any, sources: Any, **how: Any) -> Any:
        key = repr((house, sorted(how.items())))
        if key not in _WORLDS:
            _WORLDS[key] = build(house, sources, **how)
        return _WORLDS[key]

    users = [m for m in list(sys.modules.values()) if getattr(m, "build", None) is build]
    with (
        mock.patch.object(fetch, "_call", side_effect=requests.ConnectionError("walled in")),
        mock.patch.object(fetch.time, "sleep", return_value=None),
        mock.patch.object(printing, "find_browser", return_value=None),
    ):
        patches = [mock.patch.object(module, "build", built) for module in users]
        for patch in patches:
            patch.start()
        try:
            yield
        finally:
            for patch in patches:
                patch.stop()


def run(words: list[str]) -> Done:
    """One call, with nothing to read from."""
    before = sys.stdin
    sys.stdin = io.StringIO("")
    try:
        return tenhour(*words)
    finally:
        sys.stdin = before


def check(words: list[str], done: Done, before: dict[str, bytes], after: dict[str, bytes]) -> None:
    """What holds of every call, however odd."""
    assert done.status in (0, 1, 2, 130), f"status {done.status}"
    for line in done.err.splitlines():
        check_line(line)
    if done.status == 2:
        assert not done.out, f"refused, and yet answered: {done.out[:200]}"
        assert done.err.strip(), "refused without a line"
    if done.status == 1:
        assert done.err.strip(), "no answer, and no reason"
    flags = [word for last, word in itertools.pairwise(words) if not _takes_a_value(words, last)]
    if done.status == 0 and "--json" in flags and not {"-h", "--csv"} & set(words):
        json.loads(done.out, parse_constant=_no_constant)
    odd = sorted({char for char in done.out if not char.isprintable() and char != "\n"})
    assert not odd, f"{odd!r} in the answer"
    named = {Path(value).name for flag, value in itertools.pairwise(words) if flag in WRITING}
    named |= {ALWAYS.get(words[0], "")} if words else set()
    if "--keep" in words:
        named |= {"house.toml"}
    changed = {name for name in {*before, *after} if before.get(name) != after.get(name)}
    assert changed <= named, f"wrote {sorted(changed - named)}"
    if done.status == 2 and "--force" not in words:
        assert not changed, f"refused, and yet wrote {sorted(changed)}"
    lost = [name for name in before if before[name] != after.get(name) and name not in ALWAYS.values()]
    assert not lost or "--force" in words or "--keep" in words, f"replaced {lost} unasked"


def _takes_a_value(words: list[str], option: str) -> bool:
    name = max((name for name in commands() if words[: len(name.split())] == name.split()), default="", key=len)
    parameters = commands()[name].params if name else ()
    return any(option in each.opts and each.param_type_name == "option" and not each.is_flag for each in parameters)


def _no_constant(name: str) -> object:
    raise AssertionError(f"{name} in the answer")


def contents(folder: Path) -> dict[str, bytes]:
    """Ordinary files of a folder."""
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file() and not p.is_symlink()}
