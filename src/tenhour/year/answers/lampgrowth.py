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
from tenhour.growth.stages import days_to_reach
from tenhour.growth.temperature import emergence_rate_per_d
from tenhour.model.crop import Crop
from tenhour.model.house import BedLamps
from tenhour.plan.dates import DAYS
from tenhour.plan.ranges import MIDDLE, at_share, between_sowings, sorted_draws, straight
from tenhour.sky import spread
from tenhour.year.crops import growing
from tenhour.year.crops.flagging import BOLTS_ANYWAY, bolting_days
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
    photoperiod_h: Array
    """Civil daylight, with the lamps over other beds."""
    draws: Draws
    swing_frac: float = 1.0


@dataclass(frozen=True)
class Harvests:
    """One crop under L lights, by day of sowing [L, 365]; NaN where it never gets there."""

    days_d: Array
    """Median days to harvest, or until plants can be set out."""
    paced_d: Array
    """The same by the mean of the middle half of the draws: growth goes on in whole days, and steps in light gain
    less than one."""
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
    around = [np.array(one.photoperiod_h) for one in world.lamps if one.bed != bed.name]
    seen = np.max([np.clip(world.outdoors.photoperiod_h, 0.0, 24.0), *around], axis=0)
    return Ground(bed.class_dli_mol_m2_d, *temps, sun, seen, draws)


def dark_ground(crops: Sequence[Crop], temp_degc: float) -> Ground:
    """A shelf without daylight in a room of one warmth [°C]; crops, all that are asked about."""
    none, warm = np.zeros(DAYS), np.full(DAYS, temp_degc)
    draws = season_draws([zlib.crc32(crop.key.encode()) for crop in crops], none, DRAWS, SEED)
    return Ground(np.zeros((DAYS, 7)), warm, warm, None, none, none, draws, swing_frac=0.0)


def comes_up_d(crop: Crop, soil_degc: Array, sown_doy: int) -> float:
    """Days until seed of a crop comes up in a bed [d]; NaN where it does not.

    Parameters: crop; soil_degc, of the bed by day of the year [365]; sown_doy, day of the generic year.
    """
    read = growing.part("emergence", "base_degc", np.nan), growing.part("emergence", "sum_degcday", np.nan)
    opt, most = growing.part("growth", "temp_opt_degc", np.nan), growing.part("emergence", "max_degc", np.inf)
    rate = emergence_rate_per_d(soil_degc, read[0](crop), read[1](crop), opt(crop), most(crop))
    return float(days_to_reach(rate[None], [sown_doy])[0, 0])


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
    Method: as ``sow`` does; what runs to flower before it is ready under that day length never gets there.
    """
    climate = climate_of(ground, lamps)
    found = grow(crops, climate, SOWN_DOY, ground.draws)
    seen = np.stack([ground.photoperiod_h if one is None else np.maximum(ground.photoperiod_h, one.photoperiod_h)
                     for one in lamps])  # fmt: skip
    flowers = straight(bolting_days(crops, seen, climate, SOWN_DOY, found.emergence_d), SOWN_DOY)
    ordered = sorted_draws(between_sowings(found.harvest_d, SOWN_DOY))
    days = at_share(ordered, MIDDLE)
    quarter = ordered.shape[-1] // 4
    half = ordered[..., quarter : ordered.shape[-1] - quarter]
    there = np.isfinite(half)
    paced = np.where(there, half, 0.0).sum(axis=-1) / np.maximum(there.sum(axis=-1), 1)
    follow = np.array([crop.way not in BOLTS_ANYWAY for crop in crops], dtype=np.bool_)[:, None, None]
    days = np.where(follow & (flowers < np.where(np.isnan(days), np.inf, days)), np.nan, days)
    each = middle_mass(found.yield_g_m2) / G_PER_KG
    paced = np.where(np.isnan(days), np.nan, paced)
    return tuple(Harvests(days[n], paced[n], each_harvest(crop, each[n])) for n, crop in enumerate(crops))


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
