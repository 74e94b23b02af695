"""The packaged table of signs a grower can see, of checks that tell causes apart, and of troubles beside stretching."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from tenhour.files.textfile import packaged_toml
from tenhour.model.diagnosis import Check, Sign, Trouble
from tenhour.words.text import Sentence


@lru_cache(maxsize=1)
def _table() -> Mapping[str, list[dict[str, Any]]]:
    return packaged_toml("signs.toml")


@lru_cache(maxsize=1)
def load_signs() -> tuple[Mapping[str, Sign], Mapping[str, Check]]:
    """Return signs by key and checks by cause."""
    raw = _table()
    signs = {row["key"]: _sign(row) for row in raw["sign"]}
    checks = {row["cause"]: Check(row["cause"], row["says"], Sentence(row["check"])()) for row in raw["cause"]}
    return MappingProxyType(signs), MappingProxyType(checks)


def _sign(row: Mapping[str, Any]) -> Sign:
    raises, lowers, means = (tuple(row.get(name, ())) for name in ("raises", "lowers", "means"))
    return Sign(row["key"], row["says"], raises, lowers, means, row.get("healthy", False))


@lru_cache(maxsize=1)
def load_troubles() -> Mapping[str, Trouble]:
    """Return troubles that are no stretching, by key."""
    rows = _table()["trouble"]
    return MappingProxyType(
        {row["key"]: Trouble(row["key"], row["says"], Sentence(row["check"])(), Sentence(row["do"])()) for row in rows}
    )
