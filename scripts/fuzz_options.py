"""Call every command with odd words for every option: an answer, no answer with a reason, or clear lines; no traceback.

    python scripts/fuzz_options.py [--cases 2000] [--seed 1] [--show CASE]

Runs in one process, in a folder of its own, without a network. Leaves with status 1 if anything is wrong.
"""

from __future__ import annotations

import argparse
import collections
import os
import sys
import tempfile
import time
import traceback
import warnings
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from helpers_options import check, contents, fill, run, walled_in, words_of


def trial(case: int, seed: int) -> str:
    """Status of one call, or what is wrong with it."""
    words = words_of(case, seed)
    with tempfile.TemporaryDirectory(prefix="fuzz-") as name:
        folder = Path(name)
        fill(folder)
        before = contents(folder)
        os.chdir(folder)
        try:
            with walled_in():
                done = run(words)
            check(words, done, before, contents(folder))
        except BaseException as error:  # every fault is what this looks for
            where = traceback.extract_tb(error.__traceback__)
            ours = [f"{Path(frame.filename).name}:{frame.lineno}" for frame in where if "/tenhour/" in frame.filename]
            return f"wrong: {type(error).__name__}: {str(error)[:300]!r} at {' '.join(ours[-3:])}"
        finally:
            os.chdir("/")
    return f"status {done.status}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=2000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--show", type=int)
    args = parser.parse_args()
    if args.show is not None:
        print(words_of(args.show, args.seed))
        print(trial(args.show, args.seed))
        return
    warnings.simplefilter("error")
    tally: collections.Counter[str] = collections.Counter()
    kinds: dict[str, list[str]] = {}
    for case in range(args.first, args.first + args.cases):
        started = time.process_time()
        said = trial(case, args.seed)
        tally[said.split(":")[0]] += 1
        if said.startswith("wrong"):
            words = [word[:40] for word in words_of(case, args.seed)]
            kinds.setdefault(said.rpartition(" at ")[2] + said[:60], []).append(f"{case}: {words} {said}")
        elif time.process_time() - started > 10.0:
            print(f"slow, {time.process_time() - started:.0f} s: {case} {words_of(case, args.seed)}", flush=True)
    print(", ".join(f"{count} {what}" for what, count in sorted(tally.items())))
    for lines in kinds.values():
        print(f"{len(lines)} times: {lines[0][:1200]}")
    raise SystemExit(1 if kinds else 0)


if __name__ == "__main__":
    main()
