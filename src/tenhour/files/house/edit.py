"""Changes to the text of a house file, key by key: comments and everything else stay as they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

import tomlkit
from tomlkit.exceptions import ParseError, TOMLKitError
from tomlkit.items import AoT, Table, Whitespace

from tenhour.errors import FileProblem, Problem
from tenhour.files.keep import trailing

Step = str | int
BY_HAND: Final = "Change it in the file by hand."
DEEPEST: Final = 6
"""Steps of a path at most; no key of a house file lies deeper."""


@dataclass(frozen=True)
class Edit:
    """One change: a key set or taken out, or a table put at the end of a list of tables."""

    do: Literal["set", "remove", "add"]
    path: tuple[Step, ...]
    """Keys, and numbers of tables in a list from 0: ("bed", 0, "at_m")."""
    value: object = None


def edited_text(text: str, file: str, edits: Sequence[Edit]) -> str:
    """Return the text of a house file with changes made in their order.

    Parameters: text; file, the name shown in problems; edits.
    Errors: FileProblem where the text is no TOML, or a path leads nowhere; what a value may be is not looked at.
    """
    try:
        document = tomlkit.parse(text)
        for edit in edits:
            _apply(document, edit)
        return tomlkit.dumps(document)
    except (ParseError, TOMLKitError, LookupError, TypeError, ValueError, AttributeError) as error:
        found = f"a file that cannot be edited here ({error})"
        raise FileProblem([Problem(file, "", found, "", BY_HAND)]) from None


def _apply(document: tomlkit.TOMLDocument, edit: Edit) -> None:
    *way, last = edit.path
    if not 0 < len(edit.path) <= DEEPEST:
        raise LookupError("no such place")
    table = _at(document, way)
    if edit.do == "add":
        _add(table, str(last), edit.value)
    elif edit.do == "set" and isinstance(last, str):
        _set(table, last, edit.value)
    elif edit.do == "remove" and isinstance(last, str):
        del table[last]
    elif edit.do == "remove" and isinstance(table, AoT) and isinstance(last, int):
        _take_out(_at(document, way[:-1]), str(way[-1]), table, last)
    else:
        raise LookupError("a whole table is not set")


def _at(document: Any, way: Sequence[Step]) -> Any:
    """The table a path leads to; tables that are not there yet are made."""
    found: Any = document
    for number, step in enumerate(way):
        if isinstance(step, str) and step not in found:
            # [face.north] needs no line [face] above it
            new = tomlkit.table(is_super_table=number + 1 < len(way))
            if found is document:
                document.add(tomlkit.nl())
            else:
                _follow(found, new)
            found.append(step, new)
        found = found[step]
    return found


def _follow(parent: Any, new: Table) -> None:
    """Let a new table stand after the last of its parent, before what belongs to the next."""
    before = [item for item in parent.values() if isinstance(item, Table)]
    if before:
        _hand_on(before[-1], new)


def _hand_on(before: Table, new: Table) -> None:
    """Comments and blank lines at the end of a table belong to what follows: they move to the end of the new one."""
    after = trailing(before)
    before.value.body.append((None, tomlkit.nl()))
    new.value.body.extend(after)


def _take_out(parent: Any, name: str, listed: AoT, number: int) -> None:
    """Take a table out of a list; what stood behind it and belongs to the next table stays."""
    after = "".join(item.as_string() for _, item in trailing(listed[number]))
    if len(listed) > 1:
        del listed[number]
        if number == len(listed) and after:
            trailing(listed[-1])
            listed[-1].value.body.append((None, Whitespace(after)))
        return
    place = next(i for i, (key, _) in enumerate(parent.body) if key is not None and key.key == name)
    parent.remove(name)
    parent.body[place] = (None, Whitespace(after))


def _set(table: Any, key: str, value: object) -> None:
    """Set a key and keep the comment behind it; a new one goes before what belongs to the next table."""
    if key in table:
        table[key] = value
        return
    after = trailing(table) if hasattr(table, "value") and hasattr(table.value, "body") else []
    table[key] = value
    if after:
        table.value.body.extend(after)


def _add(table: Any, name: str, value: object) -> None:
    if not isinstance(value, dict):
        raise TypeError("a table is needed")
    new = tomlkit.table()
    for key, each in value.items():
        new.append(key, each)
    if name not in table:
        listed = tomlkit.aot()
        listed.append(new)
        if len(table):
            table.add(tomlkit.nl())
        table.append(name, listed)
        return
    there = table[name]
    if not isinstance(there, AoT):
        raise TypeError(f"{name} is not written as [[{name}]]")
    if len(there):
        _hand_on(there[-1], new)
    there.append(new)
