"""How a reader wants numbers and dates written: units, digits, order of a date. JSON stays SI and ISO."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import floor, log10
from typing import Final, Literal

DateStyle = Literal["iso", "long", "us", "locale"]
DATE_STYLES: Final[tuple[DateStyle, ...]] = ("iso", "long", "us", "locale")
MONTH_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

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
    """How a reader wants an answer written."""

    us_units: bool = False
    dates: DateStyle = "iso"
    all_notes: bool = False
    """Every caution, warning and assumption in full; else what matters most, and how many more there are."""


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
    figures: int = 0
    """Figures that count for readers, where what is reckoned is no surer than they say; 0 for all."""

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
        found = self.in_style(value, style) * self.scale
        if self.figures and found:
            found = float(f"{found:.{self.figures}g}")
            digits = min(digits, max(self.figures - 1 - floor(log10(abs(found))), 0))
        text = f"{found:.{digits}f}"
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
    "heat_energy": Quantity("kWh", 1, figures=2),
    "heat_power": Quantity("W", 0, figures=2),
    "long_hours": Quantity("hours", 0, figures=2),
    "money": Quantity("", 2),
}
"""Every kind of number that a table can hold."""


WHOLE_MONEY: Final = 9.95
"""From this amount on, money is told in whole units."""


def quantity_text(kind: str, value: float | None, style: Style) -> str:
    """Number and unit of one quantity, for use in a sentence."""
    return QUANTITIES[kind].text(value, style)


def money_text(amount_currency: float) -> str:
    """Money with no more digits than an estimate has: whole amounts from ten on, below two digits that count.

    Parameters: amount_currency, in any currency.
    """
    if abs(amount_currency) >= WHOLE_MONEY:
        return f"{amount_currency:.0f}"
    return f"{float(f'{amount_currency:.2g}'):.2f}"


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
    """Date in the manner of the reader's language and country (Unicode CLDR, medium form); nothing global is set."""
    from babel import UnknownLocaleError, default_locale
    from babel.dates import format_date

    try:
        return format_date(on, "medium", locale=default_locale("LC_TIME") or "en")
    except (UnknownLocaleError, ValueError):
        return on.isoformat()
