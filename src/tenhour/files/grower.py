"""The packaged lines that every grower is told."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib import resources

from tenhour.model.grower import GrowerLine
from tenhour.words.text import Sentence


@lru_cache(maxsize=1)
def load_grower_lines() -> tuple[GrowerLine, ...]:
    """Return all lines in the order of the table."""
    text = (resources.files("tenhour") / "_data" / "grower.toml").read_text(encoding="utf-8")
    return tuple(
        GrowerLine(
            row["key"],
            Sentence(row["text"])(),
            tuple(row["answers"]),
            months=tuple(row.get("months", ())),
            ways=tuple(row.get("ways", ())),
            kinds=tuple(row.get("kinds", ())),
            night_below_degc=row.get("night_below_degc"),
            dli_below_mol_m2_d=row.get("dli_below_mol_m2_d"),
            harvest=row.get("harvest", False),
            raised=row.get("raised", False),
        )
        for row in tomllib.loads(text)["line"]
    )
