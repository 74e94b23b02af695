"""One cold night hour by hour: tonight by the forecast, the loads of a stove, and power or fire that fails."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import balance, fire
from tenhour.heat import build as parts
from tenhour.model.heat_answer import CropLimit, FrostAlarm, NightHour, PowerCut, StoveLoad, Tonight
from tenhour.model.house import Heater, House
from tenhour.plan.dates import DAYS
from tenhour.words.crops import crop_name
from tenhour.year.crops.nights import Nights
from tenhour.year.warm.helps import FLEECE_M2_K_W
from tenhour.year.warm.warmth import DAY_H, Winters, held_air, swung_degc, wished_air

Array = NDArray[np.float64]
Sky = Literal["clear", "half", "overcast"]
Wind = Literal["calm", "breeze", "windy"]

HOLD_DEGC: Final = 3.0
"""What a heater is sized for where no set point is given: free of frost with something in hand. Practice."""
MODEL_ERROR_FRAC: Final = 0.25
"""Of energy without a thermometer in the house (docs/method/heat.md)."""
WET_MORE_FRAC: Final = 0.2
"""More wood where it is wetter than thought. Judgement."""
SKY_BELOW_K: Final[dict[str, float]] = {"clear": 20.0, "half": 11.0, "overcast": 3.0}
"""Sky below the air by night, near 0 °C (Prata 1996 and Walton 1983, docs/method/hours.md). Derived."""
WIND_M_S: Final[dict[str, float]] = {"calm": 0.5, "breeze": 2.0, "windy": 5.0}
"""At the house. Judgement."""
EVENING_K: Final = 5.0
"""How far the afternoon before a cold night is above its lowest: practice for winter."""
COLDEST_H: Final = 7
NOON_H: Final = 12
DUSK_H: Final = 18
"""Hour of the sun's clock at which heat fails in the worst case: the house has the whole night before it. Judgement."""
CUT_STEP_S: Final = 300.0
STOVE_STEP_S: Final = 600.0
BEFORE_D: Final = 60
"""Days of mean weather before a night, for soil and stores. Derived from their time constants."""
LEAD_H: Final = 0.5
"""How long before the house needs it a load is lit: a thin stove gives 0.8 of its peak by then. Derived."""
LEAST_BETWEEN_H: Final = 0.75
"""Stoves for intermittent use are tested with refuelling from 45 minutes (EN 13240 summaries). Read."""
MOST_LOADS: Final = 20
MAINS: Final = ("electric", "heat-pump")
"""Heaters whose price is that of electricity."""
ALARM_BELOW_K: Final = 1.0
"""An alarm is set so far below what a thermostat lets the air fall to: its own error is 0.5-1 K. Practice."""
ALARM_DEGC: Final = 1.0
"""The same where nothing is heated: frost is near, and there is time to cover. Practice."""
BED_H: Final = 22
"""Hour of the last load where nobody gets up. Judgement."""


@dataclass(frozen=True)
class Night:
    """A night as a drive, from a state, and the hour of the sun's clock it begins at."""

    drive: parts.Drive
    begin: parts.State
    from_h: float
    step_s: float = balance.HOUR_S

    def hour_h(self, step: int) -> float:
        """Hour of the sun's clock of a step."""
        return (self.from_h + step * self.step_s / balance.HOUR_S) % DAY_H


def hold_degc(house: House) -> float:
    """The lowest air anything asks for in winter."""
    air = held_air(house)
    wishes = [min(part) for part in (air.night_set_degc, air.night_degc) if part is not None]
    return min(wishes) if wishes else HOLD_DEGC


def night_of(
    winters: Winters, doy: int, out_degc: float, sky: Sky, wind: Wind, *, from_h: int = NOON_H, hours: int = DAY_H,
    step_s: float = balance.HOUR_S,
) -> Night:  # fmt: skip
    """A cold night after two months of mean weather.

    Parameters: winters; doy, day of the year from 0; out_degc, its lowest outdoors, at seven; sky; wind; from_h, hour
    it begins; hours, how long; step_s. Method: docs/method/heat.md.
    """
    start = int(np.flatnonzero(winters.doy == doy % DAYS)[0]) * DAY_H + from_h
    begin = balance.run(winters.heat.build, mean_weather(winters, start, BEFORE_D * DAY_H)).final
    each = round(balance.HOUR_S / step_s)
    drive = _finer(mean_weather(winters, start + hours, hours), each)
    hour = (from_h + np.arange(hours * each) / each) % DAY_H
    since = np.where(hour >= NOON_H, DAY_H - hour + COLDEST_H, np.abs(COLDEST_H - hour))
    out = (out_degc + EVENING_K * since / (NOON_H + COLDEST_H))[:, None]
    drive = replace(
        drive, temp_out_degc=out, temp_sky_degc=out - SKY_BELOW_K[sky], wind_m_s=np.full_like(out, WIND_M_S[wind])
    )
    return Night(drive, begin, float(from_h), step_s)


def _finer(drive: parts.Drive, each: int) -> parts.Drive:
    return drive if each == 1 else drive.changed(lambda value: np.repeat(value, each, axis=0))


def mean_weather(winters: Winters, end: int, hours: int) -> parts.Drive:
    """Hours up to another, round the year, as one winter: the mean of all.

    Parameters: winters; end, hour from their beginning; hours, how many.
    """
    rows = np.arange(end - hours, end)
    count = winters.drive.temp_out_degc.shape[1]

    def mean(value: Array) -> Array:
        cut = np.take(value, rows, axis=0, mode="wrap")
        by_winter = cut.ndim > 1 and cut.shape[1] in (1, count) and count > 1
        return np.asarray(cut.mean(axis=1, keepdims=True)) if by_winter and cut.shape[1] == count else cut

    drive = winters.drive.changed(mean)
    cut = winters.drive.changed(lambda value: np.take(value, rows, axis=0, mode="wrap"))
    # what hangs or lies there, and soil known by depth alone, have no winters to be averaged over
    edges = tuple(
        b if a.ndim == 2 else c for a, b, c in zip(winters.drive.edge_degc, cut.edge_degc, drive.edge_degc, strict=True)
    )
    return replace(drive, extra_m2_k_w=cut.extra_m2_k_w, inner_m2_k_w=cut.inner_m2_k_w, edge_degc=edges)


def tonight_of(winters: Winters, nights: Nights, doy: int, out_degc: float, sky: Sky, wind: Wind) -> Tonight:
    """The night ahead under a forecast, noon to noon.

    Parameters: winters; nights, what crops stand; doy, day of the year from 0; out_degc, lowest
    outdoors; sky; wind.
    """
    house, build = winters.house, winters.heat.build
    night = night_of(winters, doy, out_degc, sky, wind)
    heated = balance.run(build, night.drive, night.begin)
    bare = balance.run(build, night.drive.unheated(), night.begin)
    beds = [z for z in winters.heat.zone_of_bed if winters.heat.bed_layers[z]]
    least = [
        float(swung_degc(house, heated, heated.under_degc[..., z], heated.under_follows_frac[..., z]).min())
        for z in beds
    ]
    covered = max(least) if least else None
    heat = heated.heat_w[:, 0]
    kwh, low = float(heat.sum() / 1000.0), float(swung_degc(house, heated, heated.air_degc).min())
    stove = next((h for h in house.heaters if h.kind == "stove"), None)
    wood = None if stove is None else kwh / float(fire.wood_kwh_kg(efficiency_frac=stove.efficiency_frac))
    first = np.flatnonzero(heat > 0.0)
    loads = None
    if stove is not None:
        fine = night_of(winters, doy, out_degc, sky, wind, step_s=STOVE_STEP_S)
        loads = _stove_night(build, fine, stove, hold_degc(house))
    return Tonight(
        out_degc, float(bare.air_degc.min()), low, covered, night.hour_h(int(bare.air_degc[:, 0].argmin())),
        kwh, float(heat.max()), wood, None if wood is None else wood * (1.0 - MODEL_ERROR_FRAC),
        None if wood is None else wood * (1.0 + MODEL_ERROR_FRAC) * (1.0 + WET_MORE_FRAC),
        cost_currency(house, kwh, out_degc), None if not first.size else night.hour_h(int(first[0])),
        () if loads is None else loads.loads, None if loads is None else loads.lowest_degc,
        None if loads is None else loads.alone_h, None if loads is None else loads.backup_kwh,
        tuple(name for name, limit in _limits(nights, doy) if low <= limit),
    )  # fmt: skip


def hours_of_night(winters: Winters, doy: int, out_degc: float, sky: Sky, wind: Wind) -> tuple[NightHour, ...]:
    """A cold night hour by hour, noon to noon: as it is heated, without heat, and under a cover without heat.

    Parameters: winters; doy, day of the year from 0; out_degc, lowest outdoors; sky; wind.
    """
    build, night = winters.heat.build, night_of(winters, doy, out_degc, sky, wind)
    free = night.drive.unheated()
    own = [zone for zone in winters.heat.zone_of_bed if winters.heat.bed_layers[zone]]
    zone = (own or list(winters.heat.zone_of_bed) or [0])[0]
    runs = balance.run_together(
        [(build, night.drive), (build, free), (build, free if own else fleeced(free, [zone]))], [night.begin] * 3
    )
    heated, bare, covered = runs
    return tuple(
        NightHour(night.hour_h(n), float(night.drive.temp_out_degc[n, 0]), float(heated.air_degc[n, 0]),
                  float(bare.air_degc[n, 0]), float(covered.under_degc[n, 0, zone]), float(heated.heat_w[n, 0]))
        for n in range(len(heated.air_degc))
    )  # fmt: skip


def fleeced(drive: parts.Drive, zones: Sequence[int]) -> parts.Drive:
    """The same hours with a fleece over some zones, on top of what lies there. Parameters: drive; zones, of beds."""
    count = drive.zone_sun_w.shape[-1]
    over = drive.inner_m2_k_w or (None,) * count
    steps = np.full(len(drive.temp_out_degc), FLEECE_M2_K_W)
    laid = tuple(
        steps + (0.0 if there is None else there) if zone in zones else there for zone, there in enumerate(over)
    )
    return replace(drive, inner_m2_k_w=laid)


def cost_currency(house: House, heat_kwh: float, out_degc: float) -> float | None:
    """Money for some heat [kWh] from the first heater that has a price; None without one.

    Parameters: house; heat_kwh; out_degc, outdoors [°C], by which a heat pump gives more or less.
    """
    for heater in house.heaters:
        if heater.price_currency_kwh is not None:
            gain = float(fire.pump_ratio(out_degc)) if heater.kind == "heat-pump" else heater.efficiency_frac
            return heat_kwh / gain * heater.price_currency_kwh
    return None


def mat_prices(house: House) -> dict[str, float | None]:
    """Price of a kilowatt-hour of each mat by its bed: its own, else the first heater's on electricity; else None.

    Parameters: house.
    """
    mains = (h.price_currency_kwh for h in house.heaters if h.kind in MAINS and h.price_currency_kwh is not None)
    usual = next(mains, None)
    return {m.bed: usual if m.price_currency_kwh is None else m.price_currency_kwh for m in house.mats}


class _Stoked(NamedTuple):
    """A night with a stove."""

    loads: tuple[StoveLoad, ...]
    lowest_degc: float
    alone_h: float | None
    backup_kwh: float


def load_kg(stove: Heater) -> float:
    """The largest load whose peak does not go beyond the stove's power. Closed form: E = e P τ, see heat.fire."""
    kwh = math.e * stove.power_w / 1000.0 * fire.BURN_H
    return kwh / float(fire.wood_kwh_kg(efficiency_frac=stove.efficiency_frac))


def _burning_w(night: Night, loads_h: Sequence[float], load_kwh: float) -> Array:
    """Output of loads lit so many hours after the night's beginning [steps], mean of each step."""
    edge_h = np.arange(len(night.drive.temp_out_degc) + 1) * night.step_s / balance.HOUR_S
    given = sum((fire.burnt_kwh(edge_h - at, load_kwh) for at in loads_h), np.zeros(len(edge_h)))
    return np.diff(given) * 1000.0 * balance.HOUR_S / night.step_s


def _stove_night(build: parts.Build, night: Night, stove: Heater, hold: float) -> _Stoked:
    """Load by load: the next is lit some time before the house would fall below what it is held at."""
    kg = load_kg(stove)
    kwh = kg * float(fire.wood_kwh_kg(efficiency_frac=stove.efficiency_frac))
    step_h = night.step_s / balance.HOUR_S
    free = night.drive.unheated()

    def run(loads_h: Sequence[float]) -> parts.Drive:
        power = _burning_w(night, loads_h, kwh)[:, None]
        return replace(
            free,
            gain_w=np.asarray(free.gain_w) + power * (1.0 - fire.RADIANT_FRAC),
            gain_radiant_w=np.asarray(free.gain_radiant_w) + power * fire.RADIANT_FRAC,
        )

    def below(loads_h: Sequence[float], from_h: float) -> float | None:
        """First hour from which on the air is below what it is held at."""
        air = balance.run(build, run(loads_h), night.begin, night.step_s).air_degc[:, 0]
        cold = np.flatnonzero((air < hold) & (np.arange(len(air)) * step_h >= from_h))
        return float(cold[0]) * step_h if cold.size else None

    loads: list[float] = []
    for _ in range(MOST_LOADS):
        due = below(loads, loads[-1] + LEAST_BETWEEN_H if loads else 0.0)
        if due is None:
            break
        soonest = loads[-1] + LEAST_BETWEEN_H if loads else 0.0
        loads.append(max(due - LEAD_H, soonest))
    last = BED_H - night.from_h
    alone = [at for at in loads if at < last - LEAST_BETWEEN_H] + ([last] if loads else [])
    gone = below(alone, last + LEAD_H) if loads else None
    drive = run(loads)
    lowest = float(balance.run(build, drive, night.begin, night.step_s).air_degc.min())
    backup = replace(build, heater=parts.NO_LIMIT)
    helped = balance.run(backup, replace(drive, set_degc=hold), night.begin, night.step_s)
    kept = tuple(StoveLoad((night.from_h + at) % DAY_H, kg) for at in loads)
    spare = float(helped.heat_w.sum()) * step_h / 1000.0
    return _Stoked(kept, lowest, None if gone is None else (night.from_h + gone) % DAY_H, spare)


class Failure(NamedTuple):
    """The air of a house without heat, from dusk in steps of five minutes."""

    air_degc: Array
    covered_degc: Array
    """Under a fleece laid over the first bed at once."""
    doy: int
    out_degc: float
    """Lowest outdoors."""


def failure_of(winters: Winters, out_degc: float, length_h: int) -> Failure | None:
    """Heat that fails at dusk of the coldest night of a year, in steps of five minutes and without sun.

    Parameters: winters; out_degc, lowest outdoors; length_h, how long it lasts. Returns: None where nothing is heated.
    """
    if not np.isfinite(np.asarray(winters.drive.set_degc)).any():
        return None
    doy = int(np.argmin(winters.light.outdoors.temp_degc))
    night = night_of(winters, doy, out_degc, "clear", "breeze", from_h=DUSK_H, hours=length_h, step_s=CUT_STEP_S)
    d, build = night.drive, winters.heat.build
    dark = replace(
        d.unheated(), gain_w=0.0, gain_radiant_w=0.0, zone_sun_w=d.zone_sun_w * 0.0,
        skin_sun_w_m2=d.skin_sun_w_m2 * 0.0,
    )  # fmt: skip
    laid = fleeced(dark, winters.heat.zone_of_bed)
    open_air, covered = balance.run_together([(build, dark), (build, laid)], [night.begin] * 2, CUT_STEP_S)
    bed = winters.heat.zone_of_bed[0] if winters.heat.zone_of_bed else 0
    return Failure(open_air.air_degc[:, 0], covered.under_degc[:, 0, bed], doy, out_degc)


def power_cut_of(failure: Failure, nights: Nights) -> PowerCut:
    """What a failure does to crops. Parameters: failure; nights, what crops stand."""
    stood = _limits(nights, failure.doy)
    air, covered = failure.air_degc, failure.covered_degc
    length_h = len(air) * CUT_STEP_S / balance.HOUR_S
    return PowerCut(
        _hours_to(air, 0.0), float(air.min()), length_h, failure.out_degc, float(covered.min()),
        tuple(
            CropLimit(limit, _hours_to(air, limit), _hours_to(covered, limit),
                      tuple(name for name, own in stood if own == limit))
            for limit in sorted({limit for _, limit in stood}, reverse=True)
        ),
    )  # fmt: skip


def alarm_of(house: House, hours: Sequence[NightHour], failure: Failure | None) -> FrostAlarm:
    """What an alarm is set to, and when it rings.

    Parameters: house; hours of a cold night; failure, of the heat, None where nothing is heated.
    """
    held = hold_degc(house) - wished_air(house).swing_k - ALARM_BELOW_K
    set_degc = ALARM_DEGC if failure is None else held
    below = [hour.hour_h for hour in hours if hour.unheated_degc < set_degc]
    rings = None if failure is None else _hours_to(failure.air_degc, set_degc)
    frozen = None if failure is None else _hours_to(failure.air_degc, 0.0)
    left = None if rings is None or frozen is None or set_degc <= 0.0 else frozen - rings
    return FrostAlarm(set_degc, below[0] if below else None, float(len(below)), rings, left)


def _limits(nights: Nights, doy: int) -> list[tuple[str, float]]:
    """Night that ends each crop on a day, in the state in which the middle winter finds it."""
    return [
        (crop_name(crop.key), round(float(np.median(nights.limit_degc(n)[..., doy])), 1))
        for n, crop in enumerate(nights.crops)
    ]


def _hours_to(air_degc: Array, limit_degc: float) -> float | None:
    below = np.flatnonzero(air_degc < limit_degc)
    return float(below[0]) * CUT_STEP_S / balance.HOUR_S if below.size else None
