"""The answer for today in three sentences: the light, what to sow, what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Final

from tenhour.model.report import ReportAnswer
from tenhour.model.results import SowAnswer
from tenhour.model.season import Task
from tenhour.words.crops import crop_name
from tenhour.words.style import Style, date_text
from tenhour.words.text import written

SOON: Final = timedelta(days=45)


def today_sentences(answer: ReportAnswer, style: Style) -> tuple[str, str, str]:
    """Return three sentences a grower can act on."""
    return _light(answer, style), _sowing(answer.sow, style), _next(answer, style)


def _light(answer: ReportAnswer, style: Style) -> str:
    month = answer.light.months[answer.on.month - 1]
    day = answer.light.day
    if day is not None:
        hours, outdoors = day.daylength_h, day.outdoor_dli_mol_m2_d
        beds = [(name, value, day.beds_dull_dli_mol_m2_d[name]) for name, value in day.beds_dli_mol_m2_d.items()]
    else:
        hours, outdoors = month.daylength_h, month.dli_mol_m2_d
        beds = [
            (bed.name, bed.months[month.month - 1].dli_mol_m2_d, bed.months[month.month - 1].dull_dli_mol_m2_d)
            for bed in answer.light.beds
        ]
    lit = {bed.name: bed.months[month.month - 1].lamps_dli_mol_m2_d or 0.0 for bed in answer.light.beds}
    beds = [(name, value + lit.get(name, 0.0), dull + lit.get(name, 0.0)) for name, value, dull in beds]
    brightest = max(beds, key=lambda bed: bed[1])
    dimmest = min(beds, key=lambda bed: bed[1])
    least = "" if len(beds) == 1 else f", and {dimmest[1]:.1f} on {dimmest[0]}, the dimmest bed"
    return (
        f"On {date_text(answer.on, style)} the day is {hours:.1f} hours long{_clock(answer)} "
        f"and brings {outdoors:.1f} mol m⁻² of light outdoors: {brightest[1]:.1f} on {brightest[0]} "
        f"({brightest[2]:.1f} on a dull day){least}."
    )


def _clock(answer: ReportAnswer) -> str:
    """Sunrise and sunset in brackets, where the day has both."""
    day = answer.light.day
    return f" ({day.sunrise} to {day.sunset})" if day is not None and day.sunrise and day.sunset else ""


def _sowing(sow: SowAnswer, style: Style) -> str:
    if not sow.now:
        return _nothing(sow, style)
    found: dict[str, list[str]] = {}
    for one in sow.now:
        where = str(one.where) or (one.bed if len(sow.beds) > 1 else "")
        found.setdefault(where, []).append(crop_name(one.crop))
    said = [f"{', '.join(names)}{f' ({where})' if where else ''}" for where, names in found.items()]
    return f"Sow now: {'; '.join(said)}."


def _nothing(sow: SowAnswer, style: Style) -> str:
    waiting = [
        (crop.pays_from, crop_name(crop.crop), bed.name)
        for bed in sow.beds
        for crop in bed.crops
        if crop.pays_from is not None and crop.way != "fruiting"
    ]
    if not waiting:
        return "Nothing is worth sowing today without lamps or more warmth."
    on, name, bed_name = min(waiting)
    return (
        "Nothing is worth sowing today without lamps or more warmth; sowing pays again first with "
        f"{name} on {bed_name}, from {date_text(on, style)}."
    )


def _next(answer: ReportAnswer, style: Style) -> str:
    ahead = sorted((task for task in answer.season.tasks if task.on > answer.on), key=lambda task: task.on)
    soon = [task for task in ahead if task.on <= answer.on + SOON] or ahead[:1]
    if soon:
        return f"Next: {_tasks(soon[:2], style)}."
    after = answer.season.after_dark
    if after is not None and after > answer.on:
        return f"Days are ten hours long again from {date_text(after, style)}."
    return "Nothing else is planned in the months ahead."


def _tasks(tasks: Sequence[Task], style: Style) -> str:
    return "; ".join(
        f"{date_text(task.on, style)}, {task.bed}: {written(task.text, style).rstrip('.')}" for task in tasks
    )
