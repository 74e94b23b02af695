"""Sun, sky and climate of a site, ready to shine on any house that stands there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final, Protocol, TypeVar
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from tenhour.errors import OutOfRange
from tenhour.model.grower import GrowerLine
from tenhour.model.house import House
from tenhour.model.site import OwnMeans
from tenhour.model.weather import PastDays, WeatherYear
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, month_means
from tenhour.sky import dome as skydome
from tenhour.sky import normals as skynormals
from tenhour.sky import split
from tenhour.sun import daylength, position
from tenhour.units import MICRO, SECONDS_PER_DAY, UMOL_PER_J_GLOBAL
from tenhour.year.outside.filelight import driven_by, has_own_hours

Array = NDArray[np.float64]
T = TypeVar("T")

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
CLOCK_YEAR: Final = 2030
"""Year whose clocks are read, unlike the generic one: past every change of law that the table of zones knows of."""
SEED: Final = 20
"""Seed of the fixed order of day classes and of the draws: any number, the same for all crops."""


class Keeper(Protocol):
    """Gives what was kept of a kind for some things, or makes it."""

    def __call__(self, kind: str, of: Sequence[object], make: Callable[[], T], types: Sequence[type] = ()) -> T:
        """Return it."""
        ...


def made(kind: str, of: Sequence[object], make: Callable[[], T], types: Sequence[type] = ()) -> T:
    """Keep nothing: every value is made."""
    return make()


@dataclass(frozen=True)
class Sources:
    """Packaged and given data that the chain starts from."""

    normals: dict[str, Any]
    perez: Array
    weather: WeatherYear | None = None
    hours: Any = None
    """Numbers of generated weather (files.packaged.weather_hours)."""
    since: PastDays | None = None
    """This winter so far."""
    kept: Keeper = made
    """House-years kept between commands, where the user asks for that."""
    grower: tuple[GrowerLine, ...] = ()
    """What every grower is told."""


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
class SunYear:
    """Sun through the generic year; ``up`` marks the steps with the sun above the horizon."""

    zenith_deg: Array
    azimuth_deg: Array
    up: NDArray[np.bool_]
    direction: Array
    day: NDArray[np.intp]
    events: daylength.DayEvents
    noon_deg: Array
    offset_h: float


@dataclass(frozen=True)
class Drive:
    """What shines on the house, summed over each day [mol m⁻² d⁻¹ per unit of coefficient]."""

    sky: Array
    """Radiance of each sky patch [365, 7, P]."""
    ground: Array
    """Radiance of the ground [365, 7]."""
    beam: tuple[sparse.csr_array, ...]
    """Beam by position of the sun, one [365, n] matrix per class."""
    direction: Array
    """[n, 3], unit vectors to those positions."""


@dataclass(frozen=True)
class Sunlight:
    """The site's sun and sky, ready to shine on any house that stands there."""

    outdoors: Outdoors
    sun: SunYear
    sky: skydome.Dome
    drive: Drive
    class_hours: split.OutdoorSteps
    """Light outdoors of the five day classes, means of the hours of the day [365, 5, 24]."""


def usual_light(house: House, sources: Sources) -> tuple[Outdoors, split.OutdoorSteps]:
    """Light outdoors by day and class, and by the hour [365, 5, 24] in the clock of the site's sun; nothing is traced.

    Parameters: house; sources. Errors: OutOfRange where there are no data near.
    """
    climate, source = site_climate(house, sources)
    steps, out = _outdoors(house, climate, source, _sun_year(house, sources))
    return out, _by_hour(steps)


def sunlight_at(house: House, sources: Sources, sky_every_d: int = SKY_EVERY_D) -> Sunlight:
    """Sun, outdoor light and what they send on a house, by day.

    Parameters: house; sources; sky_every_d, days between those whose sky is computed in full.
    Errors: OutOfRange where there are no data near.
    """
    climate, source = site_climate(house, sources)
    sun = _sun_year(house, sources)
    steps, out = _outdoors(house, climate, source, sun)
    sky = skydome.dome(DOME_DIVISION)
    key = (house.site, np.asarray(climate.kt_month), climate.quantile_level_frac, climate.quantile_ratio, sky_every_d)
    radiance = sources.kept("sky", key, lambda: sky_by_day(steps, sun, sky, sources.perez, sky_every_d))
    drive = _drive(house, out, steps, sun, radiance)
    if has_own_hours(sources.weather, house.site):
        out, drive = _by_own_hours(house, sources, out, drive)
    return Sunlight(out, sun, sky, drive, _by_hour(steps))


def looked_up(out: Outdoors, class_hours: split.OutdoorSteps) -> Sunlight:
    """A site's light where no house is traced any more: without its sun by the step and its sky by the patch.

    Parameters: out; class_hours [365, 5, 24].
    """
    none = np.zeros((DAYS, 0))
    events = daylength.DayEvents(*(none[:, 0:] for _ in range(6)))
    sun = SunYear(
        none, none, none > 0.0, np.zeros((0, 3)), np.zeros(0, dtype=np.intp), events, out.noon_height_deg, 0.0
    )
    drive = Drive(none[..., None], none, (), sun.direction)
    return Sunlight(out, sun, skydome.dome(DOME_DIVISION), drive, class_hours)


def _by_own_hours(house: House, sources: Sources, out: Outdoors, drive: Drive) -> tuple[Outdoors, Drive]:
    """Light outdoors and on the house by the hours of the weather file in the months that have them.

    Method: the mean day of each month and class, with the sun where it stood; it glides through the month as the mean
    day of the climate does, whose month means are kept.
    """
    assert sources.weather is not None
    own = driven_by(sources.weather, house.site, EXTRA_LEVELS, sources.perez)
    month = MONTH_OF_DAY - 1
    mean = month_means(out.dli_mol_m2_d)
    found = own.light[:, :CLASSES].mean(axis=1)
    factor = np.where(found > 0.0, mean / np.where(found > 0.0, found, 1.0), 0.0)
    glide = np.where(mean > 0.0, 1.0 / np.where(mean > 0.0, mean, 1.0), 0.0)[month] * out.dli_mol_m2_d * factor[month]
    there = own.months[month]
    light = np.where(there[:, None], own.light[month] * glide[:, None], out.class_dli_mol_m2_d)
    albedo = np.array(house.site.ground_reflectance_frac)[month] / np.pi
    radiance = np.where(there[:, None, None], own.sky[month] * glide[:, None, None], drive.sky)
    dates = np.flatnonzero(there)
    beams = []
    for level, before in enumerate(drive.beam):
        row = month[dates] * light.shape[1] + level
        days = sparse.csr_array((glide[dates], (dates, row)), shape=(DAYS, own.beam.shape[0])) @ own.beam
        kept = sparse.diags_array((~there).astype(np.float64)) @ before
        beams.append(days if there.all() else sparse.csr_array(sparse.hstack([kept, days])))
    direction = own.direction if there.all() else np.concatenate([drive.direction, own.direction])
    out = replace(
        out,
        source=f"{out.source}; its own beam and diffuse light by the hour",
        class_dli_mol_m2_d=light,
        dli_mol_m2_d=light[:, :CLASSES].mean(axis=1),
    )
    return out, Drive(radiance, light * albedo[:, None], tuple(beams), direction)


def _by_hour(steps: split.OutdoorSteps) -> split.OutdoorSteps:
    """Means of whole hours of the five classes."""
    shape = (DAYS, CLASSES, 24, -1)
    return split.OutdoorSteps(*(part[:, :CLASSES].reshape(shape).mean(axis=-1) for part in steps))


def standard_offset_h(zone: str) -> float:
    """Offset of a time zone's standard time from UTC [h]: the smaller of January's and July's, by the law to come."""
    offsets = []
    for month in (1, 7):
        offset = datetime(CLOCK_YEAR, month, 1, tzinfo=ZoneInfo(zone)).utcoffset()
        offsets.append(offset.total_seconds() / 3600.0 if offset is not None else 0.0)
    return min(offsets)


def site_climate(house: House, sources: Sources) -> tuple[skynormals.SiteClimate, str]:
    """Light and temperature of the site by month, and in words where they come from."""
    site = house.site
    grid = skynormals.ClimateGrid(**sources.normals)
    base, words = _climate_nearby(house, grid, sources.weather)
    if site.means is None:
        if base is None:  # says why there is none
            skynormals.climate_at(grid, site.latitude_deg, site.longitude_deg, site.elevation_m)
        assert base is not None
        return base, words
    return _climate_from_means(grid, house, site.means, base, words)


def _climate_nearby(
    house: House, grid: skynormals.ClimateGrid, weather: WeatherYear | None
) -> tuple[skynormals.SiteClimate | None, str]:
    """Climate of the weather file, else of the normals, else none; and in words where it comes from."""
    site = house.site
    if weather is not None:
        from tenhour.year.outside.weather import climate_from_weather

        return climate_from_weather(weather, grid, site)
    try:
        found = skynormals.climate_at(grid, site.latitude_deg, site.longitude_deg, site.elevation_m)
    except OutOfRange:
        return None, ""
    return found, "embedded normals (MERRA-2 light 2011-2015, corrected; ERA5 temperature 2000-2025)"


def _climate_from_means(
    grid: skynormals.ClimateGrid, house: House, means: OwnMeans, base: skynormals.SiteClimate | None, words: str
) -> tuple[skynormals.SiteClimate, str]:
    """The user's own means; what they do not say from the weather file or the normals, where there are any."""
    site = house.site
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m)
    if means.temp_degc is not None:
        temp = np.array(means.temp_degc)
    else:
        temp = skynormals.temperature_at(grid, *place) if base is None else np.asarray(base.temp_degc)
    if means.ghi_mj_m2_d is None and means.dli_mol_m2_d is None:
        light = skynormals.climate_at(grid, *place) if base is None else base
        return light._replace(temp_degc=temp), f"{words}; your own means of air temperature"
    if means.ghi_mj_m2_d is not None:
        ghi = np.array(means.ghi_mj_m2_d)
    else:
        ghi = np.array(means.dli_mol_m2_d) / UMOL_PER_J_GLOBAL
    h0 = position.extraterrestrial_daily(site.latitude_deg, np.arange(1, DAYS + 1))
    found = skynormals.climate_from_means(ghi, temp, h0, base)
    rest = "the normals" if not site.weather_path else "the weather file, whose own hours of light are not used"
    return found, f"your own twelve monthly means; their spread from day to day is that of {rest}"


def _sun_year(house: House, sources: Sources) -> SunYear:
    site = house.site
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m, site.timezone)
    return sources.kept("sun", (site,), lambda: sun_of(*place), (SunYear, daylength.DayEvents))


def house_clock_h(longitude_deg: float) -> float:
    """Hours ahead of UTC of the clock that a place's hours are counted by: the half hour nearest to its mean sun.

    Parameters: longitude_deg, east positive [°].
    """
    return round(longitude_deg / 15.0 * 2.0) / 2.0


def sun_of(latitude_deg: float, longitude_deg: float, elevation_m: float, zone: str) -> SunYear:
    """The sun through the generic year at a place [°, °, m], whose clocks are those of a zone."""
    offset_h = standard_offset_h(zone)
    # Days are cut at solar midnight nearest to the site's own, so that a far time zone does not split a day in two.
    times = position.generic_year_steps(house_clock_h(longitude_deg), STEP_MIN)
    path = position.solar_position(times, latitude_deg, longitude_deg, elevation_m)
    zenith = path.zenith_deg.reshape(DAYS, -1)
    azimuth = path.azimuth_deg.reshape(DAYS, -1)
    up = zenith < LOWEST_SUN_DEG
    direction = skydome.unit_vector(azimuth[up], 90.0 - zenith[up])
    dates = position.generic_year_days()
    events = daylength.day_events(dates, latitude_deg, longitude_deg)
    noon = position.noon_height_deg(dates, latitude_deg, longitude_deg)
    return SunYear(zenith, azimuth, up, direction, np.nonzero(up)[0], events, noon, offset_h)


def _outdoors(
    house: House, climate: skynormals.SiteClimate, source: str, sun: SunYear
) -> tuple[split.OutdoorSteps, Outdoors]:
    site = house.site
    h0, kt_class = class_clearness(site.latitude_deg, climate)
    beyond = position.extraterrestrial_normal(np.arange(1, DAYS + 1))
    steps = split.outdoor_steps(kt_class, h0, sun.zenith_deg, beyond, site.elevation_m)
    return steps, outdoors_of(climate, source, steps.ghi_w_m2.mean(axis=-1), sun.events, sun.noon_deg, sun.offset_h)


def class_clearness(latitude_deg: float, climate: skynormals.SiteClimate) -> tuple[Array, Array]:
    """Light above the air [365] [W m⁻²] and the share of it that reaches the ground by day class [365, 7] [-].

    Parameters: latitude_deg [°]; climate, of the place.
    """
    h0 = position.extraterrestrial_daily(latitude_deg, np.arange(1, DAYS + 1))
    kt_day = split.daily_clearness(climate.kt_month, h0)
    classes = split.day_classes(climate.quantile_level_frac, climate.quantile_ratio, kt_day, h0)
    extra = split.day_ratio(climate.quantile_level_frac, climate.quantile_ratio, h0, EXTRA_LEVELS)
    ratio = np.concatenate([classes, np.minimum(extra, split.DAY_KT_CEILING / np.maximum(kt_day, 1e-3)[:, None])], 1)
    return h0, kt_day[:, None] * np.maximum(ratio, 0.0)


def outdoors_of(
    climate: skynormals.SiteClimate,
    source: str,
    class_ghi_w_m2: Array,
    events: daylength.DayEvents,
    noon_deg: Array,
    offset_h: float,
) -> Outdoors:
    """Light and air outdoors from what they are made of.

    Parameters: climate; source, in words; class_ghi_w_m2, means of days [365, 7] [W m⁻²]; events of the days; noon_deg,
    height of the sun at noon [365] [°]; offset_h, of the place's standard time from UTC [h].
    """
    class_dli = class_ghi_w_m2 * (SECONDS_PER_DAY * MICRO * UMOL_PER_J_GLOBAL)
    return Outdoors(
        climate=climate,
        source=source,
        daylength_h=events.daylength_h,
        photoperiod_h=events.photoperiod_h,
        noon_height_deg=noon_deg,
        sunrise_h=events.sunrise_h + offset_h,
        sunset_h=events.sunset_h + offset_h,
        dli_mol_m2_d=class_dli[:, :CLASSES].mean(axis=1),
        class_dli_mol_m2_d=class_dli,
        temp_degc=split.daily_means(climate.temp_degc),
    )


def _drive(house: House, out: Outdoors, steps: split.OutdoorSteps, sun: SunYear, radiance: Array) -> Drive:
    photons = SECONDS_PER_DAY * MICRO * UMOL_PER_J_GLOBAL / sun.zenith_deg.shape[1]
    shape, column = (DAYS, sun.day.size), np.arange(sun.day.size)
    beams = [
        sparse.csr_array((steps.dni_w_m2[:, level][sun.up] * photons, (sun.day, column)), shape=shape)
        for level in range(steps.ghi_w_m2.shape[1])
    ]
    albedo = np.array(house.site.ground_reflectance_frac)[MONTH_OF_DAY - 1]
    ground = out.class_dli_mol_m2_d * albedo[:, None] / np.pi
    return Drive(radiance * photons, ground, tuple(beams), sun.direction)


def sky_by_day(steps: split.OutdoorSteps, sun: SunYear, sky: skydome.Dome, perez: Array, every_d: int) -> Array:
    """Radiance of each sky patch summed over the steps of each day [365, K, P].

    The day's distribution over the patches glides through the year, so it is computed on every few days and joined
    by straight lines; each day keeps its own diffuse light exactly. Light of steps with the sun below the horizon
    (polar days round noon) comes from an overcast sky.
    """
    total = steps.dhi_w_m2.sum(axis=-1)
    flat = skydome.overcast_radiance(np.ones(1), sky)[0].astype(np.float64)
    chosen = np.unique(np.append(np.arange(0, DAYS, every_d), DAYS - 1))
    found = np.tile(flat, (chosen.size, total.shape[1], 1))
    used = sun.up & np.isin(np.arange(DAYS), chosen)[:, None]
    day = np.nonzero(used)[0]
    if day.size:
        dhi, dni = (np.moveaxis(part, 1, 2)[used] for part in (steps.dhi_w_m2, steps.dni_w_m2))
        beyond = position.extraterrestrial_normal(day + 1)
        seen = skydome.perez_radiance(sun.zenith_deg[used], sun.azimuth_deg[used], dni, dhi, beyond, sky, perez)
        with_sun, first = np.unique(day, return_index=True)
        below = np.maximum(total[with_sun] - np.add.reduceat(dhi, first), 0.0)
        of_day = sparse.csr_array((np.ones(day.size, np.float32), np.arange(day.size), np.append(first, day.size)))
        sums = (of_day @ seen.reshape(day.size, -1)).reshape(with_sun.size, *seen.shape[1:]) + below[..., None] * flat
        light = total[with_sun][..., None]
        place = np.searchsorted(chosen, with_sun)
        found[place] = np.where(light > 0.0, sums / np.where(light > 0.0, light, 1.0), flat)
    left = np.searchsorted(chosen, np.arange(DAYS), side="right") - 1
    right = np.minimum(left + 1, chosen.size - 1)
    share = ((np.arange(DAYS) - chosen[left]) / np.maximum(chosen[right] - chosen[left], 1))[:, None, None]
    return np.asarray(total[..., None] * (found[left] * (1.0 - share) + found[right] * share))
