"""The house-year: sun, outdoor light, light on every bed and air, by day of the generic year. Built once per answer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import sparse

from tenhour.errors import FileProblem, OutOfRange
from tenhour.house import bedlight, outside
from tenhour.model.house import House
from tenhour.model.site import OwnMeans
from tenhour.pipeline.scene import PaneStates, layer_share, loss_w_m2_k, pane_states, room_problems, scene_of
from tenhour.plan.air import IndoorAir, cold_offset_k, day_lift_k, indoor_air
from tenhour.plan.dates import COMMON_YEAR, DAYS, MONTH_OF_DAY, month_means
from tenhour.sky import dome as skydome
from tenhour.sky import normals as skynormals
from tenhour.sky import split
from tenhour.sun import daylength, position
from tenhour.units import MICRO, SECONDS_PER_DAY, UMOL_PER_J_GLOBAL

Array = NDArray[np.float64]

STEP_MIN: Final = 15
CLASSES: Final = 5
EXTRA_LEVELS: Final = (0.2, 0.8)
"""Beside the five day classes: the dull day and the bright one."""
DULL: Final = CLASSES
BRIGHT: Final = CLASSES + 1
DOME_DIVISION: Final = 1
SKY_EVERY_D: Final = 3
"""Days between those whose sky is computed in full."""
LOWEST_SUN_DEG: Final = 90.0
SEED: Final = 20
"""Seed of the fixed order of day classes and of the draws: any number, the same for all crops."""


@dataclass(frozen=True)
class Sources:
    """Packaged and given data that the chain starts from."""

    normals: dict[str, Any]
    perez: Array
    weather: Any = None


@dataclass(frozen=True)
class Outdoors:
    """Light and air outdoors, by day of the generic year."""

    climate: skynormals.SiteClimate
    source: str
    daylength_h: Array
    photoperiod_h: Array
    noon_height_deg: Array
    sunrise_h: Array
    sunset_h: Array
    """Hours after midnight of the site's standard time [365]; NaN where there is none."""
    dli_mol_m2_d: Array
    """Mean day [365]."""
    class_dli_mol_m2_d: Array
    """[365, 7]: five day classes, the dull day, the bright day."""
    temp_degc: Array


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


@dataclass(frozen=True)
class World:
    """Everything the answers start from."""

    house: House
    light: Sunlight
    beds: tuple[BedYear, ...]
    air: IndoorAir
    assumptions: tuple[str, ...]
    warnings: tuple[str, ...]
    darkest_day: int
    """Day of the generic year with the lowest noon sun."""

    @property
    def outdoors(self) -> Outdoors:
        """Light and air outdoors."""
        return self.light.outdoors

    @property
    def bed_names(self) -> list[str]:
        """Names in the order of the arrays."""
        return [bed.name for bed in self.beds]


def standard_offset_h(zone: str) -> float:
    """Offset of a time zone's standard time from UTC [h]: the smaller of January's and July's."""
    offsets = []
    for month in (1, 7):
        offset = datetime(COMMON_YEAR, month, 1, tzinfo=ZoneInfo(zone)).utcoffset()
        offsets.append(offset.total_seconds() / 3600.0 if offset is not None else 0.0)
    return min(offsets)


def site_climate(house: House, sources: Sources) -> tuple[skynormals.SiteClimate, str]:
    """Light and temperature of the site by month, and in words where they come from."""
    site = house.site
    grid = skynormals.ClimateGrid(**sources.normals)
    if site.climate == "file":
        from tenhour.pipeline.weather import climate_from_weather

        return climate_from_weather(sources.weather, grid, site)
    if site.means is not None:
        return _climate_from_means(grid, house, site.means)
    climate = skynormals.climate_at(grid, site.latitude_deg, site.longitude_deg, site.elevation_m)
    return climate, "embedded normals (MERRA-2 light 2011-2015, corrected; ERA5 temperature 2000-2025)"


def _climate_from_means(
    grid: skynormals.ClimateGrid, house: House, means: OwnMeans
) -> tuple[skynormals.SiteClimate, str]:
    """The user's own means; their daily spread and air from the normals where there are any."""
    site = house.site
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
    try:
        base = skynormals.climate_at(grid, *place)
    except OutOfRange:
        base = None
    temp = np.array(means.temp_degc) if means.temp_degc is not None else skynormals.temperature_at(grid, *place)
    if means.ghi_mj_m2_d is None and means.dli_mol_m2_d is None:
        light = skynormals.climate_at(grid, *place)
        return light._replace(temp_degc=temp), "embedded normals of light, your own means of air temperature"
    if means.ghi_mj_m2_d is not None:
        ghi = np.array(means.ghi_mj_m2_d)
    else:
        ghi = np.array(means.dli_mol_m2_d) / UMOL_PER_J_GLOBAL
    h0 = position.extraterrestrial_daily(site.latitude_deg, np.arange(1, DAYS + 1))
    found = skynormals.climate_from_means(ghi, temp, h0, base)
    return found, "your own twelve monthly means; their spread from day to day is that of the normals"


@dataclass(frozen=True)
class Sunlight:
    """The site's sun and sky, ready to shine on any house that stands there."""

    outdoors: Outdoors
    sun: _SunYear
    sky: skydome.Dome
    drive: _Drive


def sunlight_at(house: House, sources: Sources) -> Sunlight:
    """Sun, outdoor light and what they send on a house, by day. Errors: OutOfRange where there are no data near."""
    climate, source = site_climate(house, sources)
    sun = _sun_year(house)
    steps, out = _outdoors(house, climate, source, sun)
    sky = skydome.dome(DOME_DIVISION)
    return Sunlight(out, sun, sky, _drive(house, out, steps, sun, sky, sources.perez))


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


def build(house: House, sources: Sources) -> World:
    """Run the chain from site to bed light and air.

    Errors: OutOfRange where the site has no climate data near; FileProblem for a room that cannot be traced.
    """
    problems = room_problems(house)
    if problems:
        raise FileProblem(problems)
    light = sunlight_at(house, sources)
    out = light.outdoors
    beds = beds_in(house, light)
    darkest = int(np.argmin(out.noon_height_deg))
    air = _air(house, out, beds, loss_w_m2_k(house, scene_of(house)))
    return World(house, light, beds, air, _assumptions(house, out.source), tuple(out.climate.notes), darkest)


@dataclass(frozen=True)
class _SunYear:
    """Sun through the generic year; ``up`` marks the steps with the sun above the horizon."""

    zenith_deg: Array
    azimuth_deg: Array
    up: NDArray[np.bool_]
    direction: Array
    day: NDArray[np.intp]
    events: daylength.DayEvents
    noon_deg: Array
    offset_h: float


def _sun_year(house: House) -> _SunYear:
    site = house.site
    offset_h = standard_offset_h(site.timezone)
    solar_h = site.longitude_deg / 15.0
    # Days are cut at solar midnight nearest to the site's own, so that a far time zone does not split a day in two.
    times = position.generic_year_steps(round(solar_h * 2.0) / 2.0, STEP_MIN)
    path = position.solar_position(times, site.latitude_deg, site.longitude_deg, site.elevation_m)
    zenith = path.zenith_deg.reshape(DAYS, -1)
    azimuth = path.azimuth_deg.reshape(DAYS, -1)
    up = zenith < LOWEST_SUN_DEG
    direction = skydome.unit_vector(azimuth[up], 90.0 - zenith[up])
    dates = pd.date_range(f"{COMMON_YEAR}-01-01", periods=DAYS, freq="D")
    events = daylength.day_events(dates, site.latitude_deg, site.longitude_deg)
    noon = position.noon_height_deg(dates, site.latitude_deg, site.longitude_deg)
    return _SunYear(zenith, azimuth, up, direction, np.nonzero(up)[0], events, noon, offset_h)


def _outdoors(
    house: House, climate: skynormals.SiteClimate, source: str, sun: _SunYear
) -> tuple[split.OutdoorSteps, Outdoors]:
    site = house.site
    doy = np.arange(1, DAYS + 1)
    h0 = position.extraterrestrial_daily(site.latitude_deg, doy)
    kt_day = split.daily_clearness(climate.kt_month, h0)
    classes = split.day_classes(climate.quantile_level_frac, climate.quantile_ratio, kt_day, h0)
    extra = split.day_ratio(climate.quantile_level_frac, climate.quantile_ratio, h0, EXTRA_LEVELS)
    ratio = np.concatenate([classes, np.minimum(extra, split.DAY_KT_CEILING / np.maximum(kt_day, 1e-3)[:, None])], 1)
    kt_class = kt_day[:, None] * np.maximum(ratio, 0.0)
    beyond = position.extraterrestrial_normal(doy)
    steps = split.outdoor_steps(kt_class, h0, sun.zenith_deg, beyond, site.elevation_m)
    per_w_m2 = SECONDS_PER_DAY * MICRO * UMOL_PER_J_GLOBAL
    class_dli = steps.ghi_w_m2.mean(axis=-1) * per_w_m2
    out = Outdoors(
        climate=climate,
        source=source,
        daylength_h=sun.events.daylength_h,
        photoperiod_h=sun.events.photoperiod_h,
        noon_height_deg=sun.noon_deg,
        sunrise_h=sun.events.sunrise_h + sun.offset_h,
        sunset_h=sun.events.sunset_h + sun.offset_h,
        dli_mol_m2_d=class_dli[:, :CLASSES].mean(axis=1),
        class_dli_mol_m2_d=class_dli,
        temp_degc=split.daily_means(climate.temp_degc),
    )
    return steps, out


@dataclass(frozen=True)
class _Drive:
    """What shines on the house, summed over each day [mol m⁻² d⁻¹ per unit of coefficient]."""

    sky: Array
    """Radiance of each sky patch [365, 7, P]."""
    ground: Array
    """Radiance of the ground [365, 7]."""
    beam: tuple[sparse.csr_array, ...]
    """Beam by step of sun up, one [365, n] matrix per class."""


def _drive(
    house: House, out: Outdoors, steps: split.OutdoorSteps, sun: _SunYear, sky: skydome.Dome, perez: Array
) -> _Drive:
    photons = SECONDS_PER_DAY * MICRO * UMOL_PER_J_GLOBAL / sun.zenith_deg.shape[1]
    shape, column = (DAYS, sun.day.size), np.arange(sun.day.size)
    radiance, beams = [], []
    for level in range(steps.ghi_w_m2.shape[1]):
        dni = steps.dni_w_m2[:, level][sun.up]
        beams.append(sparse.csr_array((dni * photons, (sun.day, column)), shape=shape))
        radiance.append(_sky_by_day(steps, level, sun, sky, perez) * photons)
    albedo = np.array(house.site.ground_reflectance_frac)[MONTH_OF_DAY - 1]
    ground = out.class_dli_mol_m2_d * albedo[:, None] / np.pi
    return _Drive(np.stack(radiance, axis=1), ground, tuple(beams))


def _sky_by_day(steps: split.OutdoorSteps, level: int, sun: _SunYear, sky: skydome.Dome, perez: Array) -> Array:
    """Radiance of each sky patch summed over the steps of each day [365, P], for one day class.

    The day's distribution over the patches glides through the year, so it is computed on every third day and joined
    by straight lines; each day keeps its own diffuse light exactly. Light of steps with the sun below the horizon
    (polar days round noon) comes from an overcast sky.
    """
    total = steps.dhi_w_m2[:, level].sum(axis=-1)
    flat = skydome.overcast_radiance(np.ones(1), sky)[0].astype(np.float64)
    chosen = np.unique(np.append(np.arange(0, DAYS, SKY_EVERY_D), DAYS - 1))
    found = np.tile(flat, (chosen.size, 1))
    used = sun.up & np.isin(np.arange(DAYS), chosen)[:, None]
    day = np.nonzero(used)[0]
    if day.size:
        dhi, dni = (part[:, level][used] for part in (steps.dhi_w_m2, steps.dni_w_m2))
        beyond = position.extraterrestrial_normal(day + 1)
        seen = skydome.perez_radiance(sun.zenith_deg[used], sun.azimuth_deg[used], dni, dhi, beyond, sky, perez)
        with_sun, first = np.unique(day, return_index=True)
        sums = np.add.reduceat(seen, first, axis=0, dtype=np.float64)
        below = total[with_sun] - np.add.reduceat(dhi, first)
        sums += np.maximum(below, 0.0)[:, None] * flat
        light = total[with_sun]
        keep = light > 0.0
        found[np.searchsorted(chosen, with_sun[keep])] = sums[keep] / light[keep, None]
    left = np.searchsorted(chosen, np.arange(DAYS), side="right") - 1
    right = np.minimum(left + 1, chosen.size - 1)
    gap = np.maximum(chosen[right] - chosen[left], 1)
    share = ((np.arange(DAYS) - chosen[left]) / gap)[:, None]
    return np.asarray(total[:, None] * (found[left] * (1.0 - share) + found[right] * share))


def _beds(
    house: House,
    light: bedlight.BedLight,
    drive: _Drive,
    states: PaneStates,
    sky: skydome.Dome,
    sun: _SunYear,
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
    own = light.bed_index == number
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


def _daily(months: tuple[float, ...] | None) -> Array | None:
    return None if months is None else split.daily_means(np.array(months))


def _air(house: House, out: Outdoors, beds: tuple[BedYear, ...], loss: float) -> IndoorAir:
    dli = np.stack([bed.dli_mol_m2_d for bed in beds])
    lift = day_lift_k(np.broadcast_to(dli.mean(axis=0), dli.shape), out.daylength_h, loss)
    given = house.air
    day, night = _daily(given.day_degc), _daily(given.night_degc)
    air = indoor_air(
        out.temp_degc,
        lift,
        cold_offset_k(np.asarray(out.climate.temp_degc)),
        day_degc=day,
        night_degc=night,
        day_set_degc=_steps_daily(given.day_set_degc),
        night_set_degc=_steps_daily(given.night_set_degc),
        night_min_degc=_daily(given.night_min_degc),
    )
    for number, bed in enumerate(house.beds):
        air = _own_air(air, number, _daily(bed.day_degc), _daily(bed.night_degc))
    return air


def _steps_daily(months: tuple[float, ...] | None) -> Array | None:
    """Set points are switched by month, not glided."""
    return None if months is None else np.array(months)[MONTH_OF_DAY - 1]


def _own_air(air: IndoorAir, number: int, day: Array | None, night: Array | None) -> IndoorAir:
    """Replace one bed's air by its own; its cold nights move with its mean nights."""
    rows = {name: getattr(air, name).copy() for name in ("day_degc", "night_degc", "cold_night_degc")}
    if day is not None:
        rows["day_degc"][number] = day
    if night is not None:
        rows["cold_night_degc"][number] += night - rows["night_degc"][number]
        rows["night_degc"][number] = night
    return replace(air, **rows)


def _assumptions(house: House, source: str) -> tuple[str, ...]:
    notes = list(house.assumptions)
    notes.append(f"Outdoor light and air: {source}.")
    if house.air.day_degc is None or house.air.night_degc is None:
        notes.append(
            "Indoor air where not stated: by day the outdoor mean raised by the sun that enters, by night the outdoor "
            "mean + 2 °C, never below a set point (practice)."
        )
    notes.append("One photon factor for all skies: 2.018 µmol per joule of global radiation, ± 4 %.")
    return tuple(dict.fromkeys(notes))


def month_mean(values: Array) -> Array:
    """Mean by month [..., 12] of values by day [..., 365]."""
    return month_means(values)


def mid_month_index() -> NDArray[np.intp]:
    """Day of the generic year of the 15th of each month [12]."""
    return np.array([(date(COMMON_YEAR, month, 15) - date(COMMON_YEAR, 1, 1)).days for month in range(1, 13)])
