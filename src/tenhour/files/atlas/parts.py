"""The parts of a run on disk: each chunk a file that carries its sites and the sum of its contents in its name."""

from __future__ import annotations

import io
import json
import re
import shutil
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
ZARR_FOLDER: Final = "atlas.zarr"
PAGE_FILE: Final = "atlas.html"
"""What a run writes last: without it, the run is not finished."""
TABLE_FILES: Final = ("places.csv", "dates.csv")
OUTPUT_NAME: Final = re.compile(r"(light|sow-by|pays-from|lowest|heat)-.+\.(svg|png)")
MARK_LETTERS: Final = 16
PART_NAME: Final = re.compile(r"part-([0-9]{6,12})-([0-9]{4,6})-([0-9a-f]{16})\.npz")

Span = tuple[int, int]
"""First of some sites that are asked about, counted from 0, and how many."""


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
        self.damaged: list[Span] = []
        if folder.exists() and not folder.is_dir():
            raise self._taken("a file", "a new folder, or that of the same run", "Choose another name with -o.")
        before = self._before()
        if before is None and folder.exists() and any(folder.iterdir()) and not force:
            raise self._taken("a folder with other things in it", "a new folder, or that of the same run")
        if before not in (None, self.asked) and not force:
            raise self._taken("the run of another question or another version", "a new folder, or that of the same run")
        if before == self.asked and (folder / PAGE_FILE).exists() and not force:
            raise self._taken("a finished run", "a new folder")
        self._make(folder / PARTS_FOLDER)
        if before != self.asked:
            if isinstance(before, dict):
                self._clear()
            for path in (folder / PARTS_FOLDER).glob("part-*.npz"):
                if PART_NAME.fullmatch(path.name) and path.is_file():
                    path.unlink()
            text = json.dumps(self.asked, sort_keys=True, indent=1)
            save_bytes(folder / RUN_FILE, text.encode("utf-8"), force=True)

    def _make(self, folder: Path) -> None:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            found = f"cannot be made ({error.strerror or error})"
            raise FileProblem([Problem(str(folder), "", found, "", "Choose another folder with -o.")]) from None

    def _clear(self) -> None:
        """Remove what a run that asked something else wrote: it would be taken for the answer of this one."""
        shutil.rmtree(self.folder / ZARR_FOLDER, ignore_errors=True)
        for path in [self.folder / PAGE_FILE, *self.folder.iterdir()]:
            if path.name in (PAGE_FILE, DATA_FILE, *TABLE_FILES) or OUTPUT_NAME.fullmatch(path.name):
                path.unlink(missing_ok=True)

    def _before(self) -> object:
        path = self.folder / RUN_FILE
        if not path.exists():
            return None
        try:
            return json.loads(read_text(path, 200_000_000))
        except (ValueError, RecursionError):
            return "damaged"

    def _taken(
        self, found: str, allowed: str, do: str = "Use --force to replace it, or -o for another folder."
    ) -> FileProblem:
        return FileProblem([Problem(str(self.folder), "", found, allowed, do)])

    def whole(self, count: int) -> dict[Span, dict[str, Array]]:
        """Chunks written before that are whole, none of whose sites is in another; damaged ones are removed and noted.

        Parameters: count, of the sites that are asked about.
        """
        found: dict[Span, dict[str, Array]] = {}
        free = 0
        for path in sorted((self.folder / PARTS_FOLDER).glob("part-*-*-*.npz")):
            name = PART_NAME.fullmatch(path.name)
            if name is None or not path.is_file():
                continue
            span, data = (int(name[1]), int(name[2])), path.read_bytes()
            if name[3] != _mark(span, data):
                path.unlink()
                self.damaged.append(span)
            elif span[0] >= free and span[0] + span[1] <= count:
                found[span], free = _unpacked(data), sum(span)
        return found

    def keep(self, span: Span, values: Mapping[str, Array]) -> None:
        """Write a chunk, whole or not at all. Errors: FileProblem for a full disk."""
        data = _packed(values)
        name = f"part-{span[0]:07d}-{span[1]:04d}-{_mark(span, data)}.npz"
        save_bytes(self.folder / PARTS_FOLDER / name, data, force=True)


def _mark(span: Span, data: bytes) -> str:
    return sha256(b"%d %d " % span + data).hexdigest()[:MARK_LETTERS]


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
