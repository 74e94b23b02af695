"""Any answer as JSON, from what its fields say of themselves."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from tenhour import __version__
from tenhour.model.fields import Shape, entries
from tenhour.model.results import Answer


def answer_json(answer: Answer) -> dict[str, Any]:
    """Answer as the JSON object of the contract: SI units, ISO dates, nothing that is not JSON."""
    return {"tenhour": __version__, "command": answer.COMMAND, **record_json(answer)}


def json_text(answer: Answer) -> str:
    """The same as text; what is no number never leaves the program."""
    return json.dumps(answer_json(answer), ensure_ascii=False, indent=1, allow_nan=False)


def record_json(record: object) -> dict[str, Any]:
    """One object of an answer, its fields by their names in JSON."""
    out: dict[str, Any] = {}
    for entry in entries(type(record)):
        value = value_json(entry.of(record), entry.shape)
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
