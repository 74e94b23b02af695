"""The lamps over one bed: when they burn through the year, and how they hang."""

from __future__ import annotations

from typing import Final

from tenhour.model.lamp_answer import ClockMonth, LampAnswer, LampLayout
from tenhour.report.pictures.bedmap import shade
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.picture import Picture, shorten
from tenhour.words.style import MONTH_NAMES, QUANTITIES, Style, quantity_text

WIDTH: Final = 340.0
LONGEST: Final = 44
"""Letters of a heading that fit the width."""
LEFT_PX: Final = 34.0
RIGHT_PX: Final = 326.0
TOP_PX: Final = 48.0
ROW_PX: Final = 18.0
BAR_PX: Final = 10.0
DAY_H: Final = 24.0
NORTH_ORDER: Final = (7, 8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6)
MOST_TALL_PX: Final = 150.0


def clock_picture(answer: LampAnswer, key: str) -> Picture:
    """Draw the hours with lamps of every month on the local clock, the winter in the middle."""
    order = NORTH_ORDER if _dark_in_midwinter(answer) else tuple(range(1, 13))
    by_month = {row.month: row for row in answer.clock}
    page = Sheet(WIDTH, TOP_PX + 12 * ROW_PX + 40.0)
    page.text(4, 14, shorten(answer.bed, LONGEST), "ink", strong=True)
    page.text(4, 29, "hours with lamps, local clock", "quiet", size=SMALL)
    bottom = TOP_PX + 12 * ROW_PX
    for hour in range(0, 25, 3):
        page.line([(_x(hour), TOP_PX), (_x(hour), bottom)], "hair")
        page.text(_x(hour), bottom + 13, f"{hour} h", "quiet", anchor="center", size=SMALL)
    for n, month in enumerate(order):
        _draw_month(page, by_month[month], TOP_PX + n * ROW_PX)
    page.line([(LEFT_PX, bottom + 26), (LEFT_PX + 24, bottom + 26)], "sun", BAR_PX * 0.7)
    page.text(LEFT_PX + 30, bottom + 26, "lamps on", "quiet", size=SMALL, middle=True)
    return Picture(key, f"Lamp clock of bed {answer.bed}", _describe_clock(answer), page)


def _dark_in_midwinter(answer: LampAnswer) -> bool:
    """Whether the lamps' darkest month lies in the northern winter."""
    return answer.size_month in (9, 10, 11, 12, 1, 2, 3)


def _x(hour: float) -> float:
    return LEFT_PX + (RIGHT_PX - LEFT_PX) * hour / DAY_H


def _hours(clock: str) -> float:
    hours, minutes = clock.split(":")
    return int(hours) + int(minutes) / 60.0


def _draw_month(page: Sheet, row: ClockMonth, top: float) -> None:
    middle = top + ROW_PX / 2
    page.text(LEFT_PX - 5, middle, MONTH_NAMES[row.month - 1], "quiet", anchor="right", size=SMALL, middle=True)
    page.line([(LEFT_PX, middle), (RIGHT_PX, middle)], "line", 0.8, (1.0, 3.0))
    for on, off in row.windows:
        first, last = _hours(on), _hours(off)
        spans = [(first, last)] if last > first else [(first, DAY_H), (0.0, last)]
        page.boxes(
            [(_x(a), middle - BAR_PX / 2, _x(b) - _x(a), BAR_PX) for a, b in spans if b > a], fill="sun", edge="sun"
        )


def _describe_clock(answer: LampAnswer) -> str:
    lit = [row for row in answer.clock if row.windows]
    if not lit:
        return "The lamps stay off all year. The table that follows says the same."
    longest = max(lit, key=lambda row: row.lamp_h)
    times = " and ".join(f"{on} to {off}" for on, off in longest.windows)
    return (
        f"Lamps burn in {len(lit)} months of the year, longest in {MONTH_NAMES[longest.month - 1]}: {times}, "
        f"{longest.lamp_h:.1f} hours. The table that follows gives every month."
    )


def hang_picture(answer: LampAnswer, layout: LampLayout, key: str, style: Style) -> Picture:
    """Draw the bed from above with its fixtures to scale, over the light of a mean day in the darkest month."""
    long_m, deep_m = _bed_size(answer, layout)
    scale = min((RIGHT_PX - LEFT_PX) / long_m, MOST_TALL_PX / deep_m)
    right, bottom = LEFT_PX + long_m * scale, TOP_PX + deep_m * scale
    page = Sheet(WIDTH, bottom + 62.0)
    length = QUANTITIES["length"]
    page.text(4, 14, shorten(answer.bed, LONGEST), "ink", strong=True)
    high = quantity_text("length", layout.height_m, style)
    page.text(4, 29, f"fixtures from above, {high} over the leaves", "quiet", size=SMALL)
    page.text((LEFT_PX + right) / 2, TOP_PX - 4, "back of the house", "quiet", anchor="center", size=SMALL)
    _draw_light(page, answer, scale, bottom)
    page.boxes([(LEFT_PX, TOP_PX, right - LEFT_PX, bottom - TOP_PX)], edge="ink", width=1.4)
    page.boxes(_fixtures(layout, scale, bottom), fill="paper", edge="ink", hatch="crossed", width=1.0)
    page.text(LEFT_PX, bottom + 13, "0", "quiet", anchor="center", size=SMALL)
    page.text(right, bottom + 13, length.text(long_m, style), "quiet", anchor="right", size=SMALL)
    page.boxes([(LEFT_PX, bottom + 26, 24, 8)], fill="paper", edge="ink", hatch="crossed", width=1.0)
    words = f"{layout.each_count} fixtures"
    page.text(LEFT_PX + 30, bottom + 30, words, "quiet", size=SMALL, middle=True)
    if answer.map is not None:
        values = [value for row in answer.map.dli_mol_m2_d for value in row]
        said = f"light of a mean day with lamps: {min(values):.1f} to {max(values):.1f} mol m⁻² d⁻¹"
        page.text(4, bottom + 50, said, "quiet", size=SMALL)
    desc = (
        f"{layout.each_count} fixtures, {layout.columns_count} along the bed by {layout.rows_count} across, "
        f"{high} above the leaves; the darkest point gets {layout.min_mean_frac:.2f} of the mean. The tables that "
        "follow give their places and what other heights would do."
    )
    return Picture(key, f"Lamps over bed {answer.bed}", desc, page)


def _bed_size(answer: LampAnswer, layout: LampLayout) -> tuple[float, float]:
    """Length and depth of the bed [m]: from the map's cells, or from its area and the fixtures' spread."""
    if answer.map is not None and len(answer.map.x_m) > 1 and len(answer.map.y_m) > 1:
        step_x = answer.map.x_m[1] - answer.map.x_m[0]
        step_y = answer.map.y_m[1] - answer.map.y_m[0]
        return step_x * len(answer.map.x_m), step_y * len(answer.map.y_m)
    long_m = max(*layout.x_m, 0.1) + min(*layout.x_m, 0.1)
    return long_m, max(answer.area_m2 / long_m, 0.1)


def _draw_light(page: Sheet, answer: LampAnswer, scale: float, bottom: float) -> None:
    if answer.map is None or len(answer.map.x_m) < 2 or len(answer.map.y_m) < 2:
        return
    wide = (answer.map.x_m[1] - answer.map.x_m[0]) * scale
    tall = (answer.map.y_m[1] - answer.map.y_m[0]) * scale
    high = max(value for row in answer.map.dli_mol_m2_d for value in row)
    for j, row in enumerate(answer.map.dli_mol_m2_d):
        for i, value in enumerate(row):
            step = f"map{shade(value, high)}"
            page.boxes([(LEFT_PX + i * wide, bottom - (j + 1) * tall, wide, tall)], fill=step, edge=step, width=0.5)


def _fixtures(layout: LampLayout, scale: float, bottom: float) -> list[tuple[float, float, float, float]]:
    long_m, wide_m = layout.size_m if layout.along == "the length" else layout.size_m[::-1]
    wide, tall = max(long_m * scale, 3.0), max(wide_m * scale, 3.0)
    return [
        (LEFT_PX + x * scale - wide / 2, bottom - y * scale - tall / 2, wide, tall)
        for x, y in zip(layout.x_m, layout.y_m, strict=True)
    ]
