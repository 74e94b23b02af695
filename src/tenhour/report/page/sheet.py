"""What stands on the sheet to pin up, a card for each question."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import Final

from tenhour.model.report import ReportAnswer
from tenhour.model.results import BedSowing, SowDay
from tenhour.model.season import CropSeason
from tenhour.report.jobs import jobs_by_month
from tenhour.report.page.html import Html, tag
from tenhour.words import screen
from tenhour.words.crops import crop_name
from tenhour.words.nights import alike
from tenhour.words.style import MONTH_NAMES, Style, date_text
from tenhour.words.text import written

MOST_JOBS: Final = 8
MOST_DATES: Final = 10
MOST_DAYS: Final = 9


def sheet_cards(answer: ReportAnswer, style: Style) -> Iterator[Html]:
    """The cards, each with its heading; those without anything to say are left out."""
    sow, lines = answer.sow, written
    now = [(crop_name(one.crop), lines(one.text, style)) for one in sow.now]
    yield from _card("Sow now", now)
    month, jobs = next(jobs_by_month(answer.season, style, _shown(answer) or None), ("", []))
    yield from _card(month, [(when, words) for words, when in jobs[:MOST_JOBS]])
    yield from _card("In the diary: sow by, for winter", list(islice(_sow_by(answer, style), MOST_DATES)))
    yield from _card("Wait for", _days(sow.later, style))
    yield from _card("Lamps", list(_lamps(answer)))
    nights = [(bed.name, lines(_night(bed), style)) for bed in sow.beds if bed.cold_night_degc is not None]
    yield from _card("Coldest night, four weeks ahead", nights)


def _night(bed: BedSowing) -> str:
    told = {"night": bed.cold_night_degc, "tenth": bed.cold_night_1in10_degc}
    if bed.layers:
        return screen.NIGHT_UNDER(layers=bed.layers, **told)
    return (screen.NIGHT_ALIKE if alike(bed.cold_night_degc, bed.cold_night_1in10_degc) else screen.NIGHT)(**told)


def _card(heading: str, rows: Sequence[tuple[str, str]]) -> Iterator[Html]:
    if rows:
        items = [tag("li", tag("b", head), " ", text) for head, text in rows]
        yield tag("div", tag("h3", heading), tag("ul", *items), class_="card")


def _shown(answer: ReportAnswer) -> set[str]:
    return {one.crop for one in answer.season.chosen}


def _sow_by(answer: ReportAnswer, style: Style) -> Iterator[tuple[str, str]]:
    crops: dict[tuple[str, str], CropSeason] = {
        (bed.name, crop.crop): crop for bed in answer.season.beds for crop in bed.crops
    }
    found = [(crops[one.bed, one.crop], one.bed) for one in answer.season.chosen]
    dated = [(crop.sow_by, crop_name(crop.crop), bed) for crop, bed in found if crop.sow_by is not None]
    for on, name, bed in sorted(dated):
        yield date_text(on, style), f"{name} ({bed})"


def _days(days: Sequence[SowDay], style: Style) -> list[tuple[str, str]]:
    groups: dict[str, list[str]] = {}
    for day in days[:MOST_DAYS]:
        groups.setdefault(date_text(day.on, style), []).append(crop_name(day.crop))
    return [(on, ", ".join(names)) for on, names in groups.items()]


def _lamps(answer: ReportAnswer) -> Iterator[tuple[str, str]]:
    """Planned lamps in the month, and on the day those that hang by the house file."""
    yield from ((lamp.bed, f"{lamp.on} to {lamp.off}") for lamp in answer.hung)
    for plan in answer.lamps:
        for row in plan.clock:
            if row.windows and row.month == answer.on.month:
                times = " and ".join(f"{on} to {off}" for on, off in row.windows)
                yield plan.bed, f"{times} in {MONTH_NAMES[row.month - 1]}"
