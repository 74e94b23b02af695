"""Break files of every kind by the thousand: each must give an answer or clear lines, soon and in little memory.

    python scripts/fuzz_files.py [--cases 10000] [--seed 1] [--rooms house,crop]

Each case is read in a worker process that may use BOUND_MB of memory beyond what it started with, PATIENCE_S of
processor time and HANGS_S by the clock; a worker that dies is replaced. What is wrong is printed with the room and
number that make the file again (``--show ROOM NUMBER`` writes it to stdout). With ``--deep`` every file that is
accepted is also used by the command it is for. Leaves with status 1 if anything is wrong.
"""

from __future__ import annotations

import argparse
import collections
import contextlib
import os
import re
import resource
import signal
import subprocess
import sys
import tempfile
import time
import traceback
import warnings
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from helpers_fuzz import ENDING, SEEDS, broken, outcome

SHARES = {"house": 28, "crop": 14, "weather": 12, "readings": 18, "log": 10, "lamp": 9, "luminaire": 9,
          "plan": 9, "places": 6, "outline": 6, "days": 6, "grid": 6, "zarr": 6, "request": 14}  # fmt: skip
PATIENCE_S = 2.0
SLOW_S = {"request": 40.0}
"""A request may have a house traced, and a year grown in it."""
HANGS_S = 600.0
DEEP_S = 200.0
BOUND_MB = 512
DEEP_MB = 2048
CHUNK = 400


def worker(room: str, first: int, last: int, seed: int, deep: bool) -> None:
    """Read the cases of a range; one line to stdout before and after each, and the most memory at the end."""
    warnings.simplefilter("error")
    with tempfile.TemporaryDirectory(prefix="fuzz-") as name:
        folder = Path(name)
        os.chdir(folder)
        path = folder / f"case{ENDING[room]}"
        path.write_bytes(broken(room, -1, seed))
        if room != "house":  # load what is loaded once: libraries and packaged data
            outcome_or_fault(room, path)
        limit_memory(DEEP_MB if deep else BOUND_MB)
        resident = memory_mb("VmRSS", reset=True)
        for case in range(first, last):
            path.write_bytes(broken(room, case, seed))
            print(f"begin {case}", flush=True)
            signal.setitimer(signal.ITIMER_PROF, SLOW_S.get(room, PATIENCE_S))
            signal.alarm(int(HANGS_S))
            used = time.process_time()
            said = outcome_or_fault(room, path)
            used = time.process_time() - used
            signal.setitimer(signal.ITIMER_PROF, DEEP_S)
            if deep and said == "answered":
                said = outcome_or_fault(room, path, deeper)
            signal.setitimer(signal.ITIMER_PROF, 0.0)
            if [one.name for one in folder.iterdir()] != [path.name]:
                said = "wrong: something was written"
            print(f"end {case} {used:.3f} {said}", flush=True)
        print(f"peak {memory_mb('VmHWM') - resident:.0f}", flush=True)


def deeper(room: str, path: Path) -> str:
    from helpers_deeper import used  # brings the whole program, which is no part of reading a file

    return used(room, path)


def memory_mb(key: str, reset: bool = False) -> float:
    """Resident memory now (VmRSS) or the most so far (VmHWM), which begins anew after a reset."""
    if reset:
        with contextlib.suppress(OSError):
            Path("/proc/self/clear_refs").write_text("5", "ascii")
    lines = Path("/proc/self/status").read_text("ascii").splitlines()
    return float(next(line for line in lines if line.startswith(key)).split()[1]) / 1024.0


def outcome_or_fault(room: str, path: Path, of: Callable[[str, Path], str] = outcome) -> str:
    try:
        return of(room, path)
    except BaseException as error:  # every fault is what this looks for
        return fault(error)


def fault(error: BaseException) -> str:
    where = traceback.extract_tb(error.__traceback__)
    ours = [f"{Path(frame.filename).name}:{frame.lineno}" for frame in where if "/tenhour/" in frame.filename]
    return f"wrong: {type(error).__name__}: {str(error)[:300]!r} at {' '.join(ours[-3:])}"


def limit_memory(bound_mb: int) -> None:
    pages = int(Path("/proc/self/statm").read_text().split()[0])
    most = pages * resource.getpagesize() + bound_mb * 2**20
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


def run_chunk(
    room: str, first: int, last: int, options: list[str], tally: collections.Counter[str], wrong: list[str]
) -> tuple[float, float]:
    """Run a range in workers, a new one after each death. Returns the longest time [s] and most memory [MB]."""
    longest = peak = 0.0
    while first < last:
        command = [sys.executable, __file__, "--worker", room, str(first), str(last), *options]
        environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
        done = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=False, env=environment)
        running = None
        for line in done.stdout.splitlines():
            if line.startswith("begin "):
                running = int(line.split()[1])
            elif line.startswith("peak "):
                peak = max(peak, float(line.split()[1]))
            elif line.startswith("end "):
                _, case, used, said = line.split(" ", 3)
                longest, running, first = max(longest, float(used)), None, int(case) + 1
                tally[f"{room} {said.split(':')[0]}"] += 1
                if said.startswith("wrong"):
                    wrong.append(f"{room} {case}: {said}")
        if done.returncode == 0:
            break
        if running is None:
            raise SystemExit(f"the worker itself failed for {room} from {first} (status {done.returncode})")
        late = -done.returncode in (signal.SIGPROF, signal.SIGALRM)
        wrong.append(
            f"{room} {running}: {f'too long (status {done.returncode})' if late else f'died with {done.returncode}'}"
        )
        tally[f"{room} wrong"] += 1
        first = running + 1
    return longest, peak


def grouped(wrong: list[str]) -> str:
    """The same fault once, with how often it was seen and the first files that show it."""
    kinds: dict[str, list[str]] = {}
    for line in wrong:
        case, said = line.split(": ", 1)
        kind = f"{case.split()[0]}: {re.sub('[0-9]+', 'N', said)[:90]} {said.rpartition(' at ')[2]}"
        kinds.setdefault(kind, []).append(line)
    return "\n".join(
        f"{len(lines)} times, as {'; '.join(line.split(':')[0] for line in lines[:4])}\n    {lines[0]}"
        for lines in kinds.values()
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rooms", default=",".join(SHARES))
    parser.add_argument("--deep", action="store_true")
    parser.add_argument("--worker", nargs=3, metavar=("ROOM", "FIRST", "LAST"))
    parser.add_argument("--show", nargs=2, metavar=("ROOM", "CASE"))
    args = parser.parse_args()
    if args.worker:
        worker(args.worker[0], int(args.worker[1]), int(args.worker[2]), args.seed, args.deep)
        return
    if args.show:
        sys.stdout.buffer.write(broken(args.show[0], int(args.show[1]), args.seed))
        return
    rooms = args.rooms.split(",")
    if set(rooms) - set(SEEDS):
        raise SystemExit(f"rooms are {', '.join(SEEDS)}")
    whole = sum(SHARES[room] for room in rooms)
    tally: collections.Counter[str] = collections.Counter()
    wrong: list[str] = []
    options = ["--seed", str(args.seed), *(["--deep"] if args.deep else [])]
    for room in rooms:
        count = -(-args.cases * SHARES[room] // whole)
        started, longest, peak = time.monotonic(), 0.0, 0.0
        for first in range(0, count, CHUNK):
            most = run_chunk(room, first, min(first + CHUNK, count), options, tally, wrong)
            longest, peak = max(longest, most[0]), max(peak, most[1])
        kinds = ("answered", "used", "unused", "refused", "wrong")
        shown = ", ".join(f"{tally[f'{room} {what}']} {what}" for what in kinds if tally[f"{room} {what}"])
        took = time.monotonic() - started
        print(
            f"{room}: {count} cases, {shown}; longest {longest:.2f} s, most memory {peak:.0f} MB, {took:.0f} s in all",
            flush=True,
        )
    print(grouped(wrong) or "nothing wrong")
    raise SystemExit(1 if wrong else 0)


if __name__ == "__main__":
    main()
