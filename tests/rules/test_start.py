"""The command line starts without the heavy libraries, and says things the same way everywhere."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("numpy", "pandas", "scipy", "pvlib", "matplotlib", "astral", "icalendar")


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *arguments], capture_output=True, text=True, check=False)


def test_help_loads_no_heavy_library() -> None:
    code = (
        "import sys; sys.argv = ['tenhour', '--help']\n"
        "from tenhour.cli.main import run\n"
        "try: run()\n"
        "except SystemExit: pass\n"
        f"print('LOADED', [m for m in {HEAVY!r} if m in sys.modules])"
    )
    done = run("-c", code)
    assert done.returncode == 0, done.stderr
    assert "LOADED []" in done.stdout


def test_module_and_version() -> None:
    done = run("-m", "tenhour", "--version")
    assert done.returncode == 0
    assert done.stdout.startswith("tenhour ")


def test_usage_errors_are_one_line_and_exit_2() -> None:
    for arguments in (["sew"], ["sow", "--nope"], ["sow", "--month"]):
        done = run("-m", "tenhour", *arguments)
        assert done.returncode == 2
        assert done.stdout == ""
        assert len(done.stderr.strip().splitlines()) == 1
        assert "--help" in done.stderr
