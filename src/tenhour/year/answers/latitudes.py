"""Light in a house by latitude, day and clearness: worked out on a net, so that a place need only look it up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from threading import Lock
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.house import bedlight
from tenhour.model.house import House
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.sky import dome as skydome
from tenhour.sky import split
from tenhour.sun import daylength, position
from tenhour.units import MICRO, UMOL_PER_J_GLOBAL
from tenhour.year.inside.beds import BedYear, mean_of_points, month_shares
from tenhour.year.inside.panes import WET_BELOW_DEGC, PaneStates, fitted_factor, pane_states
from tenhour.year.outside import sunlight
from tenhour.year.outside.sunlight import CLASSES, DOME_DIVISION, Outdoors, Sources, Sunlight
from tenhour.year.warm.heathouse import HeatHouse, unpacked
from tenhour.year.warm.warmth import RoomSun, Shine, lit_hours

Array = NDArray[np.float64]
Light = NDArray[np.float32]
Index = NDArray[np.intp]

STEP_DEG: Final = 1.0
"""Between latitudes of the net, joined by straight lines: docs/method/scale.md."""
LAST_DEG: Final = 89.0
LEVELS: Final = np.array([0.02, *np.arange(0.08, 0.851, 0.055)])
"""Clearness of days on the net, from the dullest to the clearest there is, joined by straight lines."""
USUAL_M: Final = 300.0
"""Height of the ground for the air above the net: only the beam of the clearest days knows of it."""
SKY_EVERY_D: Final = 12
"""Days between those whose sky is computed in full: bed light by month differs by under 0.1 % from every third day."""
LEAST_W_M2: Final = 1e-3
"""Light above the air that keeps the shares of polar night numbers. By definition of no matter."""
HOURS: Final = 24
BEGINS: Final = (-1, 0, 1)
"""Steps after the sun's own midnight at which the hours of a place may begin: a house counts its hours from the half
hour that is nearest to it, a quarter of an hour off at most."""
HOUR_S: Final = 3600.0
STEPS_PER_HOUR: Final = 60 // sunlight.STEP_MIN
DEG_PER_HOUR: Final = 15.0
NO_ZONE: Final = "UTC"


@dataclass(frozen=True)
class Row:
    """What a standing house has of the light of one latitude, by day of the year and level of clearness, L levels.

    Shares of the day's light on level ground outdoors; first axis of what knows panes: their states.
    """

    bed_ratio: Light
    """Of sun and sky on each bed [states, 365, L, B]."""
    sky_m2: Light
    """Of the sky, taken in by each piece of the room [states, 365, L, pieces]."""
    hours_ratio: Light
    """Global, diffuse and direct normal light of each hour over the day's mean [3, 365, L, 24, 3]. First axis of this
    and of what follows: hours that begin a step before the sun's own, with them, and a step after."""
    sun_m2: Light
    """Taken in by each piece of the room per unit of beam, by hour [3, states, 365, 24, pieces]."""
    direction: Light
    """Mean of the sun's places in each hour while it is up [3, 365, 24, 3]."""


@dataclass(frozen=True)
class Placed:
    """Light of a house at a place, looked up."""

    light: Sunlight
    beds: tuple[BedYear, ...]
    states: PaneStates
    shine: Shine
    heat: HeatHouse


class Lookup:
    """Light of one traced house at any latitude; rows of the net are worked out when a place first needs them."""

    def __init__(self, house: House, found: bedlight.BedLight, factors: tuple[dict[str, float], ...]) -> None:
        """Hold a house, its coefficients and the states of its panes that they were found for."""
        self.house, self.found, self.factors = house, found, factors
        self._rows: dict[int, Row] = {}
        self._making = Lock()
        self._states: dict[object, PaneStates] = {}

    def __reduce__(self) -> tuple[object, ...]:
        """To another process without the rows: it makes its own."""
        return Lookup, (self.house, self.found, self.factors)

    @cached_property
    def _heat(self) -> HeatHouse:
        return unpacked(self.house)

    def _heat_at(self, here: House) -> HeatHouse:
        return replace(self._heat, house=here, build=replace(self._heat.build, elevation_m=here.site.elevation_m))

    def _states_at(self, here: House, temp_month_degc: Array) -> PaneStates:
        """States of the panes at a place, by their numbers among all; temp_month_degc, outdoor means [12] [°C]."""
        alike = (*(temp_month_degc < WET_BELOW_DEGC).tolist(), *here.site.snow_months)
        if alike not in self._states:
            own = pane_states(here, temp_month_degc)
            place = np.array([self.factors.index(factor) for factor in own.factors], dtype=np.intp)
            self._states[alike] = PaneStates(self.factors, place[own.of_bed], place[own.of_bed_month])
        return self._states[alike]

    @cached_property
    def _share(self) -> Array:
        return mean_of_points(self.house, self.found)

    def _row(self, number: int, perez: Array) -> Row:
        with self._making:
            if number not in self._rows:
                while len(self._rows) >= MOST_ROWS:
                    del self._rows[next(iter(self._rows))]
                self._rows[number] = self._made(number * STEP_DEG, perez)
            return self._rows[number]

    def _made(self, latitude_deg: float, perez: Array) -> Row:
        sun = sunlight.sun_of(latitude_deg, 0.0, USUAL_M, NO_ZONE)
        doy = np.arange(1, DAYS + 1)
        h0 = np.maximum(position.extraterrestrial_daily(latitude_deg, doy), LEAST_W_M2)
        beyond = position.extraterrestrial_normal(doy)
        kt = np.broadcast_to(LEVELS, (DAYS, LEVELS.size))
        steps = split.outdoor_steps(kt, h0, sun.zenith_deg, beyond, USUAL_M)
        whole = steps.ghi_w_m2.sum(axis=-1)
        sky = sunlight.sky_by_day(steps, sun, skydome.dome(DOME_DIVISION), perez, SKY_EVERY_D) / whole[..., None]
        found, share = self.found, self._share
        weights = found.sun_weights(sun.direction)
        count = np.maximum(_by_hour(sun.up).sum(axis=-1), 1)[..., None]
        beam = np.where(sun.up[:, None], steps.dni_w_m2, 0.0)
        beds, taken, suns = [], [], []
        for state in range(len(found.sky_direct_sr)):
            over = sky @ (share @ (found.sky_direct_sr[state] + found.sky_bounced_sr[state])).T
            straight = weights @ (share @ (found.sun_direct_ratio[state] + found.sun_bounced_ratio[state])).T
            beds.append(over + np.matmul(beam, _by_step(sun.up, straight)) / whole[..., None])
            taken.append(sky @ found.sky_absorbed_m2_sr[state].T)
            pieces = _by_step(sun.up, weights @ found.sun_absorbed_m2[state].T)
            suns.append(_by_hour(np.moveaxis(pieces, -1, 0)).sum(axis=-1))
        by_hour = _by_hour(np.stack(steps)).mean(axis=-1)
        mean = whole / sun.up.shape[1]
        way = _by_hour(np.moveaxis(_by_step(sun.up, sun.direction), -1, 0)).mean(axis=-1)
        return Row(
            bed_ratio=_light(beds), sky_m2=_light(taken),
            sun_m2=_light(np.moveaxis(np.stack(suns, axis=1), 2, -1) / count[:, None]),
            direction=_light(np.moveaxis(way, 1, -1)),
            hours_ratio=_light(np.moveaxis(by_hour, 1, -1) / mean[..., None, None]),
        )  # fmt: skip

    def at(self, here: House, sources: Sources) -> Placed:
        """Light of the house at a place.

        Parameters: here, the house there; sources, without a weather file.
        Errors: OutOfRange where there are no data near.
        """
        site = here.site
        climate, source = sunlight.site_climate(here, sources)
        states = self._states_at(here, np.asarray(climate.temp_degc))
        h0, kt = sunlight.class_clearness(site.latitude_deg, climate)
        dates = position.generic_year_days()
        slow = daylength.slow_year(float(dates[0]), float(dates[-1]))
        events = daylength.day_events(dates, site.latitude_deg, site.longitude_deg, slow)
        noon = position.RIGHT_ANGLE_DEG - np.abs(
            site.latitude_deg - slow.at(position.local_noon(dates, site.longitude_deg))[1]
        )
        mean = kt * h0[:, None]
        out = sunlight.outdoors_of(climate, source, mean, events, noon, site.longitude_deg / DEG_PER_HOUR)
        house_clock_h = sunlight.house_clock_h(site.longitude_deg)
        late_h = site.longitude_deg / DEG_PER_HOUR - house_clock_h
        place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
        up = position.up_by_step(*place, house_clock_h, sunlight.STEP_MIN)
        between = self._between(site.latitude_deg, late_h, kt, sources.perez)
        albedo = np.array(site.ground_reflectance_frac)[MONTH_OF_DAY - 1] / np.pi
        hours = between.of_level(lambda row: row.hours_ratio, CLASSES, hourly=True) * mean[:, :CLASSES, None, None]
        class_hours = split.OutdoorSteps(*np.moveaxis(hours, -1, 0))
        room = self._room_sun(here, states.of_bed_month[0], between, albedo, out, class_hours)
        shine = Shine(
            out, class_hours, lit_hours(up), between.of_hour(lambda row: row.direction), room, self.found.absorbed_by,
        )  # fmt: skip
        beds = tuple(self._bed(here, number, states, between, albedo, out) for number in range(len(here.beds)))
        return Placed(sunlight.looked_up(out, class_hours), beds, states, shine, self._heat_at(here))

    def _between(self, latitude_deg: float, late_h: float, kt: Array, perez: Array) -> _Between:
        """A place on the net; late_h, hours by which its day begins after the sun's own midnight."""
        place = float(np.clip(latitude_deg, -LAST_DEG, LAST_DEG)) / STEP_DEG
        south = min(int(np.floor(place)), round(LAST_DEG / STEP_DEG) - 1)
        below = np.clip(np.searchsorted(LEVELS, kt, side="right") - 1, 0, LEVELS.size - 2)
        share = np.clip((kt - LEVELS[below]) / (LEVELS[below + 1] - LEVELS[below]), 0.0, 1.0)
        begins = late_h * STEPS_PER_HOUR - BEGINS[0]
        clock = min(max(int(begins), 0), len(BEGINS) - 2)
        rows = self._row(south, perez), self._row(south + 1, perez)
        return _Between(*rows, place - south, clock, begins - clock, below, share)

    def _bed(
        self, here: House, number: int, states: PaneStates, between: _Between, albedo: Array, out: Outdoors
    ) -> BedYear:
        """Light on one bed, as a mean of its points; no parts and no points."""
        found, share = self.found, self._share[number]
        of_day = states.of_bed_month[number][MONTH_OF_DAY - 1]
        ratio = np.empty(out.class_dli_mol_m2_d.shape)
        for state in np.unique(of_day).tolist():
            days = of_day == state
            from_ground = float((found.ground_direct_sr[state] + found.ground_bounced_sr[state]) @ share)
            own = between.of_level(_on_bed(state, number))
            ratio[days] = own[days] + (albedo * from_ground)[days, None]
        dli = out.class_dli_mol_m2_d * ratio * month_shares(here, number)[MONTH_OF_DAY - 1][:, None]
        none = np.zeros(0)
        return BedYear(here.beds[number].name, none, none, dli, np.zeros((DAYS, 0)), none, none, none, np.nan)

    def _room_sun(
        self, here: House, month_state: Index, between: _Between, albedo: Array, out: Outdoors,
        hours: split.OutdoorSteps,
    ) -> RoomSun:  # fmt: skip
        """What pieces take in, as year.warm has it of one house, the ground's light with the sky's."""
        found, of_day = self.found, month_state[MONTH_OF_DAY - 1]
        joule = out.class_dli_mol_m2_d[:, :CLASSES] / (MICRO * UMOL_PER_J_GLOBAL)
        sky = np.empty((DAYS, CLASSES, len(found.absorbed_by)))
        beam = np.empty((DAYS, HOURS, len(found.absorbed_by)))
        for state in np.unique(of_day).tolist():
            days = of_day == state
            own = between.of_level(_of_sky(state), CLASSES)[days]
            sky[days] = own + albedo[days, None, None] * found.ground_absorbed_m2_sr[state]
            beam[days] = between.of_hour(_of_sun(state))[days]
        whole = hours.dhi_w_m2.sum(axis=-1) * HOUR_S
        sky *= np.where(whole > 0.0, joule / np.where(whole > 0.0, whole, 1.0), 0.0)[..., None]
        measured = fitted_factor(here, here.beds[0].name)
        factor = 1.0 if measured is None else measured
        return RoomSun(beam * factor, sky * factor, np.zeros((DAYS, len(found.absorbed_by))))


@dataclass(frozen=True)
class _Between:
    """A place between two rows of the net, and its days between levels of clearness."""

    south: Row
    north: Row
    share: float
    clock: int
    """Of two neighbours among the hours of a row, the earlier."""
    later: float
    """Share of the other one."""
    below: Index
    above_share: Array
    """[365, 7]."""

    def of_hour(self, part: Callable[[Row], Light]) -> Array:
        """What goes by day and hour and knows no clearness, days first."""
        return np.asarray(self._in_its_hours(part), dtype=np.float64)

    def of_level(self, part: Callable[[Row], Light], classes: int | None = None, *, hourly: bool = False) -> Array:
        """What goes by day and level [365, L, ...], of the classes of days [365, K, ...]; hourly, whether by the hour
        too."""
        mixed = self._in_its_hours(part) if hourly else self._mixed(part)
        below, share = self.below[:, :classes], self.above_share[:, :classes]
        day = np.arange(DAYS)[:, None]
        low, high = (mixed[day, below + more].astype(np.float64) for more in (0, 1))
        return np.asarray(low + share.reshape(*share.shape, *[1] * (low.ndim - 2)) * (high - low))

    def _in_its_hours(self, part: Callable[[Row], Light]) -> Light:
        south, north = part(self.south), part(self.north)
        near = np.float32(self.share)
        out = south[self.clock] * ((1 - near) * np.float32(1.0 - self.later))
        out += north[self.clock] * (near * np.float32(1.0 - self.later))
        out += south[self.clock + 1] * ((1 - near) * np.float32(self.later))
        out += north[self.clock + 1] * (near * np.float32(self.later))
        return np.asarray(out)

    def _mixed(self, part: Callable[[Row], Light]) -> Light:
        one, other = part(self.south), part(self.north)
        return np.asarray(one + np.float32(self.share) * (other - one))


def _on_bed(state: int, bed: int) -> Callable[[Row], Light]:
    return lambda row: row.bed_ratio[state, :, :, bed]


def _of_sky(state: int) -> Callable[[Row], Light]:
    return lambda row: row.sky_m2[state]


def _of_sun(state: int) -> Callable[[Row], Light]:
    return lambda row: row.sun_m2[:, state]


def _by_step(up: NDArray[np.bool_], values: Array) -> Array:
    """Values of the steps with the sun up [n, ...] as days by steps [365, T, ...]; 0 in the others."""
    out = np.zeros((*up.shape, *values.shape[1:]))
    out[up] = values
    return out


def _by_hour(values: NDArray[Any]) -> NDArray[Any]:
    """Values by day and step [..., 365, T] in hours that begin a step before midnight, at it, and a step after
    [3, ..., 365, 24, T / 24]; the year is a ring."""
    days, steps = values.shape[-2:]
    ring = values.reshape(*values.shape[:-2], days * steps)
    turned = np.stack([np.roll(ring, -begin, axis=-1) for begin in BEGINS])
    return turned.reshape(*turned.shape[:-1], days, HOURS, steps // HOURS)


def _light(values: object) -> Light:
    return np.asarray(values, dtype=np.float32)


MOST_ROWS: Final = 40
"""Rows of the net that a house keeps, some 8 MB each: sites come from south to north. Judgement."""
