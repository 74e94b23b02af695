"""Crops in more than one place or state: raised and set out, grown stands, steady climates, and the inverse."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.carbon import CONSTANTS, Constants
from tenhour.growth.run import run
from tenhour.growth.shapes import YEAR_D, BedClimate, CropArrays, Draws, GrowthRun, Start, bed_climate

Floats = NDArray[np.float64]

CHECK_D: Final = 3.0
"""Days a plant stands still after it is set out. Judgement."""

GROWN_LEAVES: Final = 12.0
"""Leaves of a grown plant set out before winter; only says that it is no seedling. Judgement."""


def steady_climate(
    dli_mol_m2_d: ArrayLike, temp_day_degc: ArrayLike, temp_night_degc: ArrayLike, lit_h: ArrayLike
) -> BedClimate:
    """Climate of B beds that are the same every day, as in a published trial; inputs broadcast to [B].

    Parameters: dli_mol_m2_d [mol m⁻² d⁻¹]; temp_day_degc, temp_night_degc [°C]; lit_h [h].
    """
    parts = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(x, dtype=np.float64)) for x in (dli_mol_m2_d, temp_day_degc, temp_night_degc, lit_h))
    )
    dli, day, night, lit = (np.repeat(part[:, None], YEAR_D, axis=1) for part in parts)
    return bed_climate(dli, day, night, lit, dli)


def set_out(
    crops: CropArrays,
    nursery: BedClimate,
    climate: BedClimate,
    sow_doy: ArrayLike,
    draws: Draws | None = None,
    *,
    tray_density_per_m2: ArrayLike,
    check_d: float = CHECK_D,
    horizon_d: int = YEAR_D,
    repeat: bool = False,
    constants: Constants = CONSTANTS,
) -> GrowthRun:
    """Raise plants in one place and set them out in another at their leaf stage.

    Parameters: crops, C; nursery, one place (B = 1) where they are raised; climate, B beds they go to; sow_doy, S
    sowings in the nursery; draws, J; tray_density_per_m2 [C], plants per tray area; check_d, days they stand
    still when moved [d]; the rest as :func:`tenhour.growth.run.run`.
    Returns: :class:`GrowthRun` [C, B, S, J], days from sowing in the nursery; emergence, first leaf, transplant_d,
    transplant mass (per m² of tray) and supply over demand are the nursery's, the rest the bed's.
    """
    trays = np.asarray(tray_density_per_m2, dtype=np.float64)
    raised_crops = replace(
        crops,
        density_per_m2=np.broadcast_to(trays, crops.density_per_m2.shape).copy(),
        by_leaves=np.ones(len(crops), dtype=np.bool_),
    )
    raised = run(raised_crops, nursery, sow_doy, draws, horizon_d=horizon_d, constants=constants)
    spread = (crops.density_per_m2 / raised_crops.density_per_m2)[:, None, None, None]
    start = Start(
        mass_g_m2=raised.transplant_mass_g_m2 * spread,
        leaves_count=crops.transplant_leaves_count[:, None, None, None],
        day_d=np.ceil(raised.transplant_d + check_d),
    )
    grown = run(crops, climate, sow_doy, draws, horizon_d=horizon_d, start=start, repeat=repeat, constants=constants)
    shape = grown.harvest_d.shape
    early: dict[str, Any] = {
        name: np.broadcast_to(getattr(raised, name), shape)
        for name in ("emergence_d", "first_leaf_d", "transplant_d", "transplant_mass_g_m2", "source_sink_ratio")
    }
    begun = np.isfinite(early["transplant_d"])
    status = np.where(begun, grown.status, np.broadcast_to(raised.status, shape)).astype(np.int8)
    return replace(grown, **early, status=status)


def standing(
    crops: CropArrays,
    climate: BedClimate,
    from_doy: ArrayLike,
    draws: Draws | None = None,
    *,
    horizon_d: int = YEAR_D,
    only: NDArray[np.bool_] | None = None,
    constants: Constants = CONSTANTS,
) -> GrowthRun:
    """Pick from stands that are grown on the given days: only new leaf is taken.

    Parameters: crops, C crops with standing_g_m2 and pick_g_m2; climate, B beds; from_doy, S days on which they
    stand grown; draws, J; only, as of :func:`tenhour.growth.run.run`.
    Returns: :class:`GrowthRun` with week_yield_g_m2 [W, C, B, S, J].
    """
    start = Start(mass_g_m2=crops.standing_g_m2[:, None, None, None], leaves_count=GROWN_LEAVES)
    return run(
        crops, climate, from_doy, draws,
        horizon_d=horizon_d, start=start, repeat=True, only=only, constants=constants,
    )  # fmt: skip


def days_by_light(
    crops: CropArrays,
    dli_mol_m2_d: Floats,
    temp_day_degc: ArrayLike,
    temp_night_degc: ArrayLike,
    lit_h: ArrayLike,
    *,
    horizon_d: int = YEAR_D,
    constants: Constants = CONSTANTS,
) -> Floats:
    """Days from sowing to harvest (or to setting out) in steady light, for every level of light.

    Parameters: crops, C; dli_mol_m2_d, L rising levels [mol m⁻² d⁻¹]; temp_day_degc, temp_night_degc [°C] and lit_h
    [h], one per bed [B]; horizon_d, days looked ahead [d].
    Returns: [C, B, L], infinite where not within the horizon; more light is never slower.
    """
    day, night, lit = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(x, dtype=np.float64)) for x in (temp_day_degc, temp_night_degc, lit_h))
    )
    each = [np.repeat(part, len(dli_mol_m2_d)) for part in (day, night, lit)]
    climate = steady_climate(np.tile(dli_mol_m2_d, len(day)), *each)
    found = run(crops, climate, [0], horizon_d=horizon_d, constants=constants)
    by_leaves = crops.by_leaves & ~(crops.cut_g_m2 > 0)
    took = np.where(by_leaves[:, None, None, None], found.transplant_d, found.harvest_d)
    took = took.reshape(len(crops), len(day), len(dli_mol_m2_d))
    return np.asarray(np.minimum.accumulate(np.where(np.isfinite(took), took, np.inf), axis=-1))


def light_for_days_mol_m2_d(took: Floats, wanted: Floats, dli_mol_m2_d: Floats) -> Floats:
    """Light at which falling days ``took`` [..., L] of levels dli_mol_m2_d [L] meet ``wanted`` [...]; NaN where none.

    Method: linear in the logarithm of light [mol m⁻² d⁻¹] between the two levels that enclose the days.
    """
    log_level = np.log(dli_mol_m2_d)
    quick = took <= wanted[..., None]
    first = quick.argmax(axis=-1)
    before = np.maximum(first - 1, 0)
    high, low = (np.take_along_axis(took, i[..., None], axis=-1)[..., 0] for i in (first, before))
    known = np.isfinite(low) & np.isfinite(high) & (low > high)
    safe = np.where(known, low, 0.0)
    share = np.where(known, (safe - wanted) / np.where(known, safe - np.where(known, high, 0.0), 1.0), 1.0)
    level = log_level[before] + np.clip(share, 0.0, 1.0) * (log_level[first] - log_level[before])
    return np.asarray(np.where(quick.any(axis=-1), np.exp(level), np.nan))
