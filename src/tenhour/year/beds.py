"""Light on every bed of a house through the year."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tenhour.house import bedlight, outside
from tenhour.model.house import House
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.sky import dome as skydome
from tenhour.year.scene import PaneStates, layer_share, pane_states, scene_of
from tenhour.year.sunlight import CLASSES, Drive, Sunlight, SunYear

Array = NDArray[np.float64]


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

    @property
    def dli_mol_m2_d(self) -> Array:
        """Mean day [365]: the mean of the five classes."""
        return np.asarray(self.class_dli_mol_m2_d[:, :CLASSES].mean(axis=1))


def beds_in(house: House, light: Sunlight) -> tuple[BedYear, ...]:
    """Light on every bed of a house under a site's sun and sky."""
    states = pane_states(house, np.asarray(light.outdoors.climate.temp_degc))
    sky = light.sky
    found = bedlight.daylight(
        scene_of(house),
        outside.Dome(sky.sample_direction, sky.sample_solid_angle_sr, sky.sample_patch),
        house.site.latitude_deg,
        light.sun.direction,
        states.factors,
    )
    return _beds(house, found, light.drive, states, sky, light.sun)


def _beds(
    house: House,
    light: bedlight.BedLight,
    drive: Drive,
    states: PaneStates,
    sky: skydome.Dome,
    sun: SunYear,
) -> tuple[BedYear, ...]:
    weights = light.sun_weights(sun.direction)
    nodes = [(beam @ weights).tocsr() for beam in drive.beam]
    state_of_day = np.array(states.of_month)[MONTH_OF_DAY - 1]
    shape = (DAYS, len(nodes), len(light.point_m))
    beam, over, bounced = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    for state in sorted(set(states.of_month)):
        days = np.flatnonzero(state_of_day == state)
        radiance, ground = drive.sky[days], drive.ground[days]
        sun_straight = np.ascontiguousarray(light.sun_direct_ratio[state].T)
        sun_bounced = np.ascontiguousarray(light.sun_bounced_ratio[state].T)
        for level, node in enumerate(nodes):
            beam[days, level] = node[days] @ sun_straight
            bounced[days, level] = node[days] @ sun_bounced
        over[days] = radiance @ light.sky_direct_sr[state].T
        from_ground = light.ground_direct_sr[state] + light.ground_bounced_sr[state]
        bounced[days] += radiance @ light.sky_bounced_sr[state].T + ground[:, :, None] * from_ground
    overcast = _overcast_points(house, light, sky)
    return tuple(_bed(house, number, light, (beam, over, bounced), overcast, sky) for number in range(len(house.beds)))


def _overcast_points(house: House, light: bedlight.BedLight, sky: skydome.Dome) -> Array:
    """Light at every point over that outdoors under the CIE overcast sky, panes dry and bare, ground free of snow."""
    radiance = skydome.overcast_radiance(np.ones(1), sky)[0].astype(np.float64)
    bare = [month for month in range(1, 13) if month not in house.site.snow_months] or list(range(1, 13))
    albedo = float(np.mean([house.site.ground_reflectance_frac[month - 1] for month in bare]))
    from_sky = (light.sky_direct_sr[0] + light.sky_bounced_sr[0]) @ radiance
    return np.asarray(from_sky + albedo / np.pi * (light.ground_direct_sr[0] + light.ground_bounced_sr[0]))


def _bed(
    house: House,
    number: int,
    light: bedlight.BedLight,
    parts: tuple[Array, Array, Array],
    overcast: Array,
    sky: skydome.Dome,
) -> BedYear:
    bed = house.beds[number]
    own = (light.bed_index == number) & _in_the_open(house, light.point_m)
    factor = np.array([_layers_share(house, number, month) for month in range(1, 13)])
    fitted = _fitted_factor(house, bed.name)
    by_day = factor[MONTH_OF_DAY - 1] * fitted
    beam, over, bounced = (part[:, :, own] * by_day[:, None, None] for part in parts)
    whole = beam + over + bounced
    mean = [part[:, :CLASSES].mean(axis=(1, 2)) for part in (beam, over, bounced)]
    return BedYear(
        name=bed.name,
        x_m=light.point_m[own, 0],
        y_m=light.point_m[own, 1],
        class_dli_mol_m2_d=whole.mean(axis=-1),
        point_dli_mol_m2_d=whole[:, :CLASSES].mean(axis=1),
        beam_dli_mol_m2_d=mean[0],
        sky_dli_mol_m2_d=mean[1],
        bounced_dli_mol_m2_d=mean[2],
        overcast_ratio=float(overcast[own].mean() * fitted * factor.max()),
    )


def _in_the_open(house: House, point_m: Array) -> NDArray[np.bool_]:
    """Points that no box stands on; the others are dark and left out of the bed's means."""
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


def _fitted_factor(house: House, bed: str) -> float:
    """Factor fitted from readings; a bed nobody measured keeps the frame and dirt of the main cover."""
    if not house.light_factor:
        return 1.0
    for key in (bed, ""):
        if key in house.light_factor:
            return house.light_factor[key]
    cover = house.covers.get(house.cover)
    return (1.0 - cover.frame_share) * (1.0 - cover.dirt_share) if cover is not None else 1.0
