"""Lamps over one bed from light to money: deficit, fixtures, clock, circuit, dull days and bright ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.circuit import circuit_load
from tenhour.lamps.cost import energy_kwh, heat_w, photons_mol_kwh, warming_k
from tenhour.lamps.sizing import dim_day_dli, hours_needed_h, sizing_daylight_dli
from tenhour.lamps.timer import SLOT_H, lamp_season, sensor_rule_umol_m2_s
from tenhour.model.lamp import Lamp, LampNeed, LampRequest
from tenhour.model.lamp_answer import ClockMonth, LampAnswer
from tenhour.model.results import Basis
from tenhour.plan import lamp_words
from tenhour.plan.lamp_clock import MONTHS, calendar
from tenhour.plan.lamp_hang import Gap, Hanging, hang, height_rows, ppf_needed, remedies
from tenhour.plan.lamp_job import BRIGHT, DULL, NO_LIGHT_MOL, BedUnderLamps, Job, Sizing
from tenhour.plan.lamp_needs import demand
from tenhour.plan.lamp_parts import (
    changes_of,
    circuit_of,
    clock_of,
    days_of,
    half_enough_of,
    layout_of,
    map_of,
    spill_of,
)
from tenhour.units import ppfd_from_dli

DIM_WORTH_FRAC: Final = 0.97


def basis_of(job: Job, basis: Basis, cautions: Sequence[Mapping[str, str]]) -> Basis:
    """What is stated beside the answer to a question, from what was stated so far.

    Parameters: basis; cautions, rows with text and when.
    """
    request, lamp = job.request, job.lamp
    return replace(
        basis,
        assumptions=(*basis.assumptions, *job.need.assumptions, *lamp.assumptions),
        warnings=(*job.need.warnings, *basis.warnings),
        cautions=(
            *basis.cautions,
            *lamp_words.cautions_for(cautions, lamp, request.circuit.others_w > 0 or job.bed.heated),
        ),
    )


def answer_of(job: Job, basis: Basis, found: Sizing | None) -> LampAnswer:
    """Everything about one plan; None as its sizing: daylight suffices."""
    return _without(job, basis) if found is None else _with(job, basis, found)


def job_of(bed: BedUnderLamps, needs: Sequence[LampNeed], lamp: Lamp, request: LampRequest, today: date) -> Job:
    """One question about lamps over one bed.

    Parameters: bed; needs of the crops under the lamp, at least one; lamp; request; today.
    Errors: FileProblem where the hours asked for would harm a crop.
    """
    return Job(bed, tuple(needs), lamp, request, today, demand(needs, request))


def size_bed(job: Job) -> Sizing | None:
    """Fixtures, hours and electricity that fill the gap of a bed; None where daylight suffices.

    Errors: NoAnswer where the lamp finds no room.
    """
    found = _gap(job)
    if found is None:
        return None
    month, gap = found
    hanging, _ = hang(job.bed.place, job.lamp, gap, job.request.headroom_m, job.request.panels_refl_frac)
    return _sized(job, month, gap, hanging)


def size_hung(job: Job, hanging: Hanging) -> Sizing | None:
    """Hours and electricity of fixtures that are given, up to the light wanted; None where daylight suffices.

    Parameters: job, whose hours are the most a day; hanging, the fixtures.
    """
    found = _gap(job)
    return None if found is None else _sized(job, *found, hanging)


def _gap(job: Job) -> tuple[int, Gap] | None:
    """The darkest month with lamps and what is missing there; None where daylight suffices."""
    months = job.lamp_months(0.0)
    if not months.any():
        return None
    month = int(np.argmax(np.where(months, job.missing(0.0), -1.0)))
    wanted, share = job.need.target_dli_mol_m2_d, float(job.panels_share[month])
    counted = float(job.counted(0.0)[month])
    return month, Gap(wanted, counted, job.need.hours_h, job.request.evenness_frac, share)


def _sized(job: Job, month: int, gap: Gap, hanging: Hanging) -> Sizing:
    request, lamp, bed, panels = job.request, job.lamp, job.bed, job.panels_share
    shade = hanging.shade_share
    missing = float(job.missing(shade)[month])
    delivered = hanging.light.mean_umol_m2_s * lamp.maintenance_frac
    hours = _hours(job, missing, delivered)
    needed = float(ppfd_from_dli(missing, hours))
    run = min(needed, delivered)
    flux = run * hanging.flux_ratio(panels)
    each = np.array([float(hours_needed_h(m, f, hours)) for m, f in zip(job.missing(shade), flux, strict=True)])
    by_month = np.where(job.lamp_months(shade), each, 0.0)
    power = hanging.layout.power_w * bed.tiers_count
    dim = run / delivered if lamp.dimmable and run < delivered * DIM_WORTH_FRAC else 1.0
    season = lamp_season(job.typical, job.need.target_dli_mol_m2_d)
    clock = calendar(
        season, bed.sun, by_month, job.need.limit_h, power * dim, job.today, request.first, request.last,
        request.tariff.prices if request.tariff else None, request.windows_count,
    )  # fmt: skip
    count = hanging.layout.fixtures_count * bed.tiers_count
    load = circuit_load(
        power, request.circuit.others_w, request.circuit.mains_v, request.circuit.breaker_a, hours, count,
        lamp.power_factor,
    )  # fmt: skip
    return Sizing(hanging, gap, month, missing, needed, delivered, hours, power, dim, count, clock, load)


def _with(job: Job, basis: Basis, found: Sizing) -> LampAnswer:
    bright_enough = found.hanging.choice.bright_enough
    warnings = [
        *lamp_words.warnings_of(
            found.load, job.request, bright_enough, job.lamp, found.needed_umol_m2_s, found.delivered_umol_m2_s
        )
    ]
    answer = _answer(job, basis, found)
    urgent = (*warnings, *lamp_words.too_bright(job.needs, answer))
    spill = tuple(lamp_words.spill_warning(spill_of(job, found)))
    shown = urgent[1:] if found.load.overloaded else urgent
    return replace(answer, basis=replace(basis, warnings=(*urgent, *spill, *basis.warnings)), urgent=shown)


def _hours(job: Job, missing: float, delivered: float) -> float:
    """Lamp hours in the darkest month: as asked or long and dim, else as short as whole fixtures allow, in quarters.

    Long dim days before short bright ones at the same light: Elkins & van Iersel 2020 (Agronomy 10:1659, abstract).
    """
    if job.request.hours_h is not None or delivered <= 0 or job.lamp.dimmable:
        return job.need.hours_h
    full = float(hours_needed_h(missing, delivered, job.need.hours_h))
    return min(float(np.ceil(full / SLOT_H - NO_LIGHT_MOL) * SLOT_H), job.need.hours_h)


def _answer(job: Job, basis: Basis, found: Sizing) -> LampAnswer:
    request, lamp, bed, hanging = job.request, job.lamp, job.bed, found.hanging
    efficacy = hanging.layout.lamp.beam.ppf_umol_s / hanging.layout.lamp.power_w
    per_kwh = float(photons_mol_kwh(efficacy, hanging.light.cu_frac, lamp.maintenance_frac))
    heat = float(heat_w(found.drawn_w, bed.closed))
    target = job.need.target_dli_mol_m2_d
    lit = float(found.clock.lit_h[found.month])
    sensor = sensor_rule_umol_m2_s(target, lit) if lit > 0 and not bed.closed else (None, None)
    bright = float(job.by_month(bed.class_dli_mol_m2_d[:, BRIGHT])[found.month])
    answer = LampAnswer(
        basis=basis,
        bed=bed.name,
        area_m2=bed.place.area_m2 * bed.tiers_count,
        tiers_count=bed.tiers_count,
        crops=tuple(need.name for need in job.needs),
        headline="",
        target_dli_mol_m2_d=target,
        daylight_dli_mol_m2_d=float(job.counted(hanging.shade_share)[found.month]),
        missing_dli_mol_m2_d=found.missing_dli_mol_m2_d,
        size_month=found.month + 1,
        ppfd_umol_m2_s=found.needed_umol_m2_s,
        hours_h=found.hours_h,
        ppf_umol_s=ppf_needed(hanging, lamp, bed.place, found.needed_umol_m2_s) * bed.tiers_count,
        fixtures_count=found.fixtures_count,
        power_w=found.power_w,
        clock=clock_of(found, bed.sun, request.tariff is not None, job.panels_share),
        on_from=found.clock.on_from,
        off_from=found.clock.off_from,
        energy_day_kwh=float(energy_kwh(found.drawn_w, found.hours_h)),
        energy_season_kwh=found.clock.bill.energy_kwh,
        cost_season_currency=found.clock.bill.cost_currency if request.tariff else None,
        currency=request.tariff.currency or None if request.tariff else None,
        circuit=circuit_of(found.load, request, lamp.power_factor),
        layout=layout_of(lamp, bed.place, hanging, request.evenness_frac),
        heights=height_rows(bed.place, hanging, lamp, request.headroom_m),
        days=days_of(job, found),
        half_enough_from=half_enough_of(job, found),
        remedies=remedies(
            bed.place, hanging, lamp, found.gap, request.headroom_m, request.panels_refl_frac is not None
        ),
        conflicts=job.need.conflicts,
        changes=changes_of(found.clock, bed.sun.zone),
        photons_mol_kwh=per_kwh,
        heat_w=heat,
        warming_k=None if bed.loss_w_k is None else float(warming_k(heat, bed.loss_w_k)),
        sensor_on_umol_m2_s=sensor[0],
        sensor_off_umol_m2_s=sensor[1],
        bright_day_rest_dli_mol_m2_d=dim_day_dli(target, bright, 1) if bright > target else None,
        dim_frac=found.output_frac if found.output_frac < 1.0 else None,
        map=map_of(job, found),
        dark=not job.typical.any(),
        us_units=bed.us_units,
        sized_on=request.sized_on,
        longest_h=job.need.limit_h,
    )
    return replace(answer, headline=lamp_words.headline(answer))


def _without(job: Job, basis: Basis) -> LampAnswer:
    """Daylight suffices in the time asked about."""
    asked = job.by_month(job.bed.class_dli_mol_m2_d[:, DULL])
    counted = sizing_daylight_dli(asked)
    month = int(np.argmin(np.where(_ahead(job), counted, np.inf)))
    load = circuit_load(
        0.0, job.request.circuit.others_w, job.request.circuit.mains_v, job.request.circuit.breaker_a, 0.0, 0
    )
    sun = job.bed.sun
    clock = tuple(
        ClockMonth(m + 1, photoperiod_h=float(sun.photoperiod_h[m]), lit_h=float(sun.daylength_h[m]))
        for m in range(MONTHS)
    )
    answer = LampAnswer(
        basis=basis,
        bed=job.bed.name,
        area_m2=job.bed.place.area_m2 * job.bed.tiers_count,
        tiers_count=job.bed.tiers_count,
        crops=tuple(need.name for need in job.needs),
        headline="",
        target_dli_mol_m2_d=job.need.target_dli_mol_m2_d,
        daylight_dli_mol_m2_d=float(counted[month]),
        missing_dli_mol_m2_d=0.0,
        size_month=month + 1,
        ppfd_umol_m2_s=0.0,
        hours_h=0.0,
        ppf_umol_s=0.0,
        fixtures_count=0,
        power_w=0.0,
        clock=clock,
        on_from=None,
        off_from=None,
        energy_day_kwh=0.0,
        energy_season_kwh=0.0,
        cost_season_currency=0.0 if job.request.tariff else None,
        currency=job.request.tariff.currency or None if job.request.tariff else None,
        circuit=circuit_of(load, job.request),
        conflicts=job.need.conflicts,
        us_units=job.bed.us_units,
        sized_on=job.request.sized_on,
    )
    return replace(answer, headline=lamp_words.headline(answer))


def _ahead(job: Job) -> NDArray[np.bool_]:
    """Months of the half year from the day asked about; all of them where none was (12,)."""
    first = job.request.first
    return np.array([first is None or (m + 1 - first.month) % MONTHS < MONTHS // 2 for m in range(MONTHS)])
