"""How long a grower waits at the page: light of a dragged bed, the year after it, a dragged floor; the files of it.

Run: python benchmarks/page.py [HOUSE.toml]. Processor and wall time of each, of the demo house if none is named.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from importlib import resources
from pathlib import Path
from typing import Any

from tenhour.door import House
from tenhour.files.house.read import demo_house, load_house
from tenhour.open.desk import Desk
from tenhour.open.shown import day_shown, year_shown

TIMES = 3


def timed(what: str, work: Callable[[], Any]) -> Any:
    best_wall_s, best_cpu_s, found = 1e9, 1e9, None
    for _ in range(TIMES):
        wall_s, cpu_s = time.perf_counter(), time.process_time()
        found = work()
        best_wall_s = min(best_wall_s, time.perf_counter() - wall_s)
        best_cpu_s = min(best_cpu_s, time.process_time() - cpu_s)
    print(f"{what:<58}{best_wall_s:7.2f} s wall {best_cpu_s:7.2f} s processor")
    return found


def main() -> None:
    house = load_house(Path(sys.argv[1])) if len(sys.argv) > 1 else demo_house()
    desk = Desk()
    desk.on_day(house, 14)  # sun and sky of the site, kept while the house stands there
    bed = house.beds[0]
    moved = replace(house, beds=(replace(bed, at_m=(bed.at_m[0], bed.at_m[1] + 0.05)), *house.beds[1:]))
    timed("dragged bed, light of the day, January", lambda: day_shown(desk.on_day(moved, 14)))
    timed("dragged bed, light of the day, June", lambda: day_shown(desk.on_day(moved, 170)))
    timed("let go: the year's light", lambda: year_shown(Desk().year("moved", moved)))
    year = desk.year("as it is", house)
    assert year.model.world.beds
    warmer = House(replace(house, air=replace(house.air, night_set_degc=(4.0,) * 12)))

    def floor() -> None:
        light = year.rewarmed(warmer)
        assert light is not None
        light.model.heat(today=date(2027, 1, 15))

    timed("dragged floor of the heater: heat of the winters", floor)
    folder = resources.files("tenhour.open") / "static"
    size = sum(len(each.read_bytes()) for each in folder.iterdir())
    print(f"files of the page: {size / 1000:.0f} kB unpacked")


if __name__ == "__main__":
    main()
