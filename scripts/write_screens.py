"""Write the sowing screens of eight unlike houses on five days, to be read by eye; ``--check`` only compares.

The texts stand in tests/screens beside their house files. What was struck or mended on reading, and why, stands in
tests/screens/README.md. Run: python scripts/write_screens.py [--check] [HOUSE ...]
"""

from __future__ import annotations

import sys
from pathlib import Path

import tenhour

FOLDER = Path(__file__).parents[1] / "tests" / "screens"
DAYS = ("2026-08-25", "2026-10-10", "2026-12-05", "2027-01-15", "2027-02-25")
WIDTH = 80


def screens(path: Path) -> str:
    """The five screens of one house, one below the other."""
    year = tenhour.Year(tenhour.read_house(path))
    return "\n\n".join(year.sow(day).text(width=WIDTH) for day in DAYS) + "\n"


def main(words: list[str]) -> int:
    """Write or compare; the status of the program."""
    named = [word for word in words if not word.startswith("-")]
    stale = []
    for path in sorted((FOLDER / "houses").glob("*.toml")):
        if named and path.stem not in named:
            continue
        out = FOLDER / f"{path.stem}.txt"
        text = screens(path)
        if "--check" in words:
            stale += [out.name] if not out.exists() or out.read_text("utf-8") != text else []
        else:
            out.write_text(text, "utf-8")
    print("\n".join(f"{name} is not what the program says" for name in stale) or "done")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
