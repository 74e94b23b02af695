"""Where crop files lie: the user's folder first, then the installed package, then the checkout."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from tenhour.errors import FileProblem, Problem

SOURCES_FILE: Final = "sources.toml"
FACTS_FOLDER: Final = "facts"
PACKAGE: Final = Path(__file__).resolve().parents[1]


def shipped_folder() -> Path:
    """Return the folder of the crop files that come with the program.

    A wheel carries them as ``tenhour/_crops``; an editable install reads the checkout's ``crops``.
    Errors: FileProblem if neither is there (a broken installation).
    """
    tried = [PACKAGE / "_crops", PACKAGE.parents[1] / "crops"]
    for folder in tried:
        if (folder / SOURCES_FILE).is_file():
            return folder
    places = " or ".join(str(folder) for folder in tried)
    raise FileProblem([Problem(places, "", "no crop files", "the files that come with the program", "Install again.")])


def user_folder(folder: Path) -> Path:
    """Return the user's own crop folder. Errors: FileProblem if it is missing or no folder."""
    try:
        if folder.is_dir():
            return folder
        found = "a file" if folder.exists() else "no such folder"
    except OSError as error:  # a name longer than the system takes, on older Pythons
        found = f"cannot be opened ({error.strerror})"
    raise FileProblem([Problem(str(folder), "", found, "a folder of crop files (*.toml)", "Check the path.")])


def check_user_folder(folder: Path, shipped: Sequence[str]) -> None:
    """Refuse a folder of one's own that would change nothing, or something else than it seems to.

    Parameters: folder; shipped, the keys of the shipped crops.
    Errors: FileProblem for a folder without a crop file, names that differ from another only in their capitals, and
        crop files whose names end in something else than .toml.
    """
    keys = [path.stem for path in crop_files(user_folder(folder))]
    there = sorted(path.name for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
    misnamed = [name for name in there if name.rsplit(".", 1)[0] in shipped and not name.endswith(".toml")]
    problems = [
        Problem(str(folder / name), "", "not read", "a name that ends in .toml", f"Rename it to {_key(name)}.toml.")
        for name in misnamed
    ]
    if not keys and not misnamed:
        found = f"{len(there)} files, none of them a crop file" if there else "an empty folder"
        problems.append(Problem(str(folder), "", found, "a folder of crop files (*.toml)", "Check the path."))
    for key in keys:
        if key != _key(key):
            do = f"Rename it to {_key(key)}.toml."
            problems.append(Problem(str(folder / f"{key}.toml"), "", "capitals or blanks in its name", "none", do))
    if problems:
        raise FileProblem(problems)


def _key(name: str) -> str:
    """The key a crop file's name stands for."""
    return "-".join(name.rsplit(".", 1)[0].lower().replace("_", " ").split())


def crop_files(folder: Path) -> list[Path]:
    """Return the crop files of a folder in order of name; the list of sources is not one."""
    return sorted(path for path in folder.glob("*.toml") if path.name != SOURCES_FILE)
