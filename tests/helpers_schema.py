"""Hold an answer against its published JSON Schema."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

SCHEMAS = Path(__file__).parents[1] / "docs" / "schema"


def schema_faults(name: str, answer: dict[str, Any]) -> list[str]:
    """Return every place where an answer departs from the schema of that name."""
    schema = json.loads((SCHEMAS / f"{name}.json").read_text("utf-8"))
    found = Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER).iter_errors(answer)
    return [f"{error.json_path}: {error.message[:120]}" for error in found]
