"""The questions of ``tenhour new``: asked on stderr, answered on stdin, each checked before the next."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from tenhour.cli.common import remark
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.files.house.draft import Draft

Reader = Callable[[], str]

SIDES: Final = {
    "length": "Length along the front",
    "width": "Width from the front to the back",
    "eaves": "Height of the walls",
    "ridge": "Height of the ridge",
    "front": "Height of the front wall",
    "back": "Height of the back wall",
}


def ask_missing(draft: Draft, read: Reader | None = None) -> Draft:
    """Ask for everything the draft does not say yet.

    Parameters: draft; read, where answers come from (stdin), "" at its end.
    Errors: FileProblem when the answers end before the place and the shape are known.
    """
    from tenhour.files.house.draft import DEFAULTS, SHAPES
    from tenhour.files.house.shape import DEFAULT_COVER

    reader = read or sys.stdin.readline
    draft = _ask_place(draft, reader)
    if draft.shape is None:
        draft = _ask(draft, "shape", f"Shape ({', '.join(SHAPES)})", "gable", reader)
    sizes = DEFAULTS.get(draft.shape or "", {})
    for side, default in sizes.items():
        if getattr(draft, side) is None:
            draft = _ask(draft, side, f'{SIDES[side]}, in metres or like "9 ft"', default, reader)
    questions = (
        ("azimuth", "Compass direction along the front (90: the front faces south)", "90"),
        ("cover", "Made of", DEFAULT_COVER.get(draft.shape or "", "twin-wall-8")),
        ("night", "Heater set point by night in degrees C (empty: unheated)", ""),
        ("day", "Heater set point by day in degrees C (empty: unheated)", ""),
        ("snow", "Months with white ground, like 12,1,2 (empty: none)", ""),
    )
    for field, question, default in questions:
        if getattr(draft, field) is None:
            draft = _ask(draft, field, question, default, reader)
    return draft if draft.bed else _ask_beds(draft, reader)


def _ask_place(draft: Draft, read: Reader) -> Draft:
    if draft.place is not None or (draft.lat is not None and draft.lon is not None):
        return draft
    if draft.lat is None and draft.lon is None:
        draft = _ask(draft, "place", 'Nearest town, as name or "name, region" (empty: by coordinates)', "", read)
    if draft.place is None:
        for field, question in (("lat", "Latitude, south negative"), ("lon", "Longitude, west negative")):
            if getattr(draft, field) is None:
                draft = _ask(draft, field, question, None, read)
    return draft


def _line(question: str, default: str | None, read: Reader) -> str:
    shown = f" [{default}]" if default else ""
    print(f"{question}{shown}: ", end="", file=sys.stderr, flush=True)
    line = read()
    if not line:
        print(file=sys.stderr)
        problem = Problem(
            "command line", question, "no answer", "", "Answer it, or give --place and --shape as options."
        )
        raise FileProblem([problem])
    return line.strip() or default or ""


def _ask(draft: Draft, field: str, question: str, default: str | None, read: Reader) -> Draft:
    """Ask until the answer is good in itself; an empty answer without a default leaves the field unsaid."""
    while True:
        answer = _line(question, default, read)
        if not answer and default is None:
            continue
        said: dict[str, Any] = {field: answer or None}
        wished = replace(draft, **said)
        wrong = _wrong(wished, f"--{field}") if answer else []
        if not wrong:
            return wished
        for problem in wrong:
            remark(problem.line())


def _wrong(draft: Draft, flag: str) -> list[Problem]:
    """Problems that an answer itself has; those of questions not asked yet come later."""
    from tenhour.files.house.draft import problems_of

    return [problem for problem in problems_of(draft) if problem.key.split(" ")[0] == flag]


def _ask_beds(draft: Draft, read: Reader) -> Draft:
    remark("Beds, one a line: name,x,y,length,width[,height]. x runs along the front from its left end, seen from")
    remark("outside, y away from it, height is that of the soil. An empty line ends the list.")
    while True:
        answer = _line(f"Bed {len(draft.bed) + 1}" + ("" if draft.bed else " (empty: one along the front)"), None, read)
        if not answer:
            return draft
        wished = replace(draft, bed=(*draft.bed, answer))
        wrong = _wrong(wished, "--bed")
        for problem in wrong:
            remark(problem.line())
        if not wrong:
            draft = wished
