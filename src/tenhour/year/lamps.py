"""The lamp answer: a bed's own daylight, the crops' needs, and the room the lamps hang in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.growth.places import dli_for_days_mol_m2_d, steady_climate
from tenhour.growth.run import run
from tenhour.house.shapes import OPAQUE
from tenhour.lamps.layout import BedSize
from tenhour.lamps.timer import SLOT_H
from tenhour.model.crop import Crop
from tenhour.model.house import House
from tenhour.model.lamp import Lamp, LampNeed, LampRequest
from tenhour.model.lamp_answer import LampAnswer
from tenhour.model.results import Basis
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.lamp_clock import MONTHS, SunClock
from tenhour.plan.lamp_hang import Place
from tenhour.plan.lamp_job import BedUnderLamps, dark_bed
from tenhour.plan.lamp_needs import demand
from tenhour.plan.lighting import light_bed
from tenhour.words import remarks
from tenhour.year.growing import crop_arrays, value_of
from tenhour.year.heathouse import loss_w_k
from tenhour.year.lampplace import bed_points_m, place_of, sun_clock
from tenhour.year.scene import scene_of
from tenhour.year.world import World

Array = NDArray[np.float64]

USUAL_DLI_MOL_M2_D: Final = 12.0
"""Light for a leafy crop with no figure of its own (Plants 13:652, 2024: 12 or more for leafy greens and herbs)."""
SHELF_DEGC: Final = 18.0
"""Warmth of a room whose air nobody stated; only for grams per kilowatt-hour. Judgement."""
USUAL_LIT_H: Final = 16.0
"""Lit hours to begin with; then those of the plan itself."""
ROUNDS: Final = 4
MOST_DLI: Final = 40.0
"""Light beyond which the growth model is not asked. Judgement."""
RACK_SPARE_M: Final = 0.04
"""How far a lamp may stand out between the posts of a rack. Judgement."""


@dataclass(frozen=True)
class Shelf:
    """A place without daylight: a shelf or rack in a cellar or a room."""

    length_m: float
    width_m: float
    tiers_count: int = 1
    headroom_m: float | None = None
    zone: str = "UTC"


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
    house = world.house
    number = _bed_number(house, bed_name)
    plain = [need_of(crop) for crop in crops]
    bed = _bed_under_lamps(world, number, now, tiers_count)
    air = (world.air.day_degc[number], world.air.night_degc[number])
    asked = _Asked(tuple(plain), tuple(crops), air, request, harvest_by, now)
    basis = world.basis(_inputs(house, bed_name, crops, lamp, asked.at(USUAL_LIT_H), harvest_by))
    return _settled(asked, lambda needs, aim: light_bed(bed, needs, lamp, aim, now, basis, cautions))


def shelf_answer(
    shelf: Shelf,
    crops: Sequence[Crop],
    lamp: Lamp,
    request: LampRequest,
    *,
    cautions: Sequence[Mapping[str, str]] = (),
    harvest_by: date | None = None,
    today: date | None = None,
) -> LampAnswer:
    """Lamps over a shelf or rack without daylight; needs no house.

    Errors: as :func:`lamps_of`.
    """
    now = today or date.today()
    none = np.zeros(MONTHS)
    place = _within_rack(Place(BedSize(shelf.length_m, shelf.width_m), headroom_m=shelf.headroom_m), shelf.tiers_count)
    bed = dark_bed("the shelf", place, SunClock(none, none, none, none, shelf.zone), shelf.tiers_count)
    air = (np.full(DAYS, SHELF_DEGC), np.full(DAYS, SHELF_DEGC))
    asked = _Asked(tuple(need_of(crop) for crop in crops), tuple(crops), air, request, harvest_by, now)
    inputs: dict[str, object] = {
        "shelf_m": [shelf.length_m, shelf.width_m],
        "tiers": shelf.tiers_count,
        "crops": [crop.key for crop in crops],
        "lamp": lamp.key,
    }
    assumed = (remarks.DARK_SHELF(air=SHELF_DEGC),)
    basis = Basis(inputs, assumed)
    return _settled(asked, lambda needs, aim: light_bed(bed, needs, lamp, aim, now, basis, cautions))


@dataclass(frozen=True)
class _Asked:
    """What is asked of lamps over one bed, before the hours they will burn are known."""

    needs: tuple[LampNeed, ...]
    crops: tuple[Crop, ...]
    air: tuple[Array, Array]
    request: LampRequest
    harvest_by: date | None
    today: date

    def at(self, lit_h: float) -> LampRequest:
        """The request with the light that brings the crop in by its date in so many lit hours a day."""
        if self.harvest_by is None:
            return self.request
        return _for_harvest(self.request, self.crops[0], self.air, self.harvest_by, self.today, lit_h)

    def needs_at(self, lit_h: float) -> list[LampNeed]:
        """Needs with the fresh harvest per mole of light in so many lit hours a day."""
        return _with_growth(self.needs, self.crops, self.air, self.request.first or self.today, lit_h)


def _settled(asked: _Asked, plan: Callable[[list[LampNeed], LampRequest], LampAnswer]) -> LampAnswer:
    """The plan whose light was worked out for the hours that are lit under it, sun and lamps together."""
    lit = asked.request.hours_h or USUAL_LIT_H
    answer = plan(asked.needs_at(lit), asked.at(lit))
    for _ in range(ROUNDS):
        found = next((month.lit_h for month in answer.clock if month.month == answer.size_month), lit)
        if not answer.fixtures_count or abs(found - lit) < SLOT_H:
            break
        lit = found
        answer = plan(asked.needs_at(lit), asked.at(lit))
        if asked.harvest_by is None:
            break
    return answer


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
        name=crop.name,
        target_dli_mol_m2_d=target,
        most_dli_mol_m2_d=None if light.dli_most_mol_m2_d is None else light.dli_most_mol_m2_d.value,
        longest_h=None if light.photoperiod_max_h is None else light.photoperiod_max_h.value,
        bolt_h=value_of(bolting.photoperiod_h, np.nan) if by_day_alone and bolting and bolting.photoperiod_h else None,
        bulb_h=bolting.bulbing_photoperiod_h.value if bolting and bolting.bulbing_photoperiod_h else None,
        note=crop.note,
    )


def _with_growth(
    needs: Sequence[LampNeed], crops: Sequence[Crop], air: tuple[Array, Array], first: date, lit_h: float
) -> list[LampNeed]:
    """Needs with the fresh harvest per mole of light, in the air of the weeks after the first day of lamps."""
    return [
        replace(need, growth_g_mol=_growth_g_mol(crop, air, first, need.target_dli_mol_m2_d, lit_h))
        for need, crop in zip(needs, crops, strict=True)
    ]


def _growth_g_mol(crop: Crop, air: tuple[Array, Array], first: date, dli: float, lit_h: float) -> float | None:
    """Fresh harvest per mole of light on the bed at the light wanted, in the air of the coming weeks."""
    if not crop.grows_by_carbon:
        return None
    day, night = (_season_mean(part, first) for part in air)
    climate = steady_climate(np.array([dli]), np.array([day]), np.array([night]), np.array([lit_h]))
    found = run(crop_arrays([crop]), climate, [0])
    days, mass = float(found.harvest_d[0, 0, 0, 0]), float(found.yield_g_m2[0, 0, 0, 0])
    return mass / (dli * days) if np.isfinite(days) and days > 0 and mass > 0 else None


def _season_mean(temp_degc: Array, today: date, days: int = 60) -> float:
    order = (day_index(today) + np.arange(days)) % DAYS
    return float(temp_degc[order].mean())


def _for_harvest(
    request: LampRequest, crop: Crop, air: tuple[Array, Array], harvest_by: date, today: date, hours: float
) -> LampRequest:
    """The light that brings a crop in by a date in so many lit hours a day, and the days it grows."""
    first = request.first or today
    days = (harvest_by - first).days
    if days < 1:
        problem = Problem(ARGUMENT, "harvest_by", harvest_by.isoformat(), f"a day after {first.isoformat()}", "")
        raise FileProblem([problem])
    if not crop.grows_by_carbon:
        raise NoAnswer(f"{crop.name}: warmth, not light, sets its time; a day of harvest cannot be asked of lamps.")
    day, night = (_season_mean(part, first, days) for part in air)
    found = float(dli_for_days_mol_m2_d(crop_arrays([crop]), days, [day], [night], [hours])[0, 0])
    if not np.isfinite(found):
        raise NoAnswer(_too_soon(crop, first, harvest_by, day, night, hours))
    reason = remarks.LIGHT_WANTED(light=found, crop=crop.name, sown=first, by=harvest_by, day=day, night=night)
    return replace(
        request, target_dli_mol_m2_d=found, target_reason=reason, first=first, last=request.last or harvest_by
    )


def _too_soon(crop: Crop, first: date, harvest_by: date, day_degc: float, night_degc: float, hours_h: float) -> str:
    """Why no light brings a crop in by a date, and the nearest date there is."""
    climate = steady_climate(np.array([MOST_DLI]), np.array([day_degc]), np.array([night_degc]), np.array([hours_h]))
    days = float(run(crop_arrays([crop]), climate, [0]).harvest_d[0, 0, 0, 0])
    nearest: str = "at that warmth it never is"
    if np.isfinite(days):
        nearest = remarks.EARLIEST(on=first + timedelta(days=int(np.ceil(days))))
    return remarks.CANNOT_BE_IN(
        crop=crop.name, sown=first, by=harvest_by, day=day_degc, night=night_degc, nearest=nearest
    )


def _bed_under_lamps(world: World, number: int, today: date, tiers_count: int) -> BedUnderLamps:
    house, light = world.house, world.beds[number].unlit or world.beds[number]
    bed = house.beds[number]
    scene = scene_of(house)
    closed = all(s.pane_index == OPAQUE for s in scene.surfaces) and not scene.openings
    loss = loss_w_k(house)
    return BedUnderLamps(
        name=bed.name,
        place=_within_rack(place_of(scene, bed), tiers_count),
        class_dli_mol_m2_d=light.class_dli_mol_m2_d,
        point_x_m=light.x_m,
        point_y_m=light.y_m,
        point_dli_mol_m2_d=light.point_dli_mol_m2_d,
        sun=sun_clock(house, today),
        closed=closed,
        loss_w_k=loss if loss > 0 else None,
        tiers_count=tiers_count,
        heated=house.air.day_set_degc is not None or house.air.night_set_degc is not None,
        neighbours=tuple((other.name, bed_points_m(other)) for n, other in enumerate(house.beds) if n != number),
        us_units=house.us_units,
    )
