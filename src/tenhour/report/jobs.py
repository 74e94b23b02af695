"""What to do, month by month, one line for one job however many beds it is for."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from datetime import date
from itertools import groupby

from tenhour.model.season import SeasonAnswer, Task
from tenhour.words.style import MONTH_NAMES, Style, short_date
from tenhour.words.text import written


def jobs_by_month(
    answer: SeasonAnswer, style: Style, crops: Collection[str] | None = None
) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Months with their jobs: the words and, beside them, days and beds; only jobs for some crops, if they are told."""
    every = sorted(answer.tasks, key=lambda task: task.on)
    tasks = [task for task in every if crops is None or set(task.crop.split(", ")) <= set(crops)]
    beds = len(answer.beds)
    for (year, month), group in groupby(tasks, key=lambda task: (task.on.year, task.on.month)):
        jobs = [(written(text, style), _when(found, beds, style)) for text, found in _by_text(group).items()]
        yield f"{MONTH_NAMES[month - 1]} {year}", jobs


def _by_text(tasks: Iterable[Task]) -> dict[str, dict[date, list[str]]]:
    """Beds by date by what is to be done."""
    found: dict[str, dict[date, list[str]]] = {}
    for task in tasks:
        where = found.setdefault(task.text, {}).setdefault(task.on, [])
        if task.bed not in where:
            where.append(task.bed)
    return found


def _when(found: dict[date, list[str]], beds: int, style: Style) -> str:
    parts = []
    for on, where in found.items():
        named = "" if beds == 1 else " all beds" if len(where) == beds else f" {', '.join(where)}"
        parts.append(f"{short_date(on, style)}{named}")
    return "; ".join(parts)
