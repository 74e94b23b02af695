"""What threatens a sowing beside slow growth, as short sentences."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np

from tenhour.pipeline import growing
from tenhour.plan.dates import DAYS

if TYPE_CHECKING:
    from tenhour.pipeline.sow import Table


def flags_of(table: Table, crop: int, bed: int, days: int | None) -> tuple[str, ...]:
    """Flags of one sowing: bolting, bulbing, heat, starving."""
    chosen = table.crops[crop]
    out = []
    if table.year.starved[crop, bed, 0]:
        out.append("Starves: the light is below what keeps it alive.")
    bolts = table.bolting_d[crop, bed]
    if days is not None and np.isfinite(bolts) and bolts < days and chosen.way != "transplant":
        when = table.on + timedelta(days=int(bolts))
        out.append(f"May bolt from about {when.isoformat()}.")
    span = (table.day + np.arange(days or round(growing.FIRST_D))) % DAYS
    limit = growing.value_of(chosen.climate.most_mean_degc)
    if chosen.grows_by_carbon and (growing.mean_temp_degc(table.climate)[bed, span] > limit).mean() > 0.25:
        out.append(f"Too hot for good quality (daily means above {limit:.0f} °C) for part of the time.")
    if chosen.bolting is not None and chosen.bolting.bulbing_photoperiod_h is not None:
        hours = chosen.bolting.bulbing_photoperiod_h.value
        if (table.world.outdoors.photoperiod_h[span] >= hours).any():
            out.append(f"Days reach {hours:.0f} h with twilight: it may bulb.")
    return tuple(out)
