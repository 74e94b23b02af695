"""A sentence is text with typed gaps; it is made once and written for each reader.

A :class:`Sentence` is the pattern, ``"harmed below {limit:temp}"``; filled, it is a :class:`Text`, which remembers the
kind and the SI value of every gap. A Text is also a plain string, in SI and with ISO dates, so JSON needs nothing more.

>>> cold = Sentence("Harmed below {limit:temp}, so wait until {on:date}.")
>>> said = cold(limit=-2.0, on=date(2027, 3, 5))
>>> print(said)
Harmed below -2 °C, so wait until 2027-03-05.
>>> print(written(said, Style(us_units=True, dates="us")))
Harmed below 28 °F, so wait until Mar 5, 2027.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from string import Formatter
from typing import Any, Final, NamedTuple, Self

from tenhour.words.style import (
    DEGF_PER_K,
    FT_PER_M,
    INCH_PER_FT,
    LB_PER_KG,
    METRIC,
    MONTH_NAMES,
    MONTHS,
    OZ_PER_LB,
    QUANTITIES,
    Quantity,
    Style,
    date_text,
    money_text,
    short_date,
)

GAL_PER_L: Final = 1.0 / 3.785411784
"""US gallons, by definition (NIST Handbook 44, 2024, appendix C: 231 cubic inches)."""
SAID: Final[dict[str, Quantity]] = {
    **QUANTITIES,
    "warmer": Quantity("°C", 1, us_unit="°F", us_factor=DEGF_PER_K, us_digits=0),
    "mol": Quantity("mol", 1),
    "height": Quantity("cm", 0, us_unit="in", us_factor=FT_PER_M * INCH_PER_FT / 100.0, us_digits=0, scale=100.0),
    "weight": Quantity("kg", 1, us_unit="lb", us_factor=LB_PER_KG, us_digits=1),
    "wood": Quantity("kg", 0, us_unit="lb", us_factor=LB_PER_KG, us_digits=0, figures=2),
    "seed_mass": Quantity("g", 0, us_unit="oz", us_factor=LB_PER_KG * OZ_PER_LB / 1000.0, us_digits=2),
    "plants": Quantity(
        "plants a square metre", 0, us_unit="plants a square foot", us_factor=1.0 / FT_PER_M**2, us_digits=1
    ),
    "weekly": Quantity(
        "g per m² and week",
        0,
        us_unit="oz per ft² and week",
        us_factor=LB_PER_KG * OZ_PER_LB / 1000.0 / FT_PER_M**2,
        us_digits=2,
    ),
    "volume": Quantity("l", 0, us_unit="gal", us_factor=GAL_PER_L, us_digits=0),
    "volts": Quantity("V", 0),
    "wavelength": Quantity("nm", 0),
    "percent": Quantity("%", 0, scale=100.0),
}
"""Quantities of sentences: those of tables, and some in the words people use for them."""
WHOLES: Final = {"days": "day", "weeks": "week", "meals": "serving", "leaves": "true leaf", "things": "thing"}
"""Things counted in whole numbers, by one of them."""
PLURALS: Final = {"leaf": "leaves"}


class Gap(NamedTuple):
    """One typed gap: what kind of thing stands there, its value in SI, and how it is written.

    bare: without its unit, before a second number of the same kind ("5 to 8 °C"); digits: in SI, None for the usual.
    """

    kind: str
    value: Any
    bare: bool = False
    digits: int | None = None

    def write(self, style: Style) -> str:
        """Return the gap as this reader wants it."""
        if self.kind == "money":
            amount, currency = self.value
            return f"{currency} {money_text(amount)}".strip()
        if self.kind in WHOLES:
            return _whole(self.kind, float(self.value), self.bare)
        if self.kind == "span":
            return _span(float(self.value))
        if self.kind in SAID:
            return _number(SAID[self.kind], float(self.value), self.bare, self.digits, style)
        if self.kind == "date":
            return date_text(self.value, style)
        if self.kind == "day":
            return short_date(self.value, style)
        return (MONTHS if self.kind == "month" else MONTH_NAMES)[int(self.value) - 1]


KINDS: Final = (*SAID, *WHOLES, "span", "date", "day", "month", "mon")
"""Every kind a gap may have. ``money`` takes an amount and a currency, ``mon`` the number of a month, as ``month``,
``span`` hours that are said in minutes where they are few."""


def _number(quantity: Quantity, value: float, bare: bool, digits: int | None, style: Style) -> str:
    if digits is not None and not quantity.converts(style):
        text = f"{value * quantity.scale:.{digits}f}"
        text = text[1:] if text.startswith("-") and not text.strip("-0.") else text
    else:
        text = quantity.number(value, style)
    unit = quantity.label(style)
    return text if bare or not unit else f"{text}{unit}" if unit in ("%", "°") else f"{text} {unit}"


def _span(hours: float) -> str:
    """A stretch of time as people say it.

    >>> [_span(hours) for hours in (0.0, 0.6, 1.0, 1.4, 3.5, 14.2)]
    ['a few minutes', '35 minutes', 'an hour', '85 minutes', '3.5 hours', '14 hours']
    """
    minutes = 5 * round(hours * 12.0)
    if minutes < 5:
        return "a few minutes"
    if minutes < 120:
        return "an hour" if minutes == 60 else f"{minutes} minutes"
    halves = round(hours * 2.0)
    return f"{halves // 2}.5 hours" if halves % 2 and hours < 6.0 else f"{round(hours)} hours"


def _whole(kind: str, value: float, bare: bool) -> str:
    count = round(value)
    if bare:
        return str(count)
    *before, last = WHOLES[kind].split(" ")
    return " ".join([str(count), *before, last if count == 1 else PLURALS.get(last, f"{last}s")])


class Text(str):
    """A filled sentence: a string in SI with ISO dates that still knows its gaps."""

    __slots__ = ("parts",)
    parts: tuple[str | Gap, ...]

    def __new__(cls, parts: Iterable[str | Gap]) -> Self:
        """Put words and gaps together; a part that is itself a Text keeps its gaps."""
        flat: list[str | Gap] = []
        words: list[str] = []
        for part in parts:
            if isinstance(part, Gap):
                words.append(part.write(METRIC))
                flat.append(part)
                continue
            words.append(part)
            if isinstance(part, Text):  # it is written already
                flat += part.parts
            else:
                flat.append(part)
        self = super().__new__(cls, "".join(words))
        self.parts = tuple(flat)
        return self

    def __reduce__(self) -> tuple[type[Text], tuple[tuple[str | Gap, ...]]]:
        """What makes a copy, here or in another process."""
        return Text, (self.parts,)

    def __add__(self, other: str) -> Text:
        """Text with words after it; gaps stay."""
        return Text((self, other))

    def __radd__(self, other: str) -> Text:
        """Text with words before it; gaps stay."""
        return Text((other, self))


def _written(parts: Iterable[str | Gap], style: Style) -> str:
    return "".join(part.write(style) if isinstance(part, Gap) else part for part in parts)


def written(text: str, style: Style) -> str:
    """Write a text for this reader; a plain string, such as a name or a user's own note, stays as it is."""
    return _written(text.parts, style) if isinstance(text, Text) else text


def counted(count: int, one: str) -> str:
    """Return "1 sowing" or "3 sowings"."""
    return f"{count} {one}{'' if count == 1 else 's'}"


def typed(name: str) -> str:
    """Return a name as one types it in a shell: quoted where it would fall apart.

    >>> typed("front"), typed("south border")
    ('front', "'south border'")
    """
    return shlex.quote(name)


def after(opening: str, text: str) -> str:
    """Drop the opening words of a text where it begins with them, in any case; the rest begins with a capital.

    >>> after("sow now: ", "Sow now: ready soon.")
    'Ready soon.'
    """
    parts = list(text.parts) if isinstance(text, Text) else [text]
    first = parts[0] if parts else ""
    if isinstance(first, Gap) or not first.lower().startswith(opening.lower()):
        return text
    parts[0] = first[len(opening) :]
    begin = next((n for n, part in enumerate(parts) if part), 0)
    words = parts[begin]
    if isinstance(words, str):
        parts[begin] = words[:1].upper() + words[1:]
    return Text(parts)


def joined(parts: Iterable[str], between: str = " ") -> Text:
    """Join texts, leaving out empty ones; gaps stay.

    >>> joined(["One.", "", "Two."])
    'One. Two.'
    """
    out: list[str | Gap] = []
    for part in parts:
        if part:
            out += [between, part] if out else [part]
    return Text(out)


def listed(parts: Sequence[str], last: str = "and") -> Text:
    """Write things in a row as people say them.

    >>> listed(["kale", "leek", "chard"])
    'kale, leek and chard'
    """
    if len(parts) < 2:
        return joined(parts)
    return Text((joined(parts[:-1], ", "), f" {last} ", parts[-1]))


class Hole(NamedTuple):
    """A gap of a pattern not yet filled; kind is "" for words."""

    name: str
    kind: str
    bare: bool
    digits: int | None


class Sentence:
    """A pattern with typed gaps, ``{name:kind}``; ``{name}`` takes words.

    After the kind may stand ``bare`` (no unit) and digits in SI: ``{low:temp bare}-{high:temp}``, ``{area:area 1}``. A
    number in place of a name is a constant: ``{16:temp}``.
    """

    __slots__ = ("pattern", "pieces")

    def __init__(self, pattern: str) -> None:
        """Read a pattern; ValueError where a gap has a kind that does not exist."""
        self.pattern = pattern
        self.pieces: list[str | Hole] = []
        for words, name, form, _ in Formatter().parse(pattern):
            if words:
                self.pieces.append(words)
            if name is not None:
                self.pieces.append(_hole(name, form or "", pattern))

    def __call__(self, **values: Any) -> Text:
        """Fill the gaps; every name must be given, and no value may be missing (ValueError says which)."""
        return Text(piece if isinstance(piece, str) else _filled(piece, values, self.pattern) for piece in self.pieces)


def _hole(name: str, form: str, pattern: str) -> Hole:
    kind, *options = form.split() or [""]
    if kind and kind not in KINDS:
        raise ValueError(f"no kind of gap named {kind!r} in {pattern!r}")
    digits = next((int(option) for option in options if option.isdigit()), None)
    return Hole(name, kind, "bare" in options, digits)


def _filled(hole: Hole, values: dict[str, Any], pattern: str) -> str | Gap:
    value = values[hole.name] if hole.name in values else _constant(hole, pattern)
    if value is None or value != value:
        raise ValueError(f"nothing to fill {hole.name!r} with in {pattern!r}")
    if not hole.kind:
        return value if isinstance(value, str) else str(value)
    return Gap(hole.kind, value, hole.bare, hole.digits)


def _constant(hole: Hole, pattern: str) -> float:
    try:
        return float(hole.name)
    except ValueError:
        raise ValueError(f"{hole.name!r} is not given for {pattern!r}") from None
