"""The arrays that go into and come out of the growth computation.

Axis letters used throughout the room: C crops, B beds, S sowings, J draws, and days of one generic year (365).
Day 0 of the year is 1 January; every series wraps round, so any hemisphere and any start day work.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.temperature import hour_weighted

Floats = NDArray[np.float64]

YEAR_D: Final = 365
"""Days of the generic year: 29 February is left out."""

CROP_FACTORS: Final = ("rgr_factor", "sla_factor", "seedling_factor", "target_factor")
"""What is drawn of a crop, not of the season."""
LIGHT_MEMORY_D: Final = 10
"""Days over which leaves adjust their thickness to light. Judgement (growth runs on days, leaf area on ten)."""


class Status(IntEnum):
    """What became of a sowing."""

    FINE = 0
    STARVED = 1
    TOO_COLD = 2
    NOT_WITHIN = 3


@dataclass(frozen=True)
class CropArrays:
    """Growth numbers of C crops, each an array [C]; names as in ``tenhour.model.crop``."""

    emergence_base_degc: Floats
    emergence_sum_degcday: Floats
    emergence_max_degc: Floats
    temp_min_degc: Floats
    temp_opt_degc: Floats
    temp_max_degc: Floats
    leaf_rate_per_d: Floats
    rgr_per_d: Floats
    leaf_area_m2_g: Floats
    extinction_ratio: Floats
    seedling_mg: Floats
    density_per_m2: Floats
    root_frac: Floats
    dry_matter_frac: Floats
    harvest_frac: Floats
    target_g: Floats
    transplant_leaves_count: Floats
    regrow_frac: Floats
    drawn_ratio: Floats
    standing_g_m2: Floats
    pick_g_m2: Floats
    pick_frac: Floats
    cut_g_m2: Floats
    cuts_most_count: Floats
    yield_factor: Floats
    by_leaves: NDArray[np.bool_]

    def __len__(self) -> int:
        """Return the number of crops."""
        return len(self.rgr_per_d)

    def take(self, index: slice | NDArray[np.intp]) -> CropArrays:
        """Return some of the crops, as a new set of arrays."""
        return CropArrays(**{name: getattr(self, name)[index] for name in self.__dataclass_fields__})

    def with_values(self, **changes: ArrayLike) -> CropArrays:
        """Return a copy with some fields replaced (broadcast to [C])."""
        fields: dict[str, Any] = {name: getattr(self, name) for name in self.__dataclass_fields__}
        for name, value in changes.items():
            fields[name] = np.broadcast_to(np.asarray(value), fields[name].shape).astype(fields[name].dtype)
        return CropArrays(**fields)


@dataclass(frozen=True)
class BedClimate:
    """What B beds get through a generic year, each an array [B, 365].

    dli_mol_m2_d: light at the canopy of each day [mol m⁻² d⁻¹]; temp_day_degc, temp_night_degc: air [°C];
    lit_h: hours with sun or lamps [h]; dli_ten_day_mol_m2_d: mean light of the last ten days [mol m⁻² d⁻¹];
    swing_frac: 0 where air stands at set points by day and by night, 1 where the sun makes it; soil_degc: soil at the
    depth of seed [°C], the mean of the air where nothing better is known.
    """

    dli_mol_m2_d: Floats
    temp_day_degc: Floats
    temp_night_degc: Floats
    lit_h: Floats
    dli_ten_day_mol_m2_d: Floats
    swing_frac: Floats
    soil_degc: Floats

    def __len__(self) -> int:
        """Return the number of beds."""
        return len(self.dli_mol_m2_d)

    def take(self, index: slice | NDArray[np.intp]) -> BedClimate:
        """Return some of the beds."""
        return BedClimate(**{name: getattr(self, name)[index] for name in self.__dataclass_fields__})

    @property
    def steady(self) -> bool:
        """Whether all days are alike."""
        return all(bool((part == part[:, :1]).all()) for part in vars(self).values())

    def day_of_steady(self) -> BedClimate:
        """The one day of a steady climate, arrays [B, 1]."""
        return BedClimate(**{name: part[:, :1] for name, part in vars(self).items()})


def each_bed_of(climates: Sequence[BedClimate]) -> BedClimate:
    """The first bed of the first climate, the second of the second, and so on.

    Parameters: climates, of B beds each, one for every bed.
    """
    names = BedClimate.__dataclass_fields__
    return BedClimate(**{name: np.stack([getattr(own, name)[n] for n, own in enumerate(climates)]) for name in names})


def ten_day_mean(dli_mol_m2_d: ArrayLike) -> Floats:
    """Mean light of the last ten days, wrapping round the year.

    Parameters: dli_mol_m2_d, light of each day [mol m⁻² d⁻¹], shape [..., 365].
    Returns: mean of each day and the nine before it [mol m⁻² d⁻¹], same shape.
    """
    dli = np.asarray(dli_mol_m2_d, dtype=np.float64)
    padded = np.concatenate([np.zeros_like(dli[..., :1]), dli[..., -LIGHT_MEMORY_D:], dli], axis=-1)
    sums = np.cumsum(padded, axis=-1)
    last = sums[..., LIGHT_MEMORY_D + 1 :]
    return np.asarray((last - sums[..., 1 : 1 + dli.shape[-1]]) / LIGHT_MEMORY_D)


def bed_climate(
    dli_mol_m2_d: ArrayLike,
    temp_day_degc: ArrayLike,
    temp_night_degc: ArrayLike,
    lit_h: ArrayLike,
    dli_ten_day_mol_m2_d: ArrayLike | None = None,
    *,
    swing_frac: ArrayLike = 0.0,
    soil_degc: ArrayLike | None = None,
) -> BedClimate:
    """Build a :class:`BedClimate`; each input broadcasts to [B, 365], what is not given is made from the rest.

    Parameters: dli_mol_m2_d, dli_ten_day_mol_m2_d [mol m⁻² d⁻¹]; temp_day_degc, temp_night_degc, soil_degc [°C]; lit_h
    [h]; swing_frac, 0-1.
    """
    parts = np.broadcast_arrays(
        *(
            np.atleast_2d(np.asarray(x, dtype=np.float64))
            for x in (dli_mol_m2_d, temp_day_degc, temp_night_degc, lit_h)
        ),
        np.empty((1, YEAR_D)),
    )
    dli, day, night, lit = (np.ascontiguousarray(part) for part in parts[:4])
    mean = ten_day_mean(dli) if dli_ten_day_mol_m2_d is None else np.broadcast_to(dli_ten_day_mol_m2_d, dli.shape)
    swing = np.broadcast_to(np.asarray(swing_frac, dtype=np.float64), dli.shape)
    soil = hour_weighted(day, night, lit) if soil_degc is None else np.broadcast_to(soil_degc, dli.shape)
    return BedClimate(dli, day, night, lit, np.asarray(mean, dtype=np.float64), swing, np.asarray(soil))


@dataclass(frozen=True)
class Draws:
    """What differs between J draws of one season; factors of 1 and an offset of 0 are the middle.

    light_factor [J], or [365, J] by day of the year, or [365, B, J] where beds differ, multiplies the light of every
    day, temp_offset_k [J] is added to air. The others multiply the crop's ceiling of growth, leaf area per mass,
    seedling mass and target mass: [J], or [C, J] where each crop has its own.
    """

    light_factor: Floats
    temp_offset_k: Floats
    rgr_factor: Floats
    sla_factor: Floats
    seedling_factor: Floats
    target_factor: Floats

    def __len__(self) -> int:
        """Return the number of draws."""
        return len(self.temp_offset_k)

    def of_crops(self, index: slice | NDArray[np.intp] | list[int]) -> Draws:
        """Return the same draws for some of the crops."""
        own = {name: getattr(self, name) for name in CROP_FACTORS}
        return replace(self, **{name: part[index] if part.ndim > 1 else part for name, part in own.items()})


def middle_draw() -> Draws:
    """Return the one draw in which every factor is 1."""
    one = np.ones(1)
    return Draws(one, np.zeros(1), one, one, one, one)


@dataclass(frozen=True)
class Start:
    """Plants that already stand on the sowing day, arrays that broadcast to [C, B, S, J].

    mass_g_m2: dry mass of the stand [g m⁻²]; leaves_count: leaves unfolded; day_d: days after the sowing day on
    which they are in this place [d] (0 for plants set out on that day).
    """

    mass_g_m2: ArrayLike
    leaves_count: ArrayLike
    day_d: ArrayLike = 0.0


@dataclass(frozen=True)
class Young:
    """When C crops are cut as young leaf, arrays [C]: by mass or by leaves, infinite where not, or never."""

    target_g_m2: Floats
    """Dry mass of the stand."""
    leaves_count: Floats
    drawn_ratio: Floats
    """As of the crop: how much longer drawn leaves are."""

    def take(self, index: slice) -> Young:
        """Return some of the crops."""
        return Young(self.target_g_m2[index], self.leaves_count[index], self.drawn_ratio[index])


@dataclass(frozen=True)
class Snapshots:
    """The stand on asked days after sowing, arrays [D, C, B, S, J]; NaN before emergence and after the end."""

    day_d: Floats
    mass_g_m2: Floats
    leaves_count: Floats
    source_sink_ratio: Floats
    leaf_area_ratio: Floats


@dataclass(frozen=True)
class GrowthRun:
    """Result of a run: arrays [C, B, S, J]; days count from sowing, NaN where never reached.

    yield_g_m2 is fresh mass of the first harvest; mass_g_m2 and leaves_count stand at the end of the run (harvest,
    death or horizon); growth_per_d is the running relative growth then; source_sink_ratio is the mean of the first
    three weeks after emergence. For repeated harvests week_yield_g_m2 is [W, C, B, S, J], week 0 being the seven days
    after sowing, and harvest_count the number of cuts or picks within the horizon.
    """

    emergence_d: Floats
    first_leaf_d: Floats
    transplant_d: Floats
    harvest_d: Floats
    yield_g_m2: Floats
    status: NDArray[np.int8]
    mass_g_m2: Floats
    leaves_count: Floats
    growth_per_d: Floats
    source_sink_ratio: Floats
    transplant_mass_g_m2: Floats
    harvest_count: Floats
    snapshots: Snapshots | None = None
    week_yield_g_m2: Floats | None = None
    young_d: Floats | None = None
    young_yield_g_m2: Floats | None = None
    """Days to young leaf and its fresh mass where that is asked for, NaN where the first harvest came before."""
