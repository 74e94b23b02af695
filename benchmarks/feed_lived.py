"""A household's season lived through, week by week: what the plan says is done or not, written down, and planned round.

    python benchmarks/feed_lived.py [latitude] [seconds a search] [weeks]

The built-in house moved to that latitude and 26° E, two people and four hens, from 3 August. Every week's jobs are done
a day late and logged, but for every seventh sowing, which is skipped, and every ninth, which does not come up and is
cleared two weeks on. Printed each week: changes to the plan that was kept, what it leaves missing and what must be
(weighted portions), gap and seconds. Nothing is random; a search that ends by time finds what the machine lets it.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections import Counter
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Final

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))
from helpers_cli import tenhour
from helpers_world import demo_text

SKIPPED_EACH: Final = 7
FAILED_EACH: Final = 9
FAILS_AFTER: Final = timedelta(days=14)
WEEK: Final = timedelta(days=7)
DAY: Final = timedelta(days=1)
BEGIN: Final = date(2026, 8, 3)
TABLE: Final = """
[household]
people = 2
from = "2026-09-28"
to = "2027-04-25"
meals = { salad = 4, cooked = 2, herbs = 3 }
[[household.animal]]
kind = "hen"
count = 4
"""


class Grower:
    """Does what the plan says, not always, and writes it down."""

    def __init__(self, folder: Path) -> None:
        self._log = folder / "sown.csv"
        self._log.write_text("date,what,crop,bed,area_m2,because,of\n", "utf-8")
        self._sown = 0
        self._fails: list[tuple[date, str]] = []
        self.skipped = self.failed = 0

    def week(self, plan: dict[str, Any], monday: date) -> None:
        """The jobs of one week."""
        rows = [row for on, row in self._fails if on < monday + WEEK]
        self._fails = [(on, row) for on, row in self._fails if on >= monday + WEEK]
        last = {self._name(job): job["on"] for job in plan["jobs"] if job["do"] == "clear"}
        for job in plan["jobs"]:
            if not monday <= date.fromisoformat(job["on"]) < monday + WEEK:
                continue
            if job["do"] in ("sow", "raise", "trays"):
                rows += self._sows(plan, job)
            elif job["do"] == "set-out":
                rows.append(f"{self._late(job)},set-out,{job['crop']},{job['bed']},,,{self._late_of(job)}")
            elif job["do"] == "clear" and last[self._name(job)] == job["on"]:
                stands = any(self._name(one | {"sow": one["sown"]}) == self._name(job) for one in plan["stands"])
                of = job["sow"] if stands else self._late_of(job)
                rows.append(f"{self._late(job)},cleared,{job['crop']},{job['bed']},,eaten,{of}")
        with self._log.open("a", encoding="utf-8") as file:
            file.writelines(f"{row}\n" for row in rows)

    def _sows(self, plan: dict[str, Any], job: dict[str, Any]) -> list[str]:
        self._sown += 1
        if self._sown % SKIPPED_EACH == 0:
            self.skipped += 1
            return []
        pool = plan["trays"] if job["do"] == "trays" else plan["sowings"]
        area = next(one["area_m2"] for one in pool if self._name(one) == self._name(job))
        bed = "" if job["do"] == "raise" else job["bed"]
        if self._sown % FAILED_EACH == 0:
            self.failed += 1
            on = date.fromisoformat(job["on"]) + DAY + FAILS_AFTER
            self._fails.append((on, f"{on},cleared,{job['crop']},{bed},,not-up,{self._late(job)}"))
        return [f"{self._late(job)},sown,{job['crop']},{bed},{area},,"]

    @staticmethod
    def _name(one: dict[str, Any]) -> tuple[str, str, str]:
        return one["crop"], one["bed"], one["sow"]

    @staticmethod
    def _late(job: dict[str, Any]) -> date:
        return date.fromisoformat(job["on"]) + DAY

    @staticmethod
    def _late_of(job: dict[str, Any]) -> date:
        return date.fromisoformat(job["sow"]) + DAY


def planned(folder: Path, on: date, latitude: str, seconds: str) -> dict[str, Any]:
    """The plan of a day, that of the week before kept."""
    done = tenhour(
        "feed", "-H", folder / "house.toml", "--lat", latitude, "--lon", "26", "--on", on.isoformat(),
        "--every", "2w", "--seconds", seconds, "--keep", folder / "plan.json", "--json",
    )  # fmt: skip
    if done.status != 0:
        raise SystemExit(f"{on}: {done.err}")
    found: dict[str, Any] = json.loads(done.out)
    return found


def main() -> None:
    latitude = sys.argv[1] if len(sys.argv) > 1 else "64"
    seconds = sys.argv[2] if len(sys.argv) > 2 else "15"
    weeks = int(sys.argv[3]) if len(sys.argv) > 3 else 30
    changes: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "house.toml").write_text(demo_text() + TABLE, "utf-8")
        grower = Grower(folder)
        for number in range(weeks):
            monday = BEGIN + number * WEEK
            begin = time.monotonic()
            plan = planned(folder, monday, latitude, seconds)
            told = Counter(one["change"] for one in plan["changes"])
            changes += told
            proof = plan["proof"]
            print(
                f"{monday}: {sum(told.values()):2d} changes {dict(told)}, missing {proof['missing_count']:.1f} of at "
                f"least {proof['missing_least_count']:.1f}, {len(plan['sowings'])} sowings, {len(plan['stands'])} "
                f"stand, gap {proof['gap_frac']:.0%}, {time.monotonic() - begin:.0f} s",
                flush=True,
            )
            grower.week(plan, monday)
    print(f"{sum(changes.values())} changes in {weeks} weeks {dict(changes)}; {grower.skipped} sowings skipped, "
          f"{grower.failed} failed")  # fmt: skip


if __name__ == "__main__":
    main()
