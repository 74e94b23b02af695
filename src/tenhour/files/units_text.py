"""Numbers as people write them: SI when bare, or text that carries its unit ("9 ft", "68 F", "85 %")."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal["length", "temperature", "angle", "fraction", "u-value", "ratio", "number"]

M_PER_FT: Final = 0.3048
"""International foot, exact by definition (1959)."""
M_PER_IN: Final = 0.0254
"""International inch, exact by definition (1959)."""
W_M2_K_PER_BTU: Final = 5.678263
"""1 Btu h⁻¹ ft⁻² °F⁻¹ in W m⁻² K⁻¹: from the international table Btu (check-values 4.7 prints 5.678)."""
K_AT_0_DEGC: Final = 273.15
DEGF_AT_0_DEGC: Final = 32.0
K_PER_DEGF: Final = 5.0 / 9.0
PER_CENT: Final = 100.0
SURELY_PER_CENT: Final = 2.0
"""A share given as this or more was meant in per cent; 1.2 is more likely a slip: judgement."""
DECIMALS: Final = 9
"""Enough for a length in feet; hides the last bits of the conversion."""
WITHIN: Final = "Choose a number within these bounds."
LONGEST_HOUSE_M: Final = 200.0
"""Bounds above this are not those of something in a house, where centimetres are a likely slip: judgement."""
FULL_TURN_DEG: Final = 360.0

# What one unit is worth in the SI unit of its kind: value = (number - zero) * factor.
_UNITS: Final[dict[Kind, dict[str, tuple[float, float]]]] = {
    "length": {
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), (0.0, 1.0)),
        "cm": (0.0, 0.01),
        "mm": (0.0, 0.001),
        "km": (0.0, 1000.0),
        **dict.fromkeys(("ft", "foot", "feet", "'", "′"), (0.0, M_PER_FT)),
        **dict.fromkeys(("in", "inch", "inches", '"', "″"), (0.0, M_PER_IN)),
        **dict.fromkeys(("yd", "yard", "yards"), (0.0, 3 * M_PER_FT)),
    },
    "temperature": {
        **dict.fromkeys(("c", "°c", "degc"), (0.0, 1.0)),
        **dict.fromkeys(("f", "°f", "degf"), (DEGF_AT_0_DEGC, K_PER_DEGF)),
        "k": (K_AT_0_DEGC, 1.0),
    },
    "angle": dict.fromkeys(("deg", "degree", "degrees", "°", "n", "e", "°n", "°e"), (0.0, 1.0))
    | dict.fromkeys(("s", "w", "°s", "°w"), (0.0, -1.0)),
    "fraction": {"%": (0.0, 1.0 / PER_CENT)},
    "u-value": {
        **dict.fromkeys(("w/m2k", "w/m2/k", "w/(m2k)", "w/m²k", "w/(m²k)"), (0.0, 1.0)),
        **dict.fromkeys(("btu/h/ft2/f", "btu/(hft2f)", "btu/hft2f"), (0.0, W_M2_K_PER_BTU)),
    },
    "ratio": {},
    "number": {},
}
_EXAMPLES: Final[dict[Kind, str]] = {
    "length": '"9 ft"',
    "temperature": '"68 F"',
    "angle": '"35 deg"',
    "fraction": '"85 %"',
    "u-value": '"2.5 W/m2K"',
}
_SI: Final[dict[Kind, str]] = {
    "length": " m",
    "temperature": " degrees C",
    "angle": " degrees",
    "u-value": " W/m2K",
}
_NUMBER: Final = r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
_ONE: Final = re.compile(_NUMBER + r"\s*(\D.*)?")
_FEET_AND_INCHES: Final = re.compile(
    _NUMBER + r"""\s*(ft|foot|feet|'|′)\s*(?:and\s+)?(\d+(?:\.\d+)?)\s*(in|inch|inches|"|″|'')?"""
)
"""As in "5 ft 6 in", "5'6" and "5 foot 6"."""
_LONGEST_TEXT: Final = 40


class BadValueError(ValueError):
    """A value that cannot be used: what is allowed instead and what to do."""

    def __init__(self, allowed: str, do: str = "") -> None:
        self.allowed = allowed
        self.do = do
        super().__init__(f"{allowed}. {do}")


def plain_number(value: float) -> str:
    """Return a number as a person would write it: no trailing zeros, at most six figures."""
    return f"{value:.6g}" if abs(value) < 1e6 else f"{value:.3g}"


@dataclass(frozen=True)
class Quantity:
    """One kind of number with its bounds; calling it turns what a file holds into a float in SI."""

    kind: Kind
    low: float
    high: float

    @property
    def allowed(self) -> str:
        """What is allowed, in words."""
        return f"{plain_number(self.low)} to {plain_number(self.high)}{_SI.get(self.kind, '')}"

    def __call__(self, value: object) -> float:
        """Return the value in SI units."""
        if isinstance(value, str):
            number = round(self.parse(value), DECIMALS)
        elif isinstance(value, bool) or not isinstance(value, int | float):
            raise BadValueError(self.allowed, self._advice())
        else:
            number = _to_float(value)
        if not self.low <= number <= self.high:  # NaN too
            hint = "" if isinstance(value, str) else self._hint(number)
            raise BadValueError(self.allowed, hint or WITHIN)
        return number + 0.0

    def parse(self, text: str, bare: bool = False) -> float:
        """Return text with a unit as a number in SI; with ``bare``, text without a unit counts as SI.

        Errors: BadValueError with what was found and what is allowed.
        """
        short = text.strip().replace("−", "-")
        if len(short) > _LONGEST_TEXT:
            raise BadValueError(self.allowed, self._advice())
        both = _FEET_AND_INCHES.fullmatch(short) if self.kind == "length" else None
        if both:
            return math.copysign(abs(float(both[1])) * M_PER_FT + float(both[3]) * M_PER_IN, float(both[1]))
        one = _ONE.fullmatch(short)
        if one is None:
            raise BadValueError(self.allowed, self._text_advice(short))
        return self._in_si(one[1], one[2] or "", bare, short)

    def _in_si(self, number: str, unit: str, bare: bool, text: str) -> float:
        units = _UNITS[self.kind]
        key = _unit_key(unit, self.kind)
        if not key and bare:
            return float(number)
        if not key:
            raise BadValueError(self.allowed, f"Write {number} without quotes, or with its unit.")
        if key not in units:
            raise BadValueError(self.allowed, self._text_advice(text))
        zero, factor = units[key]
        return (float(number) - zero) * factor

    def _advice(self) -> str:
        example = _EXAMPLES.get(self.kind)
        return f"Write a number, or text with a unit like {example}." if example else "Write a number."

    def _text_advice(self, text: str) -> str:
        comma = re.sub(r"(?<=\d),(?=\d)", ".", text)
        if comma != text and _ONE.fullmatch(comma):
            return f'Did you mean "{comma}"?'
        return self._advice()

    def _fits(self, number: float) -> bool:
        return self.low <= number <= self.high

    def _hint(self, number: float) -> str:
        """Guess what was meant by a number out of bounds."""
        if not math.isfinite(number):
            return ""
        share = self.kind in ("fraction", "ratio") and SURELY_PER_CENT <= number <= PER_CENT
        if share and self._fits(number / PER_CENT):
            return f"Did you mean {plain_number(number / PER_CENT)}?"
        if (
            self.kind == "length"
            and self.high < number
            and self.high <= LONGEST_HOUSE_M
            and self._fits(number / PER_CENT)
        ):
            return f'Did you mean "{plain_number(number)} cm"? A bare number is in metres.'
        if self.kind == "temperature" and number > self.high and self._fits((number - DEGF_AT_0_DEGC) * K_PER_DEGF):
            return f'Did you mean "{plain_number(number)} F"? A bare number is in degrees C.'
        if self.kind == "angle" and self.high == FULL_TURN_DEG and self._fits(number % FULL_TURN_DEG):
            return f"Did you mean {plain_number(number % FULL_TURN_DEG)}?"
        return ""


def _unit_key(unit: str, kind: Kind) -> str:
    """A unit as it stands in the table. Blanks part the factors of a compound, and a degree sign from its letter."""
    words = unit.lower().split()
    return "".join(words) if kind == "u-value" or words[:1] == ["°"] else " ".join(words)


def _to_float(value: int | float) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf
