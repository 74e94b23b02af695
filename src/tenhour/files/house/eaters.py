"""A household in everyday words: who eats, when, what and from which means, as values of a house file."""

from __future__ import annotations

import calendar
import re
from datetime import date, timedelta
from difflib import get_close_matches
from typing import Final

from tenhour.files.crop import crops_by_name, load_crops, plain_name
from tenhour.files.house.typed import NOTHING, month
from tenhour.files.units_text import BadValueError
from tenhour.model.household import ANIMALS, WISHES
from tenhour.units import GENERIC_YEAR

KIND_WORDS: Final = {"salads": "salad", "greens": "cooked", "cooked-greens": "cooked", "herb": "herbs", "root": "roots"}
ANIMAL_WORDS: Final = {"hens": "hen", "chicken": "hen", "chickens": "hen", "rabbits": "rabbit"}
BUY_WORDS: Final = {
    "lamps": "lamp", "light": "lamp", "trays": "tray", "covers": "cover", "fleece": "cover", "fleeces": "cover",
}  # fmt: skip
MEALS_FORM: Final = "meals of salad, cooked, herbs or roots, each with a number"
ANIMALS_FORM: Final = "hens or rabbits, with their number"
BUYS: Final = ("lamp", "tray", "cover")
SOON_D: Final = 14
"""A season that ends within so many days is over: the next one is meant. Judgement."""
_PARTS: Final = re.compile(r"[,;]|\band\b")
_NUMBER: Final = re.compile(r"-?\d+(?:\.\d+)?")


def parts_of(text: str) -> list[str]:
    """Words between commas, semicolons and "and"."""
    return [part.strip() for part in _PARTS.split(text) if part.strip()]


def meals_of(text: str) -> dict[str, float]:
    """Meals a week by kind of food from "salad 4, cooked 2" or "4 salads".

    Errors: BadValueError.
    """
    return _counted(text, {**{kind: kind for kind in WISHES}, **KIND_WORDS}, MEALS_FORM, "Write salad 4, cooked 2.")


def animals_of(text: str) -> dict[str, float]:
    """How many of each kind of animal from "4 hens, 2 rabbits"; none from "none".

    Errors: BadValueError.
    """
    if text.strip().lower() in NOTHING:
        return {}
    found = _counted(text, {**{kind: kind for kind in ANIMALS}, **ANIMAL_WORDS}, ANIMALS_FORM, "Write 4 hens.")
    if any(count != round(count) or count < 1 for count in found.values()):
        raise BadValueError("whole animals", "Write 4 hens, or none.")
    return found


def _counted(text: str, known: dict[str, str], allowed: str, do: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for part in parts_of(text.lower()):
        number, word = _NUMBER.search(part), plain_name(_NUMBER.sub(" ", part).replace("=", " ").replace(":", " "))
        if number is None or word not in known or float(number[0]) < 0.0:
            raise BadValueError(allowed, do)
        found[known[word]] = found.get(known[word], 0.0) + float(number[0])
    if not found:
        raise BadValueError(allowed, do)
    return found


def crops_of(text: str) -> tuple[str, ...]:
    """Keys of crops from their names, in that order.

    Errors: BadValueError with the closest name.
    """
    known, found = crops_by_name(load_crops()), []
    for part in parts_of(text):
        crop = known.get(plain_name(part))
        if crop is None:
            close = get_close_matches(plain_name(part), list(known), n=1)
            do = f"{part}: did you mean {close[0]}?" if close else f"{part} is none; tenhour crops lists them."
            raise BadValueError("crops of the table", do)
        found.append(crop.key)
    return tuple(dict.fromkeys(found))


def buys_of(text: str) -> tuple[str, ...]:
    """What may be bought from "lamps and trays"; nothing from "no".

    Errors: BadValueError.
    """
    if text.strip().lower() in NOTHING:
        return ()
    found = [BUY_WORDS.get(part.lower(), part.lower()) for part in parts_of(text)]
    if not found or set(found) - set(BUYS):
        raise BadValueError("lamps, trays, covers or nothing", "Write lamps, trays.")
    return tuple(kind for kind in BUYS if kind in found)


def season_of(first: str, last: str, today: date) -> tuple[date, date]:
    """First and last day with something on the table; days without a year are those of the season under way or next.

    Parameters: first, last, like "1 October", "Oct" or "2026-10-01"; today.
    Errors: BadValueError.
    """
    begin = _day(first, last_of_month=False)
    end = _next(_day(last, last_of_month=True), today + timedelta(days=SOON_D))
    year = begin[0] if begin[0] is not None else end.year
    start = _made(year, *begin[1:])
    if begin[0] is None and start >= end:
        start = _made(year - 1, *begin[1:])
    return start, end


_Found = tuple[int | None, int, int]


def _day(text: str, *, last_of_month: bool) -> _Found:
    """(year or None, month, day) of a day in words."""
    plain = text.strip()
    try:
        day = date.fromisoformat(plain)
    except ValueError:
        pass
    else:
        return day.year, day.month, day.day
    words = re.sub(r"(\d)(st|nd|rd|th)\b", r"\1", re.sub(r"[,.-]", " ", plain.lower())).split()
    years = [int(word) for word in words if re.fullmatch(r"\d{4}", word)]
    days = [int(word) for word in words if re.fullmatch(r"\d{1,2}", word)]
    names = [word for word in words if not word[0].isdigit()]
    try:
        found = month(names[0] if len(names) == 1 and len(days) < 2 and len(years) < 2 else "")
    except BadValueError:
        raise BadValueError("days", "Write 1 October to 31 May, or 2026-10-01 to 2027-05-31.") from None
    year = years[0] if years else None
    end = calendar.monthrange(year or GENERIC_YEAR, found)[1]
    return year, found, days[0] if days else end if last_of_month else 1


def _next(day: _Found, after: date) -> date:
    if day[0] is not None:
        return _made(day[0], *day[1:])
    this = _made(after.year, *day[1:])
    return this if this >= after else _made(after.year + 1, *day[1:])


def _made(year: int, number: int, day: int) -> date:
    try:
        return date(year, number, day)
    except ValueError:
        raise BadValueError("a day that exists", "Write 1 October to 31 May.") from None
