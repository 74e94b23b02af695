"""What to do when, from the dates of a season; beds whose dates lie close to each other share one task."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from tenhour.model.season import BedSeason, CropSeason, GardenPlants, Route, Succession, Task, TaskKind
from tenhour.words import tasks as words
from tenhour.words.text import Sentence

WEEK_D: Final = 7
YEAR_D: Final = 365
TOGETHER_D: Final = 10
"""Beds whose dates lie this close are done on the first of their days: judgement, dates are known to about a week."""


@dataclass(frozen=True)
class _Todo:
    """One thing to do for one crop; ``by`` is a date beside its name, written as ``named`` has it."""

    on: date
    beds: tuple[str, ...]
    crop: str
    name: str
    kind: TaskKind
    job: Sentence
    named: Sentence | None = None
    by: date | None = None
    where: str = ""


def tasks_of(
    start: date,
    beds: Sequence[BedSeason],
    garden: Sequence[GardenPlants],
    planned: Sequence[Succession],
    names: dict[str, str],
) -> tuple[Task, ...]:
    """What to do, in order of date.

    Parameters: start, first day of the year shown; names, crops by key as they are said in a sentence.
    """
    shown_to = start + timedelta(days=YEAR_D - 1)
    todo = [item for bed in beds for crop in bed.crops for item in _of_crop(bed, crop, shown_to)]
    out = _crops_together(_beds_together(todo), start, len(beds))
    out += [task for plants in garden for task in _of_garden(plants, names)]
    out += [_of_succession(item, names) for item in planned]
    return tuple(sorted(out, key=lambda task: (task.on, task.kind, task.crop, task.bed)))


def _of_crop(bed: BedSeason, crop: CropSeason, shown_to: date) -> Iterator[_Todo]:
    def todo(
        on: date, kind: TaskKind, job: Sentence, named: Sentence | None = None, by: date | None = None, where: str = ""
    ) -> _Todo:
        return _Todo(on, (bed.name,), crop.crop, crop.short, kind, job, named, by, where)

    for span in crop.spans:
        if span.kind == "sow-for-winter":
            yield todo(span.first, "sow", words.SOW_FOR_WINTER, words.NAMED_BY, span.last)
        if span.kind == "stand-small":
            # what lasts beyond the year shown has no last day in it
            ends = span.last < shown_to
            named, by = (words.NAMED_BY, span.last) if ends else (None, None)
            yield todo(span.first, "sow", words.SOW_TO_STAND, named, by)
        if span.kind == "pick":
            job = words.BEGIN_TO_CUT if crop.way == "cut" else words.BEGIN_TO_PICK
            yield todo(span.first, "pick", job, words.NAMED_IF, _sown_by(crop, span.first))
        if span.kind == "trays":
            yield todo(span.first, "trays", words.START_TRAYS)
    if crop.pays_from is not None:
        yield todo(crop.pays_from, "pays", words.FRUITS_AGAIN if crop.way == "fruiting" else words.PAYS_AGAIN)
    yield from _of_route(crop.route, todo)


def _sown_by(crop: CropSeason, before: date) -> date | None:
    """The last sowing of which a stand of some day can be: no stand is taken for granted that no log holds."""
    by = crop.sow_by
    while by is not None and by > before:
        by -= timedelta(days=YEAR_D)
    return by


def _of_route(route: Route | None, todo: Callable[..., _Todo]) -> Iterator[_Todo]:
    if route is None:
        return
    if route.sow_by is not None and route.set_out_by is not None:
        yield todo(route.sow_by, "raise", words.RAISE_FOR_WINTER, words.NAMED_OUT_BY, route.set_out_by, route.where)
        yield todo(route.set_out_by, "set-out", words.SET_OUT)
    if route.pays_from is not None and route.set_out_from is not None:
        yield todo(
            route.pays_from, "raise", words.RAISE_FOR_SPRING, words.NAMED_OUT_FROM, route.set_out_from, route.where
        )


def _beds_together(todo: Sequence[_Todo]) -> list[_Todo]:
    """Join what is to be done for one crop on several beds within some days, on the first of them."""
    groups: dict[tuple[str, TaskKind, Sentence, str], list[_Todo]] = defaultdict(list)
    for item in todo:
        groups[item.crop, item.kind, item.job, item.where].append(item)
    out: list[_Todo] = []
    for group in groups.values():
        items = sorted(group, key=lambda item: item.on)
        while items:
            near = [item for item in items if (item.on - items[0].on).days <= TOGETHER_D]
            where = tuple(dict.fromkeys(bed for item in near for bed in item.beds))
            by = min((item.by for item in near if item.by is not None), default=None)
            out.append(replace(items[0], beds=where, by=by))
            items = items[len(near) :]
    return out


def _crops_together(todo: Sequence[_Todo], start: date, beds: int) -> list[Task]:
    """Join what is to be done for several crops on the same beds in the same week."""
    groups: dict[tuple[int, TaskKind, Sentence, str, frozenset[str]], list[_Todo]] = defaultdict(list)
    for item in todo:
        groups[(item.on - start).days // WEEK_D, item.kind, item.job, item.where, frozenset(item.beds)].append(item)
    out = []
    for (_, kind, job, place, where), group in groups.items():
        items = sorted(group, key=lambda item: (item.on, item.name))
        named = "all beds" if len(where) == beds > 1 else ", ".join(items[0].beds)
        crops = ", ".join(item.crop for item in items)
        text = words.job_text(job, place, [(item.name, item.named, item.by) for item in items])
        out.append(Task(items[0].on, named, crops, text, kind))
    return out


def _of_garden(plants: GardenPlants, names: dict[str, str]) -> Iterator[Task]:
    if plants.sow is None:
        return
    name = names.get(plants.crop, plants.name)
    text = words.RAISE_FOR_GARDEN(name=name, out=plants.set_out)
    yield Task(plants.sow, plants.place, plants.crop, text, "garden")
    yield Task(plants.set_out, plants.place, plants.crop, words.HARDEN_OFF(name=name), "garden")


def _of_succession(item: Succession, names: dict[str, str]) -> Task:
    text = words.sowing_text(item.area_m2, names.get(item.crop, item.crop), item.seed_g, item.seeds_count)
    return Task(item.sow, item.bed, item.crop, text, "succession")
