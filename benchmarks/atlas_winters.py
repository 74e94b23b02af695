"""What fewer winters cost an atlas: dates of the middle draw and degrees against ten winters, at places at random.

Run: python benchmarks/atlas_winters.py [PLACES]     (200 if none; all crops, the standard glasshouse, 40 to 66 north)
"""

from __future__ import annotations

import sys

import numpy as np

from tenhour.door.atlasrun import CHUNK_SITES, chunk_answers, standings_of
from tenhour.files.crop import load_crops
from tenhour.files.house.standard import standard_houses
from tenhour.year.answers.atlas import Ask

SEED = 11
MANY, FEW = 10, (3, 5)
HALF_YEAR, YEAR = 182, 365


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    standings, crops = standings_of([standard_houses()["glasshouse"]]), tuple(load_crops())
    rng = np.random.default_rng(SEED)
    sites = {
        "latitude_deg": rng.uniform(40.0, 66.0, count), "longitude_deg": rng.uniform(5.0, 40.0, count),
        "elevation_m": np.full(count, 100.0),
    }  # fmt: skip

    def found(winters: int) -> dict[str, np.ndarray]:
        blocks = [slice(first, first + CHUNK_SITES) for first in range(0, count, CHUNK_SITES)]
        parts = [
            chunk_answers(standings, crops, Ask(winters=winters), {key: own[block] for key, own in sites.items()})
            for block in blocks
        ]
        return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}

    whole = found(MANY)
    for winters in FEW:
        fewer = found(winters)
        for name in ("sow_by_doy", "pays_from_doy"):
            one, other = whole[name], fewer[name]
            both, alone = np.isfinite(one) & np.isfinite(other), np.isfinite(one) ^ np.isfinite(other)
            apart = np.abs((other - one + HALF_YEAR) % YEAR - HALF_YEAR)[both]
            shares = ", ".join(f"within {days} d {(apart <= days).mean():.1%}" for days in (1, 3, 7))
            print(f"{winters} winters, {name}: {both.sum()} dates, mean {apart.mean():.2f} d, {shares}; "
                  f"{alone.sum()} there with one number of winters alone")  # fmt: skip
        off = np.abs(fewer["lowest_air_degc"] - whole["lowest_air_degc"])
        print(f"{winters} winters, lowest hour of air: mean {np.nanmean(off):.2f} K, most {np.nanmax(off):.2f} K")


if __name__ == "__main__":
    main()
