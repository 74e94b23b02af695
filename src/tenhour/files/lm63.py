"""Photometric files of one luminaire in the LM-63 layout (ANSI/IES), type C: text to numbers, traps named."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem
from tenhour.files.problems import Problems, show
from tenhour.files.textfile import MOST_BYTES, read_text
from tenhour.units import polar_weights_sr, turn_weights_frac

Array = NDArray[np.float64]

M_PER_FT: Final = 0.3048
FEET, METRES = 1, 2
TYPE_C: Final = 1
TYPES: Final = {2: "B", 3: "A"}
MOST_ANGLES: Final = 2000
QUARTER: Final = 90.0
HALF: Final = 180.0
THREE_QUARTERS: Final = 270.0
FULL: Final = 360.0
ANGLE_TOLERANCE: Final = 1e-3
HEAD_NUMBERS: Final = 13
NOT_UTF8: Final = "is not UTF-8"
_SPLIT: Final = re.compile(r"[\s,]+")


@dataclass(frozen=True)
class Photometry:
    """One luminaire: intensities as the file counts them (candela, or µmol s⁻¹ sr⁻¹), multipliers already in."""

    title: str
    vertical_deg: Array
    horizontal_deg: Array
    """All the way round, or a lone 0 for a lamp of revolution."""
    intensity: Array
    """[horizontal, vertical]."""
    stated_flux: float | None
    """Lumens per lamp times lamps as stated; None for absolute photometry (-1)."""
    power_w: float
    length_m: float
    width_m: float

    @property
    def flux(self) -> float:
        """Integral of the intensities over all directions, in lumens or µmol s⁻¹."""
        return float(turn_weights_frac(self.horizontal_deg) @ self.intensity @ polar_weights_sr(self.vertical_deg))


def read_lm63(path: Path) -> Photometry:
    """Read a luminaire file.

    Errors: FileProblem with every problem found, one line each.
    """
    return parse_lm63(_text(path), str(path))


def _text(path: Path) -> str:
    """Text of the file; keyword lines are often Western European, the numbers never differ."""
    try:
        return read_text(path, MOST_BYTES)
    except FileProblem as error:
        if NOT_UTF8 not in str(error):
            raise
        return path.read_bytes().decode("latin-1")


def parse_lm63(text: str, file: str) -> Photometry:
    """Numbers of a luminaire from the text of its file; see :func:`read_lm63`."""
    problems = Problems(file)
    words, tilt, rest = _parts(text)
    if tilt is None:
        problems.add("", "no TILT= line", "a luminaire file in the LM-63 layout", "Is this the right file?")
        problems.check()
    if tilt not in {"NONE", "INCLUDE"}:
        problems.add("TILT", show(tilt), "NONE or INCLUDE", "Put the tilt table into the file, or write TILT=NONE.")
        problems.check()
    numbers = _numbers(rest, problems)
    if tilt == "INCLUDE":
        numbers = _after_tilt(numbers, problems)
    return _photometry(numbers, words.get("LUMINAIRE") or words.get("LUMCAT") or Path(file).stem, problems)


def _parts(text: str) -> tuple[dict[str, str], str | None, str]:
    """Keywords, the tilt line's value and what follows it."""
    words: dict[str, str] = {}
    lines = text.replace("\r", "\n").split("\n")
    for number, line in enumerate(lines):
        plain = line.strip()
        if plain.upper().startswith("TILT="):
            return words, plain[len("TILT=") :].strip().upper(), "\n".join(lines[number + 1 :])
        found = re.fullmatch(r"\[(\w+)\]\s*(.*)", plain)
        if found:
            words.setdefault(found[1].upper(), found[2].strip())
    return words, None, ""


def _numbers(rest: str, problems: Problems) -> list[float]:
    """All numbers in order; lines mean nothing in this layout."""
    out = []
    for word in _SPLIT.split(rest.strip()):
        try:
            value = float(word)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            problems.add("", f"{word[:20]!r} among the numbers", "numbers", "Is the file whole?")
            problems.check()
        out.append(value)
    return out


def _after_tilt(numbers: list[float], problems: Problems) -> list[float]:
    """Skip an included tilt table: orientation, count, angles, factors. It only matters for lamps burned askew."""
    count = int(numbers[1]) if len(numbers) > 1 and 0 <= numbers[1] <= MOST_ANGLES else -1
    if count < 0 or len(numbers) < 2 + 2 * count:
        problems.add("TILT", "a table that does not end", "orientation, count, angles, factors", "")
        problems.check()
    return numbers[2 + 2 * count :]


def _photometry(numbers: list[float], title: str, problems: Problems) -> Photometry:
    if len(numbers) < HEAD_NUMBERS:
        problems.add("", f"{len(numbers)} numbers after TILT", "at least 13", "Is the file whole?")
        problems.check()
    lamps, lumens, multiplier, rows, columns, kind, units, width, length, _ = numbers[:10]
    ballast, future, watts = numbers[10:HEAD_NUMBERS]
    _check_head(kind, units, rows, columns, problems)
    v_count, h_count = int(rows), int(columns)
    wanted = HEAD_NUMBERS + v_count + h_count + v_count * h_count
    if len(numbers) != wanted:
        left = len(numbers) - HEAD_NUMBERS - v_count - h_count
        allowed = f"{v_count * h_count} ({v_count} vertical by {h_count} horizontal angles)"
        problems.add("intensities", str(max(left, 0)), allowed, "Is the file whole?")
        problems.check()
    body = np.array(numbers[HEAD_NUMBERS:])
    vertical, horizontal = body[:v_count], body[v_count : v_count + h_count]
    values = body[v_count + h_count :].reshape(h_count, v_count)
    _check_body(vertical, horizontal, values, problems)
    factor = multiplier * ballast * (future if future > 0 else 1.0)
    if not factor > 0:
        problems.add("candela multiplier", f"{factor:g}", "above 0", "")
        problems.check()
    vertical, values = _whole_polar(vertical, values)
    horizontal, values = _whole_turn(horizontal, values)
    per_m = M_PER_FT if int(units) == FEET else 1.0
    return Photometry(
        title=title,
        vertical_deg=vertical,
        horizontal_deg=horizontal,
        intensity=values * factor,
        stated_flux=lumens * max(lamps, 1.0) if lumens > 0 else None,
        power_w=watts,
        length_m=abs(length) * per_m,
        width_m=abs(width) * per_m,
    )


def _check_head(kind: float, units: float, rows: float, columns: float, problems: Problems) -> None:
    if kind != TYPE_C:
        do = "Ask the maker for a type C file."
        problems.add("photometric type", TYPES.get(int(kind), f"{kind:g}"), "1 (type C)", do)
    if units not in (FEET, METRES):
        problems.add("units", f"{units:g}", "1 (feet) or 2 (metres)", "")
    for name, count, least in (("vertical angles", rows, 2), ("horizontal angles", columns, 1)):
        if not (least <= count <= MOST_ANGLES and count == int(count)):
            problems.add(name, f"{count:g}", f"a whole number from {least} to {MOST_ANGLES}", "")
    problems.check()


def _check_body(vertical: Array, horizontal: Array, values: Array, problems: Problems) -> None:
    if (np.diff(vertical) <= 0).any() or vertical[0] not in (0.0, QUARTER) or vertical[-1] not in (QUARTER, HALF):
        found = f"{vertical[0]:g} to {vertical[-1]:g}"
        problems.add("vertical angles", found, "rising, 0 to 90, 0 to 180 or 90 to 180 degrees", "")
    first, last = float(horizontal[0]), float(horizontal[-1])
    rising = bool((np.diff(horizontal) > 0).all())
    turned = (first, last) == (QUARTER, THREE_QUARTERS)
    if not rising or not (turned or (first == 0.0 and (last in (0.0, QUARTER) or HALF <= last <= FULL))):
        allowed = "rising from 0 to 0, 90, 180 or 360, or 90 to 270 degrees"
        problems.add("horizontal angles", f"{first:g} to {last:g}", allowed, "")
    if (values < 0).any():
        problems.add("intensities", f"{values.min():g}", "0 or more", "")
    if not values.any():
        problems.add("intensities", "all 0", "light in some direction", "")
    problems.check()


def _whole_polar(vertical: Array, values: Array) -> tuple[Array, Array]:
    """An uplight's table starts at the horizon; nothing shines below it."""
    if vertical[0] == 0.0:
        return vertical, values
    edge = QUARTER - ANGLE_TOLERANCE
    dark = np.zeros((values.shape[0], 2))
    return np.concatenate([[0.0, edge], vertical]), np.concatenate([dark, values], axis=1)


def _whole_turn(horizontal: Array, values: Array) -> tuple[Array, Array]:
    """Unfold the declared symmetry to a full turn."""
    first, last = float(horizontal[0]), float(horizontal[-1])
    if horizontal.size == 1:
        return np.zeros(1), values
    if (first, last) == (QUARTER, THREE_QUARTERS):
        return _unfold_turned(horizontal, values)
    if last == QUARTER:
        horizontal, values = _mirrored(horizontal, values, HALF)
        last = HALF
    if last == HALF:
        return _mirrored(horizontal, values, FULL)
    if last < FULL:
        return np.append(horizontal, FULL), np.concatenate([values, values[:1]])
    return horizontal, values


def _mirrored(horizontal: Array, values: Array, end: float) -> tuple[Array, Array]:
    """Append the mirror image about the last plane."""
    back = end - horizontal[-2::-1]
    return np.concatenate([horizontal, back]), np.concatenate([values, values[-2::-1]])


def _unfold_turned(horizontal: Array, values: Array) -> tuple[Array, Array]:
    """Symmetry about the plane of 90 and 270 degrees: the side from 270 over 0 to 90 mirrors the one given."""
    angles = np.concatenate([horizontal, np.mod(HALF - horizontal, FULL)])
    both = np.concatenate([values, values])
    angle, place = np.unique(np.round(angles, 6), return_index=True)
    rows = both[place]
    if angle[0] != 0.0:
        gap = angle[0] + FULL - angle[-1]
        share = (FULL - angle[-1]) / gap
        zero = rows[-1] * (1 - share) + rows[0] * share
        angle, rows = np.concatenate([[0.0], angle]), np.concatenate([zero[None], rows])
    return np.append(angle, FULL), np.concatenate([rows, rows[:1]])
