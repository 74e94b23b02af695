"""The one place where answers are turned into the reader's units and way of writing dates. JSON stays SI and ISO."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

DateStyle = Literal["iso", "long", "us", "locale"]
DATE_STYLES: Final[tuple[DateStyle, ...]] = ("iso", "long", "us", "locale")
MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

FT_PER_M: Final = 1.0 / 0.3048
"""International foot, exact (NIST SP 811, 2008, appendix B.8)."""
LB_PER_KG: Final = 1.0 / 0.45359237
"""Avoirdupois pound, exact (NIST SP 811, 2008, appendix B.8)."""
OZ_PER_LB: Final = 16.0
INCH_PER_FT: Final = 12.0
LUX_PER_FOOTCANDLE: Final = FT_PER_M**2
DEGF_PER_K: Final = 1.8
DEGF_AT_ZERO_DEGC: Final = 32.0


@dataclass(frozen=True)
class Style:
    """How a reader wants numbers and dates written."""

    us_units: bool = False
    dates: DateStyle = "iso"


METRIC: Final = Style()


@dataclass(frozen=True)
class Quantity:
    """One kind of number: how it is written in metric and, where it differs, in US customary units."""

    unit: str = ""
    digits: int = 1
    suffix: str = ""
    us_unit: str = ""
    us_suffix: str = ""
    us_factor: float = 1.0
    us_offset: float = 0.0
    us_digits: int = 1
    scale: float = 1.0
    """Applied before writing for readers, in both systems: 100 for shares shown in per cent."""

    def converts(self, style: Style) -> bool:
        """Tell whether this quantity is written differently for this reader."""
        return style.us_units and bool(self.us_unit)

    def in_style(self, value: float, style: Style) -> float:
        """Value in the reader's unit."""
        return value * self.us_factor + self.us_offset if self.converts(style) else value

    def label(self, style: Style) -> str:
        """Return the unit as written for this reader."""
        return self.us_unit if self.converts(style) else self.unit

    def key(self, key: str, style: Style) -> str:
        """Column name for a spreadsheet: the SI name, its unit changed where the numbers are."""
        if not self.converts(style):
            return key
        return key.removesuffix(self.suffix) + self.us_suffix

    def number(self, value: float, style: Style) -> str:
        """Return the number alone, rounded for reading."""
        digits = self.us_digits if self.converts(style) else self.digits
        text = f"{self.in_style(value, style) * self.scale:.{digits}f}"
        return text[1:] if text.startswith("-") and not text.strip("-0.") else text

    def text(self, value: float | None, style: Style) -> str:
        """Return number and unit, or a dash."""
        if value is None:
            return "-"
        return f"{self.number(value, style)} {self.label(style)}".strip()


QUANTITIES: Final[dict[str, Quantity]] = {
    "dli": Quantity("mol m⁻² d⁻¹", 1),
    "ppfd": Quantity("µmol m⁻² s⁻¹", 0),
    "irradiance": Quantity("W m⁻²", 0),
    "share": Quantity("%", 0, scale=100.0),
    "hours": Quantity("h", 1),
    "days": Quantity("days", 0),
    "score": Quantity("", 0),
    "count": Quantity("", 0),
    "plain": Quantity("", 1),
    "angle": Quantity("°", 0),
    "temp": Quantity("°C", 0, "degc", "°F", "degf", DEGF_PER_K, DEGF_AT_ZERO_DEGC, 0),
    "temp_difference": Quantity("K", 1, "k", "°F", "degf", DEGF_PER_K, 0.0, 1),
    "length": Quantity("m", 2, "m", "ft", "ft", FT_PER_M, 0.0, 1),
    "area": Quantity("m²", 2, "m2", "ft²", "ft2", FT_PER_M**2, 0.0, 1),
    "elevation": Quantity("m", 0, "m", "ft", "ft", FT_PER_M, 0.0, 0),
    "seed": Quantity("g", 2, "g", "oz", "oz", LB_PER_KG * OZ_PER_LB / 1000.0, 0.0, 3),
    "fresh": Quantity("g", 0, "g", "oz", "oz", LB_PER_KG * OZ_PER_LB / 1000.0, 0.0, 1),
    "fresh_area": Quantity(
        "g m⁻²", 0, "g_m2", "oz ft⁻²", "oz_ft2", LB_PER_KG * OZ_PER_LB / 1000.0 / FT_PER_M**2, 0.0, 2
    ),
    "thermal_time": Quantity("°C d", 0, "degcday", "°F d", "degfday", DEGF_PER_K, 0.0, 0),
    "density": Quantity("per m²", 0, "m2", "per ft²", "ft2", 1.0 / FT_PER_M**2, 0.0, 1),
    "yield": Quantity("kg m⁻²", 1, "kg_m2", "lb ft⁻²", "lb_ft2", LB_PER_KG / FT_PER_M**2, 0.0, 2),
    "yield_day": Quantity(
        "g m⁻² d⁻¹", 0, "g_m2_d", "oz ft⁻² d⁻¹", "oz_ft2_d", LB_PER_KG * OZ_PER_LB / 1000.0 / FT_PER_M**2, 0.0, 2
    ),
    "picking": Quantity(
        "g m⁻² week⁻¹",
        0,
        "g_m2_week",
        "oz ft⁻² week⁻¹",
        "oz_ft2_week",
        LB_PER_KG * OZ_PER_LB / 1000.0 / FT_PER_M**2,
        0.0,
        2,
    ),
    "illuminance": Quantity("lx", 0, "lux", "fc", "footcandle", 1.0 / LUX_PER_FOOTCANDLE, 0.0, 0),
    "power": Quantity("W", 0),
    "current": Quantity("A", 1),
    "energy": Quantity("kWh", 1),
    "money": Quantity("", 2),
}
"""Every kind of number that a table can hold."""


def quantity_text(kind: str, value: float | None, style: Style) -> str:
    """Number and unit of one quantity, for use in a sentence."""
    return QUANTITIES[kind].text(value, style)


def date_text(on: date | None, style: Style) -> str:
    """Write a date as the reader wants it; None is a dash."""
    if on is None:
        return "-"
    if style.dates == "iso":
        return on.isoformat()
    if style.dates == "locale":
        return _locale_date(on)
    month = MONTH_NAMES[on.month - 1]
    return f"{on.day} {month} {on.year}" if style.dates == "long" else f"{month} {on.day}, {on.year}"


def short_date(on: date, style: Style) -> str:
    """Day and month without the year, for labels in a picture that shows one year."""
    month = MONTH_NAMES[on.month - 1]
    if style.dates == "us":
        return f"{month} {on.day}"
    return on.isoformat()[5:] if style.dates == "iso" else f"{on.day} {month}"


def _locale_date(on: date) -> str:
    import locale

    before = locale.setlocale(locale.LC_TIME)
    try:
        locale.setlocale(locale.LC_TIME, "")
        return on.strftime("%x")
    except locale.Error:
        return on.isoformat()
    finally:
        locale.setlocale(locale.LC_TIME, before)


_NUMBER: Final = r"(?<![\w.])([−-]?\d+(?:\.\d+)?)"
_RANGE: Final = re.compile(_NUMBER + r"( ?[-–] ?| to | and )([−-]?\d+(?:\.\d+)?) °C")
_DIFFERENCE: Final = re.compile(r"(\bby |\bplus |\bminus |\+ |± )" + r"(\d+(?:\.\d+)?) (?:°C|K)\b(?!⁻)")
_KELVIN: Final = re.compile(_NUMBER + r" K\b(?!⁻)")
_CELSIUS: Final = re.compile(_NUMBER + r" °C")
_LENGTH: Final = re.compile(_NUMBER + r" (m|cm|mm)\b(?![⁻²³/])(?! [²³⁻])")
_AREA: Final = re.compile(_NUMBER + r" m²")
_DENSITY: Final = re.compile(_NUMBER + r"( plants)? (per|a) (m²|square metre)")
_RATE: Final = re.compile(_NUMBER + r"(?:( ?[-–] ?| to )([−-]?\d+(?:\.\d+)?))? (kg|g) (per m²|m⁻²)")
_SPAN: Final = re.compile(_NUMBER + r"( ?[-–] ?| to )([−-]?\d+(?:\.\d+)?) (kg|g|m|cm|m²)(?![\w⁻²³/])(?! m⁻)")
_MASS: Final = re.compile(_NUMBER + r" (kg|g)\b(?! m⁻)")
_ISO: Final = re.compile(r"(?<![\d-])(\d{4}-\d{2}-\d{2})(?![\d-])")
_NAMES: Final = "|".join(MONTH_NAMES)
_TWO_DATES: Final = re.compile(rf"\b(\d{{1,2}}) ({_NAMES}) (and|to) (\d{{1,2}}) ({_NAMES}) (\d{{4}})\b")
_LONG: Final = re.compile(rf"\b(\d{{1,2}}) ({_NAMES}) (\d{{4}})\b")


def localise(text: str, style: Style) -> str:
    """Rewrite the quantities and dates inside a sentence for this reader.

    Sentences are made in SI with ISO or ``5 Mar 2027`` dates; a difference of temperature is in K or follows "by".
    """
    if style.us_units:
        text = _to_us(text)
    return _dates_in(text, style)


def _to_us(text: str) -> str:
    text = _RANGE.sub(lambda m: f"{_degf(m[1])}{m[2]}{_degf(m[3])} °F", text)
    text = _DIFFERENCE.sub(lambda m: f"{m[1]}{float(m[2]) * DEGF_PER_K:.0f} °F", text)
    text = _KELVIN.sub(lambda m: f"{_plain(m[1]) * DEGF_PER_K:.1f} °F", text)
    text = _CELSIUS.sub(lambda m: f"{_degf(m[1])} °F", text)
    text = _RATE.sub(_us_rate, text)
    text = _SPAN.sub(lambda m: f"{_to_us(f'{m[1]} {m[4]}').rsplit(' ', 1)[0]}{m[2]}{_to_us(f'{m[3]} {m[4]}')}", text)
    text = _DENSITY.sub(_us_density, text)
    text = _AREA.sub(lambda m: f"{_plain(m[1]) * FT_PER_M**2:.1f} ft²", text)
    text = _LENGTH.sub(_us_length, text)
    return _MASS.sub(_us_mass, text)


def _plain(number: str) -> float:
    return float(number.replace("−", "-"))


def _degf(number: str) -> str:
    return f"{_plain(number) * DEGF_PER_K + DEGF_AT_ZERO_DEGC:.0f}"


def _us_length(match: re.Match[str]) -> str:
    metres = _plain(match[1]) / {"m": 1.0, "cm": 100.0, "mm": 1000.0}[match[2]]
    if match[2] == "m":
        return f"{metres * FT_PER_M:.1f} ft"
    return f"{metres * FT_PER_M * INCH_PER_FT:.1f} in"


def _us_rate(match: re.Match[str]) -> str:
    heavy = match[4] == "kg"
    factor = LB_PER_KG / FT_PER_M**2 if heavy else LB_PER_KG * OZ_PER_LB / 1000.0 / FT_PER_M**2
    first, last = (f"{_plain(part) * factor:.2f}" if part else "" for part in (match[1], match[3]))
    return f"{first}{match[2] or ''}{last} {'lb' if heavy else 'oz'} {match[5].replace('m', 'ft')}"


def _us_density(match: re.Match[str]) -> str:
    foot = "ft²" if match[4] == "m²" else "square foot"
    return f"{_plain(match[1]) / FT_PER_M**2:.1f}{match[2] or ''} {match[3]} {foot}"


def _us_mass(match: re.Match[str]) -> str:
    kilograms = _plain(match[1]) / {"kg": 1.0, "g": 1000.0}[match[2]]
    pounds = kilograms * LB_PER_KG
    return f"{pounds:.1f} lb" if match[2] == "kg" else f"{pounds * OZ_PER_LB:.1f} oz"


def _dates_in(text: str, style: Style) -> str:
    def write(on: date | None, before: str) -> str:
        return before if on is None else date_text(on, style)

    def two(match: re.Match[str]) -> str:
        first, last = _made(match[6], match[2], match[1]), _made(match[6], match[5], match[4])
        if first is None or last is None:
            return match[0]
        return f"{date_text(first, style)} {match[3]} {date_text(last, style)}"

    # Marked first, written last, so that a date already rewritten is never read again.
    found: list[str] = []

    def keep(make: Callable[[re.Match[str]], str]) -> Callable[[re.Match[str]], str]:
        def inner(match: re.Match[str]) -> str:
            found.append(make(match))
            return f"\x00{len(found) - 1}\x00"

        return inner

    text = _TWO_DATES.sub(keep(two), text)
    text = _LONG.sub(keep(lambda m: write(_made(m[3], m[2], m[1]), m[0])), text)
    text = _ISO.sub(keep(lambda m: write(_parsed(m[1]), m[0])), text)
    return re.sub(r"\x00(\d+)\x00", lambda m: found[int(m[1])], text)


def _made(year: str, month: str, day: str) -> date | None:
    return _parsed(f"{year}-{MONTH_NAMES.index(month) + 1:02d}-{int(day):02d}")


def _parsed(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
