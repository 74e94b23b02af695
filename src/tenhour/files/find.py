"""Where crop files lie: the user's folder first, then the installed package, then the checkout."""

from __future__ import annotations

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


def crop_files(folder: Path) -> list[Path]:
    """Return the crop files of a folder in order of name; the list of sources is not one."""
    return sorted(path for path in folder.glob("*.toml") if path.name != SOURCES_FILE)
