"""Write measured values into a house file: comments and everything else stay, and the file is whole at any moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

import tomlkit
from tomlkit.exceptions import ParseError, TOMLKitError
from tomlkit.items import AoT, Table

from tenhour.errors import FileProblem, Problem
from tenhour.files.house.read import house_from_text
from tenhour.files.textfile import read_text
from tenhour.files.write import write_text
from tenhour.model.house import House
from tenhour.model.learned import Learned, Lessons
from tenhour.model.readings import Change

INSTEAD: Final = {"day_degc": "day_set_degc", "night_degc": "night_set_degc"}
"""Measured warmth and the set point it stands in for."""
BY_HAND: Final = "Copy the lines into it by hand."
Edit = Callable[[tomlkit.TOMLDocument], None]


def keep_changes(path: Path, changes: Sequence[Change]) -> None:
    """Write changes into a house file.

    Parameters: path, of a house file; changes, tables and values.
    Method: edited in place with comments kept, read back and compared, then replaced in one step.
    Errors: FileProblem where the file cannot be read, edited or written; it is then as it was.
    """
    _rewrite(path, lambda text: changed_text(text, str(path), changes), _rest, "", BY_HAND)


def keep_lessons(path: Path, lessons: Lessons) -> None:
    """Write what a log has taught into a house file, in place of what it said of that before; ``from`` stays.

    Errors: FileProblem where the file cannot be read, edited or written; it is then as it was.
    """
    _edit_lessons(path, lambda document: _put_lessons(document, lessons))


def forget_lessons(path: Path, crop: str) -> None:
    """Take one crop's lesson out of a house file, or with "all" everything that was learned; ``from`` stays.

    Errors: FileProblem for a crop of which nothing was learned, or as keep_lessons.
    """
    _edit_lessons(path, lambda document: _drop_lessons(document, crop, str(path)))


def keep_lamps(path: Path, lamps: Mapping[str, Any], remark: str) -> None:
    """Write the lamps over one bed into a house file, in place of those it had over that bed.

    Parameters: path, of a house file; lamps, keys and values of one [[lamps]]; remark, a comment beside its first key.
    Method: edited in place with comments kept, read back and compared, then replaced in one step.
    Errors: FileProblem where the file cannot be read, edited or written; it is then as it was.
    """
    _replace(path, with_lamps(read_text(path), path, lamps, remark))


def with_lamps(text: str, path: Path, lamps: Mapping[str, Any], remark: str) -> str:
    """The text of a house file with the lamps over one bed, in place of those it had over that bed.

    Parameters: text; path, of the file it stands in; lamps and remark, as ``keep_lamps``.
    Errors: FileProblem where it cannot be edited, or would then say anything else of the house too.
    """
    file = str(path)
    return _changed(
        text,
        path,
        lambda old: _edited(old, file, lambda document: _put_lamps(document, lamps, remark), "lamps", BY_HAND),
        lambda house: replace(house, lamps=(), assumptions=()),
        "lamps",
        BY_HAND,
    )


def _put_lamps(document: tomlkit.TOMLDocument, lamps: Mapping[str, Any], remark: str) -> None:
    hung: Any = document.get("lamps")
    if hung is None:
        hung = tomlkit.aot()
        document.add(tomlkit.nl())
        document.append("lamps", hung)
    table: Any = next((one for one in hung if one.get("bed") == lamps["bed"]), None)
    after: list[Any] = []
    if table is None:
        table = tomlkit.table()
        hung.append(table)
        table = hung[-1]
    else:
        after = trailing(table)
        for key in [key for key in table if key not in lamps]:
            table.remove(key)
    for key, value in lamps.items():
        table[key] = tomlkit.item(value)
    table[next(iter(lamps))].comment(remark)
    table.value.body.extend(after)


def _edit_lessons(path: Path, edit: Edit) -> None:
    do = "Edit [learned] by hand."
    _rewrite(
        path,
        lambda text: _edited(text, str(path), edit, "learned", do).rstrip("\n") + "\n",
        lambda house: replace(house, lessons=Lessons()),
        "learned",
        do,
    )


def _rewrite(path: Path, changed: Callable[[str], str], rest: Callable[[House], House], key: str, do: str) -> None:
    """Put a changed text in a house file's place, if the rest of the house is what it was."""
    _replace(path, _changed(read_text(path), path, changed, rest, key, do))


def _changed(
    text: str, path: Path, changed: Callable[[str], str], rest: Callable[[House], House], key: str, do: str
) -> str:
    """A changed text of a house file, if the rest of the house is what it was."""
    before = house_from_text(text, str(path), path.parent)
    new = changed(text)
    after = house_from_text(new, str(path), path.parent)
    if rest(before) != rest(after):
        raise FileProblem([Problem(str(path), key, "a file whose tables cannot be edited safely", "", do)])
    return new


def _replace(path: Path, new: str) -> None:
    """Put a text in a house file's place, line ends as they were."""
    ends = path.read_bytes().count(b"\r\n") > 0
    write_text(path, new.replace("\n", "\r\n") if ends else new, force=True)


def _edited(text: str, file: str, edit: Edit, key: str, do: str) -> str:
    """The text of a house file after an edit that keeps its comments."""
    try:
        document = tomlkit.parse(text)
        edit(document)
        return tomlkit.dumps(document)
    except (ParseError, TOMLKitError, IndexError) as error:
        raise FileProblem([Problem(file, key, f"a file that cannot be edited ({error})", "", do)]) from None


def _put_lessons(document: tomlkit.TOMLDocument, lessons: Lessons) -> None:
    table = tomlkit.table()
    if lessons.kept is not None:
        table.add("kept", lessons.kept)
    if lessons.since is not None:
        table.add("from", lessons.since)
    _put_factors(table, lessons.growth, lessons.weight)
    crops = tomlkit.table(is_super_table=True)
    for name in sorted({*lessons.growth_of, *lessons.weight_of}):
        own = tomlkit.table()
        _put_factors(own, lessons.growth_of.get(name), lessons.weight_of.get(name))
        crops.add(name, own)
    if crops:
        table.add("crop", crops)
    if "learned" in document:
        document["learned"] = table
    else:
        document.add(tomlkit.nl())
        document.append("learned", table)


def _put_factors(table: Table, growth: Learned | None, weight: Learned | None) -> None:
    for key, rows, found in (("growth", "sowings", growth), ("yield", "weighings", weight)):
        if found is not None:
            table.add(rows, found.rows_count)
            table.add(key, [round(part, 4) for part in (found.value_factor, found.low_factor, found.high_factor)])


def _drop_lessons(document: tomlkit.TOMLDocument, crop: str, file: str) -> None:
    learned: Any = document.get("learned")
    crops: Any = learned.get("crop", {}) if isinstance(learned, Mapping) else {}
    if crop == "all" and isinstance(learned, Mapping):
        since = learned.get("from")
        document.remove("learned")
        if since is not None:
            table = tomlkit.table()
            table.add("from", since)
            document.append("learned", table)
    elif crop in crops:
        crops.remove(crop)
        if not crops:
            learned.remove("crop")
    else:
        allowed = f"all, or one of {', '.join(crops)}" if crops else "a house file with something learned in it"
        raise FileProblem([Problem(file, "--forget", repr(crop), allowed, "")])


def _rest(house: House) -> House:
    """House without what measured values may change."""
    plain = tuple(replace(bed, day_degc=None, night_degc=None) for bed in house.beds)
    return replace(
        house,
        light_factor={},
        calibration_note="",
        air=type(house.air)(),
        draughts=type(house.draughts)(),
        beds=plain,
        assumptions=(),
        path="",
    )


def changed_text(text: str, file: str, changes: Sequence[Change]) -> str:
    """Return the text of a house file with changes made; file is the name shown in problems.

    Errors: FileProblem where the text is no TOML or the place for a change is taken by something else.
    """

    def edit(document: tomlkit.TOMLDocument) -> None:
        for change in changes:
            _apply(document, change)

    return _edited(text, file, edit, "", BY_HAND)


def _apply(document: tomlkit.TOMLDocument, change: Change) -> None:
    table = _table(document, change)
    _retire(table, change)
    after = trailing(table)
    for key, value in change.values.items():
        item: Any = tomlkit.item(value)
        if isinstance(value, dict):
            item = tomlkit.inline_table()
            item.update(value)
        table[key] = item
        if change.remark and key == next(iter(change.values)):
            table[key].comment(change.remark)
    table.value.body.extend(after)


def trailing(table: Any) -> list[Any]:
    """Take off blank lines and comments at a table's end, which belong to what follows; new keys go before them."""
    body = table.value.body
    taken: list[Any] = []
    while body and body[-1][0] is None:
        taken.insert(0, body.pop())
    return taken


def _retire(table: Any, change: Change) -> None:
    """Turn a heater's set point into a comment where the warmth itself is now known; a file may not hold both."""
    for known, wished in INSTEAD.items():
        if known in change.values and wished in table:
            body = table.value.body
            place = next(i for i, (key, _) in enumerate(body) if key is not None and key.key == wished)
            item = table[wished]
            old = f"{wished} = {item.as_string()} {item.trivia.comment}".rstrip()
            table.remove(wished)
            body[place] = (None, tomlkit.comment(f"{old}  (replaced by {known})"))


def _table(document: tomlkit.TOMLDocument, change: Change) -> Any:
    if change.table == "bed":
        beds = document["bed"]
        if not isinstance(beds, AoT) or change.bed_index is None:
            raise IndexError("its beds are not written as [[bed]]")
        return beds[change.bed_index]
    if change.table not in document:
        document.add(tomlkit.nl())
        document.append(change.table, tomlkit.table())
    found = document[change.table]
    return found if isinstance(found, Table) else document[change.table]
