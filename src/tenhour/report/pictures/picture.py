"""A finished drawing with its words, and the time axis most drawings share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from tenhour.report.pictures.canvas import SMALL, Sheet, png_bytes, stacked, svg_file, svg_text
from tenhour.report.terminal import clean
from tenhour.words.style import MONTH_NAMES

LONGEST_LABEL: Final = 24
NAME_PX: Final = 26.0
"""Room the name of a month needs; in less stands its first letter."""


YEAR_PX: Final = 30.0


@dataclass(frozen=True)
class Picture:
    """A drawing with the title and description that a screen reader speaks."""

    key: str
    title: str
    desc: str
    drawn: Sheet
    wide: bool = False
    """Too wide for a phone, where the page shows another drawing of the same."""

    def svg(self) -> str:
        """SVG element for a page."""
        return svg_text(self.drawn, self.key, self.title, self.desc)

    def svg_file(self) -> str:
        """SVG file that stands alone."""
        return svg_file(self.drawn, self.key, self.title, self.desc)

    def png(self) -> bytes:
        """PNG file."""
        return png_bytes(self.drawn, self.title)


def together(pictures: Sequence[Picture], title: str) -> Picture:
    """Several pictures under one another as one; a lone one stays as it is."""
    if len(pictures) == 1:
        return pictures[0]
    desc = " ".join(f"{picture.title}: {picture.desc}" for picture in pictures)
    return Picture("all", title, desc, stacked([picture.drawn for picture in pictures]), pictures[0].wide)


@dataclass(frozen=True)
class TimeAxis:
    """Dates along the x axis, from the left edge at ``first`` to the right edge at ``last``."""

    first: date
    last: date
    left_px: float
    right_px: float

    def x(self, on: date) -> float:
        """Place of a date [px]."""
        share = (on - self.first).days / (self.last - self.first).days
        return self.left_px + share * (self.right_px - self.left_px)

    def holds(self, on: date | None) -> bool:
        """Tell whether a date lies on the axis."""
        return on is not None and self.first <= on <= self.last

    def clipped(self, first: date, last: date) -> tuple[float, float] | None:
        """Ends of a span on the axis [px], the last day included; None if it lies outside."""
        end = last + timedelta(days=1)
        if end <= self.first or first >= self.last:
            return None
        return self.x(max(first, self.first)), self.x(min(end, self.last))

    def month_starts(self) -> list[date]:
        """First days of the months on the axis."""
        starts = []
        year, month = self.first.year, self.first.month
        while (on := date(year, month, 1)) < self.last:
            if on >= self.first:
                starts.append(on)
            year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        return starts


def draw_months(sheet: Sheet, axis: TimeAxis, top_px: float, bottom_px: float) -> None:
    """Hair lines where months begin and their names under the drawing; the year where it changes."""
    starts = axis.month_starts()
    sheet.lines([[(axis.x(on), top_px), (axis.x(on), bottom_px)] for on in starts], "hair")
    for on, following in zip(starts, [*starts[1:], axis.last], strict=True):
        middle = (axis.x(on) + axis.x(following)) / 2
        if axis.x(following) - axis.x(on) < 12:
            continue
        name = MONTH_NAMES[on.month - 1]
        name = name if axis.x(following) - axis.x(on) >= NAME_PX else name[:1]
        sheet.text(middle, bottom_px + 12, name, "quiet", anchor="center", size=SMALL)
        if on.month == 1 or (on == starts[0] and _room_for_year(axis, starts)):
            sheet.text(middle, bottom_px + 26, str(on.year), "quiet", anchor="center", size=SMALL)


def _room_for_year(axis: TimeAxis, starts: list[date]) -> bool:
    """Whether the first month's year does not touch the next one's."""
    return all(on.month != 1 or axis.x(on) - axis.x(starts[0]) >= YEAR_PX for on in starts[1:])


def draw_marks(
    sheet: Sheet,
    axis: TimeAxis,
    top_px: float,
    bottom_px: float,
    marks: tuple[tuple[date | None, str], ...],
    today: date,
) -> None:
    """Dashed lines for the ten-hour days and a full line for today, named at the top."""
    for on, name in marks:
        if on is not None and axis.holds(on):
            sheet.line([(axis.x(on), top_px), (axis.x(on), bottom_px)], "quiet", 1.0, (4.0, 3.0))
            sheet.text(axis.x(on), top_px - 3, name, "quiet", anchor="center", size=SMALL)
    if axis.holds(today):
        x = axis.x(today)
        sheet.line([(x, top_px - 12), (x, bottom_px)], "now", 1.6)
        sheet.text(x, top_px - 15, "today", "now", anchor="center", size=SMALL, strong=True)


def shorten(text: str, longest: int = LONGEST_LABEL) -> str:
    """Cut a name for a picture, where its full form stands in the table beside it."""
    text = clean(text)
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"
