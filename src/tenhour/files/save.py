"""Save what is not text as safely as text: whole or not at all."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from tenhour.files import write


def check_ready(path: Path, force: bool) -> None:
    """Raise FileProblem, before long work begins, if a file of that name could not be written in the end."""
    write.check_free(path, force)
    if not path.parent.is_dir():
        missing = errno.ENOTDIR if path.parent.exists() else errno.ENOENT
        raise write._problem(path, OSError(missing, os.strerror(missing)))


def save_bytes(path: Path, data: bytes, force: bool = False) -> None:
    """Write bytes under a name, whole or not at all; see :func:`tenhour.files.write.write_text`.

    Errors: FileProblem for a file that is there, a missing or read-only folder, a full disk; nothing is changed then.
    """
    write.check_free(path, force)
    try:
        target = Path(os.path.realpath(path)) if force and path.is_symlink() else path
        write._write(target, data, force)
    except FileExistsError:
        raise write._exists(path) from None
    except OSError as error:
        raise write._problem(path, error) from None
