"""Light on every bed of a house through the year."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house import bedlight, outside
from tenhour.house.suntable import SunNodes, sun_nodes
from tenhour.house.transfer import PANE_RAYS
from tenhour.model.house import Bed, House
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.sky import dome as skydome
from tenhour.year.inside.panes import PaneStates, fitted_factor, pane_states
from tenhour.year.inside.scene import bed_plane, layer_share, scene_of
from tenhour.year.outside.sunlight import CLASSES, Drive, Sunlight

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True)
class BedYear:
    """Light on one bed, by day of the generic year. Axis 1 of ``class_*``: five day classes, dull day, bright day."""

    name: str
    x_m: Array
    y_m: Array
    """Grid points in house metres [p]."""
    class_dli_mol_m2_d: Array
    """Mean over the bed [365, 7]."""
    point_dli_mol_m2_d: Array
    """Mean day at each point [365, p]."""
    beam_dli_mol_m2_d: Array
    sky_dli_mol_m2_d: Array
    bounced_dli_mol_m2_d: Array
    """The mean day's parts [365]: straight sun, straight sky (diffusing panes included), and what bounced."""
    overcast_ratio: float
    lamps_dli_mol_m2_d: Array = field(default_factory=lambda: np.zeros(DAYS))
    """What lamps add [365], within class and point light."""
    unlit: BedYear | None = None
    """The bed without its lamps, where it has any."""

    @property
    def daylight(self) -> BedYear:
        """The bed's daylight alone, in the shade of the fixtures while they hang."""
        if self.unlit is None:
            return self
        lamps = self.lamps_dli_mol_m2_d[:, None]
        return replace(
            self,
            class_dli_mol_m2_d=self.class_dli_mol_m2_d - lamps,
            point_dli_mol_m2_d=self.point_dli_mol_m2_d - lamps,
        )

    @property
    def dli_mol_m2_d(self) -> Array:
        """Mean day [365]: the mean of the five classes."""
        return np.asarray(self.class_dli_mol_m2_d[:, :CLASSES].mean(axis=1))


class Ways(NamedTuple):
    """Where light goes in a house under some suns, traced once for all changes that are tried on it; of the points of
    its beds alone, for nobody asks what its walls take in."""

    house: House
    light: Sunlight
    solved: bedlight.Solver
    nodes: SunNodes
    came: tuple[bedlight.Entered, bedlight.Entered]


def ways_in(house: House, light: Sunlight, sun_rays: int = PANE_RAYS, solved: bedlight.Solver | None = None) -> Ways:
    """Trace a house under a site's sun and sky.

    Parameters: house; light; sun_rays, as of ``bedlight.coefficients``; solved, the house where it was traced already.
    """
    solved = _of_points_alone(bedlight.solver(scene_of(house), dome_of(light)) if solved is None else solved)
    nodes = sun_nodes(house.site.latitude_deg, light.drive.direction)
    return Ways(house, light, solved, nodes, bedlight.entered(solved, nodes, sun_rays))


def _told(ways: Ways, house: House) -> tuple[BedYear, ...]:
    """Light on the beds of a house whose ways of light are known; not point by point."""
    states = pane_states(house, np.asarray(ways.light.outdoors.climate.temp_degc))
    found = bedlight.coefficients(ways.solved, ways.nodes, states.factors, came=ways.came)
    return beds_of(house, ways.light, found, states, grid=False)


def beds_in(house: House, light: Sunlight, sun_rays: int = PANE_RAYS) -> tuple[BedYear, ...]:
    """Light on the beds of a house under a site's sun and sky; not point by point."""
    return _told(ways_in(house, light, sun_rays), house)


def beds_moved(ways: Ways, moved: Sequence[tuple[int, Bed]]) -> tuple[BedYear, ...]:
    """Light on beds that are lifted or moved, each by itself: numbers of the beds, and as they lie then."""
    solved = bedlight.elsewhere(ways.solved, [(number, bed_plane(bed)) for number, bed in moved])
    beds = (*ways.house.beds, *(bed for _, bed in moved))
    came = bedlight.entered_elsewhere(solved, ways.nodes, ways.came)
    return _told(ways._replace(solved=_of_points_alone(solved), came=came), replace(ways.house, beds=beds))


def beds_under(ways: Ways, house: House) -> tuple[BedYear, ...]:
    """Light on the beds of a house that differs in its skyline alone."""
    solved = bedlight.under(ways.solved, scene_of(house).outside, dome_of(ways.light))
    return _told(ways._replace(solved=solved, came=bedlight.entered_under(solved, ways.came)), house)


def _of_points_alone(solved: bedlight.Solver) -> bedlight.Solver:
    """The same house where nobody asks what its walls absorb."""
    return replace(solved, absorbed_frac=solved.absorbed_frac[:0])


def on_days(light: Sunlight, days: NDArray[np.bool_]) -> Sunlight:
    """A site's sun and sky with those places of the sun alone that shine on some days [365]; others are not whole."""
    drive = light.drive
    rows = np.flatnonzero(days)
    used = np.unique(np.concatenate([part[rows].indices for part in drive.beam]))
    beam = tuple(part[:, used] for part in drive.beam)
    return replace(light, drive=replace(drive, beam=beam, direction=drive.direction[used]))


def rays_for(light: Sunlight, part: Sunlight) -> int:
    """Rays for the suns of some days, as many for each as for the suns of the whole year."""
    return PANE_RAYS * len(part.drive.direction) // len(light.drive.direction)


def traced(
    house: House, light: Sunlight, hold: Callable[[bedlight.Solver], object] | None = None
) -> tuple[bedlight.BedLight, PaneStates]:
    """Where light goes in a house, and the states of its panes; hold is given the house ready for other suns."""
    states = pane_states(house, np.asarray(light.outdoors.climate.temp_degc))
    solved = bedlight.solver(scene_of(house), dome_of(light))
    if hold is not None:
        hold(solved)
    return bedlight.coefficients(solved, sun_nodes(house.site.latitude_deg, _suns(light)), states.factors), states


def room_of(house: House, light: Sunlight) -> tuple[object, ...]:
    """All that :func:`traced` depends on: what stands in the room and around it, its panes, sky and suns."""
    states = pane_states(house, np.asarray(light.outdoors.climate.temp_degc))
    sky = dome_of(light)
    factors = repr(states.factors), states.of_bed, states.of_bed_month
    return (scene_of(house), *factors, house.site.latitude_deg, _suns(light), *sky)


def beds_retold(ways: Ways, variants: Sequence[House]) -> list[tuple[BedYear, ...]]:
    """Light on the beds of variants of a house.

    Parameters: ways; variants, which differ in what lies on panes and beds, or in paint, alone.
    """
    light, scene = ways.light, ways.solved.scene
    temp_degc = np.asarray(light.outdoors.climate.temp_degc)
    paints = [_repaint(scene, scene_of(variant)) for variant in variants]
    found: dict[int, tuple[BedYear, ...]] = {}
    for paint in dict.fromkeys(paints):
        numbers = [number for number, own in enumerate(paints) if own == paint]
        states = [pane_states(variants[number], temp_degc) for number in numbers]
        room = _of_points_alone(bedlight.repainted(ways.solved, dict(paint))) if paint else ways.solved
        factors = [factor for own in states for factor in own.factors]
        told = bedlight.coefficients(room, ways.nodes, factors, came=ways.came)
        first = np.cumsum([0, *(len(own.factors) for own in states)])
        for number, own, at in zip(numbers, states, first[:-1], strict=True):
            here = PaneStates(own.factors, own.of_bed + at, own.of_bed_month + at)
            found[number] = beds_of(variants[number], light, told, here, grid=False)
    return [found[number] for number in range(len(variants))]


def _repaint(scene: bedlight.Scene, other: bedlight.Scene) -> tuple[tuple[str, float], ...]:
    """Surfaces of a room whose reflectance is another, and what it is."""
    pairs = zip(scene.surfaces, other.surfaces, strict=True)
    return tuple((new.name, new.refl_frac) for old, new in pairs if new.refl_frac != old.refl_frac)


def dome_of(light: Sunlight) -> outside.Dome:
    """The sky of a site as the tracing of a house takes it."""
    sky = light.sky
    return outside.Dome(sky.sample_direction, sky.sample_solid_angle_sr, sky.sample_patch)


def _suns(light: Sunlight) -> Array:
    """Where the sun stands for the light of the beds, and by the hour for what the room takes in."""
    if light.drive.direction is light.sun.direction:
        return light.sun.direction
    return np.concatenate([light.drive.direction, light.sun.direction])


def beds_of(
    house: House, light: Sunlight, found: bedlight.BedLight, states: PaneStates, *, grid: bool = True
) -> tuple[BedYear, ...]:
    """Light on every bed of a house that has been traced.

    Parameters: grid, whether the light of each point is asked for; without it ``point_dli_mol_m2_d`` is empty.
    """
    return _beds(house, found, light.drive, states, light.sky, grid)


def _beds(
    house: House,
    light: bedlight.BedLight,
    drive: Drive,
    states: PaneStates,
    sky: skydome.Dome,
    grid: bool,
) -> tuple[BedYear, ...]:
    weights = light.sun_weights(drive.direction)
    levels = len(drive.beam)
    usual = (sum(drive.beam[1:CLASSES], drive.beam[0]) / CLASSES @ weights).tocsr() if grid else None
    mean = mean_of_points(house, light)
    shape = (DAYS, levels, len(house.beds))
    beam, over, bounced = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    point = np.zeros((DAYS, len(light.point_m) if grid else 0))
    for state, days, points in _alike(states, light.bed_index):
        here = np.unique(light.bed_index[points])
        share = mean[np.ix_(here, points)]
        sun = [part[state][points] for part in (light.sun_direct_ratio, light.sun_bounced_ratio)]
        over_sr, bounced_sr = (part[state][points] for part in (light.sky_direct_sr, light.sky_bounced_sr))
        from_ground = (light.ground_direct_sr[state] + light.ground_bounced_sr[state])[points]
        radiance, ground = drive.sky[days], drive.ground[days]
        # the mean of a bed by step first, then the sums over the steps of each day: no net of nodes by day and class
        both = weights @ np.concatenate([share @ part for part in sun]).T
        for level, part in enumerate(drive.beam):
            own = np.ix_(days, np.array([level]), here)
            of_day = part[days] @ both
            beam[own], bounced[own] = of_day[:, None, : here.size], of_day[:, None, here.size :]
        own = np.ix_(days, np.arange(levels), here)
        over[own] = radiance @ (share @ over_sr).T
        bounced[own] += radiance @ (share @ bounced_sr).T + ground[:, :, None] * (share @ from_ground)
        if usual is None:
            continue
        point[np.ix_(days, points)] = (
            usual[days] @ np.ascontiguousarray((sun[0] + sun[1]).T)
            + radiance[:, :CLASSES].mean(axis=1) @ (over_sr + bounced_sr).T
            + ground[:, :CLASSES].mean(axis=1)[:, None] * from_ground
        )
    overcast = _overcast_points(house, light, sky, states.of_bed[light.bed_index]) @ mean.T
    parts = (beam, over, bounced)
    return tuple(_bed(house, int(number), light, parts, point, overcast) for number in np.unique(light.bed_index))


def mean_of_points(house: House, light: bedlight.BedLight) -> Array:
    """What each point counts in the mean of each bed [beds, p]: those in the open alike, others not.

    Parameters: house; light, its coefficients.
    """
    own = (light.bed_index == np.arange(len(house.beds))[:, None]) & in_the_open(house, light.point_m)
    count = own.sum(axis=1, keepdims=True)
    return np.asarray(own / np.where(count > 0, count, np.nan))


def _alike(states: PaneStates, bed_index: NDArray[np.int64]) -> Iterator[tuple[int, Index, Index]]:
    """Each state of the panes with the days that have it and the points of the beds that see it then."""
    for row in np.unique(states.of_bed_month, axis=0):
        points = np.flatnonzero((states.of_bed_month == row).all(axis=1)[bed_index])
        of_day = row[MONTH_OF_DAY - 1]
        for state in np.unique(row):
            yield int(state), np.flatnonzero(of_day == state), points


def _overcast_points(house: House, light: bedlight.BedLight, sky: skydome.Dome, state: Index) -> Array:
    """Light at every point over that outdoors under the CIE overcast sky, panes dry and bare, ground free of snow."""
    radiance = skydome.overcast_radiance(np.ones(1), sky)[0].astype(np.float64)
    bare = [month for month in range(1, 13) if month not in house.site.snow_months] or list(range(1, 13))
    albedo = float(np.mean([house.site.ground_reflectance_frac[month - 1] for month in bare]))
    at = np.arange(len(state))
    from_sky = (light.sky_direct_sr[state, at] + light.sky_bounced_sr[state, at]) @ radiance
    from_ground = light.ground_direct_sr[state, at] + light.ground_bounced_sr[state, at]
    return np.asarray(from_sky + albedo / np.pi * from_ground)


def _bed(
    house: House,
    number: int,
    light: bedlight.BedLight,
    parts: tuple[Array, Array, Array],
    point: Array,
    overcast: Array,
) -> BedYear:
    bed = house.beds[number]
    own = (light.bed_index == number) & in_the_open(house, light.point_m)
    there = _at_middles(light.point_m[own, :2], light.cell_m[own], point[:, own[: point.shape[1]]])
    by_month = month_shares(house, number)
    by_day = by_month[MONTH_OF_DAY - 1]
    beam, over, bounced = (part[:, :, number] * by_day[:, None] for part in parts)
    return BedYear(
        name=bed.name,
        x_m=light.cell_m[own, 0],
        y_m=light.cell_m[own, 1],
        class_dli_mol_m2_d=beam + over + bounced,
        point_dli_mol_m2_d=there * by_day[:, None],
        beam_dli_mol_m2_d=beam[:, :CLASSES].mean(axis=1),
        sky_dli_mol_m2_d=over[:, :CLASSES].mean(axis=1),
        bounced_dli_mol_m2_d=bounced[:, :CLASSES].mean(axis=1),
        overcast_ratio=float(overcast[number] * by_month.max()),
    )


def _at_middles(point_m: Array, middle_m: Array, light: Array) -> Array:
    """Light [days, p] at the middles of a bed's cells, from the points in them.

    Parameters: point_m, middle_m [p, 2]. Method: straight lines between the points of a row across the bed, and on
    beyond the last ones within what the bed's points have that day; their mean is kept.
    """
    if not light.size:
        return light
    across = int(np.abs(point_m - middle_m).max(axis=0).argmax())
    share = np.zeros((len(point_m), len(point_m)))
    for line in np.unique(middle_m[:, 1 - across].round(9)):
        row = np.flatnonzero(middle_m[:, 1 - across].round(9) == line)
        at, wanted = point_m[row, across], middle_m[row, across]
        first = np.clip(np.searchsorted(at, wanted) - 1, 0, max(len(row) - 2, 0))
        second = np.minimum(first + 1, len(row) - 1)
        part = (wanted - at[first]) / np.where(second > first, at[second] - at[first], 1.0) * (second > first)
        share[row, row[first]] += 1.0 - part
        share[row, row[second]] += part
    found = np.clip(light @ share.T, light.min(axis=1)[:, None], light.max(axis=1)[:, None])
    mean = found.mean(axis=1, keepdims=True)
    return np.asarray(found * (light.mean(axis=1, keepdims=True) / np.where(mean > 0.0, mean, 1.0)))


def month_shares(house: House, number: int) -> Array:
    """What is left of a bed's light under the layers that lie there by day, by month [12]; with its fitted factor.

    Parameters: house; number of the bed.
    """
    shares = [_layers_share(house, number, month) for month in range(1, 13)]
    return np.array(shares) * (fitted_factor(house, house.beds[number].name) or 1.0)


def in_the_open(house: House, point_m: Array) -> NDArray[np.bool_]:
    """Points that no box stands on; the others are dark and left out of the bed's means.

    Parameters: point_m [P, 3], east, north, up [m]. Returns: [P].
    """
    free = np.ones(len(point_m), dtype=np.bool_)
    for box in house.boxes:
        low = np.array(box.at_m)
        free &= ~np.all((point_m > low) & (point_m < low + np.array(box.size_m)), axis=1)
    return free


def _layers_share(house: House, number: int, month: int) -> float:
    share = 1.0
    for layer in house.beds[number].layers:
        if layer.by_day and month in layer.months:
            share *= layer_share(house.covers[layer.cover])
    return share
