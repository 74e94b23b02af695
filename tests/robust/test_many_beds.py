"""Houses of many beds: memory stays bounded, and answers do not depend on how many beds are grown at once."""

from __future__ import annotations

import io
import re
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from helpers_long import LONG, many
from helpers_once import few_winters, forget
from helpers_world import crops, plain, sources
from tenhour.cli import progress
from tenhour.house.bedlight import BED_POINTS, shared_points
from tenhour.model.log import LogLine
from tenhour.pace import listening, tell
from tenhour.year.crops.supply import Wishes
from tenhour.year.year import Year

BOUND_MB = 512
"""Of a house of sixty beds: by definition of the program."""
BEDS = many(16, 60)
DAY = date(2026, 12, 15)
FEW = [] if LONG else ["spinach", "kale"]
ASKED = {
    "light": ["light"],
    "sow": ["sow", "--on", str(DAY), *FEW],
    "season": ["season", "--from", str(DAY), *FEW],
    "week": ["week", "--on", str(DAY)],
    "report": ["report", "--on", str(DAY), "--output", "page.html"],
    "feed": ["feed", "--on", str(DAY), "--people", "6", "--seconds", "30"],
}
SOME = many(["season"], sorted(ASKED))

MEASURED = """
import atexit, pathlib, sys
from tenhour.__main__ import main
atexit.register(lambda: sys.stderr.write(pathlib.Path("/proc/self/status").read_text()))
main()
"""
"""A command that tells its own peak at its end: the system's count begins with that of the process that started it."""


def house_text(beds: int) -> str:
    """A glasshouse with two rows of beds."""
    columns = (beds + 1) // 2
    text = (
        'schema = 1\n[site]\nlatitude_deg = 52.0\nlongitude_deg = 8.0\nelevation_m = 60\n[house]\nshape = "gable"\n'
        f'length_m = {1.1 * columns + 0.4:.2f}\nwidth_m = 4.0\neaves_m = 1.8\nridge_m = 2.8\ncover = "glass-1"\n'
    )
    for n in range(beds):
        place = f"[{0.2 + 1.1 * (n // 2):.2f}, {0.3 if n % 2 == 0 else 2.3}]"
        text += f'[[bed]]\nname = "b{n}"\nat_m = {place}\nsize_m = [0.9, 1.3]\n'
    return text


@pytest.mark.parametrize("asked", SOME)
def test_memory_is_bounded_whatever_the_number_of_beds(asked: str, tmp_path: Path) -> None:
    (tmp_path / "beds.toml").write_text(house_text(BEDS), encoding="utf-8")
    words = [sys.executable, "-c", MEASURED, *ASKED[asked], "--house", "beds.toml"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True, check=True)
    peak_mb = int(done.stderr.rsplit("VmHWM:", 1)[1].split()[0]) / 1024  # KiB on Linux
    assert 50 < peak_mb < BOUND_MB


def test_beds_grown_in_turn_are_told_as_those_grown_together(monkeypatch: pytest.MonkeyPatch) -> None:
    few_winters(monkeypatch)
    some = many(["spinach", "pea-shoots", "tomato-plants"], sorted(crops()))
    year = Year(plain(), sources(), [crops()[crop] for crop in some])
    log = [LogLine(date(2026, 9, 1), "sow", "spinach", bed) for bed in (year.world.bed_names[-1], "elsewhere")]
    wishes = Wishes(every_d=14)
    ask: list[Callable[[], object]] = [
        lambda: year.sow(DAY),
        lambda: year.season(DAY, wishes=wishes),
        lambda: year.week(DAY, log=log),
        lambda: year.report(DAY),
    ]
    together = [one() for one in ask]
    told: list[tuple[int, int]] = []
    forget()
    monkeypatch.setattr("tenhour.year.year.BEDS_AT_ONCE", 1)
    with listening(lambda done, count, what: told.append((done, count)) if what == "beds" else None):
        assert [one() for one in ask] == together
    beds = len(year.world.bed_names)
    assert told == [(done, beds) for done in range(beds + 1)] * len(ask)
    assert beds > 1


class Terminal(io.StringIO):
    """Stands for stderr on a terminal."""

    def isatty(self) -> bool:
        return True


def test_beds_in_turn_are_counted_and_not_the_crops_of_each_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    shown = Terminal()
    monkeypatch.setattr("sys.stderr", shown)
    with progress.working("Growing", patience_s=0.01):
        for done in range(5):
            tell(done, 5, "beds")
            tell(1, 7, "crops")
            time.sleep(0.1)
    said = re.sub(r"\x1b\[[\d;?]*[a-zA-Z]", "", shown.getvalue())
    assert " 4/5 beds" in said
    assert "/7" not in said


def test_points_grow_fewer_in_houses_of_more_than_twenty_beds_alone() -> None:
    found = [shared_points(BED_POINTS, count) for count in (1, 20, 24, 60, 1000)]
    assert found == [BED_POINTS, BED_POINTS, 50, 20, 12]
