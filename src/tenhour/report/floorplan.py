"""The house from above in letters: walls by what passes them, beds where they lie, what stands among them."""

from __future__ import annotations

from typing import Final, NamedTuple

from tenhour.model.house import House, Window
from tenhour.model.outline import WALLS, looks_deg
from tenhour.report.terminal import NARROW, wrap
from tenhour.words.style import Style, quantity_text

MOST_COLUMNS: Final = 58
SPACES: Final = 2
MOST_ROWS: Final = 17
LETTER_RATIO: Final = 2.0
"""A letter of a terminal is about twice as high as it is wide."""
LEAST_COLUMNS: Final = 4
LEAST_ROWS: Final = 2
GLAZED: Final = ("─", "│")
SOLID: Final = ("━", "┃")
UNKNOWN: Final = ("·", "·")
CORNER: Final = "+"
FRAME: Final = ("┌", "┐", "└", "┘")
THINGS: Final = "░"
ARROWS: Final = "↑↗→↘↓↙←↖"
EIGHTH_DEG: Final = 45.0
FULL_TURN_DEG: Final = 360.0
UNTURNED_DEG: Final = 90.0
"""Compass direction along the front of a house whose back looks north."""
POINTS: Final = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")


class _Box(NamedTuple):
    """A rectangle on the floor [m]: along the front, and away from it."""

    left: float
    near: float
    right: float
    far: float


class _Frame(NamedTuple):
    """The same in letters: rows from the top, columns from the left."""

    top: int
    left: int
    bottom: int
    right: int

    def holds(self, row: int, column: int) -> bool:
        """Whether a letter lies in it."""
        return self.top <= row <= self.bottom and self.left <= column <= self.right


class _Sheet:
    """Letters by row and column, the back of the house on top."""

    def __init__(self, floor: _Box, most_columns: int) -> None:
        wide, deep = max(floor.right - floor.left, 1e-6), max(floor.far - floor.near, 1e-6)
        self.step_m = max(wide / most_columns, deep / MOST_ROWS / LETTER_RATIO)
        self.floor = floor
        self.columns = max(round(wide / self.step_m), LEAST_COLUMNS)
        self.rows = max(round(deep / self.step_m / LETTER_RATIO), LEAST_ROWS)
        self.letters = [[" "] * (self.columns + 1) for _ in range(self.rows + 1)]

    def column(self, x_m: float) -> int:
        """Column of a place along the front."""
        share = (x_m - self.floor.left) / (self.floor.right - self.floor.left)
        return min(max(round(share * self.columns), 0), self.columns)

    def row(self, y_m: float) -> int:
        """Row of a place away from the front."""
        share = (y_m - self.floor.near) / (self.floor.far - self.floor.near)
        return min(max(self.rows - round(share * self.rows), 0), self.rows)

    def put(self, row: int, column: int, text: str) -> None:
        """Write letters, cut at the edge."""
        for n, letter in enumerate(text[: self.columns + 1 - column]):
            self.letters[row][column + n] = letter


def floor_plan(house: House, style: Style, width: int = NARROW) -> list[str]:
    """Return the plan of a house and its beds, the back on top, with a line on what the signs mean.

    Parameters: house; style, units of the lengths written beside it; width, columns at most.
    """
    sides = len(_side(house, "west", "left")) + len(_side(house, "east", "right")) + SPACES
    sheet = _Sheet(_floor(house), min(MOST_COLUMNS, width - sides))
    _walls(sheet, house)
    for box in house.boxes:
        _fill(sheet, _Box(*box.at_m[:2], box.at_m[0] + box.size_m[0], box.at_m[1] + box.size_m[1]))
    _beds(sheet, house)
    return _captioned(sheet, house, style, width)


def _floor(house: House) -> _Box:
    """The floor, or of a custom house the rectangle round its surfaces."""
    if house.dimensions_m:
        return _Box(0.0, 0.0, house.dimensions_m["length"], house.dimensions_m["width"])
    corners = [corner for surface in house.surfaces for corner in surface.vertices_m]
    xs, ys = ([corner[axis] for corner in corners] for axis in (0, 1))
    return _Box(min(xs), min(ys), max(xs), max(ys))


def _walls(sheet: _Sheet, house: House) -> None:
    """The four walls, windows in solid ones as gaps of glass."""
    for wall in WALLS:
        across = wall in ("south", "north")
        line = sheet.row(sheet.floor.near if wall == "south" else sheet.floor.far)
        if not across:
            line = sheet.column(sheet.floor.left if wall == "west" else sheet.floor.right)
        signs = [_sign(house, wall)] * ((sheet.columns if across else sheet.rows) + 1)
        for window in house.windows:
            if window.on == wall and not house.covers[window.cover].opaque:
                first, last = _window_span(sheet, window, wall)
                signs[first : last + 1] = [GLAZED] * (last + 1 - first)
        for n, sign in enumerate(signs):
            sheet.put(line if across else n, n if across else line, sign[0 if across else 1])
    for row in (0, sheet.rows):
        for column in (0, sheet.columns):
            sheet.put(row, column, CORNER)


def _sign(house: House, wall: str) -> tuple[str, str]:
    face = house.faces.get(wall)
    if house.shape == "custom":
        return UNKNOWN
    if face is None:  # the curved side of a hoop
        return GLAZED
    return SOLID if house.covers[face.cover].opaque else GLAZED


def _window_span(sheet: _Sheet, window: Window, wall: str) -> tuple[int, int]:
    """First and last place of a window along its wall; its left is that of somebody who stands inside."""
    begin, end = window.left_m, window.left_m + window.width_m
    floor = sheet.floor
    if wall == "south":  # seen from inside its left is the right of the drawing
        return sheet.column(floor.right - end), sheet.column(floor.right - begin)
    if wall == "north":
        return sheet.column(floor.left + begin), sheet.column(floor.left + end)
    if wall == "west":
        return sheet.row(floor.near + end), sheet.row(floor.near + begin)
    return sheet.row(floor.far - begin), sheet.row(floor.far - end)


def _inside(sheet: _Sheet, box: _Box) -> _Frame:
    """The letters a rectangle takes; it never hides a wall."""
    top, bottom = max(sheet.row(box.far), 1), min(sheet.row(box.near), sheet.rows - 1)
    left, right = max(sheet.column(box.left), 1), min(sheet.column(box.right), sheet.columns - 1)
    return _Frame(min(top, bottom), min(left, right - 1), bottom, right)


def _fill(sheet: _Sheet, box: _Box) -> None:
    """A shelf, rack or barrel as a grey patch."""
    top, left, bottom, right = _inside(sheet, box)
    for row in range(top, bottom + 1):
        sheet.put(row, left, THINGS * (right - left + 1))


def _beds(sheet: _Sheet, house: House) -> None:
    """Beds as frames with their names, those of a rack in one; the higher lie over the lower."""
    frames: dict[_Frame, list[str]] = {}
    for bed in sorted(house.beds, key=lambda bed: bed.height_m):
        (x, y), (along, away) = bed.at_m, bed.size_m
        frames.setdefault(_inside(sheet, _Box(x, y, x + along, y + away)), []).append(bed.name)
    order = list(frames)
    for place, frame in enumerate(order):
        _framed(sheet, frame)
        hidden = any(other.holds(frame.top, frame.left + 2) for other in order[place + 1 :])
        frames[frame] = [", ".join(reversed(frames[frame])), "low" if hidden else ""]
    for frame, (name, low) in frames.items():
        room = frame.right - frame.left - 1
        label = f" {name} " if len(name) + 2 <= room else name[:room]
        sheet.put(frame.bottom if low else frame.top, frame.left + 1, label)


def _framed(sheet: _Sheet, frame: _Frame) -> None:
    inner = frame.right - frame.left - 1
    for row in range(frame.top, frame.bottom + 1):
        sheet.put(row, frame.left, GLAZED[1] + " " * inner + GLAZED[1])
    sheet.put(frame.bottom, frame.left, FRAME[2] + GLAZED[0] * inner + FRAME[3])
    sheet.put(frame.top, frame.left, FRAME[0] + GLAZED[0] * inner + FRAME[1])


def _captioned(sheet: _Sheet, house: House, style: Style, width: int) -> list[str]:
    """The drawing with sides, lengths and the way north beside it."""
    drawn = ["".join(row) for row in sheet.letters]
    left, right = _side(house, "west", "left"), _side(house, "east", "right")
    margin, middle, wide = " " * len(left), len(drawn) // 2, len(drawn[0])
    out = [f"{margin} {_side(house, 'north', 'back'):^{wide}}".rstrip()]
    for n, line in enumerate(drawn):
        out.append(f"{left} {line} {right}" if n == middle else f"{margin} {line}")
    out.append(f"{margin} {_side(house, 'south', 'front'):^{wide}}".rstrip())
    return [*out, *wrap(f"{', '.join(_legend(sheet, house, style))}.", width)]


def _legend(sheet: _Sheet, house: House, style: Style) -> list[str]:
    floor = sheet.floor
    sizes = [quantity_text("length", size, style) for size in (floor.right - floor.left, floor.far - floor.near)]
    turned = 0.0 if house.shape == "custom" else house.azimuth_deg - UNTURNED_DEG
    north = ARROWS[round((FULL_TURN_DEG - turned) % FULL_TURN_DEG / EIGHTH_DEG) % len(ARROWS)]
    said = [" by ".join(sizes), f"north {north}"]
    if house.shape != "custom":
        said += [f"{SOLID[0] * 2} lets no light in", f"{GLAZED[0] * 2} does"]
    return [*said, *([f"{THINGS * 2} stands inside"] if house.boxes else [])]


def _side(house: House, face: str, word: str) -> str:
    """A side by its place and where it looks: ``front S``."""
    direction = None if house.shape == "custom" else looks_deg(face, house.azimuth_deg)
    return word if direction is None else f"{word} {compass(direction).split(' ')[0]}"


def compass(direction_deg: float) -> str:
    """Return a direction [°] as a compass point with its degrees."""
    point = POINTS[round(direction_deg / FULL_TURN_DEG * len(POINTS)) % len(POINTS)]
    return f"{point} {direction_deg:.0f}°"
