"""One question about lamps over a bed, and what one plan of them brings and costs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.cost import heat_w
from tenhour.lamps.timer import lamp_season
from tenhour.model.crop import Crop
from tenhour.model.house import BedLamps
from tenhour.model.lamp import Lamp, LampNeed, LampRequest, RungName, SizedOn
from tenhour.model.lamp_answer import LampRung
from tenhour.model.results import Basis
from tenhour.plan.dates import day_index
from tenhour.plan.lamp_clock import billed_until, season_days
from tenhour.plan.lamp_job import BedUnderLamps, Job, Sizing
from tenhour.plan.lamp_ladder import harvest_in
from tenhour.plan.lamp_parts import clock_of, days_of
from tenhour.plan.lighting import job_of
from tenhour.words.text import Text
from tenhour.year.answers.lampgrowth import Ground, Harvests
from tenhour.year.inside.lit import clocked_lamps

Array = NDArray[np.float64]

DARK_D: Final = 182
"""Days counted where the dark never ends: half a year. Judgement."""
TRAY_M2: Final = 0.18
"""One tray of 30 by 60 cm. Practice."""
HUNDRED: Final = 100.0


@dataclass(frozen=True)
class Case:
    """One question about lamps over a bed, with everything that it takes to answer it."""

    bed: BedUnderLamps
    crops: tuple[Crop, ...]
    needs: tuple[LampNeed, ...]
    lamp: Lamp
    request: LampRequest
    today: date
    ground: Ground
    basis: Basis
    cautions: tuple[Mapping[str, str], ...] = ()
    harvest_by: date | None = None
    plants_counts: tuple[int, ...] = ()
    """How many plants of each crop are wanted on a shelf; none where the shelf is filled."""
    ready_by: date | None = None
    """When those are to be set out."""
    heat_price_currency_kwh: float | None = None
    """What a kilowatt-hour of the house's heat costs; None where nobody said."""
    spared: Callable[[Sequence[Sizing]], list[float]] | None = None
    """Heating that lamps as sized and billed take the place of [kWh]; None where there is no house."""
    notes: tuple[Text, ...] = ()
    """What must be said beside the plan."""

    @cached_property
    def full_dli(self) -> float:
        """Light that the crops want, of the one that wants most."""
        return max(need.target_dli_mol_m2_d for need in self.needs)

    @property
    def kind(self) -> str:
        """What is counted: "kg", "plants" or "trays"."""
        ways = {crop.way for crop in self.crops}
        if ways == {"transplant"}:
            return "plants"
        return "trays" if ways <= {"seed-fed", "bulb"} else "kg"

    @cached_property
    def typical(self) -> Array:
        """Mean day by day of the year (365,)."""
        return self.job(self.full_dli).typical

    @property
    def dark(self) -> bool:
        """Whether no daylight ever comes there."""
        return not self.typical.any()

    def job(self, dli_mol_m2_d: float, sized_on: SizedOn = "mean", reason: str = "") -> Job:
        """The question for one light.

        Parameters: dli_mol_m2_d, light wanted [mol m⁻² d⁻¹]; sized_on, the day it is for; reason, why that light.
        """
        aim = replace(self.request, target_dli_mol_m2_d=dli_mol_m2_d, sized_on=sized_on, target_reason=reason)
        return job_of(self.bed, self.needs, self.lamp, aim, self.today)

    @cached_property
    def counted(self) -> tuple[date, date]:
        """First and last day over which harvest and electricity are counted: from today to the end of the dark."""
        light = max(self.full_dli, *(float(step) for step in (self.request.target_dli_mol_m2_d or 0.0,)))
        season = lamp_season(self.typical, light)
        _, on, off = season_days(season, self.today, self.request.first, self.request.last)
        first = max(self.today, on or self.today)
        return first, (off or first + timedelta(days=DARK_D)) - timedelta(days=1)

    @property
    def count_d(self) -> int:
        """How many days are counted."""
        return max((self.counted[1] - self.counted[0]).days + 1, 1)

    @property
    def sown(self) -> int:
        """Day of the generic year on which the first sowing is taken to be made."""
        return day_index(self.counted[0])

    def gathered(self, found: Sequence[Harvests], light: int) -> float:
        """Harvest of the bed under one light, mean of the crops: kilograms, or raisings of the whole bed."""
        area = 1.0 if self.kind == "plants" else self.bed.place.area_m2 * self.bed.tiers_count
        each = [harvest_in(one.paced_d[light], one.each[light], self.sown, self.count_d) for one in found]
        return float(np.mean(each)) * area

    def days(self, found: Sequence[Harvests], light: int) -> float:
        """Days to harvest of the crop that wants most light; NaN where never."""
        first = max(range(len(self.needs)), key=lambda n: self.needs[n].target_dli_mol_m2_d)
        return float(found[first].days_d[light, self.sown])


@dataclass(frozen=True)
class Plan:
    """One rung sized: its question, its fixtures, its lamps by day."""

    name: RungName
    job: Job
    sizing: Sizing
    lamps: BedLamps
    also: tuple[RungName, ...] = ()
    """Rungs so near that they are one with it."""
    heating_spared_kwh: float | None = None
    """Heat that the house then need not be given on the days counted; None where that is not known."""


def lamps_by_day(job: Job, sizing: Sizing) -> BedLamps:
    """The lamps of one plan by day of the year."""
    clock = clock_of(sizing, job.bed.sun, False, job.panels_share)
    return clocked_lamps(job.bed.name, clock, sizing.clock.on_from, sizing.clock.off_from, sizing.hanging.shade_share)


def plan_billed(case: Case, plan: Plan, days_d: float) -> Plan:
    """The plan with the electricity of one raising, tray or crop alone, where that is what is asked about.

    Parameters: days_d, from sowing to harvest under it [d].
    """
    first, last = case.counted
    if case.kind != "kg" or case.dark:
        last = first + timedelta(days=max(int(np.ceil(days_d)), 1) - 1) if np.isfinite(days_d) else last
    return replace(plan, sizing=sizing_until(case, plan.sizing, last, plan.job))


def sizing_until(case: Case, sizing: Sizing, last: date, job: Job) -> Sizing:
    """The sizing with the electricity up to a last day alone."""
    tariff = case.request.tariff
    clock = billed_until(sizing.clock, job.bed.sun, sizing.drawn_w, tariff.prices if tariff else None, last)
    return replace(sizing, clock=clock)


def with_heating(case: Case, plans: Sequence[Plan]) -> list[Plan]:
    """The plans, billed, with the heating they take the place of."""
    if case.spared is None:
        return list(plans)
    spared = case.spared([plan.sizing for plan in plans])
    return [replace(plan, heating_spared_kwh=kwh) for plan, kwh in zip(plans, spared, strict=True)]


def rung_under(case: Case, plan: Plan, found: Sequence[Harvests], light: int) -> LampRung:
    """What one plan brings; found, harvests of which those under its light have the number ``light``."""
    days = case.days(found, light)
    extra = extra_kg(case, found, light, days) if case.kind == "kg" else None
    return rung_of(case, plan, days, case.days(found, 0), extra)


def rung_of(case: Case, plan: Plan, days_d: float, before_d: float, more_kg: float | None) -> LampRung:
    """What one plan brings.

    Parameters: days_d, to harvest under it, and before_d, without lamps; more_kg, harvest over that of the unlit bed.
    Method: what one more costs is the current less the heating that the lamps replace, where heat has a price.
    """
    sizing, bill = plan.sizing, plan.sizing.clock.bill
    kinds = {day.kind: day.total_dli_mol_m2_d for day in days_of(plan.job, sizing)}
    paid = bill.cost_currency if case.request.tariff else None
    spared, saved = plan.heating_spared_kwh, None
    replaced = None if spared is None or bill.energy_kwh <= 0 else min(spared / bill.energy_kwh, 1.0)
    if paid is not None and spared is not None and case.heat_price_currency_kwh is not None:
        saved = spared * case.heat_price_currency_kwh
    cost = None if paid is None else paid - (saved or 0.0)
    per_kg = cost / more_kg if cost is not None and more_kg and more_kg > 0 else None
    plants = trays = None
    area = case.bed.place.area_m2 * case.bed.tiers_count
    if cost is not None and case.kind == "plants":
        density = np.mean([c.raising.tray_density_per_m2.value for c in case.crops if c.raising is not None])
        plants = cost / (sum(case.plants_counts) or area * float(density)) * HUNDRED
    if cost is not None and case.kind == "trays":
        trays = cost / area * min(TRAY_M2, area)
    each = {"kg": per_kg, "plants": None if plants is None else plants / HUNDRED, "trays": trays}[case.kind]
    worth = case.request.worth_currency
    return LampRung(
        name=plan.name,
        also=plan.also,
        power_w=sizing.power_w,
        fixtures_count=sizing.fixtures_count,
        dli_mol_m2_d=kinds["mean"],
        dull_dli_mol_m2_d=kinds["dull"],
        bright_dli_mol_m2_d=kinds["bright"],
        days_to_harvest=round(days_d) if np.isfinite(days_d) else None,
        energy_season_kwh=bill.energy_kwh,
        cost_season_currency=paid,
        extra_kg=more_kg,
        cost_per_kg_currency=per_kg,
        energy_per_kg_kwh=bill.energy_kwh / more_kg if more_kg and more_kg > 0 else None,
        cost_per_hundred_plants_currency=plants,
        cost_per_tray_currency=trays,
        days_saved=round(before_d - days_d) if np.isfinite(before_d) and np.isfinite(days_d) else None,
        heat_kwh=float(heat_w(bill.energy_kwh, case.bed.closed)),
        heat_replaced_frac=replaced,
        heating_saved_currency=saved,
        min_mean_frac=sizing.hanging.light.min_mean_frac,
        pays=None if worth is None or each is None else each <= worth,
    )


def extra_kg(case: Case, found: Sequence[Harvests], light: int, days_d: float) -> float | None:
    """What the lamps add over the unlit bed in the days counted [kg]; one crop of it where it is always dark."""
    if all(not crop.grows_by_carbon and not crop.grows_by_reserves for crop in case.crops):
        return None
    more = case.gathered(found, light) - case.gathered(found, 0)
    if case.dark and np.isfinite(days_d):
        more *= min(days_d / case.count_d, 1.0)
    return more
