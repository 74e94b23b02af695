"""The packaged table of signs a grower can see, of checks that tell causes apart, and of troubles beside stretching."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from functools import lru_cache
from types import MappingProxyType
from typing import Any, Final

from tenhour.files.textfile import packaged_toml
from tenhour.model.diagnosis import Check, Sign, Trouble
from tenhour.words.text import Sentence

NEAR: Final = 0.7
"""Likeness from which another word is offered. Judgement."""


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
    healthy, also, unless = row.get("healthy", False), tuple(row.get("also", ())), row.get("unless", "")
    return Sign(row["key"], row["says"], raises, lowers, means, healthy, also, unless)


def sign_of(word: str) -> Sign | None:
    """The sign that a grower's word means: its key, or another word for it; None where it means none."""
    plain = _plain(word)
    signs, _ = load_signs()
    return next((sign for sign in signs.values() if plain in map(_plain, (sign.key, *sign.also))), None)


def near_signs(word: str) -> str:
    """What to write instead of a word that means no sign: the nearest one, or the words most often needed."""
    signs, _ = load_signs()
    words = {_plain(name): sign.key for sign in signs.values() for name in (sign.key, *sign.also)}
    close = get_close_matches(_plain(word), list(words), n=1, cutoff=NEAR)
    return f"Did you mean {words[close[0]]}?" if close else "tenhour why CROP --looks list tells them all."


def _plain(word: str) -> str:
    return " ".join(word.lower().replace("-", " ").replace("_", " ").split())


@lru_cache(maxsize=1)
def load_troubles() -> Mapping[str, Trouble]:
    """Return troubles that are no stretching, by key."""
    rows = _table()["trouble"]
    return MappingProxyType(
        {row["key"]: Trouble(row["key"], row["says"], Sentence(row["check"])(), Sentence(row["do"])()) for row in rows}
    )
