"""What ``scripts/mutate.py --reach`` watched is kept: a run that was stopped goes on, another draw need not watch."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from helpers_long import LONG

pytestmark = [pytest.mark.long, pytest.mark.skipif(not LONG, reason="runs tests in processes of their own")]
ROOT = Path(__file__).parents[2]
FILES = {
    "src/tenhour/__init__.py": "",
    "src/tenhour/plan/__init__.py": "",
    "src/tenhour/plan/tiny.py": (
        "def more(a: int, b: int) -> int:\n    if a > 100:\n        return a - b\n    return a + b\n"
        "def other(a: int) -> int:\n    return a * 3\n"
    ),
    "tests/helpers_once.py": "KEPT, GROWN, PARTS = {}, [], {}\n",
    "tests/plan/test_tiny.py": (
        "from tenhour.plan.tiny import more, other\n"
        "def test_more(): assert more(1, 2) == 3\n"
        "def test_other(): assert other(2) == 6\n"
    ),
    "pytest.ini": "[pytest]\n",
}


def mutated(tree: Path, seed: int) -> str:
    words = [sys.executable, str(ROOT / "scripts" / "mutate.py"), "plan", "--reach", "--seed", str(seed),
             "--count", "99", "--source", str(tree / "src"), "--kept", str(tree / "kept")]  # fmt: skip
    return subprocess.run(words, capture_output=True, text=True, check=True, cwd=tree).stdout


def test_what_was_watched_is_kept_and_only_the_rest_is_watched(tmp_path: Path) -> None:
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    said = mutated(tmp_path, 1)
    assert "0 tests were watched before, 2 are now" in said
    assert "tiny.py:6: Mult to Div" in said
    assert ": killed, 2 tests" in said
    missed = {line.split(":")[1] for line in said.splitlines() if line.startswith("  plan/tiny.py")}
    assert missed == {"2", "3"}, "what no test comes to, and the bound that none meets"
    (kept,) = (tmp_path / "kept").glob("reach-*.jsonl")
    whole = kept.read_text("utf-8")
    kept.write_text(whole[: len(whole) * 3 // 4], "utf-8")  # stopped while the second line was written
    assert "1 tests were watched before, 1 are now" in mutated(tmp_path, 2)
    assert "2 tests were watched before, 0 are now" in mutated(tmp_path, 3)
    (tmp_path / "tests/plan/test_tiny.py").write_text(
        FILES["tests/plan/test_tiny.py"] + "def test_far(): assert more(101, 1) == 100\n", "utf-8"
    )
    said = mutated(tmp_path, 2)
    assert "0 tests were watched before, 3 are now" in said, "a changed file of tests is watched again"
    assert "tiny.py:3: Sub to Add" in said
    assert "\n  plan/tiny.py:3" not in said
