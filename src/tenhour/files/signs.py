"""The packaged table of signs a grower can see, and of checks that tell causes apart."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import lru_cache
from importlib import resources
from types import MappingProxyType

from tenhour.model.diagnosis import Check, Sign
from tenhour.words.text import Sentence


@lru_cache(maxsize=1)
def load_signs() -> tuple[Mapping[str, Sign], Mapping[str, Check]]:
    """Return signs by key and checks by cause."""
    raw = tomllib.loads((resources.files("tenhour") / "_data" / "signs.toml").read_text(encoding="utf-8"))
    signs = {
        row["key"]: Sign(row["key"], row["says"], tuple(row.get("raises", ())), tuple(row.get("lowers", ())))
        for row in raw["sign"]
    }
    checks = {row["cause"]: Check(row["cause"], row["says"], Sentence(row["check"])()) for row in raw["cause"]}
    return MappingProxyType(signs), MappingProxyType(checks)
