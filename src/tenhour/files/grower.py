"""The packaged lines that every grower is told."""

from __future__ import annotations

from functools import lru_cache

from tenhour.files.textfile import packaged_toml
from tenhour.model.grower import GrowerLine
from tenhour.words.text import Sentence


@lru_cache(maxsize=1)
def load_grower_lines() -> tuple[GrowerLine, ...]:
    """Return all lines in the order of the table."""
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
        for row in packaged_toml("grower.toml")["line"]
    )
