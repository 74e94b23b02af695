"""Build wheel and source archive, install the wheel alone in a clean environment, and run every command there.

    python scripts/check_wheel.py [--python /path/to/python3.12] [--tests]

Needs pip and a package index. Runs in a temporary folder; the checkout is not on the path there. With ``--tests`` the
tests of the source archive run as well, with the ``test`` extra installed. Leaves with status 1 at the first fault.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tarfile
import tempfile
import time
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
CALLS = (
    ["--version"],
    ["--help"],
    ["light", "--json"],
    ["light", "--plot", "year.png"],
    ["sow", "--on", "2027-01-15", "--json"],
    ["season", "--crop", "kale", "--ics", "dates.ics"],
    ["lamps", "front", "--crop", "leaf-lettuce"],
    ["why", "leaf-lettuce", "--sown", "2027-01-05", "--seen", "2027-01-25"],
    ["crops"],
    ["crops", "kale"],
    ["new", "--place", "Inverness, Scotland", "--shape", "gable", "-o", "mine.toml"],
    ["check", "mine.toml"],
    ["log", "sown", "kale"],
    ["read", "readings.csv"],
    ["weather", "weather.csv", "--lat", "48", "--lon", "16"],
    ["report", "-o", "page.html"],
)
READINGS = "time,place,lux\n" + "".join(
    f"2027-01-{day} {hour:02d}:{minute:02d},{place},{lux}\n"
    for day in (12, 15)
    for hour in range(9, 15)
    for minute, place, lux in ((0, "outside", 9000), (1, "front", 4000))
)


def step(words: list[str], folder: Path, **environment: str) -> str:
    """Run something, show it, and stop at a fault."""
    started = time.monotonic()
    clean = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "PIP_", "VIRTUAL_ENV"))}
    clean |= {key: value for key, value in os.environ.items() if key.startswith("PIP_")}
    done = subprocess.run(
        words, cwd=folder, env={**clean, **environment}, capture_output=True, text=True, check=False,
        stdin=subprocess.DEVNULL,
    )  # fmt: skip
    shown = " ".join([Path(words[0]).name, *words[1:]])
    print(f"{time.monotonic() - started:6.1f} s  {shown[:110]}", flush=True)
    if done.returncode != 0:
        raise SystemExit(f"status {done.returncode}\n{done.stdout[-1500:]}\n{done.stderr[-3000:]}")
    return done.stdout


def build(folder: Path) -> tuple[Path, Path]:
    """Wheel and source archive; and the wheel made from the archive must hold the same files."""
    step([sys.executable, "-m", "venv", "builder"], folder)
    python = str(folder / "builder" / "bin" / "python")
    step([python, "-m", "pip", "install", "-q", "build"], folder)
    step([python, "-m", "build", "-o", str(folder / "dist"), str(ROOT)], folder)
    wheel, archive = next((folder / "dist").glob("*.whl")), next((folder / "dist").glob("*.tar.gz"))
    step([python, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder / "again"), str(archive)], folder)
    with zipfile.ZipFile(wheel) as first, zipfile.ZipFile(next((folder / "again").glob("*.whl"))) as second:
        if sorted(first.namelist()) != sorted(second.namelist()):
            raise SystemExit("the wheel made from the source archive holds other files")
    return wheel, archive


def try_commands(python: str, program: str, folder: Path) -> None:
    """Every command, both ways to start it, and completion of the shell."""
    (folder / "readings.csv").write_text(READINGS, "utf-8")
    hours = (
        f"2001-{m:02d}-{d:02d}"
        for m, n in enumerate((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31), 1)
        for d in range(1, n + 1)
    )
    rows = (f"{day},{40 + 4 * (abs(int(day[5:7]) - 7) - 6) ** 2}" for day in hours)
    (folder / "weather.csv").write_text("\n".join(["time,ghi", *rows, ""]), "utf-8")
    for words in CALLS:
        said = step([program, *words], folder)
        if "--json" in words:
            json.loads(said)
    step([python, "-m", "tenhour", "check"], folder)
    for shell in ("bash", "zsh", "fish"):
        script = step([program], folder, _TENHOUR_COMPLETE=f"source_{shell}")
        if "tenhour" not in script:
            raise SystemExit(f"no completion for {shell}")
    offered = step([program], folder, _TENHOUR_COMPLETE="complete_bash", COMP_WORDS="tenhour s", COMP_CWORD="1")
    if set(offered.split()) != {"sow", "season"}:
        raise SystemExit(f"completion offers {offered!r}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--python", default=sys.executable)
    parser.add_argument("--tests", action="store_true")
    args = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="wheel-") as name:
        folder = Path(name)
        wheel, archive = build(folder)
        step([args.python, "-m", "venv", "clean"], folder)
        python = str(folder / "clean" / "bin" / "python")
        step([python, "-m", "pip", "install", "-q", str(wheel)], folder)
        if any(word in step([python, "-m", "pip", "list"], folder) for word in ("pytest", "hypothesis", "mypy")):
            raise SystemExit("an extra came along")
        (folder / "work").mkdir()
        try_commands(python, str(folder / "clean" / "bin" / "tenhour"), folder / "work")
        if args.tests:
            with tarfile.open(archive) as packed:
                packed.extractall(folder / "source", filter="data")
            source = next((folder / "source").iterdir())
            step([python, "-m", "pip", "install", "-q", f"{source}[test]"], folder)
            print(step([python, "-m", "pytest", "-q"], source)[-500:])
        print(
            f"{wheel.name}: {wheel.stat().st_size / 1e6:.1f} MB, {archive.name}: {archive.stat().st_size / 1e6:.1f} MB"
        )


if __name__ == "__main__":
    main()
