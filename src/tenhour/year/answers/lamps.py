"""The lamp answer: a bed's own daylight, the crops' needs, and the room the lamps hang in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.lamps.layout import BedSize
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.lamp import Lamp, LampNeed, LampRequest
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.results import Basis
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.lamp_clock import MONTHS, SunClock, on_day
from tenhour.plan.lamp_hang import Place
from tenhour.plan.lamp_job import BedUnderLamps, Sizing, dark_bed
from tenhour.plan.lamp_needs import demand
from tenhour.plan.sowing import LATE_EMERGENCE_D
from tenhour.words import lamps as words
from tenhour.words import remarks
from tenhour.words.crops import crop_name
from tenhour.words.text import Text
from tenhour.year.answers.coldnight import cost_currency
from tenhour.year.answers.lampcase import Case
from tenhour.year.answers.lampgrowth import comes_up_d, dark_ground, ground_of
from tenhour.year.answers.lampladder import answered
from tenhour.year.answers.lampown import one_size
from tenhour.year.answers.lampraise import can_be_raised, shelf_for
from tenhour.year.crops import growing
from tenhour.year.crops.growing import value_of
from tenhour.year.crops.nights import NO_HARVEST_SPAN_D, Nights
from tenhour.year.inside.lampplace import bed_points_m, place_of, sun_clock
from tenhour.year.inside.lit import clock_heat_w, lamp_heat_w
from tenhour.year.inside.scene import no_light_leaves, scene_of
from tenhour.year.warm.heathouse import loss_w_k
from tenhour.year.world import World

USUAL_DLI_MOL_M2_D: Final = 12.0
"""Light for a leafy crop with no figure of its own (Plants 13:652, 2024: 12 or more for leafy greens and herbs)."""
SHELF_DEGC: Final = 18.0
"""Warmth of a room whose air nobody stated; for the days that crops take there. Judgement."""
SHELF_ZONE: Final = "UTC"
"""Clock of a shelf that stands nowhere in particular: no clock change falls in its winter."""
RACK_SPARE_M: Final = 0.04
"""How far a lamp may stand out between the posts of a rack. Judgement."""


@dataclass(frozen=True)
class Shelf:
    """A place without daylight: a shelf or rack in a cellar or a room."""

    length_m: float
    width_m: float
    tiers_count: int = 1
    headroom_m: float | None = None


def check_request(house: House, crops: Sequence[Crop], bed_name: str, request: LampRequest) -> None:
    """Refuse what makes no sense, before anything is traced.

    Parameters: house; crops under the lamp, at least one; bed_name; request.
    Errors: FileProblem for an unknown bed or hours that would harm a crop.
    """
    _bed_number(house, bed_name)
    demand([need_of(crop) for crop in crops], request)


def lamps_of(
    world: World,
    crops: Sequence[Crop],
    bed_name: str,
    lamp: Lamp,
    request: LampRequest,
    *,
    cautions: Sequence[Mapping[str, str]] = (),
    harvest_by: date | None = None,
    tiers_count: int = 1,
    today: date | None = None,
) -> LampAnswer:
    """Lamps over one bed of a house-year.

    Parameters: world; crops under the lamp, at least one; bed_name; lamp; request; cautions, rows of text and when;
        harvest_by, date by which the first crop should be in (inverts growth); tiers_count, shelves like this one;
        today.
    Errors: FileProblem for an unknown bed or hours that would harm a crop; NoAnswer where no light brings the crop in
        by the date wished for, or the lamp finds no room.
    """
    now = today or date.today()
    case = case_over_bed(world, crops, bed_name, lamp, request, now, tiers_count)
    basis = world.basis(_inputs(world.house, bed_name, crops, lamp, request, harvest_by))
    lamp = lamp if request.own is None else one_size(lamp, max(case.bed.place.size))
    price = cost_currency(world.house, 1.0, 0.0)
    case = replace(case, lamp=lamp, basis=basis, cautions=tuple(cautions), harvest_by=harvest_by)
    return answered(replace(case, heat_price_currency_kwh=price))


def case_over_bed(
    world: World,
    crops: Sequence[Crop],
    bed_name: str,
    lamp: Lamp,
    request: LampRequest,
    today: date,
    tiers_count: int = 1,
) -> Case:
    """The question of lamps over one bed, not yet answered.

    Parameters: tiers_count, shelves like this one; the rest, and errors, as of :func:`lamps_of`.
    """
    number = _bed_number(world.house, bed_name)
    bed = _bed_under_lamps(world, number, today, tiers_count)
    needs = tuple(need_of(crop) for crop in crops)
    notes = _cold_notes(world, crops, number, request.first or today)
    ground = ground_of(world, crops, number)
    return Case(
        bed, tuple(crops), needs, lamp, request, today, ground, world.basis({}), notes=notes,
        spared=_heating_of(world, bed_name),
    )  # fmt: skip


def _heating_of(world: World, bed_name: str) -> Callable[[Sequence[Sizing]], list[float]]:
    """Heating that lamps over a bed, or its tiers, take the place of, in the place of what hangs there now."""

    def spared(sizings: Sequence[Sizing]) -> list[float]:
        warmth, house = world.warmth, world.warmth.house
        others = [over for over in world.lamps if over.bed != bed_name]
        around = lamp_heat_w(house, world.beds, others)
        heat = [
            clock_heat_w(house, [plan.windows if plan else () for plan in one.clock.plans], one.drawn_w,
                         on_day(one.clock.billed))
            for one in sizings
        ]  # fmt: skip
        return warmth.heating_spared_kwh(heat, around)

    return spared


def _cold_notes(world: World, crops: Sequence[Crop], number: int, sown: date) -> tuple[Text, ...]:
    """What to do where seed lies too cold to come up.

    Errors: NoAnswer where it cannot be raised in the warm, or the nights of the bed end it in most winters: warmth
        comes first. By the rules of ``sow``.
    """
    nights, bed, notes = Nights(tuple(crops), world.air), world.house.beds[number], []
    for n, crop in enumerate(crops):
        if not crop.grows_by_carbon:
            continue
        soil = np.roll(world.air.soil_degc[number], -day_index(sown))
        up = comes_up_d(crop, soil, 0)
        lies = float(soil[: round(LATE_EMERGENCE_D)].mean())
        if not up <= LATE_EMERGENCE_D and lies < growing.part("growth", "temp_opt_degc", np.inf)(crop):
            late = {"crop": crop_name(crop.key), "on": sown, "bed": bed.name, "soil": lies}
            if not can_be_raised([crop]):
                raise NoAnswer(words.TOO_COLD_TO_COME_UP(**late))
            notes.append(words.RAISE_WARM(**late))
        begin = day_index(sown) + round(np.nan_to_num(up))
        if float(nights.least_k(n, [begin % DAYS], [NO_HARVEST_SPAN_D])[number, 0]) > 0.0:
            continue
        span = (begin + np.arange(NO_HARVEST_SPAN_D)) % DAYS
        lows, limits = world.air.lows_degc[:, number, span], nights.limit_degc(n)[:, number, span]
        worst = int(np.argmin(np.median(lows - limits, axis=0)))
        low, limit = float(np.median(lows.min(axis=1))), float(np.median(limits[:, worst]))
        night = sown + timedelta(days=begin - day_index(sown) + worst)
        said = {"crop": crop_name(crop.key), "bed": bed.name, "on": sown, "night": night}
        raise NoAnswer(words.TOO_COLD(limit=limit, low=low, **said))
    return tuple(notes)


def shelf_answer(
    shelf: Shelf,
    crops: Sequence[Crop],
    lamp: Lamp,
    request: LampRequest,
    *,
    cautions: Sequence[Mapping[str, str]] = (),
    harvest_by: date | None = None,
    plants_counts: Sequence[int] = (),
    today: date | None = None,
) -> LampAnswer:
    """Lamps over a shelf or rack without daylight; needs no house.

    Parameters: plants_counts, how many plants of each crop are wanted by the date of harvest, if that is the question;
        the rest as of :func:`lamps_of`.
    Errors: as :func:`lamps_of`.
    """
    now = today or date.today()
    none = np.zeros(MONTHS)
    place = _within_rack(Place(BedSize(shelf.length_m, shelf.width_m), headroom_m=shelf.headroom_m), shelf.tiers_count)
    bed = dark_bed("the shelf", place, SunClock(none, none, none, none, SHELF_ZONE), shelf.tiers_count)
    inputs: dict[str, object] = {
        "shelf_m": [shelf.length_m, shelf.width_m],
        "tiers": shelf.tiers_count,
        "crops": [crop.key for crop in crops],
        "lamp": lamp.key,
    }
    assumed = (remarks.DARK_SHELF(air=SHELF_DEGC),)
    ground = dark_ground(crops, SHELF_DEGC)
    lamp = lamp if request.own is None else one_size(lamp, max(place.size))
    basis, needs = Basis(inputs, assumed), tuple(need_of(crop) for crop in crops)
    case = Case(bed, tuple(crops), needs, lamp, request, now, ground, basis, tuple(cautions), harvest_by)
    if plants_counts:
        return _raised(replace(case, harvest_by=None, ready_by=harvest_by, plants_counts=tuple(plants_counts)))
    return answered(case)


def _raised(case: Case) -> LampAnswer:
    """Plants for a date: asked again on the day of the first sowing, from which on the lamps burn."""
    answer = answered(case)
    sowings = [row.sow_on for row in answer.nursery if row.sow_on is not None]
    if not sowings or min(sowings) <= case.today:
        return answer
    again = answered(replace(case, today=min(sowings)))
    return replace(again, nursery=answer.nursery)


def nursery_shelf(crops: Sequence[Crop], plants_counts: Sequence[int]) -> tuple[Shelf, tuple[int, ...]]:
    """The shelf that so many plants take, and how many of each crop; one number stands for all crops.

    Errors: FileProblem for crops that are not raised to be set out, or counts that do not match the crops.
    """
    counts = tuple(plants_counts) * len(crops) if len(plants_counts) == 1 else tuple(plants_counts)
    size = shelf_for(crops, counts)
    return Shelf(size.length_m, size.width_m), counts


def _within_rack(place: Place, tiers_count: int) -> Place:
    """Lamps of a rack are fixed below the shelf above and hardly stand out beyond it."""
    return replace(place, spare_m=RACK_SPARE_M) if tiers_count > 1 else place


def _bed_number(house: House, name: str) -> int:
    names = [bed.name for bed in house.beds]
    if name not in names:
        raise FileProblem([Problem(ARGUMENT, "bed", repr(name), "one of " + ", ".join(names), "")])
    return names.index(name)


def _inputs(
    house: House, bed: str, crops: Sequence[Crop], lamp: Lamp, request: LampRequest, harvest_by: date | None
) -> dict[str, object]:
    return {
        "house": house.path or "built-in demo house",
        "latitude_deg": house.site.latitude_deg,
        "longitude_deg": house.site.longitude_deg,
        "bed": bed,
        "crops": [crop.key for crop in crops],
        "lamp": lamp.key,
        "hours_h": request.hours_h,
        "from": request.first.isoformat() if request.first else None,
        "to": request.last.isoformat() if request.last else None,
        "harvest_by": harvest_by.isoformat() if harvest_by else None,
        "tariff": request.tariff.text if request.tariff else None,
        "mains_v": request.circuit.mains_v,
        "breaker_a": request.circuit.breaker_a,
        "others_w": request.circuit.others_w,
    }


def need_of(crop: Crop) -> LampNeed:
    """What one crop asks of lamps."""
    light, bolting = crop.light, crop.bolting
    target = value_of(light.dli_target_mol_m2_d, value_of(light.dli_min_mol_m2_d, USUAL_DLI_MOL_M2_D))
    # A crop that needs cold first is not turned to flower by lamps alone.
    by_day_alone = bolting is not None and bolting.cold_d is None and bolting.cold_degc is None
    return LampNeed(
        crop=crop.key,
        name=crop_name(crop.key),
        target_dli_mol_m2_d=target,
        most_dli_mol_m2_d=None if light.dli_most_mol_m2_d is None else light.dli_most_mol_m2_d.value,
        longest_h=None if light.photoperiod_max_h is None else light.photoperiod_max_h.value,
        bolt_h=value_of(bolting.photoperiod_h, np.nan) if by_day_alone and bolting and bolting.photoperiod_h else None,
        bulb_h=bolting.bulbing_photoperiod_h.value if bolting and bolting.bulbing_photoperiod_h else None,
        note=crop.note,
        least_dli_mol_m2_d=None if light.dli_min_mol_m2_d is None else light.dli_min_mol_m2_d.value,
    )


def _bed_under_lamps(world: World, number: int, today: date, tiers_count: int) -> BedUnderLamps:
    house, light = world.house, world.beds[number].unlit or world.beds[number]
    bed = house.beds[number]
    scene = scene_of(house)
    loss = loss_w_k(house)
    return BedUnderLamps(
        name=bed.name,
        place=_within_rack(place_of(scene, bed), tiers_count),
        class_dli_mol_m2_d=light.class_dli_mol_m2_d,
        point_x_m=light.x_m,
        point_y_m=light.y_m,
        point_dli_mol_m2_d=light.point_dli_mol_m2_d,
        sun=sun_clock(house, today),
        closed=no_light_leaves(scene),
        loss_w_k=loss if loss > 0 else None,
        tiers_count=tiers_count,
        heated=house.air.day_set_degc is not None or house.air.night_set_degc is not None,
        neighbours=tuple((other.name, bed_points_m(other)) for n, other in enumerate(house.beds) if n != number),
        us_units=house.us_units,
    )
