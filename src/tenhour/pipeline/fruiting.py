"""Crops grown for fruit: a verdict on light and temperature, no dates."""

from __future__ import annotations

from datetime import date

import numpy as np

from tenhour.model.crop import Crop
from tenhour.model.results import CropVerdict, Verdict
from tenhour.pipeline import growing
from tenhour.pipeline.world import World
from tenhour.plan.dates import DAYS, day_index, next_on_or_after, wrap_mean

WINDOW_D = 28
"""Days ahead over which light and air must suffice."""


def fruiting_verdict(world: World, crop: Crop, bed: int, on: date) -> CropVerdict:
    """Hold the light and air of the next four weeks against what a fruiting crop needs."""
    day = day_index(on)
    needs = growing.value_of(crop.light.dli_min_mol_m2_d or crop.light.dli_target_mol_m2_d, 0.0)
    ahead = (day + np.arange(WINDOW_D)) % DAYS
    light_year = np.roll(wrap_mean(world.beds[bed].dli_mol_m2_d, WINDOW_D), -WINDOW_D // 2)
    limit = np.fmax(crop.climate.kill_degc.value, growing.value_of(crop.climate.chill_degc))
    cold_year = np.array([world.air.cold_night_degc[bed][(d + np.arange(WINDOW_D)) % DAYS].min() for d in range(DAYS)])
    bright, warm = light_year >= needs, cold_year >= limit
    light = float(world.beds[bed].dli_mol_m2_d[ahead].mean())
    good = np.flatnonzero((bright & warm)[(day + np.arange(DAYS)) % DAYS])
    pays = next_on_or_after((day + int(good[0])) % DAYS, on) if good.size else None
    missing = max(needs - light, 0.0)
    verdict = _verdict(bool(good.size), bool(warm[day]), missing)
    text = {
        "not-here": "Not in this house: light for fruit and warm enough nights never come together here.",
        "too-cold": f"Too cold at night: about {cold_year[day]:.0f} °C must be expected, it wants {limit:.0f} °C.",
        "needs-lamps": f"Needs lamps: fruit wants {needs:.0f} mol m⁻² a day, {missing:.1f} mol are missing.",
        "sow": "Light and warmth suffice for fruit in the next four weeks; no dates are given for fruiting crops.",
    }[verdict]
    if pays is not None and verdict in ("too-cold", "needs-lamps"):
        text += f" Light and warmth suffice from {pays.isoformat()}."
    return CropVerdict(
        crop=crop.key,
        name=crop.name,
        verdict=verdict,
        sentence=text,
        dli_mol_m2_d=light,
        needs_dli_mol_m2_d=needs,
        missing_dli_mol_m2_d=missing,
        pays_from=pays,
    )


def _verdict(ever: bool, warm: bool, missing_dli_mol_m2_d: float) -> Verdict:
    if not ever:
        return "not-here"
    if not warm:
        return "too-cold"
    return "needs-lamps" if missing_dli_mol_m2_d > 0.0 else "sow"
