"""What a grower says about seedlings, joined with what the house gives them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.errors import ARGUMENT, FileProblem, Problem
from tenhour.growth.shapes import BedClimate, bed_climate
from tenhour.growth.stages import window_mean
from tenhour.growth.stretch import COOL_BASE_DEGC, SUN_RED_FAR_RED
from tenhour.model.crop import Crop
from tenhour.model.diagnosis import Check, Evidence, Sign, Trouble
from tenhour.model.spectrum import Spectrum
from tenhour.plan.dates import DAYS, day_index
from tenhour.plan.remedies import LAMP_HOURS_H
from tenhour.words import why as words
from tenhour.year.answers.whygrowth import Plants, plants_in
from tenhour.year.crops.growing import EARLY_D, value_of
from tenhour.year.world import World

Array = NDArray[np.float64]

LAMP_DLI_MOL_M2_D: Final = 3.5
"""Lamps nobody gave a number for: 70 µmol m⁻² s⁻¹ for 14 h (50-100 is usual, lamps-and-heat 1.2). Judgement."""
SHOOT_UP_D: Final = 3.0
"""Days after which tray crops without numbers of their own are up: common practice."""
NURSERY_PER_M2: Final = 100.0
"""Crops that stand wider than this at harvest are raised closer: judgement."""


@dataclass(frozen=True)
class Told:
    """What the grower says; None where they do not."""

    sown: date
    seen: date
    bed: str | None = None
    up: date | None = None
    dli_mol_m2_d: float | None = None
    day_degc: float | None = None
    night_degc: float | None = None
    density_per_m2: float | None = None
    lamp: str | None = None
    lamp_dli_mol_m2_d: float | None = None
    lamp_h: float | None = None
    dark_d: float | None = None
    late_d: float | None = None
    brushed: bool = False
    leaves_count: float | None = None
    signs: tuple[Sign, ...] = ()


BOUNDS: Final[Mapping[str, tuple[float, float]]] = {
    "dli_mol_m2_d": (0.0, 60.0),
    "day_degc": (-20.0, 45.0),
    "night_degc": (-20.0, 45.0),
    "density_per_m2": (1.0, 100_000.0),
    "lamp_dli_mol_m2_d": (0.0, 60.0),
    "lamp_h": (0.0, 24.0),
    "dark_d": (0.0, 60.0),
    "late_d": (0.0, 120.0),
    "leaves_count": (0.0, 100.0),
}
"""What may be told, least and most."""
YEARS: Final = (1980, 2100)
MOST_AGE_D: Final = 360


def check_told(told: Told) -> None:
    """Hold the days that were told against each other.

    Errors: FileProblem with every problem found.
    """
    began, looked = told.sown, told.seen
    problems = []
    if looked < began:
        found = f"{looked.isoformat()}, before the sowing on {began.isoformat()}"
        problems.append(Problem(ARGUMENT, "seen", found, "the day of sowing or later", ""))
    if told.up is not None and not began <= told.up <= looked:
        allowed = f"{began.isoformat()} to {looked.isoformat()}"
        problems.append(Problem(ARGUMENT, "up", told.up.isoformat(), allowed, ""))
    if not YEARS[0] <= began.year <= looked.year <= YEARS[1]:
        allowed = f"years from {YEARS[0]} to {YEARS[1]}"
        problems.append(Problem(ARGUMENT, "sown", f"{began.year}, seen in {looked.year}", allowed, ""))
    if (looked - began).days > MOST_AGE_D:
        found = f"{(looked - began).days} days after sowing"
        problems.append(Problem(ARGUMENT, "seen", found, f"up to {MOST_AGE_D} days after sowing", ""))
    if problems:
        raise FileProblem(problems)


def young(crop: Crop, crops: Iterable[Crop]) -> Crop:
    """The crop itself; of one grown for fruit, its young plants under its key."""
    if crop.way != "fruiting":
        return crop
    return replace(next((c for c in crops if c.way == "transplant" and c.latin == crop.latin), crop), key=crop.key)


@dataclass(frozen=True)
class WhyTools:
    """Packaged tables."""

    checks: Mapping[str, Check]
    spectra: Mapping[str, Spectrum]
    troubles: Mapping[str, Trouble]


@dataclass(frozen=True)
class Case:
    """One question: what was told, of which crop, on which bed, and what was not said."""

    crop: Crop
    told: Told
    world: World
    bed: int
    density_per_m2: float
    notes: tuple[str, ...] = ()

    @property
    def day(self) -> int:
        """Day of the generic year of the sowing."""
        return day_index(self.told.sown)

    @property
    def age_d(self) -> int:
        """Days from sowing to the day they are looked at."""
        return (self.told.seen - self.told.sown).days


@dataclass(frozen=True)
class Had:
    """What seedlings have had, and the notes on it; leaf_area_ratio by the model at the density taken."""

    evidence: Evidence
    leaf_area_ratio: float
    notes: tuple[str, ...] = ()


def case_of(crop: Crop, told: Told, world: World) -> Case:
    """Settle bed and density, noting what was not said."""
    notes: list[str] = []
    names = world.bed_names
    if told.bed is None and told.dli_mol_m2_d is None and len(names) > 1:
        notes.append(words.NO_BED(bed=names[0]))
    elif told.bed is None and (told.day_degc is None or told.night_degc is None):
        notes.append(words.AIR_OF_BED(bed=names[0]))
    bed = names.index(told.bed) if told.bed is not None else 0
    density = told.density_per_m2
    if density is None:
        density = _usual_density(crop)
        notes.append(words.NO_DENSITY())
    return Case(crop, told, world, bed, density, tuple(notes))


def _usual_density(crop: Crop) -> float:
    """Plants per area while they are seedlings: sown in place, or the tray of crops that are set out."""
    harvest = value_of(crop.harvest.density_per_m2) if crop.harvest is not None else np.nan
    tray = value_of(crop.raising.tray_density_per_m2) if crop.raising is not None else np.nan
    if np.isfinite(tray) and not harvest >= NURSERY_PER_M2:
        return tray
    return harvest if np.isfinite(harvest) else NURSERY_PER_M2


def climate_of(case: Case, bed: int) -> BedClimate:
    """Light, air and lit hours of one bed through the year, with what the grower says put in its place. B = 1."""
    told, world = case.told, case.world
    dli = world.beds[bed].dli_mol_m2_d if told.dli_mol_m2_d is None else np.full(DAYS, told.dli_mol_m2_d)
    lit = np.clip(world.outdoors.daylength_h, 0.0, 24.0)
    if told.lamp is not None:
        lit = np.maximum(lit, told.lamp_h if told.lamp_h is not None else LAMP_HOURS_H)
        if told.dli_mol_m2_d is None:
            dli = dli + _lamp_dli(told)
    day = world.air.day_degc[bed] if told.day_degc is None else np.full(DAYS, told.day_degc)
    night = world.air.night_degc[bed] if told.night_degc is None else np.full(DAYS, told.night_degc)
    return bed_climate(dli, day, night, lit, dli)


def _lamp_dli(told: Told) -> float:
    return LAMP_DLI_MOL_M2_D if told.lamp_dli_mol_m2_d is None else told.lamp_dli_mol_m2_d


def days_to_up(case: Case, plants: Plants) -> tuple[float | None, str]:
    """Days from sowing to emergence, as told or by the model, and a note on it; seedlings that are described are up."""
    told = case.told
    if told.up is not None:
        return float((told.up - told.sown).days), ""
    by_model = float(plants.emergence_d[0])
    if np.isnan(by_model) and case.crop.growth is None:
        by_model = value_of(case.crop.tray.dark_d, SHOOT_UP_D) if case.crop.tray is not None else SHOOT_UP_D
    described = bool(told.signs) or told.leaves_count is not None or bool(told.dark_d)
    if described and not by_model < case.age_d:
        return max(float(case.age_d) / 2.0, float(case.age_d) - EARLY_D), words.TAKEN_AS_UP()
    return (None if np.isnan(by_model) else by_model), ""


def window_means(climate: BedClimate, start: float, length_d: float) -> tuple[float, float, float, float]:
    """Light, day, night and lit hours over a window, means."""
    series = (climate.dli_mol_m2_d, climate.temp_day_degc, climate.temp_night_degc, climate.lit_h)
    values = [float(window_mean(part[0], start, length_d)) for part in series]
    return values[0], values[1], values[2], values[3]


def had_by(case: Case, climate: BedClimate, up_d: float, tools: WhyTools) -> Had:
    """Return what they have had: means over the first three weeks up, crowding where density is known, rest as told.

    Parameters: case; climate of the place; up_d, days from sowing until they came up; tools.
    """
    told = case.told
    length = float(np.clip(case.age_d - up_d, 1.0, EARLY_D))
    dli, day, night, lit = window_means(climate, case.day + up_d, length)
    base = value_of(case.crop.light.stretch_base_degc, COOL_BASE_DEGC)
    leaf = _leaf_area(case, climate, up_d)
    plain = Evidence(
        dli, day, night, lit, base,
        leaf_area_ratio=leaf if told.density_per_m2 is not None else 0.0,
        late_d=told.late_d or 0.0,
        dark_d=told.dark_d or 0.0,
        brushing_frac=1.0 if told.brushed else 0.0,
    )  # fmt: skip
    if told.lamp is None:
        return Had(plain, leaf)
    spectrum, share, notes = tools.spectra[str(told.lamp)], *_lamp_share(told, plain)
    rich = None
    if spectrum.red_far_red is not None and spectrum.red_far_red.value < 1.0:
        rich = SUN_RED_FAR_RED * (spectrum.red_far_red.value / SUN_RED_FAR_RED) ** share
    under = replace(plain, blue_frac=spectrum.blue.value, lamp_share=share, red_far_red_ratio=rich)
    return Had(under, leaf, notes)


def _leaf_area(case: Case, climate: BedClimate, up_d: float) -> float:
    """Leaf area over ground by the model, three weeks after they came up or on the day they are looked at."""
    look = int(min(np.ceil(up_d) + EARLY_D, case.age_d))
    found = float(plants_in(case.crop, climate, case.day, look, case.density_per_m2).leaf_area_ratio[0])
    return 0.0 if np.isnan(found) else found


def _lamp_share(told: Told, plain: Evidence) -> tuple[float, tuple[str, ...]]:
    """Return the lamps' share of the light, and what was taken for it."""
    if told.lamp_dli_mol_m2_d is not None:
        return told.lamp_dli_mol_m2_d / max(plain.dli_mol_m2_d, told.lamp_dli_mol_m2_d, 1e-6), ()
    if told.dli_mol_m2_d is not None:
        return 0.5, (words.HALF_LAMPS(),)
    return LAMP_DLI_MOL_M2_D / max(plain.dli_mol_m2_d, LAMP_DLI_MOL_M2_D), (words.LAMPS_TAKEN(light=LAMP_DLI_MOL_M2_D),)


def told_causes(told: Told) -> frozenset[str]:
    """Causes for which the grower gave numbers, so that signs do not stand in for them."""
    given = {
        "low light": told.dli_mol_m2_d is not None,
        "heat": told.day_degc is not None and told.night_degc is not None,
        "dark after emergence": told.dark_d is not None,
        "late to pot on": told.late_d is not None,
        "crowding": told.density_per_m2 is not None,
    }
    return frozenset(cause for cause, yes in given.items() if yes)
