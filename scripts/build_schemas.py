"""Write docs/schema/*.json (JSON Schema, draft 2020-12) from the fields of the answers; ``--check`` only compares.

Beside them it writes docs/answers.md, the same for people, and answer_fields.py, so that vulture knows which fields
are read by walking over them.

Run: python scripts/build_schemas.py [--check]
"""

from __future__ import annotations

import ast
import inspect
import json
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from tenhour.model.atlas import AtlasAnswer
from tenhour.model.crop_answer import CropAnswer, CropsAnswer
from tenhour.model.described import Described
from tenhour.model.diagnosis import WhyAnswer
from tenhour.model.feed import FeedAnswer
from tenhour.model.fields import Entry, Shape, entries
from tenhour.model.heat_answer import HeatAnswer
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.learn_answer import LearnAnswer
from tenhour.model.log import LogAnswer
from tenhour.model.readings import ReadAnswer
from tenhour.model.results import Answer, Basis, LightAnswer, SowAnswer
from tenhour.model.season import SeasonAnswer
from tenhour.model.weather import WeatherAnswer
from tenhour.model.week import WeekAnswer
from tenhour.report.frames import empty_frames

OUT = Path(__file__).parents[1] / "docs" / "schema"
PAGE = OUT.with_name("answers.md")
NAMES = Path(__file__).with_name("answer_fields.py")
ANSWERS: dict[str, type[Answer]] = {
    "week": WeekAnswer,
    "light": LightAnswer,
    "sow": SowAnswer,
    "season": SeasonAnswer,
    "lamps": LampAnswer,
    "heat": HeatAnswer,
    "check": Described,
    "crops": CropsAnswer,
    "crop": CropAnswer,
    "weather": WeatherAnswer,
    "read": ReadAnswer,
    "why": WhyAnswer,
    "learn": LearnAnswer,
    "log": LogAnswer,
    "feed": FeedAnswer,
    "atlas": AtlasAnswer,
}
UNITS = (
    ("_mol_m2_d", "mol per square metre and day"),
    ("_umol_m2_s", "micromole per square metre and second"),
    ("_umol_s", "micromole per second"),
    ("_w_m2", "watt per square metre"),
    ("_kg_m2", "kilogram per square metre"),
    ("_g_m2_week", "gram per square metre and week"),
    ("_g_m2_d", "gram per square metre and day"),
    ("_degc", "degree Celsius"),
    ("_deg", "degree of arc"),
    ("_kwh", "kilowatt-hour"),
    ("_m2", "square metre"),
    ("_m", "metre"),
    ("_h", "hour"),
    ("_w", "watt"),
    ("_a", "ampere"),
    ("_k", "kelvin"),
    ("_g", "gram"),
    ("_cost_d", "day"),
    ("_frac", "share, 0 to 1"),
    ("_share", "share, 0 to 1"),
    ("_ratio", "ratio, 0 or more"),
    ("_score", "score, 0 to 100"),
)
TYPES = {"text": "string", "whole": "integer", "number": "number", "flag": "boolean", "anything": None}


@cache
def meanings(record: type[Any]) -> dict[str, str]:
    """What is written under each field of a class, and first in each of its properties."""
    found: dict[str, str] = {}
    for cls in reversed(record.__mro__[:-1]):
        body = ast.parse(inspect.getsource(cls)).body[0].body  # type: ignore[attr-defined]
        for part, after in zip(body, [*body[1:], None], strict=True):
            if isinstance(part, ast.FunctionDef):
                found[part.name] = (ast.get_docstring(part) or "").splitlines()[0]
            elif isinstance(part, ast.AnnAssign) and isinstance(after, ast.Expr):
                found[ast.unparse(part.target)] = " ".join(str(ast.literal_eval(after.value)).split())
    return found


class Definitions:
    """The kinds of object one schema names, each once."""

    def __init__(self) -> None:
        self.made: dict[str, dict[str, Any]] = {}

    def reference(self, record: type[Any]) -> dict[str, Any]:
        if record.__name__ not in self.made:
            self.made[record.__name__] = {}
            self.made[record.__name__] = self.object_of(record)
        return {"$ref": f"#/$defs/{record.__name__}"}

    def object_of(self, record: type[Any], head: dict[str, Any] | None = None) -> dict[str, Any]:
        properties: dict[str, Any] = dict(head or {})
        required = [*properties]
        for entry in entries(record):
            inside = entry.about.inside
            own, needed = (properties, required) if inside is None else _inner(properties, required, inside)
            own[entry.name] = self.described(entry)
            if not entry.about.optional:
                needed.append(entry.name)
        return {"additionalProperties": False, "properties": properties, "required": required, "type": "object"}

    def described(self, entry: Entry) -> dict[str, Any]:
        unit = next((words for end, words in UNITS if entry.name.endswith(end)), "")
        meaning = meanings(entry.record).get(entry.attribute, "")
        words = " ".join(part for part in (meaning, f"[{unit}]" if unit and meaning else unit) if part)
        return {**self.of(entry.shape), **({"description": words} if words else {})}

    def of(self, shape: Shape) -> dict[str, Any]:
        made = self.present(shape)
        if (shape.null and not shape.about.optional) or shape.about.nan or shape.about.empty_null:
            return {"anyOf": [made, {"type": "null"}]}
        return made

    def present(self, shape: Shape) -> dict[str, Any]:
        about = shape.about
        match shape.base:
            case "record":
                assert shape.record is not None
                return self.reference(shape.record)
            case "list":
                size = {} if about.size is None else {"maxItems": about.size, "minItems": about.size}
                return {"items": self.of(shape.item), **size, "type": "array"}
            case "parts":
                return self.parts(shape)
            case "mapping":
                names = shape.parts[1].choices
                limit = {"propertyNames": {"enum": list(names)}} if names else {}
                values = {} if shape.item.base == "anything" else {"additionalProperties": self.of(shape.item)}
                return {**(values or {"additionalProperties": True}), **limit, "type": "object"}
            case "choice":
                return {"enum": list(shape.choices), "type": "string"}
            case "date":
                return {"format": "date", "type": "string"}
        bounds = {"maximum": about.most, "minimum": about.least, "pattern": about.pattern, "type": TYPES[shape.base]}
        return {key: value for key, value in bounds.items() if value is not None}

    def parts(self, shape: Shape) -> dict[str, Any]:
        own = [self.of(part) for part in shape.parts]
        if not shape.about.keys:
            return {"items": own[0], "maxItems": len(own), "minItems": len(own), "type": "array"}
        keys = shape.about.keys
        named = dict(zip(keys, own, strict=True))
        return {"additionalProperties": False, "properties": named, "required": list(keys), "type": "object"}


def _inner(properties: dict[str, Any], required: list[str], name: str) -> tuple[dict[str, Any], list[str]]:
    """The object within an object that some fields lie in."""
    if name not in properties:
        properties[name] = {"additionalProperties": False, "properties": {}, "required": [], "type": "object"}
        required.append(name)
    return properties[name]["properties"], properties[name]["required"]


def schema_text(name: str) -> str:
    """Return one schema as the text of its file."""
    definitions = Definitions()
    common = {"tenhour": {"description": "version of the program", "type": "string"}, "command": {"type": "string"}}
    schema = definitions.object_of(ANSWERS[name], common)
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Answer of tenhour {'crops NAME' if name == 'crop' else name} --json",
        **({"$defs": dict(sorted(definitions.made.items()))} if definitions.made else {}),
    }
    return json.dumps({**head, **schema}, indent=1, ensure_ascii=False) + "\n"


def names_text() -> str:
    """Return the names of all fields that are written, as expressions that read them."""
    names: set[str] = set()
    waiting: list[type[Any]] = list(ANSWERS.values())
    while waiting:
        for entry in entries(waiting.pop()):
            names.add(entry.attribute)
            waiting += _records(entry.shape)
    head = '"""Written by build_schemas.py for vulture: the fields that answers write by walking over them."""\n\n'
    lines = "".join(f"_.{name}\n" for name in sorted(names))
    return f"{head}# ruff: noqa: B018, F821\n{lines}"


ANSWERS_INTRO = """# What answers hold

Made from the fields of the answers by `scripts/build_schemas.py`. Keys are those of `--json`, with `[]` for each entry
of a list; numbers are SI and end in their unit ([units.md](units.md)); the schemas in [schema](schema) say it to
programs. Under each answer stand its data frames, as [Python](python.md) hands them out, with their columns.
Every answer also has `tenhour`, `command`, `inputs`, `assumptions`, `warnings` and `cautions`.
"""


def answers_text() -> str:
    """Return the page of all keys and columns."""
    parts = [ANSWERS_INTRO]
    for name, kind in ANSWERS.items():
        parts.append(f"## {'crops NAME' if name == 'crop' else name}\n\n| Key | Holds | Meaning |\n|---|---|---|")
        parts += [f"| `{key}` | {holds} | {meaning} |" for key, holds, meaning in _keys(kind, "")]
        frames = [f"- `{key}`: {', '.join(map(str, frame.columns))}" for key, frame in empty_frames(kind).items()]
        parts.append("\n".join(["\nData frames:\n", *frames]) + "\n" if frames else "")
    return "\n".join(parts).rstrip() + "\n"


def _keys(record: type[Any], before: str) -> Iterator[tuple[str, str, str]]:
    for entry in entries(record):
        if entry.record is Basis:
            continue
        key = before + (f"{entry.about.inside}." if entry.about.inside else "") + entry.name
        shape = entry.shape
        while shape.base == "list":
            key, shape = f"{key}[]", shape.item
        yield key, _holds(entry, shape), _meaning(entry, shape)
        if shape.record is not None:
            yield from _keys(shape.record, f"{key}.")


def _meaning(entry: Entry, shape: Shape) -> str:
    """What a field says of itself, else what its records are, else the words over its column."""
    kind = (inspect.getdoc(shape.record) or "").splitlines()[0] if shape.record is not None else ""
    return meanings(entry.record).get(entry.attribute) or kind or entry.about.heading or ""


def _holds(entry: Entry, shape: Shape) -> str:
    unit = next((words for end, words in UNITS if entry.name.endswith(end)), "")
    plain = {"text": "text", "whole": "whole number", "number": "number", "flag": "true or false", "date": "date"}
    words = unit or {**plain, "choice": ", ".join(shape.choices)}.get(shape.base, "")
    null = entry.shape.null or entry.about.nan or entry.about.empty_null
    return f"{words} or null" if null and words else words


def _records(shape: Shape) -> list[type[Any]]:
    inner = [record for part in shape.parts for record in _records(part)]
    return [*([shape.record] if shape.record is not None else []), *inner]


def main() -> int:
    wrong = []
    texts = {OUT / f"{name}.json": schema_text(name) for name in ANSWERS}
    texts |= {NAMES: names_text(), PAGE: answers_text()}
    for path, text in texts.items():
        if "--check" in sys.argv:
            if not path.exists() or path.read_text("utf-8") != text:
                wrong.append(path.name)
        else:
            OUT.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8")
    stray = {path.name for path in OUT.glob("*.json")} - {f"{name}.json" for name in ANSWERS}
    if wrong or stray:
        print(f"out of step: {sorted({*wrong, *stray})}; run scripts/build_schemas.py")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
