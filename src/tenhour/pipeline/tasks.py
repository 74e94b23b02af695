"""What to do when, from the dates of a season."""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from tenhour.model.season import (
    BedSeason,
    CropSeason,
    Span,
    Task,
)
from tenhour.pipeline import growing
from tenhour.pipeline.sow import Table, crop_year
from tenhour.plan import season as plan
from tenhour.plan.dates import day_index, next_on_or_after

Array = NDArray[np.float64]


def tasks_of(table: Table, beds: tuple[BedSeason, ...], frost: date | None) -> tuple[Task, ...]:
    """What to do on every bed, in order of date; transplants for the garden count back from the last frost."""
    out: list[Task] = []
    for number, bed in enumerate(beds):
        for place, crop in enumerate(bed.crops):
            out += _croptasks(bed, crop)
            if crop.way == "transplant" and frost is not None:
                out += _raisingtasks(table, place, number, bed, frost)
    return tuple(sorted(out, key=lambda task: (task.on, task.bed, task.crop)))


def _croptasks(bed: BedSeason, crop: CropSeason) -> list[Task]:
    out = []
    if crop.sow_by is not None and crop.hold_from is not None:
        text = f"last sowing of {crop.name} that stands grown before the dark"
        out.append(Task(crop.sow_by, bed.name, crop.crop, text))
    if crop.pays_from is not None and crop.way not in ("transplant", "seed-fed", "bulb"):
        out.append(Task(crop.pays_from, bed.name, crop.crop, f"sowing {crop.name} without lamps pays again"))
    for span in crop.spans:
        if span.kind == "trays":
            out.append(Task(span.first, bed.name, crop.crop, _tray_text(crop, span)))
        if span.kind == "pick":
            out.append(Task(span.first, bed.name, crop.crop, f"begin to pick {crop.name} week by week"))
    return out


def _tray_text(crop: CropSeason, span: Span) -> str:
    days = [week.days_median for week in crop.weeks if span.first <= week.start <= span.last and week.days_median]
    longest = max(days) if days else 0
    kept = math.ceil(longest / 7)
    return f"trays of {crop.name}: {min(days, default=0)}-{longest} days; for one tray a week keep {kept} going"


def _raisingtasks(table: Table, crop: int, bed: int, where: BedSeason, frost: date) -> list[Task]:
    chosen = table.crops[crop]
    offset = 0 if chosen.raising is None else round(growing.value_of(chosen.raising.after_frost_d, 0.0))
    out_on = frost + timedelta(days=offset)
    sow_day = plan.sow_for(crop_year(table, crop, bed).days, day_index(out_on))
    if sow_day is None:
        return []
    on = next_on_or_after(sow_day, table.on)
    if on > out_on:
        return []
    text = f"sow {chosen.name} for the garden, to set out about {out_on.isoformat()} (last frost {frost.isoformat()})"
    return [
        Task(on, where.name, chosen.key, text),
        Task(out_on, where.name, chosen.key, f"harden off and set out {chosen.name}"),
    ]
