"""Light over the grid of one bed, seen from above: a shade and, where there is room, a number in every cell."""

from __future__ import annotations

import math
from typing import Final

from tenhour.model.results import BedMap
from tenhour.report.pictures.canvas import FONT, SMALL, Sheet
from tenhour.report.pictures.palette import MAP_STEPS
from tenhour.report.pictures.picture import Picture, shorten
from tenhour.words.style import QUANTITIES, Style
from tenhour.words.text import written

WIDTH: Final = 340.0
LEFT_PX: Final = 34.0
RIGHT_PX: Final = 334.0
TOP_PX: Final = 48.0
LEAST_CELL_PX: Final = 15.0
MOST_CELL_PX: Final = 40.0
NUMBER_PX: Final = 30.0
"""Room a number needs; in narrower cells only every second, third ... carries one."""


def map_picture(bed_map: BedMap, key: str, style: Style, top_mol_m2_d: float | None = None) -> Picture:
    """Draw one bed in one month or on one day; shades are shares of a brightest point.

    Parameters: top_mol_m2_d, the brightest point of all drawings beside it; None for that of this one.
    """
    rows, columns = len(bed_map.y_m), len(bed_map.x_m)
    wide = (RIGHT_PX - LEFT_PX) / columns
    tall = min(max(wide, LEAST_CELL_PX), MOST_CELL_PX)
    bottom = TOP_PX + rows * tall
    values = [value for row in bed_map.dli_mol_m2_d for value in row]
    low, high = min(values), max(values)
    when = written(bed_map.when, style)
    page = Sheet(WIDTH, bottom + 58.0)
    page.text(4, 14, shorten(bed_map.bed), "ink", strong=True)
    page.text(4, 29, f"{when}, mol m⁻² d⁻¹", "quiet", size=SMALL)
    page.text((LEFT_PX + RIGHT_PX) / 2, TOP_PX - 5, "back of the house", "quiet", anchor="center", size=SMALL)
    top = high if top_mol_m2_d is None else top_mol_m2_d
    _draw_cells(page, bed_map, wide, tall, top)
    page.boxes([(LEFT_PX, TOP_PX, RIGHT_PX - LEFT_PX, bottom - TOP_PX)], edge="line", width=1.0)
    _draw_sizes(page, bed_map, wide, tall, bottom, style)
    page.text((LEFT_PX + RIGHT_PX) / 2, bottom + 26, "front", "quiet", anchor="center", size=SMALL)
    draw_key(page, bottom + 40.0, top)
    desc = (
        f"Seen from above, the back of the house at the top. From {low:.1f} at the dimmest point to {high:.1f} "
        f"mol m⁻² d⁻¹ at the brightest. The table that follows says the same."
    )
    return Picture(key, f"Light over bed {bed_map.bed}, {when}", desc, page)


def shade(value: float, high: float) -> int:
    """Step of the shade, 0 to 6, by the share of the brightest point."""
    if not high > 0.0 or math.isnan(value):
        return 0
    return min(MAP_STEPS - 1, int(value / high * MAP_STEPS))


def _draw_cells(page: Sheet, bed_map: BedMap, wide: float, tall: float, high: float) -> None:
    steps: dict[int, list[tuple[float, float, float, float]]] = {n: [] for n in range(MAP_STEPS)}
    rows = len(bed_map.y_m)
    for j, row in enumerate(bed_map.dli_mol_m2_d):
        top = TOP_PX + (rows - 1 - j) * tall
        for i, value in enumerate(row):
            steps[shade(value, high)].append((LEFT_PX + i * wide, top, wide, tall))
    for n, boxes in steps.items():
        page.boxes(boxes, fill=f"map{n}", edge=f"map{n}", width=0.5)
    every = max(1, math.ceil(NUMBER_PX / wide))
    for j, row in enumerate(bed_map.dli_mol_m2_d):
        middle = TOP_PX + (rows - 1 - j + 0.5) * tall
        last = -math.inf
        for i in range(every // 2, len(row), every):
            text = "-" if math.isnan(row[i]) else f"{row[i]:.1f}"
            x = min(max(LEFT_PX + (i + 0.5) * wide, LEFT_PX + NUMBER_PX / 2), RIGHT_PX - NUMBER_PX / 2)
            if x - last < NUMBER_PX:
                continue
            last = x
            page.text(x, middle, text, "mapink", anchor="center", size=FONT, middle=True)


def _draw_sizes(page: Sheet, bed_map: BedMap, wide: float, tall: float, bottom: float, style: Style) -> None:
    length = QUANTITIES["length"]
    every = max(1, math.ceil(50.0 / wide))
    for i in range(0, len(bed_map.x_m), every):
        page.text(
            LEFT_PX + (i + 0.5) * wide, bottom + 12, length.number(bed_map.x_m[i], style), "quiet", anchor="center",
            size=SMALL,
        )  # fmt: skip
    page.text(RIGHT_PX, bottom + 26, length.label(style), "quiet", anchor="right", size=SMALL)
    rows = len(bed_map.y_m)
    for j in range(0, rows, max(1, math.ceil(13.0 / tall))):
        page.text(
            LEFT_PX - 4, TOP_PX + (rows - 0.5 - j) * tall, length.number(bed_map.y_m[j], style), "quiet",
            anchor="right", size=SMALL, middle=True,
        )  # fmt: skip


def draw_key(page: Sheet, top: float, high: float) -> None:
    """The shades and how much light each stands for."""
    wide = (RIGHT_PX - LEFT_PX) / MAP_STEPS
    for n in range(MAP_STEPS):
        page.boxes([(LEFT_PX + n * wide, top, wide, 13.0)], fill=f"map{n}", edge="line", width=0.5)
        text = f"≤{(n + 1) * high / MAP_STEPS:.1f}"
        page.text(LEFT_PX + (n + 0.5) * wide, top + 6.5, text, "mapink", anchor="center", size=FONT, middle=True)
