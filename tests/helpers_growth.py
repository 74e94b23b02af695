"""Plants and climates shared by the tests of growth."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from tenhour.growth.places import steady_climate
from tenhour.growth.shapes import BedClimate, CropArrays, bed_climate

LETTUCE = {
    "emergence_base_degc": 1.3, "emergence_sum_degcday": 57.0, "emergence_max_degc": 30.0, "temp_min_degc": -2.0,
    "temp_opt_degc": 24.0, "temp_max_degc": 33.0, "leaf_rate_per_d": 0.55, "rgr_per_d": 0.46, "leaf_area_m2_g": 0.04,
    "extinction_ratio": 0.7, "seedling_mg": 0.8, "density_per_m2": 20.0, "root_frac": 0.12, "dry_matter_frac": 0.045,
    "harvest_frac": 0.95, "target_g": 150.0, "transplant_leaves_count": 4.0, "regrow_frac": 0.0, "drawn_ratio": 0.0, "standing_g_m2": 0.0,
    "pick_g_m2": 0.0, "pick_frac": 0.95, "cut_g_m2": 0.0, "cuts_most_count": 0.0, "yield_factor": 1.0,
}  # fmt: skip


def plants(**changes: float) -> CropArrays:
    """One invented lettuce, with changes."""
    by_leaves = bool(changes.pop("by_leaves", False))
    columns = {name: np.array([value]) for name, value in {**LETTUCE, **changes}.items()}
    return CropArrays(**columns, by_leaves=np.array([by_leaves]))


def lettuce() -> SimpleNamespace:
    """The same lettuce as plain numbers."""
    return SimpleNamespace(**LETTUCE)


def both(*crops: CropArrays) -> CropArrays:
    """Several crops in one."""
    return CropArrays(**{f: np.concatenate([getattr(c, f) for c in crops]) for f in CropArrays.__dataclass_fields__})


def steady(dli: float | list[float] = 8.0, day: float = 20.0, night: float = 10.0, lit: float = 10.0) -> BedClimate:
    """The same day all year."""
    return steady_climate(dli, day, night, lit)


def seasons(latitude_sign: int = 1) -> BedClimate:
    """A dim house whose light swings from 2 to 16 mol; the southern one is half a year later."""
    day = np.arange(365)
    swing = -np.cos(2 * np.pi * (day + 10) / 365) * latitude_sign
    return bed_climate(9.0 + 7.0 * swing, 16.0 + 5.0 * swing, 8.0 + 4.0 * swing, 12.0 + 3.5 * swing)
