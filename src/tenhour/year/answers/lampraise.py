"""Lamps over seedlings alone: plants raised under them on a shelf and set out in the bed, which stays unlit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, NoAnswer, Problem
from tenhour.growth.places import CHECK_D, set_out, steady_climate
from tenhour.lamps.layout import BedSize
from tenhour.model.crop import Crop
from tenhour.model.lamp import Lamp, LampNeed, LampRequest
from tenhour.model.lamp_answer import NurseryRow
from tenhour.plan.lamp_clock import MONTHS, SunClock
from tenhour.plan.lamp_hang import Place
from tenhour.plan.lamp_job import BedUnderLamps, Job, Sizing, dark_bed
from tenhour.plan.lighting import job_of, size_bed
from tenhour.plan.ranges import MIDDLE, at_share, between_sowings, median_days, sorted_draws, straight
from tenhour.words import lamps as words
from tenhour.words.text import Text
from tenhour.year.answers.lampcase import Case
from tenhour.year.answers.lampgrowth import G_PER_KG, Ground, Harvests, climate_of, each_harvest
from tenhour.year.crops import growing
from tenhour.year.crops.growing import SOWN_DOY
from tenhour.year.crops.grown import middle_mass
from tenhour.year.crops.nursery import RAISED_WAYS

Array = NDArray[np.float64]

SEEDLING_DLI_MOL_M2_D: Final = 10.0
"""Light for raising, whatever the crop wants later: the least for vegetable transplants (OWEN21 of the crop table)."""
RAISED_DEGC: Final = 18.0
"""Warmth of the room in which plants are raised. Judgement."""
TRAY_M: Final = (0.3, 0.6)
"""Sides of one tray. Practice."""
DEEP_TRAYS: Final = 8
"""More trays than this stand in two rows. Judgement."""


@dataclass(frozen=True)
class Raised:
    """Plants of one bed raised under lamps: the shelf they take, its lamps, and what becomes of them."""

    job: Job
    sizing: Sizing
    trays_count: int
    plants_count: int
    days_d: Array
    """Days from sowing on the shelf to harvest in the bed, by day of sowing [365]; NaN where never."""
    out_d: Array
    """Days from sowing to setting out [365]."""
    each: Array
    """Fresh mass of one harvest of the bed [kg m⁻²], [365]."""

    def assumed(self, bed: str) -> Text:
        """What is assumed of them; bed, the name of the one they are set out in."""
        length, width = TRAY_M
        return words.TRAYS_ASSUMED(
            plants=self.plants_count, bed=bed, trays=self.trays_count, length=length, width=width, air=RAISED_DEGC
        )


def can_be_raised(crops: Sequence[Crop]) -> bool:
    """Whether all of the crops are set out as plants and have a growth model."""
    return all(crop.way in RAISED_WAYS and crop.raising is not None for crop in crops)


def raised_for(
    bed: BedUnderLamps,
    crops: Sequence[Crop],
    needs: Sequence[LampNeed],
    lamp: Lamp,
    request: LampRequest,
    ground: Ground,
    job: Job,
) -> Raised | None:
    """Plants for one bed under lamps on trays; None where the lamp finds no room over them.

    Parameters: bed they are set out in; crops, all of which :func:`can_be_raised`; needs; lamp; request; ground, the
        bed without lamps; job, any question about the bed, for its day.
    """
    density, trays = (growing.column(crops, growing.part(*key, np.nan)) for key in (
        ("harvest", "density_per_m2"), ("raising", "tray_density_per_m2")))  # fmt: skip
    plants = int(np.ceil(float(density.max()) * bed.place.area_m2 * bed.tiers_count))
    count = trays_for(plants, float(trays.min()))
    none = np.zeros(MONTHS)
    name = (words.TRAYS_OF if count > 1 else words.TRAY_OF)(trays=count, plants=plants, bed=bed.name)
    shelf = dark_bed(name, Place(trays_shelf(count)), SunClock(none, none, none, none, bed.sun.zone))
    light = min(SEEDLING_DLI_MOL_M2_D, *(need.most_dli_mol_m2_d or np.inf for need in needs))
    aim = replace(request, target_dli_mol_m2_d=light, sized_on="mean", target_reason="", headroom_m=None)
    asked = job_of(shelf, needs, lamp, aim, job.today)
    try:
        sizing = size_bed(asked)
    except NoAnswer:
        return None
    if sizing is None:
        return None
    raised = _grown(crops, ground, light, sizing.hours_h, trays)
    return Raised(asked, sizing, count, plants, *raised)


def trays_for(plants_count: int, density_per_m2: float) -> int:
    """Trays that so many plants take.

    Parameters: plants_count, how many; density_per_m2, of plants on the trays [m⁻²].
    """
    return max(int(np.ceil(plants_count / (density_per_m2 * TRAY_M[0] * TRAY_M[1]))), 1)


def nursery_rows(case: Case, found: Sequence[Harvests], light: int) -> tuple[NurseryRow, ...]:
    """Plants that are wanted: trays for them, and days of sowing so that all are ready on one date.

    Parameters: case; found, harvests of which those under the light planned have the number ``light``.
    """
    rows = []
    density = _density(case.crops)
    for n, (need, count) in enumerate(zip(case.needs, case.plants_counts, strict=True)):
        days = float(found[n].days_d[light, case.sown])
        sow = ready = None
        if np.isfinite(days):
            takes = timedelta(days=int(np.ceil(days)))
            ready = max(case.ready_by or case.today, case.today + takes)
            sow = ready - takes
        rows.append(NurseryRow(need.name, count, trays_for(count, float(density[n])), sow, ready))
    return tuple(rows)


def _density(crops: Sequence[Crop]) -> Array:
    return growing.column(crops, growing.part("raising", "tray_density_per_m2", np.nan))


def shelf_for(crops: Sequence[Crop], plants_counts: Sequence[int]) -> BedSize:
    """Shelf on which the trays of so many plants of each crop stand.

    Errors: FileProblem for crops that are not raised to be set out, or counts that do not match the crops.
    """
    others = [crop.name for crop in crops if crop.way != "transplant"]
    if others:
        do = "Ask for plants, like tomato-plants."
        raise FileProblem([Problem(ARGUMENT, "plants", ", ".join(others), "crops that are raised for the garden", do)])
    if len(plants_counts) != len(crops):
        found = f"{len(plants_counts)} numbers for {len(crops)} {'crop' if len(crops) == 1 else 'crops'}"
        raise FileProblem([Problem(ARGUMENT, "plants", found, "one number, or one for every crop", "")])
    density = _density(crops)
    return trays_shelf(sum(trays_for(n, float(each)) for n, each in zip(plants_counts, density, strict=True)))


def trays_shelf(trays_count: int) -> BedSize:
    """Shelf on which trays_count trays stand, in one row or two."""
    rows = 2 if trays_count > DEEP_TRAYS else 1
    return BedSize(-(-trays_count // rows) * TRAY_M[0], rows * TRAY_M[1])


def _grown(
    crops: Sequence[Crop], ground: Ground, light: float, hours_h: float, trays_per_m2: Array
) -> tuple[Array, Array, Array]:
    """Days to harvest, days to setting out and harvest of the crop that takes longest, by day of sowing [365]."""
    nursery = steady_climate(light, RAISED_DEGC, RAISED_DEGC, hours_h)
    found = set_out(
        growing.crop_arrays(crops), nursery, climate_of(ground, [None]), SOWN_DOY, ground.draws,
        tray_density_per_m2=trays_per_m2,
    )  # fmt: skip
    days = at_share(sorted_draws(between_sowings(found.harvest_d, SOWN_DOY)), MIDDLE)[:, 0]
    out = straight(median_days(found.transplant_d[:, 0]) + CHECK_D, SOWN_DOY)
    mass = middle_mass(found.yield_g_m2) / G_PER_KG
    last = int(np.argmax(np.where(np.isfinite(days), days, np.inf).mean(axis=1)))
    return days[last], out[last], each_harvest(crops[last], mass[last])[0]
