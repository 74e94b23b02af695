"""Planned lamps as light: what they add to each bed by month, and how long they make the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tenhour.model.house import BedLamps, House
from tenhour.model.lamp_answer import LampAnswer
from tenhour.units import dli_from_ppfd


def lit_house(house: House, plans: Sequence[LampAnswer]) -> House:
    """The house with the lamps of some plans burning over its beds."""
    return replace(house, lamps=tuple(bed_lamps(plan) for plan in plans))


def bed_lamps(plan: LampAnswer) -> BedLamps:
    """Lamps of one plan by month; only the flux the plan asks for counts, not what a larger layout could give."""
    months = sorted(plan.clock, key=lambda month: month.month)
    on = [bool(month.windows and month.days_count) for month in months]
    hours_h = _while(on, [month.lamp_h for month in months])
    return BedLamps(
        bed=plan.bed,
        dli_mol_m2_d=tuple(float(dli_from_ppfd(plan.ppfd_umol_m2_s, hours)) for hours in hours_h),
        lit_h=_while(on, [month.lit_h for month in months]),
        photoperiod_h=_while(on, [month.photoperiod_h for month in months]),
        shade_frac=0.0 if plan.layout is None else plan.layout.shade_frac,
    )


def _while(on: Sequence[bool], values: Sequence[float]) -> tuple[float, ...]:
    """Values of the months in which the lamps burn, nothing in the others."""
    return tuple(value if burning else 0.0 for value, burning in zip(values, on, strict=True))
