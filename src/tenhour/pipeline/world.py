"""The house-year: light on every bed and air, by day of the generic year. Built once per answer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import FileProblem
from tenhour.model.house import House
from tenhour.pipeline.beds import BedYear, beds_in
from tenhour.pipeline.scene import loss_w_m2_k, room_problems, scene_of
from tenhour.pipeline.sunlight import Outdoors, Sources, Sunlight, sunlight_at
from tenhour.plan.air import IndoorAir, cold_offset_k, day_lift_k, indoor_air
from tenhour.plan.dates import COMMON_YEAR, MONTH_OF_DAY, month_means
from tenhour.sky import split

Array = NDArray[np.float64]


@dataclass(frozen=True)
class World:
    """Everything the answers start from."""

    house: House
    light: Sunlight
    beds: tuple[BedYear, ...]
    air: IndoorAir
    assumptions: tuple[str, ...]
    warnings: tuple[str, ...]
    darkest_day: int
    """Day of the generic year with the lowest noon sun."""

    @property
    def outdoors(self) -> Outdoors:
        """Light and air outdoors."""
        return self.light.outdoors

    @property
    def bed_names(self) -> list[str]:
        """Names in the order of the arrays."""
        return [bed.name for bed in self.beds]


def build(house: House, sources: Sources) -> World:
    """Run the chain from site to bed light and air.

    Errors: OutOfRange where the site has no climate data near; FileProblem for a room that cannot be traced.
    """
    problems = room_problems(house)
    if problems:
        raise FileProblem(problems)
    light = sunlight_at(house, sources)
    out = light.outdoors
    beds = beds_in(house, light)
    darkest = int(np.argmin(out.noon_height_deg))
    air = _air(house, out, beds, loss_w_m2_k(house, scene_of(house)))
    return World(house, light, beds, air, _assumptions(house, out.source), tuple(out.climate.notes), darkest)


def _daily(months: tuple[float, ...] | None) -> Array | None:
    return None if months is None else split.daily_means(np.array(months))


def _air(house: House, out: Outdoors, beds: tuple[BedYear, ...], loss: float) -> IndoorAir:
    dli = np.stack([bed.dli_mol_m2_d for bed in beds])
    lift = day_lift_k(np.broadcast_to(dli.mean(axis=0), dli.shape), out.daylength_h, loss)
    given = house.air
    day, night = _daily(given.day_degc), _daily(given.night_degc)
    air = indoor_air(
        out.temp_degc,
        lift,
        cold_offset_k(np.asarray(out.climate.temp_degc)),
        day_degc=day,
        night_degc=night,
        day_set_degc=_steps_daily(given.day_set_degc),
        night_set_degc=_steps_daily(given.night_set_degc),
        night_min_degc=_daily(given.night_min_degc),
    )
    for number, bed in enumerate(house.beds):
        air = _own_air(air, number, _daily(bed.day_degc), _daily(bed.night_degc))
    return air


def _steps_daily(months: tuple[float, ...] | None) -> Array | None:
    """Set points are switched by month, not glided."""
    return None if months is None else np.array(months)[MONTH_OF_DAY - 1]


def _own_air(air: IndoorAir, number: int, day: Array | None, night: Array | None) -> IndoorAir:
    """Replace one bed's air by its own; its cold nights move with its mean nights."""
    rows = {name: getattr(air, name).copy() for name in ("day_degc", "night_degc", "cold_night_degc")}
    if day is not None:
        rows["day_degc"][number] = day
    if night is not None:
        rows["cold_night_degc"][number] += night - rows["night_degc"][number]
        rows["night_degc"][number] = night
    return replace(air, **rows)


def _assumptions(house: House, source: str) -> tuple[str, ...]:
    notes = list(house.assumptions)
    notes.append(f"Outdoor light and air: {source}.")
    if house.air.day_degc is None or house.air.night_degc is None:
        notes.append(
            "Indoor air where not stated: by day the outdoor mean raised by the sun that enters, by night the outdoor "
            "mean + 2 °C, never below a set point (practice)."
        )
    notes.append("One photon factor for all skies: 2.018 µmol per joule of global radiation, ± 4 %.")
    return tuple(dict.fromkeys(notes))


def month_mean(values: Array) -> Array:
    """Mean by month [..., 12] of values by day [..., 365]."""
    return month_means(values)


def mid_month_index() -> NDArray[np.intp]:
    """Day of the generic year of the 15th of each month [12]."""
    return np.array([(date(COMMON_YEAR, month, 15) - date(COMMON_YEAR, 1, 1)).days for month in range(1, 13)])
