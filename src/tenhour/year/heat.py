"""The answer on warmth: winter, months, tonight, heater, power cut and measures from the hourly balance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import balance, fire, moist
from tenhour.heat import build as parts
from tenhour.house.bedlight import BedLight
from tenhour.model.heat_answer import HeatAnswer, HeaterSize, HeatMonth, HeatWinter, Measure, PowerCut, Tonight
from tenhour.model.house import Curtain, Draughts, House, Layer, Store
from tenhour.model.results import Basis
from tenhour.plan.dates import DAYS, MONTH_OF_DAY
from tenhour.sky.hours import WINTERS
from tenhour.words import heat as words
from tenhour.year.beds import traced
from tenhour.year.hours import place_extremes, year_hours
from tenhour.year.nights import Nights
from tenhour.year.panes import PaneStates
from tenhour.year.scene import layer_share
from tenhour.year.sunlight import Sources
from tenhour.year.warmth import Winters, wished_air
from tenhour.year.world import World

if TYPE_CHECKING:
    from tenhour.model.crop import Crop

Array = NDArray[np.float64]
Sky = Literal["clear", "half", "overcast"]
Wind = Literal["calm", "breeze", "windy"]

MODEL_ERROR_FRAC: Final = 0.25
"""Of energy without a thermometer in the house (docs/method/heat.md)."""
TENTH_SD: Final = 1.28
MARGIN: Final = 1.2
HOLD_DEGC: Final = 3.0
"""What a heater is sized for where no set point is given: free of frost with something in hand. Practice."""
SKY_BELOW_K: Final[dict[str, float]] = {"clear": 20.0, "half": 11.0, "overcast": 3.0}
"""Sky below the air by night, near 0 °C (Prata 1996 and Walton 1983, docs/method/hours.md). Derived."""
WIND_M_S: Final[dict[str, float]] = {"calm": 0.5, "breeze": 2.0, "windy": 5.0}
"""At the house. Judgement."""
EVENING_K: Final = 5.0
"""How far the afternoon before a cold night is above its lowest: practice for winter."""
COLDEST_H: Final = 7
WET_FRAC: Final = 0.93
WET_H: Final = 8
"""Grey mould: wet or above 93 % for 8-12 h. Read (trade press)."""
VAPOUR_MJ_KG: Final = 2.45
FEW: Final = 6
"""Winters that measures are compared over: the same for all, so their differences are steady. Judgement."""
MORE_WATER_L: Final = 600.0
CURTAIN_M2_K_W: Final = 0.3
"""A tight, aluminised curtain: 0.2-0.3. Read (abstract of Geoola et al. 2011)."""
CUT_STEP_S: Final = 300.0


def heat_of(
    world: World,
    sources: Sources,
    crops: Sequence[Crop],
    *,
    today: date,
    tonight_degc: float | None = None,
    sky: Sky = "clear",
    wind: Wind = "calm",
) -> HeatAnswer:
    """Whether a house is warm enough and what it costs.

    Parameters: world; sources, with the weather; crops, whose limits a night is held against; today; tonight_degc,
    lowest outdoors by the forecast, with its sky and wind.
    """
    house = world.house
    found = traced(house, world.light)
    winters = Winters(house, world.light, *found, year_hours(house, sources, world.light, count=WINTERS))
    night = {} if tonight_degc is None else {"tonight_degc": tonight_degc, "sky": sky, "wind": wind}
    basis, here = _basis(world, {"house": house.path or "built-in demo house", **night})
    return HeatAnswer(
        basis=basis,
        winter=_winter(winters),
        months=tuple(_month(winters, month) for month in range(1, 13)),
        heater=_heater(winters, world, sources),
        measures=_measures(world, sources, found),
        power_cut=_power_cut(winters, world, sources),
        tonight=None
        if tonight_degc is None
        else _tonight(winters, Nights(tuple(crops), world.air), today, tonight_degc, sky, wind),
        **_winter_wood(winters),
        held=house.air.day_degc is not None or house.air.night_degc is not None,
        us_units=house.us_units,
        cautions_here=here,
    )


def _basis(world: World, inputs: dict[str, object]) -> tuple[Basis, int]:
    """With every caution on heat; those for what this house has stand first, and how many they are."""
    basis, kinds = world.basis(inputs), {heater.kind for heater in world.house.heaters}
    said = [words.CARBON_MONOXIDE(), words.STOVE(), words.ELECTRIC(), words.WATER()]
    here = [True, "stove" in kinds, bool(kinds & {"electric", "heat-pump"}), bool(world.house.stores)]
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
    )  # fmt: skip


def _month(winters: Winters, month: int) -> HeatMonth:
    there = MONTH_OF_DAY[winters.hour_doy] == month
    run, lit = winters.run, winters.lit.ravel()
    by_day = there & lit if (there & lit).any() else there
    days = np.flatnonzero(month == MONTH_OF_DAY)
    low = np.median(winters.lowest_degc(run.air_degc)[:, days].min(axis=1))
    covered = [
        float(np.median(winters.lowest_degc(winters.air_degc(bed))[:, days].min(axis=1)))
        for bed in range(len(winters.house.beds))
        if winters.heat.bed_layers[winters.heat.zone_of_bed[bed]]
    ]
    beds = sorted(set(winters.heat.zone_of_bed))
    vapour_w = sum(winters.drive.zone_sun_w[there][..., zone].mean() * winters.drive.latent_frac[zone] for zone in beds)
    return HeatMonth(
        month,
        float(run.air_degc[by_day].mean()),
        float(run.air_degc[there & ~lit].mean()) if (there & ~lit).any() else float(run.air_degc[there].mean()),
        float(low),
        max(covered) if covered else None,
        float(run.soil_degc[there][..., beds].mean()),
        float(run.heat_w[there].sum(axis=0).mean() / 1000.0),
        float((run.air_degc[there] < 0.0).sum(axis=0).mean()),
        float(vapour_w) * 86400.0 / (VAPOUR_MJ_KG * 1e6),
        _wet_nights(winters, there),
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
    leave = build.change_w_k * (build.leak_per_h + build.leak_per_wind * winters.drive.wind_m_s[there])
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


def _hold(house: House) -> float:
    """The lowest air anything asks for in winter."""
    air = wished_air(house)
    wishes = [min(part) for part in (air.night_set_degc, air.night_degc) if part is not None]
    return min(wishes) if wishes else HOLD_DEGC


def _heater(winters: Winters, world: World, sources: Sources) -> HeaterSize:
    house, hold = winters.house, _hold(winters.house)
    cold = float(place_extremes(sources, world.light).once_in(10))
    unbound = replace(winters.heat.build, heater=parts.NO_LIMIT)
    drive = _steady(winters, cold, hold, 24, balance.HOUR_S)
    found = balance.run(unbound, drive, _from(winters, hold, drive))
    power = float(found.heat_w[-1, 0]) * MARGIN
    given = sum(heater.power_w for heater in house.heaters)
    return HeaterSize(cold, hold, power, None if not house.heaters else given >= power / MARGIN)


def _power_cut(winters: Winters, world: World, sources: Sources) -> PowerCut | None:
    if not np.isfinite(np.asarray(winters.drive.set_degc)).any():
        return None
    hold = _hold(winters.house)
    cold = float(place_extremes(sources, world.light).lowest_mean_degc)
    drive = _steady(winters, cold, hold, 24, CUT_STEP_S, set_degc=-np.inf)
    found = balance.run(winters.heat.build, drive, _from(winters, hold, drive), CUT_STEP_S)
    air = found.air_degc[:, 0]
    below = np.flatnonzero(air < 0.0)
    hours = None if not below.size else float(below[0]) * CUT_STEP_S / 3600.0
    return PowerCut(hours, float(air[int(12 * 3600 / CUT_STEP_S)]))


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


WET_WOOD_FRAC: Final = 0.3
"""Of wood that has dried one summer. Practice."""


def _tonight(winters: Winters, nights: Nights, today: date, out_degc: float, sky: Sky, wind: Wind) -> Tonight:
    """From noon to noon, after half a year of mean weather; see docs/method/heat.md."""
    doy = min((today - date(today.year, 1, 1)).days, DAYS - 1)
    day = int(np.flatnonzero(winters.doy == doy)[0])
    start = day * 24 + 12
    mean = _one_column(winters, start)
    build = winters.heat.build
    begin = balance.run(build, mean).final
    night = _night(winters, start, out_degc, SKY_BELOW_K[sky], WIND_M_S[wind])
    heated = balance.run(build, night, begin)
    bare = balance.run(build, replace(night, set_degc=-np.inf), begin)
    beds = [z for z in winters.heat.zone_of_bed if winters.heat.bed_layers[z]]
    covered = None if not beds else float(max(heated.under_degc[..., zone].min() for zone in beds))
    heat = heated.heat_w[:, 0]
    kwh = float(heat.sum() / 1000.0)
    stove = next((h for h in winters.house.heaters if h.kind == "stove"), None)
    low = float(heated.air_degc.min())
    wood = None if stove is None else kwh / float(fire.wood_kwh_kg(efficiency_frac=stove.efficiency_frac))
    first = np.flatnonzero(heat > 0.0)
    harmed = tuple(
        crop.name for n, crop in enumerate(nights.crops) if low <= float(np.median(nights.limit_degc(n)[..., doy]))
    )
    return Tonight(
        out_degc, float(bare.air_degc.min()), low, covered, float((12 + int(bare.air_degc[:, 0].argmin())) % 24),
        kwh, float(heat.max()), wood, None if wood is None else wood * (1.0 - MODEL_ERROR_FRAC),
        None if wood is None else wood * (1.0 + MODEL_ERROR_FRAC) * 1.2, _cost(winters.house, kwh, out_degc),
        None if not first.size else float((12 + int(first[0])) % 24), harmed,
    )  # fmt: skip


def _cost(house: House, kwh: float, out_degc: float) -> float | None:
    """Money for some heat from the first heater that has a price."""
    for heater in house.heaters:
        if heater.price_currency_kwh is not None:
            gain = float(fire.pump_ratio(out_degc)) if heater.kind == "heat-pump" else heater.efficiency_frac
            return kwh / gain * heater.price_currency_kwh
    return None


def _rolled(values: Array, start: int, hours: int) -> Array:
    """Hours up to a start, round the year."""
    return np.asarray(np.take(values, np.arange(start - hours, start), axis=0, mode="wrap"))


def _one_column(winters: Winters, start: int) -> parts.Drive:
    """Mean weather of two months up to an hour, as one winter."""
    return _cut(winters, start, 60 * 24)


def _cut(winters: Winters, start: int, hours: int) -> parts.Drive:
    d = winters.drive

    def mean(values: Array) -> Array:
        cut = _rolled(values, start, hours)
        return cut if cut.ndim < 2 else np.asarray(cut.mean(axis=1, keepdims=True))

    def any_mean(values: Array | float) -> Array | float:
        return values if isinstance(values, float) or not np.ndim(values) else mean(values)

    return replace(
        d,
        temp_out_degc=mean(d.temp_out_degc),
        temp_sky_degc=mean(d.temp_sky_degc),
        wind_m_s=mean(d.wind_m_s),
        zone_sun_w=mean(d.zone_sun_w),
        skin_sun_w_m2=mean(d.skin_sun_w_m2),
        gain_w=any_mean(d.gain_w),
        gain_radiant_w=any_mean(d.gain_radiant_w),
        condensing_frac=any_mean(d.condensing_frac),
        set_degc=any_mean(d.set_degc),
        vent_degc=any_mean(d.vent_degc),
        edge_degc=tuple(_rolled(e, start, hours) if e.ndim == 2 else mean(e) for e in d.edge_degc),
        extra_m2_k_w=None if d.extra_m2_k_w is None else _rolled(d.extra_m2_k_w, start, hours),
        inner_m2_k_w=tuple(None if over is None else _rolled(over, start, hours) for over in d.inner_m2_k_w),
    )


def _night(winters: Winters, start: int, out_degc: float, below_k: float, wind_m_s: float) -> parts.Drive:
    """Noon to noon: the air falls to its lowest at seven, and the morning is as mean mornings are."""
    drive = _cut(winters, start + 24, 24)
    hour = (12 + np.arange(24)) % 24
    fall = np.where(hour >= 12, (24 - hour + COLDEST_H) / (12 + COLDEST_H), np.abs(COLDEST_H - hour) / (12 + COLDEST_H))
    out = (out_degc + EVENING_K * fall)[:, None]
    return replace(drive, temp_out_degc=out, temp_sky_degc=out - below_k, wind_m_s=np.full_like(out, wind_m_s))


def _measures(world: World, sources: Sources, found: tuple[BedLight, PaneStates]) -> tuple[Measure, ...]:
    """What simple changes would do, over the same few winters."""
    house = world.house
    hours = year_hours(house, sources, world.light, count=FEW)
    base = Winters(house, world.light, *found, hours)
    faces = tuple(cased.name for cased in base.heat.skin if cased.glazed and not cased.name.startswith("window"))
    trials: list[tuple[str, House, float]] = []
    if not house.curtains and faces:
        trials.append(("a tight curtain under all panes at night",
                       replace(house, curtains=(Curtain(faces, CURTAIN_M2_K_W),)), 0.0))  # fmt: skip
    tight = replace(house.draughts, leak="tight", leak_per_h=None)
    if house.draughts.leak != "tight" and house.draughts.leak_per_h is None:
        trials.append(("gaps closed: a tight house", replace(house, draughts=tight), 0.0))
    if house.draughts.edge == "bare":
        board = Draughts(house.draughts.leak, house.draughts.leak_per_h, house.draughts.wind, "board")
        trials.append(("insulation in the ground round the house", replace(house, draughts=board), 0.0))
    water = Store("more water", MORE_WATER_L)
    trials.append(("600 l more water, in the shade", replace(house, stores=(*house.stores, water)), 0.0))
    out = [_measure(base, Winters(trial, world.light, *found, hours), name, lost) for name, trial, lost in trials]
    fleece = sources_fleece(house)
    if fleece is not None:
        out.append(_fleece(base, Winters(fleece, world.light, *found, hours), fleece))
    return tuple(sorted(out, key=lambda m: (-m.saved_kwh, -m.lowest_gain_k)))


def _low(winters: Winters, hourly: Array) -> float:
    return float(np.median(winters.lowest_degc(hourly).min(axis=1)))


def _measure(base: Winters, other: Winters, name: str, lost: float) -> Measure:
    saved = float(_energy_kwh(base).mean() - _energy_kwh(other).mean())
    return Measure(name, max(saved, 0.0), _low(other, other.run.air_degc) - _low(base, base.run.air_degc), lost)


def _fleece(base: Winters, other: Winters, house: House) -> Measure:
    saved = float(_energy_kwh(base).mean() - _energy_kwh(other).mean())
    gain = _low(other, other.air_degc(0)) - _low(base, base.air_degc(0))
    return Measure("a fleece over the beds at night", max(saved, 0.0), gain, 0.0)


def sources_fleece(house: House) -> House | None:
    """The house with fleece over its beds at night; none where it knows none or beds are covered already."""
    if "fleece" not in house.covers or layer_share(house.covers["fleece"]) <= 0.0 or any(b.layers for b in house.beds):
        return None
    layer = Layer("fleece", by_day=False)
    return replace(house, beds=tuple(replace(bed, layers=(layer, *bed.layers)) for bed in house.beds))
