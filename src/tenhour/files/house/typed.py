"""What people type when they describe a house: directions, months, covers, sizes and sides in words."""

from __future__ import annotations

import calendar
import re
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Final

from tenhour.files.units_text import BadValueError
from tenhour.model.outline import LOOKS_DEG
from tenhour.model.site import MONTHS

FULL_TURN_DEG: Final = 360.0
HALF_TURN_DEG: Final = 180.0
QUARTER_TURN_DEG: Final = 90.0
POINTS: Final = ("n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw")
_LETTERS: Final = {"north": "n", "south": "s", "east": "e", "west": "w"}
UNIT_WORDS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("us", "feet", "foot", "ft", "imperial", "inches", "inch", "in", "'", "f", "fahrenheit"), "us"),
    **dict.fromkeys(("metric", "metres", "meters", "metre", "meter", "m", "cm", "si", "c", "celsius"), "metric"),
}
"""Ways to say in which units one measures."""
NOTHING: Final = frozenset({"no", "none", "never", "nothing", "-", "0", "off", "not", "n"})
"""Ways to say that there is none of it."""
LEAST_LETTERS: Final = 3
"""Of a month's name."""
COVERS: Final[Mapping[str, str]] = {
    "1": "glass-1",
    "2": "glass-2",
    "3": "twin-wall-6",
    "4": "twin-wall-10",
    "5": "multi-wall-16",
    "6": "film-1",
    "7": "film-2",
}
"""The seven that most small houses have, by their number in the list."""
COVER_WORDS: Final = (
    "1 single glass, 2 double glass, 3 twin-wall 6 mm, 4 twin-wall 10 mm, 5 twin-wall 16 mm, 6 plastic film, "
    "7 two films with air between"
)
_WALLS_MM: Final = {4: "twin-wall-4", 6: "twin-wall-6", 8: "twin-wall-8", 10: "twin-wall-10", 16: "multi-wall-16"}
_MM_AND_KIND: Final = re.compile(r"(\d+)\s*mm")
_FRACTION: Final = re.compile(r"(?:(\d+)\s+)?(\d+)/(\d+)")
_SIGNS: Final = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
SIDES: Final[Mapping[str, str]] = {"front": "south", "back": "north", "left": "west", "right": "east", "rear": "north"}
"""Faces by where they are, seen from outside before the front."""


def direction_deg(text: str) -> float:
    """Compass direction [°] from "south", "SW", "south-west", "180" or "180 deg".

    Errors: BadValueError.
    """
    plain = text.strip().lower().removesuffix("degrees").removesuffix("deg").removesuffix("°").strip()
    letters = "".join(_LETTERS.get(word, word) for word in re.sub(r"(north|south|east|west)", r" \1 ", plain).split())
    letters = letters.replace("-", "").removesuffix("wards").removesuffix("ward").removesuffix("ern")
    if letters in POINTS:
        return POINTS.index(letters) * FULL_TURN_DEG / len(POINTS)
    if re.fullmatch(r"\d{1,3}(\.\d+)?", plain) and float(plain) <= FULL_TURN_DEG:
        return float(plain) % FULL_TURN_DEG
    raise BadValueError("a direction", "Write south, SW, south-west, or degrees from north clockwise: 180.")


def compass_words(direction: float) -> str:
    """A direction [°] as words: "south", "south-west", "232° (south-west)"."""
    point = POINTS[round(direction / FULL_TURN_DEG * len(POINTS)) % len(POINTS)]
    names = {letter: word for word, letter in _LETTERS.items()}
    word = "-".join([names[point[0]], *(["".join(names[ch] for ch in point[1:])] if point[1:] else [])])
    exact = POINTS.index(point) * FULL_TURN_DEG / len(POINTS) == direction
    return word if exact else f"{direction:g}° ({word})"


def months(text: str) -> tuple[int, ...]:
    """Numbers of months from "Nov to March", "11-3", "Nov, Dec, Jan", "12,1,2"; none from "no".

    Errors: BadValueError.
    """
    plain = text.strip().lower().strip("[]")
    if plain in NOTHING or not plain:
        return ()
    found: list[int] = []
    for part in re.split(r"[,;&]|\band\b", plain):
        ends = [month(word) for word in re.split(r"\bto\b|\btill\b|\buntil\b|[-–]", part) if word.strip()]
        if not 1 <= len(ends) <= 2:
            raise BadValueError("months", "Write Nov to March, or Dec, Jan, Feb, or none.")
        first, last = ends[0], ends[-1]
        found += [(first - 1 + step) % MONTHS + 1 for step in range((last - first) % MONTHS + 1)]
    return tuple(dict.fromkeys(found))


def month(text: str) -> int:
    """Number of one month, from its number or the beginning of its name.

    Errors: BadValueError.
    """
    plain = text.strip().lower().rstrip(".")
    if plain.isdecimal() and 1 <= int(plain) <= MONTHS:
        return int(plain)
    names = [name.lower() for name in calendar.month_name]
    found = [n for n, name in enumerate(names) if len(plain) >= LEAST_LETTERS and name.startswith(plain)]
    if len(found) == 1:
        return found[0]
    close = get_close_matches(plain, names[1:], n=1)
    do = f"Did you mean {close[0].capitalize()}?" if close else "Write Nov to March, or Dec, Jan, Feb, or none."
    raise BadValueError("months", do)


def month_words(numbers: tuple[int, ...]) -> str:
    """Months by name, in their order; "none" for none."""
    return ", ".join(calendar.month_abbr[number] for number in numbers) or "none"


def cover_key(text: str) -> str | None:
    """Key of the cover that everyday words mean, or None where they mean none that is known here."""
    plain = " ".join(text.strip().lower().replace("-", " ").replace("_", " ").split())
    if plain in COVERS:
        return COVERS[plain]
    double = re.search(r"\b(double|two|2|inflated)\b", plain) is not None
    thick = _MM_AND_KIND.search(plain)
    if re.search(r"wall|polycarb|\bpc\b|lexan|panel", plain) and (thick or "wall" in plain):
        size = int(thick[1]) if thick else 6 if re.search(r"\bsingle\b", plain) else 10
        if "25" in plain or size > 20:
            return "multi-wall-25"
        return _WALLS_MM[min(_WALLS_MM, key=lambda mm: abs(mm - size))]
    if re.search(r"polycarb", plain):
        return "polycarbonate-1" if "single" in plain or "corrugated" in plain else "twin-wall-6"
    if re.search(r"film|plastic|polythene|polyethylene|poly\b|polytunnel|foil|sheeting", plain):
        return "film-2" if double else "film-1"
    if re.search(r"acrylic|perspex|plexi", plain):
        return "acrylic-2" if double else "acrylic-1"
    if re.search(r"fibre ?glass|fiber ?glass|grp", plain):
        return "fibreglass-1"
    if re.search(r"glass|glaz|pane", plain):
        return "glass-3" if re.search(r"tripl|three|3", plain) else "glass-2" if double else "glass-1"
    return None


def with_unit(text: str, unit: str) -> str:
    """A size with its unit where none was typed; fractions as carpenters write them become decimals."""
    plain = text.strip()
    for sign, words in _SIGNS.items():
        plain = plain.replace(sign, words).strip()
    plain = _FRACTION.sub(lambda m: f"{int(m[1] or 0) + int(m[2]) / int(m[3]):g}" if int(m[3]) else m[0], plain)
    bare = re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)", plain)
    return f"{plain} {unit}" if bare and unit else plain


def faces_of(text: str, azimuth_deg: float, known: tuple[str, ...]) -> tuple[str, ...]:
    """Faces of a house from "back", "north", "both ends", "left and right"; none from "none".

    Parameters: text; azimuth_deg, compass direction along the front [°]; known, names of the faces there are.
    Errors: BadValueError.
    """
    plain = re.sub(r"\b(walls?|sides?|the|faces?)\b", " ", text.strip().lower())
    if plain.strip() in NOTHING:
        return ()
    found: list[str] = []
    for word in re.split(r"[,;&+\s]+|\band\b", plain):
        if word in ("", "both"):
            continue
        found += ["west", "east"] if word == "ends" else [_face(word, azimuth_deg)]
    missing = [face for face in found if face not in known]
    if missing or not found:
        raise BadValueError("front, back, left, right, ends or a compass direction", "Write back, or none.")
    return tuple(dict.fromkeys(found))


def _face(word: str, azimuth_deg: float) -> str:
    """A wall by its place, or the one that looks most nearly in a direction."""
    if word in SIDES:
        return SIDES[word]
    turn = azimuth_deg - QUARTER_TURN_DEG
    wanted = direction_deg(word)
    walls = {face: (looks + turn) % FULL_TURN_DEG for face, looks in LOOKS_DEG.items() if "roof" not in face}
    return min(walls, key=lambda face: abs((walls[face] - wanted + HALF_TURN_DEG) % FULL_TURN_DEG - HALF_TURN_DEG))
