"""What helps a house stay warm: each change, and pairs of them, over the same cold half-years, heated and not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tenhour.heat import balance
from tenhour.heat import build as parts
from tenhour.house.outside import house_axes
from tenhour.lamps.cost import heat_w
from tenhour.model.cover import OPAQUE
from tenhour.model.heat_answer import LampHeat, Measure, Pair
from tenhour.model.house import Face, House
from tenhour.words import heat as words
from tenhour.year.inside.scene import no_light_leaves, scene_of
from tenhour.year.warm.heathouse import LEAK_PER_H, Cased, unpacked
from tenhour.year.warm.warmth import DAY_H, HALF_YEAR_D, Winters

Array = NDArray[np.float64]

BEFORE_D: Final = 95
AFTER_D: Final = 120
"""Days before and after the darkest over which changes are compared: October to April in the north. Judgement."""
SETTLE_H: Final = 240
"""Hours at the beginning that do not count: surfaces and stores find their warmth. Derived."""
MORE_WATER_KG: Final = 600.0
"""Three drums."""
CURTAIN_M2_K_W: Final = 0.3
"""A tight, aluminised curtain: 0.2-0.3. Read (abstract of Geoola et al. 2011)."""
BUBBLE_M2_K_W: Final = 0.15
"""Bubble film under glass: 0.12-0.18. Practice."""
BUBBLE_LIGHT_FRAC: Final = 0.14
"""Light that bubble film costs: 0.10-0.17. Practice."""
FLEECE_M2_K_W: Final = 0.08
"""A fleece with the air caught under it, as its U-value of 12.5 in the table of covers. Judgement."""
NORTH_M2_K_W: Final = 2.5
"""10 cm of foam boards. Derived: 0.1 m / 0.04 W m⁻¹ K⁻¹."""
FAN_FILM_W_M2_K: Final = 4.5
"""Convection to covers in air that a fan stirs: 3.5-6. Practice."""
FAN_W: Final = 30.0
"""A small fan that runs all day. Practice."""
MORNING_H: Final = 7
"""Hour of the sun's clock at which lamps that were moved into the night go off. Judgement."""
MOST_IN_PAIRS: Final = 5
SUM_LEAST_KWH: Final = 1.0
SUM_LEAST_K: Final = 0.1
"""Together and one by one are called equal within this. Judgement."""
NO_KWH: Final = 0.005
"""Heat that no answer shows. Derived."""
SIDES: Final = ("north", "south", "east", "west", "roof", "roof-north", "roof-south")
EIGHTH: Final = 0.707
"""Cosine of an eighth of the compass. Derived."""


class Case(NamedTuple):
    """A house as the balance takes it, and the weather of some cold half-years."""

    build: parts.Build
    drive: parts.Drive


@dataclass(frozen=True)
class Change:
    """One thing to do about a house."""

    name: str
    apply: Callable[[Case], Case]
    light_lost_frac: float = 0.0
    over_beds: bool = False
    """Whether it is the air under a cover over the beds that gains."""


@dataclass(frozen=True)
class Helps:
    """What changes do, best first, pairs of the best, and what the lamps' heat is worth."""

    measures: tuple[Measure, ...]
    pairs: tuple[Pair, ...]
    lamps: LampHeat | None


class Prices(NamedTuple):
    """What a kilowatt-hour of heat costs, from heaters and from each mat of the build; None where nobody said."""

    heat_currency_kwh: float | None = None
    mats_currency_kwh: tuple[float | None, ...] = ()


NO_PRICES: Final = Prices()


class _Done(NamedTuple):
    """One case through its winters, heated and not, means or medians of winters."""

    heat_kwh: float
    mats_kwh: tuple[float, ...]
    """Of each mat."""
    air_low_degc: float
    bed_low_degc: float
    frost_h: float
    bed_frost_h: float

    @property
    def energy_kwh(self) -> float:
        """Of heaters and mats."""
        return self.heat_kwh + sum(self.mats_kwh)


def helps_of(
    winters: Winters,
    prices: Prices = NO_PRICES,
    lamps_w: Array | None = None,
    shady: Change | None = None,
    *,
    with_pairs: bool = False,
) -> Helps:
    """Compare what could be done about a house.

    Parameters: winters, the house over the winters to compare on; prices; lamps_w, heat of its lamps by day of the
    year and hour [365, 24] in the drive already; shady, a change that wanted the light traced anew; with_pairs, whether
    pairs of the best are run. Method: docs/method/heat.md.
    """
    base = cold_half(winters)
    moved = None if lamps_w is None else _moved_lamps(winters, lamps_w)
    changes = [*simple_changes(winters), *(one for one in (moved, shady) if one is not None)]
    heated = bool(np.isfinite(np.asarray(base.drive.set_degc)).any())
    zone = _bare_zone(winters)
    dark = [] if lamps_w is None else [_without_lamps(winters, base, lamps_w)]
    first = _done([base, *(change.apply(base) for change in changes), *dark], zone)
    ground, singles = first[0], first[1 : len(changes) + 1]
    measures = [_measure(change, ground, done, prices) for change, done in zip(changes, singles, strict=True)]
    key = [(-_worth(m), -m.lowest_gain_k) if heated else (-m.lowest_gain_k, -m.saved_kwh) for m in measures]
    order = sorted(range(len(changes)), key=lambda n: key[n])
    best = [n for n in order if measures[n].lowest_gain_k > 0.0 or measures[n].saved_kwh > 0.0][:MOST_IN_PAIRS]
    pairs = list(combinations(best, 2)) if with_pairs else []
    joined = _done([changes[b].apply(changes[a].apply(base)) for a, b in pairs], zone) if pairs else []
    shifted = next((m for change, m in zip(changes, measures, strict=True) if change is moved), None)
    return Helps(
        tuple(measures[n] for n in order),
        tuple(
            _pair(_measure(_both(changes[a], changes[b]), ground, done, prices), measures[a], measures[b])
            for (a, b), done in zip(pairs, joined, strict=True)
        ),
        None if lamps_w is None else _lamp_heat(winters, ground, first[-1], lamps_w, shifted),
    )


def _worth(measure: Measure) -> float:
    """Money where heat has a price, else heat."""
    return measure.saved_kwh if measure.saved_currency is None else measure.saved_currency


def _bare_zone(winters: Winters) -> int:
    """Zone of the first bed that has no cover of its own, else of the first bed."""
    own = winters.heat.zone_of_bed
    return next((zone for zone in own if not winters.heat.bed_layers[zone]), own[0] if own else 0)


def cold_half(winters: Winters) -> Case:
    """The house with the days about the darkest alone."""
    first, last = (HALF_YEAR_D - BEFORE_D) * DAY_H, (HALF_YEAR_D + AFTER_D) * DAY_H
    return Case(winters.heat.build, between(winters.drive, first, last))


def between(drive: parts.Drive, first: int, last: int) -> parts.Drive:
    """Some hours of a drive. Parameters: first, last, hours from its beginning."""
    return drive.changed(lambda value: value[first:last])


def simple_changes(winters: Winters) -> list[Change]:
    """Everything that can be done without tracing the light anew, and is not done yet."""
    house, heat = winters.house, winters.heat
    glazed = np.array([cased.glazed for cased in heat.skin])
    hours = slice((HALF_YEAR_D - BEFORE_D) * DAY_H, (HALF_YEAR_D + AFTER_D) * DAY_H)
    night = winters.closed_h(range(1, 13), False)[hours]
    out: list[Change] = []
    if not house.curtains and glazed.any():
        out.append(Change(words.CURTAIN(), lambda c: _hung(c, night[:, None] * glazed * CURTAIN_M2_K_W)))
    if not house.layers and glazed.any():
        out.append(Change(words.BUBBLE(), lambda c: _bubble(c, glazed), BUBBLE_LIGHT_FRAC))
    if house.draughts.leak != "tight" and house.draughts.leak_per_h is None:
        out.append(Change(words.TIGHT(), _tight))
    if house.draughts.edge == "bare":
        board = unpacked(replace(house, draughts=replace(house.draughts, edge="board"))).build
        out.append(Change(words.BOARD(), lambda c: _board(c, board)))
    out.append(Change(words.BARRELS(water=round(MORE_WATER_KG)), _water))
    bare = [zone for zone in heat.zone_of_bed if not heat.bed_layers[zone]]
    if bare:
        out.append(Change(words.FLEECE(), lambda c: _fleece(c, night, bare), over_beds=True))
    out.append(Change(words.FAN(), _fan))
    return out


def shady_change(winters: Winters, trace: Callable[[House], tuple[Winters, float]]) -> Change | None:
    """An insulated wall and roof on the side away from the sun; none where no glass faces there.

    Parameters: winters; trace, winters of a changed house with its own light, and the share of the beds' light that is
    gone in it.
    """
    house = winters.house
    south = house.site.latitude_deg < 0.0
    away = house_axes(np.array([0.0, -1.0 if south else 1.0, 0.0]), house.azimuth_deg)
    faces = {cased.name for cased in winters.heat.skin if cased.glazed and cased.name in SIDES and _faces(cased, away)}
    if not faces or house.shape == "custom":
        return None
    under = tuple(window for window in house.windows if window.on not in faces)
    dark: dict[str, Face] = {str(name): Face(OPAQUE, house.reflectance_frac) for name in faces}
    trial = replace(house, faces={**house.faces, **dark}, windows=under)
    other, lost_frac = trace(trial)
    case, base = cold_half(other), cold_half(winters)
    index = np.array([cased.name in faces for cased in winters.heat.skin])

    def apply(c: Case) -> Case:
        skin = c.build.skin
        thick = skin._replace(
            resistance_m2_k_w=np.where(index, NORTH_M2_K_W, skin.resistance_m2_k_w),
            sun_depth_frac=np.where(index, 0.0, skin.sun_depth_frac),
        )
        zones = case.drive.zone_sun_w.shape[-1]
        before = base.drive.zone_sun_w
        ratio = np.where(before > 0.0, case.drive.zone_sun_w / np.where(before > 0.0, before, 1.0), 1.0)
        sun = c.drive.zone_sun_w.copy()
        sun[..., :zones] *= ratio
        gain = np.asarray(c.drive.gain_w) + np.asarray(case.drive.gain_w) - np.asarray(base.drive.gain_w)
        return Case(replace(c.build, skin=thick), replace(c.drive, zone_sun_w=sun, gain_w=gain))

    return Change(words.SHADY(side="south" if south else "north"), apply, lost_frac)


def _faces(cased: Cased, direction: Array) -> bool:
    """Whether a face looks that way within an eighth of the compass; direction level, of length 1."""
    level = float(np.hypot(cased.normal[0], cased.normal[1]))
    return level > 0.0 and float(cased.normal[:2] @ direction[:2]) >= EIGHTH * level


def _moved_lamps(winters: Winters, lamps_w: Array) -> Change | None:
    """The lamps' hours at the end of the night; none where they are there already."""
    now, moved = _lamp_hours(winters, lamps_w), _lamp_hours(winters, into_night_w(lamps_w))
    if np.allclose(now, moved):
        return None

    def apply(c: Case) -> Case:
        return c._replace(drive=replace(c.drive, gain_w=np.asarray(c.drive.gain_w) - now + moved))

    return Change(words.LAMP_HOURS(), apply)


def _without_lamps(winters: Winters, base: Case, lamps_w: Array) -> Case:
    gain = np.asarray(base.drive.gain_w) - _lamp_hours(winters, lamps_w)
    return base._replace(drive=replace(base.drive, gain_w=gain))


def _lamp_hours(winters: Winters, lamps_w: Array) -> Array:
    """Heat of lamps [W] in the hours that are compared [H, 1], from that by day and hour [365, 24]."""
    hours = slice((HALF_YEAR_D - BEFORE_D) * DAY_H, (HALF_YEAR_D + AFTER_D) * DAY_H)
    return lamps_w[winters.doy].reshape(-1, 1)[hours]


def _hung(case: Case, more: Array) -> Case:
    extra = more if case.drive.extra_m2_k_w is None else case.drive.extra_m2_k_w + more
    return case._replace(drive=replace(case.drive, extra_m2_k_w=extra))


def _bubble(case: Case, glazed: Array) -> Case:
    left, hours = 1.0 - BUBBLE_LIGHT_FRAC, len(case.drive.temp_out_degc)
    sunny = replace(case.drive, zone_sun_w=case.drive.zone_sun_w * left)
    return _hung(case._replace(drive=sunny), np.broadcast_to(glazed * BUBBLE_M2_K_W, (hours, len(glazed))))


def _tight(case: Case) -> Case:
    leak, per_wind = LEAK_PER_H["tight"]
    return case._replace(build=replace(case.build, leak_per_h=leak, leak_per_wind_ratio=per_wind))


def _board(case: Case, board: parts.Build) -> Case:
    """The floor's soil as with a board round it; zones that other changes have added stay."""
    columns = [zone.column for zone in board.zones]
    zones = tuple(
        zone._replace(column=columns[n]) if n < len(columns) else zone for n, zone in enumerate(case.build.zones)
    )
    return case._replace(build=replace(case.build, zones=zones))


def _water(case: Case) -> Case:
    return Case(*add_water(case.build, case.drive, MORE_WATER_KG))


def add_water(build: parts.Build, drive: parts.Drive, water_kg: float) -> tuple[parts.Build, parts.Drive]:
    """The house with so much more water in drums in the shade [kg]. Method: as the stores of a house file."""
    from tenhour.heat.ground import water_column
    from tenhour.year.warm.heathouse import DRUM_FILM_W_M2_K, SKIN_M2_PER_LITRE

    area = SKIN_M2_PER_LITRE * water_kg
    zone = parts.Zone(area, DRUM_FILM_W_M2_K, water_column(water_kg / area), water_kg=water_kg)
    sun = np.concatenate([drive.zone_sun_w, np.zeros((*drive.zone_sun_w.shape[:2], 1))], axis=-1)
    more = replace(
        drive,
        zone_sun_w=sun,
        edge_degc=(*drive.edge_degc, drive.temp_out_degc[..., None]),
        latent_frac=(*drive.latent_frac, 0.0) if drive.latent_frac else (),
        inner_m2_k_w=(*drive.inner_m2_k_w, None) if drive.inner_m2_k_w else (),
    )
    return replace(build, zones=(*build.zones, zone)), more


def _fleece(case: Case, night: Array, zone_of_bed: Sequence[int]) -> Case:
    count = len(case.build.zones)
    over = case.drive.inner_m2_k_w or (None,) * count
    laid = tuple(night * FLEECE_M2_K_W if zone in zone_of_bed else over[zone] for zone in range(count))
    return case._replace(drive=replace(case.drive, inner_m2_k_w=laid))


def _fan(case: Case) -> Case:
    build, quick = case.build, FAN_FILM_W_M2_K / case.build.cover_film_w_m2_k
    zones = tuple(zone._replace(film_w_m2_k=zone.film_w_m2_k * quick) for zone in build.zones)
    stirred = replace(build, cover_film_w_m2_k=FAN_FILM_W_M2_K, zones=zones)
    return Case(stirred, replace(case.drive, gain_w=np.asarray(case.drive.gain_w) + FAN_W))


def _done(cases: Sequence[Case], zone: int) -> list[_Done]:
    cold = [(case.build, case.drive.unheated()) for case in cases]
    warmed = any(np.isfinite(np.asarray(c.drive.set_degc)).any() or c.build.mats for c in cases)
    runs = balance.run_together([*cold, *((case.build, case.drive) for case in cases)] if warmed else cold)
    out = []
    for n, case in enumerate(cases):
        free, held = runs[n], runs[len(cases) + n] if warmed else None
        heat = 0.0 if held is None else float(_winter_kwh(held.heat_w))
        mats = [0.0] * len(case.build.mats) if held is None else _winter_kwh(held.mat_w).tolist()
        air, bed = free.air_degc[SETTLE_H:], free.under_degc[SETTLE_H:, :, zone]
        out.append(
            _Done(
                heat,
                tuple(mats),
                float(np.median(air.min(axis=0))),
                float(np.median(bed.min(axis=0))),
                float((air < 0.0).sum(axis=0).mean()),
                float((bed < 0.0).sum(axis=0).mean()),
            )
        )
    return out


def _winter_kwh(power_w: Array) -> Array:
    """Energy of a winter's hours that count, mean of winters; what comes after the winters stays [...]."""
    return np.asarray(power_w[SETTLE_H:].sum(axis=0).mean(axis=0) / 1000.0)


def _money(before: _Done, after: _Done, prices: Prices) -> float | None:
    """What heat that is saved would have cost; None where some of it has no price, or none has."""
    saved = [(before.heat_kwh - after.heat_kwh, prices.heat_currency_kwh)]
    saved += [(b - a, p) for b, a, p in zip(before.mats_kwh, after.mats_kwh, prices.mats_currency_kwh, strict=False)]
    priced = [kwh * price for kwh, price in saved if price is not None]
    whole = all(price is not None or abs(kwh) < NO_KWH for kwh, price in saved)
    return sum(priced) if priced and whole else None


def _measure(change: Change, before: _Done, after: _Done, prices: Prices) -> Measure:
    saved = before.energy_kwh - after.energy_kwh
    gain = after.air_low_degc - before.air_low_degc
    frost = before.frost_h - after.frost_h
    if change.over_beds:
        gain, frost = after.bed_low_degc - before.bed_low_degc, before.bed_frost_h - after.bed_frost_h
    return Measure(change.name, saved, _money(before, after, prices), gain, frost, change.light_lost_frac)


def _both(one: Change, two: Change) -> Change:
    lost = 1.0 - (1.0 - one.light_lost_frac) * (1.0 - two.light_lost_frac)
    return Change(words.AND(one=one.name, two=two.name), one.apply, lost, one.over_beds or two.over_beds)


def _pair(both: Measure, one: Measure, two: Measure) -> Pair:
    saved, gain = one.saved_kwh + two.saved_kwh, one.lowest_gain_k + two.lowest_gain_k
    better = both.saved_kwh > saved + SUM_LEAST_KWH or both.lowest_gain_k > gain + SUM_LEAST_K
    worse = both.saved_kwh < saved - SUM_LEAST_KWH or both.lowest_gain_k < gain - SUM_LEAST_K
    why = words.PAIR_MORE() if better else words.PAIR_LESS() if worse else words.PAIR_ADD()
    return Pair(both.measure, both.saved_kwh, both.lowest_gain_k, saved, gain, why)


def _lamp_heat(winters: Winters, ground: _Done, without: _Done, lamps_w: Array, shifted: Measure | None) -> LampHeat:
    """What share of the lamps' electricity replaces heating, and what moving their hours into the night does."""
    stays = float(heat_w(1.0, no_light_leaves(scene_of(winters.house))))
    used = float(_lamp_hours(winters, lamps_w)[SETTLE_H:].sum()) / 1000.0 / stays
    saved = without.energy_kwh - ground.energy_kwh
    share = min(max(saved / used, 0.0), 1.0) if used > 0.0 else 0.0
    more = (0.0, 0.0) if shifted is None else (shifted.saved_kwh, shifted.lowest_gain_k)
    return LampHeat(used, share, more[0], ground.air_low_degc - without.air_low_degc, more[1])


def into_night_w(lamps_w: Array) -> Array:
    """The lamps' heat [W] with each day's hours moved to the end of the night, unbroken; no light is lost.

    Parameters: lamps_w, by day and hour [365, 24].
    """
    out = np.zeros_like(lamps_w)
    for day, row in enumerate(lamps_w):
        burning = int((row > 0.0).sum())
        if burning:
            out[day, (MORNING_H - 1 - np.arange(burning)) % DAY_H] = row.sum() / burning
    return out
