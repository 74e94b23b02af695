"""One house-year and what grows in it for many commands: tracing and growing it again would only take time."""

from __future__ import annotations

import hashlib
import pickle
from collections import OrderedDict
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pytest

    from tenhour.model.crop import Crop
    from tenhour.model.house import House
    from tenhour.year.crops.grown import Table
    from tenhour.year.outside.sunlight import Sources
    from tenhour.year.world import World

KEPT: OrderedDict[tuple[str, str], World] = OrderedDict()
GROWN: list[tuple[World, tuple[Crop, ...], int, Table]] = []
MOST = 8
MOST_GROWN = 3


def build_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let commands run one after another share a house-year, for it is the same house in most of them."""
    from tenhour.year import world, year
    from tenhour.year.crops import grown
    from tenhour.year.outside.sunlight import SEED

    real, grow = world.build, grown.table_of
    if getattr(vars(year)["build"], "__module__", "") == __name__:  # done already
        return

    def build(house: House, sources: Sources) -> World:
        key = repr(house), _digest(sources.weather)
        if key not in KEPT:
            KEPT[key] = real(house, sources)
        KEPT.move_to_end(key)
        while len(KEPT) > MOST:
            KEPT.popitem(last=False)
        return KEPT[key]

    def table_of(world: World, crops: Sequence[Crop], *, seed: int = SEED) -> Table:
        for own, of, under, table in GROWN:
            if own is world and under == seed and of == tuple(crops):
                return table
        table = grow(world, crops, seed=seed)
        GROWN[:] = [*GROWN[-(MOST_GROWN - 1) :], (world, tuple(crops), seed, table)]
        return table

    monkeypatch.setattr(year, "build", build)
    monkeypatch.setattr(grown, "table_of", table_of)


def _digest(weather: object) -> str:
    return hashlib.sha256(pickle.dumps(weather)).hexdigest()
