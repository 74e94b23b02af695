"""The pages that must keep step with the code."""

from __future__ import annotations

import re
from pathlib import Path

from tenhour.units import SUFFIXES

ROOT = Path(__file__).parents[2]


def test_every_unit_ending_is_explained() -> None:
    page = (ROOT / "docs" / "units.md").read_text("utf-8")
    table = page.split("## Endings")[1].split("## Words")[0]
    explained = set(re.findall(r"`([a-z0-9_]+)`", table))
    assert explained == set(SUFFIXES)


def test_every_layer_has_a_method_page() -> None:
    pages = {path.stem for path in (ROOT / "docs" / "method").glob("*.md")}
    assert pages >= {"sun", "sky", "cover", "house", "growth", "air", "sowing", "lamps", "stretch", "calibration"}
