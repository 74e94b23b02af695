"""Where seedlings stand: leaves and leaf area by growth in one climate or many."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.run import run
from tenhour.growth.shapes import BedClimate, bed_climate
from tenhour.model.crop import Crop
from tenhour.model.diagnosis import Evidence
from tenhour.year.crops.growing import crop_arrays

Array = NDArray[np.float64]

GOOD_DLI_MOL_M2_D: Final = 12.0
GOOD_LIT_H: Final = 14.0
"""Light in which seedlings are raised well: 10-13 mol (Runkle 2007, Randall & Lopez 2015), 14 h of lamps. Read."""
NO_HARVEST_G: Final = 1e9


class Plants(NamedTuple):
    """Seedlings in n cases (beds, or sowings of one bed), arrays [n]; NaN where not up or not known."""

    emergence_d: Array
    leaves_count: Array
    leaf_area_ratio: Array
    source_sink_ratio: Array


def plants_in(crop: Crop, climate: BedClimate, sow_doy: ArrayLike, age_d: int, density_per_m2: float) -> Plants:
    """Grow one crop at a seedling density and look at it at an age.

    Parameters: crop; climate, B beds; sow_doy, one day for all beds, or S days with one bed; age_d, days since sowing;
    density_per_m2, plants per area.
    Returns: Plants [B] or [S]; all NaN for crops that grow by reserves.
    Errors: ValueError for several days of sowing on several beds.
    """
    sowings = np.atleast_1d(np.asarray(sow_doy, dtype=np.intp))
    count = max(len(climate), len(sowings))
    if not crop.grows_by_carbon:
        return Plants(*(np.full(count, np.nan) for _ in range(4)))
    arrays = crop_arrays([crop])
    # A seedling is looked at, never harvested: the target is put out of reach and picking and cutting left out.
    arrays = replace(
        arrays.with_values(density_per_m2=density_per_m2, target_g=NO_HARVEST_G),
        by_leaves=np.zeros(1, dtype=np.bool_),
    )
    age = max(age_d, 1)
    found = run(arrays, climate, sowings, horizon_d=min(age + 2, 365), snapshot_d=[age])
    shots = found.snapshots
    if shots is None:
        raise ValueError("a run with snapshot_d returns snapshots")
    flat = [part[0].reshape(count) for part in (found.emergence_d, shots.leaves_count[0], shots.leaf_area_ratio[0])]
    return Plants(flat[0], flat[1], flat[2], found.source_sink_ratio[0].reshape(count))


def good_climate(climate: BedClimate) -> BedClimate:
    """The same air under good seedling light."""
    lit = np.maximum(climate.lit_h, GOOD_LIT_H)
    return bed_climate(
        np.maximum(climate.dli_mol_m2_d, GOOD_DLI_MOL_M2_D), climate.temp_day_degc, climate.temp_night_degc, lit
    )


def shifted(climate: BedClimate, now: Evidence, then: Evidence) -> BedClimate:
    """A climate moved by the difference between two sets of evidence: light by its ratio, air by its gap."""
    ratio = then.dli_mol_m2_d / max(now.dli_mol_m2_d, 0.05)
    return bed_climate(
        climate.dli_mol_m2_d * ratio,
        climate.temp_day_degc + (then.day_degc - now.day_degc),
        climate.temp_night_degc + (then.night_degc - now.night_degc),
        np.clip(climate.lit_h + (then.lit_h - now.lit_h), 0.0, 24.0),
    )
