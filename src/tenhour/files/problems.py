"""From a checker's errors to lines a user can act on: where, what was found, what is allowed, what to do."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, ClassVar, Final, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from tenhour.errors import FileProblem, Problem
from tenhour.files.units_text import BadValueError, plain_number

MOST_PROBLEMS: Final = 100
"""More lines than this help nobody; the last one says how many are left. Judgement."""
MOST_KEYS: Final = 200
"""More keys in one table than this were written by no hand, and comparing them takes time. Judgement."""
MOST_SUGGESTIONS: Final = 3
LONGEST_FOUND: Final = 48
LONGEST_KEY: Final = 100
LONGEST_WORD: Final = 60
"""Beyond this a word is no slip of the pen, and comparing it costs time. Judgement."""
CLOSE_ENOUGH: Final = 0.6
_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")


class Section(BaseModel):
    """One table of a file: strict, frozen, unknown keys refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, defer_build=True)
    """A table's checker is made when the first such table is read: no file has all of them."""
    nested: ClassVar[Mapping[str, type[Section]]] = {}
    """Tables within this one, by key."""


S = TypeVar("S", bound=Section)


def show(value: object) -> str:
    """Return what was found, short and on one line."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return plain_number(value) if isinstance(value, float) or abs(value) < 10**15 else "a huge number"
    if isinstance(value, str):
        short = value if len(value) <= LONGEST_FOUND else f"{value[:LONGEST_FOUND]}…"
        return json.dumps(short, ensure_ascii=not short.isprintable())
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    return f"a {type(value).__name__}"


def dotted(parts: Iterable[str | int]) -> str:
    """Return a dotted key; a number is a place in a list, counted from 1."""
    text = ""
    for part in parts:
        if isinstance(part, int):
            text += f"[{part + 1}]"
            continue
        name = part if _BARE_KEY.fullmatch(part) else json.dumps(part, ensure_ascii=not part.isprintable())
        text += f".{name}" if text else name
    return text if len(text) <= LONGEST_KEY else f"{text[:LONGEST_KEY]}…"


def suggest(word: str, choices: Sequence[str]) -> str:
    """Return "Did you mean …?", or else the list of choices."""
    if len(word) <= LONGEST_WORD:
        stem = [choice for choice in choices if choice.rsplit("_", 1)[0] == word or choice.startswith(f"{word}_")]
        same = [choice for choice in choices if choice.lower() == word.lower()]
        close = same or stem or get_close_matches(word.lower(), choices, MOST_SUGGESTIONS, CLOSE_ENOUGH)
        if close:
            return f"Did you mean {' or '.join(close[:MOST_SUGGESTIONS])}?"
    return f"Choose from: {', '.join(choices)}." if choices else ""


class Problems:
    """Collects what is wrong with one input, to be shown all at once."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[Problem] = []

    def add(self, key: str, found: str, allowed: str = "", do: str = "") -> None:
        """Note one problem."""
        self.found.append(Problem(self.file, key, found, allowed, do))

    def unknown(self, key: str, choices: Sequence[str]) -> None:
        """Note a key nobody knows."""
        word = key.rsplit(".", 1)[-1].split("[")[0].strip('"')
        self.add(key, "unknown key", "", suggest(word, choices))

    def choice(self, key: str, word: str, what: str, choices: Sequence[str]) -> None:
        """Note a name that is none of the known ones."""
        self.add(key, f"{show(word)}, {what}", "", suggest(word, choices))

    def read(self, section: type[S], raw: object, key: str) -> S | None:
        """Return one table checked against its section, or note every problem in it and return None."""
        if not isinstance(raw, Mapping):
            self.add(key, show(raw), "a table", f"Write [{key}] on a line of its own and its keys below.")
            return None
        if len(raw) > MOST_KEYS:
            self.add(key, f"{len(raw)} keys", f"up to {MOST_KEYS}", "Is this the right file?")
            return None
        try:
            return section.model_validate(raw)
        except ValidationError as error:
            for detail in error.errors(include_url=False)[: MOST_PROBLEMS + 1]:
                self._note(section, detail, key)
            return None

    def _note(self, section: type[Section], detail: Any, key: str) -> None:
        location = detail["loc"]
        at = (
            dotted((*location,)) if not key else f"{key}{'' if isinstance(location[0], int) else '.'}{dotted(location)}"
        )
        kind = detail["type"]
        owner = section.nested.get(str(location[0]), section) if len(location) > 1 else section
        if kind == "extra_forbidden":
            self.unknown(at, list(owner.model_fields))
        elif kind == "missing":
            self.add(at, "nothing", "this key is needed", f"Add {_example(owner, location[-1])}.")
        else:
            allowed, do = _allowed(detail)
            self.add(at, show(detail["input"]), allowed, do)

    def check(self) -> None:
        """Raise everything noted so far, if anything.

        Errors: FileProblem with all of it.
        """
        if not self.found:
            return
        kept = list(dict.fromkeys(self.found))
        if len(kept) > MOST_PROBLEMS:
            more = Problem(self.file, "", f"{len(kept) - MOST_PROBLEMS} more problems", "", "Mend these first.")
            kept = [*kept[:MOST_PROBLEMS], more]
        raise FileProblem(kept)


def at_once(*steps: Callable[[], object]) -> None:
    """Take several steps and raise the problems of all of them together.

    Errors: FileProblem with those of every step.
    """
    found: list[Problem] = []
    for step in steps:
        try:
            step()
        except FileProblem as error:
            found.extend(error.problems)
    if found:
        raise FileProblem(found)


def _example(section: type[Section], name: object) -> str:
    known = section.model_fields.get(str(name))
    examples = known.examples if known is not None and known.examples else None
    return f"for example {name} = {examples[0]}" if examples else f"{name} = …"


_TYPES: Final = {
    "string_type": ("text", "Put it in double quotes."),
    "bool_type": ("true or false", "Write it without quotes."),
    "int_type": ("a whole number", "Write it without quotes."),
    "list_type": ("a list", "Put it in square brackets."),
    "tuple_type": ("a list", "Put it in square brackets."),
    "model_type": ("a table", "Write it as { key = value }."),
    "dict_type": ("a table", "Write it as { key = value }."),
}


def _allowed(detail: Any) -> tuple[str, str]:
    context = detail.get("ctx", {})
    error = context.get("error")
    if isinstance(error, BadValueError):
        return error.allowed, error.do
    kind = detail["type"]
    if kind == "literal_error":
        given = detail["input"]
        choices = [part.strip("'") for part in re.findall(r"'[^']*'", str(context.get("expected", "")))]
        do = suggest(given, choices) if isinstance(given, str) else ""
        return "one of " + ", ".join(choices), do if do.startswith("Did") else "Choose one of them."
    return _TYPES.get(kind, (detail["msg"], "Change it."))
