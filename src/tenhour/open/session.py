"""The house file under the page: changed only through its checker, with steps back, and never over someone's head."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import RLock
from typing import Final

from tenhour.errors import FileProblem, OutOfRange, Problem
from tenhour.files.filelock import StillLockedError, held
from tenhour.files.house.draft import Draft, draft_text
from tenhour.files.house.edit import Edit, edited_text
from tenhour.files.house.read import MOST_HOUSE_BYTES, house_from_text
from tenhour.files.textfile import read_text
from tenhour.files.write import write_text
from tenhour.model.house import House
from tenhour.year.inside.scene import room_problems

MOST_STEPS: Final = 200
"""Changes that can be taken back. Judgement."""
NOTHING: Final = ""
"""Version of a file that is not there."""


class ChangedElsewhereError(Exception):
    """The file is no longer what the page showed: another tab, an editor or a command wrote it."""


@dataclass(frozen=True)
class Seen:
    """The file as it stands."""

    version: str
    """Fingerprint of its text."""
    text: str
    house: House | None
    problems: tuple[Problem, ...] = ()
    """What is wrong with it, if it is not a house."""


@dataclass(frozen=True)
class _Step:
    label: str
    path: Path
    before: str | None
    """None where the file was not there."""
    after: str


def version_of(text: str) -> str:
    """Fingerprint of a text."""
    return hashlib.sha256(text.encode()).hexdigest()[:24]


class Session:
    """One house file and the steps taken on it; safe between threads."""

    def __init__(self, path: Path) -> None:
        """Hold the path; the file need not be there yet."""
        self.path = path
        self._lock = RLock()
        self._steps: list[_Step] = []
        self._taken_back: list[_Step] = []
        self._seen: Seen | None = None

    def seen(self) -> Seen:
        """The file as it stands now."""
        with self._lock:
            text = _text_of(self.path)
            version = NOTHING if text is None else version_of(text)
            if self._seen is None or self._seen.version != version:
                self._seen = self._judged(version, text)
            return self._seen

    @property
    def undo_label(self) -> str | None:
        """What would be taken back, None where nothing can be: the file must be as the last step left it."""
        with self._lock:
            return next((s.label for s in self._steps[-1:] if s.after == _text_of(s.path)), None)

    @property
    def redo_label(self) -> str | None:
        """What would be done again."""
        with self._lock:
            return next((s.label for s in self._taken_back[-1:] if s.before == _text_of(s.path)), None)

    def tried(self, version: str, edits: Sequence[Edit]) -> tuple[str, House]:
        """Text and house with changes that are not written.

        Errors: FileProblem for all that ``check`` refuses; ChangedElsewhereError.
        """
        with self._lock:
            text = self._known(version)
            if edits:
                text = edited_text(text, str(self.path), edits)
            return text, self._checked(text)

    def change(self, version: str, edits: Sequence[Edit], label: str) -> Seen:
        """Write changes. Errors: as ``tried``; the file is then as it was."""
        with self._alone():
            before = self._known(version)
            after, _ = self.tried(version, edits)
            if after != before:
                self._write(after)
                self._step(_Step(label, self.path, before, after))
            return self.seen()

    def replace(self, version: str, text: str, label: str) -> Seen:
        """Write another text of the house. Errors: as ``change``."""
        with self._alone():
            before = self._known(version)
            self._checked(text)
            self._write(text)
            self._step(_Step(label, self.path, before, text))
            return self.seen()

    def beside(self, path: Path, label: str, work: Callable[[], None]) -> None:
        """Let some work write a file beside the house file, such as the log, as a step that can be taken back."""
        with self._lock:
            before = _text_of(path)
            work()
            self._step(_Step(label, path, before, _text_of(path) or ""))

    def _step(self, step: _Step) -> None:
        self._steps = [*self._steps[1 - MOST_STEPS :], step]
        self._taken_back = []

    def begin(self, draft: Draft) -> Seen:
        """Write a new house file. Errors: FileProblem, named as the options of ``tenhour new``, or for one there."""
        with self._lock:
            text = draft_text(draft)
            self._checked(text)
            write_text(self.path, text)
            return self.seen()

    def undo(self, version: str) -> Seen:
        """Take the last step back. Errors: ChangedElsewhereError; FileProblem where there is none."""
        with self._alone():
            self._known(version)
            if self.undo_label is None:
                raise _no_step("take back")
            step = self._steps.pop()
            self._restore(step.path, step.before)
            self._taken_back.append(step)
            return self.seen()

    def redo(self, version: str) -> Seen:
        """Do again what was taken back. Errors: as ``undo``."""
        with self._alone():
            self._known(version)
            if self.redo_label is None:
                raise _no_step("do again")
            step = self._taken_back.pop()
            self._restore(step.path, step.after)
            self._steps.append(step)
            return self.seen()

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Hold the file against other writers that lock it, this command in another window among them."""
        with self._lock:
            try:
                handle = os.open(self.path, os.O_RDONLY)
            except OSError as error:
                raise ChangedElsewhereError from error
            try:
                with held(handle):
                    yield
            except StillLockedError:
                found = "held by another program"
                raise FileProblem([Problem(str(self.path), "", found, "", "Close it, and try again.")]) from None
            finally:
                os.close(handle)

    def _known(self, version: str) -> str:
        text = _text_of(self.path)
        if text is None or version_of(text) != version:
            raise ChangedElsewhereError
        return text

    def _checked(self, text: str) -> House:
        house = house_from_text(text, str(self.path), self.path.parent)
        problems = room_problems(house)
        if problems:
            raise FileProblem(problems)
        return house

    def _judged(self, version: str, text: str | None) -> Seen:
        if text is None:
            return Seen(version, "", None)
        try:
            return Seen(version, text, self._checked(text))
        except FileProblem as error:
            return Seen(version, text, None, tuple(error.problems))
        except OutOfRange as error:
            return Seen(version, text, None, (Problem(str(self.path), "", str(error), "", ""),))

    def _restore(self, path: Path, text: str | None) -> None:
        if path == self.path and text is not None:
            self._write(text)
        elif text is not None:
            write_text(path, text, force=True)
        else:  # made by the step that is taken back, and as that left it
            path.unlink()

    def _write(self, text: str) -> None:
        ends = self.path.read_bytes().count(b"\r\n") > 0
        write_text(self.path, text.replace("\n", "\r\n") if ends else text, force=True)


def _text_of(path: Path) -> str | None:
    return read_text(path, MOST_HOUSE_BYTES) if path.exists() else None


def _no_step(what: str) -> FileProblem:
    return FileProblem([Problem("page", "", f"nothing to {what}", "", "")])
