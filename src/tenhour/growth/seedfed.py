"""Crops that live on their seed or bulb: warmth sets the time, light only adds mass."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tenhour.growth.shapes import BedClimate, Draws, middle_draw
from tenhour.growth.stages import days_to_reach, window_mean
from tenhour.growth.temperature import hour_weighted

Floats = NDArray[np.float64]

LIMIT_D: Final = 90
"""A tray that is not ready by then has rotted [d]. Judgement."""


@dataclass(frozen=True)
class TrayArrays:
    """Numbers of T tray crops, each an array [T]; names as in ``tenhour.model.crop.Tray``."""

    base_degc: Floats
    sum_degcday: Floats
    reserve_mass_g_m2: Floats
    light_mass_g_m2: Floats
    half_light_mol_m2: Floats
    dark_d: Floats
    """Days kept in the dark first; light falls on the tray after them."""

    def __len__(self) -> int:
        """Return the number of crops."""
        return len(self.base_degc)


@dataclass(frozen=True)
class TrayRun:
    """Days from sowing to cutting and fresh yield, arrays [T, B, S, J]; NaN where never ready."""

    harvest_d: Floats
    yield_g_m2: Floats


def seed_fed(
    trays: TrayArrays, climate: BedClimate, sow_doy: ArrayLike, draws: Draws | None = None, limit_d: int = LIMIT_D
) -> TrayRun:
    """Time and yield of trays that live on their reserves.

    Parameters: trays, T crops; climate, B beds; sow_doy, S day indexes 0-364; draws, J draws (one middle draw
    if none): light and temperature as for other crops, rgr_factor on speed, target_factor on mass;
    limit_d, given up after [d].
    Returns: :class:`TrayRun`.
    Method: days when the sum of (mean − base) reaches the thermal time: 8-12 days in a February glasshouse whatever
    the lamps (Jones-Baumgardt et al. 2020); mass = reserve + most × light/(light + half), their asymptote; light
    counts from when the tray is uncovered.
    """
    draw = middle_draw() if draws is None else draws
    sowings = np.atleast_1d(np.asarray(sow_doy, dtype=np.intp))
    mean = hour_weighted(climate.temp_day_degc, climate.temp_night_degc, climate.lit_h)
    warm = mean[None, :, None, :] + draw.temp_offset_k[None, None, :, None]
    over = np.maximum(warm - trays.base_degc[:, None, None, None], 0.0)
    rate = over / trays.sum_degcday[:, None, None, None] * np.atleast_2d(draw.rgr_factor)[:, None, :, None]
    shape = rate.shape[:3]
    days = days_to_reach(rate.reshape(-1, rate.shape[-1]), sowings, limit_d).reshape(*shape, -1)
    days = np.moveaxis(days, -1, 2)
    column = (slice(None), None, None, None)
    dark = np.nan_to_num(trays.dark_d)[column]
    lit = np.maximum(days - dark, 0.0)
    starts = np.broadcast_to(sowings[None, None, :, None] + np.rint(dark).astype(np.intp), days.shape)
    light = np.moveaxis(window_mean(climate.dli_mol_m2_d, np.moveaxis(starts, 1, 0), np.moveaxis(lit, 1, 0)), 0, 1)
    bright = draw.light_factor if draw.light_factor.ndim == 1 else draw.light_factor[sowings]
    bright = np.moveaxis(bright, 1, 0) if bright.ndim == 3 else bright
    total = light * lit * bright
    most, half = trays.light_mass_g_m2[column], trays.half_light_mol_m2[column]
    own = np.atleast_2d(draw.target_factor)[:, None, None, :]
    mass = (trays.reserve_mass_g_m2[column] + most * total / (total + half)) * own
    return TrayRun(days, np.asarray(mass))
