"""Pack the TOML data files and crop files for quick reading: a line each, the digest of its text and its tables.

    python scripts/pack_tables.py

A file that was changed since is read itself, so nothing goes wrong without this; a test says that it is to be run.
"""

from __future__ import annotations

import hashlib
import json
import tomllib
from pathlib import Path

from tenhour.files import crop, find, textfile

DATA = Path(textfile.__file__).parents[1] / "_data"


def line(text: str) -> str:
    """A text's digest and its tables."""
    tables = tomllib.loads(text)
    found = json.dumps(tables, ensure_ascii=False, separators=(",", ":"))
    assert json.loads(found) == tables
    return f"{hashlib.sha256(text.encode()).hexdigest()} {found}\n"


def packed() -> dict[str, str]:
    """Text of each file of packed tables by its name."""
    shipped = find.shipped_folder()
    crops = [*find.crop_files(shipped), shipped / find.SOURCES_FILE]
    files = {textfile.PACKED: sorted(DATA.glob("*.toml")), crop.PACKED: crops}
    return {name: "".join(line(path.read_text("utf-8")) for path in paths) for name, paths in files.items()}


def main() -> None:
    for name, text in packed().items():
        (DATA / name).write_text(text, "utf-8")


if __name__ == "__main__":
    main()
