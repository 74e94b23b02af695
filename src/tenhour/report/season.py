"""The season answer as text: a strip of 52 weeks per crop, then the dates, then what to do month by month."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from tenhour.model.season import BedSeason, CropSeason, SeasonAnswer, SeasonWeek, SowWeek
from tenhour.report.common import basis_lines, style_of
from tenhour.report.jobs import jobs_by_month
from tenhour.report.season_data import (
    crops_table,
    garden_table,
    season_tables,
    seeds_table,
    successions_table,
    tasks_table,
)
from tenhour.report.season_screen import screen_lines
from tenhour.report.strips import NARROW_NAME_WIDTH, STATE_MARKS, legend_lines, month_letters
from tenhour.report.tables import Field, Table
from tenhour.report.terminal import ROOMY, bars, bold, heading, strips, table_lines, wrap
from tenhour.words import tasks as task_words
from tenhour.words.crops import crop_name
from tenhour.words.season_screen import SCALE
from tenhour.words.style import Style, date_text, quantity_text
from tenhour.words.text import joined, written

__all__ = ["season_tables", "season_text"]

PICK_MARK: Final = "p"
HOLD_MARK: Final = "h"
STANDS_LEGEND: Final = f"Below it, from plants grown before the dark: {HOLD_MARK} stands ready, {PICK_MARK} is picked."
FEW_CROPS: Final = 8
"""So many crops on a bed get their sentences even where there is little room."""
NAME_WIDTH: Final = 30


def season_text(answer: SeasonAnswer, width: int, *, style: Style | None = None, everything: bool = False) -> str:
    """Answer as text at 80 or 120 columns: one screen, or with ``everything`` all crops on all beds."""
    chosen = style_of(answer.us_units, style)
    if not everything:
        return "\n".join([*screen_lines(answer, width, chosen), *_supply_lines(answer, width, chosen)])
    lines = [
        bold(f"The year from {date_text(answer.start, chosen)}"),
        *legend_lines(width),
        *wrap(STANDS_LEGEND, width),
    ]
    for bed in answer.beds:
        lines += ["", *_bed_lines(answer, bed, width, chosen)]
    lines += _supply_lines(answer, width, chosen)
    if answer.garden:
        said = [line for item in answer.garden for line in wrap(written(item.sentence, chosen), width)]
        lines += ["", bold(garden_table(answer).caption), *said]
    lines += _task_lines(answer, width, chosen)
    lines += basis_lines(answer.basis, width, chosen, answer.calibration)
    return "\n".join(lines)


def _supply_lines(answer: SeasonAnswer, width: int, style: Style) -> list[str]:
    """Sowings of a steady supply and their seed, where one was asked for."""
    tables = [table for table in (successions_table(answer), seeds_table(answer)) if table.rows]
    return [line for table in tables for line in ("", bold(table.caption), *table_lines(_named(table), width, style))]


def _named(full: Table) -> Table:
    """The table with each crop by its one name, once, and its seed as it is measured out: counted, or weighed."""
    places = {field.key: i for i, field in enumerate(full.fields)}
    crop, seeds, grams = places["crop"], places["seeds_count"], places["seed_g"]
    fields = {"crop": full.fields[crop], "seeds_count": Field("seed", "seed")}
    keep = [i for key, i in places.items() if key not in ("name", "seed_g")]
    rows = tuple(
        tuple(
            crop_name(str(row[i])) if i == crop else _seed_text(row[seeds], row[grams]) if i == seeds else row[i]
            for i in keep
        )
        for row in full.rows
    )
    return replace(full, fields=tuple(fields.get(full.fields[i].key, full.fields[i]) for i in keep), rows=rows)


def _seed_text(seeds_count: object, seed_g: object) -> str:
    if isinstance(seeds_count, int):
        return task_words.SEEDS(seeds=seeds_count)
    return task_words.SEED_G(seed=seed_g) if isinstance(seed_g, float) else ""


def _bed_lines(answer: SeasonAnswer, bed: BedSeason, width: int, style: Style) -> list[str]:
    name_width = NAME_WIDTH if width >= ROOMY else NARROW_NAME_WIDTH
    lines = heading(f"Bed {bed.name}", f", {quantity_text('area', bed.area_m2, style)}", width)
    rows = _week_rows(bed)
    rows += [row for crop in bed.crops for row in _crop_rows(crop, bed.weeks)]
    lines += strips(rows, name_width, width)
    lines += _scale_lines(bed, width, style)
    dates = _dates(answer, bed, width)
    if dates.rows:
        lines += ["", *table_lines(dates, width, style)]
    if width >= ROOMY or len(bed.crops) <= FEW_CROPS:
        said = [_said(crop, style) for crop in bed.crops]
        lines += [line for text in said if text for line in ("", *wrap(text, width))]
    return lines


def _said(crop: CropSeason, style: Style) -> str:
    """Everything there is to say of a crop: its year, its route through the nursery, and what threatens it."""
    route = "" if crop.route is None else crop.route.sentence
    moved = "" if crop.moved is None else crop.moved.sentence
    text = joined([crop.sentence, route, moved, *crop.flags])
    return f"{crop_name(crop.crop)}: {written(text, style)}" if text else ""


def _week_rows(bed: BedSeason) -> list[tuple[str, str]]:
    """Months, light and nights over the strips, on the same 52 columns."""
    if not bed.weeks:
        return []
    top = max(week.dli_mol_m2_d for week in bed.weeks)
    nights = [week.night_degc for week in bed.weeks]
    low, high = min(nights), max(nights)
    span = max(high - low, 1.0)
    rows = [
        ("", month_letters(bed.weeks)),
        ("light", bars([week.dli_mol_m2_d for week in bed.weeks], top)),
        ("nights", bars([night - low + span / 8 for night in nights], span)),
    ]
    return [*rows, ("bed taken", bars(bed.full_frac, 1.0))] if any(bed.full_frac) else rows


def _scale_lines(bed: BedSeason, width: int, style: Style) -> list[str]:
    """What a full bar of light and the bars of the nights stand for."""
    if not bed.weeks:
        return []
    nights = [week.night_degc for week in bed.weeks]
    top = max(week.dli_mol_m2_d for week in bed.weeks)
    return wrap(written(SCALE(top=top, cold=min(nights), warm=max(nights)), style), width)


def _crop_rows(crop: CropSeason, weeks: tuple[SeasonWeek, ...]) -> list[tuple[str, str]]:
    rows = [(crop_name(crop.crop), "".join(STATE_MARKS[week.state] for week in crop.weeks))]
    stands = "".join(_stand_mark(crop, week) for week in weeks)
    return [*rows, ("  stands", stands)] if stands.strip() else rows


def _stand_mark(crop: CropSeason, week: SeasonWeek | SowWeek) -> str:
    for kind, mark in (("pick", PICK_MARK), ("hold", HOLD_MARK)):
        if any(span.kind == kind and span.first <= week.start <= span.last for span in crop.spans):
            return mark
    return " "


def _dates(answer: SeasonAnswer, bed: BedSeason, width: int) -> Table:
    """Return the dates of one bed; the words only where there is room for them."""
    full = crops_table(answer)
    wide = ["sow_from", "sow_by_sure"] if width >= ROOMY else []
    keep = ["name", *wide, "sow_by", "hold_from", "hold_to", "pays_from"]
    places = [i for i, field in enumerate(full.fields) if field.key in keep]
    named = next(i for i, field in enumerate(full.fields) if field.key == "crop")
    rows = tuple(
        tuple(crop_name(str(row[named])) if full.fields[i].key == "name" else row[i] for i in places)
        for row in full.rows
        if row[0] == bed.name and _has_date(row[4:10])
    )
    return Table("dates", "", tuple(full.fields[i] for i in places), rows)


def _has_date(cells: tuple[object, ...]) -> bool:
    return any(cell is not None for cell in cells)


def _task_lines(answer: SeasonAnswer, width: int, style: Style) -> list[str]:
    if not answer.tasks:
        return []
    lines = ["", bold(tasks_table(answer).caption)]
    for month, jobs in jobs_by_month(answer, style):
        lines.append(month)
        for words, when in jobs:
            first, *rest = wrap(f"{words}: {when}", width - 4)
            lines += [f"  {first}", *(f"    {part}" for part in rest)]
    return lines
