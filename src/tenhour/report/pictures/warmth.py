"""Warmth in pictures: the year inside and under cover, and a cold night hour by hour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.model.heat_answer import HeatMonth, NightHour
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.light import winter_year
from tenhour.report.pictures.picture import Picture, TimeAxis, draw_months
from tenhour.words.style import QUANTITIES, Style

WIDTH: Final = 340.0
"""No wider than a phone, so that its words are read there."""
HEIGHT: Final = 316.0
LEFT_PX: Final = 34.0
RIGHT_PX: Final = 330.0
TOP_PX: Final = 30.0
BOTTOM_PX: Final = 236.0
KEY_PX: Final = 276.0
KEY_LINE_PX: Final = 18.0
MOST_TICKS: Final = 8
STEPS: Final = (1, 2, 5, 10, 20, 50)
FREEZING_DEGC: Final = 0.0

Look = tuple[str, str, float, tuple[float, ...]]
"""Words in the key, role, width and dashes of a line."""
Line = tuple[Look, Sequence[float]]
OUTDOORS: Final[Look] = ("outdoors", "dull", 1.6, (7.0, 3.0))
DAY: Final[Look] = ("day", "sun", 1.6, ())
NIGHT: Final[Look] = ("mean night", "air", 2.4, ())
LOWEST: Final[Look] = ("coldest night", "ink", 2.0, ())
COVERED: Final[Look] = ("coldest under cover", "leaf", 2.0, (5.0, 2.0))
SOIL: Final[Look] = ("soil", "hold", 1.3, (2.0, 2.0))
INSIDE: Final[Look] = ("inside", "air", 2.4, ())
BARE: Final[Look] = ("without heat", "ink", 1.6, (3.0, 2.0))
UNDER: Final[Look] = ("under cover, without heat", "leaf", 2.0, (5.0, 2.0))


@dataclass(frozen=True)
class _Scale:
    """Temperatures up a sheet, in the reader's unit."""

    low: float
    high: float
    step: float

    def y(self, value: float) -> float:
        return BOTTOM_PX - (BOTTOM_PX - TOP_PX) * (value - self.low) / (self.high - self.low)


def _scale(lines: Sequence[Line], style: Style) -> _Scale:
    temp = QUANTITIES["temp"]
    values = [temp.in_style(value, style) for _, line in lines for value in line]
    low, high = min(values), max([*values, min(values) + 1.0])
    step = next((s for s in STEPS if (high - low) / s <= MOST_TICKS), STEPS[-1])
    return _Scale(math.floor(low / step) * step, math.ceil(high / step) * step, step)


def months_picture(months: Sequence[HeatMonth], key: str, today: date, latitude_deg: float, style: Style) -> Picture:
    """Means and lowest nights of the months, inside and under cover, with the winter in the middle.

    Parameters: months; key; today; latitude_deg, which tells the winter [°]; style.
    """
    first, last = winter_year(today, latitude_deg)
    axis = TimeAxis(first, last, LEFT_PX, RIGHT_PX)
    order = [on.month - 1 for on in axis.month_starts()]
    turned = [months[n] for n in order]
    covered = [month.covered_lowest_degc for month in turned]
    lines: list[Line] = [
        (DAY, [month.day_degc for month in turned]),
        (SOIL, [month.soil_degc for month in turned]),
        (NIGHT, [month.night_degc for month in turned]),
        (LOWEST, [month.lowest_degc for month in turned]),
    ]
    if all(value is not None for value in covered):
        lines.append((COVERED, [value for value in covered if value is not None]))
    page, scale = Sheet(WIDTH, HEIGHT), _scale(lines, style)
    draw_months(page, axis, TOP_PX, BOTTOM_PX)
    _draw_scale(page, scale, style)
    places = [axis.x(on.replace(day=15)) for on in axis.month_starts()]
    _draw_lines(page, scale, lines, places, style)
    return Picture(key, "Warmth through the year", _describe_year(turned, style), page)


def night_picture(night: Sequence[NightHour], key: str, style: Style) -> Picture:
    """One cold night from noon to noon: outdoors, inside, without heat, and under a cover."""
    lines: list[Line] = [
        (OUTDOORS, [hour.outdoor_degc for hour in night]),
        (BARE, [hour.unheated_degc for hour in night]),
        (UNDER, [hour.covered_degc for hour in night]),
    ]
    if any(hour.heat_w > 0.0 for hour in night):
        lines.append((INSIDE, [hour.air_degc for hour in night]))
    page, scale = Sheet(WIDTH, HEIGHT), _scale(lines, style)
    step = (RIGHT_PX - LEFT_PX) / max(len(night) - 1, 1)
    places = [LEFT_PX + step * n for n in range(len(night))]
    for x, hour in zip(places, night, strict=True):
        if round(hour.hour_h) % 3 == 0:
            page.line([(x, TOP_PX), (x, BOTTOM_PX)], "hair")
            page.text(x, BOTTOM_PX + 17, f"{round(hour.hour_h)}", "quiet", anchor="center", size=SMALL)
    page.text(LEFT_PX, BOTTOM_PX + 30, "hour by the sun", "quiet", size=SMALL)
    _draw_scale(page, scale, style)
    _draw_lines(page, scale, lines, places, style)
    return Picture(key, "A cold night hour by hour", _describe_night(night, style), page)


def _draw_scale(page: Sheet, scale: _Scale, style: Style) -> None:
    temp = QUANTITIES["temp"]
    count = round((scale.high - scale.low) / scale.step)
    ticks = [scale.low + scale.step * n for n in range(count + 1)]
    page.lines([[(LEFT_PX, scale.y(tick)), (RIGHT_PX, scale.y(tick))] for tick in ticks], "hair")
    for tick in ticks:
        page.text(LEFT_PX - 5, scale.y(tick), f"{tick:.0f}", "quiet", anchor="right", size=SMALL, middle=True)
    frost = temp.in_style(FREEZING_DEGC, style)
    if scale.low <= frost <= scale.high:
        page.line([(LEFT_PX, scale.y(frost)), (RIGHT_PX, scale.y(frost))], "line", 1.2)
        page.text(RIGHT_PX, scale.y(frost) - 4, "frost", "quiet", anchor="right", size=SMALL)
    page.text(4, 14, temp.label(style), "quiet", size=SMALL)


def _draw_lines(page: Sheet, scale: _Scale, lines: Sequence[Line], places: Sequence[float], style: Style) -> None:
    temp = QUANTITIES["temp"]
    x, y = LEFT_PX, KEY_PX
    for (words, role, width, dash), values in lines:
        page.line([(at, scale.y(temp.in_style(v, style))) for at, v in zip(places, values, strict=True)], role, width,
                  dash)  # fmt: skip
        long = 48.0 + 5.6 * len(words)
        if x + long > WIDTH:
            x, y = LEFT_PX, y + KEY_LINE_PX
        page.line([(x, y), (x + 24, y)], role, width, dash)
        page.text(x + 29, y, words, "quiet", size=SMALL, middle=True)
        x += long


def _describe_year(months: Sequence[HeatMonth], style: Style) -> str:
    temp = QUANTITIES["temp"]
    cold = min(months, key=lambda month: month.lowest_degc)
    covered = "" if cold.covered_lowest_degc is None else f", under cover {temp.text(cold.covered_lowest_degc, style)}"
    return (
        f"Day, night and soil by month. In the coldest month the mean night is {temp.text(cold.night_degc, style)}, "
        f"the coldest {temp.text(cold.lowest_degc, style)}{covered}. The table that follows says the same."
    )


def _describe_night(night: Sequence[NightHour], style: Style) -> str:
    temp, power = QUANTITIES["temp"], QUANTITIES["heat_power"]
    low = {name: min(getattr(hour, name) for hour in night) for name in (
        "outdoor_degc", "air_degc", "unheated_degc", "covered_degc",
    )}  # fmt: skip
    most = max(hour.heat_w for hour in night)
    heated = f" With the heater it stays at {temp.text(low['air_degc'], style)}, by {power.text(most, style)} at most."
    return (
        f"Outdoors falls to {temp.text(low['outdoor_degc'], style)}, the house without heat to "
        f"{temp.text(low['unheated_degc'], style)}, under a cover to {temp.text(low['covered_degc'], style)}."
        f"{heated if most > 0.0 else ''} The table that follows says the same."
    )
