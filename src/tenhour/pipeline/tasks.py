"""What to do when, from the dates of a season; beds whose dates lie close to each other share one task."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tenhour.model.season import BedSeason, CropSeason, GardenPlants, Succession, Task, TaskKind

TOGETHER_D: Final = 10
"""Beds whose dates lie this close are done on the first of their days: judgement, dates are known to about a week."""
GRAIN_G: Final = 1.0
"""Seed lighter than this is told to a tenth of a gram."""


@dataclass(frozen=True)
class _Todo:
    """One thing to do for one crop on one bed; its text may hold the last day on which it can be done."""

    on: date
    bed: str
    crop: str
    kind: TaskKind
    text: str
    by: date | None = None


def tasks_of(
    beds: Sequence[BedSeason], garden: Sequence[GardenPlants], planned: Sequence[Succession], names: dict[str, str]
) -> tuple[Task, ...]:
    """What to do, in order of date.

    Parameters: names, crops by key as they are said in a sentence.
    """
    todo = [item for bed in beds for crop in bed.crops for item in _of_crop(bed, crop)]
    out = _together(todo, len(beds))
    out += [task for plants in garden for task in _of_garden(plants, names)]
    out += [_of_succession(item, names) for item in planned]
    return tuple(sorted(out, key=lambda task: (task.on, task.kind, task.crop, task.bed)))


def _of_crop(bed: BedSeason, crop: CropSeason) -> Iterator[_Todo]:
    def todo(on: date, kind: TaskKind, text: str, by: date | None = None) -> _Todo:
        return _Todo(on, bed.name, crop.crop, kind, text, by)

    name = crop.short
    for span in crop.spans:
        if span.kind == "sow-for-winter":
            yield todo(span.first, "sow", f"sow {name} for winter, by {{by}} at the latest", span.last)
        if span.kind == "pick":
            yield todo(span.first, "pick", f"begin to {'cut' if crop.way == 'cut' else 'pick'} the standing {name}")
        if span.kind == "trays":
            yield todo(span.first, "trays", f"start trays of {name}: one a week")
    if crop.pays_from is not None:
        yield todo(crop.pays_from, "pays", f"sowing {name} pays again without lamps")
    route = crop.route
    if route is not None and route.sow_by is not None and route.set_out_by is not None:
        text = f"last sowing of {name} on the {route.nursery}, to set out for winter by {{by}}"
        yield todo(route.sow_by, "raise", text, route.set_out_by)
        yield todo(route.set_out_by, "set-out", f"set out {name} for winter by now")
    if route is not None and route.pays_from is not None and route.set_out_from is not None:
        text = f"sow {name} on the {route.nursery} from now on, to set out from {{by}}"
        yield todo(route.pays_from, "raise", text, route.set_out_from)


def _together(todo: Sequence[_Todo], beds: int) -> list[Task]:
    """Join what is to be done for one crop on several beds within a week, on the first of their days."""
    groups: dict[tuple[str, TaskKind, str], list[_Todo]] = defaultdict(list)
    for item in todo:
        groups[item.crop, item.kind, item.text].append(item)
    out: list[Task] = []
    for (crop, kind, text), items in groups.items():
        items.sort(key=lambda item: item.on)
        while items:
            first = items[0].on
            near = [item for item in items if (item.on - first).days <= TOGETHER_D]
            items = items[len(near) :]
            names = list(dict.fromkeys(item.bed for item in near))
            by = min((item.by for item in near if item.by is not None), default=first)
            where = "all beds" if len(names) == beds > 1 else ", ".join(names)
            out.append(Task(first, where, crop, text.format(by=by.isoformat()), kind))
    return out


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
