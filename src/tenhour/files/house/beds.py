"""Beds placed by the side they lie on and their width, as a grower says them."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Final

from tenhour.files.house.schema import SIZE
from tenhour.files.house.typed import with_unit
from tenhour.files.units_text import BadValueError

if TYPE_CHECKING:
    from tenhour.files.house.draft import Draft

SIDE_WORDS: Final = "front, back, left, right or middle"
MARGIN_M: Final = 0.15
"""Between glass and bed."""
ARM_M: Final = 0.8
"""As deep as an arm reaches from one side: common practice."""
PATH_M: Final = 0.45
"""Least room to walk between beds: judgement."""
LEAST_M: Final = 0.1
_SIDE: Final = re.compile(
    r"(?:at |on |along )?(?:the )?(front|back|rear|left|right|middle|centre|center)\b(?: side| bed)?[ ,:]*(.*)"
)
_SIDE_LAST: Final = re.compile(
    r"(.*?)[ ,]+(?:at |on |along )?(?:the )?(front|back|rear|left|right|middle|centre|center)(?: side)?"
)
_SAME: Final = {"rear": "back", "centre": "middle", "center": "middle"}
Box = tuple[float, float, float, float]
"""Left, front, right and back edge [m]."""


def placed(draft: Draft, text: str, unit: str) -> str:
    """Return a bed as "name,x,y,length,width" in metres from "front 3 ft", "left 80 cm" or "front 12 x 3 ft".

    Parameters: draft, with the sizes of the house and the beds so far; text; unit, of bare numbers.
    Errors: BadValueError.
    """
    side, sizes = _taken_apart(text)
    width_m = _size(sizes[-1], unit) if sizes else usual_width_m(draft)
    length_m = _size(sizes[0], unit) if len(sizes) > 1 else None
    others = {row[0]: row for row in (bed.split(",") for bed in draft.bed)}
    if side in others:
        raise BadValueError("one bed on each side", f"There is a bed on the {side} already.")
    boxes = {name: _box(row) for name, row in others.items()}
    left, front, right, back = _room(draft, boxes, across=side in ("left", "right"), middle=side == "middle")
    if side in ("front", "back", "middle"):
        long_m = min(length_m or right - left, right - left)
        y = {"front": front, "back": back - width_m, "middle": (front + back - width_m) / 2}[side]
        box = (left, y, left + long_m, y + width_m)
    else:
        long_m = min(length_m or back - front, back - front)
        x = left if side == "left" else right - width_m
        box = (x, front, x + width_m, front + long_m)
    _check(side, box, boxes, (left, front, right, back))
    return ",".join([side, *(f"{value:.3f}" for value in (box[0], box[1], box[2] - box[0], box[3] - box[1]))])


def usual_width_m(draft: Draft) -> float:
    """Width [m] of a bed along the front: as deep as an arm reaches, or as the house is."""
    _, front, _, back = _room(draft, {}, across=False, middle=False)
    return min(ARM_M, math.floor((back - front) * 20) / 20)


def _taken_apart(text: str) -> tuple[str, list[str]]:
    plain = " ".join(text.lower().split())
    first, last = _SIDE.fullmatch(plain), _SIDE_LAST.fullmatch(plain)
    if first is None and last is None:
        raise BadValueError(SIDE_WORDS, f"Write where and how wide, like front 3 ft: {SIDE_WORDS}.")
    side, rest = (first[1], first[2]) if first is not None else (last[2], last[1]) if last is not None else ("", "")
    rest = rest.removesuffix("wide").removesuffix("deep").strip()
    sizes = [part.strip() for part in re.split(r"\s*[x×*]\s*|\bby\b", rest) if part.strip()]
    if len(sizes) > 2:
        raise BadValueError("a width, or length x width", "Write front 3 ft, or front 12 x 3 ft.")
    unit = re.search(r"[a-z'\"]+$", sizes[-1]) if sizes else None
    if unit is not None and len(sizes) == 2 and re.fullmatch(r"[\d.]+", sizes[0]):
        sizes[0] = f"{sizes[0]} {unit[0]}"
    return _SAME.get(side, side), sizes


def _size(text: str, unit: str) -> float:
    typed = with_unit(text, unit)
    return SIZE(typed)


def _house_m(draft: Draft, side: str) -> float:
    from tenhour.files.house.draft import number_or_text

    return SIZE(number_or_text(getattr(draft, side) or "1"))


def _box(row: list[str]) -> Box:
    x, y, length, deep = (float(value) for value in row[1:5])
    return x, y, x + length, y + deep


def _room(draft: Draft, boxes: dict[str, Box], *, across: bool, middle: bool) -> Box:
    """Floor that is left for a bed: inside the walls, and between the beds that lie there already."""
    length_m, width_m = _house_m(draft, "length"), _house_m(draft, "width")
    margin = min(MARGIN_M, length_m / 8, width_m / 8)
    low = width_m / 8 if draft.shape == "hoop" else margin
    left, front, right, back = margin, low, length_m - margin, width_m - low
    gap = PATH_M if middle else 0.0
    if across or middle:
        front = max([front, *(boxes[name][3] + gap for name in ("front",) if name in boxes)])
        back = min([back, *(boxes[name][1] - gap for name in ("back",) if name in boxes)])
    if not across:
        left = max([left, *(boxes[name][2] + gap for name in ("left",) if name in boxes)])
        right = min([right, *(boxes[name][0] - gap for name in ("right",) if name in boxes)])
    return left, front, right, back


def _check(side: str, box: Box, boxes: dict[str, Box], room: Box) -> None:
    fits = (
        box[0] >= room[0] - 1e-6 and box[1] >= room[1] - 1e-6 and box[2] <= room[2] + 1e-6 and box[3] <= room[3] + 1e-6
    )
    long_enough = box[2] - box[0] >= LEAST_M and box[3] - box[1] >= LEAST_M
    over = next((name for name, other in boxes.items() if _overlap(box, other)), None)
    if fits and long_enough and over is None:
        return
    across = side in ("left", "right")
    most_m = max(0.0, room[2] - room[0] if across else room[3] - room[1])
    where = f"It would lie on the bed {over}." if over is not None else f"At most {most_m:.2f} m wide fits there."
    raise BadValueError("a bed inside the house, beside the others", where)


def _overlap(one: Box, two: Box) -> bool:
    return min(one[2], two[2]) - max(one[0], two[0]) > 1e-3 and min(one[3], two[3]) - max(one[1], two[1]) > 1e-3
