"""One house-year for many commands: what they do with it is tested, and tracing it again would only take time."""

from __future__ import annotations

import hashlib
import pickle
from collections import OrderedDict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pytest

    from tenhour.model.house import House
    from tenhour.year.sunlight import Sources
    from tenhour.year.world import World

KEPT: OrderedDict[tuple[str, str], World] = OrderedDict()
MOST = 12


def build_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let commands run one after another share a house-year, for it is the same house in most of them."""
    from tenhour.year import world, year

    real = world.build

    def build(house: House, sources: Sources) -> World:
        key = repr(house), _digest(sources.weather)
        if key not in KEPT:
            KEPT[key] = real(house, sources)
        KEPT.move_to_end(key)
        while len(KEPT) > MOST:
            KEPT.popitem(last=False)
        return KEPT[key]

    monkeypatch.setattr(year, "build", build)


def _digest(weather: object) -> str:
    return hashlib.sha256(pickle.dumps(weather)).hexdigest()
