"""The year in a screen: light of the beds, the best crops week by week, their dates, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from tenhour.model.season import BedSeason, CropSeason, SeasonAnswer
from tenhour.report.common import brief_basis, grower_lines, nights_text
from tenhour.report.jobs import jobs_by_month
from tenhour.report.strips import NARROW_NAME_WIDTH, STATE_MARKS, legend_lines, month_letters
from tenhour.report.terminal import Column, bars, bold, heading, strips, table, wrap
from tenhour.words import season_screen as words
from tenhour.words.crops import crop_name
from tenhour.words.style import QUANTITIES, Style, date_text
from tenhour.words.text import typed, written

MOST_LINES: Final = 60
MOST_BEDS: Final = 4
YEAR_D: Final = 365

Place = tuple[BedSeason, CropSeason]


def screen_lines(answer: SeasonAnswer, width: int, style: Style) -> list[str]:
    """The year in at most 60 lines of 80 columns, closing remarks included."""
    lines = heading(written(words.TITLE(start=answer.start), style), "", width)
    lines += _light_lines(answer.beds, width, style)
    lines += wrap(written(nights_text(answer.nights), style), width)
    chosen = _chosen(answer)
    lines += ["", *_strip_lines(chosen, width), *legend_lines(width, _seen(chosen))]
    lines += ["", *_date_lines(chosen, width, style)]
    closing = wrap(written(words.FURTHER(bed=typed(answer.beds[0].name)), style), width)
    closing += brief_basis(answer.basis, width, style, answer.calibration)
    closing = [*grower_lines(answer.grower_lines, width, style), *closing]
    return [*lines, *_next_lines(answer, chosen, width, style, MOST_LINES - len(lines) - len(closing)), *closing]


def _light_lines(beds: Sequence[BedSeason], width: int, style: Style) -> list[str]:
    """A row of light for each bed on one scale, and the nights of the coldest."""
    weekly = [bed for bed in beds if bed.weeks]
    if not weekly:
        return []
    brightest = sorted(weekly, key=lambda bed: -sum(week.dli_mol_m2_d for week in bed.weeks))
    shown = brightest if len(brightest) <= MOST_BEDS else [*brightest[: MOST_BEDS - 1], brightest[-1]]
    top = max(week.dli_mol_m2_d for bed in weekly for week in bed.weeks)
    cold = min(weekly, key=lambda bed: min(week.night_degc for week in bed.weeks))
    nights = [week.night_degc for week in cold.weeks]
    low, high = min(nights), max(nights)
    span = max(high - low, 1.0)
    rows = [
        ("", month_letters(weekly[0].weeks)),
        *((f"light, {bed.name}", bars([week.dli_mol_m2_d for week in bed.weeks], top)) for bed in shown),
        ("nights", bars([night - low + span / 8 for night in nights], span)),
    ]
    scale = words.SCALE(top=top, cold=low, warm=high)
    return [*strips(rows, NARROW_NAME_WIDTH, width), *wrap(written(scale, style), width)]


def _chosen(answer: SeasonAnswer) -> list[Place]:
    """The crops chosen for the screen, by the day by which they must be sown."""
    places = {(bed.name, crop.crop): (bed, crop) for bed in answer.beds for crop in bed.crops}
    found = [places[one.bed, one.crop] for one in answer.chosen]
    return sorted(found, key=lambda place: (_first(place[1]), place[1].crop))


def _winter(crop: CropSeason) -> bool:
    """Whether it has dates of its own: to sow by for winter, or to sow again from."""
    return crop.sow_by is not None or crop.pays_from is not None


def _first(crop: CropSeason) -> date:
    return min((day for day in (crop.sow_by, crop.pays_from) if day is not None), default=date.max)


def _strip_lines(chosen: Sequence[Place], width: int) -> list[str]:
    rows = [(crop_name(crop.crop), "".join(STATE_MARKS[week.state] for week in crop.weeks)) for _, crop in chosen]
    over = month_letters(chosen[0][1].weeks) if chosen else ""
    return [bold("Sown that week"), *strips(rows, NARROW_NAME_WIDTH, width, over=over)]


def _seen(chosen: Sequence[Place]) -> frozenset[str]:
    return frozenset(week.state for _, crop in chosen for week in crop.weeks)


def _date_lines(chosen: Sequence[Place], width: int, style: Style) -> list[str]:
    night = f"coldest night {QUANTITIES['temp'].label(style)}"
    heads = ("crop", "bed", "sow for winter by", "eaten to about", "sow again from", night)
    columns = [Column(head, right=False, firm=n > 1) for n, head in enumerate(heads)]
    rows = [
        (
            crop_name(crop.crop),
            bed.name,
            date_text(crop.sow_by, style),
            _lasts(crop, style),
            date_text(crop.pays_from, style),
            _nights(crop, style),
        )
        for bed, crop in chosen
        if _winter(crop)
    ]
    return table(columns, rows, width) if rows else []


def _nights(crop: CropSeason, style: Style) -> str:
    """Coldest night of its stay, and in one winter in ten."""
    if crop.coldest_degc is None or crop.coldest_1in10_degc is None:
        return "-"
    low, tenth = (QUANTITIES["temp"].number(value, style) for value in (crop.coldest_degc, crop.coldest_1in10_degc))
    return f"{low} ({tenth})"


def _lasts(crop: CropSeason, style: Style) -> str:
    """To when a stand sown in time is picked or keeps; what stands now tells it of the stand a year on."""
    by = crop.sow_by
    if by is None:
        return "-"
    year = timedelta(days=YEAR_D)
    lasts = (span.last if span.first > by else span.last + year for span in crop.spans if span.kind in ("pick", "hold"))
    return date_text(max(lasts, default=None), style)


def _next_lines(answer: SeasonAnswer, chosen: Sequence[Place], width: int, style: Style, most: int) -> list[str]:
    """Jobs of the months ahead that touch the crops shown, as many as there is room for."""
    lines: list[str] = []
    named = {crop.crop for _, crop in chosen}
    for month, jobs in jobs_by_month(answer, style, named):
        more = [month]
        for job, when in jobs:
            first, *rest = wrap(f"{job}: {when}", width - 4)
            more += [f"  {first}", *(f"    {part}" for part in rest)]
        if len(lines) + len(more) + 2 > most:
            break
        lines += more
    return ["", bold("Next"), *lines] if lines else []
