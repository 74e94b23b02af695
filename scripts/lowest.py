"""Run the tests with the lowest versions that pyproject.toml allows of everything the program itself needs.

    python scripts/lowest.py [--python python3.11] [pytest arguments ...]

Needs pip and a package index. The versions are worked out by uv (installed into a folder of its own), the tests run
from the checkout against an installation in a fresh environment. Deprecations are not errors here: old libraries warn
of newer ones.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--python", default=sys.executable)
    args, tests = parser.parse_known_args()
    with tempfile.TemporaryDirectory(prefix="lowest-") as name:
        folder = Path(name)
        subprocess.run([sys.executable, "-m", "venv", folder / "tools"], check=True)
        subprocess.run([folder / "tools/bin/python", "-m", "pip", "install", "-q", "uv"], check=True)
        subprocess.run([args.python, "-m", "venv", folder / "env"], check=True)
        python = folder / "env" / "bin" / "python"
        found = subprocess.run(
            [folder / "tools/bin/uv", "pip", "compile", "pyproject.toml", "--resolution", "lowest-direct", "-q",
             "--python", python, "--no-annotate", "--no-header"],
            cwd=ROOT, capture_output=True, text=True, check=True,
        )  # fmt: skip
        direct = {line.split(">=")[0].strip(' ",') for line in _dependencies()}
        print("lowest:", ", ".join(line for line in found.stdout.splitlines() if line.split("==")[0] in direct))
        (folder / "lowest.txt").write_text(found.stdout, "utf-8")
        install = [python, "-m", "pip", "install", "-q", "-e", f"{ROOT}[test]", "-c", folder / "lowest.txt"]
        subprocess.run(install, check=True)
        words = tests or ["tests"]
        run = [python, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-W", "ignore::DeprecationWarning", *words]
        raise SystemExit(subprocess.run(run, cwd=ROOT, check=False).returncode)


def _dependencies() -> list[str]:
    import tomllib

    return list(tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"])


if __name__ == "__main__":
    main()
