"""The parts of a run on disk: each chunk of sites a file that carries the sum of its contents in its name."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem, Problem
from tenhour.files.textfile import read_text
from tenhour.files.write import save_bytes

Array = NDArray[np.float64]

RUN_FILE: Final = "run.json"
PARTS_FOLDER: Final = "parts"
DATA_FILE: Final = "atlas.nc"
MARK_LETTERS: Final = 16
PART_NAME: Final = re.compile(r"part-([0-9]{6,12})-[0-9a-f]{16}\.npz")


class Parts:
    """The folder of one run: what was asked, and the chunks that are whole."""

    def __init__(self, folder: Path, asked: Mapping[str, object], force: bool) -> None:
        """Open a folder for a run, new or begun.

        Parameters: folder, made if it is not there; asked, everything that bears on the result, as JSON holds it;
        force, whether the outputs of a finished run, or a run that asked something else, may be replaced.
        Errors: FileProblem for a folder that holds another run or a finished one, or cannot be written.
        """
        self.folder = folder
        self.asked = json.loads(json.dumps(asked, sort_keys=True))
        self.damaged: list[int] = []
        before = self._before()
        if before is None and folder.exists() and any(folder.iterdir()) and not force:
            raise self._taken("a folder with other things in it", "a new folder, or that of the same run")
        if before not in (None, self.asked) and not force:
            raise self._taken("the run of another question or another version", "a new folder, or that of the same run")
        if before == self.asked and (folder / DATA_FILE).exists() and not force:
            raise self._taken("a finished run", "a new folder")
        self._make(folder / PARTS_FOLDER)
        if before != self.asked:
            for path in (folder / PARTS_FOLDER).glob("part-*.npz"):
                if PART_NAME.fullmatch(path.name) and path.is_file():
                    path.unlink()
            text = json.dumps(self.asked, sort_keys=True, indent=1)
            save_bytes(folder / RUN_FILE, text.encode("utf-8"), force=True)
        self._written: dict[int, list[Path]] = {}
        for path in sorted((folder / PARTS_FOLDER).glob("part-*-*.npz")):  # looked through once: there may be many
            own = PART_NAME.fullmatch(path.name)
            if own is not None and path.is_file():
                self._written.setdefault(int(own[1]), []).append(path)

    def _make(self, folder: Path) -> None:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            found = f"cannot be made ({error.strerror or error})"
            raise FileProblem([Problem(str(folder), "", found, "", "Choose another folder with -o.")]) from None

    def _before(self) -> object:
        path = self.folder / RUN_FILE
        if not path.exists():
            return None
        try:
            return json.loads(read_text(path, 200_000_000))
        except (ValueError, RecursionError):
            return "damaged"

    def _taken(self, found: str, allowed: str) -> FileProblem:
        do = "Use --force to replace it, or -o for another folder."
        return FileProblem([Problem(str(self.folder), "", found, allowed, do)])

    def whole(self, number: int) -> dict[str, Array] | None:
        """A chunk written before, if it is whole; None where there is none. A damaged one is removed and noted."""
        for path in self._written.get(number, ()):
            data = path.read_bytes()
            if sha256(data).hexdigest()[:MARK_LETTERS] == path.stem.rsplit("-", 1)[1]:
                return _unpacked(data)
            path.unlink()
            self.damaged.append(number)
        return None

    def keep(self, number: int, values: Mapping[str, Array]) -> None:
        """Write a chunk, whole or not at all. Errors: FileProblem for a full disk."""
        data = _packed(values)
        name = f"part-{number:06d}-{sha256(data).hexdigest()[:MARK_LETTERS]}.npz"
        save_bytes(self.folder / PARTS_FOLDER / name, data, force=True)


def _packed(values: Mapping[str, Array]) -> bytes:
    """Arrays as an npz file whose bytes depend on the arrays alone."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(values):
            inner = io.BytesIO()
            np.lib.format.write_array(inner, np.ascontiguousarray(values[name]))
            archive.writestr(zipfile.ZipInfo(f"{name}.npy"), inner.getvalue(), zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def _unpacked(data: bytes) -> dict[str, Array]:
    with np.load(io.BytesIO(data)) as stored:
        return {name: stored[name] for name in stored.files}
