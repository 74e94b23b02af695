"""Ask everything at random places from 75 S to 75 N, on random days, in odd time zones.

    python scripts/try_everywhere.py [--places 40] [--seed 1]

A refusal must say why in one line; an answer must be finite, ordered and never negative. Leaves with status 1 if not.
"""

from __future__ import annotations

import argparse
import collections
import os
import random
import sys
import tempfile
import traceback
import warnings
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from helpers_everywhere import answers, house_text, place
from helpers_options import run, walled_in


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--places", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    warnings.simplefilter("error")
    rng = random.Random(args.seed)
    tally: collections.Counter[str] = collections.Counter()
    for number in range(args.places):
        latitude_deg, longitude_deg, zone, own, on = place(rng)
        with tempfile.TemporaryDirectory(prefix="where-") as name:
            os.chdir(name)
            Path("house.toml").write_text(house_text(latitude_deg, longitude_deg, zone, own), "utf-8")
            where = f"{number}: {latitude_deg}, {longitude_deg}, {zone}, own means {own}, {on}"
            try:
                with walled_in():
                    first = run(["light", "--json"])
                    if first.status == 2 and not own:
                        print(f"{where}: {first.err.strip()[:150]}", flush=True)
                        tally["refused"] += 1
                        continue
                    tally.update(list(answers(Path(name), on, everything=True)))
            except Exception:  # every fault is what this looks for
                tally["wrong"] += 1
                print(where, traceback.format_exc(limit=-4)[-1500:], flush=True)
            finally:
                os.chdir("/")
    print(", ".join(f"{count} {what}" for what, count in sorted(tally.items())))
    raise SystemExit(1 if tally["wrong"] else 0)


if __name__ == "__main__":
    main()
