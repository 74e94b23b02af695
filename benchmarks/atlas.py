"""What a site of an atlas costs: seconds of processor by question, winters and draws, and how it grows with sites.

Run: python benchmarks/atlas.py [SITES ...]     (24 96 if none; a line each, after one chunk to warm up)
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np

from tenhour.door.atlasrun import CHUNK_SITES, chunk_answers, standings_of
from tenhour.files.crop import load_crops
from tenhour.files.house.standard import standard_houses
from tenhour.year.answers.atlas import Ask

SEED = 7
ASKS = {
    "light alone": Ask(("light",)),
    "light, dates, heat; 5 winters, middle draw": Ask(),
    "the same, 10 winters": Ask(winters=10),
    "the same, 10 winters, all draws": Ask(all_draws=True, winters=10),
}


def main() -> None:
    counts = [int(word) for word in sys.argv[1:]] or [24, 96]
    crops = tuple(load_crops())
    begin = time.process_time()
    standings = standings_of([standard_houses()["glasshouse"]])
    print(f"tracing the house once: {time.process_time() - begin:.1f} s; {len(crops)} crops")
    rng = np.random.default_rng(SEED)
    for name, ask in ASKS.items():
        for count in counts:
            sites = {
                "latitude_deg": rng.uniform(42.0, 62.0, count), "longitude_deg": rng.uniform(5.0, 35.0, count),
                "elevation_m": rng.uniform(0.0, 600.0, count),
            }  # fmt: skip
            begin = time.process_time()
            for first in range(0, count, CHUNK_SITES):
                chunk_answers(
                    standings, crops, ask, {key: own[first : first + CHUNK_SITES] for key, own in sites.items()}
                )
            spent = time.process_time() - begin
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
            print(f"{name}: {count} sites {spent:.1f} s, {spent / count:.3f} s a site, peak {most:.0f} MB", flush=True)


if __name__ == "__main__":
    main()
