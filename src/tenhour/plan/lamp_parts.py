"""Parts of the lamp answer, each unpacked into plain data."""

from __future__ import annotations

from datetime import date

import numpy as np
from numpy.typing import NDArray

from tenhour.lamps.circuit import CircuitLoad, current_a
from tenhour.lamps.fixtures import irradiance_on
from tenhour.lamps.sizing import delivered_dli
from tenhour.lamps.timer import clock_changes, clock_text, lamp_season
from tenhour.model.lamp import Lamp, LampRequest
from tenhour.model.lamp_answer import ClockChange, ClockMonth, DayKind, LampCircuit, LampLayout, LampMap, LitDay
from tenhour.plan.dates import MONTH_OF_DAY
from tenhour.plan.lamp_clock import LampCalendar, SunClock, days_by_month, season_days
from tenhour.plan.lamp_hang import Hanging, Place
from tenhour.plan.lamp_job import BRIGHT, DULL, HALF, Job, Sizing
from tenhour.units import dli_from_ppfd

Array = NDArray[np.float64]


def clock_of(found: Sizing, sun: SunClock, priced: bool, panels_share: Array) -> tuple[ClockMonth, ...]:
    """Lamp times by month; energy, cost and days from today on.

    panels_share: share of the lamp hours in which side panels hang, by month (12,).
    """
    clock, flux = found.clock, found.run_umol_m2_s * found.hanging.flux_ratio(panels_share)
    count = days_by_month(clock.billed)
    rows = []
    for m, plan in enumerate(clock.plans):
        windows = tuple((clock_text(w.on_h), clock_text(w.off_h)) for w in plan.windows) if plan is not None else ()
        cost = float(clock.bill.month_cost_currency[m])
        rows.append(
            ClockMonth(
                month=m + 1,
                windows=windows,
                lamp_h=plan.lamp_h if plan is not None else 0.0,
                photoperiod_h=plan.photoperiod_h if plan is not None else float(sun.photoperiod_h[m]),
                lit_h=float(clock.lit_h[m]),
                energy_kwh=float(clock.bill.month_energy_kwh[m]),
                cost_currency=cost if priced else None,
                days_count=int(count[m]),
                ppfd_umol_m2_s=float(flux[m]) if plan is not None else 0.0,
            )
        )
    return tuple(rows)


def circuit_of(load: CircuitLoad, request: LampRequest, power_factor: float = 1.0) -> LampCircuit:
    """The load as the answer states it; power_factor of the lamps [-]."""
    circuit = request.circuit
    return LampCircuit(
        mains_v=circuit.mains_v,
        breaker_a=circuit.breaker_a,
        lamps_a=load.lamps_a,
        others_a=current_a(circuit.others_w, circuit.mains_v),
        total_a=load.total_a,
        allowed_a=load.allowed_a,
        overloaded=load.overloaded,
        smallest_breaker_a=load.smallest_breaker_a,
        circuits_count=load.circuits_count,
        power_factor_ratio=power_factor,
    )


def layout_of(lamp: Lamp, place: Place, hanging: Hanging, evenness_frac: float) -> LampLayout:
    """How the fixtures hang, in the bed's own axes.

    Parameters: evenness_frac, darkest over mean that was wanted.
    """
    layout = hanging.layout
    a, beam = layout.arrangement, layout.lamp.beam
    centre = hanging.fixtures.centre_m
    return LampLayout(
        lamp=lamp.title,
        size_m=(beam.length_m, beam.width_m),
        fixture_w=layout.lamp.power_w,
        fixture_ppf_umol_s=beam.ppf_umol_s,
        each_count=layout.fixtures_count,
        columns_count=a.columns_count,
        rows_count=a.rows_count,
        along="the length" if a.along_x else "the width",
        x_m=tuple(float(v) for v in centre[:, 0] - place.corner_m[0]),
        y_m=tuple(float(v) for v in centre[:, 1] - place.corner_m[1]),
        height_m=layout.height_m,
        cu_frac=hanging.light.cu_frac,
        maintenance_frac=lamp.maintenance_frac,
        delivered_ppfd_umol_m2_s=hanging.light.mean_umol_m2_s * lamp.maintenance_frac,
        min_mean_frac=hanging.light.min_mean_frac,
        variation_ratio=hanging.light.variation_ratio,
        bounced_share=hanging.bounced_share,
        shade_frac=hanging.shade_share,
        even_enough=hanging.choice.even_enough,
        evenness_wanted_frac=evenness_frac,
        corner_mean_frac=hanging.corner_mean_frac,
    )


def days_of(job: Job, found: Sizing) -> tuple[LitDay, ...]:
    """Dull, mean and bright day of the darkest month with the lamps as planned, and with half of them."""
    classes, shade = job.bed.class_dli_mol_m2_d, found.hanging.shade_share
    run = found.run_umol_m2_s
    rows = []
    kinds: tuple[DayKind, ...] = ("dull", "mean", "bright")
    for kind, light in zip(kinds, (classes[:, DULL], job.typical, classes[:, BRIGHT]), strict=True):
        daylight = float(job.by_month(light)[found.month])
        total = float(delivered_dli(daylight, run, found.hours_h, shade))
        half = float(delivered_dli(daylight, run * HALF, found.hours_h, shade * HALF))
        lamp = float(dli_from_ppfd(run, found.hours_h))
        rows.append(LitDay(kind, daylight * (1 - shade), lamp, total, half))
    return tuple(rows)


def half_enough_of(job: Job, found: Sizing) -> date | None:
    """When half the lamps, burning as planned in the darkest month, would be enough on a mean day."""
    run = found.run_umol_m2_s * HALF
    light = delivered_dli(job.typical, run, found.hours_h, found.hanging.shade_share * HALF)
    season = lamp_season(light, job.need.target_dli_mol_m2_d)
    return season_days(season, job.today, job.request.first, job.request.last)[2]


def changes_of(clock: LampCalendar, zone: str) -> tuple[ClockChange, ...]:
    """Days in the lamp season on which the clock changes."""
    if not clock.days:
        return ()
    return tuple(ClockChange(on, shift) for on, shift in clock_changes(clock.days[0], clock.days[-1], zone))


def map_of(job: Job, found: Sizing) -> LampMap:
    """Mean day of the darkest month plus lamps, over the bed's own grid."""
    bed, hanging = job.bed, found.hanging
    x, y = np.unique(np.round(bed.point_x_m, 9)), np.unique(np.round(bed.point_y_m, 9))
    order = np.lexsort((np.round(bed.point_x_m, 9), np.round(bed.point_y_m, 9)))
    days = found.month + 1 == MONTH_OF_DAY
    sun = bed.point_dli_mol_m2_d[days].mean(axis=0)[order].reshape(y.size, x.size) * (1 - hanging.shade_share)
    grid = np.meshgrid(x, y)
    points = np.column_stack([grid[0].ravel(), grid[1].ravel(), np.full(grid[0].size, bed.place.canopy_m)])
    up = np.tile([0.0, 0.0, 1.0], (len(points), 1))
    direct = irradiance_on(points, up, hanging.fixtures, hanging.layout.height_m).reshape(y.size, x.size)
    bounced = hanging.light.mean_umol_m2_s * hanging.bounced_share
    run = found.run_umol_m2_s / found.delivered_umol_m2_s if found.delivered_umol_m2_s > 0 else 0.0
    lamp = (direct + bounced) * job.lamp.maintenance_frac * run
    total = sun + dli_from_ppfd(lamp, found.hours_h)
    corner = bed.place.corner_m
    return LampMap(
        tuple(float(v) for v in x - corner[0]),
        tuple(float(v) for v in y - corner[1]),
        tuple(tuple(float(v) for v in row) for row in total),
        tuple(tuple(float(v) for v in row) for row in lamp),
    )


def spill_of(job: Job, found: Sizing) -> list[tuple[str, float]]:
    """Mean lamp light on the other beds of the house [µmol m⁻² s⁻¹], straight from the fixtures, brightest first."""
    run = found.run_umol_m2_s / found.delivered_umol_m2_s if found.delivered_umol_m2_s > 0 else 0.0
    fixtures = found.hanging.fixtures
    spill = []
    for name, points in job.bed.neighbours:
        up = np.tile([0.0, 0.0, 1.0], (len(points), 1))
        light = float(irradiance_on(points, up, fixtures).mean()) * job.lamp.maintenance_frac * run
        spill.append((name, light))
    return sorted(spill, key=lambda pair: -pair[1])
