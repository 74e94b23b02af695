"""Arguments of the door, each checked with an error that names it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING, Final

from tenhour.errors import ARGUMENT, FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.model.crop import Crop
    from tenhour.model.house import House

When = date | str
"""A date, or its text as 2027-01-15."""
YEARS: Final = range(1000, 9000)


def crop_of(argument: str, name: str, table: Sequence[Crop]) -> Crop:
    """The crop of a name. Errors: FileProblem that names the argument."""
    from tenhour.files.crop import crops_by_name, plain_name

    known = crops_by_name(table)
    if not isinstance(name, str) or plain_name(name) not in known:
        raise wrong(argument, name, "a crop of the table", _near(str(name), [crop.key for crop in table]))
    return known[plain_name(name)]


def bed_of(house: House, argument: str, name: str) -> str:
    """The name itself if a bed of the house has it. Errors: FileProblem."""
    return choice_of(argument, name, [bed.name for bed in house.beds])


def choice_of(argument: str, name: str, known: Iterable[str]) -> str:
    """The name itself if it is known. Errors: FileProblem with the nearest."""
    names = list(known)
    if name not in names:
        near = _near(str(name), names)
        raise wrong(argument, name, f"one of {', '.join(names)}", "" if near.startswith("Choose") else near)
    return name


def _near(name: str, known: Sequence[str]) -> str:
    from tenhour.files.problems import suggest

    return suggest(name, list(known))


def day_of(argument: str, value: When) -> date:
    """A date given as one, or as ISO text. Errors: FileProblem."""
    allowed = "a date, or a day that exists written as 2027-01-15"
    try:
        found = date.fromisoformat(value) if isinstance(value, str) else value
    except ValueError:
        raise wrong(argument, value, allowed) from None
    if not isinstance(found, date):
        raise wrong(argument, value, allowed)
    found = date(found.year, found.month, found.day)
    if found.year not in YEARS:
        raise wrong(argument, value, f"years from {YEARS[0]} to {YEARS[-1]}")
    return found


def number_of(argument: str, value: float, low: float, high: float) -> float:
    """A number within its bounds. Errors: FileProblem."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        number = float("nan")
    if isinstance(value, bool) or not low <= number <= high:
        raise wrong(argument, value, f"a number from {low:g} to {high:g}")
    return number


def count_of(argument: str, value: float, low: int, high: int) -> int:
    """A whole number within its bounds. Errors: FileProblem."""
    number = number_of(argument, value, low, high)
    if number != int(number):
        raise wrong(argument, value, f"a whole number from {low} to {high}")
    return int(number)


def wrong(argument: str, found: object, allowed: str, do: str = "") -> FileProblem:
    """An error that names an argument, what was found and what is allowed."""
    return FileProblem([Problem(ARGUMENT, argument, repr(found), allowed, do)])
