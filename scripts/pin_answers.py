"""Write down a few whole answers of the built-in house, so that a change which moves them is seen.

Run: ``python scripts/pin_answers.py`` to write them into tests/pinned, ``--check`` to list what moved.
They are no proof of anything; what an answer should be is tested elsewhere against the outside.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[1] / "tests" / "pinned"
CROPS = "spinach claytonia kale leaf-lettuce head-lettuce radish carrot pea-shoots tomato-plants"
FRONT = ["--bed", "front", *(word for crop in CROPS.split() for word in ("--crop", crop))]
ANSWERS = {
    "light": ["light", "--on", "2027-01-15"],
    "sow-january": ["sow", "--on", "2027-01-15", *FRONT],
    "sow-september": ["sow", "--on", "2027-09-05", *FRONT],
    "lamps": ["lamps", "front", "--crop", "spinach", "--price", "0.30 EUR", "--from", "2027-01-15"],
    "why": ["why", "leaf-lettuce", "--sown", "2027-01-05", "--seen", "2027-01-25", "--bed", "front"],
}
CLOSE_RATIO = 0.005
CLOSE = 0.005
"""Numbers nearer than this, by ratio or by difference, have not moved: libraries round differently."""


def path_of(name: str) -> Path:
    return FOLDER / f"{name}.json"


def moved(old: Any, new: Any, where: str = "") -> Iterator[str]:
    """Places where two answers differ, with both values."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in [*old, *(key for key in new if key not in old)]:
            yield from moved(old.get(key), new.get(key), f"{where}.{key}" if where else key)
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for number, pair in enumerate(zip(old, new, strict=True)):
            yield from moved(*pair, f"{where}[{number}]")
    elif _number(old) and _number(new):
        if not math.isclose(old, new, rel_tol=CLOSE_RATIO, abs_tol=CLOSE):
            yield f"{where}: {old} -> {new}"
    elif old != new:
        yield f"{where}: {json.dumps(old, ensure_ascii=False)} -> {json.dumps(new, ensure_ascii=False)}"


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def asked(words: list[str]) -> dict[str, Any]:
    """The answer of the program to these words, in a process and a folder of its own."""
    command = [sys.executable, "-m", "tenhour", *words, "--json"]
    done = subprocess.run(command, cwd=FOLDER, capture_output=True, text=True, check=True)
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def main() -> int:
    lines = []
    for name, words in ANSWERS.items():
        new = asked(words)
        if path_of(name).exists():
            old = json.loads(path_of(name).read_text("utf-8"))
            lines += [f"{name}: {line}" for line in moved(old, new)]
        if "--check" not in sys.argv[1:]:
            path_of(name).write_text(json.dumps(new, indent=1, ensure_ascii=False) + "\n", "utf-8")
            print(f"wrote {path_of(name)}")
    print("\n".join(lines) or "nothing moved")
    return 1 if lines and "--check" in sys.argv[1:] else 0


if __name__ == "__main__":
    raise SystemExit(main())
