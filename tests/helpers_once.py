"""One house-year and what grows in it for many commands: tracing and growing it again would only take time.

What is shared is known by everything it depends on: a house-year by its house and weather; light by the room that is
traced; growth by crops, climate, draws and sowings; the winters of a house by the house and its light. So houses that
differ in lamps, heaters or wishes share what does not differ. No test changes a constant of these rooms.
"""

from __future__ import annotations

import hashlib
import pickle
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    import pytest

    from tenhour.model.crop import Crop
    from tenhour.model.house import House
    from tenhour.model.lamp import Lamp, LampRequest
    from tenhour.model.lamp_answer import LampAnswer
    from tenhour.year.crops.grown import Table
    from tenhour.year.feed.asked import Asked
    from tenhour.year.outside.sunlight import Sources
    from tenhour.year.warm.warmth import IndoorAir
    from tenhour.year.world import Warmth, World
    from tenhour.year.year import Year

K = TypeVar("K")
T = TypeVar("T")

KEPT: OrderedDict[tuple[str, str], World] = OrderedDict()
GROWN: list[tuple[World, tuple[Crop, ...], int, Table]] = []
PARTS: dict[str, OrderedDict[str, Any]] = {}
MOST = 8
MOST_GROWN = 3
MOST_PARTS = {"light": 10, "growth": 40, "air": 24, "lamps": 24, "plans": 24}
"""Some 12, 5 and 1 MB each; lamps next to nothing."""


def build_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let commands run one after another share a house-year, for it is the same house in most of them."""
    from tenhour.growth import run
    from tenhour.house import bedlight
    from tenhour.year import world, year
    from tenhour.year.crops import grown
    from tenhour.year.outside.sunlight import SEED

    real, grow, warm = world.build, grown.table_of, world.Warmth._air
    size, plan = year.Year._lamps_for, year.Year.lamps
    if getattr(vars(year)["build"], "__module__", "") == __name__:  # done already
        return

    def build(house: House, sources: Sources) -> World:
        return _once(KEPT, (repr(house), _digest(sources.weather)), lambda: real(house, sources), MOST)

    def table_of(world: World, crops: Sequence[Crop], *, seed: int = SEED) -> Table:
        for own, of, under, table in GROWN:
            if own is world and under == seed and of == tuple(crops):
                return table
        table = grow(world, crops, seed=seed)
        GROWN[:] = [*GROWN[-(MOST_GROWN - 1) :], (world, tuple(crops), seed, table)]
        return table

    def air(own: Warmth) -> IndoorAir:
        of = _itself(own.house), id(own.found), own.lamps_w, own.sources.weather
        found, _ = _part("air", of, lambda: (warm(own), own.found))
        return found

    def lamps_for(own: Year, asked: Asked, lamp: Lamp, request: LampRequest) -> Asked:
        """Lamps that a plan of a household may try: sized once for a bed, whatever else is asked."""
        weather, lit = (own.sources.weather, own.sources.since), size(own, asked, lamp, request)
        of = _itself(own.house), weather, own.crops, asked.household.likes, asked.today, lamp, request
        return replace(lit, hung=lambda bed: _part("lamps", (*of, bed), lambda: lit.hung(bed)))

    def lamps(
        own: Year, bed: str, crops: Sequence[Crop], lamp: Lamp, request: LampRequest, **more: object
    ) -> LampAnswer:
        """One plan for the text and the JSON of a command, and for the page."""
        weather = own.sources.weather, own.sources.since
        of = repr(own.house), weather, bed, tuple(crops), lamp, request, repr(sorted(more.items())), date.today()
        return _part("plans", of, lambda: plan(own, bed, crops, lamp, request, **more))

    monkeypatch.setattr(year, "build", build)
    monkeypatch.setattr(year.Year, "lamps", lamps)
    monkeypatch.setattr(grown, "table_of", table_of)
    monkeypatch.setattr(world.Warmth, "_air", air)
    monkeypatch.setattr(year.Year, "_lamps_for", lamps_for)
    for kind, home, name in (("light", bedlight, "daylight"), ("growth", run, "_run_block")):
        monkeypatch.setattr(home, name, _kept(kind, getattr(home, name)))


def _itself(house: House) -> str:
    """What stands there, whatever it is called and whoever eats from it."""
    return repr(replace(house, path="", name="", household=None))


def _kept(kind: str, make: Callable[..., T]) -> Callable[..., T]:
    """A function whose results are kept by what it is given."""
    return lambda *given: _part(kind, given, lambda: make(*given))


def _part(kind: str, given: object, make: Callable[[], T]) -> T:
    found: T = _once(PARTS.setdefault(kind, OrderedDict()), _digest(given), make, MOST_PARTS[kind])
    return found


def _once(kept: OrderedDict[K, T], key: K, make: Callable[[], T], most: int) -> T:
    if key not in kept:
        kept[key] = make()
    kept.move_to_end(key)
    while len(kept) > most:
        kept.popitem(last=False)
    return kept[key]


def _digest(given: object) -> str:
    return hashlib.sha256(pickle.dumps(given)).hexdigest()
