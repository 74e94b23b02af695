"""Time the growth computation: 40 crops × 4 beds × 52 sowings, one draw and fifteen, and cost against cases.

Run on one core: ``python benchmarks/growth_speed.py``. Prints medians of nine after imports, and the cost per case for
growing numbers of draws (linear: the last column stays level).
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from tenhour.files.crop import load_crops
from tenhour.growth.draws import LIGHT_SD, season_draws
from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, CropArrays, Draws, bed_climate
from tenhour.model.crop import growth_columns

RUNS = 9
CROPS = 40
ALLOWED_ONE_S = 0.5
ALLOWED_FIFTEEN_S = 4.0


def four_beds() -> BedClimate:
    """Four invented beds at 48° N whose light differs by a factor of two."""
    day = np.arange(365)
    swing = -np.cos(2 * np.pi * (day + 10) / 365)
    dli = np.outer([0.6, 0.8, 1.0, 1.2], 9.2 + 6.8 * swing)
    order = np.tile([0.95, 0.45, 1.65, 0.7, 1.25], 73)
    return bed_climate(dli * order, 21.0, 10.0, 12.0 + 4.0 * swing)


def crops() -> CropArrays:
    """Forty crops: the table's, repeated if there are fewer."""
    table = [crop for crop in load_crops() if crop.grows_by_carbon]
    columns = growth_columns((table * 2)[:CROPS])
    return CropArrays(**columns)


def drawn(count: int) -> Draws:
    """Seasons that all crops share, and each crop's own numbers."""
    return season_draws(range(CROPS), LIGHT_SD, count)


def median_s(job: Callable[[], object], runs: int = RUNS) -> float:
    """Median wall time of a job."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    plants, beds, weeks = crops(), four_beds(), np.arange(52) * 7
    start = time.perf_counter()
    load_crops()
    print(f"crop table read in {time.perf_counter() - start:.3f} s (second time in this process)")
    one = median_s(lambda: run(plants, beds, weeks))
    print(f"40 crops x 4 beds x 52 sowings, 1 draw:   {one:.3f} s (allowed {ALLOWED_ONE_S})")
    fifteen = median_s(lambda: run(plants, beds, weeks, drawn(15)))
    print(f"40 crops x 4 beds x 52 sowings, 15 draws: {fifteen:.3f} s (allowed {ALLOWED_FIFTEEN_S})")
    print("draws      cases   seconds   µs per case")
    for draws in (1, 2, 4, 8, 16, 32):
        cases = CROPS * 4 * 52 * draws
        took = median_s(lambda d=draws: run(plants, beds, weeks, drawn(d)), 3)  # type: ignore[misc]
        print(f"{draws:5d} {cases:10d} {took:9.3f} {took / cases * 1e6:13.2f}")


if __name__ == "__main__":
    main()
