"""The light answer: months outdoors and per bed, one day, a bed's map, cheap gains."""

from __future__ import annotations

from datetime import date

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.lamps.timer import clock_text
from tenhour.model.house import House
from tenhour.model.results import BedLight, BedMap, BedMonth, ColdNight, DayLight, Gain, LightAnswer, OutdoorMonth
from tenhour.plan.dates import MONTH_OF_DAY, day_index, month_means
from tenhour.sky import spread
from tenhour.sun import daylength
from tenhour.sun.clock import clock_times
from tenhour.units import ghi_from_dli
from tenhour.words import remarks as words
from tenhour.year.answers.coldest import cold_nights
from tenhour.year.inside.beds import BedYear
from tenhour.year.outside.hours import place_extremes
from tenhour.year.outside.sunlight import BRIGHT, CLASSES, DULL
from tenhour.year.world import World, mid_month_index

Array = NDArray[np.float64]


def light_of(
    world: World,
    *,
    on: date | None = None,
    map_bed: str | None = None,
    with_gains: bool = False,
    today: date | None = None,
    warmed: bool = False,
) -> LightAnswer:
    """Light of a house-year; ``warmed``: with the coldest nights inside, even where its warmth must be run for them."""
    house, site, out = world.house, world.house.site, world.outdoors
    around = on or today or date.today()
    before, after = daylength.ten_hour_dates(around, site.latitude_deg, site.longitude_deg)
    gains: tuple[Gain, ...] = ()
    if with_gains:
        from tenhour.year.answers.brighter import gains_of

        gains = gains_of(world)
    return LightAnswer(
        basis=world.basis(_inputs(house, on, map_bed)),
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        place=site.place or house.name,
        before_dark=before,
        after_dark=after,
        months=_outdoor_months(world),
        beds=tuple(_bed_light(world, bed) for bed in world.beds),
        source=out.source,
        calibration=house.calibration_note,
        day=None if on is None else _day(world, on),
        map=None if map_bed is None else bed_map(world, map_bed, on),
        gains=gains,
        nights=_nights(world, around, warmed=warmed),
        us_units=house.us_units,
    )


def _nights(world: World, on: date, *, warmed: bool) -> tuple[ColdNight, ...]:
    """Coldest nights outdoors, and inside where the year of the house is known or wanted."""
    air, light = world.warmth.air if warmed else world.warmth.kept_air, world.light
    shown = None if air is None else air.of_beds(world.shown)
    extremes = place_extremes(world.warmth.sources, light)
    return cold_nights(world.house, extremes, light.outdoors.climate.temp_degc, shown, on)


def _inputs(house: House, on: date | None, map_bed: str | None) -> dict[str, object]:
    return {
        "house": house.path or "built-in demo house",
        "latitude_deg": house.site.latitude_deg,
        "longitude_deg": house.site.longitude_deg,
        "on": on.isoformat() if on else None,
        "map": map_bed,
    }


def check_map_bed(house: House, name: str | None) -> None:
    """Refuse a bed that the house has not, before anything is traced.

    Errors: FileProblem.
    """
    names = [bed.name for bed in house.beds]
    if name is not None and name not in names:
        raise FileProblem([Problem(ARGUMENT, "map_bed", repr(name), "one of " + ", ".join(names), "")])


def _outdoor_months(world: World) -> tuple[OutdoorMonth, ...]:
    out = world.outdoors
    mid = mid_month_index()
    dli = month_means(out.dli_mol_m2_d)
    dull = month_means(out.class_dli_mol_m2_d[:, DULL])
    bright = month_means(out.class_dli_mol_m2_d[:, BRIGHT])
    gloomy = _gloomy(out.class_dli_mol_m2_d)
    temp = month_means(out.temp_degc)
    return tuple(
        OutdoorMonth(
            month=m + 1,
            daylength_h=float(out.daylength_h[mid[m]]),
            photoperiod_h=float(out.photoperiod_h[mid[m]]),
            noon_height_deg=float(out.noon_height_deg[mid[m]]),
            dli_mol_m2_d=float(dli[m]),
            dull_dli_mol_m2_d=float(dull[m]),
            bright_dli_mol_m2_d=float(bright[m]),
            gloomy_week_dli_mol_m2_d=float(gloomy[m]),
            spread_frac=float(out.climate.uncertainty_frac[m]),
            spread_p90_frac=float(out.climate.uncertainty_p90_frac[m]),
            ghi_w_m2=float(ghi_from_dli(dli[m])),
            temp_degc=float(temp[m]),
        )
        for m in range(12)
    )


def _gloomy(class_dli_mol_m2_d: Array) -> Array:
    """Darkest seven-day mean that comes in one year of five, by month [12], from light by day class [365, 7]."""
    return spread.gloomy_week(np.ascontiguousarray(class_dli_mol_m2_d[:, :CLASSES]))


def _bed_light(world: World, lit: BedYear) -> BedLight:
    bed = lit.daylight
    lamps = month_means(lit.lamps_dli_mol_m2_d)
    outdoors = month_means(world.outdoors.dli_mol_m2_d)
    dli = month_means(bed.dli_mol_m2_d)
    dull = month_means(bed.class_dli_mol_m2_d[:, DULL])
    bright = month_means(bed.class_dli_mol_m2_d[:, BRIGHT])
    gloomy = _gloomy(bed.class_dli_mol_m2_d)
    points = month_means(bed.point_dli_mol_m2_d.T)
    parts = [month_means(part) for part in (bed.beam_dli_mol_m2_d, bed.sky_dli_mol_m2_d, bed.bounced_dli_mol_m2_d)]
    months = tuple(
        BedMonth(
            month=m + 1,
            dli_mol_m2_d=float(dli[m]),
            dull_dli_mol_m2_d=float(dull[m]),
            bright_dli_mol_m2_d=float(bright[m]),
            gloomy_week_dli_mol_m2_d=float(gloomy[m]),
            min_dli_mol_m2_d=float(points[:, m].min()),
            max_dli_mol_m2_d=float(points[:, m].max()),
            ratio=_share(dli[m], outdoors[m]),
            beam_frac=_share(parts[0][m], dli[m]),
            sky_frac=_share(parts[1][m], dli[m]),
            bounced_frac=_share(parts[2][m], dli[m]),
            lamps_dli_mol_m2_d=None if lit.unlit is None else float(lamps[m]),
        )
        for m in range(12)
    )
    return BedLight(bed.name, bed.overcast_ratio, months)


def _share(part: float, whole: float) -> float:
    return float(part / whole) if whole > 0.0 else 0.0


def _day(world: World, on: date) -> DayLight:
    index = day_index(on)
    out = world.outdoors
    site = world.house.site
    clock = clock_times(site.latitude_deg, site.longitude_deg, on, site.timezone)
    dawn, sunrise, noon, sunset, dusk = (clock_text(hour) if hour == hour else None for hour in clock)
    return DayLight(
        on=on,
        daylength_h=float(out.daylength_h[index]),
        photoperiod_h=float(out.photoperiod_h[index]),
        noon_height_deg=float(out.noon_height_deg[index]),
        outdoor_dli_mol_m2_d=float(out.dli_mol_m2_d[index]),
        outdoor_dull_dli_mol_m2_d=float(out.class_dli_mol_m2_d[index, DULL]),
        beds_dli_mol_m2_d={bed.name: float(bed.daylight.dli_mol_m2_d[index]) for bed in world.beds},
        beds_dull_dli_mol_m2_d={bed.name: float(bed.daylight.class_dli_mol_m2_d[index, DULL]) for bed in world.beds},
        dawn=dawn,
        sunrise=sunrise,
        noon=noon,
        sunset=sunset,
        dusk=dusk,
    )


def bed_map(world: World, name: str, on: date | None = None, month: int | None = None) -> BedMap:
    """Light over the grid of a bed: on one date, in one month, or in the darkest month of the year."""
    bed = next(b for b in world.beds if b.name == name).daylight
    if on is not None:
        values, when = bed.point_dli_mol_m2_d[day_index(on)], words.ON_DATE(on=on)
    else:
        chosen = month or int(MONTH_OF_DAY[world.darkest_day])
        values = bed.point_dli_mol_m2_d[chosen == MONTH_OF_DAY].mean(axis=0)
        when = words.MEAN_OF_MONTH(month=chosen)
    x_m, y_m = np.unique(np.round(bed.x_m, 6)), np.unique(np.round(bed.y_m, 6))
    grid = np.zeros((y_m.size, x_m.size))  # a cell that a box stands on is dark
    grid[np.searchsorted(y_m, np.round(bed.y_m, 6)), np.searchsorted(x_m, np.round(bed.x_m, 6))] = values
    return BedMap(name, when, tuple(x_m.tolist()), tuple(y_m.tolist()), tuple(tuple(row) for row in grid.tolist()))
