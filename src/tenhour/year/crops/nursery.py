"""Plants raised in one place and set out in another: the commonest way into winter, and early in spring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth import seedfed
from tenhour.growth.places import CHECK_D, set_out
from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, Draws, bed_climate
from tenhour.growth.stretch import COOL_BASE_DEGC, stretch
from tenhour.growth.temperature import hour_weighted
from tenhour.model.crop import Crop
from tenhour.model.house import Nursery
from tenhour.model.results import Raising
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index
from tenhour.plan.ranges import HIGH, LOW, MIDDLE, at_share, between_sowings, median_days, sorted_draws, straight
from tenhour.plan.sowing import SOONER_D, TRAY_SLOW_D
from tenhour.sky.split import daily_means
from tenhour.units import dli_from_ppfd
from tenhour.words.sowing import ready_text
from tenhour.words.year import plants_there, raising_sentence, tray_sentence_there
from tenhour.year.crops import growing
from tenhour.year.crops.nights import Nights
from tenhour.year.world import World

if TYPE_CHECKING:
    from tenhour.year.crops.grown import Table

Array = NDArray[np.float64]
Index = NDArray[np.intp]

WARM_ROOM: Final = Nursery(
    "warm room", dli_mol_m2_d=(1.0,) * 12, lit_h=(10.0,) * 12, day_degc=(19.0,) * 12, night_degc=(17.0,) * 12
)
"""A heated room with a window, which every household has: practice."""
RAISED_WELL: Final = Nursery(
    "raised elsewhere", dli_mol_m2_d=(8.0,) * 12, lit_h=(14.0,) * 12, day_degc=(20.0,) * 12, night_degc=(16.0,) * 12
)
"""Where plants grew up that are set out in a house without a nursery, or were bought: stocky ones. Common practice."""
GREEN_D: Final = 3
"""Last days of a tray, in which it greens up on the bed: practice."""
GREEN_DEGC: Final = 4.0
"""A bed with colder nights than this is no place to green up a tray: practice."""
GREEN_DLI_MOL_M2_D: Final = 0.5
"""A bed with less light than this is no place to green up a tray: judgement."""
RAISED_WAYS: Final = ("head", "pick")
SHORTEST_DAY_H: Final = 0.1


@dataclass(frozen=True)
class RaisedYear:
    """Crops raised in the nursery and set out, by day of sowing there; R crops of the table."""

    rows: tuple[int, ...]
    days_low: Array
    days: Array
    days_high: Array
    """Days from sowing to harvest on each bed [R, B, 365], as of direct sowings; NaN where never, or nights harm it."""
    set_out_d: Array
    """Days from sowing to setting out [R, 365]."""
    stretch_score: Array
    """Of its first three weeks [R, 365]."""


def nursery_climate(world: World, nursery: Nursery) -> BedClimate:
    """Light and air of the nursery, as one bed."""
    month = MONTH_OF_DAY - 1
    dli, lit = np.zeros(DAYS), np.clip(world.outdoors.daylength_h, 0.0, 24.0)
    day = night = None
    if world.nursery_bed is not None:
        own = growing.bed_climates(world.nursery_bed)
        dli, day, night, lit = own.dli_mol_m2_d[0], own.temp_day_degc[0], own.temp_night_degc[0], own.lit_h[0]
    if nursery.lamp_h is not None and nursery.lamp_ppfd_umol_m2_s is not None:
        dli = dli + dli_from_ppfd(nursery.lamp_ppfd_umol_m2_s, nursery.lamp_h)
        lit = np.full(DAYS, nursery.lamp_h) if nursery.bed is None else np.maximum(lit, nursery.lamp_h)
    if nursery.dli_mol_m2_d is not None:
        dli = np.array(nursery.dli_mol_m2_d)[month]
    if nursery.lit_h is not None:
        lit = np.array(nursery.lit_h)[month]
    day = day if nursery.day_degc is None else daily_means(nursery.day_degc)
    night = night if nursery.night_degc is None else daily_means(nursery.night_degc)
    assert day is not None
    assert night is not None
    lit = np.maximum(lit, SHORTEST_DAY_H)
    return bed_climate(dli, day, night, lit, soil_degc=_tray_soil_degc(world, nursery, hour_weighted(day, night, lit)))


def _tray_soil_degc(world: World, nursery: Nursery, air_degc: Array) -> Array:
    """Soil of the trays [365]: as warm as their air, or as a mat below them holds it where that is warmer."""
    if nursery.mat_degc is not None:
        return np.maximum(air_degc, nursery.mat_degc)
    below = world.nursery_bed
    if below is not None and below.house.beds[0].name in {mat.bed for mat in below.house.mats}:
        return np.asarray(growing.bed_climates(below).soil_degc[0])
    return air_degc


def raised_year(
    world: World,
    every: Sequence[Crop],
    beds: BedClimate,
    draws: Draws,
    sow_doy: Index,
    nursery: Nursery | None,
) -> RaisedYear | None:
    """Raise every crop that is set out; None without a nursery.

    Parameters: world; every crop of the table; beds, their climate; draws; sow_doy [S], days of the year on which they
    are sown in the nursery.
    """
    rows = tuple(n for n, crop in enumerate(every) if crop.way in RAISED_WAYS and crop.raising is not None)
    if nursery is None or not rows:
        return None
    crops = [every[n] for n in rows]
    climate = nursery_climate(world, nursery)
    found = set_out(
        growing.crop_arrays(crops),
        climate,
        beds,
        sow_doy,
        draws.of_crops(list(rows)),
        tray_density_per_m2=growing.column(crops, growing.part("raising", "tray_density_per_m2", np.nan)),
    )
    out = median_days(found.transplant_d[:, 0]) + CHECK_D
    there = np.broadcast_to(out[:, None], found.harvest_d.shape[:3])
    least = Nights(tuple(crops), world.air).least_of_stays_k(sow_doy, there, median_days(found.harvest_d))
    harmed = (least <= 0.0) | ~np.isfinite(there)
    harvest = np.where(harmed[..., None], np.nan, found.harvest_d)
    score = _stretch(crops, climate, sow_doy, np.median(found.emergence_d[:, 0], axis=-1))
    ordered = sorted_draws(between_sowings(harvest, sow_doy))
    low, middle, high = (at_share(ordered, share) for share in (LOW, MIDDLE, HIGH))
    return RaisedYear(rows, low, middle, high, straight(out, sow_doy), straight(score, sow_doy))


def set_out_harvest(table: Table, crop: int, bed: int, out_on: date) -> tuple[date | None, date | None] | None:
    """First and last day of the harvest, in eight seasons of ten, of plants set out on a day; None for other crops.

    Parameters: table; crop and bed, rows of it; out_on, the day they were set out.
    Method: the sowing in the nursery whose plants are set out nearest to that day has its days from setting out.
    """
    found = table.raised or table.raised_well
    if found is None or crop not in found.rows:
        return None
    place = found.rows.index(crop)
    stay = found.set_out_d[place]
    off = np.abs((np.arange(DAYS) + stay - day_index(out_on) + DAYS / 2) % DAYS - DAYS / 2)
    if not np.isfinite(off).any():
        return None
    sown = int(np.nanargmin(off))
    low, high = (
        _after(out_on, float(part[place, bed, sown] - stay[sown])) for part in (found.days_low, found.days_high)
    )
    return low, high


def _stretch(crops: list[Crop], climate: BedClimate, sow_doy: Index, emergence_d: Array) -> Array:
    """Stretch of the first three weeks in the nursery [R, S]."""
    begin = np.nan_to_num(sow_doy[None, :] + emergence_d)
    span = (begin[..., None].astype(np.intp) + np.arange(round(growing.EARLY_D))) % DAYS
    dli, temp, dif = (
        series[0][span].mean(axis=-1)
        for series in (
            climate.dli_ten_day_mol_m2_d,
            growing.mean_temp_degc(climate),
            climate.temp_day_degc - climate.temp_night_degc,
        )
    )
    base = growing.column(crops, growing.part("light", "stretch_base_degc", COOL_BASE_DEGC))[:, None]
    return np.asarray(np.where(np.isfinite(emergence_d), stretch(dli, temp, dif, base).score, np.nan))


def plants_ready_d(table: Table, rows: tuple[int, ...]) -> tuple[Array, Array] | None:
    """Days until plants for the garden are ready in the nursery, and their stretch, by day of sowing [R, 365].

    Parameters: rows, crops raised to be set out outdoors. Returns None where the house has no nursery.
    """
    nursery = table.world.house.nursery
    if nursery is None or not rows:
        return None
    crops = [table.crops[n] for n in rows]
    climate = nursery_climate(table.world, nursery)
    found = run(growing.crop_arrays(crops), climate, growing.SOWN_DOY, table.draws.of_crops(list(rows)))
    days = median_days(found.transplant_d[:, 0])
    cold = climate.temp_night_degc.min() < growing.column(crops, growing.tender_degc)
    score = _stretch(crops, climate, growing.SOWN_DOY, np.median(found.emergence_d[:, 0], axis=-1))
    return straight(np.where(cold[:, None], np.nan, days), growing.SOWN_DOY), straight(score, growing.SOWN_DOY)


def raised_plants(table: Table) -> RaisedYear | None:
    """Plants for the garden raised in the nursery, by day of sowing there: days until they are ready to set out."""
    nursery = table.world.house.nursery
    rows = tuple(n for n, crop in enumerate(table.crops) if crop.way == "transplant" and crop.grows_by_carbon)
    if nursery is None or not rows:
        return None
    crops = [table.crops[n] for n in rows]
    climate = nursery_climate(table.world, nursery)
    found = run(growing.crop_arrays(crops), climate, growing.SOWN_DOY, table.draws.of_crops(list(rows)))
    cold = climate.temp_night_degc.min() < growing.column(crops, growing.tender_degc)
    days = np.where(cold[:, None, None, None], np.nan, found.transplant_d)
    days = np.broadcast_to(days, (len(rows), len(table.climate), *days.shape[2:]))
    ordered = sorted_draws(between_sowings(days, growing.SOWN_DOY))
    low, middle, high = (at_share(ordered, share) for share in (LOW, MIDDLE, HIGH))
    score = _stretch(crops, climate, growing.SOWN_DOY, np.median(found.emergence_d[:, 0], axis=-1))
    return RaisedYear(rows, low, middle, high, middle[:, 0], straight(score, growing.SOWN_DOY))


def trays_there_d(table: Table, rows: tuple[int, ...], nursery: Nursery) -> Array | None:
    """Days that trays of shoots take in a nursery, by day of sowing [R, 365]; None for no crops."""
    if not rows:
        return None
    crops = [table.crops[n] for n in rows]
    climate = nursery_climate(table.world, nursery)
    return seedfed.seed_fed(growing.tray_arrays(crops), climate, np.arange(DAYS)).harvest_d[:, 0, :, 0]


@dataclass(frozen=True)
class TrayRoom:
    """Where trays sprout: the nursery if it is warm, otherwise any heated room."""

    name: str
    where: str
    """As it is said."""
    own: bool
    """Whether the house file names it."""
    days: dict[int, Array]
    """Days a tray takes there, by crop of the table and day of sowing [365]; NaN where never."""


def tray_room_of(table: Table) -> TrayRoom:
    """Trays in the nursery, or where the house has none or a cold one, in a heated room."""
    rows = tuple(n for n, crop in enumerate(table.crops) if crop.grows_by_reserves)
    nursery = table.world.house.nursery
    there = None if nursery is None else trays_there_d(table, rows, nursery)
    if nursery is not None and there is not None and bool((np.nan_to_num(there, nan=np.inf) <= TRAY_SLOW_D).any()):
        return TrayRoom(nursery.name, nursery.where, True, dict(zip(rows, there, strict=True)))
    warm = trays_there_d(table, rows, WARM_ROOM)
    days = {} if warm is None else dict(zip(rows, warm, strict=True))
    return TrayRoom(WARM_ROOM.name, "in a warm room", False, days)


def _tray_advice(table: Table, crop: int, bed: int, on: date) -> Raising | None:
    """What sprouting a tray in the warm does: in the house's own nursery where it gains a week, else where the bed is
    too slow for it."""
    room, day = table.tray_room, day_index(on)
    took = float(room.days[crop][day])
    harmed = bool(table.threats.harmed[crop, bed, day])
    direct = float("nan") if harmed else float(table.days[crop, bed, day])
    if not np.isfinite(took) or (direct <= TRAY_SLOW_D and not (room.own and direct - took >= SOONER_D)):
        return None
    tray = table.crops[crop].tray
    assert tray is not None
    low, high = (took * part / tray.sum_degcday.value for part in (tray.sum_degcday.low, tray.sum_degcday.high))
    first, last = on + timedelta(days=round(low)), on + timedelta(days=round(high))
    sooner = round(direct - took) if np.isfinite(direct) else None
    dark = tray.dark_d is not None and tray.dark_d.value >= took
    there = day_index(first - timedelta(days=GREEN_D))
    stays = dark or harmed or float(table.world.beds[bed].dli_mol_m2_d[there]) < GREEN_DLI_MOL_M2_D
    stays = stays or float(table.world.air.cold_night_degc[bed, day]) < GREEN_DEGC
    text = tray_sentence_there(room.where, ready_text(first, last), sooner, stays=stays)
    return Raising(room.name, first - timedelta(days=GREEN_D), first, last, sooner, None, text, room.where, stays)


def raising_advice(table: Table, crop: int, bed: int, on: date) -> Raising | None:
    """What raising in the nursery would do for a sowing on a date, where it gains a week or more.

    A direct sowing that never comes in, or whose seedlings would be drawn, is always beaten. Trays sprout there.
    """
    if table.crops[crop].grows_by_reserves:
        return _tray_advice(table, crop, bed, on)
    plants = table.crops[crop].way == "transplant"
    found, day = table.raised_plants if plants else table.raised, day_index(on)
    if found is None or crop not in found.rows or not table.in_season[crop, day]:
        return None
    place = found.rows.index(crop)
    low, median, high = (part[place, bed, day] for part in (found.days_low, found.days, found.days_high))
    if np.isnan(median) or np.isnan(found.set_out_d[place, day]):
        return None
    direct = np.nan if plants and table.threats.harmed[crop, bed, day] else table.days[crop, bed, day]
    sooner = round(float(direct - median)) if np.isfinite(direct) else None
    if sooner is not None and sooner < SOONER_D:
        return None
    nursery = table.world.house.nursery
    name, where = ("", "") if nursery is None else (nursery.name, nursery.where)
    out = on + timedelta(days=round(float(found.set_out_d[place, day])))
    first, last = _after(on, low), _after(on, high)
    ready = ready_text(first, last)
    text = plants_there(where, ready, sooner) if plants else raising_sentence(where, out, ready, sooner)
    return Raising(name, out, first, last, sooner, float(found.stretch_score[place, day]), text, where)


def _after(on: date, days: float) -> date | None:
    return on + timedelta(days=round(float(days))) if np.isfinite(days) else None
