"""House-years kept in a folder between commands, for who asks for it: ``TENHOUR_CACHE=folder``.

What is kept is named by its content: the house, its weather, the crops and draws, this program and its libraries. An
entry that is damaged, old or of anything else is made anew; nothing in a file is ever run.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import numpy as np
import scipy

import tenhour
from tenhour.errors import FileProblem
from tenhour.files.write import save_bytes

T = TypeVar("T")

ASKED_BY: Final = "TENHOUR_CACHE"
MOST_FILES: Final = 48
"""Entries kept; the least lately used go. A house has a dozen, of some 30 MB together."""
ENDING: Final = ".npz"
TREE: Final = "tree"
DAMAGED: Final = (
    OSError, ValueError, LookupError, TypeError, AttributeError, ImportError, EOFError, RuntimeError, ArithmeticError,
    MemoryError, SyntaxError, zipfile.BadZipFile, zlib.error, struct.error,
)  # fmt: skip
"""What reading a file that is not ours, or not whole, may raise."""


def kept_folder() -> Path | None:
    """The folder the user names, if any."""
    asked = os.environ.get(ASKED_BY, "").strip()
    return Path(asked).expanduser() if asked else None


class Kept:
    """Values kept in a folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._program = _program()

    def __call__(self, kind: str, of: Sequence[object], make: Callable[[], T], types: Sequence[type] = ()) -> T:
        """What was kept of a kind for these things, or what is made now and kept.

        Parameters: kind, of value; of, all it depends on; make, makes it; types, classes of ours that it holds. A
        folder that cannot be written is no error.
        """
        path = self.folder / f"{kind}-{_digest([self._program, *of])}{ENDING}"
        found = _load(path, {one.__name__: one for one in types})
        if found is not None:
            with contextlib.suppress(OSError):
                os.utime(path)
            return cast("T", found)
        value = make()
        with contextlib.suppress(OSError, FileProblem):
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            save_bytes(path, _packed(value), force=True)
            self._clear()
        return value

    def _clear(self) -> None:
        files = sorted(self.folder.glob(f"*{ENDING}"), key=lambda file: file.stat().st_mtime_ns, reverse=True)
        for old in files[MOST_FILES:]:
            old.unlink(missing_ok=True)


def _program() -> str:
    """This program with its data, and the libraries that reckon: another of any of them keeps entries of its own."""
    folder = Path(tenhour.__file__).parent
    files = [file for file in sorted(folder.rglob("*")) if file.suffix != ".pyc" and file.is_file()]
    found = [(str(f.relative_to(folder)), (at := f.stat()).st_size, at.st_mtime_ns) for f in files]
    return repr((tenhour.__version__, np.__version__, scipy.__version__, found))


def _digest(parts: Sequence[object]) -> str:
    text = hashlib.sha256()
    for part in parts:
        _feed(text, part)
    return text.hexdigest()[:40]


def _feed(text: Any, part: object) -> None:
    """Add a value to a digest: arrays and times by their bytes, what holds such by its fields, the rest by its text."""
    if isinstance(part, np.ndarray):
        text.update(repr((part.dtype.str, part.shape)).encode())
        text.update(part.tobytes())
    elif hasattr(part, "asi8"):
        _feed(text, np.asarray(part.asi8))
    elif isinstance(part, (tuple, list)) and _deep(part):
        text.update(f"{type(part).__name__} {len(part)}".encode())
        for item in part:
            _feed(text, item)
    elif is_dataclass(part) and _deep(part):
        for f in fields(part):
            text.update(f.name.encode())
            _feed(text, getattr(part, f.name))
    else:
        text.update(repr(part).encode())
    text.update(b"\0")


def _deep(value: object) -> bool:
    """Whether a value holds arrays, whose text would be cut short."""
    if isinstance(value, (tuple, list)):
        return any(_deep(item) for item in value)
    if is_dataclass(value):
        return any(_deep(getattr(value, f.name)) for f in fields(value))
    return isinstance(value, np.ndarray) or hasattr(value, "asi8")


def _packed(value: object) -> bytes:
    arrays: dict[str, Any] = {}
    tree = json.dumps(_flat(value, arrays)).encode()
    out = io.BytesIO()
    arrays[TREE] = np.frombuffer(tree, dtype=np.uint8)
    np.savez(out, **arrays)
    return out.getvalue()


def _flat(value: object, arrays: dict[str, Any]) -> Any:
    """A value as JSON, its arrays set aside by name."""
    if isinstance(value, np.ndarray):
        name = f"a{len(arrays)}"
        arrays[name] = value
        return ["array", name]
    if isinstance(value, np.generic):
        return value.item()
    if value is None or isinstance(value, (bool, int, float, str)):
        return value
    if isinstance(value, dict):
        return ["dict", {str(key): _flat(item, arrays) for key, item in value.items()}]
    name = type(value).__name__
    if is_dataclass(value):
        return ["of", name, {f.name: _flat(getattr(value, f.name), arrays) for f in fields(value)}]
    if isinstance(value, tuple):
        kind = ["named", name] if hasattr(value, "_fields") else ["tuple"]
        return [*kind, [_flat(item, arrays) for item in value]]
    raise TypeError(name)


def _load(path: Path, types: Mapping[str, type]) -> object:
    """The value of a file; None where there is none, or it is damaged or not ours."""
    try:
        with np.load(io.BytesIO(path.read_bytes())) as file:
            return _whole(json.loads(file[TREE].tobytes()), file, types)
    except DAMAGED:
        return None


def _whole(tree: Any, file: Any, types: Mapping[str, type]) -> Any:
    if not isinstance(tree, list):
        return tree
    what, *rest = tree
    if what == "array":
        return file[rest[0]]
    if what == "dict":
        return {key: _whole(item, file, types) for key, item in rest[0].items()}
    if what == "tuple":
        return tuple(_whole(item, file, types) for item in rest[0])
    kind = types[rest[0]]
    if what == "named":
        return kind(*(_whole(item, file, types) for item in rest[1]))
    return kind(**{key: _whole(item, file, types) for key, item in rest[1].items()})
