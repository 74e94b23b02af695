"""Write a file whole or not at all: the old one or the new one stands there whatever happens in between."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from tenhour.errors import FileProblem, Problem
from tenhour.files.problems import show
from tenhour.files.textfile import READ

NEW_FILE_MODE: Final = 0o666
"""Before the user's umask."""
NO_LINKS: Final = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS, errno.EACCES})
"""What file systems without hard links answer."""

_REASONS: Final = {
    errno.EACCES: ("may not be written here", "Choose another folder with -o."),
    errno.EPERM: ("may not be written here", "Choose another folder with -o."),
    errno.EROFS: ("lies on a read-only disk", "Choose another folder with -o."),
    errno.ENOSPC: ("cannot be written: the disk is full", "Free some room; nothing was changed."),
    errno.EDQUOT: ("cannot be written: your share of the disk is full", "Free some room; nothing was changed."),
    errno.ENOENT: ("cannot be written: there is no such folder", "Make the folder first."),
    errno.ENOTDIR: ("cannot be written: part of its path is a file, not a folder", "Check the path."),
    errno.ELOOP: ("is a link that leads back to itself", "Name another file."),
    errno.ENAMETOOLONG: ("has a name too long for this system", "Choose a shorter one."),
    errno.EISDIR: ("is a folder", "Name a file in it."),
}


def _problem(path: Path, error: OSError) -> FileProblem:
    found, do = _REASONS.get(error.errno or 0, (f"cannot be written ({error.strerror or error})", ""))
    return FileProblem([Problem(str(path), "", found, "", do)])


def check_free(path: Path, force: bool) -> None:
    """Raise FileProblem if a file stands where a new one shall be written and may not be replaced."""
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return
    except OSError as error:
        raise _problem(path, error) from None
    except ValueError:
        raise FileProblem([Problem(str(path), "", "not a file name", "", "Choose another name.")]) from None
    if stat.S_ISDIR(mode):
        raise _problem(path, OSError(errno.EISDIR, "is a folder"))
    if not force:
        raise _exists(path)
    if not (stat.S_ISREG(mode) or stat.S_ISLNK(mode)):
        raise FileProblem([Problem(str(path), "", "not an ordinary file", "", "Choose another name.")])


def check_ready(path: Path, force: bool) -> None:
    """Raise FileProblem, before long work begins, if a file of that name could not be written in the end."""
    check_free(path, force)
    if not path.parent.is_dir():
        missing = errno.ENOTDIR if path.parent.exists() else errno.ENOENT
        raise _problem(path, OSError(missing, os.strerror(missing)))
    if not os.access(path.parent, os.W_OK):
        raise _problem(path, OSError(errno.EACCES, ""))


def check_apart(outputs: Sequence[tuple[str, Path]]) -> None:
    """Raise FileProblem where two outputs of one call are one file; ``outputs`` are options and their files."""
    problems = []
    seen: dict[str, str] = {}
    for option, path in outputs:
        name = os.path.realpath(path).casefold()  # many disks do not tell Kale.svg from kale.svg
        other = seen.setdefault(name, option)
        if other != option:
            found = f"{show(str(path))}, the file of {other}"
            problems.append(Problem("command line", option, found, "a name of its own", ""))
    if problems:
        raise FileProblem(problems)


def check_not_read(outputs: Sequence[tuple[str, Path]]) -> None:
    """Raise FileProblem where an output is a file that was read in this call, by whatever name or link."""
    problems = []
    for option, path in outputs:
        try:
            there = path.stat()
        except OSError:
            continue
        if (there.st_dev, there.st_ino) in READ:
            found, do = f"{show(str(path))}, a file that is read here", "It is not replaced, with --force neither."
            problems.append(Problem("command line", option, found, "a name of its own", do))
    if problems:
        raise FileProblem(problems)


def _exists(path: Path) -> FileProblem:
    return FileProblem(
        [Problem(str(path), "", "already there", "", "Use --force to replace it, or -o for another name.")]
    )


def write_text(path: Path, text: str, force: bool = False) -> None:
    """Write a text in UTF-8 under a name, whole or not at all; see :func:`save_bytes`."""
    save_bytes(path, text.encode("utf-8"), force)


def write_pieces(path: Path, pieces: Iterable[str], force: bool = False) -> None:
    """The same of a long text that comes piece by piece and is nowhere held as one."""
    data = bytearray()
    for piece in pieces:
        data += piece.encode("utf-8")
    save_bytes(path, data, force)


def save_bytes(path: Path, data: bytes | bytearray, force: bool = False) -> None:
    """Write bytes under a name, whole or not at all.

    Parameters: path; data; force, whether a file of that name may be replaced (a link then keeps pointing, and its
    target is replaced).
    Method: a new file in the same folder, flushed to disk, then linked or renamed to its name in one step.
    Errors: FileProblem for a file that is there, a missing or read-only folder, a full disk; nothing is changed then.
    """
    check_free(path, force)
    try:
        target = Path(os.path.realpath(path)) if force and path.is_symlink() else path
        _write(target, data, force)
    except FileExistsError:
        raise _exists(path) from None
    except OSError as error:
        raise _problem(path, error) from None


def _write(target: Path, data: bytes | bytearray, force: bool) -> None:
    handle, draft = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=".new", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        Path(draft).chmod(_mode(target))
        if force:
            Path(draft).replace(target)
        else:
            _link(draft, target)
    finally:
        with contextlib.suppress(FileNotFoundError):
            Path(draft).unlink()
    _flush_folder(target.parent)


def _mode(target: Path) -> int:
    """Rights of the file that is replaced, or those of any new file of this user."""
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return NEW_FILE_MODE & ~mask


def _link(draft: str, target: Path) -> None:
    """Give the draft its name in one step that fails if the name is taken."""
    try:
        os.link(draft, target)
    except OSError as error:
        if error.errno not in NO_LINKS:
            raise
        if target.exists() or target.is_symlink():
            raise FileExistsError(errno.EEXIST, "already there") from None
        Path(draft).replace(target)


def flush_folder(folder: Path) -> None:
    """Bring all files of a folder to disk, and their names, before it is given the name it is known by."""
    for one in folder.rglob("*"):
        if one.is_dir():
            _flush_folder(one)
            continue
        with one.open("rb") as stream:
            os.fsync(stream.fileno())
    _flush_folder(folder)


def _flush_folder(folder: Path) -> None:
    """Bring the new name to disk; some systems cannot flush a folder, and the file itself is safe by then."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
