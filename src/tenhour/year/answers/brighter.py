"""Cheap gains: change one thing about the house, compute its light again, and rank what it adds in the dark months."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tenhour.model.cover import OPAQUE
from tenhour.model.house import Bed, Box, Face, House
from tenhour.model.outline import roof_height_m
from tenhour.model.results import Gain
from tenhour.plan.dates import MONTH_OF_DAY, month_means
from tenhour.words import remarks as words
from tenhour.year.inside.beds import BedYear, beds_in, beds_moved, beds_retold, beds_under, on_days, rays_for, ways_in
from tenhour.year.inside.panes import fitted_factor
from tenhour.year.inside.scene import floor_names, room_problems, scene_of
from tenhour.year.outside.sunlight import Sunlight
from tenhour.year.world import World

WHITE_REFL_FRAC: Final = 0.85
"""Fresh matt white paint or film in PAR (0.8-0.9): common practice."""
RAISE_M: Final = 0.4
MOVE_M: Final = 0.4
"""Steps by which a bed is raised or moved on trial."""
HEADROOM_M: Final = 0.5
"""Room kept between a raised bed and the roof."""
HEDGE_SHARE: Final = 0.5
"""A hedge is cut back to half its height over the horizon on trial."""
LEAST_GAIN_FRAC: Final = 0.005
"""Smaller gains are within what the house's light is known to, and left out."""
DARK_MONTHS: Final = 6


@dataclass(frozen=True)
class _Trial:
    """One change: what it is called, the changed house, and the number of the only bed that is moved (None: none)."""

    change: str
    house: House
    bed: int | None = None
    note: str = ""
    same_ways: bool = False
    """Whether light goes the same ways as before: only what panes, paint and layers take of it is another."""
    same_room: bool = False
    """Whether the skyline alone is another."""


def gains_of(world: World, progress: Callable[[str], None] = lambda _: None) -> tuple[Gain, ...]:
    """Cheap changes that add at least half a percent to a bed in the six darkest months, best first.

    Parameters: world; progress, told the name of each trial.
    Returns: gains in mol m⁻² d⁻¹ and as a share of the bed's light.
    """
    order = np.argsort(month_means(world.outdoors.dli_mol_m2_d), kind="stable")
    dark = np.isin(MONTH_OF_DAY, order[:DARK_MONTHS] + 1)
    before: dict[str, float] = {}
    gains = []
    for trial, beds in _lit(world, on_days(world.light, dark), progress):
        if trial is None:
            before = {bed.name: _dark_mean(bed, dark) for bed in beds}
            continue
        for bed in beds:
            more = _dark_mean(bed, dark) - before[bed.name]
            share = more / max(before[bed.name], 1e-9)
            if share >= LEAST_GAIN_FRAC:
                gains.append(Gain(trial.change, bed.name, more, share, trial.note))
    return tuple(sorted(gains, key=lambda gain: (-gain.gain_dli_mol_m2_d, gain.change, gain.bed)))


def _lit(
    world: World, light: Sunlight, progress: Callable[[str], None]
) -> Iterator[tuple[_Trial | None, tuple[BedYear, ...]]]:
    """The house as it is, then each trial, with the beds it can help. Only a box that goes is traced anew; everything
    with the same rays, so that what is gained is not their scatter."""
    house, rays = world.house, rays_for(world.light, light)
    trials = list(_trials(house))
    for trial in trials:
        progress(trial.change)
    ways = ways_in(house, light, rays, world.solved)
    same = [trial for trial in trials if trial.same_ways]
    yield from zip([None, *same], beds_retold(ways, [house, *(trial.house for trial in same)]), strict=True)
    moved = [(trial, trial.bed) for trial in trials if trial.bed is not None]
    if moved:
        there = beds_moved(ways, [(number, trial.house.beds[number]) for trial, number in moved])
        yield from ((trial, (bed,)) for (trial, _), bed in zip(moved, there, strict=True))
    for trial in trials:
        if trial.same_room:
            yield trial, beds_under(ways, trial.house)
        elif not trial.same_ways and trial.bed is None:
            yield trial, beds_in(trial.house, light, rays)


def _dark_mean(bed: BedYear, dark: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> float:
    return float(bed.dli_mol_m2_d[dark].mean())


def _trials(house: House) -> Iterator[_Trial]:
    for found in (_wash, _paint, _clear_snow, _lift_layers, _cut_hedge):
        trial = found(house)
        if trial is not None:
            yield trial
    for box in house.boxes:
        yield _without(house, box)
    for bed in house.beds:
        for moved in (_raised, _forward):
            trial = moved(house, bed)
            if trial is not None:
                yield trial


def _wash(house: House) -> _Trial | None:
    measured = all(fitted_factor(house, bed.name) is not None for bed in house.beds)
    if measured or not any(cover.dirt_share > 0.0 for cover in house.covers.values()):
        return None
    clean = {key: replace(cover, dirt_share=0.0) for key, cover in house.covers.items()}
    return _Trial("wash the panes", replace(house, covers=clean), same_ways=True)


def _paint(house: House) -> _Trial | None:
    floor = floor_names(scene_of(house))
    dull = {
        name: face
        for name, face in house.faces.items()
        if face.cover == OPAQUE and face.reflectance_frac < WHITE_REFL_FRAC and name not in floor
    }
    opaque = [s for s in house.surfaces if s.cover == OPAQUE and s.name not in floor]
    walls = [s for s in opaque if s.reflectance_frac < WHITE_REFL_FRAC]
    if not dull and not walls:
        return None
    white = {name: Face(face.cover, WHITE_REFL_FRAC, face.u_w_m2_k) for name, face in dull.items()}
    surfaces = tuple(replace(s, reflectance_frac=WHITE_REFL_FRAC) if s in walls else s for s in house.surfaces)
    painted = replace(house, faces={**house.faces, **white}, surfaces=surfaces)
    return _Trial(words.PAINT(), painted, same_ways=True)


def _clear_snow(house: House) -> _Trial | None:
    if not house.site.snow_months or not any(cover.snow_share > 0.0 for cover in house.covers.values()):
        return None
    bare = {key: replace(cover, snow_share=0.0) for key, cover in house.covers.items()}
    note = words.CLEAR_SNOW_HOW()
    return _Trial(words.CLEAR_SNOW(), replace(house, covers=bare), note=note, same_ways=True)


def _lift_layers(house: House) -> _Trial | None:
    if not any(layer.by_day for bed in house.beds for layer in bed.layers):
        return None
    beds = tuple(replace(bed, layers=tuple(replace(layer, by_day=False) for layer in bed.layers)) for bed in house.beds)
    return _Trial(words.LIFT_LAYERS(), replace(house, beds=beds), same_ways=True)


def _cut_hedge(house: House) -> _Trial | None:
    heights = house.site.skyline.height_deg
    if not heights or max(heights) <= 0.0:
        return None
    lower = replace(house.site.skyline, height_deg=tuple(height * HEDGE_SHARE for height in heights))
    note = words.CUT_HEDGE_HOW()
    return _Trial(words.CUT_HEDGE(), replace(house, site=replace(house.site, skyline=lower)), note=note, same_room=True)


def _without(house: House, box: Box) -> _Trial:
    kept = tuple(other for other in house.boxes if other is not box)
    return _Trial(words.MOVE_BOX(box=box.name), replace(house, boxes=kept))


def _with_bed(house: House, old: Bed, new: Bed) -> House | None:
    """The house with one bed moved, if it still fits."""
    changed = replace(house, beds=tuple(new if bed is old else bed for bed in house.beds))
    if house.shape != "custom":
        back = new.at_m[1] + new.size_m[1]
        roof = min(roof_height_m(house.shape, house.dimensions_m, y) for y in (new.at_m[1], back))
        if new.at_m[1] < 0.0 or new.height_m + new.canopy_m + HEADROOM_M > roof:
            return None
    elif room_problems(changed):
        return None
    return None if _bumps(changed, new) else changed


def _bumps(house: House, new: Bed) -> bool:
    """Whether a moved bed would run into another bed or a box at about its height."""
    for other in house.beds:
        if (
            other is not new
            and abs(other.height_m - new.height_m) < HEADROOM_M
            and _overlap(new, other.at_m, other.size_m)
        ):
            return True
    return any(
        box.at_m[2] < new.height_m + HEADROOM_M
        and box.at_m[2] + box.size_m[2] > new.height_m
        and _overlap(new, box.at_m[:2], box.size_m[:2])
        for box in house.boxes
    )


def _overlap(bed: Bed, at_m: tuple[float, float], size_m: tuple[float, float]) -> bool:
    return all(
        bed.at_m[axis] < at_m[axis] + size_m[axis] and at_m[axis] < bed.at_m[axis] + bed.size_m[axis] for axis in (0, 1)
    )


def _raised(house: House, bed: Bed) -> _Trial | None:
    changed = _with_bed(house, bed, replace(bed, height_m=bed.height_m + RAISE_M))
    return None if changed is None else _Trial(words.RAISE_BED(up=RAISE_M), changed, house.beds.index(bed))


def _forward(house: House, bed: Bed) -> _Trial | None:
    changed = _with_bed(house, bed, replace(bed, at_m=(bed.at_m[0], bed.at_m[1] - MOVE_M)))
    return None if changed is None else _Trial(words.MOVE_BED(step=MOVE_M), changed, house.beds.index(bed))
