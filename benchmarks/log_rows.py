"""Processor time of `tenhour log` with a log of 10 and of 500 rows, the same ten sowings standing at its end.

Run: python benchmarks/log_rows.py [REPEATS]     (3 if none; a line each, the shortest of the repeats)
"""

from __future__ import annotations

import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path

from fresh import cpu_seconds

from tenhour.files.logedit import export_text
from tenhour.model.log import LogLine

HOUSE = """schema = 1
[site]
latitude_deg = 52
longitude_deg = 10
[house]
shape = "gable"
length_m = 5
width_m = 3
eaves_m = 1.8
ridge_m = 2.6
[[bed]]
name = "front"
at_m = [0.2, 0.2]
size_m = [4.6, 0.8]
"""
CROPS = ("spinach", "kale", "chard", "romaine", "radish")
LAST = date(2026, 10, 1)


def lines_of(count: int) -> list[LogLine]:
    """Some old sowings, each harvested, ready and cleared, and ten that stand."""
    old: list[LogLine] = []
    for n in range((count - 10) // 4):
        on, crop = LAST - timedelta(days=1500 - 2 * n), CROPS[n % len(CROPS)]
        days = {"sown": 0, "ready": 50, "harvested": 60, "cleared": 80}
        old += [LogLine(on + timedelta(days=late), what, crop, "front", sown_on=None if what == "sown" else on)
                for what, late in days.items()]  # fmt: skip
    return [*old, *(LogLine(LAST - timedelta(days=n), "sown", CROPS[n % len(CROPS)], "front") for n in range(10))]


def main() -> None:
    repeats = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "house.toml").write_text(HOUSE, encoding="utf-8")
        for count in (10, 500):
            Path(folder, "sown.csv").write_text(export_text(lines_of(count)), encoding="utf-8")
            command = [sys.executable, "-m", "tenhour", "log", "--on", "2026-11-28"]
            print(f"{count} rows: {min(cpu_seconds(command, folder) for _ in range(repeats)):.2f} s", flush=True)


if __name__ == "__main__":
    main()
