"""Any answer as JSON, from what its fields say of themselves."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from tenhour import __version__
from tenhour.model.fields import Shape, entries
from tenhour.model.results import Answer


def answer_json(answer: Answer) -> dict[str, Any]:
    """Answer as the JSON object of the contract: SI units, ISO dates, nothing that is not JSON."""
    return {"tenhour": __version__, "command": answer.COMMAND, **record_json(answer)}


def json_text(answer: Answer) -> str:
    """The same as text; what is no number never leaves the program."""
    return "".join(json_pieces(answer))


def json_pieces(answer: Answer) -> Iterator[str]:
    """That text piece by piece, each record of a list when its turn comes: of many beds a whole one is long."""
    whole = {"tenhour": __version__, "command": answer.COMMAND, **_fields(answer)}
    for number, (key, value) in enumerate(whole.items()):
        yield f"{',' if number else '{'}\n {_text(key, 0)}: "
        if not isinstance(value, _Records):
            yield _text(value, 1)
            continue
        for place, record in enumerate(value.records):
            yield f"{',' if place else '['}\n  " + _text(value_json(record, value.shape), 2)
        yield "\n ]"
    yield "\n}"


def _text(value: Any, depth: int) -> str:
    text = json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False)
    return text.replace("\n", "\n" + " " * depth)  # no string of JSON holds a line's end


class _Records(NamedTuple):
    """Records of a list that are not written yet."""

    records: Sequence[Any]
    shape: Shape


def _fields(answer: Answer) -> dict[str, Any]:
    """Fields of an answer, its lists of records as they are."""
    return record_json(answer, lambda value, shape: _Records(value, shape.item) if value else [])


def record_json(record: object, listed: Callable[[Sequence[Any], Shape], Any] | None = None) -> dict[str, Any]:
    """One object of an answer, its fields by their names in JSON.

    Parameters: record; listed, how a list of records is written, if not as JSON has it.
    """
    out: dict[str, Any] = {}
    for entry in entries(type(record)):
        value, shape = entry.of(record), entry.shape
        later = listed is not None and entry.about.inside is None and shape.base == "list" and value is not None
        if listed is not None and later and shape.item.base == "record":
            value = listed(value, shape)
        else:
            value = value_json(value, shape)
        if entry.about.optional and not value:
            continue
        place = out if entry.about.inside is None else out.setdefault(entry.about.inside, {})
        place[entry.name] = value
    return out


def value_json(value: Any, shape: Shape) -> Any:
    """One value as JSON has it; NaN, infinity and what is empty become null where the field says so."""
    if value is None or (shape.about.empty_null and not value):
        return None
    match shape.base:
        case "number":
            return rounded(value, shape.about.digits)
        case "date":
            return value.isoformat()
        case "record":
            return record_json(value)
        case "list":
            return [value_json(part, shape.item) for part in value]
        case "parts":
            return _parts(value, shape)
        case "mapping":
            return {key: value_json(part, shape.item) for key, part in value.items()}
        case _:
            return value


def _parts(value: Sequence[Any], shape: Shape) -> Any:
    written = [value_json(part, own) for part, own in zip(value, shape.parts, strict=True)]
    return dict(zip(shape.about.keys, written, strict=True)) if shape.about.keys else written


def rounded(value: float | None, digits: int | None) -> float | None:
    """Round for output; what is missing or no number becomes null, minus zero becomes zero."""
    if value is None or not math.isfinite(value):
        return None
    return float(value) if digits is None else round(float(value), digits) + 0.0
