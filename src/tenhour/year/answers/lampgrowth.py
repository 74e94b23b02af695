"""What crops make of a bed's light with and without lamps: the growth model under several lights at once."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tenhour.growth.draws import season_draws
from tenhour.growth.shapes import BedClimate, Draws, bed_climate
from tenhour.model.crop import Crop
from tenhour.model.house import BedLamps
from tenhour.plan.dates import DAYS
from tenhour.plan.ranges import MIDDLE, at_share, between_sowings, sorted_draws
from tenhour.sky import spread
from tenhour.year.crops.growing import SOWN_DOY, grow, seasons_of
from tenhour.year.crops.grown import DRAWS, middle_mass
from tenhour.year.outside.sunlight import SEED
from tenhour.year.world import World

Array = NDArray[np.float64]

G_PER_KG: Final = 1000.0


@dataclass(frozen=True)
class Ground:
    """What crops find on one bed without lamps, by day of the generic year [365]."""

    class_dli_mol_m2_d: Array
    """Light of the day classes [365, 7]."""
    day_degc: Array
    night_degc: Array
    soil_degc: Array | None
    """None: as the air."""
    daylength_h: Array
    draws: Draws
    swing_frac: float = 1.0


@dataclass(frozen=True)
class Harvests:
    """One crop under L lights, by day of sowing [L, 365]; NaN where it never gets there."""

    days_d: Array
    """Median days to harvest, or until plants can be set out."""
    each: Array
    """Fresh mass of one harvest [kg m⁻²]; 1 for a raising of plants."""


def ground_of(world: World, crops: Sequence[Crop], number: int) -> Ground:
    """A bed of a house-year as crops find it without lamps.

    Parameters: world; crops, all that are asked about; number of the bed.
    """
    bed = world.beds[number].unlit or world.beds[number]
    air = world.air
    sun = np.clip(world.outdoors.daylength_h, 0.0, 24.0)
    draws = seasons_of(world, crops, DRAWS, SEED)
    temps = air.day_degc[number], air.night_degc[number], air.soil_degc[number]
    return Ground(bed.class_dli_mol_m2_d, *temps, sun, draws)


def dark_ground(crops: Sequence[Crop], temp_degc: float) -> Ground:
    """A shelf without daylight in a room of one warmth [°C]; crops, all that are asked about."""
    none, warm = np.zeros(DAYS), np.full(DAYS, temp_degc)
    draws = season_draws([zlib.crc32(crop.key.encode()) for crop in crops], none, DRAWS, SEED)
    return Ground(np.zeros((DAYS, 7)), warm, warm, None, none, draws, swing_frac=0.0)


def climate_of(ground: Ground, lamps: Sequence[BedLamps | None]) -> BedClimate:
    """The bed's climate under each of several lights, as beds side by side; None is the bed without lamps."""
    order = spread.class_sequence(DAYS)
    plain = ground.class_dli_mol_m2_d[np.arange(DAYS), order]
    light = [plain if one is None else plain * (1 - np.array(one.shade_frac)) + one.dli_mol_m2_d for one in lamps]
    lit = [ground.daylength_h if one is None else np.maximum(ground.daylength_h, one.lit_h) for one in lamps]
    day, night = (np.tile(part, (len(lamps), 1)) for part in (ground.day_degc, ground.night_degc))
    soil = None if ground.soil_degc is None else np.tile(ground.soil_degc, (len(lamps), 1))
    return bed_climate(np.stack(light), day, night, np.stack(lit), swing_frac=ground.swing_frac, soil_degc=soil)


def harvests_of(crops: Sequence[Crop], ground: Ground, lamps: Sequence[BedLamps | None]) -> tuple[Harvests, ...]:
    """Days and harvests of every crop under every light, for each crop.

    Parameters: crops, those the ground was made for; ground; lamps, L lights; None is the bed without any.
    """
    found = grow(crops, climate_of(ground, lamps), SOWN_DOY, ground.draws)
    days = at_share(sorted_draws(between_sowings(found.harvest_d, SOWN_DOY)), MIDDLE)
    each = middle_mass(found.yield_g_m2) / G_PER_KG
    return tuple(Harvests(days[n], each_harvest(crop, each[n])) for n, crop in enumerate(crops))


def each_harvest(crop: Crop, each: Array) -> Array:
    """What one harvest gives under every light [kg m⁻²], [L, 365]; 1 for a raising of plants.

    Parameters: crop; each, fresh mass of one harvest [kg m⁻²], [L, 365].
    Method: a crop that is taken at a mass gives that whatever the light: what single sowings grow beyond it in their
    last day would drown what lamps add.
    """
    if crop.way == "transplant":
        return np.ones_like(each)
    if crop.harvest is not None and crop.harvest.target_g is not None and np.isfinite(each).any():
        return np.full_like(each, np.nanmedian(each))
    return each
