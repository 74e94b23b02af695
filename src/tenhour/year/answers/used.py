"""What this winter has used up to yesterday: hours of the lamps that hang, and heat by the weather as it was."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import fire
from tenhour.model.sofar import LampsSoFar, UsedSoFar
from tenhour.plan.dates import DAYS, LEAP_DAY, day_index
from tenhour.sky.hours import Hours
from tenhour.units import dli_from_ghi
from tenhour.words import sofar as words
from tenhour.words.text import listed
from tenhour.year.answers.coldnight import cost_currency
from tenhour.year.inside.lit import lamp_hours_h
from tenhour.year.outside.sunlight import CLASSES
from tenhour.year.warm.warmth import DAY_H, W_PER_KW, Winters

if TYPE_CHECKING:
    from tenhour.year.crops.thiswinter import Past
    from tenhour.year.world import World

Array = NDArray[np.float64]
Days = NDArray[np.intp]

LEAST_KWH: Final = 5.0
"""Heat of which nothing is said: an evening of a small heater. Judgement."""
SAME_FRAC: Final = 0.05
"""A sum of heat nearer to the usual than this is called usual; the balance is no better. Judgement."""
KELVIN: Final = 273.15


def used_of(world: World, past: Past, began: date, today: date) -> UsedSoFar | None:
    """What lamps and heater have used since a day, up to yesterday; None where nothing hangs and nothing is heated.

    Parameters: world; past, days as they were; began, first day of this winter's count; today, which does not count.
    Method: lamps burn by their clock. Heat is the hourly balance run twice over the same made-up winters, as they are
    and with each known day given the light and the mean air it had; days nobody knows stay usual.
    """
    span = [began + timedelta(days=n) for n in range((today - began).days)]
    index = np.array([day_index(on) for on in span if (on.month, on.day) != LEAP_DAY], dtype=np.intp)
    if not index.size:
        return None
    lamps = tuple(_lamps(world, index))
    heat = _heat_kwh(world, past, index)
    if not lamps and heat is None:
        return None
    went, usual = heat if heat is not None else (None, None)
    said = [*_lamp_words(lamps, began), *_heat_words(world, past, index, went, usual, began)]
    return UsedSoFar(began, lamps, went, usual, tuple(said))


def _lamps(world: World, index: Days) -> list[LampsSoFar]:
    """Hours and energy of each of the lamps that hang."""
    rows = lamp_hours_h(world.house, world.beds, world.lamps)
    ahead = np.setdiff1d(np.arange(DAYS), index)
    return [
        LampsSoFar(hung.bed, float(hours[index].sum()), float(hours[index].sum()) * power / W_PER_KW,
                   float(hours[ahead].sum()))
        for hung, hours, power in rows
    ]  # fmt: skip


def _heat_kwh(world: World, past: Past, index: Days) -> tuple[float, float] | None:
    """Heat of the days as they were, and as they usually are; None where nothing is heated or no air is known."""
    warmth = world.warmth
    if not (np.isfinite(past.shift_k[index]).any() and float(world.air.heat_kwh_d[index].sum()) > 0.0):
        return None

    def total(hours: Hours) -> float:
        winters = Winters(warmth.house, warmth.light, warmth.found, warmth.states, hours, warmth.lamps_w)
        by_day = winters.run.heat_w.reshape(DAYS, DAY_H, -1).sum(axis=1).mean(axis=1) / W_PER_KW
        return float(np.roll(by_day, winters.first)[index].sum())

    return total(hours_as_they_went(world, past)), total(warmth.hours)


def hours_as_they_went(world: World, past: Past) -> Hours:
    """The winters of hours behind every answer with each known day's own mean air and light.

    Method: air and dew point move by what the day's mean lacks, the sky's heat with the fourth power of the air; light
    is that of the nearest day class, in proportion.
    """
    hours, light = world.warmth.hours, world.light
    temp, ghi = hours.temp_degc.copy(), hours.ghi_w_m2.copy()
    dhi, dni = hours.dhi_w_m2.copy(), hours.dni_w_m2.copy()
    light_class, ratio = hours.light_class.copy(), hours.light_ratio.copy()
    out, steps = world.outdoors, light.class_hours
    for day in np.flatnonzero(np.isfinite(past.shift_k)):
        wanted = out.temp_degc[day] + past.shift_k[day]
        temp[:, day] += wanted - temp[:, day].mean(axis=1, keepdims=True)
    of_class = np.asarray(dli_from_ghi(steps.ghi_w_m2[:, :CLASSES].mean(axis=-1)))
    for day in np.flatnonzero(np.isfinite(past.dli_mol_m2_d)):
        near = int(np.argmin(np.abs(of_class[day] - past.dli_mol_m2_d[day])))
        share = float(past.dli_mol_m2_d[day] / of_class[day, near]) if of_class[day, near] > 0.0 else 0.0
        light_class[:, day], ratio[:, day] = near, share
        for part, shape in ((ghi, steps.ghi_w_m2), (dhi, steps.dhi_w_m2), (dni, steps.dni_w_m2)):
            part[:, day] = share * shape[day, near]
    moved = temp - hours.temp_degc
    warmer = ((temp + KELVIN) / (hours.temp_degc + KELVIN)) ** 4
    return hours._replace(
        temp_degc=temp, dew_degc=hours.dew_degc + moved, infrared_w_m2=hours.infrared_w_m2 * warmer,
        ghi_w_m2=ghi, dhi_w_m2=dhi, dni_w_m2=dni, light_class=light_class, light_ratio=ratio,
    )  # fmt: skip


def _lamp_words(lamps: tuple[LampsSoFar, ...], began: date) -> list[str]:
    """One line on lamps."""
    burnt = [one for one in lamps if one.hours_h >= 1.0]
    if not burnt:
        return []
    each = [words.LAMP_BED(bed=one.bed, hours=one.hours_h) for one in burnt]
    return [words.LAMPS(beds=listed(each), first=began, energy=sum(one.energy_kwh for one in burnt))]


def _heat_words(
    world: World, past: Past, index: Days, went: float | None, usual: float | None, began: date
) -> list[str]:
    """One line on heat, with wood or money where the house file says what burns."""
    if went is None or usual is None or max(went, usual) < LEAST_KWH:
        return []
    fuel = _fuel(world, past, index, went)
    change = went / usual - 1.0 if usual > 0.0 else 1.0
    if abs(change) < SAME_FRAC:
        return [words.HEAT_USUAL(kwh=round(went), first=began, fuel=fuel)]
    more = "more" if change > 0.0 else "less"
    return [words.HEAT(kwh=round(went), first=began, by=abs(round(went - usual)), more=more, fuel=fuel)]


def _fuel(world: World, past: Past, index: Days, kwh: float) -> str:
    """Wood of a stove, or money by the price of the house file, as a phrase."""
    heaters = world.house.heaters
    outdoors = world.outdoors.temp_degc[index] + np.nan_to_num(past.shift_k[index])
    cost = cost_currency(world.house, kwh, float(outdoors.mean()))
    if heaters and heaters[0].kind == "stove":
        kg = kwh / float(fire.wood_kwh_kg(efficiency_frac=heaters[0].efficiency_frac))
        return words.WOOD(kg=kg)
    return "" if cost is None else words.COST(cost=(cost, ""))
