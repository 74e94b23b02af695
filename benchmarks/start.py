"""Start and whole-answer times as ratios: medians of fresh processes, interleaved, in one run on one machine.

python benchmarks/start.py [rounds]
"""

from __future__ import annotations

import statistics
import sys
import tempfile

from fresh import seconds

CASES = {
    "import typer": [sys.executable, "-c", "import typer"],
    "import pvlib": [sys.executable, "-c", "import pvlib"],
    "tenhour --help": [sys.executable, "-m", "tenhour", "--help"],
    "tenhour light": [sys.executable, "-m", "tenhour", "light"],
    "tenhour sow --month January": [sys.executable, "-m", "tenhour", "sow", "--month", "January"],
}
RATIOS = (
    ("tenhour --help", "import typer", 3.5),
    ("tenhour light", "import pvlib", None),
    ("tenhour sow --month January", "import pvlib", 2.5),
)


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    times: dict[str, list[float]] = {name: [] for name in CASES}
    with tempfile.TemporaryDirectory() as folder:
        for command in CASES.values():
            seconds(command, folder)
        for _ in range(rounds):
            for name, command in CASES.items():
                times[name].append(seconds(command, folder))
    medians = {name: statistics.median(values) for name, values in times.items()}
    for name, value in medians.items():
        print(f"{name:30s} {value:6.2f} s  (median of {rounds})")
    for name, against, wanted in RATIOS:
        aim = "" if wanted is None else f", wanted at most {wanted}"
        print(f"{name} = {medians[name] / medians[against]:.2f} x {against}{aim}")


if __name__ == "__main__":
    main()
