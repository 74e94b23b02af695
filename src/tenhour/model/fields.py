"""The fields of an answer, each declared once, beside its name and type, for all that writes or describes them.

A field of an answer carries ``Annotated[type, About(...)]``; the types below say most of it. What a type says of a
value (unit, digits, bounds) stands in its own ``About``; what a field says on top of it overrides that.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date
from functools import cache
from typing import Annotated, Any, Final, Literal


@dataclass(frozen=True)
class About:
    """What a field is beyond its name and type; what is None or False is left as the type has it."""

    name: str | None = None
    """What JSON calls it, where that differs from its name here."""
    column: str | None = None
    """What CSV and data frames call it, where that differs from its name in JSON."""
    heading: str | None = None
    """Over its column in a table; its name in words if None."""
    kind: str | None = None
    """Kind of quantity, or "text", "prose", "date", "month"."""
    digits: int | None = None
    """Digits after the point in JSON; None leaves a number as it is."""
    shown: int | None = None
    """Digits a reader sees; those of its kind if None."""
    least: float | None = None
    most: float | None = None
    size: int | None = None
    """How many entries a list has."""
    pattern: str | None = None
    """Regular expression that a text keeps to."""
    inside: str | None = None
    """The object in JSON that it lies in."""
    keys: tuple[str, ...] = ()
    """What JSON calls the parts of a tuple of fixed length, which it writes as an object."""
    nan: bool = False
    """May be no number, which is null in JSON."""
    empty_null: bool = False
    """An empty text or list is null in JSON."""
    optional: bool = False
    """Left out of JSON where there is nothing to say."""
    merged: bool = False
    """Its own fields stand among those around it."""
    heads: bool = False
    """Tells one record of a list from another, and stands before the fields of lists within it."""
    hidden: bool = False
    """Not part of the answer as it is written."""
    wide_only: bool = False
    wrap: bool = False


HIDDEN: Final = About(hidden=True)

Month = Annotated[int, About(kind="month", least=1, most=12)]
Count = Annotated[int, About(kind="count", least=0)]
Days = Annotated[int, About(kind="days", least=0)]
Light = Annotated[float, About(kind="dli", digits=3, least=0)]
Flux = Annotated[float, About(kind="ppfd", digits=1, least=0)]
Irradiance = Annotated[float, About(kind="irradiance", digits=2, least=0)]
Hours = Annotated[float, About(kind="hours", digits=2, least=0, most=24)]
Angle = Annotated[float, About(kind="angle", digits=2, least=-90, most=90)]
Bearing = Annotated[float, About(kind="angle", digits=1)]
Share = Annotated[float, About(kind="share", digits=3, least=0, most=1)]
Ratio = Annotated[float, About(kind="plain", digits=3, least=0)]
Score = Annotated[float, About(kind="score", digits=0, least=0, most=100)]
Temp = Annotated[float, About(kind="temp", digits=1)]
TempDifference = Annotated[float, About(kind="temp_difference", digits=2)]
Length = Annotated[float, About(kind="length", digits=3)]
Size = Annotated[float, About(kind="length", digits=3, least=0)]
Area = Annotated[float, About(kind="area", digits=3, least=0)]
Power = Annotated[float, About(kind="power", digits=1, least=0)]
Current = Annotated[float, About(kind="current", digits=3, least=0)]
Energy = Annotated[float, About(kind="energy", digits=2, least=0)]
HeatEnergy = Annotated[float, About(kind="heat_energy", digits=2, least=0)]
HeatPower = Annotated[float, About(kind="heat_power", digits=1, least=0)]
"""Heat that is reckoned: readers see two figures of it."""
Money = Annotated[float, About(kind="money", digits=2)]
Seed = Annotated[float, About(kind="seed", digits=3, least=0)]
Fresh = Annotated[float, About(kind="fresh", digits=1, least=0)]
Density = Annotated[float, About(kind="density", digits=1, least=0)]
Number = Annotated[float, About(kind="plain", digits=2, least=0)]
Clock = Annotated[str, About(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]
Prose = Annotated[str, About(kind="prose")]
"""Words in which quantities and dates follow the reader's units and style."""

Base = Literal["text", "whole", "number", "flag", "date", "choice", "list", "parts", "mapping", "record", "anything"]
_PLAIN: Final[dict[Any, Base]] = {str: "text", int: "whole", float: "number", bool: "flag", date: "date"}
_KINDS: Final[dict[str, str]] = {"whole": "plain", "number": "plain", "date": "date"}


@dataclass(frozen=True)
class Shape:
    """What a value may be: its base, whether it may be missing, what is said of it, and the shape of its parts."""

    base: Base
    about: About
    null: bool = False
    parts: tuple[Shape, ...] = ()
    """Of a list the one its entries have, of a mapping those of values and keys, of a tuple of fixed length each."""
    record: type[Any] | None = None
    choices: tuple[str, ...] = ()

    @property
    def item(self) -> Shape:
        """Shape of the entries of a list, or of the values of a mapping."""
        return self.parts[0]


@dataclass(frozen=True)
class Entry:
    """One field of an answer, as everything that writes it needs to know it."""

    record: type[Any]
    """The class that declares it."""
    attribute: str
    shape: Shape
    path: tuple[str, ...] = ()
    """Attributes that lead to the object that has it, where that is a merged one."""

    @property
    def about(self) -> About:
        """What is said of it."""
        return self.shape.about

    @property
    def name(self) -> str:
        """Its name in JSON."""
        return self.about.name or self.attribute

    @property
    def column(self) -> str:
        """Its name in CSV and data frames."""
        return self.about.column or self.name

    @property
    def heading(self) -> str:
        """Words over its column."""
        if self.about.heading is not None:
            return self.about.heading
        named = self.name.removesuffix("_m2") if self.about.kind == "area" else self.name
        return named.replace("_", " ")

    @property
    def kind(self) -> str:
        """Kind of what it holds."""
        shape = self.shape
        while shape.base == "list":
            shape = shape.item
        return self.about.kind or shape.about.kind or _KINDS.get(shape.base, "text")

    def of(self, holder: object) -> Any:
        """Its value in an object."""
        for step in self.path:
            holder = getattr(holder, step)
        return getattr(holder, self.attribute)


def entries(record: Any) -> tuple[Entry, ...]:
    """Return the fields of an answer's class as they are written: its own in order, then properties that say About.

    Parameters: record, a dataclass. Hidden fields are left out, merged ones are replaced by the fields they hold.
    """
    return _entries(record)


@cache
def _entries(record: Any) -> tuple[Entry, ...]:
    found = [entry(record, name) for name, hint in _declared(record).items() if not _hidden(hint)]
    return tuple(part for one in found for part in _unfolded(one))


def entry(record: Any, attribute: str) -> Entry:
    """Return one field of an answer's class by its name there, a hidden one too.

    Errors: KeyError if there is none.
    """
    return Entry(record, attribute, shape_of(_declared(record)[attribute]))


@cache
def _declared(record: Any) -> dict[str, Any]:
    """Annotations of the fields of a class, and of those of its properties that say About."""
    hints = typing.get_type_hints(record, include_extras=True)
    found = {field.name: hints[field.name] for field in fields(record)}
    for name in _properties(record):
        hint = typing.get_type_hints(getattr(record, name).fget, include_extras=True).get("return")
        if typing.get_origin(hint) is Annotated:
            found[name] = hint
    return found


def _hidden(annotation: Any) -> bool:
    said = typing.get_args(annotation)[1:] if typing.get_origin(annotation) is Annotated else ()
    return any(isinstance(word, About) and word.hidden for word in said)


def shape_of(annotation: Any, about: About = About()) -> Shape:
    """Return the shape of an annotation; ``about`` is what stands around it and overrides what it says itself.

    Errors: TypeError for a type that no answer can hold.
    """
    if typing.get_origin(annotation) is Annotated:
        inner, *said = typing.get_args(annotation)
        own = [word for word in said if isinstance(word, About)]
        return shape_of(inner, _over(*own, about))
    origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
    if origin in (typing.Union, types.UnionType) and type(None) in arguments:
        (present,) = (part for part in arguments if part is not type(None))
        return replace(shape_of(present, about), null=True)
    if origin is tuple:
        return _sequence(arguments, about)
    if origin in (dict, Mapping):
        return Shape("mapping", about, parts=(shape_of(arguments[1]), shape_of(arguments[0])))
    if origin is Literal:
        return Shape("choice", about, choices=arguments)
    return _plain(annotation, about)


def _plain(annotation: Any, about: About) -> Shape:
    if isinstance(annotation, type) and is_dataclass(annotation):
        return Shape("record", about, record=annotation)
    if annotation in (object, Any):
        return Shape("anything", about)
    for plain in (bool, *_PLAIN):
        if isinstance(annotation, type) and issubclass(annotation, plain):
            return Shape(_PLAIN[plain], about)
    raise TypeError(f"no answer can hold {annotation}")


_OF_VALUES: Final = ("kind", "digits", "shown", "least", "most", "pattern", "nan", "keys")
"""What is said of a list's values, not of the list."""


def _sequence(arguments: tuple[Any, ...], about: About) -> Shape:
    of_values = About(**{name: getattr(about, name) for name in _OF_VALUES})
    own = replace(about, nan=False)
    if arguments[-1] is Ellipsis:
        return Shape("list", own, parts=(shape_of(arguments[0], of_values),))
    return Shape("parts", own, parts=tuple(shape_of(part, of_values) for part in arguments))


def _over(*layers: About) -> About:
    """Lay one declaration over the other; the last that says something counts."""
    said = {field.name: value for layer in layers for field in fields(layer) if (value := _said(layer, field.name))}
    return About(**{name: value[0] for name, value in said.items()})


def _said(layer: About, name: str) -> tuple[Any] | None:
    value = getattr(layer, name)
    return None if value is None or value is False or value == () else (value,)


def _properties(record: type[Any]) -> list[str]:
    """Names of properties in the order in which they are written down."""
    members = (member for cls in reversed(record.__mro__) for member in vars(cls).items())
    return list(dict.fromkeys(name for name, member in members if isinstance(member, property)))


def _unfolded(entry: Entry) -> tuple[Entry, ...]:
    record = entry.shape.record
    if not entry.about.merged or record is None:
        return (entry,)
    return tuple(replace(part, path=(entry.attribute, *part.path)) for part in entries(record))
