"""Warmth of the house-year: air, soil and cold nights of every bed from the hourly balance, or as the grower states."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import balance, films, ground, moist
from tenhour.heat import build as parts
from tenhour.heat.massless import by_hour
from tenhour.house import bedlight
from tenhour.house.outside import house_axes
from tenhour.model.house import BENCH_M, Air, House
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.sky import hours as skyhours
from tenhour.sky import split
from tenhour.year.inside.panes import PaneStates, fitted_factor
from tenhour.year.outside.sunlight import CLASSES, Outdoors, Sunlight
from tenhour.year.warm.heathouse import (
    LEAF_WET_FRAC,
    SOIL_WET_FRAC,
    SPILT_FRAC,
    WIND_SHARE,
    Cased,
    HeatHouse,
    resistance_m2_k_w,
    spilt_share,
    unpacked,
)

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

DAY_H: Final = 24
HOUR_S: Final = 3600.0
HALF_YEAR_D: Final = 182
SECONDS_D: Final = 86400.0
W_PER_KW: Final = 1000.0
VAPOUR_J_KG: Final = 2.45e6
"""To turn a kilogram of water into vapour at 20 °C (Allen et al. 1998, FAO 56: 2.45 MJ)."""
FEW_WINTERS: Final = 10
"""Winters that stand behind every answer but the one on heat: the median of their lowest nights is good to 0.6 K, for
the yearly lowest of generated winters spreads by 2-3 K. Derived."""
SMOOTH_D: Final = 7
"""Days on either side that a day's mean over winters is evened with. Judgement."""
MIDDLE_FRAC: Final = 0.5
"""The middle winter decides, and one in ten is told beside it: by definition of the answers."""
RARE_FRAC: Final = 0.1
"""One winter in ten is colder: by definition of the answers."""
LOW_WINDOW_D: Final = 15
"""Days on either side among which the cold night of a day is looked for: that of a month."""
STEADY_K: Final = 2.0
"""Cold night below a mean night the grower has stated: a stove or heater evens the nights: practice."""
CONDENSING_DEGC: Final = (5.0, 18.0)
CONDENSING_FRAC: Final = (0.7, 0.1)
"""Vapour that condenses on the covers by the warmth outdoors; the rest leaves with the air, as through open vents.
Judgement."""
GROUND_LIFT_K: Final = 4.0
"""Ground of a house above the mean of the day outdoors, for its vapour alone: 3-6 K in runs of bare houses. Derived."""
DAMP_DEGC: Final = 5.0
"""Where the vapour that damp ground carries is reckoned from (heat.build)."""
OFF_AFTER_H: Final = 2
"""Hours after sunrise when night covers and curtains come off: practice."""
STAYS_DEGC: Final = 0.0
"""Air of the house below which nobody takes a cover off the beds by day: practice."""
SILL_DAY_DEGC: Final = 20.0
SILL_NIGHT_DEGC: Final = 17.0
"""A lived-in room behind a window sill: practice."""


@dataclass(frozen=True)
class IndoorAir:
    """Warmth of each bed on each day of the year."""

    day_degc: Array
    night_degc: Array
    """Means of the lit and the dark hours [B, 365], under what lies over the bed."""
    cold_night_degc: Array
    """Lowest night of the month round each day, median over winters [B, 365]."""
    rare_night_degc: Array
    """The same in one winter in ten [B, 365]."""
    soil_degc: Array
    """At 5 cm [B, 365]."""
    lows_degc: Array
    """Lowest hour of each day of each winter [W, B, 365], by day of the year."""
    lit_degc: Array
    """Mean of the lit hours of each day of each winter [W, B, 365], by day of the year."""
    first_doy: int
    """Day of the year on which the winters begin."""
    heat_kwh_d: Array
    """Heat the whole house takes on each day to hold what it is to hold, mean of winters [365]."""
    water_l_d: Array
    """Water that all beds give off by the sun, to be carried in again [365]."""
    room_night_degc: Array
    """Mean of the dark hours of the room, beside what lies over beds [365]."""
    room_lows_degc: Array
    """Lowest hour of each day of each winter in the room [W, 365], by day of the year."""

    def of_beds(self, numbers: Sequence[int]) -> IndoorAir:
        """Some of the beds."""
        which = list(numbers)
        by_bed = {name: getattr(self, name)[which] for name in (
            "day_degc", "night_degc", "cold_night_degc", "rare_night_degc", "soil_degc",
        )}  # fmt: skip
        return replace(self, lows_degc=self.lows_degc[:, which], lit_degc=self.lit_degc[:, which], **by_bed)


class RoomSun(NamedTuple):
    """Heat that pieces of the room take in per W m⁻² of light outdoors [m²]."""

    beam_m2: Array
    """Of beam, square to the sun [365, 24, pieces]."""
    sky_m2: Array
    """Of diffuse light on the level, by class of day [365, 5, pieces]."""
    ground_m2: Array
    """Of all light on the level, back from the ground [365, pieces]."""


@dataclass(frozen=True)
class Shine:
    """Sun and sky on a house, by day of the year."""

    outdoors: Outdoors
    class_hours: split.OutdoorSteps
    """Light outdoors of the five day classes by hour [365, 5, 24]."""
    lit: Bools
    """Hours most of which the sun is up [365, 24]."""
    direction: Array
    """Mean of the sun's places in each hour while it is up, over all its steps [365, 24, 3], east, north, up."""
    sun: RoomSun
    pieces: tuple[str, ...]


class Winters:
    """The hourly balance of a house over some winters, ready to be read by bed, month and winter."""

    def __init__(
        self,
        house: House,
        light: Sunlight,
        found: bedlight.BedLight,
        states: PaneStates,
        hours: skyhours.Hours,
        lamps_w: Array | None = None,
    ) -> None:
        self._begin(unpacked(house), _shine(house, light, found, states), hours, lamps_w)

    @classmethod
    def of_shine(cls, heat: HeatHouse, shine: Shine, hours: skyhours.Hours) -> Winters:
        """The same from light that is known already, of a house that is unpacked already."""
        made = cls.__new__(cls)
        made._begin(heat, shine, hours, None)
        return made

    def _begin(self, heat: HeatHouse, shine: Shine, hours: skyhours.Hours, lamps_w: Array | None) -> None:
        self.heat, self.house, self.light = heat, heat.house, shine
        self.first = (int(np.argmin(shine.outdoors.noon_height_deg)) - HALF_YEAR_D) % DAYS
        self.series = hours.series(self.first)
        self.doy = (np.arange(DAYS) + self.first) % DAYS
        self.lit = shine.lit[self.doy]
        """Hours with the sun up [365, 24], first day of the winters first."""
        self.drive = self._drive(shine.sun)
        if lamps_w is not None:
            self.drive = replace(self.drive, gain_w=self.drive.gain_w + lamps_w[self.doy].reshape(-1, 1))

    @cached_property
    def run(self) -> parts.Run:
        """The house through all its winters."""
        return balance.run(self.heat.build, self.drive)

    @property
    def hour_doy(self) -> NDArray[np.intp]:
        """Day of the year of each hour [8760]."""
        return np.repeat(self.doy, DAY_H)

    def air_degc(self, bed: int) -> Array:
        """Air at a bed, under what lies over it [8760, W]; a night cover stays on while the house is below freezing."""
        zone, run = self.heat.zone_of_bed[bed], self.run
        frost = run.air_degc < STAYS_DEGC
        return np.asarray(np.where(frost, run.laid_degc[..., zone], run.under_degc[..., zone]))

    def follows_frac(self, bed: int) -> Array:
        """Of a thermostat's swing, what the air of :meth:`air_degc` makes [8760, W]."""
        zone, run = self.heat.zone_of_bed[bed], self.run
        frost = run.air_degc < STAYS_DEGC
        return np.asarray(np.where(frost, run.laid_follows_frac[..., zone], run.under_follows_frac[..., zone]))

    def soil_degc(self, bed: int) -> Array:
        """Soil of a bed at 5 cm, of trays on a mat in their middle [8760, W]."""
        zone = self.heat.zone_of_bed[bed]
        soil = self.run.soil_degc[..., zone]
        if self.heat.mat_of_bed[bed] is None or self.house.beds[bed].height_m < BENCH_M:
            return np.asarray(soil)
        return np.asarray((soil + self.run.zone_degc[..., zone]) / 2.0)

    def lowest_degc(self, hourly: Array, follows_frac: Array | float = 1.0) -> Array:
        """Lowest hour of each day [W, 365], by day of the year.

        Parameters: hourly; follows_frac, share of a thermostat's swing that reaches there (see :func:`swung_degc`).
        """
        low = swung_degc(self.house, self.run, hourly, follows_frac).reshape(DAYS, DAY_H, -1).min(axis=1)
        return _by_doy(low, self.first).T

    def bed_lowest_degc(self, bed: int) -> Array:
        """Lowest hour of each day of the air at a bed, under what lies over it [W, 365], by day of the year."""
        return self.lowest_degc(self.air_degc(bed), self.follows_frac(bed))

    def lit_degc(self, hourly: Array) -> Array:
        """Mean of the lit hours of each day, or of all where none is [W, 365], by day of the year."""
        lit = np.where(self.lit.any(axis=1, keepdims=True), self.lit, True)[..., None]
        mean = (hourly.reshape(DAYS, DAY_H, -1) * lit).sum(axis=1) / lit.sum(axis=1)
        return _by_doy(mean, self.first).T

    def mean_degc(self, hourly: Array, which: Bools) -> Array:
        """Mean by day of the year over winters and the hours that count [365]."""
        days = hourly.reshape(DAYS, DAY_H, -1).mean(axis=-1)
        weight = which.astype(np.float64)
        empty = weight.sum(axis=1) == 0.0
        weight[empty] = 1.0
        total, count = ((part.sum(axis=1)) for part in (days * weight, weight))
        return np.asarray(_by_doy(_evened(total) / _evened(count), self.first))

    def heat_kwh_d(self) -> Array:
        """Heat of the house by day of the year, mean of winters [365]."""
        return DAY_H / W_PER_KW * self.mean_degc(self.run.heat_w, np.ones_like(self.lit))

    def water_l_d(self) -> Array:
        """Water the beds give off by the sun, by day of the year, mean of winters [365]."""
        zones = sorted(set(self.heat.zone_of_bed))
        return SECONDS_D / VAPOUR_J_KG * self.mean_degc(self.latent_w(zones), np.ones_like(self.lit))

    def latent_w(self, zones: Sequence[int]) -> Array:
        """Heat of the sun that leaves some zones as vapour [8760, W]."""
        drive = self.drive
        return np.asarray(sum(drive.zone_sun_w[..., k] * by_hour(drive.latent_frac[k]) for k in zones))

    def _ground_degc(self) -> Array:
        """About how warm the ground of the house is through the year, by which it gives off vapour [8760]."""
        out = self.light.outdoors.temp_degc[self.hour_doy]
        wanted, _ = self._wishes()
        return np.maximum(out + GROUND_LIFT_K, np.where(np.isfinite(wanted), wanted, -np.inf))

    def _drive(self, sun: RoomSun) -> parts.Drive:
        """Everything that acts on the house."""
        s, heat = self.series, self.heat
        out = self.light.outdoors
        zone_w, walls_w = self._zone_sun_w(sun)
        # leaves hold nothing: what they do not turn into vapour goes to the air at once
        ground_degc = self._ground_degc()
        wet = moist.evaporating_frac(ground_degc)[:, None]
        damp = np.array([zone.damp_w_m2_k > 0.0 for zone in heat.build.zones])
        leaf, soil_frac = heat.leaf_frac, damp * (1.0 - heat.leaf_frac)
        warming = leaf * (1.0 - LEAF_WET_FRAC * wet)
        to_air = sum((zone_w[..., k] * warming[:, None, k] for k in np.flatnonzero(leaf)), np.zeros(()))
        vapour = leaf * LEAF_WET_FRAC * wet + soil_frac * SOIL_WET_FRAC * wet
        kept = 1.0 - warming
        wind = s.wind_m_s * WIND_SHARE[self.house.draughts.wind]
        soil = [
            ground.soil_year_degc(out.temp_degc, zone.column.depth_m)[self.hour_doy]
            if len(zone.column.layer_j_m2_k) > 1
            else np.repeat(self._beyond_degc(k, wind)[..., None], max(len(zone.column.depth_m), 1), axis=-1)
            for k, zone in enumerate(heat.build.zones)
        ]
        wanted, vents = self._wishes()
        return parts.Drive(
            s.temp_out_degc, s.temp_sky_degc, wind, zone_w * kept[:, None], self._outside_sun_w_m2(heat.skin),
            tuple(soil), gain_w=to_air, gain_radiant_w=walls_w, latent_frac=tuple((vapour / kept).T),
            damp_ratio=moist.vapour_slope_ratio(ground_degc) / moist.vapour_slope_ratio(DAMP_DEGC),
            condensing_frac=np.interp(s.temp_out_degc, CONDENSING_DEGC, CONDENSING_FRAC),
            extra_m2_k_w=self._extra_m2_k_w(), inner_m2_k_w=self._inner_m2_k_w(), set_degc=wanted, vent_degc=vents,
            mat_degc=self._mats_degc(),
        )  # fmt: skip

    def _mats_degc(self) -> tuple[Array | float, ...]:
        """What each mat is set to by the hour; -inf in months in which it is off."""
        under = {mat.bed: mat for mat in self.house.mats}
        own = [under[bed.name] for bed in self.house.beds if bed.name in under]
        month = MONTH_OF_DAY[self.hour_doy]
        return tuple(np.where(np.isin(month, mat.months), mat.set_degc, -np.inf) for mat in own)

    def _zone_sun_w(self, sun: RoomSun) -> tuple[Array, Array]:
        """Sun absorbed by each zone [8760, W, K], and by light walls, which hold nothing [8760, W]."""
        zones, s = len(self.heat.build.zones), self.series
        beam, sky, ground_m2 = (self._by_zone(part)[self.doy] for part in (sun.beam_m2, sun.sky_m2, sun.ground_m2))
        of_class = np.take_along_axis(sky, s.light_class[..., None], axis=1)
        dni, dhi, ghi = (part.reshape(DAYS, DAY_H, -1) for part in (s.dni_w_m2, s.dhi_w_m2, s.ghi_w_m2))
        out = np.empty((zones + 1, *dni.shape))  # zones first: each is read by itself
        for zone, own in enumerate(out):
            np.multiply(beam[:, :, None, zone], dni, out=own)
            own += of_class[:, None, :, zone] * dhi
            if ground_m2[:, zone].any():
                own += ground_m2[:, None, None, zone] * ghi
        whole = out.reshape(zones + 1, DAYS * DAY_H, -1)
        return np.moveaxis(whole[:-1], 0, -1), whole[-1]

    def _by_zone(self, by_piece: Array) -> Array:
        """What pieces take in [365, ..., pieces] as zones and, last, light walls do [365, ..., K + 1]."""
        heat = self.heat
        count = len(heat.build.zones)
        walls = {cased.name for cased in heat.skin}
        sums = np.zeros((*by_piece.shape[:-1], count + 1))
        owner = {piece: zone for zone, pieces in enumerate(heat.zone_names) for piece in pieces}
        for n, name in enumerate(self.light.pieces):
            zone = count if name in walls else owner.get(name, 0)
            light = by_piece[..., n]
            if heat.bed_layers[zone] if zone < len(heat.bed_layers) else ():
                passed = np.array([spilt_share(self.house, heat.bed_layers[zone], m) for m in range(1, 13)])
                share = passed[MONTH_OF_DAY - 1].reshape(-1, *(1,) * (light.ndim - 1))
                sums[..., 0] += SPILT_FRAC * (1.0 - share) * light
                light = light * share
            sums[..., zone] += light
        return sums

    def _beyond_degc(self, zone: int, wind_m_s: Array) -> Array:
        """What lies beyond a zone without soil [8760, W]: outdoors, or what sun and sky make of it on a heavy wall."""
        s, wall = self.series, self.heat.walls.get(zone)
        if wall is None:
            return s.temp_out_degc
        tilt_deg = np.degrees(np.arccos(np.clip(wall.normal[2], -1.0, 1.0)))
        (sun,) = np.moveaxis(self._outside_sun_w_m2((wall,)), -1, 0)
        return films.outside_degc(s.temp_out_degc, s.temp_sky_degc, wind_m_s, tilt_deg, sun)

    def _outside_sun_w_m2(self, faces: Sequence[Cased]) -> Array:
        """Sun each face takes in on the outside [8760, W, J]: beam, even sky, ground."""
        s = self.series
        hourly = house_axes(self.light.direction[self.doy].reshape(-1, 3), self.house.azimuth_deg)
        albedo = np.array(self.house.site.ground_reflectance_frac)[MONTH_OF_DAY[self.hour_doy] - 1][:, None]
        out = np.empty((len(faces), *s.ghi_w_m2.shape))  # faces first: each is read by itself
        from_ground = albedo * s.ghi_w_m2
        for j, cased in enumerate(faces):
            view = (1.0 + cased.normal[2]) / 2.0
            np.multiply(np.maximum(hourly @ cased.normal, 0.0)[:, None], s.dni_w_m2, out=out[j])
            out[j] += view * s.dhi_w_m2
            out[j] += (1.0 - view) * from_ground
            out[j] *= cased.sun_frac
        return np.moveaxis(out, 0, -1)

    def closed_h(self, months: Sequence[int], by_day: bool) -> Array:
        """1 in the hours a layer is there [8760]; what lies over night is taken off some time after sunrise.

        Parameters: months; by_day, whether it stays all day.
        """
        there = np.isin(MONTH_OF_DAY[self.hour_doy], months)
        lit = self.lit.ravel()
        late = lit & np.all([np.roll(lit, n) for n in range(1, OFF_AFTER_H + 1)], axis=0)
        return np.asarray(there & (by_day | ~late), dtype=np.float64)

    def _extra_m2_k_w(self) -> Array | None:
        """What layers under the panes and curtains add [8760, J]."""
        if not (self.house.layers or self.house.curtains):
            return None
        extra = np.zeros((DAYS * DAY_H, len(self.heat.skin)))
        glazed = np.array([cased.glazed for cased in self.heat.skin])
        for layer in self.house.layers:
            there = self.closed_h(layer.months, layer.by_day)
            extra += there[:, None] * glazed * resistance_m2_k_w(self.house.covers[layer.cover])
        for curtain in self.house.curtains:
            under = np.array([_on_face(cased.name, curtain.faces, self.house) for cased in self.heat.skin])
            extra += self.closed_h(range(1, 13), False)[:, None] * under * curtain.resistance_m2_k_w
        return extra

    def _inner_m2_k_w(self) -> tuple[Array | None, ...]:
        """What lies over each zone by the hour."""
        found: list[Array | None] = []
        for layers in self.heat.bed_layers:
            over = [
                self.closed_h(layer.months, layer.by_day) * resistance_m2_k_w(self.house.covers[layer.cover])
                for layer in layers
            ]
            found.append(np.asarray(sum(over)) if over else None)
        return tuple(found)

    def _wishes(self) -> tuple[Array | float, Array | float]:
        """Set point by the hour, and where vents open: at the mean itself where one is held."""
        air, lit = held_air(self.house), self.lit.ravel()
        day_mean, night_mean = (self._glided(part) for part in (air.day_degc, air.night_degc))
        day_set, night_set = (self._stepped(part) for part in (air.day_set_degc, air.night_set_degc))
        # a floor set for the night holds by day too
        by_day = day_mean if day_mean is not None else np.maximum(day_set, night_set)
        by_night = night_mean if night_mean is not None else night_set
        wanted = np.where(lit, by_day, by_night)
        vent_day = air.vent_degc if day_mean is None else day_mean
        vent_night = air.vent_degc if night_mean is None else night_mean
        return (wanted if np.isfinite(wanted).any() else -np.inf), np.where(lit, vent_day, vent_night)

    def _glided(self, months: tuple[float, ...] | None) -> Array | None:
        """Twelve means by the hour, gliding through the year."""
        return None if months is None else np.asarray(split.daily_means(np.array(months))[self.hour_doy])

    def _stepped(self, months: tuple[float, ...] | None) -> Array | float:
        """Twelve set points by the hour, switched by month."""
        return -np.inf if months is None else np.asarray(np.array(months)[MONTH_OF_DAY[self.hour_doy] - 1])


def wished_air(house: House) -> Air:
    """What the grower states or asks for; behind a window sill without a word on it, a lived-in room."""
    air = house.air
    stated = (air.day_degc, air.night_degc, air.day_set_degc, air.night_set_degc, air.night_min_degc)
    if house.shape != "window-sill" or any(part is not None for part in stated):
        return air
    return Air(
        day_set_degc=(SILL_DAY_DEGC,) * 12,
        night_set_degc=(SILL_NIGHT_DEGC,) * 12,
        vent_degc=air.vent_degc,
        swing_k=air.swing_k,
    )


def held_air(house: House) -> Air:
    """What is heated and vented to: the wished air without means that were only read."""
    air = wished_air(house)
    return air if air.held else replace(air, day_degc=None, night_degc=None)


def swung_degc(house: House, run: parts.Run, hourly: Array, follows_frac: Array | float = 1.0) -> Array:
    """Hours of a run less a thermostat's swing in those in which it holds the air.

    Parameters: house; run; hourly; follows_frac, of the swing, what reaches there: all in the room, less under a cover.
    """
    return np.asarray(hourly - wished_air(house).swing_k * (run.heat_w > 0.0) * follows_frac)


def _on_face(name: str, faces: tuple[str, ...], house: House) -> bool:
    if name.startswith("window "):
        name = house.windows[int(name.split()[1]) - 1].on
    return any(name == face or name.startswith(f"{face}-") for face in faces)


def _shine(house: House, light: Sunlight, found: bedlight.BedLight, states: PaneStates) -> Shine:
    sun = light.sun
    full = np.zeros((*sun.up.shape, 3))
    full[sun.up] = sun.direction
    direction = full.reshape(DAYS, DAY_H, -1, 3).mean(axis=2)
    room = _room_sun(house, light, found, states)
    return Shine(light.outdoors, light.class_hours, lit_hours(light.sun.up), direction, room, found.absorbed_by)


def lit_hours(up: Bools) -> Bools:
    """Hours most of which the sun is up [365, 24]; up, by day and step [365, T]."""
    return np.asarray(up.reshape(DAYS, DAY_H, -1).mean(axis=-1) >= 0.5)


def _by_doy(values: Array, first: int) -> Array:
    """Days of the winters in the order of the year; days first."""
    return np.roll(values, first, axis=0)


def _evened(values: Array) -> Array:
    """Sum with the days on either side, round the year [365]."""
    round_the_year = np.concatenate([values[-SMOOTH_D:], values, values[:SMOOTH_D]])
    return np.asarray(np.lib.stride_tricks.sliding_window_view(round_the_year, 2 * SMOOTH_D + 1).sum(axis=-1))


def _room_sun(house: House, light: Sunlight, found: bedlight.BedLight, states: PaneStates) -> RoomSun:
    """What the pieces of the room take in of the light outdoors.

    Method: beam by the sun's place in each hour; the sky as bright here and there as on days of the class, whole by its
    diffuse light; the ground by all light. One photon factor for all skies turns light into heat, here and outdoors.
    """
    drive, pieces = light.drive, len(found.absorbed_by)
    sky, ground_m2 = np.zeros((DAYS, CLASSES, pieces)), np.zeros((DAYS, pieces))
    of_day = states.of_bed_month[0][MONTH_OF_DAY - 1]
    albedo = np.array(house.site.ground_reflectance_frac)[MONTH_OF_DAY - 1][:, None]
    weights = found.sun_weights(light.sun.direction)
    beam = np.zeros((DAYS, light.sun.up.shape[1], pieces))
    count = light.sun.up.reshape(DAYS, DAY_H, -1).sum(axis=-1)
    for state in np.unique(of_day):
        days = np.flatnonzero(of_day == state)
        radiance = drive.sky[days][:, :CLASSES]
        level = (radiance @ light.sky.horizontal_sr)[..., None]
        absorbed = radiance @ found.sky_absorbed_m2_sr[state].T
        sky[days] = np.where(level > 0.0, absorbed / np.where(level > 0.0, level, 1.0), 0.0)
        ground_m2[days] = albedo[days] / np.pi * found.ground_absorbed_m2_sr[state]
        rows = np.isin(light.sun.day, days)
        place = np.nonzero(light.sun.up)[1]
        beam[light.sun.day[rows], place[rows]] = weights[np.flatnonzero(rows)] @ found.sun_absorbed_m2[state].T
    per_hour = beam.reshape(DAYS, DAY_H, -1, pieces).sum(axis=2) / np.maximum(count, 1)[..., None]
    measured = fitted_factor(house, house.beds[0].name)
    factor = 1.0 if measured is None else measured
    return RoomSun(per_hour * factor, sky * factor, ground_m2 * factor)


def share_of(values: NDArray[Any], share: float) -> NDArray[Any]:
    """Quantile over the first axis, straight between values: sorting so few is quicker than numpy's own."""
    return of_sorted(np.sort(values, axis=0), share)


def of_sorted(ordered: NDArray[Any], share: float) -> NDArray[Any]:
    """The same of values in order."""
    position = share * (len(ordered) - 1)
    low = int(position)
    high = min(low + 1, len(ordered) - 1)
    return np.asarray(ordered[low] + (ordered[high] - ordered[low]) * ordered.dtype.type(position - low))


def indoor_air(winters: Winters) -> IndoorAir:
    """Warmth of every bed by day of the year; what the grower states comes first."""
    house, beds = winters.house, range(len(winters.house.beds))
    air = wished_air(house)
    hourly = [winters.air_degc(bed) for bed in beds]
    day = np.stack([winters.mean_degc(part, winters.lit) for part in hourly])
    night = np.stack([winters.mean_degc(part, ~winters.lit) for part in hourly])
    every = np.ones_like(winters.lit)
    soil, mean_air = (
        np.stack([winters.mean_degc(part, every) for part in parts_of])
        for parts_of in ([winters.soil_degc(bed) for bed in beds], hourly)
    )
    lows = np.stack([winters.bed_lowest_degc(bed) for bed in beds], axis=1)
    warm = np.stack([winters.lit_degc(part) for part in hourly], axis=1)
    room = winters.lowest_degc(winters.run.air_degc)
    stated = np.zeros(len(house.beds), dtype=np.bool_)
    for bed, own in enumerate(house.beds):
        said_day = own.day_degc if own.day_degc is not None else air.day_degc
        said_night = own.night_degc if own.night_degc is not None else air.night_degc
        gain = np.median(lows[:, bed] - room, axis=0)
        if said_day is not None:
            day[bed] = split.daily_means(np.array(said_day))
            warm[:, bed] = day[bed]
        if said_night is not None:
            night[bed] = split.daily_means(np.array(said_night))
            lows[:, bed] = night[bed] - STEADY_K
        if air.night_min_degc is not None:
            lows[:, bed] = split.daily_means(np.array(air.night_min_degc)) + gain
        if winters.heat.mat_of_bed[bed] is not None:
            pass  # its thermostat holds the soil, whatever air is stated
        elif own.height_m >= BENCH_M:
            soil[bed] = mean_air[bed]
        elif own.day_degc is not None or own.night_degc is not None:
            share = winters.lit.mean(axis=1)[np.argsort(winters.doy)]
            soil[bed] += share * day[bed] + (1.0 - share) * night[bed] - mean_air[bed]
        stated[bed] = said_night is not None or air.night_min_degc is not None
    around = np.where(stated[:, None], lows, _lowest_around(lows))
    cold, rare = np.median(around, axis=0), np.quantile(around, RARE_FRAC, axis=0)
    room_night = winters.mean_degc(winters.run.air_degc, ~winters.lit)
    if air.night_degc is not None:
        room_night = split.daily_means(np.array(air.night_degc))
        room = np.broadcast_to(room_night - STEADY_K, room.shape)
    if air.night_min_degc is not None:
        room = np.broadcast_to(split.daily_means(np.array(air.night_min_degc)), room.shape)
    used = winters.heat_kwh_d(), winters.water_l_d()
    return IndoorAir(day, night, cold, rare, soil, lows, warm, winters.first, *used, room_night, room)


def _lowest_around(lows: Array) -> Array:
    """Lowest of the month round each day; days last."""
    days = range(-LOW_WINDOW_D, LOW_WINDOW_D + 1)
    return np.asarray(np.min([np.roll(lows, n, axis=-1) for n in days], axis=0))


def open_air(hours: skyhours.Hours, light: Sunlight) -> IndoorAir:
    """Warmth of open ground as one bed; its soil has the mean of the days around.

    Parameters: hours, of some winters; light, of the place.
    """
    lit = lit_hours(light.sun.up)
    some, dark = (np.where(part.any(axis=1, keepdims=True), part, True) for part in (lit, ~lit))
    temp = hours.temp_degc
    lows = temp.min(axis=2)[:, None]
    warm = ((temp * some).sum(axis=2) / some.sum(axis=1))[:, None]
    night = (temp * dark).sum(axis=2) / dark.sum(axis=1)
    even = _evened(np.ones(DAYS))
    day, cool, soil = (_evened(part.mean(axis=0)) / even for part in (warm[:, 0], night, temp.mean(axis=2)))
    first = (int(np.argmin(light.outdoors.noon_height_deg)) - HALF_YEAR_D) % DAYS
    around = _lowest_around(lows)
    cold, rare = np.median(around, axis=0), np.quantile(around, RARE_FRAC, axis=0)
    nothing = np.zeros(DAYS)
    return IndoorAir(
        day[None], cool[None], cold, rare, soil[None], lows, warm, first, nothing, nothing, cool, lows[:, 0]
    )
