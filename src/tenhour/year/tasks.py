"""What to do when, from the dates of a season; beds whose dates lie close to each other share one task."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from tenhour.model.season import BedSeason, CropSeason, GardenPlants, Route, Succession, Task, TaskKind

WEEK_D: Final = 7
TOGETHER_D: Final = 10
"""Beds whose dates lie this close are done on the first of their days: judgement, dates are known to about a week."""
GRAIN_G: Final = 1.0
"""Seed lighter than this is told to a tenth of a gram."""


@dataclass(frozen=True)
class _Todo:
    """One thing to do for one crop; ``names`` in its text stands for the crops, ``by`` for a date beside each."""

    on: date
    beds: tuple[str, ...]
    crop: str
    name: str
    kind: TaskKind
    text: str
    by_text: str = ""
    by: date | None = None


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
    todo = [item for bed in beds for crop in bed.crops for item in _of_crop(bed, crop)]
    out = _crops_together(_beds_together(todo), start, len(beds))
    out += [task for plants in garden for task in _of_garden(plants, names)]
    out += [_of_succession(item, names) for item in planned]
    return tuple(sorted(out, key=lambda task: (task.on, task.kind, task.crop, task.bed)))


def _of_crop(bed: BedSeason, crop: CropSeason) -> Iterator[_Todo]:
    def todo(on: date, kind: TaskKind, text: str, by_text: str = "", by: date | None = None) -> _Todo:
        return _Todo(on, (bed.name,), crop.crop, crop.short, kind, text, by_text, by)

    for span in crop.spans:
        if span.kind == "sow-for-winter":
            yield todo(span.first, "sow", "sow {names} for winter", "by {by}", span.last)
        if span.kind == "pick":
            yield todo(span.first, "pick", f"begin to {'cut' if crop.way == 'cut' else 'pick'} the standing {{names}}")
        if span.kind == "trays":
            yield todo(span.first, "trays", "start trays of {names}, one a week")
    if crop.pays_from is not None:
        yield todo(crop.pays_from, "pays", "sowing {names} pays again without lamps")
    yield from _of_route(crop.route, todo)


def _of_route(route: Route | None, todo: Callable[..., _Todo]) -> Iterator[_Todo]:
    if route is None:
        return
    if route.sow_by is not None and route.set_out_by is not None:
        text = f"sow {{names}} {route.where}, the last time for winter"
        yield todo(route.sow_by, "raise", text, "to set out by {by}", route.set_out_by)
        yield todo(route.set_out_by, "set-out", "set out {names} for winter by now")
    if route.pays_from is not None and route.set_out_from is not None:
        text = f"sow {{names}} {route.where} from now on"
        yield todo(route.pays_from, "raise", text, "to set out from {by}", route.set_out_from)


def _beds_together(todo: Sequence[_Todo]) -> list[_Todo]:
    """Join what is to be done for one crop on several beds within some days, on the first of them."""
    groups: dict[tuple[str, TaskKind, str], list[_Todo]] = defaultdict(list)
    for item in todo:
        groups[item.crop, item.kind, item.text].append(item)
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
    groups: dict[tuple[int, TaskKind, str, frozenset[str]], list[_Todo]] = defaultdict(list)
    for item in todo:
        groups[(item.on - start).days // WEEK_D, item.kind, item.text, frozenset(item.beds)].append(item)
    out = []
    for (_, kind, text, where), group in groups.items():
        items = sorted(group, key=lambda item: (item.on, item.name))
        named = "all beds" if len(where) == beds > 1 else ", ".join(items[0].beds)
        crops = ", ".join(item.crop for item in items)
        out.append(Task(items[0].on, named, crops, text.format(names=_listed([_named(item) for item in items])), kind))
    return out


def _named(item: _Todo) -> str:
    """A crop with the date that goes with it."""
    return item.name if item.by is None else f"{item.name} ({item.by_text.format(by=item.by.isoformat())})"


def _listed(names: Sequence[str]) -> str:
    """Words in a row: "kale, endive and chard"."""
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def _of_garden(plants: GardenPlants, names: dict[str, str]) -> Iterator[Task]:
    if plants.sow is None:
        return
    name = names.get(plants.crop, plants.name)
    text = f"sow {name} for the garden, to set out about {plants.set_out.isoformat()}"
    yield Task(plants.sow, plants.place, plants.crop, text, "garden")
    yield Task(plants.set_out, plants.place, plants.crop, f"harden off {name} and set it out in the garden", "garden")


def _of_succession(item: Succession, names: dict[str, str]) -> Task:
    seed = "" if item.seed_g is None else f", {_grams(item.seed_g)} of seed"
    text = f"sow {item.area_m2:.2f} m² of {names.get(item.crop, item.crop)}{seed}"
    return Task(item.sow, item.bed, item.crop, text, "succession")


def _grams(seed_g: float) -> str:
    return f"{seed_g:.1f} g" if seed_g < GRAIN_G else f"{seed_g:.0f} g"
