"""The questions of ``tenhour new``: asked on stderr, answered on stdin, each checked and said back before the next."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import typer

from tenhour.cli.common import remark
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.files.house.draft import Draft

Reader = Callable[[], str]

SIZE_WORDS: Final = {
    "length": "Length along the front",
    "width": "Width from the front to the back",
    "eaves": "Height of the walls",
    "ridge": "Height of the ridge",
    "front": "Height of the front wall",
    "back": "Height of the back wall",
}
BACK: Final = frozenset({"back", "b", "<"})
LEAVE: Final = frozenset({"quit", "q", "exit", "stop"})
HELP: Final = frozenset({"?", "help", "h"})
WAYS_OUT: Final = "Enter takes what stands in [ ]. Type back for the question before, ? for help, quit to stop."


@dataclass(frozen=True)
class Question:
    """One thing to ask: which field of the draft it fills, in what words, and how an answer is taken."""

    field: str
    words: str
    default: str | None
    help: str
    take: Callable[[Draft, str], Draft]
    """Draft with the answer in it; raises BadValueError or FileProblem for an answer that cannot be."""
    echo: Callable[[Draft], str] = lambda _: ""
    about_sides: bool = False
    """Here "back" is a side of the house, and only "<" leads to the question before."""


class _StepBackError(Exception):
    """The user wants the question before."""


def ask_missing(
    draft: Draft, next_question: Callable[[Draft, frozenset[str]], Question | None], read: Reader | None = None
) -> Draft:
    """Ask for everything the draft does not say yet.

    Parameters: draft; next_question, what to ask next of a draft and the fields asked; read, where answers come from
    (stdin), "" at its end.
    Errors: FileProblem when the answers end before all is known; typer.Abort when the user wants to stop.
    """
    reader = read or sys.stdin.readline
    remark(WAYS_OUT)
    past: list[Draft] = []
    asked = frozenset({*(["given"] if draft.bed else []), *(["azimuth"] if draft.faces else [])})
    trail: list[frozenset[str]] = []
    while (question := next_question(draft, asked)) is not None:
        try:
            new = _ask(draft, question, reader)
        except _StepBackError:
            if past:
                draft, asked = past.pop(), trail.pop()
            else:
                remark("  This is the first question.")
            continue
        past.append(draft)
        trail.append(asked)
        draft, asked = new, asked | {question.field}
    return draft


def _ask(draft: Draft, question: Question, read: Reader) -> Draft:
    """Ask until an answer is good in itself, and say what was understood."""
    from tenhour.files.units_text import BadValueError

    while True:
        answer = _line(question, read)
        word = answer.lower()
        if word in LEAVE:
            raise typer.Abort
        if word in BACK and not (word == "back" and question.about_sides):
            raise _StepBackError
        if word in HELP:
            remark(f"  {question.help}")
            continue
        if not answer and question.default is None:
            remark(f"  {question.help}")
            continue
        try:
            new = question.take(draft, answer or question.default or "")
        except BadValueError as error:
            remark(f"  Not taken: {answer or question.default}. {error.do or f'Allowed: {error.allowed}.'}")
            continue
        except FileProblem as error:
            for problem in error.problems:
                remark(f"  {_in_words(problem)}")
            continue
        said = question.echo(new)
        if said:
            remark(f"  {said}")
        return new


def _in_words(problem: Problem) -> str:
    """A problem as it is told in a conversation: no option, no key of a file."""
    do = problem.do.replace("Or give latitude_deg and longitude_deg instead.", "Or press Enter to give coordinates.")
    do = do.replace("Give latitude_deg and longitude_deg instead.", "Press Enter to give coordinates.")
    line = Problem("", "", problem.found, problem.allowed, do).line().removeprefix(": ")
    return line[:1].upper() + line[1:]


def _line(question: Question, read: Reader) -> str:
    shown = f" [{question.default}]" if question.default else ""
    print(f"{question.words}{shown}: ", end="", file=sys.stderr, flush=True)
    line = read()
    if not line:
        print(file=sys.stderr)
        do = "Answer it, or give --place and --shape as options."
        raise FileProblem([Problem("command line", question.words, "no answer", "", do)])
    return line.strip()


def feet_are_usual() -> bool:
    """Whether the language and country of the environment are those of a country that builds in feet."""
    names = [os.environ.get(name, "") for name in ("LC_ALL", "LC_MEASUREMENT", "LANG")]
    return next((name for name in names if name), "").startswith("en_US")


def wrong_in(draft: Draft, *flags: str) -> None:
    """Raise the problems that an answer itself has; those of questions not asked yet come later.

    Errors: FileProblem.
    """
    from tenhour.files.house.draft import problems_of

    found = [problem for problem in problems_of(draft) if problem.key.split(" ")[0] in flags]
    if found:
        raise FileProblem(found)


def with_field(field: str, read: Callable[[str], str | None] = str) -> Callable[[Draft, str], Draft]:
    """Take an answer for a field as ``read`` makes it, if the draft's own check of it has nothing against it."""

    def take(draft: Draft, text: str) -> Draft:
        said: dict[str, Any] = {field: read(text)}
        wished = replace(draft, **said)
        wrong_in(wished, f"--{field}")
        return wished

    return take
