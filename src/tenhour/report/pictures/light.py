"""Light through the year on one bed: outdoors, typical and dull on the bed, and what each crop wants."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.model.results import BedLight, LightAnswer
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.picture import Picture, TimeAxis, draw_marks, draw_months, shorten
from tenhour.words.style import Style, date_text

WIDTH: Final = 340.0
HEIGHT: Final = 338.0
LEFT_PX: Final = 26.0
RIGHT_PX: Final = 222.0
TOP_PX: Final = 44.0
BOTTOM_PX: Final = 244.0
KEY_PX: Final = 288.0
KEY_ROW_PX: Final = 17.0
LABEL_PX: Final = 13.0
TICKS: Final = (0, 1, 2, 5, 10, 20, 30, 40, 50, 60)


@dataclass(frozen=True)
class _Scale:
    """A root scale from 0: the dark months get the room they need, ticks carry plain values."""

    top_mol_m2_d: float

    def y(self, dli_mol_m2_d: float) -> float:
        return BOTTOM_PX - (BOTTOM_PX - TOP_PX) * math.sqrt(max(dli_mol_m2_d, 0.0) / self.top_mol_m2_d)


def winter_year(today: date, latitude_deg: float) -> tuple[date, date]:
    """Return the year of months with its winter in the middle that holds, or comes after, this day.

    Parameters: today; latitude_deg, which tells the winter [°].
    """
    first_month = 7 if latitude_deg >= 0.0 else 1
    year = today.year if today.month >= first_month else today.year - 1
    return date(year, first_month, 1), date(year + 1, first_month, 1)


def light_picture(
    answer: LightAnswer, bed: BedLight, key: str, today: date, style: Style, needs: Mapping[str, float] | None = None
) -> Picture:
    """Draw one bed against outdoors; ``needs`` is the light each crop wants [mol m⁻² d⁻¹], by crop name."""
    first, last = winter_year(today, answer.latitude_deg)
    wanted = dict(sorted((needs or {}).items(), key=lambda item: item[1]))
    top = max(*(month.dli_mol_m2_d for month in answer.months), *(list(wanted.values())[-1:] or [1.0]), 1.0)
    scale = _Scale(1.04 * top)
    page = Sheet(WIDTH, HEIGHT)
    axis = TimeAxis(first, last, LEFT_PX, RIGHT_PX)
    draw_months(page, axis, TOP_PX, BOTTOM_PX)
    _draw_scale(page, scale)
    _draw_needs(page, scale, wanted)
    _draw_lines(page, axis, scale, answer, bed)
    marks = tuple((_into(on, axis), "10 h") for on in (answer.before_dark, answer.after_dark))
    draw_marks(page, axis, TOP_PX, BOTTOM_PX, marks, today)
    page.text(4, 14, shorten(bed.name), "ink", strong=True)
    page.text(4, 29, "mol m⁻² d⁻¹", "quiet", size=SMALL)
    _draw_key(page)
    return Picture(key, f"Light through the year on bed {bed.name}", _describe(answer, bed, style), page)


def _into(on: date | None, axis: TimeAxis) -> date | None:
    """The same day of the year on this axis."""
    if on is None or axis.holds(on):
        return on
    for year in (axis.first.year, axis.last.year):
        moved = date(year, on.month, min(on.day, 28) if on.month == 2 else on.day)
        if axis.holds(moved):
            return moved
    return None


def _draw_scale(page: Sheet, scale: _Scale) -> None:
    ticks = [tick for tick in TICKS if tick <= scale.top_mol_m2_d]
    page.lines([[(LEFT_PX, scale.y(tick)), (RIGHT_PX, scale.y(tick))] for tick in ticks if tick], "hair")
    page.line([(LEFT_PX, BOTTOM_PX), (RIGHT_PX, BOTTOM_PX)], "line", 0.8)
    last = -math.inf
    for tick in reversed(ticks):
        if scale.y(tick) - last >= LABEL_PX:
            last = scale.y(tick)
            page.text(LEFT_PX - 5, last, f"{tick}", "quiet", anchor="right", size=SMALL, middle=True)


def _draw_needs(page: Sheet, scale: _Scale, wanted: Mapping[str, float]) -> None:
    """A tick for what each crop wants; of crops that want nearly the same one is named and the others are counted."""
    if not wanted:
        return
    page.text(RIGHT_PX + 12, TOP_PX - 12, "crops want", "leaf", size=SMALL, strong=True)
    page.lines([[(RIGHT_PX, scale.y(need)), (RIGHT_PX + 7, scale.y(need))] for need in wanted.values()], "leaf", 1.4)
    for name, y in _named([(name, scale.y(need)) for name, need in wanted.items()]):
        page.text(RIGHT_PX + 12, y, name, "ink", size=SMALL, middle=True)


def _named(places: Sequence[tuple[str, float]]) -> list[tuple[str, float]]:
    """Names that do not touch, from the most modest crop upwards, each with the number of its close neighbours."""
    groups: list[list[tuple[str, float]]] = []
    for name, y in places:
        if groups and groups[-1][0][1] - y < LABEL_PX:
            groups[-1].append((name, y))
        else:
            groups.append([(name, y)])
    return [
        (
            f"{_short(group[0][0], 12)} +{len(group) - 1}" if len(group) > 1 else _short(group[0][0], 17),
            group[0][1],
        )
        for group in groups
    ]


def _by_month(values: Sequence[float], axis: TimeAxis, scale: _Scale) -> list[tuple[float, float]]:
    """Monthly means at the middles of their months, carried to the edges of the axis."""
    points = [(axis.x(on.replace(day=15)), scale.y(values[on.month - 1])) for on in axis.month_starts()]
    edge = (points[0][1] + points[-1][1]) / 2
    return [(axis.left_px, edge), *points, (axis.right_px, edge)]


def _draw_lines(page: Sheet, axis: TimeAxis, scale: _Scale, answer: LightAnswer, bed: BedLight) -> None:
    outdoors = _by_month([month.dli_mol_m2_d for month in answer.months], axis, scale)
    typical = _by_month([month.dli_mol_m2_d for month in bed.months], axis, scale)
    dull = _by_month([month.dull_dli_mol_m2_d for month in bed.months], axis, scale)
    page.shapes([[*typical, *reversed(dull)]], edge="sun", hatch="bars", width=0.0)
    page.line(outdoors, "dull", 1.6, (7.0, 3.0))
    page.line(typical, "sun", 2.4)
    page.line(dull, "sun", 1.3, (3.0, 2.0))


def _draw_key(page: Sheet) -> None:
    samples: tuple[tuple[str, str, float, tuple[float, ...]], ...] = (
        ("outdoors", "dull", 1.6, (7.0, 3.0)),
        ("on the bed, typical day", "sun", 2.4, ()),
        ("on the bed, dull day (1 in 5 is duller)", "sun", 1.3, (3.0, 2.0)),
    )
    for n, (words, role, width, dash) in enumerate(samples):
        y = KEY_PX + n * KEY_ROW_PX
        page.line([(LEFT_PX, y), (LEFT_PX + 24, y)], role, width, dash)
        page.text(LEFT_PX + 30, y, words, "quiet", size=SMALL, middle=True)


def _describe(answer: LightAnswer, bed: BedLight, style: Style) -> str:
    darkest = min(bed.months, key=lambda month: month.dli_mol_m2_d)
    brightest = max(bed.months, key=lambda month: month.dli_mol_m2_d)
    outside = answer.months[darkest.month - 1]
    marks = [date_text(on, style) for on in (answer.before_dark, answer.after_dark) if on is not None]
    ten = f" Days shorter than ten hours: {' to '.join(marks)}." if len(marks) > 1 else ""
    return (
        f"Monthly daily light. Darkest month on the bed {darkest.dli_mol_m2_d:.1f} mol m⁻² d⁻¹ on a typical day and "
        f"{darkest.dull_dli_mol_m2_d:.1f} on a dull one, outdoors {outside.dli_mol_m2_d:.1f}; brightest month "
        f"{brightest.dli_mol_m2_d:.1f}.{ten} The table that follows says the same."
    )


def _short(name: str, longest: int) -> str:
    """Return a crop's name without what follows a comma, where the whole does not fit."""
    return shorten(name if len(name) <= longest else name.partition(",")[0], longest)
