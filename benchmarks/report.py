"""How long the page of four beds and forty crops takes, beside loading the plotting library alone.

Run: python benchmarks/report.py [runs]
The promise: at most six times ``python -c "import matplotlib.pyplot"`` in wall time on a machine with nothing else to
do, and a page under 2 MB. The first run is not counted.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from fresh import seconds

PROMISE_RATIO = 6.0
MOST_BYTES = 2_000_000
CROPS = 40


def crop_options() -> list[str]:
    """The first forty crops of the table, as options."""
    from tenhour.files.crop import load_crops

    keys = [crop.key for crop in load_crops()][:CROPS]
    return [part for key in keys for part in ("--crop", key)]


def report_command(page: Path, options: list[str]) -> list[str]:
    """The command that makes the page."""
    return [sys.executable, "-m", "tenhour", "report", "--force", "-o", str(page), *options]


def main() -> int:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    options = crop_options()
    ratios, size = [], 0
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "page.html"
        seconds(report_command(page, options))
        for _ in range(runs):
            library = seconds([sys.executable, "-c", "import matplotlib.pyplot"])
            whole = seconds(report_command(page, options))
            ratios.append(whole / library)
            size = page.stat().st_size
            print(f"plotting library {library:.2f} s, page {whole:.2f} s, ratio {ratios[-1]:.1f}, {size / 1e6:.2f} MB")
    middle = statistics.median(ratios)
    print(f"middle ratio {middle:.1f} (promised at most {PROMISE_RATIO:.0f}), {size / 1e6:.2f} MB")
    return 0 if middle <= PROMISE_RATIO and size < MOST_BYTES else 1


if __name__ == "__main__":
    sys.exit(main())
