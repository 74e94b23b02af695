"""Kill a process while it writes each kind of file: the old file or the new one stands there whole, every time.

    python scripts/kill_writes.py [--kills 200] [--seed 1]

For each kind, half of the kills come before a call into the system (every one of the last 150 calls if there are
enough kills), the other half after a random time. Leaves with status 1 if a file was ever found half written.
"""

from __future__ import annotations

import argparse
import collections
import random
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from helpers_writes import WRITINGS, check_whole, finished, kill_after, kill_at_call, points, prepare


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--kills", type=int, default=200, help="for each kind of file")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    rng = random.Random(args.seed)
    wrong = kills = 0
    with tempfile.TemporaryDirectory(prefix="kill-") as name:
        folder = Path(name)
        for writing in WRITINGS:
            finished(folder, writing)  # loads what is loaded once
            new, calls = finished(folder, writing)
            path = prepare(folder, writing)
            started = time.perf_counter()
            writing.act(path)
            took_s = time.perf_counter() - started
            tally: collections.Counter[str] = collections.Counter()
            at_calls = [("call", point) for point in points(calls, args.kills // 2, args.seed)]
            at_times = [("time", rng.uniform(0.0, 1.5 * took_s)) for _ in range(args.kills - len(at_calls))]
            for kind, point in [*at_calls, *at_times]:
                path = (kill_at_call if kind == "call" else kill_after)(folder, writing, point)
                kills += 1
                try:
                    tally[check_whole(path, writing, new)] += 1
                except AssertionError as fault:
                    wrong += 1
                    print(f"{writing.name} by {writing.act.__name__}, killed at {kind} {point}: {fault}")
            shown = ", ".join(f"{count} {what}" for what, count in sorted(tally.items()))
            print(f"{writing.name} by {writing.act.__name__.strip('_')} ({calls} calls): {shown}", flush=True)
    print(f"{kills} kills, {wrong} files not whole")
    raise SystemExit(1 if wrong else 0)


if __name__ == "__main__":
    main()
