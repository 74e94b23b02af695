"""Turn what was typed into dates, beds, crops and packaged data; imported only inside commands."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tenhour.cli.common import remark
from tenhour.errors import FileProblem, Problem

if TYPE_CHECKING:
    from tenhour.model.crop import Crop
    from tenhour.model.house import House
    from tenhour.model.log import LogLine
    from tenhour.year.outside.sunlight import Sources

MONTHS: Final = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
SHORTEST_MONTH_NAME: Final = 3
LONGEST_INTERVAL_D: Final = 182
SPANS: Final = {
    "week": "1w",
    "weekly": "1w",
    "fortnight": "2w",
    "fortnightly": "2w",
    "other week": "2w",
    "month": "30d",
}
NUMBER_WORDS: Final = ("one", "two", "three", "four", "five", "six")
INTERVAL: Final = re.compile(r"(\d{1,3}) ?(d|days?|w|wks?|weeks?)?")
YEARS: Final = range(1000, 9000)
"""Years far enough from both ends of the calendar; a command may allow fewer."""
NEAR_DAYS: Final = {"yesterday": -1, "today": 0, "now": 0, "tomorrow": 1}
DAY_FIRST: Final = re.compile(
    r"(?P<day>\d{1,2})(?:st|nd|rd|th|\.)? (?:of )?(?P<month>[a-z]{3,9}\.?)(?: (?P<year>\d{4}))?"
)
MONTH_FIRST: Final = re.compile(r"(?P<month>[a-z]{3,9}\.?) (?P<day>\d{1,2})(?:st|nd|rd|th)?(?: (?P<year>\d{4}))?")
NUMBERS_ALONE: Final = re.compile(r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})")
SLASHES: Final = re.compile(r"\d{1,4}[/.]\d{1,2}([/.]\d{1,4})?\.?")
MOST_LISTED: Final = 20
"""Names told one by one in a line of error. Judgement."""


def parse_date(option: str, text: str | None, today: date | None = None) -> date | None:
    """Read a day typed by the user: 2027-01-15, 15 Jan 2027, Jan 15, today, yesterday, tomorrow.

    Parameters: option, named in problems; text; today, for days without a year, which are the nearest such day.
    Errors: FileProblem for what is no day, or could be two: 3/4/2027 is one day here and another there.
    """
    if text is None:
        return None
    found = _day(text, today or date.today())
    if found is None:
        allowed = "a day that exists, written as 2027-01-15, 15 Jan 2027, 15 Jan, today or tomorrow"
        do = "Is the month or the day first? Write 15 Jan, or 2027-01-15." if SLASHES.fullmatch(text.strip()) else ""
        raise FileProblem([Problem("command line", option, repr(text), allowed, do)])
    if found.year not in YEARS:
        raise FileProblem([Problem("command line", option, repr(text), f"{YEARS[0]} to {YEARS[-1]}", "")])
    return found


def _day(text: str, today: date) -> date | None:
    plain = " ".join(text.lower().replace(",", " ").split())
    if plain in NEAR_DAYS:
        return today + timedelta(days=NEAR_DAYS[plain])
    with suppress(ValueError):
        return date.fromisoformat(text.strip())
    numbers = NUMBERS_ALONE.fullmatch(plain)
    if numbers is not None:
        return _of_numbers(int(numbers[1]), int(numbers[2]), int(numbers[3]))
    named = DAY_FIRST.fullmatch(plain) or MONTH_FIRST.fullmatch(plain)
    if named is None:
        return None
    month = [n for n, name in enumerate(MONTHS, start=1) if name.startswith(named["month"].rstrip("."))]
    if len(month) != 1:
        return None
    years = [int(named["year"])] if named["year"] else [today.year - 1, today.year, today.year + 1]
    days = []
    for year in years:
        with suppress(ValueError):
            days.append(date(year, month[0], int(named["day"])))
    return min(days, key=lambda day: abs(day - today), default=None)


def _of_numbers(first: int, second: int, year: int) -> date | None:
    """A day of two numbers and a year, whichever comes first; None where both orders give one, and another each."""
    found = set()
    for month, day in ((first, second), (second, first)):
        with suppress(ValueError):
            found.add(date(year, month, day))
    return found.pop() if len(found) == 1 else None


def first_day(option: str, text: str | None, today: date | None = None) -> date | None:
    """Read a day as :func:`parse_date` does; a month alone is its first day, the next one to come.

    Errors: FileProblem.
    """
    now = today or date.today()
    with suppress(FileProblem):
        month = parse_month(text or "")
        return date(now.year + (month < now.month), month, 1)
    return parse_date(option, text, today)


def parse_interval(option: str, text: str | None) -> int | None:
    """Days of an interval typed as 2w, 10d or 14, or raise one clear problem."""
    if text is None:
        return None
    plain = " ".join(re.sub(r"(?<=[a-z])-", " ", text.lower()).removeprefix("every").split())
    plain = SPANS.get(plain, plain)
    for number, word in enumerate(NUMBER_WORDS, 1):
        plain = re.sub(rf"^{word}\b", str(number), plain)
    found = INTERVAL.fullmatch(plain)
    if (
        found is not None
        and 1 <= (days := int(found[1]) * (7 if (found[2] or "d")[0] == "w" else 1)) <= LONGEST_INTERVAL_D
    ):
        return days
    raise FileProblem([Problem("command line", option, repr(text), "1 to 182 days, written as 2w or 10d", "")])


def parse_month(text: str) -> int:
    """Month number from a number or an English name or its first letters."""
    plain = text.strip().lower()
    if plain.isdecimal() and 1 <= int(plain) <= len(MONTHS):
        return int(plain)
    found = [n for n, name in enumerate(MONTHS, start=1) if name.startswith(plain)]
    if len(plain) >= SHORTEST_MONTH_NAME and len(found) == 1:
        return found[0]
    close = difflib.get_close_matches(plain, MONTHS, n=1)
    do = f"Did you mean {close[0].capitalize()}?" if close else ""
    raise FileProblem([Problem("command line", "--month", repr(text), "a month, January to December or 1 to 12", do)])


def sowing_date(month: str | None, on: str | None, today: date | None = None) -> date:
    """Date of sowing: --on as given, --month as its next 15th, otherwise today."""
    from tenhour.plan.dates import next_mid_month

    now = today or date.today()
    if month is not None and on is not None:
        raise FileProblem([Problem("command line", "--month and --on", "both", "one of them", "Leave one out.")])
    asked = parse_date("--on", on)
    if asked is not None:
        return asked
    return next_mid_month(parse_month(month), now) if month is not None else now


def unknown(option: str, name: str, known: Sequence[str]) -> Problem:
    """Return a problem for a name that is not among the known ones, with the closest as a suggestion.

    Where there are more than a line holds and one is close, only their number is told.
    """
    close = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
    short = close and len(known) > MOST_LISTED
    allowed = f"one of {len(known)} names" if short else "one of " + ", ".join(known)
    return Problem("command line", option, repr(name), allowed, f"Did you mean {close[0]}?" if close else "")


def known_beds(house: House, names: Sequence[str] | None) -> tuple[str, ...]:
    """The names of beds to show, none for all; an unknown name is a problem. The house itself keeps every bed."""
    known = [bed.name for bed in house.beds]
    problems = [unknown("--bed", name, known) for name in names or () if name not in known]
    if problems:
        raise FileProblem(problems)
    return tuple(names or ())


def choose_crops(folder: Path | None, names: Sequence[str] | None, *, all_types: bool = False) -> tuple[Crop, ...]:
    """Load the crop table, with the user's own folder on top, and keep only those called by key or another name.

    Parameters: all_types, whether a general name, as lettuce, means all its types (told on stderr), else the usual one.
    """
    from tenhour.files.crop import crops_by_name, load_crops, plain_name

    crops = tuple(load_crops(folder))
    if not names:
        return crops
    known = crops_by_name(crops)
    keys = [crop.key for crop in crops]
    problems = [unknown("--crop", name, keys) for name in names if plain_name(name) not in known]
    if problems:
        raise FileProblem(problems)
    chosen: list[Crop] = []
    for name in names:
        types = types_of(crops, plain_name(name)) if all_types else []
        if types:
            remark(f"{name}: taken as {', '.join(crop.key for crop in types)}.")
        chosen += types or [known[plain_name(name)]]
    return tuple(dict.fromkeys(chosen))


def types_of(crops: Sequence[Crop], name: str) -> list[Crop]:
    """The crops that a general name means, as lettuce does; none where it is the key of one or means a single one."""
    if any(crop.key == name for crop in crops):
        return []
    found = [crop for crop in crops if crop.way != "transplant" and _ends_in(crop, name)]
    return found if len(found) > 1 else []


def _ends_in(crop: Crop, name: str) -> bool:
    """Whether the name a grower would say ends in a word: butterhead lettuce, lettuce cut young."""
    from tenhour.files.crop import plain_name

    words = (crop.key, plain_name(crop.name.split(",")[0]))
    return any(word == name or word.endswith(f"-{name}") for word in words)


def beds_and_crops(
    folder: Path | None, house: House | None, words: Sequence[str] | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Sort bare words of a command into names of beds and names of crops; a bed comes first where both are called so.

    Parameters: folder, the user's own crop files; house; words, as typed.
    Errors: FileProblem for every word that is neither.
    """
    beds, crops, lost, names = sort_words(folder, house, words)
    if lost:
        raise FileProblem([unknown("BED or CROP", word, names) for word in lost])
    return beds, crops


def beds_crops_and_day(
    folder: Path | None, house: House | None, words: Sequence[str] | None, today: date | None = None
) -> tuple[tuple[str, ...], tuple[str, ...], date | None]:
    """Sort bare words as :func:`beds_and_crops` does; what is left may be a day, or a month for its next 15th.

    Parameters: folder; house; words; today.
    Errors: FileProblem for every word that is none of these.
    """
    from tenhour.plan.dates import next_mid_month

    beds, crops, lost, names = sort_words(folder, house, words)
    if not lost:
        return beds, crops, None
    text = " ".join(lost)
    with suppress(FileProblem):
        return beds, crops, next_mid_month(parse_month(text), today or date.today())
    with suppress(FileProblem):
        return beds, crops, parse_date("DAY", text, today)
    raise FileProblem([unknown("BED, CROP or DAY", word, names) for word in lost])


def sort_words(
    folder: Path | None, house: House | None, words: Sequence[str] | None
) -> tuple[tuple[str, ...], tuple[str, ...], list[str], list[str]]:
    """Beds and crops among words, the words that are neither, and all names there are.

    Parameters: folder, the user's own crop files; house; words, as typed.
    """
    if not words:
        return (), (), [], []
    from tenhour.files.crop import crops_by_name, load_crops, plain_name

    known = crops_by_name(load_crops(folder))
    beds = [bed.name for bed in house.beds] if house is not None else []
    chosen = tuple(word for word in words if word in beds)
    crops = tuple(word for word in words if word not in beds and plain_name(word) in known)
    lost = [word for word in words if word not in chosen and word not in crops]
    return chosen, crops, lost, [*beds, *sorted({crop.key for crop in known.values()})]


def all_at_once(*readers: Callable[[], Any]) -> tuple[Any, ...]:
    """Return what several readers read, or raise the problems of all of them together."""
    from tenhour.files.problems import at_once

    got: dict[int, Any] = {}
    at_once(*(lambda n=n, read=read: got.update({n: read()}) for n, read in enumerate(readers)))
    return tuple(got[n] for n in range(len(readers)))


def sources(house: House) -> Sources:
    """Load the packaged climate, and the weather file if the house names one."""
    from tenhour.door import sources_of

    return sources_of(house)


def log_of(
    house: House, crops: Sequence[Crop] = (), folder: Path | None = None, path: Path | None = None
) -> tuple[LogLine, ...]:
    """Lines of the grower's log beside the house file; none for the demo house or without a log.

    Parameters and errors: those of ``files.log.house_log``.
    """
    from tenhour.files.log import house_log

    return house_log(house, crops, folder, path)
