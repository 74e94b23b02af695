"""The answer on warmth: winter, months, tonight, heater, power cut, measures and places, from the hourly balance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import balance, fire, moist
from tenhour.heat import build as parts
from tenhour.house.bedlight import BedLight
from tenhour.lamps.circuit import circuit_load
from tenhour.model.heat_answer import (
    CropHours,
    HeatAnswer,
    HeaterCircuit,
    HeaterSize,
    HeatMat,
    HeatMonth,
    HeatWinter,
)
from tenhour.model.house import MAT_CAUTION, House, has_mat
from tenhour.model.lamp import usual_breaker_a
from tenhour.model.results import Basis
from tenhour.plan.dates import DAYS, MONTH_OF_DAY, day_index
from tenhour.sky.hours import WINTERS
from tenhour.words import heat as words
from tenhour.year.answers.coldnight import (
    MODEL_ERROR_FRAC,
    SKY_BELOW_K,
    WIND_M_S,
    Sky,
    Wind,
    alarm_of,
    cost_currency,
    failure_of,
    hold_degc,
    hours_of_night,
    mat_prices,
    power_cut_of,
    tonight_of,
)
from tenhour.year.answers.spots import spots_of
from tenhour.year.crops.nights import Nights
from tenhour.year.inside.beds import beds_of, traced
from tenhour.year.inside.panes import PaneStates
from tenhour.year.outside.hours import place_extremes, year_hours
from tenhour.year.outside.sunlight import Sources
from tenhour.year.warm.helps import Helps, Prices, helps_of, shady_change
from tenhour.year.warm.warmth import DAY_H, Winters
from tenhour.year.world import World

if TYPE_CHECKING:
    from tenhour.model.crop import Crop

Array = NDArray[np.float64]

TENTH_SD: Final = 1.28
MARGIN: Final = 1.2
CUT_H: Final = 12
WET_FRAC: Final = 0.93
WET_H: Final = 8
"""Grey mould: wet or above 93 % for 8-12 h. Read (trade press)."""
VAPOUR_MJ_KG: Final = 2.45
FEW: Final = 4
"""Winters that changes are compared over: the same for all, so their differences are steady. Judgement."""
MAT_WARMS_H: Final = 72
"""From plugging in a mat until a bed is warm through its upper layer. Derived: 20 cm of soil, 100 W per m²."""
SHORT_FRAC: Final = 0.02
SHORT_K: Final = 0.5
"""A mat holds if it falls no further short of its set point in all but so many of its hours. Judgement."""
MAINS_V: Final = 230.0
US_MAINS_V: Final = 120.0
"""Of household sockets. Practice."""
HALF_HOUR: Final = 0.5
"""Months with less have no hours, as they are told. Derived."""
WET_WOOD_FRAC: Final = 0.3
"""Of wood that has dried one summer. Practice."""


def heat_of(
    world: World,
    sources: Sources,
    crops: Sequence[Crop],
    *,
    today: date,
    tonight_degc: float | None = None,
    sky: Sky = "clear",
    wind: Wind = "calm",
    cut_h: int = CUT_H,
    with_pairs: bool = False,
) -> HeatAnswer:
    """Whether a house is warm enough and what it costs.

    Parameters: world; sources, with the weather; crops, whose limits a night is held against; today; tonight_degc,
    lowest outdoors by the forecast, with its sky and wind; cut_h, how long heat fails; with_pairs, whether pairs of
    changes and an insulated shady side are run too.
    """
    house = world.house
    found = world.warmth.found, world.warmth.states
    lamps_w = world.warmth.lamps_w
    winters = Winters(house, world.light, *found, year_hours(house, sources, world.light, count=WINTERS), lamps_w)
    night = {} if tonight_degc is None else {"tonight_degc": tonight_degc, "sky": sky, "wind": wind}
    basis, here = _basis(world, {"house": house.path or "built-in demo house", **night})
    coldest = float(place_extremes(sources, world.light).lowest_mean_degc)
    nights = Nights(tuple(crops), world.air)
    helps = _helps(world, sources, found, lamps_w, with_pairs)
    tonight = None
    hours = hours_of_night(winters, int(np.argmin(world.outdoors.temp_degc)), coldest, "clear", "breeze")
    if tonight_degc is not None:
        tonight = tonight_of(winters, nights, day_index(today), tonight_degc, sky, wind)
        hours = hours_of_night(winters, day_index(today), tonight_degc, sky, wind)
    failure = failure_of(winters, coldest, cut_h)
    return HeatAnswer(
        basis=basis,
        winter=_winter(winters),
        months=tuple(_month(winters, month) for month in range(1, 13)),
        heater=_heater(winters, world, sources),
        measures=helps.measures,
        pairs=helps.pairs,
        lamps=helps.lamps,
        spots=spots_of(winters, coldest),
        power_cut=None if failure is None else power_cut_of(failure, nights),
        crop_hours=_crop_hours(winters, nights),
        tonight=tonight,
        alarm=alarm_of(house, hours, failure),
        mats=tuple(_mat(winters, bed) for bed, mat in enumerate(winters.heat.mat_of_bed) if mat is not None),
        cold_night=hours,
        **_winter_wood(winters),
        held=house.air.held and (house.air.day_degc is not None or house.air.night_degc is not None),
        us_units=house.us_units,
        cautions_here=here,
    )


def _helps(
    world: World, sources: Sources, found: tuple[BedLight, PaneStates], lamps_w: Array | None, with_pairs: bool
) -> Helps:
    """What changes do, over a few winters that are the same for all."""
    house, light = world.house, world.light
    hours = year_hours(house, sources, light, count=FEW)
    winters = Winters(house, light, *found, hours, lamps_w)

    def trace(trial: House) -> tuple[Winters, float]:
        new = traced(trial, light)
        after = sum(bed.dli_mol_m2_d for bed in beds_of(trial, light, *new))
        return Winters(trial, light, *new, hours, lamps_w), _light_lost_frac(world, np.asarray(after))

    shady = shady_change(winters, trace) if with_pairs else None
    mats = mat_prices(house)
    of_mats = [mats[bed.name] for bed, mat in zip(house.beds, winters.heat.mat_of_bed, strict=True) if mat is not None]
    prices = Prices(cost_currency(house, 1.0, 0.0), tuple(of_mats))
    return helps_of(winters, prices, lamps_w, shady, with_pairs=with_pairs)


def _light_lost_frac(world: World, after: Array) -> float:
    """Share of the beds' light in the six darkest months that is gone in a changed house."""
    before = sum(bed.daylight.dli_mol_m2_d for bed in world.beds)
    far = np.abs((np.arange(DAYS) - world.darkest_day + DAYS // 2) % DAYS - DAYS // 2)
    dark = far <= DAYS // 4
    return float(np.clip(1.0 - after[dark].sum() / np.asarray(before)[dark].sum(), 0.0, 1.0))


FLUE_WIDTHS: Final = 3.0
"""Distance of what burns from a bare flue pipe, in its widths: Approved Document J (England, 2010), as stove makers'
instructions quote it. Second-hand."""


def _basis(world: World, inputs: dict[str, object]) -> tuple[Basis, int]:
    """With every caution on heat; those for what this house has stand first, and how many they are."""
    basis, kinds = world.basis(inputs), {heater.kind for heater in world.house.heaters}
    said = [words.CARBON_MONOXIDE(), words.STOVE(), words.ELECTRIC(), MAT_CAUTION, words.WATER()]
    electric = bool(kinds & {"electric", "heat-pump"})
    here = [True, "stove" in kinds, electric, has_mat(world.house), bool(world.house.stores)]
    flues = [heater.flue_mm for heater in world.house.heaters if heater.kind == "stove" and heater.flue_mm is not None]
    if flues:
        said.insert(2, words.FLUE(away=FLUE_WIDTHS * max(flues) / 1000.0))
        here.insert(2, True)
    ordered = sorted(zip(here, said, strict=True), key=lambda pair: not pair[0])
    return replace(basis, cautions=tuple(text for _, text in ordered)), sum(here)


def _energy_kwh(winters: Winters) -> Array:
    """Of each winter [W]."""
    return np.asarray(winters.run.heat_w.sum(axis=0) / 1000.0)


def _winter(winters: Winters) -> HeatWinter:
    energy, low = _energy_kwh(winters), winters.lowest_degc(winters.run.air_degc).min(axis=1)
    mean = float(energy.mean())
    spread = float(np.hypot(energy.std() / mean * TENTH_SD, MODEL_ERROR_FRAC)) if mean > 0.0 else 0.0
    below = (winters.run.air_degc < 0.0).sum(axis=0)
    return HeatWinter(
        mean, mean * max(1.0 - spread, 0.0), mean * (1.0 + spread), float(winters.run.heat_w.max(axis=0).mean()),
        float(np.median(low)), float(np.quantile(low, 0.1)), float(below.mean()),
        _brought_up(winters),
    )  # fmt: skip


def _brought_up(winters: Winters) -> bool:
    """Whether the largest hour of most winters is one in which the set point goes up."""
    wanted = np.broadcast_to(winters.drive.set_degc, len(winters.run.heat_w))
    largest = winters.run.heat_w.argmax(axis=0)
    return bool((wanted[largest] > wanted[largest - 1]).mean() > 0.5)


def _month(winters: Winters, month: int) -> HeatMonth:
    there = MONTH_OF_DAY[winters.hour_doy] == month
    run, lit = winters.run, winters.lit.ravel()
    by_day = there & lit if (there & lit).any() else there
    days = np.flatnonzero(month == MONTH_OF_DAY)
    low = np.median(winters.lowest_degc(run.air_degc)[:, days].min(axis=1))
    covered = [
        float(np.median(winters.bed_lowest_degc(bed)[:, days].min(axis=1)))
        for bed in range(len(winters.house.beds))
        if winters.heat.bed_layers[winters.heat.zone_of_bed[bed]]
    ]
    beds = sorted(set(winters.heat.zone_of_bed))
    vapour_w = winters.latent_w(beds)[there].mean()
    litres_d = float(vapour_w) * 86400.0 / (VAPOUR_MJ_KG * 1e6)
    out_degc = float(winters.series.temp_out_degc[there].mean())
    melting = float(moist.melting_kwh_kg(out_degc)) * litres_d * len(days)
    return HeatMonth(
        month,
        float(run.air_degc[by_day].mean()),
        float(run.air_degc[there & ~lit].mean()) if (there & ~lit).any() else float(run.air_degc[there].mean()),
        float(low),
        max(covered) if covered else None,
        float(run.soil_degc[there][..., beds].mean()),
        float(run.heat_w[there].sum(axis=0).mean() / 1000.0),
        float((run.air_degc[there] < 0.0).sum(axis=0).mean()),
        litres_d,
        _wet_nights(winters, there),
        melting if out_degc < 0.0 else None,
    )  # fmt: skip


def _mat(winters: Winters, bed: int) -> HeatMat:
    """The mat under a bed, over the hours of the months in which it is on."""
    house, run = winters.house, winters.run
    name, number = house.beds[bed].name, winters.heat.mat_of_bed[bed]
    (mat,) = (one for one in house.mats if one.bed == name)
    on = np.isin(MONTH_OF_DAY[winters.hour_doy], mat.months)
    power_w = run.mat_w[..., number]
    warm = on & np.roll(on, MAT_WARMS_H)
    root, felt = winters.soil_degc(bed), run.soil_degc[warm][..., winters.heat.zone_of_bed[bed]]
    energy = float(power_w.sum(axis=0).mean() / 1000.0)
    price = mat_prices(house)[name]
    return HeatMat(
        name, mat.set_degc, float(root[on].mean()), float(np.median(root[warm].min(axis=0))), energy,
        float(power_w.max(axis=0).mean()), bool(np.quantile(felt, SHORT_FRAC) > mat.set_degc - SHORT_K),
        None if price is None else energy * price,
    )  # fmt: skip


def _wet_nights(winters: Winters, there: NDArray[np.bool_]) -> int:
    """Nights of a month with eight dark hours of air near saturation beside the leaves, mean of winters.

    Method: vapour from damp ground, through draughts and onto the covers in balance each hour (Lewis relation).
    """
    run, build, s = winters.run, winters.heat.build, winters.series
    bed = winters.heat.zone_of_bed[0]
    areas = build.skin.area_m2
    cover = (run.cover_degc[there] @ areas) / areas.sum()
    ground_m2 = sum(zone.area_m2 for zone in build.zones[: max(winters.heat.zone_of_bed) + 1])
    give = parts.FLOOR_FILM_W_M2_K * ground_m2 / 2.0
    take = parts.COVER_FILM_W_M2_K * float(areas.sum())
    leave = build.change_w_k * (build.leak_per_h + build.leak_per_wind_ratio * winters.drive.wind_m_s[there])
    from_ground = give * moist.saturation_pa(run.zone_degc[there][..., bed])
    from_out = leave * moist.saturation_pa(np.minimum(s.dew_point_degc[there], s.temp_out_degc[there]))
    dew = moist.saturation_pa(cover)
    dry = (from_ground + from_out) / (give + leave)
    vapour = np.where(dry > dew, (from_ground + from_out + take * dew) / (give + leave + take), dry)
    wet = vapour >= WET_FRAC * moist.saturation_pa(run.leaf_degc[there][..., bed])
    dark = ~winters.lit.ravel()[there]
    nights = (wet & dark[:, None]).reshape(-1, 24, wet.shape[1]).sum(axis=1) >= WET_H
    return round(float(nights.sum(axis=0).mean()))


def _steady(
    winters: Winters, out_degc: float, hold_degc: float, hours: int, step_s: float, **more: object
) -> parts.Drive:
    """One cold clear calm night without sun that does not end."""
    count = int(hours * 3600.0 / step_s)
    flat = np.zeros((count, 1))
    deep = winters.drive.edge_degc
    coldest = int(np.argmin(winters.light.outdoors.temp_degc))
    at = int(np.flatnonzero(winters.hour_doy == coldest)[0])
    edges = tuple(
        np.repeat(edge[at : at + 1], count, axis=0) if edge.ndim == 2 else np.full((count, 1, edge.shape[-1]), out_degc)
        for edge in deep
    )
    zones, skin = len(winters.heat.build.zones), len(winters.heat.skin)
    extra = winters.drive.extra_m2_k_w
    inner = tuple(None if over is None else np.full(count, over.max()) for over in winters.drive.inner_m2_k_w)
    drive = parts.Drive(
        flat + out_degc, flat + out_degc - SKY_BELOW_K["clear"], flat + WIND_M_S["breeze"],
        np.zeros((count, 1, zones)), np.zeros((count, 1, skin)), edges,
        extra_m2_k_w=None if extra is None else np.repeat(extra.max(axis=0, keepdims=True), count, axis=0),
        inner_m2_k_w=inner, set_degc=hold_degc,
    )  # fmt: skip
    return replace(drive, **more)  # type: ignore[arg-type]


def _from(winters: Winters, air_degc: float, drive: parts.Drive) -> parts.State:
    begin = balance.start_state(winters.heat.build, drive)
    return begin._replace(node_degc=np.full_like(begin.node_degc, air_degc))


def _heater(winters: Winters, world: World, sources: Sources) -> HeaterSize:
    house, hold = winters.house, hold_degc(winters.house)
    cold = float(place_extremes(sources, world.light).once_in(10))
    unbound = replace(winters.heat.build, heater=parts.NO_LIMIT)
    drive = _steady(winters, cold, hold, 24, balance.HOUR_S)
    found = balance.run(unbound, drive, _from(winters, hold, drive))
    power = float(found.heat_w[-1, 0]) * MARGIN
    given = sum(heater.power_w for heater in house.heaters)
    enough = None if not house.heaters else given >= power / MARGIN
    return HeaterSize(cold, hold, power, enough, _circuit(winters, cold))


def _circuit(winters: Winters, out_degc: float) -> HeaterCircuit | None:
    """What all that hangs on the mains of the house draws at once; a heat pump by what it gives in that cold."""
    house = winters.house
    by_kind = {"electric": 1.0, "heat-pump": float(fire.pump_ratio(out_degc))}
    drawn = [heater.power_w / by_kind[heater.kind] for heater in house.heaters if heater.kind in by_kind]
    if not drawn:
        return None
    lamps = sum(hung.count * hung.lamp.sizes[0].power_w for hung in house.lamps)
    others = lamps + sum(mat.power_w for mat in winters.heat.build.mats)
    mains = US_MAINS_V if house.us_units else MAINS_V
    load = circuit_load(lamps, sum(drawn) + others - lamps, mains, usual_breaker_a(mains), DAY_H, len(house.lamps))
    return HeaterCircuit(sum(drawn), others, mains, usual_breaker_a(mains), load.total_a, load.allowed_a)


def _crop_hours(winters: Winters, nights: Nights) -> tuple[CropHours, ...]:
    """Hours of each month in which air is below what crops stand in the state the middle winter finds them in."""
    bed = next((bed for bed, z in enumerate(winters.heat.zone_of_bed) if winters.heat.bed_layers[z]), None)
    airs = [winters.run.air_degc, *([winters.air_degc(bed)] if bed is not None else [])]
    month = MONTH_OF_DAY[winters.hour_doy] - 1
    kinds: dict[tuple[float, ...], list[tuple[float, ...]]] = {}
    out = []
    for number, crop in enumerate(nights.crops):
        kind = tuple(np.nan_to_num(nights.frost_degc[number]).tolist())
        if kind not in kinds:
            limit = np.median(nights.limit_degc(number), axis=(0, 1))[winters.hour_doy][:, None]
            below = [(air < limit).mean(axis=1) for air in airs]
            kinds[kind] = [tuple(np.bincount(month, part, 12).tolist()) for part in below]
        open_h, *covered = kinds[kind]
        if max(open_h) >= HALF_HOUR:
            out.append(CropHours(crop.name, open_h, covered[0] if covered else None))
    return tuple(out)


def _winter_wood(winters: Winters) -> dict[str, float | None]:
    stove = next((heater for heater in winters.house.heaters if heater.kind == "stove"), None)
    if stove is None:
        return {"wood_kg": None, "wood_low_kg": None, "wood_high_kg": None}
    found = _winter(winters)
    per_kg = float(fire.wood_kwh_kg(efficiency_frac=stove.efficiency_frac))
    return {
        "wood_kg": found.energy_kwh / per_kg,
        "wood_low_kg": found.energy_low_kwh / per_kg,
        "wood_high_kg": found.energy_high_kwh / float(fire.wood_kwh_kg(WET_WOOD_FRAC, stove.efficiency_frac)),
    }
