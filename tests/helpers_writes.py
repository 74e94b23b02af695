"""Every kind of file the program writes, written by a process that is killed on the way."""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import FrameType
from typing import Any, Final

from helpers_world import PLAIN

HOUSE: Final = "# my house\n" + PLAIN.format(
    lat=48.0, lon=16.0, elev=200, zone="Europe/Vienna", azimuth=90.0, faces="", cover="glass-1",
    air="day_set_degc = 12\nnight_set_degc = 5",
)  # fmt: skip
PAGE: Final = "<p>" + "light " * 200_000 + "</p>"
PLAN: Final = '{"command": "feed", "sowings": [{"crop": "spinach"}], "trays": [], "missing": []}\n'
LOG: Final = "date,what,crop,bed,plants_per_m2,fresh_g,note\n2021-09-01,sown,spinach,front,,,\n"


@dataclass(frozen=True)
class Writing:
    """One kind of file: its name, what stands there before (nothing at all if None), and how it is written."""

    name: str
    old: str | None
    act: Callable[[Path], Any]


def _new_house(path: Path) -> None:
    from tenhour.files.write import write_text

    write_text(path, HOUSE)


def _kept(path: Path) -> None:
    from tenhour.files.keep import keep_changes
    from tenhour.model.readings import Change

    keep_changes(path, [Change("calibration", {"factor": {"front": 0.9}, "readings": 12})])


def _named(path: Path) -> None:
    from tenhour.files.weather.use import name_weather

    name_weather(path, Path("weather.csv"))


def _page(path: Path) -> None:
    from tenhour.files.write import write_text

    write_text(path, PAGE, force=True)


def _picture(path: Path) -> None:
    from tenhour.files.write import save_bytes

    save_bytes(path, PAGE.encode(), force=True)


def _days(path: Path) -> None:
    from tenhour.files.weather.since import kept_days, write_days

    on = date(2026, 11, 2)
    write_days(path, kept_days(path) | {on: f"{on},3.1,4.0"})


def _learned(path: Path) -> None:
    from tenhour.files.keep import keep_lessons
    from tenhour.model.learned import Learned, Lessons

    keep_lessons(path, Lessons(kept=date(2027, 1, 20), growth=Learned(1.1, 0.9, 1.3, rows_count=6)))


def _lamps(path: Path) -> None:
    from tenhour.files.keep import keep_lamps

    keep_lamps(path, {"bed": "front", "kind": "led-bar", "count": 2, "height_m": 0.4, "hours": 14}, "planned")


def _plan(path: Path) -> None:
    from tenhour.files.write import write_text

    write_text(path, PLAN.replace("spinach", "kale"), force=True)


def _unlogged(path: Path) -> None:
    from tenhour.files.logedit import undo_log

    undo_log(path)


def _relogged(path: Path) -> None:
    from tenhour.files.logedit import edit_log

    edit_log(path, 1, {"note": "thinned"})


def _part(path: Path) -> None:
    from tenhour.files.write import save_bytes

    save_bytes(path, (PLAN * 300).encode(), force=True)


def _logged(path: Path) -> None:
    from tenhour.files.log import append_log
    from tenhour.model.log import LogLine

    append_log(path, LogLine(date(2021, 10, 1), "sown", "lettuce", "front", 100.0, None, "first"))


WRITINGS: Final = (
    Writing("house.toml", None, _new_house),
    Writing("house.toml", HOUSE, _kept),
    Writing("house.toml", HOUSE, _named),
    Writing("tenhour.html", None, _page),
    Writing("tenhour.html", "<p>old</p>", _page),
    Writing("season.png", "old", _picture),
    Writing("pvgis_48.000_16.000.csv", "time,ghi\n" * 1000, _page),
    Writing("days.csv", None, _days),
    Writing("days.csv", "date,dli_mol_m2_d,temp_degc\n2026-11-01,2.5,3.0\n", _days),
    Writing("house.toml", HOUSE, _learned),
    Writing("house.toml", HOUSE, _lamps),
    Writing("plan.json", PLAN, _plan),
    Writing("part-0000000-0048-0123456789abcdef.npz", None, _part),
    Writing("sown.csv", LOG, _unlogged),
    Writing("sown.csv", LOG, _relogged),
    Writing("sown.csv", None, _logged),
    Writing("sown.csv", LOG, _logged),
)


def prepare(folder: Path, writing: Writing) -> Path:
    """The folder as it is before."""
    for there in folder.iterdir():
        there.unlink()
    path = folder / writing.name
    if writing.old is not None:
        path.write_text(writing.old, "utf-8")
    return path


def finished(folder: Path, writing: Writing) -> tuple[str, int]:
    """What stands there when nothing goes wrong, and how many calls into the system and C it takes."""
    path = prepare(folder, writing)
    calls = 0

    def count(frame: FrameType, event: str, argument: object) -> None:
        nonlocal calls
        calls += event == "c_call"

    sys.setprofile(count)
    try:
        writing.act(path)
    finally:
        sys.setprofile(None)
    return path.read_text("utf-8"), calls


def kill_at_call(folder: Path, writing: Writing, number: int) -> Path:
    """Write in a process of its own that dies before a call of that number."""
    path = prepare(folder, writing)
    child = os.fork()
    if child == 0:  # pragma: no cover
        left = number

        def count(frame: FrameType, event: str, argument: object) -> None:
            nonlocal left
            if event == "c_call":
                left -= 1
                if left < 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.setprofile(count)
        writing.act(path)
        os._exit(0)
    os.waitpid(child, 0)
    return path


def kill_after(folder: Path, writing: Writing, wait_s: float) -> Path:
    """Write in a process of its own that is killed after a time."""
    path = prepare(folder, writing)
    child = os.fork()
    if child == 0:  # pragma: no cover
        writing.act(path)
        os._exit(0)
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return path


def check_whole(path: Path, writing: Writing, new: str) -> str:
    """Return "old", "new" or "nothing yet"; anything else is a file that is not whole."""
    others = [there.name for there in path.parent.iterdir() if there != path]
    assert all(name.startswith(f".{path.name}") and name.endswith(".new") for name in others), others
    assert len(others) <= 1, others
    if not path.exists():
        assert writing.old is None, "the old file is gone"
        return "nothing yet"
    found = path.read_text("utf-8")
    if found == new:
        return "new"
    # A log begins as an empty file, which is an empty log.
    assert found == (writing.old or ""), f"neither old nor new: {len(found)} of {len(new)} letters"
    assert writing.old is not None or path.name == "sown.csv", "an empty file"
    return "old"


def points(calls: int, count: int, seed: int) -> list[int]:
    """Numbers of calls to die at: all of the last 150, where the file is written, and some of those before."""
    last = range(max(0, calls - 150), calls)
    rng = random.Random(seed)
    early = rng.sample(range(last.start), min(last.start, count // 4))
    chosen = sorted([*early, *last])
    return chosen if len(chosen) <= count else sorted(rng.sample(chosen, count))
