"""A fixed part of the trial by broken files; scripts/fuzz_files.py runs ten thousand and more."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from helpers_fuzz import ENDING, SEEDS, broken, outcome, seeds
from helpers_long import many

PATIENCE_S = 10.0
"""Far more than reading takes, hundredths of a second: what runs away is caught, a busy machine is not."""
ANSWER_S = 120.0
"""A request that was hardly broken is answered: from a whole house-year."""
BOUND_MB = 512
"""Memory that reading any one file may take beyond what the program has loaded."""
CASES = {"house": 60, "crop": 12, "weather": 14, "readings": 60, "log": 80, "lamp": 80, "luminaire": 80,
         "plan": 60, "places": many(10, 30), "outline": 40, "days": 10, "grid": 10, "zarr": 10,
         "request": 30}  # fmt: skip
WHOLE = many(("house", "readings"), tuple(sorted(SEEDS)))
"""Kinds of which a file as large as is read at all is read."""
GOOD = many(3, 8)
"""Good files of each kind that are read."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("room", sorted(SEEDS))
def test_the_files_that_are_broken_were_good(room: str, folder: Path) -> None:
    for number, data in enumerate(seeds(room)[:GOOD]):
        place = folder / str(number)
        place.mkdir()
        (place / "lamp.ies").write_bytes(seeds("luminaire")[0])
        path = place / f"case{ENDING[room]}"
        path.write_bytes(data)
        assert outcome(room, path) == "answered"


@pytest.mark.parametrize("room", sorted(SEEDS))
def test_broken_files_give_an_answer_or_clear_lines_soon(room: str, folder: Path) -> None:
    path = folder / f"case{ENDING[room]}"
    path.write_bytes(seeds(room)[0])
    outcome(room, path)  # loads what is loaded once
    seen, patience_s = set(), ANSWER_S if room == "request" else PATIENCE_S
    for case in range(CASES[room]):
        path.write_bytes(broken(room, case))
        before = time.process_time()
        seen.add(outcome(room, path))
        assert time.process_time() - before < patience_s, f"case {case}"
        assert list(folder.iterdir()) == [path], f"case {case} wrote something"
    assert "refused" in seen


@pytest.mark.parametrize("room", sorted(SEEDS))
def test_what_is_no_file_is_refused_at_once(room: str, folder: Path) -> None:
    name = f"case{ENDING[room]}"
    kinds = {
        "folder": lambda path: path.mkdir(),
        "pipe": lambda path: os.mkfifo(path),
        "loop": lambda path: path.symlink_to(path.name),
        "dangling": lambda path: path.symlink_to("nowhere"),
        "missing": lambda path: None,
        "device": lambda path: path.symlink_to("/dev/zero"),
    }
    for kind, make in kinds.items():
        place = folder / kind
        place.mkdir()
        make(place / name)
        before = time.monotonic()
        if room == "crop" and kind == "missing":
            continue  # a folder without that crop is no mistake
        assert outcome(room, place / name) == "refused", kind
        assert time.monotonic() - before < PATIENCE_S, kind


BIG = """
import resource, sys, time
from pathlib import Path
import helpers_fuzz as fuzz
folder = Path(sys.argv[1])
bound_b = int(sys.argv[2]) * 2**20
room_ends = {room: end for room, end in fuzz.ENDING.items()}
for room, end in room_ends.items():  # load what is loaded once
    small = folder / f"small{end}"
    small.write_bytes(fuzz.seeds(room)[0])
    try:
        fuzz.outcome(room, small)
    finally:
        small.unlink()
pages = int(Path("/proc/self/statm").read_text().split()[0])
most = pages * resource.getpagesize() + bound_b
resource.setrlimit(resource.RLIMIT_AS, (most, most))
from datetime import date, timedelta
whole = sys.argv[3].split()
days = [date(2001, 1, 1) + timedelta(days=d) for d in range(365 if "weather" in whole else 0)]
stamps = [f"{day} {m // 60:02d}:{m % 60:02d},50.0" for day in days for m in range(1440)]
minutes = ("time,ghi\\n" + "\\n".join(stamps) + "\\n").encode()
rows = {
    "weather": (minutes, b"", 0),
    "readings": (b"time,place,lux\\n", b"2027-01-12 10:00,front,400\\n", 200_000),
    "log": (b"date,what,crop\\n", b"2026-01-01,sown,land-cress\\n", 90_000),
    "house": (b"schema = 1\\n", b"[[bed]]\\n", 60_000),
    "crop": (b"schema = 1\\n", b"[[light]]\\n", 190_000),
    "lamp": (b"schema = 1\\n", b"[[lamp]]\\n", 200_000),
    "luminaire": (b"TILT=NONE\\n", b"1 ", 990_000),
    "plan": (b"[", b"0,", 500_000),
    "places": (b"latitude_deg,longitude_deg\\n", b"91,0\\n", 200_000),
    "outline": (b'{"type":"Polygon","coordinates":[[', b"[8.0,47.0],", 90_000),
    "days": (b"date,dli_mol_m2_d\\n", b"2026-11-01,3\\n", 90_000),
    "grid": (b"\\x89HDF\\r\\n\\x1a\\n", b"\\0", 50_000_000),
    "request": (b"api/new\\n", b"[", 1_000_000),
}
size = 100_000_000
for room, end in room_ends.items():
    path = folder / f"case{end}"
    path.write_bytes(b"")
    started = time.process_time()
    with path.open("r+b") as stream:
        stream.truncate(size)
    said = fuzz.outcome(room, path)
    print(room, "100 MB", said, f"{time.process_time() - started:.2f}", flush=True)
    if room not in whole:
        path.unlink()
        continue
    head, row, count = rows[room]
    path.write_bytes(head + row * count)
    started = time.process_time()
    said = fuzz.outcome(room, path)
    print(room, "longest", said, f"{time.process_time() - started:.2f}", flush=True)
    path.unlink()
"""


def test_huge_files_are_refused_within_bounds_of_memory(tmp_path: Path) -> None:
    here = Path(__file__).parents[1]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(here), *sys.path]), "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(
        [sys.executable, "-c", BIG, str(tmp_path), str(BOUND_MB), " ".join(WHOLE)],
        capture_output=True,
        text=True,
        env=environment,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    lines = [line.rsplit(" ", 2) for line in done.stdout.splitlines()]
    assert len(lines) == len(SEEDS) + len(WHOLE)
    for what, said, took_s in lines:
        if "100 MB" in what:
            # a Zarr folder is many files: a case names one of them and what stands in it, and this names none
            assert said == ("answered" if what.startswith("zarr") else "refused"), what
            assert float(took_s) < PATIENCE_S, what
