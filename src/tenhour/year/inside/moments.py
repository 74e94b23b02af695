"""What the model gives on the beds at single moments, from the light read outdoors."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.house import bedlight, outside
from tenhour.model.house import House
from tenhour.plan.housefit import hourly_diffuse_frac
from tenhour.sky import dome as skydome
from tenhour.sun import position
from tenhour.units import UMOL_PER_J_GLOBAL
from tenhour.year.inside.beds import in_the_open
from tenhour.year.inside.panes import pane_states
from tenhour.year.inside.scene import layer_share, scene_of
from tenhour.year.outside.sunlight import DOME_DIVISION, Sources, site_climate

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]

LOWEST_BEAM_DEG: Final = 3.0
"""Sun height below which all light is taken as diffuse: hills and haze decide there. Practice."""
RIGHT_ANGLE_DEG: Final = 90.0
DAYS: Final = 365


class Moment(NamedTuple):
    """Moments [n]: sun, and the sky as split from the light read."""

    height_deg: Array
    azimuth_deg: Array
    diffuse_frac: Array
    inside_umol_m2_s: Array
    """At the asked point or over the asked bed, panes clean and without frame; 0 with the sun down."""


def sun_at(house: House, time: pd.DatetimeIndex) -> tuple[Array, Array]:
    """Height and azimuth of the sun at moments [n] [°]."""
    site = house.site
    path = position.solar_position(time, site.latitude_deg, site.longitude_deg, site.elevation_m)
    return RIGHT_ANGLE_DEG - path.zenith_deg, path.azimuth_deg


def bare(house: House) -> House:
    """Return the house without frame, dirt or any earlier factor: what a fitted factor is measured against."""
    return replace(house, light_factor={bed.name: 1.0 for bed in house.beds}, whole_house_trans_frac=None)


def moments_inside(
    house: House,
    sources: Sources,
    time: pd.DatetimeIndex,
    outside_umol_m2_s: Array,
    bed_index: NDArray[np.int64],
    point_m: Array,
) -> Moment:
    """Light on the beds that light read outdoors implies.

    Parameters: house; sources; time [n]; outside_umol_m2_s, on the level in the open [n]; bed_index [n]; point_m
    [n, 2], a point on the floor plan, NaN for the mean over the bed.
    Method: clearness of the moment, hourly Erbs split, Perez sky, and the coefficients of the house.
    """
    height, azimuth = sun_at(house, time)
    up = height > 0.0
    doy = np.clip(np.asarray(time.tz_convert(house.site.timezone).day_of_year), 1, DAYS)
    beyond = np.asarray(position.extraterrestrial_normal(doy), dtype=np.float64)
    sine = np.sin(np.deg2rad(np.maximum(height, LOWEST_BEAM_DEG)))
    ghi = outside_umol_m2_s / UMOL_PER_J_GLOBAL
    diffuse = np.where(height < LOWEST_BEAM_DEG, 1.0, hourly_diffuse_frac(ghi / (beyond * sine)))
    inside = np.zeros(len(time))
    if up.any():
        months = np.asarray(time.tz_convert(house.site.timezone).month)
        light = _Light(bare(house), sources, height[up], azimuth[up], months[up])
        dni = (1.0 - diffuse) * ghi / sine
        found = light.points(ghi[up], diffuse[up] * ghi[up], dni[up], beyond[up])
        inside[up] = light.chosen(found, bed_index[up], point_m[up]) * UMOL_PER_J_GLOBAL
    return Moment(height, azimuth, diffuse, inside)


class _Light:
    """A house traced for the sun at some moments; all its beds see the same panes."""

    def __init__(
        self, house: House, sources: Sources, height_deg: Array, azimuth_deg: Array, month: NDArray[np.int64]
    ) -> None:
        self.house, self.month, self.perez = house, month, sources.perez
        self.height_deg, self.azimuth_deg = height_deg, azimuth_deg
        climate, _ = site_climate(house, sources)
        self.states = pane_states(house, np.asarray(climate.temp_degc))
        self.sky = skydome.dome(DOME_DIVISION)
        self.direction = skydome.unit_vector(azimuth_deg, height_deg)
        self.light = bedlight.daylight(
            scene_of(house),
            outside.Dome(self.sky.sample_direction, self.sky.sample_solid_angle_sr, self.sky.sample_patch),
            house.site.latitude_deg,
            self.direction,
            self.states.factors,
        )
        self.open = in_the_open(house, self.light.point_m)

    def points(self, ghi: Array, dhi: Array, dni: Array, beyond: Array) -> Array:
        """Irradiance at every light point [n, p] [W m⁻²]."""
        zenith = RIGHT_ANGLE_DEG - self.height_deg
        radiance = skydome.perez_radiance(zenith, self.azimuth_deg, dni, dhi, beyond, self.sky, self.perez)
        weights = self.light.sun_weights(self.direction)
        albedo = np.array(self.house.site.ground_reflectance_frac)[self.month - 1]
        state = self.states.of_bed_month[0, self.month - 1]
        out = np.zeros((len(ghi), len(self.light.point_m)))
        for which in np.unique(state):
            rows = np.flatnonzero(state == which)
            sun = self.light.sun_direct_ratio[which] + self.light.sun_bounced_ratio[which]
            sky = self.light.sky_direct_sr[which] + self.light.sky_bounced_sr[which]
            ground = self.light.ground_direct_sr[which] + self.light.ground_bounced_sr[which]
            out[rows] = (weights[rows] @ sun.T) * dni[rows, None] + radiance[rows] @ sky.T
            out[rows] += (ghi[rows] * albedo[rows] / np.pi)[:, None] * ground
        return out * self._layers()

    def _layers(self) -> Array:
        """What the layers over each point's bed pass in each moment's month [n, p]."""
        share = np.ones((len(self.month), len(self.house.beds)))
        for number, bed in enumerate(self.house.beds):
            for layer in bed.layers:
                if layer.by_day:
                    there = np.isin(self.month, layer.months)
                    share[there, number] *= layer_share(self.house.covers[layer.cover])
        return share[:, self.light.bed_index]

    def chosen(self, light: Array, bed_index: NDArray[np.int64], point_m: Array) -> Array:
        """Mean over the asked bed's points that no box stands on, or light at the nearest of them [n]."""
        out = np.zeros(len(light))
        for number in np.unique(bed_index):
            own = np.flatnonzero((self.light.bed_index == number) & self.open)
            rows = np.flatnonzero(bed_index == number)
            mean = light[np.ix_(rows, own)].mean(axis=1)
            gap = np.linalg.norm(self.light.point_m[own, :2][None] - point_m[rows][:, None], axis=-1)
            nearest = own[np.argmin(np.where(np.isnan(gap), np.inf, gap), axis=1)]
            out[rows] = np.where(np.isnan(point_m[rows, 0]), mean, light[rows, nearest])
        return out
