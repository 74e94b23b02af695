"""One house-year and what grows in it for many commands: tracing and growing it again would only take time.

What is shared is known by everything it depends on: a house-year by its house and weather; light by the room that is
traced; growth by crops, climate, draws and sowings; the winters of a house by the house and its light. So houses that
differ in lamps, heaters or wishes share what does not differ: what the program itself keeps in a folder for who asks
for it (``files/kept.py``) is kept here in memory, by the same names.

What took a while is laid in the run's folder too, where its other worker, and this one once it has let go of it, find it.

Within one test file a whole answer is kept too, by the house and all that was asked: a command's text and its JSON tell
one answer. A test that wants it worked out anew says so (:func:`forget`).
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

from helpers_long import LONG

if TYPE_CHECKING:
    import pytest

    from tenhour.house.bedlight import Scene, Solver
    from tenhour.house.outside import Dome, Emitters
    from tenhour.model.crop import Crop
    from tenhour.model.feed import FeedAnswer
    from tenhour.model.house import Bed, House
    from tenhour.model.lamp import Lamp, LampRequest
    from tenhour.model.lamp_answer import LampAnswer
    from tenhour.plan.lamp_hang import Place
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
FEW = 2
MOST_YEARS = 5
MOST_GROWN = 3
MOST_PARTS = {"light": 10, "growth": 16, "answers": 12, "judged": 10, "sky": 10, "sun": 12, "grown": 12, "room": 8,
              "place": 4}  # fmt: skip
"""Some 4, 5, 3, 8, 3, 1, 2 and 8 MB each; what is reckoned for a place of lamps is kept with it."""
MOST = 24
"""Of anything else: a megabyte at most."""
LAID_DOWN = ("room", "light", "air", "growth", "judged", "sky", "grown", "grown-again", "threats", "moved")
WORTH_S = 0.1
"""Processor time from which a value is laid in the folder of the run."""
FOLDER: list[Path] = []
"""The folder that the workers of this run share."""
ANSWERS = ("sow", "week", "season", "heat")
ASKED_IN: list[str] = []
"""The test file whose answers are kept."""


def build_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let commands run one after another share a house-year, for it is the same house in most of them."""
    from tenhour.growth import run
    from tenhour.year import world, year
    from tenhour.year.crops import grown
    from tenhour.year.outside import sunlight
    from tenhour.year.outside.sunlight import SEED

    real, grow, warm = world.build, grown.table_of, world.Warmth._air
    size, plan, household = year.Year._lamps_for, year.Year.lamps, year.Year.feed
    if getattr(vars(year)["build"], "__module__", "") == __name__:  # done already
        return

    def build(house: House, sources: Sources, **ready: bool) -> World:
        of = repr(house) + repr(ready), _digest(sources.weather)
        return _once(KEPT, of, lambda: real(house, sources, **ready), MOST_YEARS)

    def table_of(world: World, crops: Sequence[Crop], *, seed: int = SEED, again: bool = False) -> Table:
        for own, of, under, table in GROWN:
            if own is world and under == seed and of == tuple(crops):
                return table
        table = grow(world, crops, seed=seed, again=again)
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
    monkeypatch.setattr(year.Year, "feed", _fed(household))
    for name in ANSWERS:
        monkeypatch.setattr(year.Year, name, _answered(name, getattr(year.Year, name)))
    monkeypatch.setattr(year.Year, "lamps", lamps)
    monkeypatch.setattr(grown, "table_of", table_of)
    monkeypatch.setattr(world.Warmth, "_air", air)
    monkeypatch.setattr(year.Year, "_lamps_for", lamps_for)
    monkeypatch.setattr(sunlight, "made", keep)
    monkeypatch.setattr(run, "_run_block", _kept("growth", run._run_block))


def trace_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let houses that differ in where they stand, their air or their lamps share the room that light is followed in."""
    from tenhour.house import bedlight
    from tenhour.year.answers import lamps
    from tenhour.year.inside import lit

    trace, place = bedlight.solver, lit.place_of

    def solver(scene: Scene, dome: Dome, beds: Sequence[int] | None = None, around: Emitters | None = None) -> Solver:
        if around is not None:
            return trace(scene, dome, beds, around)
        return _part("room", (scene, dome, beds), lambda: trace(scene, dome, beds))

    def place_of(scene: Scene, bed: Bed) -> Place:
        return _part("place", (scene, bed), lambda: place(scene, bed))

    monkeypatch.setattr(bedlight, "solver", solver)
    for room in (lamps, lit):
        monkeypatch.setattr(room, "place_of", place_of)


def few_winters(monkeypatch: pytest.MonkeyPatch, count: int = FEW) -> None:
    """In the short form: few winters for what heating takes and one for what helps, where a test asks no figure of it."""
    if not LONG:
        monkeypatch.setattr("tenhour.year.answers.heat.WINTERS", count)
        monkeypatch.setattr("tenhour.year.answers.heat.FEW", 1)


def soon_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the short form: half the time for a household's plan, and no longer for each search of it if it is over."""
    from tenhour.year.feed.search import Case

    search = Case.planned
    if not LONG:
        monkeypatch.setattr(Case, "planned", lambda own, seconds_s, told: search(own, seconds_s / 2.0, told))
        monkeypatch.setattr("tenhour.plan.feed.solve.WHOLE_LEAST_S", 0.2)
        monkeypatch.setattr("tenhour.year.feed.search.LEAST_S", 0.2)


def asked_in(file: str) -> None:
    """Forget the answers of another test file, which may have worked under other constants."""
    if [file] != ASKED_IN:
        ASKED_IN[:] = [file]
        forget()


def forget() -> None:
    """Let answers be worked out anew."""
    for kind in ("answers", "plans"):
        PARTS.pop(kind, None)


def _answered(name: str, make: Callable[..., T]) -> Callable[..., T]:
    """A method of the year whose answers are kept by the house, the weather, the crops and all that is asked."""

    def answer(own: Year, *given: object, **named: object) -> T:
        climate = own.sources.weather, own.sources.since, own.sources.grower
        of = name, repr(own.house), climate, own.crops, given, sorted(named.items()), date.today()
        return _part("answers", of, lambda: make(own, *given, **named))

    return answer


def _fed(make: Callable[..., FeedAnswer]) -> Callable[..., FeedAnswer]:
    """The plan of a household, kept like the other answers; how far it is may be told while it is made."""
    from tenhour.year.feed.asked import no_lamp

    def feed(own: Year, asked: Asked, *wanted: object, seconds_s: float = 60.0, progress: object = None) -> FeedAnswer:
        told = replace(asked, hung=no_lamp, bright=no_lamp)
        of = repr(own.house), own.sources.weather, own.sources.since, own.crops, told, wanted, seconds_s, date.today()
        return _part("answers", of, lambda: make(own, asked, *wanted, seconds_s=seconds_s, progress=progress))

    return feed


def keep(kind: str, of: Sequence[object], make: Callable[[], T], types: Sequence[type] = ()) -> T:
    """What was kept of a kind for these things and under the same constants, or what is made now."""
    from tenhour.files.kept import _digest as digest
    from tenhour.house import suntable
    from tenhour.year import world

    if make is world._refuse:  # whether a thing is there hangs on what was asked before: here it never is
        return make()
    under = suntable.sun_nodes.__defaults__, world.FEW_WINTERS
    return _known(kind, digest([*of, under]), make)


def _itself(house: House) -> str:
    """What stands there, whatever it is called and whoever eats from it."""
    return repr(replace(house, path="", name="", household=None))


def _kept(kind: str, make: Callable[..., T]) -> Callable[..., T]:
    """A function whose results are kept by what it is given."""
    return lambda *given: _part(kind, given, lambda: make(*given))


def _part(kind: str, given: object, make: Callable[[], T]) -> T:
    return _known(kind, _digest(given), make)


def _known(kind: str, key: str, make: Callable[[], T]) -> T:
    kept = PARTS.setdefault(kind, OrderedDict())
    lay = kind in LAID_DOWN and FOLDER
    found: T = _once(
        kept, key, (lambda: _laid_down(f"{kind}-{key}", make)) if lay else make, MOST_PARTS.get(kind, MOST)
    )
    return found


def _laid_down(name: str, make: Callable[[], T]) -> T:
    """What lies in the folder of the run by a name, or what is made now and laid there if that takes a while."""
    path = FOLDER[0] / name
    with contextlib.suppress(OSError, EOFError):
        return cast("T", pickle.loads(path.read_bytes()))
    began = time.process_time()
    made = make()
    if time.process_time() - began > WORTH_S:
        draft = path.with_name(f"{name}.{os.getpid()}")
        draft.write_bytes(pickle.dumps(made, protocol=pickle.HIGHEST_PROTOCOL))
        draft.replace(path)
    return made


def _once(kept: OrderedDict[K, T], key: K, make: Callable[[], T], most: int) -> T:
    if key not in kept:
        kept[key] = make()
    kept.move_to_end(key)
    while len(kept) > most:
        kept.popitem(last=False)
    return kept[key]


def _digest(given: object) -> str:
    return hashlib.sha256(pickle.dumps(given)).hexdigest()
