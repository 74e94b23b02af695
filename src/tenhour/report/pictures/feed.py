"""The household's plan in two pictures: what lies on each bed week by week, and what is on the table each week.

A bed is a strip as high as it is wide in the drawing's scale; every sowing is a bar in it, as high as its ground, from
the day it takes the bed to the day it is cleared: pale while it grows, full once there is something to pick.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, NamedTuple

from tenhour.model.feed import FeedAnswer
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.hatching import Hatch
from tenhour.report.pictures.picture import Picture, TimeAxis, draw_marks, draw_months, shorten
from tenhour.words.style import QUANTITIES, Style, date_text

TOP_PX: Final = 30.0
FOOT_PX: Final = 30.0
GAP_PX: Final = 12.0
STRIP_PX: Final = 92.0
"""Height of the largest bed."""
LEAST_STRIP_PX: Final = 26.0
WORDS_PX: Final = 11.0
SIGN_PX: Final = 5.6
"""Width of a letter, on the whole."""
WEEK: Final = timedelta(days=7)
MEAL_PX: Final = 62.0


class _Form(NamedTuple):
    """Sizes of a drawing for a desk or a phone."""

    ends: str
    """Of its key."""
    width_px: float
    name_px: float
    right_px: float
    signs: int
    """Of a name, at most."""


DESK: Final = _Form("", 720.0, 104.0, 712.0, 14)
PHONE: Final = _Form("-narrow", 340.0, 70.0, 334.0, 9)


@dataclass(frozen=True)
class _Bar:
    """Some ground on one bed under one sowing."""

    name: str
    area_m2: float
    begin: date
    pick: date | None
    clear: date


def _bars(answer: FeedAnswer) -> dict[str, list[_Bar]]:
    """Every stay on every bed, oldest first."""
    out: dict[str, list[_Bar]] = {}
    for one in answer.sowings:
        for part in one.cleared:
            bar = _Bar(one.name, part.area_m2, one.set_out or one.sow, one.harvest_from, part.clear_by)
            out.setdefault(one.bed, []).append(bar)
    for tray in answer.trays:
        bar = _Bar(tray.name, tray.area_m2, tray.sow, tray.cut_from, tray.cut_to + timedelta(days=1))
        out.setdefault(tray.bed, []).append(bar)
    for stand in answer.stands:
        end = stand.clear_by or answer.last
        out.setdefault(stand.bed, []).append(_Bar(stand.name, stand.area_m2, stand.sown, stand.harvest_from, end))
    return {bed: sorted(bars, key=lambda bar: (bar.begin, bar.clear, bar.name)) for bed, bars in out.items()}


def _axis(answer: FeedAnswer, form: _Form) -> TimeAxis:
    return TimeAxis(answer.weeks[0].start, answer.weeks[-1].start + WEEK, form.name_px, form.right_px)


def beds_picture(answer: FeedAnswer, style: Style, today: date, *, narrow: bool = False) -> Picture:
    """Draw what lies on each bed, week by week; ``narrow`` for a phone."""
    form = PHONE if narrow else DESK
    bars, axis = _bars(answer), _axis(answer, form)
    most = {bed: _most_m2(some) for bed, some in bars.items()}
    scale = STRIP_PX / max(most.values(), default=1.0)
    heights = {bed: max(LEAST_STRIP_PX, scale * area) for bed, area in most.items()}
    bottom = TOP_PX + sum(heights.values()) + GAP_PX * len(heights)
    page = Sheet(form.width_px, bottom + FOOT_PX)
    draw_months(page, axis, TOP_PX, bottom)
    top = TOP_PX
    for bed, some in bars.items():
        _draw_bed(page, axis, some, top, heights[bed] / most[bed])
        page.line([(axis.left_px, top + heights[bed]), (axis.right_px, top + heights[bed])], "line", 0.8)
        page.text(4, top + heights[bed] / 2, shorten(bed, form.signs), "ink", strong=True, middle=True)
        top += heights[bed] + GAP_PX
    draw_marks(page, axis, TOP_PX, bottom, (), today)
    return Picture(
        f"feed-beds{form.ends}", "The beds, week by week", _beds_words(answer, bars, style), page, wide=not narrow
    )


def _most_m2(bars: Sequence[_Bar]) -> float:
    """Most ground that is taken at once [m²]."""
    return max(sum(bar.area_m2 for bar in bars if bar.begin <= on.begin < bar.clear) for on in bars)


def _draw_bed(page: Sheet, axis: TimeAxis, bars: Sequence[_Bar], top: float, px_per_m2: float) -> None:
    """Bars beside each other where there is room, the first free height first."""
    laid: list[tuple[_Bar, float]] = []
    for bar in bars:
        taken = sorted((y, y + of.area_m2) for of, y in laid if of.begin < bar.clear and bar.begin < of.clear)
        place = 0.0
        for low, high in taken:
            if place + bar.area_m2 <= low + 1e-9:
                break
            place = max(place, high)
        laid.append((bar, place))
    for bar, place in laid:
        _draw_bar(page, axis, bar, top + place * px_per_m2, bar.area_m2 * px_per_m2)


def _draw_bar(page: Sheet, axis: TimeAxis, bar: _Bar, y: float, height: float) -> None:
    grows = axis.clipped(bar.begin, (bar.pick or bar.clear) - timedelta(days=1))
    picked = None if bar.pick is None else axis.clipped(bar.pick, bar.clear - timedelta(days=1))
    if grows and grows[1] > grows[0]:
        page.boxes([(grows[0], y, grows[1] - grows[0], height)], fill="panel", edge="leaf", width=0.6)
    if picked and picked[1] > picked[0]:
        page.boxes([(picked[0], y, picked[1] - picked[0], height)], fill="leaf", edge="leaf", width=0.6)
    room = grows or picked
    if room and height >= WORDS_PX and (signs := int((room[1] - room[0]) / SIGN_PX)) >= 3:
        page.text(room[0] + 2, y + height / 2, shorten(bar.name, signs), "ink" if grows else "paper", size=SMALL,
                  middle=True)  # fmt: skip


def _beds_words(answer: FeedAnswer, bars: dict[str, list[_Bar]], style: Style) -> str:
    """The picture in words."""
    said = [f"From {date_text(answer.weeks[0].start, style)} on:"]
    for bed, some in bars.items():
        most = QUANTITIES["area"].text(_most_m2(some), style)
        named = ", ".join(dict.fromkeys(bar.name for bar in some))
        said.append(f"{bed}, at most {most} taken: {named}.")
    return " ".join(said)


LOOKS: Final[tuple[tuple[str, Hatch], ...]] = (("leaf", ""), ("sun", "rising"), ("air", "crossed"), ("hold", "falling"))


def meals_picture(answer: FeedAnswer, style: Style, today: date, *, narrow: bool = False) -> Picture:
    """Draw portions wanted and there, a strip for each wish: what is missing is left open above the bar.

    Parameters: answer; style; today; narrow, for a phone.
    """
    form = PHONE if narrow else DESK
    axis, wishes = _axis(answer, form), list(dict.fromkeys(wish.wish for week in answer.weeks for wish in week.wishes))
    bottom = TOP_PX + len(wishes) * (MEAL_PX + GAP_PX)
    page = Sheet(form.width_px, bottom + FOOT_PX)
    draw_months(page, axis, TOP_PX, bottom)
    for number, name in enumerate(wishes):
        base = TOP_PX + number * (MEAL_PX + GAP_PX) + MEAL_PX
        found = [(week.start, wish) for week in answer.weeks for wish in week.wishes if wish.wish == name]
        most = max((wish.wanted_count for _, wish in found), default=0.0) or 1.0
        role, hatch = LOOKS[number % len(LOOKS)]
        wide = axis.x(answer.weeks[0].start + WEEK) - axis.left_px - 1.0

        def tall(count: float, most: float = most) -> float:
            return MEAL_PX * count / most

        page.boxes([(axis.x(on), base - tall(wish.wanted_count), wide, tall(wish.wanted_count))
                    for on, wish in found if wish.wanted_count > 0], edge="line", width=0.6)  # fmt: skip
        there = [(axis.x(on), base - tall(wish.there_count), wide, tall(wish.there_count)) for on, wish in found
                 if wish.there_count > 0]  # fmt: skip
        page.boxes(there, fill="" if hatch else role, edge=role, hatch=hatch, width=0.6)
        page.text(4, base - MEAL_PX / 2, shorten(name, form.signs), "ink", strong=True, middle=True)
        page.text(4, base - MEAL_PX / 2 + 14, f"{most:.0f} a week", "quiet", size=SMALL, middle=True)
    draw_marks(page, axis, TOP_PX, bottom, (), today)
    return Picture(
        f"feed-meals{form.ends}",
        "On the table, week by week",
        _meals_words(answer, wishes, style),
        page,
        wide=not narrow,
    )


def _meals_words(answer: FeedAnswer, wishes: Sequence[str], style: Style) -> str:
    said = []
    for name in wishes:
        missing = [one for one in answer.missing if one.wish == name]
        if missing:
            weeks = ", ".join(date_text(one.start, style) for one in missing)
            said.append(f"{name}: something is missing in the weeks of {weeks}.")
        else:
            said.append(f"{name}: every week has its portions.")
    return " ".join(said)
