"""Thermometer readings: climate of the house by month, warm and cold spots, and what to write in the house file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.readings import OUTSIDE, Change, Hang, Readings, Spot, SpotMonth
from tenhour.plan.warmth import (
    LEAST_DAYS,
    SPOT_K,
    Needs,
    day_table,
    hang,
    spot_months,
    spots,
    suits,
    thermostat,
    twelve_months,
)
from tenhour.words.crops import crop_name
from tenhour.year.answers.coldnight import hold_degc
from tenhour.year.crops.growing import value_of
from tenhour.year.inside.moments import sun_at
from tenhour.year.world import World, month_mean
from tenhour.year.year import Year

Array = NDArray[np.float64]

MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
INVERTED_K = -2.0
"""Nights that read warmer than days by this point at a wrong clock: judgement."""


@dataclass(frozen=True)
class WarmthFound:
    """What the temperature readings of one file say."""

    months: tuple[SpotMonth, ...]
    spots: tuple[Spot, ...]
    thermostat: str
    changes: tuple[Change, ...]
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    hang: Hang | None = None


def warmth_found(year: Year, readings: Readings) -> WarmthFound:
    """Sort temperature readings by month and place; the crops of the year are placed."""
    house = year.house
    taken = readings.temperature
    if taken is None:
        return WarmthFound((), (), "", (), (), ())
    up = sun_at(house, taken.time)[0] > 0.0
    table = day_table(taken, up, house.site.timezone)
    months = spot_months(table)
    found = spots(table)
    placed = suits(*_means(months), _needs(year.crops)) if len(found) > 1 else {}
    found = tuple(replace(spot, suits=placed.get(spot.place, ())) for spot in found)
    notes = []
    if (taken.part == "min").any() and (taken.part == "max").any():
        notes.append(
            "From maximum and minimum: day = maximum less a quarter of the span, night = minimum plus a quarter."
        )
    warnings = _warnings(months)
    changes = _changes(house, year.world, months, found) if _worth(months) else ()
    place = hang(table, hold_degc(house))
    return WarmthFound(months, found, thermostat(found), changes, tuple(notes), warnings, place)


def _warnings(months: Sequence[SpotMonth]) -> tuple[str, ...]:
    gaps = [m.day_degc - m.night_degc for m in months if m.day_degc is not None and m.night_degc is not None]
    if gaps and float(np.median(gaps)) < INVERTED_K:
        return ("Nights read warmer than days: a heater by night, or a clock in another time zone (--zone)?",)
    return ()


def _means(months: Sequence[SpotMonth]) -> tuple[dict[str, float], dict[str, float]]:
    """Mean of day and night, and the coldest reading, of each place indoors."""
    mean: dict[str, list[float]] = {}
    cold: dict[str, float] = {}
    for month in months:
        if month.place == OUTSIDE or month.day_degc is None or month.night_degc is None:
            continue
        mean.setdefault(month.place, []).append((month.day_degc + month.night_degc) / 2.0)
        coldest = month.coldest_degc if month.coldest_degc is not None else month.night_degc
        cold[month.place] = min(cold.get(month.place, np.inf), coldest)
    return {place: float(np.mean(values)) for place, values in mean.items()}, cold


def _needs(crops: Sequence[Crop]) -> list[Needs]:
    out = []
    for crop in crops:
        best = crop.climate.best_mean_degc
        low, high = (np.nan, np.nan) if best is None else (best.low, best.high)
        kill, chill = value_of(crop.climate.kill_degc), value_of(crop.climate.chill_degc)
        out.append(Needs(crop_name(crop.key), kill, chill, low, high))
    return out


def _worth(months: Sequence[SpotMonth]) -> bool:
    return any(_counts(month) for month in months)


def _counts(month: SpotMonth) -> bool:
    both = month.day_degc is not None and month.night_degc is not None
    return both and month.place != OUTSIDE and month.days_count >= LEAST_DAYS


def _changes(house: House, world: World, months: Sequence[SpotMonth], found: Sequence[Spot]) -> tuple[Change, ...]:
    """Air of the house, or of each bed that was read where the places differ."""
    good = [month for month in months if _counts(month)]
    names = [bed.name for bed in house.beds]
    apart = [spot for spot in found if max(abs(spot.day_k), abs(spot.night_k)) > max(SPOT_K, spot.error_k)]
    read_beds = [name for name in names if any(month.place == name for month in good)]
    out = [_air_change(world, good)]
    if apart and read_beds:
        out += [_bed_change(world, names.index(name), [m for m in good if m.place == name]) for name in read_beds]
    return tuple(out)


def _air_change(world: World, months: Sequence[SpotMonth]) -> Change:
    day, night, cold = (_by_month(months, part) for part in ("day_degc", "night_degc", "coldest_degc"))
    cold = {
        month: min(m.coldest_degc for m in months if m.month == month and m.coldest_degc is not None) for month in cold
    }
    air = world.air
    rows = [month_mean(part).mean(axis=0) for part in (air.day_degc, air.night_degc, air.cold_night_degc)]
    day12, measured = twelve_months(day, rows[0])
    values: dict[str, object] = {"day_degc": day12, "night_degc": twelve_months(night, rows[1])[0]}
    if _nobody_heats(world.house):
        values["held"] = False
    if cold:
        values["night_min_degc"] = twelve_months(cold, rows[2])[0]
    return Change("air", values, remark=_remark(measured))


def _nobody_heats(house: House) -> bool:
    """Whether means that were read are the house's own, which nothing holds."""
    air = house.air
    wished = (air.day_set_degc, air.night_set_degc, *((air.day_degc, air.night_degc) if air.held else ()))
    return not house.heaters and house.shape != "window-sill" and all(part is None for part in wished)


def _bed_change(world: World, number: int, months: Sequence[SpotMonth]) -> Change:
    day, night = _by_month(months, "day_degc"), _by_month(months, "night_degc")
    day12, measured = twelve_months(day, month_mean(world.air.day_degc[number]))
    night12, _ = twelve_months(night, month_mean(world.air.night_degc[number]))
    return Change("bed", {"day_degc": day12, "night_degc": night12}, number, _remark(measured))


def _by_month(months: Sequence[SpotMonth], part: str) -> dict[int, float]:
    """Mean over places of one part, by month."""
    out: dict[int, list[float]] = {}
    for month in months:
        value = getattr(month, part)
        if value is not None:
            out.setdefault(month.month, []).append(value)
    return {month: float(np.mean(values)) for month, values in out.items()}


def _remark(measured: Sequence[int]) -> str:
    names = ", ".join(MONTH_NAMES[month - 1] for month in measured)
    return (
        f"measured in {names}"
        if len(measured) == len(MONTH_NAMES)
        else f"measured in {names}; near months moved with it"
    )
