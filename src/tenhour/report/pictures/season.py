"""The season of a bed: light and air above, then one stream per crop that swells where sowing pays.

The width of a stream is the speed of a crop sown in that week: full where it is quickest in the year, nothing where
nothing is sown. Its filling says how sure the seedlings are; the shelf below it says what stands and is picked.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Final

from tenhour.model.results import Verdict
from tenhour.model.season import BedSeason, CropSeason, SeasonAnswer, SpanKind
from tenhour.report.pictures.canvas import SMALL, Sheet
from tenhour.report.pictures.picture import Picture, TimeAxis, draw_marks, draw_months, shorten
from tenhour.report.pictures.season_key import STREAMS, draw_key, key_height, roof
from tenhour.report.terminal import wrap
from tenhour.words.crops import crop_name
from tenhour.words.style import QUANTITIES, Style, date_text, short_date

TOP_PX: Final = 36.0
LIGHT_PX: Final = 74.0
AIR_PX: Final = 46.0
STREAM_PX: Final = 7.0
"""Half the width of a stream at the quickest week of the year."""
SHELF_PX: Final = 5.0
GAP_PX: Final = 14.0
WEEK: Final = timedelta(days=7)
DATE_PX: Final = 70.0
"""Room that a date with its word needs."""
NARROW_NAME_SIGNS: Final = 44
NAME_SIGNS: Final = 22
WIDE_NAME_SIGNS: Final = 19
"""The same in the larger letters of a name of one line."""
SHELVED: Final[tuple[SpanKind, ...]] = ("hold", "pick", "trays", "raise", "set-out")
"""What lies where dates would be written; there the dates give way, for they stand in the table too."""


@dataclass(frozen=True)
class _Form:
    """Sizes of a drawing: words stand left of what they name, or, where it is narrow, above it."""

    width: float
    left: float
    right: float
    row: float
    above: float
    """Room for words above what they name; none where they stand at its left."""


WIDE: Final = _Form(720.0, 138.0, 712.0, 32.0, 0.0)
NARROW: Final = _Form(340.0, 30.0, 334.0, 48.0, 16.0)


@dataclass(frozen=True)
class _Lane:
    """One crop's strip on the sheet."""

    crop: CropSeason
    axis: TimeAxis
    top_px: float
    best_days: int
    form: _Form

    @property
    def middle_px(self) -> float:
        return self.top_px + self.form.above + 4.5 + STREAM_PX

    @property
    def shelf_px(self) -> float:
        return self.top_px + self.form.row - SHELF_PX - 5.0

    @property
    def foot_px(self) -> float:
        return self.top_px + self.form.row - 2.5


def season_picture(
    answer: SeasonAnswer,
    bed: BedSeason,
    key: str,
    today: date,
    style: Style,
    needs: dict[str, float] | None = None,
    *,
    narrow: bool = False,
    keyed: bool = True,
) -> Picture:
    """Draw one bed through a year.

    Parameters: needs, the light each crop wants [mol m⁻² d⁻¹], by crop key; narrow, for a phone; keyed, with what the
    marks mean below it.
    """
    form = NARROW if narrow else WIDE
    crops = [crop for crop in bed.crops if crop.lives]
    light_px = TOP_PX + form.above
    air_px = light_px + LIGHT_PX + GAP_PX + form.above
    rows_px = air_px + AIR_PX + GAP_PX
    bottom = rows_px + form.row * len(crops)
    page = Sheet(form.width, bottom + 30.0 + (key_height(narrow=narrow) + 4.0 if keyed else 0.0))
    axis = TimeAxis(bed.weeks[0].start, bed.weeks[-1].start + WEEK, form.left, form.right)
    _draw_dark(page, axis, answer, bottom)
    draw_months(page, axis, TOP_PX, bottom)
    _draw_light(page, axis, bed, light_px, form)
    _draw_air(page, axis, bed, style, air_px, form)
    with page.together():
        for n, crop in enumerate(crops):
            lane = _Lane(crop, axis, rows_px + n * form.row, _best_days(crop), form)
            _draw_lane(page, lane, bed, style, (needs or {}).get(crop.crop))
    marks = ((answer.before_dark, "10 h"), (answer.after_dark, "10 h"))
    draw_marks(page, axis, TOP_PX, bottom, marks, today)
    if not narrow:  # there today's line may stand in the way, and a heading above the drawing names the bed
        page.text(4, 14, shorten(bed.name), "ink", strong=True)
    if keyed:
        draw_key(page, bottom + 42.0, narrow=narrow)
    return Picture(key, f"The season on bed {bed.name}", _describe(answer, bed, style), page, wide=not narrow)


def key_picture(key: str, *, narrow: bool = False) -> Picture:
    """What the marks mean, as a drawing of its own for several beds."""
    form = NARROW if narrow else WIDE
    page = Sheet(form.width, key_height(narrow=narrow) + 8.0)
    draw_key(page, 12.0, narrow=narrow)
    desc = "A sample of every mark of the drawings of the season, each with what it means."
    return Picture(key, "What the marks mean", desc, page, wide=not narrow)


def _best_days(crop: CropSeason) -> int:
    return min((week.days_median for week in crop.weeks if week.days_median), default=1)


def _draw_dark(page: Sheet, axis: TimeAxis, answer: SeasonAnswer, bottom: float) -> None:
    """Shade the days shorter than ten hours."""
    if answer.before_dark is None or answer.after_dark is None:
        return
    span = axis.clipped(answer.before_dark, answer.after_dark)
    if span and span[1] > span[0]:
        page.boxes([(span[0], TOP_PX, span[1] - span[0], bottom - TOP_PX)], fill="night")


def _draw_light(page: Sheet, axis: TimeAxis, bed: BedSeason, top_px: float, form: _Form) -> None:
    top = max(week.dli_mol_m2_d for week in bed.weeks) or 1.0
    base = top_px + LIGHT_PX
    middles = [axis.x(week.start + WEEK / 2) for week in bed.weeks]

    def y(dli_mol_m2_d: float) -> float:
        # A root scale gives the dark months room; its ticks are labelled with plain values.
        return base - (LIGHT_PX - 8.0) * math.sqrt(max(dli_mol_m2_d, 0.0) / top)

    typical = [(x, y(week.dli_mol_m2_d)) for x, week in zip(middles, bed.weeks, strict=True)]
    dull = [(x, y(week.dull_dli_mol_m2_d)) for x, week in zip(middles, bed.weeks, strict=True)]
    ticks = [value for value in (1, 2, 5, 10, 20, 40) if value < 0.97 * top]
    page.lines([[(axis.left_px, y(value)), (axis.right_px, y(value))] for value in ticks], "hair")
    page.shapes([[*typical, *reversed(dull)]], edge="sun", hatch="bars", width=0.0)
    page.line(typical, "sun", 2.2)
    page.line(dull, "sun", 1.2, (3.0, 2.0))
    page.line([(axis.left_px, base), (axis.right_px, base)], "line", 0.8)
    for value in _spaced(ticks, y, 12.0):
        page.text(axis.left_px - 5, y(value), f"{value}", "quiet", anchor="right", size=SMALL, middle=True)
    if form.above:
        page.text(40, top_px - 4, "light", "sun", strong=True)
        page.text(76, top_px - 4, "mol m⁻² d⁻¹; dashed: dull day", "quiet", size=SMALL)
        return
    page.text(4, top_px + 14, "light", "sun", strong=True)
    page.text(4, top_px + 28, "mol m⁻² d⁻¹", "quiet", size=SMALL)
    page.text(4, top_px + 46, "full: typical day", "quiet", size=SMALL)
    page.text(4, top_px + 60, "dashed: dull day", "quiet", size=SMALL)


def _spaced(values: list[int], y: Callable[[float], float], gap_px: float) -> list[int]:
    """Keep the values whose labels do not touch, the largest first."""
    kept: list[int] = []
    for value in reversed(values):
        if not kept or y(value) - y(kept[-1]) >= gap_px:
            kept.append(value)
    return kept


def _draw_air(page: Sheet, axis: TimeAxis, bed: BedSeason, style: Style, top: float, form: _Form) -> None:
    """Nights to days as a band with the frost line."""
    base = top + AIR_PX
    low = min(0.0, *(week.night_degc for week in bed.weeks))
    high = max(10.0, *(week.day_degc for week in bed.weeks))
    temp = QUANTITIES["temp"]

    def y(temp_degc: float) -> float:
        return base - (base - top) * (temp_degc - low) / (high - low)

    middles = [axis.x(week.start + WEEK / 2) for week in bed.weeks]
    days = [(x, y(week.day_degc)) for x, week in zip(middles, bed.weeks, strict=True)]
    nights = [(x, y(week.night_degc)) for x, week in zip(middles, bed.weeks, strict=True)]
    page.shapes([[*days, *reversed(nights)]], edge="air", hatch="falling", width=0.0)
    page.line(days, "air", 1.2)
    page.line(nights, "air", 2.0)
    page.line([(axis.left_px, y(0.0)), (axis.right_px, y(0.0))], "line", 0.8, (2.0, 2.0))
    said = temp.number if form.above else temp.text
    page.text(axis.left_px - 5, y(0.0), said(0.0, style), "quiet", anchor="right", size=SMALL, middle=True)
    if y(0.0) - top > 12.0:
        page.text(axis.left_px - 5, top, said(high, style), "quiet", anchor="right", size=SMALL, middle=True)
    if form.above:
        page.text(40, top - 4, "air", "air", strong=True)
        page.text(64, top - 4, f"day over night, {temp.label(style)}", "quiet", size=SMALL)
        return
    page.text(4, top + 11, "air", "air", strong=True)
    page.text(4, top + 25, "day over night", "quiet", size=SMALL)


def _draw_lane(page: Sheet, lane: _Lane, bed: BedSeason, style: Style, need: float | None) -> None:
    page.line([(4.0, lane.top_px), (lane.axis.right_px, lane.top_px)], "hair", 0.8)
    _draw_name(page, lane)
    if need is not None:
        _draw_enough(page, lane, bed, need)
    _draw_stream(page, lane)
    _draw_shelf(page, lane, bed)
    _draw_dates(page, lane, style)


def _draw_name(page: Sheet, lane: _Lane) -> None:
    """Write a crop's name, on two lines where it is long; above the lane where that is narrow."""
    if lane.form.above:
        page.text(4, lane.top_px + 13, shorten(crop_name(lane.crop.crop), NARROW_NAME_SIGNS), "ink", strong=True)
        return
    if len(crop_name(lane.crop.crop)) <= WIDE_NAME_SIGNS:
        page.text(4, lane.middle_px, crop_name(lane.crop.crop), "ink", middle=True)
        return
    first, *rest = wrap(crop_name(lane.crop.crop), min(NAME_SIGNS, len(crop_name(lane.crop.crop)) - 1))
    if not rest:
        page.text(4, lane.middle_px, first, "ink", size=SMALL, middle=True)
        return
    page.text(4, lane.middle_px - 6.5, first, "ink", size=SMALL, middle=True)
    page.text(4, lane.middle_px + 7.0, shorten(" ".join(rest), NAME_SIGNS), "ink", size=SMALL, middle=True)


def _bracket(left: float, right: float, y: float) -> list[tuple[float, float]]:
    return [(left, y - 3.0), (left, y), (right, y), (right, y - 3.0)]


def _draw_enough(page: Sheet, lane: _Lane, bed: BedSeason, need: float) -> None:
    """A line at the top of the lane where a typical day is bright enough; thick where a dull one is too."""
    for width, values in (
        (1.2, [week.dli_mol_m2_d >= need for week in bed.weeks]),
        (2.8, [week.dull_dli_mol_m2_d >= need for week in bed.weeks]),
    ):
        y = lane.top_px + 2.0
        page.lines([[(a, y), (b, y)] for a, b in _runs(lane.axis, bed, values)], "sun", width)


def _runs(axis: TimeAxis, bed: BedSeason, values: list[bool]) -> list[tuple[float, float]]:
    runs = []
    for held, group in groupby(enumerate(values), key=lambda item: item[1]):
        places = [i for i, _ in group]
        if held:
            runs.append((axis.x(bed.weeks[places[0]].start), axis.x(bed.weeks[places[-1]].start + WEEK)))
    return runs


def _draw_stream(page: Sheet, lane: _Lane) -> None:
    weeks = lane.crop.weeks
    shapes: dict[Verdict, list[list[tuple[float, float]]]] = {state: [] for state in STREAMS}
    bare: list[list[tuple[float, float]]] = []
    crosses: list[list[tuple[float, float]]] = []
    roofs: list[list[tuple[float, float]]] = []
    for state, group in groupby(weeks, key=lambda week: week.state):
        run = list(group)
        first, last = lane.axis.x(run[0].start), lane.axis.x(run[-1].start + WEEK)
        if state not in STREAMS:
            bare.append([(first, lane.middle_px), (last, lane.middle_px)])
        else:
            halves = [_half_px(week.days_median, lane.best_days) for week in run]
            middles = [lane.axis.x(week.start + WEEK / 2) for week in run]
            edge = [(first, halves[0]), *zip(middles, halves, strict=True), (last, halves[-1])]
            upper = [(x, lane.middle_px - half) for x, half in edge]
            shapes[state].append([*upper, *((x, lane.middle_px + half) for x, half in reversed(edge))])
        if state == "too-cold":
            crosses += [
                stroke for week in run for stroke in _cross(lane.axis.x(week.start + WEEK / 2), lane.middle_px, 2.5)
            ]
        if state == "too-hot":
            roofs += [roof(lane.axis.x(week.start + WEEK / 2), lane.middle_px, 2.5) for week in run]
    page.lines(bare, "line", 0.8, (1.0, 3.0))
    page.lines(roofs, "sun", 1.1)
    page.lines(crosses, "air", 1.1)
    for state, (fill, hatch, dash) in STREAMS.items():
        page.shapes(shapes[state], fill, "leaf", hatch, 1.0, dash)


def _half_px(days: int | None, best_days: int) -> float:
    return STREAM_PX * (best_days / days) if days else 1.0


def _cross(x: float, y: float, reach: float) -> list[list[tuple[float, float]]]:
    return [[(x - reach, y - reach), (x + reach, y + reach)], [(x - reach, y + reach), (x + reach, y - reach)]]


def _spans(lane: _Lane, kind: SpanKind) -> list[tuple[float, float]]:
    found = [lane.axis.clipped(span.first, span.last) for span in lane.crop.spans if span.kind == kind]
    return [span for span in found if span is not None]


def _draw_shelf(page: Sheet, lane: _Lane, bed: BedSeason) -> None:
    y = lane.shelf_px
    page.boxes([(a, y, b - a, SHELF_PX) for a, b in _spans(lane, "hold")], edge="hold", hatch="crossed", width=0.9)
    page.lines([_bracket(a, b, lane.foot_px) for a, b in _spans(lane, "harvest")], "hold", 1.2)
    page.lines([[(a, y + 3), (b, y + 3)] for a, b in _spans(lane, "trays")], "ink", 2.4, (2.5, 3.5))
    page.lines([[(a, y + 3), (b, y + 3)] for a, b in _spans(lane, "raise")], "quiet", 1.2, (5.0, 2.0))
    for a, b in _spans(lane, "set-out"):
        page.shapes([[(a, y), (b, y), ((a + b) / 2, y + SHELF_PX)]], fill="ink")
    for a, b in _spans(lane, "sow-for-winter"):
        x, top = lane.middle_px - STREAM_PX - 1.5, 2 * STREAM_PX + 3.0
        page.boxes([(a, x, b - a, top)], edge="ink", width=1.3)
    _draw_picking(page, lane, bed)


def _draw_picking(page: Sheet, lane: _Lane, bed: BedSeason) -> None:
    """Discs per week of picking, their area the weight expected; plain discs where no weight is known."""
    weights = lane.crop.picking_g_m2_week
    most = max((weight for weight in weights if weight), default=0.0)
    centres, radii = [], []
    for i, week in enumerate(bed.weeks):
        weight = weights[i] if i < len(weights) else None
        picked = any(s.kind == "pick" and s.first <= week.start <= s.last for s in lane.crop.spans)
        if weight or picked:
            centres.append((lane.axis.x(week.start + WEEK / 2), lane.shelf_px + SHELF_PX / 2))
            radii.append(3.4 * math.sqrt((weight or most or 1.0) / (most or 1.0)))
    page.discs(centres, radii, fill="hold")


def _draw_dates(page: Sheet, lane: _Lane, style: Style) -> None:
    y = lane.foot_px - 3.0
    if lane.crop.sow_by is not None and lane.axis.holds(lane.crop.sow_by):
        x = min(lane.axis.x(lane.crop.sow_by) + 3, lane.axis.right_px - DATE_PX)
        if not _crowded(lane, x):
            page.text(x, y, f"by {short_date(lane.crop.sow_by, style)}", "ink", size=SMALL)
    if lane.crop.pays_from is not None and lane.axis.holds(lane.crop.pays_from):
        x = lane.axis.x(lane.crop.pays_from)
        page.shapes(
            [[(x - 3.5, lane.middle_px - 10), (x + 3.5, lane.middle_px - 10), (x, lane.middle_px - 4)]], fill="ink"
        )
        if not _crowded(lane, x):
            page.text(x, y, f"from {short_date(lane.crop.pays_from, style)}", "ink", size=SMALL)


def _crowded(lane: _Lane, x: float) -> bool:
    spans = [pair for kind in SHELVED for pair in _spans(lane, kind)]
    return any(a < x + DATE_PX and b > x for a, b in spans)


def _describe(answer: SeasonAnswer, bed: BedSeason, style: Style) -> str:
    light = [week.dli_mol_m2_d for week in bed.weeks]
    nights = [week.night_degc for week in bed.weeks]
    temp = QUANTITIES["temp"]
    dark = ""
    if answer.before_dark and answer.after_dark:
        dark = (
            f" Days are shorter than ten hours from {date_text(answer.before_dark, style)} "
            f"to {date_text(answer.after_dark, style)}."
        )
    return (
        f"A year from {date_text(answer.start, style)}. Light on the bed runs from {min(light):.1f} to "
        f"{max(light):.1f} mol m⁻² d⁻¹, nights from {temp.text(min(nights), style)} to "
        f"{temp.text(max(nights), style)}.{dark} One stream per crop is wide in the weeks in which sowing leads "
        "quickly to a harvest; marks below it show what stands and is picked. The table that follows says the same."
    )
