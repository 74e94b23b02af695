"""Write docs/schema/*.json (JSON Schema, draft 2020-12) from the shapes of the answers; ``--check`` only compares.

Run: python scripts/build_schemas.py [--check]
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import json_shapes as shapes
import json_shapes_more as more
from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema

OUT = Path(__file__).parents[1] / "docs" / "schema"
ANSWERS: dict[str, Any] = {
    "light": shapes.LightJson,
    "sow": shapes.SowJson,
    "season": shapes.SeasonJson,
    "lamps": more.LampsJson,
    "check": more.CheckJson,
    "crops": more.CropsJson,
    "crop": more.CropJson,
    "weather": more.WeatherJson,
    "read": more.ReadJson,
    "why": more.WhyJson,
    "log": more.LogJson,
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


def described(node: Any) -> None:
    """Say the unit of every number whose name carries one, and drop generated titles."""
    if isinstance(node, list):
        for part in node:
            described(part)
    if not isinstance(node, dict):
        return
    if isinstance(node.get("title"), str):
        del node["title"]
    for name, part in node.get("properties", {}).items():
        unit = next((words for end, words in UNITS if name.endswith(end)), None)
        if unit and "description" not in part:
            part["description"] = unit
    for part in node.values():
        described(part)


def schema_text(name: str) -> str:
    """Return one schema as the text of its file."""
    schema = TypeAdapter(ANSWERS[name]).json_schema()
    described(schema)
    head = {
        "$schema": GenerateJsonSchema.schema_dialect,
        "title": f"Answer of tenhour {'crops NAME' if name == 'crop' else name} --json",
    }
    return json.dumps({**head, **schema}, indent=1, ensure_ascii=False) + "\n"


def main() -> int:
    wrong = []
    for name in ANSWERS:
        path, text = OUT / f"{name}.json", schema_text(name)
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
