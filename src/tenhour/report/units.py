"""Old sentences, made in SI, rewritten for the reader; those of :mod:`tenhour.words` know their gaps and need none."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Final

from tenhour.words.style import (
    DATE_STYLES,
    DEGF_AT_ZERO_DEGC,
    DEGF_PER_K,
    FT_PER_M,
    INCH_PER_FT,
    LB_PER_KG,
    METRIC,
    MONTH_NAMES,
    OZ_PER_LB,
    QUANTITIES,
    Quantity,
    Style,
    date_text,
    quantity_text,
    short_date,
)
from tenhour.words.text import Text, written

__all__ = [
    "DATE_STYLES",
    "METRIC",
    "MONTH_NAMES",
    "QUANTITIES",
    "Quantity",
    "Style",
    "date_text",
    "localise",
    "quantity_text",
    "short_date",
]

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
    if isinstance(text, Text):
        return written(text, style)
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
