"""What the page asks is worked out here: one job at a time, each house traced once, and none that nobody waits for."""

from __future__ import annotations

import sys
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Lock, RLock
from types import FrameType
from typing import Any, Final, TypeVar

from tenhour.door import Answer, House, Year
from tenhour.door.year import sources_of
from tenhour.model.house import House as HouseModel
from tenhour.year.inside.preview import BedDay, Standing, beds_on_day
from tenhour.year.outside.sunlight import Sunlight, sunlight_at

MOST_YEARS: Final = 3
"""House-years kept: the file's, and those on either side of a step back. Judgement."""
MOST_TABS: Final = 64

Found = TypeVar("Found")


class OvertakenError(Exception):
    """A newer request of the same tab makes this one useless."""


class Desk:
    """Years by the text of their house file, and whose turn it is; safe between threads."""

    def __init__(self) -> None:
        self._work, self._long_work = Lock(), Lock()
        self._kept = RLock()
        self._newest: OrderedDict[str, int] = OrderedDict()
        self._years: OrderedDict[str, Year] = OrderedDict()
        self._light: tuple[str, Sunlight] | None = None
        self._standing: Standing | None = None
        self._noted: OrderedDict[str, tuple[str, Answer]] = OrderedDict()

    def year(self, text: str, house: HouseModel) -> Year:
        """The year of a house, kept by the text that describes it. Errors: FileProblem of its weather file."""
        with self._kept:
            if text not in self._years:
                traced = (year.rewarmed(House(house)) for year in reversed(self._years.values()))
                self._years[text] = next((year for year in traced if year is not None), None) or Year(House(house))
            self._years.move_to_end(text)
            while len(self._years) > MOST_YEARS:
                self._years.popitem(last=False)
            return self._years[text]

    def on_day(self, house: HouseModel, day: int) -> tuple[BedDay, ...]:
        """Daylight on the beds on one day (from 0), coarse; the sky of the last site and what stands are kept."""
        key = repr(house.site)
        if self._light is None or self._light[0] != key:
            self._light = key, sunlight_at(house, sources_of(house))
        standing = Standing.of(house, self._light[1], self._standing)
        found, self._standing = beds_on_day(house, standing, day)
        return found

    def note(self, tab: str, version: str, answer: Answer) -> None:
        """Hold the last plan that a tab was given, in case it shall be kept."""
        with self._kept:
            self._noted[tab] = version, answer
            self._noted.move_to_end(tab)
            while len(self._noted) > MOST_TABS:
                self._noted.popitem(last=False)

    def noted(self, tab: str, version: str) -> Answer | None:
        """That plan, if it is about the file as it stands."""
        with self._kept:
            about, answer = self._noted.get(tab) or ("", None)
            return answer if about == version else None

    def done(
        self, tab: str, number: int, work: Callable[[], Found], *, long: bool = False, short: bool = False
    ) -> Found:
        """The result of some work, alone at the desk; long work has a desk of its own, so that nothing waits for it.

        Parameters: tab, who asks; number, of its requests for the same thing, rising; work; long; short, of work that
        is over sooner than it would pay to watch whether it is still wanted.
        Errors: OvertakenError as soon as a higher number comes in, also while it is being worked on unless it is short.
        """
        with self._kept:
            self._newest[tab] = max(number, self._newest.get(tab, 0))
            self._newest.move_to_end(tab)
            while len(self._newest) > MOST_TABS:
                self._newest.popitem(last=False)

        def wanted() -> bool:
            return self._newest.get(tab, number) <= number

        with self._long_work if long else self._work:
            if not wanted():
                raise OvertakenError
            if short:
                return work()
            with _given_up_unless(wanted):
                return work()


@contextmanager
def _given_up_unless(wanted: Callable[[], bool]) -> Iterator[None]:
    """Leave a computation of many short calls at the next of them once it is no longer wanted.

    The interpreter tells of every function that is entered; no code below needs to know of pages and tabs. What is
    being imported is left alone, or it would stay half made.
    """

    def look(frame: FrameType, event: str, _: Any) -> None:
        if event == "call" and not wanted() and not _importing(frame):
            sys.setprofile(None)
            raise OvertakenError

    sys.setprofile(look)
    try:
        yield
    finally:
        sys.setprofile(None)


def _importing(frame: FrameType | None) -> bool:
    while frame is not None:
        if frame.f_code.co_filename.startswith("<frozen importlib"):
            return True
        frame = frame.f_back
    return False
