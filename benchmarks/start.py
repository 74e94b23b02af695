"""Processor time of the commands as ratios to one import, for the built-in house with all its crops.

    python benchmarks/start.py [rounds] [command ...]

Fresh processes, one of each in turn, so that a machine that slows down slows them all; medians of the rounds of one
run. Processor time is counted and not the clock, so other work matters less; only the ratios mean anything.
"""

from __future__ import annotations

import statistics
import sys
import tempfile

from fresh import cpu_seconds

BESIDE = {"import typer": ["-c", "import typer"], "import pvlib": ["-c", "import pvlib"]}
COMMANDS = {
    "--help": (["--help"], "import typer", 3.5),
    "light": (["light"], "import pvlib", 1.7),
    "sow": (["sow", "--month", "January"], "import pvlib", 2.5),
    "season": (["season"], "import pvlib", 2.5),
    "report": (["report", "--force", "--output", "page.html"], "import pvlib", 5.0),
    "lamps": (["lamps", "front", "leaf-lettuce"], "import pvlib", 4.0),
    "light --brighter": (["light", "--brighter"], "import pvlib", 4.0),
}
"""What is run, beside what, and the ratio aimed at."""


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    chosen = {name: COMMANDS[name] for name in sys.argv[2:] or COMMANDS}
    beside = {other: BESIDE[other] for _, other, _ in chosen.values()}
    runs = {**beside, **{name: ["-m", "tenhour", *words] for name, (words, _, _) in chosen.items()}}
    times: dict[str, list[float]] = {name: [] for name in runs}
    with tempfile.TemporaryDirectory() as folder:
        for turn in range(rounds + 1):
            for name, words in runs.items():
                took = cpu_seconds([sys.executable, *words], folder)
                if turn:  # the first round compiles
                    times[name].append(took)
    middle = {name: statistics.median(values) for name, values in times.items()}
    print(f"processor time, median of {rounds} rounds")
    for name, (_, other, wanted) in chosen.items():
        ratio = middle[name] / middle[other]
        print(f"{name:17s} {middle[name]:6.2f} s = {ratio:5.2f} x {other} ({middle[other]:.2f} s); aimed at {wanted}")


if __name__ == "__main__":
    main()
