"""The house-year with one thing bought or done: a lamp over a bed, a fleece by night, warmer nights."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from tenhour.model.cover import Cover
from tenhour.model.house import Bed, BedLamps, House, Layer
from tenhour.plan.dates import MONTH_OF_DAY
from tenhour.year.inside.lit import with_lamps
from tenhour.year.world import World

Array = NDArray[np.float64]

WARMER_K: Final = 2.0
KEPT_DEGC: Final = 5.0
"""Nights that a heater keeps in a house that has none: practice for leaf crops."""
FLEECE: Final = "fleece"
TRIED_BEDS: Final = 12
"""In a house of more beds lamps and fleeces are tried over so many: others alike have the same of them. Judgement."""
ROUNDING_LAMPS: Final = 0.01
"""So much less of a lamp does: the tolerance of the solver."""


@dataclass(frozen=True)
class HungLamp:
    """A lamp that could hang over one bed, and what it takes."""

    bed: str
    over: BedLamps
    count: int
    power_w: float
    """All of them at full power."""
    drawn_w: float
    """The same, dimmed as they are run."""
    hours_h: tuple[float, ...]
    """Hours a day by month."""
    within_circuit: bool
    replaced_frac: float = 0.0
    """Share of their electricity that heating then need not give."""
    spared_currency_kwh: float = 0.0
    """Heating not paid for, over their electricity."""
    part_frac: float = 1.0
    """Share of the bed that they light."""
    current_a: float = 0.0
    """What they draw at full power."""
    spare_a: float = math.inf
    """What their circuit may carry beside all that hangs on it already."""

    def over_part(self, share: float) -> HungLamp:
        """As many of them as light a share of the bed at least, each as it would hang over the whole."""
        count = max(1, math.ceil(self.count * share - ROUNDING_LAMPS))
        part = count / self.count
        return replace(
            self, count=count, power_w=self.power_w * part, drawn_w=self.drawn_w * part,
            part_frac=self.part_frac * part, current_a=self.current_a * part,
        )  # fmt: skip

    @property
    def day_h(self) -> Array:
        """Hours they burn by day of the generic year [365]."""
        burns = np.array(self.over.dli_mol_m2_d) > 0.0
        return np.asarray(np.array(self.hours_h)[MONTH_OF_DAY - 1] * burns)


@dataclass(frozen=True)
class Helped:
    """The house-year with one thing more."""

    kind: Literal["lamp", "cover", "heat"]
    world: World
    bed: str = ""
    buy_currency: float = 0.0
    energy_kwh: float = 0.0
    """Of a year."""
    saved_currency: float = 0.0
    """Heating that its current takes the place of in a year."""
    hung: HungLamp | None = None


def with_lamp(world: World, hung: HungLamp, usual: Mapping[str, Any]) -> Helped:
    """The world with one lamp more over one bed; its light falls on that bed alone, its day length on all."""
    beds = tuple(with_lamps(bed, (hung.over,)) for bed in world.beds)
    lit = replace(world, beds=beds, lamps=(*world.lamps, hung.over))
    energy = float(hung.day_h.sum()) * hung.drawn_w / 1000.0
    buy = float(usual["money"]["lamp_per_w"]["value"]) * hung.power_w
    return Helped("lamp", lit, hung.bed, buy, energy, energy * hung.spared_currency_kwh, hung)


def brightest(world: World, bright: Callable[[str], BedLamps | None], usual: Mapping[str, Any]) -> tuple[Helped, ...]:
    """Beds without lamps with all the light that crops want, at no cost: no lamp that is bought does more."""
    found = []
    for bed in tried_beds(world):
        over = bright(bed)
        if over is not None:
            hung = HungLamp(bed, over, 0, 0.0, 0.0, (0.0,) * 12, True)
            found.append(replace(with_lamp(world, hung, usual), buy_currency=0.0))
    return tuple(found)


def tried_beds(world: World) -> list[str]:
    """Beds over which something is tried: all, or of many some, from the darkest to the brightest."""
    names = world.bed_names
    if len(names) <= TRIED_BEDS:
        return names
    order = np.argsort([bed.dli_mol_m2_d.mean() for bed in world.beds], kind="stable")
    chosen = set(order[np.linspace(0, len(names) - 1, TRIED_BEDS).round().astype(np.intp)].tolist())
    return [name for number, name in enumerate(names) if number in chosen]


def fleeced_beds(world: World, fleece: Cover | None, usual: Mapping[str, Any]) -> tuple[Helped, ...]:
    """A fleece over beds by night, to be bought bed by bed."""
    tried = tried_beds(world)
    price = float(usual["money"]["fleece_per_m2"]["value"])
    for helped in warmer_of(world, fleece, usual):
        if helped.kind == "cover":
            return tuple(
                replace(helped, bed=bed.name, buy_currency=price * bed.size_m[0] * bed.size_m[1])
                for bed in world.house.beds
                if bed.name in tried
            )
    return ()


def warmer_of(world: World, fleece: Cover | None, usual: Mapping[str, Any]) -> Iterator[Helped]:
    """A fleece over every bed by night, and warmer nights, one by one."""
    house = world.house
    if fleece is not None and not any(layer.cover == FLEECE for bed in house.beds for layer in bed.layers):
        beds = tuple(_under_fleece(bed) for bed in house.beds)
        area = sum(bed.size_m[0] * bed.size_m[1] for bed in beds)
        covered = replace(house, beds=beds, covers={**house.covers, FLEECE: fleece})
        price = float(usual["money"]["fleece_per_m2"]["value"]) * area
        yield Helped("cover", _with_house(world, covered), buy_currency=price)
    if house.air.night_degc is None:
        warm = _with_house(world, _heated(house))
        more = float(warm.air.heat_kwh_d.sum() - world.air.heat_kwh_d.sum())
        yield Helped("heat", warm, energy_kwh=max(more, 0.0))


def _under_fleece(bed: Bed) -> Bed:
    return replace(bed, layers=(Layer(FLEECE, by_day=False), *bed.layers))


def _heated(house: House) -> House:
    air = house.air
    if air.night_set_degc is None:
        return replace(house, air=replace(air, night_set_degc=(KEPT_DEGC,) * 12))
    return replace(house, air=replace(air, night_set_degc=tuple(night + WARMER_K for night in air.night_set_degc)))


def _with_house(world: World, house: House) -> World:
    """The same light with other warmth: nothing here moves what shines through the panes."""
    return replace(world, house=house, warmth=replace(world.warmth, house=house))
